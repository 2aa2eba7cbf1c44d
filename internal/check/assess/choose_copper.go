package assess

import (
	"math"
	"slices"

	"bankwright/internal/base/quantity"
)

// copper is how much of it the open cables take, m³ of one conductor each.
func (c *chooser) copper(at []int) float64 {
	sum := 0.0
	for n, i := range c.open {
		sum += c.bulk(n, i, at[n])
	}
	return sum
}

// bulk is what one open cable takes at a size.
func (c *chooser) bulk(n, cable, size int) float64 {
	return float64(float64(c.job.Bank.Cables[cable].Length.V) * float64(c.job.cat.Conductor(c.sizes[size]).Section))
}

// first reports whether a cable stands for itself or, of those that share one
// size, for all of them.
func (c *chooser) first(n int) bool {
	return !c.shared[n] || slices.Index(c.shared, true) == n
}

// shrink takes back sizes above the least that no limit asks for, each time the
// step that saves the most copper; of a cable that is held none.
func (c *chooser) shrink(st *state, at, least []int, held int) (*state, []int, error) {
	stuck := make([]bool, len(c.open))
	for {
		best, most := -1, 0.0
		for n := range c.open {
			if n == held || stuck[n] || !c.first(n) || !c.above(at, least, n) {
				continue
			}
			if saved := c.copper(at) - c.copper(c.step(at, n, -1)); saved > most {
				best, most = n, saved
			}
		}
		if best < 0 {
			return st, at, nil
		}
		try := c.step(at, best, -1)
		if !c.even(st, try, least) {
			stuck[best] = true
			continue
		}
		next, err := c.state(try)
		if err != nil {
			return nil, nil, err
		}
		if c.worse(st, next) != "" {
			stuck[best] = true
			continue
		}
		st, at = next, try
		clear(stuck) // what was uneven may be even now
	}
}

// above reports whether a cable, or all that share its size, may be thinner
// than they are.
func (c *chooser) above(at, least []int, n int) bool {
	for k := range at {
		if (k == n || c.shared[n] && c.shared[k]) && at[k] <= least[k] {
			return false
		}
	}
	return true
}

// even reports whether no cable is thicker, for a drop's sake, than all longer
// ones of the same current: what a short lead gives is little at any size, and
// a fitter looks for the loss where the length is. What a cable needs by itself
// it may have, and so may ways side by side.
func (c *chooser) even(st *state, at, least []int) bool {
	long := func(n int) float64 { return float64(c.job.Bank.Cables[c.open[n]].Length.V) }
	carries := func(n int) float64 { return st.side.Lines[c.open[n]].Steady.Amps }
	for n := range at {
		if c.shared[n] || at[n] <= least[n] {
			continue
		}
		thickest := -1
		for m := range at {
			if long(m) > long(n)*overSlack && math.Abs(carries(m)-carries(n)) <= (1-wholeFlow)*carries(n) {
				thickest = max(thickest, at[m])
			}
		}
		if thickest >= 0 && at[n] > thickest {
			return false
		}
	}
	return true
}

// mostSteps is how many sizes one cable grows at a time, to see whether others
// can then shrink by more: from there on a step of the list is half as much
// again as what it replaces. Common practice, no source.
const mostSteps = 3

// exchange makes one cable thicker where others can then be so much thinner
// that all of them take less copper, until none can. Steps of a list are coarse,
// so that what is best by the metre, cables of one section all along, seldom is
// on it.
func (c *chooser) exchange(st *state, at, least []int) ([]int, error) {
	for {
		grown, next, err := c.trade(st, at, least)
		if err != nil || next == nil {
			return at, err
		}
		st, at = grown, next
	}
}

// trade looks for the first exchange that saves copper, nil where none does.
func (c *chooser) trade(st *state, at, least []int) (*state, []int, error) {
	now := c.copper(at)
	for n := range c.open {
		if !c.first(n) || !c.helps(st, n) {
			continue
		}
		for by := 1; by <= mostSteps; by++ {
			up := c.step(at, n, by)
			if slices.Max(up) > len(c.sizes)-1 || c.copper(up)-now > now-c.copper(least) {
				break // no others can save as much
			}
			if !c.even(st, up, least) || !c.promises(st, at, up, least, n) {
				continue
			}
			more, err := c.state(up)
			if err != nil {
				return nil, nil, err
			}
			if c.worse(st, more) != "" {
				continue
			}
			got, thin, err := c.shrink(more, up, least, n)
			if err != nil {
				return nil, nil, err
			}
			if c.copper(thin) < now/overSlack {
				return got, thin, nil
			}
		}
	}
	return nil, nil, nil
}

// margin is what a load may still lose, V, and what each open cable takes from
// it for each ohm more.
type margin struct {
	volts float64
	per   []float64
}

// margins lists those of all loads, in the straight line of small changes.
func (c *chooser) margins(st *state) []margin {
	var all []margin
	for _, f := range st.overs() {
		u, sc := st.unitOf(f.part), st.scenario(f.in())
		if u == nil || sc == nil {
			continue
		}
		flows := sc.Cables
		if f.drop {
			flows = st.nominalFlows()
		}
		m := margin{volts: max(0, f.volts)} // what is lost already is not to get worse
		for _, i := range c.open {
			warm := 1.0
			if t := st.side.Lines[i].Warm; t > 0 && !math.IsInf(t, 1) {
				warm += 0.00393 * (t - 293.15) // copper, IEC 60028
			}
			m.per = append(m.per, math.Abs(flows[i]*u.cables[i])*warm)
		}
		all = append(all, m)
	}
	return all
}

// nominalFlows is what each cable carries with all loads on, each at what it
// takes at the nominal voltage.
func (st *state) nominalFlows() []float64 {
	all := make([]float64, len(st.job.Bank.Cables))
	for n := range st.unit {
		u := &st.unit[n]
		p := st.job.Bank.Part(u.device)
		if p == nil || !p.Kind.Draws() {
			continue
		}
		amps, _, _ := p.Asks(quantity.Voltage(st.side.Nominal))
		for i, share := range u.cables {
			all[i] += float64(share * float64(amps))
		}
	}
	return all
}

// promises reports whether by the straight line an exchange saves copper: one
// cable has grown, and the others shrink as far as the loads' margins let them.
// It only spares the whole solve of those that cannot.
func (c *chooser) promises(st *state, at, up, least []int, held int) bool {
	all, now := c.margins(st), c.copper(at)
	c.spend(all, at, up)
	at = up
	stuck := make([]bool, len(c.open))
	for {
		best, most := -1, 0.0
		for n := range c.open {
			if n == held || stuck[n] || !c.first(n) || !c.above(at, least, n) {
				continue
			}
			if saved := c.copper(at) - c.copper(c.step(at, n, -1)); saved > most {
				best, most = n, saved
			}
		}
		if best < 0 {
			return c.copper(at) < now/overSlack
		}
		try := c.step(at, best, -1)
		if c.even(st, try, least) && c.spend(all, at, try) {
			at = try
			clear(stuck)
			continue
		} else if c.even(st, try, least) {
			c.spend(all, try, at)
		}
		stuck[best] = true
	}
}

// spend takes a change of sizes from the margins, and reports whether none is
// used up, give or take what the straight line is off.
func (c *chooser) spend(all []margin, from, to []int) bool {
	const off = 2e-3 // V
	fits := true
	for m := range all {
		for n, i := range c.open {
			if from[n] == to[n] {
				continue
			}
			more := float64(c.job.cat.Conductor(c.sizes[to[n]]).R20.V - c.job.cat.Conductor(c.sizes[from[n]]).R20.V)
			all[m].volts -= float64(all[m].per[n] * more * float64(c.job.Bank.Cables[i].Length.V))
		}
		fits = fits && all[m].volts > -off
	}
	return fits
}
