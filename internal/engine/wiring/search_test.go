package wiring

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"
)

// long says whether the long sets run too.
func long() bool { return os.Getenv("BANKWRIGHT_LONG") != "" }

func mustSearch(t *testing.T, q Question) Answer {
	t.Helper()
	a, err := Search(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// compareFront holds an answer against the oracle: copper to the nanometre (the
// kept wiring is the same one), imbalance to 1e-10 (ten times finer than equal),
// ties and edges exactly.
func compareFront(t *testing.T, q *Question, a Answer) {
	t.Helper()
	want, space := bruteFront(q)
	if !a.Exact || a.Space.Cmp(a.Examined) != 0 || a.Space.Int64() != int64(space) {
		t.Errorf("space %v, examined %v, exact %v; brute force solved %d", a.Space, a.Examined, a.Exact, space)
	}
	if a.SpaceNote != "" || a.Smaller != "" {
		t.Errorf("exact answer has notes %q %q", a.SpaceNote, a.Smaller)
	}
	if len(a.Front) != len(want) {
		t.Fatalf("front has %d wirings, brute force %d", len(a.Front), len(want))
	}
	for i, w := range a.Front {
		o := want[i]
		if math.Abs(w.Copper-o.copper) > 1e-10 {
			t.Errorf("wiring %d: copper %.10f, want %.10f", i, w.Copper, o.copper)
		}
		if !(math.Abs(w.Imbalance-o.imbalance) <= 1e-9+1e-10*o.imbalance) {
			t.Errorf("wiring %d: imbalance %.13f, want %.13f", i, w.Imbalance, o.imbalance)
		}
		if w.Ties != o.ties {
			t.Errorf("wiring %d: %d ties, want %d", i, w.Ties, o.ties)
		}
		got := oracleOrder(
			oracleTree{root: w.Positive.Root, edges: oracleEdges(&q.Positive, w.Positive.Pairs)},
			oracleTree{root: w.Negative.Root, edges: oracleEdges(&q.Negative, w.Negative.Pairs)}, q)
		if wanted := oracleOrder(o.positive, o.negative, q); got != wanted {
			t.Errorf("wiring %d: kept %q, want %q", i, got, wanted)
		}
	}
}

// shapes are the banks that are compared with brute force, each over some
// random layouts.
var shapes = []struct {
	name  string
	runs  int
	long  int // runs in the long set
	shape bankShape
}{
	{"one string", 1, 1, bankShape{n: 1, rows: 1, stud: true}},
	{"one string, posts", 1, 1, bankShape{n: 1, rows: 1}},
	{"two", 10, 50, bankShape{n: 2, rows: 1, stud: true, jitter: 0.08, unequal: true}},
	{"three", 10, 50, bankShape{n: 3, rows: 1, stud: true, jitter: 0.08, unequal: true}},
	{"three in line, no jitter", 1, 1, bankShape{n: 3, rows: 1, stud: true}},
	{"three, free take-off", 5, 50, bankShape{n: 3, rows: 2, any: true, jitter: 0.08, unequal: true}},
	{"four", 4, 50, bankShape{n: 4, rows: 2, stud: true, jitter: 0.08, unequal: true}},
	{"four equal", 4, 50, bankShape{n: 4, rows: 2, stud: true, jitter: 0.08}},
	{"four in a square, no jitter", 1, 1, bankShape{n: 4, rows: 2, stud: true}},
	{"four in line, no jitter", 1, 1, bankShape{n: 4, rows: 1, stud: true}},
	{"four, free take-off, no jitter", 1, 1, bankShape{n: 4, rows: 2, any: true}},
	{"four, free take-off", 3, 50, bankShape{n: 4, rows: 1, any: true, jitter: 0.08, unequal: true}},
	{"four, take-off on a post", 5, 50, bankShape{n: 4, rows: 1, jitter: 0.08, unequal: true}},
	{"four, unequal EMF", 4, 50, bankShape{n: 4, rows: 2, stud: true, jitter: 0.08, unequal: true, emfSpread: 0.1}},
	{"four, unequal capacity", 4, 50, bankShape{n: 4, rows: 2, stud: true, jitter: 0.08, capSpread: true}},
	{"four, all unequal, charge", 4, 50, bankShape{n: 4, rows: 2, stud: true, jitter: 0.08, unequal: true, emfSpread: 0.1, capSpread: true, current: -60}},
	{"four, small current, wide EMF", 4, 50, bankShape{n: 4, rows: 2, stud: true, jitter: 0.08, emfSpread: 0.4, current: 2}},
	{"four, two ends a node", 4, 50, bankShape{n: 4, rows: 2, stud: true, jitter: 0.08, lugs: 2}},
	{"four, three ends a node, no jitter", 1, 1, bankShape{n: 4, rows: 2, stud: true, lugs: 3}},
	{"four, missing pairs", 6, 50, bankShape{n: 4, rows: 2, stud: true, jitter: 0.08, missing: 0.4}},
	{"four, one off", 4, 50, bankShape{n: 4, rows: 2, stud: true, jitter: 0.08, unequal: true, off: true}},
	{"two, one off", 2, 4, bankShape{n: 2, rows: 1, stud: true, off: true}},
	{"five, take-off on a post", 3, 50, bankShape{n: 5, rows: 1, jitter: 0.08, unequal: true, emfSpread: 0.05}},
	{"five, take-off on a post, no jitter", 1, 1, bankShape{n: 5, rows: 1}},
	{"five, free take-off, missing pairs", 1, 10, bankShape{n: 5, rows: 2, any: true, jitter: 0.08, capSpread: true, missing: 0.5}},
	{"five, lug limit, missing pairs", 1, 10, bankShape{n: 5, rows: 2, stud: true, jitter: 0.08, lugs: 2, missing: 0.3, off: true}},
	{"five, missing pairs, charge", 1, 10, bankShape{n: 5, rows: 1, stud: true, jitter: 0.08, missing: 0.4, current: -40, emfSpread: 0.05}},
	{"five", 1, 10, bankShape{n: 5, rows: 2, stud: true, jitter: 0.08, unequal: true}},
	{"five in line, no jitter", 0, 1, bankShape{n: 5, rows: 1, stud: true}},
	{"five, free take-off", 0, 5, bankShape{n: 5, rows: 2, any: true, unequal: true, jitter: 0.08}},
	{"five, all unequal", 0, 10, bankShape{n: 5, rows: 2, stud: true, jitter: 0.08, unequal: true, emfSpread: 0.1, capSpread: true}},
}

func TestBruteForce(t *testing.T) {
	for k, s := range shapes {
		runs := s.runs
		switch {
		case long():
			runs = s.long
		case testing.Short() && s.shape.n > 4 && (s.shape.stud || s.shape.any):
			continue // up to 1.7 million circuits solved each
		case testing.Short():
			runs = min(runs, 1)
		}
		for run := range runs {
			t.Run(fmt.Sprintf("%s/%d", s.name, run), func(t *testing.T) {
				rng := rand.New(rand.NewPCG(uint64(k), uint64(run)))
				q := randomQuestion(rng, s.shape)
				compareFront(t, &q, mustSearch(t, q))
			})
		}
	}
}

// The front must not depend on which rail is longer listed.
func TestUnlikeRails(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	q := randomQuestion(rng, bankShape{n: 4, rows: 2, stud: true, jitter: 0.08, unequal: true})
	other := randomQuestion(rng, bankShape{n: 4, rows: 2, any: true, jitter: 0.08})
	for _, negative := range []Rail{other.Negative, {Names: other.Negative.Names, String: other.Negative.String, Roots: []int{2}, Pairs: other.Negative.Pairs}} {
		q.Negative = negative
		compareFront(t, &q, mustSearch(t, q))
		mirrored := q
		mirrored.Positive, mirrored.Negative = q.Negative, q.Positive
		compareFront(t, &mirrored, mustSearch(t, mirrored))
	}
}

// All pairs alike: all trees have the same copper, so only the tie-break and
// the count of ties are left.
func TestAllPairsAlike(t *testing.T) {
	for _, n := range []int{2, 3, 4} {
		rng := rand.New(rand.NewPCG(1, 1))
		q := randomQuestion(rng, bankShape{n: n, rows: 1, stud: true})
		for _, r := range []*Rail{&q.Positive, &q.Negative} {
			for i := range r.Pairs {
				r.Pairs[i].Length, r.Pairs[i].Resistance = 0.25, 0.2e-3
			}
		}
		a := mustSearch(t, q)
		compareFront(t, &q, a)
		if len(a.Front) != 1 || a.Front[0].Imbalance > 1e-12 {
			t.Errorf("%d strings: front %v", n, a.Front)
		}
	}
}

// Pairs out of order, ends swapped and names whose string order is not their
// number order must not matter to the answer.
func TestOrderOfInput(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	q := randomQuestion(rng, bankShape{n: 4, rows: 2, stud: true})
	for _, r := range []*Rail{&q.Positive, &q.Negative} {
		slices.Reverse(r.Pairs)
		for i := range r.Pairs {
			if i%2 == 0 {
				r.Pairs[i].A, r.Pairs[i].B = r.Pairs[i].B, r.Pairs[i].A
			}
		}
		r.Names = []string{"B10", "B9", "B1", "A", "Z"}
	}
	compareFront(t, &q, mustSearch(t, q))
}
