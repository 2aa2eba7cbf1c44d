package plan

import (
	"cmp"
	"math"
	"slices"

	"bankwright/internal/model/bank"
	"bankwright/internal/paper/sheet"
)

// span is one thing to be measured, in metres along an axis, and the row its
// dimension line stands in.
type span struct {
	lo, hi float64
	row    int
}

// spans gives what is dimensioned: the inside of each compartment, or the
// group of batteries where there is none.
func (d *drawing) spans() (across, up []span) {
	boxes := make([]bank.Box, 0, len(d.bank.Compartments))
	for _, c := range d.bank.Compartments {
		boxes = append(boxes, c.Box)
	}
	if len(boxes) == 0 {
		group := d.bank.Batteries[0].Body.Box()
		for i := range d.bank.Batteries {
			b := d.bank.Batteries[i].Body.Box()
			group.Min = bank.Point{X: min(group.Min.X, b.Min.X), Y: min(group.Min.Y, b.Min.Y), Z: min(group.Min.Z, b.Min.Z)}
			group.Max = bank.Point{X: max(group.Max.X, b.Max.X), Y: max(group.Max.Y, b.Max.Y), Z: max(group.Max.Z, b.Max.Z)}
		}
		boxes = append(boxes, group)
	}
	for _, b := range boxes {
		x0, y0 := d.view.flat(b.Min)
		x1, y1 := d.view.flat(b.Max)
		across, up = append(across, span{lo: x0, hi: x1}), append(up, span{lo: y0, hi: y1})
	}
	return rows(across), rows(up)
}

// rows puts spans that do not overlap into one row, the short ones nearest to
// the drawing. What is said twice is said once.
func rows(list []span) []span {
	const mm = 1e-3 // m
	slices.SortStableFunc(list, func(a, b span) int { return cmp.Compare(a.hi-a.lo, b.hi-b.lo) })
	var kept []span
	for _, s := range list {
		twice := func(k span) bool { return math.Abs(k.lo-s.lo) < mm && math.Abs(k.hi-s.hi) < mm }
		if s.hi-s.lo < mm || slices.ContainsFunc(kept, twice) {
			continue
		}
		for slices.ContainsFunc(kept, func(k span) bool { return k.row == s.row && k.lo < s.hi-mm && s.lo < k.hi-mm }) {
			s.row++
		}
		kept = append(kept, s)
	}
	return kept
}

// dimensionRows counts the rows to the left and below.
func (d *drawing) dimensionRows() (n [2]int) {
	across, up := d.spans()
	for i, list := range [2][]span{up, across} {
		for _, s := range list {
			n[i] = max(n[i], s.row+1)
		}
	}
	return n
}

// dimensions draws the dimension lines below and to the left, lettered to be
// read from the bottom and from the right (ISO 129-1:2018, from memory).
func (d *drawing) dimensions() {
	const off = 5.0 // from the drawing to the first line
	across, up := d.spans()
	foot := d.view.box(extent(d.bank, nil)).Grown(d.style.wall)
	for _, s := range across {
		lo, hi := d.dimPlace(s.lo, true), d.dimPlace(s.hi, true)
		d.dimension(lo, hi, d.drawn.Y1+off+dimRoom*float64(s.row), foot.Y1, s, true)
	}
	for _, s := range up {
		lo, hi := d.dimPlace(s.hi, false), d.dimPlace(s.lo, false)
		d.dimension(lo, hi, d.drawn.X0-off-dimRoom*float64(s.row), foot.X0, s, false)
	}
}

// dimPlace gives where a coordinate in metres lies along its axis on paper.
func (d *drawing) dimPlace(v float64, level bool) float64 {
	if level {
		return d.view.at(bank.Point{X: v}).X
	}
	return d.view.at(bank.Point{Y: v, Z: v}).Y
}

// dimension draws one line from lo to hi along its axis; pos is its place
// across, foot where its extension lines start.
func (d *drawing) dimension(lo, hi, pos, foot float64, s span, level bool) {
	at := func(along, across float64) sheet.Point {
		if level {
			return pt(along, across)
		}
		return pt(across, along)
	}
	out := 1.0
	if !level {
		out = -1
	}
	thin := sheet.Line(sheet.Ink, sheet.W018)
	it := sheet.Item{Layer: sheet.Dimensions}
	for _, x := range []float64{lo, hi} {
		it.Line(sheet.Line(sheet.Grey, sheet.W013), at(x, foot+out), at(x, pos+1.5*out))
	}
	text := sheet.Text{S: d.bank.Show.FormatLength(length(s.hi - s.lo)), Size: sheet.Body, Role: sheet.Ink, Anchor: sheet.Middle, Turned: !level}
	const head = 2.2
	outside := hi-lo < text.Width()+2*head
	text.At = at((lo+hi)/2, pos-0.9)
	if outside {
		it.Line(thin, at(lo-2*head, pos), at(hi+2*head, pos))
		text.Anchor = sheet.Start
		text.At = at(hi+2*head+0.8, pos+0.36*text.Size)
		if !level { // turned text runs up the page
			text.At = at(lo-2*head-0.8, pos+0.36*text.Size)
		}
	} else {
		it.Line(thin, at(lo, pos), at(hi, pos))
	}
	for i, x := range []float64{lo, hi} {
		dir := float64(2*i - 1)
		if outside {
			dir = -dir
		}
		it.Polygon(sheet.Filled(sheet.Ink), at(x, pos), at(x-float64(dir*head), pos-0.35), at(x-float64(dir*head), pos+0.35))
	}
	for d.taken(text.Box()) { // only where small things stand close together
		text.At = text.At.Plus(at(0, 3.2*out))
	}
	it.Text(text)
	d.said = append(d.said, text.Box())
	d.board.Block(text.Box(), "")
	d.board.Stroke(0.5, 3, at(lo, pos), at(hi, pos))
	d.s.Add(it)
}

func (d *drawing) taken(b sheet.Box) bool {
	return slices.ContainsFunc(d.said, b.Grown(0.5).Overlaps)
}
