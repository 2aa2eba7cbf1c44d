package rules

import (
	"fmt"

	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// bankRules are those of which batteries stand together.
var bankRules = []*Rule{&seriesCount, &parallelCount, &mixChemistry, &mixVoltage, &mixAge, &oddNominal}

var seriesCount = Rule{
	ID:       "SER-01",
	Title:    "More batteries in series than their maker allows",
	Text:     "The switch of a battery's own protection has to break the voltage of the whole string when it opens. Its maker sets how many may stand in series.",
	Source:   source.Ref{Title: "limits.series of the battery type in the job", How: source.Practice},
	Severity: finding.Fault,
	Failing:  seriesJob(1),
	Passing:  seriesJob(2),
	check:    checkSeries,
}

// seriesJob is two batteries in series behind a fuse.
func seriesJob(most int) string {
	return fmt.Sprintf(`bankwright: 1
battery_types:
  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13.2 V, limits: {discharge: 100 A, charge: 50 A, trip: 200 A, charge_trip: 100 A, series: %d, parallel: 1}}
batteries: [{id: B1, type: block, covered: true}, {id: B2, type: block, covered: true}]
parts: [{id: F1, kind: fuse, class: class_t, rating: 100 A, interrupt: 20 kA, volts: 125 V, resistance: 0.3 mΩ}, {id: Q1, kind: switch, rating: 100 A, resistance: 0.1 mΩ}]
cables: [{id: W1, from: B1+, to: B2-, resistance: 0.3 mΩ}, {id: W9, from: B2+, to: F1.a, resistance: 0.3 mΩ}, {id: W8, from: F1.b, to: Q1.a, resistance: 0.3 mΩ}]
takeoff: {positive: Q1.a, negative: B1-}
`, most)
}

func checkSeries(r *report.Report, say *speaker) {
	l := climb(r.Bank)
	if len(l.rungs) == 0 {
		say.pass("takeoff", "no battery lies between the two ends of the take-off")
	}
	l.count(say, len(l.rungs), "in series", func(b *bank.Battery) int { return b.Limits.Series })
}

var parallelCount = Rule{
	ID:       "PAR-01",
	Title:    "More batteries in parallel than their maker allows",
	Text:     "In a short of one battery all others feed it, and when one opens the rest take its share. Makers of batteries with protection of their own therefore set how many may stand in parallel.",
	Source:   source.Ref{Title: "limits.parallel of the battery type in the job", How: source.Practice},
	Severity: finding.Fault,
	Failing:  dcWith("parallel: 4", "parallel: 1"),
	Passing:  dcJob,
	check:    checkParallel,
}

func checkParallel(r *report.Report, say *speaker) {
	l, most := climb(r.Bank), 0
	for _, rung := range l.rungs {
		most = max(most, len(rung))
	}
	l.count(say, most, "in parallel", func(b *bank.Battery) int { return b.Limits.Parallel })
}

// count holds a number of batteries against each type's own limit, once a type.
func (l *ladder) count(say *speaker, have int, how string, limit func(*bank.Battery) int) {
	said := map[string]bool{}
	for _, b := range l.all() {
		if have < 2 || said[b.Type] {
			continue
		}
		said[b.Type] = true
		switch most := limit(b); {
		case most == 0:
			say.pass(b.ID, fmt.Sprintf("%d stand %s; the job does not say how many the maker of %s allows: ask", have, how, b.Type))
		case have > most:
			say.hold(finding.Fault, b.ID, fmt.Sprintf("%d batteries stand %s; the maker of %s allows %d", have, how, b.Type, most),
				"take fewer larger batteries, or batteries made for the voltage", number{value: float64(have), limit: float64(most), unit: "1"}, source.Ref{})
		}
	}
}
