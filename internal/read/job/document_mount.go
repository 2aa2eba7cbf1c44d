package job

import (
	"bankwright/internal/base/quantity"
)

// Mounting is how the batteries are held down, and in what.
type Mounting struct {
	Pos          Pos
	Rule         Field[string]
	Loads        MountLoads
	Forward      Field[string]
	Friction     Field[float64]
	Surroundings Field[string]
	HoldDowns    []HoldDown
	Service      Service
	Lifting      Lifting
	Vehicle      Vehicle
}

// Written reports whether the key stands in the file.
func (m *Mounting) Written() bool { return m.Pos != Pos{} }

// MountLoads are a person's own loads, in multiples of the weight.
type MountLoads struct {
	Pos                          Pos
	Forward, Aft, Side, Up, Down Field[float64]
	Against                      Field[string]
	Factor                       Field[float64]
}

// HoldDown is one hold-down, with all places of its kind.
type HoldDown struct {
	Pos             Pos
	ID, Kind        Field[string]
	Holds           []Field[string]
	At              []Field[[]quantity.Length]
	Thread, Grade   Field[string]
	Torque          Field[quantity.Torque]
	Nut             Field[string]
	Bar             HoldBar
	Plate           HoldPlate
	Floor           HoldFloor
	Rated           Field[quantity.Force]
	Strength        Field[quantity.Force]
	Width, Lip      Field[quantity.Length]
	Sides           []Field[string]
	Grips, Isolated Field[bool]
	Axis            Field[string]
	Diameter        Field[quantity.Length]
	Planes          Field[int]
	Metal           Field[string]
}

// HoldBar is the bar of rods.
type HoldBar struct {
	Pos                 Pos
	Shape, Alloy        Field[string]
	Width, Height, Wall Field[quantity.Length]
	Bears               Field[quantity.Length]
}

// Written reports whether the key stands in the file.
func (b *HoldBar) Written() bool { return b.Pos != Pos{} }

// HoldPlate is the aluminium that a bolt bears in.
type HoldPlate struct {
	Pos             Pos
	Alloy           Field[string]
	Thickness, Edge Field[quantity.Length]
}

// HoldFloor is what a hold-down pulls on.
type HoldFloor struct {
	Pos               Pos
	Material, Metal   Field[string]
	Washer, Thickness Field[quantity.Length]
	Crush, Shear      Field[quantity.Pressure]
}

// Service is how the batteries are taken out.
type Service struct {
	Pos      Pos
	Way, Lid Field[string]
	Hand     Field[quantity.Length]
}

// Lifting is how a battery is lifted by hand.
type Lifting struct {
	Pos                   Pos
	People                Field[int]
	Reach, Height, Travel Field[quantity.Length]
	Twist                 Field[quantity.Angle]
	Grip                  Field[string]
}

// Vehicle is what the masses are balanced on.
type Vehicle struct {
	Pos                 Pos
	Axle, Hitch, Centre Field[[]quantity.Length]
	Track               Field[quantity.Length]
	Mass                Field[quantity.Mass]
	Also                []AlsoMass
}

// Written reports whether the key stands in the file.
func (v *Vehicle) Written() bool { return v.Pos != Pos{} }

// AlsoMass is something else that is put in with the bank.
type AlsoMass struct {
	Pos  Pos
	What Field[string]
	Mass Field[quantity.Mass]
	At   Field[[]quantity.Length]
}
