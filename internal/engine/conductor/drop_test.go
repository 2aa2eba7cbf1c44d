package conductor

import (
	"math"
	"testing"
)

const ft = 0.3048

// TestAircraftChart is the reference's E1: drop at 20 A from FAA AC 43.13-1B
// tables 11-7 and 11-8, at 20 °C. Two of the printed values are misprints, which
// must not be met.
func TestAircraftChart(t *testing.T) {
	for _, row := range []struct {
		ohmPerFoot, feet, printed, tol float64
		misprint                       bool
	}{
		{0.00044, 107, 0.942, 0.0005, false},
		{0.00028, 90, 0.504, 0.0005, false},
		{0.00202, 88, 3.60, 0.005, true},
		{0.00306, 100, 6.12, 0.005, false},
		{0.00126, 39, 0.98, 0.005, false},
		{0.00126, 19.5, 0.366, 0.0005, true},
		{0.00126, 156, 3.93, 0.005, false},
		{0.00126, 273, 6.88, 0.005, false},
	} {
		volts, _, err := Drop(20, []Segment{{R20: row.ohmPerFoot / ft, Length: row.feet * ft, Temperature: c(20)}})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "drop", volts, row.ohmPerFoot*row.feet*20, 1e-12)
		if off := math.Abs(volts - row.printed); (off > row.tol) != row.misprint {
			t.Errorf("%g ft of %g ohm/ft: %g V, printed %g", row.feet, row.ohmPerFoot, volts, row.printed)
		}
	}
}

// TestHotCopper: E3 of the reference, its E7, the NEC's 75 °C over 20 °C, the Kt
// column of IEC 60228, and both ways to write copper. That column follows
// 250/(230 + T), a coefficient of 0.004, and so lies up to 0.4 % lower.
func TestHotCopper(t *testing.T) {
	near(t, "hot run", HotLength(90, c(60)), 77.78, 0.005)
	s := Segment{R20: 0.386e-3, Length: 1.8, Temperature: c(70)}
	near(t, "resistance", s.Ohm(), 0.8313e-3, 0.00005e-3)
	near(t, "75 °C", Warm(c(75)), 1.21615, 1e-9)
	for _, row := range []struct{ celsius, kt float64 }{{50, 0.893}, {75, 0.820}, {90, 0.781}} {
		near(t, "Kt", 250/(230+row.celsius), row.kt, 0.0005)
		near(t, "Kt", 1/Warm(c(row.celsius)), row.kt, 0.0045*row.kt)
	}
	for celsius := -40.0; celsius <= 200; celsius += 20 {
		near(t, "two forms", 254.5/HotLength(254.5, c(celsius)), Warm(c(celsius)), 1e-4*Warm(c(celsius)))
	}
	near(t, "chart temperature", ChartTemperature(c(20), c(105), 0.25), c(62.5), 1e-9)
	near(t, "chart temperature, full", ChartTemperature(c(20), c(105), 1), c(105), 1e-9)
}

// TestCustomary: E4 of the reference, the constants in other units, and the
// temperatures that it computed for them.
func TestCustomary(t *testing.T) {
	mil := func(c Customary, amps, feet, volts float64) float64 {
		return c.Section(amps, feet*ft, volts) / circularMil
	}
	near(t, "100 A, 10 ft", mil(MarineMil, 100, 10, 0.36), 29861, 0.5)
	near(t, "200 A, 6 ft", mil(MarineMil, 200, 6, 0.36), 35833, 0.5)
	near(t, "K = 10.75 fits", MarineMil.Fits(), c(29.3), 0.05)
	near(t, "K = 12.9 fits, with 2 % stranding", reference+(12.9/10.371/1.02-1)/Alpha, c(75), 1)
	near(t, "K = 12.9 over 10.75", HotMil.Section(1, 1, 1)/MarineMil.Section(1, 1, 1), 12.9/10.75, 1e-12)
	near(t, "0.0164 against 0.01724", MetricCraft.Resistivity/Resistivity20, 0.951, 0.0005)
	if cold := MetricCraft.Fits(); !(cold < c(10)) {
		t.Errorf("0.0164 is copper at %g K; it should be a cold one", cold)
	}
	for _, f := range []Customary{MarineMil, HotMil, MetricCraft} {
		near(t, f.Name, f.Drop(100, 3, f.Section(100, 3, 0.36)), 0.36, 1e-12)
		if err := f.Ref.Check(); err != nil {
			t.Error(err)
		}
	}
	if s := MarineMil.Section(100, 3, 0); !math.IsInf(s, 1) {
		t.Errorf("no drop needs %g m²", s)
	}
	near(t, "metric form, 100 A, 6 m, 50 mm²", MetricCraft.Drop(100, 6, 50e-6), 0.0164*100*6/50, 1e-12)
}

func TestDrop(t *testing.T) {
	path := []Segment{{R20: 1e-3, Length: 2, Temperature: c(20)}, {Fixed: 5e-4}, {R20: 1e-3, Length: 1, Temperature: c(70), Fixed: 1e-4}}
	total, each, err := Drop(10, path)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{0.02, 0.005, 0.01*1.1965 + 0.001} {
		near(t, "segment", each[i], want, 1e-12)
	}
	near(t, "total", total, each[0]+each[1]+each[2], 1e-15)
	back, _, err := Drop(-10, path)
	if err != nil || back != -total {
		t.Errorf("backwards %g V, %v", back, err)
	}
	if total, each, err := Drop(10, nil); total != 0 || each != nil || err != nil {
		t.Errorf("no path: %g, %v, %v", total, each, err)
	}
	for _, s := range []Segment{{R20: -1}, {Length: math.NaN()}, {Fixed: math.Inf(1)}, {R20: 1, Length: 1}, {R20: 1, Length: 1, Temperature: math.NaN()}} {
		if v, _, err := Drop(1, []Segment{s}); err == nil {
			t.Errorf("%+v: no error, but %g V", s, v)
		}
	}
	if _, _, err := Drop(math.NaN(), nil); err == nil {
		t.Error("no error for no current")
	}
}
