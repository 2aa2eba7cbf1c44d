package rules

import (
	"fmt"

	"bankwright/internal/base/source"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/rating"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

var support = Rule{
	ID:       "SUP-01",
	Title:    "A cable is held too seldom",
	Text:     "What hangs free chafes and pulls on its lugs. Battery conductors up to the switch are to be held closer. Sources differ: 300 and 450 mm, 18 in, 24 in; the strictest that was read counts here.",
	Source:   source.Ref{Title: "ISO 10133", At: "7.3 and 7.4 as a page quotes them: 450 mm; 300 mm for battery conductors up to the switch", Edition: "2012", How: source.Read},
	Severity: finding.Warning,
	Failing:  dcWith("{id: W6, from: P1.2, to: I1.a, size: 2/0 AWG, length: 30 in, insulation: 105 °C, support: 12 in}", "{id: W6, from: P1.2, to: I1.a, size: 2/0 AWG, length: 30 in, insulation: 105 °C, support: 24 in}"),
	Passing:  dcJob,
	check:    checkSupport,
}

func checkSupport(r *report.Report, say *speaker) {
	for i := range r.Side.Lines {
		l := &r.Side.Lines[i]
		c := cableOf(r, l)
		// Whether a line leads to the switch is told by nothing standing before it.
		limit := strictest(live(l) && l.Bare)
		if limit == nil {
			continue
		}
		if c.Wrap.Support == 0 {
			if float64(c.Length.V) > float64(limit.Spacing) {
				say.pass(l.Cable, "the job does not say how far apart its supports are")
			}
			continue
		}
		if float64(c.Wrap.Support) > float64(limit.Spacing)*(1+2e-2) && float64(c.Length.V) > float64(limit.Spacing) { // 12 in stand for 300 mm
			say.hold(finding.Warning, l.Cable, fmt.Sprintf("cable %s is held every %s; %s asks for %s", l.Cable, r.Bank.Show.FormatLength(c.Wrap.Support), limit.Title, r.Bank.Show.FormatLength(limit.Spacing)),
				"add clamps or cushions", number{value: float64(c.Wrap.Support), limit: float64(limit.Spacing), unit: "m"}, limit.Ref)
		}
	}
}

// strictest gives the closest spacing that was read and is for such a cable.
func strictest(battery bool) *rating.Support {
	var best *rating.Support
	for _, s := range catalog.Default().Supports() {
		if s.Ref.How != source.Read || s.Battery && !battery {
			continue
		}
		if best == nil || s.Spacing < best.Spacing {
			best = &s
		}
	}
	return best
}
