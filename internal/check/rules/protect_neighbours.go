package rules

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

var neighbourRules = []*Rule{&neighbours}

var neighbours = Rule{
	ID:       "PRO-19",
	Title:    "What the neighbours push through a battery's lead is cut by nothing",
	Text:     "In a dead short within one battery the others push their current through that battery's own cables, the wrong way round. Where no fuse or breaker lies on that way it flows until they are empty. A cable that does not bear it for 5 s by t = (k·S/I)² glows before anyone can act. Where three or more batteries side by side lack fuses PRO-15 says it, and this rule is silent of them.",
	Source:   source.Ref{Title: "fault current of the other batteries of a large bank is held against each battery's own leads", How: source.Practice},
	Severity: finding.Warning,
	Failing: dcWith("{id: W1, from: B1+, to: B2+, size: 2/0 AWG", "{id: W1, from: B1+, to: B2+, size: 6 AWG",
		"fault_resistance: 5 mΩ", "fault_resistance: 1 mΩ"),
	Passing: dcJob,
	check:   checkNeighbours,
}

// checkNeighbours speaks once of a battery, of the lead that comes off worst,
// and tells once where it cannot look.
func checkNeighbours(r *report.Report, say *speaker) {
	if wrong, _ := wrongWay(r.Bank); len(wrong) > 0 {
		return // POL-01 comes first
	}
	var unknown []string
	for i := range r.Bank.Batteries {
		id := r.Bank.Batteries[i].ID
		if bareByOther(r, id) {
			continue
		}
		var worst *report.InLead
		blind := false
		for n := range r.Side.Leads {
			l := &r.Side.Leads[n]
			switch {
			case l.Battery != id || l.Bare == 0:
			case math.IsNaN(l.Bears):
				blind = true
			case over(l.Bare, l.Bears) && (worst == nil || l.Bare/l.Bears > worst.Bare/worst.Bears):
				worst = l
			}
		}
		switch {
		case worst != nil:
			neighboursWords(say, worst)
		case blind:
			unknown = append(unknown, id)
		}
	}
	if len(unknown) > 0 {
		say.pass(unknown[0], fmt.Sprintf("what the leads of %s bear in a short is not known; with a size and an insulation given it is held against what the other batteries push through them", listed(unknown)))
	}
}

func neighboursWords(say *speaker, l *report.InLead) {
	say.hold(finding.Warning, l.Battery, fmt.Sprintf("in a dead short within %s the others push %s through its cable %s and no fuse or breaker cuts it; the cable bears %s for %s",
		l.Battery, amps(l.Bare), l.Cable, amps(l.Bears), quantity.Format(quantity.Duration(report.LeadSeconds), 1)),
		fmt.Sprintf("put a fuse at each battery, or make %s larger", l.Cable), number{value: l.Bare, limit: l.Bears, unit: "A"}, source.Ref{})
}

// bareByOther reports whether the rule for large banks looks at a battery.
func bareByOther(r *report.Report, id string) bool {
	b := r.Bank.Battery(id)
	return parallelStrings(r) >= manyBatteries && b != nil && bareToOthers(r, b)
}
