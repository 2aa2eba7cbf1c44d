package route

// Directions: 2·axis for towards greater coordinates, one more for lesser.
// Opposites differ in the last bit.
const (
	up   = 4
	down = 5
	none = 6 // not moving yet, or free to leave as it likes
	dirs = 7
)

// grid is a field's grid with the coordinates of two terminals added.
type grid struct {
	field       *field
	axes        [3]axis
	start, goal terminal
	extra       []coord // scratch
}

// node is a grid node by its three indices. The fourth is 0 as long as there
// is still a point to go by on the way and 1 from there on, so that a way is
// one search whether it is led by a point or not.
type node [4]int32

const passed = 3 // index of a node's fourth number

// set makes g the grid for one search, reusing its memory.
func (g *grid) set(f *field, start terminal, by *spot, goal terminal) {
	g.field, g.start, g.goal = f, start, goal
	for a := range 3 {
		// The ends' own coordinates come first: they win over equal ones.
		g.extra = append(g.extra[:0], start.node[a], goal.node[a])
		if by != nil {
			g.extra = append(g.extra, by[a])
		}
		for _, t := range []*terminal{&start, &goal} {
			for _, e := range t.escapes {
				g.extra = append(g.extra, e.lo[a], e.hi[a])
			}
		}
		g.extra = sortedCoords(g.extra)
		g.axes[a].merge(&f.axes[a], g.extra, f.words, f.rwords)
	}
}

// merge makes x the axis base with more coordinates. A new coordinate lies
// strictly between two of base, so it is inside exactly what spans that
// interval.
func (x *axis) merge(base *axis, extra []coord, words, rwords int) {
	x.at, x.inside, x.along = x.at[:0], x.inside[:0], x.along[:0]
	x.within, x.across = x.within[:0], x.across[:0]
	i, j := 0, 0
	for i < len(base.at) || j < len(extra) {
		fromBase := i < len(base.at) && (j == len(extra) || base.at[i].q <= extra[j].q)
		isExtra := j < len(extra) && (!fromBase || base.at[i].q == extra[j].q)
		if isExtra {
			x.at = append(x.at, extra[j])
			j++
		} else {
			x.at = append(x.at, base.at[i])
		}
		if fromBase {
			x.inside = append(x.inside, base.inside[i*words:(i+1)*words]...)
			x.within = append(x.within, base.within[i*rwords:(i+1)*rwords]...)
			i++
		} else {
			x.inside = appendInterval(x.inside, base.along, i-1, words)
			x.within = appendInterval(x.within, base.across, i-1, rwords)
		}
		x.along = appendInterval(x.along, base.along, i-1, words)
		x.across = appendInterval(x.across, base.across, i-1, rwords)
	}
}

// appendInterval appends the set of interval i, empty before the first.
func appendInterval(sets, from []uint64, i, words int) []uint64 {
	if i >= 0 {
		return append(sets, from[i*words:(i+1)*words]...)
	}
	for range words {
		sets = append(sets, 0)
	}
	return sets
}

// find gives the node at a spot, before or after the point to go by; its
// coordinates must be in the grid.
func (g *grid) find(s spot, after bool) node {
	var n node
	if after {
		n[passed] = 1
	}
	for a := range 3 {
		for g.axes[a].at[n[a]].q != s[a].q {
			n[a]++
		}
	}
	return n
}

func (g *grid) spot(n node) spot {
	return spot{g.axes[0].at[n[0]], g.axes[1].at[n[1]], g.axes[2].at[n[2]]}
}

func (g *grid) key(n node, dir int) uint64 {
	y, z := len(g.axes[1].at), len(g.axes[2].at)
	return uint64((((int(n[0])*y+int(n[1]))*z+int(n[2]))*2+int(n[passed]))*dirs + dir)
}

// step gives the next node in a direction and how far it is; ok is false where
// the way is not free.
func (g *grid) step(n node, dir int) (next node, length int64, ok bool) {
	axis, low := dir/2, n
	next = n
	if dir%2 == 0 {
		next[axis]++
	} else {
		next[axis]--
		low = next
	}
	at := g.axes[axis].at
	if low[axis] < 0 || int(low[axis])+1 >= len(at) || !g.free(low, axis) {
		return n, 0, false
	}
	return next, at[low[axis]+1].q - at[low[axis]].q, true
}

// open reports whether any way leads from a node.
func (g *grid) open(n node) bool {
	for dir := range none {
		if _, _, ok := g.step(n, dir); ok {
			return true
		}
	}
	return false
}

// free reports whether the edge from a node to the next along axis is free.
func (g *grid) free(n node, axis int) bool {
	b, c := (axis+1)%3, (axis+2)%3
	x, y, z := &g.axes[axis], &g.axes[b], &g.axes[c]
	i0, j0, k0 := int(n[axis]), int(n[b]), int(n[c])
	w := g.field.words
	ok := true
	for i := 0; i < w && ok; i++ {
		ok = x.along[i0*w+i]&y.inside[j0*w+i]&z.inside[k0*w+i] == 0
	}
	if ok && len(g.field.router.rooms) > 0 {
		w, ok = g.field.rwords, false
		for i := 0; i < w && !ok; i++ {
			ok = x.across[i0*w+i]&y.within[j0*w+i]&z.within[k0*w+i] != 0
		}
	}
	return ok || g.escapes(n, axis)
}

func (g *grid) escapes(n node, axis int) bool {
	if len(g.start.escapes) == 0 && len(g.goal.escapes) == 0 {
		return false
	}
	s := g.spot(n)
	n[axis]++
	t := g.spot(n)
	return g.start.frees(g.field, s, t, axis) || g.goal.frees(g.field, s, t, axis)
}
