package chart

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"bankwright/internal/paper/sheet"
)

// labelGap is the room between a panel and its labels, where leaders run, mm.
const labelGap = 4.0

// What a drawing of lines may cost: a point of a path takes some 13 bytes of
// SVG, and a page should get by with 300 kB.
const (
	mostPoints  = 14000
	thinColumn  = 0.2  // mm, the columns a long run is thinned to if there is room
	thinSlack   = 0.03 // mm, below what the SVG prints times three
	samePlace   = 0.5  // mm, ends of lines that one label names
	singlePoint = 0.5  // mm, radius of a sample that has no neighbour
)

// curves draws the lines of all panels and names them at their ends.
func (c *runChart) curves() {
	c.trace()
	for _, p := range c.panels {
		c.between(p)
		for _, last := range []bool{false, true} { // the one pointed out lies on top
			for _, l := range p.lines {
				if l.bold == last {
					c.s.Add(l.item())
				}
			}
		}
		c.ends(p)
	}
}

// trace finds the points of all lines, in wider columns until they are few
// enough.
func (c *runChart) trace() {
	few := map[*line]series{}
	for width := thinColumn; ; width *= 2 {
		points := 0
		for _, p := range c.panels {
			for _, l := range p.lines {
				s, ok := few[l]
				if !ok {
					s = l.series
				}
				samples := s.columns(&c.x, width)
				l.pieces = s.trace(&c.x, &p.y, samples, thinSlack)
				few[l] = s.picked(samples)
				for _, piece := range l.pieces {
					points += len(piece)
				}
			}
		}
		if points <= mostPoints || width > c.x.to-c.x.from {
			return
		}
	}
}

// item draws a line in one path; what stands alone is a dot.
func (l *line) item() sheet.Item {
	it := sheet.Item{ID: l.id, Name: l.name, Layer: sheet.Conductors}
	path := sheet.Path{Style: l.style}
	for _, piece := range l.pieces {
		if len(piece) == 1 {
			it.Circle(sheet.Filled(l.style.Stroke), piece[0], singlePoint)
			continue
		}
		for i, q := range piece {
			if i == 0 {
				path.MoveTo(q)
			} else {
				path.LineTo(q)
			}
		}
	}
	if len(path.Pieces) > 0 {
		it.Marks = append(it.Marks, path)
	}
	return it
}

// between shades what lies between the least and the largest of many.
func (c *runChart) between(p *panel) {
	var least, most *line
	for _, l := range p.lines {
		switch l.id {
		case "least":
			least = l
		case "most":
			most = l
		}
	}
	if least == nil || most == nil || len(least.pieces) != 1 || len(most.pieces) != 1 {
		return
	}
	area := slices.Clone(most.pieces[0])
	for _, q := range slices.Backward(least.pieces[0]) {
		area = append(area, q)
	}
	it := sheet.Item{Layer: sheet.Walls}
	it.Polygon(sheet.Filled(sheet.Faint), area...)
	c.s.Add(it)
}

// tagLeading is the way from line to line of a label, ems.
const tagLeading = 1.05

// ending is where a line ends, to be named.
type ending struct {
	line *line
	at   sheet.Point
}

// tag is a label for one or more lines that end together.
type tag struct {
	ends  []ending
	want  float64 // mm, from the top of the sheet
	words []string
	bold  bool
}

// ends names the lines of a panel on its right.
func (c *runChart) ends(p *panel) {
	tags := c.tags(p)
	if len(tags) == 0 {
		return
	}
	want, size := make([]float64, len(tags)), make([]float64, len(tags))
	for i, t := range tags {
		want[i], size[i] = t.want, c.tagHigh(t)
	}
	lo, hi := c.tagRoom(p)
	for i, y := range apart(want, size, lo, hi) {
		c.tag(p, tags[i], y)
	}
}

// tagRoom gives the height in which a panel's labels may stand.
func (c *runChart) tagRoom(p *panel) (lo, hi float64) {
	const part = 0.4 // of the band over a panel, the same of the one under it
	lo, hi = p.box.Y0-ems(part*bandRow, c.text.body), p.box.Y1
	if p.box != c.bottom() {
		hi += ems(part*bandRow, c.text.body)
	}
	return lo, hi
}

func (c *runChart) tagHigh(t *tag) float64 {
	return ems(sheet.Ascent+sheet.Descent+float64(tagLeading*float64(len(t.words)-1)), c.text.body) + 0.3
}

// tags gives the labels of a panel from top to bottom, as many as have room:
// lines that end together share one, and so do neighbours while there are too
// many.
func (c *runChart) tags(p *panel) []*tag {
	var tags []*tag
	for _, l := range p.lines {
		if n := len(l.pieces); n > 0 {
			last := l.pieces[n-1]
			end := ending{l, last[len(last)-1]}
			tags = append(tags, &tag{ends: []ending{end}, want: end.at.Y, bold: l.bold})
		}
	}
	slices.SortStableFunc(tags, func(a, b *tag) int { return cmp.Compare(a.want, b.want) })
	lo, hi := c.tagRoom(p)
	for {
		total, closest, least := 0.0, 0, math.Inf(1)
		for i, t := range tags {
			c.word(t)
			total += c.tagHigh(t)
			if i > 0 {
				if d := t.want - tags[i-1].want; d < least && !t.bold && !tags[i-1].bold {
					closest, least = i, d
				}
			}
		}
		if closest == 0 || least > samePlace && total <= hi-lo {
			return tags
		}
		tags[closest-1].join(tags[closest])
		tags = slices.Delete(tags, closest, closest+1)
	}
}

// join takes the lines of another label in.
func (t *tag) join(u *tag) {
	n, m := float64(len(t.ends)), float64(len(u.ends))
	t.want = (float64(t.want*n) + float64(u.want*m)) / (n + m)
	t.ends = append(t.ends, u.ends...)
}

// word sets a label's words: neighbours in number as a range, all batteries as
// all, in at most three lines.
func (c *runChart) word(t *tag) {
	const most = 3
	font, width := sheet.Regular, c.room.X1-c.x.to-labelGap
	if t.bold {
		font = sheet.Bold
	}
	var parts []string
	var numbers []int
	for _, e := range t.ends {
		if e.line.battery >= 0 {
			numbers = append(numbers, e.line.battery)
		} else {
			parts = append(parts, e.line.label)
		}
	}
	slices.Sort(numbers)
	if n := len(c.ids); n > 2 && n <= each && len(numbers) == n {
		parts, numbers = append(parts, fmt.Sprintf("all %d", n)), nil
	}
	for i := 0; i < len(numbers); {
		k := i + 1
		for k < len(numbers) && numbers[k] == numbers[k-1]+1 {
			k++
		}
		if k-i > 2 {
			text := c.ids[numbers[i]] + "–" + c.ids[numbers[k-1]]
			if sheet.TextWidth(font, c.text.body, text) > width {
				text = strings.ReplaceAll(text, "–", " – ")
			}
			parts = append(parts, text)
		} else {
			for _, b := range numbers[i:k] {
				parts = append(parts, c.ids[b])
			}
		}
		i = k
	}
	t.words = wrapped(font, c.text.body, width, most, strings.Join(parts, " "))
	if len(t.words) == 0 {
		t.words = []string{"–"}
	}
}

// tag draws a label at a height, with leaders from the ends of its lines.
func (c *runChart) tag(p *panel, t *tag, y float64) {
	const clear, early = 0.7, 2.0 // mm
	left := p.box.X1 + labelGap
	it := sheet.Item{ID: t.ends[0].line.id, Layer: sheet.Words}
	drawn := map[sheet.Point]bool{}
	for _, e := range t.ends {
		if drawn[e.at] {
			continue
		}
		drawn[e.at] = true
		thin := sheet.Line(sheet.Grey, sheet.W013)
		if p.box.X1-e.at.X > early {
			thin = thin.Dashed(0.3, 1.2) // not to be taken for the line itself
		}
		it.Polyline(thin, e.at, sheet.Point{X: p.box.X1 + 0.3, Y: e.at.Y}, sheet.Point{X: left - 1.4, Y: y}, sheet.Point{X: left - clear, Y: y})
	}
	text := sheet.Text{Size: c.text.body, Role: sheet.Ink}
	if t.bold {
		text.Font = sheet.Bold
	}
	y -= ems(tagLeading/2*float64(len(t.words)-1), c.text.body)
	for i, w := range t.words {
		text.S = w
		text.At = sheet.Point{X: left, Y: y + ems(tagLeading*float64(i), c.text.body) + drop(c.text.body)}
		it.Text(text)
	}
	c.s.Add(it)
}
