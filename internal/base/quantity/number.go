package quantity

import (
	"math/big"
	"strings"
	"unicode"
	"unicode/utf8"
)

// number is what stands before the unit, without its sign.
type number struct {
	value    *big.Rat
	fraction bool // written with a fraction: 3/4, 1 3/8, 5½
	whole    bool // digits and nothing else
}

// exponentDigits bounds the work on a short text such as "1e999999999"; every
// float64 lies well within three digits.
const exponentDigits = 3

// vulgar holds the fractions that have a sign of their own. Rulers and drills
// need halves to eighths; thirds are on every keyboard layout that has these.
var vulgar = map[rune]*big.Rat{
	'½': big.NewRat(1, 2), '⅓': big.NewRat(1, 3), '⅔': big.NewRat(2, 3), '¼': big.NewRat(1, 4), '¾': big.NewRat(3, 4),
	'⅛': big.NewRat(1, 8), '⅜': big.NewRat(3, 8), '⅝': big.NewRat(5, 8), '⅞': big.NewRat(7, 8),
}

// cutSign takes a minus, typed or printed, off the front.
func cutSign(s string) (rest string, negative bool) {
	for _, minus := range []string{"-", "\u2212"} {
		if rest, ok := strings.CutPrefix(s, minus); ok {
			return rest, true
		}
	}
	return s, false
}

// scanNumber reads an unsigned number off the front of s. A fault says in
// words why there is none and what to write; it is empty when all is well.
func scanNumber(s string) (n number, rest, fault string) {
	if v, tail, ok := cutVulgar(s); ok {
		return number{value: v, fraction: true}, tail, ""
	}
	lead, rest := cutDigits(s)
	if lead == "" {
		return number{}, s, noDigit(s)
	}
	if len(lead) > 1 && lead[0] == '0' {
		return number{}, s, "a number that begins with 0; leave the leading zeros out"
	}
	if fault := badMark(lead, rest); fault != "" {
		return number{}, s, fault
	}
	if over, ok := cutSlash(rest); ok {
		v, tail, fault := scanFraction(lead, over)
		return number{value: v, fraction: true}, tail, fault
	}
	if n, tail, fault, ok := scanMixed(lead, rest); ok {
		return n, tail, fault
	}
	return scanDecimal(lead, rest)
}

// cutDigits takes the ASCII digits off the front of s.
func cutDigits(s string) (digits, rest string) {
	i := 0
	for i < len(s) && s[i] >= '0' && s[i] <= '9' {
		i++
	}
	return s[:i], s[i:]
}

// cutVulgar takes a one-sign fraction off the front of s.
func cutVulgar(s string) (v *big.Rat, rest string, ok bool) {
	r, size := utf8.DecodeRuneInString(s)
	shared, ok := vulgar[r]
	if !ok {
		return nil, s, false
	}
	return new(big.Rat).Set(shared), s[size:], true // a copy, as sums are made in place
}

// cutSlash takes a slash, typed or printed, off the front of s where a digit
// follows, as it does in a fraction and never in a unit.
func cutSlash(s string) (rest string, ok bool) {
	for _, slash := range []string{"/", "\u2044"} {
		if rest, ok := strings.CutPrefix(s, slash); ok {
			digits, _ := cutDigits(rest)
			return rest, digits != ""
		}
	}
	return s, false
}

// noDigit says why s does not begin with a number.
func noDigit(s string) string {
	r, _ := utf8.DecodeRuneInString(s)
	switch {
	case r == '.':
		return "a number that begins with a point; write a 0 before it"
	case r == '+':
		return "a plus sign; leave it out"
	case unicode.IsDigit(r):
		return "digits other than 0 to 9; type plain digits"
	}
	return "no number at the start; write it in plain digits, then the unit"
}

// badMark finds, right after the first digits, the marks by which other
// habits write numbers. Guessing at them could be wrong by a factor of 1000.
func badMark(lead, rest string) string {
	if tail, ok := strings.CutPrefix(rest, ","); ok {
		digits, _ := cutDigits(tail)
		switch len(digits) {
		case 0:
			return "a comma after the number; leave it out"
		case 3:
			return "a comma in the number; write " + lead + digits + ", or " + lead + "." + digits + " if it stands before decimals"
		}
		return "a comma in the number; write " + lead + "." + digits
	}
	r, _ := utf8.DecodeRuneInString(rest)
	switch {
	case r == '_':
		return "a mark between digits; write the digits together"
	case lead == "0" && (r == 'x' || r == 'X'):
		return "a hexadecimal number; write it in decimal"
	case unicode.IsDigit(r):
		return "digits other than 0 to 9; type plain digits"
	}
	return ""
}

// scanFraction reads the denominator after over/.
func scanFraction(over, s string) (v *big.Rat, rest, fault string) {
	under, rest := cutDigits(s)
	switch {
	case under[0] == '0':
		return nil, s, "a fraction over 0 or over a number that begins with 0"
	case len(over) > 1 && over[0] == '0':
		return nil, s, "a number that begins with 0; leave the leading zeros out"
	}
	v = exact(over + "/" + under)
	if v.Cmp(big.NewRat(1, 1)) >= 0 {
		// 51/2 is more often 5 1/2 with its space lost than 25 1/2.
		return nil, s, "a fraction that is not less than one; write whole number, space, fraction: 2 1/2"
	}
	return v, rest, ""
}

// scanMixed reads the fraction of a mixed number after its whole part; ok is
// false where rest is something else.
func scanMixed(lead, s string) (n number, rest, fault string, ok bool) {
	tail := strings.TrimLeftFunc(s, isSpace)
	whole := exact(lead)
	if v, rest, ok := cutVulgar(tail); ok {
		return number{value: whole.Add(whole, v), fraction: true}, rest, "", true
	}
	over, after := cutDigits(tail)
	if len(tail) == len(s) || over == "" {
		return number{}, s, "", false
	}
	under, isFraction := cutSlash(after)
	if !isFraction {
		return number{}, s, "a space inside the number; write the digits together", true
	}
	v, rest, fault := scanFraction(over, under)
	if fault != "" {
		return number{}, s, fault, true
	}
	return number{value: whole.Add(whole, v), fraction: true}, rest, "", true
}

// scanDecimal reads decimals and exponent after the leading digits.
func scanDecimal(lead, s string) (n number, rest, fault string) {
	text, rest := lead, s
	if tail, ok := strings.CutPrefix(s, "."); ok {
		var decimals string
		if decimals, rest = cutDigits(tail); decimals == "" {
			return number{}, s, "a point with no digit after it; leave it out"
		}
		text += "." + decimals
		if fault := badMark(text, rest); fault != "" {
			return number{}, s, "marks in the number; write decimals after a point and no marks between thousands"
		}
	}
	exponent, rest, fault := scanExponent(rest)
	if fault != "" {
		return number{}, s, fault
	}
	return number{value: exact(text + exponent), whole: len(text) == len(lead) && exponent == ""}, rest, ""
}

// scanExponent reads e±N; the text is empty where there is none.
func scanExponent(s string) (text, rest, fault string) {
	if s == "" || s[0] != 'e' && s[0] != 'E' {
		return "", s, ""
	}
	tail, negative := cutSign(s[1:])
	if !negative {
		tail = strings.TrimPrefix(tail, "+")
	}
	digits, rest := cutDigits(tail)
	if digits == "" {
		return "", s, ""
	}
	if digits = strings.TrimLeft(digits, "0"); digits == "" {
		digits = "0"
	}
	if len(digits) > exponentDigits {
		return "", s, "an exponent beyond 999; write a number that fits its unit"
	}
	if negative {
		digits = "-" + digits
	}
	return "e" + digits, rest, ""
}

// isSpace holds for the spaces that may stand between number and unit.
func isSpace(r rune) bool {
	switch r {
	case ' ', '\t', '\u00a0', '\u2009', '\u202f':
		return true
	}
	return false
}
