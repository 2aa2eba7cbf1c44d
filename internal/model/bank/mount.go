package bank

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

// Mounting is how the batteries are held down, taken out and balanced.
type Mounting struct {
	Rule         source.Value[string] // OwnLoads for those of the job
	Loads        Loads                // where the rule is OwnLoads
	Ahead        Point                // which way the vehicle goes, of length one
	Friction     float64              // that is counted; 0 none
	Surroundings source.Value[string]
	HoldDowns    []HoldDown
	Service      Service
	Lifting      Lifting
	Vehicle      *MountVehicle // nil: not looked at
}

// OwnLoads is the rule of a job that gives its own loads.
const OwnLoads = "own"

// Loads are multiples of the weight; 0 is not asked.
type Loads struct {
	Forward, Aft, Side, Up, Down float64
	Against                      string // working, yield or breaking
	Factor                       float64
}

// HoldKind is a kind of hold-down.
type HoldKind string

// The kinds.
const (
	RodsAndBar HoldKind = "rods_and_bar" // rods in pairs, a bar over the cases between each
	StrapOver  HoldKind = "strap"        // over the top, from anchor to anchor
	Bracket    HoldKind = "bracket"
	Tray       HoldKind = "tray"
	PinAcross  HoldKind = "pin"
	ShelfOver  HoldKind = "shelf"
)

// Word names the kind for a sentence.
func (k HoldKind) Word() string {
	if k == RodsAndBar {
		return "rods and bar"
	}
	return string(k)
}

// HoldDown is one hold-down with all its places. Lengths are in m, strengths in
// N; zero and "" are not known.
type HoldDown struct {
	ID              string
	Kind            HoldKind
	Holds           []string
	At              []Point
	Thread, Grade   string
	Torque          quantity.Torque
	Nut             string
	Bar             HoldBar
	Plate           HoldPlate
	Floor           HoldFloor
	Rated, Strength float64
	Width           source.Value[quantity.Length] // of a strap
	Lip             float64
	Sides           []string // of a tray
	Grips, Isolated bool
	Axis            string
	Diameter        float64
	Planes          source.Value[int]
	Metal           string
}

// HoldBar is the bar of a pair of rods. BearsGiven says that Bears is the job's.
type HoldBar struct {
	Shape, Alloy        string
	Width, Height, Wall float64
	Bears               float64
	BearsGiven          bool
}

// HoldPlate is the aluminium whose hole a bolt bears in.
type HoldPlate struct {
	Alloy           string
	Thickness, Edge float64
}

// HoldFloor is what a hold-down pulls on; Crush and Shear are in Pa. Given is
// false where the job says nothing of it.
type HoldFloor struct {
	Given             bool
	Material, Metal   string
	Washer, Thickness float64
	Crush, Shear      float64
}

// Service is how the batteries are taken out: "up" or a heading on the plan.
type Service struct {
	Way  source.Value[string]
	Lid  source.Value[string] // "opens" or "fixed"
	Hand source.Value[quantity.Length]
}

// Lifting is one lift by hand. Reach and Height of origin None follow from the
// case.
type Lifting struct {
	People                source.Value[int]
	Reach, Height, Travel source.Value[quantity.Length]
	Twist                 source.Value[quantity.Angle]
	Grip                  source.Value[string]
}

// MountVehicle is what the masses are balanced on; Mass 0 and Track 0 are not known.
type MountVehicle struct {
	Axle, Hitch, Centre Point
	HasHitch, HasCentre bool
	Track               float64
	Mass                quantity.Mass
	Also                []AlsoMass
}

// AlsoMass is something else that is put in.
type AlsoMass struct {
	What string
	Mass quantity.Mass
	At   Point
}

// Heading gives the direction of a word such as "+x"; the zero point for "up"
// and anything else.
func Heading(word string) Point {
	switch word {
	case "+x":
		return Point{X: 1}
	case "-x":
		return Point{X: -1}
	case "+y":
		return Point{Y: 1}
	case "-y":
		return Point{Y: -1}
	}
	return Point{}
}

// HoldDown gives the hold-down of an ID, nil if there is none.
func (m *Mounting) HoldDown(id string) *HoldDown {
	for i := range m.HoldDowns {
		if m.HoldDowns[i].ID == id {
			return &m.HoldDowns[i]
		}
	}
	return nil
}
