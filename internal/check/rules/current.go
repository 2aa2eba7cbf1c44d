package rules

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

var batteryCurrent = Rule{
	ID:       "CUR-01",
	Title:    "A battery carries more than its limit",
	Text:     "The current of one battery is compared with the limit that the job gives for it, not with the bank's mean: in an uneven bank one battery passes its limit while the mean is far below. Looked at are the cases of the job, and of the d.c. side every lasting state of its loads, all of them at once among them; in a starting surge the battery's own protection must not open. What the sources push in is SRC-02's.",
	Source:   source.Ref{Title: "the limits of the job itself", How: source.Practice},
	Severity: finding.Fault,
	Failing:  limitJob("180 A"),
	Passing:  limitJob("120 A"),
	snapshot: true,
	check:    checkBatteryCurrent,
}

func checkBatteryCurrent(r *report.Report, say *speaker) {
	if wrong, _ := wrongWay(r.Bank); len(wrong) > 0 {
		return // POL-01 comes first
	}
	for i, s := range r.Sharing.Batteries {
		limits := r.Bank.Batteries[i].Limits
		limit, what := limits.Discharge, "discharge"
		if s.Current < 0 {
			limit, what = limits.Charge, "charge"
		}
		switch {
		case s.Off || s.Current == 0:
		case limit == 0:
			say.pass(s.ID, "the job gives no "+what+" limit")
		case math.Abs(s.Current) > float64(limit)*(1+1e-9): // exactly at the limit it holds
			say.find(s.ID, fmt.Sprintf("battery %s carries %s on %s, over its %s of %s by %.0f %%", s.ID,
				quantity.Format(quantity.Current(math.Abs(s.Current)), 3), what, what+" limit", quantity.Format(limit, 3), (math.Abs(s.Current)/float64(limit)-1)*100),
				currentMend(r))
		}
	}
	if r.Side != nil {
		checkBatteryStates(r, say)
	}
}

// limitJob is two batteries that may give 90 A each, asked for a current.
func limitJob(draw string) string {
	return "bankwright: 1\nbattery_types:\n  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13.2 V, limits: {discharge: 90 A}}\n" +
		"batteries: [{id: B1, type: block}, {id: B2, type: block}]\n" +
		"cables:\n  - {id: W1, from: B1+, to: B2+, resistance: 0.5 mΩ}\n  - {id: W2, from: B1-, to: B2-, resistance: 0.5 mΩ}\n" +
		"takeoff: {positive: B1+, negative: B1-}\ncases: [{id: load, draw: " + draw + "}]\n"
}
