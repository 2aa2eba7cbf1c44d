package rules

import (
	"fmt"

	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

var shuntBypass = Rule{
	ID:       "SHT-01",
	Title:    "A path goes past the shunt",
	Text:     "What does not flow through the shunt is not counted, and the state of charge that the meter shows drifts. Every load, every charger and the frame must lie on the other side of the shunt than the batteries. Sense and supply leads of the meter itself need not.",
	Source:   source.Ref{Title: "only the shunt's own cable goes on to the batteries' post", How: source.Practice},
	Severity: finding.Warning,
	Failing:  dcWith("from: L1.b, to: N1.3", "from: L1.b, to: B2-"),
	Passing:  dcJob,
	check:    checkShuntBypass,
}

func checkShuntBypass(r *report.Report, say *speaker) {
	shunts := kindsOf(r.Bank, bank.Shunt)
	l := climb(r.Bank)
	var negative, positive []string
	for _, id := range shunts {
		switch l.at[bank.End{ID: id, Place: "b"}] { // a shunt that sits on a stud has no end a of its own
		case l.at[r.Bank.Takeoff.Negative]:
			negative = append(negative, id)
		case l.at[r.Bank.Takeoff.Positive]:
			positive = append(positive, id)
		default:
			say.pass(id, "it is neither on the negative nor on the positive side of the whole bank")
		}
	}
	if len(negative) > 0 {
		past(r, say, l.foot(r.Bank), negative, 1, "negative")
	}
	if len(positive) > 0 {
		past(r, say, l.head(r.Bank), positive, 0, "positive")
	}
}

// past lists what reaches the batteries' posts with the shunts taken out.
func past(r *report.Report, say *speaker, from []bank.End, shunts []string, end int, side string) {
	const mend = "lead it to the bar on the other side of the shunt"
	t := joined(r.Bank, shunts...).reach(from...)
	// What goes round by the frame is the frame's finding, not each device's.
	own := joined(r.Bank, append(kindsOf(r.Bank, bank.Frame), shunts...)...).reach(from...)
	some := false
	for i := range r.Bank.Parts {
		p := &r.Bank.Parts[i]
		switch {
		case p.Kind.Device():
			some = true
			if e := p.Ends()[end]; own.has(e) {
				say.find(p.ID, fmt.Sprintf("the %s of %s reaches the batteries past shunt %s (%s)", side, p.ID, shunts[0], own.way(e)), mend)
			}
		case p.Kind == bank.Frame && side == "negative":
			some = true
			if e := p.Ends()[0]; t.has(e) {
				say.find(p.ID, fmt.Sprintf("the frame %s reaches the batteries past shunt %s (%s)", p.ID, shunts[0], t.way(e)), mend)
			}
		}
	}
	e := r.Bank.Takeoff.Negative
	if side == "positive" {
		e = r.Bank.Takeoff.Positive
	}
	if !some && t.has(e) {
		say.find(e.String(), fmt.Sprintf("the take-off %s lies on the batteries' side of shunt %s", e, shunts[0]), "put the take-off on the other side of the shunt")
	}
}

// shuntShare is the part of its rating that a shunt carries without end: two
// thirds, common practice of meter makers, no source.
const shuntShare = 2.0 / 3

var shuntRating = Rule{
	ID:       "SHT-02",
	Title:    "A shunt is small for its current",
	Text:     "Above its rating a shunt gets hot, its resistance shifts and the meter shows no more. Customary is to use two thirds of the rating without end; a surge may reach the rating.",
	Source:   source.Ref{Title: "the shunt's rating in the job; two thirds of it without end is customary", How: source.Practice},
	Severity: finding.Warning,
	Failing:  dcWith("kind: shunt, rating: 500 A", "kind: shunt, rating: 100 A"),
	Passing:  dcJob,
	check:    checkShuntRating,
}

func checkShuntRating(r *report.Report, say *speaker) {
	for i := range r.Bank.Parts {
		p := &r.Bank.Parts[i]
		if p.Kind != bank.Shunt {
			continue
		}
		most, steady, surge := float64(p.Rated.Current), flowOf(r, p.ID, true), flowOf(r, p.ID, false)
		switch {
		case most == 0:
			say.pass(p.ID, "the job does not give the shunt's rating")
		case steady.Amps > most*(1+1e-9):
			say.hold(finding.Warning, p.ID, fmt.Sprintf("shunt %s carries %s (%s); it is made for %s", p.ID, amps(steady.Amps), steady.In, amps(most)),
				"take a larger shunt", number{value: steady.Amps, limit: most, unit: "A"}, source.Ref{})
		case steady.Amps > shuntShare*most*(1+1e-9):
			say.hold(finding.Note, p.ID, fmt.Sprintf("shunt %s carries %s (%s), more than two thirds of its %s", p.ID, amps(steady.Amps), steady.In, amps(most)),
				"take a larger shunt if this lasts", number{value: steady.Amps, limit: shuntShare * most, unit: "A"}, source.Ref{})
		case surge.Amps > most*(1+1e-9):
			say.hold(finding.Note, p.ID, fmt.Sprintf("shunt %s has %s (%s); the meter may show no more than %s", p.ID, amps(surge.Amps), surge.In, amps(most)),
				"take a larger shunt if the surge is to be counted", number{value: surge.Amps, limit: most, unit: "A"}, source.Ref{})
		}
	}
}

// minutes is from when a state of the d.c. side counts as lasting, s, as for
// conductors: common practice, no source.
const minutes = 600

// flowOf gives the largest current through a part, of the lasting states or of
// the short ones.
func flowOf(r *report.Report, id string, lasting bool) report.WorstFlow {
	var w report.WorstFlow
	for i := range r.Side.Scenarios {
		s := &r.Side.Scenarios[i]
		if v := s.Parts[id]; s.Seconds >= minutes == lasting && v > w.Amps*(1+1e-9) {
			w = report.WorstFlow{Amps: v, Seconds: s.Seconds, In: s.Name, Assumed: s.Assumed}
		}
	}
	return w
}
