package fit

import (
	"fmt"
	"math"
	"slices"
)

// solution is one choice of time constants and what goes best with them.
type solution struct {
	taus       []float64 // s, rising
	r          []float64 // ohm of each
	r0         float64
	hysteresis float64   // V; NaN: not used
	curve      []float64 // V at the knots of a fitted curve
	square     float64   // V², that is left of the rows summed, with the curve's stiffness
	rows       int       // summed
}

// The time constants looked at. A branch faster than the rows is part of r0;
// one slower than two hours, or than a quarter of the log, is not told from a
// wrong capacity or curve (our choice).
const (
	stepsToFast = 2
	slowest     = 7200 // s
	logToSlow   = 4
	apart       = 2 // least ratio of two time constants; nearer they are one
)

// tauRange sets the time constants that are looked at.
func (t *task) tauRange() error {
	n := len(t.log.Time)
	length := t.log.Time[n-1] - t.log.Time[0]
	t.step = t.middleStep()
	t.tauLow, t.tauHigh = stepsToFast*t.step, min(slowest, length/logToSlow)
	need := 1.0
	if t.options.Branches == 2 {
		need = apart
	}
	if t.step == 0 {
		return fmt.Errorf("all rows are of one time; a log goes on in time")
	}
	if t.tauHigh < t.tauLow*need {
		return fmt.Errorf("rows are %.4g s apart over %.4g s, which tells time constants from %.4g to %.4g s only: no room for branches; log faster or for longer", t.step, length, t.tauLow, t.tauHigh)
	}
	return nil
}

// The widths of a grid of time constants, as logarithms of the ratio from one
// to the next.
const (
	coarse = math.Ln2 / 2
	fine   = coarse / near // so that a fine grid reaches the coarse neighbours
	finest = 1e-4          // where noise is long since larger
)

// search looks over ever finer grids around the best so far, each a quarter as
// wide.
func (t *task) search(best *solution) *solution {
	for width := fine; width > finest; width /= near {
		for range 32 { // where the best walks along a narrow valley
			next := t.best(t.around(best.taus, width))
			if !(next.square < best.square) {
				break
			}
			walks := t.atEdge(next.taus, best.taus, width)
			if best = next; !walks {
				break
			}
		}
	}
	return best
}

// near steps to either side are looked at in a finer grid.
const near = 4

// around gives a fine grid about each of the time constants.
func (t *task) around(taus []float64, width float64) []float64 {
	var out []float64
	for _, tau := range taus {
		for k := -near; k <= near; k++ {
			out = append(out, min(max(tau*math.Exp(float64(k)*width), t.tauLow), t.tauHigh))
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// atEdge reports a time constant that came out at the end of its fine grid.
func (t *task) atEdge(next, from []float64, width float64) bool {
	for k := range next {
		if math.Abs(math.Log(next[k]/from[k])) > (near-0.5)*width {
			return true
		}
	}
	return false
}

// grid is geometric from low to high, both in it.
func grid(low, high, width float64) []float64 {
	n := max(int(math.Ceil(math.Log(high/low)/width)), 1)
	out := make([]float64, 0, n+1)
	for k := range n {
		out = append(out, low*math.Exp(float64(k)/float64(n)*math.Log(high/low)))
	}
	return slices.Compact(append(out, high))
}

// best goes through all choices of time constants from a grid; of equals it
// keeps the first.
func (t *task) best(taus []float64) *solution {
	s := t.gather(taus)
	var best *solution
	try := func(which ...int) {
		if one := t.solve(s, which); best == nil || one.square < best.square {
			best = one
		}
	}
	for a := range taus {
		if t.options.Branches == 1 {
			try(a)
			continue
		}
		for b := a + 1; b < len(taus); b++ {
			if taus[b] >= apart*taus[a]*(1-1e-12) {
				try(a, b)
			}
		}
	}
	return best
}

// solve finds all else for the time constants given by their places in s.
func (t *task) solve(s *sums, which []int) *solution {
	pick := []int{0}
	for _, k := range which {
		pick = append(pick, s.slow(k))
	}
	lean := len(pick)
	if t.leans {
		pick = append(pick, s.lean())
	}
	knots := len(pick)
	for k := range t.knots {
		pick = append(pick, s.knots()+k)
	}
	g, b := s.part(pick)
	free := make([]bool, len(pick))
	if t.knots != nil {
		free[knots] = true // volts of the first knot
		t.stiffen(g, knots, s.rows)
	}
	x, lower := least(g, b, free)
	out := &solution{r0: x[0], hysteresis: math.NaN(), square: s.square + lower, rows: s.rows}
	for k, at := range which {
		out.taus, out.r = append(out.taus, s.taus[at]), append(out.r, x[1+k])
	}
	if t.leans {
		out.hysteresis = x[lean]
	}
	volts := t.level
	for _, rise := range x[knots:] {
		volts += rise
		out.curve = append(out.curve, volts)
	}
	return out
}

// part copies the rows and columns picked.
func (s *sums) part(pick []int) ([][]float64, []float64) {
	g, b := make([][]float64, len(pick)), make([]float64, len(pick))
	for i, p := range pick {
		g[i] = make([]float64, len(pick))
		for j, q := range pick {
			g[i][j] = s.g[p][q]
		}
		b[i] = s.b[p]
	}
	return g, b
}

// stiffen adds the cost of a bend in the curve, from the rise of one knot to
// that of the next: a knot's bend weighs as much as one in a hundred of its
// rows being as far off. It also carries the curve over knots without rows.
func (t *task) stiffen(g [][]float64, knots, rows int) {
	const part = 0.01 // our choice
	n := len(t.knots)
	weight := part * float64(rows) / float64(n)
	for k := knots + 1; k < knots+n-1; k++ {
		g[k][k] += weight
		g[k+1][k+1] += weight
		g[k][k+1] -= weight
		g[k+1][k] -= weight
	}
}

// rms goes through the log once more with a solution, V.
func (t *task) rms(s *solution) float64 {
	slow := newSlow(s.taus)
	square := 0.0
	for k, current := range t.log.Current {
		if k > 0 {
			slow.advance(t.log.Current[k-1], current, t.log.Time[k]-t.log.Time[k-1])
		}
		if t.inside(k) {
			left := t.left(s, slow, k)
			square += float64(left * left)
		}
	}
	return math.Sqrt(square / float64(t.used))
}

// left is what a solution does not explain of a row, V.
func (t *task) left(s *solution, slow *slow, k int) float64 {
	v := t.target[k] - float64(s.r0*t.log.Current[k])
	for j, x := range slow.x {
		v -= float64(s.r[j] * x)
	}
	if t.leans {
		v += float64(s.hysteresis * t.lean[k])
	}
	if t.knots != nil {
		at, on := t.knot(t.charge[k])
		v += s.curve[at] + float64(on*(s.curve[at+1]-s.curve[at])) - t.level
	}
	return v
}
