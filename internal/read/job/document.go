// Package job is the job file, format version 1: strict YAML in, every fault
// with line and column, and edits that keep the person's comments and units.
//
// The tables in keys_*.go are the one source of the format: the reader, the
// JSON Schema and doc/format.md all come from them.
package job

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
)

// Version of the format that this package reads and writes.
const Version = 1

// Document is a job as the person wrote it. Nothing is looked up or assumed
// here; a Field that is not Set was not in the file.
type Document struct {
	File         string // for messages
	Pos          Pos
	Version      Field[int]
	Title        Field[string]
	Note         Field[string]
	Show         Show
	Types        []Named[BatteryType]
	Batteries    []Battery
	Compartments []Compartment
	Passages     []Passage
	Parts        []Part
	Runs         []Run
	Routing      Routing
	Practice     Practice
	Place        Place
	Heaters      []Heater
	Fans         []Fan
	Vents        []Vent
	Sensors      []Sensor
	Mounting     Mounting
	Inlet        Inlet
	Loads        []DayLoad
	Sun          []SunField
	Mains        Mains
	Drive        Drive
	Days         DaysAsk
	Joint        Field[quantity.Resistance]
	Cables       []Cable
	Takeoff      Takeoff
	Wirings      Wirings
	Cases        []Case
	Sequences    []Sequence
	Readings     []Reading
}

// Show is how numbers are printed, never how they are read.
type Show struct {
	Length, Wire, Temperature Field[string]
}

// Size is length, width, height at turn 0.
type Size struct {
	Pos                   Pos
	Length, Width, Height Field[quantity.Length]
}

// Posts are the places of the posts on the top face.
type Posts struct {
	Pos                Pos
	Positive, Negative Field[[]quantity.Length]
}

// Limits are the battery's own limits.
type Limits struct {
	Discharge, Charge, Trip, ChargeTrip     Field[quantity.Current]
	Floor                                   Field[quantity.Ratio]
	Series, Parallel                        Field[int]
	TripDelay, VoltageDelay, ReconnectAfter Field[quantity.Duration]
	Low, High, HighRelease, Reconnect       Field[quantity.Voltage]
	ColdCharge, HotCharge, Cold, Hot        Field[quantity.Temperature]
}

// BatteryType is what batteries of one kind share.
type BatteryType struct {
	Pos             Pos
	Chemistry       Field[bank.Chemistry]
	Nominal         Field[quantity.Voltage]
	Capacity        Field[quantity.Charge]
	Resistance      Field[quantity.Resistance]
	EMF             Field[quantity.Voltage]
	Curve           []CurvePoint
	Hysteresis      Field[quantity.Voltage]
	Branches        []Branch
	Warmth          []FactorPoint[quantity.Temperature] // of resistance
	Depth           []FactorPoint[quantity.Ratio]       // of resistance
	CapacityWarmth  []FactorPoint[quantity.Temperature]
	Peukert         Field[float64]
	RatedFor        Field[quantity.Duration]
	FaultResistance Field[quantity.Resistance]
	Size            Size
	Mass            Field[quantity.Mass]
	Posts           Posts
	Caps            []Field[[]quantity.Length] // filler caps and other service points
	Stud            Field[string]
	StudLength      Field[quantity.Length]
	Torque          Field[quantity.Torque]
	Limits          Limits
}

// CurvePoint is one point of open-circuit voltage over state of charge.
type CurvePoint struct {
	Pos     Pos
	Charge  quantity.Ratio
	Voltage quantity.Voltage
	ok      bool
}

// Branch is one slow part of a battery's resistance.
type Branch struct {
	Pos        Pos
	Resistance Field[quantity.Resistance]
	Time       Field[quantity.Duration]
}

// FactorPoint is one point of a factor over a temperature or a state of charge.
type FactorPoint[Q any] struct {
	Pos    Pos
	At     Q
	Factor float64
	ok     bool
}

// Battery is one battery where it stands.
type Battery struct {
	Pos        Pos
	ID         Field[string]
	Type       Field[string]
	At         Field[[]quantity.Length]
	Turn       Field[int]
	Start      Field[quantity.Ratio]
	EMF        Field[quantity.Voltage]
	Resistance Field[quantity.Resistance]
	Capacity   Field[quantity.Charge]
	Age        Field[quantity.Duration]
	Warm       Field[quantity.Temperature]
	Off        Field[bool]
	Covered    Field[bool]
}

// Compartment is the inside of a box that holds things.
type Compartment struct {
	Pos   Pos
	ID    Field[string]
	At    Field[[]quantity.Length]
	Size  Size
	Walls Walls
}

// Passage is a hole in the wall between two compartments.
type Passage struct {
	Pos      Pos
	ID       Field[string]
	At       Field[[]quantity.Length]
	Diameter Field[quantity.Length]
}

// Part is everything that is neither a battery nor a cable.
type Part struct {
	Pos        Pos
	ID         Field[string]
	Kind       Field[bank.PartKind]
	At         Field[[]quantity.Length]
	Turn       Field[int]
	Size       Size
	Resistance Field[quantity.Resistance]
	Studs      Field[int]
	Pitch      Field[quantity.Length]
	Section    Field[[]quantity.Length]
	Open       Field[bool]
	On         Field[bank.End]
	Covered    Field[bool]
	In         Field[string]

	Class                         Field[string]
	Rating, Interrupt, Current    Field[quantity.Current]
	Volts, Cutout, Voltage, Float Field[quantity.Voltage]
	Thread                        Field[string]
	Power, Surge                  Field[quantity.Power]
	SurgeFor                      Field[quantity.Duration]
	Efficiency                    Efficiency
	Idle                          Field[quantity.Power]
	Capacitance                   Field[quantity.Capacitance]
	ColdLockout                   Field[quantity.Temperature]
	HotLockout                    Field[quantity.Temperature]
	OnOpen                        Field[string]
	Limited, IgnitionProtected    Field[bool]
	Input                         Field[quantity.Current]
	StudLength                    Field[quantity.Length]
	Torque                        Field[quantity.Torque]
	LetThrough                    Field[quantity.JouleIntegral]
	Times                         []TimePoint
}

// Efficiency is one figure, or points over the load.
type Efficiency struct {
	Pos   Pos
	One   Field[quantity.Ratio]
	Curve []EfficiencyPoint
}

// Set reports whether any is given.
func (e *Efficiency) Set() bool { return e.One.Set || e.Curve != nil }

// EfficiencyPoint is one point of an efficiency over the load.
type EfficiencyPoint struct {
	Pos              Pos
	Load, Efficiency quantity.Ratio
	ok               bool
}

// TimePoint is one point of a fuse's or breaker's own curve.
type TimePoint struct {
	Pos         Pos
	Current     quantity.Current
	Least, Most quantity.Duration
	ok          bool
}

// Lug is what one cable end carries.
type Lug struct {
	Pos       Pos
	Barrel    Field[quantity.Size]
	Hole      Field[string]
	Thickness Field[quantity.Length]
}

// Lugs are those of a cable's ends, both alike or each its own.
type Lugs struct {
	Pos            Pos
	Both, From, To Lug
}

// Inlet is where mains comes in.
type Inlet struct {
	Pos     Pos
	Current Field[quantity.Current]
	Voltage Field[quantity.Voltage]
}

// Run is a way that cables shall follow.
type Run struct {
	Pos  Pos
	ID   Field[string]
	Path []Field[[]quantity.Length]
}

// Routing holds the rules by which cables are laid.
type Routing struct {
	Rise, Clearance, Allowance Field[quantity.Length]
	Bend                       Field[int]
}

// Joints is the resistance at a cable's ends, both alike or each its own.
type Joints struct {
	Pos            Pos
	Both, From, To Field[quantity.Resistance]
}

// Cable joins two ends.
type Cable struct {
	Pos        Pos
	ID         Field[string]
	From, To   Field[bank.End]
	Size       Field[quantity.Size]
	Length     Field[quantity.Length]
	Resistance Field[quantity.Resistance]
	Joint      Joints
	Lug        Lugs
	Along      []Field[string]

	Insulation        Field[quantity.Temperature]
	Material          Field[string]
	Diameter, Support Field[quantity.Length]
	Sheath, Engine    Field[bool]
	Bundled           Field[int]
}

// Practice is which published rules a job is compared with, and the place.
type Practice struct {
	Book             Field[string]
	Ambient          Field[quantity.Temperature]
	Petrol, Sleeping Field[bool]
}

// Takeoff is where the bank ends and the rest begins.
type Takeoff struct {
	Pos                Pos
	Positive, Negative Field[bank.End]
}

// Wirings is the question for the search.
type Wirings struct {
	Pos     Pos
	Cable   RailSizes
	Lugs    Field[int]
	Takeoff Field[string]
	Pairs   []Pair
}

// RailSizes are the cable sizes of the two rails.
type RailSizes struct {
	Positive, Negative Field[quantity.Size]
}

// Pair is a place for a cable with its length or its runs by hand.
type Pair struct {
	Pos      Pos
	From, To Field[bank.End]
	Length   Field[quantity.Length]
	Along    []Field[string]
}

// Demand is a current or a power.
type Demand struct {
	ByPower bool
	Current quantity.Current
	Power   quantity.Power
}

// Case is one thing asked of the bank.
type Case struct {
	Pos              Pos
	ID               Field[string]
	Draw, Charge     Field[Demand]
	For              Field[quantity.Duration]
	Voltage          Field[quantity.Voltage]
	Tail             Field[quantity.Current]
	CableTemperature Field[quantity.Temperature]
}

// Sequence is cases one after the other.
type Sequence struct {
	Pos   Pos
	ID    Field[string]
	Cases []Field[string]
	Times Field[int]
}

// Reading is what a meter said, for one case.
type Reading struct {
	Pos     Pos
	ID      Field[string]
	Case    Field[string]
	Current []Named[Field[quantity.Current]]
	Drop    []Named[Field[quantity.Voltage]]
	Voltage []Named[Field[quantity.Voltage]]
}
