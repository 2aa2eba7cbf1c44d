package fit

import (
	"math"
	"slices"
)

// least minimises xᵀGx − 2bᵀx where no x is below zero but those that are
// free, by the active set of Lawson and Hanson on the normal equations. A
// column that is nil or depends on those already in is left at zero. It gives
// x and the minimum.
func least(g [][]float64, b []float64, free []bool) ([]float64, float64) {
	a := newActive(g, b, free)
	for range 3 * len(b) { // each column may have to leave and come back
		j := a.steepest()
		if j < 0 {
			break
		}
		a.enter(j)
	}
	sum := 0.0
	for j, v := range a.x {
		sum -= float64(v * a.b[j])
		a.x[j] = v * a.scale[j]
	}
	return a.x, sum
}

// active is the set of columns that may be off zero. Columns are scaled to a
// square of one.
type active struct {
	g       [][]float64
	b, x    []float64
	scale   []float64
	free    []bool
	blocked []bool // in the set, nil, or dependent on the set
	set     []int  // in the order they came
}

func newActive(g [][]float64, b []float64, free []bool) *active {
	n := len(b)
	a := &active{free: free, b: make([]float64, n), x: make([]float64, n), scale: make([]float64, n), blocked: make([]bool, n)}
	for i := range n {
		if g[i][i] > 0 {
			a.scale[i] = 1 / math.Sqrt(g[i][i])
		}
		a.blocked[i] = a.scale[i] == 0
		a.b[i] = b[i] * a.scale[i]
	}
	for i := range n {
		row := make([]float64, n)
		for j := range row {
			row[j] = g[i][j] * a.scale[i] * a.scale[j]
		}
		a.g = append(a.g, row)
	}
	return a
}

// steepest is the column outside the set that lowers the sum fastest, a free
// one before all others, −1 where none does.
func (a *active) steepest() int {
	const rounding = 1e-12 // of the largest part of a slope
	best, most := -1, 0.0
	for j := range a.b {
		if a.blocked[j] {
			continue
		}
		if a.free[j] {
			return j
		}
		slope, size := a.b[j], math.Abs(a.b[j])
		for _, i := range a.set {
			part := float64(a.g[j][i] * a.x[i])
			slope -= part
			size = max(size, math.Abs(part))
		}
		if slope > rounding*size && slope > most {
			best, most = j, slope
		}
	}
	return best
}

// enter takes a column in and moves to the minimum over the set. Columns that
// would fall below zero on the way stop at zero and leave.
func (a *active) enter(j int) {
	a.set = append(a.set, j)
	a.blocked[j] = true
	to, ok := a.minimum()
	if !ok || !a.free[j] && to[len(to)-1] <= 0 { // the slope was nothing but rounding
		a.set = a.set[:len(a.set)-1]
		return
	}
	for {
		step, stop := 1.0, -1
		for k, i := range a.set {
			if !a.free[i] && to[k] < 0 {
				if part := a.x[i] / (a.x[i] - to[k]); part < step {
					step, stop = part, k
				}
			}
		}
		for k, i := range a.set {
			a.x[i] += float64(step * (to[k] - a.x[i]))
		}
		if stop < 0 {
			return
		}
		out := a.set[stop]
		a.x[out], a.blocked[out] = 0, false
		a.set = slices.Delete(a.set, stop, stop+1)
		if to, ok = a.minimum(); !ok {
			return
		}
	}
}

// minimum solves for the set, all others nil, by Cholesky. It fails where a
// column depends on those before it, to rounding.
func (a *active) minimum() ([]float64, bool) {
	const dependent = 1e-11 // of a square of one
	n := len(a.set)
	x := make([]float64, n)
	l := make([][]float64, n)
	for i, p := range a.set {
		l[i] = make([]float64, i+1)
		for j := range i + 1 {
			sum := a.g[p][a.set[j]]
			for k := range j {
				sum -= float64(l[i][k] * l[j][k])
			}
			switch {
			case j < i:
				l[i][j] = sum / l[j][j]
			case sum <= dependent:
				return nil, false
			default:
				l[i][i] = math.Sqrt(sum)
			}
		}
		x[i] = a.b[p]
		for k := range i {
			x[i] -= float64(l[i][k] * x[k])
		}
		x[i] /= l[i][i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			x[i] -= float64(l[k][i] * x[k])
		}
		x[i] /= l[i][i]
	}
	return x, true
}
