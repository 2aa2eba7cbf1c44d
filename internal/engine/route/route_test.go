package route

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// bent is how much shorter a square corner is when rounded, per metre of
// radius: two tangents of R less a quarter circle.
const bent = 2 - math.Pi/2

// two is a scene of two equal cases in a line, 70 mm apart.
var two = Scene{Boxes: []Box{box("B1", 0, 0, 0, 0.33, 0.17, 0.21), box("B2", 0.4, 0, 0, 0.33, 0.17, 0.21)}}

// pair is two compartments with a wall of 20 mm between, and a hole in it.
func pair(hole Passage, boxes ...Box) Scene {
	return Scene{
		Boxes:    boxes,
		Rooms:    []Room{{"bay", Point{0, 0, 0}, Point{1, 1, 0.6}}, {"locker", Point{1.02, 0, 0}, Point{2, 1, 0.6}}},
		Passages: []Passage{hole},
	}
}

// handRow is a route drawn and summed by hand, in metres.
type handRow struct {
	name            string
	scene           Scene
	from, to        End
	via             []Point
	rise, run, drop float64
	bends           int
	radii           float64 // sum over the square corners
	tight           bool
	passages        []string
}

var (
	tall = Scene{Boxes: []Box{
		box("B1", 0, 0, 0, 0.3, 0.2, 0.2), box("tall", 0.35, -0.05, 0, 0.2, 0.3, 1), box("B2", 0.6, 0, 0, 0.3, 0.2, 0.2),
	}}
	bodies = Scene{Boxes: []Box{box("A", 0, 0, 0, 0.2, 0.05, 0.03), box("B", 0.5, 0, 0, 0.2, 0.05, 0.03)}}
	hole   = Passage{"hole", Point{1.01, 0.5, 0.3}, 0.03}
)

// byHand is for heavy, which turns at 50 mm radius and keeps its centre line
// 18 mm off cases.
var byHand = []handRow{
	{name: "side by side", scene: two, from: post(0.03, 0.03, 0.21), to: post(0.43, 0.03, 0.21),
		rise: 0.04, run: 0.4, drop: 0.04, bends: 2, radii: 0.04, tight: true},
	// The lower one's first leg goes on up to the other's rise.
	{name: "different heights", scene: Scene{Boxes: []Box{box("B1", 0, 0, 0, 0.33, 0.17, 0.2), box("B2", 0.4, 0, 0, 0.33, 0.17, 0.3)}},
		from: post(0.03, 0.03, 0.2), to: post(0.43, 0.03, 0.3),
		rise: 0.14, run: 0.4, drop: 0.04, bends: 2, radii: 0.05 + 0.02, tight: true},
	// Past the far face, 148 mm off, not past the near one, 188 mm off, nor over the top.
	{name: "around a tall case", scene: tall, from: post(0.25, 0.12, 0.2), to: post(0.65, 0.12, 0.2),
		rise: 0.04, run: 0.148 + 0.4 + 0.148, drop: 0.04, bends: 4, radii: 0.02 + 0.05 + 0.05 + 0.02, tight: true},
	{name: "by a passage", scene: pair(hole), from: stud(0.5, 0.5, 0.1), to: stud(1.5, 0.5, 0.1),
		rise: 0.2, run: 1, drop: 0.2, bends: 2, radii: 0.1, passages: []string{"hole"}},
	// The hole is nearer the floor than the centre line else may be.
	{name: "by a passage at the floor", scene: pair(Passage{"low", Point{1.01, 0.5, 0.012}, 0.02}), from: stud(0.5, 0.5, 0.3), to: stud(1.5, 0.5, 0.3),
		run: 0.482 + 0.288 + 0.056 + 0.288 + 0.462, bends: 4, radii: 0.05 + 0.028 + 0.028 + 0.05, tight: true, passages: []string{"low"}},
	// 0.2 m aside for the first hole, 0.3 m on for the second, 0.1 m for the end;
	// the second wall has a nearer hole, too small.
	{name: "through two walls", scene: Scene{
		Rooms:    []Room{{"a", Point{0, 0, 0}, Point{1, 1, 0.6}}, {"b", Point{1.02, 0, 0}, Point{2, 1, 0.6}}, {"c", Point{2, 0, 0}, Point{3, 1, 0.6}}},
		Passages: []Passage{{"ab", Point{1, 0.7, 0.3}, 0.016}, {"small", Point{2, 0.7, 0.3}, 0.015}, {"bc", Point{2, 0.4, 0.3}, 0.02}},
	}, from: stud(0.5, 0.5, 0.3), to: stud(2.5, 0.5, 0.3), run: 0.2 + 2 + 0.3 + 0.1, bends: 4, radii: 4 * 0.05, passages: []string{"ab", "bc"}},
	// Holes listed out of order; of two that overlap the nearer centre counts.
	{name: "run straight through two walls", scene: Scene{
		Rooms:    []Room{{"a", Point{0, 0, 0}, Point{1, 1, 0.6}}, {"b", Point{1.02, 0, 0}, Point{2, 1, 0.6}}, {"c", Point{2, 0, 0}, Point{3, 1, 0.6}}},
		Passages: []Passage{{"bc", Point{2, 0.5, 0.3}, 0.03}, {"ab", Point{1, 0.5, 0.3}, 0.03}, {"wide", Point{1, 0.508, 0.3}, 0.04}},
	}, from: stud(2.5, 0.505, 0.3), to: stud(0.5, 0.505, 0.3), via: []Point{{0.6, 0.505, 0.3}, {2.4, 0.505, 0.3}}, run: 2, passages: []string{"bc", "wide"}},
	// Studs in the zone of two walls and of one: out of the zone, along, back in.
	{name: "studs on the walls", scene: pair(hole), from: stud(0.005, 0.005, 0.1), to: stud(0.5, 0.005, 0.1),
		run: 0.013 + 0.495 + 0.013, bends: 2, radii: 0.013, tight: true},
	{name: "studs on their bodies", scene: bodies, from: stud(0.1, 0.025, 0.03), to: stud(0.6, 0.025, 0.03),
		rise: 0.018, run: 0.5, drop: 0.018, bends: 2, radii: 0.018, tight: true},
	{name: "straight up", from: post(0, 0, 0), to: stud(0, 0, 0.5), rise: 0.5},
	{name: "straight down", from: stud(0, 0, 0.5), to: post(0, 0, 0), drop: 0.5},
	{name: "level", from: stud(0, 0, 0), to: stud(0.25, 0, 0), run: 0.25},
	{name: "stud at the top of a rise", from: stud(0, 0, 0.04), to: post(0, 0, 0), drop: 0.04},
	// The first leg is long, so the long leg must follow it: 50, 10 and 10 mm
	// of radius instead of 10, 10 and 20.
	{name: "rounder of two equals", from: post(0, 0, 0.1), to: post(0.3, 0.02, 0.26),
		rise: 0.2, run: 0.3 + 0.02, drop: 0.04, bends: 3, radii: 0.05 + 0.01 + 0.01, tight: true},
	{name: "over a given run", from: stud(0, 0, 0), to: stud(1, 0, 0), via: []Point{{0.2, 0.3, 0}, {0.8, 0.3, 0}},
		run: 0.3 + 1 + 0.3, bends: 2, radii: 0.1},
	{name: "over a run given backwards", from: stud(0, 0, 0), to: stud(1, 0, 0), via: []Point{{0.8, 0.3, 0}, {0.2, 0.3, 0}},
		run: 0.3 + 1 + 0.3, bends: 2, radii: 0.1},
	{name: "over a slanting run", from: stud(0, 0, 0), to: stud(0.3, 0.6, 0), via: []Point{{0, 0.1, 0}, {0.3, 0.5, 0}},
		run: 0.1 + 0.5 + 0.1, bends: 2},
	{name: "by one point", from: stud(0, 0, 0), to: stud(1, 0, 0), via: []Point{{0.5, 0.2, 0}},
		run: 0.2 + 1 + 0.2, bends: 2, radii: 0.1},
	{name: "run from end to end", from: stud(0, 0, 0), to: stud(1, 0, 0), via: []Point{{0, 0, 0}, {0, 0.2, 0}, {1, 0.2, 0}, {1, 0, 0}},
		run: 0.2 + 1 + 0.2, bends: 2, radii: 0.1},
	{name: "run through a hole, off its middle", scene: pair(hole), from: stud(0.5, 0.505, 0.1), to: stud(1.5, 0.505, 0.1),
		via: []Point{{0.5, 0.505, 0.3}, {1.01, 0.505, 0.3}, {1.5, 0.505, 0.3}}, rise: 0.2, run: 1, drop: 0.2, bends: 2, radii: 0.1, passages: []string{"hole"}},
}

func TestByHand(t *testing.T) {
	for _, row := range byHand {
		t.Run(row.name, func(t *testing.T) {
			r := mustNew(t, row.scene, heavy)
			p, err := r.Route(row.from, row.to, row.via)
			if err != nil {
				t.Fatal(err)
			}
			const tol = 1e-12 // sums of a few lengths below 2 m
			for _, v := range []struct {
				what      string
				got, want float64
			}{
				{"rise", p.Rise, row.rise}, {"run", p.Run, row.run}, {"drop", p.Drop, row.drop},
				{"bend saving", p.BendSaving, bent * row.radii},
				{"length", p.Length, row.rise + row.run + row.drop - bent*row.radii + 0.02},
			} {
				if !(math.Abs(v.got-v.want) <= tol) {
					t.Errorf("%s %.15g, want %.15g: %v", v.what, v.got, v.want, p.Points)
				}
			}
			if p.Bends != row.bends || p.Tight != row.tight || p.Close || !slices.Equal(p.Passages, row.passages) {
				t.Errorf("%d bends, tight %v, close %v, passages %q; want %d, %v, false, %q", p.Bends, p.Tight, p.Close, p.Passages, row.bends, row.tight, row.passages)
			}
		})
	}
}

func TestLowRise(t *testing.T) {
	rules := heavy
	rules.Rise = 0.005
	p, err := mustNew(t, two, rules).Route(post(0.03, 0.03, 0.21), post(0.43, 0.03, 0.21), nil)
	if err != nil || math.Abs(p.Rise-0.018) > 1e-12 || math.Abs(p.Drop-0.018) > 1e-12 {
		t.Errorf("a rise of 5 mm ends after %g m, error %v; want 0.018, where the case's zone ends", p.Rise, err)
	}
}

func TestSteps(t *testing.T) {
	p, err := mustNew(t, two, heavy).Route(post(0.03, 0.03, 0.21), post(0.43, 0.03, 0.21), nil)
	if err != nil {
		t.Fatal(err)
	}
	want := []Step{{"rise", 1, 0.04}, {"run", 1, 0.4}, {"drop", 1, 0.04}, {"bends", 2, -bent * 0.04}, {"allowance", 2, 0.02}}
	if !slices.EqualFunc(p.Steps(), want, func(a, b Step) bool {
		return a.Label == b.Label && a.Count == b.Count && math.Abs(a.Metres-b.Metres) < 1e-15
	}) {
		t.Errorf("steps %v, want %v", p.Steps(), want)
	}
}

// TestClose has posts where 10 mm of clearance cannot be had but half the
// cable, 8 mm, can.
func TestClose(t *testing.T) {
	neighbour := func(gap float64) Scene {
		return Scene{Boxes: []Box{box("B1", 0, 0, 0, 0.3, 0.2, 0.2), box("high", 0.03+gap, 0, 0.21, 0.3, 0.2, 0.1)}}
	}
	// A slot between two cases, and the same in a room that has no other way.
	slot := func(gap float64) Scene {
		return Scene{Boxes: []Box{box("A", 0.3, -1, -1, 0.2, 1, 2), box("B", 0.3, gap, -1, 0.2, 1, 2)}}
	}
	only := func(gap float64) Scene {
		s := slot(gap)
		s.Rooms = []Room{{"bay", Point{-0.1, -1, -1}, Point{1.1, 1 + gap, 1}}}
		return s
	}
	const around = 1.018 + 1 + 1.018 // up, over, down
	rows := []struct {
		name     string
		scene    Scene
		from, to End
		via      []Point
		close    bool
		length   float64
	}{
		{"18 mm beside a taller case", neighbour(0.018), post(0.03, 0.1, 0.2), stud(-0.3, 0.1, 0.24), nil, false, 0.04 + 0.33},
		{"12 mm beside a taller case", neighbour(0.012), post(0.03, 0.1, 0.2), stud(-0.3, 0.1, 0.24), nil, true, 0.04 + 0.33},
		{"slot of 36 mm", slot(0.036), stud(0, 0.018, 0), stud(1, 0.018, 0), nil, false, 1},
		{"slot of 20 mm, space around", slot(0.02), stud(0, 0.01, 0), stud(1, 0.01, 0), nil, false, around},
		{"slot of 14 mm, space around", slot(0.014), stud(0, 0.007, 0), stud(1, 0.007, 0), nil, false, around},
		{"only a slot of 36 mm", only(0.036), stud(0, 0.018, 0), stud(1, 0.018, 0), nil, false, 1},
		{"only a slot of 20 mm", only(0.02), stud(0, 0.01, 0), stud(1, 0.01, 0), nil, true, 1},
		{"run through a slot of 20 mm", slot(0.02), stud(0, 0.01, 0), stud(1, 0.01, 0), []Point{{0.2, 0.01, 0}, {0.6, 0.01, 0}}, true, 1},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			p, err := mustNew(t, row.scene, heavy).Route(row.from, row.to, row.via)
			if err != nil || p.Close != row.close || math.Abs(p.Rise+p.Run+p.Drop-row.length) > 1e-12 {
				t.Errorf("close %v, legs %g m, error %v; want %v, %g m", p.Close, p.Rise+p.Run+p.Drop, err, row.close, row.length)
			}
		})
	}
}

func TestNoRoute(t *testing.T) {
	over := func(id string, z float64) Scene {
		return Scene{Boxes: []Box{two.Boxes[0], two.Boxes[1], box(id, 0, 0, z, 0.1, 0.1, 0.01)}}
	}
	a, b := post(0.03, 0.03, 0.21), post(0.43, 0.03, 0.21)
	left, right := stud(0.5, 0.5, 0.3), stud(1.5, 0.5, 0.3)
	rows := []struct {
		name     string
		scene    Scene
		from, to End
		via      []Point
		end, why string
	}{
		{"lid", over("L", 0.22), a, b, nil, "from", "post stands under a lid ('L'): needs 48 mm above it, has 10 mm"},
		{"lid over the other end", over("L", 0.22), b, a, nil, "to", "post stands under a lid ('L'): needs 48 mm above it, has 10 mm"},
		{"lid just too low", over("L", 0.2579), a, b, nil, "from", "post stands under a lid ('L'): needs 48 mm above it, has 47.9 mm"},
		{"ceiling", Scene{Boxes: two.Boxes, Rooms: []Room{{"bay", Point{-1, -1, 0}, Point{1, 1, 0.23}}}}, a, b, nil,
			"from", "post stands under a lid (top of compartment 'bay'): needs 48 mm above it, has 20 mm"},
		{"beside a taller case", Scene{Boxes: []Box{two.Boxes[0], two.Boxes[1], box("T", 0.033, 0, 0.21, 0.2, 0.1, 0.3)}}, a, b, nil,
			"from", "post stands 3 mm beside case 'T', which reaches higher: a 16 mm cable that rises there needs 8 mm"},
		{"beside a wall", Scene{Boxes: two.Boxes, Rooms: []Room{{"bay", Point{-1, 0.025, 0}, Point{1, 1, 0.5}}}}, a, b, nil,
			"from", "post stands 5 mm from a wall of compartment 'bay': a 16 mm cable that rises there needs 8 mm"},
		{"no passage", Scene{Rooms: pair(hole).Rooms}, left, right, nil, "", "no passage joins compartment 'bay' to 'locker' that a 16 mm cable fits"},
		{"no passage, from the other end", Scene{Rooms: pair(hole).Rooms}, right, left, nil, "", "no passage joins compartment 'locker' to 'bay' that a 16 mm cable fits"},
		{"hole too small", pair(Passage{"hole", Point{1.01, 0.5, 0.3}, 0.0159}), left, right, nil, "", "no passage joins compartment 'bay' to 'locker' that a 16 mm cable fits"},
		{"hole in the floor's edge", pair(Passage{"hole", Point{1.01, 0.5, 0.007}, 0.03}), left, right, nil, "", "no passage joins compartment 'bay' to 'locker' that a 16 mm cable fits"},
		{"case before the hole", pair(hole, box("B1", 0.8, 0.4, 0, 0.2, 0.2, 0.31)), left, right, nil, "", "case 'B1' stands before passage 'hole' and leaves no way through for a 16 mm cable"},
		// Each stud's way out of its zone reaches into the other's, through the plate.
		{"plate between studs", Scene{Boxes: []Box{box("A", 0, 0, 0, 0.2, 0.1, 0.03), box("plate", 0, 0, 0.044, 0.2, 0.1, 0.002), box("B", 0, 0, 0.06, 0.2, 0.1, 0.03)}},
			stud(0.1, 0.05, 0.03), stud(0.1, 0.05, 0.06), nil, "", "cases and walls leave no way through for a 16 mm cable, even without clearance"},
		{"inside a case", two, stud(0.1, 0.1, 0.1), b, nil, "from", "end stands inside case 'B1'"},
		{"outside", pair(hole), left, stud(1.01, 0.9, 0.3), nil, "to", "end stands outside every compartment"},
		{"same place", two, a, a, nil, "", "both ends are at the same place"},
		{"run through a case", two, a, b, []Point{{-0.1, 0.1, 0.1}, {0.5, 0.1, 0.1}}, "", "given run goes through case 'B1', or nearer than half the cable, between its points 1 and 2"},
		{"run through a wall", pair(hole), left, right, []Point{{0.5, 0.6, 0.3}, {0.9, 0.6, 0.3}, {1.5, 0.6, 0.3}}, "", "given run leaves the compartments, other than by a passage, between its points 2 and 3"},
		{"walled in", Scene{Boxes: []Box{box("W", 0.05, -1, -1, 0.1, 2, 2), box("E", -0.15, -1, -1, 0.1, 2, 2), box("N", -0.1, 0.05, -1, 0.2, 0.1, 2),
			box("S", -0.1, -0.15, -1, 0.2, 0.1, 2), box("U", -0.1, -0.1, 0.05, 0.2, 0.2, 0.1), box("D", -0.1, -0.1, -0.15, 0.2, 0.2, 0.1)}},
			stud(0, 0, 0), stud(2, 0, 0), nil, "", "cases and walls leave no way through for a 16 mm cable, even without clearance"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			p, err := mustNew(t, row.scene, heavy).Route(row.from, row.to, row.via)
			var none *NoRouteError
			if !errors.As(err, &none) {
				t.Fatalf("route %v, error %v, want a NoRouteError", p.Points, err)
			}
			if none.Why != row.why || none.End != row.end || none.From != row.from.At || none.To != row.to.At {
				t.Errorf("end %q: %s\nwant %q: %s", none.End, none.Why, row.end, row.why)
			}
			if !strings.HasSuffix(err.Error(), row.why) || !strings.HasPrefix(err.Error(), "no route from (") {
				t.Errorf("message %q", err)
			}
		})
	}
}

func TestNewErrors(t *testing.T) {
	nan := math.NaN()
	hole := Passage{"P", Point{1.01, 0.5, 0.3}, 0.03}
	with := func(change func(*Rules)) Rules {
		r := heavy
		change(&r)
		return r
	}
	rows := []struct {
		name  string
		scene Scene
		rules Rules
		want  string // must be in the message
	}{
		{"case turned over", Scene{Boxes: []Box{{"B7", Point{1, 0, 0}, Point{0, 1, 1}}}}, heavy, "'B7'"},
		{"case nowhere", Scene{Boxes: []Box{{"B7", Point{nan, 0, 0}, Point{0, 1, 1}}}}, heavy, "'B7'"},
		{"room without inside", Scene{Rooms: []Room{{"bay", Point{0, 0, 0}, Point{0, 1, 1}}}}, heavy, "'bay'"},
		{"room without end", Scene{Rooms: []Room{{"bay", Point{0, 0, 0}, Point{math.Inf(1), 1, 1}}}}, heavy, "'bay'"},
		{"rooms overlap", Scene{Rooms: []Room{{"bay", Point{0, 0, 0}, Point{1, 1, 1}}, {"locker", Point{0.9, 0.9, 0.9}, Point{2, 2, 2}}}}, heavy, "'bay' and 'locker' overlap"},
		{"hole in the open", Scene{Passages: []Passage{hole}}, heavy, "'P'"},
		{"hole within a room", pair(Passage{"P", Point{0.5, 0.5, 0.3}, 0.03}), heavy, "'P'"},
		{"hole in an outer wall", pair(Passage{"P", Point{-0.01, 0.5, 0.3}, 0.03}), heavy, "'P'"},
		{"hole beside both rooms", pair(Passage{"P", Point{1.01, 1.1, 0.3}, 0.03}), heavy, "'P'"},
		{"hole without width", pair(Passage{"P", Point{1.01, 0.5, 0.3}, 0}), heavy, "'P'"},
		{"cable without width", Scene{}, with(func(r *Rules) { r.Diameter = 0 }), "diameter"},
		{"rise below nil", Scene{}, with(func(r *Rules) { r.Rise = -0.01 }), "rise"},
		{"clearance unknown", Scene{}, with(func(r *Rules) { r.Clearance = nan }), "clearance"},
		{"radius endless", Scene{}, with(func(r *Rules) { r.Radius = math.Inf(1) }), "bend radius"},
		{"allowance below nil", Scene{}, with(func(r *Rules) { r.Allowance = -1 }), "allowance"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			if _, err := New(row.scene, row.rules); err == nil || !strings.Contains(err.Error(), row.want) {
				t.Errorf("error %v, want one with %s", err, row.want)
			}
		})
	}
	t.Run("place unknown", func(t *testing.T) {
		_, err := mustNew(t, two, heavy).Route(post(0.03, 0.03, 0.21), post(nan, 0, 0), nil)
		var none *NoRouteError
		if err == nil || errors.As(err, &none) {
			t.Errorf("error %v, want one that is no NoRouteError", err)
		}
	})
}

func TestSegmentHitsBox(t *testing.T) {
	b := Box{"", Point{0, 0, 0}, Point{1, 2, 3}}
	rows := []struct {
		name string
		a, b Point
		want bool
	}{
		{"through", Point{-1, 1, 1}, Point{2, 1, 1}, true},
		{"slanting through", Point{-1, -1, -1}, Point{2, 3, 4}, true},
		{"ends inside", Point{-1, 1, 1}, Point{0.1, 1, 1}, true},
		{"all inside", Point{0.4, 1, 1}, Point{0.6, 1, 1}, true},
		{"a point inside", Point{0.5, 1, 1}, Point{0.5, 1, 1}, true},
		{"a point on a face", Point{0, 1, 1}, Point{0, 1, 1}, false},
		{"up to a face", Point{-1, 1, 1}, Point{0, 1, 1}, false},
		{"from a face away", Point{1, 1, 1}, Point{2, 1, 1}, false},
		{"from a face inward", Point{1, 1, 1}, Point{0.9, 1, 1}, true},
		{"along a face", Point{0, -1, 1}, Point{0, 3, 1}, false},
		{"along an edge", Point{0, 0, -1}, Point{0, 0, 4}, false},
		{"over an edge", Point{-1, 1, 1}, Point{1, -1, 1}, false},
		{"short of it", Point{-2, 1, 1}, Point{-1, 1, 1}, false},
		{"beside it", Point{-1, 2.5, 1}, Point{2, 2.5, 1}, false},
		{"unknown", Point{math.NaN(), 1, 1}, Point{2, 1, 1}, false},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			if SegmentHitsBox(row.a, row.b, b) != row.want || SegmentHitsBox(row.b, row.a, b) != row.want {
				t.Errorf("one way %v, other way %v, want %v", !row.want, SegmentHitsBox(row.b, row.a, b), row.want)
			}
		})
	}
}

// TestSegmentHitsBoxSampled compares with points along the segment: one well
// inside proves a hit, and none anywhere near disproves it.
func TestSegmentHitsBoxSampled(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 7))
	at := func() Point { return Point{3*rng.Float64() - 1, 3*rng.Float64() - 1, 3*rng.Float64() - 1} }
	b := Box{"", Point{0, 0, 0}, Point{1, 1, 1}}
	hits := 0
	for range 2000 {
		p, q := at(), at()
		deepest := math.Inf(-1)
		for i := range 501 {
			s := float64(i) / 500
			deepest = max(deepest, depth(Point{p.X + (q.X-p.X)*s, p.Y + (q.Y-p.Y)*s, p.Z + (q.Z-p.Z)*s}, b, 0))
		}
		got := SegmentHitsBox(p, q, b)
		hits += btoi(got)
		// Samples are at most 3√3/500 apart, so the deepest is missed by less.
		if deepest > 0 && !got || deepest < -0.0104 && got {
			t.Errorf("from %v to %v: hit %v, deepest sample %g", p, q, got, deepest)
		}
	}
	if hits < 200 || hits > 1800 {
		t.Errorf("%d hits of 2000 test little", hits)
	}
}
