package chart

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// feetOf gives the parts of the foot of a spread.
func (c *spreadChart) feetOf() (wide, beside []part) {
	width, _ := c.narrow()
	role, limits := c.limits()
	var said []string
	for i := range c.curves {
		said = append(said, c.curves[i].sentence()+".")
	}
	var assumed []string
	for _, t := range c.r.Tolerances {
		if t.Assumed {
			assumed = append(assumed, sheet.Clean(t.What))
		}
	}
	list := []part{
		c.lines(c.text.body, width, 6, sheet.Ink, said...),
		c.lines(c.text.body, width, 3, role, limits),
	}
	if assumed != nil {
		list = append(list, c.lines(c.text.fine, width, 3, sheet.Attention, "assumed: the spread of "+strings.Join(assumed, ", ")))
	}
	return []part{c.bars(c.room.Width())}, list
}

// limits says how often a battery passes its limit.
func (c *spreadChart) limits() (sheet.Role, string) {
	if !c.r.HasLimit {
		return sheet.Grey, "No limit of a battery's current is known, so none can be passed."
	}
	role, text := sheet.Ink, ""
	for i := range c.curves {
		b := &c.curves[i]
		if b.over > 0 {
			role = sheet.Attention
		}
		if text += fmt.Sprintf("in %s %s", outOf(b.over, c.r.Done), b.with); i < len(c.curves)-1 {
			text += ", "
		}
	}
	return role, "A battery passes its limit " + text + "."
}

func outOf(n, of int) string {
	if n == 0 {
		return fmt.Sprintf("none of %d builds", of)
	}
	return fmt.Sprintf("%d of %d builds", n, of)
}

// varies says by how much a thing varies.
func varies(t *report.Tolerance) string {
	if t.What == "emf" {
		return figures(1000*t.Spread) + " mV"
	}
	return figures(100*t.Spread) + " %"
}

// matters gives how far a tolerance moves the worst share, nil where that is
// no number.
func matters(t *report.Tolerance) float64 {
	if !counts(t.Matters) {
		return 0
	}
	return max(0, t.Matters)
}

// bars lists the tolerances by how much they matter.
func (c *spreadChart) bars(width float64) part {
	list := slices.Clone(c.r.Tolerances)
	if len(list) == 0 {
		return part{}
	}
	slices.SortStableFunc(list, func(a, b report.Tolerance) int { return cmp.Compare(matters(&b), matters(&a)) })
	g := grid{corner: "what varies", byRow: true, heads: []string{"standard deviation", "moves the worst by", "of the variance"}, cells: make([][]string, 3)}
	if c.small {
		g.heads = []string{"by", "moves it", "of all"}
	}
	for i := range list {
		t := &list[i]
		g.rows, g.ids = append(g.rows, sheet.Clean(t.What)), append(g.ids, t.What)
		for k, cell := range []string{varies(t), percent(t.Matters), percent(t.Part)} {
			g.cells[k] = append(g.cells[k], cell)
		}
	}
	table := g.part(&c.page, width)
	return part{table.high, func(at sheet.Point) {
		table.draw(at)
		const gap, widest = 4.0, 60.0
		left := g.wide() + gap
		c.strokes(list, at.Plus(sheet.Point{X: left, Y: ems(gridStep, c.text.body)}), min(widest, width-left))
	}}
}

// strokes draws the bars beside the table, hatched where the tolerance is
// assumed, unless there is no room.
func (c *spreadChart) strokes(list []report.Tolerance, at sheet.Point, long float64) {
	const least, thin = 10.0, 0.2 // mm
	most := matters(&list[0])
	if long < least || !(most > 0) {
		return
	}
	for i := range list {
		t := &list[i]
		y := at.Y + ems(gridStep*(float64(i)+0.5), c.text.body)
		box := sheet.Box{X0: at.X, X1: at.X + max(thin, float64(long*matters(t)/most)), Y0: y - ems(0.3, c.text.body), Y1: y + ems(0.3, c.text.body)}
		it := sheet.Item{ID: t.What, Layer: sheet.Cases, Name: fmt.Sprintf("%s varies by %s, moves the worst share by %s", sheet.Clean(t.What), varies(t), percent(t.Matters))}
		if t.Assumed {
			it.Name += ", assumed"
			it.Rect(sheet.Line(sheet.Ink, sheet.W025), box)
			it.Marks = append(it.Marks, sheet.Hatch(sheet.Line(sheet.Ink, sheet.W018), box, 0.9))
		} else {
			it.Rect(sheet.Filled(sheet.Ink), box)
		}
		c.page.s.Add(it)
	}
}

// percent prints a part with two digits that count.
func percent(v float64) string {
	if !counts(v) {
		return "–"
	}
	p := 100 * v
	decimals := 0
	if size := math.Abs(p); size > 0 && size < 9.95 {
		decimals = max(0, min(4, 1-int(math.Floor(math.Log10(size)))))
	}
	return sheet.Decimal(p, decimals) + " %"
}
