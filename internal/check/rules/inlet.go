package rules

import (
	"fmt"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// inletRules look at what bounds the chargers from the mains side.
var inletRules = []*Rule{&inletShort}

var inletShort = Rule{
	ID:       "INL-01",
	Title:    "The chargers ask more of the mains inlet than it gives",
	Text:     "What all mains chargers give at their full current and highest voltage, over their efficiency, is drawn from the inlet at a power factor of one; a charger without correction draws half as much again. A charger that is set to a smaller mains current counts with that. Whatever else hangs on the inlet comes on top and is not in the job. The mains side itself is outside of this tool.",
	Source:   source.Ref{Title: "power in is power out over efficiency; the inlet's own limit is in the job", How: source.Practice},
	Severity: finding.Warning,
	Failing:  dcWith("practice: {book: marine, ambient: 30 °C}\n", "practice: {book: marine, ambient: 30 °C}\ninlet: {current: 2 A, voltage: 230 V}\n"),
	Passing:  dcWith("practice: {book: marine, ambient: 30 °C}\n", "practice: {book: marine, ambient: 30 °C}\ninlet: {current: 3 A, voltage: 230 V}\n"),
	check:    checkInlet,
}

func checkInlet(r *report.Report, say *speaker) {
	in := r.Bank.Inlet
	if in.Current == 0 {
		return
	}
	sum, first, assumed := 0.0, "", false
	var words []string
	for i := range r.Bank.Parts {
		p := &r.Bank.Parts[i]
		d := &p.Device
		if !p.Kind.Mains() {
			continue
		}
		a := float64(d.Input)
		if most := float64(d.Current) * float64(d.Voltage) / float64(d.Efficiency.V) / float64(in.Voltage); a == 0 || most > 0 && most < a {
			a, assumed = most, assumed || d.Efficiency.Origin == source.Assumed
		}
		if a == 0 {
			say.pass(p.ID, "the job gives neither its current and voltage nor its input: what it draws from the inlet is not known")
			continue
		}
		if first == "" {
			first = p.ID
		}
		sum += a
		words = append(words, fmt.Sprintf("%s %s", p.ID, quantity.Format(quantity.Current(a), 2)))
	}
	if sum > float64(in.Current)*(1+1e-9) {
		note := ""
		if assumed {
			note = " (an efficiency is assumed)"
		}
		say.hold(finding.Warning, first, fmt.Sprintf("at full current the chargers draw %s at the inlet: %s; it gives %s%s", amps(sum), strings.Join(words, ", "), amps(float64(in.Current)), note),
			"set a charger to a smaller mains current and say so with input, or charge with one at a time", number{value: sum, limit: float64(in.Current), unit: "A"}, source.Ref{})
	}
}
