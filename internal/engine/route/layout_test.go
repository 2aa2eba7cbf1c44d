package route

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// layout is a scene with the ends that cables join in it.
type layout struct {
	scene Scene
	posts []End
}

// heavy is a cable as used in most tests: 16 mm outside, 18 mm from its centre
// line to a case.
var heavy = Rules{Rise: 0.04, Clearance: 0.01, Radius: 0.05, Diameter: 0.016, Allowance: 0.01}

func box(id string, x, y, z, length, width, height float64) Box {
	return Box{id, Point{x, y, z}, Point{x + length, y + width, z + height}}
}

func post(x, y, z float64) End { return End{At: Point{x, y, z}, Rise: true} }

func stud(x, y, z float64) End { return End{At: Point{x, y, z}} }

// clash reports whether two boxes share volume.
func clash(a, b Box) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y &&
		a.Min.Z < b.Max.Z && b.Min.Z < a.Max.Z
}

// randomLayout places up to n batteries of random size on the floor of an area
// so small that many stand closer than a cable is thick: gaps are where routes
// go wrong. With rooms the area is one compartment and its wall to a second
// one has a hole; one battery stands in the second.
func randomLayout(rng *rand.Rand, n int, rooms bool) layout {
	var l layout
	in := func(low, high float64) float64 { return low + (high-low)*rng.Float64() }
	area := 0.35 * math.Sqrt(float64(n)+1)
	add := func(b Box) {
		for _, other := range l.scene.Boxes {
			if clash(b, other) {
				return
			}
		}
		l.scene.Boxes = append(l.scene.Boxes, b)
		// Posts 25 to 40 mm from the edges of the top, at opposite ends.
		for _, x := range []float64{b.Min.X + in(0.025, 0.04), b.Max.X - in(0.025, 0.04)} {
			l.posts = append(l.posts, post(x, in(b.Min.Y+0.025, b.Max.Y-0.025), b.Max.Z))
		}
	}
	for i := 0; len(l.scene.Boxes) < n && i < 50*n; i++ {
		length, width := in(0.15, 0.35), in(0.1, 0.25)
		add(box(fmt.Sprintf("B%d", i), in(0, area-length), in(0, area-width), 0, length, width, in(0.15, 0.3)))
	}
	if rooms {
		add(box("far", area+0.1, 0.1, 0, 0.2, 0.15, 0.2))
		l.scene.Rooms = []Room{
			{"bay", Point{0, 0, 0}, Point{area, area, 0.5}},
			{"locker", Point{area + 0.02, 0, 0}, Point{area + 0.45, 0.4, 0.4}},
		}
		l.scene.Passages = []Passage{{"hole", Point{area + 0.01, in(0.03, 0.37), in(0.03, 0.37)}, 0.03}}
	}
	return l
}

// bank is a bank of equal batteries in rows, as they are mostly built: 12 mm
// apart along and 8 mm across.
func bank(columns, rows int) layout {
	var l layout
	for j := range rows {
		for i := range columns {
			x, y := 0.342*float64(i), 0.18*float64(j)
			l.scene.Boxes = append(l.scene.Boxes, box(fmt.Sprintf("B%d", len(l.scene.Boxes)+1), x, y, 0, 0.33, 0.172, 0.215))
			l.posts = append(l.posts, post(x+0.03, y+0.03, 0.215), post(x+0.3, y+0.03, 0.215))
		}
	}
	return l
}

// eachPoint moves every point of a layout.
func (l layout) eachPoint(move func(Point) Point) layout {
	var m layout
	corners := func(a, b Point) (Point, Point) {
		a, b = move(a), move(b)
		return Point{min(a.X, b.X), min(a.Y, b.Y), min(a.Z, b.Z)}, Point{max(a.X, b.X), max(a.Y, b.Y), max(a.Z, b.Z)}
	}
	for _, b := range l.scene.Boxes {
		b.Min, b.Max = corners(b.Min, b.Max)
		m.scene.Boxes = append(m.scene.Boxes, b)
	}
	for _, r := range l.scene.Rooms {
		r.Min, r.Max = corners(r.Min, r.Max)
		m.scene.Rooms = append(m.scene.Rooms, r)
	}
	for _, p := range l.scene.Passages {
		p.At = move(p.At)
		m.scene.Passages = append(m.scene.Passages, p)
	}
	for _, e := range l.posts {
		m.posts = append(m.posts, End{move(e.At), e.Rise})
	}
	return m
}

// depth is how deep a point is inside a box grown by margin: positive inside.
func depth(p Point, b Box, margin float64) float64 {
	return margin + min(p.X-b.Min.X, b.Max.X-p.X, p.Y-b.Min.Y, b.Max.Y-p.Y, p.Z-b.Min.Z, b.Max.Z-p.Z)
}

// fault walks along a path in steps of at most 4 mm and says where it breaks
// the rules, without any of the code under test. margin is from centre line to
// case. Only posts, no studs.
func (l layout) fault(p Path, rules Rules, from, to End) string {
	const slack = 1e-9 // rounding of coordinates, m
	margin := rules.Diameter/2 + rules.Clearance
	if p.Close {
		margin = rules.Diameter / 2
	}
	if p.Points[0] != from.At || p.Points[len(p.Points)-1] != to.At {
		return "does not begin and end at its ends"
	}
	for i := 1; i < len(p.Points); i++ {
		a, b := p.Points[i-1], p.Points[i]
		dx, dy, dz := b.X-a.X, b.Y-a.Y, b.Z-a.Z
		if moved := btoi(dx != 0) + btoi(dy != 0) + btoi(dz != 0); moved != 1 {
			return fmt.Sprintf("leg %d goes along %d axes", i, moved)
		}
		steps := math.Ceil((math.Abs(dx) + math.Abs(dy) + math.Abs(dz)) / 0.004)
		for s := 0.0; s <= steps; s++ {
			q := Point{a.X + dx*s/steps, a.Y + dy*s/steps, a.Z + dz*s/steps}
			for _, c := range l.scene.Boxes {
				if depth(q, c, 0) > slack {
					return fmt.Sprintf("inside case %s at %v", c.ID, q)
				}
				// A rise may be in the zone of what lies below the post.
				rising := i == 1 && c.Max.Z <= from.At.Z || i == len(p.Points)-1 && c.Max.Z <= to.At.Z
				if !rising && depth(q, c, margin) > slack {
					return fmt.Sprintf("%g m into the zone of case %s at %v", depth(q, c, margin), c.ID, q)
				}
			}
			if !l.indoors(q, margin, slack) {
				return fmt.Sprintf("into a wall at %v", q)
			}
		}
	}
	return ""
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// indoors reports whether a point is in a room, margin off its walls, or on
// the axis of a hole in the one wall, which is across x, or between that axis
// and where the rooms' insets begin.
func (l layout) indoors(q Point, margin, slack float64) bool {
	if len(l.scene.Rooms) == 0 {
		return true
	}
	for _, r := range l.scene.Rooms {
		// A rise begins on a case on the floor, well above its zone.
		if depth(q, Box{"", r.Min, r.Max}, -margin) >= -slack {
			return true
		}
	}
	for _, h := range l.scene.Passages {
		low, high := l.scene.Rooms[0].Max.X-margin, l.scene.Rooms[1].Min.X+margin
		if math.Abs(q.Y-h.At.Y) <= slack && math.Abs(q.Z-h.At.Z) <= slack && q.X >= low-slack && q.X <= high+slack {
			return true
		}
		// At the mouth: less than the margin from the axis, and only where a
		// hole that is nearer than the margin to a side wall makes it so.
		if (math.Abs(q.X-low) <= slack || math.Abs(q.X-high) <= slack) &&
			math.Abs(q.Y-h.At.Y) <= margin && math.Abs(q.Z-h.At.Z) <= margin {
			return true
		}
	}
	return false
}
