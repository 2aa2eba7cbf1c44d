package rules

import (
	"fmt"
	"slices"

	"bankwright/internal/base/source"
	"bankwright/internal/engine/feed"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// negativeSwitch speaks of loads that switches take off in the negative alone;
// those that go round every switch are left out.
func negativeSwitch(r *report.Report, say *speaker, loads, round []string) {
	open := feed.Islands(r.Bank, func(p *bank.Part) bool { return p.Kind.Opens() })
	plus, minus := map[int]bool{}, map[int]bool{}
	for i := range r.Bank.Batteries {
		b := &r.Bank.Batteries[i]
		plus[open[b.Plus()]], minus[open[b.Minus()]] = true, true
	}
	var live []string
	for _, id := range loads {
		ends := r.Bank.Part(id).Ends()
		if plus[open[ends[0]]] && !minus[open[ends[1]]] && !slices.Contains(round, id) {
			live = append(live, id)
		}
	}
	if len(live) == 0 {
		return
	}
	m := feed.New(r.Bank)
	var switches []string
	for i := range r.Bank.Parts {
		if p := &r.Bank.Parts[i]; p.Kind.Opens() && m.SideOf(p.Ends()[1]) == feed.Negative {
			switches = append(switches, p.ID)
		}
	}
	words := fmt.Sprintf("%s: the only switch before %s stands in the negative: the positive stays live with it open", listed(switches), listed(live))
	severity := finding.Warning
	for _, id := range kindsOf(r.Bank, bank.Frame) {
		if minus[open[bank.End{ID: id}]] {
			severity = finding.Fault
			words += fmt.Sprintf(", and the frame %s hangs on the batteries' side of it: a positive that chafes on metal is fed all the same", id)
			break
		}
	}
	say.hold(severity, switches[0], words, "put the switch into the positive way right behind the main fuse", number{}, source.Ref{})
}
