package life

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"bankwright/internal/model/bank"
)

const year = 365.25 * day

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.9g, want %.9g within %.2g", what, got, want, tol)
	}
}

func mustLoss(t *testing.T, l Law, c ...Conditions) Result {
	t.Helper()
	r, err := l.After(c...)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// stored is a battery at rest.
func stored(days, celsiusDegrees, soc float64) Conditions {
	return Conditions{Time: days * day, Temperature: celsius + celsiusDegrees, SOC: soc}
}

// cycled is a battery with cycles only.
func cycled(cycles, depth, rate float64) Conditions {
	return Conditions{Cycles: cycles, Depth: depth, Charge: rate, Discharge: rate, Temperature: 298.15}
}

func TestSmallAgainstPublished(t *testing.T) {
	for _, c := range []struct {
		name       string
		use        Conditions
		loss, rise float64 // percent; NaN not asked
		tol        float64 // points
	}{
		// Recomputed from the published constants, case 13 of the reference set.
		{"885 d, 25 °C, half full", stored(885, 25, 0.5), 6.620, 4.08, 0.01},
		{"885 d, 40 °C, half full", stored(885, 40, 0.5), 9.217, 16.35, 0.01},
		{"885 d, 25 °C, full", stored(885, 25, 1), 10.547, math.NaN(), 0.01},
		{"1000 full cycles at 0.5C", cycled(1000, 1, 0.5), 5.490, math.NaN(), 0.01},
		{"1000 full cycles at 1C", cycled(1000, 1, 1), 6.834, math.NaN(), 0.01},
		// Naumann et al. 2018, conclusions: what the authors' own law gives after
		// 20 years; printed in three figures, read in a summary of the paper.
		{"20 years, 25 °C, half full", stored(20*365.25, 25, 0.5), 19.0, 33.7, 0.05},
		// Naumann et al. 2020, 3.3.2.1: calendar part of the solar house profile
		// at 40 °C, mean charge 51.4 %, read in a survey of the literature.
		{"885 d of the solar profile", stored(885, 40, 0.514), 9.21, math.NaN(), 0.01},
		// Naumann et al. 2018, 3.1.2: measured, not computed; the tolerance is the
		// error that the authors state for the law.
		{"measured after 885 d", stored(885, 25, 0.5), 4.7, math.NaN(), 2.2},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := mustLoss(t, Small(), c.use)
			near(t, "loss in percent", 100*r.Loss, c.loss, c.tol)
			if !math.IsNaN(c.rise) {
				near(t, "resistance rise in percent", 100*r.Rise, c.rise, c.tol)
			}
			if len(r.Outside) > 0 {
				t.Errorf("a published case lies outside: %q", r.Outside)
			}
		})
	}
}

// TestSmallLifetime: the authors' projection, more than 22 years at 25 °C and
// half charge until a fifth is lost (Naumann et al. 2018, conclusions).
func TestSmallLifetime(t *testing.T) {
	u := Use{Temperature: 298.15, SOC: 0.5}
	near(t, "years to 20 %", Small().timeTo(0.2, u, false)/year, 22, 0.5)
}

func TestSmallCycleRise(t *testing.T) {
	// By hand from the constants: 0.0016·(6.8477·0.027+0.91882)/100 a cycle at
	// depth 0.8 and 0.25C.
	r := mustLoss(t, Small(), cycled(1000, 0.8, 0.25))
	near(t, "rise", r.Rise, 1000*0.0016*(0.1848879+0.91882)/100, 1e-12)
	fast := cycled(1000, 0.8, 1.06)
	if r := mustLoss(t, Small().Extrapolating(), fast); !math.IsNaN(r.CycleRise) || math.IsNaN(r.Cycle) {
		t.Errorf("where the fit of the rise ends, rise %g and loss %g; want NaN and a number", r.CycleRise, r.Cycle)
	}
}

func TestLargeAgainstReference(t *testing.T) {
	// The reference's two worked examples: 25 °C, half charge, depth 0.8, 0.25C.
	for _, c := range []struct{ days, calendar, cycle float64 }{
		{365, 1.10, 2.01},
		{3650, 3.70, 13.54},
	} {
		use := Conditions{Time: c.days * day, Cycles: c.days, Depth: 0.8, Charge: 0.25, Discharge: 0.25, Temperature: 298.15, SOC: 0.5}
		r := mustLoss(t, Large(), use)
		near(t, "calendar", 100*r.Calendar, c.calendar, 0.005) // as printed
		near(t, "cycle", 100*r.Cycle, c.cycle, 0.005)
		near(t, "sum", r.Loss, r.Calendar+r.Cycle, 0)
		if !math.IsNaN(r.Rise) || r.Outside != nil || r.Stretched != nil {
			t.Errorf("rise %g, outside %q, stretched %q; want NaN, none, none", r.Rise, r.Outside, r.Stretched)
		}
	}
}

// TestGraphite: the potential of graphite lies near 0.1 V through the middle
// of the charge and climbs when it is emptied (textbook shape).
func TestGraphite(t *testing.T) {
	for _, c := range []struct{ soc, low, high float64 }{{0, 0.2, 0.8}, {0.3, 0.1, 0.25}, {0.5, 0.08, 0.15}, {1, 0.05, 0.1}} {
		if v := graphite(c.soc); !(v >= c.low && v <= c.high) {
			t.Errorf("at charge %g: %g V, want %g to %g", c.soc, v, c.low, c.high)
		}
	}
}

func TestLimits(t *testing.T) {
	base := Conditions{Time: 100 * day, Cycles: 100, Depth: 0.9, Charge: 0.3, Discharge: 0.4, Temperature: celsius + 25, SOC: 0.6}
	with := func(change func(*Conditions)) Conditions {
		c := base
		change(&c)
		return c
	}
	for _, c := range []struct {
		name               string
		law                Law
		use                Conditions
		outside, stretched string // a word of the one reason; "" none
		calendar, cycle    bool   // answered
	}{
		{"small, inside", Small(), base, "", "", true, true},
		{"small, cool", Small(), with(func(c *Conditions) { c.Temperature = celsius + 8 }), "cycle: temperature 8 °C", "", true, false},
		{"small, edge of cool", Small(), with(func(c *Conditions) { c.Temperature = celsius + 20 }), "", "", true, true},
		{"small, frost", Small(), with(func(c *Conditions) { c.Temperature = celsius - 5 }), "calendar: temperature -5 °C", "", false, false},
		{"small, fast", Small(), with(func(c *Conditions) { c.Discharge = 2 }), "discharge rate 2C", "", true, false},
		{"small, slow", Small(), with(func(c *Conditions) { c.Charge = 0.05 }), "", "charge rate 0.05C", true, true},
		{"small, shallow", Small(), with(func(c *Conditions) { c.Depth = 0.1 }), "", "depth 0.1", true, true},
		{"small, long", Small(), with(func(c *Conditions) { c.Time = 900 * day }), "", "885 days", true, true},
		{"small, many", Small(), with(func(c *Conditions) { c.Cycles = 11000 }), "", "full cycles", true, true},
		{"large, inside", Large(), base, "", "", true, true},
		{"large, hot", Large(), with(func(c *Conditions) { c.Temperature = celsius + 50 }), "temperature 50 °C", "", false, false},
		{"large, cold edge", Large(), with(func(c *Conditions) { c.Temperature = celsius + 10; c.Charge = 0.16 }), "", "", true, true},
		{"large, cold and fast", Large(), with(func(c *Conditions) { c.Temperature = celsius + 10; c.Charge = 0.2 }), "at 10 °C or below", "", true, false},
		{"large, fast charge", Large(), with(func(c *Conditions) { c.Charge = 0.7 }), "charge rate 0.7C", "", true, false},
		{"large, shallow", Large(), with(func(c *Conditions) { c.Depth = 0.5 }), "", "depth 0.5", true, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := mustLoss(t, c.law, c.use)
			named(t, "outside", r.Outside, c.outside)
			named(t, "stretched", r.Stretched, c.stretched)
			if math.IsNaN(r.Calendar) == c.calendar || math.IsNaN(r.Cycle) == c.cycle || math.IsNaN(r.Loss) == (c.calendar && c.cycle) {
				t.Errorf("calendar %g, cycle %g, loss %g; want answers %v and %v", r.Calendar, r.Cycle, r.Loss, c.calendar, c.cycle)
			}
			far := mustLoss(t, c.law.Extrapolating(), c.use)
			if !(far.Loss > 0) || len(far.Outside) != len(r.Outside) {
				t.Errorf("extrapolating: loss %g, reasons %q; want a loss and the same reasons", far.Loss, far.Outside)
			}
		})
	}
}

func named(t *testing.T, what string, reasons []string, want string) {
	t.Helper()
	if all := strings.Join(reasons, "; "); (want == "") != (all == "") || !strings.Contains(all, want) {
		t.Errorf("%s: %q, want one with %q", what, reasons, want)
	}
}

func TestMoreThanAll(t *testing.T) {
	r := mustLoss(t, Small(), stored(1e6, 60, 1))
	named(t, "outside", r.Outside, "more than the whole capacity")
	if !math.IsNaN(r.Loss) || !math.IsNaN(r.Calendar) {
		t.Errorf("loss %g, calendar %g; want NaN", r.Loss, r.Calendar)
	}
}

func TestBadConditions(t *testing.T) {
	good := Conditions{Time: 1, Cycles: 1, Depth: 0.5, Charge: 0.3, Discharge: 0.3, Temperature: 300, SOC: 0.5}
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		want   string
		change func(*Conditions)
	}{
		{"time", func(c *Conditions) { c.Time = -1 }},
		{"time", func(c *Conditions) { c.Time = inf }},
		{"cycles", func(c *Conditions) { c.Cycles = nan }},
		{"temperature", func(c *Conditions) { c.Temperature = 0 }},
		{"temperature", func(c *Conditions) { c.Temperature = nan }},
		{"state of charge", func(c *Conditions) { c.SOC = 50 }},
		{"state of charge", func(c *Conditions) { c.SOC = nan }},
		{"depth", func(c *Conditions) { c.Depth = 0 }},
		{"depth", func(c *Conditions) { c.Depth = 3 }},
		{"charge rate", func(c *Conditions) { c.Charge = 0 }},
		{"discharge rate", func(c *Conditions) { c.Discharge = inf }},
	} {
		bad := good
		c.change(&bad)
		if _, err := Small().After(good, bad); err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "stretch 2") {
			t.Errorf("%+v: error %v, want one about %s in stretch 2", bad, err, c.want)
		}
	}
	if r := mustLoss(t, Large()); r.Loss != 0 || r.Rise != 0 {
		t.Errorf("no use at all: %+v, want nothing lost", r)
	}
}

// TestContinuation: a life cut into stretches of the same conditions is the
// same life; order does not matter where rates are equal; a rest costs no
// cycle loss; and a loss never shrinks.
func TestContinuation(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	for _, law := range []Law{Small(), Large()} {
		for range 200 {
			c := Conditions{Time: (1 + rng.Float64()*300) * day, Cycles: 1 + rng.Float64()*300, Depth: 0.8 + rng.Float64()*0.2,
				Charge: 0.2 + rng.Float64()*0.4, Discharge: 0.2 + rng.Float64()*0.8, Temperature: celsius + 20 + rng.Float64()*20, SOC: rng.Float64()}
			whole := mustLoss(t, law, c)
			cut := rng.Float64()
			a, b := c, c
			a.Time, a.Cycles = c.Time*cut, c.Cycles*cut
			b.Time, b.Cycles = c.Time-a.Time, c.Cycles-a.Cycles
			parts := mustLoss(t, law, a, b)
			near(t, law.ID+" in two", parts.Loss, whole.Loss, 1e-12)
			if law.ID == "lfp-small" {
				near(t, "rise in two", parts.Rise, whole.Rise, 1e-12)
			}
			rest := stored(50, 40, 1)
			after := mustLoss(t, law, c, rest)
			near(t, law.ID+" cycle part after a rest", after.Cycle, whole.Cycle, 0)
			if !(after.Calendar > whole.Calendar) {
				t.Fatalf("%s: a rest at 40 °C takes %g to %g", law.ID, whole.Calendar, after.Calendar)
			}
		}
	}
}

// TestHarder: more time, heat and charge never spare a cell at rest; more
// cycles, depth and current never spare a cycled one.
func TestHarder(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 2))
	for _, law := range []Law{Small(), Large()} {
		for range 200 {
			c := Conditions{Time: 1e6 + rng.Float64()*1e8, Cycles: 1 + rng.Float64()*1000, Depth: 0.05 + rng.Float64()*0.9,
				Charge: rng.Float64() + 0.01, Discharge: rng.Float64() + 0.01, Temperature: 275 + rng.Float64()*50, SOC: rng.Float64() * 0.95}
			base := mustLoss(t, law.Extrapolating(), c)
			for what, change := range map[string]func(*Conditions){
				"time": func(c *Conditions) { c.Time *= 1.01 }, "charge": func(c *Conditions) { c.SOC += 0.04 },
				"heat": func(c *Conditions) { c.Temperature++ }, "cycles": func(c *Conditions) { c.Cycles *= 1.01 },
				"depth": func(c *Conditions) { c.Depth += 0.05 }, "current": func(c *Conditions) { c.Discharge += 0.1 },
			} {
				harder := c
				change(&harder)
				r := mustLoss(t, law.Extrapolating(), harder)
				if what == "heat" { // the large cell's cycle part falls with heat, as its author warns
					r.Cycle = base.Cycle
				}
				if r.Calendar < base.Calendar || r.Cycle < base.Cycle || r.Calendar+r.Cycle == base.Loss {
					t.Errorf("%s: more %s takes %g+%g to %g+%g", law.ID, what, base.Calendar, base.Cycle, r.Calendar, r.Cycle)
				}
			}
		}
	}
}

func TestFor(t *testing.T) {
	laws, err := For(bank.LFP)
	if err != nil || len(laws) != 2 || laws[0].ID != "lfp-large" || laws[1].ID != "lfp-small" {
		t.Fatalf("laws %v, error %v; want the large cell's first", laws, err)
	}
	for _, l := range laws {
		for _, ref := range []interface{ Check() error }{l.Calendar, l.Cycle} {
			if err := ref.Check(); err != nil {
				t.Errorf("%s: %v", l.ID, err)
			}
		}
	}
	for _, c := range []bank.Chemistry{bank.AGM, bank.Gel, bank.Flooded, ""} {
		if _, err := For(c); !errors.Is(err, ErrNoLaw) || !strings.HasSuffix(err.Error(), "for "+string(c)) {
			t.Errorf("%s: error %v, want %v", c, err, ErrNoLaw)
		}
	}
}

func TestAged(t *testing.T) {
	a, err := Aged(885*day, celsius+40, 0.5)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "capacity", a.Capacity, 1-0.09217, 1e-4) // case 13 again
	near(t, "resistance", a.Resistance, 1.1635, 1e-4)
	if a.Source.Check() != nil || a.Outside != nil || a.Stretched != nil {
		t.Errorf("%+v: want a source and no reasons", a)
	}
	if a, err := Aged(0, 298.15, 0.5); err != nil || a.Capacity != 1 || a.Resistance != 1 {
		t.Errorf("new: %+v, error %v; want factors of 1", a, err)
	}
	if a, err := Aged(day, celsius+70, 0.5); err != nil || !math.IsNaN(a.Capacity) || !math.IsNaN(a.Resistance) || len(a.Outside) != 1 {
		t.Errorf("at 70 °C: %+v, error %v; want NaN and the reason", a, err)
	}
	if _, err := Aged(-1, 298.15, 0.5); err == nil {
		t.Error("a negative age is taken")
	}
}
