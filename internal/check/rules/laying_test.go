package rules_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"bankwright/internal/check/rules"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
)

// changed is a rule's passing example with texts replaced, each of which must
// be there.
func changed(t *testing.T, rule string, pairs ...string) string {
	t.Helper()
	s := rules.Find(rule).Passing
	for n := 0; n+1 < len(pairs); n += 2 {
		if !strings.Contains(s, pairs[n]) {
			t.Fatalf("the example lacks %q", pairs[n])
		}
		s = strings.Replace(s, pairs[n], pairs[n+1], 1)
	}
	return s
}

// said gives what a rule found and left unchecked on a job.
func said(t *testing.T, rule, text string) ([]finding.Finding, []finding.Unchecked) {
	t.Helper()
	r := checked(t, text)
	var open []finding.Unchecked
	for _, u := range r.Unchecked {
		if u.Rule == rule {
			open = append(open, u)
		}
	}
	return by(rule, r.Findings), open
}

// wide is the passage of the example with another width, its two cables of
// 15 mm each.
func wide(t *testing.T, width string) string {
	t.Helper()
	return changed(t, "GRM-01", "diameter: 1.5 in", "diameter: "+width,
		"to: B2+, size: 2/0 AWG,", "to: B2+, size: 2/0 AWG, diameter: 15 mm,", "from: B1-, to: B2-, size: 2/0 AWG,", "from: B1-, to: B2-, size: 2/0 AWG, diameter: 15 mm,")
}

// TestPassageOfTwo: two of 15 mm need 30 mm, to the micrometre.
func TestPassageOfTwo(t *testing.T) {
	for _, row := range []struct {
		width string
		found int
	}{{"30.001 mm", 0}, {"30 mm", 0}, {"29.999 mm", 1}} {
		found, open := said(t, "GRM-01", wide(t, row.width))
		if len(found) != row.found || len(open) != 0 {
			t.Fatalf("%s: %+v %+v", row.width, found, open)
		}
		if row.found == 1 && (found[0].Severity != finding.Fault || found[0].Place != "G1" || math.Abs(found[0].Number.Value-0.03) > 1e-12 || found[0].Number.Margin >= 0) {
			t.Errorf("%+v %+v", found[0], found[0].Number)
		}
	}
}

// TestPassageOfThree: a third link, all of 15 mm: estimated at
// 1.25·√3·15 mm = 32.476 mm; below 30 mm it is certain that they do not fit.
// The least circle round three equal ones is 1 + 2/√3 diameters, 32.321 mm.
func TestPassageOfThree(t *testing.T) {
	three := func(width string) string {
		s := wide(t, width)
		return strings.Replace(s, "  - {id: W3,", "  - {id: W2b, from: B1-, to: B2-, size: 2/0 AWG, diameter: 15 mm, insulation: 105 °C, support: 12 in}\n  - {id: W3,", 1)
	}
	if least, estimate := (1+2/math.Sqrt(3))*15, 1.25*math.Sqrt(3)*15; estimate < least || estimate > 1.01*least {
		t.Fatalf("%g and %g mm", least, estimate)
	}
	for _, row := range []struct {
		width    string
		severity finding.Severity
	}{{"32.48 mm", ""}, {"32.47 mm", finding.Warning}, {"30 mm", finding.Warning}, {"29.99 mm", finding.Fault}} {
		found, _ := said(t, "GRM-01", three(row.width))
		got := finding.Severity("")
		if len(found) == 1 {
			got = found[0].Severity
		}
		if len(found) > 1 || got != row.severity {
			t.Errorf("%s: %+v", row.width, found)
		}
		if row.severity == finding.Warning && !strings.Contains(found[0].Message, "3 cables make a bundle of about 32 mm") {
			t.Error(found[0].Message)
		}
	}
}

// TestPassageAssumed: a diameter from a model is told; a cable of no size is not
// checked; a cable that goes another way does not count.
func TestPassageAssumed(t *testing.T) {
	found, _ := said(t, "GRM-01", changed(t, "GRM-01", "diameter: 1.5 in", "diameter: 1 in"))
	if len(found) != 1 || !strings.Contains(found[0].Message, "outside diameters from a model") {
		t.Errorf("%+v", found)
	}
	found, open := said(t, "GRM-01", changed(t, "GRM-01", "{id: W2, from: B1-, to: B2-, size: 2/0 AWG, insulation: 105 °C, support: 12 in}", "{id: W2, from: B1-, to: B2-, resistance: 0.2 mΩ}"))
	if len(found) != 0 || len(open) != 1 || !strings.Contains(open[0].Why, "W2") {
		t.Errorf("%+v %+v", found, open)
	}
}

// TestCrossing names the cable, both compartments, and nothing else.
func TestCrossing(t *testing.T) {
	found, _ := said(t, "CRS-01", rules.Find("CRS-01").Failing)
	if len(found) != 2 || found[0].Place != "W1" || found[1].Place != "W2" || !strings.Contains(found[0].Message, "from port to starboard") {
		t.Errorf("%+v", found)
	}
}

// TestBend: the least is four diameters above 12 mm and three up to it. The way
// is laid at the rule's diameters of the model, so that its centre line, at
// rule + 1/2 of them, may be that of a cable up to (rule + 1/2)/4.5 as thick,
// or (rule + 1/2)/3.5 up to 12 mm. The model: 60 % copper in the round, walls
// of 60 mil up to 2 AWG and 80 mil above.
func TestBend(t *testing.T) {
	thick := float64(2*2.032) + math.Sqrt(4*67.43/(math.Pi*0.60)) // mm, 2/0 AWG
	thin := float64(2*1.524) + math.Sqrt(4*33.62/(math.Pi*0.60))  // mm, 2 AWG
	for _, row := range []struct {
		name, rule, size string
		diameter         float64 // mm
		found            int
	}{
		{"under", "4", "2/0 AWG", thick - 1e-3, 0}, {"at", "4", "2/0 AWG", thick, 0}, {"over", "4", "2/0 AWG", thick + 1e-3, 1},
		{"other rule, under", "3", "2/0 AWG", float64(thick*3.5/4.5) - 1e-3, 0}, {"other rule, over", "3", "2/0 AWG", float64(thick*3.5/4.5) + 1e-3, 1},
		{"up to 12 mm, at", "3", "2 AWG", thin, 0}, {"up to 12 mm, over", "3", "2 AWG", thin + 1e-3, 1},
	} {
		t.Run(row.name, func(t *testing.T) {
			found, open := said(t, "BND-01", changed(t, "BND-01", "bend: 5", "bend: "+row.rule, "to: B2+, size: 2/0 AWG,", fmt.Sprintf("to: B2+, size: %s, diameter: %.6f mm,", row.size, row.diameter)))
			n := 0
			for _, f := range found {
				if f.Place == "W1" {
					n++
					if f.Severity != finding.Warning || f.Number.Value >= f.Number.Limit || !strings.Contains(f.Message, "from memory") {
						t.Errorf("%+v", f)
					}
				}
			}
			if n != row.found || len(open) != 0 {
				t.Errorf("%d findings: %+v %+v", n, found, open)
			}
		})
	}
}

// TestBendShape: a leg between two bends bounds both by half its length where
// the way comes back; a jog and the turns next to lugs bound nothing.
func TestBendShape(t *testing.T) {
	const laid = 0.1 // m
	for _, row := range []struct {
		name string
		way  []bank.Point
		want float64
	}{
		{"straight", []bank.Point{{}, {X: 1}}, laid},
		{"lug turns only", []bank.Point{{}, {Z: 0.03}, {X: 0.05, Z: 0.03}, {X: 0.05}}, laid},
		{"jog", []bank.Point{{}, {Z: 0.3}, {X: 0.3, Z: 0.3}, {X: 0.3, Y: 0.02, Z: 0.3}, {X: 0.6, Y: 0.02, Z: 0.3}, {X: 0.6, Y: 0.02}}, laid},
		{"back", []bank.Point{{}, {Z: 0.3}, {X: 0.3, Z: 0.3}, {X: 0.3, Y: 0.12, Z: 0.3}, {Y: 0.12, Z: 0.3}, {Y: 0.12}}, 0.06},
		{"out of the plane", []bank.Point{{}, {Z: 0.3}, {X: 0.3, Z: 0.3}, {X: 0.3, Y: 0.12, Z: 0.3}, {X: 0.3, Y: 0.12, Z: 0.6}, {X: 0.6, Y: 0.12, Z: 0.6}}, 0.06},
		{"long enough", []bank.Point{{}, {Z: 0.3}, {X: 0.3, Z: 0.3}, {X: 0.3, Y: 0.2, Z: 0.3}, {Y: 0.2, Z: 0.3}, {Y: 0.2}}, laid},
	} {
		if got := rules.Sharpest(row.way, laid); math.Abs(got-row.want) > 1e-12 {
			t.Errorf("%s: %g, not %g", row.name, got, row.want)
		}
	}
}

// TestBendByHand: a length given by hand goes its own way and is not judged.
func TestBendByHand(t *testing.T) {
	s := rules.Find("BND-01").Failing
	for _, ends := range []string{"from: B1+, to: B2+", "from: B1-, to: B2-"} {
		s = strings.Replace(s, ends+",", ends+", length: 20 in,", 1)
	}
	if found, open := said(t, "BND-01", s); len(found)+len(open) != 0 {
		t.Errorf("%+v %+v", found, open)
	}
}

// TestLeast: thinnest conductors at, just under and just over, by system,
// sheath, length and current.
func TestLeast(t *testing.T) {
	for _, row := range []struct {
		name, keys string
		found      int
		note       int
	}{
		{"14 AWG", "size: 14 AWG, length: 4 ft", 0, 0},
		{"15 AWG", "size: 15 AWG, length: 4 ft", 0, 1},
		{"16 AWG", "size: 16 AWG, length: 4 ft", 0, 1},
		{"17 AWG", "size: 17 AWG, length: 4 ft", 1, 1},
		{"18 AWG in a sheath", "size: 18 AWG, length: 4 ft, sheath: true", 0, 1},
		{"1 mm2", "size: 1 mm2, length: 4 ft", 0, 0},
		{"0.75 mm2", "size: 0.75 mm2, length: 4 ft", 1, 0},
		{"0.75 mm2 of 200 mm", "size: 0.75 mm2, length: 200 mm", 0, 0},
		{"0.75 mm2 of 201 mm", "size: 0.75 mm2, length: 201 mm", 1, 0},
		{"0.75 mm2 in a sheath", "size: 0.75 mm2, length: 4 ft, sheath: true", 0, 0},
		{"0.5 mm2 in a sheath", "size: 0.5 mm2, length: 4 ft, sheath: true", 1, 0},
		{"pigtail under 7 in", "size: 18 AWG, length: 6.9 in", 0, 0},
		{"pigtail of 7 in", "size: 18 AWG, length: 7.01 in", 1, 1},
	} {
		t.Run(row.name, func(t *testing.T) {
			text := changed(t, "MIN-01", "{id: W12, from: L1.b, to: N1.3, size: 12 AWG, length: 4 ft", "{id: W12, from: L1.b, to: N1.3, "+row.keys)
			r := checked(t, text)
			if a, b := by("MIN-01", r.Findings), by("MIN-02", r.Findings); len(a) != row.found || len(b) != row.note {
				t.Errorf("%+v %+v", a, b)
			}
		})
	}
	thin := changed(t, "MIN-01", "{id: W12, from: L1.b, to: N1.3, size: 12 AWG", "{id: W12, from: L1.b, to: N1.3, size: 18 AWG")
	for _, row := range []struct {
		name, old, new string
		found          int
	}{
		{"another book", "book: marine", "book: general", 0},
		{"just under 1 A", "{id: L1, kind: load, current: 12 A}", "{id: L1, kind: load, current: 0.99 A}", 0},
		{"1 A", "{id: L1, kind: load, current: 12 A}", "{id: L1, kind: load, current: 1 A}", 1},
	} {
		found, _ := said(t, "MIN-01", strings.Replace(thin, row.old, row.new, 1))
		if len(found) != row.found {
			t.Errorf("%s: %+v", row.name, found)
		}
	}
}

// TestLeastMetricSmall: the exception for circuits under 1 A is of the rule for
// gauges; a metric size has none.
func TestLeastMetricSmall(t *testing.T) {
	for size, want := range map[string]int{"18 AWG": 0, "0.75 mm2": 1, "1 mm2": 0} {
		found, _ := said(t, "MIN-01", changed(t, "MIN-01", "{id: L1, kind: load, current: 12 A}", "{id: L1, kind: load, current: 0.5 A}",
			"{id: W12, from: L1.b, to: N1.3, size: 12 AWG", "{id: W12, from: L1.b, to: N1.3, size: "+size))
		if len(found) != want {
			t.Errorf("%s: %+v", size, found)
		}
	}
}

// TestNoteOfVessels: a note never is more.
func TestNoteOfVessels(t *testing.T) {
	found, _ := said(t, "MIN-02", rules.Find("MIN-02").Failing)
	if len(found) != 1 || found[0].Severity != finding.Note || found[0].Place != "W12" {
		t.Errorf("%+v", found)
	}
	r := checked(t, rules.Find("MIN-02").Failing)
	if len(by("MIN-01", r.Findings)) != 0 {
		t.Error("16 AWG may be laid alone")
	}
}
