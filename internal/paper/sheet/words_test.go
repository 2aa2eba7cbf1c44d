package sheet

import (
	"math"
	"testing"
)

func TestOver(t *testing.T) {
	for _, row := range []struct {
		x    float64
		want string
	}{
		{0.053, "+5.3 %"}, {0.0096, "+0.96 %"}, {-0.12, "−12 %"}, {0, "0 %"}, {1e-9, "0 %"}, {-1e-9, "0 %"},
		{0.00996, "+1.0 %"}, {0.0996, "+10 %"}, {4.64, "+464 %"}, {0.000123, "+0.012 %"}, {2e-6, "+0.00020 %"}, {math.NaN(), "–"}, {math.Inf(1), "∞"},
	} {
		if got := Over(row.x); got != row.want {
			t.Errorf("Over(%v) is %q, want %q", row.x, got, row.want)
		}
	}
}

func TestDecimal(t *testing.T) {
	for _, row := range []struct {
		x        float64
		decimals int
		want     string
	}{
		{35.14, 1, "35.1"}, {-35.14, 1, "−35.1"}, {-0.04, 1, "0.0"}, {0, 0, "0"},
		{math.NaN(), 1, "–"}, {math.Inf(1), 1, "∞"}, {math.Inf(-1), 1, "−∞"},
	} {
		if got := Decimal(row.x, row.decimals); got != row.want {
			t.Errorf("Decimal(%v, %d) is %q, want %q", row.x, row.decimals, got, row.want)
		}
	}
}
