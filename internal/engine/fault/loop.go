package fault

import (
	"fmt"

	"bankwright/internal/engine/network"
	"bankwright/internal/model/bank"
)

// Share is how one ampere out of the first of two places and back into the
// second splits over a bank, the EMFs at nil: what the current of a short does
// once it has settled, and by which its rise is worked out.
//
// The time constant of a network of resistances and inductances is told by it.
// With i the last currents for one ampere of the short and M the inductances of
// the branches, own and mutual, L = Σ iⱼ·iₖ·Mⱼₖ is the loop's inductance by the
// energy of its field, and L over the resistance seen is exactly the mean time
// by which the current lags behind a step: ∫(1 − i(t)/i(∞))dt. In one loop that
// is L/R.
type Share struct {
	Batteries []float64 // A, positive from − to +; 0 where off or taken out
	Flows     []Flow    // cables in the order of the bank, then closed parts
}

// Share gives the split between two places; ok is false where nothing joins
// them. The errors are those of Between.
func (c *Circuit) Share(from, to bank.End) (s Share, ok bool, err error) {
	if err := c.check(from, to); err != nil {
		return Share{}, false, err
	}
	return c.share(c.factor, -1, c.node[from], c.node[to])
}

// IntoShare is Share for a short across the posts of battery k, that battery
// taken out.
func (c *Circuit) IntoShare(k int) (s Share, ok bool, err error) {
	f, _, out, err := c.without(k)
	if err != nil {
		return Share{}, false, err
	}
	one := &c.bank.Batteries[k]
	return c.share(f, out, c.node[one.Plus()], c.node[one.Minus()])
}

// IntoShort is the short across the posts of battery k, that battery taken
// out, with what flows everywhere: what the others push through its own leads.
func (c *Circuit) IntoShort(k int) (*Short, error) {
	source, err := c.Into(k)
	if err != nil {
		return nil, err
	}
	f, still, out, err := c.without(k)
	if err != nil {
		return nil, err
	}
	one := &c.bank.Batteries[k]
	from, to := c.node[one.Plus()], c.node[one.Minus()]
	sol := *still
	if source.Joined() {
		if sol, err = f.Solve(nil, c.drawn(from, to, source.Current)); err != nil {
			return nil, c.name(err)
		}
	}
	if err := sol.Check(); err != nil {
		return nil, err
	}
	s := &Short{From: one.Plus(), To: one.Minus(), Source: source, Residual: sol.Residual}
	s.Batteries, s.Flows = c.spread(sol.Current, out)
	return s, nil
}

// without is the network without battery k, and which branch it lacks; -1
// where the battery is off and has none.
func (c *Circuit) without(k int) (*network.Factor, *network.Solution, int, error) {
	if k < 0 || k >= len(c.battery) {
		return nil, nil, 0, fmt.Errorf("fault: battery number %d; the bank has %d", k, len(c.battery))
	}
	out := c.battery[k]
	if out < 0 {
		return c.factor, &c.still, -1, nil
	}
	rest := network.Network{Nodes: c.branches.Nodes}
	rest.Branches = append(rest.Branches, c.branches.Branches[:out]...)
	rest.Branches = append(rest.Branches, c.branches.Branches[out+1:]...)
	f, err := network.Factorize(rest)
	if err != nil {
		return nil, nil, 0, c.name(err)
	}
	still, err := f.Solve(nil, nil)
	if err != nil {
		return nil, nil, 0, c.name(err)
	}
	return f, &still, out, nil
}

func (c *Circuit) share(f *network.Factor, out, from, to int) (Share, bool, error) {
	quiet := c.quiet
	if out >= 0 {
		quiet = quiet[1:]
	}
	s, err := c.seen(f, quiet, &c.still, from, to)
	if err != nil || !s.Joined() {
		return Share{}, false, err
	}
	unit, err := f.Solve(quiet, c.drawn(from, to, 1))
	if err != nil {
		return Share{}, false, c.name(err)
	}
	var one Share
	one.Batteries, one.Flows = c.spread(unit.Current, out)
	return one, true, nil
}

// spread gives the currents of branches to batteries and flows; branch out is
// not among them.
func (c *Circuit) spread(current []float64, out int) ([]float64, []Flow) {
	at := func(branch int) float64 {
		switch {
		case out >= 0 && branch == out:
			return 0
		case out >= 0 && branch > out:
			return current[branch-1]
		}
		return current[branch]
	}
	batteries := make([]float64, len(c.battery))
	for i, n := range c.battery {
		if n >= 0 {
			batteries[i] = at(n)
		}
	}
	var flows []Flow
	for _, f := range c.flows {
		flows = append(flows, Flow{f.id, f.from, f.to, at(f.branch)})
	}
	return batteries, flows
}
