package fault

import (
	"fmt"
	"math"
)

// mu0OverPi is µ₀/π, H/m, with µ₀ = 4π·10⁻⁷ H/m, which the value of the SI of
// 2019 meets to nine digits.
const mu0OverPi = 4e-7

// LoopInductance gives the inductance of two round conductors side by side,
// out and back, in H for each metre of way (one way): spacing of their centres
// and radius of the conductor in m. It is low-frequency and an estimate: no way
// is that even. The error says that a number is not above zero or that the
// conductors would overlap.
//
// Reference: µ₀/π·(ln(s/r) + ¼), textbook (F. W. Grover, Inductance
// Calculations, 1946, from memory).
func LoopInductance(spacing, radius float64) (float64, error) {
	if !(radius > 0) || math.IsInf(radius, 1) || !(spacing > 0) || math.IsInf(spacing, 1) {
		return math.NaN(), fmt.Errorf("loop inductance: spacing %g m, conductor radius %g m; both must be above zero", spacing, radius)
	}
	if spacing < float64(2*radius*(1-same)) { // two conductors that touch, rounded
		return math.NaN(), fmt.Errorf("loop inductance: centres %g m apart, but conductors of radius %g m cannot lie nearer than %g m; give the distance between centres", spacing, radius, 2*radius)
	}
	return mu0OverPi * (math.Log(spacing/radius) + 0.25), nil
}

// Rise is the current of a short that begins at nothing and grows to its last
// value against the loop's inductance: i = I·(1 − exp(−t/τ)), τ = L/R.
type Rise struct {
	Current float64 // A, in the end
	Tau     float64 // s; 0 without inductance
	Slope   float64 // A/s at first, E/L; +Inf without inductance
}

// NewRise gives the rise for a voltage in V behind a resistance in ohm and an
// inductance in H. The error says that the resistance is not above zero, the
// inductance below zero, or a number none.
func NewRise(volts, ohm, henry float64) (Rise, error) {
	if !(ohm > 0) || !(henry >= 0) || math.IsInf(ohm, 1) || math.IsInf(henry, 1) || math.IsNaN(volts) || math.IsInf(volts, 0) {
		return Rise{}, fmt.Errorf("rise of a fault: %g V, %g ohm, %g H; give a resistance above zero and an inductance of zero or more", volts, ohm, henry)
	}
	r := Rise{Current: volts / ohm, Tau: henry / ohm}
	switch {
	case henry > 0:
		r.Slope = volts / henry
	case volts != 0:
		r.Slope = math.Copysign(math.Inf(1), volts)
	}
	return r, nil
}

// At gives the current in A at a time in s after the short: 0 before it, NaN
// at NaN.
func (r Rise) At(t float64) float64 {
	switch {
	case t <= 0:
		return 0
	case r.Tau == 0 && t > 0:
		return r.Current
	}
	return -r.Current * math.Expm1(-t/r.Tau)
}

// Reaches gives the time in s at which a part of the last current flows: 0.95
// of it after three time constants. +Inf at 1, NaN beyond 0 to 1.
func (r Rise) Reaches(part float64) float64 {
	switch {
	case !(part >= 0 && part <= 1):
		return math.NaN()
	case r.Tau == 0:
		return 0
	}
	return -r.Tau * math.Log1p(-part)
}
