package rules

import (
	"fmt"

	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// mostLugs is the habit's number; data/constants.yaml holds it with its
// source, and a test holds the two together.
const mostLugs = 4

var lugsOnPost = Rule{
	ID:       "LUG-01",
	Title:    "More than four lugs on one post or stud",
	Text:     "Each lug adds a contact in the way of the ones above it, and the thread left over gets short. Split the stack with a bar or another stud.",
	Source:   source.Ref{Title: "FAA AC 43.13-1B", At: "11-174 b; trade habit is the same", Edition: "CHG 1, 2001", How: source.Read},
	Severity: finding.Warning,
	Failing:  starJob(5),
	Passing:  starJob(4),
	snapshot: true,
	check:    checkLugs,
}

func checkLugs(r *report.Report, say *speaker) {
	count := map[bank.End]int{}
	for i := range r.Bank.Cables {
		c := &r.Bank.Cables[i]
		count[c.From]++
		count[c.To]++
	}
	for _, e := range r.Bank.Ends() {
		if n := count[e]; n > mostLugs {
			say.find(e.String(), fmt.Sprintf("%d lugs sit on %s; the habit is at most %d", n, e, mostLugs),
				"lead some of them to another post or a bar")
		}
	}
}

// starJob is the rule's example: batteries each joined to two studs, made here
// so that failing and passing differ in the count alone.
func starJob(n int) string {
	s := "bankwright: 1\nbattery_types:\n  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13.2 V}\nbatteries:\n"
	for i := 1; i <= n; i++ {
		s += fmt.Sprintf("  - {id: B%d, type: block}\n", i)
	}
	s += "parts: [{id: S1, kind: stud}, {id: S2, kind: stud}]\ncables:\n"
	for i := 1; i <= n; i++ {
		s += fmt.Sprintf("  - {id: P%d, from: B%d+, to: S1, resistance: 0.3 mΩ}\n  - {id: N%d, from: B%d-, to: S2, resistance: 0.3 mΩ}\n", i, i, i, i)
	}
	return s + "takeoff: {positive: S1, negative: S2}\ncases: [{id: load, draw: 100 A}]\n"
}
