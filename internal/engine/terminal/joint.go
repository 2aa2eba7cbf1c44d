package terminal

import (
	"fmt"
	"math"
)

// CopperConductivity is the thermal conductivity of electrolytic copper, W/(m·K),
// near 50 °C: handbook value, from memory; Lorenz·T/ρ gives 415.
const CopperConductivity = 391

// Side is a conductor that carries heat away from a joint: a cable or a bar. It
// is a fin: what flows along it is lost to the air on its way.
type Side struct {
	Slope        float64 // W/(m·K) that it loses more for each kelvin more, less what its own warming resistance adds; above 0
	Conductivity float64 // W/(m·K), thermal, of the metal; above 0
	Section      float64 // m²; above 0
	Length       float64 // m to where no heat flows along it, such as half way to a like joint; +Inf: long
	Far          float64 // K that it has far from any joint
}

// decay gives how fast an excess temperature dies away along it, 1/m.
func (s Side) decay() float64 { return math.Sqrt(s.Slope / (s.Conductivity * s.Section)) }

// Conductance gives the heat that it takes for each kelvin of the joint above
// Far, W/K: √(slope·k·A)·tanh(mL), with m = √(slope/(k·A)). Slope stands for h·P
// of the textbook fin.
func (s Side) Conductance() float64 {
	return math.Sqrt(s.Slope*s.Conductivity*s.Section) * math.Tanh(s.decay()*s.Length)
}

// At gives its temperature, K, at a distance, m, from a joint of a temperature,
// K; beyond its length that at its end.
func (s Side) At(joint, distance float64) float64 {
	m := s.decay()
	if math.IsInf(s.Length, 1) {
		return s.Far + float64((joint-s.Far)*math.Exp(-m*distance))
	}
	// cosh(m(L − x))/cosh(mL), written so that long sides do not overflow.
	left := math.Max(0, s.Length-distance)
	ratio := math.Exp(-m*(s.Length-left)) * (1 + math.Exp(-2*m*left)) / (1 + math.Exp(-2*m*s.Length))
	return s.Far + float64((joint-s.Far)*ratio)
}

func (s Side) check(i int) error {
	switch {
	case !above(s.Slope, 0):
		return bad(fmt.Sprintf("the loss of side %d", i+1), s.Slope, "W/(m·K)", "more than 0")
	case !above(s.Conductivity, 0) || !above(s.Section, 0):
		return bad(fmt.Sprintf("conductivity times section of side %d", i+1), s.Conductivity*s.Section, "W·m/K", "more than 0 for both")
	case !(s.Length >= 0):
		return bad(fmt.Sprintf("the length of side %d", i+1), s.Length, "m", "0 or more")
	case !above(s.Far, 0):
		return bad(fmt.Sprintf("the temperature of side %d", i+1), s.Far, "K", "a temperature in kelvin")
	}
	return nil
}

// Joint is a joint at rest.
type Joint struct {
	Voltage     float64   // V across it
	Heat        float64   // W made in it
	Temperature float64   // K
	Rise        float64   // K above the hottest side far away
	Into        []float64 // W along each side; negative where a hot side warms the joint
}

// Rest gives a joint of a resistance, Ω, between sides at a current, A. All heat
// leaves along the sides: the joint's own surface, which gives off some, is left
// out, so that this leans to the hot side. The error names what is out of range,
// or says that no side takes heat.
//
// Reference: the fin with insulated tip of heat-transfer textbooks; its loss
// taken as in proportion to the excess temperature.
func Rest(current, resistance float64, sides []Side) (Joint, error) {
	if math.IsNaN(current) || math.IsInf(current, 0) {
		return Joint{}, bad("the current", current, "A", "a number")
	}
	if !(resistance >= 0) || math.IsInf(resistance, 1) {
		return Joint{}, bad("the joint's resistance", resistance, "ohm", "0 or more")
	}
	j := Joint{Voltage: math.Abs(current) * resistance}
	j.Heat = j.Voltage * math.Abs(current)
	sum, flow, hottest := 0.0, j.Heat, math.Inf(-1)
	for i, s := range sides {
		if err := s.check(i); err != nil {
			return Joint{}, err
		}
		g := s.Conductance()
		sum += g
		flow += float64(g * s.Far)
		hottest = math.Max(hottest, s.Far)
	}
	if !(sum > 0) {
		return Joint{}, fmt.Errorf("terminal: no side takes heat from the joint; give at least one cable or bar with a length above 0")
	}
	j.Temperature = flow / sum
	j.Rise = j.Temperature - hottest
	for _, s := range sides {
		j.Into = append(j.Into, s.Conductance()*(j.Temperature-s.Far))
	}
	return j, nil
}
