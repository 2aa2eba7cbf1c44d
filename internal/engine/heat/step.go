package heat

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Modes is a network with its ties of the moment, worked out: how it relaxes.
type Modes struct {
	net  *Net
	ties []Tie
	rate []float64   // 1/s, falling in time constant
	to   [][]float64 // modes by node: amplitude of mode k is Σ_i to[k][i]·T_i
	from [][]float64 // nodes by mode
}

// Modes works the network out with further ties, such as a fan that runs. The
// error names what is wrong, or says that a node hangs on nothing: its
// temperature would rise without end.
func (n *Net) Modes(further ...Tie) (*Modes, error) {
	if err := n.check(); err != nil {
		return nil, err
	}
	if err := n.checkTies(further); err != nil {
		return nil, err
	}
	ties := append(append([]Tie{}, n.Ties...), further...)
	size := len(n.Capacity)
	var eigen mat.EigenSym
	if !eigen.Factorize(n.scaled(ties), true) {
		return nil, errors.New("heat: the network's modes were not found; look for capacities that differ beyond reason")
	}
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	m := &Modes{net: n, ties: ties, rate: eigen.Values(nil)}
	const still = 1e-9 // of the fastest: a slower mode is not tied to anything
	if m.rate[0] <= still*m.rate[size-1] {
		return nil, errors.New("heat: a part of the network is tied to no given temperature; join it to the air or to a wall")
	}
	for k := range size {
		to, from := make([]float64, size), make([]float64, size)
		for i := range size {
			root := math.Sqrt(n.Capacity[i])
			to[i], from[i] = vectors.At(i, k)*root, vectors.At(i, k)/root
		}
		m.to, m.from = append(m.to, to), append(m.from, from)
	}
	return m, nil
}

// scaled is C^-½ G C^-½.
func (n *Net) scaled(ties []Tie) *mat.SymDense {
	size := len(n.Capacity)
	g := mat.NewSymDense(size, nil)
	add := func(i, j int, v float64) {
		g.SetSym(i, j, g.At(i, j)+v/math.Sqrt(n.Capacity[i]*n.Capacity[j]))
	}
	for _, l := range n.Links {
		add(l.A, l.A, l.G)
		add(l.B, l.B, l.G)
		add(l.A, l.B, -l.G)
	}
	for _, t := range ties {
		add(t.Node, t.Node, t.G)
	}
	return g
}

// Times gives the time constants, s, longest first.
func (m *Modes) Times() []float64 {
	all := make([]float64, len(m.rate))
	for k, r := range m.rate {
		all[k] = 1 / r
	}
	return all
}

// Steady gives the temperatures, K, at which nothing changes any more, for
// given places, K, and heat into the nodes, W.
func (m *Modes) Steady(places, heat []float64) ([]float64, error) {
	return m.Step(math.Inf(1), make([]float64, len(m.rate)), places, heat)
}

// Step gives the temperatures, K, after dt seconds from those given, the places
// and the heat held still. The error says which input has the wrong length, or
// that dt is negative.
func (m *Modes) Step(dt float64, now, places, heat []float64) ([]float64, error) {
	size := len(m.rate)
	switch {
	case len(now) != size || len(heat) != size:
		return nil, fmt.Errorf("heat: %d temperatures and %d heats for %d nodes", len(now), len(heat), size)
	case len(places) != m.net.Places:
		return nil, fmt.Errorf("heat: %d given temperatures for %d places", len(places), m.net.Places)
	case !(dt >= 0):
		return nil, fmt.Errorf("heat: a step of %g s; give 0 or more", dt)
	}
	drive := m.drive(places, heat)
	next := make([]float64, size)
	for k, rate := range m.rate {
		amplitude, push := 0.0, 0.0
		for i := range size {
			amplitude += float64(m.to[k][i] * now[i])
			push += float64(m.from[k][i] * drive[i])
		}
		end := push / rate
		if keep := math.Exp(-rate * dt); keep > 0 {
			end += float64(keep * (amplitude - end))
		}
		for i := range size {
			next[i] += float64(m.from[k][i] * end)
		}
	}
	return next, nil
}

// drive is what heats each node, W, were all at 0 K.
func (m *Modes) drive(places, heat []float64) []float64 {
	drive := append([]float64{}, heat...)
	for _, t := range m.ties {
		drive[t.Node] += float64(t.G * places[t.Place])
	}
	return drive
}

// pace is a step of one length worked out, for many steps of it.
type pace struct {
	modes *Modes
	keep  [][]float64 // what a step leaves of each node's temperature in each
	push  [][]float64 // K that a step of one watt into each node adds to each
}

// paceOf works out a step of dt seconds.
func (m *Modes) paceOf(dt float64) *pace {
	size := len(m.rate)
	p := &pace{modes: m}
	for i := range size {
		keep, push := make([]float64, size), make([]float64, size)
		for k, rate := range m.rate {
			left := math.Exp(-rate * dt)
			for j := range size {
				keep[j] += float64(m.from[k][i] * left * m.to[k][j])
				push[j] += float64(m.from[k][i] * (1 - left) / rate * m.from[k][j])
			}
		}
		p.keep, p.push = append(p.keep, keep), append(p.push, push)
	}
	return p
}

// added is what given temperatures and heat add in one step.
func (p *pace) added(places, heat []float64) []float64 {
	return product(p.push, p.modes.drive(places, heat), make([]float64, len(p.push)))
}

// step writes the temperatures after one step over next.
func (p *pace) step(now, added, next []float64) {
	product(p.keep, now, next)
	for i, a := range added {
		next[i] += a
	}
}

func product(rows [][]float64, by, into []float64) []float64 {
	for i, row := range rows {
		sum := 0.0
		for j, v := range row {
			sum += float64(v * by[j])
		}
		into[i] = sum
	}
	return into
}
