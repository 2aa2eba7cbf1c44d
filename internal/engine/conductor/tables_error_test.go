package conductor

import (
	"math"
	"testing"
)

// TestErrorFound states how far the heat balance lies from the published
// free-air tables, over 14 AWG to 4/0 in air of 30 °C, as doc/methods.md says
// it: −1.1 to +8.7 % of NFPA 70 310.17 at 75 °C, −2.0 to +11.8 % of it at 90 °C,
// +6.2 to +16.8 % of 33 CFR 183.425 Table 5 at 105 °C. Each to its last digit,
// so that a change of the balance shows here.
func TestErrorFound(t *testing.T) {
	for _, row := range []struct {
		celsius, least, most float64
		table                func(i int) float64
	}{
		{75, -1.1, 8.7, func(i int) float64 { return gauges[i].nec75 }},
		{90, -2.0, 11.8, func(i int) float64 { return gauges[i].nec90 }},
		{105, 6.2, 16.8, func(i int) float64 { return gauges[i].cfr105 }},
	} {
		least, most := math.Inf(1), math.Inf(-1)
		for i := range gauges {
			over := 100 * (mustAmps(t, gauges[i].cable(), Place{Ambient: c(30)}, c(row.celsius))/row.table(i) - 1)
			least, most = min(least, over), max(most, over)
		}
		if math.Abs(least-row.least) > 0.051 || math.Abs(most-row.most) > 0.051 {
			t.Errorf("%g °C: %+.2f to %+.2f %%, not %+.1f to %+.1f", row.celsius, least, most, row.least, row.most)
		}
	}
}
