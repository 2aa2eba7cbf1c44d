package terminal

import (
	"math"
	"math/rand/v2"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.9g, want %.9g within %.2g", what, got, want, tol)
	}
}

// TestClamp is E16 of the reference: M8 with 12 N·m and M6 with 8.8 N·m, dry.
func TestClamp(t *testing.T) {
	for _, row := range []struct {
		name                                        string
		torque, diameter, area, force, stress, spot float64
		tol                                         float64 // of the contact, Ω
	}{
		{"M8", 12, 8e-3, 36.6e-6, 7500, 204.9e6, 5.58e-6, 0.005e-6},
		{"M6", 8.8, 6e-3, 20.1e-6, 7333, 364.8e6, 5.642e-6, 0.002e-6}, // contact by hand: 48.3 µΩ·√(100/7333)
	} {
		c, err := Tighten(row.torque, DryNut, row.diameter, row.area)
		if err != nil {
			t.Fatal(err)
		}
		near(t, row.name+" preload", c.Preload, row.force, 0.5)
		near(t, row.name+" stress", c.Stress, row.stress, 0.06e6)
		near(t, row.name+" contact", c.Spot, row.spot, row.tol)
		near(t, row.name+" torque", Torque(c.Preload, DryNut, row.diameter), row.torque, 1e-12)
	}
	c, err := Tighten(0, DryNut, 8e-3, 36.6e-6)
	if err != nil || c.Preload != 0 || !math.IsInf(c.Spot, 1) {
		t.Errorf("loose: %+v, %v", c, err)
	}
	nan := math.NaN()
	for _, bad := range [][4]float64{{-1, 0.2, 0.008, 3e-5}, {nan, 0.2, 0.008, 3e-5}, {1, 0, 0.008, 3e-5}, {1, 0.2, nan, 3e-5}, {1, 0.2, 0.008, 0}, {1, 0.2, 0.008, math.Inf(1)}} {
		if c, err := Tighten(bad[0], bad[1], bad[2], bad[3]); err == nil {
			t.Errorf("%v: no error, but %+v", bad, c)
		}
	}
}

// TestStressAreas is the reference's table 5.4 (ISO 898-1, ASME B1.1).
func TestStressAreas(t *testing.T) {
	for _, row := range []struct{ d, p, mm2 float64 }{{5, 0.8, 14.2}, {6, 1, 20.1}, {8, 1.25, 36.6}, {10, 1.5, 58.0}, {12, 1.75, 84.3}} {
		near(t, "metric", MetricStress(row.d*1e-3, row.p*1e-3)*1e6, row.mm2, 0.05)
	}
	for _, row := range []struct{ d, n, in2 float64 }{
		{0.190, 24, 0.0175}, {0.190, 32, 0.0200}, {0.25, 20, 0.0318}, {0.25, 28, 0.0364}, {0.3125, 18, 0.0524},
		{0.3125, 24, 0.0580}, {0.375, 16, 0.0775}, {0.375, 24, 0.0878}, {0.5, 13, 0.1419},
	} {
		near(t, "inch", InchStress(row.d*0.0254, row.n)/0.0254/0.0254, row.in2, 0.0001) // 5/16-24 is printed 0.0580, the formula gives 0.05807
	}
	for _, h := range MetricHardware() { // customary ranges: a nut is 0.8 to 1 diameter high
		if r := h.Nut / h.Diameter; !(r > 0.8 && r < 1) || !(h.Washer < h.Nut) || h.Ref.Check() != nil {
			t.Errorf("%+v", h)
		}
	}
}

// TestSpot is the reference's list of 5.2, and that the spot's area bears the
// force at the hardness and the resistance is ρ/2a.
func TestSpot(t *testing.T) {
	for _, row := range []struct{ force, microohm, tol float64 }{
		{100, 48.3, 0.05}, {500, 21.6, 0.05}, {1000, 15.3, 0.05}, {5000, 6.83, 0.005}, {7500, 5.58, 0.005}, {10000, 4.83, 0.005}, {20000, 3.42, 0.005},
	} {
		r := Spot(CopperResistivity, CopperHardness, row.force)
		near(t, "spot", r*1e6, row.microohm, row.tol)
		a := SpotRadius(CopperHardness, row.force)
		near(t, "force", math.Pi*a*a*CopperHardness, row.force, 1e-9*row.force)
		near(t, "narrowing", CopperResistivity/(2*a), r, 1e-12*r)
		near(t, "a quarter of the preload", Spot(CopperResistivity, CopperHardness, row.force/4), 2*r, 1e-12*r)
	}
	if r := Spot(CopperResistivity, CopperHardness, -1); !math.IsNaN(r) {
		t.Errorf("pulled apart: %g ohm", r)
	}
}

// TestSpotHeat: the customary voltages of copper against what it then has
// inside: softening near 190 °C and melting at 1083 °C (handbook values). The
// relation meets them within 25 and 50 K.
func TestSpotHeat(t *testing.T) {
	near(t, "softening", SpotTemperature(SofteningVoltage, 293.15), 190+273.15, 25)
	near(t, "melting", SpotTemperature(MeltingVoltage, 293.15), 1083+273.15, 50)
	for _, body := range []float64{250, 300, 400} {
		near(t, "cold", SpotTemperature(0, body), body, 1e-12)
		for _, volts := range []float64{0.01, 0.12, 0.43} {
			near(t, "there and back", SpotVoltage(SpotTemperature(volts, body), body), volts, 1e-12)
		}
	}
	if v := SpotVoltage(290, 300); !math.IsNaN(v) {
		t.Errorf("colder inside by %g V", v)
	}
	for _, row := range []struct {
		amps, ohm float64
		state     State
	}{{200, 50e-6, Sound}, {200, 0, Sound}, {-200, 0.6e-3, Softens}, {200, 0.601e-3, Softens}, {200, 2.2e-3, Melts}, {math.NaN(), 1, NotKnown}, {1, math.NaN(), NotKnown}} {
		c := Across(row.amps, row.ohm, 300)
		if c.State != row.state {
			t.Errorf("%+v: %+v", row, c)
		}
		if row.state != NotKnown {
			near(t, "heat", c.Heat, row.amps*row.amps*row.ohm, 1e-9)
		}
	}
}

func someSide(rng *rand.Rand) Side {
	s := Side{Slope: 0.1 + 2*rng.Float64(), Conductivity: 50 + 350*rng.Float64(), Section: 1e-6 + 200e-6*rng.Float64(), Length: 0.05 + 3*rng.Float64(), Far: 280 + 80*rng.Float64()}
	if rng.IntN(4) == 0 {
		s.Length = math.Inf(1)
	}
	return s
}

// TestFin holds a side against the fin's equation solved by finite differences
// with a no-flow end: temperatures along it and the heat into it.
func TestFin(t *testing.T) {
	for _, s := range []Side{
		{Slope: 0.61, Conductivity: 391, Section: 67.43e-6, Length: 0.2, Far: 334}, // 2/0 at 200 A, worked example of conductor
		{Slope: 0.3, Conductivity: 391, Section: 10e-6, Length: 1, Far: 300},
		{Slope: 2, Conductivity: 200, Section: 100e-6, Length: 0.05, Far: 320},
	} {
		const n = 4000
		h := s.Length / n
		k := s.Conductivity * s.Section / (h * h)
		// k(u[i−1] − 2u[i] + u[i+1]) = slope·u[i], u[0] = 1, mirrored at the end.
		c := make([]float64, n+1)
		for i := n; i >= 1; i-- { // u[i] = c[i]·u[i−1]
			if i == n {
				c[i] = 2 * k / (2*k + s.Slope)
			} else {
				c[i] = k / (2*k + s.Slope - k*c[i+1])
			}
		}
		u, first := 1.0, c[1]
		for i := 1; i <= n; i++ {
			u *= c[i]
			if i%500 == 0 {
				near(t, "temperature", s.At(s.Far+10, float64(i)*h), s.Far+10*u, 1e-5)
			}
		}
		into := s.Conductivity*s.Section*(1-first)/h + s.Slope*h/2
		near(t, "conductance", s.Conductance(), into, 1e-4*into)
		near(t, "beyond its end", s.At(s.Far+10, 2*s.Length), s.At(s.Far+10, s.Length), 1e-12)
	}
	long := Side{Slope: 0.61, Conductivity: 391, Section: 67.43e-6, Length: 50, Far: 300}
	endless := long
	endless.Length = math.Inf(1)
	near(t, "long as endless", long.Conductance(), math.Sqrt(0.61*391*67.43e-6), 1e-12)
	for _, x := range []float64{0, 0.1, 1} {
		near(t, "along a long one", long.At(320, x), endless.At(320, x), 1e-9)
	}
}

// TestRest: the closed form q = 2·ΔT·√(hPkA) for two like long cables; heat is
// kept; the joint lies between what its sides and its heat allow.
func TestRest(t *testing.T) {
	s := Side{Slope: 0.61, Conductivity: 391, Section: 67.43e-6, Length: math.Inf(1), Far: 334.22}
	j, err := Rest(200, 50e-6, []Side{s, s})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "voltage", j.Voltage, 0.010, 1e-12)
	near(t, "heat", j.Heat, 2, 1e-12)
	near(t, "rise", j.Rise, 2/(2*math.Sqrt(0.61*391*67.43e-6)), 1e-9) // 7.9 K
	rng := rand.New(rand.NewPCG(51, 1))
	for range 200 {
		var sides []Side
		for range 1 + rng.IntN(4) {
			sides = append(sides, someSide(rng))
		}
		amps, ohm := 400*rng.Float64()-200, 1e-3*rng.Float64()
		j, err := Rest(amps, ohm, sides)
		if err != nil {
			t.Fatal(err)
		}
		sum, coldest := 0.0, math.Inf(1)
		for i, into := range j.Into {
			sum += into
			coldest = math.Min(coldest, sides[i].Far)
			near(t, "at the joint", sides[i].At(j.Temperature, 0), j.Temperature, 1e-9)
		}
		near(t, "heat", sum, amps*amps*ohm, 1e-9)
		if j.Temperature < coldest {
			t.Errorf("%g K, colder than the coldest side of %g K", j.Temperature, coldest)
		}
		more, err := Rest(amps, 2*ohm, sides)
		if err != nil || !(more.Temperature >= j.Temperature) {
			t.Errorf("twice the resistance: %g K after %g K, %v", more.Temperature, j.Temperature, err)
		}
		cold, err := Rest(0, ohm, sides[:1])
		if err != nil || cold.Heat != 0 || math.Abs(cold.Rise) > 1e-9 {
			t.Errorf("no current: %+v, %v", cold, err)
		}
	}
}

func TestRestRefused(t *testing.T) {
	good := Side{1, 391, 1e-5, 1, 300}
	nan := math.NaN()
	for _, row := range []struct {
		amps, ohm float64
		sides     []Side
	}{
		{nan, 1e-6, []Side{good}}, {1, -1, []Side{good}}, {1, nan, []Side{good}}, {1, 1e-6, nil},
		{1, 1e-6, []Side{{0, 391, 1e-5, 1, 300}}}, {1, 1e-6, []Side{{1, nan, 1e-5, 1, 300}}}, {1, 1e-6, []Side{{1, 391, 0, 1, 300}}},
		{1, 1e-6, []Side{{1, 391, 1e-5, -1, 300}}}, {1, 1e-6, []Side{{1, 391, 1e-5, 0, 300}}}, {1, 1e-6, []Side{good, {1, 391, 1e-5, 1, nan}}},
	} {
		if j, err := Rest(row.amps, row.ohm, row.sides); err == nil {
			t.Errorf("%+v: no error, but %+v", row, j)
		}
	}
}
