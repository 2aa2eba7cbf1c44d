package holding

import (
	"fmt"
	"math"

	"bankwright/internal/base/source"
)

// Direction is where the load drives the bank, seen from the vehicle.
type Direction string

// The directions.
const (
	Forward Direction = "forward"
	Aft     Direction = "aft"
	Left    Direction = "left"
	Right   Direction = "right"
	Up      Direction = "up"
	Down    Direction = "down"
)

// Directions gives all of them, in the order in which results are listed.
func Directions() []Direction { return []Direction{Forward, Aft, Left, Right, Up, Down} }

// Basis is the strength that a rule's loads are held against.
type Basis string

// The bases.
const (
	AtWorking Basis = "working load limit"
	AtYield   Basis = "yield"
	AtBreak   Basis = "breaking strength"
)

// Rule is the loads that one source asks for, as multiples of the weight. Zero
// in a direction means that the rule does not ask for it.
type Rule struct {
	ID, Title          string
	Forward, Aft, Side float64
	SideTipping        float64 // instead of Side where the group tips at it by itself; 0 none
	Up                 float64
	Beyond             bool    // Up comes on top of the weight, which does not help
	Down               float64 // on the floor, the weight itself included
	Most               float64 // N a case, in every direction; 0 no such limit
	Basis              Basis
	Factor             float64 // that the strength is divided by
	Movement           float64 // m that a case may move under the load; 0 not said
	Note               string
	Ref                source.Ref
}

// Load gives the multiple of the weight asked in a direction; 0 where the rule
// does not ask.
func (r *Rule) Load(d Direction) float64 {
	switch d {
	case Forward:
		return r.Forward
	case Aft:
		return r.Aft
	case Left, Right:
		return r.Side
	case Up:
		return r.Up
	}
	return r.Down
}

// Force gives the force, N, on one case of a mass, kg, at a multiple of its
// weight, held to the rule's most.
func (r *Rule) Force(mass, multiple float64) float64 {
	f := float64(mass*Gravity) * multiple
	if r.Most > 0 {
		f = math.Min(f, r.Most)
	}
	return f
}

// Check returns an error where a load, the factor or the basis is out of range
// or the source cannot be looked up.
func (r *Rule) Check() error {
	for _, v := range []float64{r.Forward, r.Aft, r.Side, r.SideTipping, r.Up, r.Down, r.Most, r.Movement} {
		if none(v) {
			return bad("a load of the rule "+r.ID, v, "", "0 (not asked) or more")
		}
	}
	if r.Down > 0 && r.Down < 1 {
		return bad("the load down of the rule "+r.ID, r.Down, "", "1 or more, the weight itself included, or 0 for not asked")
	}
	if !above(r.Factor, 0) {
		return bad("the factor of the rule "+r.ID, r.Factor, "", "more than 0; 1 where the strength is not divided")
	}
	if r.Basis != AtWorking && r.Basis != AtYield && r.Basis != AtBreak {
		return fmt.Errorf("holding: the rule %s is held against %q; give working load limit, yield or breaking strength", r.ID, r.Basis)
	}
	return r.Ref.Check()
}

// pound is the pound-force, N. Reference: NIST SP 811 (2008), appendix B.
const pound = 4.4482216

// Rules gives the rules known here. The first, for goods on the road, are floors
// and no design basis for a battery tray, which is a part of the vehicle.
func Rules() []Rule {
	cfr := func(at string) source.Ref {
		return source.Ref{Title: "49 CFR 393.102", At: at, Edition: "agency text", How: source.Read}
	}
	memory := func(title, at string) source.Ref {
		return source.Ref{Title: title, At: at, Edition: "not at hand", How: source.Memory}
	}
	tier := source.Ref{Title: "tiers for holding batteries down", How: source.Practice}
	const seat = "written for gas containers; no figure for up was known"
	return []Rule{
		{ID: "road_us_break", Title: "goods on the road, US, breaking strength", Forward: 0.8, Aft: 0.5, Side: 0.5, Up: 0.2, Beyond: true, Basis: AtBreak, Factor: 1, Ref: cfr("(a)(1), (b)")},
		{ID: "road_us_working", Title: "goods on the road, US, working load limit", Forward: 0.435, Aft: 0.5, Side: 0.25, Up: 0.2, Beyond: true, Basis: AtWorking, Factor: 1, Ref: cfr("(a)(2), (b)")},
		{ID: "road_eu", Title: "goods on the road, Europe", Forward: 0.8, Aft: 0.5, Side: 0.5, SideTipping: 0.6, Down: 1, Basis: AtWorking, Factor: 1, Ref: source.Ref{Title: "EN 12195-1", At: "road, as reprinted", Edition: "not stated", How: source.Read}},
		{ID: "boat_us", Title: "batteries in boats, US", Forward: 2, Aft: 2, Side: 2, Up: 2, Most: 90 * pound, Basis: AtYield, Factor: 1, Movement: 0.0254, Note: "twice the weight or 90 lbf, whichever is less: weak for a heavy case", Ref: source.Ref{Title: "33 CFR 183.420", At: "(a)", Edition: "agency text", How: source.Read}},
		{ID: "boat_iso", Title: "batteries in small craft", Forward: 2, Aft: 2, Side: 2, Up: 2, Down: 3, Basis: AtYield, Factor: 1, Movement: 0.010, Note: "withdrawn in 2020", Ref: source.Ref{Title: "ISO 10133", At: "5.2", Edition: "2012", How: source.Read}},
		{ID: "least", Title: "least for any bank that moves", Forward: 0.8, Aft: 0.5, Side: 0.5, Up: 0.2, Beyond: true, Basis: AtYield, Factor: 1, Ref: tier},
		{ID: "recommended", Title: "recommended for any bank that moves", Forward: 2, Aft: 2, Side: 2, Up: 2, Basis: AtYield, Factor: 2, Ref: tier},
		{ID: "cabin", Title: "bank in a cabin with people", Forward: 10, Basis: AtBreak, Factor: 1, Note: "asked beside the recommended loads, forward only", Ref: tier},
		{ID: "container_car", Title: "containers in cars and light vans", Forward: 20, Aft: 20, Side: 8, Basis: AtBreak, Factor: 1, Note: seat, Ref: memory("UN Regulations 67 and 110", "fixing, classes M1 and N1")},
		{ID: "container_bus", Title: "containers in small buses and trucks", Forward: 10, Aft: 10, Side: 5, Basis: AtBreak, Factor: 1, Note: seat, Ref: memory("UN Regulations 67 and 110", "fixing, classes M2 and N2")},
		{ID: "container_heavy", Title: "containers in heavy buses and trucks", Forward: 6.6, Aft: 6.6, Side: 5, Basis: AtBreak, Factor: 1, Note: seat, Ref: memory("UN Regulations 67 and 110", "fixing, classes M3 and N3")},
		{ID: "ambulance", Title: "equipment in ambulances", Forward: 10, Aft: 10, Side: 10, Down: 10, Basis: AtBreak, Factor: 1, Note: "nothing asked upward", Ref: memory("EN 1789", "fixing of equipment")},
	}
}

// FindRule gives the rule with an ID; ok is false where there is none.
func FindRule(id string) (r Rule, ok bool) {
	for _, r := range Rules() {
		if r.ID == id {
			return r, true
		}
	}
	return Rule{}, false
}
