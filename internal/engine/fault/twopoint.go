package fault

import (
	"fmt"
	"math"

	"bankwright/internal/base/source"
)

// Reading is one point of a discharge: current in A out of the battery and
// volts at its posts.
type Reading struct{ Current, Voltage float64 }

// Estimate is a battery from two readings of its discharge, a straight line
// through both.
type Estimate struct {
	Resistance float64 // ohm
	EMF        float64 // V, where the line meets no current
	Current    float64 // A, where it meets no voltage: the prospective short-circuit current
	Ref        source.Ref
	Note       string
}

// twoPoint is where the method stands.
var twoPoint = source.Ref{Title: "IEC 60896-21", At: "6.3, two-point determination of short-circuit current and resistance", Edition: "not at hand", How: source.Memory}

// TwoPoint draws the line through two readings. The standard takes them at
// four times the ten-hour current after 20 s and at twenty times after 5 s
// (from memory); the order here does not matter. With the far point of 5 s the
// line usually understates lithium and overstates a cold or aged lead-acid
// battery (common practice, no source), and a battery's own protection may open
// before: it is no ground for what a device must interrupt.
//
// The error says that a number is none or below zero, that the two currents are
// one, or that the voltage does not fall with the current.
func TwoPoint(a, b Reading) (Estimate, error) {
	for _, v := range []float64{a.Current, a.Voltage, b.Current, b.Voltage} {
		if !(v >= 0) || math.IsInf(v, 1) {
			return Estimate{}, fmt.Errorf("two-point method: %g A at %g V, %g A at %g V; give currents and voltages of zero or more", a.Current, a.Voltage, b.Current, b.Voltage)
		}
	}
	if a.Current > b.Current {
		a, b = b, a
	}
	amps, volts := b.Current-a.Current, a.Voltage-b.Voltage
	if !(amps > 0) || !(volts > 0) {
		return Estimate{}, fmt.Errorf("two-point method: %g A at %g V and %g A at %g V; give two different currents, the larger at the lower voltage", a.Current, a.Voltage, b.Current, b.Voltage)
	}
	cross := float64(a.Voltage*b.Current) - float64(b.Voltage*a.Current)
	return Estimate{
		Resistance: volts / amps, EMF: cross / amps, Current: cross / volts, Ref: twoPoint,
		Note: "a straight line; it usually understates lithium and overstates cold or aged lead-acid",
	}, nil
}
