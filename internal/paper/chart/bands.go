package chart

import (
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// BandsOptions say how a device's times are drawn.
type BandsOptions struct {
	Width, Height float64 // mm; nil: as [SpreadOptions] has them
	Title         string  // over the drawing; none if empty
	Small         bool    // for a phone: larger text
	Frame         *sheet.TitleBlock
}

// The times that a band is drawn for, s: from the first hundredth, under which
// a fuse's peak and not its time counts, to the four hours that the longest
// told times take.
const (
	bandShortest = 0.01
	bandLongest  = 4 * 3600
)

// bandTicks are the times on the axis.
var bandTicks = []tick{{0.01, "0.01 s"}, {0.1, "0.1 s"}, {1, "1 s"}, {10, "10 s"}, {60, "1 min"}, {600, "10 min"}, {3600, "1 h"}, {4 * 3600, "4 h"}}

// bandsChart is a device's times in the making.
type bandsChart struct {
	page
	labeller
	r     *report.Bands
	plot  sheet.Box
	x, y  axis
	notes []string // for the foot
}

// Bands draws what a fuse or breaker does over current and time, both
// logarithmic: the band between its least and its most times, with a ring at
// each that is told; the loads that it has to pass, as a staircase that ends
// where the load does; how long the cables bear a current that it has to save;
// upright lines at the least and the most dead short, and a stop at the current
// it can break. Each line says what it is; what has no room is said at the
// foot, with the sources. Items are "holds", "opened", "through", "rating",
// "load-1" and so on, "cable-1" and so on, "least", "most", "breaks".
//
// Bands that are nil or tell neither a rating nor a current give a sheet that
// says so.
func Bands(b *report.Bands, opt BandsOptions) *sheet.Sheet {
	if b == nil {
		b = &report.Bands{Most: math.NaN(), Least: math.NaN()}
	}
	c := &bandsChart{r: b, page: newPage(opt.Width, opt.Height, 165, opt.Small, opt.Frame)}
	drawn := c.page.s
	c.labeller.s = drawn
	name := sheet.Clean(b.Device + ", " + b.Words)
	drawn.Title, drawn.Description = "Current and time of "+name, c.describe()
	if t := sheet.Clean(opt.Title); t != "" {
		drawn.Title = t
	}
	c.heading(opt.Title, name)
	lo, hi := c.span()
	if !(lo < hi) {
		c.nothing("Nothing to draw: neither a rating nor a current is known.")
		return drawn
	}
	c.layout(lo, hi)
	c.grid()
	c.band()
	c.cables()
	c.loads()
	c.shorts()
	c.place()
	c.untold()
	foot := []part{c.lines(c.text.fine, c.room.Width(), 14, sheet.Grey, c.notes...)}
	base := c.plot.Y1 + c.axisRoom()
	if !c.free { // a sheet with too little room is raised
		drawn.Height = max(drawn.Height, base+c.feet(foot, nil)+drawn.Width-c.room.X1)
	}
	c.close(base, foot, nil)
	return drawn
}

func (c *bandsChart) describe() string {
	text := "Time over current, both logarithmic."
	for _, v := range c.r.Verdicts {
		text += " " + v.What + ": " + v.Verdict + "."
	}
	return text
}

// span gives the currents that the drawing reaches from and to.
func (c *bandsChart) span() (lo, hi float64) {
	lo, hi = math.Inf(1), 0
	take := func(v float64) {
		if v > 0 && counts(v) {
			lo, hi = min(lo, v), max(hi, v)
		}
	}
	for _, v := range []float64{c.r.Rating, c.r.Most, c.r.Least, c.r.Breaks} {
		take(v)
	}
	for _, l := range c.r.Loads {
		take(l.Amps)
	}
	for _, list := range [][]report.CurvePoint{c.r.Holds, c.r.Opened} {
		for _, p := range list {
			take(p.Amps)
		}
	}
	return lo / 1.6, hi * 1.6
}

// layout parts the sheet and sets the axes.
func (c *bandsChart) layout(lo, hi float64) {
	const usual, small, least = 118.0, 112.0, 60.0 // mm, of the plot
	high := usual
	if c.small {
		high = small
	}
	head := c.room.Y0 + ems(bandRow, c.text.body)
	if !c.free {
		const foot = 26 // mm, for notes of the usual length
		high = max(least, c.room.Y1-head-c.axisRoom()-foot)
	}
	numbers := sheet.TextWidth(sheet.Regular, c.text.body, "10 min")
	c.plot = sheet.Box{X0: c.room.X0 + numbers + 2.2, X1: c.room.X1 - 1.5*c.text.body, Y0: head, Y1: head + high}
	c.x = axis{lo: lo, hi: hi, from: c.plot.X0, to: c.plot.X1, log: true}
	c.x.ticks = logTicks(lo, hi, int(max(3, c.plot.Width()/(5.5*c.text.body))), "")
	c.y = axis{lo: bandShortest, hi: bandLongest, from: c.plot.Y1, to: c.plot.Y0, log: true, ticks: bandTicks}
	c.board, c.widest = sheet.NewBoard(c.plot.Grown(-0.6)), c.plot.Width()-4
}

// grid draws the axes and their words.
func (c *bandsChart) grid() {
	lines, words := sheet.Item{Layer: sheet.Walls}, sheet.Item{Layer: sheet.Words}
	size := c.text.body
	for _, t := range c.x.ticks {
		upright(&lines, &words, c.plot, c.x.at(t.at), t.label, size)
	}
	for _, t := range c.y.ticks {
		level(&lines, &words, c.plot, c.y.at(t.at), t.label, size)
	}
	lines.Rect(sheet.Line(sheet.Ink, sheet.W035), c.plot)
	text := sheet.Text{At: sheet.Point{X: (c.plot.X0 + c.plot.X1) / 2, Y: c.plot.Y1 + 0.6 + ems(tickRow+1.1, size)}, Size: size, Role: sheet.Ink, Anchor: sheet.Middle}
	text.S = sheet.Fit(sheet.Regular, size, c.plot.Width(), "current through "+sheet.Clean(c.r.Device)+", A")
	words.Text(text)
	c.page.s.Add(lines, words)
}

// point gives the place of a current for a time; without end lies over the
// paper.
func (c *bandsChart) point(amps, seconds float64) sheet.Point {
	if math.IsInf(seconds, 1) {
		seconds = 10 * bandLongest
	}
	return sheet.Point{X: c.x.at(amps), Y: c.y.at(seconds)}
}

func (c *bandsChart) points(list []report.CurvePoint) []sheet.Point {
	var all []sheet.Point
	for _, p := range list {
		if p.Amps > 0 && p.Seconds > 0 && counts(p.Amps) {
			all = append(all, c.point(p.Amps, p.Seconds))
		}
	}
	return all
}

// curve draws a line, clipped to the plot, and has it named at a part of its
// length. Nothing is drawn of what lies outside.
func (c *bandsChart) curve(it sheet.Item, style sheet.Style, points []sheet.Point, at float64, words string) {
	pieces := clip(points, c.plot)
	if len(pieces) == 0 {
		return
	}
	longest := pieces[0]
	for _, p := range pieces {
		it.Polyline(style, p...)
		c.board.Stroke(style.Weight, overLine, p...)
		if reach(p) > reach(longest) {
			longest = p
		}
	}
	c.page.s.Add(it)
	if words != "" {
		c.name(it.ID, along(longest, at), style.Stroke, words)
	}
}

// overLine is what it costs a name to cover a line; found by trying.
const overLine = 16

// name has a thing that is drawn already named near a place on it.
func (c *bandsChart) name(id string, at sheet.Point, role sheet.Role, words string) {
	c.attach(sheet.Item{ID: id, Layer: sheet.Posts}, at, 0.4, sheet.Text{S: words, Size: c.text.body, Role: role}, true)
	c.labels[len(c.labels)-1].item = c.itemOf(id)
}

// itemOf gives the index of the last item that shows a thing.
func (c *bandsChart) itemOf(id string) int {
	for i := len(c.page.s.Items) - 1; i >= 0; i-- {
		if c.page.s.Items[i].ID == id {
			return i
		}
	}
	panic("chart: nothing is drawn of " + id) // it is named right after it was drawn
}

// untold says at the foot what found no room on the drawing.
func (c *bandsChart) untold() {
	var left []string
	for i := range c.labels {
		l := &c.labels[i]
		id := c.page.s.Items[l.item].ID
		if !slices.ContainsFunc(c.page.s.Items, func(it sheet.Item) bool {
			return it.ID == id && slices.ContainsFunc(it.Marks, func(m sheet.Mark) bool { x, ok := m.(sheet.Text); return ok && x.S == l.text.S })
		}) {
			left = append(left, l.text.S)
		}
	}
	if len(left) > 0 {
		c.notes = append([]string{"No room for its name on the drawing: " + strings.Join(left, "; ") + "."}, c.notes...)
	}
}

func ampere(v float64) string { return quantity.Format(quantity.Current(v), 3) }

func lasts(v float64) string {
	if math.IsInf(v, 1) {
		return "for good"
	}
	return "for " + strings.Replace(quantity.Format(quantity.Duration(v), 2), ".0 ", " ", 1)
}

// energy writes an I²t. In kA²s the square would take in the prefix.
func energy(v float64) string { return quantity.FormatCount(quantity.FormatFixed(v, 0), " ") + " A²s" }
