package heat

import (
	"fmt"
	"math"
)

// Lump is a whole box taken as one body: heat capacity, J/K, and what it loses,
// W/K.
type Lump struct{ Capacity, Loss float64 }

// Tau gives its time constant, s.
func (l Lump) Tau() float64 { return l.Capacity / l.Loss }

// After gives its temperature, K, at a time, s, from a start in an outside, both
// K, with a heater of some watts on.
func (l Lump) After(t, start, outside, watts float64) float64 {
	end := outside + watts/l.Loss
	return end + float64((start-end)*math.Exp(-t/l.Tau()))
}

// Until gives the time, s, from start to target with the heater on, +Inf where
// it never gets there, 0 where it is there.
func (l Lump) Until(start, target, outside, watts float64) float64 {
	end := outside + watts/l.Loss
	if start == target {
		return 0
	}
	part := (start - end) / (target - end)
	if !(part > 1) || math.IsInf(part, 0) {
		return math.Inf(1)
	}
	return l.Tau() * math.Log(part)
}

// Hold gives the watts that keep it at a temperature over the outside, 0 where
// it is warmer outside.
func (l Lump) Hold(target, outside float64) float64 { return math.Max(0, l.Loss*(target-outside)) }

// Cycle gives how long a heater is on and off between two temperatures, s, and
// the part of the time it is on. On is +Inf and the part 1 where the heater
// never reaches the upper one; off is +Inf and the part 0 where the outside
// keeps it above the lower. The error says that the two are the wrong way
// round.
func (l Lump) Cycle(low, high, outside, watts float64) (on, off, part float64, err error) {
	if !(high > low) {
		return 0, 0, 0, fmt.Errorf("thermostat: on at %g K and off at %g K; off must be the higher", low, high)
	}
	on, off = l.Until(low, high, outside, watts), l.Until(high, low, outside, 0)
	switch {
	case math.IsInf(off, 1):
		return on, off, 0, nil
	case math.IsInf(on, 1):
		return on, off, 1, nil
	}
	return on, off, on / (on + off), nil
}
