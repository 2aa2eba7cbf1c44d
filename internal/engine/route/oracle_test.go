package route

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// unit is the mesh of the oracle in metres. Everything in its scenes, and the
// 20 mm from centre line to case, is a whole number of it, so that the best
// route lies on the mesh and the costs must agree to rounding.
const unit = 0.02

// meshed is the cable of the oracle's scenes.
var meshed = Rules{Rise: 2 * unit, Clearance: 0.012, Radius: 0.03, Diameter: 0.016}

// cell is a mesh point, in units.
type cell [3]int

func (c cell) point() Point {
	return Point{unit * float64(c[0]), unit * float64(c[1]), unit * float64(c[2])}
}

// mesh is a scene in units and the part of space that is searched.
type mesh struct {
	low, high    cell
	boxes, rooms [][2]cell
	holes        []cell // in a wall across x
	edges        []bool // whether each is free, by index·3 + axis of its lesser end
}

// index numbers the mesh points; next to the far faces it has some to spare.
func (m *mesh) index(c cell) int {
	return ((c[0]-m.low[0])*24+c[1]-m.low[1])*24 + c[2] - m.low[2]
}

// points is how many indices there are.
const points = 30 * 24 * 24

var ways = [6]cell{{1, 0, 0}, {-1, 0, 0}, {0, 1, 0}, {0, -1, 0}, {0, 0, 1}, {0, 0, -1}}

func (c cell) plus(d cell) cell { return cell{c[0] + d[0], c[1] + d[1], c[2] + d[2]} }

// step gives the next mesh point in a direction, and whether the way is free.
func (m *mesh) step(c cell, dir int) (cell, bool) {
	next, low := c.plus(ways[dir]), c
	if dir%2 == 1 {
		low = next
	}
	if low[dir/2] < m.low[dir/2] {
		return c, false
	}
	return next, m.edges[m.index(low)*3+dir/2]
}

func (m *mesh) setEdges() {
	m.edges = make([]bool, 3*points)
	for x := m.low[0]; x <= m.high[0]; x++ {
		for y := m.low[1]; y <= m.high[1]; y++ {
			for z := m.low[2]; z <= m.high[2]; z++ {
				for axis := range 3 {
					c := cell{x, y, z}
					m.edges[m.index(c)*3+axis] = m.free(c, c.plus(ways[2*axis]))
				}
			}
		}
	}
}

// scene is the same in metres.
func (m *mesh) scene() Scene {
	var s Scene
	for i, b := range m.boxes {
		s.Boxes = append(s.Boxes, Box{fmt.Sprintf("B%d", i), b[0].point(), b[1].point()})
	}
	for i, b := range m.rooms {
		s.Rooms = append(s.Rooms, Room{fmt.Sprintf("R%d", i), b[0].point(), b[1].point()})
	}
	for i, h := range m.holes {
		s.Passages = append(s.Passages, Passage{fmt.Sprintf("P%d", i), h.point(), 0.02})
	}
	return s
}

// free reports whether a mesh edge is free, by its middle, in half units: it
// must not be inside a box grown by a unit, and with rooms it must be in one
// shrunk by a unit, or on the axis of a hole between them.
func (m *mesh) free(a, b cell) bool {
	var mid cell
	for i := range mid {
		mid[i] = a[i] + b[i]
		if b[i] < m.low[i] || b[i] > m.high[i] {
			return false
		}
	}
	within := func(box [2]cell, margin int, open bool) bool {
		for i := range mid {
			low, high := 2*(box[0][i]-margin), 2*(box[1][i]+margin)
			if mid[i] < low || mid[i] > high || open && (mid[i] == low || mid[i] == high) {
				return false
			}
		}
		return true
	}
	for _, box := range m.boxes {
		if within(box, 1, true) {
			return false
		}
	}
	for _, room := range m.rooms {
		if within(room, -1, false) {
			return true
		}
	}
	for _, h := range m.holes {
		// Both walls' faces and a unit of clearance on each side.
		if within([2]cell{{m.rooms[0][1][0] - 1, h[1], h[2]}, {m.rooms[1][0][0] + 1, h[1], h[2]}}, 0, false) {
			return true
		}
	}
	return len(m.rooms) == 0
}

// cheapest is Dijkstra's algorithm over mesh points and directions of arrival,
// with buckets of 5 mm: a step is four, a bend one. The cost is in metres and
// counts from and to the tops of the rises; negative if there is no way.
// With by, the way must touch that point.
func (m *mesh) cheapest(from, to cell, fromRises, toRises bool, by *cell) float64 {
	type state struct {
		at     cell
		dir    int // axis·2 + sign, 6 for none
		passed int // 1 once by is behind
	}
	done := make([]bool, 14*points)
	first := state{from, 6, btoi(by == nil)}
	if fromRises {
		first.dir = 4
	}
	buckets := [][]state{{first}}
	put := func(cost int, s state) {
		for len(buckets) <= cost {
			buckets = append(buckets, nil)
		}
		buckets[cost] = append(buckets[cost], s)
	}
	goal := cell{math.MaxInt} // the one state after the goal, in its last direction
	for cost := 0; cost < len(buckets); cost++ {
		for i := 0; i < len(buckets[cost]); i++ {
			s := buckets[cost][i]
			if s.at == goal {
				return unit / 4 * float64(cost)
			}
			if done[m.index(s.at)*14+s.passed*7+s.dir] {
				continue
			}
			done[m.index(s.at)*14+s.passed*7+s.dir] = true
			if by != nil && s.at == *by && s.passed == 0 {
				put(cost, state{s.at, s.dir, 1})
			}
			if s.at == to && s.passed == 1 && (!toRises || s.dir != 4) {
				put(cost+btoi(toRises && s.dir < 5), state{at: goal})
			}
			for dir := range ways {
				next, ok := m.step(s.at, dir)
				if ok && (s.dir == 6 || dir != s.dir^1) {
					put(cost+4+btoi(s.dir < 6 && dir != s.dir), state{next, dir, s.passed})
				}
			}
		}
	}
	return -1
}

// randomMesh has a few boxes standing and floating in a small space, posts
// above those with room, and studs in what is free.
func randomMesh(rng *rand.Rand, rooms bool) (m *mesh, posts, studs []cell, by *cell) {
	m = new(mesh)
	m.low, m.high = cell{-2, -2, -2}, cell{24, 18, 18}
	for range 2 + rng.IntN(5) {
		low := cell{rng.IntN(16), rng.IntN(10), rng.IntN(2) * rng.IntN(8)}
		m.boxes = append(m.boxes, [2]cell{low, {low[0] + 4 + rng.IntN(5), low[1] + 4 + rng.IntN(5), low[2] + 3 + rng.IntN(6)}})
	}
	if rooms {
		wall := 11 + rng.IntN(3)
		m.rooms = [][2]cell{{{-1, -1, -1}, {wall, 17, 15}}, {{wall + 1, -1, -1}, {24, 17, 15}}}
		for range 1 + rng.IntN(2) {
			m.holes = append(m.holes, cell{wall, rng.IntN(16), rng.IntN(14)})
		}
	}
	for _, b := range m.boxes {
		posts = append(posts, cell{b[0][0] + 2, b[0][1] + 2, b[1][2]})
	}
	for range 3 {
		c := cell{rng.IntN(23), rng.IntN(17), rng.IntN(15)}
		if m.free(c, c) {
			studs = append(studs, c)
		}
	}
	if len(studs) > 1 {
		by, studs = &studs[0], studs[1:]
	}
	m.setEdges()
	return m, posts, studs, by
}

// TestOracle compares routes with the cheapest way on a fine mesh.
func TestOracle(t *testing.T) {
	routed, lost, ledBy := 0, 0, 0
	for seed := range seeds(12) {
		rng := rand.New(rand.NewPCG(seed, 8))
		m, posts, studs, by := randomMesh(rng, seed%3 == 0)
		r := mustNew(t, m.scene(), meshed)
		r.fields = r.fields[:1] // the oracle knows no second try
		ends := append(posts, studs...)
		for i := range ends {
			for j := range i {
				if ends[i] == ends[j] {
					continue
				}
				from, to := End{ends[i].point(), i < len(posts)}, End{ends[j].point(), j < len(posts)}
				var led *cell
				var via []Point
				if by != nil && (i+j)%3 == 0 && *by != ends[i] && *by != ends[j] {
					led, via = by, []Point{by.point()}
				}
				p, err := r.Route(from, to, via)
				var none *NoRouteError
				if err != nil && !errors.As(err, &none) {
					t.Fatal(err)
				}
				want := m.cost(ends[i], ends[j], from.Rise, to.Rise, led)
				got := p.Rise + p.Run + p.Drop + bendPenalty*float64(p.Bends)
				if err != nil {
					got = -1
				}
				if math.Abs(got-want) > 1e-9 { // rounding, on sums of at most 3 m
					t.Errorf("seed %d: from %v by %v to %v costs %.9g m (%v), the oracle's %.9g m: %v", seed, ends[i], via, ends[j], got, err, want, p.Points)
				}
				routed, lost, ledBy = routed+btoi(err == nil), lost+btoi(err != nil), ledBy+btoi(err == nil && led != nil)
			}
		}
	}
	t.Logf("%d routed, %d of them by a point, %d without a way", routed, ledBy, lost)
	if !raced && (routed < 80 || ledBy < 20 || lost < 20) {
		t.Errorf("scenes test little: %d routed, %d of them by a point, %d without a way", routed, ledBy, lost)
	}
}

// cost is that of the whole way with its rises, -1 if there is none.
func (m *mesh) cost(from, to cell, fromRises, toRises bool, by *cell) float64 {
	rises := 0.0
	if !m.risen(&from, fromRises, &rises) || !m.risen(&to, toRises, &rises) {
		return -1
	}
	way := m.cheapest(from, to, fromRises, toRises, by)
	if way < 0 {
		return -1
	}
	return rises + way
}

// risen moves a post's cell to the top of its rise and adds that to the sum;
// ok is false where the rise is not free: the post inside a case, or under or
// beside something that is not below it.
func (m *mesh) risen(c *cell, rises bool, sum *float64) (ok bool) {
	inRoom := len(m.rooms) == 0
	for _, room := range m.rooms {
		inRoom = inRoom || c[0] > room[0][0] && c[0] < room[1][0] && c[1] > room[0][1] && c[1] < room[1][1] &&
			c[2] >= room[0][2] && c[2]+2*btoi(rises) < room[1][2]
	}
	for _, b := range m.boxes {
		if inside(*c, b) {
			return false
		}
	}
	if !rises || !inRoom {
		return inRoom
	}
	for _, b := range m.boxes {
		for _, up := range []int{0, 1} {
			// The middle of each unit of the rise, against what is not below.
			if b[1][2] > c[2] && inside(cell{2 * c[0], 2 * c[1], 2*(c[2]+up) + 1}, [2]cell{twice(b[0], -1), twice(b[1], 1)}) {
				return false
			}
		}
	}
	c[2] += 2
	*sum += 2 * unit
	return true
}

func twice(c cell, by int) cell { return cell{2 * (c[0] + by), 2 * (c[1] + by), 2 * (c[2] + by)} }

// inside reports whether a cell is in the open inside of a box.
func inside(c cell, b [2]cell) bool {
	for i := range c {
		if c[i] <= b[0][i] || c[i] >= b[1][i] {
			return false
		}
	}
	return true
}
