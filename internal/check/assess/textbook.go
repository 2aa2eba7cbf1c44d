package assess

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/engine/wiring"
	"bankwright/internal/model/report"
)

// arrangement is a way of wiring that the trade knows by name: a chain along
// the bank with each take-off at some string of it.
type arrangement struct {
	name string
	at   func(n int) (positive, negative int) // places in the chain, from 0
	from int                                  // fewest strings for which it differs from the others
}

var arrangements = []arrangement{
	{"same end", func(n int) (int, int) { return 0, 0 }, 2},
	{"opposite ends", func(n int) (int, int) { return 0, n - 1 }, 2},
	{"inner posts", func(n int) (int, int) { return 1, n - 2 }, 4},
	{"centre", func(n int) (int, int) { return (n - 1) / 2, n / 2 }, 3},
}

// textbook evaluates the arrangements of the trade on this bank: the four
// chains, and equal leads to studs.
func (q *question) textbook() []report.Wiring {
	order := q.chainOrder()
	var all []report.Wiring
	for _, a := range arrangements {
		if len(order) < a.from {
			continue
		}
		p, n := a.at(len(order))
		all = append(all, q.chain(a.name, order, [2]int{p, n}))
	}
	if len(order) == 4 {
		all[3].Note = strings.TrimPrefix(all[3].Note+"; with four the same as inner posts", "; ")
	}
	return append(all, q.equalLeads())
}

func lengthOf(m float64) quantity.Length { return quantity.Length(m) }

func missing(name, why string) report.Wiring {
	return report.Wiring{Name: name, Missing: true, Note: why}
}

// chain joins the strings in order on both rails and takes off at the given
// places: by a lead to the rail's stud, or at the post itself.
func (q *question) chain(name string, order []int, at [2]int) report.Wiring {
	var trees [2]wiring.Tree
	note := ""
	for k, r := range q.rails {
		take := r.posts[order[at[k]]]
		hops := [][2]int{}
		for i := 1; i < len(order); i++ {
			hops = append(hops, [2]int{r.posts[order[i-1]], r.posts[order[i]]})
		}
		trees[k].Root = take
		if r.root >= 0 && !slices.Contains(r.posts, r.root) {
			trees[k].Root = r.root
			hops = append(hops, [2]int{r.root, take})
		} else if r.root >= 0 && r.root != take {
			note = "moves the take-off"
		}
		for _, h := range hops {
			p := r.pair(h[0], h[1])
			if p < 0 {
				return missing(name, fmt.Sprintf("%s and %s cannot be joined here", r.ends[h[0]], r.ends[h[1]]))
			}
			trees[k].Pairs = append(trees[k].Pairs, p)
		}
	}
	w, err := wiring.Evaluate(&q.engine, trees[0], trees[1])
	if err != nil {
		return missing(name, err.Error())
	}
	return q.named(name, note, w)
}

func (q *question) named(name, note string, w wiring.Wiring) report.Wiring {
	out := q.describe(w)
	out.Name, out.Note = name, note
	if q.out.Lugs > 0 && out.FullestPost > q.out.Lugs {
		more := fmt.Sprintf("%d lugs on %s, over the limit of %d", out.FullestPost, out.FullestAt, q.out.Lugs)
		if out.Note != "" {
			more = out.Note + "; " + more
		}
		out.Note = more
	}
	return out
}

// equalLeads gives every string its own lead to the stud of each rail, all cut
// to the longest.
func (q *question) equalLeads() report.Wiring {
	const name = "equal leads to studs"
	engine := q.engine
	var trees [2]wiring.Tree
	longest := [2]float64{}
	for k, r := range q.rails {
		if r.root < 0 || slices.Contains(r.posts, r.root) {
			return missing(name, "the take-off is on a post; leads of equal length need a stud or bar to go to")
		}
		trees[k].Root = r.root
		for _, post := range r.posts {
			p := r.pair(r.root, post)
			if p < 0 {
				return missing(name, fmt.Sprintf("%s and %s cannot be joined here", r.ends[r.root], r.ends[post]))
			}
			trees[k].Pairs = append(trees[k].Pairs, p)
			longest[k] = math.Max(longest[k], r.pairs[p].Length)
		}
		side := []*wiring.Rail{&engine.Positive, &engine.Negative}[k]
		side.Pairs = slices.Clone(side.Pairs)
		for _, p := range trees[k].Pairs {
			side.Pairs[p].Length = longest[k]
			side.Pairs[p].Resistance = q.job.pairResistance(r, longest[k], q.current)
		}
	}
	w, err := wiring.Evaluate(&engine, trees[0], trees[1])
	if err != nil {
		return missing(name, err.Error())
	}
	show := q.job.Bank.Show
	out := q.named(name, fmt.Sprintf("all cut to the longest: positive %s, negative %s", show.FormatLength(lengthOf(longest[0])), show.FormatLength(lengthOf(longest[1]))), w)
	out.Longest, out.Distinct = math.Max(longest[0], longest[1]), 1
	if math.Abs(longest[0]-longest[1]) > 0.001 {
		out.Distinct = 2
	}
	return out
}

// maxExactChain is the most strings whose shortest chain is searched exactly
// (2^n·n² steps); beyond, the chain goes to the nearest next.
const maxExactChain = 12

// chainOrder is the order in which a fitter would chain the strings: the
// shortest way through all of them on both rails together, beginning at the
// end that lies nearer the positive take-off.
func (q *question) chainOrder() []int {
	n := len(q.strings)
	cost := make([][]float64, n)
	for a := range cost {
		cost[a] = make([]float64, n)
		for b := range cost[a] {
			cost[a][b] = q.hop(a, b)
		}
	}
	order := nearestChain(cost)
	if n <= maxExactChain {
		order = shortestChain(cost)
	}
	if q.lead(order[n-1]) < q.lead(order[0]) {
		slices.Reverse(order)
	}
	return order
}

// far stands for a pair that cannot be joined: longer than any chain.
const far = 1e6

func (q *question) hop(a, b int) float64 {
	if a == b {
		return 0
	}
	sum := 0.0
	for _, r := range q.rails {
		p := r.pair(r.posts[a], r.posts[b])
		if p < 0 {
			return far
		}
		sum += r.pairs[p].Length
	}
	return sum
}

// lead is the way from the positive take-off to a string, 0 at its own post.
func (q *question) lead(s int) float64 {
	r := q.rails[0]
	if r.root < 0 {
		return float64(s) // every post in turn: keep the order of the job
	}
	if p := r.pair(r.root, r.posts[s]); p >= 0 {
		return r.pairs[p].Length
	}
	if r.root == r.posts[s] {
		return 0
	}
	return far
}

// shortestChain is the shortest path through all points, by dynamic
// programming over the sets already visited (Held and Karp 1962, from memory).
func shortestChain(cost [][]float64) []int {
	n := len(cost)
	best := make([][]float64, 1<<n)
	from := make([][]int8, 1<<n)
	for set := range best {
		best[set], from[set] = make([]float64, n), make([]int8, n)
		for last := range n {
			best[set][last], from[set][last] = math.Inf(1), -1
			if set == 1<<last {
				best[set][last] = 0
			}
		}
		for last := range n {
			if set&(1<<last) == 0 {
				continue
			}
			for before := range n {
				if before == last || set&(1<<before) == 0 {
					continue
				}
				if c := best[set&^(1<<last)][before] + cost[before][last]; c < best[set][last] {
					best[set][last], from[set][last] = c, int8(before)
				}
			}
		}
	}
	last, all := 0, 1<<n-1
	for i := range n {
		if best[all][i] < best[all][last] {
			last = i
		}
	}
	var order []int
	for set := all; last >= 0; {
		order = append(order, last)
		before := int(from[set][last])
		set &^= 1 << last
		last = before
	}
	slices.Reverse(order)
	return order
}

// nearestChain goes to the nearest string not yet joined, from the first.
func nearestChain(cost [][]float64) []int {
	order := []int{0}
	for len(order) < len(cost) {
		last, next := order[len(order)-1], -1
		for i := range cost {
			if !slices.Contains(order, i) && (next < 0 || cost[last][i] < cost[last][next]) {
				next = i
			}
		}
		order = append(order, next)
	}
	return order
}
