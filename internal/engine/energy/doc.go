// Package energy is the balance of days: what loads ask of a bank, what sun,
// mains and an engine give, and what state of charge is left, hour by hour.
//
// The bank is one store here, in ampere hours: how its batteries share is the
// business of other engines. All is in SI: W, J, s, C (ampere seconds), K.
package energy

import (
	"fmt"
	"math"
)

// Panel is a field of solar panels. Peak is its power at 1000 W/m² and 25 °C.
type Panel struct {
	Peak        float64 // W
	Coefficient float64 // 1/K of power, negative: -0.003 to -0.005
	Loss        float64 // 0 to 1: dirt, mismatch, wiring and what else never reaches the controller
	Mounting    Mounting
}

// Mounting says how warm a panel gets: cell temperature is
// air + G·exp(A + B·wind) + G/1000·Rise (King and others 2004, SAND2004-3535,
// from memory).
type Mounting struct{ A, B, Rise float64 }

// The mountings of that source.
var (
	OpenRack      = Mounting{-3.47, -0.0594, 3}
	CloseRoof     = Mounting{-2.98, -0.0471, 1}
	InsulatedBack = Mounting{-2.81, -0.0455, 0}
)

// Cell gives the temperature of the cells, K, in an irradiance in W/m², air in
// K and wind in m/s.
func (m Mounting) Cell(irradiance, air, wind float64) float64 {
	return air + float64(irradiance*math.Exp(m.A+float64(m.B*wind))) + float64(irradiance/1000*m.Rise)
}

// Power gives what the field gives, W, in an irradiance on it in W/m² with its
// cells at a temperature in K: G/1000·peak·(1 + coefficient·(cell − 25 °C)), less
// the loss; never below zero.
func (p Panel) Power(irradiance, cell float64) float64 {
	const rated = 298.15 // K
	return math.Max(0, irradiance/1000*p.Peak*(1+float64(p.Coefficient*(cell-rated)))*(1-p.Loss))
}

// Losses gives the whole of several losses, each 0 to 1: 1 − Π(1 − L).
// Reference: Dobos 2014, NREL/TP-6A20-62641 (read).
func Losses(each ...float64) float64 {
	left := 1.0
	for _, l := range each {
		left *= 1 - l
	}
	return 1 - left
}

// Converter is an inverter by its losses: idle + K1·P + K2·P²/rated, W, for an
// output P (three-term form, from memory).
type Converter struct{ Idle, K1, K2, Rated float64 }

// Input gives what it takes, W, for an output in W.
func (c Converter) Input(output float64) float64 {
	return output + c.Idle + float64(c.K1*output) + float64(c.K2*output*output/c.Rated)
}

// Surge gives the amperes of a motor with its rotor held, by the code letter's
// kVA per horsepower: kVA·hp·1000/V for one phase (NEMA code letters, NEC table
// 430.7(B), read in reprints).
func Surge(kva, horsepower, volts float64) float64 { return kva * horsepower * 1000 / volts }

// Charge is the closed form of a charge: a current until the tail begins, then
// one that falls as exp(−t/Tau).
type Charge struct {
	Current float64 // A
	End     float64 // A at which it is full
	Tau     float64 // s
}

// Times gives how long it takes, s, to bring in coulombs, of which the last
// Tau·(Current − End) come in the tail; and how long the tail is. The error
// names a number out of range.
func (c Charge) Times(coulombs float64) (whole, tail float64, err error) {
	switch {
	case !(c.Current > 0) || !(c.End > 0) || !(c.End <= c.Current) || !(c.Tau >= 0):
		return 0, 0, fmt.Errorf("charge: %g A down to %g A with %g s; the end lies above 0 and not above the current", c.Current, c.End, c.Tau)
	case !(coulombs >= 0):
		return 0, 0, fmt.Errorf("charge: %g C to bring in; give 0 or more", coulombs)
	}
	if in := c.InTail(); coulombs < in { // it begins within the tail
		// From a tail current I0 with Tau·(I0 − End) = coulombs.
		from := coulombs/c.Tau + c.End
		tail = c.Tau * math.Log(from/c.End)
		return tail, tail, nil
	}
	tail = c.Tau * math.Log(c.Current/c.End)
	return (coulombs-c.InTail())/c.Current + tail, tail, nil
}

// InTail gives the coulombs that come in the tail.
func (c Charge) InTail() float64 { return c.Tau * (c.Current - c.End) }

// TauFor gives the time constant, s, of a tail that brings in coulombs.
func TauFor(coulombs, current, end float64) float64 { return coulombs / (current - end) }
