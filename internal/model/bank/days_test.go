package bank

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestSpansOf(t *testing.T) {
	for _, c := range []struct{ from, to, hours float64 }{{18, 22, 4}, {20, 7, 11}, {20, 0, 4}, {0, 24, 24}, {24, 6, 6}, {6, 5, 23}} {
		sum := 0.0
		for _, s := range SpansOf(c.from*3600, c.to*3600) {
			if !(s.From >= 0 && s.From < s.To && s.To <= 86400) {
				t.Errorf("%g to %g: %+v", c.from, c.to, s)
			}
			sum += (s.To - s.From) / 3600
		}
		if sum != c.hours {
			t.Errorf("%g to %g are %g h, not %g", c.from, c.to, sum, c.hours)
		}
	}
}

// The hours of a day add up to what is covered, overlaps once: against a count
// by the minute.
func TestWithin(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 43))
	for range 300 {
		var spans []Span
		covered := map[int]bool{}
		for range 1 + random.IntN(4) {
			from := random.IntN(1439)
			to := from + 1 + random.IntN(1440-from)
			spans = append(spans, Span{float64(60 * from), float64(60 * to)})
			for m := from; m < to; m++ {
				covered[m] = true
			}
		}
		for i := range 24 {
			want := 0
			for m := 60 * i; m < 60*i+60; m++ {
				if covered[m] {
					want++
				}
			}
			if got := Within(spans, i); math.Abs(got-float64(want)/60) > 1e-12 {
				t.Fatalf("hour %d of %v: %g, not %d min", i, spans, got, want)
			}
		}
	}
}
