package route

import (
	"math"
	"slices"
)

// Path is a route and its length, in metres.
type Path struct {
	// Points are the corners in order; the first and last are the ends as they
	// were given. Every leg is axis-parallel (but for two ends that agree in a
	// coordinate only to rounding), save along a given run, where it goes as
	// that does.
	Points []Point
	// Rise is the first leg where that is vertical, Drop the last, Run all
	// between. A path of one vertical leg is a Rise if it goes up, else a Drop.
	Rise, Run, Drop float64
	// Bends is the number of corners. Rounding the square ones off at the bend
	// radius, or at half the shorter leg beside it where that is less, makes
	// the cable shorter by BendSaving. For other corners, which only a given
	// run has, nothing is taken off.
	Bends      int
	BendSaving float64
	// Allowance is for lugs and slack at both ends together.
	Allowance float64
	// Length is of the cable from lug-hole centre to lug-hole centre:
	// Rise + Run + Drop - BendSaving + Allowance.
	Length float64
	// Passages are the IDs of the holes gone through, in order.
	Passages []string
	// Tight says that a leg is shorter than its bends need at the full bend
	// radius: at a square corner one radius.
	Tight bool
	// Close says that the wanted clearance could not be kept everywhere; the
	// cable still touches no case and no wall, save where an end stands on one.
	Close bool
}

// Step is one line of how a length came about.
type Step struct {
	Label string
	// Count is how many equal parts the step has: bends, or the two ends that
	// have an allowance; 1 for a leg. Bends need not be equal.
	Count int
	// Metres is the whole step; what makes the cable shorter is negative.
	Metres float64
}

// Steps gives the derivation of Length: rise, run, drop, bends, allowance,
// without those that are nil. Their sum is Length, to rounding.
func (p Path) Steps() []Step {
	all := []Step{
		{"rise", 1, p.Rise}, {"run", 1, p.Run}, {"drop", 1, p.Drop},
		{"bends", p.Bends, -p.BendSaving}, {"allowance", 2, p.Allowance},
	}
	return slices.DeleteFunc(all, func(s Step) bool { return s.Metres == 0 })
}

// reverse makes p the same path from its other end.
func (p *Path) reverse() {
	slices.Reverse(p.Points)
	slices.Reverse(p.Passages)
	p.Rise, p.Drop = p.Drop, p.Rise
}

// leg is a straight piece: its direction, none if slanting, its length and its
// unit vector.
type leg struct {
	dir    int
	length float64
	unit   [3]float64
}

func legOf(s, t spot) leg {
	l := leg{dir: none}
	moved := 0
	for a := range 3 {
		if s[a].q == t[a].q {
			continue
		}
		moved++
		l.dir = 2 * a
		if t[a].q < s[a].q {
			l.dir++
		}
	}
	if moved == 1 {
		l.length = math.Abs(t[l.dir/2].m - s[l.dir/2].m)
		l.unit[l.dir/2] = float64(1 - 2*(l.dir%2))
		return l
	}
	l.dir = none
	x, y, z := t[0].m-s[0].m, t[1].m-s[1].m, t[2].m-s[2].m
	l.length = math.Sqrt(float64(x*x) + float64(y*y) + float64(z*z))
	l.unit = [3]float64{x / l.length, y / l.length, z / l.length}
	return l
}

// turn is the cosine of the angle by which the cable turns from one leg into
// the next: 1 straight on, 0 square, -1 back.
func turn(l, m leg) float64 {
	c := 0.0
	for a := range 3 {
		c += float64(l.unit[a] * m.unit[a])
	}
	return c
}

// square and straight allow the unit vectors of slanting legs their rounding;
// axis-parallel ones have none. 1e-9 off square shifts a bend by a nanometre in
// a metre. Cosines near 1 say little about the angle, so a few roundings it is:
// 1e-15, an angle of 4.5e-8.
func square(cosine float64) bool   { return math.Abs(cosine) < 1e-9 }
func straight(cosine float64) bool { return cosine > 1-1e-15 }

// straightened leaves out points that are said twice or lie on a straight way.
func straightened(way []spot) []spot {
	way = slices.CompactFunc(slices.Clone(way), spot.same)
	kept := way[:1:1]
	for i := 1; i < len(way); i++ {
		if i+1 < len(way) && straight(turn(legOf(kept[len(kept)-1], way[i]), legOf(way[i], way[i+1]))) {
			continue
		}
		kept = append(kept, way[i])
	}
	return kept
}

// measure makes a path of the points of a way.
func (r *Router) measure(way []spot) Path {
	ends := [2]spot{way[0], way[len(way)-1]}
	way = straightened(way)
	way[0], way[len(way)-1] = ends[0], ends[1] // as given, to the last bit
	p := Path{Allowance: 2 * r.rules.Allowance, Bends: len(way) - 2, Passages: r.passages(way)}
	legs := make([]leg, 0, len(way)-1)
	for i, s := range way {
		p.Points = append(p.Points, s.point())
		if i > 0 {
			legs = append(legs, legOf(way[i-1], s))
		}
	}
	p.sumLegs(legs)
	p.roundOff(legs, r.rules.Radius)
	// Rise and Drop first: their sum is the same bits from either end.
	p.Length = p.Rise + p.Drop + p.Run - p.BendSaving + p.Allowance
	return p
}

func (p *Path) sumLegs(legs []leg) {
	last := len(legs) - 1
	for i, l := range legs {
		vertical := l.dir == up || l.dir == down
		switch {
		case i == 0 && vertical && (last > 0 || l.dir == up):
			p.Rise = l.length
		case i == last && vertical:
			p.Drop = l.length
		default:
			p.Run += l.length
		}
	}
}

// roundOff works out what the bends save and whether the legs are long enough
// for them: a bend of radius R through an angle θ takes R·tan(θ/2) of each leg
// beside it; a square one is then R(2 - π/2) shorter than its corner.
func (p *Path) roundOff(legs []leg, radius float64) {
	needs := make([]float64, len(legs))
	radii := 0.0
	for i := 1; i < len(legs); i++ {
		cosine := turn(legs[i-1], legs[i])
		if square(cosine) {
			radii += min(radius, min(legs[i-1].length, legs[i].length)/2)
			cosine = 0
		}
		takes := 0.0
		if radius > 0 {
			takes = float64(radius * math.Sqrt(max(1-cosine, 0)/max(1+cosine, 0)))
		}
		needs[i-1], needs[i] = needs[i-1]+takes, needs[i]+takes
	}
	p.BendSaving = float64((2 - math.Pi/2) * radii)
	for i, l := range legs {
		p.Tight = p.Tight || l.length < needs[i]-near
	}
}

// passages gives the IDs of the holes a way goes through. Where holes overlap
// it is the one whose centre is nearest.
func (r *Router) passages(way []spot) []string {
	var ids []string
	for i := 1; i < len(way); i++ {
		for _, c := range r.crossings(way[i-1], way[i]) {
			ids = append(ids, c.tunnel.id)
		}
	}
	return ids
}

// crossing is a leg's way through a hole: where on the leg, as a fraction, and
// how far off centre.
type crossing struct {
	tunnel  tunnel
	at, off float64
}

// crossings lists the holes whose wall's middle a leg crosses, in order.
func (r *Router) crossings(s, t spot) []crossing {
	var list []crossing
	for _, u := range r.tunnels {
		low, high := r.rooms[u.low].hi[u.axis], r.rooms[u.high].lo[u.axis]
		middle := low.q + high.q // of the wall, twice
		if (2*s[u.axis].q < middle) == (2*t[u.axis].q < middle) {
			continue
		}
		at := ((low.m+high.m)/2 - s[u.axis].m) / (t[u.axis].m - s[u.axis].m)
		off := u.off(s.point().array(), t.point().array(), at)
		if u.fits && off <= u.slack+near {
			list = append(list, crossing{u, at, off})
		}
	}
	slices.SortStableFunc(list, func(c, d crossing) int {
		switch {
		case c.at < d.at-near:
			return -1
		case c.at > d.at+near:
			return 1
		case c.off < d.off:
			return -1
		case c.off > d.off:
			return 1
		}
		return 0
	})
	return slices.CompactFunc(list, func(c, d crossing) bool {
		return c.tunnel.axis == d.tunnel.axis && c.tunnel.low == d.tunnel.low && c.tunnel.high == d.tunnel.high
	})
}
