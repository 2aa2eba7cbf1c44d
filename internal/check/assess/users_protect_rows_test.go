package assess

import (
	"fmt"
	"strings"
	"testing"

	"bankwright/internal/model/finding"
)

// TestUnprotectedPositive: the length from the battery to the first device,
// along the conductor, against 7, 40 and 72 in, each with its condition. 7 in
// and 40 in in a sheath are 33 CFR 183.455 (b), read; 72 in from the battery is
// from memory and lifts nothing without saying so.
func TestUnprotectedPositive(t *testing.T) {
	const w3 = "from: B1+, to: F1.a, size: 2/0 AWG, length: 6 in"
	for _, row := range []struct {
		inches float64
		sheath bool
		want   finding.Severity
	}{
		{6.9, false, ""}, {7, false, ""}, {7.1, false, finding.Note},
		{39.9, true, ""}, {40, true, ""}, {40.1, true, finding.Note},
		{72, true, finding.Note}, {72.1, true, finding.Fault}, {72.1, false, finding.Fault},
	} {
		t.Run(fmt.Sprint(row.inches, row.sheath), func(t *testing.T) {
			text := reed(t, w3, fmt.Sprintf("from: B1+, to: F1.a, sheath: %t, size: 2/0 AWG, length: %g in", row.sheath, row.inches))
			r := saysAll(t, text, []wants{{"PRO-02", "F1", row.want}})
			for _, f := range r.Findings {
				if f.Rule == "PRO-02" && f.Place == "F1" && (!strings.Contains(f.Message, "178 mm") || !strings.Contains(f.Message, "1016 mm") || !strings.Contains(f.Message, "1829 mm")) {
					t.Errorf("not each limit is named: %s", f.Message)
				}
			}
		})
	}
}

// TestAlternatorLosesItsBattery: which source the electronics' opening leaves
// alone, and what must stay connected.
func TestAlternatorLosesItsBattery(t *testing.T) {
	for on, want := range map[string]finding.Severity{", on_open: stops": "", ", on_open: surges": finding.Warning, "": finding.Warning} {
		r := saysAll(t, reed(t, ", on_open: stops", on), []wants{{"SRC-01", "C1", want}})
		for _, f := range r.Findings {
			if f.Rule == "SRC-01" && !strings.Contains(f.Suggestion, "keep a lead-acid battery or a suppressor") {
				t.Errorf("%q does not say what must stay connected", f.Suggestion)
			}
		}
	}
	// A charger of which nothing is said is not passed over in silence.
	r := checkedText(t, reed(t, "kind: alternator", "kind: charger", ", on_open: stops", ""))
	if !unchecked(r, "SRC-01", "C1") {
		t.Error("nothing says that it was not looked at")
	}
}

// TestBadProtection: what a job may have wrong about its devices is told: by an
// error that names the place and what would mend it, or by a finding.
func TestBadProtection(t *testing.T) {
	const f1 = "{id: F1, kind: fuse, class: class_t, rating: 250 A, interrupt: 20 kA, volts: 125 V, resistance: 0.1 mΩ}"
	for _, row := range []struct {
		name, now string
		parts     []string
	}{
		{"unknown class", "{id: F1, kind: fuse, class: class_z, rating: 250 A, resistance: 0.1 mΩ}", []string{"job.yaml:10:", "class_z", "class_t"}},
		{"rating in volts", "{id: F1, kind: fuse, rating: 250 V, resistance: 0.1 mΩ}", []string{"job.yaml:10:", "250 V", "current"}},
		{"rating without a unit", "{id: F1, kind: fuse, rating: 250, resistance: 0.1 mΩ}", []string{"job.yaml:10:", "250", "A"}},
		{"rating below nothing", "{id: F1, kind: fuse, rating: -250 A, resistance: 0.1 mΩ}", []string{"job.yaml:10:", "-250 A", "0 to 100 kA"}},
		{"rating of nothing", "{id: F1, kind: fuse, rating: 0 A, resistance: 0.1 mΩ}", []string{"job.yaml:10:", "rating"}},
		{"interrupt in volts", "{id: F1, kind: fuse, rating: 250 A, interrupt: 125 V, resistance: 0.1 mΩ}", []string{"job.yaml:10:", "125 V", "current"}},
		{"volts in amperes", "{id: F1, kind: fuse, rating: 250 A, volts: 20 kA, resistance: 0.1 mΩ}", []string{"job.yaml:10:", "20 kA", "voltage"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, err := Load("job.yaml", []byte(reed(t, f1, row.now)))
			saying(t, err, row.parts...)
		})
	}
}

// TestOddProtection: a job that can be read, whose device cannot do its work.
func TestOddProtection(t *testing.T) {
	const f1 = "{id: F1, kind: fuse, class: class_t, rating: 250 A, interrupt: 20 kA, volts: 125 V, resistance: 0.1 mΩ}"
	t.Run("without a rating", func(t *testing.T) {
		saysAll(t, reed(t, "class: class_t, rating: 250 A, ", "class: class_t, "), []wants{{"PRO-14", "F1", finding.Warning}})
	})
	t.Run("without class and rating", func(t *testing.T) {
		r := saysAll(t, reed(t, f1, "{id: F1, kind: fuse, resistance: 0.1 mΩ}"), []wants{{"PRO-14", "F1", finding.Warning}})
		if !unchecked(r, "PRO-14", "F1") || !unchecked(r, "PRO-06", "F1") || !unchecked(r, "PRO-07", "F1") {
			t.Error("what is not checked is not said")
		}
	})
	t.Run("in the negative", func(t *testing.T) {
		// The main's fuse and the negative's cable change places.
		text := reed(t, "{id: W3, from: B1+, to: F1.a,", "{id: W3, from: B1+, to: Q1.a,", "  - {id: W4, from: F1.b, to: Q1.a,", "  - {id: W4, from: N1.1, to: F1.a,", "{id: W8, from: N1.1, to: B2-,", "{id: W8, from: F1.b, to: B2-,")
		saysAll(t, text, []wants{{"PRO-17", "F1", finding.Fault}, {"PRO-22", "B1+", finding.Fault}})
	})
	t.Run("copper round it", func(t *testing.T) {
		saysAll(t, reed(t, "takeoff:", "  - {id: W16, from: F1.a, to: F1.b, size: 2/0 AWG, length: 6 in, insulation: 105 °C}\ntakeoff:"), []wants{{"PRO-17", "F1", finding.Fault}})
	})
	t.Run("behind it nothing", func(t *testing.T) {
		saysAll(t, reed(t, "  - {id: H1, kind: frame}", "  - {id: H1, kind: frame}\n  - {id: F3, kind: fuse, class: class_t, rating: 60 A, interrupt: 20 kA, volts: 125 V, resistance: 0.5 mΩ}"), []wants{{"PRO-17", "F3", finding.Fault}})
	})
	t.Run("three in a loop", func(t *testing.T) {
		// Two sources and a ring of three fuses: each is fed through the others.
		text := reed(t, "  - {id: H1, kind: frame}", "  - {id: H1, kind: frame}\n  - {id: S1, kind: stud}\n  - {id: S2, kind: stud}"+ring("parts"),
			"takeoff:", ring("cables")+"takeoff:")
		r := checkedText(t, text)
		loop := false
		for _, u := range r.Unchecked {
			loop = loop || u.Rule == "PRO-11" && strings.Contains(u.Why, "loop")
		}
		for _, f := range r.Findings {
			loop = loop || (f.Rule == "PRO-11" || f.Rule == "PRO-13") && strings.Contains(f.Place+f.Message, "F4")
		}
		if !loop {
			t.Errorf("nothing is said of the ring: %+v", r.Unchecked)
		}
	})
}

// ring is three fuses between the bar's end of the main, S1 and S2.
func ring(what string) string {
	var b strings.Builder
	for i, ends := range [][2]string{{"P1.1", "S1"}, {"S1", "S2"}, {"S2", "P1.1"}} {
		if what == "parts" {
			fmt.Fprintf(&b, "\n  - {id: F%d, kind: fuse, class: class_t, rating: 100 A, interrupt: 20 kA, volts: 125 V, resistance: 0.5 mΩ}", i+3)
			continue
		}
		fmt.Fprintf(&b, "  - {id: R%d, from: %s, to: F%d.a, size: 4 AWG, length: 6 in, insulation: 105 °C}\n  - {id: T%d, from: F%d.b, to: %s, size: 4 AWG, length: 6 in, insulation: 105 °C}\n", i, ends[0], i+3, i, i+3, ends[1])
	}
	return b.String()
}
