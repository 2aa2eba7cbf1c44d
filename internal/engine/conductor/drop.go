package conductor

import (
	"fmt"
	"math"

	"bankwright/internal/base/source"
)

// Segment is a part of a path at one temperature.
type Segment struct {
	R20         float64 // Ω/m at 20 °C; 0 or more
	Length      float64 // m of conductor, out and back where both count; 0 or more
	Temperature float64 // K, of the copper; needs to be there only where R20 and Length are above 0
	Fixed       float64 // Ω that does not depend on length or temperature: joints, fuse, shunt; 0 or more
}

// Ohm gives the segment's resistance, Ω.
func (s Segment) Ohm() float64 {
	if s.R20 == 0 || s.Length == 0 {
		return s.Fixed
	}
	return float64(s.R20*s.Length*Warm(s.Temperature)) + s.Fixed
}

func (s Segment) check(i int) error {
	for _, v := range []float64{s.R20, s.Length, s.Fixed} {
		if !(v >= 0) || math.IsInf(v, 1) {
			return fmt.Errorf("conductor: segment %d has %g ohm/m, %g m and %g ohm; give numbers of 0 or more", i+1, s.R20, s.Length, s.Fixed)
		}
	}
	if s.R20 > 0 && s.Length > 0 && !above(s.Temperature, 0) {
		return bad(fmt.Sprintf("the temperature of segment %d", i+1), s.Temperature, "K", "a temperature in kelvin")
	}
	return nil
}

// Drop gives the voltage lost along a path of segments in series at a current,
// A, and in each segment, V. No segments lose nothing; a negative current gives
// negative voltages. The error names the segment, counted from 1, that is out
// of range.
func Drop(current float64, path []Segment) (total float64, each []float64, err error) {
	if math.IsNaN(current) || math.IsInf(current, 0) {
		return 0, nil, bad("the current", current, "A", "a number")
	}
	for i, s := range path {
		if err := s.check(i); err != nil {
			return 0, nil, err
		}
		volts := float64(current * s.Ohm())
		each = append(each, volts)
		total += volts
	}
	return total, each, nil
}

// Customary is a trade formula for voltage drop, E = ρ·I·L/S with a fixed ρ and
// L the length out and back: it knows no temperature, and the one that its
// constant fits is often cool.
type Customary struct {
	Name        string
	Resistivity float64 // Ω·m
	Ref         source.Ref
}

// feetPerMetre and circular mil, m²: the inch is 25.4 mm (NIST SP 811, 2008).
const (
	foot        = 0.3048
	circularMil = math.Pi / 4 * 25.4e-6 * 25.4e-6
)

// CircularMil gives the circular-mil form CM = K·I·L/E for a constant K in
// ohm·cmil/ft.
func CircularMil(name string, k float64, ref source.Ref) Customary {
	return Customary{Name: name, Resistivity: k * circularMil / foot, Ref: ref}
}

// The customary formulas.
var (
	MarineMil = CircularMil("circular-mil form, K = 10.75", 10.75,
		source.Ref{Title: "ABYC E-11", At: "voltage drop formula", Edition: "not at hand", How: source.Memory})
	HotMil = CircularMil("circular-mil form, K = 12.9, stranded copper at 75 °C", 12.9,
		source.Ref{Title: "circular-mil form with stranded copper at 75 °C", How: source.Practice})
	MetricCraft = Customary{"metric form, 0.0164 Ω·mm²/m", 0.0164e-6,
		source.Ref{Title: "ISO 10133", At: "annex C", Edition: "2012", How: source.Memory}}
)

// Section gives the least section, m², for a current, A, a length out and back,
// m, and an allowed drop, V. It is +Inf for a drop of zero and NaN where an
// input is.
func (c Customary) Section(current, length, drop float64) float64 {
	return c.Resistivity * math.Abs(current) * length / drop
}

// Drop gives the voltage that the formula says is lost, V, in a section, m².
func (c Customary) Drop(current, length, section float64) float64 {
	return c.Resistivity * current * length / section
}

// Fits gives the temperature, K, at which solid annealed copper has the
// formula's constant.
func (c Customary) Fits() float64 {
	return reference + (c.Resistivity/Resistivity20-1)/Alpha
}

// HotLength gives the run, m, that loses at a conductor temperature, K, what a
// run of a chart for 20 °C loses: L₂ = 254.5·L₁/(234.5 + T₂) with T₂ in °C. The
// other way to write copper's resistance, it agrees with [Warm] to 0.01 %.
//
// Reference: FAA AC 43.13-1B CHG 1 (2001), section on wire length at temperature.
func HotLength(length, temperature float64) float64 {
	return 254.5 * length / (234.5 + (temperature - zeroCelsius))
}

// ChartTemperature gives the conductor temperature, K, that the aircraft
// circular estimates for a current of a part of the allowed one:
// T₁ + (T_R − T₁)·√(I/I_max). True heating goes with the square of the current,
// so that this is too hot for small currents; it is here to repeat that circular.
//
// Reference: FAA AC 43.13-1B CHG 1 (2001), 11-66: the expression from memory.
func ChartTemperature(ambient, rated, part float64) float64 {
	return ambient + float64((rated-ambient)*math.Sqrt(part))
}
