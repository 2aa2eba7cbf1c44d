package fit

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The exact step against the equation itself, dx/dt = (i − x)/τ, by Heun's
// rule in 20 000 parts, whose error is some 1e-9; and one step is two halves.
func TestAdvance(t *testing.T) {
	for _, row := range []struct{ from, to, dt, tau float64 }{
		{3, 3, 1, 5}, {0, 10, 1, 5}, {-4, 9, 60, 25}, {2, -2, 1, 7200}, {5, 1, 1e-3, 7200}, {1, 8, 1e4, 30}, {0, 10, 0, 5},
	} {
		s := newSlow([]float64{row.tau})
		s.x[0] = 1.5
		s.advance(row.from, row.to, row.dt)
		const parts = 20000
		x, h := 1.5, row.dt/parts
		for k := range parts {
			a, b := row.from+(row.to-row.from)*float64(k)/parts, row.from+(row.to-row.from)*float64(k+1)/parts
			first := (a - x) / row.tau
			x += h / 2 * (first + (b-x-first*h)/row.tau)
		}
		within(t, "x after a step", s.x[0], x, 1e-4*math.Pow(row.dt/row.tau/parts, 2)*1e6+1e-9)
		two := newSlow([]float64{row.tau})
		two.x[0] = 1.5
		middle := (row.from + row.to) / 2
		two.advance(row.from, middle, row.dt/2)
		two.advance(middle, row.to, row.dt/2)
		within(t, "x after two halves", two.x[0], s.x[0], 1e-11) // rounding
	}
	// Both forms of a short step meet.
	for _, z := range []float64{0.99e-4, 1.01e-4} {
		s := newSlow([]float64{1})
		s.advance(0, 1, z)
		within(t, "a short step", s.x[0], z/2-z*z/6+z*z*z/24, 1e-12)
	}
}

// Least squares with no value below zero against all choices of columns that
// are nil, solved one by one: the least of those that have none below zero.
func TestLeast(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 3))
	for range 400 {
		n := 1 + random.IntN(6)
		free := make([]bool, n)
		free[n-1] = random.IntN(2) == 0
		g, b := randomSystem(random, n)
		x, got := least(g, b, free)
		want := math.Inf(1)
		for out := range 1 << n {
			if v, ok := without(g, b, free, out); ok {
				want = min(want, v)
			}
		}
		within(t, "the minimum", got, want, 1e-8*(1+math.Abs(want)))
		within(t, "the sum at x", form(g, b, x), want, 1e-8*(1+math.Abs(want)))
		for k, v := range x {
			if v < 0 && !free[k] {
				t.Fatalf("x is %v, free %v", x, free)
			}
		}
	}
}

// randomSystem is AᵀA and Aᵀy of a matrix with more rows than columns, of
// sizes that differ by some powers of ten as amperes and volts do.
func randomSystem(random *rand.Rand, n int) ([][]float64, []float64) {
	g, b, size := make([][]float64, n), make([]float64, n), make([]float64, n)
	for i := range g {
		g[i], size[i] = make([]float64, n), math.Pow(10, 4*random.Float64()-2)
	}
	for range n + 3 {
		row, y := make([]float64, n), random.NormFloat64()
		for i := range row {
			row[i] = size[i] * random.NormFloat64()
		}
		for i := range row {
			for j := range row {
				g[i][j] += row[i] * row[j]
			}
			b[i] += row[i] * y
		}
	}
	return g, b
}

func form(g [][]float64, b, x []float64) float64 {
	sum := 0.0
	for i := range x {
		sum -= 2 * b[i] * x[i]
		for j := range x {
			sum += x[i] * g[i][j] * x[j]
		}
	}
	return sum
}

// without solves with the columns of a bit set at zero, by Gauss's elimination
// with pivots; false where a value is below zero.
func without(g [][]float64, b []float64, free []bool, out int) (float64, bool) {
	n := len(b)
	a := make([][]float64, n)
	for i := range a {
		a[i] = append(append([]float64{}, g[i]...), b[i])
		for j := range n {
			if out>>i&1 == 1 || out>>j&1 == 1 {
				a[i][j] = 0
			}
		}
		if out>>i&1 == 1 {
			a[i][i], a[i][n] = 1, 0
		}
	}
	for c := range n {
		p := c
		for r := c; r < n; r++ {
			if math.Abs(a[r][c]) > math.Abs(a[p][c]) {
				p = r
			}
		}
		a[c], a[p] = a[p], a[c]
		for r := range n {
			if r == c {
				continue
			}
			f := a[r][c] / a[c][c]
			for k := c; k <= n; k++ {
				a[r][k] -= f * a[c][k]
			}
		}
	}
	x := make([]float64, n)
	for i := range x {
		if x[i] = a[i][n] / a[i][i]; x[i] < 0 && !free[i] {
			return 0, false
		}
	}
	return form(g, b, x), true
}

// Columns that say the same, or nothing, do no harm: the fit is as good as
// without them.
func TestLeastDependent(t *testing.T) {
	g := [][]float64{{4, 2, 0, 4}, {2, 3, 0, 2}, {0, 0, 0, 0}, {4, 2, 0, 4}}
	b := []float64{4, 1, 0, 4}
	x, got := least(g, b, make([]bool, 4))
	if x[2] != 0 || x[0]+x[3] != 1 || x[1] != 0 || got != -4 { // by hand: 4x² − 8x at 1
		t.Errorf("x is %v with a minimum of %g", x, got)
	}
}

// The sums of a log against its columns written out, row by row, with a curve
// of knots.
func TestGather(t *testing.T) {
	b := leadAcid()
	b.noise, b.step = 0.01, 60
	log := b.log(round(60, 5))
	task, err := newTask(log, b.Battery, Options{Branches: 2, FitCurve: true})
	if err != nil {
		t.Fatal(err)
	}
	taus := []float64{130, 900}
	s := task.gather(taus)
	n := s.knots() + len(task.knots)
	g, right, square := make([][]float64, n), make([]float64, n), 0.0
	for i := range g {
		g[i] = make([]float64, n)
	}
	slow := newSlow(taus)
	for k := range log.Time {
		if k > 0 {
			slow.advance(log.Current[k-1], log.Current[k], log.Time[k]-log.Time[k-1])
		}
		if task.charge[k] < Lowest || task.charge[k] > Highest {
			continue
		}
		column := append([]float64{log.Current[k]}, slow.x...)
		column = append(column, -task.lean[k], -1)
		for j := 1; j < len(task.knots); j++ {
			low, high := task.knots[j-1], task.knots[j]
			column = append(column, -min(max((task.charge[k]-low)/(high-low), 0), 1))
		}
		for i := range column {
			for j := range column {
				g[i][j] += column[i] * column[j]
			}
			right[i] += column[i] * (task.level - log.Voltage[k])
		}
		square += (task.level - log.Voltage[k]) * (task.level - log.Voltage[k])
	}
	within(t, "square", s.square, square, 1e-9*square)
	for i := range g {
		within(t, "right side", s.b[i], right[i], 1e-9*(1+math.Sqrt(g[i][i]*square)))
		for j := range g {
			within(t, "product", s.g[i][j], g[i][j], 1e-9*(1+math.Sqrt(g[i][i]*g[j][j]))) // rounding of thousands of sums
		}
	}
}
