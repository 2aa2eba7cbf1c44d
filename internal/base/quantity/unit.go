package quantity

import (
	"math/big"
	"strings"
)

// unit is one row of the unit table. A value x in the unit is (x + zero)·scale
// in SI, exactly.
type unit struct {
	symbol string   // as printed
	kind   Kind     // what it measures
	scale  string   // SI per unit: a decimal or a fraction
	zero   string   // added before scaling; temperatures only
	also   []string // further spellings, in folded form (see fold)

	rat, off *big.Rat // scale and zero, exact
	float    float64  // scale, rounded once
	shift    int      // scale is 10^shift, where decimal
	decimal  bool     // scale is a power of ten
}

// Exact factors. The metre, kilogram and second units are exact by definition.
// From NIST SP 811 (2008), appendix B: inch 0.0254 m, foot 0.3048 m, pound
// 0.45359237 kg, g_n 9.80665 m/s², t/°F = 1.8 t/°C + 32 (seen in a reprint);
// yard 0.9144 m, ounce 1/16 lb, in² 0.0254² m² follow from these. A pound-force
// is 0.45359237 × 9.80665 = 4.4482216152605 N; the lbf·in and lbf·ft are that
// times 0.0254 and 0.3048, and a psi is that over a square inch. Zero of the Celsius scale 273.15 K: SP 811, B.9. A
// degree of angle is π/180 to more digits than a float64 has; a cubic foot is
// 0.3048³ m³.
var units = prepare([]unit{
	{symbol: "A", kind: KindCurrent, scale: "1"},
	{symbol: "mA", kind: KindCurrent, scale: "1e-3"},
	{symbol: "kA", kind: KindCurrent, scale: "1e3"},
	{symbol: "µA", kind: KindCurrent, scale: "1e-6"},

	{symbol: "V", kind: KindVoltage, scale: "1"},
	{symbol: "mV", kind: KindVoltage, scale: "1e-3"},
	{symbol: "kV", kind: KindVoltage, scale: "1e3"},
	{symbol: "µV", kind: KindVoltage, scale: "1e-6"},

	{symbol: "Ω", kind: KindResistance, scale: "1"},
	{symbol: "mΩ", kind: KindResistance, scale: "1e-3"},
	{symbol: "µΩ", kind: KindResistance, scale: "1e-6"},
	{symbol: "kΩ", kind: KindResistance, scale: "1e3"},
	{symbol: "MΩ", kind: KindResistance, scale: "1e6"},

	{symbol: "mm", kind: KindLength, scale: "1e-3"},
	{symbol: "cm", kind: KindLength, scale: "1e-2"},
	{symbol: "m", kind: KindLength, scale: "1"},
	{symbol: "µm", kind: KindLength, scale: "1e-6"},
	{symbol: "in", kind: KindLength, scale: "0.0254", also: []string{`"`}},
	{symbol: "ft", kind: KindLength, scale: "0.3048", also: []string{"'"}},
	{symbol: "yd", kind: KindLength, scale: "0.9144"},

	{symbol: "mm²", kind: KindArea, scale: "1e-6"},
	{symbol: "cm²", kind: KindArea, scale: "1e-4"},
	{symbol: "m²", kind: KindArea, scale: "1"},
	{symbol: "in²", kind: KindArea, scale: "0.00064516"},

	{symbol: "°C", kind: KindTemperature, scale: "1", zero: "273.15", also: []string{"deg C"}},
	{symbol: "°F", kind: KindTemperature, scale: "5/9", zero: "459.67", also: []string{"deg F"}},
	{symbol: "K", kind: KindTemperature, scale: "1"},

	{symbol: "Ah", kind: KindCharge, scale: "3600", also: []string{"A.h"}},
	{symbol: "mAh", kind: KindCharge, scale: "3.6", also: []string{"mA.h"}},

	{symbol: "Wh", kind: KindEnergy, scale: "3600", also: []string{"W.h"}},
	{symbol: "kWh", kind: KindEnergy, scale: "3600000", also: []string{"kW.h"}},
	{symbol: "J", kind: KindEnergy, scale: "1"},
	{symbol: "kJ", kind: KindEnergy, scale: "1e3"},
	{symbol: "MJ", kind: KindEnergy, scale: "1e6"},

	{symbol: "W", kind: KindPower, scale: "1"},
	{symbol: "kW", kind: KindPower, scale: "1e3"},
	{symbol: "mW", kind: KindPower, scale: "1e-3"},

	{symbol: "s", kind: KindDuration, scale: "1"},
	{symbol: "ms", kind: KindDuration, scale: "1e-3"},
	{symbol: "min", kind: KindDuration, scale: "60"},
	{symbol: "h", kind: KindDuration, scale: "3600"},
	{symbol: "d", kind: KindDuration, scale: "86400"},

	{symbol: "kg", kind: KindMass, scale: "1"},
	{symbol: "g", kind: KindMass, scale: "1e-3"},
	{symbol: "lb", kind: KindMass, scale: "0.45359237"},
	{symbol: "oz", kind: KindMass, scale: "0.028349523125"},

	{symbol: "N·m", kind: KindTorque, scale: "1", also: []string{"Nm", "N m", "N-m"}},
	{symbol: "lbf·in", kind: KindTorque, scale: "0.1129848290276167", also: products("in")},
	{symbol: "lbf·ft", kind: KindTorque, scale: "1.3558179483314004", also: products("ft")},

	{symbol: "%", kind: KindRatio, scale: "1e-2"},

	{symbol: "F", kind: KindCapacitance, scale: "1"},
	{symbol: "mF", kind: KindCapacitance, scale: "1e-3"},
	{symbol: "µF", kind: KindCapacitance, scale: "1e-6"},

	{symbol: "A²s", kind: KindJouleIntegral, scale: "1"},
	{symbol: "kA²s", kind: KindJouleIntegral, scale: "1e3"},

	{symbol: "Ω/m", kind: KindResistancePerLength, scale: "1"},
	{symbol: "mΩ/m", kind: KindResistancePerLength, scale: "1e-3"},
	{symbol: "µΩ/m", kind: KindResistancePerLength, scale: "1e-6"},
	{symbol: "Ω/km", kind: KindResistancePerLength, scale: "1e-3"},
	{symbol: "°", kind: KindAngle, scale: "0.0174532925199432957692369076849"},

	{symbol: "kWh/m²", kind: KindExposure, scale: "3600000"},
	{symbol: "Wh/m²", kind: KindExposure, scale: "3600"},
	{symbol: "MJ/m²", kind: KindExposure, scale: "1e6"},

	{symbol: "m³/h", kind: KindFlow, scale: "1/3600"},
	{symbol: "L/s", kind: KindFlow, scale: "1e-3", also: []string{"l/s"}},
	{symbol: "cfm", kind: KindFlow, scale: "0.028316846592/60"},

	{symbol: "N", kind: KindForce, scale: "1"},
	{symbol: "kN", kind: KindForce, scale: "1e3"},
	{symbol: "lbf", kind: KindForce, scale: "4.4482216152605"},

	{symbol: "Pa", kind: KindPressure, scale: "1"},
	{symbol: "kPa", kind: KindPressure, scale: "1e3"},
	{symbol: "MPa", kind: KindPressure, scale: "1e6"},
	{symbol: "psi", kind: KindPressure, scale: "4.4482216152605/0.00064516"},
	{symbol: "ksi", kind: KindPressure, scale: "4448.2216152605/0.00064516"},

	{symbol: "Ω/1000 ft", kind: KindResistancePerLength, scale: "1/304.8", also: []string{"ohm/1000ft", "ohm/kft"}},
})

// products spells pound-force times a length as gauges and torque wrenches
// print it: either factor first, "lb" as well as "lbf". With a length beside
// it a pound can only be a force, so no meaning is guessed.
func products(length string) []string {
	var all []string
	for _, force := range []string{"lbf", "lb"} {
		for _, times := range []string{".", " ", "-"} {
			all = append(all, force+times+length, length+times+force)
		}
	}
	return all
}

// prepare works the scales out. A row that cannot be read is our own bug and
// panics when the package loads.
func prepare(rows []unit) []*unit {
	table := make([]*unit, len(rows))
	for i := range rows {
		u := &rows[i]
		u.rat, u.off = exact(u.scale), new(big.Rat)
		if u.zero != "" {
			u.off = exact(u.zero)
		}
		u.float, _ = u.rat.Float64()
		u.shift, u.decimal = powerOfTen(u.rat)
		table[i] = u
	}
	return table
}

// exact reads a decimal, or a decimal over a decimal.
func exact(s string) *big.Rat {
	over, under, isFraction := strings.Cut(s, "/")
	r, ok := new(big.Rat).SetString(over)
	if ok && isFraction {
		var d *big.Rat
		if d, ok = new(big.Rat).SetString(under); ok {
			r.Quo(r, d)
		}
	}
	if !ok {
		panic("quantity: unit table: " + s + " is no number")
	}
	return r
}

// powerOfTen gives n where r = 10^n, for the prefixes in use.
func powerOfTen(r *big.Rat) (n int, ok bool) {
	for n := -6; n <= 6; n++ {
		power := big.NewRat(1, 1)
		for range max(n, -n) {
			power.Mul(power, big.NewRat(10, 1))
		}
		if n < 0 {
			power.Inv(power)
		}
		if power.Cmp(r) == 0 {
			return n, true
		}
	}
	return 0, false
}

// spelling is one way to write a unit, folded.
type spelling struct {
	text string
	unit *unit
}

// spellings lists every one in table order, so that a search for the nearest
// always finds the same; byText finds one at once.
var spellings, byText = spell(units)

func spell(table []*unit) ([]spelling, map[string]*unit) {
	var list []spelling
	index := make(map[string]*unit)
	for _, u := range table {
		for _, text := range append([]string{fold(u.symbol)}, u.also...) {
			if other := index[text]; other == u {
				continue
			} else if other != nil {
				panic("quantity: unit table: " + text + " means two units")
			}
			list = append(list, spelling{text, u})
			index[text] = u
		}
	}
	return list, index
}

// folder turns printed signs, and those that keyboards and telephones put in
// their place, into the ASCII spelling.
var folder = strings.NewReplacer(
	"\u03a9", "ohm", "\u2126", "ohm", // Greek capital omega, ohm sign
	"\u00b5", "u", "\u03bc", "u", // micro sign, Greek small mu
	"²", "2", "^2", "2", "³", "3", "^3", "3",
	"°", "deg", "º", "deg", "℃", "degC", "℉", "degF", "\u212a", "K", // the last is the kelvin sign
	"′", "'", "’", "'", "″", `"`, "”", `"`,
	"·", ".", "⋅", ".", "*", ".",
	"\t", " ", "\u00a0", " ", "\u2009", " ", "\u202f", " ", // no-break and thin spaces
)

// fold gives a unit's text in ASCII with single spaces, the form in which
// units are compared. Case is kept: mΩ and MΩ are nine powers of ten apart.
func fold(s string) string {
	s = folder.Replace(s)
	for strings.Contains(s, "  ") {
		s = strings.ReplaceAll(s, "  ", " ")
	}
	return strings.Trim(s, " ")
}

// lookup finds a unit by any of its spellings, nil where there is none.
func lookup(text string) *unit { return byText[fold(text)] }
