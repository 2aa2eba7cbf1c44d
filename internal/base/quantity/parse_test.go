package quantity

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// Exact results: each is the float64 of the decimal written at want.
func TestParseNumbers(t *testing.T) {
	for _, row := range []struct {
		text string
		want Voltage
	}{
		{"0 V", 0}, {"-0 V", 0}, {"4 V", 4}, {"-4 V", -4}, {"\u22124 V", -4}, {"12.8 V", 12.8}, {"0.5 V", 0.5},
		{"26.1 mV", 0.0261}, {"1e3 V", 1000}, {"1E3 V", 1000}, {"1.5e-3 V", 0.0015}, {"1e\u22123 V", 0.001}, {"1e+3 V", 1000},
		{"1e-05 V", 1e-5}, {"1e00 V", 1}, {"0e5 V", 0}, {"1.50 V", 1.5}, {"100 V", 100}, {"  7 V ", 7}, {"\t7\u2009V", 7},
		{"0.1000000000000000055511151231257827 V", 0.1}, {"9007199254740993 V", 9007199254740992}, // tie to even
		{"1.7976931348623157e308 V", math.MaxFloat64}, {"5e-324 V", math.SmallestNonzeroFloat64},
	} {
		t.Run(row.text, func(t *testing.T) {
			got, err := Parse[Voltage](row.text)
			if err != nil || got != row.want || math.Signbit(float64(got)) != (row.want < 0) {
				t.Errorf("got %v, %v, want %v", float64(got), err, float64(row.want))
			}
		})
	}
}

// Lengths in sixty-fourths of an inch, so that the expected value is exact.
func TestParseInches(t *testing.T) {
	for _, row := range []struct {
		text string
		want int // sixty-fourths
	}{
		{"14 in", 896}, {"1 3/8 in", 88}, {"3/4 in", 48}, {"1/64 in", 1}, {"15 1/2 in", 992}, {"5½ in", 352}, {"5 ½ in", 352}, {"½ in", 32},
		{"⅛ in", 8}, {"⅜ in", 24}, {"⅝ in", 40}, {"⅞ in", 56}, {"¼ in", 16}, {"¾ in", 48}, {"3\u20444 in", 48},
		{"1 ft 3 1/2 in", 992}, {"1ft3 1/2in", 992}, {"1 ft 3½ in", 992}, {"1 ft 3.5 in", 992}, {"5' 3 1/2\"", 4064}, {"5'3 1/2\"", 4064},
		{"5′ 3½″", 4064}, {"5’ 3½”", 4064}, {"1 ft ½ in", 800}, {"1 ft 1/2 in", 800}, {"0 ft 0 in", 0}, {"2 ft 14 in", 2432},
		{"-1 ft 3 1/2 in", -992}, {"\u2212 in", -1 << 30}, {"-3/4 in", -48}, {"-1 3/8 in", -88}, {"1/2 ft", 384}, {"1 1/2 ft", 1152}, {"-8 in", -512}, {"1/2 yd", 1152},
		{"⅓ ft", 256}, {"⅔ ft", 512},
	} {
		t.Run(row.text, func(t *testing.T) {
			got, err := Parse[Length](row.text)
			if row.want == -1<<30 { // a sign alone is no number
				if err == nil {
					t.Errorf("got %v", float64(got))
				}
				return
			}
			// 25.4 mm to the inch exactly; 64 inches of it are 16256 tenths of a mm.
			want := Length(float64(row.want) * 254 / 640000)
			if err != nil || got != want {
				t.Errorf("got %v, %v, want %v", float64(got), err, float64(want))
			}
		})
	}
}

// The unicode fractions are one shared table: reading must leave it as it is.
func TestFractionsStayWhatTheyAre(t *testing.T) {
	for range 3 {
		if got, err := Parse[Length]("-½ in"); err != nil || got != -0.0127 {
			t.Fatalf("-½ in is %v, %v", float64(got), err)
		}
	}
}

func TestParseArg(t *testing.T) {
	current, err1 := ParseArg[Current]("200A")
	span, err2 := ParseArg[Duration]("10min")
	metres, err3 := ParseArg[Length]("3m")
	hot, err4 := ParseArg[Temperature]("40degC")
	if current != 200 || span != 600 || metres != 3 || hot != 313.15 || err1 != nil || err2 != nil || err3 != nil || err4 != nil {
		t.Errorf("got %v %v %v %v, %v %v %v %v", current, span, metres, hot, err1, err2, err3, err4)
	}
	if _, err := ParseArg[Length]("3"); err == nil {
		t.Error("a bare number was read on the command line")
	}
}

// What each refusal must say to be of use.
func TestRefused(t *testing.T) {
	for _, row := range []struct {
		kind Kind
		text string
		want string
	}{
		{KindLength, "70", "70: a bare number where a length is due; write a unit: mm, cm, m, in, ft"},
		{KindLength, "0", "a bare number"},
		{KindRatio, "0.9", "a bare number where a ratio is due; write a unit: %"},
		{KindResistance, "4 V", "4 V is a voltage, not a resistance; units that fit: mΩ, Ω"},
		{KindDuration, "10 m", "10 m is a length, not a duration; units that fit: s, ms, min, h, d"},
		{KindVoltage, "1 ft 3 in", "1 ft 3 in is a length, not a voltage"},
		{KindTemperature, "20 F", "write °F or degF"},
		{KindTemperature, "20 C", "C alone could mean several units; units that fit: °C"},
		{KindCharge, "20 C", "units that fit: Ah"},
		{KindLength, "2/0 AWG", "2/0 AWG is a conductor size, not a length"},
		{KindArea, "awg 2", "is a conductor size, not an area"},
		{KindLength, "2,5 m", "write 2.5"},
		{KindLength, "1,000 mm", "write 1000, or 1.000"},
		{KindLength, "1, m", "a comma after the number"},
		{KindLength, "1.000,5 m", "no marks between thousands"},
		{KindLength, "1 000 mm", "a space inside the number"},
		{KindLength, "1_000 mm", "a mark between digits"},
		{KindLength, "010 mm", "leave the leading zeros out"},
		{KindLength, "00 mm", "leave the leading zeros out"},
		{KindLength, "01/2 in", "leave the leading zeros out"},
		{KindLength, "1 01/2 in", "leave the leading zeros out"},
		{KindLength, "0x10 mm", "hexadecimal"},
		{KindLength, "NaN mm", "no number at the start"},
		{KindLength, "Inf mm", "no number at the start"},
		{KindLength, "-inf mm", "no number at the start"},
		{KindLength, "mm", "no number at the start"},
		{KindLength, "--5 mm", "no number at the start"},
		{KindLength, "+5 mm", "a plus sign"},
		{KindLength, ".5 mm", "write a 0 before it"},
		{KindLength, "5. mm", "a point with no digit after it"},
		{KindLength, "５ mm", "type plain digits"},
		{KindLength, "1５ mm", "type plain digits"},
		{KindLength, "٣ mm", "type plain digits"},
		{KindLength, "", "empty where a length is due"},
		{KindLength, " \t ", "empty where a length is due"},
		{KindLength, strings.Repeat("1", 63) + " m", "65 bytes where a length is due; write at most 64"},
		{KindLength, "\xff mm", "not valid UTF-8"},
		{KindVoltage, "1e308 kV", "too large"},
		{KindVoltage, "1e1000 V", "an exponent beyond 999"},
		{KindVoltage, "1e-400 V", "too small"},
		{KindVoltage, "1e V", "unknown unit"},
		{KindTemperature, "-300 °C", "-300 °C is below absolute zero"},
		{KindTemperature, "-0.001 K", "below absolute zero"},
		{KindTemperature, "-459.68 °F", "below absolute zero"},
		{KindVoltage, "1/2 V", "a fraction, which only lengths have"},
		{KindVoltage, "1½ V", "a fraction, which only lengths have"},
		{KindLength, "1/0 in", "a fraction over 0"},
		{KindLength, "1/02 in", "begins with 0"},
		{KindLength, "51/2 in", "not less than one"},
		{KindLength, "1 8/8 in", "not less than one"},
		{KindLength, "1.5 3/8 in", "cannot be read after the number"},
		{KindLength, "1 ft 51/2 in", "not less than one"},
		{KindLength, "1 ft -3 in", "a sign before the inches"},
		{KindLength, "5'-3\"", "a sign before the inches"},
		{KindLength, "1.5 ft 3 in", "feet that are not whole"},
		{KindLength, "1/2 ft 3 in", "feet that are not whole"},
		{KindLength, "1 ft 3 V", "something other than inches"},
		{KindLength, "1 ft 3", "something other than inches"},
		{KindLength, "1 ft 3 ft", "something other than inches"},
		{KindLength, "3 in 1 ft", "cannot be read after the number"},
		{KindDuration, "1 h 30 min", "h 30 min cannot be read after the number; write one number and one unit"},
		{KindLength, "5 mm\n", `unknown unit mm\n, perhaps mm`},
		{KindLength, "5 \u202em", `unknown unit \u202em`},
	} {
		t.Run(row.text, func(t *testing.T) {
			v, err := ParseKind(row.kind, row.text)
			if err == nil {
				t.Fatalf("read as %v", v)
			}
			if v != 0 || !strings.Contains(err.Error(), row.want) {
				t.Errorf("got %v and %q, want %q", v, err, row.want)
			}
		})
	}
}

// Just at the limits.
func TestLimits(t *testing.T) {
	long := "0." + strings.Repeat("3", maxText-len("0. m")) + " m"
	if v, err := Parse[Length](long); err != nil || len(long) != maxText || math.Abs(float64(v)-1.0/3) > 1e-16 {
		t.Errorf("%d bytes give %v, %v", len(long), float64(v), err)
	}
	if v, err := Parse[Temperature]("-273.15 °C"); err != nil || v != 0 {
		t.Errorf("absolute zero is %v, %v", float64(v), err)
	}
	if v, err := Parse[Voltage]("0.0001e309 V"); err != nil || v != 1e305 {
		t.Errorf("got %v, %v", float64(v), err)
	}
}

func TestHints(t *testing.T) {
	for _, row := range []struct {
		kind Kind
		unit string
		want string
	}{
		{KindLength, "inches", "in"}, {KindLength, "Feet", "ft"}, {KindLength, "MM", "mm"}, {KindLength, "mn", "mm"}, {KindLength, "''", "in"},
		{KindResistance, "mOhm", "mohm"}, {KindResistance, "ohms", "ohm"}, {KindPower, "mw", "mW"}, {KindPower, "KW", "kW"}, {KindPower, "MW", "mW"},
		{KindCharge, "amp hours", "Ah"}, {KindCharge, "AH", "Ah"}, {KindCurrent, "Amps", "A"}, {KindCurrent, "a", "A"}, {KindMass, "lbs", "lb"},
		{KindTemperature, "degc", "degC"}, {KindArea, "sqmm", "mm2"}, {KindArea, "mm^^2", "mm2"}, {KindRatio, "percent", "%"},
		{KindTorque, "nm", "Nm"}, {KindDuration, "hrs", "h"}, {KindResistancePerLength, "ohm/Kft", "ohm/kft"},
		// Nothing like it, or a word for a unit of another kind: no hint.
		{KindLength, "furlong", ""}, {KindLength, "x", ""}, {KindLength, "volts", ""}, {KindPower, "hp", ""}, {KindRatio, "ppm", ""},
	} {
		t.Run(row.unit, func(t *testing.T) {
			if got := nearest(row.kind, row.unit); got != row.want {
				t.Errorf("for %v the nearest to %s is %q, want %q", row.kind, row.unit, got, row.want)
			}
			_, err := ParseKind(row.kind, "5 "+row.unit)
			if err == nil || strings.Contains(err.Error(), "perhaps") != (row.want != "") {
				t.Errorf("error is %v", err)
			}
		})
	}
}

// Each word answered with a symbol must be answered with one that is read.
func TestWordsNameUnits(t *testing.T) {
	for word, symbol := range words {
		if lookup(symbol) == nil || lookup(word) != nil || strings.ToLower(word) != word {
			t.Errorf("%q is answered with %q", word, symbol)
		}
	}
}

// slips is a distance: nil only for equals, the same both ways, and never more
// than going by a third word.
func TestSlipsIsADistance(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 3))
	word := func() []rune {
		w := make([]rune, random.IntN(5))
		for i := range w {
			w[i] = []rune("aAbmΩ")[random.IntN(5)]
		}
		return w
	}
	for range 5000 {
		a, b, c := word(), word(), word()
		ab := slips(a, b)
		if ab != slips(b, a) || (ab == 0) != (string(a) == string(b)) || ab > slips(a, c)+slips(c, b) {
			t.Fatalf("from %q to %q: %d, back %d, by %q %d", string(a), string(b), ab, slips(b, a), string(c), slips(a, c)+slips(c, b))
		}
	}
}

// checkError holds the promises every error makes.
func checkError(t *testing.T, text string, err error) {
	t.Helper()
	message := err.Error()
	if message == "" || len(message) >= 300 || strings.ContainsFunc(message, func(r rune) bool { return r < ' ' || r == 0x7f }) {
		t.Errorf("%q gives an error of %d bytes: %q", text, len(message), message)
	}
}

func FuzzParse(f *testing.F) {
	for _, text := range []string{
		"4 mΩ", "0.35 mohm", "1 ft 3 1/2 in", "5' 3½″", "-8 in", "20 °F", "150 Ah", "12 N·m", "90 %", "ohm/1000 ft", "0.05 ohm/1000 ft",
		"70", "4 V", "2,5 mm", "1,000 mm", "010 m", "1e309 V", "1e-9999999999 V", "0x1p5 m", "NaN", "５ m", "2/0 AWG", "3/0 in", "5 inches", "-300 degC", "", "\xff", "1 ft -3 in",
		strings.Repeat("\xff", 64), strings.Repeat("\U0010ffff", 16), "5 " + strings.Repeat("\u202e", 20),
	} {
		for _, k := range []Kind{KindLength, KindTemperature, KindResistancePerLength} {
			f.Add(int(k), text)
		}
	}
	f.Fuzz(func(t *testing.T, kind int, text string) {
		k := Kind(kind)
		v, err := ParseKind(k, text)
		if err != nil {
			checkError(t, text, err)
			return
		}
		if math.IsNaN(v) || math.IsInf(v, 0) || v == 0 && math.Signbit(v) || len(text) > maxText {
			t.Fatalf("%q is %v", text, v)
		}
		if again, err := ParseKind(k, strings.TrimSpace(text)); err != nil || again != v {
			t.Errorf("%q is %v, without outer spaces %v, %v", text, v, again, err)
		}
		if k != KindTemperature || v == 0 || v >= 2e-4 { // closer to absolute zero FormatIn promises nothing
			checkReadBack(t, k, v)
		}
	})
}

// checkReadBack holds that a value that was read can be printed and read again.
func checkReadBack(t *testing.T, k Kind, v float64) {
	t.Helper()
	unit := k.Units()[0]
	text, err := formatIn(k, v, unit, 0)
	if err != nil {
		t.Fatal(err)
	}
	if back, err := ParseKind(k, text); err != nil || back != v {
		t.Errorf("%v in %s is %q, which reads as %v, %v", v, unit, text, back, err)
	}
}

func ExampleParse() {
	length, _ := Parse[Length]("1 ft 3 1/2 in")
	fmt.Println(Show{}.Both(length))
	_, err := Parse[Resistance]("4 V")
	fmt.Println(err)
	// Output:
	// 394 mm (15 1/2 in)
	// 4 V is a voltage, not a resistance; units that fit: mΩ, Ω, µΩ, mohm, ohm, uohm
}
