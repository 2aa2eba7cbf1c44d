package wiring

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// randomPaths gives the path matrix of a random tree over a stud and m posts,
// and the resistance that all paths share: post i hangs on the stud or on an
// earlier post, every other time all hang on the first. Shared stretches are
// added pair by pair from the ways themselves, not by the package's own sums.
func randomPaths(rng *rand.Rand, m int) (a [][]float64, common float64) {
	parent, ohm := make([]int, m), make([]float64, m)
	for i := range m {
		parent[i] = rng.IntN(i+1) - 1
		ohm[i] = 1e-5 + 2e-3*rng.Float64()*rng.Float64()
	}
	if rng.IntN(2) == 0 {
		for i := 1; i < m; i++ {
			parent[i] = max(parent[i], 0)
		}
	}
	if !slices.Contains(parent[1:], -1) {
		common = ohm[0]
	}
	a = make([][]float64, m)
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
	return a, common
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
// (2) of the package's doc, in ohm; the wiring's own imbalance is the ε.
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
		least = math.Min(least, (1+worst)*t[i]-tMean+worst*(tMax-tMean)-c)
	}
	return least
}

// trial is one random wiring for the bound.
type trial struct {
	m       [][]float64 // with the cables that carry all the current
	bare    [][]float64 // without them
	w, e    []float64
	spread  float64 // V
	current float64 // A
	size    float64 // the largest row sum that can be, ohm
}

// newTrial draws wide of real banks: resistances over a decade, EMFs apart by
// up to 0.2 V or equal, capacities 1 to 3, draw and charge.
func newTrial(rng *rand.Rand, n int) trial {
	p, throughP := randomPaths(rng, n)
	q, throughQ := randomPaths(rng, n)
	x := trial{m: p, w: make([]float64, n), e: make([]float64, n)}
	x.spread = 0.2 * float64(rng.IntN(2)) * rng.Float64()
	sum := 0.0
	for i := range n {
		x.w[i], x.e[i] = 1+float64(rng.IntN(3)), 13+x.spread*rng.Float64()
		sum += x.w[i]
	}
	for i := range n {
		x.w[i] *= float64(n) / sum
		for j := range n {
			p[i][j] += q[i][j]
		}
		p[i][i] += 1e-3 * math.Pow(10, rng.Float64())
		x.size = max(x.size, p[i][i]*float64(n))
		x.bare = append(x.bare, slices.Clone(p[i]))
		for j := range n {
			x.bare[i][j] -= throughP + throughQ
		}
	}
	x.current = (1 + 200*rng.Float64()) * float64(1-2*rng.IntN(2))
	return x
}

// The bound is never broken, on draw and on charge, with unequal batteries,
// EMFs and capacities, with and without the cables that carry the whole
// current, and never less sharp without them. It is no idle one: two strings
// of equal EMF meet it, and more nearly do. Tolerance: 1e-9 of the row sums,
// for the rounding of a dense solve.
func TestRowSumBound(t *testing.T) {
	runs := 200_000
	if testing.Short() {
		runs = 20_000
	}
	rng := rand.New(rand.NewPCG(2, 26))
	least := math.Inf(1)
	for range runs {
		n := 2 + rng.IntN(5)
		x := newTrial(rng, n)
		full := boundSlack(x.m, x.w, x.e, x.current) / x.size
		bare := boundSlack(x.bare, x.w, x.e, x.current) / x.size
		if bare < -1e-9 || full < bare-1e-9 {
			t.Fatalf("slack %g, without common cables %g: %+v", full, bare, x)
		}
		if n == 2 && x.spread == 0 && bare > 1e-9 {
			t.Fatalf("two strings must meet it: slack %g, %+v", bare, x)
		}
		if n > 2 {
			least = math.Min(least, bare)
		}
	}
	if least > 1e-3 {
		t.Errorf("never nearer than %g to equality with three strings and more", least)
	}
}

// The listed vectors are the row sums of each tree's path matrix less what all
// paths share, centred on their weighted mean. A string too light to tell from
// rounding keeps every cable. Tolerance 1e-15 ohm, of row sums near 1e-2.
func TestListedRowSums(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 1))
	for run := range 40 {
		q := randomQuestion(rng, bankShape{n: 2 + run%4, rows: 1, stud: run%3 > 0, any: run%3 == 0, jitter: 0.08, capSpread: true, off: run%5 == 0})
		light := run%7 == 0 && run%5 > 0 // with one string alone none is light
		if light {
			q.Strings[0].Capacity = 1e-12
		}
		b := newBank(q.Strings, q.Current, -1)
		l := newLayout(&q.Positive, b, everyPair(&q.Positive))
		list, ok, err := listTrees(context.Background(), l, nil, 0, defaultTrees)
		if !ok || err != nil {
			t.Fatal(ok, err)
		}
		m := len(b.active)
		packed, ps := make([]float64, triangle(m)), newPaths(l)
		for i := range list.len() {
			ps.matrix(list.edges[i], int(list.root[i]), packed)
			common := slices.Min(packed)
			if light {
				common = 0
			}
			sums, mean := make([]float64, m), 0.0
			for j := range m {
				for k := range m {
					sums[j] += (packed[triangle(max(j, k))+min(j, k)] - common) * b.weight[k]
				}
				mean += sums[j] * b.weight[j] / float64(m)
			}
			want := []float64{}
			for _, s := range sums {
				want = append(want, s-mean)
			}
			want = append(want, mean, slices.Max(sums))
			for k, got := range list.row(i) {
				if math.Abs(got-want[k]) > 1e-15 {
					t.Fatalf("run %d, tree %d, value %d: %g, want %g", run, i, k, got, want[k])
				}
			}
		}
	}
}
