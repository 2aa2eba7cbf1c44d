package sheet

import "math"

// Point is a place on paper, mm.
type Point struct{ X, Y float64 }

// Plus gives p moved by q.
func (p Point) Plus(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Minus gives the way from q to p.
func (p Point) Minus(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Times gives p stretched by f.
func (p Point) Times(f float64) Point { return Point{float64(p.X * f), float64(p.Y * f)} }

// Length gives the distance of p from the origin.
func (p Point) Length() float64 { return math.Sqrt(float64(p.X*p.X) + float64(p.Y*p.Y)) }

// Unit gives the direction of p, nil where p is the origin.
func (p Point) Unit() Point {
	if l := p.Length(); l > 0 {
		return Point{p.X / l, p.Y / l}
	}
	return Point{}
}

// Left gives p turned a quarter to the left, as seen by one who walks along p
// on a page whose y runs down.
func (p Point) Left() Point { return Point{p.Y, -p.X} }

// Between gives the point at fraction t of the way from p to q.
func Between(p, q Point, t float64) Point {
	return Point{p.X + float64(t*(q.X-p.X)), p.Y + float64(t*(q.Y-p.Y))}
}

// Box is an upright rectangle on paper, mm.
type Box struct{ X0, Y0, X1, Y1 float64 }

// Around gives the box of a width and height about a centre.
func Around(c Point, w, h float64) Box {
	return Box{c.X - w/2, c.Y - h/2, c.X + w/2, c.Y + h/2}
}

// Width and Height give the size of the box.
func (b Box) Width() float64  { return b.X1 - b.X0 }
func (b Box) Height() float64 { return b.Y1 - b.Y0 }

// Centre gives the middle of the box.
func (b Box) Centre() Point { return Point{(b.X0 + b.X1) / 2, (b.Y0 + b.Y1) / 2} }

// Grown gives the box with every side moved outward by d, which may be
// negative.
func (b Box) Grown(d float64) Box { return Box{b.X0 - d, b.Y0 - d, b.X1 + d, b.Y1 + d} }

// hair is how much boxes may share and still not overlap: the last printed
// digit of the SVG writer.
const hair = 0.005 // mm

// Overlaps reports whether two boxes share area; touching sides do not.
func (b Box) Overlaps(c Box) bool {
	return b.X0 < c.X1-hair && c.X0 < b.X1-hair && b.Y0 < c.Y1-hair && c.Y0 < b.Y1-hair
}

// Contains reports whether c lies within b, sides touching allowed.
func (b Box) Contains(c Box) bool {
	return c.X0 >= b.X0-hair && c.X1 <= b.X1+hair && c.Y0 >= b.Y0-hair && c.Y1 <= b.Y1+hair
}

// Union gives the smallest box that holds both.
func (b Box) Union(c Box) Box {
	return Box{min(b.X0, c.X0), min(b.Y0, c.Y0), max(b.X1, c.X1), max(b.Y1, c.Y1)}
}

// Nearest gives the point of the box closest to p.
func (b Box) Nearest(p Point) Point {
	return Point{min(max(p.X, b.X0), b.X1), min(max(p.Y, b.Y0), b.Y1)}
}

func (b Box) finite() bool {
	for _, v := range [...]float64{b.X0, b.Y0, b.X1, b.Y1} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// Within gives the length of the straight line from p to q that lies inside
// the box.
func (b Box) Within(p, q Point) float64 {
	if p.X <= b.X0 && q.X <= b.X0 || p.X >= b.X1 && q.X >= b.X1 || p.Y <= b.Y0 && q.Y <= b.Y0 || p.Y >= b.Y1 && q.Y >= b.Y1 {
		return 0 // most lines by far, or along a side
	}
	from, to := 0.0, 1.0
	for _, side := range [...][3]float64{
		{p.X, q.X - p.X, b.X0}, {p.Y, q.Y - p.Y, b.Y0},
		{-p.X, p.X - q.X, -b.X1}, {-p.Y, p.Y - q.Y, -b.Y1},
	} {
		at, step, limit := side[0], side[1], side[2] // inside where at + t·step >= limit
		switch {
		case step > 0:
			from = max(from, (limit-at)/step)
		case step < 0:
			to = min(to, (limit-at)/step)
		}
	}
	if to <= from {
		return 0
	}
	return (to - from) * q.Minus(p).Length()
}

// Cross reports whether the straight lines p to q and r to s cross at a point
// that is the end of neither.
func Cross(p, q, r, s Point) bool {
	return side(p, q, r)*side(p, q, s) < 0 && side(r, s, p)*side(r, s, q) < 0
}

// side is positive where r lies on one side of the line through p and q,
// negative on the other.
func side(p, q, r Point) float64 {
	return float64((q.X-p.X)*(r.Y-p.Y)) - float64((q.Y-p.Y)*(r.X-p.X))
}
