package quantity

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
	"unicode/utf8"
)

// maxText is the longest text read, in bytes. No measure a person writes comes
// near it.
const maxText = 64

// Parse reads a quantity as the job file writes it: optional minus, plain
// decimal digits, optional exponent, then the unit. Lengths may have fractions
// and feet with inches: "3/4 in", "1 ft 3 1/2 in", `5' 3½"`; a minus then holds
// for the whole. The result is in SI, finite, and the float64 nearest to what
// was written.
//
// The error is one line under 300 bytes that shows the text and says what
// would mend it. Refused are: empty text and text over 64 bytes, a bare number,
// an unknown unit, a unit of another kind, a decimal comma or mark between
// thousands, a leading zero or point or plus, a fraction of anything but a
// length, a temperature below 0 K, and a number that float64 cannot hold.
func Parse[Q Quantity](s string) (Q, error) {
	var q Q
	v, err := ParseKind(q.Kind(), s)
	return Q(v), err
}

// ParseArg reads a quantity from the command line, where the space before the
// unit is usually left out: "200A", "10min", "5degC". The grammar and the
// errors are those of [Parse]; m is metres here too.
func ParseArg[Q Quantity](s string) (Q, error) { return Parse[Q](s) }

// ParseKind is [Parse] for a kind known only at run time; the result is in the
// SI unit of that kind. A Kind that is none of the constants is an error.
func ParseKind(k Kind, s string) (float64, error) {
	if !k.known() {
		return 0, fmt.Errorf("%v is no kind of quantity", k)
	}
	text, err := tidy(s, k.article(), k.offered())
	if err != nil {
		return 0, err
	}
	if isGauge(text) {
		return 0, fmt.Errorf("%s is a conductor size, not %s; units that fit: %s", show(text), k.article(), k.offered())
	}
	body, negative := cutSign(text)
	n, rest, fault := scanNumber(body)
	if fault == "" {
		n, rest, fault = addInches(n, rest)
	}
	if fault != "" {
		return 0, fmt.Errorf("%s: %s", show(text), fault)
	}
	u, err := findUnit(k, text, rest)
	if err != nil {
		return 0, err
	}
	if n.fraction && k != KindLength {
		return 0, fmt.Errorf("%s: a fraction, which only lengths have; write a decimal number", show(text))
	}
	if negative {
		n.value.Neg(n.value)
	}
	return toSI(u, n.value, text)
}

// tidy takes the outer spaces off, and refuses what is not worth scanning.
func tidy(s, what, offered string) (string, error) {
	if len(s) > maxText {
		return "", fmt.Errorf("%s: %d bytes where %s is due; write at most %d", show(s), len(s), what, maxText)
	}
	if !utf8.ValidString(s) {
		return "", fmt.Errorf("%s: not valid UTF-8 where %s is due; type the text anew", show(s), what)
	}
	s = strings.TrimFunc(s, isSpace)
	if s == "" {
		return "", fmt.Errorf("empty where %s is due; write a number and a unit: %s", what, offered)
	}
	return s, nil
}

// addInches reads the inches after whole feet and gives their sum as inches;
// anything else comes back as it is.
func addInches(n number, rest string) (number, string, string) {
	tail, ok := cutFeet(rest)
	if !ok {
		return n, rest, ""
	}
	if _, signed := cutSign(tail); signed {
		return n, rest, "a sign before the inches; write feet, space, inches: 5 ft 3 in"
	}
	inches, after, fault := scanNumber(tail)
	if fault != "" {
		return n, rest, fault
	}
	if lookup(after) != inch {
		return n, rest, "feet with something other than inches after them; write 5 ft 3 1/2 in"
	}
	if !n.whole {
		return n, rest, "feet that are not whole with inches after them; write one of the two"
	}
	n.value.Mul(n.value, big.NewRat(12, 1)) // 12 in to the foot: 0.3048 / 0.0254
	inches.value.Add(inches.value, n.value)
	return inches, after, ""
}

// inch is the unit of the second number in a measure of feet and inches.
var inch = lookup("in")

// cutFeet takes a feet mark off the front of s where more than that follows;
// the tail begins with a digit, a fraction or a minus.
func cutFeet(s string) (tail string, ok bool) {
	s = strings.TrimLeftFunc(s, isSpace)
	for _, mark := range []string{"ft", "'", "′", "’"} {
		if tail, ok := strings.CutPrefix(s, mark); ok {
			tail = strings.TrimLeftFunc(tail, isSpace)
			unsigned, _ := cutSign(tail)
			digits, _ := cutDigits(unsigned)
			_, _, isVulgar := cutVulgar(unsigned)
			return tail, digits != "" || isVulgar
		}
	}
	return s, false
}

// findUnit gives the unit that rest spells, if it measures what is due.
func findUnit(k Kind, text, rest string) (*unit, error) {
	rest = strings.TrimFunc(rest, isSpace)
	if rest == "" {
		return nil, fmt.Errorf("%s: a bare number where %s is due; write a unit: %s", show(text), k.article(), k.offered())
	}
	u := lookup(rest)
	switch {
	case u == nil:
		return nil, unknownUnit(k, text, rest)
	case u.kind == k:
		return u, nil
	case k == KindTemperature && u.kind == KindCapacitance:
		return nil, fmt.Errorf("%s: F alone is the farad; for a temperature write °F or degF", show(text))
	}
	return nil, fmt.Errorf("%s is %s, not %s; units that fit: %s", show(text), u.kind.article(), k.article(), k.offered())
}

// toSI scales x exactly and rounds once.
func toSI(u *unit, x *big.Rat, text string) (float64, error) {
	x.Add(x, u.off)
	x.Mul(x, u.rat)
	if u.kind == KindTemperature && x.Sign() < 0 {
		return 0, fmt.Errorf("%s is below absolute zero, 0 K or -273.15 °C; no temperature is", show(text))
	}
	v, _ := x.Float64()
	if math.IsInf(v, 0) {
		return 0, fmt.Errorf("%s: too large a number to reckon with", show(text))
	}
	if v == 0 && x.Sign() != 0 {
		return 0, fmt.Errorf("%s: too small a number to reckon with; write 0 if nothing is meant", show(text))
	}
	return v, nil
}

// unknownUnit says that rest is no unit, with the nearest that would be.
func unknownUnit(k Kind, text, rest string) error {
	if rest == "C" {
		// Coulombs, degrees and multiples of the capacity are all written so.
		return fmt.Errorf("%s: C alone could mean several units; units that fit: %s", show(text), k.offered())
	}
	if hint := nearest(k, rest); hint != "" {
		return fmt.Errorf("%s: unknown unit %s, perhaps %s; units that fit: %s", show(text), show(rest), hint, k.offered())
	}
	if strings.ContainsAny(rest, "0123456789") {
		return fmt.Errorf("%s: %s cannot be read after the number; write one number and one unit: %s", show(text), show(rest), k.offered())
	}
	return fmt.Errorf("%s: unknown unit %s; units that fit: %s", show(text), show(rest), k.offered())
}

// isGauge reports whether s is meant as a wire gauge.
func isGauge(s string) bool {
	_, ok := cutAWG(s)
	return ok
}

// maxShown bounds a quotation, so that the whole error stays one short line.
const maxShown = 40

// show quotes what a person wrote: as it stands where every sign can be seen,
// with escapes where not, cut short where long.
func show(s string) string {
	var b strings.Builder
	for _, r := range s {
		piece := string(r)
		if r == utf8.RuneError || !strconv.IsPrint(r) {
			quoted := strconv.QuoteRuneToASCII(r)
			piece = quoted[1 : len(quoted)-1]
		}
		if b.Len()+len(piece) > maxShown {
			return b.String() + "…"
		}
		b.WriteString(piece)
	}
	return b.String()
}
