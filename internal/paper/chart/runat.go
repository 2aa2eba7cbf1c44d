package chart

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/paper/sheet"
)

// hairline draws the marked time with its handle, a dot on every line, and in
// each panel's title what stands there.
func (c *runChart) hairline() {
	x := c.x.at(c.opt.At)
	base := c.room.Y0 + ems(handleRow, c.text.body)
	it := sheet.Item{ID: "at", Layer: sheet.Dimensions, Name: "values at " + clock(c.opt.At)}
	it.Line(sheet.Line(sheet.Ink, sheet.W025), sheet.Point{X: x, Y: base}, sheet.Point{X: x, Y: c.bottom().Y1 + 1.2})
	w := 0.5 * c.text.body
	top := base - ems(1.3, c.text.body)
	it.Polygon(sheet.Filled(sheet.Ink), sheet.Point{X: x - w, Y: top}, sheet.Point{X: x + w, Y: top},
		sheet.Point{X: x + w, Y: base - w}, sheet.Point{X: x, Y: base}, sheet.Point{X: x - w, Y: base - w})
	c.s.Add(it)
	words := sheet.Item{ID: "at", Layer: sheet.Words}
	when := sheet.Text{S: clock(c.opt.At), Size: c.text.body, Font: sheet.Bold, Role: sheet.Ink}
	when.At, when.Anchor = c.besides(x, w+0.8, base-ems(0.4, c.text.body), when.Width())
	words.Text(when)
	for _, p := range c.panels {
		c.dots(p, x)
		c.readOff(&words, p, x)
	}
	c.s.Add(words)
}

// besides gives a place for a text beside an upright line: on the right of it,
// or on the left near the right end.
func (c *runChart) besides(x, gap, y, width float64) (sheet.Point, sheet.Anchor) {
	if x+gap+width > c.x.to+labelGap/2 {
		return sheet.Point{X: x - gap, Y: y}, sheet.End
	}
	return sheet.Point{X: x + gap, Y: y}, sheet.Start
}

// dots marks where the lines cross the marked time.
func (c *runChart) dots(p *panel, x float64) {
	const radius = 0.6
	for _, l := range p.lines {
		if v := l.at(c.opt.At); counts(v) {
			it := sheet.Item{ID: l.id, Layer: sheet.Posts}
			r := radius
			if l.bold {
				r *= 1.6
			}
			it.Circle(sheet.Line(l.style.Stroke, sheet.W025).On(sheet.Paper), sheet.Point{X: x, Y: p.y.at(v)}, r)
			c.s.Add(it)
		}
	}
}

// readOff sets a panel's values at the marked time beside it, in the row of the
// panel's title: of the battery pointed out, of the take-off, or from the least
// to the largest.
func (c *runChart) readOff(it *sheet.Item, p *panel, x float64) {
	title := p.box.X0 + sheet.TextWidth(sheet.Regular, c.text.body, p.heading(c)) + 2
	t := sheet.Text{S: c.reading(p), Size: c.text.body, Font: sheet.Bold, Role: sheet.Ink}
	if t.S == "" {
		return
	}
	width := t.Width()
	t.At, t.Anchor = c.besides(x, 1, p.box.Y0-ems(0.5, c.text.body), width)
	if b := t.Box(); b.X0 < title { // beside the line it would cover the title
		t.At.X, t.Anchor = max(title, x+1), sheet.Start
	}
	if b := t.Box(); b.X1 > p.box.X1+labelGap/2 {
		t.At.X, t.Anchor = p.box.X1, sheet.End
	}
	if t.Box().X0 >= title {
		c.backed(it, t)
	}
}

// reading says what a panel shows at the marked time.
func (c *runChart) reading(p *panel) string {
	lo, hi := math.Inf(1), math.Inf(-1)
	takeoff := math.NaN()
	for _, l := range p.lines {
		v := l.at(c.opt.At)
		switch {
		case !counts(v):
			continue
		case l.bold:
			return fmt.Sprintf("%s %s %s", l.label, p.value(v), p.unit)
		case l.id == "takeoff":
			takeoff = v
			continue
		}
		lo, hi = min(lo, v), max(hi, v)
	}
	switch {
	case counts(takeoff) && (lo > hi || c.small):
		return "take-off " + p.value(takeoff) + " " + p.unit
	case lo > hi:
		return ""
	case p.value(lo) == p.value(hi):
		return p.value(lo) + " " + p.unit
	}
	text := fmt.Sprintf("%s to %s %s", p.value(lo), p.value(hi), p.unit)
	if counts(takeoff) {
		text += ", take-off " + p.value(takeoff) + " " + p.unit
	}
	return text
}

// reads is the table of all values at the marked time: a row a quantity, a
// column a battery; on a phone the other way round.
func (c *runChart) reads() grid {
	g := grid{corner: "at " + clock(c.opt.At)}
	for _, p := range c.panels {
		name := p.kind.id + ", " + p.unit
		if c.small {
			name = p.unit
		}
		g.rows = append(g.rows, name)
	}
	g.add("takeoff", "take-off", c.readings(func(p *panel) float64 {
		switch p.kind.id {
		case "current":
			return newSeries(c.r.Time, c.r.Current).at(c.opt.At)
		case "voltage":
			return newSeries(c.r.Time, c.r.Voltage).at(c.opt.At)
		}
		return math.NaN()
	}))
	if len(c.ids) <= each {
		for i := range c.ids {
			g.add(c.r.Batteries[i].ID, c.ids[i], c.readings(func(p *panel) float64 {
				return newSeries(c.r.Time, p.kind.of(&c.r.Batteries[i])).at(c.opt.At)
			}))
		}
		return g
	}
	for _, id := range []string{"least", "median", "most"} {
		var cells []string
		for _, p := range c.panels {
			cells = append(cells, c.among(p, id))
		}
		g.add(id, id, cells)
	}
	return g
}

// among gives the reading of one line of an envelope, an extreme with the
// battery that holds it at the sample nearest to the marked time.
func (c *runChart) among(p *panel, id string) string {
	for _, l := range p.lines {
		v := l.at(c.opt.At)
		if l.id != id || !counts(v) {
			continue
		}
		if id == "median" {
			return p.value(v)
		}
		var all []series
		for i := range c.r.Batteries {
			all = append(all, newSeries(c.r.Time, p.kind.of(&c.r.Batteries[i])))
		}
		k, _ := slices.BinarySearch(l.time, c.opt.At)
		if k > 0 && (k == len(l.time) || c.opt.At-l.time[k-1] < l.time[k]-c.opt.At) {
			k--
		}
		return p.value(v) + " " + c.holder(all, k, id == "most")
	}
	return "–"
}

// readings prints one value of each panel.
func (c *runChart) readings(of func(*panel) float64) []string {
	var cells []string
	for _, p := range c.panels {
		cells = append(cells, p.value(of(p)))
	}
	return cells
}
