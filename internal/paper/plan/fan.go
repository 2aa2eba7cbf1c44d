package plan

import (
	"math"
	"slices"

	"bankwright/internal/paper/sheet"
)

// body is something that takes part in the ordering across an axis: a leg, or
// a pin that stays where it is.
type body struct {
	leg
	low    float64 // its ends along the axis, with what the other axis moved
	high   float64
	also   int // the start of another leg of the lane that goes with it, 0 for none
	fixed  bool
	pin    pin
	wins   int // how many of those in the same place it goes below (or right of)
	number int
}

// spread finds how far each leg along one axis has to move aside. First all
// are put in one order across the axis: by their place, and where they lie on
// one another by where they go at either end. Then the least movement, in
// squares, is sought that leaves room between neighbours.
func (f *fan) spread(level bool) {
	if f.shift == nil {
		f.shift = make([][]sheet.Point, len(f.lanes))
		for i, l := range f.lanes {
			f.shift[i] = make([]sheet.Point, len(l.points))
		}
	}
	bodies := f.bodies(level)
	f.order(bodies, level)
	moved := settle(bodies, f.constraints(bodies))
	for i, b := range bodies {
		if b.fixed {
			continue
		}
		const most = 18 // mm; beyond that a bundle does not fit and may touch
		by := max(-most, min(most, moved[i]-b.pos))
		corners := []int{b.from, b.from + 1}
		if b.also > 0 {
			corners = append(corners, b.also, b.also+1)
		}
		for _, corner := range corners {
			if level {
				f.shift[b.lane][corner].Y = by
			} else {
				f.shift[b.lane][corner].X = by
			}
		}
	}
}

func (f *fan) bodies(level bool) []body {
	var list []body
	for l, lane := range f.lanes {
		if lane.dot {
			continue
		}
		for k := range len(lane.points) - 1 {
			g, ok := f.legOf(l, k, level)
			if !ok {
				continue
			}
			b := f.moved(g, level)
			if last := len(list) - 1; f.retraces(l, k) && last >= 0 && list[last].lane == l && list[last].from == k-2 {
				list[last].also = k
				list[last].low, list[last].high = min(list[last].low, b.low), max(list[last].high, b.high)
				continue
			}
			list = append(list, b)
		}
	}
	for _, p := range f.pins {
		at := p.at
		if !level {
			at = pt(at.Y, at.X)
		}
		lo, hi := at.X-p.radius, at.X+p.radius
		list = append(list, body{leg: leg{lane: -1, pos: at.Y, lo: lo, hi: hi, width: 2 * p.radius}, low: lo, high: hi, fixed: true, pin: p})
	}
	for i := range list {
		list[i].number = i
	}
	return list
}

// retraces reports whether the stretch of a lane from a corner on goes back
// over the one before, in a view where the two are one line.
func (f *fan) retraces(l, from int) bool {
	points := f.lanes[l].points
	return f.front && from >= 2 && points[from] == points[from-1]
}

// moved makes a body of a leg. Where the stretches before and after it were
// moved already, it has become longer or shorter.
func (f *fan) moved(g leg, level bool) body {
	b := body{leg: g, low: g.lo, high: g.hi}
	along := func(high bool) float64 {
		s := f.shift[g.lane][f.corner(g, high, level)]
		if level {
			return s.X
		}
		return s.Y
	}
	b.low, b.high = b.low+along(false), b.high+along(true)
	return b
}

// order sorts bodies across the axis. Those on one another are ordered by how
// many of the others each wants to lie beyond: wishes may run in a ring, and
// then a count still gives an order.
func (f *fan) order(bodies []body, level bool) {
	slices.SortStableFunc(bodies, func(a, b body) int { return less(a.pos, b.pos) })
	for i := 0; i < len(bodies); {
		j := i + 1
		for j < len(bodies) && bodies[j].pos-bodies[j-1].pos < same {
			j++
		}
		group := bodies[i:j]
		for a := range group {
			for b := range group[:a] {
				if !meet(&group[a], &group[b]) {
					continue
				}
				switch s := f.side(&group[a], &group[b], level); {
				case s > 0:
					group[a].wins++
					group[b].wins--
				case s < 0:
					group[a].wins--
					group[b].wins++
				}
			}
		}
		slices.SortStableFunc(group, func(a, b body) int { return a.wins - b.wins })
		i = j
	}
}

func less(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// meet reports whether two bodies lie beside each other somewhere.
func meet(a, b *body) bool {
	const least = 0.2 // mm
	return min(a.high, b.high)-max(a.low, b.low) > least
}

// side is positive where a wants to lie beyond b: below it for level legs, to
// the right for upright ones.
func (f *fan) side(a, b *body, level bool) int {
	switch {
	case a.fixed && b.fixed:
		return 0
	case a.fixed:
		return -f.side(b, a, level)
	case b.fixed:
		if f.touches(a.lane, b.pin) {
			return 0
		}
		return f.aside(a.leg, b.pin, level)
	}
	s := f.parting(a.leg, b.leg, level, false) + f.parting(a.leg, b.leg, level, true)
	if s != 0 {
		return s
	}
	// No reason either way: keep to one side in the direction the first of the
	// two runs, so that they do not cross at a corner.
	first, sign := a.leg, 1
	if b.lane < a.lane || b.lane == a.lane && b.from < a.from {
		first, sign = b.leg, -1
	}
	p, q := f.lanes[first.lane].points[first.from], f.lanes[first.lane].points[first.from+1]
	ahead := q.X > p.X
	if !level {
		ahead = q.Y < p.Y
	}
	if ahead {
		return sign
	}
	return -sign
}

// aside tells on which side a leg passes a pin that is not its own: to where
// it turns anyway, else outward from the battery.
func (f *fan) aside(g leg, p pin, level bool) int {
	turns := f.turn(g, false, level) + f.turn(g, true, level)
	if turns != 0 {
		return turns
	}
	out := p.outward.Y
	if !level {
		out = p.outward.X
	}
	if out > 0 {
		return 1
	}
	return -1
}

// turn tells to which side a lane goes on at the low or high end of a leg: 0
// where it ends or goes on slanting.
func (f *fan) turn(g leg, high, level bool) int {
	next, ok := f.beyond(g, high, level)
	if !ok {
		return 0
	}
	corner := f.corner(g, high, level)
	p, q := f.lanes[g.lane].points[corner], f.lanes[g.lane].points[next]
	step := q.Y - p.Y
	if !level {
		step = q.X - p.X
	}
	switch {
	case step > same:
		return 1
	case step < -same:
		return -1
	}
	return 0
}

// corner gives the corner at the low or high end of a leg.
func (f *fan) corner(g leg, high, level bool) int {
	p, q := f.lanes[g.lane].points[g.from], f.lanes[g.lane].points[g.from+1]
	ahead := q.X > p.X
	if !level {
		ahead = q.Y > p.Y
	}
	if ahead == high {
		return g.from + 1
	}
	return g.from
}

// beyond gives the corner after the one at an end of a leg, going outward.
func (f *fan) beyond(g leg, high, level bool) (int, bool) {
	next := g.from - 1
	if f.corner(g, high, level) == g.from+1 {
		next = g.from + 2
	}
	return next, next >= 0 && next < len(f.lanes[g.lane].points)
}

// parting follows two legs that lie on one another to one end and tells which
// side a has to keep of b so that they need not cross where they part.
func (f *fan) parting(a, b leg, level, high bool) int {
	endA, endB := -a.lo, -b.lo
	if high {
		endA, endB = a.hi, b.hi
	}
	switch {
	case endA < endB-same: // a leaves first
		return f.leaving(a, b, level, high)
	case endB < endA-same:
		return -f.leaving(b, a, level, high)
	}
	turnA, turnB := f.turn(a, high, level), f.turn(b, high, level)
	if turnA != turnB {
		return less(float64(turnA), float64(turnB))
	}
	if turnA == 0 {
		return 0
	}
	return f.round(a, b, level, high, turnA)
}

// leaving tells which side a, which ends or turns before b does, keeps of b.
func (f *fan) leaving(a, b leg, level, high bool) int {
	if t := f.turn(a, high, level); t != 0 {
		return t
	}
	if p, ok := f.ended(a.lane, f.corner(a, high, level)); ok && !f.touches(b.lane, p) {
		return -f.aside(b, p, level)
	}
	return 0
}

// round follows two legs round a corner both turn at to the same side. What
// is the left hand before the corner is the left hand after it.
func (f *fan) round(a, b leg, level, high bool, turn int) int {
	nextA, okA := f.after(a, high, level)
	nextB, okB := f.after(b, high, level)
	if !okA || !okB {
		return 0
	}
	ahead := turn > 0 // the new legs go to the high end of their axis
	s := f.parting(nextA, nextB, !level, ahead)
	// Walking to the right, below is the right hand; walking down, the right
	// side of the page is the left hand; walking to the left, below is the left
	// hand; walking up, the right side is the right hand.
	before, behind := high, !ahead
	if !level {
		before, behind = !high, ahead
	}
	if before != behind {
		return -s
	}
	return s
}

// after gives the leg that follows a leg at one of its ends.
func (f *fan) after(g leg, high, level bool) (leg, bool) {
	next, ok := f.beyond(g, high, level)
	if !ok {
		return leg{}, false
	}
	return f.legOf(g.lane, min(next, f.corner(g, high, level)), !level)
}

// apart says that body b has to lie at least so far beyond body a.
type apart struct {
	a, b int
	by   float64
}

// constraints are between all bodies that lie beside each other; bodies far
// apart need none.
func (f *fan) constraints(bodies []body) []apart {
	const far = 25 // mm
	var list []apart
	for b := range bodies {
		for a := range bodies[:b] {
			p, q := &bodies[a], &bodies[b]
			if p.fixed && q.fixed || q.pos-p.pos > far || !meet(p, q) {
				continue
			}
			gap := float64(laneGap)
			if p.fixed || q.fixed {
				gap = postGap
				if p.fixed && f.touches(q.lane, p.pin) || q.fixed && f.touches(p.lane, q.pin) {
					continue
				}
			}
			list = append(list, apart{a, b, (p.width+q.width)/2 + gap})
		}
	}
	return list
}

// settle moves bodies as little as possible, in squares, so that the
// constraints hold, by Hildreth's method: each constraint in turn pushes or
// lets go of its two bodies. Where constraints exclude each other it stops at
// a compromise.
//
// Reference: C. Hildreth, "A quadratic programming procedure", Naval Research
// Logistics Quarterly 4 (1957) 79-85 (from memory).
func settle(bodies []body, list []apart) []float64 {
	const rounds = 400
	pos := make([]float64, len(bodies))
	for i, b := range bodies {
		pos[i] = b.pos
	}
	push := make([]float64, len(list))
	for range rounds {
		worst := 0.0
		for k, c := range list {
			wa, wb := 1.0, 1.0
			if bodies[c.a].fixed {
				wa = 0
			}
			if bodies[c.b].fixed {
				wb = 0
			}
			step := (c.by - (pos[c.b] - pos[c.a])) / (wa + wb)
			to := max(0, push[k]+step)
			by := to - push[k]
			push[k] = to
			pos[c.a] -= float64(by * wa)
			pos[c.b] += float64(by * wb)
			worst = max(worst, math.Abs(by))
		}
		if worst < 1e-7 {
			break
		}
	}
	for _, c := range list { // what the last rounds left over
		const rest = 0.1 // mm; more than that is a compromise
		if short := c.by - (pos[c.b] - pos[c.a]); short > 0 && short < rest && !bodies[c.b].fixed {
			pos[c.b] += short
		}
	}
	return pos
}
