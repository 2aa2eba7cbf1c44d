package fault

import (
	"math"
	"math/rand/v2"
	"testing"

	"bankwright/internal/base/source"
)

// TestLoop: 30 mm apart, radius 6 mm, 1.5 m, behind 1 + 0.7826 + 0.2 mΩ,
// computed by hand; half of the last digit given.
func TestLoop(t *testing.T) {
	per, err := LoopInductance(0.030, 0.006)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "µH/m", per*1e6, 0.7438, 0.00005)
	near(t, "µH", 1.5*per*1e6, 1.116, 0.0005)
	r, err := NewRise(13.3, 0.001+0.00078261+0.0002, 1.5*per)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "L/R, ms", r.Tau*1e3, 0.563, 0.0005)
	near(t, "last current", r.Current, 6708, 0.5)
	touching, err := LoopInductance(0.012, 0.006)
	near(t, "touching", touching, 4e-7*(math.Log(2)+0.25), 1e-20)
	if err != nil {
		t.Error(err)
	}
	for _, bad := range [][2]float64{{0.0119, 0.006}, {0.03, 0}, {0, 0.006}, {math.NaN(), 0.006}, {0.03, math.NaN()}, {math.Inf(1), 0.006}, {0.03, math.Inf(1)}} {
		if l, err := LoopInductance(bad[0], bad[1]); err == nil || !math.IsNaN(l) {
			t.Errorf("%v gives %g H/m", bad, l)
		}
	}
}

// TestRise: by the law itself: i(τ) = I(1 − 1/e); E = L·di/dt + R·i at every
// time; Reaches turns At round.
func TestRise(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 1))
	for range 200 {
		volts, ohm, henry := 10+40*rng.Float64(), math.Pow(10, -4+2*rng.Float64()), math.Pow(10, -7+2*rng.Float64())
		r, err := NewRise(volts, ohm, henry)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "at one time constant", r.At(r.Tau), r.Current*(1-1/math.E), 1e-12*r.Current)
		at, step := 3*r.Tau*rng.Float64(), 1e-5*r.Tau
		slope := (r.At(at+step) - r.At(at-step)) / (2 * step)
		near(t, "volts round the loop", henry*slope+ohm*r.At(at), volts, 1e-5*volts)
		near(t, "first slope", r.At(1e-9*r.Tau)/(1e-9*r.Tau), r.Slope, 1e-8*r.Slope)
		part := rng.Float64()
		near(t, "reached", r.At(r.Reaches(part)), part*r.Current, 1e-12*r.Current)
	}
	atOnce, err := NewRise(13, 0.001, 0)
	if err != nil || atOnce.At(1e-9) != 13000 || atOnce.At(0) != 0 || atOnce.Reaches(1) != 0 || !math.IsInf(atOnce.Slope, 1) {
		t.Errorf("without inductance: %+v, %v", atOnce, err)
	}
	if still, _ := NewRise(0, 0.001, 0); still.Slope != 0 || still.At(1) != 0 {
		t.Errorf("without volts: %+v", still)
	}
	slow, _ := NewRise(13, 0.001, 1e-6)
	if slow.At(-1) != 0 || !math.IsNaN(slow.At(math.NaN())) || !math.IsNaN(slow.Reaches(1.1)) || !math.IsInf(slow.Reaches(1), 1) {
		t.Errorf("special cases: %g %g %g %g", slow.At(-1), slow.At(math.NaN()), slow.Reaches(1.1), slow.Reaches(1))
	}
	for _, bad := range [][3]float64{{13, 0, 1e-6}, {13, 0.001, -1}, {math.NaN(), 0.001, 0}, {13, math.Inf(1), 0}, {13, 0.001, math.NaN()}} {
		if _, err := NewRise(bad[0], bad[1], bad[2]); err == nil {
			t.Errorf("%v has a rise", bad)
		}
	}
}

// TestTwoPoint: 100 Ah, 40 A at 12.40 V and 200 A at 11.76 V give 4.00 mΩ and
// 3140 A, computed by hand.
func TestTwoPoint(t *testing.T) {
	for _, pair := range [][2]Reading{{{40, 12.40}, {200, 11.76}}, {{200, 11.76}, {40, 12.40}}} {
		e, err := TwoPoint(pair[0], pair[1])
		if err != nil {
			t.Fatal(err)
		}
		near(t, "resistance", e.Resistance, 0.004, 1e-12)
		near(t, "current", e.Current, 3140, 1e-8)
		near(t, "EMF", e.EMF, 12.56, 1e-12)
		if e.Ref.How != source.Memory || e.Note == "" {
			t.Errorf("from memory, but marked %+v", e.Ref)
		}
	}
	rng := rand.New(rand.NewPCG(32, 1))
	for range 200 { // a battery that is a straight line gives itself back
		emf, ohm := 10+40*rng.Float64(), math.Pow(10, -4+2*rng.Float64())
		i, k := emf/ohm*0.1*rng.Float64(), emf/ohm*(0.2+0.5*rng.Float64())
		e, err := TwoPoint(Reading{i, emf - ohm*i}, Reading{k, emf - ohm*k})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "resistance", e.Resistance, ohm, 1e-9*ohm)
		near(t, "EMF over resistance", e.Current, emf/ohm, 1e-9*emf/ohm)
	}
	for _, bad := range [][2]Reading{{{40, 12}, {40, 11}}, {{40, 11}, {200, 12}}, {{-1, 12}, {200, 11}}, {{40, math.NaN()}, {200, 11}}, {{40, 12}, {200, 12}}} {
		if _, err := TwoPoint(bad[0], bad[1]); err == nil {
			t.Errorf("%v gives a battery", bad)
		}
	}
}
