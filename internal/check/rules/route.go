package rules

import (
	"fmt"

	"bankwright/internal/base/source"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

var routeClose = Rule{
	ID:       "RTE-01",
	Title:    "A cable runs nearer to a case or wall than the clearance asked for",
	Text:     "Where the space leaves no other way, a cable is laid nearer than the job's clearance, still outside every case. What rubs on the road wears through.",
	Source:   source.Ref{Title: "the clearance of the job itself", How: source.Practice},
	Severity: finding.Warning,
	Failing:  gapJob("20 mm"),
	Passing:  gapJob("5 mm"),
	snapshot: true,
	check:    checkRouteClose,
}

func checkRouteClose(r *report.Report, say *speaker) {
	for _, route := range r.Routes {
		if route.Close {
			say.find(route.Cable, fmt.Sprintf("cable %s runs nearer to a case or wall than %s", route.Cable, r.Bank.Show.FormatLength(r.Bank.Routing.Clearance.V)),
				"make room, sleeve it, or lower routing: clearance")
		}
	}
}

// gapJob leaves 41 mm under the lid above the posts' rise.
func gapJob(clearance string) string {
	return "bankwright: 1\nbattery_types:\n  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13.2 V, size: {length: 300 mm, width: 170 mm, height: 200 mm}, posts: {positive: [30 mm, 30 mm], negative: [270 mm, 30 mm]}}\n" +
		"batteries: [{id: B1, type: block, at: [30 mm, 30 mm, 0 mm]}, {id: B2, type: block, at: [30 mm, 230 mm, 0 mm]}]\n" +
		"compartments: [{id: bay, at: [0 mm, 0 mm, 0 mm], size: {length: 360 mm, width: 430 mm, height: 241 mm}}]\n" +
		"routing: {rise: 20 mm, clearance: " + clearance + "}\n" +
		"cables:\n  - {id: W1, from: B1+, to: B2+, size: 35 mm2}\n  - {id: W2, from: B1-, to: B2-, size: 35 mm2}\n" +
		"takeoff: {positive: B1+, negative: B1-}\ncases: [{id: load, draw: 100 A}]\n"
}
