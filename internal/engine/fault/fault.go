// Package fault says what flows into a dead short: at every positive place of
// a bank, across the posts of each battery, and through each cable and part on
// the way, so that devices can be rated. It also holds the rise of such a
// current through the loop's inductance and the resistance of a battery from
// two discharge readings.
//
// # Method
//
// A bank with fixed EMFs and resistances is linear, so that a short at a place
// is a voltage behind a resistance: the open-circuit voltage between the place
// and the negative take-off, over the resistance seen there with the EMFs at
// nil (Thévenin). Drawing just that current at the place gives the flow in
// every branch. What the others push into a short across one battery's posts
// is the same with that battery taken out: across a dead short its own current
// is its EMF over its own resistance and touches no other.
//
// A dead short is the worst that the batteries can give. An arc, a long cable
// or a battery whose protection opens leave less. Chargers, alternators and the
// capacitors of inverters are not counted: what they add to a short is theirs
// to say.
package fault

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
)

// Conditions are what the batteries are and how warm the cables are while the
// fault flows. The caller decides them. For the most: EMF as given, else
// open-circuit at full charge; the fault resistance; cables cool. For the
// least: empty, cold, aged, cables hot.
type Conditions struct {
	EMF        []float64            // V, one a battery of the bank
	Resistance []float64            // ohm, likewise, above zero
	Cables     quantity.Temperature // K
	Bare       bool                 // parts whose resistance is only assumed have next to none: copper that may not be there makes a short no weaker
	Bridged    string               // a part that has next to none of its own, whoever told it; "" none
}

// Options set what a bank does not say.
type Options struct {
	Most  Conditions
	Least *Conditions // nil: the least is not computed
}

// Source is a bank as seen between two of its places.
type Source struct {
	EMF        float64 // V between them when open; NaN where nothing joins them
	Resistance float64 // ohm; +Inf where nothing joins them
	Current    float64 // A of a dead short, positive out of the first place; 0 where nothing joins them
}

// none is what is seen between places that nothing joins.
func none() Source { return Source{EMF: math.NaN(), Resistance: math.Inf(1)} }

// Joined reports whether anything joins the two places, so that current can
// flow.
func (s Source) Joined() bool { return !math.IsInf(s.Resistance, 1) }

// Behind gives the current in A when a further resistance in ohm, zero or
// more, lies in the way: leads on to the fault, an arc taken as a resistance.
// It is 0 where nothing joins the places, NaN for a resistance below zero or
// NaN.
func (s Source) Behind(ohm float64) float64 {
	switch {
	case !(ohm >= 0):
		return math.NaN()
	case !s.Joined():
		return 0
	}
	return s.EMF / (s.Resistance + ohm)
}

// Point is a place from which a dead short to the negative take-off is asked.
type Point struct {
	Place       bank.End
	Most, Least Source // Least is the zero Source where it was not asked for
}

// Across is a dead short over the terminals of a device, from its end a to its
// end b, so through its own leads out and back.
type Across struct {
	Device      string
	Most, Least Source
}

// Into is what all others push into a short across one battery's own posts,
// positive from its positive post to its negative one. An off battery has one
// too: its posts stay as joints.
type Into struct {
	Battery     string
	Most, Least Source
}

// Through is the largest current that one cable, two-ended part or stretch of
// a bar carries, with the Most conditions, over shorts at all points and across
// all devices.
type Through struct {
	ID       string
	From, To bank.End
	Current  float64  // A, positive from From to To
	Place    bank.End // where the short is then; zero where it never carries any
	Back     bank.End // where that short leads: the negative take-off or a device's end b
}

// Result is a bank's faults.
type Result struct {
	Points  []Point   // posts in the order of the batteries, then ends of the parts
	Into    []Into    // in the order of the batteries
	Across  []Across  // in the order of the parts: of each that draws or charges
	Takeoff *Short    // at the take-off, with the Most conditions; nil where its two ends are one
	Least   *Short    // likewise with the Least; nil also where that was not asked for
	Through []Through // cables in the order of the bank, then parts
}

// maxBatteries bounds the time, which grows with the square of their number. A
// limit of ours, far above any bank of this trade.
const maxBatteries = 1024

// same is how much larger a current must be to count as larger: two places
// alike must not change their order by rounding.
const same = 1e-9

// Solve gives the faults of a bank.
//
// The points are all positive posts, and the ends of studs, bars and two-ended
// parts that cables and closed parts join to the positive take-off or to a
// positive post (of a string's lower battery too: its centre taps) without a
// battery between, and the take-off itself. A place that is so joined to the
// negative take-off has its potential and is none. Off batteries give nothing,
// open switches are open.
//
// Errors: those of New, and more than 1024 batteries.
func Solve(b *bank.Bank, o Options) (Result, error) {
	var r Result
	if n := len(b.Batteries); n > maxBatteries {
		return r, fmt.Errorf("faults are computed for at most %d batteries, the bank has %d; ask about a part of it", maxBatteries, n)
	}
	most, err := New(b, o.Most)
	if err != nil {
		return r, err
	}
	places := most.Places()
	for _, e := range places {
		r.Points = append(r.Points, Point{Place: e})
	}
	for i := range b.Batteries {
		r.Into = append(r.Into, Into{Battery: b.Batteries[i].ID})
	}
	for _, p := range most.devices() {
		r.Across = append(r.Across, Across{Device: p.ID})
	}
	if r.Takeoff, err = most.fill(&r, func(p *Point) *Source { return &p.Most }, func(i *Into) *Source { return &i.Most }); err != nil {
		return r, err
	}
	if err = most.across(&r, func(a *Across) *Source { return &a.Most }); err != nil {
		return r, err
	}
	if r.Through, err = most.through(places); err != nil || o.Least == nil {
		return r, err
	}
	least, err := New(b, *o.Least)
	if err != nil {
		return r, fmt.Errorf("least fault current: %w", err)
	}
	if r.Least, err = least.fill(&r, func(p *Point) *Source { return &p.Least }, func(i *Into) *Source { return &i.Least }); err != nil {
		return r, err
	}
	return r, least.across(&r, func(a *Across) *Source { return &a.Least })
}

// fill sets one of the two sources of each point and battery, and gives the
// short at the take-off.
func (c *Circuit) fill(r *Result, point func(*Point) *Source, into func(*Into) *Source) (*Short, error) {
	var err error
	to := c.bank.Takeoff
	for i := range r.Points {
		if *point(&r.Points[i]), err = c.Between(r.Points[i].Place, to.Negative); err != nil {
			return nil, err
		}
	}
	for i := range r.Into {
		if *into(&r.Into[i]), err = c.Into(i); err != nil {
			return nil, err
		}
	}
	if c.net[c.node[to.Positive]] == c.net[c.node[to.Negative]] {
		return nil, nil
	}
	return c.Short(to.Positive, to.Negative)
}

// through finds the largest current of each cable and part.
func (c *Circuit) through(places []bank.End) ([]Through, error) {
	all := make([]Through, len(c.flows))
	for i, f := range c.flows {
		all[i] = Through{ID: f.id, From: f.from, To: f.to}
	}
	look := func(from, to bank.End) error {
		s, err := c.Short(from, to)
		if err != nil {
			return err
		}
		for i, f := range s.Flows {
			if t := &all[i]; math.Abs(f.Current) > math.Abs(t.Current)*(1+same) {
				t.Current, t.Place, t.Back = f.Current, from, to
			}
		}
		return nil
	}
	for _, place := range places {
		if err := look(place, c.bank.Takeoff.Negative); err != nil {
			return nil, err
		}
	}
	for _, p := range c.devices() {
		if err := look(p.Ends()[0], p.Ends()[1]); err != nil {
			return nil, err
		}
	}
	return all, nil
}
