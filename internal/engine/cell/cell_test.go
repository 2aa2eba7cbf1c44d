package cell

import (
	"math"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
)

// block is a battery of 100 Ah, 12 V empty and 13 V full, behind 5 mΩ.
func block(change func(*bank.Model)) *Cell {
	b := bank.Battery{ID: "B1", Capacity: source.Of(quantity.Charge(360000))}
	b.Model = bank.Model{Curve: bank.Line{{X: 0, Y: 12}, {X: 1, Y: 13}}, Ohmic: source.Of(quantity.Resistance(5e-3)), Temperature: source.Of(quantity.Temperature(298.15))}
	if change != nil {
		change(&b.Model)
	}
	return New(&b)
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.12g, not %.12g ± %g", what, got, want, tol)
	}
}

// Two branches follow I·R·(1 − e^(−t/τ)), in any number of steps, and die away
// again at rest.
func TestBranches(t *testing.T) {
	c := block(func(m *bank.Model) {
		m.Branches = []bank.Branch{{Resistance: source.Of(quantity.Resistance(1e-3)), Time: source.Of(quantity.Duration(20))}, {Resistance: source.Of(quantity.Resistance(4e-3)), Time: source.Of(quantity.Duration(640))}}
	})
	for _, steps := range []int{1, 7, 100} {
		s := c.Start(0.5)
		for range steps {
			s = c.Advance(s, 50, 120/float64(steps))
		}
		near(t, "first", s.Slow[0], 0.05*-math.Expm1(-6), 1e-14)
		near(t, "second", s.Slow[1], 0.2*-math.Expm1(-120.0/640), 1e-14)
		near(t, "EMF", c.EMF(&s), 12.5-50*120/360000.0-s.Slow[0]-s.Slow[1], 1e-12)
		rest := c.Advance(s, 0, 640)
		near(t, "after rest", rest.Slow[1], s.Slow[1]*math.Exp(-1), 1e-15)
		near(t, "charge at rest", rest.Charge, s.Charge, 0)
	}
}

// The branch of the curve is left by e^(−Δ/travel) and turns with the current.
func TestGap(t *testing.T) {
	c := block(func(m *bank.Model) {
		m.Gap, m.GapTravel = bank.Line{{X: 0, Y: 0.08}}, source.Of(0.03)
	})
	s := c.Start(0.6)
	near(t, "at the start", c.EMF(&s), 12.6, 1e-12)
	s = c.Advance(s, 36, 300) // 3 %: one travel
	near(t, "leans", s.Lean, -1+math.Exp(-1), 1e-12)
	near(t, "EMF", c.EMF(&s), 12.57-0.04*(1-math.Exp(-1)), 1e-12)
	for range 100 {
		s = c.Advance(s, 3.6, 300)
	}
	near(t, "all the way", c.EMF(&s), 12+s.Charge-0.04, 1e-6)
	s = c.Advance(s, -360, 120)
	near(t, "and back", s.Lean, 1-2*math.Exp(-4), 1e-3)
	// Two batteries at one state of charge, one last charged and one last
	// discharged, 20 mV a cell apart, drive 3.6 A through 22 mΩ: battery.md 2.1.
	near(t, "two of them, A", 0.080/22e-3, 3.6, 0.05)
}

func TestPeukertAndGas(t *testing.T) {
	c := block(func(m *bank.Model) {
		m.Peukert, m.RatedFor = source.Of(1.25), source.Of(quantity.Duration(20*3600))
		m.Efficiency = bank.Line{{X: 0, Y: 0.9}, {X: 1, Y: 0.5}}
	})
	s := c.Start(0.5)
	near(t, "at the rated current", c.Rate(&s, 5), 5/360000.0, 1e-18)
	near(t, "below it", c.Rate(&s, 1), 1/360000.0, 1e-18)
	near(t, "five times it", c.Rate(&s, 25), 25/360000.0*math.Pow(5, 0.25), 1e-15)
	near(t, "charge", c.Rate(&s, -10), -10/360000.0*0.7, 1e-15)
	if c.Plain() || block(nil).Plain() == false {
		t.Error("plain is a fixed ratio of charge and state of charge")
	}
}

func TestWarmth(t *testing.T) {
	c := block(func(m *bank.Model) {
		m.Warmth = bank.Line{{X: 273.15, Y: 4}, {X: 298.15, Y: 1}}
		m.Depth = bank.Line{{X: 0, Y: 2}, {X: 1, Y: 1}}
		m.Capacity = bank.Line{{X: 253.15, Y: 0.7}, {X: 298.15, Y: 1}}
		m.Temperature.V = 285.65 // half way to 0 °C: a factor of two
		m.HeatCapacity, m.Cooling = source.Of(10e3), source.Of(2.0)
	})
	s := c.Start(0.5)
	near(t, "resistance", c.Resistance(&s), 5e-3*2*1.5, 1e-15)
	near(t, "capacity", c.Capacity(&s), 360000*(1-0.3*12.5/45), 1e-6)
	// I²R with nothing else: ΔT = q/G·(1 − e^(−tG/C)).
	after := c.Advance(s, 40, 500)
	near(t, "kelvin", after.Kelvin, 285.65+40*40*15e-3/2*-math.Expm1(-500*2/10e3), 1e-9)
	if c.Steady() || !block(nil).Steady() {
		t.Error("steady is a resistance that never changes")
	}
}

// The reversible heat is the example of battery.md 2.3: four cells at 45 %
// charge, 100 A, 298 K: 25.9 W of cooling there (its 0.217 mV/K rounded to
// 0.22), 50 W from 5 mΩ.
func TestHeat(t *testing.T) {
	c := block(func(m *bank.Model) { m.Entropy = bank.Line{{X: 0.45, Y: 4 * 0.22e-3}} })
	s := c.Start(0.45)
	near(t, "W", c.Heat(&s, 100), 50-25.9, 0.4)
	near(t, "W on charge", c.Heat(&s, -100), 50+25.9, 0.4)
	plain := block(nil)
	p := plain.Start(0.45)
	near(t, "without", plain.Heat(&p, 100), 50, 1e-12)
	// 50 W for an hour into 11 kJ/K: 16 K, battery.md 2.5.
	hot := block(func(m *bank.Model) { m.HeatCapacity = source.Of(11e3) })
	q := hot.Start(1)
	for range 36 {
		q = hot.Advance(q, 100, 100)
	}
	near(t, "K in an hour", q.Kelvin-298.15, 16, 0.5)
}

// Stored is the curve summed: against a fine sum, and beyond its ends.
func TestStored(t *testing.T) {
	c := block(func(m *bank.Model) {
		m.Curve = bank.Line{{X: 0, Y: 10}, {X: 0.1, Y: 12}, {X: 0.9, Y: 13}, {X: 1, Y: 14}}
	})
	const n = 100000
	sum := 0.0
	for i := range n {
		s := State{Charge: (float64(i) + 0.5) / n * 0.95, Kelvin: 298.15}
		sum += c.EMF(&s) * 0.95 / n * 360000
	}
	near(t, "to 95 %", c.Stored(0.95), sum, 1e-9*sum)
	near(t, "beyond full", c.Stored(1.1)-c.Stored(1), 0.1*14*360000, 1e-6)
	flat := block(func(m *bank.Model) { m.Curve = bank.Line{{X: 0, Y: 13}} })
	near(t, "flat", flat.Stored(0.5), 0.5*13*360000, 1e-6)
}

// While it is being charged the voltage near full rises over the rested curve,
// and falls back when it is discharged.
func TestRise(t *testing.T) {
	c := block(func(m *bank.Model) {
		m.Rise, m.GapTravel = bank.Line{{X: 0.9, Y: 0}, {X: 1, Y: 1}}, source.Of(0.001)
	})
	s := c.Start(0.9)
	s = c.Advance(s, -36, 800) // 8 %, eighty travels
	near(t, "leans", s.Lean, 1, 1e-12)
	near(t, "EMF", c.EMF(&s), 12.98+0.8, 1e-9)
	near(t, "heat", c.Heat(&s, -36), 36*(36*5e-3+0.8), 1e-9)
	s = c.Advance(s, 36, 100)
	near(t, "EMF on discharge", c.EMF(&s), 12+s.Charge, 1e-3)
}
