package assess

import (
	"fmt"
	"strings"
	"testing"

	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// shelf is n equal batteries in a row, the studs of both rails beside the last.
func shelf(n int) string {
	var b strings.Builder
	b.WriteString(placedTypes + "batteries:\n")
	for i := range n {
		fmt.Fprintf(&b, "  - {id: B%d, type: block, at: [0 mm, %d mm, 0 mm]}\n", i+1, 180*i)
	}
	fmt.Fprintf(&b, "parts: [{id: S1, kind: stud, at: [-60 mm, %d mm, 240 mm]}, {id: S2, kind: stud, at: [390 mm, %d mm, 240 mm]}]\n", 180*n, 180*n)
	return b.String() + "takeoff: {positive: S1, negative: S2}\nwirings: {cable: {positive: 35 mm2, negative: 35 mm2}}\n"
}

// joinedTo lists what a wiring joins to an end.
func joinedTo(edges [][2]bank.End, e string) string {
	var list []string
	for _, p := range edges {
		switch e {
		case p[0].String():
			list = append(list, p[1].String())
		case p[1].String():
			list = append(list, p[0].String())
		}
	}
	return strings.Join(list, " ")
}

// TestArrangements: the chain goes along the row, begins at the battery next to
// the positive stud, and is taken off where its name says.
func TestArrangements(t *testing.T) {
	type at struct{ positive, negative string }
	for n, want := range map[int]map[string]at{
		2: {"same end": {"B2+", "B2-"}, "opposite ends": {"B2+", "B1-"}},
		3: {"same end": {"B3+", "B3-"}, "opposite ends": {"B3+", "B1-"}, "centre": {"B2+", "B2-"}},
		4: {"same end": {"B4+", "B4-"}, "opposite ends": {"B4+", "B1-"}, "inner posts": {"B3+", "B2-"}, "centre": {"B3+", "B2-"}},
		5: {"same end": {"B5+", "B5-"}, "opposite ends": {"B5+", "B1-"}, "inner posts": {"B4+", "B2-"}, "centre": {"B3+", "B3-"}},
		6: {"same end": {"B6+", "B6-"}, "opposite ends": {"B6+", "B1-"}, "inner posts": {"B5+", "B2-"}, "centre": {"B4+", "B3-"}},
	} {
		j := mustLoad(t, shelf(n))
		q, err := j.question("")
		if err != nil {
			t.Fatal(err)
		}
		all := q.textbook()
		if len(all) != len(want)+1 {
			t.Errorf("%d batteries have %d arrangements, want %d and equal leads", n, len(all), len(want))
		}
		for _, one := range all[:len(all)-1] {
			w := want[one.Name]
			if p, m := joinedTo(one.Positive, "S1"), joinedTo(one.Negative, "S2"); p != w.positive || m != w.negative {
				t.Errorf("%d batteries, %s: taken off at %s and %s, want %+v", n, one.Name, p, m, w)
			}
			for i := 1; i < n; i++ {
				for _, rail := range []struct {
					edges [][2]bank.End
					sign  string
				}{{one.Positive, "+"}, {one.Negative, "-"}} {
					if next := joinedTo(rail.edges, fmt.Sprintf("B%d%s", i, rail.sign)); !strings.Contains(next, fmt.Sprintf("B%d%s", i+1, rail.sign)) {
						t.Errorf("%d batteries, %s: B%d%s is joined to %s", n, one.Name, i, rail.sign, next)
					}
				}
			}
		}
		equal := all[len(all)-1]
		if equal.Name != "equal leads to studs" || equal.Distinct > 2 || len(strings.Fields(joinedTo(equal.Positive, "S1"))) != n {
			t.Errorf("%+v", equal)
		}
		checkWorse(t, n, all)
	}
}

// checkWorse: for equal batteries in a row one end is never more even than
// opposite ends, and from five on the inner posts are more even than these.
func checkWorse(t *testing.T, n int, all []report.Wiring) {
	t.Helper()
	by := map[string]float64{}
	for _, one := range all {
		by[one.Name] = one.Imbalance
	}
	if !(by["same end"] > by["opposite ends"]) {
		t.Errorf("%d batteries: one end %g, opposite ends %g", n, by["same end"], by["opposite ends"])
	}
	if n >= 5 && !(by["inner posts"] < by["opposite ends"]) {
		t.Errorf("%d batteries: inner posts %g, opposite ends %g", n, by["inner posts"], by["opposite ends"])
	}
}

// TestOrderOfNames: each unordered pair stands once a rail, the lesser name
// first and in order, whatever the order of the job.
func TestOrderOfNames(t *testing.T) {
	text := shelf(4)
	text = replaced(t, text, "{id: B1,", "{id: Z,")
	text = replaced(t, text, "{id: B2,", "{id: B10,")
	w := mustWirings(t, text, "")
	if len(w.Lengths) != 20 {
		t.Errorf("%d pairs, want 10 a rail", len(w.Lengths))
	}
	for i, p := range w.Lengths {
		if p.From.String() >= p.To.String() {
			t.Errorf("pair %s to %s", p.From, p.To)
		}
		if i%10 > 0 && w.Lengths[i-1].From.String() > p.From.String() {
			t.Errorf("pair %s to %s comes after %s", p.From, p.To, w.Lengths[i-1].From)
		}
	}
	for _, one := range append(w.Front, w.Textbook...) {
		for _, e := range append(one.Positive, one.Negative...) {
			if e[0].String() >= e[1].String() {
				t.Errorf("%s joins %s to %s", one.Name, e[0], e[1])
			}
		}
	}
	checkFront(t, w)
}
