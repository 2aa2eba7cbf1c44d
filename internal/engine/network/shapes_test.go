package network

import (
	"math"
	"math/rand/v2"
	"testing"
)

// ladder is n batteries on two chains of links, rung k from node k (negative
// post) to node n+k (positive post).
func ladder(n int, emf, battery, positiveLink, negativeLink float64) Network {
	net := Network{Nodes: 2 * n, Branches: make([]Branch, 0, 3*n)}
	for k := range n {
		net.Branches = append(net.Branches, Branch{From: k, To: n + k, Resistance: battery, EMF: emf})
	}
	for k := range n - 1 {
		net.Branches = append(net.Branches,
			Branch{From: k, To: k + 1, Resistance: negativeLink},
			Branch{From: n + k, To: n + k + 1, Resistance: positiveLink})
	}
	return net
}

// drawn is the injection of a load: current out at positive, back at negative.
func drawn(nodes, positive, negative int, current float64) []float64 {
	j := make([]float64, nodes)
	j[positive] -= current
	j[negative] += current
	return j
}

// fan is a hub with n leaves; the hub is node hub, 0 to n.
func fan(n, hub int) Network {
	net := Network{Nodes: n + 1}
	for v := range n + 1 {
		if v != hub {
			net.Branches = append(net.Branches, Branch{From: v, To: hub, Resistance: 0.004, EMF: 12.8})
		}
	}
	return net
}

// twoBuses joins two buses by n paths of a lead and a battery; node 0 is a
// leaf on the first bus, so that neither bus is grounded.
func twoBuses(n int) Network {
	net := Network{Nodes: n + 3, Branches: []Branch{{From: 0, To: 1, Resistance: 0.001}}}
	for k := range n {
		net.Branches = append(net.Branches,
			Branch{From: 1, To: 3 + k, Resistance: 0.004, EMF: 12.8},
			Branch{From: 3 + k, To: 2, Resistance: 0.0005})
	}
	return net
}

// ring is n batteries in series, the last joined to the first.
func ring(n int) Network {
	net := Network{Nodes: n}
	for v := range n {
		net.Branches = append(net.Branches, Branch{From: v, To: (v + 1) % n, Resistance: 0.004, EMF: 3.2})
	}
	return net
}

// binaryTree has node v under node (v-1)/2.
func binaryTree(n int) Network {
	net := Network{Nodes: n}
	for v := 1; v < n; v++ {
		net.Branches = append(net.Branches, Branch{From: (v - 1) / 2, To: v, Resistance: 0.001})
	}
	return net
}

// randomNetwork is a connected graph of 2 to most nodes with resistances spread
// log-uniformly (a link of 1e-5 ohm to a load of 10 ohm is what a bank spans),
// EMFs in two of three branches and currents put in at about half of the nodes.
func randomNetwork(rng *rand.Rand, most int, low, high float64) (Network, []float64) {
	n := Network{Nodes: 2 + rng.IntN(most-1)}
	join := func(a, b int) {
		if rng.IntN(2) == 0 {
			a, b = b, a
		}
		r := low * math.Pow(high/low, rng.Float64())
		e := 60 * rng.Float64() * float64(min(1, rng.IntN(3)))
		n.Branches = append(n.Branches, Branch{From: a, To: b, Resistance: r, EMF: e})
	}
	for v := 1; v < n.Nodes; v++ {
		join(rng.IntN(v), v)
	}
	for range rng.IntN(2 * n.Nodes) {
		a := rng.IntN(n.Nodes)
		join(a, (a+1+rng.IntN(n.Nodes-1))%n.Nodes)
	}
	injected := make([]float64, n.Nodes)
	for v := 1; v < n.Nodes; v++ {
		if v == 1 || rng.IntN(2) == 0 { // one at least: a tree of EMFs alone carries nothing
			injected[v] = 100 * rng.NormFloat64()
			injected[0] -= injected[v]
		}
	}
	return n, injected
}

func mustSolve(t *testing.T, n Network, injected []float64) Solution {
	t.Helper()
	s, err := Solve(n, injected)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Check(); err != nil {
		t.Fatal(err)
	}
	return s
}

// wantClose demands every value within tol of its fellow.
func wantClose(t *testing.T, what string, got, want []float64, tol float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%s: %d values, want %d", what, len(got), len(want))
	}
	for i := range got {
		if !(math.Abs(got[i]-want[i]) <= tol) {
			t.Errorf("%s %d: got %.15g, want %.15g (tolerance %.2g)", what, i, got[i], want[i], tol)
		}
	}
}

// manyBuses joins each of n nodes to all of ten buses.
func manyBuses(n int) Network {
	net := Network{Nodes: n + 10}
	for v := range n {
		for bus := range 10 {
			net.Branches = append(net.Branches, Branch{From: v, To: n + bus, Resistance: 0.001 * float64(1+(v+bus)%7), EMF: 12.8})
		}
	}
	return net
}
