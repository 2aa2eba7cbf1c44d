package assess

import (
	"math"
	"testing"

	"bankwright/internal/engine/conductor"
)

// TestWarming: the lines between points stay within a percent of the heat
// balance through time at currents that are no points, never rise with the
// current, and bear for good what the balance does.
func TestWarming(t *testing.T) {
	made := conductor.Cable{R20: 0.26e-3, Section: 67.4e-6, Conductor: 12e-3, Outside: 16e-3, Resistivity: 5, Emissivity: 0.9, InsulationHeat: conductor.HeatPVC}
	for _, place := range []conductor.Place{{Ambient: 313.15}, {Ambient: 313.15, Cables: 3}, {Ambient: 303.15, Sleeve: sleeve(16e-3, 1)}} {
		const start, limit = 318., 378.15
		steady, err := conductor.Ampacity(made, place, limit)
		if err != nil {
			t.Fatal(err)
		}
		w := warmingOf(made, place, start, limit, steady)
		if !math.IsInf(w.holds(steady), 1) || !math.IsInf(w.holds(0), 1) {
			t.Error("what it bears for good has an end")
		}
		last := math.Inf(1)
		for _, part := range []float64{1.0005, 1.003, 1.02, 1.11, 1.3, 1.77, 2.6, 4.1, 9.3, 33, 140, 900, 2500} {
			got := w.holds(steady * part)
			want, err := conductor.TimeTo(made, place, steady*part, start, limit)
			if err != nil {
				t.Fatal(err)
			}
			// Below the first point the time of that point stands, which is too short.
			if part > 1.001 && math.Abs(got/want-1) > 0.01 || part < 1.001 && got > want {
				t.Errorf("%g of its amperes: %g s, by the balance %g s", part, got, want)
			}
			if got > last {
				t.Errorf("%g of its amperes: it holds longer than at less", part)
			}
			last = got
		}
	}
}
