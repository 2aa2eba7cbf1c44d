package spread

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
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

func unit(id string, emf, ohm, ah, trip float64) bank.Battery {
	return bank.Battery{ID: id, EMF: source.Of(quantity.Voltage(emf)), Resistance: source.Of(quantity.Resistance(ohm)),
		Capacity: source.Of(quantity.Charge(ah * 3600)), Limits: bank.Limits{Trip: quantity.Current(trip)}}
}

// byLength is a cable of 0.25 mΩ/m with its joints.
func byLength(id, from, to string, metres, joint float64) bank.Cable {
	j := source.Of(quantity.Resistance(joint))
	return bank.Cable{ID: id, From: end(from), To: end(to), Length: source.Of(quantity.Length(metres)),
		PerLength: source.Of(quantity.ResistancePerLength(0.25e-3)), Coefficient: source.Of(0.00393),
		Joints: [2]source.Value[quantity.Resistance]{j, j}}
}

func whole(id, from, to string, ohm float64) bank.Cable {
	return bank.Cable{ID: id, From: end(from), To: end(to), Whole: source.Of(quantity.Resistance(ohm))}
}

// amps is a case with its cables at 20 °C, where a length counts as it stands.
func amps(i float64) bank.Case {
	c := bank.Case{ID: "test", Current: quantity.Current(i)}
	c.CableTemperature = source.Of(quantity.Temperature(293.15))
	return c
}

// ladder is n batteries of 4 mΩ on two chains of 0.3 m cables, taken off at
// opposite ends.
func ladder(n int, trip float64) *bank.Bank {
	b := &bank.Bank{Takeoff: bank.Takeoff{Positive: end("B1+"), Negative: end(fmt.Sprintf("B%d-", n))}}
	for i := range n {
		b.Batteries = append(b.Batteries, unit(fmt.Sprintf("B%d", i+1), 13.2, 0.004, 100, trip))
		if i > 0 {
			b.Cables = append(b.Cables,
				byLength(fmt.Sprintf("P%d", i), fmt.Sprintf("B%d+", i), fmt.Sprintf("B%d+", i+1), 0.3, 5e-5),
				byLength(fmt.Sprintf("N%d", i), fmt.Sprintf("B%d-", i), fmt.Sprintf("B%d-", i+1), 0.3, 5e-5))
		}
	}
	return b
}

// star is batteries on two studs by cables of these metres on each rail.
func star(metres, joint float64, batteries ...bank.Battery) *bank.Bank {
	b := &bank.Bank{Batteries: batteries, Takeoff: bank.Takeoff{Positive: end("S"), Negative: end("T")},
		Parts: []bank.Part{{ID: "S", Kind: bank.Stud}, {ID: "T", Kind: bank.Stud}}}
	for i := range batteries {
		id := batteries[i].ID
		b.Cables = append(b.Cables, byLength("P"+id, id+"+", "S", metres, joint), byLength("N"+id, id+"-", "T", metres, joint))
	}
	return b
}

// random is one to five strings of one to three batteries on rails that are
// random trees, sometimes with a ring, a bar, a tie or a battery off.
func random(rng *rand.Rand) *bank.Bank {
	between := func(low, high float64) float64 { return low + (high-low)*rng.Float64() }
	b := &bank.Bank{}
	cable := func(from, to bank.End) {
		c := byLength(fmt.Sprintf("W%d", len(b.Cables)+1), "A+", "A-", between(0.1, 3), between(1e-6, 1e-4))
		if rng.IntN(3) == 0 {
			c = whole(c.ID, "A+", "A-", math.Pow(10, between(-5, -2)))
		}
		c.From, c.To = from, to
		b.Cables = append(b.Cables, c)
	}
	parallel, series := 1+rng.IntN(5), 1+rng.IntN(3)
	var top, bottom []bank.End
	for p := range parallel {
		for k := range series {
			one := unit(fmt.Sprintf("B%d", len(b.Batteries)+1), between(12.6, 13), math.Pow(10, between(-3, -2)), between(50, 200), between(50, 200))
			one.Limits.Charge = quantity.Current(between(50, 100))
			one.Off = p > 0 && rng.IntN(6) == 0
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
			bar := bank.Part{ID: name, Kind: bank.Bar, Studs: 3, Resistance: source.Of(quantity.Resistance(between(1e-5, 1e-3)))}
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

// only varies one kind.
func only(what string, spread float64, builds int) Options {
	o := Options{Builds: builds, Seed: 7}
	r := source.Of(quantity.Ratio(spread))
	switch what {
	case Resistance:
		o.Resistance = r
	case Capacity:
		o.Capacity = r
	case EMF:
		o.EMF = source.Of(quantity.Voltage(spread))
	case Joints:
		o.Joints = r
	case Lengths:
		o.Lengths = r
	}
	return o
}

func mustSolve(t testing.TB, b *bank.Bank, c bank.Case, o Options) report.Spread {
	t.Helper()
	s, err := Solve(context.Background(), b, c, o, nil)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// near fails unless got is within tol of want; NaN is near nothing.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.15g, want %.15g within %.2g", what, got, want, tol)
	}
}

func mean(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum / float64(len(values))
}
