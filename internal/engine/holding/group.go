package holding

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/source"
)

// Body is one case: its mass, kg, and the corners of its box. Its centre of
// mass is the middle of the box unless another is given.
type Body struct {
	ID       string
	Mass     float64
	Min, Max Vec
	Centre   *Vec
}

// Middle gives the centre of mass.
func (b *Body) Middle() Vec {
	if b.Centre != nil {
		return *b.Centre
	}
	return b.Min.Add(b.Max).Times(0.5)
}

// Load is what a part of a hold-down feels.
type Load string

// The loads.
const (
	Pull     Load = "pull"
	Shear    Load = "shear"
	Push     Load = "push"
	Combined Load = "pull and shear"
)

// Leg is one place where a hold-down acts on the group and the direction of the
// force that one newton of reaction gives there.
type Leg struct{ At, Toward Vec }

// Act is one independent reaction of a hold-down. A strap over the top is one
// act with two legs, since the tension is the same in both.
type Act struct {
	Does      Load
	Legs      []Leg
	Both      bool    // acts the opposite way as well
	Stiffness float64 // relative to the other hold-downs; 0 is taken as 1
}

// Strength is what a part bears, N; 0 where not known.
type Strength struct {
	Working, Yield, Break float64
	Ref                   source.Ref
}

// at gives the strength for a basis and the basis it was really taken at: a
// lower one stands in for a higher one, never the other way round.
func (s Strength) at(b Basis) (capacity float64, used Basis) {
	switch {
	case b == AtBreak && s.Break > 0:
		return s.Break, AtBreak
	case b != AtWorking && s.Yield > 0:
		return s.Yield, AtYield
	case s.Working > 0:
		return s.Working, AtWorking
	}
	return math.NaN(), ""
}

// Part is one thing in a hold-down that may give way. For Combined, Strength is
// that in pull and Across that in shear.
type Part struct {
	Name     string
	Under    Load
	Strength Strength
	Across   Strength
	Why      string // for a strength that is not known, why
}

// Kind is what a hold-down is.
type Kind string

// The kinds.
const (
	Rod   Kind = "rod"   // threaded rod through a bar over the cases: pulls down
	Bolt  Kind = "bolt"  // of a tray or bracket that grips the cases: pulls and shears
	Strap Kind = "strap" // webbing: pulls along its legs
	Stop  Kind = "stop"  // bracket, lip or wall: pushes one way
	Pin   Kind = "pin"   // across its axis only
	Shelf Kind = "shelf" // over the cases: pushes down
)

// Hold is one hold-down. Make it with one of the New functions, or fill it for
// a shape they do not know.
type Hold struct {
	ID     string
	Kind   Kind
	Bodies []string // that it holds; nil for all
	Acts   []Act
	Parts  []Part
}

// NewRod is a rod at a place that pulls the bar over the group straight down.
func NewRod(id string, at Vec, parts ...Part) Hold {
	return Hold{ID: id, Kind: Rod, Parts: parts, Acts: []Act{{Does: Pull, Legs: []Leg{{at, Vec{0, 0, -1}}}}}}
}

// NewBolt is an upright bolt that fixes the group itself, or a tray or bracket
// that it cannot leave, to the floor.
func NewBolt(id string, at Vec, parts ...Part) Hold {
	return Hold{ID: id, Kind: Bolt, Parts: parts, Acts: []Act{
		{Does: Pull, Legs: []Leg{{at, Vec{0, 0, -1}}}},
		{Does: Shear, Legs: []Leg{{at, Vec{1, 0, 0}}}, Both: true},
		{Does: Shear, Legs: []Leg{{at, Vec{0, 1, 0}}}, Both: true},
	}}
}

// NewStrap is one strap. Each pair is where it leaves the group and where it
// is anchored; one pair is a strap fastened to the group, two a strap over it.
func NewStrap(id string, pairs [][2]Vec, parts ...Part) Hold {
	act := Act{Does: Pull}
	for _, p := range pairs {
		act.Legs = append(act.Legs, Leg{p[0], p[1].Sub(p[0]).Unit()})
	}
	return Hold{ID: id, Kind: Strap, Parts: parts, Acts: []Act{act}}
}

// NewStop is a bracket, lip or wall that the group bears against at one or more
// places, such as both ends of a face; toward is the way it pushes back. A case
// that begins to tip bears on the top of a lip; places at the floor are on the
// careful side.
func NewStop(id string, toward Vec, at []Vec, parts ...Part) Hold {
	h := Hold{ID: id, Kind: Stop, Parts: parts}
	for _, p := range at {
		h.Acts = append(h.Acts, Act{Does: Push, Legs: []Leg{{p, toward.Unit()}}})
	}
	return h
}

// NewPin is a pin along an axis: it bears across it both ways.
func NewPin(id string, at, axis Vec, parts ...Part) Hold {
	first := Vec{1, 0, 0}
	if a := axis.Unit(); math.Abs(a.X) > 0.9 {
		first = Vec{0, 1, 0}
	}
	u := axis.Cross(first).Unit()
	h := Hold{ID: id, Kind: Pin, Parts: parts}
	for _, d := range []Vec{u, axis.Cross(u).Unit()} {
		h.Acts = append(h.Acts, Act{Does: Shear, Legs: []Leg{{at, d}}, Both: true})
	}
	return h
}

// NewShelf is a shelf or lid that rests on the group at its corners.
func NewShelf(id string, corners []Vec, parts ...Part) Hold {
	h := NewStop(id, Vec{0, 0, -1}, corners, parts...)
	h.Kind = Shelf
	return h
}

// Group is bodies that move as one with what holds them. Ahead is the vehicle's
// forward direction in the plan, level. Friction is the coefficient on the floor
// that is counted and Clamp the force, N, that presses the group down on top of
// its weight for that; both 0 where friction is not counted, which is the
// customary way for a design.
type Group struct {
	Bodies   []Body
	Holds    []Hold
	Ahead    Vec
	Friction float64
	Clamp    float64
}

// Mass gives the total, kg.
func (g *Group) Mass() float64 {
	sum := 0.0
	for i := range g.Bodies {
		sum += g.Bodies[i].Mass
	}
	return sum
}

// Middle gives the centre of mass; NaN without a mass.
func (g *Group) Middle() Vec {
	var sum Vec
	for i := range g.Bodies {
		sum = sum.Add(g.Bodies[i].Middle().Times(g.Bodies[i].Mass))
	}
	return sum.Times(1 / g.Mass())
}

// Toward gives the unit vector of a direction in the plan.
func (g *Group) Toward(d Direction) Vec {
	ahead := g.Ahead.Unit()
	switch d {
	case Forward:
		return ahead
	case Aft:
		return ahead.Times(-1)
	case Left:
		return Vec{0, 0, 1}.Cross(ahead)
	case Right:
		return ahead.Cross(Vec{0, 0, 1})
	case Up:
		return Vec{0, 0, 1}
	}
	return Vec{0, 0, -1}
}

// Level gives the height of the floor: the lowest base.
func (g *Group) Level() float64 {
	z := math.Inf(1)
	for i := range g.Bodies {
		z = math.Min(z, g.Bodies[i].Min.Z)
	}
	return z
}

// sameLevel is how far apart two bases may be, m, and both stand on the floor.
const sameLevel = 1e-3

// feet gives the corners that stand on the floor.
func (g *Group) feet() []Vec {
	level := g.Level()
	var feet []Vec
	for i := range g.Bodies {
		b := &g.Bodies[i]
		if b.Min.Z > level+sameLevel {
			continue
		}
		feet = append(feet, Vec{b.Min.X, b.Min.Y, level}, Vec{b.Max.X, b.Min.Y, level}, Vec{b.Min.X, b.Max.Y, level}, Vec{b.Max.X, b.Max.Y, level})
	}
	return feet
}

// Loose gives the bodies that no hold-down is said to hold, in order. With them
// the group does not move as one.
func (g *Group) Loose() []string {
	var loose []string
	for i := range g.Bodies {
		id := g.Bodies[i].ID
		if !slices.ContainsFunc(g.Holds, func(h Hold) bool { return h.Bodies == nil || slices.Contains(h.Bodies, id) }) {
			loose = append(loose, id)
		}
	}
	return loose
}

// Check returns an error that names the first body, hold-down or number that
// cannot be worked with.
func (g *Group) Check() error {
	if len(g.Bodies) == 0 {
		return fmt.Errorf("holding: no body to hold; give at least one case with its mass and size")
	}
	for i := range g.Bodies {
		if err := g.Bodies[i].check(); err != nil {
			return err
		}
	}
	if !g.Ahead.finite() || g.Ahead.Length() == 0 || g.Ahead.Z != 0 {
		return fmt.Errorf("holding: the forward direction %v is not level; give one such as {1 0 0}", g.Ahead)
	}
	if none(g.Friction) {
		return bad("the friction coefficient", g.Friction, "", "0 (not counted) or more")
	}
	if none(g.Clamp) {
		return bad("the clamping force", g.Clamp, "N", "0 (not counted) or more")
	}
	for i := range g.Holds {
		if err := g.Holds[i].check(); err != nil {
			return err
		}
	}
	return nil
}

func (b *Body) check() error {
	if !above(b.Mass, 0) {
		return bad("the mass of "+b.ID, b.Mass, "kg", "more than 0")
	}
	if d := b.Max.Sub(b.Min); !b.Min.finite() || !b.Max.finite() || d.X <= 0 || d.Y <= 0 || d.Z <= 0 {
		return fmt.Errorf("holding: the box of %s has no volume; give its least and greatest corner", b.ID)
	}
	if !b.Middle().finite() {
		return fmt.Errorf("holding: the centre of mass of %s is not a place; give finite numbers", b.ID)
	}
	return nil
}

func (h *Hold) check() error {
	if len(h.Acts) == 0 {
		return fmt.Errorf("holding: hold-down %s acts nowhere; give the places where it bears", h.ID)
	}
	for _, a := range h.Acts {
		if none(a.Stiffness) {
			return bad("the stiffness of "+h.ID, a.Stiffness, "", "more than 0, or 0 for like the others")
		}
		if len(a.Legs) == 0 {
			return fmt.Errorf("holding: hold-down %s has an act without a leg; give where it bears", h.ID)
		}
		for _, l := range a.Legs {
			if !l.At.finite() || !l.Toward.finite() || l.Toward.Length() == 0 {
				return fmt.Errorf("holding: hold-down %s has a leg without place or direction; give both", h.ID)
			}
		}
	}
	for _, p := range h.Parts {
		for _, s := range []Strength{p.Strength, p.Across} {
			if none(s.Working) || none(s.Yield) || none(s.Break) {
				return fmt.Errorf("holding: a strength of the %s of %s is below zero or no number; leave it out where it is not known", p.Name, h.ID)
			}
		}
	}
	return nil
}
