package terminal

import (
	"math"

	"bankwright/internal/base/source"
)

// Nut factors K of T = K·F·d: customary values of steel on steel, from memory.
// The scatter of the preload at one torque is about ±30 % (common practice).
const (
	DryNut     = 0.20
	GreasedNut = 0.15
)

// Preload gives the force, N, that a torque, N·m, makes on a thread of a nominal
// diameter, m, with a nut factor: T/(K·d). It is +Inf or NaN for a factor or a
// diameter of zero.
func Preload(torque, factor, diameter float64) float64 { return torque / (factor * diameter) }

// Torque gives the torque, N·m, for a preload, N.
func Torque(preload, factor, diameter float64) float64 { return preload * factor * diameter }

// MetricStress gives the stress area, m², of a metric thread of a nominal
// diameter and a pitch, m: π/4·(d − 0.9382·p)². Reference: ISO 898-1 (2013), from
// memory.
func MetricStress(diameter, pitch float64) float64 {
	d := diameter - float64(0.9382*pitch)
	return math.Pi / 4 * d * d
}

// InchStress gives the stress area, m², of an inch thread of a nominal diameter,
// m, and threads per inch: 0.7854·(d − 0.9743/n)². Reference: ASME B1.1 (2003),
// from memory.
func InchStress(diameter, perInch float64) float64 {
	d := diameter - 0.9743*0.0254/perInch
	return math.Pi / 4 * d * d
}

// Clamp is a thread under torque.
type Clamp struct {
	Preload float64 // N
	Stress  float64 // Pa, tension on the stress area; the twist comes on top
	Spot    float64 // Ω, of one copper contact under the preload
}

// Tighten gives what a torque, N·m, does to a thread of a nominal diameter, m,
// and a stress area, m². The error names the value out of range; a torque of
// zero is in it and has a contact of +Inf.
func Tighten(torque, factor, diameter, area float64) (Clamp, error) {
	switch {
	case !(torque >= 0) || math.IsInf(torque, 1):
		return Clamp{}, bad("the torque", torque, "N·m", "0 or more")
	case !above(factor, 0):
		return Clamp{}, bad("the nut factor", factor, "", "more than 0, such as 0.2 dry")
	case !above(diameter, 0):
		return Clamp{}, bad("the thread's diameter", diameter, "m", "more than 0")
	case !above(area, 0):
		return Clamp{}, bad("the stress area", area, "m²", "more than 0")
	}
	f := Preload(torque, factor, diameter)
	return Clamp{Preload: f, Stress: f / area, Spot: Spot(CopperResistivity, CopperHardness, f)}, nil
}

// Hardware is what goes on one thread, m.
type Hardware struct {
	Thread   string
	Diameter float64
	Pitch    float64
	Nut      float64 // height
	Washer   float64 // thickness, plain
	Spring   float64 // thickness, split and pressed flat
	Ref      source.Ref
}

// MetricHardware gives customary hardware. Whoever uses it must say that it is
// assumed: a part in hand is always better.
func MetricHardware() []Hardware {
	ref := source.Ref{Title: "ISO 4032 nuts (highest), ISO 7089 washers, DIN 127 spring washers, coarse thread of ISO 261", Edition: "not at hand", How: source.Memory}
	return []Hardware{
		{"M5", 5e-3, 0.8e-3, 4.7e-3, 1.0e-3, 1.2e-3, ref},
		{"M6", 6e-3, 1.0e-3, 5.2e-3, 1.6e-3, 1.6e-3, ref},
		{"M8", 8e-3, 1.25e-3, 6.8e-3, 1.6e-3, 2.0e-3, ref},
		{"M10", 10e-3, 1.5e-3, 8.4e-3, 2.0e-3, 2.2e-3, ref},
		{"M12", 12e-3, 1.75e-3, 10.8e-3, 2.5e-3, 2.5e-3, ref},
	}
}
