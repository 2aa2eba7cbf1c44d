package quantity

import (
	"math"
	"strings"
	"testing"
)

func TestTableNumbers(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{FormatPercent(0.017), "+1.70 %"}, {FormatPercent(-0.1), "-10.00 %"}, {FormatPercent(math.NaN()), "–"}, {FormatPercent(0), "+0.00 %"},
		{FormatFixed(1.005, 1), "1.0"}, {FormatFixed(-0.0004, 2), "0.00"}, {FormatFixed(-12.26, 1), "-12.3"}, {FormatFixed(math.NaN(), 3), "–"}, {FormatFixed(math.Copysign(0, -1), 0), "0"},
		{FormatCount("1", " "), "1"}, {FormatCount("999", " "), "999"}, {FormatCount("1000", " "), "1 000"}, {FormatCount("282475249", " "), "282 475 249"},
		{FormatCount("123456789012345678901234", "."), "123.456.789.012.345.678.901.234"},
		{FormatCount("626"+strings.Repeat("0", 123), " "), "about 6.26·10^125"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}
