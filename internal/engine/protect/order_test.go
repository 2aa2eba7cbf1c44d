package protect

import (
	"math"
	"math/rand/v2"
	"testing"

	"bankwright/internal/base/source"
)

// pair is a 100 A device below one of 300 A which at 1000 A holds for so many
// seconds; the lower has opened there after 0.1 s.
func pair(t *testing.T, holds float64) (up, down Device) {
	t.Helper()
	return Device{Name: "F1", Rating: source.Of(300.0), Band: band(t, []BandPoint{{1.5, 50, 1000}, {1000.0 / 300, holds, 10}})},
		Device{Name: "F2", Rating: source.Of(100.0), Band: band(t, []BandPoint{{1.5, 1, 100}, {10, 0.01, 0.1}})}
}

// TestInSeries: by the bands just under, at and over, then by melting against
// clearing I²t; equal is outside.
func TestInSeries(t *testing.T) {
	for _, row := range []struct {
		name              string
		holds             float64
		melting, clearing float64
		most              float64
		want              Verdict
		margin            float64
	}{
		{"bands, just over", 0.1 * (1 + 1e-6), 0, 0, 1000, Within, 1 + 1e-6},
		{"bands, at", 0.1, 0, 0, 1000, Outside, 1},
		{"bands, just under", 0.1 * (1 - 1e-6), 0, 0, 1000, Outside, 1 - 1e-6},
		{"above the bands, not told", 5, 0, 0, 2000, NotChecked, nan},
		{"melting, just over", 5, 5e4 * (1 + 1e-6), 5e4, 20000, Within, 1 + 1e-6},
		{"melting, at", 5, 5e4, 5e4, 20000, Outside, 1},
		{"melting, just under", 5, 5e4 * (1 - 1e-6), 5e4, 20000, Outside, 1 - 1e-6},
		{"melting told alone", 5, 5e4, 0, 20000, NotChecked, nan},
		{"clearing told alone", 5, 0, 5e4, 20000, NotChecked, nan},
		{"melting against the last time", 5, 2e5, 0, 1400, Within, 2e5 / (1400 * 1400 * 0.1)},
	} {
		t.Run(row.name, func(t *testing.T) {
			up, down := pair(t, row.holds)
			if row.melting > 0 {
				up.Melting = source.Look(row.melting, fromMemory)
			}
			if row.clearing > 0 {
				down.Clearing = source.Look(row.clearing, fromMemory)
			}
			o := Selective(up, down, row.most)
			verdict(t, row.name, o.Outcome, row.want)
			near(t, "margin", o.Margin, row.margin, 1e-9)
			if row.want == Within {
				near(t, "to", o.To, row.most, 0)
			}
			if o.Memory != (row.melting+row.clearing > 0) {
				t.Errorf("from memory: %v", o.Memory)
			}
		})
	}
	up, down := pair(t, 5)
	o := Selective(up, down, 20000)
	near(t, "told up to the last multiples", o.To, 1000, 1e-3)
	near(t, "from", o.From, 100, 0)
	// The other way round the larger need not open while the smaller does.
	swapped := Selective(down, up, 1000)
	verdict(t, "swapped", swapped.Outcome, Outside)
	verdict(t, "only carried", Selective(up, down, 250).Outcome, Within, "upstream carries")
	verdict(t, "a small one upstream", Selective(down, Device{Rating: source.Of(100.0), Band: band(t, []BandPoint{{5, 1, 100}})}, 200).Outcome, Outside, "downstream need not")
	verdict(t, "no rating", Selective(Device{}, down, 1000).Outcome, NotChecked, "the rating of the device")
	verdict(t, "no rating below", Selective(up, Device{}, 1000).Outcome, NotChecked, "the rating of the device")
	verdict(t, "no current", Selective(up, down, nan).Outcome, NotChecked, "most fault current")
	verdict(t, "dead bank", Selective(up, down, 0).Outcome, NotChecked, "most fault current")
	verdict(t, "no bands", Selective(Device{Rating: source.Of(300.0)}, Device{Rating: source.Of(100.0)}, 1000).Outcome, NotChecked)
}

// TestInSeriesAgainstGrid: two fuses of one family of random ratings, against
// 3000 currents judged by their bands alone.
func TestInSeriesAgainstGrid(t *testing.T) {
	rng := rand.New(rand.NewPCG(45, 1))
	met := map[Verdict]int{}
	for range 150 {
		down := fuse(t, "bolt 51", 100)
		up := fuse(t, "bolt 51", 100*(1.2+5*rng.Float64()))
		most := 100 * (2 + 4*rng.Float64())
		o := Selective(up, down, most)
		least := inf
		for n := range 3001 {
			i := 100 * math.Pow(most/100, float64(n)/3000)
			if i <= up.Rating.V {
				continue // carried
			}
			if margin := up.Band.AtLeast(i/up.Rating.V) / down.Band.AtMost(i/100); !(margin >= least) {
				least = margin
			}
		}
		if !math.IsNaN(o.Margin) && !math.IsInf(least, 1) && (o.Margin > least*(1+1e-9) || o.Margin < least*0.95) {
			t.Errorf("up %g A, most %g A: margin %g, by the grid %g", up.Rating.V, most, o.Margin, least)
		}
		if (least > 1) != (o.Verdict == Within) {
			t.Errorf("up %g A, most %g A: %s, by the grid %g", up.Rating.V, most, o.Verdict, least)
		}
		met[o.Verdict]++
	}
	if met[Within] < 20 || met[Outside] < 20 {
		t.Errorf("the draw is one-sided: %v", met)
	}
}

// TestBatteryAgainstFuse: a battery that opens above 200 A after 5 s and above
// 400 A after 3 s (settings documented for one of 100 Ah) and a bolt-in fuse of
// 150 A. The borders by hand, from its times straight in both logarithms.
func TestBatteryAgainstFuse(t *testing.T) {
	trips := []Trip{{source.Of(200.0), source.Of(5.0)}, {source.Of(400.0), source.Of(3.0)}}
	d := fuse(t, "bolt 51", 150)
	holds5 := 150 * 1.35 * math.Pow(5.0/120, math.Log(2/1.35)/math.Log(1.0/120))
	opened3 := 150 * 3.5 * math.Pow(3.0/5, math.Log(6/3.5)/math.Log(1.0/5))
	near(t, "holds 5 s", holds5, 262.9, 0.1)
	near(t, "opened after 3 s", opened3, 623, 0.3)
	want := []FirstSpan{{100, 150, NeitherFirst}, {150, 200, FirstNotTold}, {200, holds5, BatteryFirst}, {holds5, opened3, EitherFirst}, {opened3, 2000, DeviceFirst}}
	r := FirstToOpen(trips, d, 100, 2000)
	verdict(t, "from 100 A", r.Outcome, Outside, "neither the battery nor F1 opens")
	if len(r.Spans) != len(want) {
		t.Fatalf("spans %+v", r.Spans)
	}
	for i, s := range r.Spans {
		if s.First != want[i].First {
			t.Errorf("span %d: %s, want %s", i, s.First, want[i].First)
		}
		near(t, "from", s.From, want[i].From, 1e-6*s.From)
		near(t, "to", s.To, want[i].To, 1e-6*s.To)
	}
	verdict(t, "from 160 A", FirstToOpen(trips, d, 160, 2000).Outcome, NotChecked, "not told")
	verdict(t, "from 210 A", FirstToOpen(trips, d, 210, 2000).Outcome, Within)
	// Exactly at the trip current the battery holds.
	if at := FirstToOpen(trips, d, 200, 200); at.Spans[0].First != FirstNotTold {
		t.Errorf("at the trip: %+v", at.Spans)
	}
	// A short trip of a millisecond is ahead of any fuse here.
	quick := FirstToOpen([]Trip{{source.Of(500.0), source.Look(0.001, fromMemory)}}, d, 501, 900)
	if len(quick.Spans) != 1 || quick.Spans[0].First != BatteryFirst || !quick.Memory {
		t.Errorf("a quick battery: %+v", quick)
	}
	// Opened after 15 s at twice its rating: a battery of just 15 s may be either,
	// one of a little more is behind. Where only the longest or only the shortest
	// time is told, the other may be first.
	for _, row := range []struct {
		name   string
		d      Device
		amps   float64
		delay  float64
		expect First
	}{
		{"same instant", d, 300, 15, EitherFirst},
		{"battery behind", d, 300, 15.001, DeviceFirst},
		{"same instant as the shortest", d, 300, 1, EitherFirst},
		{"battery ahead", d, 300, 0.999, BatteryFirst},
		{"only the longest told", one(t, 50, 10), 300, 5, EitherFirst},
		{"only the shortest told", Device{Rating: source.Of(150.0), Band: band(t, []BandPoint{{2, 4, nan}})}, 300, 5, EitherFirst},
		{"neither told", Device{Rating: source.Of(150.0)}, 300, 5, FirstNotTold},
	} {
		got := FirstToOpen([]Trip{{source.Of(290.0), source.Of(row.delay)}}, row.d, row.amps, row.amps)
		if got.Spans[0].First != row.expect {
			t.Errorf("%s: %s, want %s", row.name, got.Spans[0].First, row.expect)
		}
	}
	unknown := FirstToOpen([]Trip{{source.Of(500.0), source.Of(0.5)}}, Device{Rating: source.Of(100.0)}, 501, 900)
	verdict(t, "no band", unknown.Outcome, NotChecked)
	verdict(t, "no rating", FirstToOpen(trips, Device{}, 100, 200).Outcome, NotChecked)
	verdict(t, "no range", FirstToOpen(trips, d, 200, 100).Outcome, NotChecked)
	// A trip whose current or delay is not told does not act.
	mute := FirstToOpen([]Trip{{Current: source.Of(10.0)}, {Delay: source.Of(1.0)}}, d, 100, 120)
	verdict(t, "mute trips", mute.Outcome, Outside)
}

// TestParallel: 1 and 1.5 mΩ share 250 A as 150 and 100 A; each against its own
// conductor and device, just under, at and over.
func TestParallel(t *testing.T) {
	leads := func(ampacity, device float64) []Lead {
		return []Lead{{0.001, source.Of(ampacity), source.Look(device, fromMemory)}, {0.0015, source.Of(ampacity), source.Of(device)}}
	}
	for _, row := range []struct {
		name             string
		ampacity, device float64
		want             Verdict
	}{
		{"well within", 200, 200, Within},
		{"conductor at", 150, 200, Within},
		{"conductor just over", 150 * (1 - 1e-6), 200, Outside},
		{"device at", 200, 150, Within},
		{"device just over", 200, 150 * (1 - 1e-6), Outside},
		{"no ampacity", nan, 200, NotChecked},
		{"no ampacity, device over", nan, 149, Outside},
		{"no device", 200, nan, Within},
	} {
		t.Run(row.name, func(t *testing.T) {
			r := Parallel(250, leads(row.ampacity, row.device))
			verdict(t, row.name, r.Outcome, row.want)
			near(t, "first", r.Leads[0].Current, 150, 1e-9)
			near(t, "second", r.Leads[1].Current, 100, 1e-9)
			near(t, "over even", r.Leads[0].Even, 1.2, 1e-12)
			near(t, "one out", r.Leads[1].OneOut, 250, 1e-9)
			if r.Worst != 0 {
				t.Errorf("worst is %d", r.Worst)
			}
			if two := !math.IsNaN(row.device); r.Memory != two || (len(r.Grounds) == 2) != two {
				t.Errorf("grounds %v, from memory %v", r.Grounds, r.Memory)
			}
		})
	}
	// The most loaded is not the one of most current where it may carry less,
	// by its conductor or by its device; without limits it is.
	for _, row := range []struct {
		name  string
		leads []Lead
		worst int
	}{
		{"small conductor", []Lead{{0.001, source.Of(200.0), source.Of(300.0)}, {0.0015, source.Of(120.0), source.Of(300.0)}}, 1},
		{"small device", []Lead{{0.001, source.Of(200.0), source.Of(200.0)}, {0.0015, source.Of(200.0), source.Of(110.0)}}, 1},
		{"no limits", []Lead{{Resistance: 0.002}, {Resistance: 0.0015}, {Resistance: 0.001}}, 2},
		{"limit of the lesser alone", []Lead{{Resistance: 0.001}, {0.0015, source.Of(120.0), source.Of(300.0)}}, 1},
	} {
		if r := Parallel(250, row.leads); r.Worst != row.worst {
			t.Errorf("%s: worst is %d, want %d", row.name, r.Worst, row.worst)
		}
	}
	rng := rand.New(rand.NewPCG(46, 1))
	for range 200 { // the currents add up, and each drops the same volts
		var many []Lead
		for range 2 + rng.IntN(6) {
			many = append(many, Lead{Resistance: math.Pow(10, -5+3*rng.Float64()), Ampacity: source.Of(1e6)})
		}
		r, sum := Parallel(500, many), 0.0
		for i, l := range r.Leads {
			sum += l.Current
			near(t, "volts", l.Current*many[i].Resistance, r.Leads[0].Current*many[0].Resistance, 1e-9)
			if !(l.OneOut >= l.Current) {
				t.Errorf("with one out it carries less: %+v", l)
			}
		}
		near(t, "sum", sum, 500, 1e-9)
	}
	for name, r := range map[string]ParallelResult{"none": Parallel(100, nil), "no resistance": Parallel(100, []Lead{{}}), "resistance none": Parallel(100, []Lead{{Resistance: nan}}),
		"open": Parallel(100, []Lead{{Resistance: inf}}), "no total": Parallel(nan, leads(1, 1)), "total without end": Parallel(inf, leads(1, 1))} {
		verdict(t, name, r.Outcome, NotChecked)
		if r.Worst != -1 || r.Leads != nil {
			t.Errorf("%s: %+v", name, r)
		}
	}
	near(t, "alone", Parallel(100, []Lead{{Resistance: 1}}).Leads[0].OneOut, nan, 0)
}
