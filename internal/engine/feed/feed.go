// Package feed says from where current can come into each conductor of a job,
// through which protective devices, and how much copper lies before the first
// of them. It is topology and lengths only: no currents.
//
// A source is a battery post or the positive terminal of a charging device. A
// way leads along cables and through parts that conduct, never through a
// battery or a device; switches and contactors count as closed, for they may
// be. Of several ways from one source the one with the fewest protective
// devices counts, and of those the shortest.
package feed

import (
	"math"
	"slices"

	"bankwright/internal/model/bank"
)

// Side is what a conductor is part of.
type Side string

// The sides.
const (
	Positive Side = "positive"
	Negative Side = "negative"
	Between  Side = "between" // joins batteries in series
	Loose    Side = "loose"   // no battery is joined to it
)

// Way leads from a source to an end of a conductor.
type Way struct {
	Source   bank.End
	Battery  bool     // the source is a battery, else a charging device
	Devices  []string // protective devices on it, the nearest to the source first
	Switches []string // switches and contactors on it
	Length   float64  // m of cable from the source to that end
	Bare     float64  // m of it before the first protective device; all of it where there is none
	Sheathed bool     // all of Bare runs in a sheath
}

// Cable is one conductor.
type Cable struct {
	ID   string
	Side Side
	Len  float64   // m; NaN unknown
	Ways [2][]Way  // from sources beyond its from end, beyond its to end; none through the cable itself
	Both bool      // sources lie beyond both its ends: it is live from both
	Load [2]string // devices that draw beyond each end and are reached through it, the first by name; "" none
}

// Bare reports whether some source reaches the cable through no protective
// device.
func (c *Cable) Bare() bool {
	for _, ways := range c.Ways {
		for _, w := range ways {
			if len(w.Devices) == 0 {
				return true
			}
		}
	}
	return false
}

// Saves lists the devices that stand between some source and the cable, the
// nearest to the cable of each way, each once.
func (c *Cable) Saves() []string {
	var all []string
	for _, ways := range c.Ways {
		for _, w := range ways {
			if n := len(w.Devices); n > 0 && !slices.Contains(all, w.Devices[n-1]) {
				all = append(all, w.Devices[n-1])
			}
		}
	}
	return all
}

// Device is one fuse or breaker.
type Device struct {
	ID     string
	First  bool     // some battery reaches it through no other device
	Before float64  // m of unprotected cable from the nearest such battery; NaN where it is not first
	Sheath bool     // all of it in a sheath
	Switch bool     // a switch that disconnects the battery stands before it
	Far    bool     // its other end is fed by sources of its own, so that it is live from both sides
	Feeds  []string // cables it stands before
	After  []string // devices through which batteries feed it with none between, in the order met
}

// Map is the whole.
type Map struct {
	Cables  []Cable // in the order of the job
	Devices []Device
	sides   map[bank.End]Side
}

// SideOf gives what an end is part of.
func (m *Map) SideOf(e bank.End) Side {
	if s, ok := m.sides[e]; ok {
		return s
	}
	return Loose
}

// link is a cable or a conducting part, one way of it.
type link struct {
	to       bank.End
	cable    int // index, −1: a part
	device   string
	opens    string
	length   float64
	sheathed bool
}

type graph struct {
	bank  *bank.Bank
	links map[bank.End][]link
}

// New maps a bank.
func New(b *bank.Bank) *Map {
	g := graphOf(b)
	m := &Map{sides: g.sides()}
	for i := range b.Cables {
		m.Cables = append(m.Cables, g.cable(i, m.sides))
	}
	for i := range b.Parts {
		if p := &b.Parts[i]; p.Kind.Protects() {
			m.Devices = append(m.Devices, m.device(g, p))
		}
	}
	return m
}

// WaysTo lists the ways from sources to any end: one a source, that with the
// fewest devices, then the shortest. An end that is itself a source is one of
// them.
func WaysTo(b *bank.Bank, e bank.End) []Way {
	ways, _ := graphOf(b).ways(e, -1)
	return ways
}

// graphOf lays out the copper of a bank.
func graphOf(b *bank.Bank) *graph {
	g := &graph{b, map[bank.End][]link{}}
	for i := range b.Cables {
		c := &b.Cables[i]
		one := link{cable: i, length: float64(c.Length.V), sheathed: c.Wrap.Sheath}
		if !c.Length.Known() {
			one.length = math.NaN()
		}
		g.add(c.From, c.To, one)
	}
	for i := range b.Parts {
		g.part(&b.Parts[i])
	}
	return g
}

func (g *graph) add(a, b bank.End, l link) {
	l.to = b
	g.links[a] = append(g.links[a], l)
	l.to = a
	g.links[b] = append(g.links[b], l)
}

// part adds what a part joins: the studs of a bar, or its two ends.
func (g *graph) part(p *bank.Part) {
	ends := p.Joined()
	for k := 1; k < len(ends); k++ {
		l := link{cable: -1}
		if p.Kind == bank.Bar {
			l.length = p.Pitch // the way along a bar counts as that along a cable
		}
		switch {
		case p.Kind.Protects():
			l.device = p.ID
		case p.Kind.Opens():
			l.opens = p.ID
		}
		g.add(ends[k-1], ends[k], l)
	}
}

// sides tells which ends hang on positive posts alone, on negative ones alone,
// or on both. The take-off decides where it says more.
func (g *graph) sides() map[bank.End]Side {
	sides := map[bank.End]Side{}
	for _, e := range g.bank.Ends() {
		if _, known := sides[e]; known {
			continue
		}
		part := g.part1(e)
		side := g.sideOf(part)
		for _, one := range part {
			sides[one] = side
		}
	}
	return sides
}

// part1 lists the ends that copper joins to one, itself included.
func (g *graph) part1(e bank.End) []bank.End {
	seen := map[bank.End]bool{e: true}
	list := []bank.End{e}
	for n := 0; n < len(list); n++ {
		for _, l := range g.links[list[n]] {
			if !seen[l.to] {
				seen[l.to] = true
				list = append(list, l.to)
			}
		}
	}
	return list
}

func (g *graph) sideOf(part []bank.End) Side {
	plus, minus := 0, 0
	for _, e := range part {
		switch {
		case e == g.bank.Takeoff.Positive:
			return Positive
		case e == g.bank.Takeoff.Negative:
			return Negative
		case e.Place == "+":
			plus++
		case e.Place == "-":
			minus++
		}
	}
	switch {
	case plus > 0 && minus > 0:
		return Between
	case plus > 0:
		return Positive
	case minus > 0:
		return Negative
	}
	return Loose
}

// cable finds the ways into one cable.
func (g *graph) cable(i int, sides map[bank.End]Side) Cable {
	c := &g.bank.Cables[i]
	out := Cable{ID: c.ID, Side: sides[c.From], Len: math.NaN()}
	if c.Length.Known() {
		out.Len = float64(c.Length.V)
	}
	for n, e := range []bank.End{c.From, c.To} {
		out.Ways[n], out.Load[n] = g.ways(e, i)
	}
	out.Both = len(out.Ways[0]) > 0 && len(out.Ways[1]) > 0
	return out
}

// step is an end on the search outward from a conductor.
type step struct {
	at       bank.End
	devices  []string // from the conductor outward
	switches []string
	length   float64
	bare     float64 // since the last device met: before the first one, seen from the source
	sheathed bool
	done     bool
}

// better reports whether a comes before b: fewer devices, then shorter.
func (a *step) better(b *step) bool {
	if len(a.devices) != len(b.devices) {
		return len(a.devices) < len(b.devices)
	}
	return a.length < b.length || math.IsNaN(b.length) && !math.IsNaN(a.length)
}

// ways searches outward from an end for sources, not through the cable given,
// and for a device that draws.
func (g *graph) ways(from bank.End, without int) ([]Way, string) {
	best := map[bank.End]*step{from: {at: from, sheathed: true}}
	order := []bank.End{from}
	var ways []Way
	load := ""
	for {
		var next *step
		for _, e := range order {
			if s := best[e]; !s.done && (next == nil || s.better(next)) {
				next = s
			}
		}
		if next == nil {
			return ways, load
		}
		next.done = true
		if w, ok := g.source(next); ok {
			ways = append(ways, w)
		}
		if p := g.bank.Part(next.at.ID); load == "" && p != nil && p.Kind.Draws() {
			load = p.ID
		}
		for _, l := range g.links[next.at] {
			if l.cable == without && without >= 0 {
				continue
			}
			s := next.along(l)
			if old := best[l.to]; old == nil {
				best[l.to] = &s
				order = append(order, l.to)
			} else if !old.done && s.better(old) {
				*old = s
			}
		}
	}
}

// along gives the step over a link.
func (s *step) along(l link) step {
	n := step{at: l.to, devices: s.devices, switches: s.switches, length: s.length + l.length, bare: s.bare + l.length, sheathed: s.sheathed && (l.cable < 0 || l.sheathed)}
	if l.device != "" {
		n.devices = append(slices.Clip(s.devices), l.device)
		n.bare, n.sheathed = 0, true
	}
	if l.opens != "" {
		n.switches = append(slices.Clip(s.switches), l.opens)
	}
	return n
}

// source turns a step that has come to one into a way, read from the source.
func (g *graph) source(s *step) (Way, bool) {
	battery := s.at.IsPost() && g.bank.Battery(s.at.ID) != nil
	if p := g.bank.Part(s.at.ID); !battery && (p == nil || !p.Kind.Charges()) {
		return Way{}, false
	}
	w := Way{Source: s.at, Battery: battery, Devices: slices.Clone(s.devices), Switches: slices.Clone(s.switches), Length: s.length, Bare: s.bare, Sheathed: s.sheathed}
	slices.Reverse(w.Devices)
	slices.Reverse(w.Switches)
	return w, true
}

// device sums up what lies round a fuse or breaker.
func (m *Map) device(g *graph, p *bank.Part) Device {
	d := Device{ID: p.ID, Before: math.NaN()}
	ends := p.Ends()
	// Its own way through is cut by asking from each end with the part taken out.
	cut := &graph{g.bank, map[bank.End][]link{}}
	for e, links := range g.links {
		for _, l := range links {
			if l.device != p.ID {
				cut.links[e] = append(cut.links[e], l)
			}
		}
	}
	fed := [2]bool{}
	for n, e := range ends {
		ways, _ := cut.ways(e, -1)
		fed[n] = len(ways) > 0
		for _, w := range ways {
			if n := len(w.Devices); w.Battery && n > 0 && !slices.Contains(d.After, w.Devices[n-1]) {
				d.After = append(d.After, w.Devices[n-1])
			}
			if w.Battery && len(w.Devices) == 0 && !(w.Bare >= d.Before) {
				d.First, d.Before, d.Sheath, d.Switch = true, w.Bare, w.Sheathed, len(w.Switches) > 0
			}
		}
	}
	d.Far = fed[0] && fed[1]
	for i := range m.Cables {
		if slices.Contains(m.Cables[i].Saves(), p.ID) {
			d.Feeds = append(d.Feeds, m.Cables[i].ID)
		}
	}
	return d
}
