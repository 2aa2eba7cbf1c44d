package rules

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/rating"
	"bankwright/internal/model/report"
)

// dcJob is a small d.c. side that every rule is silent on, but for notes: two
// batteries, main fuse and switch, an inverter, a charger on its own fuse, a
// load on a breaker, shunt, frame bond. The failing examples are this with one
// thing changed.
const dcJob = `bankwright: 1
title: Tea boat
practice: {book: marine, ambient: 30 °C}
battery_types:
  block:
    chemistry: lfp
    nominal: 12.8 V
    capacity: 100 Ah
    resistance: 5 mΩ
    emf: 13.2 V
    fault_resistance: 5 mΩ
    limits: {discharge: 100 A, charge: 50 A, trip: 200 A, charge_trip: 100 A, low: 10 V, high: 14.6 V, cold_charge: 0 °C, hot_charge: 50 °C, cold: -20 °C, hot: 60 °C, series: 4, parallel: 4}
batteries:
  - {id: B1, type: block, covered: true}
  - {id: B2, type: block, covered: true}
parts:
  - {id: F1, kind: fuse, class: class_t, rating: 200 A, interrupt: 20 kA, volts: 125 V, resistance: 0.1 mΩ}
  - {id: Q1, kind: switch, rating: 300 A, resistance: 0.1 mΩ}
  - {id: R1, kind: shunt, rating: 500 A, resistance: 0.1 mΩ}
  - {id: P1, kind: bar, studs: 4, resistance: 0.02 mΩ, rating: 400 A}
  - {id: N1, kind: bar, studs: 5, resistance: 0.02 mΩ, rating: 400 A}
  - {id: D1, kind: breaker, rating: 20 A, interrupt: 5 kA, volts: 32 V, resistance: 2 mΩ}
  - {id: F2, kind: fuse, class: class_t, rating: 60 A, interrupt: 20 kA, volts: 125 V, resistance: 0.5 mΩ}
  - {id: H1, kind: frame}
  - {id: I1, kind: inverter, power: 1 kW, surge: 1.7 kW, surge_for: 5 s, efficiency: 88 %, cutout: 10.5 V}
  - {id: C1, kind: charger, current: 40 A, voltage: 14.2 V, float: 13.5 V, cold_lockout: 2 °C, on_open: stops}
  - {id: L1, kind: load, current: 12 A}
cables:
  - {id: W1, from: B1+, to: B2+, size: 2/0 AWG, length: 6 in, insulation: 105 °C, support: 12 in}
  - {id: W2, from: B1-, to: B2-, size: 2/0 AWG, length: 6 in, insulation: 105 °C, support: 12 in}
  - {id: W3, from: B1+, to: F1.a, size: 2/0 AWG, length: 6 in, insulation: 105 °C, support: 12 in}
  - {id: W4, from: F1.b, to: Q1.a, size: 2/0 AWG, length: 12 in, insulation: 105 °C, support: 12 in}
  - {id: W5, from: Q1.b, to: P1.1, size: 2/0 AWG, length: 12 in, insulation: 105 °C, support: 12 in}
  - {id: W6, from: P1.2, to: I1.a, size: 2/0 AWG, length: 30 in, insulation: 105 °C, support: 12 in}
  - {id: W7, from: I1.b, to: N1.1, size: 2/0 AWG, length: 30 in, insulation: 105 °C, support: 12 in}
  - {id: W8, from: N1.2, to: R1.a, size: 2/0 AWG, length: 6 in, insulation: 105 °C, support: 12 in}
  - {id: W9, from: R1.b, to: B2-, size: 2/0 AWG, length: 12 in, insulation: 105 °C, support: 12 in}
  - {id: W10, from: P1.3, to: D1.a, size: 12 AWG, length: 4 in, insulation: 105 °C, support: 12 in}
  - {id: W11, from: D1.b, to: L1.a, size: 12 AWG, length: 4 ft, insulation: 105 °C, support: 12 in}
  - {id: W12, from: L1.b, to: N1.3, size: 12 AWG, length: 4 ft, insulation: 105 °C, support: 12 in}
  - {id: W13, from: P1.4, to: F2.a, size: 6 AWG, length: 5 in, insulation: 105 °C, support: 12 in}
  - {id: W14, from: F2.b, to: C1.a, size: 6 AWG, length: 4 ft, insulation: 105 °C, support: 12 in}
  - {id: W15, from: C1.b, to: N1.4, size: 6 AWG, length: 4 ft, insulation: 105 °C, support: 12 in}
  - {id: W16, from: N1.5, to: H1, size: 1/0 AWG, length: 2 ft, insulation: 105 °C, support: 12 in}
takeoff: {positive: P1.1, negative: N1.2}
cases: [{id: cruise, draw: 60 A}]
`

// dcWith is dcJob with texts replaced, each of which must be there.
func dcWith(pairs ...string) string {
	s := dcJob
	for n := 0; n+1 < len(pairs); n += 2 {
		if !strings.Contains(s, pairs[n]) {
			panic("rules: the example lacks " + pairs[n])
		}
		s = strings.Replace(s, pairs[n], pairs[n+1], 1)
	}
	return s
}

// positive reports whether a line carries a live conductor: not the negative
// side and not loose.
func live(l *report.Line) bool { return l.Side == "positive" || l.Side == "between" }

func amps(v float64) string { return quantity.Format(quantity.Current(v), 3) }
func volt(v float64) string { return quantity.Format(quantity.Voltage(v), 3) }

// span gives how long a flow lasts, as a part of a sentence.
func span(seconds float64) string {
	if math.IsInf(seconds, 1) {
		return "without end"
	}
	return "for " + quantity.Format(quantity.Duration(seconds), 2)
}

// known wraps a number of a part for the protect engine: given where it is
// above zero, not known else.
func known(v float64) source.Value[float64] {
	if v > 0 {
		return source.Of(v)
	}
	return source.Value[float64]{}
}

// regime is the book of a job as the catalogue names it.
func regime(r *report.Report) rating.Regime { return rating.Regime(r.Bank.Practice.Book.V) }

// cable and part of a line or guard.
func cableOf(r *report.Report, l *report.Line) *bank.Cable { return &r.Bank.Cables[l.Index] }
func partOf(r *report.Report, g *report.Guard) *bank.Part  { return &r.Bank.Parts[g.Index] }

// assumedWords ends a sentence with what it rests on.
func assumedWords(list []string) string {
	if len(list) == 0 {
		return ""
	}
	return fmt.Sprintf(" (assumed: %s)", strings.Join(list, ", "))
}
