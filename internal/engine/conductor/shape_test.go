package conductor

import (
	"math"
	"testing"

	"bankwright/internal/base/source"
)

// TestDiameters is the reference's list for flexible battery cable (its own
// model; ±1 mm against real cable), to the tenth of a millimetre printed.
func TestDiameters(t *testing.T) {
	for _, row := range []struct {
		name        string
		mm2, across float64
	}{
		{"6 AWG", 13.30, 8.4}, {"4 AWG", 21.15, 9.7}, {"2 AWG", 33.62, 11.5}, {"1 AWG", 42.41, 13.5},
		{"1/0 AWG", 53.49, 14.7}, {"2/0 AWG", 67.43, 16.0}, {"3/0 AWG", 85.01, 17.5}, {"4/0 AWG", 107.2, 19.1},
	} {
		strands, outside, err := Diameters(row.mm2*1e-6, FlexibleFill, BoatWalls())
		if err != nil {
			t.Fatal(err)
		}
		near(t, row.name, outside*1e3, row.across, 0.06) // 3/0 is 17.50 to 17.46 by the rounding of its parts
		near(t, row.name, math.Pi/4*strands*strands*FlexibleFill, row.mm2*1e-6, 1e-12)
	}
	for _, bad := range []struct{ section, fill float64 }{{0, 0.6}, {math.NaN(), 0.6}, {1e-6, 0}, {1e-6, 1.1}, {1e-6, math.NaN()}} {
		if _, _, err := Diameters(bad.section, bad.fill, BoatWalls()); err == nil {
			t.Errorf("%+v: no error", bad)
		}
	}
	if _, _, err := Diameters(50e-6, 0.6, BoatWalls()[:1]); err == nil {
		t.Error("no error where no wall is for the section")
	}
	for _, w := range BoatWalls() {
		if err := w.Ref.Check(); err != nil {
			t.Error(err)
		}
	}
}

// TestBends takes the rules of HD 516 and IEC 62440 (from memory): fixed cable
// 3 diameters up to 12 mm, 4 above; moving 4, 5 and 6 with bounds at 12 and 20 mm.
func TestBends(t *testing.T) {
	ref := source.Ref{Title: "HD 516 / IEC 62440", Edition: "not at hand", How: source.Memory}
	fixed := []BendRule{{0, 0.012, 3, ref}, {0.012, 0, 4, ref}}
	moving := []BendRule{{0, 0.012, 4, ref}, {0.012, 0.020, 5, ref}, {0.020, 0, 6, ref}}
	for _, row := range []struct {
		rules         []BendRule
		outside, want float64
	}{
		{fixed, 0.0084, 0.0252}, {fixed, 0.012, 0.036}, {fixed, 0.016, 0.064},
		{moving, 0.012, 0.048}, {moving, 0.016, 0.080}, {moving, 0.020, 0.100}, {moving, 0.025, 0.150},
	} {
		radius, rule, ok := LeastRadius(row.rules, row.outside)
		near(t, "radius", radius, row.want, 1e-12)
		if !ok || rule.Ref != ref {
			t.Errorf("%g m: %+v, %t", row.outside, rule, ok)
		}
	}
	if r, _, ok := LeastRadius(fixed[:1], 0.016); ok || !math.IsNaN(r) {
		t.Errorf("a rule for thin cable gives %g m for a thick one", r)
	}
	if _, _, ok := LeastRadius(fixed, math.NaN()); ok {
		t.Error("a rule holds for no number")
	}
	for _, row := range []struct {
		centre float64
		within bool
	}{{0.072, true}, {0.0719, false}, {math.Inf(1), true}, {math.NaN(), false}} {
		b := CheckBend(row.centre, 0.016, 0.064)
		if b.Within != row.within || b.Least != 0.064 {
			t.Errorf("a bend of %g m: %+v", row.centre, b)
		}
	}
}
