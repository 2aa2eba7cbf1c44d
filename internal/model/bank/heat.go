package bank

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

// Place is where a job stands, and its weather by the month.
type Place struct {
	Known     bool
	Name      string     // of the climate, "" for months of the job's own
	Latitude  float64    // rad, north positive
	Longitude float64    // rad, east positive; without meaning where Sundial
	Zone      float64    // s, standard time ahead of universal time
	Sundial   bool       // clocks follow the sun: no longitude is known
	Ref       source.Ref // of the months
	Months    [12]PlaceMonth
	HasSun    bool

	Coldest, Hottest, Cabin source.Value[quantity.Temperature]
	Clock                   source.Value[quantity.Duration] // Zone, with where it comes from
}

// PlaceMonth is the weather of a month.
type PlaceMonth struct {
	High, Low, Mean quantity.Temperature // of the days; Mean 0 not known
	Sun, Diffuse    quantity.Exposure    // mean of the days' sums on level ground; Diffuse 0 not known
}

// The sides of a compartment, seen from above: left is the least x, front the
// least y.
const (
	FloorSide = "floor"
	LidSide   = "lid"
	LeftSide  = "left"
	RightSide = "right"
	FrontSide = "front"
	BackSide  = "back"
)

// Sides lists the sides in order.
var Sides = [...]string{FloorSide, LidSide, LeftSide, RightSide, FrontSide, BackSide}

// IsSide reports whether a word is a side.
func IsSide(s string) bool { return Against(s) != "" }

// Against gives the side of a neighbour that lies against one, "" for none.
func Against(side string) string {
	switch side {
	case FloorSide:
		return LidSide
	case LidSide:
		return FloorSide
	case LeftSide:
		return RightSide
	case RightSide:
		return LeftSide
	case FrontSide:
		return BackSide
	case BackSide:
		return FrontSide
	}
	return ""
}

// What is outside of a wall, beside other compartments.
const (
	AirOutside     = "air"
	GroundOutside  = "ground"
	CabinOutside   = "cabin"
	DrivingOutside = "driving"
)

// What a heater warms, beside batteries; and where a sensor may be.
const (
	AtAir   = "air"
	AtFloor = "floor"
)

// Shade is the surface on which no sun falls.
const Shade = "shade"

// Warmth is all that is known of how a job is kept warm or cool.
type Warmth struct {
	Walls   []Wall // in the order of compartments and sides
	Heaters []Heater
	Fans    []Fan
	Vents   []Vent
	Sensors []Sensor
	Parts   map[string]string // by part: the compartment that takes its warmth
}

// Wall is one side of a compartment.
type Wall struct {
	Compartment, Side, Outside string
	Layers, Frame              []WallLayer           // Frame nil: none
	Framed                     quantity.Ratio        // part of the area
	FrameFrom                  source.Value[string]  // what the frame is of
	Area                       source.Value[float64] // m²
	Surface                    source.Value[string]
	Absorptance                float64 // of Surface; 0 in the shade
}

// WallLayer is one sheet, with where its numbers come from.
type WallLayer struct {
	Material                          string
	Thickness                         float64 // m
	Conductivity, Density, HeatOfMass float64 // W/(m·K), kg/m³, J/(kg·K)
	Ref                               source.Ref
}

// Heater is a heater with its thermostat.
type Heater struct {
	ID, Compartment string
	At              string // AtAir, AtFloor or a battery
	Sensor          string // AtAir or a battery
	Power           quantity.Power
	On, Off         quantity.Temperature
}

// Fan blows outside air through a compartment; its thermostat is in the air.
type Fan struct {
	ID, Compartment string
	Flow            quantity.Flow
	Power           quantity.Power
	On, Off         quantity.Temperature
}

// Vent is an opening to the outside air.
type Vent struct {
	ID, Compartment string
	Area            float64 // m²
	Height          float64 // m over the compartment's floor
}

// Sensor measures a temperature: on a battery's case, at a post, in the air, on
// a side or on a heater.
type Sensor struct {
	ID, At, Compartment string
	Source              string // the charging source that heeds it; "" none
}

// Wall gives the wall of a compartment's side, nil where another compartment's
// wall stands there, or none is known.
func (w *Warmth) Wall(compartment, side string) *Wall {
	for i := range w.Walls {
		if w.Walls[i].Compartment == compartment && w.Walls[i].Side == side {
			return &w.Walls[i]
		}
	}
	return nil
}
