package route

// Point is a place in metres: x right, y away, z up.
type Point struct{ X, Y, Z float64 }

// Box is a solid: a battery's case, a part's body. Min is its least corner and
// Max its greatest, in metres. ID is only used in messages.
type Box struct {
	ID       string
	Min, Max Point
}

// Room is the inside of a compartment, from least to greatest corner, in
// metres. Rooms must not overlap; they may touch, and a face where two rooms
// touch is still a wall.
type Room struct {
	ID       string
	Min, Max Point
}

// Passage is a round hole in the wall between two rooms whose faces are
// parallel, a wall thickness (nil or more) apart. At is the centre of the
// hole, in the wall or on one of its faces; Diameter is that of the hole, in
// metres.
type Passage struct {
	ID       string
	At       Point
	Diameter float64
}

// Scene is everything a cable has to mind. Without rooms all space is free.
// Boxes may overlap each other.
type Scene struct {
	Boxes    []Box
	Rooms    []Room
	Passages []Passage
}

// Rules are the lengths that shape a route, in metres.
type Rules struct {
	// Rise is how far a cable goes straight up from a post before it may turn.
	Rise float64
	// Clearance is wanted between the cable's surface and any case or wall.
	Clearance float64
	// Radius is the bend radius, measured to the cable's centre line (an
	// inside radius plus half the diameter).
	Radius float64
	// Diameter is the cable's outside diameter; it must be above nil.
	Diameter float64
	// Allowance is added for the lug and slack at each of the two ends.
	Allowance float64
}

// End is one end of a cable: the centre of its lug hole.
type End struct {
	At Point
	// Rise says that the end is a post on top of a case: the cable leaves it
	// straight up by Rules.Rise, and further until it is clear of the cases
	// below. Else the cable may leave in any direction.
	Rise bool
}

// SegmentHitsBox reports whether the straight segment from a to b has a point
// in the open inside of box. Lying on a face, an edge or a corner is no hit; a
// segment of no length is a point; a box without volume has no inside. With
// NaN anywhere the answer is false.
func SegmentHitsBox(a, b Point, box Box) bool {
	p, q := a.array(), b.array()
	low, high := box.Min.array(), box.Max.array()
	enter, leave := -1.0, 2.0 // any interval wider than the segment's [0, 1]
	for axis := range 3 {
		d := q[axis] - p[axis]
		if d == 0 {
			if !(low[axis] < p[axis] && p[axis] < high[axis]) {
				return false
			}
			continue
		}
		t, u := (low[axis]-p[axis])/d, (high[axis]-p[axis])/d
		if d < 0 {
			t, u = u, t
		}
		enter, leave = max(enter, t), min(leave, u)
	}
	return enter < leave && enter < 1 && leave > 0
}

func (p Point) array() [3]float64 { return [3]float64{p.X, p.Y, p.Z} }
