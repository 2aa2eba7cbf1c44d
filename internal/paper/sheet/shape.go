package sheet

import "math"

// Style is how a path or circle is drawn. Weight is that of the stroke in mm.
type Style struct {
	Stroke, Fill Role
	Weight       float64
	Dash         []float64 // lengths of dash and gap in mm, nil for a continuous line
	Round        bool      // ends and corners rounded; else cut square and mitred
}

// Line is the style of a stroke without a fill.
func Line(r Role, weight float64) Style { return Style{Stroke: r, Weight: weight} }

// Filled is the style of an area without a stroke.
func Filled(r Role) Style { return Style{Fill: r} }

// Dashed gives the style with a dash pattern.
func (s Style) Dashed(lengths ...float64) Style {
	s.Dash = lengths
	return s
}

// On gives the style with a fill.
func (s Style) On(fill Role) Style {
	s.Fill = fill
	return s
}

// Rounded gives the style with rounded ends and corners.
func (s Style) Rounded() Style {
	s.Round = true
	return s
}

// Op is what a piece of a path does.
type Op uint8

// The pieces of a path. Move and To use the first point, Curve all three: two
// control points and the end of a cubic Bézier curve; Close uses none.
const (
	Move Op = iota
	To
	Curve
	Close
)

// Piece is one step of a path.
type Piece struct {
	Op Op
	P  [3]Point
}

// Path is a line of any shape.
type Path struct {
	Pieces []Piece
	Style  Style
}

// Circle is a full circle.
type Circle struct {
	Centre Point
	Radius float64
	Style  Style
}

// Box implements [Mark].
func (c Circle) Box() Box { return Around(c.Centre, 2*c.Radius, 2*c.Radius) }

// Box implements [Mark]. Control points count, so a curve may be smaller.
func (p Path) Box() Box {
	b := Box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, piece := range p.Pieces {
		for _, q := range piece.P[:piece.Op.points()] {
			b = b.Union(Box{q.X, q.Y, q.X, q.Y})
		}
	}
	return b
}

func (o Op) points() int {
	switch o {
	case Close:
		return 0
	case Curve:
		return 3
	}
	return 1
}

// MoveTo starts a new line at q.
func (p *Path) MoveTo(q Point) { p.Pieces = append(p.Pieces, Piece{Op: Move, P: [3]Point{q}}) }

// LineTo goes on straight to q.
func (p *Path) LineTo(q Point) { p.Pieces = append(p.Pieces, Piece{Op: To, P: [3]Point{q}}) }

// CurveTo goes on to q along a cubic Bézier curve.
func (p *Path) CurveTo(a, b, q Point) {
	p.Pieces = append(p.Pieces, Piece{Op: Curve, P: [3]Point{a, b, q}})
}

// Close goes back to where the line started.
func (p *Path) Close() { p.Pieces = append(p.Pieces, Piece{Op: Close}) }

// Arc goes on along a circle about c from one angle to another, in radians
// clockwise from the x axis as seen on the page; it starts with a straight
// line where the path is elsewhere. Each quarter is a cubic whose controls lie
// (4/3)·tan(θ/4) radii along the tangents, off the circle by less than
// 0.03 % of the radius (from memory).
func (p *Path) Arc(c Point, radius, from, to float64) {
	n := int(math.Ceil(math.Abs(to-from) / (math.Pi / 2)))
	at := func(a float64) Point {
		return Point{c.X + float64(radius*math.Cos(a)), c.Y + float64(radius*math.Sin(a))}
	}
	if len(p.Pieces) == 0 {
		p.MoveTo(at(from))
	} else {
		p.LineTo(at(from))
	}
	for i := range n {
		a := from + float64((to-from)*float64(i)/float64(n))
		b := from + float64((to-from)*float64(i+1)/float64(n))
		k := radius * 4 / 3 * math.Tan((b-a)/4)
		s, e := at(a), at(b)
		p.CurveTo(
			Point{s.X - float64(k*math.Sin(a)), s.Y + float64(k*math.Cos(a))},
			Point{e.X + float64(k*math.Sin(b)), e.Y - float64(k*math.Cos(b))}, e)
	}
}

// Polyline is a path through points.
func Polyline(style Style, points ...Point) Path {
	p := Path{Style: style}
	for i, q := range points {
		if i == 0 {
			p.MoveTo(q)
		} else {
			p.LineTo(q)
		}
	}
	return p
}

// Polygon is a closed path through points.
func Polygon(style Style, points ...Point) Path {
	p := Polyline(style, points...)
	p.Close()
	return p
}

// Rect is the outline of a box.
func Rect(style Style, b Box) Path {
	return Polygon(style, Point{b.X0, b.Y0}, Point{b.X1, b.Y0}, Point{b.X1, b.Y1}, Point{b.X0, b.Y1})
}

// Hatch is a set of slanting lines over a box, the distance apart across them
// given, each cut to the box.
func Hatch(style Style, b Box, apart float64) Path {
	p := Path{Style: style}
	step := apart * math.Sqrt2
	for i := 1; ; i++ {
		k := float64(step * float64(i)) // the line x - X0 + y - Y0 = k
		if k >= b.Width()+b.Height() {
			return p
		}
		x, y := min(k, b.Width()), min(k, b.Height())
		p.MoveTo(Point{b.X0 + x, b.Y0 + (k - x)})
		p.LineTo(Point{b.X0 + (k - y), b.Y0 + y})
	}
}

// Line adds a straight line to the item.
func (it *Item) Line(style Style, p, q Point) { it.Marks = append(it.Marks, Polyline(style, p, q)) }

// Polyline adds a path through points.
func (it *Item) Polyline(style Style, points ...Point) {
	it.Marks = append(it.Marks, Polyline(style, points...))
}

// Polygon adds a closed path through points.
func (it *Item) Polygon(style Style, points ...Point) {
	it.Marks = append(it.Marks, Polygon(style, points...))
}

// Rect adds the outline of a box.
func (it *Item) Rect(style Style, b Box) { it.Marks = append(it.Marks, Rect(style, b)) }

// Circle adds a circle.
func (it *Item) Circle(style Style, c Point, radius float64) {
	it.Marks = append(it.Marks, Circle{c, radius, style})
}

// Text adds a text.
func (it *Item) Text(t Text) { it.Marks = append(it.Marks, t) }
