package assess

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// mainJob is six batteries in parallel on two bars and one main of a size,
// with its fuse, its switch and an inverter that lasts with so many amperes.
func mainJob(size, wrap, fuse string, amps float64) string {
	var b strings.Builder
	b.WriteString("bankwright: 1\npractice: {book: marine, ambient: 30 °C}\nbattery_types:\n  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 4 mΩ, emf: 13.2 V, limits: {discharge: 100 A, trip: 200 A, series: 4, parallel: 6}}\nbatteries:\n")
	for i := 1; i <= 6; i++ {
		fmt.Fprintf(&b, "  - {id: B%d, type: block, covered: true}\n", i)
	}
	fmt.Fprintf(&b, "parts:\n  - {id: P, kind: bar, studs: 7, resistance: 0.02 mΩ, rating: 800 A}\n  - {id: N, kind: bar, studs: 7, resistance: 0.02 mΩ, rating: 800 A}\n  - {id: F, kind: fuse, %s}\n  - {id: Q, kind: switch, rating: 600 A, resistance: 0.1 mΩ}\n  - {id: L, kind: load, current: %g A}\ncables:\n", fuse, amps)
	for i := 1; i <= 6; i++ {
		fmt.Fprintf(&b, "  - {id: A%d, from: B%d+, to: P.%d, size: 1/0 AWG, length: 6 in, insulation: 105 °C}\n  - {id: C%d, from: B%d-, to: N.%d, size: 1/0 AWG, length: 6 in, insulation: 105 °C}\n", i, i, i+1, i, i, i+1)
	}
	fmt.Fprintf(&b, "  - {id: W1, from: P.1, to: F.a, size: %[1]s, length: 1 in, insulation: 105 °C%[2]s}\n  - {id: W2, from: F.b, to: Q.a, size: %[1]s, length: 12 in, insulation: 105 °C%[2]s}\n  - {id: W3, from: Q.b, to: L.a, size: %[1]s, length: 24 in, insulation: 105 °C%[2]s}\n  - {id: W4, from: L.b, to: N.1, size: %[1]s, length: 24 in, insulation: 105 °C%[2]s}\n", size, wrap)
	b.WriteString("takeoff: {positive: P.1, negative: N.1}\ncases: [{id: rest, draw: 0 A}]\n")
	return b.String()
}

const classT400 = "class: class_t, rating: 400 A, interrupt: 20 kA, volts: 125 V, resistance: 0.1 mΩ"

func checkedText(t *testing.T, text string) *report.Report {
	t.Helper()
	j, err := Load("job.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	r, err := j.Check()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// said lists what a rule found at a place, by severity.
func said(r *report.Report, rule, place string) (worst finding.Severity, message string) {
	for _, f := range r.Findings {
		if f.Rule == rule && (place == "" || placed(f.Place, place) || f.At(place)) && (worst == "" || f.Severity.Rank() < worst.Rank()) {
			worst, message = f.Severity, f.Message
		}
	}
	return worst, message
}

func unchecked(r *report.Report, rule, place string) bool {
	for _, u := range r.Unchecked {
		if u.Rule == rule && u.Place == place {
			return true
		}
	}
	return false
}

// TestMainOfCommonPractice: a 4/0 main with 105 °C insulation and a 400 A class
// T fuse close to the bank (common practice, no source): within outside an
// engine space, outside in one. The limits are 33 CFR 183.425 Table 5: 445 A,
// and 0.85 of it by Note 1 (from memory).
func TestMainOfCommonPractice(t *testing.T) {
	for _, row := range []struct {
		name, size, wrap string
		amps             float64
		table            finding.Severity
	}{
		{"outside an engine space", "4/0 AWG", "", 380, ""},
		{"at the table", "4/0 AWG", "", 445, ""},
		{"just over the table", "4/0 AWG", "", 445.1, finding.Fault},
		{"just under 0.85 of it", "4/0 AWG", ", engine: true", 378, ""},
		{"just over 0.85 of it", "4/0 AWG", ", engine: true", 378.5, finding.Fault},
		{"a size less", "3/0 AWG", "", 386, finding.Fault},
	} {
		t.Run(row.name, func(t *testing.T) {
			r := checkedText(t, mainJob(row.size, row.wrap, classT400, row.amps))
			if got, words := said(r, "AMP-01", "W3"); got != row.table {
				t.Errorf("by table %q, not %q: %s", got, row.table, words)
			}
			for _, rule := range []string{"PRO-02", "PRO-03", "PRO-06", "PRO-07"} {
				if got, words := said(r, rule, "F"); got == finding.Fault || got == finding.Warning {
					t.Errorf("%s at F: %s", rule, words)
				}
			}
		})
	}
}

// TestTwoVerdicts: table and heat never make one verdict. 2/0 in free air at
// 30 °C: 330 A by table, about 371 A by heat (electrical reference, model row).
// Where the air is warm the table of the marine book asks for nothing more
// outside an engine space, and the heat balance does.
func TestTwoVerdicts(t *testing.T) {
	r := checkedText(t, mainJob("2/0 AWG", "", classT400, 345))
	table, _ := said(r, "AMP-01", "W3")
	heat, _ := said(r, "AMP-02", "W3")
	if table != finding.Fault || heat != "" {
		t.Errorf("345 A on 2/0: by table %q, by heat %q", table, heat)
	}
	hot := strings.Replace(mainJob("2/0 AWG", "", classT400, 320), "ambient: 30 °C", "ambient: 70 °C", 1)
	r = checkedText(t, hot)
	table, _ = said(r, "AMP-01", "W3")
	heat, _ = said(r, "AMP-02", "W3")
	if table != "" || heat != finding.Fault {
		t.Errorf("320 A on 2/0 in air of 70 °C: by table %q, by heat %q", table, heat)
	}
	l := lineNamed(r, "W3")
	// By the law of the factors, √((105−70)/(105−30)) of the 371 A: 253 A, within 5 %.
	if want := 371 * math.Sqrt(35./75); math.Abs(l.Physics/want-1) > 0.05 {
		t.Errorf("by heat %.0f A in air of 70 °C, about %.0f was due", l.Physics, want)
	}
}

func lineNamed(r *report.Report, id string) *report.Line {
	for i := range r.Side.Lines {
		if r.Side.Lines[i].Cable == id {
			return &r.Side.Lines[i]
		}
	}
	return nil
}

// TestMetricHasNoGaugeRow: 70 mm² lies near 2/0 AWG and takes nothing from it.
func TestMetricHasNoGaugeRow(t *testing.T) {
	r := checkedText(t, mainJob("70 mm2", "", classT400, 200))
	l := lineNamed(r, "W3")
	if len(l.Tables) != 0 || l.NoTable == "" || !(l.Physics > 300 && l.Physics < 450) {
		t.Errorf("tables %v, %q, %.0f A by heat", l.Tables, l.NoTable, l.Physics)
	}
	if !unchecked(r, "AMP-01", "W3") {
		t.Error("nothing says that no table was looked at")
	}
}

// TestInParallel: six batteries of 100 Ah side by side make 600 Ah at the same
// volts (common practice, no source), and the main carries the sum.
func TestInParallel(t *testing.T) {
	j, err := Load("job.yaml", []byte(strings.Replace(mainJob("4/0 AWG", "", classT400, 300), "{id: rest, draw: 0 A}", "{id: load, draw: 300 A, for: 1 h}", 1)))
	if err != nil {
		t.Fatal(err)
	}
	run, err := j.Run("load", RunOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(run.Nameplate-600*3600) > 1e-6 {
		t.Errorf("%g Ah on the labels", run.Nameplate/3600)
	}
	s, err := j.Side()
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(s.Nominal-12.8) > 1e-9 {
		t.Errorf("%g V", s.Nominal)
	}
	sum := 0.0
	for i := range s.Lines {
		if l := &s.Lines[i]; strings.HasPrefix(l.Cable, "A") {
			sum += l.Steady.Amps
		}
		if l := &s.Lines[i]; l.Cable == "W3" && math.Abs(l.Steady.Amps-300) > 1e-6 {
			t.Errorf("the main carries %g A", l.Steady.Amps)
		}
	}
	if math.Abs(sum-300) > 1e-6 {
		t.Errorf("the batteries give %g A together", sum)
	}
}
