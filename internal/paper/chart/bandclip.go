package chart

import (
	"math"

	"bankwright/internal/paper/sheet"
)

// clip gives the pieces of a line that lie within a box.
func clip(points []sheet.Point, box sheet.Box) [][]sheet.Point {
	var pieces [][]sheet.Point
	for i := 1; i < len(points); i++ {
		p, q, ok := clipSegment(points[i-1], points[i], box)
		if !ok {
			continue
		}
		if n := len(pieces); n > 0 && pieces[n-1][len(pieces[n-1])-1] == p {
			pieces[n-1] = append(pieces[n-1], q)
		} else {
			pieces = append(pieces, []sheet.Point{p, q})
		}
	}
	return pieces
}

// clipSegment gives the part of a straight line within a box, by the parameter
// at which it passes each side (Liang and Barsky).
func clipSegment(p, q sheet.Point, box sheet.Box) (from, to sheet.Point, ok bool) {
	t0, t1 := 0.0, 1.0
	d := q.Minus(p)
	for _, side := range [...]struct{ way, room float64 }{{-d.X, p.X - box.X0}, {d.X, box.X1 - p.X}, {-d.Y, p.Y - box.Y0}, {d.Y, box.Y1 - p.Y}} {
		switch {
		case side.way == 0 && side.room < 0:
			return p, q, false
		case side.way < 0:
			t0 = math.Max(t0, side.room/side.way)
		case side.way > 0:
			t1 = math.Min(t1, side.room/side.way)
		}
	}
	if !(t0 < t1) {
		return p, q, false
	}
	from, to = p, q
	if t0 > 0 {
		from = box.Nearest(sheet.Between(p, q, t0)) // rounding must not leave the box
	}
	if t1 < 1 {
		to = box.Nearest(sheet.Between(p, q, t1))
	}
	return from, to, true
}

// clipArea gives the part of an area within a box, side by side (Sutherland and
// Hodgman).
func clipArea(area []sheet.Point, box sheet.Box) []sheet.Point {
	for _, room := range []func(sheet.Point) float64{
		func(p sheet.Point) float64 { return p.X - box.X0 }, func(p sheet.Point) float64 { return box.X1 - p.X },
		func(p sheet.Point) float64 { return p.Y - box.Y0 }, func(p sheet.Point) float64 { return box.Y1 - p.Y }} {
		var kept []sheet.Point
		for i, p := range area {
			before := area[(i+len(area)-1)%len(area)]
			if a, b := room(before), room(p); a < 0 != (b < 0) {
				kept = append(kept, sheet.Between(before, p, a/(a-b)))
			}
			if room(p) >= 0 {
				kept = append(kept, p)
			}
		}
		area = kept
	}
	for i, p := range area {
		area[i] = box.Nearest(p)
	}
	return area
}

// between gives the area between two lines of rising x, over the stretch that
// both have; nil where there is none.
func between(a, b []sheet.Point) []sheet.Point {
	if len(a) < 2 || len(b) < 2 {
		return nil
	}
	lo, hi := math.Max(a[0].X, b[0].X), math.Min(a[len(a)-1].X, b[len(b)-1].X)
	if !(lo < hi) {
		return nil
	}
	area := stretch(a, lo, hi)
	back := stretch(b, lo, hi)
	for i := len(back) - 1; i >= 0; i-- {
		area = append(area, back[i])
	}
	return area
}

// stretch gives the part of a line of rising x from lo to hi, within its ends.
func stretch(line []sheet.Point, lo, hi float64) []sheet.Point {
	var all []sheet.Point
	for i, p := range line {
		if i > 0 {
			for _, x := range []float64{lo, hi} {
				if q := line[i-1]; q.X < x && x < p.X {
					all = append(all, sheet.Between(q, p, (x-q.X)/(p.X-q.X)))
				}
			}
		}
		if p.X >= lo && p.X <= hi {
			all = append(all, p)
		}
	}
	return all
}

// reach is the length of a line.
func reach(line []sheet.Point) float64 {
	sum := 0.0
	for i := 1; i < len(line); i++ {
		sum += line[i].Minus(line[i-1]).Length()
	}
	return sum
}

// along gives the point at a part of a line's length.
func along(line []sheet.Point, part float64) sheet.Point {
	left := part * reach(line)
	for i := 1; i < len(line); i++ {
		step := line[i].Minus(line[i-1]).Length()
		if left <= step && step > 0 {
			return sheet.Between(line[i-1], line[i], left/step)
		}
		left -= step
	}
	return line[len(line)-1]
}
