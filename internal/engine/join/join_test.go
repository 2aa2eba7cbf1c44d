package join

import (
	"fmt"
	"math"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
)

// block is a battery of a straight curve, v volts empty and k more when full.
func block(id string, v, k, ohm, ah, start float64) bank.Battery {
	line := bank.Line{{X: 0, Y: v}, {X: 1, Y: v + k}}
	return bank.Battery{ID: id, Chemistry: bank.LFP, Capacity: source.Of(quantity.Charge(ah * 3600)), Start: source.Of(quantity.Ratio(start)),
		Resistance: source.Of(quantity.Resistance(ohm)), EMF: source.Of(quantity.Voltage(line.At(start))),
		Model: bank.Model{Exact: true, Curve: line, Ohmic: source.Of(quantity.Resistance(ohm)), Temperature: source.Of(quantity.Temperature(298.15)), Guard: bank.Guard{Electronic: true}}}
}

// pair joins two batteries by a cable in each rail.
func pair(link float64, a, b bank.Battery) *bank.Bank {
	out := &bank.Bank{Batteries: []bank.Battery{a, b}}
	out.Takeoff = bank.Takeoff{Positive: out.Batteries[0].Plus(), Negative: out.Batteries[0].Minus()}
	out.Cables = []bank.Cable{
		{ID: "W1", From: out.Batteries[0].Plus(), To: out.Batteries[1].Plus(), Whole: source.Of(quantity.Resistance(link))},
		{ID: "W2", From: out.Batteries[0].Minus(), To: out.Batteries[1].Minus(), Whole: source.Of(quantity.Resistance(link))},
	}
	return out
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.9g, not %.9g ± %g", what, got, want, tol)
	}
}

// TestPublishedPair is the example of battery.md section 5: 13.40 V onto
// 12.96 V over 10 + 10 + 2 mΩ gives 20 A.
func TestPublishedPair(t *testing.T) {
	b := pair(1e-3, block("B1", 12.40, 1, 10e-3, 100, 0.56), block("B2", 12.40, 1, 10e-3, 100, 1))
	j, err := Solve(b, 1, bank.Case{}, Defaults())
	if err != nil {
		t.Fatal(err)
	}
	near(t, "difference", j.Difference, 0.44, 1e-12)
	near(t, "the bank without it", j.BankVolts, 12.96, 1e-12)
	near(t, "first current of B2", j.First[1], 20, 1e-9)
	near(t, "first current of B1", j.First[0], -20, 1e-9)
	near(t, "path", j.Path, 12e-3, 1e-12)
	// Both move on straight curves: I = I₀·exp(−t/τ), τ = R / (k·(1/C + 1/C)).
	tau := 22e-3 / (2 / 360000.0)
	near(t, "half", j.Half, tau*math.Ln2, sampled)
	near(t, "tenth", j.Tenth, tau*math.Ln10, sampled)
	near(t, "moved, Ah", j.Moved/3600, 20*tau/3600*(1-math.Exp(-24*3600/tau)), 0.01)
	// A fifth of 100 Ah an hour is 20 A: just at the gentle limit.
	near(t, "difference allowed by a gentle joining", j.Least, 0.44, 1e-9)
	if j.Resistor != nil {
		t.Errorf("a resistor at the limit: %+v", j.Resistor)
	}
}

// TestResistor: twice the difference needs a resistor that doubles the path.
func TestResistor(t *testing.T) {
	b := pair(1e-3, block("B1", 12, 1, 10e-3, 100, 0.1), block("B2", 12, 1, 10e-3, 100, 0.98))
	j, err := Solve(b, 1, bank.Case{}, Defaults())
	if err != nil {
		t.Fatal(err)
	}
	r := j.Resistor
	if r == nil {
		t.Fatalf("no resistor for %g V", j.Difference)
	}
	near(t, "ohm", r.Ohm, 22e-3, 1e-9)
	near(t, "peak", r.Peak, 20*20*22e-3, 1e-6)
	tau := 44e-3 / (2 / 360000.0) // the difference has to halve
	near(t, "time", r.Time, tau*math.Ln2, sampled)
	near(t, "energy", r.Energy, 20*20*22e-3*tau/2*(1-0.25), 0.02*r.Energy)
}

// TestLimits: each limit allows what it says through the path it lies on.
func TestLimits(t *testing.T) {
	high, low := block("B1", 12, 1, 5e-3, 100, 0.9), block("B2", 12, 1, 15e-3, 100, 0.2)
	high.Limits = bank.Limits{Discharge: 60, Charge: 30, Trip: 90}
	low.Limits = bank.Limits{Discharge: 61, Charge: 31, Trip: 91}
	b := pair(0.5e-3, high, low)
	for k, want := range map[int][]string{
		0: {"B1 its discharge limit 1.26", "B1 its trip 1.89", "B2 its charge limit 0.651"},
		1: {"B2 its charge limit 0.651", "B1 its discharge limit 1.26", "B1 its trip 1.89"},
	} {
		j, err := Solve(b, k, bank.Case{}, Defaults())
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, a := range j.Allowed {
			if a.Battery != "" && !a.Assumed {
				got = append(got, fmt.Sprintf("%s %s %.4g", a.Battery, a.What, a.Difference))
			}
		}
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("joining %d: %v, not %v", k, got, want)
		}
	}
}

// TestFlatCurve: on a flat curve the voltage leaves a wide range of charge.
func TestFlatCurve(t *testing.T) {
	one := block("B2", 12, 1, 10e-3, 100, 0.6)
	one.Model.Curve = bank.Line{{X: 0, Y: 12}, {X: 0.3, Y: 13.19}, {X: 0.9, Y: 13.21}, {X: 1, Y: 13.6}}
	one.EMF.V = 13.2
	j, err := Solve(pair(1e-3, block("B1", 12.6, 1, 10e-3, 100, 0.6), one), 1, bank.Case{}, Defaults())
	if err != nil {
		t.Fatal(err)
	}
	s := j.Sure[0]
	near(t, "difference", j.Difference, 0, 1e-12)
	if s.Low > 0.301 || s.High < 0.899 {
		t.Errorf("%+v: 13.20 V by a meter of 10 mV leaves 30 to 90 %%", s)
	}
}

func TestErrors(t *testing.T) {
	b := pair(1e-3, block("B1", 12, 1, 10e-3, 100, 0.1), block("B2", 12, 1, 10e-3, 100, 0.98))
	b.Batteries[0].Off = true
	if _, err := Solve(b, 1, bank.Case{}, Defaults()); err == nil {
		t.Error("joined nothing")
	}
	b.Batteries[0].Off = false
	b.Cables = b.Cables[:1]
	if _, err := Solve(b, 1, bank.Case{}, Defaults()); err == nil {
		t.Error("joined through one rail")
	}
}

// TestNeighboursThatDiffer: the current that flows between the others before
// the battery comes counts. What is allowed is tried out: the joining battery
// at just that difference brings the neighbour to just its limit.
func TestNeighboursThatDiffer(t *testing.T) {
	three := func(volts float64) *bank.Bank {
		high, low, late := block("B1", 13.3, 0, 5e-3, 100, 0.5), block("B2", 13.0, 0, 6e-3, 100, 0.5), block("B3", volts, 0, 4e-3, 100, 0.5)
		high.Limits.Discharge, low.Limits.Charge = 60, 50
		b := pair(0.5e-3, high, low)
		b.Batteries = append(b.Batteries, late)
		b.Cables = append(b.Cables,
			bank.Cable{ID: "W3", From: b.Batteries[1].Plus(), To: b.Batteries[2].Plus(), Whole: source.Of(quantity.Resistance(0.5e-3))},
			bank.Cable{ID: "W4", From: b.Batteries[1].Minus(), To: b.Batteries[2].Minus(), Whole: source.Of(quantity.Resistance(0.5e-3))})
		return b
	}
	for _, volts := range []float64{13.4, 12.5} {
		first, err := Solve(three(volts), 2, bank.Case{}, Defaults())
		if err != nil {
			t.Fatal(err)
		}
		tried := 0
		for _, a := range first.Allowed {
			if a.Assumed || a.Battery == "" || a.Battery == "B3" {
				continue
			}
			at := first.BankVolts + a.Difference
			if volts < first.BankVolts {
				at = first.BankVolts - a.Difference
			}
			again, err := Solve(three(at), 2, bank.Case{}, Defaults())
			if err != nil {
				t.Fatal(err)
			}
			i := map[string]int{"B1": 0, "B2": 1}[a.Battery]
			near(t, a.Battery+" at "+a.What, math.Abs(again.First[i]), a.Current, 1e-6)
			tried++
		}
		if tried == 0 {
			t.Errorf("at %g V no limit of a neighbour: %+v", volts, first.Allowed)
		}
	}
}
