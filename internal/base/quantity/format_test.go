package quantity

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

func TestFormat(t *testing.T) {
	for _, row := range []struct {
		kind   Kind
		si     float64
		digits int
		want   string
	}{
		{KindCurrent, 31.2, 3, "31.2 A"}, {KindCurrent, 0.05, 2, "0.050 A"}, {KindCurrent, 9999, 4, "9999 A"}, {KindCurrent, 9999.6, 4, "10.00 kA"},
		{KindCurrent, 10e3, 3, "10.0 kA"}, {KindCurrent, -31.25, 3, "-31.2 A"}, {KindCurrent, 1234, 2, "1200 A"}, {KindCurrent, 1e-12, 3, "1.00e-12 A"}, {KindCurrent, 1e-6, 2, "0.0000010 A"},
		{KindVoltage, 0.0261, 3, "26.1 mV"}, {KindVoltage, 0.99996, 4, "1.000 V"}, {KindVoltage, 0.99996, 5, "999.96 mV"}, {KindVoltage, -0.99996, 4, "-1.000 V"},
		{KindVoltage, 12.8, 4, "12.80 V"}, {KindVoltage, 1e-5, 2, "0.010 mV"}, {KindVoltage, 9.9e-6, 2, "9.9 µV"}, {KindVoltage, 9.996e-6, 3, "0.0100 mV"}, {KindVoltage, 12000, 3, "12.0 kV"},
		{KindResistance, 0.00035, 2, "0.35 mΩ"}, {KindResistance, 1e-5, 1, "0.01 mΩ"}, {KindResistance, 9.99e-6, 3, "9.99 µΩ"}, {KindResistance, 9.999e-6, 3, "0.0100 mΩ"},
		{KindResistance, 0.9994, 3, "999 mΩ"}, {KindResistance, 0.9996, 3, "1.00 Ω"}, {KindResistance, 47e3, 2, "47 kΩ"}, {KindResistance, 2.2e6, 2, "2.2 MΩ"},
		{KindLength, 0.355, 3, "355 mm"}, {KindLength, 1.25, 3, "1.25 m"}, {KindLength, 5e-6, 1, "5 µm"},
		{KindArea, 70e-6, 2, "70 mm²"}, {KindArea, 1000e-6, 4, "1000 mm²"}, {KindArea, 0.5, 2, "0.50 m²"},
		{KindTemperature, 298.15, 3, "25.0 °C"}, {KindTemperature, 273.15, 3, "0 °C"}, {KindTemperature, 273.15 + 6e-14, 3, "0 °C"}, {KindTemperature, 0, 5, "-273.15 °C"}, {KindTemperature, 1e300, 2, "1.0e300 °C"},
		{KindCharge, 540000, 3, "150 Ah"}, {KindCharge, 36, 2, "0.010 Ah"},
		{KindEnergy, 1800 * 3600, 3, "1.80 kWh"}, {KindEnergy, 3600, 2, "1.0 Wh"}, {KindEnergy, 359, 3, "359 J"},
		{KindPower, 1800, 3, "1.80 kW"}, {KindPower, 999.6, 3, "1.00 kW"}, {KindPower, 12, 2, "12 W"}, {KindPower, 0.25, 2, "250 mW"},
		{KindDuration, 0.02, 1, "20 ms"}, {KindDuration, 119, 3, "119 s"}, {KindDuration, 120, 2, "2.0 min"}, {KindDuration, 10800, 1, "3 h"}, {KindDuration, 3 * 86400, 2, "3.0 d"},
		{KindMass, 15.42, 3, "15.4 kg"}, {KindMass, 0.028, 2, "28 g"}, {KindTorque, 12, 2, "12 N·m"}, {KindRatio, 0.9, 2, "90 %"}, {KindRatio, 1, 2, "100 %"},
		{KindCapacitance, 2200e-6, 2, "2.2 mF"}, {KindCapacitance, 165, 3, "165 F"}, {KindCapacitance, 4.7e-6, 2, "4.7 µF"},
		{KindAngle, math.Pi / 4, 4, "45.00 °"}, {KindExposure, 5.4e6, 2, "1.5 kWh/m²"}, {KindExposure, 180e3, 2, "50 Wh/m²"}, {KindFlow, 0.02, 2, "72 m³/h"}, {KindForce, 941.4, 3, "941 N"}, {KindForce, 12345, 3, "12.3 kN"}, {KindPressure, 4.5e6, 2, "4.5 MPa"}, {KindPressure, 3210, 3, "3.21 kPa"}, {KindPressure, 12, 2, "12 Pa"}, {KindResistancePerLength, 0.2557e-3, 4, "0.2557 mΩ/m"}, {KindResistancePerLength, 2, 1, "2 Ω/m"}, {KindResistancePerLength, 5e-6, 2, "5.0 µΩ/m"},
		{KindCurrent, 31.2, 0, "30 A"}, {KindCurrent, 31.2, -5, "30 A"}, {KindCurrent, 0.5, 99, "0.50000000000000000 A"},
		{KindCurrent, math.NaN(), 3, "–"}, {KindTemperature, math.NaN(), 3, "–"}, {KindCurrent, math.Inf(1), 3, "∞"}, {KindCurrent, math.Inf(-1), 3, "-∞"},
		{KindCurrent, 1e300, 2, "1.0e297 kA"}, {KindCurrent, 1e300, 1, "1e297 kA"}, {KindResistance, 1e-300, 1, "1e-294 µΩ"}, {KindResistance, math.MaxFloat64, 2, "1.8e302 MΩ"},
	} {
		t.Run(row.want, func(t *testing.T) {
			if got := formatKind(row.kind, row.si, row.digits); got != row.want {
				t.Errorf("%v %v at %d digits is %q, want %q", row.si, row.kind, row.digits, got, row.want)
			}
		})
	}
}

// Zero has its unit and never a sign, for all kinds and digits.
func TestFormatZero(t *testing.T) {
	want := map[Kind]string{
		KindCurrent: "0 A", KindVoltage: "0 V", KindResistance: "0 mΩ", KindLength: "0 mm", KindArea: "0 mm²", KindTemperature: "-273.15 °C",
		KindCharge: "0 Ah", KindEnergy: "0 Wh", KindPower: "0 W", KindDuration: "0 s", KindMass: "0 kg", KindTorque: "0 N·m", KindRatio: "0 %",
		KindCapacitance: "0 F", KindResistancePerLength: "0 mΩ/m",
		KindJouleIntegral: "0 A²s", KindAngle: "0 °", KindExposure: "0 kWh/m²", KindFlow: "0 m³/h",
		KindForce: "0 N", KindPressure: "0 MPa",
	}
	for _, k := range every {
		for _, v := range []float64{0, math.Copysign(0, -1)} {
			if got := formatKind(k, v, 5); got != want[k] {
				t.Errorf("%v %v is %q, want %q", k, v, got, want[k])
			}
		}
	}
}

// What is printed reads back within half a unit of its last digit, and has the
// digits that were asked for.
func TestFormatReadsBack(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 5))
	for _, k := range every {
		for range 800 {
			v, digits := randomSI(random, k), 1+random.IntN(15)
			text := formatKind(k, v, digits)
			back, err := ParseKind(k, text)
			if err != nil {
				t.Fatal(err)
			}
			// Half a unit in the last of n digits is at most 5·10^-n of the value, for
			// temperatures of that above the scale's zero; the rest is for the division.
			size := math.Abs(v)
			if k == KindTemperature {
				size = math.Abs(v-273.15) + 2e-9*math.Pow10(digits)
			}
			if limit := size*5*math.Pow10(-digits) + 4e-16*math.Abs(v); !(math.Abs(back-v) <= limit) {
				t.Fatalf("%v at %d digits is %q, off by %g, limit %g", v, digits, text, back-v, limit)
			}
			checkDigits(t, text, digits)
		}
	}
}

// checkDigits counts significant digits; trailing zeros of a whole number
// count only as far as they were asked for.
func checkDigits(t *testing.T, text string, digits int) {
	t.Helper()
	number, _, _ := strings.Cut(text, " ")
	mantissa, _, _ := strings.Cut(strings.TrimPrefix(number, "-"), "e")
	all := strings.TrimLeft(strings.Replace(mantissa, ".", "", 1), "0")
	if number == "-0" || len(all) < digits && number != "0" {
		t.Errorf("%q has not %d digits", text, digits)
	}
	if extra := all[min(digits, len(all)):]; strings.Trim(extra, "0") != "" || extra != "" && strings.Contains(number, ".") {
		t.Errorf("%q has more than %d digits", text, digits)
	}
}

// Across every change of prefix the printed number never falls back: a value
// just under a boundary rounds up into the next unit, at any digits.
func TestFormatIsMonotone(t *testing.T) {
	for _, k := range every {
		for digits := 1; digits <= 6; digits++ {
			for _, s := range steps[k] {
				edge := s.from * s.unit.float
				last := math.Inf(-1)
				for i := -100; i <= 100; i++ {
					v := edge * (1 + float64(i)*3e-5)
					if k == KindTemperature {
						v = 273.15 + float64(i)*1e-3
					}
					back, err := ParseKind(k, formatKind(k, v, digits))
					if err != nil || back < last {
						t.Fatalf("%v at %d digits is %q, after %v: %v", v, digits, formatKind(k, v, digits), last, err)
					}
					last = back
				}
			}
		}
	}
}

// The digits of a prefixed unit are those of the value itself, as the standard
// library rounds them.
func TestFormatDigitsAreExact(t *testing.T) {
	random := rand.New(rand.NewPCG(6, 6))
	for range 5000 {
		v, digits := randomSI(random, KindResistance), 1+random.IntN(17)
		number, unit, _ := strings.Cut(formatKind(KindResistance, v, digits), " ")
		text := fmt.Sprintf("%se%d", number, lookup(unit).shift)
		if mantissa, exponent, ok := strings.Cut(number, "e"); ok {
			own, _ := strconv.Atoi(exponent)
			text = fmt.Sprintf("%se%d", mantissa, own+lookup(unit).shift)
		}
		got, _ := strconv.ParseFloat(text, 64)
		want, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'e', digits-1, 64), 64)
		if got != want {
			t.Fatalf("%v at %d digits is %s %s", v, digits, number, unit)
		}
	}
}

func TestFormatIn(t *testing.T) {
	for _, row := range []struct {
		kind   Kind
		si     float64
		unit   string
		digits int
		want   string
	}{
		{KindResistance, 0.00035, "mohm", 0, "0.35 mohm"}, {KindResistance, 0.00035, "mΩ", 4, "0.3500 mΩ"}, {KindLength, 0.3937, "in", 0, "15.5 in"},
		{KindLength, 0.3937, "\"", 0, "15.5 \""}, {KindTemperature, 266.48333333333335, "°F", 0, "20 °F"}, {KindTemperature, 273.15, "degC", 0, "0 degC"},
		{KindCharge, 540000, "Ah", 0, "150 Ah"}, {KindMass, 15.42214058, "lb", 0, "34 lb"}, {KindCurrent, 1.0 / 3, "A", 0, "0.3333333333333333 A"},
		{KindCurrent, 5, "A", 99, "5.0000000000000000 A"}, {KindLength, 0, "ft", 0, "0 ft"}, {KindLength, math.Copysign(0, -1), "ft", 3, "0 ft"},
	} {
		t.Run(row.want, func(t *testing.T) {
			if got, err := formatIn(row.kind, row.si, row.unit, row.digits); err != nil || got != row.want {
				t.Errorf("got %q, %v, want %q", got, err, row.want)
			}
		})
	}
	for _, row := range []struct {
		si   float64
		unit string
		want string
	}{
		{1, "V", "V is no unit of a length; units that fit: mm"}, {1, "furlong", "furlong is no unit of a length"}, {1, "", "is no unit of a length"},
		{math.NaN(), "m", "a finite number is needed"}, {math.Inf(-1), "m", "a finite number is needed"},
	} {
		if got, err := FormatIn(Length(row.si), row.unit, 3); err == nil || got != "" || !strings.Contains(err.Error(), row.want) {
			t.Errorf("%v in %q is %q, %v", row.si, row.unit, got, err)
		}
	}
}

func ExampleFormat() {
	fmt.Println(Format(Current(31.2), 3), Format(Resistance(0.00035), 2), Format(Power(1800), 3))
	// Output: 31.2 A 0.35 mΩ 1.80 kW
}

func BenchmarkParse(b *testing.B) {
	for b.Loop() {
		if _, err := Parse[Length]("1 ft 3 1/2 in"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFormat(b *testing.B) {
	for b.Loop() {
		if Format(Resistance(0.00035), 3) == "" {
			b.Fatal("nothing printed")
		}
	}
}
