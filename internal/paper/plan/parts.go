package plan

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/model/bank"
	"bankwright/internal/paper/sheet"
)

// partShape is a part on paper: its ends and, along and across them, the
// outline of its body.
type partShape struct {
	p     *bank.Part
	ends  []sheet.Point
	along sheet.Point // from the first end to the last, of length one
	from  sheet.Point // the body's axis
	to    sheet.Point
	thick float64
}

// shape lays a part out. What is too small to be seen is drawn larger.
func (d *drawing) shape(p *bank.Part) partShape {
	s := partShape{p: p}
	for k := range p.Ends() {
		at, _ := p.EndPoint(k)
		s.ends = append(s.ends, d.view.at(at))
	}
	first, last := s.ends[0], s.ends[len(s.ends)-1]
	s.along = last.Minus(first).Unit()
	if last.Minus(first).Length() < 0.5 {
		s.along = pt(1, 0)
	}
	box := d.view.box(p.Body.Box())
	long, across := math.Abs(box.Width()*s.along.X)+math.Abs(box.Height()*s.along.Y), math.Abs(box.Width()*s.along.Y)+math.Abs(box.Height()*s.along.X)
	const leastLong, leastThick = 7, 3
	mid := sheet.Between(first, last, 0.5)
	if d.view.front {
		mid = box.Centre()
	}
	long = max(long, leastLong)
	s.from, s.to = mid.Minus(s.along.Times(long/2)), mid.Plus(s.along.Times(long/2))
	s.thick = max(across, leastThick)
	return s
}

// outline gives the corners of the body, or of the middle part of it.
func (s partShape) outline(fraction float64) []sheet.Point {
	cut := (1 - fraction) / 2
	p, q := sheet.Between(s.from, s.to, cut), sheet.Between(s.from, s.to, 1-cut)
	side := s.along.Left().Times(s.thick / 2)
	return []sheet.Point{p.Plus(side), q.Plus(side), q.Minus(side), p.Minus(side)}
}

func (s partShape) box() sheet.Box {
	b := sheet.Box{X0: s.from.X, Y0: s.from.Y, X1: s.from.X, Y1: s.from.Y}
	for _, p := range s.outline(1) {
		b = b.Union(sheet.Box{X0: p.X, Y0: p.Y, X1: p.X, Y1: p.Y})
	}
	return b
}

// partBoxes gives the outlines of all parts that have a body.
func (d *drawing) partBoxes() []sheet.Box {
	var list []sheet.Box
	for i := range d.bank.Parts {
		if p := &d.bank.Parts[i]; p.Kind != bank.Stud {
			list = append(list, d.shape(p).box())
		}
	}
	return list
}

// partsFarFirst sorts the parts so that what is nearer to the reader comes
// last.
func (d *drawing) partsFarFirst() []*bank.Part {
	var list []*bank.Part
	for i := range d.bank.Parts {
		list = append(list, &d.bank.Parts[i])
	}
	slices.SortStableFunc(list, func(a, b *bank.Part) int { return d.farther(a.Body, b.Body) })
	return list
}

// partBodies draws what the ends and cables then lie on. The symbols are after
// IEC 60617: a fuse a rectangle with the conductor through it, a switch an
// open or closed blade, a shunt a resistor with its two sense leads (from
// memory).
func (d *drawing) partBodies() {
	for _, p := range d.partsFarFirst() {
		if p.Kind == bank.Stud {
			continue
		}
		s := d.shape(p)
		it := sheet.Item{ID: p.ID, Name: partName(p), Layer: sheet.Cases}
		ink := sheet.Line(sheet.Ink, sheet.W035)
		it.Polygon(ink.On(sheet.Paper), s.outline(1)...)
		switch p.Kind {
		case bank.Fuse:
			it.Polygon(ink, s.outline(0.55)...)
			it.Line(ink, s.from, s.to)
		case bank.Switch:
			s.blade(&it, p.Open)
		case bank.Shunt:
			s.sense(&it)
		}
		d.s.Add(it)
	}
}

func (s partShape) blade(it *sheet.Item, open bool) {
	ink := sheet.Line(sheet.Ink, sheet.W035)
	a, b := sheet.Between(s.from, s.to, 0.3), sheet.Between(s.from, s.to, 0.7)
	tip := b
	if open {
		tip = b.Plus(s.along.Left().Times(min(s.thick/2-0.3, b.Minus(a).Length()*0.5)))
	}
	it.Line(ink, s.from, a)
	it.Line(ink, b, s.to)
	it.Line(sheet.Line(sheet.Ink, sheet.W050).Rounded(), a, tip)
	it.Circle(sheet.Filled(sheet.Ink), a, 0.5)
	it.Circle(ink.On(sheet.Paper), b, 0.5)
}

func (s partShape) sense(it *sheet.Item) {
	ink := sheet.Line(sheet.Ink, sheet.W035)
	small := s
	small.thick *= 0.5
	it.Line(ink, s.from, s.to)
	it.Polygon(ink.On(sheet.Paper), small.outline(0.5)...)
	for _, t := range []float64{0.32, 0.68} {
		p := sheet.Between(s.from, s.to, t)
		it.Line(sheet.Line(sheet.Ink, sheet.W018), p.Plus(s.along.Left().Times(s.thick/4)), p.Plus(s.along.Left().Times(s.thick/2)))
	}
}

// partEnds draws studs as diamonds and the ends of other parts as small
// circles, in the colour of the rail they lie on.
func (d *drawing) partEnds() {
	for _, p := range d.partsFarFirst() {
		for k, end := range p.Ends() {
			if end == p.On {
				continue // its host draws it
			}
			at, _ := p.EndPoint(k)
			place := d.view.at(at)
			kind := d.net.kind(end)
			it := sheet.Item{ID: end.String(), Name: endName(p, end, kind), Layer: sheet.Posts}
			style := sheet.Line(kind.role(), 0.28*d.style.post).On(sheet.Paper)
			if p.Kind == bank.Stud {
				d.ring(&it, end, place)
				r := 0.95 * d.style.post
				it.Polygon(style, place.Plus(pt(0, -r)), place.Plus(pt(r, 0)), place.Plus(pt(0, r)), place.Plus(pt(-r, 0)))
			} else {
				if d.takesOff(end.String()) {
					it.Circle(sheet.Line(sheet.Ink, sheet.W050), place, d.style.post+0.1)
				}
				it.Circle(style, place, 0.6*d.style.post)
			}
			d.s.Add(it)
		}
	}
}

func endName(p *bank.Part, end bank.End, k kind) string {
	if p.Kind == bank.Stud {
		return "stud " + p.ID + ", " + k.String()
	}
	return fmt.Sprintf("end %s of %s, %s", end, partName(p), k)
}

func partName(p *bank.Part) string {
	name := string(p.Kind) + " " + p.ID
	if p.Open {
		name += ", open"
	}
	return name
}

// partLabels asks for places for the parts' names.
func (d *drawing) partLabels() {
	for i := range d.bank.Parts {
		p := &d.bank.Parts[i]
		if d.opt.Small && d.takesOff(p.ID) {
			continue // the word take-off names it
		}
		lines := []line{{text: p.ID, size: d.style.text, font: sheet.Bold}}
		if p.Kind != bank.Stud && !d.opt.Small {
			word := string(p.Kind)
			if p.Open {
				word += ", open"
			}
			lines = append(lines, line{text: word, size: sheet.Fine})
		}
		if slices.Contains(d.adrift, p.ID) && !d.opt.Small {
			lines = append(lines, line{text: "place not given", size: sheet.Fine, role: sheet.Attention})
		}
		w, h := measure(lines)
		box := sheet.Around(d.shape(p).ends[0], 2*d.style.post, 2*d.style.post)
		near := d.style.post + 0.9
		if p.Kind != bank.Stud {
			box = d.shape(p).box()
			near = min(box.Width(), box.Height())/2 + 0.9
		} else if d.takesOff(p.ID) {
			near += d.ringRoom()
		}
		var choices []sheet.Choice
		for _, t := range []float64{0.5, 0, 1} {
			at := sheet.Between(pt(box.X0, box.Y0), pt(box.X1, box.Y1), t)
			if box.Width() >= box.Height() {
				at.Y = box.Centre().Y
			} else {
				at.X = box.Centre().X
			}
			for _, c := range sheet.Beside(at, w, h, near-0.6, near, 50) {
				c.Cost += float64(2 * math.Abs(t-0.5))
				choices = append(choices, c)
			}
		}
		d.labels = append(d.labels, pending{id: p.ID, lines: lines, label: sheet.Label{Owner: d.owner[p.Ends()[0].String()], Choices: choices}})
	}
}

// takeoffLabels asks for places for the words at the take-off.
func (d *drawing) takeoffLabels() {
	for _, t := range []struct {
		end  bank.End
		word string
		role sheet.Role
	}{{d.takeoff.Positive, "take-off +", sheet.Positive}, {d.takeoff.Negative, "take-off −", sheet.Negative}} {
		place, ok := d.bank.Locate(t.end)
		if !ok {
			continue
		}
		lines := []line{{text: t.word, size: d.style.text, font: sheet.Bold, role: t.role}}
		if !math.IsNaN(d.total) && !d.opt.Small {
			lines = append(lines, line{text: d.amps(math.Abs(d.total)), size: d.style.text})
		}
		if d.opt.Small {
			lines[0].size = sheet.Fine
		}
		w, h := measure(lines)
		r := d.style.post + d.ringRoom()
		d.labels = append(d.labels, pending{id: t.end.String(), lines: lines,
			label: sheet.Label{Owner: d.owner[t.end.String()], Choices: sheet.Beside(d.view.at(place), w, h, r, r+0.5, 50)}})
	}
}
