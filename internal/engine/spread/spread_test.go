package spread

import (
	"context"
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
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// TestZero: without any tolerance each build is the bank as given, to the bit;
// and that is what the snapshots say, all in and one out.
func TestZero(t *testing.T) {
	zero := source.Of(quantity.Ratio(0))
	for i := range uint64(60) {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			b := random(rand.New(rand.NewPCG(21, i)))
			c := amps(80)
			all, err := sharing.Solve(b, c)
			if err != nil {
				t.Skip(err)
			}
			s := mustSolve(t, b, c, Options{Builds: 40, Resistance: zero, Capacity: zero, Joints: zero, Lengths: zero, EMF: source.Of(quantity.Voltage(0))})
			near(t, "nominal", s.Nominal, all.Imbalance, 1e-8)
			worst := math.NaN()
			for k := range b.Batteries {
				if was := b.Batteries[k].Off; !was {
					b.Batteries[k].Off = true
					if one, err := sharing.Solve(b, c); err == nil && !(one.Imbalance <= worst) {
						worst = one.Imbalance
					}
					b.Batteries[k].Off = false
				}
			}
			if !(math.Abs(s.NominalOut-worst) <= 1e-8*(1+worst)) && !(math.IsNaN(worst) && math.IsNaN(s.NominalOut)) {
				t.Errorf("nominal one out %g, want %g", s.NominalOut, worst)
			}
			for _, w := range s.Worst {
				if w != s.Nominal {
					t.Fatalf("%.17g is not the nominal %.17g", w, s.Nominal)
				}
			}
			for _, w := range s.WorstOut {
				if w != s.NominalOut {
					t.Fatalf("%.17g is not the nominal %.17g", w, s.NominalOut)
				}
			}
			for _, tol := range s.Tolerances {
				if tol.Matters != 0 || tol.Part != 0 {
					t.Errorf("%+v", tol)
				}
			}
			if len(s.Worst) != 40 || s.Done != 40 || slices.Max(s.Often) != 1 {
				t.Errorf("%d of %d builds, most often %v", len(s.Worst), s.Done, s.Often)
			}
		})
	}
}

// TestFirstOrder: two batteries of R = 4 mΩ with leads of a = 2·(0.5 m·0.25 mΩ/m
// + 2·0.05 mΩ) each, 100 A. To first order the worst share less one is |Δ|/2(R + a)
// for a difference Δ of the two branches, |ΔC|/2C for capacities, and
// |ΔE|/(R + a)·D for EMFs, all of them half-normal; mean s·√(2/π), standard
// deviation s·√(1 − 2/π). 20 000 builds are good to 1 %, the second order and the
// shape of the cut to another; log-normal joints to 5 %, as they are not normal.
func TestFirstOrder(t *testing.T) {
	const ohm, lead, metres, joint, draw = 0.004, 2 * (0.5*0.25e-3 + 2*5e-5), 0.5, 5e-5, 100
	branch := 2 * (ohm + lead)
	for _, row := range []struct {
		what      string
		spread, s float64 // of what is asked, of the difference
		tol       float64
	}{
		{Resistance, 0.05, 0.05 * ohm * math.Sqrt2 / branch, 0.02},
		{Capacity, 0.03, 0.03 * math.Sqrt2 / 2, 0.03},
		{EMF, 0.01, 0.01 * math.Sqrt2 * 2 / branch / draw, 0.02},
		{Joints, 0.2, 0.2 * joint * math.Sqrt(8) / branch, 0.02},
		{Joints, 0.5, 0.5 * joint * math.Sqrt(8) / branch, 0.05},
		{Lengths, 0.02, 0.02 * metres * 0.25e-3 * 2 / branch, 0.02},
	} {
		t.Run(fmt.Sprint(row.what, row.spread), func(t *testing.T) {
			b := star(metres, joint, unit("B1", 13, ohm, 100, 0), unit("B2", 13, ohm, 100, 0))
			s := mustSolve(t, b, amps(draw), only(row.what, row.spread, 20_000))
			want := row.s * math.Sqrt(cutVariance)
			near(t, "mean", mean(s.Worst), want*math.Sqrt(2/math.Pi), row.tol*want)
			near(t, "standard deviation", math.Sqrt(variance(s.Worst)), want*math.Sqrt(1-2/math.Pi), row.tol*want)
			// One is left and carries all, so that nothing of it is uneven.
			near(t, "one out", s.WorstOut[len(s.WorstOut)-1], 0, 1e-9)
			// Either is the one as often: 20 000 builds to 4 of 0.35 %.
			near(t, "often", s.Often[0], 0.5, 0.015)
			if len(s.Tolerances) != 1 || s.Tolerances[0].What != row.what || s.Tolerances[0].Part != 1 {
				t.Errorf("%+v", s.Tolerances)
			}
			near(t, "matters", s.Tolerances[0].Matters, math.Sqrt(variance(s.Worst)), 1e-12)
		})
	}
}

// TestConverges: the mean comes to the integral over both resistances, the
// nearer the more builds: within four standard errors at each number.
func TestConverges(t *testing.T) {
	const ohm, spread, lead = 0.004, 0.2, 2 * (0.5*0.25e-3 + 2*5e-5)
	b := star(0.5, 5e-5, unit("B1", 13, ohm, 100, 0), unit("B2", 13, ohm, 100, 0))
	const grid = 1000
	var z [grid]float64
	for i := range z {
		z[i] = ohm * (1 + spread*normal((float64(i)+0.5)/grid))
	}
	exact, square := 0.0, 0.0
	for _, r := range z {
		for _, q := range z {
			w := math.Abs(r-q) / (r + q + 2*lead)
			exact += w / grid / grid
			square += w * w / grid / grid
		}
	}
	sd := math.Sqrt(square - exact*exact)
	for _, n := range []int{100, 1000, 10_000, 100_000} {
		s := mustSolve(t, b, amps(100), only(Resistance, spread, n))
		near(t, fmt.Sprint("mean of ", n), mean(s.Worst), exact, 4*sd/math.Sqrt(float64(n)))
	}
}

// TestOver: two equal batteries; the one above a limit that is q standard
// deviations of the difference over its half has the chance 2·(1 − Φ(q)). Alone
// it carries all.
func TestOver(t *testing.T) {
	const ohm, lead, draw = 0.004, 2 * (0.5*0.25e-3 + 2*5e-5), 100
	s := 0.02 * ohm * math.Sqrt2 / (2 * (ohm + lead)) * math.Sqrt(cutVariance)
	for _, q := range []float64{0.3, 1, 2} {
		for _, sign := range []float64{1, -1} {
			t.Run(fmt.Sprint(q*sign), func(t *testing.T) {
				limit := draw / 2 * (1 + q*s)
				b := star(0.5, 5e-5, unit("B1", 13, ohm, 100, limit), unit("B2", 13, ohm, 100, limit))
				if sign < 0 {
					for i := range b.Batteries {
						b.Batteries[i].Limits = bank.Limits{Charge: quantity.Current(limit)}
					}
				}
				got := mustSolve(t, b, amps(sign*draw), only(Resistance, 0.02, 20_000))
				want := math.Erfc(q / math.Sqrt2)
				near(t, "chance", float64(got.Over)/20_000, want, 4*math.Sqrt(want*(1-want)/20_000))
				if got.OverOut != 20_000 || !got.HasLimit || got.Draw != sign*draw {
					t.Errorf("one out over in %d, %+v", got.OverOut, got.HasLimit)
				}
			})
		}
	}
	none := mustSolve(t, star(0.5, 5e-5, unit("B1", 13, ohm, 100, 0), unit("B2", 13, ohm, 100, 0)), amps(1e4), only(Resistance, 0.02, 100))
	if none.Over != 0 || none.OverOut != 0 || none.HasLimit {
		t.Errorf("no limit, yet %d and %d over", none.Over, none.OverOut)
	}
}

// TestSame: the same on one processor and on two; another seed gives another
// answer; the kinds alone are what they are when nothing else varies.
func TestSame(t *testing.T) {
	b, o := ladder(5, 90), Defaults()
	o.Builds, o.EMF = 3000, source.Of(quantity.Voltage(0.01))
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := mustSolve(t, b, amps(300), o)
	runtime.GOMAXPROCS(2)
	if two := mustSolve(t, b, amps(300), o); !reflect.DeepEqual(one, two) {
		t.Errorf("on one processor %+v,\non two %+v", one, two)
	}
	for _, row := range []Options{{Resistance: o.Resistance}, {Capacity: o.Capacity}, {EMF: o.EMF}, {Joints: o.Joints}, {Lengths: o.Lengths}} {
		row.Builds, row.Seed = o.Builds, o.Seed
		alone := mustSolve(t, b, amps(300), row).Tolerances[0]
		at := slices.IndexFunc(one.Tolerances, func(x report.Tolerance) bool { return x.What == alone.What })
		if one.Tolerances[at].Matters != alone.Matters {
			t.Errorf("%s among others %g, alone %g", alone.What, one.Tolerances[at].Matters, alone.Matters)
		}
	}
	parts := 0.0
	for _, tol := range one.Tolerances {
		parts += tol.Part
	}
	near(t, "sum of the parts", parts, 1, 1e-12)
	o.Seed++
	if other := mustSolve(t, b, amps(300), o); reflect.DeepEqual(one.Worst, other.Worst) {
		t.Error("the seed does not matter")
	}
}

// TestStopped: what is done by then, and nothing else, is told without an error.
func TestStopped(t *testing.T) {
	b, o := ladder(5, 90), Defaults()
	o.Builds = 20_000
	ctx, stop := context.WithCancel(context.Background())
	last := 0
	s, err := Solve(ctx, b, amps(300), o, func(done int) {
		if done <= last {
			t.Errorf("done %d after %d", done, last)
		}
		if last = done; done > 2000 {
			stop()
		}
	})
	if err != nil || s.Done <= 2000 || s.Done >= 20_000 || s.Done != last || s.Asked != 20_000 {
		t.Fatalf("%d of %d done, %d told: %v", s.Done, s.Asked, last, err)
	}
	o.Builds = s.Done
	want := mustSolve(t, b, amps(300), o)
	want.Asked = 20_000
	if !reflect.DeepEqual(s, want) {
		t.Error("not the first builds of the same question")
	}
	s, err = Solve(ctx, b, amps(300), o, nil)
	if err != nil || s.Done != 0 || s.Worst != nil || s.Tolerances[0].Matters != 0 || !(s.Nominal > 0) {
		t.Errorf("stopped before the first: %+v, %v", s, err)
	}
}

// TestMirror: a ladder taken off at opposite ends is the same turned about, so
// that its halves carry most as often. 20 000 builds: 4 of 0.35 %.
func TestMirror(t *testing.T) {
	s := mustSolve(t, ladder(5, 0), amps(200), only(Resistance, 0.1, 20_000))
	near(t, "ends", s.Often[0], s.Often[4], 0.02)
	near(t, "next to the ends", s.Often[1], s.Often[3], 0.02)
	sum := 0.0
	for _, x := range s.Often {
		sum += x
	}
	near(t, "all", sum, 1, 1e-12)
	if !(s.Often[0] > s.Often[2]) {
		t.Errorf("the middle one carries most more often than the ends: %v", s.Often)
	}
	if !slices.IsSorted(s.Worst) || !slices.IsSorted(s.WorstOut) {
		t.Error("not sorted")
	}
}

// TestString: no battery of a single string can be done without.
func TestString(t *testing.T) {
	b := &bank.Bank{Batteries: []bank.Battery{unit("B1", 13, 0.004, 100, 200), unit("B2", 13, 0.004, 100, 200)},
		Cables: []bank.Cable{byLength("L", "B1+", "B2-", 0.2, 5e-5)}, Takeoff: bank.Takeoff{Positive: end("B2+"), Negative: end("B1-")}}
	s := mustSolve(t, b, amps(100), Defaults())
	if !math.IsNaN(s.NominalOut) || s.WorstOut != nil || s.OverOut != 0 || s.Done != 10_000 {
		t.Errorf("%+v", s.WorstOut)
	}
	near(t, "worst share", s.Worst[len(s.Worst)-1], 0, 1e-9)
}

// TestPower: the draw is that of the parts as given, in every build.
func TestPower(t *testing.T) {
	b := star(0.5, 5e-5, unit("B1", 13, 0.004, 100, 0), unit("B2", 13, 0.004, 100, 0))
	c := amps(0)
	c.ByPower, c.Power = true, 1300
	at, err := sharing.Solve(b, c)
	if err != nil {
		t.Fatal(err)
	}
	s := mustSolve(t, b, c, only(Resistance, 0.1, 200))
	same := mustSolve(t, b, amps(at.Current), only(Resistance, 0.1, 200))
	if s.Draw != at.Current || !reflect.DeepEqual(s.Worst, same.Worst) || !s.Case.ByPower {
		t.Errorf("draw %g, want %g", s.Draw, at.Current)
	}
}

// TestWords: what is assumed and how it varies is said.
func TestWords(t *testing.T) {
	o := Defaults()
	o.Builds, o.Capacity = 1, source.Of(quantity.Ratio(0.01))
	b := ladder(3, 0)
	b.Cables[0] = whole("P1", "B1+", "B2+", 1e-6)
	got := mustSolve(t, b, amps(100), o).Tolerances
	const normal = "normal, cut at three standard deviations"
	for i, want := range []report.Tolerance{
		{What: Resistance, Spread: 0.1, Shape: normal, Assumed: true, Source: o.Resistance.Ref.String()},
		{What: Capacity, Spread: 0.01, Shape: normal},
		{What: Joints, Spread: 0.5, Shape: newShape(0.5).String() + "; a cable with its resistance given whole has two joints of 0.05 mΩ in it, assumed",
			Assumed: true, Source: "resistance of crimp and contact (common practice, no source)"},
		{What: Lengths, Spread: 0.02, Shape: normal + "; a cable with its resistance given whole does not vary",
			Assumed: true, Source: "length of cut cable (common practice, no source)"},
	} {
		if got[i] != want {
			t.Errorf("%+v, want %+v", got[i], want)
		}
	}
	for _, v := range []source.Value[quantity.Ratio]{o.Resistance, Defaults().Capacity, o.Joints, o.Lengths} {
		if err := v.Ref.Check(); err != nil {
			t.Error(err)
		}
	}
}

// TestErrors: what has no answer is said.
func TestErrors(t *testing.T) {
	b := ladder(2, 100)
	none := ladder(2, 100)
	none.Batteries[1].Capacity.V = 0
	off := ladder(2, 100)
	off.Batteries[0].Off, off.Batteries[1].Off = true, true
	for _, row := range []struct {
		name string
		b    *bank.Bank
		c    bank.Case
		o    Options
		says string
	}{
		{"no builds", b, amps(10), only(Resistance, 0.1, 0), "0 builds; give 1 to 1000000"},
		{"many builds", b, amps(10), only(Resistance, 0.1, 1_000_001), "1000001 builds"},
		{"below nothing", b, amps(10), only(Joints, -0.1, 10), "spread of joints is -0.1; give a standard deviation of 0 to 10"},
		{"no number", b, amps(10), only(EMF, math.NaN(), 10), "spread of emf is NaN"},
		{"rest", b, amps(0), only(Resistance, 0.1, 10), "case test draws nothing"},
		{"no capacity", none, amps(10), only(Resistance, 0.1, 10), "battery B2: capacity is 0 Ah"},
		{"all off", off, amps(10), only(Resistance, 0.1, 10), "off: B1, B2"},
		{"many batteries", ladder(257, 100), amps(10), only(Resistance, 0.1, 10), "at most 256 batteries, the bank has 257"},
	} {
		t.Run(row.name, func(t *testing.T) {
			if _, err := Solve(context.Background(), row.b, row.c, row.o, nil); err == nil || !strings.Contains(err.Error(), row.says) {
				t.Errorf("error %v does not say %q", err, row.says)
			}
		})
	}
}
