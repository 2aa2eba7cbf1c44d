package quantity

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

const inchMetres = 0.0254 // exact; NIST SP 811 (2008), appendix B

func TestFormatFraction(t *testing.T) {
	for _, row := range []struct {
		inches float64
		want   string
	}{
		{19.75, "19 3/4"}, {15.99, "16"}, {0, "0"}, {math.Copysign(0, -1), "0"}, {0.5, "1/2"}, {-0.5, "-1/2"}, {-19.75, "-19 3/4"}, {1.0 / 16, "1/16"},
		{15.0 / 16, "15/16"}, {0.02, "0"}, {-0.02, "0"}, {0.04, "1/16"}, {0.96, "15/16"}, {0.97, "1"}, {-0.97, "-1"}, {1.375, "1 3/8"}, {100, "100"}, {15.97, "16"}, {15.96, "15 15/16"},
	} {
		if got := FormatFraction(Length(row.inches * inchMetres)); got != row.want {
			t.Errorf("%v in is %q, want %q", row.inches, got, row.want)
		}
	}
	for _, row := range []struct {
		metres float64
		want   string
	}{{math.NaN(), "–"}, {math.Inf(1), "∞"}, {math.Inf(-1), "-∞"}, {1e300, "3.937e301"}, {-25.4e9, "-1.000e12"}} {
		if got := FormatFraction(Length(row.metres)); got != row.want {
			t.Errorf("%v m is %q, want %q", row.metres, got, row.want)
		}
	}
}

// Every sixteenth over a stretch, and what lies nearly half a sixteenth off it,
// prints as that sixteenth and reads back as it.
func TestFractionsReadBack(t *testing.T) {
	for n := -2000; n <= 2000; n++ {
		want := Length(float64(n) * 254 / 160000)
		for _, off := range []float64{0, 0.49, -0.49} {
			l := want + Length(off/16*inchMetres)
			for _, text := range []string{FormatFraction(l) + " in", Show{Length: "in"}.FormatLength(l), Show{Length: "ft"}.FormatLength(l)} {
				if back, err := Parse[Length](text); err != nil || back != want {
					t.Fatalf("%d/16 in and %v more is %q, which reads as %v, %v", n, off, text, float64(back), err)
				}
			}
		}
	}
}

func TestFormatLength(t *testing.T) {
	for _, row := range []struct {
		show   string
		metres float64
		want   string
	}{
		{"", 0.355, "355 mm"}, {"mm", 0.3937, "394 mm"}, {"", 0.0125, "13 mm"}, {"", 0.0064, "6.4 mm"}, {"", 0.006, "6 mm"}, {"", 0.00996, "10 mm"}, {"", 0.00994, "9.9 mm"},
		{"", -0.00996, "-10 mm"}, {"", -0.2032, "-203 mm"}, {"", 0, "0 mm"}, {"", -1e-6, "0 mm"}, {"", 9.994, "9994 mm"}, {"", 9.996, "10.00 m"}, {"", 10, "10.00 m"}, {"", 12.3456, "12.35 m"}, {"", -12.3456, "-12.35 m"},
		{"cm", 0.355, "35.5 cm"}, {"cm", 12, "12.00 m"}, {"m", 0.355, "0.355 m"}, {"m", 9.9949, "9.995 m"}, {"m", 12, "12.00 m"}, {"m", -0.0001, "0.000 m"},
		{"in", 0.3937, "15 1/2 in"}, {"in", 1.8288, "72 in"}, {"in", 0, "0 in"}, {"in", -0.2032, "-8 in"},
		{"ft", 0.3937, "1 ft 3 1/2 in"}, {"ft", 0.6096, "2 ft"}, {"ft", 0.0889, "3 1/2 in"}, {"ft", 0, "0 in"}, {"ft", 0.3040, "11 15/16 in"}, {"ft", 0.3047, "1 ft"},
		{"ft", -0.3937, "-1 ft 3 1/2 in"}, {"ft", -0.6096, "-2 ft"}, {"ft", -0.0889, "-3 1/2 in"}, {"ft", 0.3048 + 0.0127, "1 ft 1/2 in"},
		{"furlong", 0.355, "355 mm"}, {"in", math.NaN(), "–"}, {"", math.NaN(), "–"}, {"ft", math.Inf(1), "∞"}, {"", math.Inf(-1), "-∞"}, {"ft", 1e300, "1.000e300 m"}, {"", 1e9, "1000000000 m"},
		// 46 CFR 183.340 prints 24 in (610 mm).
		{"", 0.6096, "610 mm"},
	} {
		t.Run(row.show+" "+row.want, func(t *testing.T) {
			if got := (Show{Length: row.show}).FormatLength(Length(row.metres)); got != row.want {
				t.Errorf("%v m is %q, want %q", row.metres, got, row.want)
			}
		})
	}
}

// What any reader sees, another may type: it reads back within half of the
// last place shown.
func TestLengthsReadBack(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 7))
	for _, row := range []struct {
		show string
		half float64 // metres, below 10 m
	}{{"", 0.0005}, {"mm", 0.0005}, {"cm", 0.0005}, {"m", 0.0005}, {"in", inchMetres / 32}, {"ft", inchMetres / 32}} {
		show := Show{Length: row.show}
		for range 3000 {
			l := Length(math.Pow(10, 6*random.Float64()-4) * float64(1-2*random.IntN(2))) // 0.1 mm to 100 m
			half := row.half
			if math.Abs(float64(l)) >= 9.995 {
				half = max(half, 0.005)
			}
			text := show.FormatLength(l)
			back, err := Parse[Length](text)
			// 1e-12 for the rounding of the sums here.
			if err != nil || !(math.Abs(float64(back-l)) <= half+1e-12) || strings.HasPrefix(text, "-0 ") {
				t.Fatalf("%v m is %q, which reads as %v, %v", float64(l), text, float64(back), err)
			}
		}
	}
}

func TestFormatTemperature(t *testing.T) {
	for _, row := range []struct {
		show, text, want string
	}{
		{"", "25 °C", "25 °C"}, {"°C", "20 °F", "-6.7 °C"}, {"degC", "0 °C", "0 °C"}, {"°F", "20 °F", "20 °F"}, {"degF", "25 °C", "77 °F"}, {"°F", "-40 °C", "-40 °F"},
		{"°F", "0 K", "-459.7 °F"}, {"K", "25 °C", "298.15 K"}, {"K", "300 K", "300 K"}, {"K", "0 K", "0 K"}, {"", "-0.04 °C", "0 °C"}, {"", "100 °C", "100 °C"},
		{"", "99.96 °C", "100 °C"}, {"wrong", "25 °C", "25 °C"}, {"K", "1e12 K", "1.000e12 K"},
		// A locker unit that shut off at 131 °F: 55 °C by the formula of SP 811.
		{"", "131 °F", "55 °C"},
	} {
		t.Run(row.show+" "+row.text, func(t *testing.T) {
			v, err := Parse[Temperature](row.text)
			if got := (Show{Temperature: row.show}).FormatTemperature(v); err != nil || got != row.want {
				t.Errorf("got %q, %v, want %q", got, err, row.want)
			}
		})
	}
	if got := (Show{}).FormatTemperature(Temperature(math.NaN())); got != "–" {
		t.Errorf("NaN is %q", got)
	}
	if got := (Show{}).FormatTemperature(Temperature(math.Inf(1))); got != "∞" {
		t.Errorf("infinity is %q", got)
	}
}

// The scales meet in whole degrees from -100 to 500 without a stray decimal.
func TestWholeDegreesStayWhole(t *testing.T) {
	for _, unit := range []string{"°C", "°F", "K"} {
		for n := -100; n <= 500; n++ {
			text := fmt.Sprintf("%d %s", n, unit)
			v, err := Parse[Temperature](text)
			if unit == "K" && n < 0 {
				if err == nil {
					t.Errorf("%s was read", text)
				}
				continue
			}
			if got := (Show{Temperature: unit}).FormatTemperature(v); err != nil || got != text {
				t.Errorf("%s is %q, %v", text, got, err)
			}
		}
	}
}

func TestBoth(t *testing.T) {
	for _, row := range []struct {
		show   string
		metres float64
		want   string
	}{
		{"in", 0.3937, "15 1/2 in (394 mm)"}, {"ft", 0.3937, "1 ft 3 1/2 in (394 mm)"}, {"", 0.3937, "394 mm (15 1/2 in)"},
		{"m", 0.3937, "0.394 m (15 1/2 in)"}, {"in", math.NaN(), "–"}, {"", math.Inf(1), "∞"}, {"", 0, "0 mm (0 in)"},
	} {
		if got := (Show{Length: row.show}).Both(Length(row.metres)); got != row.want {
			t.Errorf("%v m for %q is %q, want %q", row.metres, row.show, got, row.want)
		}
	}
}

func TestShowCheck(t *testing.T) {
	for _, s := range []Show{{}, {"in", "AWG", "°F"}, {"mm", "mm2", "degC"}, {"ft", "", "K"}} {
		if err := s.Check(); err != nil {
			t.Errorf("%v: %v", s, err)
		}
	}
	for want, s := range map[string]Show{
		"length: inch is not known; write one of mm, cm, m, in, ft":       {Length: "inch"},
		"wire: awg is not known; write one of mm2, AWG":                   {Wire: "awg"},
		"temperature: C is not known; write one of °C, °F, K, degC, degF": {Temperature: "C"},
		"length: \\n is not known; write one of mm, cm, m, in, ft":        {Length: "\n", Wire: "x"},
	} {
		if err := s.Check(); err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}

func ExampleShow() {
	own := Show{Length: "ft", Temperature: "°F"}
	fmt.Println(own.FormatLength(0.3937), own.FormatTemperature(298.15))
	// Output: 1 ft 3 1/2 in 77 °F
}
