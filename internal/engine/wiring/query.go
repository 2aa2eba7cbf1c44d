package wiring

import (
	"context"
	"slices"
)

// slack widens the bound, relative to the largest value in it, for the rounding
// of its own few operations: a thousand times what they can lose.
const slack = 1e-12

// visit is a pair of boxes still to be looked at, positive and negative. The
// search for the cut of a pair starts at that of the pair it came from.
type visit struct{ a, b, cut int }

// worker looks at pairs of boxes and keeps its own findings.
type worker struct {
	*search
	solver *solver
	cut    cut
	ledger ledger
	solved uint64
	stack  []visit
	paths  [2]*paths
	matrix [2][]float64 // path matrices
	held   [2]int       // the trees they are of, -1 for none
}

func newWorker(s *search) *worker {
	m := len(s.active)
	return &worker{
		search: s,
		solver: newSolver(s.bank),
		cut:    slices.Clone(s.cut),
		ledger: ledger{before: s.before},
		paths:  [2]*paths{newPaths(s.rails[0].layout), newPaths(s.rails[1].layout)},
		matrix: [2][]float64{make([]float64, triangle(m)), make([]float64, triangle(m))},
		held:   [2]int{-1, -1},
	}
}

// pairs solves every wiring of the positive trees in a box that the bound
// cannot rule out. false says that ctx was cancelled.
func (w *worker) pairs(ctx context.Context, box int) bool {
	p, n := w.rails[0], w.rails[1]
	w.stack = append(w.stack[:0], visit{a: box})
	for count := 0; len(w.stack) > 0; count++ {
		if count%1024 == 0 && ctx.Err() != nil {
			return false
		}
		v := w.stack[len(w.stack)-1]
		w.stack = w.stack[:len(w.stack)-1]
		v.cut = w.cutAt(micrometres(p.least[v.a]+n.least[v.b]), v.cut)
		eps := w.cut[v.cut].eps
		reach := w.mayHold(p.corner(v.a), n.corner(v.b), eps)
		if reach < 0 || !w.balances(p.floor(v.a), n.floor(v.b), eps, reach) {
			continue
		}
		la, lb := level(v.a), level(v.b)
		switch {
		case la == p.levels && lb == n.levels:
			w.leaves(v)
		case la < p.levels && (la <= lb || lb == n.levels):
			w.stack = append(w.stack, visit{2*v.a + 2, v.b, v.cut}, visit{2*v.a + 1, v.b, v.cut})
		default:
			w.stack = append(w.stack, visit{v.a, 2*v.b + 2, v.cut}, visit{v.a, 2*v.b + 1, v.cut})
		}
	}
	return ctx.Err() == nil
}

// cutAt is the point of the cut that holds for a class, searched for from a
// point that held for a lesser class. What was found meanwhile may have moved
// the points, so the search may have to go back first.
func (w *worker) cutAt(class int64, from int) int {
	from = min(from, len(w.cut)-1)
	for w.cut[from].class > class {
		from--
	}
	return w.cut.at(class, from)
}

// mayHold reports whether the bound allows an imbalance of eps for row sums
// that are nowhere above those of these two rows: trees or corners of boxes.
// Lowering a row sum never helps to meet the bound, so a corner that fails
// rules out all that is below it. It gives the largest row sum there can be, or
// -1 where the bound fails.
func (w *worker) mayHold(a, b []float64, eps float64) float64 {
	if eps == never {
		return -1
	}
	m := len(w.lift)
	lift, sa, sb := w.lift, a[:m], b[:m]
	one := 1 + eps
	// First with a coarse largest row sum, which most pairs fail at once.
	reach := a[m+1] + b[m+1]
	margin := slack * (float64(one*reach) + w.farthest)
	least := -float64(eps*reach) - margin
	top := 0.0
	for i, c := range lift {
		y := sa[i] + sb[i]
		if float64(one*y)-c < least {
			return -1
		}
		if y > top {
			top = y
		}
	}
	reach = top + a[m] + b[m]
	least = -float64(eps*reach) - margin
	for i, c := range lift {
		if float64(one*(sa[i]+sb[i]))-c < least {
			return -1
		}
	}
	return reach
}

// balances is what else must hold for row sums that are nowhere below those of
// two rows: trees or floors of boxes. Each string's excess z_i = (1+ε)(t_i - t̄)
// - c_i is at least -ε·t_max by the bound and at least what the floors say, and
// Σ w_i z_i = 0; so the weighted sum of the larger of the two is not above 0.
func (w *worker) balances(a, b []float64, eps, reach float64) bool {
	m := len(w.lift)
	lift, weight := w.lift, w.weight[:m]
	a, b = a[:m], b[:m]
	one := 1 + eps
	least := -float64(eps * reach)
	sum := 0.0
	for i, c := range lift {
		sum += float64(weight[i] * max(float64(one*(a[i]+b[i]))-c, least))
	}
	return sum <= slack*float64(m)*(float64(one*reach)+w.farthest)
}

// leaves tries the trees of two boxes one by one.
func (w *worker) leaves(v visit) {
	p, n := w.rails[0], w.rails[1]
	for i := int(p.span[v.a][0]); i < int(p.span[v.a][1]); i++ {
		row := p.row(i)
		at := w.cutAt(micrometres(p.copper[i]+n.least[v.b]), v.cut)
		eps := w.cut[at].eps
		reach := w.mayHold(row, n.corner(v.b), eps)
		if reach < 0 || !w.balances(row, n.floor(v.b), eps, reach) {
			continue
		}
		for k := int(n.span[v.b][0]); k < int(n.span[v.b][1]); k++ {
			class := micrometres(p.copper[i] + n.copper[k])
			at := w.cutAt(class, v.cut)
			if w.mayHold(row, n.row(k), w.cut[at].eps) >= 0 {
				w.try(i, k, class, at)
			}
		}
	}
}

// try solves a wiring and notes it if it may be on the front.
func (w *worker) try(i, k int, class int64, at int) {
	step := w.solve(i, k)
	if step > w.cut[at].step+tolerance {
		return
	}
	w.ledger.add(class, found{step: step, count: 1, tree: [2]int32{int32(i), int32(k)}})
	w.cut.lower(class, step)
}

// solve gives the imbalance, in steps, of positive tree i and negative tree k.
func (w *worker) solve(i, k int) float64 {
	w.solved++
	for side, tree := range [2]int{i, k} {
		if w.held[side] != tree {
			b := w.rails[side]
			w.paths[side].matrix(b.edges[tree], int(b.root[tree]), w.matrix[side])
			w.held[side] = tree
		}
	}
	return inSteps(w.solver.imbalance(w.matrix[0], w.matrix[1]))
}
