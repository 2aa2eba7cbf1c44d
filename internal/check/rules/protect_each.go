package rules

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

var eachBattery = Rule{
	ID:       "PRO-15",
	Title:    "A large bank lacks a fuse at each battery",
	Text:     "In a battery that fails inside all the others push their current through its own cables, and no main fuse lies on that way. With three or more side by side that is common practice to break with a fuse at each battery, where it passes what the cable bears for a second or what the battery's own protection opens.",
	Source:   source.Ref{Title: "three or more batteries side by side get a fuse each", How: source.Practice},
	Severity: finding.Warning,
	Failing: dcWith("{id: B2, type: block, covered: true}", "{id: B2, type: block, covered: true}\n  - {id: B3, type: block, covered: true}",
		"  - {id: W3, from", "  - {id: W17, from: B2+, to: B3+, size: 2/0 AWG, length: 6 in, insulation: 105 °C, support: 12 in}\n  - {id: W18, from: B2-, to: B3-, size: 2/0 AWG, length: 6 in, insulation: 105 °C, support: 12 in}\n  - {id: W3, from"),
	Passing: dcJob,
	check:   checkEachBattery,
}

// manyBatteries is from how many side by side each should have a fuse. Common
// practice, no source.
const manyBatteries = 3

// faultSecond is the time for which a cable's withstand is told, s.
const faultSecond = 1

// checkEachBattery speaks once, of the battery that comes off worst.
func checkEachBattery(r *report.Report, say *speaker) {
	if wrong, _ := wrongWay(r.Bank); parallelStrings(r) < manyBatteries || len(wrong) > 0 { // POL-01 comes first
		return
	}
	var worst *report.FaultPoint
	var names []string
	for i := range r.Side.Into {
		p := &r.Side.Into[i]
		b := r.Bank.Battery(p.Place)
		if b == nil || !bareToOthers(r, b) {
			continue
		}
		bear, _ := weakestAt(r, b)
		switch trip := chargeTrip(b); {
		case over(p.Most, bear), trip > 0 && over(p.Most, trip):
			names = append(names, p.Place)
			if worst == nil || p.Most > worst.Most {
				worst = p
			}
		case trip == 0 && math.IsInf(bear, 1):
			say.pass(p.Place, fmt.Sprintf("the others push %s into a dead short in it, with no fuse on the way; what its cables bear is not known", amps(p.Most)))
		}
	}
	if worst != nil {
		worstInto(r, say, worst, names)
	}
}

func worstInto(r *report.Report, say *speaker, p *report.FaultPoint, names []string) {
	b := r.Bank.Battery(p.Place)
	bear, cable := weakestAt(r, b)
	words := fmt.Sprintf("the others push %s into a dead short in %s, with no fuse on the way", amps(p.Most), p.Place)
	n := number{value: p.Most, limit: chargeTrip(b), unit: "A"}
	if over(p.Most, bear) {
		words += fmt.Sprintf(": with cable %s, by the shares of the cables at its post, no more than %s is borne for %s", cable, amps(bear), quantity.Format(quantity.Duration(faultSecond), 1))
		n.limit = bear
	} else {
		assumed := ""
		if b.Model.Guard.TripCharge.Origin == source.Assumed {
			assumed = " (assumed)"
		}
		words += fmt.Sprintf(": its own protection opens at %s%s, and what it can break is not told", amps(n.limit), assumed)
	}
	say.hold(finding.Warning, p.Place, words+fmt.Sprintf(" (so for %s)", listed(names)), "put a fuse at each battery", n, source.Ref{})
}

// bareToOthers reports whether copper joins a battery to another one on its
// positive side without a fuse.
func bareToOthers(r *report.Report, b *bank.Battery) bool {
	for _, id := range look(r.Bank, b.Plus(), -1).batteries {
		if id != b.ID && postIn(r, b, id) {
			return true
		}
	}
	return false
}

// postIn reports whether another battery is joined by its positive post, so
// side by side and not in series.
func postIn(r *report.Report, b *bank.Battery, id string) bool {
	return look(r.Bank, b.Plus(), -1).ends[r.Bank.Battery(id).Plus()]
}

// weakestAt gives what may come into a battery until one of the live cables at
// its post bears no more than a second, each with the share that it has in that
// short; +Inf where none is known.
func weakestAt(r *report.Report, b *bank.Battery) (float64, string) {
	least, cable := math.Inf(1), ""
	for k := range r.Bank.Batteries {
		if r.Bank.Batteries[k].ID != b.ID || k >= len(r.Side.IntoFlows) {
			continue
		}
		flows := r.Side.IntoFlows[k]
		for i := range r.Side.Lines {
			l := &r.Side.Lines[i]
			c := cableOf(r, l)
			if !live(l) || c.From != b.Plus() && c.To != b.Plus() {
				continue
			}
			share := flows[l.Index] / r.Side.Into[k].Most
			if a := math.Sqrt(l.Withstand/faultSecond) / share; a < least {
				least, cable = a, l.Cable
			}
		}
	}
	return least, cable
}

// chargeTrip is where a battery's own protection opens against current into
// it, 0 where it has none.
func chargeTrip(b *bank.Battery) float64 {
	if t := b.Model.Guard.TripCharge; b.Model.Guard.Electronic && t.Known() {
		return float64(t.V)
	}
	return 0
}

var oddBattery = Rule{
	ID:       "PRO-20",
	Title:    "A battery lacks the fuse that its neighbours have",
	Text:     "Where some batteries side by side have a fuse each, one that joins the common bar without makes theirs worth less: a short in its lead draws on all of them, and its own current meets no fuse before the bar.",
	Source:   source.Ref{Title: "batteries side by side are fused alike", How: source.Practice},
	Severity: finding.Warning,
	Failing:  eachFused(2, 3),
	Passing:  eachFused(3, 3),
	check:    checkOddBattery,
}

// eachFused is the example with three batteries on a bar of their own, so many
// of them through a fuse at the post.
func eachFused(fused, of int) string {
	batteries, parts, cables := "", "", ""
	for n := 1; n <= of; n++ {
		if n > 2 {
			batteries += fmt.Sprintf("\n  - {id: B%d, type: block, covered: true}", n)
			cables += fmt.Sprintf("  - {id: M%d, from: B%d-, to: B2-, size: 2/0 AWG, length: 6 in, insulation: 105 °C, support: 12 in}\n", n, n)
		}
		from := fmt.Sprintf("B%d+", n)
		if n <= fused {
			parts += fmt.Sprintf("  - {id: G%d, kind: fuse, class: class_t, rating: 200 A, interrupt: 20 kA, volts: 125 V, resistance: 0.1 mΩ}\n", n)
			cables += fmt.Sprintf("  - {id: K%d, from: B%d+, to: G%d.a, size: 2/0 AWG, length: 3 in, insulation: 105 °C, support: 12 in}\n", n, n, n)
			from = fmt.Sprintf("G%d.b", n)
		}
		cables += fmt.Sprintf("  - {id: V%d, from: %s, to: P9.%d, size: 2/0 AWG, length: 3 in, insulation: 105 °C, support: 12 in}\n", n, from, n)
	}
	// Of little resistance, so that its fuse opens in time on an empty bank too.
	return dcWith("    resistance: 5 mΩ\n", "    resistance: 2 mΩ\n", "{id: B2, type: block, covered: true}", "{id: B2, type: block, covered: true}"+batteries,
		"  - {id: H1, kind: frame}", fmt.Sprintf("  - {id: P9, kind: bar, studs: %d, resistance: 0.02 mΩ, rating: 400 A}\n", of+1)+parts+"  - {id: H1, kind: frame}",
		"  - {id: W1, from: B1+, to: B2+, size: 2/0 AWG, length: 6 in, insulation: 105 °C, support: 12 in}\n", cables,
		"from: B1+, to: F1.a", fmt.Sprintf("from: P9.%d, to: F1.a", of+1))
}

func checkOddBattery(r *report.Report, say *speaker) {
	owner := map[string]string{}
	for i := range r.Bank.Batteries {
		if own, _ := ownOf(r, &r.Bank.Batteries[i]); own != "" {
			owner[own] = r.Bank.Batteries[i].ID
		}
	}
	var odd, fused []string
	for i := range r.Bank.Batteries {
		b := &r.Bank.Batteries[i]
		own, around := ownOf(r, b)
		if own != "" || !around.ends[b.Plus()] {
			continue
		}
		var beside []string
		for _, id := range around.guards {
			if o := owner[id]; o != "" && o != b.ID {
				beside = append(beside, o)
			}
		}
		if len(beside) > 0 {
			odd = append(odd, b.ID)
			fused = beside
		}
	}
	if len(odd) > 0 {
		say.find(odd[0], fmt.Sprintf("%s: no fuse of its own on the common copper, while %s beside have one each", listed(odd), listed(fused)), "give each battery a fuse at its post, all alike")
	}
}
