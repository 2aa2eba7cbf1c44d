package wiring

import (
	"cmp"
	"fmt"
	"math"
	"math/bits"
	"slices"
)

// layout is a rail made ready: nodes with their active strings, the candidate
// pairs in the order that decides ties, resistances by node.
type layout struct {
	nodes    int
	strings  []int // node -> active string, -1 for none
	place    []int // active string -> node
	weight   []float64
	nearAll  float64 // a weight of this or more is that of all active strings
	roots    []int   // in the order of their names
	lugs     int
	ranked   []int // rank -> index into Rail.Pairs; ranks are in name order
	ends     [][2]int
	length   []int64   // nm by rank
	resist   []float64 // ohm, nodes × nodes
	rootRank []int     // node -> position among roots
}

// leastTelling is a string's weight that no rounding of sums of weights can
// hide, with a wide margin. Below it no edge is taken for one that carries the
// whole current, which keeps the bound true, only less sharp.
const leastTelling = 1e-6

// newLayout takes the pairs in use (indices into r.Pairs) of a rail that has
// passed its check.
func newLayout(r *Rail, b *bank, use []int) *layout {
	n := len(r.Names)
	l := &layout{
		nodes:    n,
		strings:  make([]int, n),
		place:    make([]int, len(b.active)),
		weight:   make([]float64, n),
		roots:    slices.Clone(r.Roots),
		lugs:     r.Lugs,
		ranked:   rankPairs(r, use),
		resist:   make([]float64, n*n),
		rootRank: make([]int, n),
	}
	for node, s := range r.String {
		l.strings[node] = slices.Index(b.active, s)
		if k := l.strings[node]; k >= 0 {
			l.place[k] = node
			l.weight[node] = b.weight[k]
		}
	}
	l.nearAll = math.Inf(1)
	if least := slices.Min(b.weight); least > leastTelling {
		l.nearAll = float64(len(b.active)) - least/2
	}
	slices.SortFunc(l.roots, func(a, b int) int { return cmp.Compare(r.Names[a], r.Names[b]) })
	for i, root := range l.roots {
		l.rootRank[root] = i
	}
	for _, i := range l.ranked {
		p := r.Pairs[i]
		l.ends = append(l.ends, [2]int{p.A, p.B})
		l.length = append(l.length, nanometres(p.Length))
		l.resist[p.A*n+p.B] = p.Resistance
		l.resist[p.B*n+p.A] = p.Resistance
	}
	return l
}

// rankPairs sorts pairs by their two node names, the lesser name first, in
// plain string order.
func rankPairs(r *Rail, use []int) []int {
	names := func(i int) (string, string) {
		a, b := r.Names[r.Pairs[i].A], r.Names[r.Pairs[i].B]
		return min(a, b), max(a, b)
	}
	out := slices.Clone(use)
	slices.SortFunc(out, func(i, j int) int {
		ia, ib := names(i)
		ja, jb := names(j)
		return cmp.Or(cmp.Compare(ia, ja), cmp.Compare(ib, jb))
	})
	return out
}

// nanometres makes copper sums exact: whole numbers add without rounding in
// any order.
func nanometres(length float64) int64 { return int64(math.Round(length * 1e9)) }

// micrometres is the class in which two sums of copper are equal.
func micrometres(nm int64) int64 { return (nm + 500) / 1000 }

// grown is a tree seen from its root: nodes in an order in which each follows
// its parent.
type grown struct {
	order  [maxNodes]uint8
	parent [maxNodes]uint8
	n      int // nodes reached
}

// grow walks the tree with these neighbour sets outwards from its root.
func (g *grown) grow(near *[maxNodes]uint64, root int) {
	g.order[0] = uint8(root)
	g.n = 1
	left := ^(uint64(1) << root)
	for i := 0; i < g.n; i++ {
		v := g.order[i] & (maxNodes - 1)
		next := near[v] & left
		left &^= next
		for ; next != 0; next &= next - 1 {
			w := uint8(bits.TrailingZeros64(next))
			g.parent[w&(maxNodes-1)] = v
			g.order[g.n&(maxNodes-1)] = w
			g.n++
		}
	}
}

// neighbours sets near to the neighbour sets of the tree with these ranks.
func (l *layout) neighbours(edges uint64, near *[maxNodes]uint64) {
	clear(near[:l.nodes])
	for ; edges != 0; edges &= edges - 1 {
		e := l.ends[bits.TrailingZeros64(edges)]
		near[e[0]] |= 1 << e[1]
		near[e[1]] |= 1 << e[0]
	}
}

// rowSums writes the weighted row sums Σ_j A_ij w_j over the active strings.
// An edge counts in the sum of each node beyond it, times the weight beyond it;
// not so one that all active strings are beyond, which carries the whole
// current whatever their shares are (see the package doc).
func (l *layout) rowSums(g *grown, sums []float64) {
	var beyond, t [maxNodes]float64
	copy(beyond[:], l.weight)
	for i := l.nodes - 1; i > 0; i-- {
		v := g.order[i]
		beyond[g.parent[v]] += beyond[v]
	}
	t[g.order[0]] = 0
	for i := 1; i < l.nodes; i++ {
		v := g.order[i]
		p := g.parent[v]
		t[v] = t[p]
		if beyond[v] < l.nearAll {
			t[v] += float64(l.resist[int(p)*l.nodes+int(v)] * beyond[v])
		}
	}
	for k, node := range l.place {
		sums[k] = t[node]
	}
}

// paths holds the scratch that turns a tree into its packed path matrix.
type paths struct {
	*layout
	near [maxNodes]uint64
	grown
	full []float64
}

func newPaths(l *layout) *paths {
	return &paths{layout: l, full: make([]float64, l.nodes*l.nodes)}
}

// matrix writes the packed lower triangle of A over the active strings, for
// the tree with these ranks.
func (p *paths) matrix(edges uint64, root int, out []float64) {
	p.neighbours(edges, &p.near)
	p.grow(&p.near, root)
	p.pack(out)
}

// pack fills full row by row: a node shares with every node before it what its
// parent shares with that node.
func (p *paths) pack(out []float64) {
	n := p.nodes
	for w := 0; w < n; w++ {
		p.full[int(p.order[0])*n+w] = 0
	}
	for i := 1; i < n; i++ {
		v := int(p.order[i])
		up := int(p.parent[v])
		p.full[v*n+int(p.order[0])] = 0
		for _, w := range p.order[1:i] {
			x := p.full[up*n+int(w)]
			p.full[v*n+int(w)] = x
			p.full[int(w)*n+v] = x
		}
		p.full[v*n+v] = p.full[up*n+up] + p.resist[up*n+v]
	}
	k := 0
	for i, a := range p.place {
		for _, b := range p.place[:i+1] {
			out[k] = p.full[a*n+b]
			k++
		}
	}
}

// tree gives the cables of a listed tree as the caller knows them.
func (l *layout) tree(edges uint64, root int) Tree {
	t := Tree{Root: root, Pairs: []int{}}
	for ; edges != 0; edges &= edges - 1 {
		t.Pairs = append(t.Pairs, l.ranked[bits.TrailingZeros64(edges)])
	}
	return t
}

// connected reports a node that the pairs in use cannot join to node 0, -1 if
// there is none.
func (r *Rail) connected() int {
	var near [maxNodes]uint64
	for _, p := range r.Pairs {
		near[p.A] |= 1 << p.B
		near[p.B] |= 1 << p.A
	}
	var g grown
	g.grow(&near, r.Roots[0])
	if g.n == len(r.Names) {
		return -1
	}
	for node := range r.Names {
		if !slices.Contains(g.order[:g.n], uint8(node)) {
			return node
		}
	}
	return -1
}

func (r *Rail) checkConnected() error {
	if node := r.connected(); node >= 0 {
		return fmt.Errorf("no pairs join %s to %s: give a pair that does", r.Names[node], r.Names[r.Roots[0]])
	}
	return nil
}
