package rules

import (
	"math"
	"testing"

	"bankwright/internal/engine/conductor"
	"bankwright/internal/model/report"
)

// TestHoldsOf: the one law stands within 6 % of the transient, for a thick and
// a thin cable, and is without end up to what the cable bears for good.
func TestHoldsOf(t *testing.T) {
	for _, c := range []conductor.Cable{
		{R20: 0.26e-3, Section: 67.4e-6, Conductor: 12.2e-3, Outside: 16e-3, Resistivity: 5, Emissivity: 0.9, InsulationHeat: conductor.HeatPVC},
		{R20: 5.2e-3, Section: 3.31e-6, Conductor: 2.7e-3, Outside: 4.3e-3, Resistivity: 5, Emissivity: 0.9, InsulationHeat: conductor.HeatPVC},
	} {
		place := conductor.Place{Ambient: 303.15}
		const limit = 378.15
		bears, err := conductor.Ampacity(c, place, limit)
		if err != nil {
			t.Fatal(err)
		}
		true1 := func(i float64) float64 {
			s, err := conductor.TimeTo(c, place, i, place.Ambient, limit)
			if err != nil {
				t.Fatal(err)
			}
			return s
		}
		holds := holdsOf(&report.Line{Physics: bears, Holds: true1})
		if !math.IsInf(holds(bears), 1) {
			t.Errorf("it bears %g A for good, %g s here", bears, holds(bears))
		}
		last := math.Inf(1)
		for _, k := range []float64{1.05, 1.2, 1.5, 2, 3, 5, 10} {
			got, want := holds(k*bears), true1(k*bears)
			if math.Abs(got/want-1) > 0.06 {
				t.Errorf("at %g times: %g s, by the transient %g", k, got, want)
			}
			t.Logf("%g: %.1f %%", k, 100*(got/want-1))
			if got > last {
				t.Errorf("it rises at %g times", k)
			}
			last = got
		}
	}
	if holdsOf(&report.Line{Physics: math.NaN()}) != nil {
		t.Error("a law out of nothing")
	}
}
