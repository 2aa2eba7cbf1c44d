package sharing

import (
	"errors"
	"math"
	"slices"

	"bankwright/internal/base/quantity"
	"bankwright/internal/engine/network"
	"bankwright/internal/model/bank"
)

// Ports is a bank seen from its batteries and its take-off, its wiring at one
// temperature. From it a Response comes for any resistances and for any
// batteries out. A bank's own Off batteries are like any other here: who is in
// is said at each call. It may be used by several goroutines at once.
type Ports struct {
	circ   *circuit
	wiring []network.Branch
	minus  []int // node of each battery's negative post
	plus   []int
}

// NewPorts lays out a bank. The error names a cable without a length.
func NewPorts(b *bank.Bank, cables quantity.Temperature) (*Ports, error) {
	n := len(b.Batteries)
	all := *b
	all.Batteries = slices.Clone(b.Batteries)
	for i := range all.Batteries {
		all.Batteries[i].Off = false
	}
	c, err := newCircuit(&all, cables)
	if err != nil {
		return nil, err
	}
	p := &Ports{circ: c, wiring: c.net.Branches[n:]}
	for i := range b.Batteries {
		p.minus = append(p.minus, c.node[b.Batteries[i].Minus()])
		p.plus = append(p.plus, c.node[b.Batteries[i].Plus()])
	}
	return p, nil
}

// Response is how a bank answers EMFs e (one a battery, V) and a draw D at the
// take-off (A), batteries of fixed resistance:
//
//	current of battery i  =  Σⱼ Current[i·N+j]·eⱼ + PerDraw[i]·D
//	volts at its posts    =  Σⱼ Posts[i·N+j]·eⱼ + PostsPerDraw[i]·D
//	volts at the take-off =  Σⱼ Voltage[j]·eⱼ − Resistance·D
//
// A battery that is out has current 0; its EMF has no effect. Where its posts
// lie on islands that nothing joins, its volts are NaN. Reciprocity makes
// Current symmetric and PerDraw equal to Voltage; both are kept as solved.
type Response struct {
	N                     int
	Current, Posts        []float64 // N·N, by battery
	PerDraw, PostsPerDraw []float64 // N
	Voltage               []float64 // N
	Resistance            float64   // ohm; NaN where the take-off cannot carry
	Carries               bool      // the batteries that are in reach both ends of the take-off
}

// Solve gives the response with these battery resistances, ohm, and these
// batteries in (nil: all).
func (p *Ports) Solve(resistance []float64, in []bool) (*Response, error) {
	n := len(p.plus)
	net, branch := p.network(resistance, in)
	f, err := network.Factorize(net)
	if err != nil {
		return nil, p.circ.name(err)
	}
	r := &Response{N: n, Current: make([]float64, n*n), Posts: make([]float64, n*n), Voltage: make([]float64, n),
		PerDraw: make([]float64, n), PostsPerDraw: make([]float64, n)}
	emf := make([]float64, len(net.Branches))
	for j := range n {
		if branch[j] < 0 {
			continue
		}
		emf[branch[j]] = 1
		sol, err := f.Solve(emf, nil)
		emf[branch[j]] = 0
		if err != nil {
			return nil, p.circ.name(err)
		}
		for i := range n {
			r.Posts[i*n+j] = sol.Potential[p.plus[i]] - sol.Potential[p.minus[i]]
			if branch[i] >= 0 {
				r.Current[i*n+j] = sol.Current[branch[i]]
			}
		}
		r.Voltage[j] = p.circ.takeoffVoltage(sol)
	}
	p.islands(r, net)
	return r, p.draw(r, f, emf, branch)
}

// network is the wiring and the batteries that are in, with the branch of each
// battery, -1 where it is out.
func (p *Ports) network(resistance []float64, in []bool) (network.Network, []int) {
	n := len(p.plus)
	net := network.Network{Nodes: len(p.circ.ends), Branches: make([]network.Branch, 0, len(p.wiring)+n)}
	branch := make([]int, n)
	for i := range n {
		branch[i] = -1
		if in == nil || in[i] {
			branch[i] = len(net.Branches)
			net.Branches = append(net.Branches, network.Branch{From: p.minus[i], To: p.plus[i], Resistance: resistance[i]})
		}
	}
	net.Branches = append(net.Branches, p.wiring...)
	return net, branch
}

// draw adds the response to one ampere at the take-off, or notes that none can
// flow there.
func (p *Ports) draw(r *Response, f *network.Factor, emf []float64, branch []int) error {
	sol, err := f.Solve(emf, p.circ.injections(1))
	var floating *network.FloatingError
	if errors.As(err, &floating) {
		r.Resistance = math.NaN()
		return nil
	}
	if err != nil {
		return p.circ.name(err)
	}
	r.Carries, r.Resistance = true, -p.circ.takeoffVoltage(sol)
	for i, b := range branch {
		r.PostsPerDraw[i] += sol.Potential[p.plus[i]] - sol.Potential[p.minus[i]]
		if b >= 0 {
			r.PerDraw[i] = sol.Current[b]
		}
	}
	return nil
}

// islands marks the posts between which nothing says what voltage lies.
func (p *Ports) islands(r *Response, net network.Network) {
	whole := circuit{ends: p.circ.ends, net: net}
	part := whole.joined(func(int) bool { return true })
	for i := range p.plus {
		if part[p.plus[i]] != part[p.minus[i]] {
			r.PostsPerDraw[i] = math.NaN()
		}
	}
}
