package wiring

import (
	"math"
	"math/rand/v2"
	"testing"
)

// randomPaths gives the path matrix of a random tree over a stud and m posts:
// post i hangs on the stud or on an earlier post. Shared stretches are added
// pair by pair from the ways themselves, not by the package's own sums.
func randomPaths(rng *rand.Rand, m int) [][]float64 {
	parent, ohm := make([]int, m), make([]float64, m)
	for i := range m {
		parent[i] = rng.IntN(i+1) - 1
		ohm[i] = 1e-5 + 2e-3*rng.Float64()*rng.Float64()
	}
	a := make([][]float64, m)
	for i := range a {
		a[i] = make([]float64, m)
		for j := range a[i] {
			on := map[int]bool{}
			for k := i; k >= 0; k = parent[k] {
				on[k] = true
			}
			for k := j; k >= 0; k = parent[k] {
				if on[k] {
					a[i][j] += ohm[k]
				}
			}
		}
	}
	return a
}

// solveDense is Gauss with row pivoting on a copy.
func solveDense(a [][]float64, b []float64) []float64 {
	n := len(b)
	m := make([][]float64, n)
	for i := range m {
		m[i] = append(append([]float64{}, a[i]...), b[i])
	}
	for k := range n {
		top := k
		for i := k + 1; i < n; i++ {
			if math.Abs(m[i][k]) > math.Abs(m[top][k]) {
				top = i
			}
		}
		m[k], m[top] = m[top], m[k]
		for i := k + 1; i < n; i++ {
			f := m[i][k] / m[k][k]
			for j := k; j <= n; j++ {
				m[i][j] -= f * m[k][j]
			}
		}
	}
	x := make([]float64, n)
	for k := n - 1; k >= 0; k-- {
		x[k] = m[k][n]
		for j := k + 1; j < n; j++ {
			x[k] -= m[k][j] * x[j]
		}
		x[k] /= m[k][k]
	}
	return x
}

// boundSlack is the least over all strings of the two sides' difference in bound
// (2) of the package's doc, relative to the mean row sum; the wiring's own
// imbalance is the ε.
func boundSlack(m [][]float64, w, e []float64, current float64) float64 {
	n := len(w)
	mean := 0.0
	for i := range w {
		mean += w[i] * e[i] / float64(n)
	}
	one, emf := make([]float64, n), make([]float64, n)
	for i := range n {
		one[i], emf[i] = 1, e[i]-mean
	}
	y, z := solveDense(m, one), solveDense(m, emf)
	sumY, sumZ := 0.0, 0.0
	for i := range n {
		sumY, sumZ = sumY+y[i], sumZ+z[i]
	}
	v := (sumZ - current) / sumY // take-off voltage less the mean EMF
	worst := math.Inf(-1)
	for i := range n {
		worst = math.Max(worst, (z[i]-v*y[i])*float64(n)/(w[i]*current)-1)
	}
	t, tMean, tMax := make([]float64, n), 0.0, 0.0
	for i := range n {
		for j := range n {
			t[i] += m[i][j] * w[j]
		}
		tMean += w[i] * t[i] / float64(n)
		tMax = math.Max(tMax, t[i])
	}
	least := math.Inf(1)
	for i := range n {
		c := float64(n) * (e[i] - mean) / current
		least = math.Min(least, ((1+worst)*t[i]-tMean+worst*(tMax-tMean)-c)/tMean)
	}
	return least
}

// The bound is never broken, on draw and on charge, with unequal batteries,
// EMFs and capacities; it is met by two strings of equal EMF whose ways share nothing, and
// nearly met by more, so it is no idle one. Ranges are wide of real banks: resistances over a decade,
// EMFs apart by up to 0.2 V, capacities 1 to 3.
func TestRowSumBound(t *testing.T) {
	runs := 200_000
	if testing.Short() {
		runs = 20_000
	}
	rng := rand.New(rand.NewPCG(2, 26))
	least := math.Inf(1)
	for range runs {
		n := 2 + rng.IntN(5)
		p, q := randomPaths(rng, n), randomPaths(rng, n)
		w, e, sum := make([]float64, n), make([]float64, n), 0.0
		spread := 0.2 * float64(rng.IntN(2)) * rng.Float64()
		for i := range n {
			w[i], e[i] = 1+float64(rng.IntN(3)), 13+spread*rng.Float64()
			sum += w[i]
		}
		for i := range n {
			w[i] *= float64(n) / sum
			for j := range n {
				p[i][j] += q[i][j]
			}
			p[i][i] += 1e-3 * math.Pow(10, rng.Float64())
		}
		if n == 2 {
			p[0][1], p[1][0] = 0, 0 // ways that share nothing: then two strings meet the bound
		}
		current := (1 + 200*rng.Float64()) * float64(1-2*rng.IntN(2))
		s := boundSlack(p, w, e, current)
		if s < -1e-9 {
			t.Fatalf("broken by %g: n %d, weights %v, EMF %v, current %v, matrix %v", s, n, w, e, current, p)
		}
		if n == 2 && spread == 0 && s > 1e-9 {
			t.Fatalf("two strings must meet it: slack %g", s)
		}
		if n > 2 {
			least = math.Min(least, s)
		}
	}
	if least > 1e-3 {
		t.Errorf("never nearer than %g to equality with three strings and more", least)
	}
}
