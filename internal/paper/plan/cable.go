package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bankwright/internal/paper/sheet"
)

// cables draws the lanes: positive solid, negative with a light line along
// its core, series links hollow, those without a route dashed. The higher
// cable is drawn over the lower.
func (d *drawing) cables(lanes []lane) {
	order := make([]int, len(lanes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(d.height(lanes[a]), d.height(lanes[b])) })
	for _, i := range order {
		d.cable(lanes[i])
	}
}

// height is how near to the reader a run lies at its nearest.
func (d *drawing) height(l lane) float64 {
	h := math.Inf(-1)
	for _, p := range d.runs[l.run].points {
		if d.view.front {
			h = max(h, -p.Y)
		} else {
			h = max(h, p.Z)
		}
	}
	return h
}

func (d *drawing) cable(l lane) {
	r := d.runs[l.run]
	it := sheet.Item{ID: r.id, Name: d.cableName(r, l), Layer: sheet.Conductors}
	role := r.kind.role()
	if l.dot {
		if len(l.points) == 1 {
			it.Circle(sheet.Line(role, sheet.W050), l.points[0], d.style.post+0.8)
			d.s.Add(it)
			return
		}
		return // an end that the job does not place
	}
	solid := sheet.Style{Stroke: role, Weight: l.width}
	if !l.routed {
		solid = solid.Dashed(dashes[:]...)
	}
	const casing = 0.45 // mm of paper on either side where one cable passes over another
	if trimmed := trim(l.points, d.style.post+0.6); len(trimmed) > 1 {
		it.Marks = append(it.Marks, bent(sheet.Line(sheet.Paper, l.width+2*casing), trimmed, l.width))
	}
	it.Marks = append(it.Marks, bent(solid, l.points, l.width))
	if w := core(r.kind, l.width); w > 0 {
		it.Marks = append(it.Marks, bent(sheet.Line(sheet.Paper, w), l.points, l.width))
	}
	d.arrow(&it, r, l)
	d.s.Add(it)
}

// dashes are those of a cable without a route, mm.
var dashes = [...]float64{2.2, 1.3}

// core gives the width of the light line along the middle of a cable.
func core(k kind, width float64) float64 {
	switch k {
	case negative:
		return min(0.7, max(0.22, 0.2*width))
	case between:
		return max(0.35*width, width-1)
	}
	return 0
}

// cableName is what a screen reader says.
func (d *drawing) cableName(r run, l lane) string {
	name := "cable " + r.from.String() + " to " + r.to.String()
	if r.label != "" {
		name = "cable " + r.label + ", " + r.from.String() + " to " + r.to.String()
	}
	name += ", " + r.kind.String() + r.about
	switch {
	case math.IsNaN(r.current):
	case r.current < 0:
		name += fmt.Sprintf(", %s from %s to %s", d.amps(-r.current), r.to, r.from)
	default:
		name += fmt.Sprintf(", %s from %s to %s", d.amps(r.current), r.from, r.to)
	}
	if !l.routed {
		name += ", not routed"
	}
	return name
}

// bent is a way through points with its corners rounded as a cable bends.
func bent(style sheet.Style, points []sheet.Point, width float64) sheet.Path {
	const square = 0.5523 // controls of a quarter circle, (4/3)·tan(π/8)
	p := sheet.Path{Style: style}
	p.MoveTo(points[0])
	for i := 1; i+1 < len(points); i++ {
		in, out := points[i].Minus(points[i-1]), points[i+1].Minus(points[i])
		r := min(float64(0.7*width)+0.6, in.Length()/2, out.Length()/2)
		from, to := points[i].Minus(in.Unit().Times(r)), points[i].Plus(out.Unit().Times(r))
		p.LineTo(from)
		p.CurveTo(from.Plus(in.Unit().Times(r*square)), to.Minus(out.Unit().Times(r*square)), to)
	}
	p.LineTo(points[len(points)-1])
	return p
}

// trim cuts a length off both ends of a way; nothing is left of a short one.
func trim(points []sheet.Point, by float64) []sheet.Point {
	cut := func(list []sheet.Point) []sheet.Point {
		rest := by
		for len(list) > 1 {
			way := list[1].Minus(list[0])
			if l := way.Length(); l > rest {
				list = slices.Clone(list)
				list[0] = list[0].Plus(way.Unit().Times(rest))
				return list
			} else {
				rest -= l
			}
			list = list[1:]
		}
		return nil
	}
	list := slices.Clone(cut(points))
	slices.Reverse(list)
	list = slices.Clone(cut(list))
	slices.Reverse(list)
	return list
}

// arrow shows which way the current flows: on a broad cable as a notch cut out
// of it, on a thin one as a head.
func (d *drawing) arrow(it *sheet.Item, r run, l lane) {
	mid, u, ok := d.arrowAt(r, l)
	if !ok {
		return
	}
	if l.width >= max(0.5*d.style.wide, 1.1*d.style.post) {
		k, role := 0.3*l.width, sheet.Paper
		if r.kind == between { // hollow
			k, role = 0.2*l.width, sheet.Grey
		}
		it.Polyline(sheet.Line(role, max(sheet.W035, 0.14*l.width)),
			mid.Minus(u.Times(k/2)).Plus(u.Left().Times(k)), mid.Plus(u.Times(k/2)), mid.Minus(u.Times(k/2)).Minus(u.Left().Times(k)))
		return
	}
	k := d.head(l)
	it.Polygon(sheet.Filled(r.kind.role()),
		mid.Plus(u.Times(1.1*k)), mid.Minus(u.Times(0.8*k)).Plus(u.Left().Times(k)), mid.Minus(u.Times(0.8*k)).Minus(u.Left().Times(k)))
}

// head is half the breadth of an arrow's head.
func (d *drawing) head(l lane) float64 { return l.width/2 + 0.3*d.style.post }

// arrowAt gives where a lane's arrow stands and which way it points; ok is
// false where nothing flows or no stretch is long enough.
func (d *drawing) arrowAt(r run, l lane) (mid, u sheet.Point, ok bool) {
	if math.IsNaN(r.current) || math.Abs(r.current) < 0.5*math.Pow10(-d.decimals) {
		return mid, u, false
	}
	p, q, ok := longest(l.points)
	if r.current < 0 {
		p, q = q, p
	}
	return sheet.Between(p, q, 0.5), q.Minus(p).Unit(), ok
}

// longest gives the longest straight stretch of a way; ok is false where none
// is long enough for an arrow.
func longest(points []sheet.Point) (p, q sheet.Point, ok bool) {
	most := 3.0 // mm
	for i := 1; i < len(points); i++ {
		if l := points[i].Minus(points[i-1]).Length(); l > most+1e-9 {
			p, q, ok, most = points[i-1], points[i], true, l
		}
	}
	return p, q, ok
}

// cableLabels asks for a place for each cable's label, the broad ones first.
func (d *drawing) cableLabels(lanes []lane) {
	order := slices.Clone(lanes)
	slices.SortStableFunc(order, func(a, b lane) int { return cmp.Compare(b.width, a.width) })
	for _, l := range order {
		r := d.runs[l.run]
		text := r.label
		if !math.IsNaN(r.current) && !r.link && !d.idle(r.current) {
			if text != "" {
				text += " "
			}
			text += d.amps(math.Abs(r.current))
		}
		if !l.routed {
			text += ", not routed"
		}
		if text == "" || len(l.points) == 0 {
			continue
		}
		lines := []line{{text: text, size: d.style.text}}
		w, h := measure(lines)
		var choices []sheet.Choice
		for _, at := range anchors(l) {
			for _, c := range sheet.Beside(at.point, w, h, 0, l.width/2+0.7, 50) {
				c.Cost += at.cost
				choices = append(choices, c)
			}
		}
		d.labels = append(d.labels, pending{id: r.id, lines: lines, dotted: true, label: sheet.Label{Owner: r.id, Choices: choices}})
	}
}

// idle reports whether a cable carries nothing while others do, as all beyond
// the take-off: a row of noughts says less than the empty place.
func (d *drawing) idle(amps float64) bool {
	const nothing = 1e-9 // of the largest
	return math.Abs(amps) <= nothing*d.largest()
}

// anchor is a point of a cable that its label may point at.
type anchor struct {
	point sheet.Point
	cost  float64
}

// anchors gives points along the longer stretches of a lane, the middle of the
// longest first.
func anchors(l lane) []anchor {
	if l.dot {
		return []anchor{{l.points[0], 0}}
	}
	var list []anchor
	most := 0.0
	for i := 1; i < len(l.points); i++ {
		most = max(most, l.points[i].Minus(l.points[i-1]).Length())
	}
	for i := 1; i < len(l.points); i++ {
		p, q := l.points[i-1], l.points[i]
		length := q.Minus(p).Length()
		if length < 0.3*most {
			continue
		}
		for _, t := range []float64{0.5, 0.3, 0.7, 0.15, 0.85} {
			list = append(list, anchor{sheet.Between(p, q, t), float64(3*(1-length/most)) + float64(3*math.Abs(t-0.5))})
		}
	}
	return list
}
