package conductor

import (
	"math"
)

// Metal is the adiabatic law of a short circuit: all heat stays in the
// conductor, k² S² = I² t, with k = K·√ln((β + end)/(β + start)), temperatures
// in °C.
type Metal struct {
	K    float64 // A·√s/m²
	Beta float64 // °C
}

// Longest is the time up to which heat that leaves may be neglected, s: IEC
// 60364-4-43 (2008), 434.5.2, from memory. Beyond it the law still errs to the
// hot side, but by so much that it says little.
const Longest = 5

// Copper is copper with the rounded constant of IEC 60364-4-43 (2008) and IEC
// 60949 (1988): 226 A·√s/mm² and 234.5 °C, seen in a page on IEC 60949.
var Copper = Metal{K: 226e6, Beta: 234.5}

// CopperComputed is copper with the constant worked out from the heat capacity
// and resistivity of the same standards, √(Q(β + 20)/ρ₂₀) = 225.67 A·√s/mm².
var CopperComputed = Metal{K: math.Sqrt(HeatCapacity * (234.5 + 20) / Resistivity20), Beta: 234.5}

// celsius gives a temperature over the metal's zero of resistance.
func (m Metal) celsius(temperature float64) float64 {
	return m.Beta + (temperature - zeroCelsius)
}

// Factor gives k, A·√s/m², between two temperatures in K; in A·√s/mm² it is a
// millionth. It is NaN where the end lies below the start and zero where they
// are equal.
func (m Metal) Factor(start, end float64) float64 {
	return m.K * math.Sqrt(math.Log(m.celsius(end)/m.celsius(start)))
}

// Final gives the temperature, K, that a current, A, drives a section, m², to
// in a time, s, from a start temperature, K.
func (m Metal) Final(section, current, time, start float64) float64 {
	x := current / section / m.K
	return float64(m.celsius(start)*math.Exp(float64(x*x)*time)) - m.Beta + zeroCelsius
}

// Fault is one short circuit to be borne.
type Fault struct {
	Current float64 // A; 0 or more
	Time    float64 // s until the fuse has cleared it; 0 or more
	Start   float64 // K, of the conductor as it begins
	Limit   float64 // K, that the insulation bears for so short; above Start
}

// Withstand is a cable in a short circuit.
type Withstand struct {
	Factor float64 // k, A·√s/m²
	Energy float64 // k²S², A²·s: what a fuse may let through
	Let    float64 // I²t, A²·s: what it does let through
	Time   float64 // s that the current may flow; +Inf without current
	Final  float64 // K
	Use    float64 // I·√t over k·S: 1 at the limit
	Within bool    // Final is not above the limit
	Valid  bool    // the fault is not longer than [Longest]
}

// Bear gives how a section, m², bears a fault. The error names the value out of
// range.
func (m Metal) Bear(section float64, f Fault) (Withstand, error) {
	switch {
	case !above(section, 0):
		return Withstand{}, bad("the section", section, "m²", "more than 0")
	case !(f.Current >= 0) || math.IsInf(f.Current, 1):
		return Withstand{}, bad("the fault current", f.Current, "A", "0 or more")
	case !(f.Time >= 0) || math.IsInf(f.Time, 1):
		return Withstand{}, bad("the clearing time", f.Time, "s", "0 or more")
	case !(m.celsius(f.Start) > 0) || !above(f.Limit, f.Start):
		return Withstand{}, bad("the short-circuit limit", f.Limit, "K", "more than the temperature that it starts from")
	}
	w := Withstand{Factor: m.Factor(f.Start, f.Limit), Let: f.Current * f.Current * f.Time, Valid: f.Time <= Longest}
	bears := w.Factor * section
	w.Energy = bears * bears
	w.Time = w.Energy / (f.Current * f.Current)
	w.Final = m.Final(section, f.Current, f.Time, f.Start)
	w.Use = f.Current * math.Sqrt(f.Time) / bears
	w.Within = w.Let <= w.Energy
	return w, nil
}
