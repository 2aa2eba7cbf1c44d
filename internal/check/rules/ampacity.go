package rules

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// conductorRules are those of cables as such.
var conductorRules = []*Rule{&ampacityTable, &ampacityHeat, &drop, &cutout, &support, &passageFill, &crossing, &bendRadius, &leastConductor, &vesselConductor}

var ampacityTable = Rule{
	ID:       "AMP-01",
	Title:    "A conductor carries more than its table allows",
	Text:     "The largest lasting current is held against the ampacity table of the job's book, with the factors that the table itself asks for. A table keeps a margin of its own; AMP-02 is the same question by heat balance, and the two are never one verdict.",
	Source:   source.Ref{Title: "the ampacity table of the job's book: 33 CFR 183.425 Table 5, or NFPA 70 310.17 in free air", At: "the finding names the one", Edition: "2001, 2023", How: source.Read},
	Severity: finding.Fault,
	Failing:  thinner("8 AWG"),
	Passing:  dcJob,
	check:    checkAmpacityTable,
}

func thinner(size string) string {
	return dcWith("{id: W6, from: P1.2, to: I1.a, size: 2/0 AWG", "{id: W6, from: P1.2, to: I1.a, size: "+size)
}

func checkAmpacityTable(r *report.Report, say *speaker) {
	for i := range r.Side.Lines {
		l := &r.Side.Lines[i]
		row := l.Governing()
		switch {
		case l.Steady.Amps == 0:
		case row == nil:
			say.pass(l.Cable, l.NoTable+"; the heat balance of AMP-02 stands alone")
		case l.Steady.Amps > row.Amps*(1+1e-9):
			say.hold(finding.Fault, l.Cable, fmt.Sprintf("cable %s carries %s %s (%s); %s allows %s%s", l.Cable, amps(l.Steady.Amps), span(l.Steady.Seconds), l.Steady.In, row.Title, amps(row.Amps), factorWords(row)),
				"take a larger size, better insulation, or less current", number{value: l.Steady.Amps, limit: row.Amps, unit: "A"}, row.Ref)
		}
	}
	tellAir(r, say)
}

func factorWords(row *report.TableRow) string {
	words := ""
	for _, f := range row.Factors {
		words += fmt.Sprintf(", %.2f for %s", f.Value, f.Name)
	}
	if words == "" {
		return ""
	}
	return fmt.Sprintf(" (%s%s)", amps(row.Base), words)
}

var ampacityHeat = Rule{
	ID:       "AMP-02",
	Title:    "A conductor gets warmer than its insulation bears",
	Text:     "The heat balance of the cable itself: what its resistance makes at the largest lasting current against what free convection and radiation take away, in the warmest air of the job, alone, bundled or sleeved. On single cables in free air it lies 2 % below to 17 % above published tables, most of which keep a margin.",
	Source:   source.Ref{Title: "heat balance of a cable: Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1049, with radiation", At: "doc/methods.md", Edition: "1975", How: source.Memory},
	Severity: finding.Fault,
	Failing:  thinner("10 AWG"),
	Passing:  dcJob,
	check:    checkAmpacityHeat,
}

func checkAmpacityHeat(r *report.Report, say *speaker) {
	for i := range r.Side.Lines {
		l := &r.Side.Lines[i]
		switch {
		case l.Steady.Amps == 0 || l.NoTable != "" && math.IsNaN(l.Physics) && cableOf(r, l).Size.IsZero():
		case math.IsNaN(l.Physics):
			say.pass(l.Cable, "its heat balance could not be worked out: the air is as warm as its insulation bears, or a size is out of range")
		case l.Steady.Amps > l.Physics*(1+1e-9):
			how := "it does not settle below the melting point"
			if !math.IsInf(l.Warm, 1) {
				how = "its copper comes to " + r.Bank.Show.FormatTemperature(quantity.Temperature(l.Warm))
			}
			say.hold(finding.Fault, l.Cable, fmt.Sprintf("cable %s carries %s (%s) in air of %s: %s, its insulation bears %s%s", l.Cable, amps(l.Steady.Amps), l.Steady.In,
				r.Bank.Show.FormatTemperature(quantity.Temperature(l.Ambient)), how, r.Bank.Show.FormatTemperature(l.Insulation), assumedWords(l.Assumed)),
				"take a larger size, part the bundle, or cool the place", number{value: l.Steady.Amps, limit: l.Physics, unit: "A"}, source.Ref{})
		}
	}
}
