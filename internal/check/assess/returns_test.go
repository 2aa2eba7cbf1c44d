package assess

import (
	"math"
	"strings"
	"testing"

	"bankwright/internal/model/report"
)

// lampJob is one battery of 13.2 V behind 4 mΩ, a fuse of 1 mΩ at its post, a
// lead out of 2 mΩ and one back of 5 mΩ; twelve-volt lamp of 50 A.
const lampJob = `bankwright: 1
battery_types:
  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 8 mΩ, emf: 13.2 V, fault_resistance: 4 mΩ}
batteries: [{id: B1, type: block}]
parts:
  - {id: F1, kind: fuse, on: B1+, class: class_t, rating: 60 A, interrupt: 3 kA, volts: 125 V, resistance: 1 mΩ}
  - {id: L1, kind: load, current: 50 A}
cables:
  - {id: W1, from: F1.b, to: L1.a, resistance: 2 mΩ}
  - {id: W2, from: L1.b, to: B1-, resistance: 5 mΩ}
takeoff: {positive: B1+, negative: B1-}
`

func mustSide(t *testing.T, text string) (*Job, *report.Side) {
	t.Helper()
	j := mustLoad(t, text)
	s, err := j.Side()
	if err != nil {
		t.Fatal(err)
	}
	return j, s
}

// TestReturns: by hand, each within a millionth but for the 1e-8 ohm that stand
// for none. Behind the bridged fuse 13.2 V over 4 mΩ; a given millohm of the
// fuse stays in the short across the lamp: 4 + 1 + 2 + 5 mΩ.
func TestReturns(t *testing.T) {
	assumed := strings.Replace(lampJob, ", resistance: 1 mΩ}", "}", 1)
	for _, row := range []struct {
		name, text     string
		behind, across float64
	}{
		{"given", lampJob, 13.2 / 0.004, 13.2 / 0.012},
		{"assumed", assumed, 13.2 / 0.004, 13.2 / 0.011},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, s := mustSide(t, row.text)
			g := s.Guards[0]
			if math.Abs(g.Most-row.behind) > 0.02 {
				t.Errorf("behind the fuse %.3f A, not %.3f A", g.Most, row.behind)
			}
			if a := s.Across[0]; a.Place != "L1" || math.Abs(a.Most-row.across) > 0.01 || !(a.Least > 0 && a.Least < a.Most) {
				t.Errorf("across %+v, not %.3f A", a, row.across)
			}
			if len(g.Returns) != 1 || g.Returns[0].Cable != "W2" || g.Returns[0].Of != "L1" || g.Returns[0].End != 1 || math.Abs(g.Returns[0].Most.Cable-row.across) > 0.01 {
				t.Fatalf("returns %+v", g.Returns)
			}
			if l := s.Lines[1]; math.Abs(l.Most-row.across) > 0.01 || l.Least != g.Returns[0].Least.Cable {
				t.Errorf("the return carries %g to %g A", l.Least, l.Most)
			}
		})
	}
}

// TestReturnsShared: what two branches share on the way back is saved by the
// main fuse that both come through, each branch's own by its own; without a
// main fuse by both.
func TestReturnsShared(t *testing.T) {
	two := `bankwright: 1
battery_types:
  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 8 mΩ, emf: 13.2 V}
batteries: [{id: B1, type: block}]
parts:
  - {id: F0, kind: fuse, on: B1+, rating: 100 A, resistance: 0.3 mΩ}
  - {id: P, kind: bar, studs: 3, resistance: 0.1 mΩ}
  - {id: N, kind: bar, studs: 3, resistance: 0.1 mΩ}
  - {id: F1, kind: fuse, on: P.2, rating: 20 A, resistance: 2 mΩ}
  - {id: F2, kind: fuse, on: P.3, rating: 20 A, resistance: 2 mΩ}
  - {id: L1, kind: load, current: 5 A}
  - {id: L2, kind: load, current: 5 A}
cables:
  - {id: W0, from: F0.b, to: P.1, resistance: 1 mΩ}
  - {id: W1, from: F1.b, to: L1.a, resistance: 2 mΩ}
  - {id: W2, from: F2.b, to: L2.a, resistance: 2 mΩ}
  - {id: R1, from: L1.b, to: N.2, resistance: 2 mΩ}
  - {id: R2, from: L2.b, to: N.3, resistance: 2 mΩ}
  - {id: R0, from: N.1, to: B1-, resistance: 1 mΩ}
takeoff: {positive: B1+, negative: B1-}
`
	bare := strings.Replace(strings.Replace(two, "{id: F0, kind: fuse, on: B1+, rating: 100 A, resistance: 0.3 mΩ}", "{id: Q0, kind: switch, resistance: 0.3 mΩ}", 1),
		"from: F0.b, to: P.1, resistance: 1 mΩ}", "from: Q0.b, to: P.1, resistance: 1 mΩ}\n  - {id: W9, from: B1+, to: Q0.a, resistance: 1 mΩ}", 1)
	for _, row := range []struct{ name, text, want string }{
		{"main fuse", two, "F0:R0 F1:R1 F2:R2"},
		{"no main fuse", bare, "F1:R1 F1:R0 F2:R2 F2:R0"},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, s := mustSide(t, row.text)
			var got []string
			for _, g := range s.Guards {
				for _, f := range g.Returns {
					got = append(got, g.Part+":"+f.Cable)
				}
			}
			if strings.Join(got, " ") != row.want {
				t.Errorf("saved are %v, not %s", got, row.want)
			}
		})
	}
}

// TestMidDrop: 5 A through 4 and 6 mΩ lose 50 mV, of the 12.8 V of the one
// battery that the lamp stands across 0.390625 %, not of the string's 25.6 V.
func TestMidDrop(t *testing.T) {
	_, s := mustSide(t, `bankwright: 1
battery_types:
  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 8 mΩ}
batteries: [{id: B1, type: block}, {id: B2, type: block}]
parts:
  - {id: F9, kind: fuse, on: B1+, rating: 10 A, resistance: 1 mΩ}
  - {id: M, kind: load, current: 5 A}
cables:
  - {id: S, from: B1+, to: B2-, resistance: 1 mΩ}
  - {id: W1, from: F9.b, to: M.a, resistance: 3 mΩ}
  - {id: W2, from: M.b, to: B1-, resistance: 6 mΩ}
takeoff: {positive: B2+, negative: B1-}
`)
	l := s.Loads[0]
	if math.Abs(l.DropFraction-0.00390625) > 1e-6 || l.Open != 12.8 { // the 1e-7 ohm of the stiff source
		t.Errorf("loses %g of %g V", l.DropFraction, l.Open)
	}
	if g := s.Guards[0]; !(g.Most > 0) || !(g.Least > 0) {
		t.Errorf("the fuse at the tap has dead shorts of %g to %g A", g.Least, g.Most)
	}
}

// TestBriefHolds: an unloaded 10 AWG in 30 °C for 105 °C: k²S²/I² with k =
// 226·√(ln((234.5 + 105)/(234.5 + 30))) = 112.93 A·√s/mm² (IEC 60364-5-54,
// annex A, from memory) and 5.261 mm²: 0.3530 s at 1000 A, by hand; within 1 %
// for the constants of copper.
func TestBriefHolds(t *testing.T) {
	_, s := mustSide(t, strings.Replace(strings.Replace(lampJob, "to: L1.a, resistance: 2 mΩ", "to: L1.a, size: 10 AWG, length: 1 m, insulation: 105 °C", 1),
		"current: 50 A", "current: 1 mA", 1)+"practice: {ambient: 30 °C}\n")
	if got := s.Lines[0].Holds(1000); math.Abs(got/0.3530-1) > 0.01 {
		t.Errorf("bears 1000 A for %g s, not 0.353 s", got)
	}
	last := math.Inf(1)
	for amps := 20.; amps < 5000; amps *= 1.1 {
		if got := s.Lines[0].Holds(amps); got > last {
			t.Errorf("bears %g A longer than less", amps)
		} else {
			last = got
		}
	}
}

// TestFurther: where a breaker has no place the loop up to its bar, known by
// routes, stays in what lies beyond: the breaker adds nothing, the 4 m of 4 mm²
// behind it half a loop of 30 mm.
func TestFurther(t *testing.T) {
	boat := example(t, "survey-boat.yaml")
	i := strings.Index(boat, "{id: D1, kind: breaker, on: P1.6, ")
	from := strings.Index(boat[i:], "at:") + i
	to := strings.Index(boat[i:], "rating:") + i
	j := mustLoad(t, boat[:from]+boat[to:])
	f, err := j.Faults()
	if err != nil {
		t.Fatal(err)
	}
	_, _, bar := f.shortAt("P1.6")
	_, _, behind := f.shortAt("D1.b")
	_, _, far := f.shortAt("E2.a")
	if bar == nil || behind == nil || far == nil || !bar.Routed {
		t.Fatalf("%+v, %+v, %+v", bar, behind, far)
	}
	if behind.Routed || !behind.Partly || math.Abs(behind.Inductance/bar.Inductance-1) > 1e-12 {
		t.Errorf("behind the breaker %g H, at its bar %g H", behind.Inductance, bar.Inductance)
	}
	half := j.halfLoop(cableNamed(j.Bank, "W16"))
	if !far.Partly || math.Abs(far.Inductance-bar.Inductance-half) > 1e-12 || !(half > 1e-6) {
		t.Errorf("at the load %g H, not %g H", far.Inductance, bar.Inductance+half)
	}
}
