package rules

import (
	"fmt"

	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

var barRating = Rule{
	ID:       "BAR-01",
	Title:    "A bar carries more than it is made for",
	Text:     "The largest lasting current in any stretch between two studs of a bar is held against the bar's rating. Where feed and loads are spread over the bar, that is less than their sum.",
	Source:   source.Ref{Title: "the bar's rating in the job", How: source.Practice},
	Severity: finding.Fault,
	Failing:  dcWith("{id: P1, kind: bar, studs: 4, resistance: 0.02 mΩ, rating: 400 A}", "{id: P1, kind: bar, studs: 4, resistance: 0.02 mΩ, rating: 80 A}"),
	Passing:  dcJob,
	check:    checkBarRating,
}

func checkBarRating(r *report.Report, say *speaker) {
	for i := range r.Bank.Parts {
		p := &r.Bank.Parts[i]
		steady := flowOf(r, p.ID, true)
		if p.Kind != bank.Bar || steady.Amps == 0 {
			continue
		}
		switch most := float64(p.Rated.Current); {
		case most == 0:
			say.pass(p.ID, fmt.Sprintf("the job does not give the bar's rating; it carries %s (%s)", amps(steady.Amps), steady.In))
		case steady.Amps > most*(1+1e-9):
			say.hold(finding.Fault, p.ID, fmt.Sprintf("bar %s carries %s (%s); it is made for %s", p.ID, amps(steady.Amps), steady.In, amps(most)),
				"take a larger bar, or put the feed between the loads", number{value: steady.Amps, limit: most, unit: "A"}, source.Ref{})
		}
	}
}
