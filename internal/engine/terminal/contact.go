package terminal

import "math"

// Properties of copper at a contact.
const (
	// CopperResistivity is Ω·m at 20 °C, 100 % IACS: IEC 60028 (1925), from memory.
	CopperResistivity = 1.724e-8
	// CopperHardness is the indentation hardness of half-hard copper, Pa: R. Holm,
	// Electric Contacts (1967), from memory; soft copper has half of it.
	CopperHardness = 1.0e9
	// Lorenz is the Wiedemann–Franz constant, V²/K²: textbook (2.44e-8 by theory,
	// 2.45e-8 customary for contacts), from memory.
	Lorenz = 2.45e-8
	// SofteningVoltage and MeltingVoltage are where copper softens and melts at the
	// spots of a contact, V across it: Holm, from memory.
	SofteningVoltage = 0.12
	MeltingVoltage   = 0.43
)

// Spot gives the resistance, Ω, of one round contact spot under a force, N,
// between like metals of a resistivity, Ω·m, and a hardness, Pa:
// (ρ/2)·√(πH/F). The spot yields until it bears the force, and current that
// narrows into it meets ρ/2a. It is +Inf without force, and NaN for a negative
// one.
//
// Several spots and the film on them pull in opposite directions: real joints
// are read from 1.7 to 7 µΩ (reported readings of good bars), the order of this
// formula. It is good for ratios, such as what a lost preload does.
//
// Reference: R. Holm, Electric Contacts (1967), from memory.
func Spot(resistivity, hardness, force float64) float64 {
	return resistivity / 2 * math.Sqrt(math.Pi*hardness/force)
}

// SpotRadius gives the radius of that spot, m: √(F/(πH)).
func SpotRadius(hardness, force float64) float64 {
	return math.Sqrt(force / (math.Pi * hardness))
}

// SpotTemperature gives the temperature, K, of the hottest point inside a
// contact that has a voltage across it and metal at a body temperature, K,
// around it: V² = 4L(T² − T₀²). The size of the spots does not matter.
//
// Reference: Holm, the ψ–θ relation with the Wiedemann–Franz law, from memory.
func SpotTemperature(voltage, body float64) float64 {
	return math.Sqrt(float64(body*body) + voltage*voltage/(4*Lorenz))
}

// SpotVoltage gives the voltage, V, that heats a contact's hottest point to a
// temperature, K: the inverse of [SpotTemperature]. It is NaN below the body's.
func SpotVoltage(temperature, body float64) float64 {
	return math.Sqrt(4 * Lorenz * (temperature - body) * (temperature + body))
}

// State is how a contact fares.
type State string

// The states.
const (
	Sound    State = "below softening"
	Softens  State = "softens"
	Melts    State = "melts"
	NotKnown State = "not known"
)

// Contact is one contact at a current.
type Contact struct {
	Voltage float64 // V across it
	Heat    float64 // W
	Hottest float64 // K inside the spots
	State   State   // by voltage
}

// Across gives a contact of a resistance, Ω, at a current, A, in metal at a
// body temperature, K. Anything NaN gives NaN and [NotKnown].
func Across(current, resistance, body float64) Contact {
	c := Contact{Voltage: math.Abs(current) * resistance, State: NotKnown}
	c.Heat = c.Voltage * math.Abs(current)
	c.Hottest = SpotTemperature(c.Voltage, body)
	switch {
	case c.Voltage >= MeltingVoltage:
		c.State = Melts
	case c.Voltage >= SofteningVoltage:
		c.State = Softens
	case c.Voltage >= 0:
		c.State = Sound
	}
	return c
}
