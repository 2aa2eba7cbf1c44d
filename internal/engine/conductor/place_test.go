package conductor

import (
	"math"
	"testing"
)

// TestTaut: outlines that can be counted by hand, and that one cable more never
// gives each a longer part of the outline.
func TestTaut(t *testing.T) {
	for n, sides := range map[int]float64{1: 0, 2: 2, 3: 3, 4: 4, 5: 5, 7: 6, 10: 8, 12: 9, 19: 12, 37: 18} {
		near(t, "outline", math.Pi*taut(1, n), math.Pi+sides, 1e-12)
	}
	for n := 1; n < 1000; n++ {
		if a, b := taut(1, n)/float64(n), taut(1, n+1)/float64(n+1); b > a+1e-12 {
			t.Fatalf("%d cables have %g each, %d have %g", n, a, n+1, b)
		}
	}
	near(t, "two in a sleeve", leastSleeve(1, 2), 2, 1e-12)
	for n, circle := range map[int]float64{1: 1, 2: 2, 3: 2.1547, 4: 2.4142, 7: 3, 19: 4.8637} { // smallest circle around n discs (packing tables, from memory)
		if least := leastSleeve(1, n); least > circle+1e-4 {
			t.Errorf("%d cables are said to need %g, yet go into %g", n, least, circle)
		}
	}
}

// ratio is the current of each of n tied cables over that of one alone.
func ratio(t *testing.T, g gauge, n int) float64 {
	t.Helper()
	return mustAmps(t, g.cable(), Place{Ambient: c(30), Cables: n}, c(75)) / mustAmps(t, g.cable(), Place{Ambient: c(30)}, c(75))
}

// TestBundleFactors holds the bundle against published factors, at the most
// cables of each band. NFPA 70-2023 310.15(C)(1) counts from three in a raceway,
// so that the model is divided by its own three: −1 to +10 % (found: −0.1 to
// +8.8 %). 33 CFR 183.425 note 2 (from memory) counts from one alone: −12 to
// +7 % (found: −10.9 to +5.7 %) at 3, 6 and 25; its band of 7 to 24 is one
// factor for what the model lets fall by a third.
func TestBundleFactors(t *testing.T) {
	for _, g := range gauges {
		t.Run(g.name, func(t *testing.T) {
			three := ratio(t, g, 3)
			for _, row := range []struct {
				n                       int
				factor, from, low, high float64
			}{
				{6, 0.80, three, -0.01, 0.10}, {9, 0.70, three, -0.01, 0.10}, {20, 0.50, three, -0.01, 0.10},
				{30, 0.45, three, -0.01, 0.10}, {40, 0.40, three, -0.01, 0.10},
				{3, 0.70, 1, -0.12, 0.07}, {6, 0.60, 1, -0.12, 0.07}, {25, 0.40, 1, -0.12, 0.07},
			} {
				off := ratio(t, g, row.n)/row.from/row.factor - 1
				t.Logf("%d cables: model over factor %.2f %+.1f %%", row.n, row.factor, 100*off)
				if !(off >= row.low && off <= row.high) {
					t.Errorf("%d cables: %+.1f %% of the factor %g", row.n, 100*off, row.factor)
				}
			}
			if seven, last := ratio(t, g, 7), ratio(t, g, 24); !(seven > 0.50 && last < 0.50) {
				t.Errorf("from 7 to 24 cables the factor runs from %.2f to %.2f, not across 0.50", seven, last)
			}
		})
	}
}

// TestBundleStandard holds two and three tied cables against the touching
// constants of IEC 60287-2-1: within 5 % from 10 mm outside diameter on, which
// is what those are meant for, and within 9 % below.
func TestBundleStandard(t *testing.T) {
	for _, g := range gauges {
		alone, err := StandardAmpacity(g.cable(), Single, c(30), c(75))
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range []struct {
			a Arrangement
			n int
		}{{Touching, 2}, {Trefoil, 3}} {
			closed, err := StandardAmpacity(g.cable(), row.a, c(30), c(75))
			if err != nil {
				t.Fatal(err)
			}
			off := ratio(t, g, row.n)/(closed/alone) - 1
			t.Logf("%s, %s: %+.1f %%", g.name, row.a, 100*off)
			if bound := map[bool]float64{true: 0.05, false: 0.09}[g.outside >= 10]; !(math.Abs(off) <= bound) {
				t.Errorf("%s, %s: %+.1f %% of the standard's ratio", g.name, row.a, 100*off)
			}
		}
	}
}

// TestSleeveAgainstTable: three cables in a plastic tube filled to 40 %, but not
// narrower than trade size 1/2 (15.8 mm, NFPA 70 chapter 9, from memory), against
// NFPA 70-2023 table 310.16 at 75 °C. The model lies 5 to 13 % below: cables in
// a real raceway lie on its wall.
func TestSleeveAgainstTable(t *testing.T) {
	raceway := map[string]float64{"14 AWG": 20, "10 AWG": 35, "8 AWG": 50, "6 AWG": 65, "4 AWG": 85, "2 AWG": 115, "1/0 AWG": 150, "2/0 AWG": 175, "4/0 AWG": 230}
	for _, g := range gauges {
		p := Place{Ambient: c(30), Cables: 3, Sleeve: tube(g, 3)}
		off := mustAmps(t, g.cable(), p, c(75))/raceway[g.name] - 1
		t.Logf("%s: %+.1f %%", g.name, 100*off)
		if !(off >= -0.13 && off <= -0.05) {
			t.Errorf("%s: %+.1f %% of the table", g.name, 100*off)
		}
	}
}

// tube is a plastic one with a wall of 1.5 mm that n cables fill to 40 %.
func tube(g gauge, n int) *Sleeve {
	inside := math.Max(15.8, g.outside*math.Sqrt(float64(n)/0.4)) * 1e-3
	return &Sleeve{Inside: inside, Outside: inside + 3e-3, Resistivity: 5, Emissivity: 0.9}
}

// TestGapAgainstStandard holds the air gap of one cable against the closed form
// for cables in a metallic conduit, U/(1 + 0.1(V + Yθ)De) with 5.2, 1.4, 0.011
// and De in mm (IEC 60287-2-1, table on ducts, from memory), which was fitted to
// cables that lie on the wall: the model has 1.2 to 1.7 times its resistance.
func TestGapAgainstStandard(t *testing.T) {
	for _, g := range gauges {
		l, err := newLine(g.cable(), Place{Ambient: c(30), Sleeve: tube(g, 3)})
		if err != nil {
			t.Fatal(err)
		}
		x := l.outermost(c(75))
		heat := l.heat(x)
		face := x + heat*l.wall
		rim := l.across(face, heat)
		mean := (rim+face)/2 - zeroCelsius
		closed := 5.2 / (1 + 0.1*(1.4+0.011*mean)*g.outside)
		over := (rim - face) / heat / closed
		t.Logf("%s: %.2f times", g.name, over)
		if !(over >= 1.2 && over <= 1.75) {
			t.Errorf("%s: %.2f times the closed form", g.name, over)
		}
	}
}

// TestSleeve: a tube as tight as paint changes almost nothing, a wide one costs
// current, a second wall's thickness costs more with a worse conductor.
func TestSleeve(t *testing.T) {
	cable := flexible()
	free := mustAmps(t, cable, Place{Ambient: c(30)}, c(105))
	paint := mustAmps(t, cable, Place{Ambient: c(30), Sleeve: &Sleeve{cable.Outside, cable.Outside * (1 + 1e-9), 5, 0.9}}, c(105))
	near(t, "amperes under paint", paint, free, 1e-6*free)
	last := free
	for _, wide := range []float64{1.1, 1.3, 1.6} {
		s := &Sleeve{cable.Outside * wide, cable.Outside*wide + 2e-3, 5, 0.9}
		amps := mustAmps(t, cable, Place{Ambient: c(30), Sleeve: s}, c(105))
		if !(amps < last) {
			t.Errorf("%g times as wide: %g A, not below %g A", wide, amps, last)
		}
		worse := *s
		worse.Resistivity *= 2
		if a := mustAmps(t, cable, Place{Ambient: c(30), Sleeve: &worse}, c(105)); !(a < amps) {
			t.Errorf("twice the wall's resistivity: %g A, not below %g A", a, amps)
		}
		last = amps
	}
}

// TestGapClosedForm: in a gap too narrow for the air to turn over, what crosses
// is conduction and radiation, both closed forms.
func TestGapClosedForm(t *testing.T) {
	cable := flexible()
	s := &Sleeve{Inside: 0.018, Outside: 0.020, Resistivity: 5, Emissivity: 0.5}
	l, err := newLine(cable, Place{Ambient: c(30), Sleeve: s})
	if err != nil {
		t.Fatal(err)
	}
	hot, cool := c(70), c(60)
	conduction := 2 * math.Pi * AirAt(c(65), SeaLevel).Conductivity * (hot - cool) / math.Log(0.018/0.0152)
	radiation := math.Pi * 0.0152 * 5.670374e-8 * (math.Pow(hot, 4) - math.Pow(cool, 4)) / (1/0.9 + 0.0152/0.018*(1/0.5-1))
	near(t, "heat across the gap", l.gap(hot, cool), conduction+radiation, 1e-9)
	near(t, "temperature inside", l.across(cool, conduction+radiation), hot, 1e-6)
}

// TestCore: the bundle's middle against a finite-difference cylinder that is
// heated evenly.
func TestCore(t *testing.T) {
	cable := flexible()
	const n, air, shells = 19, 0.026, 400
	k := across(cable, air)
	rise, inside := 0.0, 0.0
	for i := range shells { // from the middle outwards: the heat inside a radius crosses the next shell
		inside = float64((i+1)*(i+1)) / (shells * shells)
		if i < shells-1 {
			rise += n * inside / (2 * math.Pi * k) * math.Log(float64(2*i+3)/float64(2*i+1))
		}
	}
	near(t, "rise for 1 W/m in each cable", core(cable, n, air)*n/(n-1), rise, 0.01*rise)
	if core(cable, 1, air) != 0 {
		t.Error("one cable has a middle")
	}
	if !(k > air && k < 1) { // between air's and far below copper's
		t.Errorf("conductivity of the bundle is %g W/(m·K)", k)
	}
}
