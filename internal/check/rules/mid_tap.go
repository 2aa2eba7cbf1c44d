package rules

import (
	"fmt"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// midRules are those of what hangs in the middle of a string.
var midRules = []*Rule{&midTap}

var midTap = Rule{
	ID:       "MID-01",
	Title:    "A part of a string is drawn down or charged alone",
	Text:     "Batteries in series carry one current, so they empty and fill together. What hangs between the middle of a string and one of its ends takes from, or gives to, some of them alone: these are empty first, or full first, while the charger of the whole string sees only the sum. The others are then overcharged, the drawn ones never full. Chargers that together reach every battery of the string are left alone.",
	Source:   source.Ref{Title: "batteries in series carry the same current", How: source.Practice},
	Severity: finding.Warning,
	Failing:  midWith("B1+"),
	Passing:  midWith("Q1.b"),
	check:    checkMidTap,
}

// midWith is two batteries in series with a load on a fuse that is taken from
// some end.
func midWith(from string) string {
	return `bankwright: 1
battery_types:
  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13.2 V, limits: {discharge: 100 A, charge: 50 A, trip: 200 A, charge_trip: 100 A, low: 10 V, series: 2, parallel: 1}}
batteries: [{id: B1, type: block, covered: true}, {id: B2, type: block, covered: true}]
parts: [{id: F1, kind: fuse, class: class_t, rating: 100 A, interrupt: 20 kA, volts: 125 V, resistance: 0.3 mΩ}, {id: Q1, kind: switch, rating: 100 A, resistance: 0.1 mΩ}, {id: F2, kind: breaker, rating: 10 A, interrupt: 5 kA, volts: 48 V}, {id: M1, kind: load, current: 5 A, cutout: 22 V}]
cables: [{id: W1, from: B1+, to: B2-, resistance: 0.3 mΩ}, {id: W9, from: B2+, to: F1.a, resistance: 0.3 mΩ}, {id: W8, from: F1.b, to: Q1.a, resistance: 0.3 mΩ}, {id: T1, from: ` + from + `, to: F2.a, size: 12 AWG, length: 5 cm}, {id: T2, from: F2.b, to: M1.a, size: 12 AWG, length: 1 m}, {id: T3, from: M1.b, to: B1-, size: 12 AWG, length: 1 m}]
takeoff: {positive: Q1.b, negative: B1-}
`
}

// midPart is what hangs across a part of the string.
type midPart struct {
	part      *bank.Part
	from, to  int // rungs, to not included
	some, all []string
}

func checkMidTap(r *report.Report, say *speaker) {
	var charging []midPart
	reached := map[int]bool{}
	l := climb(r.Bank)
	for i := range r.Bank.Parts {
		m, ok := l.across(r.Bank, &r.Bank.Parts[i])
		if !ok {
			continue
		}
		if m.part.Kind.Charges() {
			charging = append(charging, m)
			for n := m.from; n < m.to; n++ {
				reached[n] = true
			}
		}
		if m.part.Kind.Draws() {
			m.sayDraws(r, say)
		}
	}
	if len(reached) == len(l.rungs) {
		return
	}
	for _, m := range charging {
		say.find(m.part.ID, fmt.Sprintf("%s charges %s alone%s; nothing of it goes to %s in series with that", m.part.ID, listed(m.some), ofAmps(float64(m.part.Device.Current)), listed(m.all)),
			"charge the whole string, or give each battery of it a charger of its own")
	}
}

// across gives a device that stands across some rungs of the string, from or to
// its middle; ok is false where it does not.
func (l *ladder) across(b *bank.Bank, p *bank.Part) (m midPart, ok bool) {
	if !p.Kind.Device() {
		return m, false
	}
	up, down := l.levels(b, b.Takeoff.Negative, true), l.levels(b, b.Takeoff.Positive, false)
	high, low := l.at[p.Ends()[0]], l.at[p.Ends()[1]]
	middle := func(at int) bool { return up[at] > 0 && down[at] > 0 }
	_, known := up[high]
	_, below := up[low]
	if !known || !below || up[high] <= up[low] || !middle(high) && !middle(low) {
		return m, false
	}
	m = midPart{part: p, from: up[low], to: up[high]}
	for n, rung := range l.rungs {
		for _, one := range rung {
			if n >= m.from && n < m.to {
				m.some = append(m.some, one.ID)
			} else {
				m.all = append(m.all, one.ID)
			}
		}
	}
	return m, len(m.some) > 0 && len(m.all) > 0
}

func (m *midPart) sayDraws(r *report.Report, say *speaker) {
	amperes := 0.0
	for _, l := range r.Side.Loads {
		if l.Part == m.part.ID {
			amperes = l.SteadyAmps
		}
	}
	apart := ""
	if amperes > 0 {
		apart = fmt.Sprintf("; in an hour they are %s apart", quantity.Format(quantity.Charge(3600*amperes), 3))
	}
	say.find(m.part.ID, fmt.Sprintf("%s hangs in the middle of the string: it draws on %s alone%s; nothing of it comes from %s in series with that%s", m.part.ID, listed(m.some), ofAmps(amperes), listed(m.all), apart),
		"feed it from the whole string through a converter to its voltage, or fit an equaliser made for that current")
}

// ofAmps tells a current, "" where it is not known.
func ofAmps(v float64) string {
	if !(v > 0) {
		return ""
	}
	return ", " + amps(v)
}
