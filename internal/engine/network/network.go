// Package network solves resistive networks with EMFs: any graph, each branch
// a resistance above zero with an EMF in series, any currents put in at the
// nodes. It knows no batteries.
//
// # Method
//
// The nodal equations are solved by sparse LDLᵀ of the conductance matrix,
// one node of each connected part grounded. Eliminating a node is the
// star-mesh transformation: the star of its conductances g₁, g₂ … with sum d
// becomes a mesh of gᵢ·gⱼ/d between its neighbours. Conductances stay positive
// and each pivot is a plain sum of them, so that nothing cancels, however far
// apart the resistances lie (eliminate.go). Nodes with the fewest neighbours go
// first, which keeps chains, ladders, trees and banks on two buses linear in
// time and memory.
//
// What a factor gives is refined once from the branch currents themselves
// (solve.go), and a solution carries its own quality: the largest imbalance at
// a node and the condition of the equations.
//
// References, all from memory: star-mesh transformation, A. Rosen, J. IEE 62
// (1924); minimum degree, W. F. Tinney and J. W. Walker, Proc. IEEE 55 (1967)
// 1801-1809; pivots without subtraction, W. K. Grassmann, M. I. Taksar and
// D. P. Heyman, Operations Research 33 (1985) 1107-1116.
package network

import (
	"fmt"
	"sync"
)

// Branch is one two-ended element: a resistance with an EMF in series. Its
// current is positive when it flows From -> To through the branch:
//
//	V(From) - V(To) + EMF = Current * Resistance
//
// so that a battery is Branch{From: negative post, To: positive post}, positive
// current meaning discharge.
type Branch struct {
	From, To   int     // node numbers, not the same
	Resistance float64 // ohm, above zero
	EMF        float64 // V, any finite value
}

// Network is a graph of branches over the nodes 0 to Nodes-1. It may fall into
// several connected parts, may have no branches, and two nodes may be joined by
// any number of branches.
type Network struct {
	Nodes    int
	Branches []Branch
}

// Range of resistance that can be computed with, ohm: so wide that only a slip
// of units can leave it, and so narrow that no sum or quotient of conductances
// overflows.
const (
	minResistance = 1e-100
	maxResistance = 1e100
)

// maxNodes and maxBranches bound the memory and keep numbers within 32 bits:
// ten times and more what 100 000 batteries in a ladder have.
const (
	maxNodes    = 1 << 22
	maxBranches = 1 << 23
)

// link is a checked branch in the form the sums need.
type link struct {
	from, to    int32
	conductance float64 // S
	emf         float64 // V
}

// Factor is a factorised network, ready for any EMFs and any injected currents.
// It keeps its own copy of the branches. It may be used by several goroutines
// at once; do not copy it.
type Factor struct {
	links   []link
	ground  []int32 // of each node: lowest node of its connected part
	rows    []row   // in order of elimination
	entries []entry // of all rows, one after the other

	once      sync.Once
	condition float64
}

// row is one eliminated node: its pivot, and where its entries end.
type row struct {
	pivot float64 // S, sum of the conductances to all neighbours left
	end   int     // its entries are those from the previous row's end to here
	node  int32
}

// entry is one element of the triangular factor, with its sign turned: the
// share of a row's pivot that leads to the given node.
type entry struct {
	weight float64 // 0 to 1
	to     int32
}

// Factorize checks and factorises a network. The error is a *BranchError for a
// branch that cannot be computed with, and a plain error for a number of nodes
// below zero or a network too large. A network with no nodes is allowed.
func Factorize(n Network) (*Factor, error) {
	return factorize(n, defaultLimits)
}

func factorize(n Network, lim limits) (*Factor, error) {
	links, err := check(n)
	if err != nil {
		return nil, err
	}
	f := &Factor{links: links, ground: lowestOfPart(n.Nodes, links)}
	if err := f.eliminateAll(lim); err != nil {
		return nil, err
	}
	return f, nil
}

// Solve factorises a network and solves it with its own EMFs: Factorize, then
// Factor.Solve.
func Solve(n Network, injected []float64) (Solution, error) {
	f, err := Factorize(n)
	if err != nil {
		return Solution{}, err
	}
	return f.Solve(nil, injected)
}

// check refuses what cannot be computed with and returns the rest.
func check(n Network) ([]link, error) {
	if n.Nodes < 0 || n.Nodes > maxNodes || len(n.Branches) > maxBranches {
		return nil, fmt.Errorf("network: %d nodes and %d branches; allowed are 0 to %d nodes and up to %d branches",
			n.Nodes, len(n.Branches), maxNodes, maxBranches)
	}
	links := make([]link, len(n.Branches))
	for i, b := range n.Branches {
		if reason := b.fault(n.Nodes); reason != "" {
			return nil, &BranchError{Branch: i, Reason: reason}
		}
		links[i] = link{from: int32(b.From), to: int32(b.To), conductance: 1 / b.Resistance, emf: b.EMF}
	}
	return links, nil
}

// fault says what is wrong with a branch of a network of so many nodes, or "".
func (b Branch) fault(nodes int) string {
	switch {
	case b.From < 0 || b.From >= nodes || b.To < 0 || b.To >= nodes:
		return fmt.Sprintf("joins node %d to node %d; the nodes are 0 to %d", b.From, b.To, nodes-1)
	case b.From == b.To:
		return fmt.Sprintf("both ends are at node %d; join two different nodes", b.From)
	case !(b.Resistance > 0): // written so that NaN is caught
		return fmt.Sprintf("resistance is %g ohm; it must be above zero (merge nodes that are one ideal joint)", b.Resistance)
	case b.Resistance < minResistance || b.Resistance > maxResistance:
		return fmt.Sprintf("resistance is %g ohm; give %g to %g ohm (leave the branch out where nothing conducts)",
			b.Resistance, minResistance, maxResistance)
	case !finite(b.EMF):
		return emfFault(b.EMF)
	}
	return ""
}

func emfFault(emf float64) string {
	return fmt.Sprintf("EMF is %g V; give a finite number of volts", emf)
}

// finite reports whether x is neither NaN nor infinite.
func finite(x float64) bool {
	return x-x == 0
}

// lowestOfPart gives, for each node, the lowest-numbered node of its connected
// part: union-find in which the lower root always wins.
func lowestOfPart(nodes int, links []link) []int32 {
	up := make([]int32, nodes)
	for v := range up {
		up[v] = int32(v)
	}
	root := func(v int32) int32 {
		for up[v] != v {
			up[v] = up[up[v]] // halve the way, for the next caller
			v = up[v]
		}
		return v
	}
	for _, l := range links {
		a, b := root(l.from), root(l.to)
		up[max(a, b)] = min(a, b)
	}
	for v := range up {
		up[v] = up[up[v]] // a parent is lower, so already flat
	}
	return up
}
