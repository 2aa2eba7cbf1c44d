package chart

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/paper/sheet"
)

// wideFeet gives the parts of the foot over its full width.
func (c *runChart) wideFeet() []part {
	list := []part{c.key()}
	if c.marked {
		g := c.reads()
		if c.small {
			g = g.turned()
		}
		list = append(list, g.part(&c.page, c.room.Width()))
	}
	return list
}

// narrowFeet gives those that may stand beside the title block, with at most so
// many rows of events.
func (c *runChart) narrowFeet(rows int) []part {
	width, _ := c.narrow()
	return []part{c.list(width, rows), c.lines(c.text.fine, width, 6, sheet.Attention, c.assumed()), c.lines(c.text.fine, width, 8, sheet.Grey, c.notes()...)}
}

// key shows the line of every battery.
func (c *runChart) key() part {
	const wide = 11.0
	n := len(c.ids)
	if n < 2 || n > each {
		return part{}
	}
	size := c.text.body
	rows, x := 0, math.Inf(1)
	var places []sheet.Point
	for _, id := range c.ids {
		w := wide + 1.2 + sheet.TextWidth(sheet.Regular, size, sheet.Fit(sheet.Regular, size, c.room.Width()/2, id))
		if x+w > c.room.Width() {
			rows, x = rows+1, 0
		}
		places = append(places, sheet.Point{X: x, Y: ems(1.7*float64(rows-1), size)})
		x += w + 4
	}
	return part{ems(1.7*float64(rows), size), func(at sheet.Point) {
		for i, id := range c.ids {
			it := sheet.Item{ID: c.r.Batteries[i].ID, Layer: sheet.Words}
			p := at.Plus(places[i]).Plus(sheet.Point{Y: ems(0.85, size)})
			it.Line(c.styleOf(i), p, p.Plus(sheet.Point{X: wide}))
			it.Text(sheet.Text{At: p.Plus(sheet.Point{X: wide + 1.2, Y: drop(size)}), S: sheet.Fit(sheet.Regular, size, c.room.Width()/2, id), Size: size, Role: sheet.Ink})
			c.s.Add(it)
		}
	}}
}

// assumed says which batteries and cases nobody gave.
func (c *runChart) assumed() string {
	var names []string
	for i := range c.r.Batteries {
		if c.r.Batteries[i].Assumed {
			names = append(names, c.ids[i])
		}
	}
	switch {
	case len(names) == 0:
		return ""
	case len(names) == len(c.ids) && len(names) > 1:
		return "assumed: values in the models of all batteries"
	case len(names) > 8:
		names = append(names[:7], fmt.Sprintf("and %d more", len(names)-7))
	}
	return "assumed: values in the model of " + strings.Join(names, ", ")
}

// notes says what is not drawn, or not as it is.
func (c *runChart) notes() []string {
	var notes []string
	if n := len(c.ids); n > each {
		notes = append(notes, fmt.Sprintf("%d batteries: the least, the median and the largest value of each instant are drawn; the battery named holds it at the end.", n))
	}
	for _, l := range c.left {
		notes = append(notes, "left out: "+l)
	}
	for _, p := range c.panels {
		if len(p.absent) > 0 && len(c.ids) <= each {
			notes = append(notes, p.kind.name+": no number for "+strings.Join(p.absent, ", "))
		}
	}
	return notes
}

// entry is an event of the list, wrapped.
type entry struct {
	event *event
	lines []string
}

// list writes the events one under the other, in as many columns as hold each
// in one line; what is beyond the rows is counted.
func (c *runChart) list(width float64, rows int) part {
	if len(c.events) == 0 {
		return part{}
	}
	const most, gap = 3, 5.0
	step := c.listStep()
	first := c.listIndent()
	widest := 0.0
	shown := c.events[:min(len(c.events), numbered, max(0, most*rows))]
	for i := range shown {
		widest = max(widest, sheet.TextWidth(sheet.Regular, c.text.body, shown[i].words))
	}
	columns, wide := 1, width
	for columns < min(most, (len(shown)+2)/3) && float64((first+widest)*float64(columns+1))+float64(gap*float64(columns)) <= width {
		columns, wide = columns+1, first+widest
	}
	var entries []entry
	for i := range shown {
		entries = append(entries, entry{&shown[i], wrapped(sheet.Regular, c.text.body, wide-first, 3, shown[i].words)})
	}
	filled, high := fill(entries, columns, rows)
	more := len(c.events)
	for _, column := range filled {
		more -= len(column)
	}
	var rest part
	if more > 0 {
		rest = c.lines(c.text.fine, width, 2, sheet.Grey, fmt.Sprintf("%d more events, the first of them at %s", more, c.events[len(c.events)-more].when))
	}
	return part{float64(step*float64(high)) + rest.high, func(at sheet.Point) {
		for k, column := range filled {
			c.write(column, at.Plus(sheet.Point{X: float64((wide + gap) * float64(k))}), first)
		}
		if more > 0 {
			rest.draw(at.Plus(sheet.Point{Y: float64(step * float64(high))}))
		}
	}}
}

// listStep is the way from one line of the list to the next.
func (c *runChart) listStep() float64 { return c.balloonHigh() + 0.5 }

// listIndent is where the words of the list begin, behind number and time.
func (c *runChart) listIndent() float64 {
	wide := 0.0
	for _, e := range c.events {
		wide = max(wide, sheet.TextWidth(sheet.Regular, c.text.body, e.when))
	}
	return c.glyphWidth() + 1.4 + wide + 2
}

func (c *runChart) glyphWidth() float64 {
	return max(c.balloonHigh(), sheet.TextWidth(sheet.Regular, c.text.fine, fmt.Sprint(min(len(c.events), numbered)))+1.6)
}

// fill parts entries into columns of about the same height, at most so many
// rows each, and gives the rows of the highest. What has no room is left out.
func fill(entries []entry, columns, rows int) (filled [][]entry, high int) {
	total := 0
	for _, e := range entries {
		total += len(e.lines)
	}
	target := min(rows, (total+columns-1)/columns)
	filled = make([][]entry, columns)
	k, used := 0, 0
	for _, e := range entries {
		if used > 0 && used+len(e.lines) > target && k < columns-1 {
			k, used = k+1, 0
		}
		if used+len(e.lines) > rows {
			break
		}
		filled[k] = append(filled[k], e)
		used += len(e.lines)
		high = max(high, used)
	}
	return filled, high
}

// write sets one column of the list.
func (c *runChart) write(column []entry, at sheet.Point, indent float64) {
	size, step := c.text.body, c.listStep()
	for _, e := range column {
		it := sheet.Item{ID: fmt.Sprintf("event%d", e.event.number), Layer: sheet.Words}
		mid := sheet.Point{X: at.X + c.glyphWidth()/2, Y: at.Y + step/2}
		base := mid.Y + drop(size)
		c.glyph(&it, mid, c.glyphWidth(), fmt.Sprint(e.event.number), e.event.trip)
		it.Text(sheet.Text{At: sheet.Point{X: at.X + indent - 2, Y: base}, S: e.event.when, Size: size, Role: sheet.Grey, Anchor: sheet.End})
		for i, l := range e.lines {
			it.Text(sheet.Text{At: sheet.Point{X: at.X + indent, Y: base + float64(step*float64(i))}, S: l, Size: size, Role: sheet.Ink})
		}
		at.Y += float64(step * float64(len(e.lines)))
		c.s.Add(it)
	}
}
