package sheet

import (
	"math"
	"strconv"
	"strings"
)

// Decimal prints a number with so many decimals, with a true minus sign and
// none on zero. NaN is "–".
func Decimal(x float64, decimals int) string {
	switch {
	case math.IsNaN(x):
		return "–"
	case math.IsInf(x, 0):
		return Signs(strings.Replace(strconv.FormatFloat(x, 'f', 0, 64), "Inf", "∞", 1))
	}
	text := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-")
	}
	return Signs(text)
}

// Signs puts a true minus for a leading hyphen, and leaves out a plus before
// infinity.
func Signs(number string) string {
	number = strings.Replace(number, "+∞", "∞", 1)
	if bare, ok := strings.CutPrefix(number, "-"); ok {
		return "−" + bare
	}
	return number
}

// Over prints how far a ratio lies above nil, in percent with its sign:
// "+5.3 %", "+0.96 %", "−12 %", "0 %". Below a millionth it is nil: no meter
// and no table of ours is as fine. NaN is "–", infinity "∞".
func Over(ratio float64) string {
	const nil0 = 1e-6
	p := 100 * ratio
	decimals := 0
	switch size := math.Abs(p); {
	case math.IsNaN(p) || math.IsInf(p, 0):
		return Decimal(p, 0)
	case size < 100*nil0:
		return "0 %"
	case size < 0.995:
		decimals = min(6, 1-int(math.Floor(math.Log10(size)))) // two digits that count
	case size < 9.95:
		decimals = 1
	}
	text := Decimal(p, decimals) + " %"
	if p > 0 {
		text = "+" + text
	}
	return text
}
