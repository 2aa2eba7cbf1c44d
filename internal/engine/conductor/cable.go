package conductor

import (
	"fmt"
	"math"
)

// Cable is a round cable of one copper conductor and one insulation.
type Cable struct {
	R20            float64 // Ω/m at 20 °C, stranding and tinning in it; above 0
	Section        float64 // m², of copper; above 0
	Conductor      float64 // m, diameter over the strands; above 0
	Outside        float64 // m, diameter over the insulation; not below Conductor
	Resistivity    float64 // K·m/W, thermal, of the insulation; above 0
	Emissivity     float64 // of the outside; above 0, at most 1
	InsulationHeat float64 // J/(K·m³); 0 leaves it out of times, which are then too short
}

// Customary values for a cable whose maker says nothing; whoever uses them
// must say that they are assumed.
const (
	// TypicalEmissivity is the low end of 0.90 to 0.95 for PVC and rubber
	// (heat-transfer textbook tables for non-metals, from memory).
	TypicalEmissivity = 0.90
	// HeatPVC, HeatEPR and HeatXLPE are J/(K·m³) of insulation: IEC 60853-2
	// (1989), table of volumetric heat capacities, from memory.
	HeatPVC  = 1.7e6
	HeatEPR  = 2.0e6
	HeatXLPE = 2.4e6
)

// Check gives an error that names the first value out of range.
func (c Cable) Check() error {
	switch {
	case !above(c.R20, 0):
		return bad("the resistance at 20 °C", c.R20, "ohm/m", "more than 0")
	case !above(c.Section, 0):
		return bad("the section", c.Section, "m²", "more than 0")
	case !above(c.Conductor, 0):
		return bad("the diameter over the strands", c.Conductor, "m", "more than 0")
	case !(c.Outside >= c.Conductor) || math.IsInf(c.Outside, 1):
		return bad("the outside diameter", c.Outside, "m", fmt.Sprintf("at least the %g m over the strands", c.Conductor))
	case !above(c.Resistivity, 0):
		return bad("the thermal resistivity of the insulation", c.Resistivity, "K·m/W", "more than 0")
	case !(c.Emissivity > 0 && c.Emissivity <= 1):
		return bad("the emissivity", c.Emissivity, "", "more than 0 and at most 1")
	case !(c.InsulationHeat >= 0) || math.IsInf(c.InsulationHeat, 1):
		return bad("the heat capacity of the insulation", c.InsulationHeat, "J/(K·m³)", "0 to leave it out, or more")
	}
	return nil
}

// Resistance gives the resistance at a conductor temperature in K, Ω/m.
func (c Cable) Resistance(temperature float64) float64 { return c.R20 * Warm(temperature) }

// InsulationResistance gives the thermal resistance from conductor to surface,
// K·m/W: T1 of IEC 60287-2-1 for one core.
func (c Cable) InsulationResistance() float64 {
	return c.Resistivity / (2 * math.Pi) * math.Log(c.Outside/c.Conductor)
}

// CopperHeat gives the heat capacity of the conductor, J/(K·m).
func (c Cable) CopperHeat() float64 { return float64(HeatCapacity * c.Section) }

// insulationHeat gives that of the insulation, J/(K·m).
func (c Cable) insulationHeat() float64 {
	return c.InsulationHeat * math.Pi / 4 * (c.Outside - c.Conductor) * (c.Outside + c.Conductor)
}

// inner is the part of the insulation's heat that goes with the conductor's
// temperature, the rest going with the surface's: the mean over the section of
// the logarithmic profile. From 1/3 for a thick wall, in the limit 0, to 1/2
// for a thin one.
//
// Reference: F. C. Van Wormer, AIEE Trans. 74 III (1955) 277, and IEC 60853-2
// (1989), from memory; the integral is elementary and is summed in the test.
func (c Cable) inner() float64 {
	ratio := c.Outside / c.Conductor
	if ratio < 1.001 { // where the two terms would cancel
		return 0.5
	}
	return 1/(2*math.Log(ratio)) - 1/(float64(ratio*ratio)-1)
}

// Place is where a cable lies.
type Place struct {
	Ambient  float64 // K; above 0, below the melting point
	Pressure float64 // Pa; 0 is taken as [SeaLevel], as ampacity tables take it
	Cables   int     // equal ones, equally loaded, tied together, up to 1000; 0 and 1: one alone
	Sleeve   *Sleeve // nil: in free air
}

// Sleeve is a closed tube around the cables: conduit, convoluted tube, spiral
// with a closed lay, heat-shrink tube.
type Sleeve struct {
	Inside, Outside float64 // m, diameters
	Resistivity     float64 // K·m/W, of the wall; above 0
	Emissivity      float64 // of both faces; above 0, at most 1
}

// mostCables bounds a bundle: far above any that is tied, and above the 41 where
// the published factors end.
const mostCables = 1000

// count is the number of cables.
func (p Place) count() int { return max(1, p.Cables) }

// pressure is the pressure with its default.
func (p Place) pressure() float64 {
	if p.Pressure == 0 {
		return SeaLevel
	}
	return p.Pressure
}

// check tests a place for a cable that is itself in range.
func (p Place) check(c Cable) error {
	switch {
	case !(p.Ambient > 0 && p.Ambient < Melting):
		return bad("the ambient", p.Ambient, "K", "a temperature in kelvin")
	case p.Pressure != 0 && !above(p.Pressure, 0):
		return bad("the pressure", p.Pressure, "Pa", "0 for sea level, or more")
	case p.Cables < 0 || p.Cables > mostCables:
		return bad("the number of cables in a bundle", float64(p.Cables), "", "1 to 1000")
	case p.Sleeve == nil:
		return nil
	}
	return p.Sleeve.check(c, p.count())
}

func (s *Sleeve) check(c Cable, n int) error {
	switch {
	case !(s.Outside >= s.Inside) || math.IsInf(s.Outside, 1):
		return bad("the outside diameter of the sleeve", s.Outside, "m", "at least its inside diameter")
	case !above(s.Resistivity, 0):
		return bad("the thermal resistivity of the sleeve", s.Resistivity, "K·m/W", "more than 0")
	case !(s.Emissivity > 0 && s.Emissivity <= 1):
		return bad("the emissivity of the sleeve", s.Emissivity, "", "more than 0 and at most 1")
	}
	if least := leastSleeve(c.Outside, n); !(s.Inside >= least) {
		return bad("the inside diameter of the sleeve", s.Inside, "m", fmt.Sprintf("at least the %.4g m that %d of these cables need", least, n))
	}
	return nil
}

// leastSleeve is a bound below which n round cables cannot go into a sleeve:
// two side by side, and for more of them the densest packing there is, π/√12
// (Lagrange's lattice, textbook). Really to fit they need more.
func leastSleeve(diameter float64, n int) float64 {
	if n < 3 {
		return float64(n) * diameter
	}
	return math.Max(taut(diameter, n), diameter*math.Sqrt(float64(n)*math.Sqrt(12)/math.Pi))
}
