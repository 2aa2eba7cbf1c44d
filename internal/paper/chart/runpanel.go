package chart

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// panelKind is one quantity of a run. A value v is shown as v·per + off.
type panelKind struct {
	id, name string
	of       func(*report.BatteryRun) []float64
	decimals int     // of a number that is read off
	least    float64 // span of the axis at least, in the unit shown
}

var kinds = []panelKind{
	{"current", "battery current", func(b *report.BatteryRun) []float64 { return b.Current }, 1, 0.5},
	{"charge", "state of charge", func(b *report.BatteryRun) []float64 { return b.Charge }, 1, 2},
	{"voltage", "voltage at posts and take-off", func(b *report.BatteryRun) []float64 { return b.Voltage }, 2, 0.1},
	{"temperature", "battery temperature", func(b *report.BatteryRun) []float64 { return b.Temperature }, 1, 2},
}

// panel is one quantity over time.
type panel struct {
	kind     panelKind
	unit     string
	per, off float64
	box      sheet.Box
	y        axis // of values as they are in the run
	lo, hi   float64
	lines    []*line
	absent   []string // batteries without a number
}

// line is one curve of a panel.
type line struct {
	series
	id, label, name string
	battery         int // index, -1 for what is none
	style           sheet.Style
	bold            bool
	pieces          [][]sheet.Point
}

// moves is how far a temperature must go for its panel to be drawn, K: what a
// plain sensor tells apart (common practice, no source).
const moves = 0.5

// collectPanel makes the panel of one quantity, unless there is nothing to see.
func (c *runChart) collectPanel(k panelKind) {
	p := &panel{kind: k, per: 1}
	p.inUnit(c)
	moved, any := false, false
	p.lo, p.hi = math.Inf(1), math.Inf(-1)
	take := func(s series) bool {
		lo, hi, ok := s.extremes()
		if ok {
			p.lo, p.hi = min(p.lo, lo), max(p.hi, hi)
			moved, any = moved || hi-lo >= moves, true
		}
		return ok
	}
	var all []series
	for i := range c.r.Batteries {
		s := newSeries(c.r.Time, k.of(&c.r.Batteries[i]))
		all = append(all, s)
		if !take(s) {
			p.absent = append(p.absent, c.ids[i])
		}
	}
	takeoff := newSeries(c.r.Time, c.r.Voltage)
	if k.id == "voltage" && take(takeoff) {
		style := sheet.Line(sheet.Ink, sheet.W070)
		if c.emphasised() >= 0 {
			style.Stroke = sheet.Grey
		}
		p.lines = append(p.lines, &line{series: takeoff, id: "takeoff", label: "take-off", battery: -1, style: style})
	}
	switch {
	case !any:
		if len(c.r.Time) > 0 {
			c.left = append(c.left, k.name+": no number in this run")
		}
		return
	case k.id == "temperature" && !moved:
		c.left = append(c.left, "battery temperature: none moves by "+sheet.Decimal(moves*p.per, 1)+" "+p.unit)
		return
	}
	if len(all) > each {
		c.envelope(p, all)
	} else {
		for i, s := range all {
			if _, _, ok := s.extremes(); ok {
				p.lines = append(p.lines, c.batteryLine(i, s))
			}
		}
	}
	c.say(p)
	c.panels = append(c.panels, p)
}

// inUnit sets the unit in which a panel's numbers are shown.
func (p *panel) inUnit(c *runChart) {
	const ice = 273.15 // K at 0 °C, exact: BIPM SI Brochure, 9th edition 2019, 2.3.1 (from memory)
	switch p.kind.id {
	case "current":
		p.unit = "A"
	case "charge":
		p.unit, p.per = "%", 100
	case "voltage":
		p.unit = "V"
	case "temperature":
		switch c.opt.Show.Temperature {
		case "°F", "degF":
			// Exact: NIST SP 811, 2008, B.8 (from memory).
			p.unit, p.per, p.off = "°F", 1.8, 32-float64(1.8*ice)
		case "K":
			p.unit = "K"
		default:
			p.unit, p.off = "°C", -ice
		}
	}
}

func (p *panel) shown(v float64) float64 { return float64(v*p.per) + p.off }

// value prints a reading without its unit.
func (p *panel) value(v float64) string { return sheet.Decimal(p.shown(v), p.kind.decimals) }

// summary says what a panel shows.
func (p *panel) summary() string {
	return fmt.Sprintf("%s over time, %s to %s %s", p.kind.name, p.value(p.lo), p.value(p.hi), p.unit)
}

// heading is the panel's title.
func (p *panel) heading(c *runChart) string {
	text := p.kind.name + ", " + p.unit
	if c.small {
		text = p.kind.id + ", " + p.unit
	}
	if p.kind.id == "current" && p.lo < 0 {
		text += ", below 0 is charge"
	}
	return sheet.Fit(sheet.Regular, c.text.body, p.box.Width(), text)
}

// lineKinds tell batteries apart, lengths of dash and gap in mm. They are kinds
// 01 continuous, 02 dashed, 07 dotted, 04 long dashed dotted, 03 dashed spaced,
// 08 long dashed short dashed, 05 long dashed double dotted and 11 double
// dashed dotted of ISO 128-2:2022 (names and numbers from memory); the lengths
// are by eye.
var lineKinds = [...][]float64{
	nil,
	{3.2, 1},
	{0.5, 0.8},
	{5, 0.9, 0.6, 0.9},
	{3, 2.4},
	{6, 0.9, 1.6, 0.9},
	{5, 0.9, 0.6, 0.9, 0.6, 0.9},
	{2.4, 0.8, 2.4, 0.8, 0.5, 0.8},
}

// batteryStyle is the line of battery i of n: eight kinds, and of more than
// eight batteries thin ones and then the same in twice the weight.
func batteryStyle(i, n int) sheet.Style {
	weight := sheet.W035
	if n > len(lineKinds) {
		weight = sheet.W025
		if i/len(lineKinds)%2 == 1 {
			weight = sheet.W050
		}
	}
	return sheet.Line(sheet.Ink, weight).Dashed(lineKinds[i%len(lineKinds)]...)
}

func (c *runChart) batteryLine(i int, s series) *line {
	l := &line{series: s, id: c.r.Batteries[i].ID, label: c.ids[i], battery: i, style: c.styleOf(i)}
	l.bold = i == c.emphasised()
	return l
}

// styleOf is a battery's line where one may be pointed out.
func (c *runChart) styleOf(i int) sheet.Style {
	style := batteryStyle(i, len(c.ids))
	switch e := c.emphasised(); {
	case e == i:
		style.Weight *= 2
	case e >= 0:
		style.Stroke = sheet.Grey
	}
	return style
}

// envelope adds the least, the median and the largest of many batteries, and
// the one pointed out.
func (c *runChart) envelope(p *panel, all []series) {
	least, most := extremesOver(all)
	thin, dashed := sheet.Line(sheet.Ink, sheet.W035), sheet.Line(sheet.Ink, sheet.W035).Dashed(lineKinds[1]...)
	if c.emphasised() >= 0 {
		thin.Stroke, dashed.Stroke = sheet.Grey, sheet.Grey
	}
	add := func(s series, id, label string, style sheet.Style) {
		p.lines = append(p.lines, &line{series: s, id: id, label: label, battery: -1, style: style})
	}
	end := least.last()
	add(least, "least", "least "+c.holder(all, end, false), thin)
	add(medianOver(all, c.opt.At), "median", "median", dashed)
	add(most, "most", "most "+c.holder(all, end, true), thin)
	if e := c.emphasised(); e >= 0 {
		if _, _, ok := all[e].extremes(); ok {
			p.lines = append(p.lines, c.batteryLine(e, all[e]))
		}
	}
}

// holder names the battery with the least or the largest value of a sample.
func (c *runChart) holder(all []series, sample int, largest bool) string {
	best := -1
	for i, s := range all {
		if sample < 0 || sample >= len(s.value) || !s.has(sample) {
			continue
		}
		if v := s.value[sample]; best < 0 || largest && v > all[best].value[sample] || !largest && v < all[best].value[sample] {
			best = i
		}
	}
	if best < 0 {
		return ""
	}
	return c.ids[best]
}

// longest gives the times of the longest of some series.
func longest(all []series) []float64 {
	return slices.MaxFunc(all, func(a, b series) int { return len(a.time) - len(b.time) }).time
}

// extremesOver gives the least and the largest over series at every sample,
// NaN where none has a number.
func extremesOver(all []series) (least, most series) {
	time := longest(all)
	lo, hi := make([]float64, len(time)), make([]float64, len(time))
	for k := range time {
		lo[k], hi[k] = math.NaN(), math.NaN()
	}
	for _, s := range all {
		for k, v := range s.value {
			if !s.has(k) {
				continue
			}
			if !(lo[k] <= v) {
				lo[k] = v
			}
			if !(hi[k] >= v) {
				hi[k] = v
			}
		}
	}
	return series{time, lo}, series{time, hi}
}

// medianOver gives the median over series at some samples, spread evenly where
// there are more than a drawing can show, with the last and with those beside a
// time that is to be read off.
func medianOver(all []series, read float64) series {
	const most = 1500
	time := longest(all)
	if len(time) == 0 {
		return series{}
	}
	stride := (len(time) + most - 1) / most
	beside, _ := slices.BinarySearch(time, read)
	samples := []int{max(0, beside-1), min(beside, len(time)-1), len(time) - 1}
	for k := 0; k < len(time); k += stride {
		samples = append(samples, k)
	}
	slices.Sort(samples)
	var s series
	var row []float64
	for _, k := range slices.Compact(samples) {
		row = row[:0]
		for _, one := range all {
			if k < len(one.value) && one.has(k) {
				row = append(row, one.value[k])
			}
		}
		s.time, s.value = append(s.time, time[k]), append(s.value, middle(row))
	}
	return s
}

// middle gives the median, NaN of nothing. It sorts its argument.
func middle(v []float64) float64 {
	if len(v) == 0 {
		return math.NaN()
	}
	slices.Sort(v)
	half := len(v) / 2
	if len(v)%2 == 1 {
		return v[half]
	}
	return (v[half-1] + v[half]) / 2
}

// say names the lines of a panel for those who cannot see them.
func (c *runChart) say(p *panel) {
	for _, l := range p.lines {
		who := l.label
		if l.battery >= 0 {
			who = "battery " + l.label
		}
		lo, hi, _ := l.extremes()
		l.name = fmt.Sprintf("%s, %s %s to %s %s, at the end %s", who, p.kind.id, p.value(lo), p.value(hi), p.unit, p.value(l.value[l.last()]))
		if c.marked {
			l.name += fmt.Sprintf(", at %s %s", clock(c.opt.At), p.value(l.at(c.opt.At)))
		}
	}
}

// scale sets the axis of values for the plot's height.
func (p *panel) scale(text float64) {
	const pad, share = 0.06, 0.005 // of the span; of the size of the numbers, for the least span
	lo, hi := p.shown(p.lo), p.shown(p.hi)
	if p.kind.id == "current" && lo > 0 && lo < 0.4*hi {
		lo = 0 // so near to nil that nil belongs in the picture
	}
	if short := max(p.kind.least, share*max(math.Abs(lo), math.Abs(hi))) - (hi - lo); short > 0 {
		lo, hi = lo-short/2, hi+short/2
	}
	if p.kind.id == "charge" && hi-lo >= 30 {
		lo, hi = min(0, lo), max(100, hi)
	}
	room := float64(pad * (hi - lo))
	lo, hi = lo-room, hi+room
	p.y = axis{lo: (lo - p.off) / p.per, hi: (hi - p.off) / p.per, from: p.box.Y1, to: p.box.Y0}
	p.y.ticks = linearTicks(lo, hi, max(2, int(p.box.Height()/(1.7*text))), "")
	for i := range p.y.ticks {
		p.y.ticks[i].at = (p.y.ticks[i].at - p.off) / p.per
	}
}
