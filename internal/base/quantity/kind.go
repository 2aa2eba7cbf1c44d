package quantity

import (
	"fmt"
	"slices"
	"strings"
)

// The quantities. Each is a float64 in the SI unit named; the zero value is
// zero of that unit. Reading never gives NaN or an infinity; sums may.
type (
	// Current is in amperes.
	Current float64
	// Voltage is in volts.
	Voltage float64
	// Resistance is in ohms.
	Resistance float64
	// Length is in metres.
	Length float64
	// Area is in square metres.
	Area float64
	// Temperature is absolute, in kelvins; a difference is not a Temperature.
	Temperature float64
	// Charge is in coulombs; people write ampere hours.
	Charge float64
	// Energy is in joules; people write watt hours.
	Energy float64
	// Power is in watts.
	Power float64
	// Duration is in seconds.
	Duration float64
	// Mass is in kilograms.
	Mass float64
	// Torque is in newton metres.
	Torque float64
	// Ratio has unit one: "90 %" is 0.9.
	Ratio float64
	// Capacitance is in farads.
	Capacitance float64
	// JouleIntegral is the time integral of the squared current, A²s.
	JouleIntegral float64
	// ResistancePerLength is in ohms per metre.
	ResistancePerLength float64
	// Angle is in radians.
	Angle float64
	// Exposure is energy over an area, J/m²: a day's sun on a square metre.
	Exposure float64
	// Flow is a volume of air in a time, m³/s.
	Flow float64
	// Force is in newtons.
	Force float64
	// Pressure is in pascals; strengths are pressures too.
	Pressure float64
)

// Quantity is any of the types above: a float64 in SI units that knows its
// kind.
type Quantity interface {
	~float64
	Kind() Kind
}

// Kind says which physical quantity a number is. The zero Kind is none.
type Kind int

// The kinds, one for each quantity type.
const (
	KindCurrent Kind = iota + 1
	KindVoltage
	KindResistance
	KindLength
	KindArea
	KindTemperature
	KindCharge
	KindEnergy
	KindPower
	KindDuration
	KindMass
	KindTorque
	KindRatio
	KindCapacitance
	KindResistancePerLength
	KindJouleIntegral
	KindAngle
	KindExposure
	KindFlow
	KindForce
	KindPressure
)

// Kind is KindCurrent.
func (Current) Kind() Kind { return KindCurrent }

// Kind is KindVoltage.
func (Voltage) Kind() Kind { return KindVoltage }

// Kind is KindResistance.
func (Resistance) Kind() Kind { return KindResistance }

// Kind is KindLength.
func (Length) Kind() Kind { return KindLength }

// Kind is KindArea.
func (Area) Kind() Kind { return KindArea }

// Kind is KindTemperature.
func (Temperature) Kind() Kind { return KindTemperature }

// Kind is KindCharge.
func (Charge) Kind() Kind { return KindCharge }

// Kind is KindEnergy.
func (Energy) Kind() Kind { return KindEnergy }

// Kind is KindPower.
func (Power) Kind() Kind { return KindPower }

// Kind is KindDuration.
func (Duration) Kind() Kind { return KindDuration }

// Kind is KindMass.
func (Mass) Kind() Kind { return KindMass }

// Kind is KindTorque.
func (Torque) Kind() Kind { return KindTorque }

// Kind is KindRatio.
func (Ratio) Kind() Kind { return KindRatio }

// Kind is KindCapacitance.
func (Capacitance) Kind() Kind { return KindCapacitance }

// Kind is KindJouleIntegral.
func (JouleIntegral) Kind() Kind { return KindJouleIntegral }

// Kind is KindResistancePerLength.
func (ResistancePerLength) Kind() Kind { return KindResistancePerLength }

// Kind is KindAngle.
func (Angle) Kind() Kind { return KindAngle }

// Kind is KindExposure.
func (Exposure) Kind() Kind { return KindExposure }

// Kind is KindFlow.
func (Flow) Kind() Kind { return KindFlow }

// Kind is KindForce.
func (Force) Kind() Kind { return KindForce }

// Kind is KindPressure.
func (Pressure) Kind() Kind { return KindPressure }

// kinds is indexed by Kind. The first spelling offered is also the unit in
// which a zero is printed.
var kinds = [...]struct {
	name  string
	offer []string
}{
	KindCurrent:             {"current", []string{"A", "mA", "kA"}},
	KindVoltage:             {"voltage", []string{"V", "mV", "kV"}},
	KindResistance:          {"resistance", []string{"mΩ", "Ω", "µΩ", "mohm", "ohm", "uohm"}},
	KindLength:              {"length", []string{"mm", "cm", "m", "in", "ft"}},
	KindArea:                {"area", []string{"mm2", "cm2", "m2", "in2"}},
	KindTemperature:         {"temperature", []string{"°C", "°F", "K", "degC", "degF"}},
	KindCharge:              {"charge", []string{"Ah", "mAh"}},
	KindEnergy:              {"energy", []string{"Wh", "kWh", "J", "kJ", "MJ"}},
	KindPower:               {"power", []string{"W", "kW", "mW"}},
	KindDuration:            {"duration", []string{"s", "ms", "min", "h", "d"}},
	KindMass:                {"mass", []string{"kg", "g", "lb", "oz"}},
	KindTorque:              {"torque", []string{"N·m", "Nm", "lbf·in", "lbf·ft", "lbf-in", "lbf-ft"}},
	KindRatio:               {"ratio", []string{"%"}},
	KindCapacitance:         {"capacitance", []string{"F", "mF", "µF", "uF"}},
	KindJouleIntegral:       {"Joule integral", []string{"A2s", "kA2s"}},
	KindResistancePerLength: {"resistance per length", []string{"mΩ/m", "Ω/km", "mohm/m", "ohm/km", "ohm/1000 ft"}},
	KindAngle:               {"angle", []string{"°", "deg"}},
	KindExposure:            {"energy over an area", []string{"kWh/m2", "Wh/m2", "MJ/m2"}},
	KindFlow:                {"flow of air", []string{"m3/h", "L/s", "cfm"}},
	KindForce:               {"force", []string{"N", "kN", "lbf"}},
	KindPressure:            {"pressure", []string{"MPa", "kPa", "psi", "ksi"}},
}

// known reports whether k is one of the constants.
func (k Kind) known() bool { return k > 0 && int(k) < len(kinds) }

// String gives the kind in words, such as "resistance per length"; for a Kind
// that is none of the constants, "Kind(99)".
func (k Kind) String() string {
	if !k.known() {
		return fmt.Sprintf("Kind(%d)", int(k))
	}
	return kinds[k].name
}

// Units gives the spellings to offer a person who must write a quantity of
// this kind, most usual first; nil for a Kind that is none of the constants.
// Every one of them is read by [ParseKind]. The slice is the caller's own.
func (k Kind) Units() []string {
	if !k.known() {
		return nil
	}
	return slices.Clone(kinds[k].offer)
}

// article is the kind with "a" or "an" before it, as sentences need it.
func (k Kind) article() string {
	if strings.ContainsRune("ae", rune(k.String()[0])) {
		return "an " + k.String()
	}
	return "a " + k.String()
}

// offered is the offer as a list for a sentence.
func (k Kind) offered() string { return strings.Join(k.Units(), ", ") }
