package sharing

import (
	"math"
	"math/rand/v2"
	"testing"

	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// element is one branch of the circuit as the result states it.
type element struct {
	name     string
	from, to bank.End
	current  float64 // from → to
	rise     float64 // V(to) − V(from)
}

// elements lists what carries current, each checked against Ohm's law with the
// bank's own values.
func elements(t *testing.T, b *bank.Bank, s report.Sharing) []element {
	t.Helper()
	var all []element
	for i := range b.Batteries {
		bat, one := &b.Batteries[i], s.Batteries[i]
		if one.ID != bat.ID || one.Off != bat.Off {
			t.Fatalf("battery %d of the result is %+v, of the bank %s", i, one, bat.ID)
		}
		if bat.Off {
			if one.Current != 0 || one.Heat != 0 || one.Group != -1 || !math.IsNaN(one.Share) {
				t.Errorf("%s is off and has %+v", bat.ID, one)
			}
			continue
		}
		near(t, bat.ID+" voltage", one.Voltage, float64(bat.EMF.V)-one.Current*float64(bat.Resistance.V), 1e-9)
		near(t, bat.ID+" heat", one.Heat, one.Current*one.Current*float64(bat.Resistance.V), 1e-9*(1+one.Heat))
		all = append(all, element{bat.ID, bat.Minus(), bat.Plus(), one.Current, one.Voltage})
	}
	for i := range b.Cables {
		c, f := &b.Cables[i], s.Cables[i]
		if f.ID != c.ID || f.From != c.From || f.To != c.To {
			t.Fatalf("cable %d of the result is %+v, of the bank %s", i, f, c.ID)
		}
		near(t, c.ID+" resistance", f.Resistance, float64(c.Resistance(s.Case.CableTemperature.V)), 0)
		all = append(all, flowElement(t, f))
	}
	for _, f := range s.Parts {
		all = append(all, flowElement(t, f))
	}
	return all
}

func flowElement(t *testing.T, f report.Flow) element {
	t.Helper()
	near(t, f.ID+" drop", f.Drop, f.Current*f.Resistance, 1e-9)
	near(t, f.ID+" heat", f.Heat, f.Current*f.Current*f.Resistance, 1e-9*(1+f.Heat))
	return element{f.ID, f.From, f.To, f.Current, -f.Drop}
}

// checkLaws works Kirchhoff's two laws and the power balance out from the
// result and the bank alone.
func checkLaws(t *testing.T, b *bank.Bank, s report.Sharing) {
	t.Helper()
	all := elements(t, b, s)
	most := math.Max(1, math.Abs(s.Current))
	for _, e := range all {
		most = math.Max(most, math.Abs(e.current))
	}
	sum := map[bank.End]float64{b.Takeoff.Positive: -s.Current}
	sum[b.Takeoff.Negative] += s.Current
	for _, e := range all {
		sum[e.from] -= e.current
		sum[e.to] += e.current
	}
	for _, e := range b.Ends() {
		// Some tens of additions of currents up to the largest.
		near(t, "sum of currents at "+e.String(), sum[e], 0, 1e-11*most)
	}
	if !(s.Residual <= 1e-11*most) {
		t.Errorf("residual %g of currents up to %g A", s.Residual, most)
	}
	checkVoltages(t, b, s, all)
	checkPower(t, b, s)
}

// checkVoltages gives every end a potential by walking from the negative
// take-off, and then goes round every element.
func checkVoltages(t *testing.T, b *bank.Bank, s report.Sharing, all []element) {
	t.Helper()
	potential := map[bank.End]float64{b.Takeoff.Negative: 0}
	for grown := true; grown; {
		grown = false
		for _, e := range all {
			from, haveFrom := potential[e.from]
			to, haveTo := potential[e.to]
			switch {
			case haveFrom && !haveTo:
				potential[e.to], grown = from+e.rise, true
			case haveTo && !haveFrom:
				potential[e.from], grown = to-e.rise, true
			}
		}
	}
	const volts = 1e-9 // of some tens of volts, added up over some tens of elements
	for _, e := range all {
		if from, ok := potential[e.from]; ok {
			near(t, "voltage round "+e.name, potential[e.to]-from, e.rise, volts)
		}
	}
	near(t, "take-off voltage", potential[b.Takeoff.Positive], s.Voltage, volts)
	for i := range b.Batteries {
		bat := &b.Batteries[i]
		plus, okPlus := potential[bat.Plus()]
		minus, okMinus := potential[bat.Minus()]
		if bat.Off && okPlus && okMinus {
			near(t, "voltage across "+bat.ID+", off", s.Batteries[i].Voltage, plus-minus, volts)
		}
	}
}

// checkPower: what the EMFs give is what the take-off gets and what turns to
// heat.
func checkPower(t *testing.T, b *bank.Bank, s report.Sharing) {
	t.Helper()
	var given, sum, loss, wiring float64
	for i := range b.Batteries {
		p := float64(b.Batteries[i].EMF.V) * s.Batteries[i].Current
		given, sum = given+p, sum+math.Abs(p)
		loss += s.Batteries[i].Heat
	}
	for _, flows := range [][]report.Flow{s.Cables, s.Parts} {
		for _, f := range flows {
			wiring += f.Heat
		}
	}
	near(t, "wiring loss", s.WiringLoss, wiring, 1e-9*(1+wiring))
	near(t, "loss", s.Loss, loss+wiring, 1e-9*(1+loss+wiring))
	near(t, "power of the EMFs", given, s.Voltage*s.Current+s.Loss, 1e-9*(1+sum+s.Loss))
}

// TestLaws: random banks at draw, charge, power and rest.
func TestLaws(t *testing.T) {
	kinds := map[string]int{}
	eachRandom(t, 1, false, func(t *testing.T, rng *rand.Rand, b *bank.Bank) {
		s := mustSolve(t, b, amps(rng.Float64()*600-300))
		checkLaws(t, b, s)
		checkShares(t, b, s)
		rest := mustSolve(t, b, amps(0))
		checkLaws(t, b, rest)
		near(t, "resistance from two currents", s.Resistance, (rest.Voltage-s.Voltage)/s.Current, 1e-7*s.Resistance)
		charge := mustSolve(t, b, watts(-500*rng.Float64()))
		checkLaws(t, b, charge)
		near(t, "charging power", charge.Voltage*charge.Current, float64(charge.Case.Power), 1e-9*500)
		for _, p := range b.Parts {
			kinds[string(p.Kind)]++
			if p.Open {
				kinds["open switch"]++
			}
		}
		for i := range b.Batteries {
			if b.Batteries[i].Off {
				kinds["off"]++
			}
		}
		if b.Batteries[0].Plus() != b.Takeoff.Positive {
			kinds["take-off elsewhere"]++
		}
	})
	for _, kind := range []string{"stud", "bar", "fuse", "switch", "shunt", "open switch", "off", "take-off elsewhere"} {
		if kinds[kind] < 10 {
			t.Errorf("the random banks hold %s only %d times", kind, kinds[kind])
		}
	}
}

// checkShares works the shares out by their definition. The mean of a group's
// shares, weighed by capacity, is one.
func checkShares(t *testing.T, b *bank.Bank, s report.Sharing) {
	t.Helper()
	type group struct{ current, capacity, mean float64 }
	groups := map[int]*group{}
	for i, one := range s.Batteries {
		if one.Group < 0 {
			continue
		}
		if groups[one.Group] == nil {
			groups[one.Group] = &group{}
		}
		g := groups[one.Group]
		g.current += one.Current
		g.capacity += float64(b.Batteries[i].Capacity.V)
	}
	worst := math.Inf(-1)
	for i, one := range s.Batteries {
		if one.Group < 0 {
			continue
		}
		g, c := groups[one.Group], float64(b.Batteries[i].Capacity.V)
		near(t, one.ID+" share", one.Share, one.Current/c/(g.current/g.capacity), 1e-9*math.Max(1, math.Abs(one.Share)))
		g.mean += one.Share * c / g.capacity
		worst = math.Max(worst, one.Share)
	}
	near(t, "imbalance", s.Imbalance, worst-1, 1e-9)
	for k, g := range groups {
		if !(math.Abs(g.mean-1) <= 1e-6) {
			t.Errorf("mean share of group %d is %g", k, g.mean)
		}
	}
}
