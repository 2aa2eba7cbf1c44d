package rating_test

import (
	"math"
	"testing"

	"bankwright/internal/model/rating"
)

// Metric names carry millimetres; inch names fractions of 25.4 mm.
func TestThreadDiameter(t *testing.T) {
	for name, want := range map[string]float64{"M8": 8e-3, "m10x1.25": 10e-3, "5/16": 7.9375e-3, "1/4-28": 6.35e-3, "3/8 in": 9.525e-3, "1/2-13": 12.7e-3} {
		if got, ok := rating.ThreadDiameter(name); !ok || math.Abs(float64(got)-want) > 1e-9 {
			t.Errorf("%s: %v, %v, want %v", name, got, ok, want)
		}
	}
	for _, name := range []string{"", "#10", "M", "wing nut", "-", "0", "M900"} {
		if got, ok := rating.ThreadDiameter(name); ok {
			t.Errorf("%q has the diameter %v", name, got)
		}
	}
}
