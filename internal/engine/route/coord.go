package route

import "math"

// perMetre is how many quanta of the search make a metre: 0.01 nm each, far
// below any drawing and far above the rounding of a float64 at 10 km (2e-12 m),
// and all inch fractions down to 1/128 in are whole numbers of it. Our choice.
const perMetre = 1e11

// coord is one coordinate or length twice over: q, rounded, decides; m, as
// given, is what lengths are summed from.
type coord struct {
	q int64
	m float64
}

func lengthOf(m float64) coord { return coord{int64(math.Round(m * perMetre)), m} }

func (c coord) plus(d coord) coord  { return coord{c.q + d.q, c.m + d.m} }
func (c coord) minus(d coord) coord { return coord{c.q - d.q, c.m - d.m} }

func lower(c, d coord) coord {
	if d.q < c.q {
		return d
	}
	return c
}

func higher(c, d coord) coord {
	if d.q > c.q {
		return d
	}
	return c
}

// spot is a point by its three coordinates.
type spot [3]coord

func (s spot) point() Point { return Point{s[0].m, s[1].m, s[2].m} }

func (s spot) same(t spot) bool {
	return s[0].q == t[0].q && s[1].q == t[1].q && s[2].q == t[2].q
}

// before orders spots by x, then y, then z.
func (s spot) before(t spot) bool {
	for a := range 3 {
		if s[a].q != t[a].q {
			return s[a].q < t[a].q
		}
	}
	return false
}

// block is an axis-parallel box, possibly without thickness.
type block struct{ lo, hi spot }

// grown moves all faces outward by a length.
func (b block) grown(by coord) block {
	for a := range 3 {
		b.lo[a], b.hi[a] = b.lo[a].minus(by), b.hi[a].plus(by)
	}
	return b
}

// shrunk moves all faces inward; ok is false where nothing is left.
func (b block) shrunk(by coord) (c block, ok bool) {
	for a := range 3 {
		b.lo[a], b.hi[a] = b.lo[a].plus(by), b.hi[a].minus(by)
		if b.lo[a].q > b.hi[a].q {
			return block{}, false
		}
	}
	return b, true
}

// holds reports whether s is in the closed block.
func (b block) holds(s spot) bool {
	for a := range 3 {
		if s[a].q < b.lo[a].q || s[a].q > b.hi[a].q {
			return false
		}
	}
	return true
}

// holdsInside reports whether s is in the open inside of the block.
func (b block) holdsInside(s spot) bool {
	for a := range 3 {
		if s[a].q <= b.lo[a].q || s[a].q >= b.hi[a].q {
			return false
		}
	}
	return true
}

// cutBy reports whether the axis-parallel segment from s to t, with t the
// greater along axis, has a point in the open inside of the block.
func (b block) cutBy(s, t spot, axis int) bool {
	for a := range 3 {
		if a == axis {
			if max(s[a].q, b.lo[a].q) >= min(t[a].q, b.hi[a].q) {
				return false
			}
		} else if s[a].q <= b.lo[a].q || s[a].q >= b.hi[a].q {
			return false
		}
	}
	return true
}

// overlaps reports whether the open insides of two blocks meet.
func (b block) overlaps(c block) bool {
	for a := range 3 {
		if b.lo[a].q >= c.hi[a].q || c.lo[a].q >= b.hi[a].q {
			return false
		}
	}
	return true
}

// nearest is the point of the block closest to s.
func (b block) nearest(s spot) spot {
	for a := range 3 {
		s[a] = lower(higher(s[a], b.lo[a]), b.hi[a])
	}
	return s
}

// spanned is the smallest block holding both spots.
func spanned(s, t spot) block {
	var b block
	for a := range 3 {
		b.lo[a], b.hi[a] = lower(s[a], t[a]), higher(s[a], t[a])
	}
	return b
}

func (b block) box(id string) Box { return Box{id, b.lo.point(), b.hi.point()} }
