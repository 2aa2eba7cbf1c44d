package run

import (
	"math"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// fourLFP is four times the middle column of battery.md 2.1: open-circuit volts
// of one small LFP cell at 25 °C over state of charge, open data.
var fourLFP = func() bank.Line {
	cell := [][2]float64{{0, 2.1540}, {1, 2.6300}, {2, 2.8133}, {5, 3.0190}, {10, 3.1724}, {15, 3.2129}, {20, 3.2394}, {25, 3.2594},
		{30, 3.2753}, {35, 3.2872}, {40, 3.2975}, {45, 3.3024}, {50, 3.3052}, {55, 3.3092}, {60, 3.3149}, {65, 3.3214}, {70, 3.3291},
		{75, 3.3401}, {80, 3.3447}, {85, 3.3478}, {90, 3.3522}, {95, 3.3696}, {97, 3.4015}, {98, 3.4409}, {99, 3.5176}, {100, 3.5907}}
	var l bank.Line
	for _, p := range cell {
		l = append(l, bank.LinePoint{X: p[0] / 100, Y: 4 * p[1]})
	}
	return l
}()

// flat is a source whose voltage never changes.
func flat(v float64) bank.Line { return bank.Line{{X: 0, Y: v}} }

// sloped is a source of v volts empty, k volts more when full.
func sloped(v, k float64) bank.Line { return bank.Line{{X: 0, Y: v}, {X: 1, Y: v + k}} }

// exact is a battery that is its curve behind its resistance.
func exact(id string, curve bank.Line, ohm, ah, start float64) bank.Battery {
	return bank.Battery{ID: id, Chemistry: bank.LFP, Capacity: source.Of(quantity.Charge(ah * 3600)), Start: source.Of(quantity.Ratio(start)),
		Resistance: source.Of(quantity.Resistance(ohm)), EMF: source.Of(quantity.Voltage(curve.At(start))),
		Model: bank.Model{Exact: true, Curve: curve, Ohmic: source.Of(quantity.Resistance(ohm)), Temperature: source.Of(quantity.Temperature(298.15)),
			Guard: bank.Guard{Electronic: true, Diode: source.Of(quantity.Voltage(0.6))}}}
}

// chain joins batteries post to post, the take-off at the first positive and at
// the negative of battery last.
func chain(link float64, last int, batteries ...bank.Battery) *bank.Bank {
	b := &bank.Bank{Batteries: batteries}
	wire := func(from, to bank.End) {
		b.Cables = append(b.Cables, bank.Cable{ID: from.String() + to.String(), From: from, To: to, Whole: source.Of(quantity.Resistance(link))})
	}
	for i := 1; i < len(batteries); i++ {
		wire(b.Batteries[i-1].Plus(), b.Batteries[i].Plus())
		wire(b.Batteries[i-1].Minus(), b.Batteries[i].Minus())
	}
	b.Takeoff = bank.Takeoff{Positive: b.Batteries[0].Plus(), Negative: b.Batteries[last].Minus()}
	return b
}

func draw(amps, hours float64) bank.Case {
	return bank.Case{ID: "draw", Current: quantity.Current(amps), For: quantity.Duration(hours * 3600)}
}

func mustRun(t *testing.T, b *bank.Bank, o Options, cases ...bank.Case) *report.Run {
	t.Helper()
	r, err := Solve(b, cases, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.9g, not %.9g ± %g", what, got, want, tol)
	}
}
