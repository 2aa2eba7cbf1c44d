package holding

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestBalance: by hand, then that any masses leave forces and both moments
// balanced.
func TestBalance(t *testing.T) {
	s := Balance(Vehicle{Base: 4, Track: 2}, Added{"bank", 50, 1, 0.5}, Added{"old bank", -30, -2, -0.5})
	near(t, "nose", s.Nose, (50*1+30*2)*Gravity/4, 1e-9)
	near(t, "axle", s.Axle, (20-27.5)*Gravity, 1e-9)
	near(t, "left less right", s.Left-s.Right, 2*(25+15)*Gravity/2, 1e-9)
	rng := rand.New(rand.NewPCG(7, 4))
	for range 200 {
		v := Vehicle{Base: 1 + 6*rng.Float64(), Track: 1 + rng.Float64()}
		var added []Added
		weight, ahead, left := 0.0, 0.0, 0.0
		for range 1 + rng.IntN(5) {
			a := Added{"", 100 * (rng.Float64() - 0.3), 6 * (rng.Float64() - 0.5), 2 * (rng.Float64() - 0.5)}
			added = append(added, a)
			weight, ahead, left = weight+a.Mass*Gravity, ahead+a.Mass*Gravity*a.Ahead, left+a.Mass*Gravity*a.Left
		}
		s := Balance(v, added...)
		near(t, "weight", s.Nose+s.Left+s.Right, weight, 1e-9)
		near(t, "about the axle", s.Nose*v.Base, ahead, 1e-9)
		near(t, "about the middle", (s.Left-s.Right)*v.Track/2, left, 1e-9)
	}
	s = Balance(Vehicle{Base: 4}, Added{"", 10, 1, 1})
	if !math.IsNaN(s.Left) || math.IsNaN(s.Nose) || math.Abs(s.MomentLeft-10*Gravity) > 1e-9 {
		t.Errorf("no track: %+v", s)
	}
	if s = Balance(Vehicle{Track: 2}, Added{"", 10, 1, 1}); !math.IsNaN(s.Nose) || !math.IsNaN(s.Left) {
		t.Errorf("no base: %+v", s)
	}
}

// TestLift is T18 (NIOSH 94-110): H 15, V 30, D 18 in gives 31.28 lb, an index of
// 0.831 for 26 lb and 2.078 for 65 lb. The metric set rounds otherwise; by hand
// it gives 30.45 lb.
func TestLift(t *testing.T) {
	const lb = 0.45359237
	l := Lift{Reach: 15 * inch, Height: 30 * inch, Travel: 18 * inch, Grip: Good}
	near(t, "limit", InchLift.Limit(l)/lb, 31.28, 0.005)
	near(t, "index of 26 lb", InchLift.Index(l, 26*lb, 1), 0.831, 0.0005)
	near(t, "index of 65 lb", InchLift.Index(l, 65*lb, 1), 2.078, 0.0005)
	near(t, "two people", InchLift.Index(l, 65*lb, 2), 1.039, 0.0005)
	near(t, "metric", MetricLift.Limit(l)/lb, 30.45, 0.01)
	best := Lift{Reach: 0.25, Height: 0.75, Travel: 0.25, Grip: Good}
	near(t, "best posture", MetricLift.Limit(best), 23, 1e-9)
	near(t, "index of 1", MetricLift.Index(best, 23, 1), 1, 1e-12)
	for _, row := range []struct {
		name string
		l    Lift
		want float64 // kg, by hand
	}{
		{"nearer than 25 cm", Lift{0.2, 0.75, 0.1, 0, Good}, 23},
		{"reach", Lift{0.5, 0.75, 0.25, 0, Good}, 11.5},
		{"from the floor", Lift{0.25, 0, 0.25, 0, Good}, 23 * 0.775},
		{"twist", Lift{0.25, 0.75, 0.25, 90, Good}, 23 * 0.712},
		{"twist beyond", Lift{0.25, 0.75, 0.25, 320, Good}, 0},
		{"poor grip", Lift{0.25, 0.75, 0.25, 0, Poor}, 20.7},
		{"fair grip", Lift{0.25, 0.75, 0.25, 0, Fair}, 21.85},
		{"far up", Lift{0.25, 5, 0.25, 0, Good}, 0},
	} {
		near(t, row.name, MetricLift.Limit(row.l), row.want, 1e-9)
	}
	for _, l := range []Lift{{math.NaN(), 1, 1, 0, Good}, {0.3, -1, 1, 0, Good}, {0.3, 1, math.Inf(1), 0, Good}} {
		if !math.IsNaN(MetricLift.Limit(l)) {
			t.Errorf("%+v has a limit", l)
		}
	}
	if !math.IsNaN(MetricLift.Index(best, 10, 0)) || !math.IsNaN(MetricLift.Index(best, -1, 1)) || !math.IsInf(MetricLift.Index(Lift{0.25, 5, 0.25, 0, Good}, 10, 1), 1) {
		t.Error("nobody, a negative mass or a lift that is out of the question has an index")
	}
	if MetricLift.Ref.Check() != nil || HighRisk != 3 {
		t.Error("no source")
	}
}

// TestTouch: the reference's two worked pairs (D5), each limit just under, at and
// over, and both ways round.
func TestTouch(t *testing.T) {
	for _, row := range []struct {
		a, b     string
		place    Place
		v        float64
		corrodes string
		within   bool
	}{
		{"aluminium", "stainless", Damp, 0.40, "aluminium", false}, {"aluminium", "stainless", Indoor, 0.40, "aluminium", true},
		{"aluminium", "copper", Indoor, 0.55, "aluminium", false}, {"copper", "tin", Indoor, 0.30, "tin", true},
		{"stainless", "copper", Wet, 0.15, "stainless", true}, {"brass", "tin", Damp, 0.25, "tin", true},
		{"nickel", "stainless", Wet, 0.20, "stainless", false}, {"silver", "tin", Indoor, 0.50, "tin", true},
		{"brass", "lead", Damp, 0.30, "lead", false}, {"steel", "copper", Indoor, 0.50, "steel", true},
		{"copper", "copper", Wet, 0, "", true},
	} {
		for _, p := range []Pair{Touch(row.a, row.b, row.place), Touch(row.b, row.a, row.place)} {
			near(t, row.a+" on "+row.b, p.Difference, row.v, 1e-12)
			if p.Corrodes != row.corrodes || p.Within() != row.within || !p.Known {
				t.Errorf("%s on %s, %s: %+v", row.a, row.b, row.place, p)
			}
		}
	}
	for _, p := range []Pair{Touch("aluminium", "mud", Wet), Touch("mud", "tin", Wet), Touch("tin", "tin", "moon")} {
		if p.Known || p.Within() || !math.IsNaN(p.Difference) {
			t.Errorf("unknown: %+v", p)
		}
	}
	metals, ref := Metals()
	for i := 1; i < len(metals); i++ {
		if metals[i].Index <= metals[i-1].Index {
			t.Errorf("%s is out of order", metals[i].ID)
		}
	}
	if ref.Check() != nil {
		t.Error(ref.Check())
	}
}

// TestSeaOrder: MIL-STD-889B lists zinc, cadmium, aluminium, tin, lead, steel,
// nickel, stainless, brass and copper in this order from the active end.
func TestSeaOrder(t *testing.T) {
	last := 0
	for _, m := range []string{"zinc", "cadmium", "aluminium 5052", "aluminium", "tin", "lead", "steel", "nickel", "stainless", "brass", "stainless 316", "copper"} {
		if n := SeaOrder(m); n <= last {
			t.Errorf("%s has %d after %d", m, n, last)
		} else {
			last = n
		}
	}
	if SeaOrder("mud") != 0 {
		t.Error("mud is in the list")
	}
}

// TestClearance: over a lip, just under, at and over the free height.
func TestClearance(t *testing.T) {
	for _, row := range []struct{ free, spare float64 }{{0.349, -0.001}, {0.35, 0}, {0.351, 0.001}, {math.Inf(1), math.Inf(1)}} {
		got := Clearance{Case: 0.22, Lip: 0.05, Free: row.free, Hand: 0.08}.Spare()
		if got != row.spare {
			near(t, "spare", got, row.spare, 1e-12)
		}
	}
	for _, c := range []Clearance{{Case: -1}, {Lip: math.NaN()}, {Hand: math.Inf(1)}} {
		if !math.IsNaN(c.Spare()) {
			t.Errorf("%+v has %g to spare", c, c.Spare())
		}
	}
}
