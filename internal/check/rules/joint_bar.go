package rules

import (
	"fmt"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
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
		case most == 0 && p.Section[0] > 0:
			sayBarTable(say, p, steady)
		case most == 0:
			say.pass(p.ID, fmt.Sprintf("the job does not give the bar's rating; it carries %s (%s)", amps(steady.Amps), steady.In))
		case steady.Amps > most*(1+1e-9):
			say.hold(finding.Fault, p.ID, fmt.Sprintf("bar %s carries %s (%s); it is made for %s", p.ID, amps(steady.Amps), steady.In, amps(most)),
				"take a larger bar, or put the feed between the loads", number{value: steady.Amps, limit: most, unit: "A"}, source.Ref{})
		}
	}
}

// sayBarTable holds a bar without a rating against the published currents of
// bare flat bars, the column of the least rise.
func sayBarTable(say *speaker, p *bank.Part, steady report.WorstFlow) {
	bars := catalog.Default().Bars()
	row := bars.Find(quantity.Length(min(p.Section[0], p.Section[1])), quantity.Length(max(p.Section[0], p.Section[1])))
	if row == nil {
		say.pass(p.ID, fmt.Sprintf("the job gives no rating of the bar and no published row is of its section %.1f mm by %.1f mm; it carries %s (%s)", p.Section[0]*1e3, p.Section[1]*1e3, amps(steady.Amps), steady.In))
		return
	}
	most, ok := row.DC(0)
	if ok && steady.Amps > float64(most)*(1+1e-9) {
		say.hold(finding.Warning, p.ID, fmt.Sprintf("bar %s carries %s (%s); a bare bar of its section stands %s at a rise of %.0f K", p.ID, amps(steady.Amps), steady.In, amps(float64(most)), bars.Rises[0]),
			"take a larger bar, or one with a rating", number{value: steady.Amps, limit: float64(most), unit: "A"}, row.AmpsRef)
	}
}
