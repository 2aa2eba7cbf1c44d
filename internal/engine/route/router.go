package route

import (
	"fmt"
	"math"
	"sync"
)

// farthest is the greatest coordinate taken, in metres: beyond it rounded sums
// would no longer fit. Our choice.
const farthest = 1e4

// onWall is how far, in metres, the centre of a hole may miss the wall it is
// said to be on: a micrometre is a slip of rounding, not of measuring. Our choice.
const onWall = 1e-6

// near is how far apart two lengths in metres may be and still count as one
// where rounding may have set them apart: a nanometre. Our choice.
const near = 1e-9

// slip is the same as a coordinate: a post may be a slip below the top of its
// case, an end a slip outside its compartment.
var slip = lengthOf(near)

// Router answers for routes in one scene with one kind of cable. It is made by
// New, never changes after, and may be asked from several goroutines at once.
type Router struct {
	scene   Scene
	rules   Rules
	origin  [3]float64 // least corner of the scene: where rounding starts from
	rise    coord
	radius  coord // half the cable
	bends   int64 // twice the bend radius
	solids  []block
	cores   []block // solids without a skin of slip: inside here is inside
	rooms   []block
	outer   []block // rooms with a skin of slip: in here is in the room
	tunnels []tunnel
	fields  []*field // with the wanted clearance, then, if that is not nil, with none
	pool    sync.Pool
}

// tunnel is a passage with the rooms that it joins.
type tunnel struct {
	id        string
	axis      int // of the wall's normal
	low, high int // indices of the rooms before and after the wall along axis
	at        spot
	slack     float64 // how far off the hole's centre a cable's centre may lie, m
	fits      bool
}

// New prepares a scene for routing one kind of cable.
//
// It returns an error that names the ID for a box or room whose corners are
// the wrong way round, rooms that overlap, a passage that joins no two rooms
// or has no diameter, and for any number that is NaN, infinite, beyond 10 km,
// or in rules below nil (Diameter: nil or below). Passages without any room
// join nothing. The scene is copied.
func New(scene Scene, rules Rules) (*Router, error) {
	if err := rules.check(); err != nil {
		return nil, err
	}
	if err := scene.check(); err != nil {
		return nil, err
	}
	r := &Router{rules: rules, scene: Scene{
		Boxes:    append([]Box(nil), scene.Boxes...),
		Rooms:    append([]Room(nil), scene.Rooms...),
		Passages: append([]Passage(nil), scene.Passages...),
	}}
	r.origin = scene.least()
	r.rise, r.radius = lengthOf(rules.Rise), lengthOf(rules.Diameter/2)
	r.bends = lengthOf(2 * rules.Radius).q
	for _, b := range scene.Boxes {
		solid := block{r.spot(b.Min), r.spot(b.Max)}
		core, ok := solid.shrunk(slip)
		if !ok {
			core = solid
		}
		r.solids, r.cores = append(r.solids, solid), append(r.cores, core)
	}
	if err := r.addRooms(); err != nil {
		return nil, err
	}
	for _, p := range scene.Passages {
		t, err := r.tunnel(p)
		if err != nil {
			return nil, err
		}
		r.tunnels = append(r.tunnels, t)
	}
	r.fields = []*field{newField(r, r.radius.plus(lengthOf(rules.Clearance)))}
	if rules.Clearance > 0 {
		r.fields = append(r.fields, newField(r, r.radius))
	}
	r.pool.New = func() any { return new(search) }
	return r, nil
}

func (r Rules) check() error {
	for _, v := range []struct {
		name  string
		value float64
	}{
		{"rise", r.Rise}, {"clearance", r.Clearance}, {"bend radius", r.Radius},
		{"cable diameter", r.Diameter}, {"allowance", r.Allowance},
	} {
		if !(v.value >= 0 && v.value <= farthest) {
			return fmt.Errorf("route: %s of %g m: must be nil or more and below 10 km", v.name, v.value)
		}
	}
	if r.Diameter == 0 {
		return fmt.Errorf("route: a cable without a diameter cannot keep clear of anything: give its outside diameter")
	}
	return nil
}

func (s Scene) check() error {
	for _, b := range s.Boxes {
		if !(finite(b.Min) && finite(b.Max)) {
			return fmt.Errorf("route: case '%s' has a corner that is not a place within 10 km: %v to %v", b.ID, b.Min, b.Max)
		}
		if b.Min.X > b.Max.X || b.Min.Y > b.Max.Y || b.Min.Z > b.Max.Z {
			return fmt.Errorf("route: case '%s' has its corners the wrong way round: %v to %v", b.ID, b.Min, b.Max)
		}
	}
	for _, b := range s.Rooms {
		if !(finite(b.Min) && finite(b.Max)) {
			return fmt.Errorf("route: compartment '%s' has a corner that is not a place within 10 km: %v to %v", b.ID, b.Min, b.Max)
		}
		if b.Min.X >= b.Max.X || b.Min.Y >= b.Max.Y || b.Min.Z >= b.Max.Z {
			return fmt.Errorf("route: compartment '%s' has no inside: %v to %v", b.ID, b.Min, b.Max)
		}
	}
	for _, p := range s.Passages {
		if !finite(p.At) || !(p.Diameter > 0 && p.Diameter <= farthest) {
			return fmt.Errorf("route: passage '%s' needs a place within 10 km and a diameter above nil, has %v and %g m", p.ID, p.At, p.Diameter)
		}
	}
	return nil
}

func finite(p Point) bool {
	for _, v := range p.array() {
		if !(math.Abs(v) <= farthest) {
			return false
		}
	}
	return true
}

// least is the least corner of everything in the scene, nil for an empty one.
func (s Scene) least() [3]float64 {
	least := [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}
	add := func(p Point) {
		for a, v := range p.array() {
			least[a] = min(least[a], v)
		}
	}
	for _, b := range s.Boxes {
		add(b.Min)
	}
	for _, b := range s.Rooms {
		add(b.Min)
	}
	for _, p := range s.Passages {
		add(p.At)
	}
	if math.IsInf(least[0], 1) {
		return [3]float64{}
	}
	return least
}

func (r *Router) spot(p Point) spot {
	var s spot
	for a, v := range p.array() {
		s[a] = coord{int64(math.Round((v - r.origin[a]) * perMetre)), v}
	}
	return s
}

func (r *Router) addRooms() error {
	for i, room := range r.scene.Rooms {
		b := block{r.spot(room.Min), r.spot(room.Max)}
		for j, other := range r.rooms {
			if b.overlaps(other) {
				return fmt.Errorf("route: compartments '%s' and '%s' overlap", r.scene.Rooms[j].ID, r.scene.Rooms[i].ID)
			}
		}
		r.rooms, r.outer = append(r.rooms, b), append(r.outer, b.grown(slip))
	}
	return nil
}

// tunnel finds the two rooms that a passage joins: along one axis, the nearest
// before it and the nearest after it, where the wall between is thinnest.
func (r *Router) tunnel(p Passage) (tunnel, error) {
	t := tunnel{id: p.ID, axis: -1, at: r.spot(p.At)}
	var thinnest int64
	for axis := range 3 {
		low, high := r.beside(t.at, axis)
		if low < 0 || high < 0 {
			continue
		}
		wall := r.rooms[high].lo[axis].q - r.rooms[low].hi[axis].q
		if wall >= 0 && (t.axis < 0 || wall < thinnest) {
			t.axis, t.low, t.high, thinnest = axis, low, high, wall
		}
	}
	if t.axis < 0 {
		return t, fmt.Errorf("route: passage '%s' at %v joins nothing: its centre must be in or on the wall between two compartments", p.ID, p.At)
	}
	t.slack = (p.Diameter - r.rules.Diameter) / 2
	t.fits = lengthOf(t.slack).q >= 0 && r.offWalls(t)
	return t, nil
}

// beside gives the nearest rooms before and after a point along an axis among
// those that the line through it along the axis goes through; -1 for none.
func (r *Router) beside(at spot, axis int) (low, high int) {
	low, high = -1, -1
	miss := lengthOf(onWall).q
	b, c := (axis+1)%3, (axis+2)%3
	for i, room := range r.rooms {
		if at[b].q <= room.lo[b].q || at[b].q >= room.hi[b].q || at[c].q <= room.lo[c].q || at[c].q >= room.hi[c].q {
			continue
		}
		if room.hi[axis].q <= at[axis].q+miss && (low < 0 || room.hi[axis].q > r.rooms[low].hi[axis].q) {
			low = i
		}
		if room.lo[axis].q >= at[axis].q-miss && (high < 0 || room.lo[axis].q < r.rooms[high].lo[axis].q) {
			high = i
		}
	}
	return low, high
}

// offWalls reports whether a cable through the hole's centre clears the walls
// along which it then lies, by its own half at least.
func (r *Router) offWalls(t tunnel) bool {
	for _, i := range []int{t.low, t.high} {
		for a := range 3 {
			if a != t.axis && (t.at[a].q-r.rooms[i].lo[a].q < r.radius.q || r.rooms[i].hi[a].q-t.at[a].q < r.radius.q) {
				return false
			}
		}
	}
	return true
}

// Route finds the run of a cable between two ends. Points of via, if any, are
// a given run that the cable follows, straight from one to the next, in that
// order or the reverse, whichever makes the shorter cable (the given order
// where both are the same); the rest is found as without.
//
// Where no route keeps the wanted clearance, one is sought that only keeps the
// cable outside cases and walls, and Path.Close is set. Where that fails too,
// or there can be no route at all, the error is a *NoRouteError. Another error
// means that a coordinate is NaN, infinite or beyond 10 km.
func (r *Router) Route(from, to End, via []Point) (Path, error) {
	for _, p := range append([]Point{from.At, to.At}, via...) {
		if !finite(p) {
			return Path{}, fmt.Errorf("route: %v is not a place within 10 km", p)
		}
	}
	t := task{from: r.spot(from.At), to: r.spot(to.At), fromRises: from.Rise, toRises: to.Rise}
	for _, p := range via {
		t.run = append(t.run, r.spot(p))
	}
	why := r.hopeless(t)
	if why.text == "" {
		if path, ok := r.route(t); ok {
			return path, nil
		}
		why = r.explain(t)
	}
	return Path{}, &NoRouteError{From: from.At, To: to.At, End: why.end, Why: why.text}
}

// task is one question in the terms of the search.
type task struct {
	from, to           spot
	fromRises, toRises bool
	run                []spot
}

// route puts the ends into their fixed order and tries with and then without
// the wanted clearance.
func (r *Router) route(t task) (Path, bool) {
	swap := t.to.before(t.from)
	if swap {
		t.from, t.to = t.to, t.from
		t.fromRises, t.toRises = t.toRises, t.fromRises
	}
	s := r.pool.Get().(*search)
	defer r.pool.Put(s)
	for i, f := range r.fields {
		path, ok := s.attempt(f, t)
		if !ok {
			continue
		}
		path.Close = i > 0
		if swap {
			path.reverse()
		}
		return path, true
	}
	return Path{}, false
}
