package outage

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bankwright/internal/model/bank"
)

// TestLimitByScan: every limit against brute force at a few dozen draws: the
// bank holds at all of them up to the limit, and just above it does not.
func TestLimitByScan(t *testing.T) {
	finite := 0
	eachRandom(t, 2, 40, 0.5, func(t *testing.T, rng *rand.Rand, b *bank.Bank) {
		sign := float64(1 - 2*rng.IntN(2))
		d := mustSolve(t, b, amps(sign*50))
		for i, o := range d.Outs {
			finite += scan(t, b, o.Out, o.Limit, sign, i)
		}
		for _, o := range d.Pairs[:min(len(d.Pairs), 3)] {
			i := slices.IndexFunc(b.Batteries, func(x bank.Battery) bool { return x.ID == o.Out[0] })
			k := slices.IndexFunc(b.Batteries, func(x bank.Battery) bool { return x.ID == o.Out[1] })
			finite += scan(t, b, o.Out, o.Limit, sign, i, k)
		}
	})
	if finite < 40 {
		t.Errorf("only %d limits were finite", finite)
	}
}

// scan checks one limit and says whether it was a finite one.
func scan(t *testing.T, b *bank.Bank, name []string, limit, sign float64, out ...int) int {
	t.Helper()
	holds := func(x float64) bool {
		_, _, ok := brute(b, sign*x, out...)
		return ok
	}
	size := math.Abs(limit)
	switch {
	case math.IsNaN(limit):
		if holds(1e-9) {
			t.Errorf("%v out: no limit, yet the smallest draw holds", name)
		}
		return 0
	case math.IsInf(limit, 1):
		size = 3000
	default:
		if limit != 0 && limit*sign < 0 {
			t.Errorf("%v out: limit %g against the case", name, limit)
		}
		if !holds(size) {
			t.Errorf("%v out: does not hold at its limit %g", name, limit)
		}
		if holds(size*(1+1e-6) + 1e-9) {
			t.Errorf("%v out: holds above its limit %g", name, limit)
		}
	}
	for step := range 60 {
		if x := size * float64(step) / 60; !holds(x) {
			t.Errorf("%v out: limit %g, yet %g A does not hold", name, limit, x)
			break
		}
	}
	if math.IsInf(limit, 1) {
		return 0
	}
	return 1
}

// TestSmallOneOpens: two batteries, the small one opens at 20 A of its own and
// the large one bears 100 A. All in: shares are 1 to 2. One out: the large one
// alone bears 100 A, the small one alone 20 A. By hand.
func TestSmallOneOpens(t *testing.T) {
	b := star([]float64{0, 0}, battery("B1", 12.8, 0.010, 20), battery("B2", 12.8, 0.005, 100))
	b.Cables = nil
	for i, id := range []string{"B1", "B2"} {
		ohm := []float64{0.010, 0.005}[i] / 2
		b.Batteries[i].Resistance.V /= 2
		b.Cables = append(b.Cables, wire("P"+id, id+"+", "S", ohm/2), wire("N"+id, id+"-", "T", ohm/2))
	}
	d := mustSolve(t, b, amps(90))
	nearAll(t, "all in", d.AllIn, []float64{30, 60}, 1e-9)
	if !slices.Equal(d.AllInTrips, []string{"B1"}) {
		t.Errorf("%v open", d.AllInTrips)
	}
	near(t, "limit all in", d.LimitAllIn, 60, 1e-9)
	near(t, "limit without B1", d.Outs[0].Limit, 100, 1e-9)
	near(t, "limit without B2", d.Outs[1].Limit, 20, 1e-9)
	near(t, "limit one out", d.LimitOneOut, 20, 1e-9)
	if !d.Outs[0].Holds || d.Outs[1].Holds || d.Outs[1].Trips[0] != "B1" {
		t.Errorf("%+v", d.Outs)
	}
}

// TestHigherDrawHolds: a bank that fails in a range of draws and holds above
// it has its limit at the start of that range. By hand, B3 out, 5 mΩ a branch
// and 0.6 V between the EMFs: B1 carries D/2 − 60, B2 carries D/2 + 60. B1 opens
// at 10 A of charge, B2 at 70 A of discharge; (60 − D/2)/10 and (60 + D/2)/70
// meet at 90 A. Below that B1 opens, and B2 alone bears 70 A; above it B2 opens,
// and B1 alone bears 300 A.
func TestHigherDrawHolds(t *testing.T) {
	b := star([]float64{0.001, 0.001, 0.001}, battery("B1", 12.8, 0.004, 300), battery("B2", 13.4, 0.004, 70),
		battery("B3", 12.8, 0.004, 300))
	b.Batteries[0].Limits.Charge = 10
	for _, row := range []struct {
		draw  float64
		trips []string
		holds bool
	}{
		{60, []string{"B1"}, true}, {70, []string{"B1"}, true}, {75, []string{"B1", "B2"}, false},
		{89, []string{"B1", "B2"}, false}, {91, []string{"B2"}, true}, {299, []string{"B2"}, true}, {301, []string{"B2", "B1"}, false},
	} {
		t.Run(fmt.Sprint(row.draw), func(t *testing.T) {
			o := mustSolve(t, b, amps(row.draw)).Outs[2]
			near(t, "limit without B3", o.Limit, 70, 1e-6)
			if !slices.Equal(o.Trips, row.trips) || o.Holds != row.holds {
				t.Errorf("%v open, holds %v; want %v, %v", o.Trips, o.Holds, row.trips, row.holds)
			}
		})
	}
}

// TestTieAtTheLimit: as above with 105 A for B2 and 80 A for B1. Below D =
// 570/5.75, where (60 − D/2)/10 = (60 + D/2)/105, B1 opens and B2 bears the draw;
// above it B2 opens and B1 fails. At it both are over alike and the first in the
// job opens: with B1 first the bank holds there, with B2 first only just below.
func TestTieAtTheLimit(t *testing.T) {
	const tie = 570 / 5.75
	for _, row := range []struct {
		name  string
		order []int
		want  float64
	}{{"B1 first", []int{0, 1}, tie}, {"B2 first", []int{1, 0}, tie * (1 - 2e-9)}} {
		t.Run(row.name, func(t *testing.T) {
			two := []bank.Battery{battery("B1", 12.8, 0.004, 80), battery("B2", 13.4, 0.004, 105)}
			two[0].Limits.Charge = 10
			b := star([]float64{0.001, 0.001, 0.001}, two[row.order[0]], two[row.order[1]], battery("B3", 12.8, 0.004, 300))
			o := mustSolve(t, b, amps(1)).Outs[2]
			near(t, "limit without B3", o.Limit, row.want, 1e-10*tie)
			if at := mustSolve(t, b, amps(o.Limit)).Outs[2]; !at.Holds || at.Trips[0] != "B1" {
				t.Errorf("at its limit: holds %v, %v open", at.Holds, at.Trips)
			}
		})
	}
}

// TestRestOver: two batteries so unequal that at rest one charges the other
// above its limit; a draw takes that away. By hand: at rest 0.3 V / 12 mΩ is
// 25 A; the lower one's current is D/2 − 25.
func TestRestOver(t *testing.T) {
	b := star([]float64{0.001, 0.001}, battery("B1", 13.1, 0.005, 60), battery("B2", 12.8, 0.005, 60))
	b.Batteries[1].Limits.Charge = 20
	d := mustSolve(t, b, amps(0))
	if !slices.Equal(d.AllInTrips, []string{"B2"}) || d.Draw != 0 {
		t.Errorf("at rest %v open", d.AllInTrips)
	}
	near(t, "limit all in", d.LimitAllIn, 70, 1e-9)
	near(t, "limit one out", d.LimitOneOut, 60, 1e-9)
	b.Batteries[0].Limits.Trip = 31 // from 10 A up for the one, 12 A down for the other
	near(t, "limit all in", mustSolve(t, b, amps(0)).LimitAllIn, 12, 1e-9)
	b.Batteries[0].Limits.Trip = 24
	if d = mustSolve(t, b, amps(0)); !math.IsNaN(d.LimitAllIn) {
		t.Errorf("limit all in %g where every draw is over", d.LimitAllIn)
	}
}

// TestFedBack: at each limit the case itself holds, and a little above the
// worst loss does not.
func TestFedBack(t *testing.T) {
	tried := 0
	eachRandom(t, 3, 80, 0.2, func(t *testing.T, rng *rand.Rand, b *bank.Bank) {
		sign := float64(1 - 2*rng.IntN(2))
		d := mustSolve(t, b, amps(sign))
		if x := d.LimitAllIn; !math.IsNaN(x) && !math.IsInf(x, 1) {
			if at := mustSolve(t, b, amps(x)); at.AllInTrips != nil {
				t.Errorf("at the limit all in, %g, %v open", x, at.AllInTrips)
			}
			if over := mustSolve(t, b, amps(x*(1+1e-6)+sign*1e-9)); over.AllInTrips == nil {
				t.Errorf("above the limit all in, %g, none opens", x)
			}
		}
		x := d.LimitOneOut
		if math.IsNaN(x) || math.IsInf(x, 1) {
			return
		}
		tried++
		if x != 0 && x*sign < 0 || math.Abs(x) > leastLimit(d.Outs) {
			t.Errorf("limit one out %g, least of the outs %g", x, leastLimit(d.Outs))
		}
		fails := 0
		for _, o := range mustSolve(t, b, amps(x)).Outs {
			if !o.Holds {
				t.Errorf("at the limit one out, %g, %v out does not hold", x, o.Out)
			}
		}
		for _, o := range mustSolve(t, b, amps(x*(1+1e-6)+sign*1e-9)).Outs {
			if !o.Holds {
				fails++
			}
		}
		if fails == 0 {
			t.Errorf("above the limit one out, %g, every loss holds", x)
		}
	})
	if tried < 30 {
		t.Errorf("only %d banks had a limit", tried)
	}
}

// TestEqualBatteries: with equal batteries on any wiring in parallel, the loss
// of one never leaves more than all in bear.
func TestEqualBatteries(t *testing.T) {
	for n := 2; n <= 8; n++ {
		for far := 1; far <= n; far++ {
			for _, link := range []float64{1e-5, 3e-4, 3e-3} {
				t.Run(fmt.Sprint(n, far, link), func(t *testing.T) {
					d := mustSolve(t, ladder(n, far, 0.004, link, 120), amps(50))
					if !(d.LimitOneOut <= d.LimitAllIn*(1+1e-12)) {
						t.Errorf("one out %g, all in %g", d.LimitOneOut, d.LimitAllIn)
					}
				})
			}
		}
	}
}

// TestFreshSolve: losses that leave a battery's conductance a ten-thousandth of
// what it was are solved anew, and agree with brute force.
func TestFreshSolve(t *testing.T) {
	b := star([]float64{1e-5, 1e-5, 1e-5}, battery("B1", 13, 1e-6, 0), battery("B2", 12.9, 1e-6, 0), battery("B3", 12.8, 1, 0))
	s, err := newStudy(b, amps(10))
	if err != nil {
		t.Fatal(err)
	}
	two := s.lose(s.lose(s.base, 0), 1)
	one := s.lose(s.lose(s.base, 0), 2)
	if two.parent != nil || one.parent == nil {
		t.Fatal("solved anew in the wrong place")
	}
	for out, st := range map[[2]int]*state{{0, 1}: two, {0, 2}: one} {
		just, _, _ := brute(b, 10, out[0], out[1])
		nearAll(t, fmt.Sprint(out), s.currents(st), just, 1e-8)
	}
}
