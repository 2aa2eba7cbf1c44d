package outage

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// TestCascade: four batteries of 5 mΩ, links of 0.5 mΩ, 300 A, trip at 100 A
// each. Currents computed twice with other tools (a nodal solve and a general
// circuit simulator), not published; to 0.01 A, their last digit. Trips and
// limits follow from them by hand: 300 A · 100 A / largest current.
func TestCascade(t *testing.T) {
	for _, row := range []struct {
		name    string
		far     int
		all     []float64
		trips   []string
		outs    map[string][]float64
		holdAll bool
	}{
		{"same end", 1, []float64{115.62, 78.75, 57.62, 48.02}, []string{"B1", "B2", "B3", "B4"},
			map[string][]float64{"B1": {0, 128.13, 93.75, 78.13}}, false},
		{"diagonal", 4, []float64{81.82, 68.18, 68.18, 81.82}, nil,
			map[string][]float64{"B1": {0, 103.13, 93.75, 103.13}, "B2": {107.94, 0, 91.12, 100.93}}, true},
	} {
		t.Run(row.name, func(t *testing.T) {
			d := mustSolve(t, ladder(4, row.far, 0.005, 0.0005, 100), amps(300))
			nearAll(t, "all in", d.AllIn, row.all, 0.01)
			if !slices.Equal(d.AllInTrips, row.trips) {
				t.Errorf("with all in %v open, want %v", d.AllInTrips, row.trips)
			}
			near(t, "limit all in", d.LimitAllIn, 300*100/slices.Max(row.all), 0.05)
			for _, o := range d.Outs {
				if want, known := row.outs[o.Out[0]]; known {
					nearAll(t, o.Out[0]+" out", o.Current, want, 0.01)
					near(t, o.Out[0]+" out, worst", o.Worst, slices.Max(want)/100, 1e-4)
					near(t, o.Out[0]+" out, limit", o.Limit, 300*100/slices.Max(want), 0.05)
				}
				if o.Holds || len(o.Trips) != 3 {
					t.Errorf("%s out: holds %v, %v open; at 300 A no three hold", o.Out[0], o.Holds, o.Trips)
				}
			}
			near(t, "limit one out", d.LimitOneOut, leastLimit(d.Outs), 1e-9)
			for _, l := range d.Limit {
				if l != (report.Limit{Current: 100, What: "trip"}) {
					t.Errorf("limit %+v", l)
				}
			}
		})
	}
}

func leastLimit(outs []report.Out) float64 {
	least := math.Inf(1)
	for _, o := range outs {
		least = min(least, math.Abs(o.Limit))
	}
	return least
}

// TestAged: as above, opposite ends, 200 A, battery 1 at 10 mΩ; computed twice
// with other tools, not published, to 0.01 A.
func TestAged(t *testing.T) {
	d := mustSolve(t, ladder(4, 4, 0.005, 0.0005, 300), amps(200))
	w := find(t, d.Weak, Aged, "B1")
	nearAll(t, "B1 aged", w.Current, []float64{33.78, 54.32, 51.94, 59.95}, 0.01)
	near(t, "worst", w.Worst, 0.19983, 1e-4)
	// By hand: capacity 380 Ah together, B4's part of the current over its part of that.
	near(t, "share", w.Share, 59.95/200*3.8-1, 1e-3)
	if w.WorstID != "B4" || w.ShareID != "B4" || !w.Holds || w.Trips != nil {
		t.Errorf("%+v", w)
	}
	if !strings.Contains(w.Assumed, "resistance × 2, common practice") || !strings.Contains(w.Assumed, "capacity × 0.8, common practice") {
		t.Errorf("assumed %q", w.Assumed)
	}
}

// TestBadJoint: the positive link 1-2 with 3 mΩ more; computed twice with other
// tools, not published, to 0.01 A.
func TestBadJoint(t *testing.T) {
	d, err := Solve(ladder(4, 4, 0.005, 0.0005, 80), amps(200), Options{Joint: 0.003})
	if err != nil {
		t.Fatal(err)
	}
	w := find(t, d.Weak, BadJoint, "P1")
	nearAll(t, "P1 bad", w.Current, []float64{93.73, 28.72, 33.21, 44.34}, 0.01)
	if w.Assumed != "3 mΩ more, as asked" || w.WorstID != "B1" || w.Trips[0] != "B1" {
		t.Errorf("%+v", w)
	}
	// Without B1 its bad joint is a lead of the other three, which are a ladder
	// at opposite ends, rho 0.2: 1.031 · 200/3 A is below 80 A (closed form).
	if !w.Holds || len(w.Trips) != 1 {
		t.Errorf("holds %v, %v open", w.Holds, w.Trips)
	}
}

func find(t *testing.T, all []report.Weak, what, place string) report.Weak {
	t.Helper()
	for _, w := range all {
		if w.What == what && w.Place == place {
			return w
		}
	}
	t.Fatalf("no %q at %s", what, place)
	return report.Weak{}
}

// TestCold: the factor is the source's table, straight in the logarithm; each
// side is a half of the bank.
func TestCold(t *testing.T) {
	// 1 s step resistance at -5, 5 and 25 °C, mΩ, derived from open data.
	near(t, "factor at 0 °C", Defaults().ColdLFP, math.Exp((math.Log(28.9)+math.Log(17.4))/2)/9.66, 0.005)
	b := star([]float64{0.001, 0.001, 0.001, 0.001, 0.001}, battery("B1", 12.8, 0.005, 0), battery("B2", 12.8, 0.005, 0),
		battery("B3", 12.8, 0.005, 0), battery("B4", 12.8, 0.005, 0), battery("B5", 12.8, 0.005, 0))
	for i := range b.Batteries {
		b.Batteries[i].Chemistry = bank.LFP
	}
	b.Batteries[4].Chemistry = bank.AGM
	cold := func() (sides []report.Weak) {
		for _, w := range mustSolve(t, b, amps(100)).Weak {
			if w.What == ColdSide {
				sides = append(sides, w)
			}
		}
		return sides
	}
	sides := cold()
	if len(sides) != 2 || sides[0].Place != "B1, B2" || sides[1].Place != "B4, B5" {
		t.Fatalf("without places: %+v", sides)
	}
	// By hand: conductances in the star, 6 mΩ warm, 12.6 mΩ cold lfp, 8.5 mΩ cold agm.
	g := []float64{1 / 6.0, 1 / 6.0, 1 / 6.0, 1 / 12.6, 1 / 8.5}
	for i, sum := 0, g[0]+g[1]+g[2]+g[3]+g[4]; i < 5; i++ {
		near(t, "cold side", sides[1].Current[i], 100*g[i]/sum, 1e-9)
	}
	if !strings.Contains(sides[1].Assumed, "2.32 of lfp") || !strings.Contains(sides[1].Assumed, "1.5 of other") || strings.Contains(sides[0].Assumed, "other") {
		t.Errorf("assumed %q and %q", sides[0].Assumed, sides[1].Assumed)
	}
	for i, x := range []float64{0.4, 0, 0.3, 0.1, 0.2} {
		b.Batteries[i].Placed = true
		b.Batteries[i].Body = bank.Body{At: bank.Point{X: x}, Size: bank.Point{X: 0.1, Y: 0.3, Z: 0.2}}
	}
	if sides = cold(); sides[0].Place != "B2, B4" || sides[1].Place != "B1, B3" {
		t.Errorf("along x: %s and %s", sides[0].Place, sides[1].Place)
	}
	for i := range b.Batteries {
		b.Batteries[i].Body.At.Y = float64(i)
	}
	if sides = cold(); sides[0].Place != "B1, B2" || sides[1].Place != "B4, B5" {
		t.Errorf("along y: %s and %s", sides[0].Place, sides[1].Place)
	}
	b.Batteries = b.Batteries[:1]
	b.Cables = b.Cables[:2]
	if sides = cold(); sides != nil {
		t.Errorf("one battery has sides: %+v", sides)
	}
}

// TestBrute compares all with snapshots of banks with the batteries off.
func TestBrute(t *testing.T) {
	var held, fell, tripped int
	eachRandom(t, 1, 150, 0.3, func(t *testing.T, rng *rand.Rand, b *bank.Bank) {
		draw := -300 + 700*rng.Float64()
		for i := range b.Batteries {
			c := clone(b)
			c.Batteries[i].Off = rng.IntN(8) == 0
			if _, _, holds := brute(c, 0); holds {
				b = c
			}
		}
		d := mustSolve(t, b, amps(draw))
		check := func(o report.Out, out ...int) {
			t.Helper()
			just, trips, holds := brute(b, draw, out...)
			if just != nil {
				nearAll(t, fmt.Sprint(o.Out, " current"), o.Current, just, 1e-8)
			}
			if !slices.Equal(o.Trips, trips) || o.Holds != holds {
				t.Errorf("%v out at %g A: %v open and holds %v, want %v and %v", o.Out, draw, o.Trips, o.Holds, trips, holds)
			}
			if holds {
				held++
			} else {
				fell++
			}
			tripped += len(trips)
		}
		check(report.Out{Current: d.AllIn, Trips: d.AllInTrips, Holds: d.AllInHolds})
		index := func(id string) int {
			return slices.IndexFunc(b.Batteries, func(x bank.Battery) bool { return x.ID == id })
		}
		for _, o := range d.Outs {
			check(o, index(o.Out[0]))
		}
		for _, o := range d.Pairs {
			check(o, index(o.Out[0]), index(o.Out[1]))
		}
		if in := countIn(b); len(d.Outs) != in || len(d.Pairs) != in*(in-1)/2 || d.Stops {
			t.Errorf("%d outs, %d pairs of %d in", len(d.Outs), len(d.Pairs), in)
		}
	})
	if held < 100 || fell < 100 || tripped < 200 {
		t.Errorf("%d held, %d fell, %d trips: the banks test little", held, fell, tripped)
	}
}

func countIn(b *bank.Bank) (in int) {
	for i := range b.Batteries {
		if !b.Batteries[i].Off {
			in++
		}
	}
	return in
}

// TestSeries: two strings of two, 20 mΩ each, rail links of 1.5 mΩ, opposite
// ends. A battery out opens its string; both of one string are no worse than
// one; one of each and nothing is left. By hand.
func TestSeries(t *testing.T) {
	b := &bank.Bank{Takeoff: takeoff("B2+", "B3-")}
	for i := range 4 {
		b.Batteries = append(b.Batteries, battery(fmt.Sprintf("B%d", i+1), 12.8, 0.020, 80))
	}
	b.Cables = []bank.Cable{wire("L1", "B1+", "B2-", 1e-9), wire("L2", "B3+", "B4-", 1e-9),
		wire("P", "B2+", "B4+", 0.0015), wire("N", "B1-", "B3-", 0.0015)}
	d := mustSolve(t, b, amps(70))
	near(t, "limit all in", d.LimitAllIn, 160, 1e-4)
	near(t, "limit one out", d.LimitOneOut, 80, 1e-9)
	for _, row := range []struct {
		out     []string
		current []float64
		holds   bool
		limit   float64
	}{
		{[]string{"B1"}, []float64{0, 0, 70, 70}, true, 80},
		{[]string{"B4"}, []float64{70, 70, 0, 0}, true, 80},
		{[]string{"B1", "B2"}, []float64{0, 0, 70, 70}, true, 80},
		{[]string{"B1", "B3"}, []float64{0, 0, 0, 0}, false, math.NaN()},
		{[]string{"B2", "B3"}, []float64{0, 0, 0, 0}, false, math.NaN()},
	} {
		t.Run(strings.Join(row.out, " and "), func(t *testing.T) {
			for _, o := range slices.Concat(d.Outs, d.Pairs) {
				if !slices.Equal(o.Out, row.out) {
					continue
				}
				nearAll(t, "current", o.Current, row.current, 1e-9)
				if o.Holds != row.holds || o.Trips != nil {
					t.Errorf("holds %v, trips %v", o.Holds, o.Trips)
				}
				if !(math.Abs(o.Limit-row.limit) < 1e-9) && !(math.IsNaN(o.Limit) && math.IsNaN(row.limit)) {
					t.Errorf("limit %g, want %g", o.Limit, row.limit)
				}
				return
			}
			t.Error("is not there")
		})
	}
}

// TestLimits: what the limit of a battery is, by the sign of the case.
func TestLimits(t *testing.T) {
	inf := math.Inf(1)
	for _, row := range []struct {
		name              string
		l                 bank.Limits
		discharge, charge report.Limit
	}{
		{"none", bank.Limits{}, report.Limit{Current: inf}, report.Limit{Current: inf}},
		{"trip before discharge", bank.Limits{Trip: 300, Discharge: 150}, report.Limit{Current: 300, What: "trip"}, report.Limit{Current: inf}},
		{"discharge", bank.Limits{Discharge: 150}, report.Limit{Current: 150, What: "discharge", Assumed: true}, report.Limit{Current: inf}},
		{"charge", bank.Limits{Charge: 75}, report.Limit{Current: inf}, report.Limit{Current: 75, What: "charge", Assumed: true}},
	} {
		t.Run(row.name, func(t *testing.T) {
			bat := battery("B1", 12.8, 0.005, 0)
			bat.Limits = row.l
			if d, c := Limits(&bat); d != row.discharge || c != row.charge {
				t.Errorf("%+v and %+v", d, c)
			}
			b := star([]float64{0.001}, bat)
			for sign, want := range map[float64]report.Limit{1: row.discharge, 0: row.discharge, -1: row.charge} {
				d := mustSolve(t, b, amps(10*sign))
				if d.Limit[0] != want {
					t.Errorf("at sign %g %+v", sign, d.Limit[0])
				}
				size := want.Current
				if sign < 0 && !math.IsInf(size, 1) {
					size = -size
				}
				if !(d.LimitAllIn == size) && !(math.Abs(d.LimitAllIn-size) < 1e-9) {
					t.Errorf("limit all in %g, want %g", d.LimitAllIn, size)
				}
				if !math.IsNaN(d.LimitOneOut) || d.Outs[0].Holds || d.Pairs != nil {
					t.Errorf("the only battery out: %+v, limit %g", d.Outs, d.LimitOneOut)
				}
			}
		})
	}
}

// TestPower: amps are those of the snapshot with all in, and stay.
func TestPower(t *testing.T) {
	b := star([]float64{0.001, 0.001}, battery("B1", 13, 0.005, 0), battery("B2", 13, 0.005, 0))
	d := mustSolve(t, b, bank.Case{ID: "test", ByPower: true, Power: 1000})
	// By hand: 0.003·I² − 13·I + 1000 = 0, the lower root.
	want := (13 - math.Sqrt(169-12)) / 0.006
	near(t, "draw", d.Draw, want, 1e-9)
	nearAll(t, "B1 out", d.Outs[0].Current, []float64{0, want}, 1e-9)
	if !math.IsInf(d.LimitAllIn, 1) || !math.IsInf(d.LimitOneOut, 1) || !math.IsNaN(d.Outs[0].Worst) {
		t.Errorf("nothing limits, yet %g, %g, %g", d.LimitAllIn, d.LimitOneOut, d.Outs[0].Worst)
	}
	if !d.Case.ByPower {
		t.Error("the case is not as asked")
	}
}

// TestErrors: what cannot be done is said.
func TestErrors(t *testing.T) {
	off := ladder(2, 1, 0.005, 0.0005, 100)
	off.Batteries[0].Off, off.Batteries[1].Off = true, true
	for _, row := range []struct {
		name string
		b    *bank.Bank
		o    Options
		says string
	}{
		{"all off", off, Options{}, "off: B1, B2"},
		{"too many", ladder(129, 1, 0.005, 0.0005, 100), Options{}, "at most 128 of them, the bank has 129"},
		{"no number", ladder(2, 1, 0.005, 0.0005, 100), Options{ColdLFP: math.NaN()}, "ColdLFP is NaN"},
		{"below nothing", ladder(2, 1, 0.005, 0.0005, 100), Options{Joint: -1}, "Joint is -1; give a finite number above zero, or 0 for 0.001"},
		{"overflow", ladder(2, 1, 0.005, 0.0005, 100), Options{AgedResistance: 1e300}, "one battery aged at B1: battery B1: resistance"},
	} {
		t.Run(row.name, func(t *testing.T) {
			if _, err := Solve(row.b, amps(10), row.o); err == nil || !strings.Contains(err.Error(), row.says) {
				t.Errorf("error %v does not say %q", err, row.says)
			}
		})
	}
}

// TestUnchanged: the bank is left as it was, and the answer is the same on any
// number of processors.
func TestUnchanged(t *testing.T) {
	b := random(rand.New(rand.NewPCG(5, 5)), 0.2)
	b.Cables[0].Whole = source.Value[quantity.Resistance]{}
	b.Cables[0].Length = source.Of(quantity.Length(1))
	b.Cables[0].PerLength = source.Of(quantity.ResistancePerLength(1e-4))
	was := clone(b)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := fmt.Sprintf("%+v", mustSolve(t, b, amps(120)))
	runtime.GOMAXPROCS(2)
	if two := fmt.Sprintf("%+v", mustSolve(t, b, amps(120))); one != two {
		t.Errorf("%s\nis not\n%s", one, two)
	}
	if !reflect.DeepEqual(b, was) {
		t.Error("the bank was changed")
	}
}

// TestSymmetric: a ladder taken off at opposite ends is the same turned about.
func TestSymmetric(t *testing.T) {
	for n := 2; n <= 9; n++ {
		t.Run(fmt.Sprint(n), func(t *testing.T) {
			d := mustSolve(t, ladder(n, n, 0.005, 0.0003, 100), amps(60*float64(n)))
			for i, o := range d.Outs {
				mirror := d.Outs[n-1-i]
				for k := range o.Current {
					near(t, "current", o.Current[k], mirror.Current[n-1-k], 1e-9)
				}
				if o.Holds != mirror.Holds || len(o.Trips) != len(mirror.Trips) {
					t.Errorf("%d out: %+v, mirrored %+v", i+1, o, mirror)
				}
				near(t, "limit", o.Limit, mirror.Limit, 1e-6*math.Abs(o.Limit))
			}
		})
	}
}

// TestManyPairs: more than the pairs of 64 batteries are cut, and that is said.
func TestManyPairs(t *testing.T) {
	leads := make([]float64, 66)
	var bats []bank.Battery
	for i := range leads {
		leads[i] = 0.001
		bats = append(bats, battery(fmt.Sprintf("B%d", i+1), 12.8, 0.005, 100))
	}
	whole, cut := mustSolve(t, star(leads[:64], bats[:64]...), amps(100)), mustSolve(t, star(leads, bats...), amps(100))
	if whole.Stops || len(whole.Pairs) != 2016 {
		t.Errorf("64 batteries: %d pairs, cut %v", len(whole.Pairs), whole.Stops)
	}
	if !cut.Stops || len(cut.Pairs) != 2016 || len(cut.Outs) != 66 {
		t.Errorf("66 batteries: %d pairs, cut %v", len(cut.Pairs), cut.Stops)
	}
	// A star of equal batteries: by hand.
	near(t, "limit one out", cut.LimitOneOut, 6500, 1e-5)
	near(t, "limit of a pair", cut.Pairs[0].Limit, 6400, 1e-5)
}
