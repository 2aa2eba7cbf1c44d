package network

import (
	"math/big"
	"math/rand/v2"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// tableau is the whole system without any elimination: unknown are the
// potentials of nodes 1.. and the current of every branch. A different set of
// equations from the one under test, and kinder to small resistances.
func tableau(n Network, injected []float64, set func(row, column int, x float64), right func(row int, x float64)) {
	v := n.Nodes - 1
	for i := 1; i < n.Nodes; i++ {
		right(i-1, injected[i])
	}
	for i, b := range n.Branches {
		for _, end := range []struct {
			node int
			sign float64
		}{{b.From, 1}, {b.To, -1}} {
			if end.node > 0 {
				set(end.node-1, v+i, end.sign) // Kirchhoff's current law
				set(v+i, end.node-1, end.sign) // V(From) - V(To) - R·I = -E
			}
		}
		set(v+i, v+i, -b.Resistance)
		right(v+i, -b.EMF)
	}
}

// denseSolve gives potentials and currents of a connected network by dense LU.
func denseSolve(t *testing.T, n Network, injected []float64) (potential, current []float64) {
	t.Helper()
	size := n.Nodes - 1 + len(n.Branches)
	a, b := mat.NewDense(size, size, nil), mat.NewVecDense(size, nil)
	tableau(n, injected, a.Set, b.SetVec)
	var x mat.VecDense
	if err := x.SolveVec(a, b); err != nil {
		t.Fatal(err)
	}
	all := x.RawVector().Data
	return append([]float64{0}, all[:n.Nodes-1]...), all[n.Nodes-1:]
}

// TestAgainstDense: 500 random networks within 1e-9 of the largest current and
// potential: with lists kept tidy as usual, with every list taken for a hub's, and
// with lists that are now the one, now the other.
func TestAgainstDense(t *testing.T) {
	for i := range 500 {
		t.Run(strconv.Itoa(i), func(t *testing.T) {
			n, injected := randomNetwork(rand.New(rand.NewPCG(1, uint64(i))), 40, 1e-5, 10)
			potential, current := denseSolve(t, n, injected)
			for _, hub := range []int{defaultLimits.hub, -1000, -8} {
				f, err := factorize(n, limits{hub: hub, stored: defaultLimits.stored})
				if err != nil {
					t.Fatal(err)
				}
				s, err := f.Solve(nil, injected)
				if err != nil {
					t.Fatal(err)
				}
				wantClose(t, "current", s.Current, current, 1e-9*largest(current))
				wantClose(t, "potential", s.Potential, potential, 1e-9*largest(potential))
				// Kirchhoff to the last digits, which is what refinement is for.
				if s.Residual > 1e-12*largest(current) {
					t.Errorf("residual %.3g A at %.3g A", s.Residual, largest(current))
				}
			}
		})
	}
}

// TestHubsAgainstDense: graphs with hubs longer than any list kept tidy, so
// that stale entries, merging and re-queueing are met in earnest.
func TestHubsAgainstDense(t *testing.T) {
	for i := range 4 {
		rng := rand.New(rand.NewPCG(2, uint64(i)))
		n := Network{Nodes: 260}
		for v := 3; v < n.Nodes; v++ {
			for range 1 + rng.IntN(2) {
				n.Branches = append(n.Branches, Branch{From: v, To: rng.IntN(3), Resistance: 1e-3 + rng.Float64(), EMF: 13 * rng.Float64()})
			}
		}
		for range 40 {
			a := 3 + rng.IntN(n.Nodes-4)
			n.Branches = append(n.Branches, Branch{From: a, To: a + 1, Resistance: 1e-3})
		}
		injected := drawn(n.Nodes, 5, n.Nodes-1, 100)
		potential, current := denseSolve(t, n, injected)
		s := mustSolve(t, n, injected)
		wantClose(t, "current", s.Current, current, 1e-9*largest(current))
		wantClose(t, "potential", s.Potential, potential, 1e-9*largest(potential))
	}
}

// exactSolve solves the tableau with 600 bits, where nothing is lost that
// float64 could show.
func exactSolve(n Network, injected []float64) (current []float64) {
	const bits = 600
	size := n.Nodes - 1 + len(n.Branches)
	a := make([][]*big.Float, size) // last column: right-hand side
	for i := range a {
		a[i] = make([]*big.Float, size+1)
		for j := range a[i] {
			a[i][j] = new(big.Float).SetPrec(bits)
		}
	}
	tableau(n, injected,
		func(i, j int, x float64) { a[i][j].SetFloat64(x) },
		func(i int, x float64) { a[i][size].SetFloat64(x) })
	var q, p big.Float
	for k := range size {
		best := k
		for i := k; i < size; i++ {
			if q.Abs(a[i][k]).Cmp(p.Abs(a[best][k])) > 0 {
				best = i
			}
		}
		a[k], a[best] = a[best], a[k]
		for i := range size {
			if i == k || a[i][k].Sign() == 0 {
				continue
			}
			factor := new(big.Float).SetPrec(bits).Quo(a[i][k], a[k][k])
			for j := k; j <= size; j++ {
				a[i][j].Sub(a[i][j], new(big.Float).SetPrec(bits).Mul(factor, a[k][j]))
			}
		}
	}
	for k := n.Nodes - 1; k < size; k++ {
		x, _ := new(big.Float).Quo(a[k][size], a[k][k]).Float64()
		current = append(current, x)
	}
	return current
}

// TestAgainstExact: resistances nine decades apart, checked in 600-bit
// arithmetic because a dense float64 solve is worth little there.
func TestAgainstExact(t *testing.T) {
	for i := range 60 {
		t.Run(strconv.Itoa(i), func(t *testing.T) {
			n, injected := randomNetwork(rand.New(rand.NewPCG(3, uint64(i))), 10, 1e-6, 1e3)
			s := mustSolve(t, n, injected)
			want := exactSolve(n, injected)
			wantClose(t, "current", s.Current, want, 1e-12*largest(want))
		})
	}
}

// TestConditionIsExact: the condition by its definition, from the dense inverse.
func TestConditionIsExact(t *testing.T) {
	for i := range 50 {
		n, _ := randomNetwork(rand.New(rand.NewPCG(4, uint64(i))), 20, 1e-3, 1)
		f, err := Factorize(n)
		if err != nil {
			t.Fatal(err)
		}
		full := mat.NewDense(n.Nodes, n.Nodes, nil)
		for _, b := range n.Branches {
			for _, e := range [][2]int{{b.From, b.To}, {b.To, b.From}} {
				full.Set(e[0], e[0], full.At(e[0], e[0])+1/b.Resistance)
				full.Set(e[0], e[1], full.At(e[0], e[1])-1/b.Resistance)
			}
		}
		grounded := full.Slice(1, n.Nodes, 1, n.Nodes)
		var inverse mat.Dense
		if err := inverse.Inverse(grounded); err != nil {
			t.Fatal(err)
		}
		want := mat.Norm(grounded, 1) * mat.Norm(&inverse, 1)
		wantClose(t, "condition", []float64{f.Condition()}, []float64{want}, 1e-9*want)
	}
}
