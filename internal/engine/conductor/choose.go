package conductor

import (
	"fmt"
	"math"

	"bankwright/internal/base/source"
)

// Factor corrects a table's ampacity, with its name and ground.
type Factor struct {
	Name  string // such as "engine space" or "bundle of 4 to 6"
	Value float64
	Ref   source.Ref
}

// Candidate is one cable to choose from.
type Candidate struct {
	Name       string
	Cable      Cable
	Limit      float64 // K, that the insulation is rated for
	Table      float64 // A of a published table, uncorrected; NaN where none has it
	TableRef   source.Ref
	Factors    []Factor
	ShortLimit float64 // K, that the insulation bears in a short; asked only with a fault
}

// Need is what a cable is chosen for.
type Need struct {
	Current float64   // A without end, in each cable; 0 or more
	Place   Place     //
	Length  float64   // m of this conductor in the path, out and back; 0 or more
	Rest    []Segment // what else of the path loses voltage
	Drop    float64   // V allowed over the path; NaN: not asked
	Fault   *Fault    // to be borne from the candidate's Limit to its ShortLimit, whatever Start and Limit say here; nil: not asked
}

// Verdict says whether a candidate meets one demand.
type Verdict string

// The verdicts.
const (
	Within   Verdict = "within"
	Over     Verdict = "over"
	Unknown  Verdict = "unknown"   // a number is missing
	NotAsked Verdict = "not asked" //
)

// Reason is a demand that may govern.
type Reason string

// The reasons.
const (
	ByTable Reason = "table ampacity"
	ByHeat  Reason = "heat balance"
	ByDrop  Reason = "voltage drop"
	ByFault Reason = "short circuit"
)

// Test is one demand on one candidate. Use is demand over what is allowed: up
// to 1 is within. It is NaN where unknown or not asked.
type Test struct {
	Allowed float64 // A, A, V and A·√s in turn; NaN where unknown or not asked
	Use     float64
	Verdict Verdict
}

// Row is one candidate held against the need. Ampacity by table and by physics
// stay two verdicts: a table holds its own margin and is what an inspector asks
// for, physics knows this ambient and bundle.
type Row struct {
	Name        string
	Table       Test    // against the table's amperes times all factors
	Heat        Test    // against the amperes that warm the conductor to its limit
	Temperature float64 // K of the conductor at the current; +Inf where it melts
	Drop        Test    // against the allowed volts
	Volts       float64 // lost over the path with this conductor at Temperature
	Fault       Test    // I·√t against k·S
	Short       *Withstand
	Governs     Reason // the demand with the highest use; "" where none is known
}

// Smallest holds the index of the candidate of least section that meets drop
// and fault and, in turn, the table, the heat balance, and both; −1 where there
// is none. Where a table has no figure for a candidate it is not met. Refused
// is why the next smaller one fails both, "" where there is no smaller one.
type Smallest struct {
	ByTable, ByHeat, ByBoth int
	Refused                 Reason
}

// Choose holds every candidate against a need, in the order given. The error
// names the candidate or the demand that is out of range.
func Choose(need Need, candidates []Candidate) ([]Row, Smallest, error) {
	if err := need.check(); err != nil {
		return nil, Smallest{}, err
	}
	rows := make([]Row, 0, len(candidates))
	for _, c := range candidates {
		r, err := hold(need, c)
		if err != nil {
			return nil, Smallest{}, fmt.Errorf("cable %s: %w", c.Name, err)
		}
		rows = append(rows, r)
	}
	return rows, smallest(rows, candidates), nil
}

func (n Need) check() error {
	switch {
	case !(n.Current >= 0) || math.IsInf(n.Current, 1):
		return bad("the current", n.Current, "A", "0 or more")
	case !(n.Length >= 0) || math.IsInf(n.Length, 1):
		return bad("the length", n.Length, "m", "0 or more")
	case n.Drop <= 0:
		return bad("the voltage drop allowed", n.Drop, "V", "more than 0")
	}
	return nil
}

// test compares a demand; a missing allowance is unknown.
func test(demand, allowed float64) Test {
	switch use := demand / allowed; {
	case math.IsNaN(allowed):
		return Test{math.NaN(), math.NaN(), Unknown}
	case demand == 0:
		return Test{allowed, 0, Within}
	case use <= 1+1e-9: // so that a demand equal to a product of factors is within
		return Test{allowed, use, Within}
	default:
		return Test{allowed, use, Over}
	}
}

// none is a demand that is not made.
func none() Test { return Test{math.NaN(), math.NaN(), NotAsked} }

func hold(need Need, c Candidate) (Row, error) {
	l, err := newLine(c.Cable, need.Place)
	if err != nil {
		return Row{}, err
	}
	if !(c.Limit > 0 && c.Limit < Melting) {
		return Row{}, bad("the temperature limit", c.Limit, "K", "a temperature in kelvin below 1357 K")
	}
	r := Row{Name: c.Name, Table: test(need.Current, c.corrected()), Heat: test(need.Current, l.ampacity(c.Limit)), Drop: none(), Fault: none()}
	r.Temperature = l.state(l.rest(need.Current), need.Current).Conductor
	if err := r.drop(need, c); err != nil {
		return Row{}, err
	}
	if need.Fault != nil {
		f := *need.Fault
		f.Start, f.Limit = c.Limit, c.ShortLimit
		w, err := Copper.Bear(c.Cable.Section, f)
		if err != nil {
			return Row{}, err
		}
		r.Short = &w
		r.Fault = test(f.Current*math.Sqrt(f.Time), w.Factor*c.Cable.Section)
	}
	r.govern()
	return r, nil
}

// corrected gives the table's amperes times all factors.
func (c Candidate) corrected() float64 {
	amps := c.Table
	for _, f := range c.Factors {
		amps *= f.Value
	}
	return amps
}

// drop fills the voltage lost, at the temperature that the current makes.
func (r *Row) drop(need Need, c Candidate) error {
	r.Volts = math.Inf(1)
	if !math.IsInf(r.Temperature, 1) {
		path := append([]Segment{{R20: c.Cable.R20, Length: need.Length, Temperature: r.Temperature}}, need.Rest...)
		var err error
		if r.Volts, _, err = Drop(need.Current, path); err != nil {
			return err
		}
	}
	if !math.IsNaN(need.Drop) {
		r.Drop = test(r.Volts, need.Drop)
	}
	return nil
}

// govern finds the demand with the highest use, the first of equals.
func (r *Row) govern() {
	highest := math.Inf(-1)
	for _, one := range r.tests() {
		if one.Use > highest {
			highest, r.Governs = one.Use, one.reason
		}
	}
}

type reasoned struct {
	Test
	reason Reason
}

func (r *Row) tests() []reasoned {
	return []reasoned{{r.Table, ByTable}, {r.Heat, ByHeat}, {r.Drop, ByDrop}, {r.Fault, ByFault}}
}

// met reports whether a demand is met or not made.
func (t Test) met() bool { return t.Verdict == Within || t.Verdict == NotAsked }

func smallest(rows []Row, candidates []Candidate) Smallest {
	s := Smallest{-1, -1, -1, ""}
	lower := func(best *int, i int) {
		if *best < 0 || candidates[i].Cable.Section < candidates[*best].Cable.Section {
			*best = i
		}
	}
	for i := range rows {
		r := &rows[i]
		if !r.Drop.met() || !r.Fault.met() {
			continue
		}
		if r.Table.met() {
			lower(&s.ByTable, i)
		}
		if r.Heat.met() {
			lower(&s.ByHeat, i)
		}
		if r.Table.met() && r.Heat.met() {
			lower(&s.ByBoth, i)
		}
	}
	s.Refused = refused(s.ByBoth, rows, candidates)
	return s
}

// refused gives the governing reason of the largest candidate below the chosen
// one, or of the largest of all where none is chosen.
func refused(chosen int, rows []Row, candidates []Candidate) Reason {
	next := -1
	for i := range candidates {
		section := candidates[i].Cable.Section
		smaller := chosen < 0 || section < candidates[chosen].Cable.Section
		if smaller && (next < 0 || section > candidates[next].Cable.Section) {
			next = i
		}
	}
	if next < 0 {
		return ""
	}
	return rows[next].failing()
}

// failing gives the demand that is missed most, or the first that is unknown.
func (r *Row) failing() Reason {
	why, highest := Reason(""), math.Inf(-1)
	for _, one := range r.tests() {
		switch {
		case one.Verdict == Over && one.Use > highest:
			why, highest = one.reason, one.Use
		case one.Verdict == Unknown && why == "":
			why = one.reason
		}
	}
	return why
}
