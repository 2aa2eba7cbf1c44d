package chart

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// share is one segment of every bar: what it is and how much of a kind of day.
type share struct {
	name string
	of   func(k *report.DayKind) float64 // J a day
	fill int
}

// keys are the segments of both bars: the loads that ask most by name, the rest
// together, what inverters and cables lose; and each source.
func (c *daysChart) keys() (asked, given []share) {
	const most = 3 // loads by name; more cannot be told apart in a narrow bar
	order := make([]int, len(c.d.Loads))
	for n := range order {
		order[n] = n
	}
	size := func(n int) float64 {
		sum := 0.0
		for m := range c.d.Months {
			sum += c.d.Months[m].Typical.ByLoad[n] + c.d.Months[m].Bad.ByLoad[n]
		}
		return sum
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch d := size(b) - size(a); {
		case d > 0:
			return 1
		case d < 0:
			return -1
		}
		return 0
	})
	for i, n := range order {
		if i == most && len(order) > most+1 {
			rest := order[i:]
			asked = append(asked, share{fmt.Sprintf("%d more loads", len(rest)), func(k *report.DayKind) float64 {
				sum := 0.0
				for _, n := range rest {
					sum += k.ByLoad[n]
				}
				return sum
			}, i})
			break
		}
		asked = append(asked, share{sheet.Clean(c.d.Loads[n].Name), func(k *report.DayKind) float64 { return k.ByLoad[n] }, i})
	}
	asked = append(asked, share{"inverters and cables", func(k *report.DayKind) float64 { return k.Inverters + k.Idle + k.Wiring }, 5})
	for n := range c.d.Sources {
		s := &c.d.Sources[n]
		given = append(given, share{sheet.Clean(s.ID) + ", " + string(s.Kind), func(k *report.DayKind) float64 { return k.Given[n] }, n % 6})
	}
	return asked, given
}

// paint draws a segment: six fills that can be told apart without colour.
func paint(it *sheet.Item, box sheet.Box, fill int) {
	thin := sheet.Line(sheet.Ink, sheet.W018)
	switch fill % 6 {
	case 0:
		it.Rect(sheet.Filled(sheet.Ink).On(sheet.Ink), box)
	case 1:
		it.Rect(thin.On(sheet.Faint), box)
	case 2:
		it.Rect(thin.On(sheet.Paper), box)
		hatch(it, thin, box, 1.5)
	case 3:
		it.Rect(thin.On(sheet.Grey), box)
	case 4:
		it.Rect(thin.On(sheet.Paper), box)
	case 5:
		it.Rect(thin.On(sheet.Paper), box)
		hatch(it, thin, box, 0.6)
	}
}

// hatch adds the slanting lines that fall into a box, if any do.
func hatch(it *sheet.Item, style sheet.Style, box sheet.Box, apart float64) {
	if lines := sheet.Hatch(style, box, apart); len(lines.Pieces) > 0 {
		it.Marks = append(it.Marks, lines)
	}
}

// legend makes a row, or rows, of swatches with what they are.
func (c *daysChart) legend(title string, all []share) part {
	if len(all) == 0 {
		return part{}
	}
	size := c.text.fine
	type placed struct {
		x, y float64
		text string
		fill int
	}
	x, y := sheet.TextWidth(sheet.Regular, size, title+":")+3, ems(leading, size)
	list := []placed{{0, y, title + ":", -1}}
	for _, s := range all {
		text := sheet.Fit(sheet.Regular, size, c.room.Width()-10, s.name)
		wide := 5 + sheet.TextWidth(sheet.Regular, size, text)
		if x+wide > c.room.Width() {
			x, y = 3, y+ems(leading, size)
		}
		list = append(list, placed{x, y, text, s.fill})
		x += wide + 4
	}
	return part{y, func(at sheet.Point) {
		it := sheet.Item{Layer: sheet.Words}
		for _, p := range list {
			to := sheet.Point{X: at.X + p.x, Y: at.Y + p.y - ems(0.4, size)}
			if p.fill >= 0 {
				paint(&it, sheet.Box{X0: to.X, X1: to.X + 4, Y0: to.Y - ems(0.75, size), Y1: to.Y + ems(0.05, size)}, p.fill)
				to.X += 5
			}
			it.Text(sheet.Text{At: to, S: p.text, Size: size, Role: sheet.Ink})
		}
		c.s.Add(it)
	}}
}

// drawMonths draws four bars a month: asked and given on typical and bad days.
func (c *daysChart) drawMonths(box sheet.Box, asked, given []share) {
	const wattHour = 3600.0
	c.name(box, "watt hours a day by month: typical, then bad")
	most := 1.0
	sum := func(all []share, k *report.DayKind) float64 {
		total := 0.0
		for _, s := range all {
			total += s.of(k)
		}
		return total
	}
	for m := range c.d.Months {
		for _, k := range []*report.DayKind{&c.d.Months[m].Typical, &c.d.Months[m].Bad} {
			most = math.Max(most, math.Max(sum(asked, k), sum(given, k))/wattHour)
		}
	}
	y := axis{lo: 0, hi: most * 1.04, from: box.Y1, to: box.Y0}
	lines, words := sheet.Item{Layer: sheet.Walls}, sheet.Item{Layer: sheet.Words}
	for _, t := range linearTicks(0, y.hi, max(2, int(box.Height()/(3*c.text.fine))), "") {
		level(&lines, &words, box, y.at(t.at), t.label, c.text.fine)
	}
	step := box.Width() / 12
	for m := range c.d.Months {
		left := box.X0 + float64(step*float64(m))
		words.Text(sheet.Text{At: sheet.Point{X: left + step/2, Y: box.Y1 + ems(1.2, c.text.fine)}, S: report.MonthWords[m][:3], Size: c.text.fine, Role: sheet.Ink, Anchor: sheet.Middle})
		for i, k := range []struct {
			id   string
			kind *report.DayKind
		}{{"typical", &c.d.Months[m].Typical}, {"bad", &c.d.Months[m].Bad}} {
			for n, side := range []struct {
				id  string
				all []share
			}{{"asks", asked}, {"gets", given}} {
				slot := left + float64(step*(0.08+float64(0.44*float64(i))+float64(0.19*float64(n))))
				it := sheet.Item{ID: fmt.Sprintf("%s-%s-%s", report.MonthWords[m][:3], k.id, side.id), Layer: sheet.Cases,
					Name: fmt.Sprintf("%s, a %s day %s %s Wh", report.MonthWords[m], k.id, side.id, sheet.Decimal(sum(side.all, k.kind)/wattHour, 0))}
				stack(&it, sheet.Box{X0: slot, X1: slot + float64(0.17*step)}, &y, side.all, k.kind)
				c.s.Add(it)
			}
		}
	}
	c.s.Add(lines, words)
}

// stack draws one bar from its foot up.
func stack(it *sheet.Item, box sheet.Box, y *axis, all []share, k *report.DayKind) {
	const wattHour, thinnest = 3600.0, 0.05 // mm: thinner than any line
	from := 0.0
	for _, s := range all {
		to := from + s.of(k)/wattHour
		box.Y0, box.Y1 = y.at(to), y.at(from)
		if box.Height() > thinnest {
			paint(it, box, s.fill)
		}
		from = to
	}
}
