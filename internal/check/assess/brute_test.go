package assess

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"bankwright/internal/engine/network"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// The outside checker: from nothing but the report it lists every pair of
// trees, solves the whole circuit of each, and sorts what it found.

// outsideRail is one rail as the report tells it.
type outsideRail struct {
	ends  []bank.End
	pairs []report.PairLength
	roots []int
	trees [][]int // indices into pairs, each tree's edges in order
}

func newOutsideRail(w *report.Wirings, name string) *outsideRail {
	r := &outsideRail{}
	takeoff := w.Takeoff.Positive
	if name == "negative" {
		takeoff = w.Takeoff.Negative
	}
	for _, s := range w.Strings {
		r.ends = append(r.ends, map[string]bank.End{"positive": s.Positive, "negative": s.Negative}[name])
	}
	if w.AnyPost {
		for i := range r.ends {
			r.roots = append(r.roots, i)
		}
	} else {
		if !slices.Contains(r.ends, takeoff) {
			r.ends = append(r.ends, takeoff)
		}
		r.roots = []int{slices.Index(r.ends, takeoff)}
	}
	for _, p := range w.Lengths {
		if p.Rail == name {
			r.pairs = append(r.pairs, p)
		}
	}
	slices.SortFunc(r.pairs, func(a, b report.PairLength) int { return cmp.Compare(edgeName(a.From, a.To), edgeName(b.From, b.To)) })
	r.list(nil, 0, w.Lugs)
	return r
}

// edgeName writes an edge with the lesser name first, so that plain comparison
// of two edges is that of their names.
func edgeName(a, b bank.End) string {
	names := []string{a.String(), b.String()}
	slices.Sort(names)
	return names[0] + "\x00" + names[1]
}

// list tries every set of one pair less than ends.
func (r *outsideRail) list(chosen []int, from, lugs int) {
	if len(chosen) == len(r.ends)-1 {
		if r.isTree(chosen, lugs) {
			r.trees = append(r.trees, slices.Clone(chosen))
		}
		return
	}
	for i := from; i < len(r.pairs); i++ {
		r.list(append(chosen, i), i+1, lugs)
	}
}

func (r *outsideRail) isTree(chosen []int, lugs int) bool {
	colour, count := make([]int, len(r.ends)), make([]int, len(r.ends))
	for i := range colour {
		colour[i] = i
	}
	for _, k := range chosen {
		a, b := slices.Index(r.ends, r.pairs[k].From), slices.Index(r.ends, r.pairs[k].To)
		count[a]++
		count[b]++
		if colour[a] == colour[b] {
			return false
		}
		old, now := colour[b], colour[a]
		for v := range colour {
			if colour[v] == old {
				colour[v] = now
			}
		}
	}
	return lugs == 0 || slices.Max(count) <= lugs
}

// outsideWiring is one wiring with all that the front is checked for.
type outsideWiring struct {
	class     int64 // whole micrometres
	copper    float64
	imbalance float64
	edges     []string // positive sorted, negative sorted, the two roots
	currents  []float64
	voltage   float64
	loss      float64
}

// outsideFront tries all wirings.
func outsideFront(t *testing.T, w *report.Wirings) (front []outsideWiring, ties []int, space int) {
	t.Helper()
	p, n := newOutsideRail(w, "positive"), newOutsideRail(w, "negative")
	var all []outsideWiring
	for _, pt := range p.trees {
		for _, nt := range n.trees {
			f := outsideCircuit(t, w, p, n, pt, nt)
			for _, a := range p.roots {
				for _, b := range n.roots {
					all = append(all, f.wiring(t, a, b))
				}
			}
		}
	}
	slices.SortFunc(all, func(a, b outsideWiring) int {
		return cmp.Or(cmp.Compare(a.class, b.class), cmp.Compare(a.imbalance, b.imbalance))
	})
	best := math.Inf(1)
	for i := 0; i < len(all); {
		end := i
		for end < len(all) && all[end].class == all[i].class {
			end++
		}
		if all[i].imbalance < best-1e-9 {
			best = all[i].imbalance
			equal := all[i:end]
			equal = equal[:slices.IndexFunc(append(slices.Clone(equal), outsideWiring{imbalance: math.Inf(1)}), func(o outsideWiring) bool { return o.imbalance > best+1e-9 })]
			front = append(front, slices.MinFunc(equal, func(a, b outsideWiring) int { return slices.Compare(a.edges, b.edges) }))
			ties = append(ties, len(equal))
		}
		i = end
	}
	return front, ties, len(all)
}

// circuit is a wiring without its roots.
type circuit struct {
	w      *report.Wirings
	p, n   *outsideRail
	factor *network.Factor
	on     []int // strings that are on, in the order of the first branches
	edges  [2][]string
	copper float64
	class  int64
}

func outsideCircuit(t *testing.T, w *report.Wirings, p, n *outsideRail, pt, nt []int) *circuit {
	t.Helper()
	c := &circuit{w: w, p: p, n: n}
	net := network.Network{Nodes: len(p.ends) + len(n.ends)}
	for i, s := range w.Strings {
		if !s.Off {
			c.on = append(c.on, i)
			net.Branches = append(net.Branches, network.Branch{From: len(p.ends) + slices.Index(n.ends, s.Negative), To: slices.Index(p.ends, s.Positive), Resistance: s.Resistance, EMF: s.EMF})
		}
	}
	nm := int64(0)
	for k, rail := range []struct {
		r     *outsideRail
		tree  []int
		first int
	}{{p, pt, 0}, {n, nt, len(p.ends)}} {
		for _, i := range rail.tree {
			pair := rail.r.pairs[i]
			net.Branches = append(net.Branches, network.Branch{From: rail.first + slices.Index(rail.r.ends, pair.From), To: rail.first + slices.Index(rail.r.ends, pair.To), Resistance: pair.Resistance})
			c.edges[k] = append(c.edges[k], edgeName(pair.From, pair.To))
			c.copper += pair.Length
			nm += int64(math.Round(pair.Length * 1e9))
		}
	}
	c.class = (nm + 500) / 1000 // sums that only rounding sets apart fall together
	var err error
	if c.factor, err = network.Factorize(net); err != nil {
		t.Fatal(err)
	}
	return c
}

func (c *circuit) wiring(t *testing.T, a, b int) outsideWiring {
	t.Helper()
	injected := make([]float64, len(c.p.ends)+len(c.n.ends))
	injected[a] -= c.w.Current
	injected[len(c.p.ends)+b] += c.w.Current
	s, err := c.factor.Solve(nil, injected)
	if err != nil {
		t.Fatal(err)
	}
	o := outsideWiring{class: c.class, copper: c.copper, currents: make([]float64, len(c.w.Strings)), imbalance: math.Inf(-1), voltage: s.Potential[a] - s.Potential[len(c.p.ends)+b]}
	var total, capacity float64
	for k, i := range c.on {
		o.currents[i] = s.Current[k]
		total += s.Current[k]
		capacity += c.w.Strings[i].Capacity
		o.loss += c.w.Strings[i].EMF * s.Current[k]
	}
	o.loss -= o.voltage * c.w.Current // what the EMFs give and the take-off does not get
	for _, i := range c.on {
		o.imbalance = math.Max(o.imbalance, o.currents[i]/c.w.Strings[i].Capacity/(total/capacity)-1)
	}
	o.edges = append(append(slices.Clone(c.edges[0]), c.edges[1]...), c.p.ends[a].String(), c.n.ends[b].String())
	return o
}

// checkFront compares the report's front with the outside one.
func checkFront(t *testing.T, w *report.Wirings) {
	t.Helper()
	front, ties, space := outsideFront(t, w)
	if w.Space != fmt.Sprint(space) || w.Examined != w.Space || !w.Exact {
		t.Errorf("space %s, examined %s, exact %v; there are %d wirings", w.Space, w.Examined, w.Exact, space)
	}
	if len(front) != len(w.Front) {
		t.Fatalf("%d on the front, by brute force %d", len(w.Front), len(front))
	}
	for i, want := range front {
		got := w.Front[i]
		var edges []string
		for _, list := range [][][2]bank.End{got.Positive, got.Negative} {
			start := len(edges)
			for _, e := range list {
				edges = append(edges, edgeName(e[0], e[1]))
			}
			slices.Sort(edges[start:])
		}
		edges = append(edges, got.Takeoff.Positive.String(), got.Takeoff.Negative.String())
		if !slices.Equal(edges, want.edges) || got.Ties != ties[i] {
			t.Errorf("wiring %d is %q of %d, by brute force %q of %d", i, edges, got.Ties, want.edges, ties[i])
		}
		near(t, fmt.Sprintf("copper of %d", i), got.Copper, want.copper, 1e-8) // lengths are kept to 1 nm
		near(t, fmt.Sprintf("imbalance of %d", i), got.Imbalance, want.imbalance, 1e-9)
		near(t, fmt.Sprintf("voltage of %d", i), got.TakeoffVoltage, want.voltage, 1e-9)
		near(t, fmt.Sprintf("loss of %d", i), got.Loss, want.loss, 1e-8)
		nearAll(t, fmt.Sprintf("currents of %d", i), got.Currents, want.currents, 1e-9)
	}
}

// rowJob is n batteries in a row, a little apart, unlike each other.
func rowJob(n int, takeoff, rest string) string {
	var b strings.Builder
	b.WriteString(placedTypes + "batteries:\n")
	for i := range n {
		fmt.Fprintf(&b, "  - {id: B%d, type: block, at: [%d mm, %d mm, 0 mm], turn: %d, resistance: %.1f mΩ, emf: %.2f V, capacity: %d Ah}\n",
			i+1, 7*i, 186*i+3*i*i, 180*(i%2), 4+0.3*float64(i*i%3), 13.2+0.01*float64(i*3%4), 100+20*(i%2))
	}
	b.WriteString("parts:\n  - {id: S1, kind: stud, at: [-120 mm, 260 mm, 150 mm]}\n  - {id: S2, kind: stud, at: [470 mm, 90 mm, 150 mm]}\n")
	fmt.Fprintf(&b, "takeoff: {%s}\nwirings: {cable: {positive: 35 mm2, negative: 50 mm2}%s}\n", takeoff, rest)
	return b.String() + "cases: [{id: load, draw: 160 A}, {id: shore, charge: 60 A}, {id: kettle, draw: 2 kW}]\n"
}

// equalPairs gives every pair of some ends the same length by hand.
func equalPairs(ends ...string) string {
	var list []string
	for i, a := range ends {
		for _, b := range ends[:i] {
			list = append(list, fmt.Sprintf("{from: %s, to: %s, length: 400 mm}", a, b))
		}
	}
	return strings.Join(list, ", ")
}

// TestTies: where all pairs are equally long many wirings are equal, and the
// first by its edges is kept.
func TestTies(t *testing.T) {
	w := mustWirings(t, unplaced("  pairs: ["+equalPairs("B1+", "B2+", "B3+", "B4+")+", "+equalPairs("B1-", "B2-", "B3-", "B4-")+"]\ntakeoff: {positive: B1+, negative: B4-}\n"), "")
	checkFront(t, w)
	if len(w.Front) != 1 || w.Front[0].Ties < 2 {
		t.Errorf("%+v", w.Front)
	}
}

// TestFront: the search's answer against the outside checker.
func TestFront(t *testing.T) {
	const studs = "positive: S1, negative: S2"
	equal := func(text string) string {
		for i := 1; i <= 4; i++ {
			old := text[strings.Index(text, fmt.Sprintf("{id: B%d,", i)):]
			old = old[strings.Index(old, ", resistance"):strings.IndexByte(old, '}')]
			text = strings.Replace(text, old, "", 1)
		}
		return text
	}
	for _, row := range []struct {
		name, text, caseID string
		space              string
	}{
		{"two strings of two", example(t, "survey-boat.yaml"), "", "9"},
		{"two strings of two, charging", example(t, "survey-boat.yaml"), "mains", "9"},
		{"three", rowJob(3, studs, ""), "", "256"},
		{"three, by power", rowJob(3, studs, ""), "kettle", "256"},
		{"four", rowJob(4, studs, ""), "", "15625"},
		{"four, equal", equal(rowJob(4, studs, "")), "", "15625"},
		{"four, charging, two lugs", rowJob(4, studs, ", lugs: 2"), "shore", "3600"}, // paths over 5 ends: 60 a rail
		{"four, any take-off", rowJob(4, studs, ", takeoff: any"), "", "4096"},
		{"four, take-off on posts", rowJob(4, "positive: B2+, negative: B4-", ""), "", "256"},
		{"four, one off", strings.Replace(rowJob(4, studs, ", lugs: 3"), "{id: B3,", "{id: B3, off: true,", 1), "", "14400"}, // 125 less the 5 stars
	} {
		t.Run(row.name, func(t *testing.T) {
			w := mustWirings(t, row.text, row.caseID)
			if w.Space != row.space {
				t.Errorf("space %s, want %s", w.Space, row.space)
			}
			checkFront(t, w)
			for i := 1; i < len(w.Front); i++ {
				if !(w.Front[i].Copper > w.Front[i-1].Copper && w.Front[i].Imbalance < w.Front[i-1].Imbalance) {
					t.Errorf("the front does not fall at %d", i)
				}
			}
		})
	}
}
