package energy

import (
	"math"
	"math/rand/v2"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.9g, want %.9g within %g", what, got, want, tol)
	}
}

// Reference: heat-mount-energy C4: 900 W/m², cells at 30 °C, 100 W, -0.003 give
// 88.65 W (read); cells of an open rack at 900 W/m², 20 °C, 5 m/s are 43.509 °C;
// the default list of losses is 14.0757 % (read).
func TestPanels(t *testing.T) {
	near(t, "d.c.", Panel{Peak: 100, Coefficient: -0.003}.Power(900, 303.15), 88.65, 1e-9)
	near(t, "cell", OpenRack.Cell(900, 293.15, 5)-273.15, 43.509, 5e-4)
	near(t, "losses", Losses(0.02, 0.03, 0, 0.02, 0.02, 0.005, 0.015, 0.01, 0, 0.03), 0.140757, 5e-7)
	if got := (Panel{Peak: 100, Coefficient: -0.004}).Power(1000, 800); got != 0 {
		t.Errorf("a panel at 500 °C gives %g W", got)
	}
	// E of the reference: 600 W flat, 4.5 kWh/m², 0.8592 system, 0.97 controller,
	// 0.98 wiring, cells at 50 °C, -0.0037: 2001 Wh.
	p := Panel{Peak: 600, Coefficient: -0.0037, Loss: Losses(1-0.8592, 0.03, 0.02)}
	near(t, "a day", p.Power(1000, 323.15)*4.5, 2001, 0.5)
}

// Reference: heat-mount-energy A9, the example set: loss over output.
func TestConverter(t *testing.T) {
	c := Converter{20, 0.04, 0.035, 2000}
	for _, row := range []struct{ out, loss float64 }{{0, 20}, {100, 24.2}, {500, 44.4}, {1000, 77.5}, {2000, 170}} {
		near(t, "loss", c.Input(row.out)-row.out, row.loss, 0.05)
	}
	// 1/2 hp, the middle of letter L, 120 V: 39.6 A (E of the reference).
	near(t, "held rotor", Surge(9.5, 0.5, 120), 39.6, 0.05)
}

// Reference: heat-mount-energy T17: 400 Ah from 0.20 to 0.95 at 100 A take 3.000 h;
// a tail of 0.25 h to 8 A takes 0.6314 h and brings 23.0 Ah; one of 20 Ah has
// 0.21739 h and takes 0.5491 h.
func TestChargeTimes(t *testing.T) {
	c := Charge{100, 8, 0.25 * 3600}
	near(t, "in the tail", c.InTail()/3600, 23, 1e-9)
	whole, tail, err := c.Times(300*3600 + c.InTail())
	if err != nil {
		t.Fatal(err)
	}
	near(t, "tail", tail/3600, 0.6314, 5e-5)
	near(t, "whole", whole/3600, 3.6314, 5e-5)
	tau := TauFor(20*3600, 100, 8)
	near(t, "tau", tau/3600, 0.21739, 5e-6)
	_, tail, err = Charge{100, 8, tau}.Times(20 * 3600)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "its tail", tail/3600, 0.5491, 5e-5)
	// Within the tail: the same exponential from where it is.
	_, short, err := c.Times(10 * 3600)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "10 Ah of the tail", short, 900*math.Log((10*3600/900.0+8)/8), 1e-9)
	for _, bad := range []Charge{{0, 1, 1}, {10, 0, 1}, {10, 11, 1}, {10, 1, -1}} {
		if _, _, err := bad.Times(1); err == nil {
			t.Errorf("%+v passes", bad)
		}
	}
}

func steady(n int, h Hour) func(int) (Hour, bool) {
	return func(k int) (Hour, bool) { return h, k < n }
}

// A load alone empties the bank after capacity over current: 100 Ah from full,
// floor 10 %, 128 W at 12.8 V: nine hours.
func TestEmpties(t *testing.T) {
	s := Store{Capacity: 360e3, Floor: 0.1, Volts: 12.8, Back: 1}
	emptyAt, missed := -1, 0.0
	if err := s.Run(1, steady(12, Hour{Load: 128}), func(n int, p Past) bool {
		if p.Empty && emptyAt < 0 {
			emptyAt = n
		}
		missed += p.Missed
		return true
	}); err != nil {
		t.Fatal(err)
	}
	if emptyAt != 9 {
		t.Errorf("empty in hour %d, want the tenth", emptyAt)
	}
	near(t, "missed", missed/3600, 3*128, 1e-6)
}

// With a source that gives a constant current the tail is the closed form: it
// begins where what is missing over Tau is that current.
func TestTail(t *testing.T) {
	s := Store{Capacity: 360e3, Volts: 12.5, Back: 1, Tau: 3600}
	last := 0.0
	if err := s.Run(0.2, steady(3, Hour{Sources: []float64{500}}), func(_ int, p Past) bool { last = p.Charge; return true }); err != nil {
		t.Fatal(err)
	}
	// 40 A until 40 Ah are missing, at 0.6: one hour; then e^-2 of these after two.
	near(t, "after three hours", 100*(1-last), 40*math.Exp(-2), 1e-6)
}

// What comes in goes somewhere: given = served by sources + into the bank; the
// bank's change is what went in times Back less what it gave.
func TestBalance(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 1))
	for range 40 {
		s := Store{Capacity: 1e5 + 1e6*rng.Float64(), Floor: 0.3 * rng.Float64(), Volts: 12 + 12*rng.Float64(), Back: 0.8 + 0.2*rng.Float64(), Accept: 5 + 50*rng.Float64(), Tau: 7200 * rng.Float64()}
		hours := make([]Hour, 60)
		for i := range hours {
			hours[i] = Hour{Load: 400 * rng.Float64(), Sources: []float64{300 * rng.Float64(), 500 * rng.Float64()}, Blocked: rng.IntN(5) == 0}
		}
		charge := rng.Float64()
		if err := s.Run(charge, func(n int) (Hour, bool) { return hours[min(n, len(hours)-1)], n < len(hours) }, func(n int, p Past) bool {
			h := hours[n]
			near(t, "load", p.Served+p.Missed, h.Load*3600, 1e-6*h.Load*3600+1e-6)
			given := 0.0
			for i := range p.Given {
				near(t, "source", p.Given[i]+p.Unused[i], h.Sources[i]*3600, 1e-3)
				given += p.Given[i]
			}
			change := (p.Charge - charge) * s.Capacity * s.Volts
			// Within an hour the bank may take and give: the loss lies between none
			// of the given and all of it at 1 − Back.
			lost := given - p.Served - change
			if lost < -1e-3 || lost > (1-s.Back)*given+1e-3 {
				t.Errorf("hour %d: %g J lost of %g given", n, lost, given)
			}
			if h.Blocked && p.Charge > charge+1e-12 {
				t.Errorf("a blocked bank went from %g to %g", charge, p.Charge)
			}
			if p.Charge > 1+1e-12 || p.Charge < -1e-12 {
				t.Errorf("charge %g", p.Charge)
			}
			charge = p.Charge
			return true
		}); err != nil {
			t.Fatal(err)
		}
	}
}

// After the floor the loads stay off until a twentieth has come back.
func TestReconnects(t *testing.T) {
	s := Store{Capacity: 360e3, Floor: 0.2, Volts: 12, Back: 1}
	// 12 W are one Ah an hour while the load is off; five Ah have to come back.
	hours := func(n int) (Hour, bool) {
		if n == 0 {
			return Hour{Load: 120}, true
		}
		return Hour{Load: 120, Sources: []float64{12}}, n < 40
	}
	var served []int
	if err := s.Run(0.2, hours, func(n int, p Past) bool {
		if p.Served > 0 {
			served = append(served, n)
		}
		return true
	}); err != nil {
		t.Fatal(err)
	}
	// Off through hours 1 to 5; in hour 6 the five Ah feed 120 W less the 12 W
	// for a little over half an hour.
	if len(served) < 2 || served[0] != 6 || served[1]-served[0] < 5 {
		t.Errorf("served in hours %v", served)
	}
}

func TestStoreRefuses(t *testing.T) {
	good := Store{Capacity: 1e5, Volts: 12, Back: 1}
	for name, f := range map[string]func(*Store){
		"capacity": func(s *Store) { s.Capacity = 0 }, "volts": func(s *Store) { s.Volts = math.NaN() }, "floor": func(s *Store) { s.Floor = 1 },
		"back": func(s *Store) { s.Back = 1.1 }, "accept": func(s *Store) { s.Accept = -1 }, "tau": func(s *Store) { s.Tau = -1 },
	} {
		s := good
		f(&s)
		if err := s.Run(1, steady(1, Hour{}), func(int, Past) bool { return true }); err == nil {
			t.Errorf("%s passes", name)
		}
	}
	if err := good.Run(1.2, steady(1, Hour{}), func(int, Past) bool { return true }); err == nil {
		t.Error("more than full passes")
	}
	if err := good.Run(1, steady(1, Hour{Load: -1}), func(int, Past) bool { return true }); err == nil {
		t.Error("a negative load passes")
	}
	if err := good.Run(1, steady(1, Hour{Sources: []float64{math.NaN()}}), func(int, Past) bool { return true }); err == nil {
		t.Error("a source of NaN passes")
	}
}
