package chart

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// RunOptions say how a run is drawn.
type RunOptions struct {
	// Width and Height are those of the sheet in mm. A width of nil is 240, 297
	// with a frame, or that of a phone of 360 pixels for a small sheet. A height
	// of nil is what the drawing needs, 210 with a frame. A size with too little
	// room is raised to the least that has.
	Width, Height float64
	Show          quantity.Show // the scale of temperatures
	Title         string        // over the drawing; none if empty
	Small         bool          // for a phone: larger text, everything in one column
	// Frame, if set, draws frame and title block; an empty scale says none.
	Frame *sheet.TitleBlock
	// At is a time of the run in s at which a line is drawn through all panels
	// and every value is read off, NaN for none. A time outside the run counts
	// as the nearest in it.
	At        float64
	Emphasise string // ID of a battery to be drawn heavier, the others in grey
}

// each is the number of batteries up to which every one has its line.
const each = 16

// runChart is a run in the making.
type runChart struct {
	page
	r      *report.Run
	opt    RunOptions
	ids    []string // of the batteries, clean
	panels []*panel
	steps  []report.RunStep // those with a place in time
	events []event
	left   []string // what is not drawn and why
	x      axis
	marked bool // a time is marked
}

// Run draws a bank through time: four panels over one axis of time with the
// currents of the batteries, their states of charge, the voltages at the
// take-off and at the batteries' posts, and the temperatures in the reader's
// scale. The last panel is left out where no temperature moves by half a
// kelvin, any panel without a number likewise; the foot says so. Batteries are
// told apart by the kind and weight of their lines and by a label at the right
// end of each; lines that end together share one. Of more than 16 batteries
// the least, the median and the largest value are drawn, the extremes with the
// battery that holds them at the end.
//
// Over the panels stand a strip with the cases and numbered balloons of the
// events, round ones and, where a protection tripped, square ones; the foot
// lists them. Items are batteries by ID, "takeoff", "least", "median" and
// "most", "event1" and so on, "step1" and so on of the cases, "at" of the
// marked time, and "panel-current", "panel-charge", "panel-voltage" and
// "panel-temperature", whose frame spans [RunSpan] from left to right.
//
// Long runs are thinned to what the drawing can show: no least or largest
// value of a column of the paper is lost, and the sheet stays small. A run
// that is nil or has no number to draw gives a sheet that says so.
func Run(r *report.Run, opt RunOptions) *sheet.Sheet {
	c := newRunChart(r, opt)
	c.collect()
	c.s.Title, c.s.Description = c.title(), c.describe()
	c.heading(opt.Title, c.outcome()...)
	if len(c.panels) == 0 {
		c.nothing("Nothing to draw: the run has no samples. Give a case a time or a current, and run it.")
		return c.s
	}
	wide, beside := c.layout()
	c.axes()
	c.strip()
	c.curves()
	c.balloons()
	if c.marked {
		c.hairline()
	}
	c.close(c.bottom().Y1+c.axisRoom(), wide, beside)
	return c.s
}

// RunSpan gives the first and the last time that the drawing of a run spans,
// s: those of its samples, cases and events. Without any it is 0 to 1; a run
// of one instant spans a second from there.
func RunSpan(r *report.Run) (first, last float64) {
	first, last = math.Inf(1), math.Inf(-1)
	take := func(t float64) {
		if counts(t) {
			first, last = min(first, t), max(last, t)
		}
	}
	if r != nil {
		for _, t := range r.Time {
			take(t)
		}
		for _, s := range r.Steps {
			take(s.Start)
			take(s.End)
		}
		for _, e := range r.Events {
			take(e.Time)
		}
	}
	if first > last {
		return 0, 1
	}
	if last == first {
		last = first + max(1, math.Abs(first)*1e-6)
	}
	return first, last
}

func newRunChart(r *report.Run, opt RunOptions) *runChart {
	if r == nil {
		r = &report.Run{}
	}
	c := &runChart{r: r, opt: opt, page: newPage(opt.Width, opt.Height, 240, opt.Small, opt.Frame)}
	c.x.lo, c.x.hi = RunSpan(r)
	if c.marked = counts(opt.At); c.marked {
		c.opt.At = min(max(opt.At, c.x.lo), c.x.hi)
	}
	for i := range r.Batteries {
		id := sheet.Clean(r.Batteries[i].ID)
		if id == "" {
			id = fmt.Sprintf("battery %d", i+1)
		}
		c.ids = append(c.ids, id)
	}
	return c
}

// collect takes what can be drawn of the run.
func (c *runChart) collect() {
	for _, s := range c.r.Steps {
		if counts(s.Start) && counts(s.End) && s.End >= s.Start {
			c.steps = append(c.steps, s)
		}
	}
	c.collectEvents()
	for _, k := range kinds {
		c.collectPanel(k)
	}
}

func (c *runChart) title() string {
	if t := sheet.Clean(c.opt.Title); t != "" {
		return t
	}
	if id := sheet.Clean(c.r.ID); id != "" {
		return "Run of " + id
	}
	return "Run"
}

// outcome says how the run went, in sentences.
func (c *runChart) outcome() []string {
	if len(c.panels) == 0 {
		return nil
	}
	text := clock(c.x.hi-c.x.lo) + " in all"
	if len(c.r.Time) == 1 && len(c.steps) == 0 {
		text = "one instant"
	}
	if why := sheet.Clean(c.r.Ended); why != "" {
		text += ", ended: " + why
	}
	if counts(c.r.FirstOut) && c.r.FirstOut > 0 {
		text += fmt.Sprintf("; %s delivered until the first battery was out", ampHours(c.r.FirstOut))
		if counts(c.r.BankOut) && c.r.BankOut > 0 {
			text += fmt.Sprintf(", %s until the bank was", ampHours(c.r.BankOut))
		}
	}
	return []string{text}
}

func ampHours(coulomb float64) string { return figures(coulomb/hour) + " Ah" }

func (c *runChart) describe() string {
	text := fmt.Sprintf("%d batteries through time, %d events.", len(c.ids), len(c.events))
	for _, p := range c.panels {
		text += " " + p.summary() + "."
	}
	return text
}

// Rows above and below the panels, in ems of the body text.
const (
	handleRow  = 1.8 // the marked time
	stripRow   = 1.9 // the cases
	balloonRow = 2.1
	bandRow    = 1.9 // a panel's title
	tickRow    = 1.5 // the times
	axisRow    = 1.5 // what the axis is
)

// headRoom is the height between heading and first panel's band.
func (c *runChart) headRoom() float64 {
	rows := 0.0
	if c.marked {
		rows += handleRow
	}
	if len(c.steps) > 0 {
		rows += stripRow
	}
	if len(c.events) > 0 {
		rows += balloonRow
	}
	return ems(rows, c.text.body) + 1.6
}

// Heights of a panel's plot, mm: the least that can be read, and what it gets
// where the height is free. The currents get more than the others.
const (
	leastPlot  = 13.0
	usualPlot  = 29.0
	phonePlot  = 32.0
	firstPlot  = 1.35
	listedRows = 14 // of events where the height is free
	phoneRows  = 60
)

// layout parts the sheet and gives the pieces of the foot.
func (c *runChart) layout() (wide, beside []part) {
	rows, plot := listedRows, usualPlot
	if c.small {
		rows, plot = phoneRows, phonePlot
	}
	shares := float64(len(c.panels)) + firstPlot - 1
	over := c.room.Y0 + c.headRoom() + ems(float64(len(c.panels))*bandRow, c.text.body) + c.axisRoom()
	wide = c.wideFeet()
	for ; ; rows-- {
		beside = c.narrowFeet(rows)
		foot := c.feet(wide, beside)
		if c.free {
			break
		}
		plot = (c.room.Y1 - over - foot) / shares
		if plot >= leastPlot {
			break
		}
		if rows == 0 {
			plot = leastPlot
			c.s.Height = over + foot + float64(plot*shares) + c.s.Width - c.room.X1
			break
		}
	}
	y := c.room.Y0 + c.headRoom()
	for i, p := range c.panels {
		high := plot
		if i == 0 {
			high *= firstPlot
		}
		y += ems(bandRow, c.text.body)
		p.box.Y0, p.box.Y1 = y, y+high
		y += high
	}
	c.widths()
	return wide, beside
}

// widths sets where the panels begin and end from left to right, and the axes.
func (c *runChart) widths() {
	numbers, names := 0.0, 0.0
	for _, p := range c.panels {
		p.scale(c.text.body)
		for _, t := range p.y.ticks {
			numbers = max(numbers, sheet.TextWidth(sheet.Regular, c.text.body, t.label))
		}
		for _, l := range p.lines {
			names = max(names, sheet.TextWidth(sheet.Bold, c.text.body, l.label))
		}
	}
	if n := len(c.ids); n > 2 && n <= each { // of neighbours that end together
		names = max(names, sheet.TextWidth(sheet.Regular, c.text.body, c.ids[n-2]+"–"+c.ids[n-1]))
	}
	names = min(names+0.1, 0.2*c.room.Width())
	c.x.from = c.room.X0 + numbers + 2.2
	c.x.to = c.room.X1 - labelGap - max(names, 3*c.text.body)
	for _, p := range c.panels {
		p.box.X0, p.box.X1 = c.x.from, c.x.to
	}
	c.x.ticks = timeTicks(&c.x, c.text.body)
}

// bottom gives the lowest panel's plot.
func (c *runChart) bottom() sheet.Box { return c.panels[len(c.panels)-1].box }

// top gives the height at which the first panel's band begins.
func (c *runChart) top() float64 { return c.panels[0].box.Y0 - ems(bandRow, c.text.body) }

// axes draws the panels' frames, grids and numbers, and the axis of time.
func (c *runChart) axes() {
	lines, words := sheet.Item{Layer: sheet.Walls}, sheet.Item{Layer: sheet.Words}
	for _, p := range c.panels {
		for _, t := range c.x.ticks {
			upright(&lines, nil, p.box, c.x.at(t.at), "", c.text.body)
		}
		for _, t := range p.y.ticks {
			level(&lines, &words, p.box, p.y.at(t.at), t.label, c.text.body)
		}
		if p.y.lo < 0 && p.y.hi > 0 {
			y := p.y.at(0)
			lines.Line(sheet.Line(sheet.Grey, sheet.W025), sheet.Point{X: p.box.X0, Y: y}, sheet.Point{X: p.box.X1, Y: y})
		}
		frame := sheet.Item{ID: "panel-" + p.kind.id, Name: p.summary(), Layer: sheet.Cases}
		frame.Rect(sheet.Line(sheet.Ink, sheet.W035), p.box)
		c.s.Add(frame)
		c.backed(&words, sheet.Text{At: sheet.Point{X: p.box.X0, Y: p.box.Y0 - ems(0.5, c.text.body)}, S: p.heading(c), Size: c.text.body, Role: sheet.Ink})
	}
	b := c.bottom()
	for _, t := range c.x.ticks {
		upright(&lines, &words, b, c.x.at(t.at), t.label, c.text.body)
	}
	words.Text(sheet.Text{At: sheet.Point{X: (b.X0 + b.X1) / 2, Y: b.Y1 + 0.6 + ems(tickRow+1.1, c.text.body)}, S: "time from the start", Size: c.text.body, Role: sheet.Ink, Anchor: sheet.Middle})
	c.s.Add(lines, words)
}

// backed sets a text on a patch of paper, so that lines stop short of it.
func (c *runChart) backed(it *sheet.Item, t sheet.Text) {
	it.Rect(sheet.Filled(sheet.Paper), t.Box().Grown(0.35))
	it.Text(t)
}

// emphasised gives the index of the battery to be pointed out, -1 for none.
func (c *runChart) emphasised() int {
	if c.opt.Emphasise == "" {
		return -1
	}
	return slices.IndexFunc(c.r.Batteries, func(b report.BatteryRun) bool { return b.ID == c.opt.Emphasise })
}
