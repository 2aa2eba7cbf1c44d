package bank

import (
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

// Model is how a battery behaves through time: a source whose voltage follows
// the state of charge, behind an ohmic resistance and slow branches. All of it
// is of the whole battery, not of a cell.
//
// Exact marks a battery that the job describes with resistance and emf or
// curve: it is that and nothing else, so whatever the job does not give
// (branches, gap, factors) is absent.
type Model struct {
	Exact     bool
	Curve     Line               // open-circuit volts over state of charge, middle of charge and discharge
	CurveFrom source.Value[bool] // where the curve comes from; V is always true
	Gap       Line               // volts between the branches on charge and discharge; empty: none
	GapWarmth Line               // factor of Gap over kelvin
	GapFrom   source.Value[bool]
	Rise      Line // volts more while it is being charged, over state of charge; empty: none
	RiseFrom  source.Value[bool]
	// GapTravel is the change of state of charge over which the voltage goes
	// from one branch to the other, but for 1/e.
	GapTravel  source.Value[float64]
	Ohmic      source.Value[quantity.Resistance] // at 25 °C, half charged, at once
	Warmth     Line                              // factor of Ohmic over kelvin, straight in its logarithm
	WarmthFrom source.Value[bool]
	Depth      Line // factor of Ohmic over state of charge
	DepthFrom  source.Value[bool]
	Branches   []Branch
	Capacity   Line // factor of the capacity over kelvin; empty: one
	CapacityFrom,
	EfficiencyFrom,
	EntropyFrom source.Value[bool]
	Peukert      source.Value[float64]           // exponent; 1 or unknown: capacity does not depend on current
	RatedFor     source.Value[quantity.Duration] // the discharge that the capacity is rated at
	Efficiency   Line                            // part of the charge put in that is kept, over state of charge; empty: one
	Entropy      Line                            // V/K over state of charge; empty: none
	Temperature  source.Value[quantity.Temperature]
	HeatCapacity source.Value[float64] // J/K; unknown: the temperature stays
	Cooling      source.Value[float64] // W/K to the surroundings, which are at the starting temperature
	Guard        Guard
}

// Branch is a resistance beside a capacitor: a part of the voltage that comes
// and goes with its own time.
type Branch struct {
	Resistance source.Value[quantity.Resistance] // at 25 °C
	Time       source.Value[quantity.Duration]
}

// Guard is what the battery's own protection does. A value whose Origin is
// None does not act.
type Guard struct {
	Trip, TripCharge   source.Value[quantity.Current] // open discharge, open charge
	TripDelay          source.Value[quantity.Duration]
	Low, High          source.Value[quantity.Voltage] // at the posts: empty; open charge
	VoltageDelay       source.Value[quantity.Duration]
	HighRelease        source.Value[quantity.Voltage] // charge closes again at or below it
	Floor              source.Value[quantity.Ratio]
	ColdCharge, Cold   source.Value[quantity.Temperature] // below: opens charge, opens both
	HotCharge, Hot     source.Value[quantity.Temperature] // above
	TemperatureRelease source.Value[quantity.Temperature] // kelvin back inside the limit before it closes
	ReconnectAfter     source.Value[quantity.Duration]    // after an over-current; unknown: stays open until charged
	ReconnectVoltage   source.Value[quantity.Voltage]     // an empty battery closes again above it, at its posts
	Diode              source.Value[quantity.Voltage]     // what the open side drops for current the other way
	Electronic         bool                               // has switches of its own; a full one refuses charge
}

// LinePoint is one point of a Line.
type LinePoint struct{ X, Y float64 }

// Line is straight between its points and flat beyond them. X rises strictly.
type Line []LinePoint

// At gives the value at x; an empty line gives NaN.
func (l Line) At(x float64) float64 {
	y, _ := l.from(x, 0)
	return y
}

// from gives the value and slope at x, looking first at segment guess.
func (l Line) from(x float64, guess int) (y float64, segment int) {
	switch n := len(l); {
	case n == 0:
		return math.NaN(), 0
	case n == 1 || x <= l[0].X:
		return l[0].Y, 0
	case x >= l[n-1].X:
		return l[n-1].Y, n - 2
	}
	i := min(guess, len(l)-2)
	for x < l[i].X {
		i--
	}
	for x > l[i+1].X {
		i++
	}
	a, b := l[i], l[i+1]
	return a.Y + float64((x-a.X)/(b.X-a.X)*(b.Y-a.Y)), i
}

// Walk gives the value at x for a caller that moves along the line: segment is
// the one found last time, and the one to keep for next time.
func (l Line) Walk(x float64, segment *int) float64 {
	y, i := l.from(x, *segment)
	*segment = i
	return y
}

// Or gives the value at x, or otherwise where the line is empty.
func (l Line) Or(x, otherwise float64) float64 {
	if len(l) == 0 {
		return otherwise
	}
	return l.At(x)
}

// LogAt gives the value at x of a line that is straight in its logarithm, one
// where the line is empty. Every Y must be above zero.
func (l Line) LogAt(x float64) float64 {
	n := len(l)
	switch {
	case n == 0:
		return 1
	case n == 1 || x <= l[0].X:
		return l[0].Y
	case x >= l[n-1].X:
		return l[n-1].Y
	}
	i := 0
	for x > l[i+1].X {
		i++
	}
	a, b := l[i], l[i+1]
	return a.Y * math.Pow(b.Y/a.Y, (x-a.X)/(b.X-a.X))
}

// Slope gives the slope of the segment that holds x, zero beyond the ends.
func (l Line) Slope(x float64) float64 {
	n := len(l)
	if n < 2 || x < l[0].X || x > l[n-1].X {
		return 0
	}
	i := 0
	for i < n-2 && x >= l[i+1].X {
		i++
	}
	return (l[i+1].Y - l[i].Y) / (l[i+1].X - l[i].X)
}
