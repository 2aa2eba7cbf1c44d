package conductor

import (
	"math"
	"testing"
)

// TestFactors is the reference's table 3.4: k as published (from memory there),
// with K = 226 and with the constant worked out.
func TestFactors(t *testing.T) {
	near(t, "constant", CopperComputed.K/1e6, 225.67, 0.005)
	for _, row := range []struct {
		name                                    string
		start, end, published, rounded, precise float64
	}{
		{"PVC 70 °C, up to 300 mm²", 70, 160, 115, 115.00, 114.84},
		{"PVC 70 °C, above 300 mm²", 70, 140, 103, 102.80, 102.65},
		{"PVC 90 °C", 90, 160, 100, 99.88, 99.74},
		{"rubber 60 °C", 60, 200, 141, 140.94, 140.73},
		{"rubber 85 °C", 85, 220, 134, 134.17, 133.97},
		{"XLPE or EPR 90 °C", 90, 250, 143, 143.08, 142.87},
		{"105 °C PVC run full, limit 160", 105, 160, math.NaN(), 87.57, 87.44},
		{"105 °C cable, limit 250", 105, 250, math.NaN(), 134.78, 134.58},
		{"cable at 40 °C, PVC limit 160", 40, 160, math.NaN(), 136.10, 135.90},
	} {
		near(t, row.name, Copper.Factor(c(row.start), c(row.end))/1e6, row.rounded, 0.005)
		near(t, row.name, CopperComputed.Factor(c(row.start), c(row.end))/1e6, row.precise, 0.006) // 134.586 there ends in 8
		if !math.IsNaN(row.published) {
			near(t, row.name, Copper.Factor(c(row.start), c(row.end))/1e6, row.published, 0.5) // whole numbers
		}
	}
}

// TestShorts is E8 and E9 of the reference. E8 has k rounded to 115 and 143.
func TestShorts(t *testing.T) {
	for _, row := range []struct{ start, end, mm2, amps, seconds, k float64 }{
		{70, 160, 35, 3000, 1.800, 115}, {90, 250, 50, 6000, 1.420, 143},
	} {
		w, err := Copper.Bear(row.mm2*1e-6, Fault{row.amps, 1, c(row.start), c(row.end)})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "time", w.Time, row.seconds, 0.005*row.seconds)
		near(t, "k²S²", w.Energy, row.k*row.k*row.mm2*row.mm2, 0.002*w.Energy)
		if !w.Within || !w.Valid {
			t.Errorf("1 s of %g s: %+v", w.Time, w)
		}
	}
	near(t, "k²S² of 35 mm²", 115*115*35*35, 1.620e7, 0.0005e7)
	near(t, "35 mm²", Copper.Final(35e-6, 3000, 0.5, c(70)), c(92.71), 0.005)
	near(t, "1/0", Copper.Final(53.49e-6, 5000, 0.2, c(90)), c(101.29), 0.005)
}

// TestWithstand: the time that the law gives ends at the limit, and verdict,
// use, final temperature and energy say the same.
func TestWithstand(t *testing.T) {
	for _, m := range []Metal{Copper, CopperComputed} {
		for _, mm2 := range []float64{1, 35, 400} {
			for _, amps := range []float64{100, 1e3, 1e4} {
				f := Fault{amps, 0, c(90), c(250)}
				w, err := m.Bear(mm2*1e-6, f)
				if err != nil {
					t.Fatal(err)
				}
				near(t, "final", m.Final(mm2*1e-6, amps, w.Time, f.Start), f.Limit, 1e-9)
				for _, part := range []float64{0.5, 0.999, 1.001, 4} {
					f.Time = part * w.Time
					w, err := m.Bear(mm2*1e-6, f)
					if err != nil {
						t.Fatal(err)
					}
					near(t, "use", w.Use, math.Sqrt(part), 1e-12)
					if w.Within != (part < 1) || w.Within != (w.Final <= f.Limit) || w.Valid != (f.Time <= 5) {
						t.Errorf("%g of the time: %+v", part, w)
					}
				}
			}
		}
	}
}

// TestMelting: up to copper's melting point the law is Onderdonk's (from
// memory), I = A·√(log₁₀(1 + (1083 − Ta)/(234 + Ta))/(33t)) with A in circular
// mils.
func TestMelting(t *testing.T) {
	for _, ambient := range []float64{20, 40} {
		onderdonk := math.Sqrt(math.Log10(1+(1083-ambient)/(234+ambient))/33) / circularMil
		near(t, "k to melting", Copper.Factor(c(ambient), c(1083)), onderdonk, 0.005*onderdonk)
	}
}

func TestShortEdges(t *testing.T) {
	w, err := Copper.Bear(35e-6, Fault{0, 3, c(70), c(160)})
	if err != nil || !math.IsInf(w.Time, 1) || w.Final != c(70) || !w.Within || w.Use != 0 {
		t.Errorf("no current: %+v, %v", w, err)
	}
	if k := Copper.Factor(c(90), c(90)); k != 0 {
		t.Errorf("no rise: k = %g", k)
	}
	if k := Copper.Factor(c(160), c(70)); !math.IsNaN(k) {
		t.Errorf("falling: k = %g", k)
	}
	nan := math.NaN()
	for _, f := range []Fault{{nan, 1, c(70), c(160)}, {1, nan, c(70), c(160)}, {-1, 1, c(70), c(160)}, {1, math.Inf(1), c(70), c(160)},
		{1, 1, c(160), c(160)}, {1, 1, nan, c(160)}, {1, 1, c(70), nan}, {1, 1, 1, c(160)}} {
		if w, err := Copper.Bear(1e-6, f); err == nil {
			t.Errorf("%+v: no error, but %+v", f, w)
		}
	}
	if _, err := Copper.Bear(0, Fault{1, 1, c(70), c(160)}); err == nil {
		t.Error("no error without a section")
	}
}
