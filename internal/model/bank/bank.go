// Package bank is the battery bank as it will be built: batteries, posts,
// cables, parts, compartments, and what is asked of them. It is filled by
// assemble; every physical value carries whether it was given, looked up,
// assumed or routed. Places are in metres, x right, y away, z up, seen from
// above.
package bank

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

// Bank is one job, resolved.
type Bank struct {
	Title        string
	Show         quantity.Show
	Batteries    []Battery
	Parts        []Part
	Cables       []Cable
	Compartments []Compartment
	Passages     []Passage
	Runs         []Run
	Takeoff      Takeoff
	Routing      Routing
	Practice     Practice
	Place        Place
	Warmth       Warmth
	Inlet        Inlet
	Mounting     *Mounting // nil: the job says nothing of it
	Days         Days
	Question     Question
	Cases        []Case
	Sequences    []Sequence
	Readings     []Reading
}

// Point is a place in metres.
type Point struct{ X, Y, Z float64 }

// Add gives p moved by q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y, p.Z + q.Z} }

// Box is an upright solid between two corners.
type Box struct{ Min, Max Point }

// Overlaps reports whether two boxes share volume; touching faces do not. The
// small slack keeps cases that stand side by side by a rounded inch apart.
func (b Box) Overlaps(c Box) bool {
	const slack = 1e-6 // m, far below what a tape shows
	return b.Min.X < c.Max.X-slack && c.Min.X < b.Max.X-slack &&
		b.Min.Y < c.Max.Y-slack && c.Min.Y < b.Max.Y-slack &&
		b.Min.Z < c.Max.Z-slack && c.Min.Z < b.Max.Z-slack
}

// Contains reports whether c lies within b, faces touching allowed.
func (b Box) Contains(c Box) bool {
	const slack = 1e-6 // m
	return c.Min.X >= b.Min.X-slack && c.Max.X <= b.Max.X+slack &&
		c.Min.Y >= b.Min.Y-slack && c.Max.Y <= b.Max.Y+slack &&
		c.Min.Z >= b.Min.Z-slack && c.Max.Z <= b.Max.Z+slack
}

// Chemistry is the kind of battery. Generic kinds only.
type Chemistry string

// The chemistries a job may name.
const (
	LFP     Chemistry = "lfp"
	AGM     Chemistry = "agm"
	Gel     Chemistry = "gel"
	Flooded Chemistry = "flooded"
)

// CurvePoint is one point of open-circuit voltage over state of charge.
type CurvePoint struct {
	Charge  quantity.Ratio
	Voltage quantity.Voltage
}

// Body is where a case stands: the least x, y, z of the turned case, its size
// before turning and its turn in degrees counter-clockwise from above (0, 90,
// 180 or 270).
type Body struct {
	At   Point
	Size Point // length, width, height at turn 0
	Turn int
}

// Box gives the turned case.
func (b Body) Box() Box {
	l, w := b.Size.X, b.Size.Y
	if b.Turn == 90 || b.Turn == 270 {
		l, w = w, l
	}
	return Box{b.At, b.At.Add(Point{l, w, b.Size.Z})}
}

// Top gives the place in space of a point (u along the length, v along the
// width) on the top face, after turning.
func (b Body) Top(u, v float64) Point {
	l, w := b.Size.X, b.Size.Y
	switch b.Turn {
	case 90:
		u, v = w-v, u
	case 180:
		u, v = l-u, w-v
	case 270:
		u, v = v, l-u
	}
	return b.At.Add(Point{u, v, b.Size.Z})
}

// Limits are the battery's own, zero where the job says nothing.
type Limits struct {
	Discharge, Charge, Trip, ChargeTrip quantity.Current
	Floor                               quantity.Ratio
	Series, Parallel                    int
}

// Battery is one case with two posts.
type Battery struct {
	ID, Type        string
	Chemistry       Chemistry
	Nominal         quantity.Voltage
	Capacity        source.Value[quantity.Charge]
	Label           quantity.Charge                   // capacity of its type, new
	Start           source.Value[quantity.Ratio]      // state of charge
	EMF             source.Value[quantity.Voltage]    // open-circuit, at Start
	Resistance      source.Value[quantity.Resistance] // warm, half charged, 10 s
	FaultResistance source.Value[quantity.Resistance]
	Curve           []CurvePoint // the job's own, nil where it gave none
	Off             bool         // its protection has opened: no current, posts stay as joints
	Mass            quantity.Mass
	Outside         Point // length, width, height of the case; zero where the job does not say
	Age             quantity.Duration
	Stud            string          // thread of the posts as the job says it, "" unknown
	StudLength      quantity.Length // of thread above the contact face; 0 not known
	Torque          quantity.Torque // its maker's, for the posts; 0 not known
	Covered         bool            // its posts have covers
	Limits          Limits
	Model           Model
	Placed          bool // Body is set
	Body            Body
	HasPosts        bool          // Posts is set
	Caps            [][2]float64  // filler caps and the like: along length, along width, m
	Posts           [2][2]float64 // positive, negative: along length, along width, m
}

// Post gives the place of a post; ok is false where the job lacks the place,
// the size or the post places.
func (b *Battery) Post(positive bool) (Point, bool) {
	if !b.Placed || !b.HasPosts {
		return Point{}, false
	}
	p := b.Posts[0]
	if !positive {
		p = b.Posts[1]
	}
	return b.Body.Top(p[0], p[1]), true
}

// Plus and Minus are the battery's two ends.
func (b *Battery) Plus() End  { return End{b.ID, "+"} }
func (b *Battery) Minus() End { return End{b.ID, "-"} }

// PartKind is a kind of thing that is neither a battery nor a cable.
type PartKind string

// The kinds of part.
const (
	Stud      PartKind = "stud"      // one end
	Frame     PartKind = "frame"     // one end: the vehicle's metal
	Bar       PartKind = "bar"       // ends 1 to k along it, resistance between them
	Fuse      PartKind = "fuse"      // ends a and b
	Breaker   PartKind = "breaker"   // ends a and b
	Switch    PartKind = "switch"    // ends a and b, may be open
	Contactor PartKind = "contactor" // ends a and b, may be open
	Shunt     PartKind = "shunt"     // ends a and b

	// Devices: end a is their positive terminal, end b their negative one;
	// nothing is joined through them.
	Load            PartKind = "load"
	Inverter        PartKind = "inverter"
	InverterCharger PartKind = "inverter_charger"
	Charger         PartKind = "charger"
	Solar           PartKind = "solar"
	Alternator      PartKind = "alternator"
)

// Conducts reports whether current passes from end a to end b of the part.
func (k PartKind) Conducts() bool {
	return k == Fuse || k == Breaker || k == Switch || k == Contactor || k == Shunt
}

// Protects reports whether the part opens at too much current.
func (k PartKind) Protects() bool { return k == Fuse || k == Breaker }

// Opens reports whether the part is opened and closed at will.
func (k PartKind) Opens() bool { return k == Switch || k == Contactor }

// Device reports whether the part takes or gives current of its own.
func (k PartKind) Device() bool { return k.Draws() || k.Charges() }

// Draws reports whether the part is a load.
func (k PartKind) Draws() bool { return k == Load || k == Inverter || k == InverterCharger }

// Charges reports whether the part gives current.
func (k PartKind) Charges() bool {
	return k == Charger || k == Solar || k == Alternator || k == InverterCharger
}

// Mains reports whether the part charges from the mains inlet.
func (k PartKind) Mains() bool { return k == Charger || k == InverterCharger }

// Part is a stud, a bar, or a thing with two ends.
type Part struct {
	ID         string
	Kind       PartKind
	Device     Device
	Rated      Rated
	Studs      int                               // of a bar
	Resistance source.Value[quantity.Resistance] // a to b; of a bar: first to last stud
	Open       bool                              // of a switch
	Placed     bool
	Body       Body       // a stud without size is a point
	Pitch      float64    // of a bar: stud to stud, m
	Section    [2]float64 // of a bar: width and thickness, m; zero not known
	On         End        // the end that its own end a sits on, without a cable; zero: none
	Covered    bool       // its live terminals have covers
}

// Ends lists the part's ends in order. The first of a part that sits on another
// end is that end.
func (p *Part) Ends() []End {
	switch {
	case p.Kind == Stud || p.Kind == Frame:
		return []End{{p.ID, ""}}
	case p.Kind == Bar:
		ends := make([]End, p.Studs)
		for i := range ends {
			ends[i] = End{p.ID, itoa(i + 1)}
		}
		return ends
	default:
		if p.On != (End{}) {
			return []End{p.On, {p.ID, "b"}}
		}
		return []End{{p.ID, "a"}, {p.ID, "b"}}
	}
}

// Joined lists the ends that copper inside the part joins: none of a device.
func (p *Part) Joined() []End {
	if p.Kind.Device() {
		return nil
	}
	return p.Ends()
}

// EndPoint gives where an end of the part is, by its index in Ends.
func (p *Part) EndPoint(i int) (Point, bool) {
	if !p.Placed {
		return Point{}, false
	}
	mid := p.Body.Size.Y / 2
	switch {
	case p.Kind == Stud || p.Kind == Frame:
		return p.Body.Top(p.Body.Size.X/2, mid), true
	case p.Kind == Bar:
		first := (p.Body.Size.X - float64(float64(p.Studs-1)*p.Pitch)) / 2
		return p.Body.Top(first+float64(float64(i)*p.Pitch), mid), true
	default:
		return p.Body.Top(float64(i)*p.Body.Size.X, mid), true
	}
}

// Cable joins two ends.
type Cable struct {
	ID           string
	From, To     End
	Size         quantity.Size                 // zero where only a resistance is given
	Length       source.Value[quantity.Length] // lug-hole centre to lug-hole centre
	Along        []string                      // runs it follows
	Wrap         Wrap
	PerLength    source.Value[quantity.ResistancePerLength] // at 20 °C
	Joints       [2]source.Value[quantity.Resistance]       // at From, at To
	Lugs         [2]Lug                                     // at From, at To
	Whole        source.Value[quantity.Resistance]          // the whole of it, where the job gives that
	Coefficient  source.Value[float64]                      // 1/K at 20 °C
	RouteFailure string                                     // why it has no routed length
}

// Resistance gives the cable's resistance at a temperature, both joints
// included. A resistance given whole stands as it is at any temperature. It
// is NaN while the length is unknown.
func (c *Cable) Resistance(t quantity.Temperature) quantity.Resistance {
	if c.Whole.Known() {
		return c.Whole.V
	}
	per := float64(c.PerLength.V) * (1 + float64(c.Coefficient.V*(float64(t)-293.15)))
	return quantity.Resistance(float64(per*float64(c.Length.V))) + c.Joints[0].V + c.Joints[1].V
}

// HasResistance reports whether the cable's resistance is known.
func (c *Cable) HasResistance() bool { return c.Whole.Known() || c.Length.Known() }

// Takeoff is where the bank ends and the rest begins.
type Takeoff struct{ Positive, Negative End }

// Case is one thing asked of the bank at the take-off. Exactly one of Current
// and Power is used; both are positive on draw and negative on charge.
type Case struct {
	ID               string
	Current          quantity.Current
	Power            quantity.Power
	ByPower          bool
	For              quantity.Duration // 0: not said
	Voltage          quantity.Voltage  // of a charge: the charger holds it once reached; 0: no limit
	Tail             quantity.Current  // of a charge with Voltage: it ends when the current has fallen to it; 0: not said
	CableTemperature source.Value[quantity.Temperature]
	Origin           source.Origin // assumed where nobody wrote the case
}

// Sequence is cases one after the other, for a run.
type Sequence struct {
	ID    string
	Cases []string // IDs
	Times int      // how often, at least 1
}

// Compartment is the inside of a box that holds things.
type Compartment struct {
	ID  string
	Box Box
}

// Passage is a hole in the wall between two compartments.
type Passage struct {
	ID       string
	At       Point
	Diameter float64
}

// Run is a way that cables shall follow, corner by corner.
type Run struct {
	ID   string
	Path []Point
}

// Routing holds the rules by which cables are laid.
type Routing struct {
	Rise, Clearance, Allowance source.Value[quantity.Length]
	Bend                       source.Value[float64] // inside bend radius over cable diameter
}

// Question is what the search over wirings is asked.
type Question struct {
	Positive, Negative quantity.Size
	PerLength          [2]source.Value[quantity.ResistancePerLength]
	SizeOrigin         [2]source.Origin
	Joint              source.Value[quantity.Resistance]
	Coefficient        source.Value[float64]
	Lugs               int  // 0: no limit
	AnyPost            bool // every post in turn is the take-off
	Pairs              []Pair
}

// Pair is a place for a cable with its length or its run given by hand.
type Pair struct {
	From, To End
	Length   source.Value[quantity.Length]
	Along    []string
}

// Reading is what a meter said, for one case.
type Reading struct {
	ID, Case string
	Current  map[string]quantity.Current // by battery or cable ID, or "takeoff"
	Drop     map[string]quantity.Voltage // by cable, or cable@end
	Voltage  map[string]quantity.Voltage // by battery ID or "takeoff"
}
