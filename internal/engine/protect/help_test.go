package protect

import (
	"math"
	"strings"
	"testing"

	"bankwright/internal/base/source"
)

var nan, inf = math.NaN(), math.Inf(1)

// fromMemory and fromPage are sources as a catalogue has them.
var (
	fromMemory = source.Ref{Title: "remembered standard", Edition: "not at hand", How: source.Memory}
	fromPage   = source.Ref{Title: "standard that was read", Edition: "2015", How: source.Read}
)

// Operating times of vehicle fuses (ISO 8820-3, -5, SAE J1284, all from
// memory): shortest and longest seconds at multiples of the rating.
var tables = map[string][]BandPoint{
	"blade":      {{1.10, 360000, nan}, {1.35, 0.75, 600}, {1.60, 0.25, 50}, {2, 0.15, 5}, {3.5, 0.04, 0.5}, {6, 0.02, 0.1}},
	"blade high": {{1.10, 360000, nan}, {1.35, 60, 900}, {2, 2, 60}, {3.5, 0.2, 7}, {6, 0.04, 1}},
	"bolt 30":    {{1.10, 14400, nan}, {1.50, 90, 3600}, {2, 3, 100}, {3, 0.3, 3}, {5, 0.1, 1}},
	"bolt 51":    {{1.10, 14400, nan}, {1.35, 120, 1800}, {2, 1, 15}, {3.5, 0.3, 5}, {6, 0.1, 1}},
}

func band(t *testing.T, points []BandPoint, refs ...source.Ref) Band {
	t.Helper()
	b, err := NewBand(points, refs...)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func fuse(t *testing.T, table string, rating float64) Device {
	t.Helper()
	return Device{Name: "F1", Rating: source.Of(rating), Band: band(t, tables[table], fromMemory)}
}

// near fails unless got is within tol of want; NaN and infinities are near
// themselves only.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if alike := math.IsNaN(got) && math.IsNaN(want) || got == want; !alike && !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.15g, want %.15g within %.2g", what, got, want, tol)
	}
}

// verdict checks a verdict, and that it has a reason that holds the words.
func verdict(t *testing.T, what string, o Outcome, want Verdict, words ...string) {
	t.Helper()
	all := strings.Join(o.Reasons, "\n")
	if o.Verdict != want || len(o.Reasons) == 0 {
		t.Errorf("%s: %q (%s), want %q", what, o.Verdict, all, want)
	}
	for _, w := range words {
		if !strings.Contains(all, w) {
			t.Errorf("%s: %q does not say %q", what, all, w)
		}
	}
}
