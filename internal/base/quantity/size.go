package quantity

import (
	"fmt"
	"strconv"
	"strings"
)

// Range of the trade sizes. Gauges: the span in which battery, lighting and
// sensor wire is sold, 4/0 the largest AWG number there is (ASTM B258, from
// memory). Sections: 0.5 to 1000 mm² is the span of IEC 60228 class 5 and 2
// (from memory), down to 0.05 for sense wire (common practice, no source).
const (
	minGauge = -3 // 4/0
	maxGauge = 40
	minMM2   = 0.05
	maxMM2   = 1000
)

// NoGauge is what [Size.Gauge] gives where there is no gauge.
const NoGauge = -99

const sizeUnits = "AWG, mm2"

// Size is a conductor's trade size: an American gauge or a metric section. A
// metric size never equals a gauge, however near its area; sizes compare with
// ==. The zero Size is none.
type Size struct {
	system system
	gauge  int8
	mm2    float64
}

type system uint8

const (
	noSystem system = iota
	gauged
	metric
)

// AWG is the American gauge n: 2 is 2 AWG, 0 is 1/0, -1 is 2/0, -2 is 3/0,
// -3 is 4/0. Outside 4/0 to 40 AWG it is the zero Size, as no such wire is
// sold.
func AWG(n int) Size {
	if n < minGauge || n > maxGauge {
		return Size{}
	}
	return Size{system: gauged, gauge: int8(n)}
}

// SquareMM is the metric size of a mm². Outside 0.05 to 1000, and for NaN, it
// is the zero Size.
func SquareMM(a float64) Size {
	if !(a >= minMM2 && a <= maxMM2) {
		return Size{}
	}
	return Size{system: metric, mm2: a}
}

// IsZero reports whether s is no size.
func (s Size) IsZero() bool { return s.system == noSystem }

// IsAWG reports whether s is a gauge; false for metric and for no size.
func (s Size) IsAWG() bool { return s.system == gauged }

// Gauge is the number that [AWG] takes, 0 for 1/0 and down to -3 for 4/0;
// [NoGauge] where s is metric or no size.
func (s Size) Gauge() int {
	if !s.IsAWG() {
		return NoGauge
	}
	return int(s.gauge)
}

// MM2 is the section of a metric size in mm²; 0 where s is a gauge or no size.
// A gauge's area is for the conductor tables to say.
func (s Size) MM2() float64 { return s.mm2 }

// String gives the size as printed: "2/0 AWG", "70 mm²"; "–" for no size.
func (s Size) String() string { return s.text("mm²", "–") }

// ASCII gives the size as typed, which [ParseSize] reads back: "2/0 AWG",
// "70 mm2"; empty for no size.
func (s Size) ASCII() string { return s.text("mm2", "") }

func (s Size) text(section, none string) string {
	switch {
	case s.system == metric:
		return strconv.FormatFloat(s.mm2, 'f', -1, 64) + " " + section
	case s.system == noSystem:
		return none
	case s.gauge <= 0:
		return strconv.Itoa(1-int(s.gauge)) + "/0 AWG"
	}
	return strconv.Itoa(int(s.gauge)) + " AWG"
}

// MarshalText gives the ASCII form, so that JSON shows the size; it never
// fails.
func (s Size) MarshalText() ([]byte, error) { return []byte(s.ASCII()), nil }

// UnmarshalText is the inverse of MarshalText: empty text is the zero Size,
// all else is for [ParseSize].
func (s *Size) UnmarshalText(text []byte) (err error) {
	if len(text) == 0 {
		*s = Size{}
		return nil
	}
	*s, err = ParseSize(string(text))
	return err
}

// ParseSize reads a conductor's trade size: "4/0 AWG", "0000 AWG", "2 AWG",
// "AWG 2", "2awg", "70 mm2", "2.5 mm²". Gauges run from 4/0 to 40, sections
// from 0.05 to 1000 mm². The error is one line under 300 bytes; a bare number,
// a length, another unit of area and a size outside the range are refused.
func ParseSize(s string) (Size, error) {
	text, err := tidy(s, "a conductor size", sizeUnits)
	if err != nil {
		return Size{}, err
	}
	if number, ok := cutAWG(text); ok {
		return parseGauge(text, number)
	}
	return parseSection(text)
}

// cutAWG takes the letters AWG, in any case, off either end.
func cutAWG(s string) (number string, ok bool) {
	const letters = len("AWG")
	switch n := len(s) - letters; {
	case n < 0:
		return s, false
	case strings.EqualFold(s[n:], "AWG"):
		return strings.TrimFunc(s[:n], isSpace), true
	case strings.EqualFold(s[:letters], "AWG"):
		return strings.TrimFunc(s[letters:], isSpace), true
	}
	return s, false
}

func parseGauge(text, number string) (Size, error) {
	n, ok := gauge(number)
	if !ok {
		return Size{}, fmt.Errorf("%s: no such gauge; write 4/0, 3/0, 2/0 or 1/0 AWG, or a whole number from 1 to %d", show(text), maxGauge)
	}
	return AWG(n), nil
}

// gauge reads "2/0", "00" or "2" as the number that AWG takes.
func gauge(s string) (n int, ok bool) {
	if zeros := strings.TrimLeft(s, "0"); s != "" && zeros == "" {
		return 1 - len(s), len(s) <= 1-minGauge
	}
	lead, rest := cutDigits(s)
	n, err := strconv.Atoi(lead)
	if err != nil || lead[0] == '0' {
		return 0, false
	}
	if over, ok := cutSlash(rest); ok {
		return 1 - n, over == "0" && n <= 1-minGauge
	}
	return n, rest == "" && n <= maxGauge
}

// parseSection reads a metric size, or says why the text is none.
func parseSection(text string) (Size, error) {
	body, negative := cutSign(text)
	n, rest, fault := scanNumber(body)
	rest = strings.TrimFunc(rest, isSpace)
	// 2/0 and 00 are gauges, though no numbers.
	if _, bare := gauge(text); bare || fault == "" && rest == "" {
		return Size{}, fmt.Errorf("%s: a bare number where a conductor size is due; write a unit: %s", show(text), sizeUnits)
	}
	if fault != "" {
		return Size{}, fmt.Errorf("%s: %s", show(text), fault)
	}
	u := lookup(rest)
	switch {
	case u == nil:
		return Size{}, fmt.Errorf("%s: %s is no unit of a conductor size; units that fit: %s", show(text), show(rest), sizeUnits)
	case u != squareMM:
		return Size{}, fmt.Errorf("%s is %s in %s, not a conductor size; units that fit: %s", show(text), u.kind.article(), u.symbol, sizeUnits)
	case n.fraction:
		return Size{}, fmt.Errorf("%s: a fraction, which only lengths have; write a decimal number", show(text))
	}
	area, _ := n.value.Float64()
	size := SquareMM(area)
	if negative || size.IsZero() {
		return Size{}, fmt.Errorf("%s: no such section; write 0.05 to 1000 mm2", show(text))
	}
	return size, nil
}

// squareMM is the only unit of a metric trade size.
var squareMM = lookup("mm2")
