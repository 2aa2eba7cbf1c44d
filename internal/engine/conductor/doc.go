// Package conductor is the physics of one round insulated copper cable and of
// equal cables beside it: resistance when warm, temperature at a current and
// after a time, current for a temperature, voltage drop, withstand of a short
// circuit, diameters and bends, and a choice of size.
//
// All numbers are in SI units: m, m², Ω/m, A, V, s, Pa, W, and kelvin for
// temperatures as well as differences. Diameters are meant where a length is
// of a round thing, unless a name says radius.
//
// # What the heat balance leaves out
//
// Air is still, the cable lies level and free, the sun does not shine on it,
// and no heat leaves along the conductor. Against published ampacity tables
// the balance gives −2 to +17 % (the test of the tables prints every row), so
// that a cable which passes by physics may fail by table. They are never mixed
// here: [Choose] keeps one verdict for each.
package conductor

import (
	"fmt"
	"math"
)

// Properties of annealed copper.
const (
	// Alpha is the temperature coefficient of resistance at 20 °C, 1/K: 100 %
	// IACS copper, IEC 60028 (1925) and NBS Handbook 100 (1966); the value also
	// stands in a note of NFPA 70 (2023), chapter 9 table 8.
	Alpha = 0.00393
	// Resistivity20 is the resistivity at 20 °C, Ω·m: IEC 60028 (1925), 100 %
	// IACS, from memory.
	Resistivity20 = 17.241e-9
	// HeatCapacity is the heat to warm copper, J/(K·m³): 3.45e-3 J/(K·mm³),
	// IEC 60364-4-43 (2008) and IEC 60949 (1988), from memory.
	HeatCapacity = 3.45e6
	// Melting is the melting point, K: 1357.77 K, ITS-90 fixed point.
	Melting = 1357.77
)

// zeroCelsius is 0 °C in K, exact.
const zeroCelsius = 273.15

// reference is the temperature that R20 is given at, K.
const reference = zeroCelsius + 20

// Warm gives the resistance of copper at a temperature over that at 20 °C,
// 1 + α(T − 20 °C). It is NaN for NaN. The straight line is good to about 1 %
// up to 200 °C (from memory); below −234 °C it is negative and means nothing.
func Warm(temperature float64) float64 {
	return 1 + float64(Alpha*(temperature-reference))
}

// above reports whether v is a finite number above low.
func above(v, low float64) bool { return v > low && !math.IsInf(v, 1) }

// bad is the error for an input out of range.
func bad(what string, v float64, unit, give string) error {
	return fmt.Errorf("conductor: %s is %g %s; give %s", what, v, unit, give)
}
