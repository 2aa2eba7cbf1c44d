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

// halves is two batteries alike, wired crosswise, behind one inverter: each
// gives just half. power and what follows it is the inverter's.
func halves(limits, inverter string) string {
	return `bankwright: 1
battery_types:
  b: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 4 mΩ, limits: {` + limits + `}}
batteries: [{id: B1, type: b, covered: true}, {id: B2, type: b, covered: true}]
parts:
  - {id: F, kind: fuse, on: B1+, class: class_t, rating: 300 A, covered: true}
  - {id: Q, kind: switch, rating: 300 A, covered: true}
  - {id: I, kind: inverter, ` + inverter + `, efficiency: 90 %, cutout: 10.5 V, covered: true}
cables:
  - {id: R1, from: B1+, to: B2+, size: 2/0 AWG, length: 0.2 m}
  - {id: R2, from: B1-, to: B2-, size: 2/0 AWG, length: 0.2 m}
  - {id: W1, from: F.b, to: Q.a, size: 4/0 AWG, length: 0.5 m, insulation: 105 °C}
  - {id: W2, from: Q.b, to: I.a, size: 4/0 AWG, length: 0.5 m, insulation: 105 °C}
  - {id: W3, from: I.b, to: B2-, size: 4/0 AWG, length: 0.5 m, insulation: 105 °C}
takeoff: {positive: B1+, negative: B2-}
cases: [{id: c, draw: 10 A}]
`
}

// TestBatteryInStates: 3 kW over 90 % at the cut-out of 10.5 V are 317.5 A, half
// of it 158.7 A; the case of 10 A alone would say nothing.
func TestBatteryInStates(t *testing.T) {
	for _, row := range []struct {
		name, limits, inverter string
		worst                  finding.Severity
		says                   string
	}{
		{"over", "discharge: 100 A, charge: 50 A", "power: 3 kW", finding.Fault, "battery B1 carries 159 A on discharge without end (all loads at once), over its discharge limit of 100 A"},
		{"just over", "discharge: 158.7 A, charge: 50 A", "power: 3 kW", finding.Fault, "159 A"},
		{"just under", "discharge: 158.8 A, charge: 50 A", "power: 3 kW", "", ""},
		{"trip in a surge", "discharge: 158.8 A, charge: 50 A, trip: 200 A", "power: 3 kW, surge: 6 kW, surge_for: 5 s", finding.Warning, "its own protection opens above 200 A; after how long it opens is not told"},
		{"surge over before it trips", "discharge: 158.8 A, charge: 50 A, trip: 200 A, trip_delay: 6 s", "power: 3 kW, surge: 6 kW, surge_for: 5 s", "", ""},
		{"trips within the surge", "discharge: 158.8 A, charge: 50 A, trip: 200 A, trip_delay: 4 s", "power: 3 kW, surge: 6 kW, surge_for: 5 s", finding.Warning, "after 4.0 s"},
	} {
		t.Run(row.name, func(t *testing.T) {
			worstIs(t, checked(t, halves(row.limits, row.inverter)), "CUR-01", row.worst, row.says)
		})
	}
	r := checked(t, halves("discharge: 100 A, charge: 50 A", "power: 3 kW"))
	if n := by("CUR-01", r.Findings)[0].Number; math.Abs(n.Value-3000/0.9/10.5/2) > 0.05 || n.Limit != 100 {
		t.Errorf("%+v", n)
	}
}

// rungs is a bank of 12 V batteries wired as told.
func rungs(batteries, cables, plus, minus string) string {
	return "bankwright: 1\nbattery_types:\n  b: {chemistry: agm, nominal: 12 V, capacity: 100 Ah}\nbatteries: [" + batteries + "]\ncables:\n" + cables + "takeoff: {positive: " + plus + ", negative: " + minus + "}\n"
}

// TestWrongWayRound: the one battery that, turned, makes all strings agree.
func TestWrongWayRound(t *testing.T) {
	link := func(pairs ...string) string {
		s := ""
		for n := 0; n+1 < len(pairs); n += 2 {
			s += fmt.Sprintf("  - {id: C%d, from: %s, to: %s, size: 2/0 AWG, length: 0.3 m}\n", n/2, pairs[n], pairs[n+1])
		}
		return s
	}
	two := "{id: B1, type: b}, {id: B2, type: b}"
	four := two + ", {id: B3, type: b}, {id: B4, type: b}"
	six := four + ", {id: B5, type: b}, {id: B6, type: b}"
	for _, row := range []struct {
		name, text, place, says string
	}{
		{"lower of the second string", rungs(four, link("B1+", "B2-", "B3-", "B4-", "B2+", "B4+", "B1-", "B3+"), "B2+", "B1-"), "B3", "the string of B3, B4 adds up to 0 V, against 24.0 V"},
		{"upper of the second string", rungs(four, link("B1+", "B2-", "B3+", "B4+", "B2+", "B4-", "B1-", "B3-"), "B2+", "B1-"), "B4", "adds up to 0 V, against 24.0 V"},
		{"in the first string", rungs(four, link("B1+", "B2+", "B3+", "B4-", "B2-", "B4+", "B1-", "B3-"), "B4+", "B1-"), "B2", "the string of B1, B2"},
		{"one of two side by side", rungs(two, link("B1+", "B2-", "B1-", "B2+"), "B1+", "B1-"), "B2", "adds up to -12.0 V, against 12.0 V"},
		{"one of three strings", rungs(six, link("B1+", "B2-", "B3+", "B4-", "B5+", "B6+", "B2+", "B4+", "B4+", "B6-", "B1-", "B3-", "B3-", "B5-"), "B2+", "B1-"), "B6", "B5, B6"},
		{"within one string", rungs(two, link("B1+", "B2+"), "B2-", "B1-"), "B2", "the take-off has 0 V; with it turned it has 24.0 V"},
		{"all right, two strings", rungs(four, link("B1+", "B2-", "B3+", "B4-", "B2+", "B4+", "B1-", "B3-"), "B2+", "B1-"), "", ""},
		{"all right, one string", rungs(two, link("B1+", "B2-"), "B2+", "B1-"), "", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			r := checked(t, row.text)
			found := by("POL-01", r.Findings)
			if row.place == "" {
				if len(found) != 0 {
					t.Errorf("%+v", found)
				}
				return
			}
			if len(found) != 1 || found[0].Place != row.place || !strings.Contains(found[0].Message, row.says) || r.Findings[0].Rule != "POL-01" {
				t.Errorf("%+v", found)
			}
			for _, rule := range []string{"CUR-01", "PRO-15", "PRO-19"} {
				worstIs(t, r, rule, "", "")
			}
		})
	}
}

// TestSwitchSide: the ungrounded conductor is to be switched.
func TestSwitchSide(t *testing.T) {
	text := func(on, from, frame string) string {
		s := `bankwright: 1
practice: {book: marine}
battery_types:
  b: {chemistry: agm, nominal: 12 V, capacity: 100 Ah}
batteries: [{id: B1, type: b, covered: true}]
parts:
  - {id: F, kind: fuse, on: B1+, class: class_t, rating: 100 A, interrupt: 20 kA, volts: 125 V, covered: true}
  - {id: Q, kind: switch, on: ` + on + `, rating: 200 A}
  - {id: L, kind: load, current: 50 A, cutout: 10.5 V, covered: true}
  - {id: H, kind: frame}
cables:
` + from + `  - {id: G, from: ` + frame + `, to: H, size: 4 AWG, length: 1 m}
takeoff: {positive: B1+, negative: B1-}
`
		return s
	}
	minus := "  - {id: W1, from: F.b, to: L.a, size: 4 AWG, length: 1 m}\n  - {id: W2, from: L.b, to: Q.b, size: 4 AWG, length: 1 m}\n"
	plus := "  - {id: W1, from: Q.b, to: L.a, size: 4 AWG, length: 1 m}\n  - {id: W2, from: L.b, to: B1-, size: 4 AWG, length: 1 m}\n"
	worstIs(t, checked(t, text("B1-", minus, "B1-")), "SWI-01", finding.Fault, "the frame H hangs on the batteries' side of it")
	worstIs(t, checked(t, text("B1-", minus, "Q.b")), "SWI-01", finding.Warning, "Q: the only switch before L stands in the negative")
	worstIs(t, checked(t, text("F.b", plus, "B1-")), "SWI-01", "", "")
}

// barOn is one battery, a main fuse, a switch and a bar with two fuses on it.
func barOn(main, sw, bar, branch string) string {
	return `bankwright: 1
battery_types:
  b: {chemistry: lfp, nominal: 12.8 V, capacity: 300 Ah, resistance: 1.5 mΩ, stud: M8, stud_length: 20 mm, limits: {discharge: 300 A, charge: 150 A, trip: 900 A, parallel: 4}}
batteries: [{id: B1, type: b, covered: true}]
parts:
  - {id: F, kind: fuse, on: B1+, class: class_t, rating: ` + main + `, covered: true}
  - {id: Q, kind: switch, rating: ` + sw + `, covered: true}
  - {id: P, kind: bar, studs: 3, pitch: 50 mm, section: [20 mm, 3 mm], rating: ` + bar + `, covered: true}
  - {id: F2, kind: fuse, on: P.2, class: class_t, rating: ` + branch + `, covered: true}
  - {id: F3, kind: fuse, on: P.3, class: class_t, rating: 20 A, covered: true}
  - {id: L, kind: load, current: 5 A, cutout: 10.5 V, covered: true}
  - {id: I, kind: load, current: 50 A, cutout: 10.5 V, covered: true}
cables:
  - {id: W1, from: F.b, to: Q.a, size: 4/0 AWG, length: 0.5 m, insulation: 105 °C}
  - {id: W2, from: Q.b, to: P.1, size: 4/0 AWG, length: 1 m, insulation: 105 °C}
  - {id: X1, from: F3.b, to: L.a, size: 10 AWG, length: 1 m, insulation: 105 °C}
  - {id: X2, from: L.b, to: B1-, size: 10 AWG, length: 1 m, insulation: 105 °C}
  - {id: W4, from: F2.b, to: I.a, size: 4/0 AWG, length: 1 m, insulation: 105 °C}
  - {id: W3, from: I.b, to: B1-, size: 4/0 AWG, length: 1 m, insulation: 105 °C}
takeoff: {positive: B1+, negative: B1-}
`
}

// TestOnABar: a fuse that sits on a bar stands behind the main, and what lies
// between must bear what the one before or those behind let pass.
func TestOnABar(t *testing.T) {
	for _, row := range []struct {
		name, rule, main, sw, bar, branch string
		worst                             finding.Severity
		says                              string
	}{
		// Twice the branch where no times tell: 400 A over 200 A.
		{"less than twice", "PRO-11", "399 A", "600 A", "600 A", "200 A", finding.Note, "F of 399 A before F2 of 200 A"},
		{"twice", "PRO-11", "400 A", "600 A", "600 A", "200 A", "", ""},
		// Those behind: 200 A and 20 A; the one before: 300 A.
		{"those behind, switch", "PRO-21", "300 A", "219 A", "220 A", "200 A", finding.Warning, "switch Q is made for 219 A; F3, F2 together let 220 A pass for long"},
		{"those behind, bar", "PRO-21", "300 A", "220 A", "219 A", "200 A", finding.Warning, "bar P is made for 219 A"},
		{"those behind, enough", "PRO-21", "300 A", "220 A", "220 A", "200 A", "", ""},
		{"the one before", "PRO-21", "150 A", "149 A", "300 A", "200 A", finding.Warning, "switch Q is made for 149 A; F lets 150 A"},
		{"the one before, enough", "PRO-21", "150 A", "150 A", "150 A", "200 A", "", ""},
	} {
		t.Run(row.rule+" "+row.name, func(t *testing.T) {
			worstIs(t, checked(t, barOn(row.main, row.sw, row.bar, row.branch)), row.rule, row.worst, row.says)
		})
	}
	// A shunt that all loads return through; F1 is of 200 A.
	worstIs(t, checked(t, withTexts(t, "kind: shunt, rating: 500 A", "kind: shunt, rating: 199 A")), "PRO-21", finding.Warning, "shunt R1 is made for 199 A; F1 lets 200 A")
	worstIs(t, checked(t, withTexts(t, "kind: shunt, rating: 500 A", "kind: shunt, rating: 200 A")), "PRO-21", "", "")
}

// TestSitsOnStud: the thread of a part that sits on a stud, and the stud's own length.
func TestSitsOnStud(t *testing.T) {
	fuse := func(thread string) string {
		return strings.Replace(barOn("300 A", "300 A", "300 A", "200 A"), "on: B1+, ", "on: B1+, thread: "+thread+", ", 1)
	}
	worstIs(t, checked(t, fuse("M10")), "LUG-03", finding.Warning, "F has terminals of M10 and sits on the stud of B1+, M8: a hole for that sits aside")
	worstIs(t, checked(t, fuse("M6")), "LUG-03", finding.Warning, "does not go on")
	worstIs(t, checked(t, fuse("M8")), "LUG-03", "", "")
	said := ""
	for _, u := range checked(t, fuse("M8")).Unchecked {
		if u.Rule == "STK-02" && u.Place == "B1+" {
			said = u.Why
		}
	}
	if !strings.Contains(said, "F sits on it") { // though no tongue's thickness is given, and no lug lies there
		t.Errorf("%q", said)
	}
}

// TestLeadsSideBySide: two leads to one place are no link between batteries.
func TestLeadsSideBySide(t *testing.T) {
	two := func(fuse, begin string) string {
		s := halves("discharge: 300 A, charge: 50 A", "power: 1 kW")
		s = strings.Replace(s, "  - {id: F, kind: fuse, on: B1+, class: class_t, rating: 300 A, covered: true}\n", fuse, 1)
		lead := "  - {id: W1, from: F.b, to: Q.a, size: 4/0 AWG, length: 0.5 m, insulation: 105 °C}\n"
		return strings.Replace(s, lead, strings.Replace(lead, "F.b", begin, 1)+strings.NewReplacer("F.b", begin, "W1", "W1b", "0.5 m", "1 m").Replace(lead), 1)
	}
	r := checked(t, two("", "B1+"))
	worstIs(t, r, "PRO-22", finding.Fault, "between B1+ and I (cables W1, W1b, W2)")
	for _, f := range by("PRO-02", r.Findings) {
		if f.Place != "R1" { // the true link stays one
			t.Errorf("%+v", f)
		}
	}
	if found := by("PRO-02", r.Findings); len(found) != 1 || strings.Contains(found[0].Suggestion, "move the device") || !strings.Contains(found[0].Suggestion, "put a fuse into the link") {
		t.Errorf("%+v", found)
	}
	fused := checked(t, two("  - {id: F, kind: fuse, on: B1+, class: class_t, rating: 300 A, covered: true}\n", "F.b"))
	worstIs(t, fused, "PRO-22", "", "")
	worstIs(t, fused, "PRO-01", "", "")
}

// TestMetricSizes: no table of the books has metric sizes; the heat balance of
// the very cable stands in.
func TestMetricSizes(t *testing.T) {
	text := func(rating float64) string {
		s := strings.Replace(barOn("300 A", "600 A", "600 A", "200 A"), "{id: W4, from: F2.b, to: I.a, size: 4/0 AWG", "{id: W4, from: F2.b, to: I.a, size: 25 mm2", 1)
		return strings.Replace(s, "class: class_t, rating: 200 A", fmt.Sprintf("class: class_t, rating: %.6f A", rating), 1)
	}
	bears := lineOf(t, checked(t, text(100)), "W4").Physics
	if !(bears > 160 && bears < 190) { // so that 200 A is the next standard rating
		t.Fatalf("it bears %g A", bears)
	}
	for _, row := range []struct {
		name  string
		times float64
		worst finding.Severity
	}{{"within", 0.9, ""}, {"over the next standard rating", 1.49, finding.Warning}, {"over 150 %", 1.51, finding.Fault}} {
		t.Run(row.name, func(t *testing.T) {
			says := ""
			if row.worst != "" {
				says = "by the heat balance, as the book's table has no row for it"
			}
			var at []finding.Finding
			for _, f := range by("PRO-03", checked(t, text(bears*row.times)).Findings) {
				if strings.Contains(f.Message, "cable W4:") {
					at = append(at, f)
				}
			}
			if row.worst == "" && len(at) != 0 || row.worst != "" && (len(at) != 1 || at[0].Severity != row.worst || !strings.Contains(at[0].Message, says)) {
				t.Errorf("%+v", at)
			}
		})
	}
	// Side by side: of two leads the shorter takes two thirds or so; with thin copper that is too much.
	thin := func(size string) string {
		s := strings.Replace(barOn("300 A", "600 A", "600 A", "200 A"), "{id: W4, from: F2.b, to: I.a, size: 4/0 AWG, length: 1 m, insulation: 105 °C}\n", "{id: W4, from: F2.b, to: I.a, size: "+size+", length: 1 m, insulation: 105 °C}\n", 1)
		lead := "  - {id: W2, from: Q.b, to: P.1, size: 4/0 AWG, length: 1 m, insulation: 105 °C}\n"
		short := strings.Replace(lead, "4/0 AWG", size, 1)
		return strings.Replace(s, lead, short+strings.NewReplacer("W2", "W2b", "1 m", "5 m").Replace(short), 1)
	}
	worstIs(t, checked(t, thin("2.5 mm2")), "PRO-13", finding.Warning, "W2")
	worstIs(t, checked(t, thin("50 mm2")), "PRO-13", "", "")
}

func lineOf(t *testing.T, r *report.Report, id string) *report.Line {
	t.Helper()
	for i := range r.Side.Lines {
		if r.Side.Lines[i].Cable == id {
			return &r.Side.Lines[i]
		}
	}
	t.Fatalf("no cable %s", id)
	return nil
}

// TestSavedBy: a charger's fuse on the far side saves no lead from the bank.
func TestSavedBy(t *testing.T) {
	r := checked(t, rules.Find("PRO-01").Failing) // W10 leads bare from B1+ to L1
	for _, row := range []struct{ cable, saves, spares string }{
		{"W10", "[]", "[F1]"}, // from C1 alone F1 stands before it
		{"W14", "[F2]", "[]"},
		{"W6", "[F1]", "[F2]"}, // from C1 alone F2
	} {
		l := lineOf(t, r, row.cable)
		if fmt.Sprint(l.Saves) != row.saves || fmt.Sprint(l.Spares) != row.spares {
			t.Errorf("%s: %v %v, not %s %s", row.cable, l.Saves, l.Spares, row.saves, row.spares)
		}
	}
}
