package rules

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// daysRules look at the balance of days, where the job has loads of the day.
var daysRules = []*Rule{&daysShort, &mainsSlow, &inverterIdles, &alternatorHot}

// dayLoad puts one load of the day on L1 of the example job.
func dayLoad(power string, more ...string) string {
	return dcWith(append([]string{"takeoff:", "loads: [{id: lamps, part: L1, power: " + power + "}]\ntakeoff:"}, more...)...)
}

var balanceRef = source.Ref{Title: "what goes in less what comes out; how many days a bank is to last is the owner's wish", How: source.Practice}

var daysShort = Rule{
	ID:       "DAY-01",
	Title:    "The bank reaches its floor before the days wished are over",
	Text:     "Bad days one after the other, with the sun of a dark day, each load at its bad duty, and mains and engine as told, are to leave the bank above its floor for as long as the job wishes. On mean days no load may go without at all. Weather worse than the bad day, a load forgotten and batteries grown old come on top.",
	Source:   balanceRef,
	Severity: finding.Warning,
	Failing:  dayLoad("40 W"),
	Passing:  dayLoad("20 W"),
	check:    checkDays,
}

func checkDays(r *report.Report, say *speaker) {
	d := r.Days
	if d == nil || d.Missing != "" {
		return
	}
	if n := report.DryDays(d); n > 0 && len(d.Sources) > 0 {
		say.find("takeoff", fmt.Sprintf("on mean days already the loads go without on %d days of the year: %s", n, report.DryWords(d)),
			"use less, add a source, or plug in on those days; a larger bank only puts it off")
	}
	short := 0
	for m := range d.Months {
		if d.Months[m].Bad.Reaches < d.Wish {
			short++
		}
	}
	if short == 0 {
		return
	}
	m := report.HardestMonth(d)
	lasts := d.Months[m].Bad.Reaches
	wish := report.LastsWords(d.Wish)
	if r.Bank.Days.Wish.Origin == source.Assumed {
		wish += " (assumed)"
	}
	message := fmt.Sprintf("bad days in %s bring the bank to its floor of %.0f %% after %s, before the %s that it shall last", report.MonthWords[m], 100*d.Floor, report.LastsWords(lasts), wish)
	if short > 1 {
		message += fmt.Sprintf("; so in %d months of the year", short)
	}
	say.hold(finding.Warning, "takeoff", message, "use less on bad days, add a source that does not need the sun, or a larger bank",
		number{value: lasts, limit: d.Wish, unit: "s", least: true}, source.Ref{})
}

var mainsSlow = Rule{
	ID:       "DAY-02",
	Title:    "What bounds a charger on the mains side keeps it from filling the bank while it is plugged in",
	Text:     "A charger held back by the inlet or by the mains current it is set to gives less than its label. Where it then takes longer from the floor to full than the bank is plugged in on a day, the label misleads. Loads that are on meanwhile make it longer still.",
	Source:   source.Ref{Title: "power in is power out over efficiency; charge in closed form with its tail", How: source.Practice},
	Severity: finding.Note,
	Failing: dayLoad("20 W", "practice: {book: marine, ambient: 30 °C}\n", "practice: {book: marine, ambient: 30 °C}\ninlet: {current: 10 A, voltage: 230 V}\nmains: {from: 20:00, to: 06:00}\n",
		"on_open: stops", "on_open: stops, input: 1 A"),
	Passing: dayLoad("20 W", "practice: {book: marine, ambient: 30 °C}\n", "practice: {book: marine, ambient: 30 °C}\ninlet: {current: 10 A, voltage: 230 V}\nmains: {from: 20:00, to: 06:00}\n",
		"on_open: stops", "on_open: stops, input: 3 A"),
	check: checkMainsSlow,
}

func checkMainsSlow(r *report.Report, say *speaker) {
	d := r.Days
	if d == nil || d.Missing != "" {
		return
	}
	for n := range d.Sources {
		s := &d.Sources[n]
		if s.Kind != report.ByMains || s.Bound == "" {
			continue
		}
		for i := range d.Full {
			f := &d.Full[i]
			if hours := f.Whole / 3600; f.Source == s.ID && hours > s.Hours*(1+1e-9) {
				say.hold(finding.Note, s.ID, fmt.Sprintf("%s keeps %s to %s of the %s on its label: from the floor to full it takes %s h, and it is plugged in for %s h", s.Bound, s.ID, amps(f.Amps), amps(s.Label),
					quantity.FormatFixed(hours, 1), quantity.FormatFixed(s.Hours, 1)),
					"stay plugged in for longer, use an inlet that gives more, or set the charger to more where the inlet allows it", number{value: f.Whole, limit: 3600 * s.Hours, unit: "s"}, source.Ref{})
			}
		}
	}
}

var inverterIdles = Rule{
	ID:       "DAY-03",
	Title:    "An inverter takes more for nothing than it gives",
	Text:     "An inverter that is left on takes its own idle power all day: 20 W are 480 Wh, as much as a fridge. Where that is more than its loads use, switching it off while nothing runs, or a small inverter beside the large one, saves more than any panel brings.",
	Source:   source.Ref{Title: "idle power of 10 to 40 W for inverters of 12 V", How: source.Practice},
	Severity: finding.Note,
	Failing:  dcWith("takeoff:", "loads: [{id: kettle, power: 800 W, at: [07:00], for: 10 min, through: I1}]\ntakeoff:", "cutout: 10.5 V", "cutout: 10.5 V, idle: 12 W"),
	Passing:  dcWith("takeoff:", "loads: [{id: kettle, power: 800 W, at: [07:00], for: 10 min, through: I1}]\ndays: {inverters_off: true}\ntakeoff:", "cutout: 10.5 V", "cutout: 10.5 V, idle: 12 W"),
	check:    checkIdle,
}

func checkIdle(r *report.Report, say *speaker) {
	d := r.Days
	if d == nil || d.Missing != "" {
		return
	}
	for i := range d.Inverters {
		one := &d.Inverters[i]
		if !(one.Idle > one.Gives*(1+1e-9)) {
			continue
		}
		note := ""
		if one.Assumed {
			note = " (its idle power is assumed)"
		}
		say.find(one.ID, fmt.Sprintf("inverter %s takes %s Wh a day without load, and gives %s Wh%s", one.ID, quantity.FormatFixed(one.Idle/3600, 0), quantity.FormatFixed(one.Gives/3600, 0), note),
			"switch it off while nothing runs on it and say so with inverters_off, or feed small loads without it")
	}
}

// hotShare is the part of its label that an alternator is said to bear when hot.
const hotShare = 0.60

var alternatorHot = Rule{
	ID:       "DAY-04",
	Title:    "An alternator is asked for more than it bears when hot",
	Text:     "The label of an alternator is of a cold one at high speed; hot it bears 50 to 60 % of it for long. Lithium batteries take all they get until they are nearly full, so it gives its most for as long as the charge lasts and overheats. A charger between, or a regulator that feels how warm it is, limits it (limited: true).",
	Source:   source.Ref{Title: "an alternator bears 50 to 60 % of its label for long when hot", How: source.Practice},
	Severity: finding.Warning,
	Failing:  dayLoad("20 W", "{id: C1, kind: charger, current: 40 A", "{id: C1, kind: alternator, current: 50 A", "loads:", "drive: {part: C1, hours: 2 h}\nloads:"),
	Passing:  dayLoad("20 W", "{id: C1, kind: charger, current: 40 A", "{id: C1, kind: alternator, limited: true, current: 50 A", "loads:", "drive: {part: C1, hours: 2 h}\nloads:"),
	check:    checkAlternatorHot,
}

func checkAlternatorHot(r *report.Report, say *speaker) {
	const soon = 600 // s: a quarter of what its iron takes to warm up (common practice, no source)
	d := r.Days
	if d == nil || d.Missing != "" {
		return
	}
	for n := range d.Sources {
		s := &d.Sources[n]
		if s.Kind != report.ByEngine || s.Limit {
			continue
		}
		if s.Label == 0 {
			say.pass(s.ID, "the job gives no current for it: what it is asked for is not known")
			continue
		}
		lasts := math.Min(s.For, 3600*s.Hours)
		if s.Asked <= hotShare*s.Label*(1+1e-9) || lasts < soon {
			continue
		}
		say.hold(finding.Warning, s.ID, fmt.Sprintf("the bank asks %s of alternator %s for %s, from its floor on; its label says %s, of which it bears %.0f %% when hot", amps(s.Asked), s.ID,
			quantity.Format(quantity.Duration(lasts), 2), amps(s.Label), 100*hotShare),
			"put a charger with a limit of its own between, or a regulator that feels its heat, and say so with limited", number{value: s.Asked, limit: hotShare * s.Label, unit: "A"}, source.Ref{})
	}
}
