package route

import (
	"math"
	"slices"
)

// attempt answers a task in one field.
func (s *search) attempt(f *field, t task) (Path, bool) {
	start, ok := f.terminal(t.from, t.fromRises)
	if !ok {
		return Path{}, false
	}
	goal, ok := f.terminal(t.to, t.toRises)
	if !ok {
		return Path{}, false
	}
	if goal.dir == up {
		goal.dir = down // the cable leaves the goal's node down to the post
	}
	given, ok := s.along(f, t, start, goal)
	if len(t.run) == 0 {
		return given, ok
	}
	t.run = slices.Clone(t.run)
	slices.Reverse(t.run)
	other, otherOK := s.along(f, t, start, goal)
	if !ok || otherOK && other.Length < given.Length-near {
		return other, otherOK
	}
	return given, ok
}

// along finds the whole way from start over the task's run, in its order, to
// goal.
func (s *search) along(f *field, t task, start, goal terminal) (Path, bool) {
	run := slices.CompactFunc(slices.Clone(t.run), spot.same)
	// A run that was given from end to end says its ends twice.
	if len(run) > 0 && run[0].same(t.from) {
		run = run[1:]
	}
	if len(run) > 0 && run[len(run)-1].same(t.to) {
		run = run[:len(run)-1]
	}
	var way []spot
	ok := false
	switch len(run) {
	case 0:
		way, ok = s.between(f, start, nil, goal)
	case 1:
		way, ok = s.between(f, start, &run[0], goal)
	default:
		way, ok = s.over(f, start, run, goal)
	}
	if !ok {
		return Path{}, false
	}
	way = append(append([]spot{t.from}, way...), t.to)
	return f.router.measure(way), true
}

// over joins start and goal to the ends of a run of two points or more. The two
// searches are apart, so where the run's first or last leg is shorter than two
// bend radii and the cable comes to it straight on, the choice among equals
// does not see how the bends at both its ends round off together.
func (s *search) over(f *field, start terminal, run []spot, goal terminal) ([]spot, bool) {
	for i := 1; i < len(run); i++ {
		if _, ok := f.holdsLeg(run[i-1], run[i]); !ok {
			return nil, false
		}
	}
	last := len(run) - 1
	in, out := heading(run[0], run[1]), heading(run[last-1], run[last])
	to, ok := s.between(f, start, nil, terminal{node: run[0], dir: in.dir, stem: in.stem})
	if !ok {
		return nil, false
	}
	from, ok := s.between(f, terminal{node: run[last], dir: out.dir, stem: out.stem}, nil, goal)
	return slices.Concat(to, run[1:last], from), ok
}

// heading is the direction and length of the leg from s to t as a terminal has
// it; a slanting leg has none.
func heading(s, t spot) terminal {
	l := legOf(s, t)
	if l.dir == none {
		return terminal{dir: none}
	}
	return terminal{dir: l.dir, stem: max(t[l.dir/2].q-s[l.dir/2].q, s[l.dir/2].q-t[l.dir/2].q)}
}

// holdsLeg reports whether a straight leg, slanting or not, keeps out of all
// grown boxes and within the rooms and the holes between them; if not, hit is
// the index of the box, or -1 for a wall.
func (f *field) holdsLeg(s, t spot) (hit int, ok bool) {
	a, b := s.point(), t.point()
	for i, g := range f.grown {
		if inner, ok := g.shrunk(slip); ok && SegmentHitsBox(a, b, inner.box("")) {
			return i, false
		}
	}
	return -1, len(f.router.rooms) == 0 || f.covers(a.array(), b.array())
}

// covers reports whether regions and holes together cover a segment.
func (f *field) covers(p, q [3]float64) bool {
	var parts [][2]float64
	for _, region := range f.regions {
		r := region.grown(slip)
		parts = append(parts, clip(p, q, r.lo.point().array(), r.hi.point().array()))
	}
	for _, t := range f.router.tunnels {
		if t.fits && f.hasRoom[t.low] && f.hasRoom[t.high] {
			parts = append(parts, f.inHole(t, p, q))
		}
	}
	slices.SortFunc(parts, func(a, b [2]float64) int {
		switch {
		case a[0] < b[0]:
			return -1
		case a[0] > b[0]:
			return 1
		}
		return 0
	})
	done := 0.0
	for _, part := range parts {
		if part[0] <= done {
			done = max(done, part[1])
		}
	}
	return done >= 1
}

// clip gives the part of the segment from p to q in a closed box, as fractions
// of the segment; an empty part ends before it begins.
func clip(p, q, low, high [3]float64) [2]float64 {
	part := [2]float64{0, 1}
	for a := range 3 {
		d := q[a] - p[a]
		if d == 0 {
			if p[a] < low[a] || p[a] > high[a] {
				return [2]float64{2, -1}
			}
			continue
		}
		t, u := (low[a]-p[a])/d, (high[a]-p[a])/d
		part[0], part[1] = max(part[0], min(t, u)), min(part[1], max(t, u))
	}
	return part
}

// inHole gives the part of a segment between the insets on both sides of a
// wall, if all of that part goes through the hole.
func (f *field) inHole(t tunnel, p, q [3]float64) [2]float64 {
	far := 2 * farthest
	low, high := [3]float64{-far, -far, -far}, [3]float64{far, far, far}
	low[t.axis] = f.insets[t.low].hi[t.axis].m - near
	high[t.axis] = f.insets[t.high].lo[t.axis].m + near
	part := clip(p, q, low, high)
	if part[0] > part[1] || t.off(p, q, part[0]) > t.slack+near || t.off(p, q, part[1]) > t.slack+near {
		return [2]float64{2, -1}
	}
	return part
}

// off is how far from the hole's axis the segment from p to q is at a fraction
// of it.
func (t tunnel) off(p, q [3]float64, at float64) float64 {
	b, c := (t.axis+1)%3, (t.axis+2)%3
	u := p[b] + float64(at*(q[b]-p[b])) - t.at[b].m
	v := p[c] + float64(at*(q[c]-p[c])) - t.at[c].m
	return math.Hypot(u, v)
}
