package outage

import (
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// study is a bank in one case, ready for losses.
type study struct {
	bank       *bank.Bank
	temp       quantity.Temperature // of the cables
	sign       float64              // of the case: 1 draw, -1 charge
	draw       float64              // A at the take-off by size
	ports      *sharing.Ports
	resistance []float64      // ohm, by battery
	limits     []bounds       // the fuses in line counted
	fuse       []report.Limit // in line with each battery
	flows      []sharing.FuseFlow
	bridged    []string // fuses whose current the law alone does not tell
	sets       union    // scratch of joined
	scratch    []line
	minus      []int // net of each battery's posts
	plus       []int
	takeoff    [2]int // nets
	base       *state
}

// bounds are a battery's largest currents, +Inf where nothing is known.
type bounds struct{ discharge, charge float64 }

// state is a bank with some batteries out. The current of battery i is
// rest[i] + per[i]·D for a draw D.
//
// Its conductances between batteries, A of one per V of another's EMF, are
// those of its root less column·columnᵀ of each state on the way here. So a
// loss costs one column, however many batteries there are.
type state struct {
	parent    *state
	root      []float64 // N·N, of the state that was solved
	in        []bool
	rest, per []float64
	column    []float64 // nil where the loss changed nothing, or in a root
	carries   bool      // the batteries that are in reach both ends of the take-off
}

// newStudy lays out a bank for a case in amps.
func newStudy(b *bank.Bank, c bank.Case) (*study, error) {
	s := &study{bank: b, temp: c.CableTemperature.V, sign: 1, draw: math.Abs(float64(c.Current))}
	if c.Current < 0 {
		s.sign = -1
	}
	s.join()
	in := make([]bool, len(b.Batteries))
	for i := range b.Batteries {
		bat := &b.Batteries[i]
		in[i] = !bat.Off
		s.resistance = append(s.resistance, float64(bat.Resistance.V))
		discharge, charge := Limits(bat)
		s.limits = append(s.limits, bounds{discharge.Current, charge.Current})
	}
	s.fuses()
	var err error
	if s.ports, err = sharing.NewPorts(b, s.temp); err != nil {
		return nil, err
	}
	s.base, err = s.solve(in)
	return s, err
}

// solve gives the state with these batteries in, from the network itself.
func (s *study) solve(in []bool) (*state, error) {
	r, err := s.ports.Solve(s.resistance, in)
	if err != nil {
		return nil, err
	}
	st := &state{root: r.Current, in: in, rest: make([]float64, r.N), per: r.PerDraw, carries: r.Carries}
	for i := range r.N {
		for j := range r.N {
			st.rest[i] += float64(r.Current[i*r.N+j] * float64(s.bank.Batteries[j].EMF.V))
		}
		st.per[i] = part(st.per[i])
	}
	return st, nil
}

// part is a battery's part of the draw, nil where it is what rounding left:
// no battery that could matter carries so little.
func part(per float64) float64 {
	if math.Abs(per) < 1e-12 {
		return 0
	}
	return per
}

// worn is how far a battery's own conductance may have shrunk by losses before
// all is solved anew: 1e-4 of what it was leaves 12 digits of it.
const worn = 1e-4

// lose gives the state with one more battery out, which must be in.
func (s *study) lose(st *state, k int) *state {
	next := &state{parent: st, root: st.root, in: append([]bool(nil), st.in...)}
	next.in[k] = false
	sets := s.joined(next.in)
	next.carries = sets.same(s.takeoff[0], s.takeoff[1])
	if !sets.same(s.minus[k], s.plus[k]) {
		s.bridge(st, next, k)
		return next
	}
	n := len(next.in)
	all := make([]float64, 3*n)
	column := st.columnOf(k, all[:n])
	own := column[k]
	if !(own > worn*st.root[k*n+k]) {
		if fresh, err := s.solve(next.in); err == nil {
			return fresh
		}
	}
	root := math.Sqrt(own)
	next.column, next.rest, next.per = column, all[n:2*n], all[2*n:]
	for i, g := range column {
		if next.in[i] {
			next.rest[i] = st.rest[i] - float64(g/own*st.rest[k])
			next.per[i] = part(st.per[i] - float64(g/own*st.per[k]))
		}
		column[i] = g / root
	}
	return next
}

// bridge is the loss of a battery that was the only way between its posts: no
// current went round through it, so the others keep theirs. Where it fed the
// take-off nothing does now.
func (s *study) bridge(st, next *state, k int) {
	next.rest, next.per = append([]float64(nil), st.rest...), append([]float64(nil), st.per...)
	next.rest[k], next.per[k] = 0, 0
	if !next.carries {
		clear(next.per)
	}
}

// columnOf fills in the conductances of all batteries to the EMF of battery k.
func (st *state) columnOf(k int, column []float64) []float64 {
	n := len(st.in)
	for i := range column {
		column[i] = st.root[i*n+k]
	}
	for ; st != nil; st = st.parent {
		if st.column == nil {
			continue
		}
		part := st.column[k]
		for i, g := range st.column {
			column[i] -= float64(g * part)
		}
	}
	return column
}

// currents gives what each battery carries at the draw of the case.
func (s *study) currents(st *state) []float64 {
	current := make([]float64, len(st.in))
	for i := range current {
		current[i] = st.rest[i]
		if st.carries {
			current[i] += float64(st.per[i] * s.signed(s.draw))
		}
	}
	return current
}

// signed gives a draw by size its sign; +Inf, no limit, stays.
func (s *study) signed(size float64) float64 {
	if math.IsInf(size, 1) || size == 0 {
		return size
	}
	return s.sign * size
}

// join numbers the sets of ends that cables and closed parts join.
func (s *study) join() {
	b := s.bank
	number := map[bank.End]int{}
	ends := b.Ends()
	for i, e := range ends {
		number[e] = i
	}
	u := newUnion(len(ends))
	for i := range b.Cables {
		u.join(number[b.Cables[i].From], number[b.Cables[i].To])
	}
	for i := range b.Parts {
		between := b.Parts[i].Ends()
		for k := 1; k < len(between) && !b.Parts[i].Open; k++ {
			u.join(number[between[k-1]], number[between[k]])
		}
	}
	net := func(e bank.End) int { return u.root(number[e]) }
	s.sets = newUnion(len(ends))
	s.takeoff = [2]int{net(b.Takeoff.Positive), net(b.Takeoff.Negative)}
	for i := range b.Batteries {
		s.minus = append(s.minus, net(b.Batteries[i].Minus()))
		s.plus = append(s.plus, net(b.Batteries[i].Plus()))
	}
}

// joined says which nets hang together by the batteries that are in, until it
// is asked again.
func (s *study) joined(in []bool) union {
	u := s.sets
	for i := range u {
		u[i] = i
	}
	for i := range in {
		if in[i] {
			u.join(s.minus[i], s.plus[i])
		}
	}
	return u
}

// union is sets of numbers that grow together.
type union []int

func newUnion(n int) union {
	u := make(union, n)
	for i := range u {
		u[i] = i
	}
	return u
}

func (u union) root(i int) int {
	for u[i] != i {
		u[i] = u[u[i]]
		i = u[i]
	}
	return i
}

func (u union) join(a, b int)      { u[u.root(a)] = u.root(b) }
func (u union) same(a, b int) bool { return u.root(a) == u.root(b) }

func ampere(x float64) quantity.Current { return quantity.Current(x) }
