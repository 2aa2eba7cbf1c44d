package protect

import (
	"math"
	"math/rand/v2"
	"testing"

	"bankwright/internal/base/source"
)

// warming is how long a lumped cable bears a current: one time constant, steady
// at its ampacity (textbook).
func warming(ampacity, tau float64) func(float64) float64 {
	return func(i float64) float64 {
		if i <= ampacity {
			return inf
		}
		over := i / ampacity
		return -tau * math.Log1p(-1/(over*over))
	}
}

// one is a device that has opened after t seconds at six times its rating,
// where nothing else is told.
func one(t *testing.T, rating, time float64) Device {
	t.Helper()
	return Device{Rating: source.Of(rating), Band: band(t, []BandPoint{{6, nan, time}})}
}

// TestSavesCable: k²S²/I² of published form t = (k·S/I)², computed: k = 115,
// 35 mm², 3000 A 1.800 s; k = 143, 50 mm², 6000 A 1.420 s. Just under, at and
// just over.
func TestSavesCable(t *testing.T) {
	for _, row := range []struct{ k, square, current, printed float64 }{{115, 35, 3000, 1.800}, {143, 50, 6000, 1.420}} {
		energy := row.k * row.k * row.square * row.square
		bears := energy / row.current / row.current
		near(t, "bears", bears, row.printed, 0.0005) // half of the last digit
		c := Cable{Withstand: source.Look(energy, fromPage)}
		p := Prospective{row.current, row.current}
		for _, at := range []struct {
			time float64
			want Verdict
		}{{bears * (1 - 1e-6), Within}, {bears, Within}, {bears * (1 + 1e-6), Outside}} {
			s := Saves(one(t, row.current/6, at.time), c, p)
			verdict(t, "fault", s.Fault.Outcome, at.want)
			near(t, "margin", s.Fault.Margin, bears/at.time, 1e-9)
			near(t, "device", s.Fault.Device, at.time, 0)
			near(t, "cable", s.Fault.Cable, bears, 1e-12)
		}
	}
}

// TestSavesByTemperature: final temperatures computed with K = 226 A·√s/mm² and
// β = 234.5: 35 mm², 3000 A, 0.5 s from 70 °C 92.71 °C; 53.49 mm², 5000 A, 0.2
// s from 90 °C 101.29 °C. A cable that may come to just those is at its limit:
// margin 1 to 0.1 %, by the digits of the temperatures.
func TestSavesByTemperature(t *testing.T) {
	for _, row := range []struct{ square, current, time, from, to float64 }{{35, 3000, 0.5, 70, 92.71}, {53.49, 5000, 0.2, 90, 101.29}} {
		energy := 226 * 226 * row.square * row.square * math.Log((234.5+row.to)/(234.5+row.from))
		s := Saves(one(t, row.current/6, row.time), Cable{Withstand: source.Of(energy)}, Prospective{row.current, row.current})
		near(t, "margin", s.Fault.Margin, 1, 1e-3)
	}
}

// TestSavesLetThrough: a current-limiting fuse of 400 A without a band lets
// 550 000 A²s through (UL 248-15, from memory).
func TestSavesLetThrough(t *testing.T) {
	d := Device{Rating: source.Of(400.0), Clearing: source.Look(550e3, fromMemory)}
	for _, row := range []struct {
		energy float64
		want   Verdict
	}{{550e3 * (1 + 1e-6), Within}, {550e3, Within}, {550e3 * (1 - 1e-6), Outside}} {
		s := Saves(d, Cable{Withstand: source.Of(row.energy)}, Prospective{5000, 20000})
		verdict(t, "let-through", s.Fault.Outcome, row.want)
		near(t, "margin", s.Fault.Margin, row.energy/550e3, 1e-9)
		if !s.Fault.Memory {
			t.Error("the let-through is from memory, but it is not marked")
		}
	}
	assumed := Saves(d, Cable{Withstand: source.Assume(1e9, fromPage, "")}, Prospective{5000, 20000})
	if !assumed.Fault.Assumed {
		t.Error("an assumed withstand is not marked")
	}
}

// TestSavesBeyondBand: above the last multiple the time told there is a bound.
// It can show that a cable is saved, not that it is not.
func TestSavesBeyondBand(t *testing.T) {
	d := one(t, 100, 0.5)
	p := Prospective{2000, 4000}
	verdict(t, "bound is enough", Saves(d, Cable{Withstand: source.Of(4000 * 4000 * 0.5)}, p).Fault.Outcome, Within)
	little := Saves(d, Cable{Withstand: source.Of(4000 * 4000 * 0.49)}, p).Fault
	verdict(t, "bound is not enough", little.Outcome, NotChecked, "not told")
	near(t, "margin", little.Margin, nan, 0)
	d.Clearing = source.Of(1e6)
	verdict(t, "with let-through", Saves(d, Cable{Withstand: source.Of(1e6)}, p).Fault.Outcome, Within)
	verdict(t, "too much let through", Saves(d, Cable{Withstand: source.Of(0.9e6)}, p).Fault.Outcome, Outside)
}

// TestHalfAgainTheAmpacity: a 450 A fuse on a conductor of 330 A, as the 150 %
// of 33 CFR 183.455 allow. It saves the cable from a dead short, yet from 330
// to 607.5 A, 1.35 times its rating, it need not open while the cable passes
// its temperature. By hand: 404 s · ln(1/(1 − (330/607.5)²)) = 141.3 s.
func TestHalfAgainTheAmpacity(t *testing.T) {
	d := fuse(t, "bolt 51", 450)
	c := Cable{Name: "W1", Withstand: source.Of(math.Pow(134.78*67.43, 2)), Holds: warming(330, 404), Ref: fromPage}
	s := Saves(d, c, Prospective{2700, 6000})
	verdict(t, "fault", s.Fault.Outcome, Within)
	// Above six times 450 A the 1 s told there bounds it: worst at the most.
	near(t, "worst fault", s.Fault.Worst, 6000, 1e-6)
	near(t, "margin", s.Fault.Margin, math.Pow(134.78*67.43/6000, 2), 1e-9)
	long := s.LongOverload
	verdict(t, "long overload", long.Outcome, Outside, "need not open", "W1 passes its temperature")
	near(t, "from", long.From, 330, 1e-6)
	near(t, "to", long.To, 607.5, 1e-9)
	near(t, "cable", long.Cable, 141.3, 0.05)
	near(t, "carried for sure", long.Device, 120, 1e-4)
	near(t, "margin", long.Margin, 330/607.5, 1e-9)
	verdict(t, "overload", s.Overload.Outcome, Outside)
	near(t, "worst overload", s.Overload.Worst, 607.5, 1e-3)
	near(t, "overload margin", s.Overload.Margin, long.Cable/1800, 1e-5)

	// On a conductor that bears 607.5 A and warms slowly it is within: just at,
	// just under.
	c.Holds = warming(607.5, 1000)
	s = Saves(d, c, Prospective{2700, 6000})
	verdict(t, "large conductor", s.LongOverload.Outcome, Within)
	near(t, "large conductor, from", s.LongOverload.From, 450, 0)
	near(t, "large conductor, margin", s.LongOverload.Margin, 1, 1e-9)
	verdict(t, "large conductor, overload", s.Overload.Outcome, Within)
	c.Holds = warming(607.5*(1-1e-6), 1000)
	verdict(t, "a little less", Saves(d, c, Prospective{2700, 6000}).LongOverload.Outcome, Outside)
}

// TestSavesLeast: what decides is the least current: a weak bank does not make
// the device open in time, where a strong one does.
func TestSavesLeast(t *testing.T) {
	d := fuse(t, "bolt 51", 300)
	c := Cable{Withstand: source.Of(115 * 115 * 35 * 35.0), Holds: warming(150, 300)}
	strong := Saves(d, c, Prospective{3000, 3500})
	verdict(t, "strong", strong.Fault.Outcome, Within)
	// 330 A: 110 % of the rating, not told to open.
	weak := Saves(d, c, Prospective{330, 3500})
	verdict(t, "weak", weak.Fault.Outcome, Outside, "need not open at 330.0 A")
	near(t, "margin", weak.Fault.Margin, 0, 0)
	verdict(t, "weak, overload", weak.Overload.Outcome, NotChecked, "no current between")
	// 500 A: opened after 44 s at the latest, borne for 28 s.
	middle := Saves(d, c, Prospective{500, 3500})
	verdict(t, "middle", middle.Fault.Outcome, Outside)
	near(t, "worst", middle.Fault.Worst, 500, 1e-6)
	near(t, "margin", middle.Fault.Margin, warming(150, 300)(500)/d.Band.Max(500.0/300), 1e-9)
	// Without knowing how the cable warms, k²S² alone still speaks for it.
	verdict(t, "middle, by k²S² alone", Saves(d, Cable{Withstand: source.Of(5e8)}, Prospective{500, 3500}).Fault.Outcome, Within)
	verdict(t, "middle, k²S² not enough", Saves(d, Cable{Withstand: source.Of(1e7)}, Prospective{500, 3500}).Fault.Outcome, NotChecked)
	for _, least := range []float64{nan, 0, -1} {
		alone := Saves(d, c, Prospective{least, 3500})
		verdict(t, "least not told", alone.Fault.Outcome, Within, "least fault current is not told")
		near(t, "from", alone.Fault.From, 3500, 0)
	}
	// A least current that the cable bears for good harms nothing.
	verdict(t, "borne for good", Saves(d, Cable{Withstand: c.Withstand, Holds: warming(405, 300)}, Prospective{330, 330}).Fault.Outcome, Within)
}

// TestFiveSeconds: the currents at which what counts changes are where the band
// has just opened after 5 s.
func TestFiveSeconds(t *testing.T) {
	for name := range tables {
		d := fuse(t, name, 80)
		at := d.within(adiabatic)
		for _, i := range at {
			near(t, name, d.Band.Max(i/80), 5, 1e-9)
		}
		// Two tables tell 5 s at a point of their own; there is no crossing.
		if want := map[string]int{"blade": 0, "blade high": 1, "bolt 30": 1, "bolt 51": 0}[name]; len(at) != want {
			t.Errorf("%s: %d crossings, want %d", name, len(at), want)
		}
	}
}

func TestSavesNotTold(t *testing.T) {
	d, c, p := fuse(t, "bolt 51", 100), Cable{Withstand: source.Of(1e7), Holds: warming(200, 300)}, Prospective{2000, 3000}
	for _, row := range []struct {
		name                  string
		d                     Device
		c                     Cable
		p                     Prospective
		fault, overload, long Verdict
	}{
		{"all told", d, c, p, Within, Within, Within},
		{"no rating", Device{Band: d.Band}, c, p, NotChecked, NotChecked, NotChecked},
		{"dead bank", d, c, Prospective{0, 0}, NotChecked, NotChecked, NotChecked},
		{"no most", d, c, Prospective{2000, nan}, NotChecked, NotChecked, NotChecked},
		{"least above most", d, c, Prospective{4000, 3000}, NotChecked, NotChecked, NotChecked},
		{"no band", Device{Rating: d.Rating}, c, p, NotChecked, NotChecked, NotChecked},
		{"no band, weak cable", Device{Rating: d.Rating}, Cable{Holds: warming(90, 300)}, p, NotChecked, NotChecked, Outside},
		{"no cable", d, Cable{}, p, NotChecked, NotChecked, NotChecked},
		{"no heat balance", d, Cable{Withstand: c.Withstand}, p, Within, NotChecked, NotChecked},
		{"no withstand", d, Cable{Holds: c.Holds}, p, Within, Within, Within},
		{"most below the rating", d, c, Prospective{50, 80}, Within, NotChecked, Within},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := Saves(row.d, row.c, row.p)
			verdict(t, "fault", s.Fault.Outcome, row.fault)
			verdict(t, "overload", s.Overload.Outcome, row.overload)
			verdict(t, "long overload", s.LongOverload.Outcome, row.long)
		})
	}
}

// TestSavesAgainstGrid: random devices and cables against 4000 currents, each
// judged by hand: time by the band, k²S² up to 5 s, the heat balance above.
func TestSavesAgainstGrid(t *testing.T) {
	rng := rand.New(rand.NewPCG(43, 1))
	met := map[Verdict]int{}
	for range 150 {
		d := fuse(t, []string{"blade high", "bolt 30", "bolt 51"}[rng.IntN(3)], 50*math.Pow(10, rng.Float64()))
		c := Cable{Withstand: source.Of(math.Pow(10, 5.5+3*rng.Float64())), Holds: warming(d.Rating.V*(0.6+2.5*rng.Float64()), 100*math.Pow(10, rng.Float64()))}
		top := 5 * d.Rating.V // told all the way
		p := Prospective{d.Rating.V * (1.6 + 2*rng.Float64()), top}
		s := Saves(d, c, p)
		least := inf
		for n := range 4001 {
			i := p.Least * math.Pow(top/p.Least, float64(n)/4000)
			time := d.Band.Max(i / d.Rating.V)
			margin := c.Holds(i) / time
			if time <= 5 {
				margin = c.Withstand.V / (i * i * time)
			}
			least = math.Min(least, margin)
		}
		// The result is searched, so at most the grid's, and close to it.
		if s.Fault.Margin > least*(1+1e-9) || s.Fault.Margin < least*0.99 {
			t.Errorf("margin %g, by the grid %g (%v)", s.Fault.Margin, least, s.Fault.Reasons)
		}
		want := Within
		if s.Fault.Margin < 1 {
			want = Outside
		}
		verdict(t, "grid", s.Fault.Outcome, want)
		met[want]++
	}
	if met[Within] < 20 || met[Outside] < 20 {
		t.Errorf("the draw is one-sided: %v", met)
	}
}

// TestSavesMonotonic: a cable that bears more, or a smaller device of the same
// family, never saves worse.
func TestSavesMonotonic(t *testing.T) {
	rng := rand.New(rand.NewPCG(44, 1))
	for range 100 {
		rated := 50 * math.Pow(10, rng.Float64())
		energy, ampacity := math.Pow(10, 5+3*rng.Float64()), rated*(0.5+2*rng.Float64())
		p := Prospective{rated * 2, rated * 5}
		of := func(rating, more float64) Saving {
			return Saves(fuse(t, "bolt 51", rating), Cable{Withstand: source.Of(energy * more), Holds: warming(ampacity*more, 300)}, p)
		}
		was, thicker, smaller := of(rated, 1), of(rated, 1.3), of(rated*0.8, 1)
		for _, now := range []Saving{thicker, smaller} {
			for _, pair := range [][2]Stretch{{was.Fault, now.Fault}, {was.LongOverload, now.LongOverload}} {
				if pair[1].Margin < pair[0].Margin*(1-1e-6) {
					t.Errorf("margin fell from %g to %g", pair[0].Margin, pair[1].Margin)
				}
			}
		}
	}
}
