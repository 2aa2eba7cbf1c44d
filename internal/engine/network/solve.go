package network

import (
	"errors"
	"fmt"
	"math"
)

// Solution is what a network does, with the quality of the answer.
type Solution struct {
	Potential []float64 // V at each node; the lowest-numbered node of each connected part is at 0
	Current   []float64 // A in each branch, positive From -> To
	Residual  float64   // A, largest imbalance at any node: injected less flowing off
	Condition float64   // as Factor.Condition: how much the numbers given may be magnified
}

// floatingTolerance is how far the injections into a part may miss zero,
// relative to the sum of their sizes: more than rounding can bring about among
// a million of them, less than any current given in decimal would miss by.
const floatingTolerance = 1e-9

// Solve finds all potentials and currents for the given EMFs, V for each branch
// (nil: those the branches came with), and the given currents, A put into each
// node from outside (nil: none). What is put in at one node of a connected part
// must come out at others of that part; what is left over by rounding goes
// through its lowest node. A node without branches is at 0 V.
//
// Errors: *BranchError for an EMF, *NodeError for a current that is NaN or
// infinite, *FloatingError for a part with a sum other than zero, a plain error
// for a slice of the wrong length. A solution without an error may still have
// overflowed: use Check before printing anything.
func (f *Factor) Solve(emf, injected []float64) (Solution, error) {
	nodes := len(f.ground)
	sum, carry := twoSlices(nodes, nodes)
	if err := f.checkEMF(emf); err != nil {
		return Solution{}, err
	}
	if err := f.checkInjected(injected, sum, carry); err != nil {
		return Solution{}, err
	}
	potential, current := twoSlices(nodes, len(f.links))
	f.ohm(potential, emf, current)
	f.imbalance(current, injected, sum, carry)
	f.substitute(sum)
	copy(potential, sum)
	f.ohm(potential, emf, current)

	// One step of refinement. The currents are corrected themselves rather
	// than computed anew from corrected potentials, because a potential of
	// tens of volts cannot hold a correction of 1e-17 V, while a current through
	// a link of micro-ohms feels it.
	f.imbalance(current, injected, sum, carry)
	f.substitute(sum)
	for v, correction := range sum {
		potential[v] += correction
	}
	for i, l := range f.links {
		current[i] += float64(l.conductance * (sum[l.from] - sum[l.to]))
	}
	f.imbalance(current, injected, sum, carry)
	return Solution{Potential: potential, Current: current, Residual: largest(sum), Condition: f.Condition()}, nil
}

// twoSlices makes two zeroed slices in one allocation.
func twoSlices(a, b int) ([]float64, []float64) {
	all := make([]float64, a+b)
	return all[:a:a], all[a:]
}

func (f *Factor) checkEMF(emf []float64) error {
	if emf != nil && len(emf) != len(f.links) {
		return fmt.Errorf("network: %d EMFs for %d branches; give one for each", len(emf), len(f.links))
	}
	for i, e := range emf {
		if !finite(e) {
			return &BranchError{Branch: i, Reason: emfFault(e)}
		}
	}
	return nil
}

// checkInjected uses two zeroed slices of one value a node.
func (f *Factor) checkInjected(injected, sum, size []float64) error {
	if injected == nil {
		return nil
	}
	if len(injected) != len(f.ground) {
		return fmt.Errorf("network: %d injected currents for %d nodes; give one for each", len(injected), len(f.ground))
	}
	for v, j := range injected {
		if !finite(j) {
			return &NodeError{Node: v, Reason: fmt.Sprintf("injected current is %g A; give a finite number of amps", j)}
		}
		sum[f.ground[v]] += j
		size[f.ground[v]] += math.Abs(j)
	}
	for v := range sum {
		// Written with !(<=) so that a sum that overflowed is refused too.
		if !(math.Abs(sum[v]) <= floatingTolerance*size[v]) || math.IsInf(size[v], 1) {
			return &FloatingError{Nodes: f.nodesOf(int32(v)), Injected: sum[v]}
		}
	}
	return nil
}

// nodesOf lists the nodes of the part with the given lowest node, ascending.
func (f *Factor) nodesOf(ground int32) []int {
	var nodes []int
	for v, g := range f.ground {
		if g == ground {
			nodes = append(nodes, v)
		}
	}
	return nodes
}

// ohm sets the current of each branch from the potentials at its ends.
func (f *Factor) ohm(potential, emf, current []float64) {
	for i, l := range f.links {
		e := l.emf
		if emf != nil {
			e = emf[i]
		}
		current[i] = float64(l.conductance * (potential[l.from] - potential[l.to] + e))
	}
}

// imbalance sets sum to what is injected at each node less what flows off
// through its branches. A hub adds up 100 000 currents, so the sums carry
// their rounding errors along in carry (two-sum; D. E. Knuth, The Art of
// Computer Programming 2, 4.2.2, from memory).
func (f *Factor) imbalance(current, injected, sum, carry []float64) {
	clear(sum)
	copy(sum, injected)
	clear(carry)
	for i, l := range f.links {
		addTo(&sum[l.from], &carry[l.from], -current[i])
		addTo(&sum[l.to], &carry[l.to], current[i])
	}
	for v, c := range carry {
		sum[v] += c
	}
}

func addTo(sum, carry *float64, x float64) {
	s := *sum + x
	part := s - *sum
	*carry += (*sum - (s - part)) + (x - part)
	*sum = s
}

// substitute turns currents into the nodes into the potentials they give, in
// place: down the factor, then up again with the grounded nodes at zero.
func (f *Factor) substitute(x []float64) {
	start := 0
	for _, r := range f.rows {
		here := x[r.node]
		for _, e := range f.entries[start:r.end] {
			x[e.to] += float64(e.weight * here)
		}
		start = r.end
	}
	for v, g := range f.ground {
		if int32(v) == g {
			x[v] = 0
		}
	}
	for k := len(f.rows) - 1; k >= 0; k-- {
		r := f.rows[k]
		start = 0
		if k > 0 {
			start = f.rows[k-1].end
		}
		here := x[r.node] / r.pivot
		for _, e := range f.entries[start:r.end] {
			here += float64(e.weight * x[e.to])
		}
		x[r.node] = here
	}
}

// Condition is the condition number, in the 1-norm, of the conductance matrix
// with the grounded nodes left out; 1 when nothing is left. No estimate is
// needed: the inverse of this matrix has no negative element, so that its
// 1-norm is the largest potential when 1 A goes into every node (N. J. Higham,
// Accuracy and Stability of Numerical Algorithms, chapter on condition
// estimation, from memory). Computed once, when first asked for, at the cost of
// one substitution.
//
// It bounds what a general solver would lose. This one loses less, since it
// never subtracts conductances.
func (f *Factor) Condition() float64 {
	f.once.Do(func() {
		f.condition = 1
		if len(f.rows) > 0 {
			f.condition = f.norm() * f.inverseNorm()
		}
	})
	return f.condition
}

// norm is the largest column sum of sizes: the conductances at a node once for
// the diagonal, and those that lead to nodes not grounded once more.
func (f *Factor) norm() float64 {
	column := make([]float64, len(f.ground))
	add := func(v, other int32, conductance float64) {
		switch {
		case f.ground[v] == v:
		case f.ground[other] == other:
			column[v] += conductance
		default:
			column[v] += float64(2 * conductance)
		}
	}
	for _, l := range f.links {
		add(l.from, l.to, l.conductance)
		add(l.to, l.from, l.conductance)
	}
	return largest(column)
}

func (f *Factor) inverseNorm() float64 {
	x := make([]float64, len(f.ground))
	for v := range x {
		x[v] = 1
	}
	f.substitute(x)
	return largest(x)
}

// largest is the largest size among the values, 0 if there are none, NaN if any
// is NaN.
func largest(values []float64) float64 {
	most := 0.0
	for _, x := range values {
		most = max(most, math.Abs(x))
	}
	return most
}

// Limits of Check. The relative one is far below the digits anyone prints; the
// absolute one, a picoampere, is below anything a bank has, and keeps a network
// at rest, where every current is rounding, from being refused.
const (
	maxRelativeResidual = 1e-6
	maxAbsoluteResidual = 1e-12 // A
)

// Check reports whether the solution may be used for a printed number: every
// value finite, and the residual at most a millionth of the largest branch
// current or 1e-12 A, whichever is more.
func (s Solution) Check() error {
	current := largest(s.Current)
	if !finite(current) || !finite(largest(s.Potential)) || !finite(s.Residual) {
		return errors.New("network: a potential or current is beyond what can be computed; look for an EMF, current or resistance in the wrong unit")
	}
	if limit := max(maxRelativeResidual*current, maxAbsoluteResidual); s.Residual > limit {
		return fmt.Errorf("network: %.3g A unbalanced at a node (limit %.3g A, condition %.1e); look for resistances in the wrong unit",
			s.Residual, limit, s.Condition)
	}
	return nil
}
