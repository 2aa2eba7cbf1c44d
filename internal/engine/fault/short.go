package fault

import (
	"errors"
	"fmt"
	"math"

	"bankwright/internal/engine/network"
	"bankwright/internal/model/bank"
)

// Flow is the current through one cable, two-ended part or stretch of a bar,
// positive from From to To.
type Flow struct {
	ID       string
	From, To bank.End
	Current  float64 // A
}

// Short is a dead short between two places and what flows everywhere while it
// lasts. Where nothing joins the two places the flows are those of the bank at
// rest.
type Short struct {
	From, To bank.End
	Source
	Batteries []float64 // A, positive on discharge, in the order of the bank; 0 where off
	Flows     []Flow    // cables in the order of the bank, then closed parts
	Residual  float64   // A, largest node imbalance
}

// Through gives the current of the cable or part of that ID, of a bar the
// largest of its stretches in size; ok is false where there is none, as for an
// open switch.
func (s *Short) Through(id string) (amps float64, ok bool) {
	for _, f := range s.Flows {
		if f.ID == id && (!ok || math.Abs(f.Current) > math.Abs(amps)*(1+same)) {
			amps, ok = f.Current, true
		}
	}
	return amps, ok
}

// Between gives the bank as seen between two places, current positive out of
// the first. The error says that a place does not exist or that both are one.
func (c *Circuit) Between(from, to bank.End) (Source, error) {
	if err := c.check(from, to); err != nil {
		return Source{}, err
	}
	return c.seen(c.factor, c.quiet, &c.still, c.node[from], c.node[to])
}

// Short gives a dead short between two places, with all flows. The errors are
// those of Between.
func (c *Circuit) Short(from, to bank.End) (*Short, error) {
	source, err := c.Between(from, to)
	if err != nil {
		return nil, err
	}
	sol := c.still
	if source.Joined() {
		if sol, err = c.factor.Solve(nil, c.drawn(c.node[from], c.node[to], source.Current)); err != nil {
			return nil, c.name(err)
		}
	}
	if err := sol.Check(); err != nil {
		return nil, err
	}
	s := &Short{From: from, To: to, Source: source, Residual: sol.Residual, Batteries: make([]float64, len(c.battery))}
	for i, n := range c.battery {
		if n >= 0 {
			s.Batteries[i] = sol.Current[n]
		}
	}
	for _, f := range c.flows {
		s.Flows = append(s.Flows, Flow{f.id, f.from, f.to, sol.Current[f.branch]})
	}
	return s, nil
}

// Into gives what all others push into a short across the posts of battery k,
// its own share left out.
func (c *Circuit) Into(k int) (Source, error) {
	if k < 0 || k >= len(c.battery) {
		return Source{}, fmt.Errorf("fault: battery number %d; the bank has %d", k, len(c.battery))
	}
	one := &c.bank.Batteries[k]
	from, to := c.node[one.Plus()], c.node[one.Minus()]
	out := c.battery[k]
	if out < 0 {
		return c.seen(c.factor, c.quiet, &c.still, from, to)
	}
	rest := network.Network{Nodes: c.branches.Nodes}
	rest.Branches = append(rest.Branches, c.branches.Branches[:out]...)
	rest.Branches = append(rest.Branches, c.branches.Branches[out+1:]...)
	f, err := network.Factorize(rest)
	if err != nil {
		return Source{}, err
	}
	still, err := f.Solve(nil, nil)
	if err != nil {
		return Source{}, err
	}
	return c.seen(f, c.quiet[1:], &still, from, to)
}

// seen gives a network as seen between two nodes: its open-circuit voltage,
// and with its EMFs at nil what one ampere drops.
func (c *Circuit) seen(f *network.Factor, quiet []float64, still *network.Solution, from, to int) (Source, error) {
	unit, err := f.Solve(quiet, c.drawn(from, to, 1))
	var floating *network.FloatingError
	if errors.As(err, &floating) {
		return none(), nil
	}
	if err != nil {
		return Source{}, c.name(err)
	}
	s := Source{EMF: still.Potential[from] - still.Potential[to], Resistance: unit.Potential[to] - unit.Potential[from]}
	s.Current = s.EMF / s.Resistance
	return s, nil
}

// drawn are the currents into the nodes when amps leave at one and come back
// at another.
func (c *Circuit) drawn(from, to int, amps float64) []float64 {
	in := make([]float64, len(c.ends))
	in[from], in[to] = -amps, amps
	return in
}

func (c *Circuit) check(from, to bank.End) error {
	for _, e := range []bank.End{from, to} {
		if _, ok := c.node[e]; !ok {
			return fmt.Errorf("fault: the bank has no place %s; give a post or the end of a part", e)
		}
	}
	if from == to {
		return fmt.Errorf("fault: a short from %s to itself is none; give two places", from)
	}
	return nil
}
