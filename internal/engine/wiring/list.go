package wiring

import (
	"context"
	"math/bits"
)

// list is every rooted tree of a rail, in the order that decides ties: by edge
// list, then by the name of the root.
type list struct {
	*layout
	stride int       // values a tree: m row sums less their mean, mean, largest
	vec    []float64 // ohm
	copper []int64   // nm
	edges  []uint64  // bit k set: the pair of rank k is in the tree
	root   []uint8
}

func (t *list) len() int { return len(t.edges) }

// row is the vector of tree i: centred row sums, their mean, the largest sum.
func (t *list) row(i int) []float64 { return t.vec[i*t.stride : (i+1)*t.stride] }

// precedes reports whether tree i comes before tree j by edge list, and
// whether the edge lists are the same. Trees of one rail have equally many
// edges, so the one that holds the first pair in which they differ is first.
func (t *list) precedes(i, j int) (before, same bool) {
	differ := t.edges[i] ^ t.edges[j]
	if differ == 0 {
		return false, true
	}
	return t.edges[i]&(differ&-differ) != 0, false
}

// lister walks all spanning trees by taking or leaving the pairs in the order
// of their ranks, taking first, so that trees come out in order.
type lister struct {
	*layout
	comp   [maxNodes]uint64 // node -> nodes joined to it so far
	near   [maxNodes]uint64 // tree edges so far
	degree [maxNodes]int
	full   uint64   // nodes that hold all the cable ends they may
	later  []uint64 // rank × node -> nodes that pairs of this rank or later reach
	taken  uint64
	copper int64
	visits int
	most   int // visits before the walk gives up
	emit   func(edges uint64, copper int64) bool
	ctx    context.Context
}

// A limit on cable ends makes dead ends, and a rail could be all dead ends, so
// the steps of a walk are bounded. Without a limit each step leads to a tree,
// and no tree is deeper than maxNodes: the bound is then never met.
const (
	visitsPerTree = maxNodes
	leastVisits   = 1 << 20
)

func newLister(ctx context.Context, l *layout, limit int) *lister {
	w := &lister{layout: l, ctx: ctx, most: max(limit*visitsPerTree, leastVisits)}
	p := len(l.ends)
	w.later = make([]uint64, (p+1)*l.nodes)
	for k := p - 1; k >= 0; k-- {
		copy(w.later[k*l.nodes:(k+1)*l.nodes], w.later[(k+1)*l.nodes:])
		a, b := l.ends[k][0], l.ends[k][1]
		w.later[k*l.nodes+a] |= 1 << b
		w.later[k*l.nodes+b] |= 1 << a
	}
	for v := range l.nodes {
		w.comp[v] = 1 << v
	}
	return w
}

// walk goes on from a rank with the edges still to be taken; false ends it.
func (w *lister) walk(rank, missing int) bool {
	w.visits++
	if w.visits > w.most || (w.visits%4096 == 0 && w.ctx.Err() != nil) {
		return false
	}
	if missing == 0 {
		return w.emit(w.taken, w.copper)
	}
	for ; rank < len(w.ends); rank++ {
		a, b := w.ends[rank][0], w.ends[rank][1]
		if w.comp[a]&(1<<b) != 0 || w.full&(1<<a|1<<b) != 0 {
			continue
		}
		if !w.take(rank, missing) {
			return false
		}
		if !w.joinable(rank + 1) {
			return true
		}
	}
	return true
}

// take puts the pair in, walks on and takes it out again.
func (w *lister) take(rank, missing int) bool {
	a, b := w.ends[rank][0], w.ends[rank][1]
	ca, cb, full := w.comp[a], w.comp[b], w.full
	w.setComp(ca|cb, ca|cb)
	w.near[a] |= 1 << b
	w.near[b] |= 1 << a
	w.count(a, 1)
	w.count(b, 1)
	w.taken |= 1 << rank
	w.copper += w.length[rank]
	more := true
	if w.full == full || w.joinable(rank+1) {
		more = w.walk(rank+1, missing-1)
	}
	w.copper -= w.length[rank]
	w.taken &^= 1 << rank
	w.count(a, -1)
	w.count(b, -1)
	w.full = full
	w.near[a] &^= 1 << b
	w.near[b] &^= 1 << a
	w.setComp(ca, ca)
	w.setComp(cb, cb)
	return more
}

func (w *lister) setComp(nodes, value uint64) {
	for ; nodes != 0; nodes &= nodes - 1 {
		w.comp[bits.TrailingZeros64(nodes)&(maxNodes-1)] = value
	}
}

// count adds cable ends at a node.
func (w *lister) count(node, ends int) {
	w.degree[node] += ends
	if w.lugs > 0 && w.degree[node] >= w.lugs {
		w.full |= 1 << node
	}
}

// joinable reports whether pairs from this rank on can still join everything.
func (w *lister) joinable(rank int) bool {
	later := w.later[rank*w.nodes : (rank+1)*w.nodes]
	reached := w.comp[0]
	for fresh := reached &^ w.full; fresh != 0; {
		next := uint64(0)
		for ; fresh != 0; fresh &= fresh - 1 {
			next |= later[bits.TrailingZeros64(fresh)]
		}
		next &^= reached | w.full
		whole := uint64(0)
		for ; next != 0; next &= next - 1 {
			whole |= w.comp[bits.TrailingZeros64(next)&(maxNodes-1)]
		}
		reached |= whole
		fresh = whole &^ w.full
	}
	return bits.OnesCount64(reached) == w.nodes
}

// listTrees lists every rooted tree of a rail, size being how many there are,
// 0 if not known. offset, if not nil, is added to the row sums. ok is false
// where there are more than limit, or where the walk took too many steps; the
// list is then of no use.
func listTrees(ctx context.Context, l *layout, offset []float64, size, limit int) (t *list, ok bool, err error) {
	m := len(l.place)
	t = &list{
		layout: l, stride: m + 2,
		vec:    make([]float64, 0, size*(m+2)),
		copper: make([]int64, 0, size),
		edges:  make([]uint64, 0, size),
		root:   make([]uint8, 0, size),
	}
	w := newLister(ctx, l, limit)
	var g grown
	w.emit = func(edges uint64, copper int64) bool {
		if len(t.edges)+len(l.roots) > limit {
			return false
		}
		for _, root := range l.roots {
			g.grow(&w.near, root)
			t.vec = append(t.vec, make([]float64, m+2)...)
			row := t.vec[len(t.vec)-m-2:]
			l.rowSums(&g, row[:m])
			l.centre(row, offset)
			t.copper = append(t.copper, copper)
			t.edges = append(t.edges, edges)
			t.root = append(t.root, uint8(root))
		}
		return true
	}
	ok = w.walk(0, l.nodes-1)
	return t, ok, ctx.Err()
}

// countTrees counts what listTrees would list, up to limit.
func countTrees(ctx context.Context, l *layout, limit int) (count int, ok bool) {
	w := newLister(ctx, l, limit)
	w.emit = func(uint64, int64) bool {
		count += len(l.roots)
		return count <= limit
	}
	ok = w.walk(0, l.nodes-1)
	return count, ok
}

// centre adds the offset to m row sums, subtracts their weighted mean, and
// puts the mean and the largest sum behind them.
func (l *layout) centre(row, offset []float64) {
	m := len(l.place)
	mean, total := 0.0, 0.0
	for k, node := range l.place {
		if offset != nil {
			row[k] += offset[k]
		}
		mean += float64(l.weight[node] * row[k])
		total += l.weight[node]
	}
	mean /= total
	top := row[0]
	for k := range m {
		top = max(top, row[k])
		row[k] -= mean
	}
	row[m], row[m+1] = mean, top
}
