package sharing

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// nearAll compares lists, the tolerance being relative to the largest wanted
// and 1 A.
func nearAll(t *testing.T, what string, got, want []float64, relative float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%s: %d values, want %d", what, len(got), len(want))
	}
	for i := range want {
		near(t, fmt.Sprintf("%s of %d", what, i), got[i], want[i], relative*max(1, largest(want)))
	}
}

// flows gives the currents of all cables and parts.
func flows(s report.Sharing) []float64 {
	var all []float64
	for _, list := range [][]report.Flow{s.Cables, s.Parts} {
		for _, f := range list {
			all = append(all, f.Current)
		}
	}
	return all
}

// rename gives every end of a bank another name.
func rename(b *bank.Bank, to func(bank.End) bank.End) *bank.Bank {
	c := clone(b)
	for i := range c.Cables {
		c.Cables[i].From, c.Cables[i].To = to(c.Cables[i].From), to(c.Cables[i].To)
	}
	c.Takeoff = bank.Takeoff{Positive: to(c.Takeoff.Positive), Negative: to(c.Takeoff.Negative)}
	return c
}

// TestMirror turns a bank's polarity over: every cable goes to the other post
// of its battery, the take-off's ends change places. Each battery carries the
// same, each cable the same the other way round.
func TestMirror(t *testing.T) {
	other := map[string]string{"+": "-", "-": "+"}
	eachRandom(t, 2, false, func(t *testing.T, rng *rand.Rand, b *bank.Bank) {
		m := rename(b, func(e bank.End) bank.End {
			if e.IsPost() {
				e.Place = other[e.Place]
			}
			return e
		})
		m.Takeoff.Positive, m.Takeoff.Negative = m.Takeoff.Negative, m.Takeoff.Positive
		j := rng.Float64()*600 - 300
		s, mirrored := mustSolve(t, b, amps(j)), mustSolve(t, m, amps(j))
		nearAll(t, "battery current", currents(mirrored), currents(s), 1e-10)
		back := flows(mirrored)
		for i := range back {
			back[i] = -back[i]
		}
		nearAll(t, "cable current", back, flows(s), 1e-10)
		near(t, "voltage", mirrored.Voltage, s.Voltage, 1e-10)
		near(t, "resistance", mirrored.Resistance, s.Resistance, 1e-10*s.Resistance)
	})
}

// TestRelabel gives other names, another order and cables laid the other way
// round.
func TestRelabel(t *testing.T) {
	eachRandom(t, 3, false, func(t *testing.T, rng *rand.Rand, b *bank.Bank) {
		m := rename(b, func(e bank.End) bank.End { return bank.End{ID: "x" + e.ID, Place: e.Place} })
		for i := range m.Batteries {
			m.Batteries[i].ID = "x" + m.Batteries[i].ID
		}
		for i := range m.Parts {
			m.Parts[i].ID = "x" + m.Parts[i].ID
		}
		for i := range m.Cables {
			m.Cables[i].From, m.Cables[i].To = m.Cables[i].To, m.Cables[i].From
		}
		rng.Shuffle(len(m.Batteries), func(i, k int) { m.Batteries[i], m.Batteries[k] = m.Batteries[k], m.Batteries[i] })
		rng.Shuffle(len(m.Cables), func(i, k int) { m.Cables[i], m.Cables[k] = m.Cables[k], m.Cables[i] })
		slices.Reverse(m.Parts)
		s, other := mustSolve(t, b, amps(120)), mustSolve(t, m, amps(120))
		scale := max(1, largest(currents(s)))
		for _, one := range s.Batteries {
			got := other.Battery("x" + one.ID)
			near(t, one.ID, got.Current, one.Current, 1e-10*scale)
			if got.Group != one.Group || got.Off != one.Off {
				t.Errorf("%s is %+v, renamed %+v", one.ID, one, got)
			}
		}
		for _, one := range s.Cables {
			i := slices.IndexFunc(other.Cables, func(f report.Flow) bool { return f.ID == one.ID })
			near(t, one.ID, -other.Cables[i].Current, one.Current, 1e-10*scale)
		}
		near(t, "imbalance", other.Imbalance, s.Imbalance, 1e-8*max(1, s.Imbalance))
	})
}

// times scales a bank.
func times(b *bank.Bank, ohm, volt float64) *bank.Bank {
	c := clone(b)
	for i := range c.Batteries {
		c.Batteries[i].Resistance.V *= quantity.Resistance(ohm)
		c.Batteries[i].EMF.V *= quantity.Voltage(volt)
	}
	for i := range c.Cables {
		c.Cables[i].Whole.V *= quantity.Resistance(ohm)
	}
	for i := range c.Parts {
		c.Parts[i].Resistance.V *= quantity.Resistance(ohm)
	}
	return c
}

// TestScale: with equal EMFs only ratios of resistance matter; and a circuit
// of k times the volts and k times the draw carries k times everything.
func TestScale(t *testing.T) {
	eachRandom(t, 4, true, func(t *testing.T, rng *rand.Rand, b *bank.Bank) {
		const draw = 150.0
		k := 0.1 + 20*rng.Float64()
		s := mustSolve(t, b, amps(draw))
		ohms := mustSolve(t, times(b, k, 1), amps(draw))
		nearAll(t, "current with all resistances scaled", currents(ohms), currents(s), 1e-9)
		near(t, "scaled resistance", ohms.Resistance, k*s.Resistance, 1e-9*k*s.Resistance)
		near(t, "imbalance with all resistances scaled", ohms.Imbalance, s.Imbalance, 1e-8*max(1, s.Imbalance))
	})
	eachRandom(t, 5, false, func(t *testing.T, rng *rand.Rand, b *bank.Bank) {
		const draw = 150.0
		k := 0.1 + 20*rng.Float64()
		s := mustSolve(t, b, amps(draw))
		want := currents(s)
		for i := range want {
			want[i] *= k
		}
		nearAll(t, "current at k volts and k amps", currents(mustSolve(t, times(b, 1, k), amps(k*draw))), want, 1e-9)
		nearAll(t, "current at k volts and k ohms", currents(mustSolve(t, times(b, k, k), amps(draw))), currents(s), 1e-9)
	})
}

// TestReciprocity: a volt more in one battery changes the current of another as
// much as a volt more in the other changes that of the one; and it changes the
// take-off voltage by that battery's part of a draw of one ampere.
func TestReciprocity(t *testing.T) {
	eachRandom(t, 6, false, func(t *testing.T, rng *rand.Rand, b *bank.Bank) {
		var on []int
		for i := range b.Batteries {
			if !b.Batteries[i].Off {
				on = append(on, i)
			}
		}
		i, k := on[rng.IntN(len(on))], on[rng.IntN(len(on))]
		base := mustSolve(t, b, amps(0))
		raised := func(n int) report.Sharing {
			c := clone(b)
			c.Batteries[n].EMF.V++
			return mustSolve(t, c, amps(0))
		}
		one, two := raised(i), raised(k)
		scale := max(1, largest(currents(one)), largest(currents(two)))
		near(t, "transfer conductance", one.Batteries[k].Current-base.Batteries[k].Current,
			two.Batteries[i].Current-base.Batteries[i].Current, 1e-10*scale)
		drawn := mustSolve(t, b, amps(1))
		near(t, "transfer ratio", one.Voltage-base.Voltage, drawn.Batteries[i].Current-base.Batteries[i].Current, 1e-10*scale)
	})
}

// TestChargeIsMirroredDraw: with equal EMFs nothing circulates, so charging is
// drawing with every sign turned, and the shares are the same.
func TestChargeIsMirroredDraw(t *testing.T) {
	eachRandom(t, 7, true, func(t *testing.T, _ *rand.Rand, b *bank.Bank) {
		draw, charge := mustSolve(t, b, amps(90)), mustSolve(t, b, amps(-90))
		turned := currents(charge)
		for i := range turned {
			turned[i] = -turned[i]
		}
		nearAll(t, "charging current", turned, currents(draw), 1e-10)
		near(t, "imbalance", charge.Imbalance, draw.Imbalance, 1e-8*max(1, draw.Imbalance))
		near(t, "voltage", charge.Voltage-draw.Voltage, 180*draw.Resistance, 1e-8)
		nearAll(t, "current at rest", currents(mustSolve(t, b, amps(0))), make([]float64, len(b.Batteries)), 1e-9)
	})
}

// TestOffIsAStudForEachPost: a battery that is off does no more than two studs
// in the place of its posts.
func TestOffIsAStudForEachPost(t *testing.T) {
	checked := 0
	eachRandom(t, 8, false, func(t *testing.T, _ *rand.Rand, b *bank.Bank) {
		stud := func(e bank.End) bank.End {
			if bat := b.Battery(e.ID); bat != nil && bat.Off {
				return bank.End{ID: map[string]string{"+": "plus", "-": "minus"}[e.Place] + e.ID}
			}
			return e
		}
		m := rename(b, stud)
		m.Batteries = nil
		var want []float64
		s := mustSolve(t, b, amps(200))
		for i := range b.Batteries {
			if bat := &b.Batteries[i]; bat.Off {
				m.Parts = append(m.Parts, part("plus"+bat.ID, bank.Stud, 0, 0), part("minus"+bat.ID, bank.Stud, 0, 0))
				checked++
			} else {
				m.Batteries = append(m.Batteries, *bat)
				want = append(want, s.Batteries[i].Current)
			}
		}
		nearAll(t, "current", currents(mustSolve(t, m, amps(200))), want, 1e-11)
	})
	if checked < 50 {
		t.Errorf("only %d batteries were off", checked)
	}
}

// TestBarIsAChainOfStuds: a bar of k studs is k studs with k-1 equal cables.
func TestBarIsAChainOfStuds(t *testing.T) {
	for k := 2; k <= 6; k++ {
		const bar = 0.7e-3 // ohm
		with, without := &bank.Bank{}, &bank.Bank{}
		with.Parts = []bank.Part{part("N", bank.Bar, k, bar)}
		for i := 1; i <= k; i++ {
			id := fmt.Sprintf("B%d", i)
			for _, b := range []*bank.Bank{with, without} {
				b.Batteries = append(b.Batteries, battery(id, 12.8, 0.004+0.001*float64(i), 100))
			}
			with.Cables = append(with.Cables, wire("L"+id, id+"+", fmt.Sprintf("N.%d", i), 0.3e-3))
			without.Parts = append(without.Parts, part(fmt.Sprintf("S%d", i), bank.Stud, 0, 0))
			without.Cables = append(without.Cables, wire("L"+id, id+"+", fmt.Sprintf("S%d", i), 0.3e-3))
		}
		for i := 1; i < k; i++ {
			with.Cables = append(with.Cables, wire(fmt.Sprintf("M%d", i), fmt.Sprintf("B%d-", i), fmt.Sprintf("B%d-", i+1), 0.2e-3))
			without.Cables = append(without.Cables, wire(fmt.Sprintf("M%d", i), fmt.Sprintf("B%d-", i), fmt.Sprintf("B%d-", i+1), 0.2e-3),
				wire(fmt.Sprintf("C%d", i), fmt.Sprintf("S%d", i), fmt.Sprintf("S%d", i+1), bar/float64(k-1)))
		}
		with.Takeoff, without.Takeoff = takeoff("N.1", "B1-"), takeoff("S1", "B1-")
		a, b := mustSolve(t, with, amps(100)), mustSolve(t, without, amps(100))
		nearAll(t, "current", currents(a), currents(b), 1e-12)
		near(t, "wiring loss", a.WiringLoss, b.WiringLoss, 1e-10)
		if len(a.Parts) != k-1 || a.Parts[0].From != end("N.1") || a.Parts[0].To != end("N.2") {
			t.Errorf("a bar of %d studs is told as %+v", k, a.Parts)
		}
	}
}
