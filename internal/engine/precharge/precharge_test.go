package precharge

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.9g, want %.9g within %.2g", what, got, want, tol)
	}
}

func mustSolve(t *testing.T, in Input) Result {
	t.Helper()
	r, err := Solve(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestAgainstReference(t *testing.T) {
	// Case 15 of the reference set, as printed there; textbook RC.
	for _, c := range []struct{ farad, volt, ohm, tau, wait, peak, joule float64 }{
		{0.020, 13.6, 10, 0.200, 0.921, 1.36, 1.850},
		{0.010, 54.4, 25, 0.250, 1.151, 2.176, 14.80},
	} {
		r := mustSolve(t, Input{Capacitance: c.farad, Voltage: c.volt, Fraction: 0.99, Resistor: c.ohm}).Chosen
		near(t, "time constant", r.Tau, c.tau, 1e-12)
		near(t, "wait", r.Wait, c.wait, 0.0005)
		near(t, "peak", r.Peak, c.peak, 1e-12)
		near(t, "energy", r.Energy, c.joule, 0.005)
		near(t, "peak power", r.PeakPower, c.volt*c.volt/c.ohm, 1e-9) // V²/R
	}
	// Time constants to 95 and 99 %, and what five of them give.
	near(t, "95 %", Input{Fraction: 0.95}.constants(), 3.0, 0.005)
	near(t, "99 %", Input{Fraction: 0.99}.constants(), 4.61, 0.005)
	near(t, "five", Input{Fraction: 0.993}.constants(), 5, 0.05)
}

func TestWithoutResistor(t *testing.T) {
	// The reference's check of a maker's "1000 A or more": 13.6 V over 12 mΩ.
	r := mustSolve(t, Input{Capacitance: 0.02, Voltage: 13.6, Source: 0.012, Fraction: 0.95, Resistor: 10})
	near(t, "peak without", r.Without.Peak, 1133, 0.5)
	near(t, "peak on closing", r.Chosen.ClosingPeak, 0.05*13.6/0.012, 1e-9)
	near(t, "step on closing", r.Chosen.Step, 0.68, 1e-12)
	if r := mustSolve(t, Input{Capacitance: 0.02, Voltage: 13.6, Fraction: 0.95, Resistor: 10}); !math.IsInf(r.Without.Peak, 1) {
		t.Errorf("nothing limits the current, yet the peak is %g", r.Without.Peak)
	}
}

// TestConservation: pre-charge and source resistor together lose ½CV², as much
// as the capacitor stores; and the mean power times the wait is what the
// resistor's own current makes, summed step by step.
func TestConservation(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 1))
	for range 100 {
		in := Input{Capacitance: math.Exp(rng.Float64()*4 - 6), Voltage: 10 + rng.Float64()*50, Source: rng.Float64() * 5,
			Fraction: 0.5 + rng.Float64()*0.49, Resistor: 1 + rng.Float64()*50}
		r := mustSolve(t, in).Chosen
		stored := in.Capacitance * in.Voltage * in.Voltage / 2
		near(t, "energy of both", r.Energy*(1+in.Source/in.Resistor), stored, 1e-12*stored)
		near(t, "power of both at first", r.PeakPower+r.Peak*r.Peak*in.Source, in.Voltage*r.Peak, 1e-9*in.Voltage*r.Peak)
		const steps = 2000
		sum, dt := 0.0, r.Wait/steps
		for i := range steps {
			amps := r.Peak * math.Exp(-(float64(i)+0.5)*dt/r.Tau)
			sum += amps * amps * in.Resistor * dt
		}
		near(t, "heat over the wait", r.MeanPower*r.Wait, sum, 1e-5*sum) // of the midpoint sum
		near(t, "voltage at the end of the wait", in.Voltage*(1-math.Exp(-r.Wait/r.Tau)), in.Voltage-r.Step, 1e-9)
	}
}

func TestHold(t *testing.T) {
	for _, c := range []struct {
		volt, ohm float64
		over      bool
	}{{13.6, 10, false}, {54.4, 25, true}} { // 18.5 W and 118 W
		r := mustSolve(t, Input{Capacitance: 0.01, Voltage: c.volt, Fraction: 0.95, Resistor: c.ohm})
		near(t, "hold", r.Chosen.Hold, c.volt*c.volt/c.ohm, 1e-9)
		if r.Chosen.OverPractice != c.over {
			t.Errorf("%g V on %g ohm: over the usual rating %v, want %v", c.volt, c.ohm, r.Chosen.OverPractice, c.over)
		}
		if r.LeastRating != 10 || r.MostRating != 50 || r.RatingSource.Check() != nil {
			t.Errorf("ratings %g to %g W, %v", r.LeastRating, r.MostRating, r.RatingSource.Check())
		}
	}
}

func TestSuggestion(t *testing.T) {
	base := Input{Capacitance: 0.02, Voltage: 13.6, Fraction: 0.99}
	for _, c := range []struct {
		name               string
		source, peak, wait float64
		ohm                float64 // the E12 value by hand
	}{
		{"peak alone, exact", 0, 1.36, 0, 10},
		{"peak alone", 0, 1.3, 0, 12},          // 10.46 ohm or more
		{"peak, weak source", 3, 1.36, 0, 8.2}, // 7 ohm or more
		{"wait alone", 0, 0, 1, 10},            // 10.86 ohm or less
		{"wait, weak source", 3, 0, 1, 6.8},    // 7.86 ohm or less
		{"both, one between", 0, 1.2, 1.2, 12}, // 11.33 to 13.03
		{"both, wide", 0, 13.6, 9.21, 10},      // 1 to 100: the middle
		{"both, exact", 0, 1.36, 0.02 * 10 * math.Log(100), 10},
		{"small", 0, 2000, 0, 0.01},
		{"large", 0, 1e-5, 0, 1.5e6},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := base
			in.Source, in.Peak, in.Wait = c.source, c.peak, c.wait
			r := mustSolve(t, in)
			if r.Chosen.Ohm != c.ohm || !r.Suggested {
				t.Fatalf("suggests %g ohm of %g to %g, want %g", r.Chosen.Ohm, r.Least, r.Most, c.ohm)
			}
			if c.peak > 0 && r.Chosen.Peak > c.peak*(1+1e-9) || c.wait > 0 && r.Chosen.Wait > c.wait*(1+1e-9) {
				t.Errorf("peak %g A, wait %g s; allowed %g and %g", r.Chosen.Peak, r.Chosen.Wait, c.peak, c.wait)
			}
		})
	}
}

// TestSeries: twelve values a decade, each within the 10 % of its series of the
// geometric one (IEC 60063 rounds 10^(n/12), with known exceptions), and each
// the number a person would write.
func TestSeries(t *testing.T) {
	for n, v := range e12 {
		if r := v / (10 * math.Pow(10, float64(n)/12)); r < 0.95 || r > 1.05 {
			t.Errorf("value %d of the series, %g, is %g of the geometric one", n, v, r)
		}
	}
	for _, c := range []struct {
		tenths float64
		decade int
		want   float64
	}{{47, 0, 4.7}, {47, -2, 0.047}, {33, -1, 0.33}, {82, 1, 82}, {68, 6, 6.8e6}} {
		if got := inDecade(c.tenths, c.decade); got != c.want {
			t.Errorf("%g in decade %d is %.17g, want %g", c.tenths, c.decade, got, c.want)
		}
	}
}

func TestErrors(t *testing.T) {
	good := Input{Capacitance: 0.02, Voltage: 13.6, Source: 0.01, Fraction: 0.95, Resistor: 10}
	for _, c := range []struct {
		want   string
		change func(*Input)
	}{
		{"capacitance", func(in *Input) { in.Capacitance = 0 }},
		{"capacitance", func(in *Input) { in.Capacitance = math.NaN() }},
		{"voltage", func(in *Input) { in.Voltage = -12 }},
		{"source resistance", func(in *Input) { in.Source = -1 }},
		{"inductance", func(in *Input) { in.Inductance = math.Inf(1) }},
		{"fraction", func(in *Input) { in.Fraction = 1 }},
		{"fraction", func(in *Input) { in.Fraction = 95 }},
		{"above zero where", func(in *Input) { in.Resistor = -10 }},
		{"leave one out", func(in *Input) { in.Peak = 2 }},
		{"nothing to choose", func(in *Input) { in.Resistor = 0 }},
		{"longer wait or a higher peak", func(in *Input) { in.Resistor, in.Peak, in.Wait = 0, 1, 0.1 }},
		{"E12 series", func(in *Input) { in.Resistor, in.Source, in.Peak, in.Wait = 0, 0, 13.6/10.5, 0.02*11.5*math.Log(20) }},
		{"already takes longer", func(in *Input) { in.Resistor, in.Source, in.Wait = 0, 10, 0.1 }},
		{"no resistor is needed", func(in *Input) { in.Resistor, in.Source, in.Peak = 0, 10, 5 }},
	} {
		in := good
		c.change(&in)
		if _, err := Solve(in); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: error %v, want one with %q", in, err, c.want)
		}
	}
}
