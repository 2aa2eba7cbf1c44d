package rules

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/feed"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// leastGap is how far a live post stands from lid, wall and what is negative,
// m: the inch that a held battery may still move in the pull test.
const leastGap = 25.4e-3

var apart = Rule{
	ID:       "APT-01",
	Title:    "A live post close to the lid, a wall or something negative",
	Text:     "A battery that is held may still move an inch in the pull test, and metal must not come to touch its live terminal. So an open live post keeps an inch from the lid, the walls and from whatever is negative; lug, bolt and thumb need height beside that. The job does not say what lid and walls are made of: of wood or plastic they matter less. With covers it is a note.",
	Source:   source.Ref{Title: "33 CFR 183.420(a) and (b)", At: "a battery moves 1 in at most; metal cannot contact its ungrounded terminals. The distance is drawn from the two", Edition: "2001", How: source.Derived},
	Severity: finding.Warning,
	Failing:  strings.Replace(bareWith("height: 12 in}}]", "height: 8.8 in}}]"), ", covered: true", "", 1),
	Passing:  bareJob,
	check:    checkApart,
}

func checkApart(r *report.Report, say *speaker) {
	m := feed.New(r.Bank)
	var lost []string
	for i := range r.Bank.Batteries {
		b := &r.Bank.Batteries[i]
		for _, e := range livePosts(m, b) {
			at, ok := r.Bank.Locate(e)
			if !ok {
				lost = append(lost, e.String())
				continue
			}
			gap, what := nearestTo(r, m, b, at)
			if !(gap < leastGap*(1-1e-9)) {
				continue
			}
			severity, mend := finding.Warning, "turn or move the battery, or cover the post and line what is near"
			if b.Covered {
				severity, mend = finding.Note, "see that the cover cannot come off or wear through"
			}
			say.hold(severity, e.String(), fmt.Sprintf("live post %s stands %s from %s, less than %s", e, r.Bank.Show.FormatLength(quantity.Length(gap)), what, r.Bank.Show.FormatLength(leastGap)),
				mend, number{value: gap, limit: leastGap, unit: "m", least: true}, source.Ref{})
		}
	}
	if len(lost) > 0 {
		say.pass(lost[0], "the job does not say where these live posts are: "+strings.Join(lost, ", "))
	}
}

// nearestTo gives what stands nearest to a live post of a battery: lid and walls
// of its compartment, and ends on the negative side but the battery's own.
func nearestTo(r *report.Report, m *feed.Map, b *bank.Battery, at bank.Point) (gap float64, what string) {
	gap = math.Inf(1)
	take := func(d float64, name string) {
		if d < gap {
			gap, what = d, name
		}
	}
	for _, c := range r.Bank.Compartments {
		if !c.Box.Contains(b.Body.Box()) {
			continue
		}
		take(c.Box.Max.Z-at.Z, "the lid of "+c.ID)
		take(min(at.X-c.Box.Min.X, c.Box.Max.X-at.X, at.Y-c.Box.Min.Y, c.Box.Max.Y-at.Y), "a wall of "+c.ID)
	}
	for _, e := range r.Bank.Ends() {
		if p, ok := r.Bank.Locate(e); ok && e.ID != b.ID && negativeEnd(r, m, e) {
			take(math.Hypot(math.Hypot(p.X-at.X, p.Y-at.Y), p.Z-at.Z), e.String())
		}
	}
	return gap, what
}

// negativeEnd reports whether an end is on the negative side or the frame.
func negativeEnd(r *report.Report, m *feed.Map, e bank.End) bool {
	p := r.Bank.Part(e.ID)
	return m.SideOf(e) == feed.Negative || p != nil && p.Kind == bank.Frame
}
