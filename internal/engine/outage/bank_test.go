package outage

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// end reads an end as a job writes it; a slip in a test panics.
func end(s string) bank.End {
	e, err := bank.ParseEnd(s)
	if err != nil {
		panic(err)
	}
	return e
}

func battery(id string, emf, ohm, trip float64) bank.Battery {
	return bank.Battery{ID: id, EMF: source.Of(quantity.Voltage(emf)), Resistance: source.Of(quantity.Resistance(ohm)),
		Capacity: source.Of(quantity.Charge(100 * 3600)), Limits: bank.Limits{Trip: quantity.Current(trip)}}
}

func wire(id, from, to string, ohm float64) bank.Cable {
	return bank.Cable{ID: id, From: end(from), To: end(to), Whole: source.Of(quantity.Resistance(ohm))}
}

func takeoff(positive, negative string) bank.Takeoff {
	return bank.Takeoff{Positive: end(positive), Negative: end(negative)}
}

func amps(i float64) bank.Case { return bank.Case{ID: "test", Current: quantity.Current(i)} }

// ladder is n batteries side by side on two chains of links, taken off at
// post 1 and at the negative post of battery far.
func ladder(n, far int, ohm, link, trip float64) *bank.Bank {
	b := &bank.Bank{Takeoff: takeoff("B1+", fmt.Sprintf("B%d-", far))}
	for i := range n {
		b.Batteries = append(b.Batteries, battery(fmt.Sprintf("B%d", i+1), 12.8, ohm, trip))
		if i > 0 {
			b.Cables = append(b.Cables,
				wire(fmt.Sprintf("P%d", i), fmt.Sprintf("B%d+", i), fmt.Sprintf("B%d+", i+1), link),
				wire(fmt.Sprintf("N%d", i), fmt.Sprintf("B%d-", i), fmt.Sprintf("B%d-", i+1), link))
		}
	}
	return b
}

// star is batteries on two studs by leads of their own, equal on both rails.
func star(leads []float64, batteries ...bank.Battery) *bank.Bank {
	b := &bank.Bank{Batteries: batteries, Takeoff: takeoff("S", "T"),
		Parts: []bank.Part{{ID: "S", Kind: bank.Stud}, {ID: "T", Kind: bank.Stud}}}
	for i := range batteries {
		id := batteries[i].ID
		b.Cables = append(b.Cables, wire("P"+id, id+"+", "S", leads[i]/2), wire("N"+id, id+"-", "T", leads[i]/2))
	}
	return b
}

// random is one to five strings of one to three batteries on rails that are
// random trees, sometimes with a ring, a bar or a tie, EMFs that differ by
// spread volts, limits for some.
func random(rng *rand.Rand, spread float64) *bank.Bank {
	between := func(low, high float64) float64 { return low + (high-low)*rng.Float64() }
	ohm := func() float64 { return math.Pow(10, between(-4, -2)) }
	b := &bank.Bank{}
	cable := func(from, to bank.End) {
		c := wire(fmt.Sprintf("W%d", len(b.Cables)+1), "A+", "A-", ohm())
		c.From, c.To = from, to
		b.Cables = append(b.Cables, c)
	}
	parallel, series := 1+rng.IntN(5), 1+rng.IntN(3)
	var top, bottom []bank.End
	for p := range parallel {
		for k := range series {
			one := battery(fmt.Sprintf("B%d", len(b.Batteries)+1), 12.8+spread*rng.Float64(), ohm(), 0)
			one.Limits = bank.Limits{Trip: quantity.Current(between(40, 200))}
			switch rng.IntN(4) {
			case 0:
				one.Limits = bank.Limits{}
			case 1:
				one.Limits.Charge = quantity.Current(between(20, 200))
			case 2:
				one.Limits = bank.Limits{Discharge: quantity.Current(between(40, 200)), Charge: quantity.Current(between(20, 200))}
			}
			b.Batteries = append(b.Batteries, one)
			if below := len(b.Batteries) - 2; k > 0 {
				cable(b.Batteries[below].Plus(), one.Minus())
				if p > 0 && rng.IntN(4) == 0 {
					cable(b.Batteries[below].Plus(), b.Batteries[(p-1)*series+k-1].Plus())
				}
			}
		}
		top = append(top, b.Batteries[p*series+series-1].Plus())
		bottom = append(bottom, b.Batteries[p*series].Minus())
	}
	rail := func(name string, ends []bank.End) bank.End {
		if rng.IntN(2) == 0 {
			bar := bank.Part{ID: name, Kind: bank.Bar, Studs: 3, Resistance: source.Of(quantity.Resistance(ohm()))}
			b.Parts = append(b.Parts, bar)
			ends = append(ends, bar.Ends()...)
		}
		for i := 1; i < len(ends); i++ {
			cable(ends[i], ends[rng.IntN(i)])
		}
		if len(ends) > 2 && rng.IntN(2) == 0 {
			cable(ends[0], ends[2])
		}
		return ends[rng.IntN(len(ends))]
	}
	b.Takeoff = bank.Takeoff{Positive: rail("P", top), Negative: rail("N", bottom)}
	return b
}

// eachRandom runs a property over random banks.
func eachRandom(t *testing.T, seed uint64, n int, spread float64, property func(t *testing.T, rng *rand.Rand, b *bank.Bank)) {
	t.Helper()
	for i := range n {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			rng := rand.New(rand.NewPCG(seed, uint64(i)))
			property(t, rng, random(rng, spread))
		})
	}
}

func clone(b *bank.Bank) *bank.Bank {
	c := *b
	c.Batteries = append([]bank.Battery(nil), b.Batteries...)
	c.Cables = append([]bank.Cable(nil), b.Cables...)
	return &c
}

func mustSolve(t *testing.T, b *bank.Bank, c bank.Case) report.Dropout {
	t.Helper()
	d, err := Solve(b, c, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// near fails unless got is within tol of want; NaN is near nothing.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.15g, want %.15g within %.2g", what, got, want, tol)
	}
}

func nearAll(t *testing.T, what string, got, want []float64, tol float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%s: %v, want %v", what, got, want)
	}
	for i := range got {
		near(t, fmt.Sprintf("%s %d", what, i+1), got[i], want[i], tol)
	}
}

// brute is the loss of batteries by snapshots of the bank with them off, one
// after the other: no shared arithmetic with this package but the snapshot.
func brute(b *bank.Bank, draw float64, out ...int) (just []float64, trips []string, holds bool) {
	c := clone(b)
	for _, k := range out {
		c.Batteries[k].Off = true
	}
	for {
		s, err := sharing.Solve(c, amps(draw))
		if err != nil {
			return just, trips, false
		}
		worst, most := -1, 1+1e-9
		var current []float64
		for i := range s.Batteries {
			one := s.Batteries[i].Current
			current = append(current, one)
			l := c.Batteries[i].Limits
			limit := float64(l.Charge)
			if one > 0 {
				if limit = float64(l.Trip); limit == 0 {
					limit = float64(l.Discharge)
				}
			}
			if over := math.Abs(one) / limit; limit > 0 && over > most*(1+1e-9) {
				worst, most = i, over
			}
		}
		if just == nil {
			just = current
		}
		if worst < 0 {
			return just, trips, true
		}
		trips = append(trips, c.Batteries[worst].ID)
		c.Batteries[worst].Off = true
	}
}
