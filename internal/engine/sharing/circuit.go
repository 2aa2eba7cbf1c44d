package sharing

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/engine/network"
	"bankwright/internal/model/bank"
)

// circuit is a bank as a network, with what each branch stands for.
type circuit struct {
	bank    *bank.Bank
	ends    []bank.End // by node
	node    map[bank.End]int
	net     network.Network
	battery []int // branch of each battery, -1 where it is off
	cable   []int // branch of each cable
	parts   []partBranch
}

type partBranch struct {
	branch   int
	id       string
	from, to bank.End
}

// newCircuit makes the network at a cable temperature. Batteries that are off
// and open switches have no branch; their ends stay as joints.
func newCircuit(b *bank.Bank, t quantity.Temperature) (*circuit, error) {
	c := &circuit{bank: b, ends: b.Ends(), node: map[bank.End]int{}}
	for i, e := range c.ends {
		c.node[e] = i
	}
	c.net.Nodes = len(c.ends)
	for i := range b.Batteries {
		bat := &b.Batteries[i]
		c.battery = append(c.battery, -1)
		if !bat.Off {
			c.battery[i] = c.add(bat.Minus(), bat.Plus(), float64(bat.Resistance.V), float64(bat.EMF.V))
		}
	}
	for i := range b.Cables {
		cable := &b.Cables[i]
		if !cable.HasResistance() {
			return nil, fmt.Errorf("cable %s has no length: %s; give length or resistance", cable.ID, lengthWhy(cable))
		}
		c.cable = append(c.cable, c.add(cable.From, cable.To, float64(cable.Resistance(t)), 0))
	}
	for i := range b.Parts {
		c.addPart(&b.Parts[i])
	}
	return c, nil
}

func lengthWhy(c *bank.Cable) string {
	if c.RouteFailure != "" {
		return c.RouteFailure
	}
	return "an end of it has no place to route to"
}

func (c *circuit) add(from, to bank.End, r, emf float64) int {
	c.net.Branches = append(c.net.Branches, network.Branch{From: c.node[from], To: c.node[to], Resistance: r, EMF: emf})
	return len(c.net.Branches) - 1
}

// addPart adds the stretches of a bar, or the way through a two-ended part.
func (c *circuit) addPart(p *bank.Part) {
	ends := p.Joined()
	if p.Open || len(ends) < 2 {
		return
	}
	each := float64(p.Resistance.V) / float64(len(ends)-1)
	for i := 1; i < len(ends); i++ {
		c.parts = append(c.parts, partBranch{c.add(ends[i-1], ends[i], each, 0), p.ID, ends[i-1], ends[i]})
	}
}

// factorize prepares the network, and names places where it cannot.
func (c *circuit) factorize() (*network.Factor, error) {
	f, err := network.Factorize(c.net)
	return f, c.name(err)
}

// name puts the job's places into a network's error.
func (c *circuit) name(err error) error {
	var branch *network.BranchError
	var floating *network.FloatingError
	switch {
	case errors.As(err, &branch):
		return fmt.Errorf("%s: %s", c.branchName(branch.Branch), branch.Reason)
	case errors.As(err, &floating):
		var names []string
		for _, n := range floating.Nodes {
			names = append(names, c.ends[n].String())
		}
		return fmt.Errorf("current cannot come back: %s hang together, but nothing that is on joins them to the other end of the take-off%s", shortList(names), c.offWords())
	}
	return err
}

func (c *circuit) branchName(i int) string {
	for n, b := range c.battery {
		if b == i {
			return "battery " + c.bank.Batteries[n].ID
		}
	}
	for n, b := range c.cable {
		if b == i {
			return "cable " + c.bank.Cables[n].ID
		}
	}
	for _, p := range c.parts {
		if p.branch == i {
			return "part " + p.id
		}
	}
	return "a part"
}

func (c *circuit) offWords() string {
	var off []string
	for i := range c.bank.Batteries {
		if c.bank.Batteries[i].Off {
			off = append(off, c.bank.Batteries[i].ID)
		}
	}
	if off == nil {
		return ""
	}
	return " (off: " + shortList(off) + ")"
}

func shortList(names []string) string {
	if len(names) > 8 {
		return strings.Join(names[:8], ", ") + fmt.Sprintf(" and %d more", len(names)-8)
	}
	return strings.Join(names, ", ")
}

// groups gives for each battery how many batteries lie between it and the
// negative take-off, -1 where there is no way.
func (c *circuit) groups() []int {
	nets := c.nets()
	at := make([][]int, len(nets)) // batteries by net
	for i := range c.bank.Batteries {
		bat := &c.bank.Batteries[i]
		for _, e := range []bank.End{bat.Minus(), bat.Plus()} {
			n := nets[c.node[e]]
			at[n] = append(at[n], i)
		}
	}
	const far = math.MaxInt
	distance := make([]int, len(nets))
	for i := range distance {
		distance[i] = far
	}
	start := nets[c.node[c.bank.Takeoff.Negative]]
	distance[start] = 0
	for queue := []int{start}; len(queue) > 0; queue = queue[1:] {
		for _, i := range at[queue[0]] {
			bat := &c.bank.Batteries[i]
			for _, e := range []bank.End{bat.Minus(), bat.Plus()} {
				if n := nets[c.node[e]]; distance[n] == far {
					distance[n] = distance[queue[0]] + 1
					queue = append(queue, n)
				}
			}
		}
	}
	groups := make([]int, len(c.bank.Batteries))
	for i := range groups {
		bat := &c.bank.Batteries[i]
		groups[i] = min(distance[nets[c.node[bat.Minus()]]], distance[nets[c.node[bat.Plus()]]])
		if groups[i] == far {
			groups[i] = -1
		}
	}
	return groups
}

// nets numbers the sets of ends that cables and parts join; the number of a
// set is one of its nodes.
func (c *circuit) nets() []int {
	isBattery := map[int]bool{}
	for _, b := range c.battery {
		isBattery[b] = true
	}
	return c.joined(func(branch int) bool { return !isBattery[branch] })
}

// joined numbers the sets of ends that the chosen branches join.
func (c *circuit) joined(counts func(branch int) bool) []int {
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
	for i, b := range c.net.Branches {
		if counts(i) {
			up[root(b.From)] = root(b.To)
		}
	}
	for i := range up {
		up[i] = root(i)
	}
	return up
}
