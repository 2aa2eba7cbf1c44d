package chart

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// SpreadOptions say how the spread of a bank's builds is drawn.
type SpreadOptions struct {
	// Width and Height are those of the sheet in mm. A width of nil is 165, 297
	// with a frame, or that of a phone of 360 pixels for a small sheet. A height
	// of nil is what the drawing needs, 210 with a frame. A size with too little
	// room is raised to the least that has.
	Width, Height float64
	Title         string // over the drawing; none if empty
	Small         bool   // for a phone: larger text
	Frame         *sheet.TitleBlock
}

// builds is one curve: the worst share of every build, rising.
type builds struct {
	id, nominalID string
	name          string // "all in"
	with          string // "with all in", a part of a sentence
	worst         []float64
	nominal       float64
	over          int
	style         sheet.Style
}

// spreadChart is a spread in the making.
type spreadChart struct {
	page
	labeller
	r      *report.Spread
	curves []builds
	plot   sheet.Box
	x, y   axis
}

// Spread draws what the tolerances of the parts do to a bank: over the share
// of the battery that carries most, less one, the part of the builds that stay
// below it, as a continuous line with all batteries in and as a dashed one with
// the worst one out. A filled diamond marks the bank with every part as it
// should be, a ring the share that 95 builds of 100 stay below. The foot says
// how often a battery passes its limit and lists, with bars, which tolerance
// matters most. Items are "all-in", "one-out", "nominal", "nominal-out", and
// each tolerance by what varies.
//
// Shares that are no number are left out. A spread that is nil or has no build
// gives a sheet that says so.
func Spread(s *report.Spread, opt SpreadOptions) *sheet.Sheet {
	if s == nil {
		s = &report.Spread{}
	}
	c := &spreadChart{r: s, page: newPage(opt.Width, opt.Height, 165, opt.Small, opt.Frame)}
	c.labeller.s = c.page.s
	c.collect()
	drawn := c.page.s
	drawn.Title, drawn.Description = "Spread of the worst share", c.describe()
	if t := sheet.Clean(opt.Title); t != "" {
		drawn.Title = t
	}
	c.heading(opt.Title, c.asked())
	if len(c.curves) == 0 {
		c.nothing("Nothing to draw: no build was computed in which a group carries current.")
		return drawn
	}
	wide, beside := c.layout()
	c.grid()
	for i := range c.curves {
		c.curve(&c.curves[i])
	}
	for i := range c.curves {
		c.marks(&c.curves[i])
	}
	c.place()
	c.close(c.plot.Y1+c.axisRoom(), wide, beside)
	return drawn
}

// collect takes the builds that have a number.
func (c *spreadChart) collect() {
	solid := sheet.Line(sheet.Ink, sheet.W050)
	add := func(b builds) {
		b.worst = slices.DeleteFunc(slices.Clone(b.worst), func(v float64) bool { return !counts(v) })
		slices.Sort(b.worst)
		if len(b.worst) > 0 {
			c.curves = append(c.curves, b)
		}
	}
	add(builds{"all-in", "nominal", "all in", "with all in", c.r.Worst, c.r.Nominal, c.r.Over, solid})
	add(builds{"one-out", "nominal-out", "worst one out", "with the worst one out", c.r.WorstOut, c.r.NominalOut, c.r.OverOut, solid.Dashed(lineKinds[1]...)})
}

// asked says what was computed.
func (c *spreadChart) asked() string {
	text := fmt.Sprintf("%d builds", c.r.Done)
	if c.r.Done < c.r.Asked {
		text = fmt.Sprintf("stopped after %d of %d builds", c.r.Done, c.r.Asked)
	}
	if id := sheet.Clean(c.r.Case.ID); id != "" {
		text = "case " + id + ", " + draws(c.r.Case) + "; " + text
	}
	return text + fmt.Sprintf(", seed %d", c.r.Seed)
}

func (c *spreadChart) describe() string {
	text := c.asked() + "."
	for i := range c.curves {
		text += " " + c.curves[i].sentence() + "."
	}
	return text
}

// sentence says where a curve lies.
func (b *builds) sentence() string {
	text := fmt.Sprintf("Half of the builds stay below %s %s, 95 of 100 below %s", sheet.Over(b.quantile(0.5)), b.with, sheet.Over(b.quantile(0.95)))
	if counts(b.nominal) {
		text += ", nominal " + sheet.Over(b.nominal)
	}
	return text
}

// quantile gives the share below which a part of the builds stay: the least that
// no more than the rest reach beyond.
func (b *builds) quantile(of float64) float64 {
	n := len(b.worst)
	return b.worst[min(n-1, max(0, int(math.Ceil(float64(of*float64(n))-1e-9))-1))]
}

// below gives the part of the builds that stay at or below a share.
func (b *builds) below(v float64) float64 {
	n := sort.Search(len(b.worst), func(i int) bool { return b.worst[i] > v })
	return float64(n) / float64(len(b.worst))
}

// steps gives the curve as a staircase from nil to one.
func (b *builds) steps(from, to float64) series {
	n := len(b.worst)
	s := series{append(make([]float64, 0, 2*n+2), from), append(make([]float64, 0, 2*n+2), 0)}
	for i, v := range b.worst {
		s.time = append(s.time, v, v)
		s.value = append(s.value, float64(i)/float64(n), float64(i+1)/float64(n))
	}
	s.time, s.value = append(s.time, to), append(s.value, 1)
	return s
}

// layout parts the sheet and sets the axes.
func (c *spreadChart) layout() (wide, beside []part) {
	const usual, least = 66.0, 30.0 // mm, of the plot
	wide, beside = c.feetOf()
	foot := c.feet(wide, beside)
	head := c.room.Y0 + ems(bandRow, c.text.body)
	high := usual
	if !c.free {
		if high = c.room.Y1 - head - c.axisRoom() - foot; high < least {
			high = least
			c.page.s.Height = head + high + c.axisRoom() + foot + c.page.s.Width - c.room.X1
		}
	}
	numbers := sheet.TextWidth(sheet.Regular, c.text.body, "100 %")
	c.plot = sheet.Box{X0: c.room.X0 + numbers + 2.2, X1: c.room.X1 - 2*c.text.body, Y0: head, Y1: head + high}
	c.scales()
	c.board, c.widest = sheet.NewBoard(c.plot.Grown(-0.4)), c.plot.Width()-4
	return wide, beside
}

// scales sets the axes.
func (c *spreadChart) scales() {
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range c.curves {
		b := &c.curves[i]
		lo, hi = min(lo, b.worst[0]), max(hi, b.worst[len(b.worst)-1])
		if counts(b.nominal) {
			lo, hi = min(lo, b.nominal), max(hi, b.nominal)
		}
	}
	if lo > 0 && lo < 0.4*hi {
		lo = 0
	}
	least := lo
	if short := max(1e-3, 0.005*math.Abs(hi)) - (hi - lo); short > 0 { // a meter reads no finer than 0.1 %: common practice, no source
		lo, hi = lo-short/2, hi+short/2
	}
	pad := float64(0.05 * (hi - lo))
	lo, hi = lo-pad, hi+pad
	if least >= 0 && lo < 0 { // the worst battery of a bank carries the mean at least
		lo, hi = 0, hi-lo
	}
	c.x = axis{lo: lo, hi: hi, from: c.plot.X0, to: c.plot.X1}
	c.x.ticks = linearTicks(100*c.x.lo, 100*c.x.hi, int(max(3, c.plot.Width()/(5*c.text.body))), " %")
	for i := range c.x.ticks {
		c.x.ticks[i].at /= 100
	}
	c.y = axis{lo: -0.03, hi: 1.03, from: c.plot.Y1, to: c.plot.Y0}
	c.y.ticks = linearTicks(0, 100, int(max(2, c.plot.Height()/(2.6*c.text.body))), " %")
	for i := range c.y.ticks {
		c.y.ticks[i].at /= 100
	}
}

// grid draws the axes and their words.
func (c *spreadChart) grid() {
	lines, words := sheet.Item{Layer: sheet.Walls}, sheet.Item{Layer: sheet.Words}
	size := c.text.body
	for _, t := range c.x.ticks {
		upright(&lines, &words, c.plot, c.x.at(t.at), t.label, size)
	}
	for _, t := range c.y.ticks {
		level(&lines, &words, c.plot, c.y.at(t.at), t.label, size)
	}
	lines.Rect(sheet.Line(sheet.Ink, sheet.W035), c.plot)
	text := sheet.Text{At: sheet.Point{X: c.plot.X0, Y: c.plot.Y0 - ems(0.5, size)}, Size: size, Role: sheet.Ink}
	text.S = sheet.Fit(sheet.Regular, size, c.plot.Width(), "part of the builds that stay below")
	words.Text(text)
	text.At, text.Anchor = sheet.Point{X: (c.plot.X0 + c.plot.X1) / 2, Y: c.plot.Y1 + 0.6 + ems(tickRow+1.1, size)}, sheet.Middle
	text.S = "worst battery above the mean"
	words.Text(text)
	c.page.s.Add(lines, words)
}

// curve draws one staircase.
func (c *spreadChart) curve(b *builds) {
	s := b.steps(c.x.lo, c.x.hi)
	l := line{series: s, id: b.id, name: b.name + ": " + b.sentence(), style: b.style, pieces: s.trace(&c.x, &c.y, s.columns(&c.x, thinColumn), thinSlack)}
	c.page.s.Add(l.item())
	for _, piece := range l.pieces {
		c.board.Stroke(b.style.Weight, 6, piece...)
	}
}

// marks names a curve and marks the nominal bank and the 95 of 100.
func (c *spreadChart) marks(b *builds) {
	size := c.text.body
	point := func(v, part float64) sheet.Point { return sheet.Point{X: c.x.at(v), Y: c.y.at(part)} }
	text := func(role sheet.Role, font sheet.Font, s string) sheet.Text {
		return sheet.Text{S: s, Size: size, Role: role, Font: font}
	}
	c.attach(sheet.Item{ID: b.id, Layer: sheet.Posts}, point(b.quantile(0.7), 0.7), 0.4, text(sheet.Ink, sheet.Bold, b.name), true)
	high := b.quantile(0.95)
	ring := sheet.Item{ID: b.id, Layer: sheet.Posts}
	ring.Circle(ringStyle, point(high, 0.95), ringRadius)
	c.attach(ring, point(high, 0.95), ringRadius, text(sheet.Ink, sheet.Regular, "95 of 100 below "+sheet.Over(high)), true)
	if !counts(b.nominal) {
		return
	}
	at := point(b.nominal, b.below(b.nominal))
	it := sheet.Item{ID: b.nominalID, Name: "nominal " + b.with + ", " + sheet.Over(b.nominal), Layer: sheet.Posts}
	it.Line(sheet.Line(sheet.Ink, sheet.W018), at, sheet.Point{X: at.X, Y: c.plot.Y1})
	const r = 1.6
	it.Polygon(sheet.Filled(sheet.Ink), at.Plus(sheet.Point{Y: -r}), at.Plus(sheet.Point{X: r}), at.Plus(sheet.Point{Y: r}), at.Plus(sheet.Point{X: -r}))
	c.attach(it, at, r, text(sheet.Ink, sheet.Regular, "nominal "+sheet.Over(b.nominal)), true)
}
