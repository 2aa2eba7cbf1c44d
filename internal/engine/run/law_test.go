package run

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/cell"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// random is a bank of unlike batteries with slow branches, in a chain or as two
// strings of two.
func random(rng *rand.Rand, trial int) *bank.Bank {
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	one := func(i int) bank.Battery {
		b := exact(fmt.Sprintf("B%d", i+1), fourLFP, between(3e-3, 9e-3), between(80, 160), between(0.5, 0.8))
		for k := range 1 + rng.IntN(2) {
			b.Model.Branches = append(b.Model.Branches, bank.Branch{Resistance: source.Of(quantity.Resistance(between(1e-3, 4e-3))), Time: source.Of(quantity.Duration(between(10, 60) * math.Pow(20, float64(k))))})
		}
		return b
	}
	if trial%3 == 0 {
		b := &bank.Bank{Batteries: []bank.Battery{one(0), one(1), one(2), one(3)}}
		wire := func(from, to bank.End) {
			b.Cables = append(b.Cables, bank.Cable{ID: from.String() + to.String(), From: from, To: to, Whole: source.Of(quantity.Resistance(between(1e-4, 1e-3)))})
		}
		wire(b.Batteries[0].Plus(), b.Batteries[1].Minus())
		wire(b.Batteries[2].Plus(), b.Batteries[3].Minus())
		wire(b.Batteries[1].Plus(), b.Batteries[3].Plus())
		wire(b.Batteries[0].Minus(), b.Batteries[2].Minus())
		b.Takeoff = bank.Takeoff{Positive: b.Batteries[1].Plus(), Negative: b.Batteries[2].Minus()}
		return b
	}
	n := 2 + rng.IntN(4)
	var all []bank.Battery
	for i := range n {
		all = append(all, one(i))
	}
	return chain(between(1e-4, 1e-3), rng.IntN(n), all...)
}

// TestConservation: charge and energy over a discharge, a rest and a charge, to
// 1e-6 of what passed.
func TestConservation(t *testing.T) {
	for trial := range 12 {
		t.Run(fmt.Sprint(trial), func(t *testing.T) {
			b := random(rand.New(rand.NewPCG(11, uint64(trial))), trial)
			cases := []bank.Case{draw(90, 0.3), {ID: "rest", For: 900}, {ID: "shore", Current: -60, For: 900}, {ID: "kettle", Power: 900, ByPower: true, For: 300}}
			r := mustRun(t, b, Options{Every: 1, MaxStep: 1}, cases...)
			if len(r.Events) > 0 {
				t.Fatalf("%+v", r.Events)
			}
			passed := 0.0
			for i := range r.Batteries {
				passed += r.Batteries[i].Out + r.Batteries[i].In
			}
			near(t, "charge lost by the sums, C", r.ChargeError, 0, 1e-6*passed)
			checkEnergy(t, b, r, cases)
		})
	}
}

// checkEnergy adds up from the samples what the open-circuit curves gave, what
// went out at the take-off, and what became heat in resistances, branches and
// wiring, the last from whole snapshots of the bank.
func checkEnergy(t *testing.T, b *bank.Bank, r *report.Run, cases []bank.Case) {
	t.Helper()
	var curves, posts float64
	for i := range r.Batteries {
		c := cell.New(&b.Batteries[i])
		s := r.Batteries[i].Charge
		curves += c.Stored(s[0]) - c.Stored(last(s))
		posts += r.Batteries[i].OutJ - r.Batteries[i].InJ
	}
	scale := r.Energy + r.TakenJ
	ohmic, slow, wiring := 0.0, 0.0, 0.0
	for n := 1; n < len(r.Time); n++ {
		if r.Time[n]-r.Time[n-1] < 0.5 {
			continue
		}
		for i := range r.Batteries {
			o := &r.Batteries[i]
			heat := func(n int) (float64, float64) {
				lost := b.Batteries[i].Model.Curve.At(o.Charge[n]) - o.EMF[n] // what the branches hold back
				return o.Current[n] * o.Current[n] * o.Resistance[n], o.Current[n] * lost
			}
			r0, s0 := heat(n - 1)
			r1, s1 := heat(n)
			ohmic += (r0 + r1) / 2 * (r.Time[n] - r.Time[n-1])
			slow += (s0 + s1) / 2 * (r.Time[n] - r.Time[n-1])
		}
	}
	wiring = posts - (r.Energy - r.TakenJ)
	if wiring <= 0 {
		t.Errorf("the wiring gives energy: %g J", wiring)
	}
	// The samples hold what stood before each change of case, so the four jumps
	// are worth a second of power each at most.
	near(t, "curves less heat less take-off, J", curves-ohmic-slow-posts, 0, 1e-6*scale+float64(len(cases))*600)
	for _, n := range []int{1, len(r.Time) / 3, len(r.Time) - 2} {
		checkInstant(t, b, r, n)
	}
}

// checkInstant solves one sample anew as a snapshot with the voltages and
// resistances of that moment.
func checkInstant(t *testing.T, b *bank.Bank, r *report.Run, n int) {
	t.Helper()
	still := *b
	still.Batteries = append([]bank.Battery{}, b.Batteries...)
	for i := range still.Batteries {
		still.Batteries[i].EMF.V = quantity.Voltage(r.Batteries[i].EMF[n])
		still.Batteries[i].Resistance.V = quantity.Resistance(r.Batteries[i].Resistance[n])
	}
	s, err := sharing.Solve(&still, bank.Case{Current: quantity.Current(r.Current[n])})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "take-off, V", r.Voltage[n], s.Voltage, 1e-9)
	gave := 0.0
	for i := range r.Batteries {
		near(t, fmt.Sprintf("battery %d at sample %d, A", i, n), r.Batteries[i].Current[n], s.Batteries[i].Current, 1e-7)
		near(t, fmt.Sprintf("battery %d at sample %d, V", i, n), r.Batteries[i].Voltage[n], s.Batteries[i].Voltage, 1e-9)
		gave += r.Batteries[i].Current[n] * r.Batteries[i].Voltage[n]
	}
	near(t, "wiring, W", gave-r.Current[n]*r.Voltage[n], s.WiringLoss, 1e-6*math.Abs(gave))
}

// TestEnergyOfEachCase holds conservation to 1e-6 where nothing jumps.
func TestEnergyOfEachCase(t *testing.T) {
	for trial := range 8 {
		b := random(rand.New(rand.NewPCG(12, uint64(trial))), trial)
		c := draw(80, 0.5)
		if trial%2 == 1 {
			c = bank.Case{ID: "kettle", Power: 1000, ByPower: true, For: 1800}
		}
		r := mustRun(t, b, Options{Every: 0.5, MaxStep: 0.5}, c)
		curves, lost := 0.0, 0.0
		for i := range r.Batteries {
			k, o := cell.New(&b.Batteries[i]), &r.Batteries[i]
			curves += k.Stored(o.Charge[0]) - k.Stored(last(o.Charge))
			for n := 1; n < len(r.Time); n++ {
				lost += (o.Heat[n] + o.Heat[n-1]) / 2 * (r.Time[n] - r.Time[n-1])
			}
			lost += o.OutJ - o.InJ
		}
		near(t, fmt.Sprintf("trial %d, J of %.0f", trial, curves), curves-lost, 0, 1e-6*curves)
	}
}

// TestEqualStaysEqual: a star of equal batteries never parts, and all go out at
// one instant.
func TestEqualStaysEqual(t *testing.T) {
	var all []bank.Battery
	for i := range 5 {
		b := exact(fmt.Sprintf("B%d", i+1), fourLFP, 5e-3, 100, 0.95)
		b.Model.Guard.Trip = source.Of(quantity.Current(21))
		all = append(all, b)
	}
	b := &bank.Bank{Batteries: all, Parts: []bank.Part{{ID: "S1", Kind: bank.Stud}, {ID: "S2", Kind: bank.Stud}},
		Takeoff: bank.Takeoff{Positive: bank.End{ID: "S1"}, Negative: bank.End{ID: "S2"}}}
	for i := range all {
		b.Cables = append(b.Cables,
			bank.Cable{ID: fmt.Sprint("P", i), From: bank.End{ID: "S1"}, To: all[i].Plus(), Whole: source.Of(quantity.Resistance(0.3e-3))},
			bank.Cable{ID: fmt.Sprint("N", i), From: bank.End{ID: "S2"}, To: all[i].Minus(), Whole: source.Of(quantity.Resistance(0.2e-3))})
	}
	r := mustRun(t, b, Options{Every: 60}, bank.Case{ID: "load", Current: 100})
	for n := range r.Time {
		for i := range r.Batteries {
			near(t, "share", r.Batteries[i].Current[n], 20, 1e-9)
		}
	}
	if len(r.Events) != 5 {
		t.Fatalf("%+v", r.Events)
	}
	for i, e := range r.Events {
		if e.What != report.Empty || e.Time != r.Events[0].Time || e.Battery != all[i].ID {
			t.Errorf("event %d: %+v", i, e)
		}
	}
	near(t, "given, Ah", r.BankOut/3600, 475, 1e-5)
}

// TestHalving: half the step and a quarter of the tolerance move states and
// events by what second order promises and no more.
func TestHalving(t *testing.T) {
	for _, last := range []int{0, 3} {
		coarse := mustRun(t, four(last), Options{Every: 600}, bank.Case{ID: "load", Current: 100})
		fine := mustRun(t, four(last), Options{Every: 600, MaxStep: MaxStep / 2, Tolerance: Tolerance / 4}, bank.Case{ID: "load", Current: 100})
		finest := mustRun(t, four(last), Options{Every: 600, MaxStep: MaxStep / 8, Tolerance: Tolerance / 64}, bank.Case{ID: "load", Current: 100})
		for i := range coarse.Batteries {
			for n := range min(len(coarse.Time), len(finest.Time)) - 1 {
				near(t, "coarse", coarse.Batteries[i].Charge[n], finest.Batteries[i].Charge[n], 2e-6)
				near(t, "fine", fine.Batteries[i].Charge[n], finest.Batteries[i].Charge[n], 6e-7)
			}
		}
		for n := range coarse.Events {
			near(t, "event", coarse.Events[n].Time, finest.Events[n].Time, 0.05)
		}
	}
}

// TestSameOnAnyMachine: a run is one thread of arithmetic in one order.
func TestSameOnAnyMachine(t *testing.T) {
	b := random(rand.New(rand.NewPCG(13, 1)), 1)
	cases := []bank.Case{draw(150, 0), {ID: "shore", Current: -100, For: 7200}}
	before := runtime.GOMAXPROCS(1)
	one := mustRun(t, b, Options{Every: 60}, cases...)
	runtime.GOMAXPROCS(max(4, before))
	four := mustRun(t, b, Options{Every: 60}, cases...)
	runtime.GOMAXPROCS(before)
	if d := cmp.Diff(one, four, cmpopts.EquateNaNs()); d != "" {
		t.Error(d)
	}
	if len(one.Events) < len(b.Batteries) {
		t.Errorf("too few events to say much: %+v", one.Events)
	}
}
