package network

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"
)

// eachRandom runs a property over seeded networks like those of the other tests.
func eachRandom(t *testing.T, seed uint64, property func(t *testing.T, rng *rand.Rand, n Network, injected []float64)) {
	t.Helper()
	for i := range 100 {
		t.Run(strconv.Itoa(i), func(t *testing.T) {
			rng := rand.New(rand.NewPCG(seed, uint64(i)))
			n, injected := randomNetwork(rng, 40, 1e-5, 10)
			property(t, rng, n, injected)
		})
	}
}

func passive(n Network) Network {
	quiet := Network{Nodes: n.Nodes, Branches: slices.Clone(n.Branches)}
	for i := range quiet.Branches {
		quiet.Branches[i].EMF = 0
	}
	return quiet
}

func emfs(n Network) []float64 {
	emf := make([]float64, len(n.Branches))
	for i, b := range n.Branches {
		emf[i] = b.EMF
	}
	return emf
}

// TestLaws: Kirchhoff's two laws and the power balance, counted here from the
// branches as given and not by the code under test.
func TestLaws(t *testing.T) {
	eachRandom(t, 11, func(t *testing.T, _ *rand.Rand, n Network, injected []float64) {
		s := mustSolve(t, n, injected)
		off := slices.Clone(injected)
		var given, lost float64
		for i, b := range n.Branches {
			current := s.Current[i]
			off[b.From] -= current
			off[b.To] += current
			given += b.EMF * current
			lost += current * current * b.Resistance
			volts := s.Potential[b.From] - s.Potential[b.To] + b.EMF
			wantClose(t, "volts round branch", []float64{volts}, []float64{current * b.Resistance}, 1e-12*(60+largest(s.Potential)))
		}
		for v, j := range injected {
			given += j * s.Potential[v]
		}
		// 1e-11: some hundred plain additions of currents of up to the largest.
		wantClose(t, "imbalance at node", off, make([]float64, n.Nodes), 1e-11*largest(s.Current))
		wantClose(t, "power given", []float64{given}, []float64{lost}, 1e-9*lost)
	})
}

// TestReciprocity: 1 A from a to b gives as much voltage from c to d as 1 A
// from c to d gives from a to b; and 1 V in branch i as much current in branch
// j as the other way round.
func TestReciprocity(t *testing.T) {
	eachRandom(t, 12, func(t *testing.T, rng *rand.Rand, n Network, _ []float64) {
		n = passive(n)
		pair := func() (int, int) {
			a := rng.IntN(n.Nodes)
			return a, (a + 1 + rng.IntN(n.Nodes-1)) % n.Nodes
		}
		a, b := pair()
		c, d := pair()
		there := mustSolve(t, n, drawn(n.Nodes, b, a, 1)).Potential
		back := mustSolve(t, n, drawn(n.Nodes, d, c, 1)).Potential
		wantClose(t, "transfer resistance", []float64{there[c] - there[d]}, []float64{back[a] - back[b]},
			1e-12*max(largest(there), largest(back)))

		i, j := rng.IntN(len(n.Branches)), rng.IntN(len(n.Branches))
		unit := func(k int) Solution {
			m := passive(n)
			m.Branches[k].EMF = 1
			return mustSolve(t, m, nil)
		}
		one, two := unit(i).Current, unit(j).Current
		wantClose(t, "transfer conductance", []float64{one[j]}, []float64{two[i]}, 1e-10*max(largest(one), largest(two)))
	})
}

// TestSuperposition: EMFs alone and injections alone add up, solved with one
// factor; ten times all of them is ten times the answer.
func TestSuperposition(t *testing.T) {
	eachRandom(t, 13, func(t *testing.T, _ *rand.Rand, n Network, injected []float64) {
		f, err := Factorize(n)
		if err != nil {
			t.Fatal(err)
		}
		solve := func(emf, injected []float64) Solution {
			s, err := f.Solve(emf, injected)
			if err != nil {
				t.Fatal(err)
			}
			return s
		}
		times := func(x float64, values []float64) []float64 {
			scaled := make([]float64, len(values))
			for i, v := range values {
				scaled[i] = x * v
			}
			return scaled
		}
		both, fromEMF, fromInjected := solve(nil, injected), solve(nil, nil), solve(make([]float64, len(n.Branches)), injected)
		for i := range fromEMF.Current {
			fromEMF.Current[i] += fromInjected.Current[i]
		}
		wantClose(t, "current", fromEMF.Current, both.Current, 1e-10*largest(both.Current))
		tenfold := solve(times(10, emfs(n)), times(10, injected))
		wantClose(t, "tenfold current", tenfold.Current, times(10, both.Current), 1e-10*largest(tenfold.Current))
	})
}

// TestScaling: a thousand times the resistances, at a thousandth of the
// injected current, is a thousandth of every current at the same potentials.
func TestScaling(t *testing.T) {
	eachRandom(t, 14, func(t *testing.T, _ *rand.Rand, n Network, injected []float64) {
		s := mustSolve(t, n, injected)
		for i := range n.Branches {
			n.Branches[i].Resistance *= 1000
		}
		for v := range injected {
			injected[v] /= 1000
		}
		scaled := mustSolve(t, n, injected)
		for i := range scaled.Current {
			scaled.Current[i] *= 1000
		}
		wantClose(t, "current", scaled.Current, s.Current, 1e-10*largest(s.Current))
		wantClose(t, "potential", scaled.Potential, s.Potential, 1e-10*largest(s.Potential))
	})
}

// TestRelabelling: other node numbers, branches in another order and turned
// round give the same currents, and the same potential differences.
func TestRelabelling(t *testing.T) {
	eachRandom(t, 15, func(t *testing.T, rng *rand.Rand, n Network, injected []float64) {
		node, order := rng.Perm(n.Nodes), rng.Perm(len(n.Branches))
		other := Network{Nodes: n.Nodes, Branches: make([]Branch, len(n.Branches))}
		for i, b := range n.Branches {
			other.Branches[order[i]] = Branch{From: node[b.To], To: node[b.From], Resistance: b.Resistance, EMF: -b.EMF}
		}
		moved := make([]float64, n.Nodes)
		for v, j := range injected {
			moved[node[v]] = j
		}
		s, o := mustSolve(t, n, injected), mustSolve(t, other, moved)
		current, potential := make([]float64, len(order)), make([]float64, n.Nodes)
		for i := range current {
			current[i] = -o.Current[order[i]]
		}
		for v := range potential {
			potential[v] = o.Potential[node[v]] - o.Potential[node[0]]
		}
		wantClose(t, "current", current, s.Current, 1e-10*largest(s.Current))
		wantClose(t, "potential", potential, s.Potential, 1e-10*largest(s.Potential))
	})
}

// TestSameBits: the same network gives the same bits, also while other
// goroutines use the same factor.
func TestSameBits(t *testing.T) {
	n, injected := randomNetwork(rand.New(rand.NewPCG(16, 0)), 40, 1e-5, 10)
	want := mustSolve(t, n, injected)
	f, err := Factorize(n)
	if err != nil {
		t.Fatal(err)
	}
	answers := make(chan Solution)
	for range 8 {
		go func() {
			s, _ := f.Solve(nil, injected)
			answers <- s
		}()
	}
	for range 8 {
		s := <-answers
		if !slices.Equal(s.Current, want.Current) || !slices.Equal(s.Potential, want.Potential) ||
			s.Residual != want.Residual || s.Condition != want.Condition {
			t.Error("the same network gave other bits")
		}
	}
}

// TestFactorKeepsItsOwn: branches changed afterwards do not change a factor.
func TestFactorKeepsItsOwn(t *testing.T) {
	n := ladder(3, 12.8, 0.005, 0.001, 0.001)
	f, err := Factorize(n)
	if err != nil {
		t.Fatal(err)
	}
	want := mustSolve(t, n, drawn(6, 3, 0, 100))
	n.Branches[0] = Branch{From: 9, To: 9, Resistance: math.NaN()}
	got, err := f.Solve(nil, drawn(6, 3, 0, 100))
	if err != nil || !slices.Equal(got.Current, want.Current) {
		t.Errorf("got %v, %v, want %v", got.Current, err, want.Current)
	}
}
