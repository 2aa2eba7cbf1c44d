package chart

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/source"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

var (
	bandStyle    = sheet.Line(sheet.Ink, sheet.W050)
	throughStyle = sheet.Line(sheet.Ink, sheet.W050).Dashed(2.4, 1.2)
	shortStyle   = sheet.Line(sheet.Grey, sheet.W035).Dashed(0.8, 0.8)
)

// band draws what the device does.
func (c *bandsChart) band() {
	r := c.r
	holds, opened := c.points(r.Holds), c.points(r.Opened)
	if area := clipArea(between(holds, opened), c.plot); len(area) > 2 {
		it := sheet.Item{ID: "band", Layer: sheet.Walls}
		it.Polygon(sheet.Filled(sheet.Faint), area...)
		c.page.s.Add(it)
	}
	device := sheet.Clean(r.Device)
	c.curve(sheet.Item{ID: "holds", Name: device + " does not open before", Layer: sheet.Conductors}, bandStyle, holds, 0.3, device+" holds at least so long")
	c.curve(sheet.Item{ID: "opened", Name: device + " has opened by then", Layer: sheet.Conductors}, bandStyle, opened, 0.7, device+" has opened by then")
	c.dots("holds", holds)
	c.dots("opened", opened)
	c.through()
	if r.Rating > 0 {
		at := c.point(r.Rating, bandLongest)
		it := sheet.Item{ID: "rating", Name: "rating of " + device + ", " + ampere(r.Rating), Layer: sheet.Conductors}
		it.Line(sheet.Line(sheet.Ink, sheet.W070), at, at.Plus(sheet.Point{Y: 5}))
		c.page.s.Add(it)
		c.name("rating", at.Plus(sheet.Point{Y: 4}), sheet.Ink, "rating "+ampere(r.Rating))
	}
	if len(r.Holds)+len(r.Opened) == 0 {
		c.notes = append(c.notes, "How long "+device+" takes to open is not told: look at its own time-current curve.")
	}
	c.sources()
}

// dots marks the points that are told; between them a band is straight.
func (c *bandsChart) dots(id string, points []sheet.Point) {
	it := sheet.Item{ID: id, Layer: sheet.Posts}
	for _, p := range points {
		if c.plot.Contains(sheet.Around(p, 0, 0)) {
			it.Circle(ringStyle, p, 0.9)
			c.board.Block(sheet.Around(p, 2, 2), id)
		}
	}
	c.page.s.Add(it)
}

// through draws the most that a fuse lets through in a dead short, for the
// times for which an I²t is told.
func (c *bandsChart) through() {
	const longest = 0.1 // s; common practice, no source
	e := c.r.Through
	if !(e > 0) || !counts(e) {
		return
	}
	words := "lets through at most " + energy(e)
	if c.small {
		words = "lets through " + energy(e)
	}
	points := []sheet.Point{c.point(math.Sqrt(e/longest), longest), c.point(math.Sqrt(e/bandShortest), bandShortest)}
	c.curve(sheet.Item{ID: "through", Name: "lets through at most " + energy(e), Layer: sheet.Conductors}, throughStyle, points, 0.5, words)
}

// sources says at the foot where the device's numbers come from.
func (c *bandsChart) sources() {
	if len(c.r.Holds)+len(c.r.Opened) > 0 {
		c.notes = append(c.notes, "Rings are what is told of the class; between them it is taken straight, beyond them nothing is told.")
	}
	var read, memory []string
	for _, ref := range c.r.Refs {
		words := sheet.Clean(ref.Title)
		if ref.At != "" {
			words += ", " + sheet.Clean(ref.At)
		}
		if ref.How == source.Memory {
			memory = append(memory, words)
		} else {
			read = append(read, words)
		}
	}
	if len(read) > 0 {
		c.notes = append(c.notes, "By "+strings.Join(read, "; ")+".")
	}
	if len(memory) > 0 {
		c.notes = append(c.notes, "FROM MEMORY, so only a hint: "+strings.Join(memory, "; ")+".")
	}
}

// heatStays is for how long a short's heat counts as staying in the copper, s:
// IEC 60364-4-43, 434.5.2 (from memory).
const heatStays = 5

// cables draws how long the conductors bear a current.
func (c *bandsChart) cables() {
	const most = 3 // the weakest; a drawing with more is not read
	for i := range c.r.Cables {
		k := &c.r.Cables[i]
		if i == most {
			var rest []string
			for _, more := range c.r.Cables[most:] {
				rest = append(rest, more.Cables...)
			}
			c.notes = append(c.notes, "Stronger cables, not drawn: "+sheet.Clean(strings.Join(rest, ", "))+".")
			break
		}
		c.cable(fmt.Sprintf("cable-%d", i+1), k, [most]float64{0.3, 0.55, 0.75}[i])
	}
	if len(c.r.Cables) > 0 {
		c.notes = append(c.notes, "Cables: over 5 s until they are as warm as their insulation is rated for, under 5 s in a dead short, k²S².")
	}
	if len(c.r.Shared) > 0 {
		c.notes = append(c.notes, "Not drawn, as other devices feed them at the same time: "+sheet.Clean(strings.Join(c.r.Shared, ", "))+".")
	}
}

// cable draws one; its name stands at a part of its length, so that those of
// neighbours stand apart.
func (c *bandsChart) cable(id string, k *report.CableCurve, part float64) {
	role, name := sheet.Ink, sheet.Clean(k.Name)
	switch {
	case k.Outside:
		role = sheet.Attention
	case k.Side == "positive" || k.Side == "between":
		role = sheet.Positive
	}
	style := sheet.Line(role, sheet.W035)
	all := "as is " + sheet.Clean(strings.Join(k.Cables[min(1, len(k.Cables)):], ", "))
	if len(k.Cables) < 2 {
		all = ""
	}
	warms, once := c.points(k.Warms), name
	if len(clip(warms, c.plot)) > 0 {
		once = "" // it is named where it warms
	}
	if k.Withstand > 0 && counts(k.Withstand) {
		points := []sheet.Point{c.point(math.Sqrt(k.Withstand/heatStays), heatStays), c.point(math.Sqrt(k.Withstand/bandShortest), bandShortest)}
		c.curve(sheet.Item{ID: id, Name: strings.TrimSpace(name + " in a dead short, " + energy(k.Withstand) + " " + all), Layer: sheet.Conductors}, style, points, part, once)
	}
	c.curve(sheet.Item{ID: id, Name: name + " until it is as warm as it may be", Layer: sheet.Conductors}, style, warms, part, name)
	if all != "" {
		c.notes = append(c.notes, name+" is drawn, "+all+".")
	}
}

// loads draws what the device has to pass: each current down from where the
// longer ones end to where it ends itself.
func (c *bandsChart) loads() {
	for i, l := range c.r.Loads {
		id := fmt.Sprintf("load-%d", i+1)
		role := sheet.Ink
		if c.fails("passes") {
			role = sheet.Attention
		}
		style := sheet.Line(role, sheet.W025)
		it := sheet.Item{ID: id, Name: fmt.Sprintf("has to pass %s %s, %s", ampere(l.Amps), lasts(l.Seconds), sheet.Clean(l.In)), Layer: sheet.Conductors}
		from, words := c.point(l.Amps, l.Seconds), "has to pass "+ampere(l.Amps)+" "+lasts(l.Seconds)
		if math.IsInf(l.Seconds, 1) {
			words = "has to pass " + ampere(l.Amps)
		}
		foot := bandShortest
		points := []sheet.Point{from, c.point(l.Amps, foot)}
		if i+1 < len(c.r.Loads) { // the next, larger one goes on from there
			next := c.r.Loads[i+1]
			points[1] = c.point(l.Amps, next.Seconds)
			points = append(points, c.point(next.Amps, next.Seconds))
		}
		part := 0.5
		if len(points) > 2 {
			part = 0.3
		}
		c.curve(it, style, points, part, words)
		if c.plot.Contains(sheet.Around(from, 0, 0)) {
			mark := sheet.Item{ID: id, Layer: sheet.Posts}
			mark.Line(sheet.Line(role, sheet.W070), from.Minus(sheet.Point{X: min(4, from.X-c.plot.X0)}), from)
			c.page.s.Add(mark)
		}
	}
}

// fails reports whether the question that begins so is answered with outside.
func (c *bandsChart) fails(question string) bool {
	for _, v := range c.r.Verdicts {
		if strings.HasPrefix(v.What, question) && v.Verdict == "outside" {
			return true
		}
	}
	return false
}

// shorts draws the dead shorts and what the device can break.
func (c *bandsChart) shorts() {
	upright := func(id, words string, amps, part float64, role sheet.Role) {
		if !(amps > 0) || !counts(amps) {
			return
		}
		style := shortStyle
		style.Stroke = role
		c.curve(sheet.Item{ID: id, Name: words, Layer: sheet.Conductors}, style, []sheet.Point{c.point(amps, bandShortest), c.point(amps, bandLongest)}, part, words)
	}
	if c.r.Least < 0.97*c.r.Most {
		at := ""
		switch cable := sheet.Clean(c.r.LeastAt); {
		case cable == "":
		case c.small:
			c.notes = append(c.notes, "The least dead short is one at the end of "+cable+".")
		default:
			at = ", at " + cable
		}
		upright("least", "least dead short "+ampere(c.r.Least)+at, c.r.Least, 0.8, sheet.Grey)
	}
	role := sheet.Grey
	if c.fails("breaks") {
		role = sheet.Attention
	}
	upright("most", "most dead short "+ampere(c.r.Most), c.r.Most, 0.9, role)
	c.stop(role)
}

// stop marks the current that the device can break.
func (c *bandsChart) stop(role sheet.Role) {
	if !(c.r.Breaks > 0) || !counts(c.r.Breaks) {
		return
	}
	if role == sheet.Grey {
		role = sheet.Ink
	}
	words := "can break " + ampere(c.r.Breaks)
	foot := c.point(c.r.Breaks, bandShortest)
	it := sheet.Item{ID: "breaks", Name: sheet.Clean(c.r.Device) + " " + words, Layer: sheet.Conductors}
	head := foot.Minus(sheet.Point{Y: 14})
	it.Line(sheet.Line(role, sheet.W070), foot, head)
	it.Line(sheet.Line(role, sheet.W070), head.Minus(sheet.Point{X: 1.6}), head.Plus(sheet.Point{X: 1.6}))
	c.page.s.Add(it)
	c.board.Stroke(sheet.W070, overLine, foot, head)
	c.name("breaks", head, role, words)
}
