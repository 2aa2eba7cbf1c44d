package web

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// describe fills what stands beside the drawing of the chosen wiring.
func (p *wiringsPage) describe(a *answer, picked *report.Wiring) {
	if a.report != nil {
		p.Assumed = a.report.Assumed
	}
	if picked != nil {
		p.Assumed = a.wirings.Assumed
	}
	if picked != nil {
		p.describeWiring(a, picked)
		return
	}
	if a.report == nil {
		if a.why != nil && len(a.job.Bank.Cables) > 0 {
			p.Notes = append(p.Notes, "no currents: "+a.why.Error())
		}
		return
	}
	p.describeOwn(a)
}

// describeOwn shows the job as it stands, with its own cables and bars.
func (p *wiringsPage) describeOwn(a *answer) {
	s, b := &a.report.Sharing, a.job.Bank
	p.Caption = "yours: " + unevenWords(s.Imbalance) + ", " + quantity.FormatFixed(s.Loss, 1) + " W"
	p.Facts = []fact{{"take-off", quantity.FormatFixed(s.Voltage, 3) + " V at " + quantity.FormatFixed(s.Current, 1) + " A"}, {"bank resistance", quantity.Format(quantity.Resistance(s.Resistance), 3)},
		{"loss, all", quantity.FormatFixed(s.Loss, 1) + " W"}, {"loss in wiring", quantity.FormatFixed(s.WiringLoss, 1) + " W"}}
	for _, one := range s.Batteries {
		p.Batteries = append(p.Batteries, batteryRow{one.ID, quantity.FormatFixed(one.Current, 2) + " A", quantity.FormatFixed(one.Share, 3)})
	}
	for i, c := range s.Cables {
		cable := &b.Cables[i]
		length := "–"
		if cable.Length.Known() {
			length = b.Show.FormatLength(cable.Length.V) + ", " + string(cable.Length.Origin)
		}
		p.Cables = append(p.Cables, cableRow{c.ID, c.From.String(), c.To.String(), sizeWords(cable), length, quantity.FormatFixed(math.Abs(c.Current), 1) + " A"})
	}
	p.Findings = a.report.Findings
	for _, u := range a.report.Unchecked {
		p.Unchecked = append(p.Unchecked, fmt.Sprintf("%s at %s: %s", u.Rule, u.Place, u.Why))
	}
}

func sizeWords(c *bank.Cable) string {
	if c.Size.IsZero() {
		return "–"
	}
	return c.Size.String()
}

func unevenWords(v float64) string {
	if math.IsNaN(v) {
		return "no load"
	}
	return quantity.FormatPercent(v) + " uneven"
}

// describeWiring shows a wiring of the search.
func (p *wiringsPage) describeWiring(a *answer, one *report.Wiring) {
	w, show := a.wirings, a.job.Bank.Show
	p.Caption = fmt.Sprintf("%s: %s, %s, %s W", nameOf(a, one), show.FormatLength(quantity.Length(one.Copper)), unevenWords(one.Imbalance), quantity.FormatFixed(one.Loss, 1))
	p.Facts = []fact{{"take-off", fmt.Sprintf("%s V at %s and %s", quantity.FormatFixed(one.TakeoffVoltage, 3), one.Takeoff.Positive, one.Takeoff.Negative)},
		{"loss in wiring", quantity.FormatFixed(one.WiringLoss, 1) + " W"},
		{"cables", fmt.Sprintf("%d in %d lengths, longest %s", one.Cables, one.Distinct, show.FormatLength(quantity.Length(one.Longest)))},
		{"most lugs", fmt.Sprintf("%d on %s", one.FullestPost, one.FullestAt)}}
	if one.OneOutString >= 0 {
		p.Facts = append(p.Facts, fact{"one out", fmt.Sprintf("worst %s above the rest's mean, when %s is out", quantity.FormatPercent(one.OneOutShare-1), w.Strings[one.OneOutString].ID)})
	}
	if one.Ties > 1 {
		p.Facts = append(p.Facts, fact{"equal wirings", fmt.Sprintf("%d, this one first by name", one.Ties)})
	}
	for i, s := range w.Strings {
		p.Batteries = append(p.Batteries, batteryRow{s.ID, quantity.FormatFixed(one.Currents[i], 2) + " A", quantity.FormatFixed(one.Shares[i], 3)})
	}
	q := a.job.Bank.Question
	p.pairs(a, "positive", one.Positive, one.PositiveFlows, q.Positive)
	p.pairs(a, "negative", one.Negative, one.NegativeFlows, q.Negative)
}

// nameOf is how the table names a wiring.
func nameOf(a *answer, one *report.Wiring) string {
	for i := range a.wirings.Front {
		if &a.wirings.Front[i] == one {
			return fmt.Sprintf("wiring %d", i+1)
		}
	}
	return one.Name
}

func (p *wiringsPage) pairs(a *answer, rail string, pairs [][2]bank.End, flows []float64, size quantity.Size) {
	for i, pair := range pairs {
		for _, l := range a.wirings.Lengths {
			if l.Rail == rail && l.From == pair[0] && l.To == pair[1] {
				p.Cables = append(p.Cables, cableRow{fmt.Sprintf("%s %d", rail, i+1), l.From.String(), l.To.String(), size.String(), a.job.Bank.Show.FormatLength(quantity.Length(l.Length)) + ", " + string(l.Origin), quantity.FormatFixed(math.Abs(flows[i]), 1) + " A"})
			}
		}
	}
}
