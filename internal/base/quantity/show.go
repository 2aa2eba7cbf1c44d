package quantity

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Show is how numbers are printed for one reader. The zero value is the SI
// habit: mm and m, mm², °C. A word that [Show.Check] refuses prints as if it
// were empty.
type Show struct {
	Length      string // "", "mm", "cm", "m", "in" or "ft"
	Wire        string // "", "mm2" or "AWG": which trade sizes to offer; a size itself always prints as it is
	Temperature string // "", "°C", "°F" or "K", also "degC" and "degF"
}

// Check gives an error where a field holds a word that is not known, saying
// which do. The field's name in the error is that of the job file.
func (s Show) Check() error {
	for _, f := range []struct {
		name, word string
		known      []string
	}{
		{"length", s.Length, []string{"mm", "cm", "m", "in", "ft"}},
		{"wire", s.Wire, []string{"mm2", "AWG"}},
		{"temperature", s.Temperature, []string{"°C", "°F", "K", "degC", "degF"}},
	} {
		if f.word != "" && !slices.Contains(f.known, f.word) {
			return fmt.Errorf("%s: %s is not known; write one of %s", f.name, show(f.word), strings.Join(f.known, ", "))
		}
	}
	return nil
}

// FormatLength prints a length for this reader. Inches are to the nearest 1/16
// as a fraction, "15 1/2 in", and with "ft" in feet too, "1 ft 3 1/2 in". The
// SI habit and "mm" print whole mm, one decimal below 10 mm, and metres to the
// cm from 10 m on; "cm" prints tenths and "m" mm, both to the cm from 10 m on.
// NaN is "–", an infinity "∞"; zero has no sign; beyond a million kilometres
// it is [Format] with four digits.
func (s Show) FormatLength(l Length) string {
	const far = 1e9
	x := float64(l)
	if text, ok := formatSpecial(x); ok {
		return text
	}
	if math.Abs(x) >= far {
		return Format(l, 4)
	}
	switch s.Length {
	case "in":
		return FormatFraction(l) + " in"
	case "ft":
		return feetAndInches(sixteenths(x))
	case "m":
		return metres(x, 1, 3, " m")
	case "cm":
		return metres(x, 100, 1, " cm")
	}
	if math.Abs(math.Round(x*1e4)) < 100 { // under 10 mm after rounding to 0.1 mm
		return strings.TrimSuffix(fixed(x*1000, 1), ".0") + " mm"
	}
	return metres(x, 1000, 0, " mm")
}

// metres prints x metres in a unit of which the metre has per, and in metres
// from 10 m on, counted after rounding to the cm so that 9.996 m is "10.00 m".
func metres(x, per float64, decimals int, unit string) string {
	if math.Abs(math.Round(x*100)) >= 1000 {
		return fixed(x, 2) + " m"
	}
	return fixed(x*per, decimals) + unit
}

// fixed prints x with so many decimals, halves away from zero as a fitter
// rounds, and no sign on zero.
func fixed(x float64, decimals int) string {
	scale := math.Pow10(decimals)
	r := math.Round(x*scale) / scale
	if r == 0 {
		r = 0 // drops the sign of -0
	}
	return strconv.FormatFloat(r, 'f', decimals, 64)
}

// FormatTemperature prints an absolute temperature in this reader's scale, °C
// where none is named, to one decimal, or two in K; a decimal zero is left
// out: "25 °C", "-6.7 °C", "298.15 K". NaN is "–", an infinity "∞".
func (s Show) FormatTemperature(t Temperature) string {
	if text, ok := formatSpecial(float64(t)); ok {
		return text
	}
	u, decimals := lookup("°C"), 1
	switch s.Temperature {
	case "°F", "degF":
		u = lookup("°F")
	case "K":
		u, decimals = lookup("K"), 2
	}
	x := fromKelvin(u, float64(t))
	if math.Abs(x) >= 1e9 {
		return toDecimal(x, 4).String() + " " + u.symbol
	}
	return strings.TrimRight(strings.TrimRight(fixed(x, decimals), "0"), ".") + " " + u.symbol
}

// Both prints a length in both systems, the reader's own first:
// "15 1/2 in (394 mm)" or "394 mm (15 1/2 in)". NaN is "–" once.
func (s Show) Both(l Length) string {
	if text, ok := formatSpecial(float64(l)); ok {
		return text
	}
	other := Show{Length: "in"}
	if s.Length == "in" || s.Length == "ft" {
		other = Show{}
	}
	return s.FormatLength(l) + " (" + other.FormatLength(l) + ")"
}

// FormatFraction prints a length in inches to the nearest 1/16 in lowest
// terms, halves away from zero, without the unit: "19 3/4", "-1/2", "16",
// "0". NaN is "–", an infinity "∞"; beyond a million kilometres it is a number
// with an exponent.
func FormatFraction(l Length) string {
	x := float64(l)
	if text, ok := formatSpecial(x); ok {
		return text
	}
	if math.Abs(x) >= 1e9 {
		return toDecimal(x/inch.float, 4).String()
	}
	n := sixteenths(x)
	return minus(n) + mixed(abs(n))
}

// sixteenths counts sixteenths of an inch, for lengths that an int64 counts.
func sixteenths(x float64) int64 { return int64(math.Round(x / inch.float * 16)) }

// feetAndInches prints n sixteenths of an inch. The sign is for the whole.
func feetAndInches(n int64) string {
	const foot = 12 * 16
	feet, rest := abs(n)/foot, abs(n)%foot
	switch {
	case feet == 0:
		return minus(n) + mixed(rest) + " in"
	case rest == 0:
		return fmt.Sprintf("%s%d ft", minus(n), feet)
	}
	return fmt.Sprintf("%s%d ft %s in", minus(n), feet, mixed(rest))
}

// mixed prints n sixteenths, n >= 0, as whole and fraction in lowest terms.
func mixed(n int64) string {
	whole, over, under := n/16, n%16, int64(16)
	for over != 0 && over%2 == 0 {
		over, under = over/2, under/2
	}
	switch {
	case over == 0:
		return strconv.FormatInt(whole, 10)
	case whole == 0:
		return fmt.Sprintf("%d/%d", over, under)
	}
	return fmt.Sprintf("%d %d/%d", whole, over, under)
}

func abs(n int64) int64 { return max(n, -n) }

func minus(n int64) string {
	if n < 0 {
		return "-"
	}
	return ""
}
