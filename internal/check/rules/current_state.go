package rules

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// checkBatteryStates holds each battery against its limits in the states that
// the devices of the job make; its cases are looked at one by one.
func checkBatteryStates(r *report.Report, say *speaker) {
	for i := range r.Bank.Batteries {
		b := &r.Bank.Batteries[i]
		limit := float64(b.Limits.Discharge)
		worst := givesMost(r, i, true)
		switch most := givesInCases(r, i); {
		case b.Off || !(worst.Amps > most*(1+sameCurrent)): // a case asks for as much
		case limit == 0 && most == 0:
			say.pass(b.ID, "the job gives no discharge limit")
		case limit > 0 && over(worst.Amps, limit):
			say.hold(finding.Fault, b.ID, fmt.Sprintf("battery %s carries %s on discharge %s (%s), over its discharge limit of %s", b.ID, amps(worst.Amps), span(worst.Seconds), worst.In, amps(limit)),
				currentMend(r), number{value: worst.Amps, limit: limit, unit: "A"}, source.Ref{})
		}
		holdTrip(r, say, i)
	}
}

// sameCurrent is how far a state may lie above a case and count as the same, as
// a part: three printed digits.
const sameCurrent = 0.005

// holdTrip says where a battery's own protection opens in a starting surge.
func holdTrip(r *report.Report, say *speaker, i int) {
	b := &r.Bank.Batteries[i]
	surge, trip := givesMost(r, i, false), float64(b.Limits.Trip)
	if b.Off || trip == 0 || !over(surge.Amps, trip) {
		return
	}
	after, shorter := "; after how long it opens is not told", false
	if d := b.Model.Guard.TripDelay; d.Origin == source.Given {
		after = " after " + quantity.Format(d.V, 2)
		shorter = surge.Seconds < float64(d.V)
	}
	if shorter {
		return
	}
	say.hold(finding.Warning, b.ID, fmt.Sprintf("battery %s carries %s %s (%s): its own protection opens above %s%s", b.ID, amps(surge.Amps), span(surge.Seconds), surge.In, amps(trip), after),
		"start the load alone, add a battery, or take a load with less of a surge", number{value: surge.Amps, limit: trip, unit: "A"}, source.Ref{})
}

// givesMost finds what a battery gives at most in the lasting states, or in the
// short ones, that are no cases.
func givesMost(r *report.Report, i int, lasting bool) (w report.WorstFlow) {
	for n := range r.Side.Scenarios {
		s := &r.Side.Scenarios[n]
		if s.Case || s.Seconds >= minutes != lasting || i >= len(s.Gives) {
			continue
		}
		if s.Gives[i] > w.Amps*(1+1e-9) {
			w = report.WorstFlow{Amps: s.Gives[i], Seconds: s.Seconds, In: s.Name, Assumed: s.Assumed}
		}
	}
	return w
}

// givesInCases is what a battery gives at most in a case of the job, 0 where it
// gives in none.
func givesInCases(r *report.Report, i int) float64 {
	most := 0.0
	for n := range r.Side.Scenarios {
		if s := &r.Side.Scenarios[n]; s.Case && i < len(s.Gives) {
			most = math.Max(most, s.Gives[i])
		}
	}
	return most
}

// currentMend is what helps a battery that carries too much.
func currentMend(r *report.Report) string {
	if few(r.Bank) {
		return "ask for less, or take a battery with a higher limit"
	}
	return "wire it more evenly, ask for less, or add a battery"
}

func few(b *bank.Bank) bool { return len(b.Batteries) < 2 }
