package quantity

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

// Conversions as printed elsewhere. tol is relative; 0 where the source gives
// the factor as exact.
func TestPublishedConversions(t *testing.T) {
	for _, row := range []struct {
		kind Kind
		text string
		want float64
		tol  float64
	}{
		// NIST SP 811 (2008), appendix B, seen in a reprint of seven digits.
		{KindLength, "1 in", 0.0254, 0},
		{KindLength, "1 ft", 0.3048, 0},
		{KindMass, "1 lb", 0.45359237, 0},
		{KindTorque, "1 lbf·in", 0.1129848, 5e-7},
		{KindTorque, "1 lbf·ft", 1.355818, 4e-7},
		{KindTemperature, "32 °F", 273.15, 0},
		{KindTemperature, "212 °F", 373.15, 0},
		// The same appendix, from memory.
		{KindTorque, "1 lbf·in", 0.112984829, 3e-9},
		{KindLength, "1 yd", 0.9144, 0},
		{KindMass, "1 oz", 0.02834952, 2e-7},
		{KindArea, "1 in2", 6.4516e-4, 0},
		{KindEnergy, "1 kWh", 3.6e6, 0},
		{KindEnergy, "1 Wh", 3600, 0},
		{KindFlow, "1 cfm", 4.719474e-4, 2e-7}, // SP 811, appendix B, from memory
		{KindAngle, "180 deg", math.Pi, 2e-16},
		{KindForce, "1 lbf", 4.4482216, 4e-9},   // SP 811, appendix B
		{KindPressure, "1 psi", 6894.757, 5e-8}, // SP 811, appendix B
		{KindPressure, "1 ksi", 6.894757e6, 5e-8},
		{KindCharge, "1 Ah", 3600, 0},
		{KindDuration, "1 d", 86400, 0},
		{KindTemperature, "-459.67 °F", 0, 0},
		{KindTemperature, "-40 °F", 233.15, 0},
		{KindTemperature, "0 °C", 273.15, 0},
		// 1 ohm per 1000 ft is 3.28084 ohm/km: 1/0.3048 to six digits, computed.
		{KindResistancePerLength, "1 ohm/1000 ft", 3.28084e-3, 4e-7},
		// 4/0 AWG solid copper, 0.04901 ohm per 1000 ft and 0.1608 mΩ/m: the gauge
		// rule of ASTM B258 with 100 % IACS, computed; both figures hold four digits.
		{KindResistancePerLength, "0.04901 ohm/kft", 0.1608e-3, 4e-4},
		// 46 CFR 183.340: supports at most 24 in (610 mm) apart; rounded to 10 mm.
		{KindLength, "24 in", 0.610, 9e-4},
		// Bolt torque table for grade 2, 1/4-20: 5.4 lbf·ft printed beside 65 lbf·in;
		// two digits.
		{KindTorque, "65 lbf·in", 5.4 * 1.355818, 4e-3},
	} {
		t.Run(row.text, func(t *testing.T) {
			got, err := ParseKind(row.kind, row.text)
			if err != nil || !(math.Abs(got-row.want) <= row.tol*row.want) {
				t.Errorf("%s is %v, %v, want %v within %g", row.text, got, err, row.want, row.tol)
			}
		})
	}
}

// Every spelling a person may use, written out by hand rather than taken from
// the table, with one of the unit in SI.
func TestSpellings(t *testing.T) {
	for _, row := range []struct {
		kind  Kind
		want  float64
		units string // between bars
	}{
		{KindCurrent, 1, "A"}, {KindCurrent, 1e-3, "mA"}, {KindCurrent, 1e3, "kA"}, {KindCurrent, 1e-6, "µA|μA|uA"},
		{KindVoltage, 1, "V"}, {KindVoltage, 1e-3, "mV"}, {KindVoltage, 1e3, "kV"}, {KindVoltage, 1e-6, "µV|μV|uV"},
		{KindResistance, 1, "Ω|\u03a9|\u2126|ohm"}, {KindResistance, 1e-3, "m\u03a9|m\u2126|mohm"},
		{KindResistance, 1e-6, "µ\u03a9|μ\u2126|uohm|µohm|u\u2126"}, {KindResistance, 1e3, "kΩ|kohm"}, {KindResistance, 1e6, "MΩ|Mohm"},
		{KindLength, 1, "m"}, {KindLength, 1e-2, "cm"}, {KindLength, 1e-3, "mm"}, {KindLength, 1e-6, "µm|μm|um"},
		{KindLength, 0.0254, "in|″|\"|”"}, {KindLength, 0.3048, "ft|′|'|’"}, {KindLength, 0.9144, "yd"},
		{KindArea, 1, "m2|m²|m^2"}, {KindArea, 1e-4, "cm2|cm²|cm^2"}, {KindArea, 1e-6, "mm2|mm²|mm^2"}, {KindArea, 0.00064516, "in2|in²|in^2"},
		{KindTemperature, 274.15, "°C|degC|℃|ºC|deg C|° C"}, {KindTemperature, 460.67 * 5 / 9, "°F|degF|℉|ºF|deg F"}, {KindTemperature, 1, "K|\u212a"},
		{KindCharge, 3600, "Ah|A·h|A.h"}, {KindCharge, 3.6, "mAh|mA·h"},
		{KindEnergy, 3600, "Wh|W·h"}, {KindEnergy, 3.6e6, "kWh|kW·h"}, {KindEnergy, 1, "J"}, {KindEnergy, 1e3, "kJ"}, {KindEnergy, 1e6, "MJ"},
		{KindPower, 1, "W"}, {KindPower, 1e3, "kW"}, {KindPower, 1e-3, "mW"},
		{KindDuration, 1, "s"}, {KindDuration, 1e-3, "ms"}, {KindDuration, 60, "min"}, {KindDuration, 3600, "h"}, {KindDuration, 86400, "d"},
		{KindMass, 1, "kg"}, {KindMass, 1e-3, "g"}, {KindMass, 0.45359237, "lb"}, {KindMass, 0.45359237 / 16, "oz"},
		{KindTorque, 1, "N·m|N⋅m|N.m|N*m|Nm|N m|N-m|N\u00a0m|N  m"},
		{KindTorque, 0.1129848290276167, "lbf·in|lbf in|lbf-in|lbf.in|in·lbf|in-lbf|in lbf|in-lb|in·lb|in lb|lb-in|lb·in|lb in"},
		{KindTorque, 1.3558179483314004, "lbf·ft|lbf ft|lbf-ft|lbf*ft|ft·lbf|ft-lbf|ft lbf|ft-lb|ft·lb|ft lb|lb-ft|lb·ft|lb ft"},
		{KindRatio, 0.01, "%"},
		{KindCapacitance, 1, "F"}, {KindCapacitance, 1e-3, "mF"}, {KindCapacitance, 1e-6, "µF|μF|uF"},
		{KindAngle, math.Pi / 180, "°|deg|º"}, {KindExposure, 3.6e6, "kWh/m2|kWh/m²|kWh/m^2"}, {KindExposure, 3600, "Wh/m2"}, {KindExposure, 1e6, "MJ/m2"},
		{KindFlow, 1.0 / 3600, "m3/h|m³/h|m^3/h"}, {KindFlow, 1e-3, "L/s|l/s"}, {KindFlow, 0.028316846592 / 60, "cfm"},
		{KindForce, 1, "N"}, {KindForce, 1e3, "kN"}, {KindForce, 4.4482216152605, "lbf"}, {KindPressure, 1, "Pa"}, {KindPressure, 1e3, "kPa"}, {KindPressure, 1e6, "MPa"},
		{KindPressure, 4.4482216152605 / 0.00064516, "psi"}, {KindPressure, 4448.2216152605 / 0.00064516, "ksi"},
		{KindResistancePerLength, 1, "Ω/m|ohm/m|\u2126/m"}, {KindResistancePerLength, 1e-3, "mΩ/m|mohm/m|m\u2126/m|Ω/km|ohm/km"},
		{KindResistancePerLength, 1e-6, "µΩ/m|uohm/m"}, {KindResistancePerLength, 1 / 304.8, "ohm/1000 ft|Ω/1000 ft|ohm/1000ft|ohm/kft|Ω/kft"},
	} {
		for _, u := range strings.Split(row.units, "|") {
			for _, space := range []string{" ", "", "\u00a0", "\u202f", "  "} {
				got, err := ParseKind(row.kind, "1"+space+u)
				// 1e-16 relative: the factors written here are rounded themselves.
				if err != nil || !(math.Abs(got-row.want) <= 1.2e-16*row.want) {
					t.Errorf("1%s%s is %v, %v, want %v", space, u, got, err, row.want)
				}
			}
		}
	}
}

// Case is part of a unit: these are near a unit and must not be taken for it.
func TestCaseMatters(t *testing.T) {
	for _, row := range []struct {
		kind Kind
		text string
	}{
		{KindPower, "5 mw"}, {KindPower, "5 MW"}, {KindPower, "5 KW"}, {KindCurrent, "5 a"}, {KindCurrent, "5 MA"},
		{KindVoltage, "5 v"}, {KindVoltage, "5 MV"}, {KindLength, "5 M"}, {KindLength, "5 MM"}, {KindLength, "5 IN"},
		{KindCharge, "5 ah"}, {KindCharge, "5 AH"}, {KindEnergy, "5 mJ"}, {KindTemperature, "5 k"}, {KindDuration, "5 S"},
		{KindDuration, "5 H"}, {KindMass, "5 Kg"}, {KindTorque, "5 nm"}, {KindResistance, "5 Ohm"}, {KindResistancePerLength, "5 MΩ/m"},
	} {
		if v, err := ParseKind(row.kind, row.text); err == nil {
			t.Errorf("%s was read as %v", row.text, v)
		}
	}
}

// A prefix only moves the decimal point, so the result must be the float64 that
// the number with its exponent is, to the last bit.
func TestPrefixesRoundOnce(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	for _, u := range units {
		if !u.decimal || u.zero != "" {
			continue
		}
		for range 200 {
			// 1 to 9 digits: what people write, where a product of floats is often one
			// bit off.
			number := strconv.FormatFloat(random.Float64()*100, 'g', 1+random.IntN(9), 64)
			number = strings.Replace(number, "e+", "e", 1)
			mantissa, exponent, _ := strings.Cut(number, "e")
			shift, _ := strconv.Atoi(exponent)
			want, _ := strconv.ParseFloat(mantissa+"e"+strconv.Itoa(shift+u.shift), 64)
			if got, err := ParseKind(u.kind, number+" "+u.symbol); err != nil || got != want {
				t.Fatalf("%s %s is %v, %v, want %v", number, u.symbol, got, err, want)
			}
		}
	}
}

// randomSI draws a value of kind k over the range that float64 keeps well,
// evenly over its logarithm; temperatures over what a bank may meet and more,
// down to where 17 digits in °C stop telling neighbours apart.
func randomSI(random *rand.Rand, k Kind) float64 {
	if k == KindTemperature {
		return 64 + 936*random.Float64()
	}
	v := math.Pow(10, 24*random.Float64()-12)
	if random.IntN(2) == 0 {
		return -v
	}
	return v
}

// 17 digits identify a float64, and both ways are exact but for one rounding:
// so the value itself must come back, in every spelling of every unit.
func TestPrintedAndReadBackIsTheSame(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 2))
	for _, s := range spellings {
		k := s.unit.kind
		for i := range 60 {
			v := randomSI(random, k)
			digits := 17 * (i % 2) // every other time the fewest that do
			text, err := formatIn(k, v, s.text, digits)
			if err != nil {
				t.Fatal(err)
			}
			if back, err := ParseKind(k, text); err != nil || back != v {
				t.Fatalf("%v printed in %s as %q reads as %v, %v", v, s.text, text, back, err)
			}
		}
	}
}

// The fewest digits also do where 17 significant ones do not: near 0 K the
// Celsius figure has three digits before the point that say nothing.
func TestColdReadsBack(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 8))
	values := []float64{0, 2e-4, 1e6, 1e300, 273.15, math.Nextafter(273.15, 0), math.Nextafter(273.15, 300)}
	for range 200 {
		values = append(values, math.Pow(10, 5.7*random.Float64()-3.7))
	}
	for _, v := range values {
		for _, unit := range []string{"°C", "degF", "K"} {
			text, err := formatIn(KindTemperature, v, unit, 0)
			if back, err2 := ParseKind(KindTemperature, text); err != nil || err2 != nil || back != v {
				t.Fatalf("%v K in %s is %q, %v, which reads as %v, %v", v, unit, text, err, back, err2)
			}
		}
	}
}

// The ends of float64 itself.
func TestReadBackAtTheEnds(t *testing.T) {
	for _, v := range []float64{math.MaxFloat64, -math.MaxFloat64, math.SmallestNonzeroFloat64, 0x1p-1022, 1 + 0x1p-52, 0} {
		for _, unit := range []string{"m", "µm", "in", "yd"} {
			text, err := formatIn(KindLength, v, unit, 17)
			if err != nil {
				t.Fatal(err)
			}
			if back, err := ParseKind(KindLength, text); err != nil || back != v {
				t.Errorf("%v as %q reads as %v, %v", v, text, back, err)
			}
		}
	}
}

// The table refuses to load with a row that would be read wrong.
func TestBadTablePanics(t *testing.T) {
	for name, load := range map[string]func(){
		"no number":      func() { prepare([]unit{{symbol: "x", scale: "1,5"}}) },
		"no denominator": func() { prepare([]unit{{symbol: "x", scale: "5/"}}) },
		"two meanings":   func() { spell([]*unit{{symbol: "x"}, {symbol: "y", also: []string{"x"}}}) },
	} {
		t.Run(name, func(t *testing.T) {
			defer func() {
				if recover() == nil {
					t.Error("the table loaded")
				}
			}()
			load()
		})
	}
}
