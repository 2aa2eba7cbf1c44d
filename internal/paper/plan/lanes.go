package plan

import (
	"math"
	"slices"

	"bankwright/internal/paper/sheet"
)

// lane is one cable on paper: the corners of its centre line and its width.
type lane struct {
	run    int
	points []sheet.Point // at least two, if it is longer than a dot
	width  float64
	routed bool
	dot    bool // it runs straight along the line of sight
}

// Room between cables side by side, and between a cable and a post that is not
// its own, mm.
const (
	laneGap = 0.6
	postGap = 0.5
	same    = 0.25 // centre lines nearer than this lie on one another
)

// lanes projects the runs and lays those side by side that would hide one
// another.
func (d *drawing) lanes() []lane {
	most := d.widest()
	list := make([]lane, 0, len(d.runs))
	for i, r := range d.runs {
		l := lane{run: i, width: d.width(r, most), routed: len(r.points) > 1}
		if l.routed {
			for _, p := range r.points {
				l.points = append(l.points, d.view.at(p))
			}
		} else if from, to, ok := d.ends(r); ok {
			l.points = []sheet.Point{from, pt(to.X, from.Y), to}
		}
		l.points = corners(l.points)
		l.dot = len(l.points) < 2
		list = append(list, l)
	}
	f := fan{lanes: list, pins: d.pins(), front: d.view.front}
	f.spread(true)
	f.spread(false)
	f.apply()
	return f.lanes
}

// ends gives where a run starts and ends on paper.
func (d *drawing) ends(r run) (from, to sheet.Point, ok bool) {
	a, okA := d.bank.Locate(r.from)
	b, okB := d.bank.Locate(r.to)
	return d.view.at(a), d.view.at(b), okA && okB
}

// width is in proportion to the current, but never under the least that still
// shows what kind of cable it is.
func (d *drawing) width(r run, most float64) float64 {
	switch {
	case !d.live || math.IsNaN(r.current) || most == 0:
		return max(d.style.least, 0.3*d.style.wide)
	case r.link:
		return d.style.least
	}
	return max(d.style.least, d.style.wide*(math.Abs(r.current)/most))
}

// corners drops points said twice and those on a straight way. A way back on
// itself gets a corner of its own, so that both stretches can be moved apart.
func corners(points []sheet.Point) []sheet.Point {
	const near = 0.02 // mm
	var list []sheet.Point
	for _, p := range points {
		n := len(list)
		if n > 0 && p.Minus(list[n-1]).Length() < near {
			continue
		}
		if n > 1 {
			a, b := list[n-1].Minus(list[n-2]).Unit(), p.Minus(list[n-1]).Unit()
			along := float64(a.X*b.X) + float64(a.Y*b.Y)
			if along > 1-1e-6 {
				list[n-1] = p
				continue
			}
			if along < -1+1e-6 {
				list = append(list, list[n-1])
			}
		}
		list = append(list, p)
	}
	return list
}

// pin is a post or another end: a cable that does not end there goes round it.
type pin struct {
	at      sheet.Point
	radius  float64
	name    string
	outward sheet.Point // the way out of its battery
}

// pins lists all ends on paper.
func (d *drawing) pins() []pin {
	var list []pin
	for _, c := range d.cells {
		middle := d.view.box(c.b.Body.Box()).Centre()
		for _, plus := range []bool{true, false} {
			p, _ := c.b.Post(plus)
			end := c.b.Minus()
			if plus {
				end = c.b.Plus()
			}
			place := d.view.at(p)
			list = append(list, pin{place, d.style.post, end.String(), place.Minus(middle)})
		}
	}
	for i := range d.bank.Parts {
		p := &d.bank.Parts[i]
		for k, end := range p.Ends() {
			if end == p.On {
				continue
			}
			at, _ := p.EndPoint(k)
			list = append(list, pin{at: d.view.at(at), radius: d.style.post, name: end.String()})
		}
	}
	return list
}

// leg is one straight stretch of a lane along an axis.
type leg struct {
	lane, from int     // the stretch from corner from to the next
	pos        float64 // across the axis: y of a level leg, x of an upright one
	lo, hi     float64 // along the axis
	width      float64
}

// fan lays lanes side by side.
type fan struct {
	lanes []lane
	pins  []pin
	front bool            // seen from the front, where a way up and down again is one line
	shift [][]sheet.Point // of each corner of each lane
}

// legOf gives the stretch of a lane from a corner on, if it lies along the
// axis.
func (f *fan) legOf(l, from int, level bool) (leg, bool) {
	p, q := f.lanes[l].points[from], f.lanes[l].points[from+1]
	if !level {
		p, q = pt(p.Y, p.X), pt(q.Y, q.X)
	}
	const flat = 0.02 // mm
	if math.Abs(p.Y-q.Y) > flat || math.Abs(p.X-q.X) <= flat {
		return leg{}, false
	}
	return leg{l, from, p.Y, min(p.X, q.X), max(p.X, q.X), f.lanes[l].width}, true
}

// ended reports whether a corner of a lane is its end, and at which pin.
func (f *fan) ended(l, corner int) (pin, bool) {
	lane := f.lanes[l]
	if corner != 0 && corner != len(lane.points)-1 {
		return pin{}, false
	}
	best, least := pin{at: lane.points[corner]}, 1.0
	for _, p := range f.pins {
		if d := p.at.Minus(lane.points[corner]).Length(); d < least {
			best, least = p, d
		}
	}
	return best, true
}

// touches reports whether a lane starts or ends at a pin.
func (f *fan) touches(l int, p pin) bool {
	points := f.lanes[l].points
	const near = 1.0 // mm
	return p.at.Minus(points[0]).Length() < near || p.at.Minus(points[len(points)-1]).Length() < near
}

// apply moves the corners. A lane whose end leg was moved aside still starts
// at its post: a short stub leads over.
func (f *fan) apply() {
	for i := range f.lanes {
		l := &f.lanes[i]
		if l.dot || f.shift == nil {
			continue
		}
		l.points = slices.Clone(l.points)
		first, last := l.points[0], l.points[len(l.points)-1]
		for k := range l.points {
			l.points[k] = l.points[k].Plus(f.shift[i][k])
		}
		points := append([]sheet.Point{first}, l.points...)
		l.points = corners(append(points, last))
	}
}
