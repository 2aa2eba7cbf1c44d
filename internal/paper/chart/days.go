package chart

import (
	"fmt"

	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// DaysOptions say how a balance of days is drawn.
type DaysOptions struct {
	Width, Height float64 // mm; nil: 240, 297 by 210 with a frame, a phone's for a small sheet
	Title         string
	Month         int // whose weeks are drawn, 0 to 11; below 0 the hardest
	Small         bool
	Frame         *sheet.TitleBlock
}

// daysChart is a balance of days in the making.
type daysChart struct {
	page
	d     *report.Days
	month int
}

// Days draws the state of charge through a typical and a bad week of one month
// over the balance of every month: beside each other what a typical day asks and
// gets and what a bad day does, by load and by source. Items are typical, bad,
// floor, and jan-typical-asks and so on.
func Days(d *report.Days, opt DaysOptions) *sheet.Sheet {
	c := &daysChart{page: newPage(opt.Width, opt.Height, 240, opt.Small, opt.Frame), d: d, month: opt.Month}
	c.s.Title = "Balance of days"
	if t := sheet.Clean(opt.Title); t != "" {
		c.s.Title = t + ", balance of days"
	}
	if d == nil || d.Missing != "" {
		c.heading(c.s.Title)
		c.nothing("There is nothing to draw: the job has no loads of the day.")
		return c.s
	}
	if c.month < 0 || c.month > 11 {
		c.month = report.HardestMonth(d)
	}
	c.s.Description = report.DaysHeading(d)
	if opt.Title != "" || opt.Frame != nil {
		c.heading(c.s.Title, c.s.Description)
	}
	asked, given := c.keys()
	beside, _ := c.narrow()
	foot := []part{c.lines(c.text.fine, beside, 4, sheet.Grey, c.caption())}
	wide := []part{c.legend("asked for, left", asked), c.legend("given, right", given)}
	week, bars := c.boxes(c.feet(wide, foot))
	c.drawWeek(week)
	c.drawMonths(bars, asked, given)
	c.close(bars.Y1+c.axisRoom(), wide, foot)
	return c.s
}

func (c *daysChart) caption() string {
	words := "Of each month the first pair is a typical day, the second a bad one. Given is what loads and bank took of a source, mean of the week."
	if !c.d.HasSun {
		words += " The sun is not known here."
	}
	return words
}

// boxes gives the plots of the week and of the months.
func (c *daysChart) boxes(foot float64) (week, bars sheet.Box) {
	left := ems(4.2, c.text.body)
	head := ems(2.1, c.text.body)
	week = sheet.Box{X0: c.room.X0 + left, X1: c.room.X1 - 2, Y0: c.room.Y0 + head}
	high := 52.0
	if !c.free {
		const least = 20.0 // mm: lower the lines cannot be read
		if room := (c.room.Y1 - foot - week.Y0 - head - 2*c.axisRoom()) / 2; room >= least {
			high = room
		} else {
			high, c.free = least, true // the sheet is made as high as it needs
		}
	}
	week.Y1 = week.Y0 + high
	bars = sheet.Box{X0: week.X0, X1: week.X1, Y0: week.Y1 + c.axisRoom() + head}
	bars.Y1 = bars.Y0 + high
	return week, bars
}

// name sets the words over a plot.
func (c *daysChart) name(box sheet.Box, text string) {
	it := sheet.Item{Layer: sheet.Words}
	it.Text(sheet.Text{At: sheet.Point{X: c.room.X0, Y: box.Y0 - ems(0.9, c.text.body)}, S: sheet.Fit(sheet.Bold, c.text.body, c.room.Width(), text), Size: c.text.body, Font: sheet.Bold, Role: sheet.Ink})
	c.s.Add(it)
}

// drawWeek draws the state of charge through both weeks.
func (c *daysChart) drawWeek(box sheet.Box) {
	m := &c.d.Months[c.month]
	c.name(box, "state of charge through a week of "+report.MonthWords[c.month]+", %")
	lines, words := sheet.Item{Layer: sheet.Cases}, sheet.Item{Layer: sheet.Words}
	y := axis{lo: 0, hi: 1, from: box.Y1, to: box.Y0}
	x := axis{lo: 0, hi: 7, from: box.X0, to: box.X1}
	for _, k := range []int{0, 20, 40, 60, 80, 100} {
		level(&lines, &words, box, y.at(float64(k)/100), fmt.Sprint(k), c.text.fine)
	}
	for day := range 8 {
		lines.Line(sheet.Line(sheet.Faint, sheet.W018), sheet.Point{X: x.at(float64(day)), Y: box.Y0}, sheet.Point{X: x.at(float64(day)), Y: box.Y1})
		if day < 7 {
			words.Text(sheet.Text{At: sheet.Point{X: x.at(float64(day) + 0.5), Y: box.Y1 + ems(1.2, c.text.fine)}, S: fmt.Sprintf("day %d", day+1), Size: c.text.fine, Role: sheet.Ink, Anchor: sheet.Middle})
		}
	}
	c.s.Add(lines, words)
	floor := sheet.Item{ID: "floor", Layer: sheet.Conductors, Name: fmt.Sprintf("floor at %s", percent(c.d.Floor))}
	floor.Line(sheet.Line(sheet.Attention, sheet.W035).Dashed(1.5, 1), sheet.Point{X: box.X0, Y: y.at(c.d.Floor)}, sheet.Point{X: box.X1, Y: y.at(c.d.Floor)})
	c.s.Add(floor)
	for _, k := range []struct {
		id    string
		kind  *report.DayKind
		style sheet.Style
	}{{"typical", &m.Typical, sheet.Line(sheet.Ink, sheet.W050)}, {"bad", &m.Bad, sheet.Line(sheet.Ink, sheet.W050).Dashed(2.4, 1.2)}} {
		var points []sheet.Point
		for n, v := range k.kind.Charge {
			points = append(points, sheet.Point{X: x.at(float64(n) / 24), Y: y.at(v)})
		}
		it := sheet.Item{ID: k.id, Layer: sheet.Conductors, Name: fmt.Sprintf("%s days, from %s to %s, least %s", k.id, percent(k.kind.Charge[0]), percent(k.kind.Charge[len(k.kind.Charge)-1]), percent(k.kind.Least))}
		it.Marks = append(it.Marks, sheet.Polyline(k.style, straighten(points, 0.05)...))
		c.s.Add(it)
	}
	c.lineKey(box)
}

// lineKey says under the plot which line is which.
func (c *daysChart) lineKey(box sheet.Box) {
	it := sheet.Item{Layer: sheet.Words}
	size, y := c.text.fine, box.Y1+ems(2.6, c.text.fine)
	x := box.X0
	for _, one := range []struct {
		style sheet.Style
		words string
	}{{sheet.Line(sheet.Ink, sheet.W050), "typical days"}, {sheet.Line(sheet.Ink, sheet.W050).Dashed(2.4, 1.2), "bad days"}, {sheet.Line(sheet.Attention, sheet.W035).Dashed(1.5, 1), "floor"}} {
		it.Line(one.style, sheet.Point{X: x, Y: y - drop(size)}, sheet.Point{X: x + 8, Y: y - drop(size)})
		it.Text(sheet.Text{At: sheet.Point{X: x + 9, Y: y}, S: one.words, Size: size, Role: sheet.Ink})
		x += 9 + sheet.TextWidth(sheet.Regular, size, one.words) + 4
	}
	c.s.Add(it)
}
