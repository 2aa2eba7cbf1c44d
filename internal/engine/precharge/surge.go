package precharge

import (
	"fmt"
	"math"

	"bankwright/internal/base/source"
)

// Regime tells how a closing circuit swings.
type Regime string

// The regimes of a series circuit of resistance, inductance and capacitance.
const (
	OverDamped  Regime = "over-damped"
	Critical    Regime = "critically damped"
	UnderDamped Regime = "under-damped"
)

// Surge is the first rush of current into an empty capacitor.
type Surge struct {
	Peak         float64 // A, the true peak; +Inf where nothing limits it
	At           float64 // s after closing; 0 without inductance
	Regime       Regime
	Damping      float64 // R/2·√(C/L): 1 is critical, +Inf without inductance
	ByResistance float64 // A, V/R, never below the peak; +Inf without resistance
	ByInductance float64 // A, V·√(C/L), likewise; +Inf without inductance
	PeakVoltage  float64 // V on the capacitor at its highest: above the bank's when under-damped
}

// Closing gives the rush when a voltage is switched onto an empty capacitor
// through a resistance and an inductance in series. Either of these may be
// zero. Without inductance the peak is V/R at once, which no real loop reaches;
// without both it is +Inf. The error says that a number is none, or that there
// is no voltage or no capacitance.
//
// With α = R/2L, ω₀ = 1/√(LC) and ζ = α/ω₀ the peak of
// i(t) = V/(L·ω)·exp(−αt)·sin(ωt), ω² = ω₀² − α², lies where its derivative is
// zero, tan(ωt) = ω/α, and is V·√(C/L)·exp(−αt); sinh and artanh stand in for
// the over-damped case, and both meet at αt = 1 (textbook).
func Closing(voltage, resistance, inductance, capacitance float64) (Surge, error) {
	for _, v := range []float64{voltage, resistance, inductance, capacitance} {
		if !(v >= 0) || math.IsInf(v, 1) {
			return Surge{}, fmt.Errorf("inrush: %g V, %g ohm, %g H, %g F; give numbers of zero or more", voltage, resistance, inductance, capacitance)
		}
	}
	if voltage == 0 || capacitance == 0 {
		return Surge{}, fmt.Errorf("inrush: %g V onto %g F; give a voltage and a capacitance above zero", voltage, capacitance)
	}
	s := Surge{ByResistance: voltage / resistance, ByInductance: voltage * math.Sqrt(capacitance/inductance), PeakVoltage: voltage}
	if inductance == 0 {
		s.Peak, s.Regime, s.Damping = s.ByResistance, OverDamped, math.Inf(1)
		return s, nil
	}
	period := math.Sqrt(inductance * capacitance) // 1/ω₀
	zeta := resistance / 2 * math.Sqrt(capacitance/inductance)
	s.Damping = zeta
	swing := angle(zeta)
	s.Peak = s.ByInductance * math.Exp(-zeta*swing)
	s.At = period * swing
	switch {
	case math.Abs(zeta-1) <= 1e-12: // within what rounding makes of an exact one
		s.Regime = Critical
	case zeta > 1:
		s.Regime = OverDamped
	default:
		s.Regime = UnderDamped
		s.PeakVoltage = voltage * (1 + math.Exp(-math.Pi*zeta/math.Sqrt((1-zeta)*(1+zeta))))
	}
	return s, nil
}

// angle gives ω₀ times the time of the peak: arctan(x/ζ)/x with x² = 1 − ζ², or
// artanh(x/ζ)/x with x² = ζ² − 1, and 1 where both are 0/0. As ζ² − x² = 1 the
// artanh is the logarithm of ζ + x, which keeps its digits at both ends.
func angle(zeta float64) float64 {
	switch square := (1 - zeta) * (1 + zeta); {
	case square > 0:
		x := math.Sqrt(square)
		return math.Atan2(x, zeta) / x
	case square < 0:
		x := math.Sqrt(-square)
		return math.Log1p((zeta-1)+x) / x
	}
	return 1
}

// mu0OverPi is µ₀/π, H/m, with µ₀ = 4π·10⁻⁷ H/m, which the value of the SI of
// 2019 meets to nine digits.
const mu0OverPi = 4e-7

// LoopInductance estimates the inductance of two round cables side by side,
// out and back, in H: length of the way in m (one way), radius of the conductor
// in m and distance between the two centres in m. It is an estimate: the way is
// never as even. The error says that the cables would overlap or a number is
// not above zero.
//
// Reference: µ₀/π·(ln(s/r) + ¼) per metre of way, low frequency, textbook
// (F. W. Grover, Inductance Calculations, 1946, from memory).
func LoopInductance(length, radius, spacing float64) (source.Value[float64], error) {
	if !(length > 0 && radius > 0) || math.IsInf(length, 1) || math.IsInf(spacing, 1) {
		return source.Value[float64]{}, fmt.Errorf("loop inductance: length %g m, conductor radius %g m, spacing %g m; all must be above zero", length, radius, spacing)
	}
	if !(spacing >= float64(2*radius*(1-1e-9))) { // round-off of two cables that touch
		return source.Value[float64]{}, fmt.Errorf("loop inductance: centres %g m apart, but two conductors of radius %g m cannot lie nearer than %g m; give the distance between centres", spacing, radius, 2*radius)
	}
	return source.Value[float64]{
		V:      length * mu0OverPi * (math.Log(spacing/radius) + 0.25),
		Origin: source.Computed,
		Ref:    source.Ref{Title: "Grover, Inductance Calculations", At: "two parallel round wires", Edition: "1946", How: source.Memory},
		Note:   "estimated, two parallel cables out and back",
	}, nil
}

// Guess is a capacitance that nobody gave.
type Guess struct {
	Low, High float64               // F, the range
	Mid       source.Value[float64] // F, the geometric mean, assumed
}

// guesses are the input capacitances of inverters by nominal voltage, F per W.
// No published table was found: common practice and memory.
var guesses = []struct{ from, below, low, high float64 }{
	{9, 18, 2e-6, 10e-6},   // 12 V: 2 to 10 mF per kW
	{18, 64, 0.5e-6, 3e-6}, // 24 and 48 V: 0.5 to 3 mF per kW
}

// GuessCapacitance gives the input capacitance to be expected of an inverter of
// a power in W on a bank of a voltage in V. The error says that the power is
// not above zero or that the voltage is neither of the 12, 24 nor 48 V class.
func GuessCapacitance(power, voltage float64) (Guess, error) {
	if !(power > 0) || math.IsInf(power, 1) {
		return Guess{}, fmt.Errorf("input capacitance: inverter power %g W; give a power above zero", power)
	}
	for _, g := range guesses {
		if voltage >= g.from && voltage < g.below {
			low, high := g.low*power, g.high*power
			ref := source.Ref{Title: "input capacitance of inverters by power and voltage", How: source.Practice}
			return Guess{low, high, source.Assume(math.Sqrt(low*high), ref, "middle of a wide range; read it off the inverter or its sheet")}, nil
		}
	}
	return Guess{}, fmt.Errorf("input capacitance: no customary figure for %g V, only for 12, 24 and 48 V banks; give the capacitance", voltage)
}
