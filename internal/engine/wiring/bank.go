package wiring

import "math"

// bank holds what all wirings of one question share: the strings that are on.
// Slices are indexed by active string 0..m-1.
type bank struct {
	active []int     // index into Question.Strings
	r      []float64 // ohm
	part   []float64 // C_i/ΣC
	weight []float64 // w_i = m·C_i/ΣC
	emf    []float64 // E_i - Ē, V; all exactly 0 where the EMFs are equal
	mean   float64   // Ē, V
	level  bool      // all EMFs are equal
	lift   []float64 // c_i = m·(E_i - Ē)/J, ohm
	// farthest is the largest |c_i|.
	farthest float64
	current  float64 // J, A
}

// newBank takes the strings that are on, except the one of index out (-1 for
// none).
func newBank(strings []String, current float64, out int) *bank {
	b := &bank{current: current, level: true}
	total := 0.0
	for i, s := range strings {
		if s.Off || i == out {
			continue
		}
		b.active = append(b.active, i)
		total += s.Capacity
	}
	m := float64(len(b.active))
	for _, i := range b.active {
		s := strings[i]
		b.r = append(b.r, s.Resistance)
		b.part = append(b.part, s.Capacity/total)
		b.weight = append(b.weight, m*(s.Capacity/total))
		b.level = b.level && s.EMF == strings[b.active[0]].EMF
	}
	b.setEMF(strings)
	return b
}

// setEMF centres the EMFs on their weighted mean. Equal ones must come out as
// exact zeros, which a rounded mean does not promise.
func (b *bank) setEMF(strings []String) {
	m := len(b.active)
	b.emf = make([]float64, m)
	b.lift = make([]float64, m)
	if b.level {
		if m > 0 {
			b.mean = strings[b.active[0]].EMF
		}
		return
	}
	for k, i := range b.active {
		b.mean += float64(b.part[k] * strings[i].EMF)
	}
	for k, i := range b.active {
		b.emf[k] = strings[i].EMF - b.mean
		b.lift[k] = float64(m) * b.emf[k] / b.current
		b.farthest = max(b.farthest, math.Abs(b.lift[k]))
	}
}

// solver solves wirings of one bank. It owns its scratch, so each goroutine
// has its own.
type solver struct {
	*bank
	a       []float64 // factor of M, packed lower triangle by rows
	inverse []float64 // one over the pivots
	one     []float64 // M⁻¹·1
	driven  []float64 // M⁻¹·(E - Ē)
	amps    []float64
}

func newSolver(b *bank) *solver {
	m := len(b.active)
	return &solver{
		bank:    b,
		a:       make([]float64, triangle(m)),
		inverse: make([]float64, m),
		one:     make([]float64, m),
		driven:  make([]float64, m),
		amps:    make([]float64, m),
	}
}

// triangle is the number of entries in a packed lower triangle of m rows.
func triangle(m int) int { return m * (m + 1) / 2 }

// imbalance is the largest share minus one for the wiring with these packed
// path matrices.
func (s *solver) imbalance(positive, negative []float64) float64 {
	s.factor(positive, negative)
	if s.level {
		// The current cancels: share_i = y_i/C_i over Σy/ΣC.
		sum, top := 0.0, 0.0
		for i, y := range s.one {
			sum += y
			if x := y / s.part[i]; x > top {
				top = x
			}
		}
		return top/sum - 1
	}
	s.solveCurrents()
	top := s.share(0)
	for i := 1; i < len(s.amps); i++ {
		if x := s.share(i); x > top {
			top = x
		}
	}
	return top - 1
}

// share of active string i after solveCurrents.
func (s *solver) share(i int) float64 { return s.amps[i] / (s.current * s.part[i]) }

// factor sets up M = L·D·Lᵀ and solves M·one = 1. M is positive definite, so
// no pivoting is needed. Products are rounded before they are added, so that
// every kind of processor gives the same bits.
func (s *solver) factor(positive, negative []float64) {
	m := len(s.r)
	a, inverse, one := s.a, s.inverse[:m], s.one[:m]
	row := 0
	for i := 0; i < m; i++ {
		ri := a[row : row+i+1]
		p, n := positive[row:row+i+1], negative[row:row+i+1]
		pivot := p[i] + n[i] + s.r[i]
		y := 1.0
		other := 0
		for j := 0; j < i; j++ {
			rj := a[other : other+j]
			v := p[j] + n[j]
			// Cut to one length, so that the compiler need not check each index.
			for k, u := range ri[:len(rj)] {
				v -= float64(u * rj[k])
			}
			ri[j] = v
			other += j + 1
		}
		before, solved := inverse[:i], one[:i]
		for j, u := range ri[:i] {
			l := float64(u * before[j])
			ri[j] = l
			pivot -= float64(u * l)
			y -= float64(l * solved[j])
		}
		inverse[i] = 1 / pivot
		one[i] = y
		row += i + 1
	}
	s.back(one)
}

// back finishes a solution from its forward part.
func (s *solver) back(x []float64) {
	m := len(x)
	for i := range x {
		x[i] = float64(x[i] * s.inverse[i])
	}
	for i := m - 1; i > 0; i-- {
		row := s.a[triangle(i) : triangle(i)+i]
		xi, above := x[i], x[:len(row)]
		for k, l := range row {
			above[k] -= float64(l * xi)
		}
	}
}

// solveCurrents sets amps and returns the take-off voltage less Ē. Working
// with E - Ē keeps the digits that the full EMFs would cancel.
func (s *solver) solveCurrents() float64 {
	sumOne, sumDriven := 0.0, 0.0
	if !s.level {
		copy(s.driven, s.emf)
		row := 0
		for i := range s.driven {
			for k, l := range s.a[row : row+i] {
				s.driven[i] -= float64(l * s.driven[k])
			}
			row += i + 1
		}
		s.back(s.driven)
	}
	for i, y := range s.one {
		sumOne += y
		sumDriven += s.driven[i]
	}
	v := (sumDriven - s.current) / sumOne
	for i, y := range s.one {
		s.amps[i] = s.driven[i] - float64(v*y)
	}
	return v
}
