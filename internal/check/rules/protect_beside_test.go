package rules_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"bankwright/internal/check/rules"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// everywhere is a text with others in it replaced, each of which must be there.
func everywhere(t *testing.T, text string, pairs ...string) string {
	t.Helper()
	for n := 0; n+1 < len(pairs); n += 2 {
		if !strings.Contains(text, pairs[n]) {
			t.Fatalf("no %q", pairs[n])
		}
		text = strings.ReplaceAll(text, pairs[n], pairs[n+1])
	}
	return text
}

// fedOf gives the short of a conductor that a device saves.
func fedOf(r *report.Report, id, cable string) *report.FedShort {
	for i := range r.Side.Guards {
		for n := range r.Side.Guards[i].Fed {
			if f := &r.Side.Guards[i].Fed[n]; r.Side.Guards[i].Part == id && f.Cable == cable {
				return f
			}
		}
	}
	return nil
}

// TestEitherWay: three like batteries, each with a fuse at its post, on a bar.
// A lead from fuse to bar is saved by its own fuse from its own battery, which
// carries all of it, and by the two others from their batteries, each with half
// of what the lead carries (the bar's stretches shift that by a few percent).
func TestEitherWay(t *testing.T) {
	r := checked(t, rules.Find("PRO-20").Passing)
	for _, row := range []struct {
		guard, cable string
		part         float64 // of the lead's current
		tol          float64
	}{{"G1", "V1", 1, 1e-9}, {"G2", "V1", 0.5, 0.03}, {"G3", "V1", 0.5, 0.03}, {"G1", "V2", 0.5, 0.03}, {"G2", "V2", 1, 1e-9}} {
		f := fedOf(r, row.guard, row.cable)
		if f == nil || math.Abs(f.Most.Device/f.Most.Cable-row.part) > row.tol {
			t.Errorf("%s for %s: %+v, want %g of it", row.guard, row.cable, f, row.part)
		}
	}
	// The post's own side of a fuse is its battery's: no device saves it from that,
	// but from the neighbours the fuse does, with all they push.
	if f := fedOf(r, "G1", "K1"); f == nil || math.Abs(f.Most.Device/f.Most.Cable-1) > 1e-9 {
		t.Errorf("G1 for K1: %+v", f)
	}
	if f := fedOf(r, "G2", "K1"); f != nil {
		t.Errorf("G2 is not the nearest to K1: %+v", f)
	}
	worstIs(t, r, "PRO-03", "", "")
	worstIs(t, r, "PRO-20", "", "")
}

// TestTogether: fuses side by side feed the main fuse's conductors at their sum.
// Without the main fuse three of 200 A stand before 2/0 AWG, whose table has
// 330 A and whose limit is 495 A; 3 × 165 A is just that.
func TestTogether(t *testing.T) {
	// W3 goes on to the switch without the main fuse.
	bare := everywhere(t, rules.Find("PRO-20").Passing, "from: P9.4, to: F1.a", "from: P9.4, to: Q1.a", "  - {id: W4, from: F1.b, to: Q1.a", "  - {id: W4, from: P9.5, to: F1.a", "{id: P9, kind: bar, studs: 4", "{id: P9, kind: bar, studs: 5")
	sized := func(a string) string {
		return strings.ReplaceAll(bare, "kind: fuse, class: class_t, rating: 200 A", "kind: fuse, class: class_t, rating: "+a)
	}
	for _, row := range []struct {
		rating, says string
		worst        finding.Severity
	}{{"165 A", "", ""}, {"165.1 A", "G1, G2, G3 side by side, 495 A together are too much for cable", finding.Warning}, {"200 A", "600 A together", finding.Warning}} {
		t.Run(row.rating, func(t *testing.T) { worstIs(t, checked(t, sized(row.rating)), "PRO-03", row.worst, row.says) })
	}
	// In an overload they carry three times 1.35 × 200 A, 810 A (UL 248-1, from memory).
	worstIs(t, checked(t, sized("200 A")), "PRO-09", finding.Warning, "G1, G2, G3 side by side, 600 A together, may carry 810 A for hours")
}

// TestFeedOneMain: three fuses of equal leads before a main one. By no times but
// twice the rating the three together must have twice the main's: 3 × 133.3 A
// against 200 A. The bar's stretches load the nearest by some percent more.
func TestFeedOneMain(t *testing.T) {
	of := func(a float64) string {
		s := rules.Find("PRO-20").Passing
		for n := 1; n <= 3; n++ {
			s = everywhere(t, s, fmt.Sprintf("{id: G%d, kind: fuse, class: class_t, rating: 200 A", n), fmt.Sprintf("{id: G%d, kind: fuse, class: class_t, rating: %g A", n, a))
		}
		return s
	}
	r := checked(t, of(200))
	by := math.Inf(1)
	for _, g := range []string{"G1", "G2", "G3"} {
		f := fedOf(r, g, "W3")
		by = math.Min(by, f.Most.Cable/f.Most.Device)
	}
	if by < 2.7 || by > 3 {
		t.Fatalf("the main carries %g times the most loaded, want a little under 3", by)
	}
	limit := 2 * 200 / by
	worstIs(t, checked(t, of(limit*1.001)), "PRO-11", "", "")
	low := by11(checked(t, of(limit*0.999)), "before F1 of 200 A")
	if len(low) != 1 || !strings.Contains(low[0].Message, "3 devices side by side") {
		t.Errorf("%+v", low)
	}
}

func by11(r *report.Report, says string) []finding.Finding {
	var all []finding.Finding
	for _, f := range by("PRO-11", r.Findings) {
		if strings.Contains(f.Message, says) {
			all = append(all, f)
		}
	}
	return all
}

// TestOwnSheet: a device's own times and let-through stand in place of its
// class's, and nothing is said to be from memory then.
func TestOwnSheet(t *testing.T) {
	const f1 = "class: class_t, rating: 200 A"
	own := withTexts(t, f1, f1+", let_through: 100 kA2s, times: [[400 A, 2 s, 60 s], [1 kA, 50 ms, 1 s], [2 kA, 5 ms, 10 ms]]")
	r := checked(t, own)
	for _, u := range r.Unchecked {
		if u.Place == "F1" && (u.Rule == "PRO-08" || u.Rule == "PRO-10" || strings.Contains(u.Why, "memory")) {
			t.Errorf("%+v", u)
		}
	}
	for _, rule := range []string{"PRO-05", "PRO-08", "PRO-10"} {
		worstIs(t, r, rule, "", "")
	}
	// 2/0 AWG bears far more than 100 kA²s; 0.9 MA²s through 12 AWG none.
	const thin = "from: P1.2, to: I1.a, size: 2/0 AWG"
	burnt := everywhere(t, own, thin, strings.Replace(thin, "2/0 AWG", "12 AWG", 1), "let_through: 100 kA2s", "let_through: 900 kA2s")
	worstIs(t, checked(t, burnt), "PRO-08", finding.Fault, "cable W6")
	for _, f := range by("PRO-08", checked(t, burnt).Findings) {
		if f.Place == "W6" && strings.Contains(f.Message, "memory") {
			t.Errorf("%+v", f)
		}
	}
	// Opens in time: the least short is above 1 kA, where it takes a second; with
	// 6 s up to 4 kA it may take longer than 5 s.
	slow := strings.Replace(own, "[1 kA, 50 ms, 1 s], [2 kA, 5 ms, 10 ms]", "[20 kA, 50 ms, 6 s]", 1)
	worstIs(t, checked(t, slow), "PRO-10", finding.Warning, "it may take")
	// The inverter's surge of 160 A for 5 s over 100 A: carried when the sheet has 6 s.
	surge := func(least string) string {
		return withTexts(t, f1, "class: class_t, rating: 100 A, times: [[300 A, "+least+", 60 s]]")
	}
	worstIs(t, checked(t, surge("6 s")), "PRO-05", "", "")
	worstIs(t, checked(t, surge("4 s")), "PRO-05", finding.Warning, "only for 4")
}

// TestIdle: a loop that hangs on one bar saves nothing, and its two fuses have
// no order; a spare way is a note.
func TestIdle(t *testing.T) {
	const fuse = ", kind: fuse, class: class_t, rating: 200 A, interrupt: 20 kA, volts: 125 V, resistance: 0.1 mΩ}\n"
	loop := withTexts(t, "  - {id: H1, kind: frame}", "  - {id: F8"+fuse+"  - {id: F9"+fuse+"  - {id: H1, kind: frame}", "kind: bar, studs: 4", "kind: bar, studs: 6",
		lastCable, "support: 12 in}\n  - {id: X1, from: P1.5, to: F8.a, size: 2/0 AWG, length: 6 in}\n  - {id: X2, from: F8.b, to: F9.a, size: 2/0 AWG, length: 6 in}\n  - {id: X3, from: F9.b, to: P1.6, size: 2/0 AWG, length: 6 in}\ntakeoff:")
	r := checked(t, loop)
	found := folded("PRO-17", r.Findings)
	if len(found) != 1 || found[0].Severity != finding.Warning || found[0].Where() != "F8, F9" || !strings.Contains(found[0].Message, "comes back to P1") {
		t.Errorf("%+v", found)
	}
	if a, b := by11(r, "F8 of 200 A before F9"), by11(r, "F9 of 200 A before F8"); len(a)+len(b) > 0 {
		t.Errorf("order in a loop: %+v %+v", a, b)
	}
	if said := fmt.Sprint(r.Unchecked); strings.Count(said, "F8, F9 stand in a loop") != 1 {
		t.Errorf("%s", said)
	}
	spare := withTexts(t, "  - {id: H1, kind: frame}", "  - {id: F8"+fuse+"  - {id: H1, kind: frame}", "kind: bar, studs: 4", "kind: bar, studs: 6",
		lastCable, "support: 12 in}\n  - {id: X1, from: P1.5, to: F8.a, size: 2/0 AWG, length: 6 in}\ntakeoff:")
	for _, f := range by("PRO-17", checked(t, spare).Findings) {
		if f.Place != "F8" || f.Severity == finding.Warning {
			t.Errorf("%+v", f)
		}
	}
}

// TestFold: posts without covers are one finding with all places.
func TestFold(t *testing.T) {
	open := strings.ReplaceAll(withTexts(t), ", covered: true", "")
	found := folded("COV-01", checked(t, open).Findings)
	if len(found) != 1 || found[0].Where() != "B1, B2" || !found[0].At("B2") || found[0].At("B3") {
		t.Errorf("%+v", found)
	}
}

// TestMetricTap: a thin lead to its own fuse is the same tap in metric sizes.
func TestMetricTap(t *testing.T) {
	for _, size := range []string{"12 AWG", "4 mm2"} {
		for _, f := range by("PRO-09", checked(t, withTexts(t, tap, strings.Replace(tap, "12 AWG", size, 1))).Findings) {
			t.Errorf("%s: %+v", size, f)
		}
	}
}

// TestSharesAtPost: of three batteries in a row the middle one's two links each
// bring what one neighbour pushes, and what it bears goes by the larger share.
func TestSharesAtPost(t *testing.T) {
	r := checked(t, rules.Find("PRO-15").Failing)
	flow := func(battery int, cable string) float64 {
		for i := range r.Bank.Cables {
			if r.Bank.Cables[i].ID == cable {
				return r.Side.IntoFlows[battery][i]
			}
		}
		t.Fatalf("no %s", cable)
		return 0
	}
	for k, cables := range [][]string{{"W1"}, {"W1", "W17"}, {"W17"}} {
		sum := 0.0
		for _, id := range cables {
			sum += flow(k, id)
		}
		if most := r.Side.Into[k].Most; math.Abs(sum-most) > 1e-6*most {
			t.Errorf("%s: %g A through its links, %g A into it", r.Side.Into[k].Place, sum, most)
		}
	}
	if a, b := flow(1, "W1"), flow(1, "W17"); math.Abs(a-b) > 1e-6*a {
		t.Errorf("two like neighbours push %g and %g A", a, b)
	}
}
