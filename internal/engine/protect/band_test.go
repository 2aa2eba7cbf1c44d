package protect

import (
	"math"
	"math/rand/v2"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/rating"
)

// TestBandAtPoints: exact at what is told, also where the multiple comes from
// dividing amps, and not told outside.
func TestBandAtPoints(t *testing.T) {
	for name, points := range tables {
		t.Run(name, func(t *testing.T) {
			b := band(t, points)
			for _, p := range points {
				near(t, "min", b.Min(p.Multiple), p.Min, 0)
				near(t, "max", b.Max(p.Multiple), p.Max, 0)
				for _, rated := range []float64{3, 7.5, 30, 110, 450} {
					near(t, "min by amps", b.Min(p.Multiple*rated/rated), p.Min, 0)
					near(t, "max by amps", b.Max(p.Multiple*rated/rated), p.Max, 0)
				}
			}
			first, last := points[0].Multiple, points[len(points)-1].Multiple
			for _, m := range []float64{first * 0.999, 0.5, last * 1.001, 50, nan, inf, 0, -1} {
				if !math.IsNaN(b.Min(m)) || !math.IsNaN(b.Max(m)) {
					t.Errorf("at %g it tells %g to %g s", m, b.Min(m), b.Max(m))
				}
			}
		})
	}
}

// TestBandBetween: straight in both logarithms, so that the geometric mean of
// two multiples has the geometric mean of the two times.
func TestBandBetween(t *testing.T) {
	b := band(t, tables["bolt 51"])
	near(t, "min", b.Min(math.Sqrt(2*3.5)), math.Sqrt(1*0.3), 1e-12)
	near(t, "max", b.Max(math.Sqrt(3.5*6)), math.Sqrt(5*1), 1e-12)
	// Max is told from 1.35 on, Min from 1.10.
	near(t, "max between 1.10 and 1.35", b.Max(1.2), nan, 0)
	near(t, "min there", b.Min(math.Sqrt(1.1*1.35)), math.Sqrt(14400*120), 1e-9)
	// A point without one of the times leaves its neighbours to tell it.
	gap := band(t, []BandPoint{{1, 1000, nan}, {2, nan, 400}, {4, 10, 20}})
	near(t, "min over a gap", gap.Min(2), 100, 1e-10)
}

// TestBandBounds: beyond what is told a device is not quicker at less, nor
// slower at more.
func TestBandBounds(t *testing.T) {
	b := band(t, tables["bolt 30"])
	near(t, "at least, below", b.AtLeast(0.5), 14400, 0)
	near(t, "at least, above", b.AtLeast(5.1), nan, 0)
	near(t, "at most, above", b.AtMost(100), 1, 0)
	near(t, "at most, below", b.AtMost(1.4), nan, 0)
	near(t, "at least, no number", b.AtLeast(nan), nan, 0)
	holds := band(t, []BandPoint{{1.1, inf, nan}, {2, 10, 60}})
	near(t, "carries", holds.Min(1.1), inf, 0)
	near(t, "carries less", holds.AtLeast(1.05), inf, 0)
	near(t, "between no end and a time", holds.Min(1.5), nan, 0)
	near(t, "at least there", holds.AtLeast(1.5), 10, 0)
	var none Band
	near(t, "no band", none.AtLeast(1), nan, 0)
	near(t, "no band", none.AtMost(1), nan, 0)
}

// TestBandMonotonic: more current is never slower, on either curve, and Min is
// never above Max.
func TestBandMonotonic(t *testing.T) {
	rng := rand.New(rand.NewPCG(41, 1))
	for name, points := range tables {
		b := band(t, points)
		for range 2000 {
			m := math.Exp(rng.Float64() * 2.2)
			n := m * (1 + rng.Float64())
			if b.AtLeast(n) > b.AtLeast(m) || b.AtMost(n) > b.AtMost(m) || b.Min(m) > b.Max(m) {
				t.Errorf("%s: %g to %g s at %g, %g to %g s at %g", name, b.AtLeast(m), b.AtMost(m), m, b.AtLeast(n), b.AtMost(n), n)
			}
		}
	}
}

func TestBandErrors(t *testing.T) {
	for name, points := range map[string][]BandPoint{
		"multiple twice":        {{2, 1, 5}, {2, 1, 5}},
		"multiples fall":        {{3, 1, 5}, {2, 1, 5}},
		"no multiple":           {{0, 1, 5}},
		"multiple none":         {{nan, 1, 5}},
		"multiple without end":  {{inf, 1, 5}},
		"nothing told":          {{2, nan, nan}},
		"time of nothing":       {{2, 0, 5}},
		"time below nothing":    {{2, 1, -5}},
		"most without end":      {{2, 1, inf}},
		"least above most":      {{2, 6, 5}},
		"least rises":           {{2, 1, 5}, {3, 2, 4}},
		"most rises":            {{2, 1, 5}, {3, 1, 6}},
		"curves cross between":  {{1, 1000, nan}, {2, nan, 50}, {4, 100, 40}},
		"curves cross in a gap": {{1, nan, 1000}, {2, 500, nan}, {4, nan, 10}},
	} {
		if _, err := NewBand(points); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
}

// TestBandOf: rows of three sources, as a class C fuse of 400 A has them: what
// is told twice is tightened, all sources are kept.
func TestBandOf(t *testing.T) {
	minutes := func(x float64) quantity.Duration { return quantity.Duration(60 * x) }
	other := source.Ref{Title: "a third", Edition: "2001", How: source.Read}
	b, err := BandOf([]rating.Band{
		{Multiple: 1.10, Least: minutes(30), Ref: fromPage},
		{Multiple: 1.60, Most: minutes(240), Ref: fromPage},
		{Multiple: 1.35, Most: minutes(120), Ref: fromMemory},
		{Multiple: 2, Most: minutes(10), Ref: fromMemory},
		{Multiple: 1, Holds: true, Ref: other},
		{Multiple: 2, Least: minutes(0.1), Most: minutes(12), Ref: other},
	})
	if err != nil {
		t.Fatal(err)
	}
	want := []BandPoint{{1, inf, nan}, {1.10, 1800, nan}, {1.35, nan, 7200}, {1.60, nan, 7200}, {2, 6, 600}}
	got := b.Points()
	if len(got) != len(want) {
		t.Fatalf("points %v", got)
	}
	for i := range want {
		near(t, "multiple", got[i].Multiple, want[i].Multiple, 0)
		near(t, "min", got[i].Min, want[i].Min, 0)
		near(t, "max", got[i].Max, want[i].Max, 0)
	}
	if refs := b.Refs(); len(refs) != 3 || refs[0] != other {
		t.Errorf("sources %v", refs)
	}
	if _, err := BandOf([]rating.Band{{Multiple: 2, Least: 100}, {Multiple: 2, Most: 50}}); err == nil {
		t.Error("two sources that contradict each other were taken")
	}
	if b, err := BandOf(nil); err != nil || len(b.Points()) != 0 {
		t.Errorf("no rows: %v, %v", b, err)
	}
	// A least time at a larger multiple holds at a smaller one too.
	back, err := BandOf([]rating.Band{{Multiple: 1.1, Least: 60}, {Multiple: 1.5, Least: 90}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "least carried back", back.Min(1.1), 90, 0)
}

// TestScaled: class T let-through from 400 A, by the square, against the table
// (UL 248-15, from memory): within 15 % of it from 30 to 400 A, which is how
// well one family keeps the law there; 40 % off at 600 A.
func TestScaled(t *testing.T) {
	known := source.Look(550e3, fromMemory)
	for _, row := range []struct{ rated, energy, tol float64 }{{30, 3.5e3, 0.15}, {60, 15e3, 0.18}, {100, 40e3, 0.15}, {200, 150e3, 0.15}, {600, 1e6, 0.4}} {
		got := Scaled(known, source.Of(400.0), source.Of(row.rated))
		near(t, "I²t", got.V, row.energy, row.tol*row.energy)
		if got.Ref.How != source.Memory || got.Origin != source.Computed {
			t.Errorf("from memory, but %+v", got)
		}
	}
	near(t, "exact", Scaled(source.Of(1e4), source.Of(50.0), source.Of(150.0)).V, 9e4, 1e-9)
	if v := Scaled(source.Assume(1e4, fromPage, ""), source.Of(50.0), source.Of(150.0)); v.Origin != source.Assumed {
		t.Errorf("assumed, but %+v", v)
	}
	for _, v := range []source.Value[float64]{
		Scaled(source.Value[float64]{}, source.Of(1.0), source.Of(1.0)), Scaled(source.Of(1.0), source.Of(0.0), source.Of(1.0)), Scaled(source.Of(1.0), source.Of(1.0), source.Of(nan))} {
		if v.Known() {
			t.Errorf("scaled from nothing: %+v", v)
		}
	}
	near(t, "melting time", MeltingTime(9e4, 3000), 0.01, 1e-15)
	near(t, "melting at nothing", MeltingTime(9e4, 0), nan, 0)
}
