package job

import (
	"bankwright/internal/base/quantity"
)

// Place is where the job stands, and its weather by the month.
type Place struct {
	Pos                 Pos
	Latitude, Longitude Field[quantity.Angle]
	Zone                Field[quantity.Duration]
	Climate             Field[string]
	Months              []Month
	Coldest, Hottest    Field[quantity.Temperature]
	Cabin               Field[quantity.Temperature]
}

// Month is the weather of one month.
type Month struct {
	Pos       Pos
	High, Low Field[quantity.Temperature]
	Sun       Field[quantity.Exposure]
}

// Walls are the sides of a compartment.
type Walls struct {
	Pos                                       Pos
	Floor, Lid, Left, Right, Front, Back, All Wall
}

// Wall is one side of a compartment, from the inside out.
type Wall struct {
	Pos     Pos
	Layers  []Layer
	Outside Field[string]
	Surface Field[string]
	Area    Field[quantity.Area]
	Framed  Field[quantity.Ratio]
	Frame   Field[string]
}

// Written reports whether the wall stands in the file.
func (w *Wall) Written() bool { return w.Pos != Pos{} }

// Layer is one sheet of a wall.
type Layer struct {
	Pos       Pos
	Material  Field[string]
	Thickness Field[quantity.Length]
}

// Heater warms a compartment or a battery.
type Heater struct {
	Pos             Pos
	ID, Compartment Field[string]
	At, Sensor      Field[string]
	Power           Field[quantity.Power]
	On, Off         Field[quantity.Temperature]
}

// Fan blows outside air through a compartment.
type Fan struct {
	Pos             Pos
	ID, Compartment Field[string]
	Flow            Field[quantity.Flow]
	Power           Field[quantity.Power]
	On, Off         Field[quantity.Temperature]
}

// Vent is an opening to the outside.
type Vent struct {
	Pos             Pos
	ID, Compartment Field[string]
	Area            Field[quantity.Area]
	Height          Field[quantity.Length]
}

// Sensor measures a temperature.
type Sensor struct {
	Pos         Pos
	ID          Field[string]
	At          Field[string]
	Compartment Field[string]
	Source      Field[string]
}
