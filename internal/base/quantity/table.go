package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// FormatPercent prints a part as a signed percentage with two digits, "+1.70 %",
// and a dash where it is NaN.
func FormatPercent(v float64) string {
	if math.IsNaN(v) {
		return "–"
	}
	return fmt.Sprintf("%+.2f %%", 100*v)
}

// FormatFixed prints a number of a table with fixed digits after the point, a
// dash where it is NaN, and never "-0".
func FormatFixed(v float64, digits int) string {
	if math.IsNaN(v) {
		return "–"
	}
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return s
}

// FormatCount prints a whole number given in decimal, the thousands apart by
// gap, a very long one by its first digits: "about 6.26·10^125".
func FormatCount(decimal, gap string) string {
	const most = 24 // digits that a person still reads
	if len(decimal) > most {
		return fmt.Sprintf("about %c.%s·10^%d", decimal[0], decimal[1:3], len(decimal)-1)
	}
	var b strings.Builder
	for i, r := range decimal {
		if i > 0 && (len(decimal)-i)%3 == 0 {
			b.WriteString(gap)
		}
		b.WriteRune(r)
	}
	return b.String()
}
