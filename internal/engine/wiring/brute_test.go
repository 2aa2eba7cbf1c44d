package wiring

import (
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"
)

// The oracle of this file shares nothing with the package: it lists trees by
// trying every set of pairs, solves the whole network node by node, and sorts
// everything it found.

// oracleTree is a rooted spanning tree.
type oracleTree struct {
	pairs []int
	root  int
	edges [][2]string // written with the lesser name first, sorted
}

// oracleTrees tries every set of pairs with one pair less than nodes.
func oracleTrees(r *Rail) []oracleTree {
	var out []oracleTree
	n := len(r.Names)
	chosen := make([]int, 0, n)
	var rec func(from int)
	rec = func(from int) {
		if len(chosen) == n-1 {
			if oracleIsTree(r, chosen) {
				edges := oracleEdges(r, chosen)
				for _, root := range r.Roots {
					out = append(out, oracleTree{slices.Clone(chosen), root, edges})
				}
			}
			return
		}
		for i := from; i < len(r.Pairs); i++ {
			chosen = append(chosen, i)
			rec(i + 1)
			chosen = chosen[:len(chosen)-1]
		}
	}
	rec(0)
	return out
}

// oracleIsTree colours the nodes and counts cable ends.
func oracleIsTree(r *Rail, pairs []int) bool {
	colour := make([]int, len(r.Names))
	ends := make([]int, len(r.Names))
	for v := range colour {
		colour[v] = v
	}
	for _, i := range pairs {
		a, b := r.Pairs[i].A, r.Pairs[i].B
		ends[a]++
		ends[b]++
		old := colour[b]
		if colour[a] == old {
			return false
		}
		for v := range colour {
			if colour[v] == old {
				colour[v] = colour[a]
			}
		}
	}
	return r.Lugs == 0 || slices.Max(ends) <= r.Lugs
}

func oracleEdges(r *Rail, pairs []int) [][2]string {
	var edges [][2]string
	for _, i := range pairs {
		e := []string{r.Names[r.Pairs[i].A], r.Names[r.Pairs[i].B]}
		slices.Sort(e)
		edges = append(edges, [2]string{e[0], e[1]})
	}
	slices.SortFunc(edges, func(a, b [2]string) int { return slices.Compare(a[:], b[:]) })
	return edges
}

// network is the full circuit: one unknown voltage a node, the negative root
// being the reference, the current drawn at the positive root.
type network struct {
	q       *Question
	a       [][]float64 // conductances, then the source in the last column
	voltage []float64
	share   []float64
}

func newNetwork(q *Question) *network {
	n := len(q.Positive.Names) + len(q.Negative.Names)
	w := &network{q: q, voltage: make([]float64, n), share: make([]float64, len(q.Strings))}
	for range n {
		w.a = append(w.a, make([]float64, n+1))
	}
	return w
}

func (w *network) join(a, b int, ohm float64) {
	g := 1 / ohm
	w.a[a][a] += g
	w.a[b][b] += g
	w.a[a][b] -= g
	w.a[b][a] -= g
}

// solve fills voltage and gives the imbalance.
func (w *network) solve(p, n oracleTree) float64 {
	first := len(w.q.Positive.Names)
	last := len(w.a)
	for _, row := range w.a {
		clear(row)
	}
	for _, i := range p.pairs {
		pair := w.q.Positive.Pairs[i]
		w.join(pair.A, pair.B, pair.Resistance)
	}
	for _, i := range n.pairs {
		pair := w.q.Negative.Pairs[i]
		w.join(first+pair.A, first+pair.B, pair.Resistance)
	}
	for i, s := range w.q.Strings {
		if s.Off {
			continue
		}
		a := slices.Index(w.q.Positive.String, i)
		b := first + slices.Index(w.q.Negative.String, i)
		w.join(a, b, s.Resistance)
		w.a[a][last] += w.emf(i) / s.Resistance
		w.a[b][last] -= w.emf(i) / s.Resistance
	}
	w.a[p.root][last] -= w.q.Current
	ground := w.a[first+n.root]
	clear(ground)
	ground[first+n.root] = 1
	w.gauss()
	return w.imbalance()
}

// gauss eliminates with row pivoting.
func (w *network) gauss() {
	n := len(w.a)
	for k := range n {
		top := k
		for i := k + 1; i < n; i++ {
			if math.Abs(w.a[i][k]) > math.Abs(w.a[top][k]) {
				top = i
			}
		}
		w.a[k], w.a[top] = w.a[top], w.a[k]
		for i := k + 1; i < n; i++ {
			f := w.a[i][k] / w.a[k][k]
			if f == 0 {
				continue
			}
			for j := k; j <= n; j++ {
				w.a[i][j] -= f * w.a[k][j]
			}
		}
	}
	for k := n - 1; k >= 0; k-- {
		x := w.a[k][n]
		for j := k + 1; j < n; j++ {
			x -= w.a[k][j] * w.voltage[j]
		}
		w.voltage[k] = x / w.a[k][k]
	}
}

func (w *network) current(i int) float64 {
	s := w.q.Strings[i]
	if s.Off {
		return 0
	}
	a := slices.Index(w.q.Positive.String, i)
	b := len(w.q.Positive.Names) + slices.Index(w.q.Negative.String, i)
	return (w.emf(i) - (w.voltage[a] - w.voltage[b])) / s.Resistance
}

// emf is counted from that of the first string: an EMF common to all strings
// moves no current, but it would cost the digits that ties are made of.
func (w *network) emf(i int) float64 { return w.q.Strings[i].EMF - w.q.Strings[0].EMF }

func (w *network) imbalance() float64 {
	capacity, total := 0.0, 0.0
	for i, s := range w.q.Strings {
		if !s.Off {
			capacity += s.Capacity
			total += w.current(i)
		}
	}
	worst := math.Inf(-1)
	for i, s := range w.q.Strings {
		if !s.Off {
			w.share[i] = (w.current(i) / s.Capacity) / (total / capacity)
			worst = max(worst, w.share[i])
		}
	}
	return worst - 1
}

// oraclePoint is one wiring of the brute front.
type oraclePoint struct {
	copper, imbalance  float64
	ties               uint64
	positive, negative oracleTree
}

// bruteFront solves every wiring.
func bruteFront(q *Question) (front []oraclePoint, space int) {
	ps, ns := oracleTrees(&q.Positive), oracleTrees(&q.Negative)
	imb := make([][]float64, len(ps))
	var wg sync.WaitGroup
	for k := range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			net := newNetwork(q)
			for i := k; i < len(ps); i += runtime.GOMAXPROCS(0) {
				imb[i] = make([]float64, len(ns))
				for j := range ns {
					imb[i][j] = net.solve(ps[i], ns[j])
				}
			}
		})
	}
	wg.Wait()
	pc, nc := oracleCopper(&q.Positive, ps), oracleCopper(&q.Negative, ns)
	least := map[int64]float64{}
	for i := range ps {
		for j := range ns {
			class := (pc[i] + nc[j] + 500) / 1000
			if v, ok := least[class]; !ok || imb[i][j] < v {
				least[class] = imb[i][j]
			}
		}
	}
	kept := keptClasses(least)
	for i := range ps {
		for j := range ns {
			k, ok := kept[(pc[i]+nc[j]+500)/1000]
			if ok && imb[i][j] <= k.imbalance+1e-9 {
				k.meet(ps[i], ns[j], q, float64(pc[i]+nc[j])/1e9)
			}
		}
	}
	for _, k := range kept {
		front = append(front, *k)
	}
	slices.SortFunc(front, func(a, b oraclePoint) int { return int(math.Copysign(1, a.copper-b.copper)) })
	return front, len(ps) * len(ns)
}

func oracleCopper(r *Rail, trees []oracleTree) []int64 {
	out := make([]int64, len(trees))
	for i, t := range trees {
		for _, p := range t.pairs {
			out[i] += int64(math.Round(r.Pairs[p].Length * 1e9))
		}
	}
	return out
}

func keptClasses(least map[int64]float64) map[int64]*oraclePoint {
	var classes []int64
	for c := range least {
		classes = append(classes, c)
	}
	slices.Sort(classes)
	kept := map[int64]*oraclePoint{}
	last := math.Inf(1)
	for _, c := range classes {
		if least[c] < last-1e-9 {
			last = least[c]
			kept[c] = &oraclePoint{imbalance: last}
		}
	}
	return kept
}

// meet counts one more equal wiring and keeps the first.
func (o *oraclePoint) meet(p, n oracleTree, q *Question, copper float64) {
	o.ties++
	if o.ties == 1 || oracleOrder(p, n, q) < oracleOrder(o.positive, o.negative, q) {
		o.positive, o.negative, o.copper = p, n, copper
	}
}

// oracleOrder writes a wiring so that plain string order is the order of
// equal wirings: names end in a byte below all others.
func oracleOrder(p, n oracleTree, q *Question) string {
	var b strings.Builder
	for _, t := range []oracleTree{p, n} {
		for _, e := range t.edges {
			b.WriteString(e[0] + "\x00" + e[1] + "\x00")
		}
	}
	b.WriteString(q.Positive.Names[p.root] + "\x00" + q.Negative.Names[n.root] + "\x00")
	return b.String()
}
