package wiring

import (
	"fmt"
	"math/bits"
	"slices"
)

// Wiring is one tree for each rail and what it does. Slices over strings are
// indexed like Question.Strings.
type Wiring struct {
	// Positive and Negative are the cables, sorted as edge lists are (see
	// Search), and the take-offs.
	Positive, Negative Tree
	Copper             float64 // m, sum of all lengths of both rails
	Imbalance          float64 // largest share minus one
	// Ties is the number of equal wirings, this one included; 0 from Evaluate,
	// which does not look for others.
	Ties     uint64
	Currents []float64 // A, positive on discharge; 0 where off
	// Shares are currents over capacities, relative to the same of the whole
	// bank; 0 where off.
	Shares []float64
	// PositiveFlows and NegativeFlows are the currents in the cables of
	// Positive.Pairs and Negative.Pairs in A: the sum of the currents of the
	// strings beyond the cable as seen from the take-off.
	PositiveFlows, NegativeFlows []float64
	TakeoffVoltage               float64 // V
	Resistance                   float64 // ohm at the take-off, -dV/dI with the EMFs held
	Loss                         float64 // W in strings, cables and joints
	CableLoss                    float64 // W in cables and joints only
	// Outs has one entry for each string that is on, taken off by itself with
	// the take-off current held; empty where only one is on.
	Outs []Out
	// WorstOut is the index in Outs of the one with the largest share, the
	// first of equal ones; -1 where there is none.
	WorstOut int
}

// Out is what happens to the others when one string goes off.
type Out struct {
	String  int     // the one that is off
	Worst   int     // the one with the largest share then
	Share   float64 // its share of those that are left
	Current float64 // its current, A
}

// Evaluate solves one wiring, any at all: its roots need not be among the
// rail's, and the limit on cable ends is not looked at. The error says what is
// wrong with q or which tree is none.
func Evaluate(q *Question, positive, negative Tree) (Wiring, error) {
	if err := q.Check(); err != nil {
		return Wiring{}, err
	}
	p, err := newPlaced(&q.Positive, positive)
	if err != nil {
		return Wiring{}, fmt.Errorf("wiring: positive tree: %w", err)
	}
	n, err := newPlaced(&q.Negative, negative)
	if err != nil {
		return Wiring{}, fmt.Errorf("wiring: negative tree: %w", err)
	}
	w := Wiring{Positive: p.tree, Negative: n.tree, WorstOut: -1}
	b := newBank(q.Strings, q.Current, -1)
	s := newSolver(b)
	v := s.solveWiring(p, n)
	w.Imbalance = max(s.imbalance(p.matrix, n.matrix), 0)
	w.Currents = make([]float64, len(q.Strings))
	w.Shares = make([]float64, len(q.Strings))
	y := 0.0
	for k, i := range b.active {
		w.Currents[i] = s.amps[k]
		w.Shares[i] = s.share(k)
		w.Loss += float64(s.amps[k] * s.amps[k] * s.r[k])
		y += s.one[k]
	}
	w.TakeoffVoltage = b.mean + v
	w.Resistance = 1 / y
	w.PositiveFlows = p.flows(w.Currents)
	w.NegativeFlows = n.flows(w.Currents)
	w.CableLoss = p.loss(w.PositiveFlows) + n.loss(w.NegativeFlows)
	w.Loss += w.CableLoss
	w.Copper = float64(p.copper()+n.copper()) / 1e9
	w.takeOut(q, p, n)
	return w, nil
}

// solveWiring sets the currents of a wiring and returns the take-off voltage
// less Ē.
func (s *solver) solveWiring(p, n *placed) float64 {
	p.fill(s.bank)
	n.fill(s.bank)
	s.factor(p.matrix, n.matrix)
	return s.solveCurrents()
}

// takeOut switches each string off in turn.
func (w *Wiring) takeOut(q *Question, p, n *placed) {
	all := newBank(q.Strings, q.Current, -1).active
	if len(all) < 2 {
		return
	}
	for _, out := range all {
		s := newSolver(newBank(q.Strings, q.Current, out))
		s.solveWiring(p, n)
		top := 0
		for k := range s.active {
			if more(s.share(k), s.share(top)) {
				top = k
			}
		}
		w.Outs = append(w.Outs, Out{String: out, Worst: s.active[top], Share: s.share(top), Current: s.amps[top]})
	}
	w.WorstOut = 0
	for i, o := range w.Outs {
		if more(o.Share, w.Outs[w.WorstOut].Share) {
			w.WorstOut = i
		}
	}
}

// more compares shares as imbalances are compared, so that symmetric strings
// come out as equal and the first of them is named.
func more(a, b float64) bool { return a > b+tolerance/stepsPerUnit }

// placed is a given tree on its rail.
type placed struct {
	rail   *Rail
	tree   Tree // pairs sorted
	grown  grown
	matrix []float64
}

func newPlaced(r *Rail, t Tree) (*placed, error) {
	if t.Root < 0 || t.Root >= len(r.Names) {
		return nil, fmt.Errorf("root %d is not a node (%d nodes)", t.Root, len(r.Names))
	}
	var near [maxNodes]uint64
	ends := 0
	for _, i := range t.Pairs {
		if i < 0 || i >= len(r.Pairs) {
			return nil, fmt.Errorf("pair %d is not on the rail (%d pairs)", i, len(r.Pairs))
		}
		near[r.Pairs[i].A] |= 1 << r.Pairs[i].B
		near[r.Pairs[i].B] |= 1 << r.Pairs[i].A
	}
	for _, set := range near {
		ends += bits.OnesCount64(set)
	}
	p := &placed{rail: r, tree: Tree{Pairs: rankPairs(r, t.Pairs), Root: t.Root}}
	if len(t.Pairs) != len(r.Names)-1 || ends != 2*len(t.Pairs) {
		return nil, fmt.Errorf("%d cables, %d of them different: %d nodes need %d", len(t.Pairs), ends/2, len(r.Names), len(r.Names)-1)
	}
	// With one edge less than nodes, a loop leaves a node out.
	p.grown.grow(&near, t.Root)
	if p.grown.n != len(r.Names) {
		return nil, fmt.Errorf("the cables make a loop and leave out a node")
	}
	return p, nil
}

// fill sets the packed path matrix over the strings of a bank.
func (p *placed) fill(b *bank) {
	l := newLayout(p.rail, b, p.tree.Pairs)
	ps := newPaths(l)
	ps.grown = p.grown
	p.matrix = make([]float64, triangle(len(b.active)))
	ps.pack(p.matrix)
}

// flows sums the currents beyond each cable.
func (p *placed) flows(currents []float64) []float64 {
	var beyond [maxNodes]float64
	for node, s := range p.rail.String {
		if s >= 0 {
			beyond[node] = currents[s]
		}
	}
	out := make([]float64, len(p.tree.Pairs))
	for i := p.grown.n - 1; i > 0; i-- {
		v := int(p.grown.order[i])
		up := int(p.grown.parent[v])
		k := slices.IndexFunc(p.tree.Pairs, func(e int) bool {
			pair := p.rail.Pairs[e]
			return pair.A == v && pair.B == up || pair.A == up && pair.B == v
		})
		out[k] = beyond[v]
		beyond[up] += beyond[v]
	}
	return out
}

func (p *placed) loss(flows []float64) float64 {
	sum := 0.0
	for k, i := range p.tree.Pairs {
		sum += float64(flows[k] * flows[k] * p.rail.Pairs[i].Resistance)
	}
	return sum
}

func (p *placed) copper() int64 {
	var sum int64
	for _, i := range p.tree.Pairs {
		sum += nanometres(p.rail.Pairs[i].Length)
	}
	return sum
}
