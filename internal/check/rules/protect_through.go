package rules

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/source"
	"bankwright/internal/engine/feed"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// throughRules are those of what devices let pass to the parts on their way,
// and of the main device that is missing.
var throughRules = []*Rule{&letsThrough, &noMainFuse}

var letsThrough = Rule{
	ID:       "PRO-21",
	Title:    "The fuses let more pass for long than a part is made for",
	Text:     "A switch, a contactor, a bar or a shunt has no fuse of its own: what keeps the current within its rating is the device before it, or those behind it together. Where both let more pass than it is made for, one load too many overheats it and nothing opens. The loads of the job themselves are held against it by PRO-16 and SHT-02. Devices side by side count together; of a part in the negative those of the loads that return through it.",
	Source:   source.Ref{Title: "the rating of a part is at least that of the device that feeds it, or of all those behind it", How: source.Practice},
	Severity: finding.Warning,
	Failing:  dcWith("kind: switch, rating: 300 A", "kind: switch, rating: 180 A"),
	Passing:  dcJob,
	check:    checkLetsThrough,
}

// passive reports whether a part carries current and neither protects nor draws.
func passive(k bank.PartKind) bool {
	return k.Opens() || k == bank.Bar || k == bank.Shunt
}

func checkLetsThrough(r *report.Report, say *speaker) {
	ways := batteryWays(r.Bank)
	for i := range r.Bank.Parts {
		p := &r.Bank.Parts[i]
		rated := float64(p.Rated.Current)
		if !passive(p.Kind) || rated == 0 {
			continue // without a rating PRO-16, SHT-02 and BAR-01 list it
		}
		limit := leastCut(r.Bank, ways, loadsThrough(r.Bank, p.ID))
		if over(limit.amps, rated) {
			say.hold(finding.Warning, p.ID, fmt.Sprintf("%s %s is made for %s; %s %s pass for long", p.Kind, p.ID, amps(rated), limit.words(), amps(limit.amps)),
				fmt.Sprintf("take one for at least %s, or a smaller device before it", amps(limit.amps)), number{value: limit.amps, limit: rated, unit: "A"}, source.Ref{})
		}
	}
}

// batteryWays gives by load the ways from batteries to its positive terminal.
func batteryWays(b *bank.Bank) map[string][]feed.Way {
	all := map[string][]feed.Way{}
	for i := range b.Parts {
		if p := &b.Parts[i]; p.Kind.Draws() {
			all[p.ID] = slices.DeleteFunc(feed.WaysTo(b, p.Ends()[0]), func(w feed.Way) bool { return !w.Battery })
		}
	}
	return all
}

// loadsThrough lists the loads that lose a pole of the batteries with a part
// taken out: all their current goes through it.
func loadsThrough(b *bank.Bank, id string) []string {
	with, without := joined(b), joined(b, id)
	var all []string
	for n, pole := range [][]bank.End{polesOf(b, true), polesOf(b, false)} {
		before, after := with.reach(pole...), without.reach(pole...)
		for i := range b.Parts {
			p := &b.Parts[i]
			if !p.Kind.Draws() {
				continue
			}
			if e := p.Ends()[n]; before.has(e) && !after.has(e) && !slices.Contains(all, p.ID) {
				all = append(all, p.ID)
			}
		}
	}
	return all
}

// polesOf lists the posts of one pole of all batteries.
func polesOf(b *bank.Bank, positive bool) []bank.End {
	var all []*bank.Battery
	for i := range b.Batteries {
		all = append(all, &b.Batteries[i])
	}
	return posts(all, positive)
}

// cut is a set of devices that all current of some loads passes.
type cut struct {
	ids  []string
	amps float64 // their ratings together; NaN where there is none
}

func (c *cut) words() string {
	if len(c.ids) == 1 {
		return c.ids[0] + " lets"
	}
	return listed(c.ids) + " together let"
}

// leastCut finds the set of devices with the least rating that all ways to some
// loads pass: the first of each way, the last of each, or one that stands on
// all. NaN where a way has none, a rating is not known, or there are no loads.
func leastCut(b *bank.Bank, ways map[string][]feed.Way, loads []string) cut {
	var first, last, common []string
	add := func(list *[]string, id string) {
		if !slices.Contains(*list, id) {
			*list = append(*list, id)
		}
	}
	begun := false
	for _, id := range loads {
		for _, w := range ways[id] {
			if len(w.Devices) == 0 {
				return cut{amps: math.NaN()} // PRO-01 or PRO-22 speaks of it
			}
			add(&first, w.Devices[0])
			add(&last, w.Devices[len(w.Devices)-1])
			if !begun {
				common, begun = slices.Clone(w.Devices), true
			}
			common = slices.DeleteFunc(common, func(id string) bool { return !slices.Contains(w.Devices, id) })
		}
	}
	best := cut{amps: math.NaN()}
	sets := [][]string{first, last}
	for _, id := range common {
		sets = append(sets, []string{id})
	}
	for _, ids := range sets {
		if sum := ratedTogether(b, ids); !math.IsNaN(sum) && !(sum >= best.amps) {
			best = cut{ids, sum}
		}
	}
	return best
}

// ratedTogether adds up ratings, A; NaN where one is not known or there is none.
func ratedTogether(b *bank.Bank, ids []string) float64 {
	sum := 0.0
	for _, id := range ids {
		one := float64(b.Part(id).Rated.Current)
		if one == 0 {
			return math.NaN() // PRO-14 says so
		}
		sum += one
	}
	if len(ids) == 0 {
		return math.NaN()
	}
	return sum
}
