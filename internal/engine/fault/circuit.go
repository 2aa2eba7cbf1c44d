package fault

import (
	"errors"
	"fmt"

	"bankwright/internal/engine/network"
	"bankwright/internal/model/bank"
)

// Circuit is a bank under one set of conditions, ready for a short between any
// two of its places. It may be used by several goroutines at once.
type Circuit struct {
	bank     *bank.Bank
	node     map[bank.End]int
	ends     []bank.End // by node
	branches network.Network
	names    []string // by branch, for errors
	battery  []int    // branch of each battery, -1 where it is off
	flows    []flow   // cables, then parts
	net      []int    // by node: which set of ends cables and closed parts join
	factor   *network.Factor
	quiet    []float64 // no EMF, by branch
	still    network.Solution
}

type flow struct {
	branch   int
	id       string
	from, to bank.End
}

// New lays out a bank. It keeps b, which must not change meanwhile.
//
// Errors: a number of EMFs or resistances other than that of the batteries, a
// cable without length or resistance, a resistance that is not above zero, an
// EMF that is no number. They name the thing at fault.
func New(b *bank.Bank, with Conditions) (*Circuit, error) {
	n := len(b.Batteries)
	if len(with.EMF) != n || len(with.Resistance) != n {
		return nil, fmt.Errorf("fault: %d EMFs and %d resistances for %d batteries; give one of each for each", len(with.EMF), len(with.Resistance), n)
	}
	c := &Circuit{bank: b, node: map[bank.End]int{}, ends: b.Ends()}
	for i, e := range c.ends {
		c.node[e] = i
	}
	c.branches.Nodes = len(c.ends)
	for i := range b.Batteries {
		one := &b.Batteries[i]
		c.battery = append(c.battery, -1)
		if !one.Off {
			c.battery[i] = c.add("battery "+one.ID, one.Minus(), one.Plus(), with.Resistance[i], with.EMF[i])
		}
	}
	if err := c.addWiring(&with); err != nil {
		return nil, err
	}
	c.net = c.joined()
	var err error
	if c.factor, err = network.Factorize(c.branches); err != nil {
		return nil, c.name(err)
	}
	c.quiet = make([]float64, len(c.branches.Branches))
	if c.still, err = c.factor.Solve(nil, nil); err != nil {
		return nil, c.name(err)
	}
	return c, c.still.Check()
}

func (c *Circuit) add(name string, from, to bank.End, ohm, emf float64) int {
	c.branches.Branches = append(c.branches.Branches, network.Branch{From: c.node[from], To: c.node[to], Resistance: ohm, EMF: emf})
	c.names = append(c.names, name)
	return len(c.names) - 1
}

// addWiring adds cables, two-ended parts and the stretches of bars. An open
// switch has no branch and a device's two ends are not joined; their ends stay
// as joints.
func (c *Circuit) addWiring(with *Conditions) error {
	for i := range c.bank.Cables {
		one := &c.bank.Cables[i]
		if !one.HasResistance() {
			why := one.RouteFailure
			if why == "" {
				why = "an end of it has no place to route to"
			}
			return fmt.Errorf("cable %s has no length: %s; give length or resistance", one.ID, why)
		}
		n := c.add("cable "+one.ID, one.From, one.To, float64(one.Resistance(with.Cables)), 0)
		c.flows = append(c.flows, flow{n, one.ID, one.From, one.To})
	}
	for i := range c.bank.Parts {
		p := &c.bank.Parts[i]
		ends := p.Joined()
		if p.Open || len(ends) < 2 {
			continue
		}
		each := with.resistance(p) / float64(len(ends)-1)
		for k := 1; k < len(ends); k++ {
			n := c.add("part "+p.ID, ends[k-1], ends[k], each, 0)
			c.flows = append(c.flows, flow{n, p.ID, ends[k-1], ends[k]})
		}
	}
	return nil
}

// joined numbers the sets of ends that cables and closed parts join.
func (c *Circuit) joined() []int {
	up := make([]int, len(c.ends))
	for i := range up {
		up[i] = i
	}
	root := func(i int) int {
		for up[i] != i {
			up[i] = up[up[i]]
			i = up[i]
		}
		return i
	}
	for _, f := range c.flows {
		up[root(c.node[f.from])] = root(c.node[f.to])
	}
	for i := range up {
		up[i] = root(i)
	}
	return up
}

// name puts the job's names into a network's error.
func (c *Circuit) name(err error) error {
	var branch *network.BranchError
	if errors.As(err, &branch) {
		return fmt.Errorf("%s: %s", c.names[branch.Branch], branch.Reason)
	}
	return err
}
