package rules

import (
	"strings"

	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

var outsideTool = Rule{
	ID:       "OUT-01",
	Title:    "What lies outside this tool",
	Text:     "Everything here ends at the d.c. terminals. The mains inlet, cables and breakers on the mains side, residual-current protection, where neutral and earth are joined and what happens to that joint when an inverter takes over, generators, the panels of a solar array and their own wiring, and the engine side of an alternator are not looked at by any rule.",
	Source:   source.Ref{Title: "the scope of this tool", How: source.Practice},
	Severity: finding.Note,
	Failing:  dcJob,
	Passing:  dcWith("kind: inverter, power: 1 kW, surge: 1.7 kW, surge_for: 5 s, efficiency: 88 %, cutout: 10.5 V}", "kind: load, power: 1 kW, surge: 1.7 kW, surge_for: 5 s, cutout: 10.5 V}", "kind: charger,", "kind: solar,"),
	check:    checkOutsideTool,
}

func checkOutsideTool(r *report.Report, say *speaker) {
	var mains []string
	for i := range r.Bank.Parts {
		if p := &r.Bank.Parts[i]; p.Kind == bank.Inverter || p.Kind == bank.InverterCharger || p.Kind == bank.Charger {
			mains = append(mains, p.ID)
		}
	}
	if len(mains) == 0 {
		return
	}
	say.find(mains[0], "not looked at here: the mains side of "+strings.Join(mains, ", ")+" (inlet, cables, breakers, residual-current protection), the joint of neutral and earth, earthing, a generator",
		"have the mains side made and tested by someone who is allowed to")
}
