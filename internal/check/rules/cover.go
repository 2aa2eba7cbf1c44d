package rules

import (
	"fmt"
	"strings"

	"bankwright/internal/base/source"
	"bankwright/internal/engine/feed"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

var cover = Rule{
	ID:       "COV-01",
	Title:    "Live posts without covers",
	Text:     "A spanner across open posts draws thousands of amperes before any fuse. Every terminal that is always live and not grounded has a boot, nipple, cap, cover or shield; metal cannot come to touch a battery's. So have bars and studs; where a job does not say covered: true of a live one it is listed as not checked, as many come in a housing. Terminals of fuses, switches and devices are not looked at.",
	Source:   source.Ref{Title: "33 CFR", At: "183.445(b) and 183.420(b)", Edition: "1983", How: source.Read},
	Severity: finding.Warning,
	Failing:  bareWith(", covered: true", ""),
	Passing:  bareJob,
	check:    checkCover,
}

func checkCover(r *report.Report, say *speaker) {
	m := feed.New(r.Bank)
	for i := range r.Bank.Batteries {
		if b := &r.Bank.Batteries[i]; !b.Covered {
			say.find(b.ID, "the live posts of "+b.ID+" have no covers: "+endNames(livePosts(m, b)), "put boots or a cover over them and set covered: true")
		}
	}
	var parts []string
	for i := range r.Bank.Parts {
		p := &r.Bank.Parts[i]
		if p.Kind != bank.Bar && p.Kind != bank.Stud || p.Covered {
			continue // the others come in a housing
		}
		for _, e := range p.Joined() {
			if s := m.SideOf(e); s == feed.Positive || s == feed.Between {
				parts = append(parts, p.ID)
				break
			}
		}
	}
	if len(parts) > 0 {
		say.pass(parts[0], "whether these live bars and studs have covers is not in the job (covered: true): "+strings.Join(parts, ", "))
	}
}

// livePosts lists the posts of a battery that are not on the grounded side.
func livePosts(m *feed.Map, b *bank.Battery) []bank.End {
	ends := []bank.End{b.Plus()}
	if m.SideOf(b.Minus()) != feed.Negative {
		ends = append(ends, b.Minus())
	}
	return ends
}

func endNames(ends []bank.End) string {
	var list []string
	for _, e := range ends {
		list = append(list, fmt.Sprint(e))
	}
	return strings.Join(list, ", ")
}
