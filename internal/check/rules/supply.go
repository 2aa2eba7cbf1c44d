package rules

import (
	"fmt"

	"bankwright/internal/base/source"
	"bankwright/internal/engine/feed"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// supplyRules are those of how loads and sources stand to the bank.
var supplyRules = []*Rule{&sameSide, &otherVoltage}

var sameSide = Rule{
	ID:       "DEV-01",
	Title:    "A device does not stand across the batteries",
	Text:     "A load or a source works between the positive and the negative: its end a on the higher side, its end b on the lower. With both on one side it gets nothing, or is shorted by the copper; the wrong way round it is destroyed, and a source drives the batteries backwards; with an end that leads to no battery it is not connected. Its current is then left out of all that is computed.",
	Source:   source.Ref{Title: "a device stands between the positive and the negative, polarity as marked on it", How: source.Practice},
	Severity: finding.Fault,
	Failing:  dcWith("from: L1.b, to: N1.3", "from: L1.b, to: P1.4"),
	Passing:  dcJob,
	check:    checkSameSide,
}

func checkSameSide(r *report.Report, say *speaker) {
	at := feed.Islands(r.Bank, nil)
	level := levels(r.Bank, at)
	for i := range r.Bank.Parts {
		p := &r.Bank.Parts[i]
		if !p.Kind.Device() {
			continue
		}
		a, b := p.Ends()[0], p.Ends()[1]
		high, hasA := level[at[a]]
		low, hasB := level[at[b]]
		switch {
		case at[a] == at[b]:
			say.find(p.ID, fmt.Sprintf("both terminals of %s are on the same copper: nothing is between them, it gets no voltage", p.ID), "lead "+a.String()+" to the positive and "+b.String()+" to the negative")
		case !hasA && !hasB:
			say.find(p.ID, fmt.Sprintf("%s is not connected: neither terminal leads to a battery", p.ID), "wire "+a.String()+" to the positive and "+b.String()+" to the negative, or take it out of the job")
		case !hasA:
			say.find(p.ID, fmt.Sprintf("%s is not connected: its positive terminal %s leads to no battery", p.ID, a), "wire "+a.String()+" to the positive")
		case !hasB:
			say.find(p.ID, fmt.Sprintf("%s is not connected: its negative terminal %s leads to no battery", p.ID, b), "wire "+b.String()+" to the negative")
		case high < low:
			say.find(p.ID, fmt.Sprintf("%s is connected the wrong way round: its positive terminal %s is on the negative side, its negative terminal %s on the positive", p.ID, a, b), "exchange its two cables before anything is switched on")
		case high == low:
			say.find(p.ID, fmt.Sprintf("both terminals of %s are on the same side of the batteries, at %s: it gets no voltage", p.ID, volt(high)), "lead "+a.String()+" to the positive and "+b.String()+" to the negative")
		}
	}
}

// levels gives islands of copper their nominal voltage over the negative
// take-off.
func levels(b *bank.Bank, at map[bank.End]int) map[int]float64 {
	level := map[int]float64{at[b.Takeoff.Negative]: 0}
	for range b.Batteries {
		for i := range b.Batteries {
			one := &b.Batteries[i]
			low, known := level[at[one.Minus()]]
			if _, done := level[at[one.Plus()]]; known && !done {
				level[at[one.Plus()]] = low + float64(one.Nominal)
			}
		}
	}
	return level
}

// acrossVolts is the nominal voltage between a device's terminals, 0 where it
// does not stand across batteries.
func acrossVolts(p *bank.Part, at map[bank.End]int, level map[int]float64) float64 {
	if !p.Kind.Device() { // a frame or a stud has one end
		return 0
	}
	high, hasA := level[at[p.Ends()[0]]]
	low, hasB := level[at[p.Ends()[1]]]
	if !hasA || !hasB {
		return 0
	}
	return max(0, high-low)
}

var otherVoltage = Rule{
	ID:       "DEV-02",
	Title:    "A device is made for another voltage than the bank's",
	Text:     "A source that holds less than the nominal voltage of the batteries it is joined to never charges them; one that holds half as much again, more than any of them is ever charged or equalised with, is made for a higher bank and destroys them. A cut-out above the voltage of full batteries at rest never lets the device run; one at half their nominal voltage or below never acts.",
	Source:   source.Ref{Title: "source and load have the nominal voltage of the bank", At: "half as much again: no chemistry here is equalised above 1.34 of its nominal voltage, and the next usual bank has twice", How: source.Practice},
	Severity: finding.Fault,
	Failing:  dcWith("voltage: 14.2 V", "voltage: 28.4 V"),
	Passing:  dcJob,
	check:    checkOtherVoltage,
}

// otherBank is from which part of the nominal voltage a source is made for a
// higher bank; neverActs the part at which a cut-out is made for a lower one.
// Common practice, no source: banks go by doubling.
const (
	otherBank = 1.5
	neverActs = 0.5
)

func checkOtherVoltage(r *report.Report, say *speaker) {
	at := feed.Islands(r.Bank, nil)
	level := levels(r.Bank, at)
	for i := range r.Bank.Parts {
		p := &r.Bank.Parts[i]
		nominal := acrossVolts(p, at, level)
		if !p.Kind.Device() || nominal == 0 {
			continue
		}
		if v := float64(p.Device.Voltage); p.Kind.Charges() && v > 0 {
			const mend = "take a source for the bank's voltage, or set it to that"
			switch {
			case v < nominal*(1-1e-9):
				say.hold(finding.Fault, p.ID, fmt.Sprintf("%s holds %s; batteries of %s are never charged by that", p.ID, volt(v), volt(nominal)), mend, number{value: v, limit: nominal, unit: "V", least: true}, source.Ref{})
			case over(v, nominal*otherBank):
				say.hold(finding.Fault, p.ID, fmt.Sprintf("%s holds %s: it is made for another bank than one of %s, which it destroys", p.ID, volt(v), volt(nominal)), mend, number{value: v, limit: nominal * otherBank, unit: "V"}, source.Ref{})
			}
		}
		cut := float64(p.Device.Cutout)
		if !p.Kind.Draws() || cut == 0 {
			continue
		}
		full := fullVolts(r.Bank, p, at, level)
		switch {
		case cut > full*(1+1e-9):
			say.hold(finding.Fault, p.ID, fmt.Sprintf("%s cuts out below %s; the full bank has %s at rest: it never runs", p.ID, volt(cut), volt(full)), "take a device for the bank's voltage, or set the cut-out lower", number{value: cut, limit: full, unit: "V"}, source.Ref{})
		case cut <= nominal*neverActs:
			say.hold(finding.Fault, p.ID, fmt.Sprintf("%s cuts out below %s; a bank of %s is ruined long before that: it never acts", p.ID, volt(cut), volt(nominal)), "set the cut-out for the bank's voltage", number{value: cut, limit: nominal * neverActs, unit: "V", least: true}, source.Ref{})
		}
	}
}

// fullVolts is the open-circuit voltage between a device's terminals with the
// batteries full.
func fullVolts(b *bank.Bank, p *bank.Part, at map[bank.End]int, level map[int]float64) float64 {
	most := 0.0 // over nominal, of the batteries within the device's span
	for i := range b.Batteries {
		one := &b.Batteries[i]
		low, ok := level[at[one.Minus()]]
		if ok && low >= level[at[p.Ends()[1]]] && level[at[one.Plus()]] <= level[at[p.Ends()[0]]] {
			full := float64(one.EMF.V)
			if c := one.Model.Curve; len(c) > 0 {
				full = max(full, c.At(1))
			}
			most = max(most, full/float64(one.Nominal))
		}
	}
	return most * acrossVolts(p, at, level)
}
