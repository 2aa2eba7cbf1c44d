package quantity

import (
	"strings"
	"unicode"
)

// words are everyday ways to write a unit that no small slip explains; they
// are answered with the symbol, not read, so that a file has one spelling.
var words = map[string]string{
	"amp": "A", "amps": "A", "ampere": "A", "amperes": "A",
	"volt": "V", "volts": "V", "millivolt": "mV", "millivolts": "mV",
	"milliohm": "mohm", "milliohms": "mohm", "microohm": "uohm", "microohms": "uohm",
	"inch": "in", "''": "in", "inches": "in", "foot": "ft", "feet": "ft", "yard": "yd", "yards": "yd",
	"meter": "m", "meters": "m", "metre": "m", "metres": "m",
	"millimeter": "mm", "millimeters": "mm", "millimetre": "mm", "millimetres": "mm",
	"centimeter": "cm", "centimeters": "cm", "centimetre": "cm", "centimetres": "cm",
	"sq mm": "mm2", "sqmm": "mm2", "sq cm": "cm2", "sq in": "in2", "sq m": "m2",
	"celsius": "degC", "fahrenheit": "degF", "kelvin": "K",
	"amp hour": "Ah", "amp hours": "Ah", "amp-hours": "Ah", "amphours": "Ah", "ampere hours": "Ah", "a-h": "Ah", "ahr": "Ah",
	"watt": "W", "watts": "W", "kilowatt": "kW", "kilowatts": "kW",
	"watt hours": "Wh", "watt-hours": "Wh", "joule": "J", "joules": "J",
	"sec": "s", "secs": "s", "second": "s", "seconds": "s", "minute": "min", "minutes": "min",
	"hr": "h", "hrs": "h", "hour": "h", "hours": "h", "day": "d", "days": "d",
	"pound": "lb", "pounds": "lb", "ounce": "oz", "ounces": "oz", "kilo": "kg", "kilos": "kg",
	"gram": "g", "grams": "g", "newton metres": "N·m", "newton meters": "N·m",
	"percent": "%", "per cent": "%", "pct": "%", "farad": "F", "farads": "F",
}

// nearest gives the spelling of a unit of kind k that wrong is most likely
// meant for, or "" where none is near. Of equals the first in the unit table.
func nearest(k Kind, wrong string) string {
	wrong = fold(wrong)
	if word := words[strings.ToLower(wrong)]; word != "" && lookup(word).kind == k {
		return word
	}
	a := []rune(wrong)
	// One wrong case is always near. A sign changed, lost or added is near only
	// from two signs on, and two of them from four on, or anything would be.
	best, cost := "", min(len(a), 4)+1
	for _, s := range spellings {
		if s.unit.kind != k {
			continue
		}
		if c := slips(a, []rune(s.text)); c < cost {
			best, cost = s.text, c
		}
	}
	return best
}

// slips is the edit distance from a to b in half steps: 2 for a sign changed,
// lost or added, 1 for the wrong case.
func slips(a, b []rune) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = 2 * j
	}
	for _, ra := range a {
		diagonal := row[0]
		row[0] += 2
		for j, rb := range b {
			c := min(diagonal+change(ra, rb), row[j]+2, row[j+1]+2)
			diagonal, row[j+1] = row[j+1], c
		}
	}
	return row[len(b)]
}

// change is the cost of writing a in the place of b.
func change(a, b rune) int {
	switch {
	case a == b:
		return 0
	case unicode.ToLower(a) == unicode.ToLower(b):
		return 1
	}
	return 2
}
