package route

import "slices"

// field is the scene as the centre line of a cable sees it, at one margin
// (half the cable plus clearance): grown boxes that it must stay out of and,
// where there are rooms, regions that it must stay in. Per axis it keeps the
// sorted coordinates at which anything begins or ends and, as sets of bits,
// what lies there. Two sets and an "and" then answer whether a piece of grid
// line is free, without a three-dimensional map.
type field struct {
	router  *Router
	margin  coord
	grown   []block
	insets  []block // by room; meaningless where hasRoom is false
	hasRoom []bool
	regions []block // insets, tunnels, their mouths; none: all is free
	words   int     // of a set of grown boxes
	rwords  int     // of a set of regions
	gates   []gate  // both ways through each hole that fits
	axes    [3]axis
}

// axis is one axis of a grid. Sets are flat, words (rwords) to a coordinate.
type axis struct {
	at     []coord
	inside []uint64 // boxes whose open inside holds the coordinate
	along  []uint64 // boxes that hold the interval up to the next coordinate
	within []uint64 // regions that hold the coordinate
	across []uint64 // regions that hold the interval up to the next coordinate
}

func newField(r *Router, margin coord) *field {
	f := &field{router: r, margin: margin}
	for _, b := range r.solids {
		f.grown = append(f.grown, b.grown(margin))
	}
	for _, b := range r.rooms {
		inset, ok := b.shrunk(margin)
		f.insets, f.hasRoom = append(f.insets, inset), append(f.hasRoom, ok)
		if ok {
			f.regions = append(f.regions, inset)
		}
	}
	for _, t := range r.tunnels {
		f.addTunnel(t)
	}
	f.words, f.rwords = (len(f.grown)+63)/64, (len(f.regions)+63)/64
	for a := range 3 {
		f.axes[a] = f.newAxis(a)
	}
	return f
}

// addTunnel lets the centre line through a wall, from where it would have had
// to stop on one side to where it would have on the other. A hole near a side
// wall or the floor opens inside that wall's zone; the mouth is the way from
// there to where the zone ends.
func (f *field) addTunnel(t tunnel) {
	if !t.fits || !f.hasRoom[t.low] || !f.hasRoom[t.high] {
		return
	}
	before, after := t.at, t.at
	before[t.axis], after[t.axis] = f.insets[t.low].hi[t.axis], f.insets[t.high].lo[t.axis]
	f.regions = append(f.regions, spanned(before, after))
	f.addGates(t, before, after)
	for _, m := range []struct {
		at   spot
		room int
	}{{before, t.low}, {after, t.high}} {
		if near := f.insets[m.room].nearest(m.at); !near.same(m.at) {
			f.regions = append(f.regions, spanned(m.at, near))
		}
	}
}

func (f *field) newAxis(a int) axis {
	var x axis
	for _, list := range [][]block{f.grown, f.regions} {
		for _, b := range list {
			x.at = append(x.at, b.lo[a], b.hi[a])
		}
	}
	x.at = sortedCoords(x.at)
	for i, c := range x.at {
		next := c
		if i+1 < len(x.at) {
			next = x.at[i+1]
		}
		x.inside = appendSet(x.inside, f.grown, func(b block) bool { return b.lo[a].q < c.q && c.q < b.hi[a].q })
		x.along = appendSet(x.along, f.grown, func(b block) bool { return b.lo[a].q <= c.q && next.q <= b.hi[a].q && c.q < next.q })
		x.within = appendSet(x.within, f.regions, func(b block) bool { return b.lo[a].q <= c.q && c.q <= b.hi[a].q })
		x.across = appendSet(x.across, f.regions, func(b block) bool { return b.lo[a].q <= c.q && next.q <= b.hi[a].q && c.q < next.q })
	}
	return x
}

// sortedCoords sorts in place and keeps the first given of equal coordinates.
func sortedCoords(list []coord) []coord {
	slices.SortStableFunc(list, func(c, d coord) int {
		switch {
		case c.q < d.q:
			return -1
		case c.q > d.q:
			return 1
		}
		return 0
	})
	return slices.CompactFunc(list, func(c, d coord) bool { return c.q == d.q })
}

// appendSet appends the set of blocks for which in is true, 64 to a word.
func appendSet(sets []uint64, blocks []block, in func(block) bool) []uint64 {
	start := len(sets)
	sets = append(sets, make([]uint64, (len(blocks)+63)/64)...)
	for i, b := range blocks {
		if in(b) {
			sets[start+i/64] |= 1 << (i % 64)
		}
	}
	return sets
}

// terminal is an end of one search: the node where it starts or stops, and
// what the cable does beyond.
type terminal struct {
	node spot
	// dir is the direction in which the cable comes to the start (goes on from
	// the goal), or none, and stem is for how long it has that direction.
	dir  int
	stem int64
	// escapes are where the cable may be though exempt boxes' zones, or
	// walls', are there.
	escapes []block
	exempt  []int
}

// terminal places a cable's end in the field. For a post it is the top of its
// rise; ok is false if the rise itself is not free.
func (f *field) terminal(at spot, rises bool) (t terminal, ok bool) {
	if !rises {
		escapes, exempt := f.escape(at)
		return terminal{node: at, dir: none, escapes: escapes, exempt: exempt}, true
	}
	top, ok := f.column(at)
	if !ok {
		return terminal{}, false
	}
	t = terminal{node: at, dir: up, stem: top.q - at[2].q}
	t.node[2] = top
	if t.stem == 0 {
		t.dir = none
	}
	return t, true
}

// column gives the height at which a cable that rises from a post may turn: at
// the end of the rise or, if later, where it is clear of the cases it stands
// on. Those cases' zones are no obstacle to it; all others are.
func (f *field) column(at spot) (top coord, ok bool) {
	top = at[2].plus(f.router.rise)
	below := func(i int) bool { return f.router.cores[i].hi[2].q <= at[2].q && f.grown[i].holdsInside(at) }
	for i, b := range f.grown {
		if below(i) {
			top = higher(top, b.hi[2])
		}
	}
	if top, ok = f.columnInRoom(at, top); !ok {
		return top, false
	}
	end := at
	end[2] = top
	for i, b := range f.grown {
		if !below(i) && b.cutBy(at, end, 2) {
			return top, false
		}
	}
	return top, true
}

// columnInRoom raises top out of the floor's zone and reports whether the rise
// keeps off the other walls.
func (f *field) columnInRoom(at spot, top coord) (coord, bool) {
	if len(f.router.rooms) == 0 {
		return top, true
	}
	for i, room := range f.router.outer {
		if !f.hasRoom[i] || !room.holds(at) {
			continue
		}
		inset, end := f.insets[i], at
		end[2] = higher(top, inset.lo[2])
		if inset.holds(end) {
			return end[2], true
		}
	}
	return top, false
}

// escape gives the ways out for an end that stands in the zone of boxes or
// walls: from it to the zone's end, only in directions that lead away from the
// box or wall at once; and the boxes it stands so near to.
func (f *field) escape(at spot) (escapes []block, exempt []int) {
	way := block{at, at}
	for i, b := range f.grown {
		if !b.holdsInside(at) {
			continue
		}
		exempt = append(exempt, i)
		for a, core := 0, f.router.cores[i]; a < 3; a++ {
			if at[a].q <= core.lo[a].q {
				way.lo[a] = lower(way.lo[a], b.lo[a])
			}
			if at[a].q >= core.hi[a].q {
				way.hi[a] = higher(way.hi[a], b.hi[a])
			}
		}
	}
	if len(f.router.rooms) == 0 && !way.lo.same(way.hi) {
		escapes = append(escapes, way)
	}
	for i, room := range f.router.outer {
		if !room.holds(at) {
			continue
		}
		w := way
		if f.hasRoom[i] {
			near := f.insets[i].nearest(at)
			w = block{spanned(w.lo, near).lo, spanned(w.hi, near).hi}
		}
		w = block{room.nearest(w.lo), room.nearest(w.hi)}
		if !w.lo.same(w.hi) {
			escapes = append(escapes, w)
		}
	}
	return escapes, exempt
}

// frees reports whether the grid edge from s to t along axis is on a
// terminal's way out.
func (t terminal) frees(f *field, s, u spot, axis int) bool {
	for _, e := range t.escapes {
		if e.holds(s) && e.holds(u) {
			return !t.blocked(f, s, u, axis)
		}
	}
	return false
}

func (t terminal) blocked(f *field, s, u spot, axis int) bool {
	for i, b := range f.grown {
		if slices.Contains(t.exempt, i) {
			b = f.router.cores[i]
		}
		if b.cutBy(s, u, axis) {
			return true
		}
	}
	return false
}
