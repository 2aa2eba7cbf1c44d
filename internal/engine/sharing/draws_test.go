package sharing

import (
	"math/rand/v2"
	"testing"

	"bankwright/internal/model/bank"
)

// TestDraws: one draw at the take-off is the case; two draws superpose.
func TestDraws(t *testing.T) {
	eachRandom(t, 9, true, func(t *testing.T, rng *rand.Rand, b *bank.Bank) {
		at := func(amps float64) Draw { return Draw{b.Takeoff.Positive, b.Takeoff.Negative, amps} }
		c := amps(70)
		c.CableTemperature.V = 293.15
		whole := mustSolve(t, b, c)
		one, volts, err := SolveDraws(b, 293.15, []Draw{at(70)})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "volts", volts[0], whole.Voltage, 1e-9)
		two, _, err := SolveDraws(b, 293.15, []Draw{at(100), at(-30)})
		if err != nil {
			t.Fatal(err)
		}
		for i := range whole.Batteries {
			near(t, "battery", one.Batteries[i].Current, whole.Batteries[i].Current, 1e-8)
			near(t, "two draws", two.Batteries[i].Current, whole.Batteries[i].Current, 1e-8)
		}
		for i := range whole.Cables {
			near(t, "cable", one.Cables[i].Current, whole.Cables[i].Current, 1e-8)
		}
	})
}

// TestDrawBesideTheTakeoff: a load on its own cable carries its current there,
// and none where nobody draws.
func TestDrawBesideTheTakeoff(t *testing.T) {
	b := ladder(2, 12.8, 5e-3, 0.5e-3)
	b.Parts = append(b.Parts, bank.Part{ID: "L1", Kind: bank.Load})
	b.Cables = append(b.Cables, cable("X1", b.Batteries[0].Plus(), bank.End{ID: "L1", Place: "a"}, 10e-3), cable("X2", bank.End{ID: "L1", Place: "b"}, b.Batteries[0].Minus(), 10e-3))
	s, volts, err := SolveDraws(b, 293.15, []Draw{{bank.End{ID: "L1", Place: "a"}, bank.End{ID: "L1", Place: "b"}, 20}})
	if err != nil {
		t.Fatal(err)
	}
	n := len(s.Cables)
	near(t, "feed", s.Cables[n-2].Current, 20, 1e-9)
	near(t, "return", s.Cables[n-1].Current, 20, 1e-9)
	near(t, "at the load", volts[0], s.Voltage-20*20e-3, 1e-9)
}
