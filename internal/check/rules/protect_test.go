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

// withTexts is the example job with texts replaced, each of which must be there.
func withTexts(t *testing.T, pairs ...string) string {
	t.Helper()
	s := rules.Find("PRO-01").Passing
	for n := 0; n+1 < len(pairs); n += 2 {
		if !strings.Contains(s, pairs[n]) {
			t.Fatalf("the example lacks %q", pairs[n])
		}
		s = strings.Replace(s, pairs[n], pairs[n+1], 1)
	}
	return s
}

const (
	mainFuse  = "class: class_t, rating: 200 A"
	secondary = "class: class_t, rating: 60 A"
	branch    = "kind: breaker, rating: 20 A"
	lead      = "from: B1+, to: F1.a, size: 2/0 AWG, length: 6 in"
	link      = "from: B1+, to: B2+, size: 2/0 AWG, length: 6 in"
	tap       = "from: P1.3, to: D1.a, size: 12 AWG, length: 4 in"
	lastCable = "support: 12 in}\ntakeoff:"
)

// TestProtectionLimits: limits just under, at and just over, and what changes
// when a device goes. worst "" is silence.
func TestProtectionLimits(t *testing.T) {
	const n, w, f = finding.Note, finding.Warning, finding.Fault
	for _, row := range []struct {
		name, rule string
		pairs      []string
		worst      finding.Severity
		says       string
	}{
		// 33 CFR 183.455: 7 in, 40 in sheathed; 183.460 from memory: 72 in.
		{"7 in", "PRO-02", []string{lead, strings.Replace(lead, "6 in", "7 in", 1)}, "", ""},
		{"over 7 in", "PRO-02", []string{lead, strings.Replace(lead, "6 in", "7.01 in", 1)}, n, "33 CFR 183.460): kept"},
		{"over 7 in, sheathed", "PRO-02", []string{lead, strings.Replace(lead, "6 in", "7.01 in, sheath: true", 1)}, "", ""},
		{"40 in, sheathed", "PRO-02", []string{lead, strings.Replace(lead, "6 in", "40 in, sheath: true", 1)}, "", ""},
		{"over 40 in, sheathed", "PRO-02", []string{lead, strings.Replace(lead, "6 in", "40.1 in, sheath: true", 1)}, n, "from memory"},
		{"72 in", "PRO-02", []string{lead, strings.Replace(lead, "6 in", "72 in", 1)}, n, "from memory"},
		{"over 72 in", "PRO-02", []string{lead, strings.Replace(lead, "6 in", "72.1 in", 1)}, f, "only in a sheath"},
		{"link of 7 in", "PRO-02", []string{link, strings.Replace(link, "6 in", "7 in", 1)}, "", ""},
		{"link over 7 in", "PRO-02", []string{link, strings.Replace(link, "6 in", "7.1 in", 1)}, n, "live from both ends"},
		{"link over 72 in", "PRO-02", []string{link, strings.Replace(link, "6 in", "72.1 in", 1)}, f, "live from both ends"},
		// 2/0 AWG at 105 °C: 330 A in Table 5, 150 % are 495 A; 12 AWG: 45 A and 67.5 A.
		{"under 150 %", "PRO-03", []string{mainFuse, "class: class_t, rating: 494 A"}, "", ""},
		{"150 %", "PRO-03", []string{mainFuse, "class: class_t, rating: 495 A"}, "", ""},
		{"over 150 %", "PRO-03", []string{mainFuse, "class: class_t, rating: 496 A"}, f, "at most 450 A"},
		{"lead under a device that it only leads to", "PRO-03", []string{lead, strings.Replace(lead, "2/0 AWG", "8 AWG", 1)}, f, "cable W3"},
		{"branch 150 %", "PRO-03", []string{branch, "kind: breaker, rating: 67.5 A"}, "", ""},
		{"branch over 150 %", "PRO-03", []string{branch, "kind: breaker, rating: 67.6 A"}, f, "cable W11"},
		{"tap of 7 in", "PRO-03", []string{tap, strings.Replace(tap, "4 in", "7 in", 1)}, "", ""},
		{"tap over 7 in", "PRO-03", []string{tap, strings.Replace(tap, "4 in", "7.1 in", 1)}, f, "too far for a tap"},
		{"engine space does not lower it", "PRO-03", []string{mainFuse, "class: class_t, rating: 495 A", "from: P1.2, to: I1.a, size: 2/0 AWG,", "from: P1.2, to: I1.a, size: 2/0 AWG, engine: true,"}, "", ""},
		// The load is 12 A. Vehicle fuses 75 to 80 %: 16 A and 15 A.
		{"at its rating", "PRO-04", []string{branch, "kind: breaker, rating: 12 A"}, n, "100 % of its rating"},
		{"over its rating", "PRO-04", []string{branch, "kind: breaker, rating: 11.99 A"}, f, "more than its rating"},
		{"80 % of a breaker", "PRO-04", []string{branch, "kind: breaker, rating: 15 A"}, "", ""},
		{"75 % of a blade", "PRO-04", []string{branch, "kind: fuse, class: blade, rating: 16 A"}, "", ""},
		{"80 % of a blade", "PRO-04", []string{branch, "kind: fuse, class: blade, rating: 15 A"}, n, "75 %"},
		{"over 80 % of a blade", "PRO-04", []string{branch, "kind: fuse, class: blade, rating: 14.9 A"}, w, "80 %"},
		// The charger holds 14.2 V.
		{"under the volts", "PRO-07", []string{"volts: 32 V", "volts: 14.3 V"}, "", ""},
		{"at the volts", "PRO-07", []string{"volts: 32 V", "volts: 14.2 V"}, "", ""},
		{"over the volts", "PRO-07", []string{"volts: 32 V", "volts: 14.1 V"}, f, "14.2 V"},
		// Devices in series: no times told for both, so twice the rating.
		{"more than twice", "PRO-11", []string{secondary, "class: class_t, rating: 99.9 A"}, "", ""},
		{"twice", "PRO-11", []string{secondary, "class: class_t, rating: 100 A"}, "", ""},
		{"less than twice", "PRO-11", []string{secondary, "class: class_t, rating: 100.1 A"}, n, "less than twice"},
		// Two batteries are not many.
		{"two batteries", "PRO-15", nil, "", ""},
		{"no rating", "PRO-14", []string{branch, "kind: breaker"}, w, "not checked: D1"},
		{"fuse in the negative", "PRO-17", []string{"  - {id: H1, kind: frame}", "  - {id: F3, kind: fuse, class: class_t, rating: 200 A, interrupt: 20 kA, volts: 125 V, resistance: 0.1 mΩ}\n  - {id: H1, kind: frame}",
			"from: R1.b, to: B2-", "from: R1.b, to: F3.a", lastCable, "support: 12 in}\n  - {id: W17, from: F3.b, to: B2-, size: 2/0 AWG, length: 6 in}\ntakeoff:"}, f, "F3 stands in the negative"},
	} {
		t.Run(row.rule+" "+row.name, func(t *testing.T) {
			worstIs(t, checked(t, withTexts(t, row.pairs...)), row.rule, row.worst, row.says)
		})
	}
}

// worstIs holds the gravest finding of a rule against what is expected.
func worstIs(t *testing.T, r *report.Report, rule string, want finding.Severity, says string) {
	t.Helper()
	found := by(rule, r.Findings)
	got := finding.Severity("")
	if len(found) > 0 {
		got = found[0].Severity // the report has the gravest first
	}
	if got != want || !strings.Contains(fmt.Sprint(found), says) {
		t.Errorf("%q, want %q saying %q: %+v", got, want, says, found)
	}
}

// TestFuseGone: without the main fuse it is said once, of the post and of what
// hangs on it bare; what has a device of its own is not named.
func TestFuseGone(t *testing.T) {
	r := checked(t, withTexts(t, "from: B1+, to: F1.a", "from: B1+, to: Q1.a", "from: F1.b, to: Q1.a", "from: Q1.b, to: P1.1", "{id: W5, from: Q1.b", "{id: W5, from: Q1.b"))
	found := by("PRO-22", r.Findings)
	// From B1+ over W3 (6 in), W4 (12 in), W6 (30 in): 48 in, 1219 mm; W10 and W13 lead on to devices.
	if len(found) != 1 || found[0].Place != "B1+" || !strings.Contains(found[0].Message, "between B1+ and I1 (cables W3, W4, W5, W6), up to 1219 mm") {
		t.Errorf("%+v", found)
	}
	if r.Findings[0].Rule != "PRO-22" || len(by("PRO-01", r.Findings))+len(by("PRO-02", r.Findings)) != 0 {
		t.Errorf("it is not first, or said again: %+v", r.Findings)
	}
	for _, rule := range []string{"PRO-01", "PRO-22"} {
		worstIs(t, checked(t, withTexts(t)), rule, "", "")
	}
}

func guardOf(t *testing.T, r *report.Report, id string) *report.Guard {
	t.Helper()
	for i := range r.Side.Guards {
		if r.Side.Guards[i].Part == id {
			return &r.Side.Guards[i]
		}
	}
	t.Fatalf("no device %s", id)
	return nil
}

// TestFoundLimits: limits that lie where the job's own currents are, a
// thousandth under and over.
func TestFoundLimits(t *testing.T) {
	plain := checked(t, withTexts(t))
	banded := checked(t, rules.Find("PRO-10").Passing)
	surge := guardOf(t, plain, "F1").Surge.Amps
	// Bolt-in fuse of 51 mm: at least 120 s at 1.35, 1 s at 2 times, straight in
	// the logarithms between.
	part := math.Log(surge/120/1.35) / math.Log(2/1.35)
	carried := 120 * math.Pow(1.0/120, part)
	// 5 s at 3.5 times the rating at the latest.
	slow := guardOf(t, banded, "F1").Least / 3.5
	bears := plain.Side.Lines[5].Physics
	share := guardOf(t, plain, "F1").Steady.Amps / 2
	twoLeads := rules.Find("PRO-13").Failing
	for _, row := range []struct {
		name, rule string
		at         float64 // the limit
		over       float64 // 1: above it is amiss, -1: below
		text       func(v float64) string
		bad, good  finding.Severity
	}{
		{"fuse passes the surge", "PRO-05", carried, 1, func(v float64) string {
			return withTexts(t, mainFuse, "class: bolt_51, rating: 120 A", "surge_for: 5 s", fmt.Sprintf("surge_for: %.9f s", v))
		}, finding.Warning, ""},
		{"breaks the dead short", "PRO-06", guardOf(t, plain, "D1").Most, -1, func(v float64) string {
			return withTexts(t, "rating: 20 A, interrupt: 5 kA", fmt.Sprintf("rating: 20 A, interrupt: %.9f A", v))
		}, finding.Fault, ""},
		// Class T opens at 1.35 times at the latest (UL 248-1, from memory).
		{"fuse saves the cable in an overload", "PRO-09", bears / 1.35, 1, func(v float64) string {
			return withTexts(t, mainFuse, fmt.Sprintf("class: class_t, rating: %.9f A", v))
		}, finding.Warning, ""},
		{"opens in time", "PRO-10", slow, 1, func(v float64) string {
			return strings.Replace(rules.Find("PRO-10").Passing, "class: bolt_51, rating: 200 A", fmt.Sprintf("class: bolt_51, rating: %.9f A", v), 1)
		}, finding.Warning, ""},
		{"share of a lead", "PRO-13", share, -1, func(v float64) string {
			return strings.Replace(twoLeads, "rating: 40 A", fmt.Sprintf("rating: %.9f A", v), 1)
		}, finding.Warning, finding.Note},
		{"switch", "PRO-16", guardOf(t, plain, "F1").Steady.Amps, -1, func(v float64) string {
			return withTexts(t, "kind: switch, rating: 300 A", fmt.Sprintf("kind: switch, rating: %.9f A", v))
		}, finding.Fault, finding.Note},
	} {
		t.Run(row.rule+" "+row.name, func(t *testing.T) {
			worstIs(t, checked(t, row.text(row.at*(1+row.over*1e-3))), row.rule, row.bad, "")
			worstIs(t, checked(t, row.text(row.at*(1-row.over*1e-3))), row.rule, row.good, "")
		})
	}
}

// TestEachBattery: three batteries side by side are found, with all their names;
// a fuse at each mends it.
func TestEachBattery(t *testing.T) {
	three := rules.Find("PRO-15").Failing
	worstIs(t, checked(t, three), "PRO-15", finding.Warning, "(so for B1, B2, B3)")
	fused := three
	for n, pair := range [][2]string{{"from: B1+, to: B2+", "from: G1.b, to: G2.b"}, {"from: B2+, to: B3+", "from: G2.b, to: G3.b"}, {"from: B1+, to: F1.a", "from: G1.b, to: F1.a"}} {
		if !strings.Contains(fused, pair[0]) {
			t.Fatalf("no %s", pair[0])
		}
		fused = strings.Replace(fused, pair[0], pair[1], 1)
		id := fmt.Sprint(n + 1)
		fused = strings.Replace(fused, "  - {id: H1, kind: frame}", "  - {id: G"+id+", kind: fuse, class: class_t, rating: 200 A, interrupt: 20 kA, volts: 125 V, resistance: 0.1 mΩ}\n  - {id: H1, kind: frame}", 1)
		fused = strings.Replace(fused, lastCable, "support: 12 in}\n  - {id: W2"+id+", from: B"+id+"+, to: G"+id+".a, size: 2/0 AWG, length: 3 in, insulation: 105 °C, support: 12 in}\ntakeoff:", 1)
	}
	r := checked(t, fused)
	worstIs(t, r, "PRO-15", "", "")
	worstIs(t, r, "PRO-01", "", "")
	worstIs(t, r, "PRO-02", "", "")
}

// TestDeadShort: a thicker conductor behind the same slow fuse is not found; a
// let-through from memory never comes to more than not checked.
func TestDeadShort(t *testing.T) {
	thin := checked(t, rules.Find("PRO-08").Failing)
	worstIs(t, thin, "PRO-08", finding.Fault, "cable W6")
	thick := checked(t, strings.Replace(rules.Find("PRO-08").Failing, "size: 8 AWG", "size: 4/0 AWG", 1))
	for _, f := range by("PRO-08", thick.Findings) {
		if f.Place == "W6" {
			t.Errorf("%+v", f)
		}
	}
	open := 0
	plain := checked(t, withTexts(t))
	for _, u := range plain.Unchecked {
		if u.Rule == "PRO-08" {
			open++
		}
	}
	if open != 3 || len(by("PRO-08", plain.Findings)) != 0 {
		t.Errorf("%d not checked, want each of the three devices", open)
	}
}
