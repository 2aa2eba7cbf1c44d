package rules_test

import (
	"strings"
	"testing"

	"bankwright/internal/check/rules"
	"bankwright/internal/model/finding"
)

// returnJob is a load behind a fuse of 150 A with its own sheet: 90 kA²s, and a
// lead out and back.
func returnJob(out, back, load string) string {
	return `bankwright: 1
battery_types:
  b: {chemistry: lfp, nominal: 12.8 V, capacity: 300 Ah, resistance: 1.5 mΩ}
batteries: [{id: B1, type: b, covered: true}]
parts:
  - {id: F, kind: fuse, on: B1+, class: class_t, rating: 150 A, interrupt: 20 kA, volts: 125 V, let_through: 90 kA2s, covered: true,
     times: [[200 A, 5 min, 2 h], [300 A, 30 s, 8 min], [450 A, 3 s, 25 s], [700 A, 0.5 s, 3 s], [1.5 kA, 30 ms, 0.3 s], [3 kA, 5 ms, 40 ms]]}
  - {id: L, kind: load, current: ` + load + `, covered: true}
cables:
  - {id: W2, from: F.b, to: L.a, size: ` + out + `, length: 0.5 m, insulation: 105 °C}
  - {id: W3, from: L.b, to: B1-, size: ` + back + `, length: 0.5 m, insulation: 105 °C}
takeoff: {positive: B1+, negative: B1-}
`
}

// TestReturnSaved: 16 AWG (1.31 mm²) bears k²S² = 12.8 kA²s at most (k = 87
// A·√s/mm² from 105 to 160 °C, by IEC's formula), less than the 90 kA²s that the
// fuse lets through; 1/0 AWG (53.5 mm²) bears 21 MA²s.
func TestReturnSaved(t *testing.T) {
	for _, row := range []struct {
		name, out, back, load string
		severity              finding.Severity
		says                  string
		count                 int // of PRO-08
	}{
		{"thin return", "1/0 AWG", "16 AWG", "8 A", finding.Fault, "cable W3 (the return of L) behind F", 1},
		{"thick both", "1/0 AWG", "1/0 AWG", "8 A", "", "", 0},
		{"thin both, said once", "16 AWG", "16 AWG", "8 A", finding.Fault, "so for the return W3", 1},
		{"past its limit already", "1/0 AWG", "16 AWG", "100 A", finding.Fault, "lasting 100 A alone takes it past the 105 °C that its insulation bears", 1},
	} {
		t.Run(row.name, func(t *testing.T) {
			r := checked(t, returnJob(row.out, row.back, row.load))
			worstIs(t, r, "PRO-08", row.severity, row.says)
			if n := len(by("PRO-08", r.Findings)); n != row.count {
				t.Errorf("said %d times", n)
			}
			for _, rule := range []string{"PRO-03", "PRO-09"} {
				if n := len(by(rule, r.Findings)); n != row.count {
					t.Errorf("%s said %d times: %+v", rule, n, by(rule, r.Findings))
				}
			}
			for _, f := range r.Findings {
				if strings.Contains(f.Message, "for 0 s") {
					t.Errorf("a time of nought: %s", f.Message)
				}
			}
		})
	}
}

// TestMidTap: who draws, on what, and how far apart that puts them in an hour.
func TestMidTap(t *testing.T) {
	text := rules.Find("MID-01").Failing
	worstIs(t, checked(t, text), "MID-01", finding.Warning, "draws on B1 alone, 5.00 A; nothing of it comes from B2 in series with that; in an hour they are 5.00 Ah apart")
	alone := strings.Replace(text, "{id: M1, kind: load, current: 5 A, cutout: 22 V}", "{id: M1, kind: charger, current: 5 A, voltage: 14 V}", 1)
	worstIs(t, checked(t, alone), "MID-01", finding.Warning, "M1 charges B1 alone, 5.00 A")
	// A charger for each battery of the string.
	each := strings.Replace(alone, "voltage: 14 V}", "voltage: 14 V}, {id: M2, kind: charger, current: 5 A, voltage: 14 V}", 1)
	each = strings.Replace(each, "{id: T3,", "{id: T4, from: B2+, to: M2.a, size: 12 AWG, length: 1 m}, {id: T5, from: M2.b, to: B1+, size: 12 AWG, length: 1 m}, {id: T3,", 1)
	worstIs(t, checked(t, each), "MID-01", "", "")
}
