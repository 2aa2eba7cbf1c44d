package normal

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"bankwright/internal/engine/network"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.9g, want %.9g within %.2g", what, got, want, tol)
	}
}

// star gives the currents of sources that meet in two points, in closed form
// (Millman): I = g·(E − U) with U = (Σ gE − D)/Σ g.
func star(emf, ohm []float64, draw float64) []float64 {
	var g, ge float64
	for i := range emf {
		g += 1 / ohm[i]
		ge += emf[i] / ohm[i]
	}
	amps := make([]float64, len(emf))
	for i := range emf {
		amps[i] = (emf[i] - (ge-draw)/g) / ohm[i]
	}
	return amps
}

// read makes exact readings of two draws.
func read(low, high float64, lows, highs []float64) Readings {
	r := Readings{Low: low, High: high}
	for i := range lows {
		r.Batteries = append(r.Batteries, Battery{ID: fmt.Sprintf("B%d", i+1), Low: lows[i], High: highs[i]})
	}
	return r
}

func starReadings(emf, ohm []float64, low, high float64) Readings {
	return read(low, high, star(emf, ohm, low), star(emf, ohm, high))
}

func mustJudge(t *testing.T, r Readings) Result {
	t.Helper()
	out, err := Judge(r)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestStar recovers EMFs and resistances of random stars from currents alone
// and the mean path resistance.
func TestStar(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 1))
	for k := range 200 {
		n := 2 + rng.IntN(7)
		emf, ohm := make([]float64, n), make([]float64, n)
		var g, ge float64
		for i := range n { // 1 to 30 mΩ, within 60 mV
			emf[i], ohm[i] = 13.2+(rng.Float64()-0.5)*0.06, 0.001*math.Exp(rng.Float64()*math.Log(30))
			g, ge = g+1/ohm[i], ge+emf[i]/ohm[i]
		}
		low, high := rng.Float64()*20, 50+rng.Float64()*300
		if k%2 == 1 { // on charge
			low, high = -low, -high
		}
		r := starReadings(emf, ohm, low, high)
		mean := float64(n) / g
		if k%3 == 0 { // all resistances known instead of their mean
			for i := range ohm {
				r.Batteries[i].Resistance = ohm[i]
			}
		} else {
			r.PathResistance = mean
		}
		out := mustJudge(t, r)
		var shares, offsets float64
		for i, b := range out.Batteries {
			near(t, "share", b.Share, 1/ohm[i]/g, 1e-9)
			near(t, "EMF above the mean", b.EMF, emf[i]-ge/g, 1e-9)
			near(t, "path", b.Path, ohm[i], 1e-9*ohm[i])
			near(t, "extra", b.Extra, ohm[i]-mean, 1e-9)
			near(t, "causes together", b.Offset+b.PathExcess, b.Excess, 1e-9)
			near(t, "excess", b.Excess, r.Batteries[i].High-high/float64(n), 1e-9)
			shares, offsets = shares+b.Share, offsets+b.Offset
		}
		near(t, "sum of shares", shares, 1, 1e-9)
		near(t, "sum of offsets", offsets, 0, 1e-9)
		near(t, "mean path", out.MeanPath, mean, 1e-9*mean)
	}
}

func TestVerdicts(t *testing.T) {
	even := []float64{13.2, 13.2, 13.2, 13.2}
	five := []float64{0.005, 0.005, 0.005, 0.005}
	for _, c := range []struct {
		name         string
		emf, ohm     []float64
		all          Verdict
		offset, path string // the odd battery
		each         []Verdict
	}{
		{"even", even, five, Within, "", "", []Verdict{Within, Within, Within, Within}},
		{"trace", []float64{13.2, 13.202, 13.2, 13.2}, []float64{0.005, 0.005, 0.0052, 0.005}, Within, "", "", []Verdict{Within, Within, Within, Within}},
		// 20 mV over 5 mΩ: 3 A more from one battery, 1 A less from each other.
		{"voltage", []float64{13.22, 13.2, 13.2, 13.2}, five, Offset, "B1", "", []Verdict{Offset, Offset, Offset, Offset}},
		// A tenth of it cannot be told from nothing.
		{"small voltage", []float64{13.202, 13.2, 13.2, 13.2}, five, Within, "", "", []Verdict{Within, Within, Within, Within}},
		{"bad joint", even, []float64{0.005, 0.005, 0.008, 0.005}, Path, "", "B3", []Verdict{Path, Path, Path, Path}},
		{"both on one", []float64{13.2, 13.2, 13.23, 13.2}, []float64{0.005, 0.005, 0.008, 0.005}, Both, "B3", "B3", []Verdict{Both, Both, Both, Both}},
		// 10 mV move the others by half an ampere only, too little to tell.
		{"one volts, all path", []float64{13.2, 13.2, 13.2, 13.210}, []float64{0.005, 0.005, 0.008, 0.005}, Both, "B4", "B3", []Verdict{Path, Path, Path, Both}},
		// Two pairs: no one battery is the odd one.
		{"pairs", even, []float64{0.005, 0.005, 0.008, 0.008}, Path, "", "", []Verdict{Path, Path, Path, Path}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := starReadings(c.emf, c.ohm, 10, 200)
			r.Meter = ClampMeter()
			out := mustJudge(t, r)
			if out.Verdict != c.all || out.MostOffset != c.offset || out.MostPath != c.path {
				t.Errorf("verdict %q, most %q and %q; want %q, %q and %q", out.Verdict, out.MostOffset, out.MostPath, c.all, c.offset, c.path)
			}
			for i, b := range out.Batteries {
				if b.Verdict != c.each[i] {
					t.Errorf("%s: %q, want %q (offset %.3g±%.2g A, path %.3g±%.2g A)", b.ID, b.Verdict, c.each[i], b.Offset, b.OffsetError, b.PathExcess, b.PathError)
				}
			}
		})
	}
}

// TestReferenceBanks: banks of equal EMFs from the reference set; a low load at
// a tenth carries a tenth, so that all of the excess is the path's.
func TestReferenceBanks(t *testing.T) {
	for _, c := range []struct {
		name  string
		high  float64
		highs []float64 // as printed
		ohm   []float64 // paths, where the bank is a star; nil otherwise
	}{
		{"case 1, both take-offs at one end", 100, []float64{35.753, 26.116, 20.396, 17.736}, nil},
		{"case 7, star", 200, []float64{57.692, 57.692, 46.154, 38.462}, []float64{0.006, 0.006, 0.0075, 0.009}},
		{"case 11, bad joint", 200, []float64{93.73, 28.72, 33.21, 44.34}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			lows := make([]float64, len(c.highs))
			for i, a := range c.highs {
				lows[i] = a / 10
			}
			r := read(c.high/10, c.high, lows, c.highs)
			r.Meter = ClampMeter()
			for i := range c.ohm {
				r.Batteries[i].Resistance = c.ohm[i]
			}
			out := mustJudge(t, r)
			if out.Verdict != Path {
				t.Errorf("verdict %q, want %q", out.Verdict, Path)
			}
			for i, b := range out.Batteries {
				near(t, b.ID+" share", b.Share, c.highs[i]/c.high, 1e-9)
				near(t, b.ID+" offset", b.Offset, 0, 1e-9)
				near(t, b.ID+" path excess", b.PathExcess, c.highs[i]-c.high/4, 1e-9)
				if c.ohm != nil {
					near(t, b.ID+" path", b.Path, c.ohm[i], 1e-6) // the printed currents' digits
				} else if !math.IsNaN(b.Path) || !math.IsNaN(b.Extra) || !math.IsNaN(b.EMF) {
					t.Errorf("%s: ohms and volts from no resistance: %+v", b.ID, b)
				}
			}
		})
	}
}

// TestLadder: along two chains of links the currents, from a solver of
// networks, are straight lines too: a third load lies on them.
func TestLadder(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 2))
	for range 30 {
		const n = 4
		net := network.Network{Nodes: 2 * n} // node k positive, n+k negative
		for k := range n {
			net.Branches = append(net.Branches, network.Branch{From: n + k, To: k, Resistance: 0.003 + rng.Float64()*0.01, EMF: 13.2 + rng.Float64()*0.03})
		}
		for k := range n - 1 {
			net.Branches = append(net.Branches, network.Branch{From: k, To: k + 1, Resistance: 0.0005}, network.Branch{From: n + k, To: n + k + 1, Resistance: 0.0005})
		}
		factor, err := network.Factorize(net)
		if err != nil {
			t.Fatal(err)
		}
		at := func(draw float64) []float64 {
			in := make([]float64, 2*n)
			in[0], in[2*n-1] = -draw, draw
			s, err := factor.Solve(nil, in)
			if err != nil {
				t.Fatal(err)
			}
			return s.Current[:n]
		}
		out := mustJudge(t, read(10, 100, at(10), at(100)))
		third := at(250)
		for i, b := range out.Batteries {
			near(t, "third load", float64(b.Share*250)+b.Offset, third[i], 1e-6)
		}
	}
}

func TestCapacity(t *testing.T) {
	// 100 and 200 Ah whose paths are in the same proportion: nothing is uneven.
	r := starReadings([]float64{13.2, 13.2}, []float64{0.010, 0.005}, 0, 90)
	r.Meter = ClampMeter()
	r.PathResistance = 2 / (100.0 + 200)
	r.Batteries[0].Capacity, r.Batteries[1].Capacity = 360000, 720000
	out := mustJudge(t, r)
	if out.Verdict != Within || !out.ByCapacity {
		t.Errorf("verdict %q, by capacity %v; want %q", out.Verdict, out.ByCapacity, Within)
	}
	for i, fair := range []float64{1.0 / 3, 2.0 / 3} {
		near(t, "fair", out.Batteries[i].Fair, fair, 1e-12)
		near(t, "extra", out.Batteries[i].Extra, 0, 1e-12)
	}
	// Three batteries with one bad joint on the small one: the large one loses or
	// gains more amperes, but the small one is the odd one.
	r = starReadings([]float64{13.2, 13.2, 13.2}, []float64{0.013, 0.010, 0.0025}, 10, 300)
	for i, ah := range []float64{100, 100, 400} {
		r.Batteries[i].Capacity = ah
	}
	if out := mustJudge(t, r); out.MostPath != "B1" || out.MostOffset != "" || out.Verdict != Path {
		t.Errorf("odd ones %q and %q, verdict %q; want B1 by path", out.MostPath, out.MostOffset, out.Verdict)
	}
	r = starReadings([]float64{13.2, 13.2}, []float64{0.010, 0.005}, 0, 90)
	r.Meter = ClampMeter()
	if out := mustJudge(t, r); out.Verdict != Path || out.ByCapacity {
		t.Errorf("taken as equal: verdict %q, want %q", out.Verdict, Path)
	}
}

// TestNoDraw: with no load at all only the batteries' own exchange flows, and
// draws left out are the sums.
func TestNoDraw(t *testing.T) {
	r := starReadings([]float64{13.30, 13.20}, []float64{0.010, 0.010}, 0, 50)
	near(t, "exchange", r.Batteries[0].Low, 5, 1e-9) // 100 mV over 20 mΩ
	r.Low, r.High = math.NaN(), math.NaN()
	r.PathResistance = 0.010
	out := mustJudge(t, r)
	near(t, "low draw", out.Low, 0, 1e-9)
	near(t, "high draw", out.High, 50, 1e-9)
	near(t, "EMF", out.Batteries[0].EMF, 0.05, 1e-9)
	if out.Verdict != Offset || out.MostOffset != "" {
		t.Errorf("verdict %q, most %q; want %q and neither of two", out.Verdict, out.MostOffset, Offset)
	}
}

// TestErrorBars: the errors told are those of the derivatives, taken here by
// moving each reading and each draw by a little.
func TestErrorBars(t *testing.T) {
	r := starReadings([]float64{13.21, 13.2, 13.19}, []float64{0.004, 0.005, 0.007}, 12, 150)
	r.Meter = ClampMeter()
	out := mustJudge(t, r)
	for i := range r.Batteries {
		var offset, path float64
		for _, move := range []func(*Readings, float64) float64{
			func(q *Readings, d float64) float64 {
				q.Batteries[i].Low += d
				return q.Meter.error(r.Batteries[i].Low)
			},
			func(q *Readings, d float64) float64 {
				q.Batteries[i].High += d
				return q.Meter.error(r.Batteries[i].High)
			},
			func(q *Readings, d float64) float64 { q.Low += d; return q.Meter.error(r.Low) },
			func(q *Readings, d float64) float64 { q.High += d; return q.Meter.error(r.High) },
		} {
			const d = 1e-4
			q := r
			q.Batteries = append([]Battery(nil), r.Batteries...)
			size := move(&q, d)
			moved := mustJudge(t, q).Batteries[i]
			offset += math.Pow(size*(moved.Offset-out.Batteries[i].Offset)/d, 2)
			path += math.Pow(size*(moved.PathExcess-out.Batteries[i].PathExcess)/d, 2)
		}
		near(t, "offset error", out.Batteries[i].OffsetError, math.Sqrt(offset), 1e-4)
		near(t, "path error", out.Batteries[i].PathError, math.Sqrt(path), 1e-4)
	}
}

// TestFalseAlarms: with readings off by anything within the meter's limits, an
// even bank is seldom called uneven and a bad joint of 4 mΩ seldom missed.
func TestFalseAlarms(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 3))
	meter := ClampMeter()
	blurred := func(ohm []float64) Verdict {
		r := starReadings([]float64{13.2, 13.2, 13.2, 13.2}, ohm, 15, 150)
		blur := func(a *float64) { *a += (2*rng.Float64() - 1) * meter.error(*a) }
		for i := range r.Batteries {
			blur(&r.Batteries[i].Low)
			blur(&r.Batteries[i].High)
		}
		blur(&r.Low)
		blur(&r.High)
		r.Meter = meter
		return mustJudge(t, r).Batteries[3].Verdict
	}
	const times = 2000
	alarms, missed := 0, 0
	for range times {
		if blurred([]float64{0.006, 0.006, 0.006, 0.006}) != Within {
			alarms++
		}
		if v := blurred([]float64{0.006, 0.006, 0.006, 0.010}); v != Path && v != Both {
			missed++
		}
	}
	// Sums of several evenly spread errors lie beyond the root of the sum of the
	// squared limits, 1.73 standard deviations, in about one case of twelve; a
	// battery has two chances.
	if alarms > times*15/100 || alarms == 0 {
		t.Errorf("%d of %d even banks are called uneven", alarms, times)
	}
	if missed > times/100 {
		t.Errorf("%d of %d bad joints are missed", missed, times)
	}
}

// TestNoShare: a battery that takes no part in the load, or falls with it by
// less than the meter can tell, has a path without end and tells no EMF.
func TestNoShare(t *testing.T) {
	for _, amps := range []float64{0, -0.6} {
		r := read(10, 100, []float64{10, 0}, []float64{100, amps})
		r.Meter, r.PathResistance = ClampMeter(), 0.01
		b := mustJudge(t, r).Batteries[1]
		if !math.IsInf(b.Path, 1) || !math.IsInf(b.Extra, 1) || !math.IsNaN(b.EMF) || b.Verdict != Path {
			t.Errorf("%g A: %+v: want endless ohms, no EMF, %q", amps, b, Path)
		}
	}
}

// TestCharge: the same currents the other way round give the same shares,
// errors and verdicts.
func TestCharge(t *testing.T) {
	r := starReadings([]float64{13.21, 13.2, 13.2}, []float64{0.004, 0.005, 0.006}, 10, 120)
	r.Meter = ClampMeter()
	out := mustJudge(t, r)
	r.Low, r.High = -r.Low, -r.High
	for i, b := range r.Batteries {
		r.Batteries[i].Low, r.Batteries[i].High = -b.Low, -b.High
	}
	for i, b := range mustJudge(t, r).Batteries {
		want := out.Batteries[i]
		if b.Share != want.Share || b.Offset != -want.Offset || b.OffsetError != want.OffsetError || b.PathError != want.PathError || b.Verdict != want.Verdict {
			t.Errorf("on charge %+v, on discharge %+v", b, want)
		}
	}
}

// TestOwnResistance: where a battery's own resistance is known, its EMF is told
// by it and not by the mean; a low draw a little below nothing is still none.
func TestOwnResistance(t *testing.T) {
	r := read(-0.2, 100, []float64{4.8, -5}, []float64{54.9, 45.1})
	r.Meter, r.PathResistance = ClampMeter(), 0.020
	r.Batteries[0].Resistance = 0.012
	out := mustJudge(t, r)
	for i, ohm := range []float64{0.012, out.Batteries[1].Path} {
		near(t, "EMF", out.Batteries[i].EMF, out.Batteries[i].Offset*ohm, 1e-12)
	}
	near(t, "second path", out.Batteries[1].Path, 0.020/2*100.2/50.1, 1e-9) // mean/(n·share)
}

// TestOdd: a reading that is twice as wide in proportion to a small battery's
// fair part is as much less telling.
func TestOdd(t *testing.T) {
	r := Result{Batteries: []Finding{
		{ID: "small", Fair: 1.0 / 6, PathExcess: 2, PathError: 1.5, Verdict: Path}, // 4 ± 3 by fair part
		{ID: "even", Fair: 1.0 / 6, PathError: 0.1, Verdict: Within},
		{ID: "large", Fair: 4.0 / 6, PathExcess: -2, PathError: 0.1, Verdict: Path}, // 1 ± 0.05
	}}
	if r.conclude(); r.MostPath != "" || r.Verdict != Path {
		t.Errorf("odd one %q, verdict %q; want none, %q", r.MostPath, r.Verdict, Path)
	}
	r.Batteries[0].PathError = 1.4
	if r.conclude(); r.MostPath != "small" {
		t.Errorf("odd one %q, want the small battery", r.MostPath)
	}
}

func TestBadReadings(t *testing.T) {
	good := func() Readings {
		r := read(10, 100, []float64{4, 6}, []float64{45, 55})
		r.Meter = ClampMeter()
		return r
	}
	if _, err := Judge(good()); err != nil {
		t.Fatal(err)
	}
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name, want string
		change     func(*Readings)
	}{
		{"one battery", "two batteries", func(r *Readings) { r.Batteries = r.Batteries[:1] }},
		{"no batteries", "two batteries", func(r *Readings) { r.Batteries = nil }},
		{"meter", "meter's error", func(r *Readings) { r.Meter.Absolute = -1 }},
		{"mean path", "mean path", func(r *Readings) { r.PathResistance = nan }},
		{"twice", `battery "B1" is named twice`, func(r *Readings) { r.Batteries[1].ID = "B1" }},
		{"no name", "not at all", func(r *Readings) { r.Batteries[1].ID = "" }},
		{"no low", "B2: no reading at the low load", func(r *Readings) { r.Batteries[1].Low = nan }},
		{"no high", "B1: no reading at the high load", func(r *Readings) { r.Batteries[0].High = inf }},
		{"resistance", "B1: resistance", func(r *Readings) { r.Batteries[0].Resistance = -0.01 }},
		{"some capacities", "B2: the capacity", func(r *Readings) { r.Batteries[0].Capacity = 100 }},
		{"endless draw", "high load: a draw", func(r *Readings) { r.High = inf }},
		{"sum", "add up to 100 A, the draw is 150 A", func(r *Readings) { r.High = 150 }},
		{"clamp reversed", "low load: the batteries add up to 2 A", func(r *Readings) { r.Batteries[0].Low = -4 }},
		{"equal loads", "further apart", func(r *Readings) { r.Low, r.Batteries[0].Low, r.Batteries[1].Low = 99, 45, 54 }},
		{"charge and discharge", "both on discharge", func(r *Readings) { r.Low, r.Batteries[0].Low, r.Batteries[1].Low = -10, -4, -6 }},
		{"changed over", "change them over", func(r *Readings) {
			r.Low, r.High = r.High, r.Low
			for i, b := range r.Batteries {
				r.Batteries[i].Low, r.Batteries[i].High = b.High, b.Low
			}
		}},
		{"falls", "B1: 4 A at the low load and -20 A", func(r *Readings) { r.Batteries[0].High, r.Batteries[1].High = -20, 120 }},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := good()
			c.change(&r)
			if _, err := Judge(r); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want one with %q", err, c.want)
			}
		})
	}
	if err := ClampMeter().Source.Check(); err != nil {
		t.Error(err)
	}
}
