package assess

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// TestMountTorque: T14 of the reference: M6 of A2-70 at 8.14 N·m dry pulls 6784 N,
// 0.75 of proof. Its stress area has three digits there, 20.1 mm².
func TestMountTorque(t *testing.T) {
	_, m := mounted(t, "thread: M8, grade: A2-70, torque: 2 N·m", "thread: M6, grade: A2-70, torque: 8.14 N·m, nut: dry")
	p := m.Preloads[0]
	near(t, "preload", p.Mean, 6784, 2)
	near(t, "proof", 0.75*p.Proof, 6784, 9)
	near(t, "customary", p.Torque, 8.14, 0.011)
	near(t, "most", p.Most, 1.35*p.Mean, 1e-9)
	near(t, "bar", p.Bar*p.Most, 2234.9, 0.5) // yield of the bar, see TestMountByHand
	near(t, "presses", p.Press, 2*p.Most, 1e-9)
	if p.NutAssumed || !math.IsInf(p.Opens, 1) && p.Opens < 1 {
		t.Errorf("%+v", p)
	}
	// Stainless is taken as oiled, plain steel as dry, each assumed.
	for grade, want := range map[string]float64{"A2-70": 0.15, "8.8": 0.20} {
		j, m := mounted(t, "thread: M8, grade: A2-70", "thread: M8, grade: "+grade)
		if p := m.Preloads[0]; p.Factor != want || !p.NutAssumed {
			t.Errorf("%s: %+v", grade, p)
		}
		if !slices.ContainsFunc(m.Assumed, func(a report.Assumption) bool { return a.What == "state of the nuts" }) {
			t.Errorf("%s: the state of the nuts is not told as assumed: %+v", grade, j.Bank.Title)
		}
	}
	if _, m := mounted(t, "torque: 2 N·m, ", ""); len(m.Preloads) != 0 {
		t.Errorf("%+v", m.Preloads)
	}
}

// TestMountMetals: pairs by the anodic index (from memory): 6061 on 18-8 is 0.40 V,
// on copper 0.55 V; limits 0.15, 0.25 and 0.50 V.
func TestMountMetals(t *testing.T) {
	for _, row := range []struct {
		place, more string
		difference  float64
		within      bool
		corrodes    string
		fastener    bool
	}{
		{"wet", "", 0.40, false, "aluminium", false},
		{"damp", "", 0.40, false, "aluminium", false},
		{"indoor", "", 0.40, true, "aluminium", false},
		{"indoor", ", floor: {metal: copper, washer: 20 mm, thickness: 3 mm}", 0.40, true, "aluminium", false},
	} {
		_, m := mounted(t, "  forward: +y\n", "  forward: +y\n  surroundings: "+row.place+"\n", "alloy: 6061-T6}}", "alloy: 6061-T6}"+row.more+"}")
		p := m.Metals[0]
		near(t, row.place, p.Difference, row.difference, 1e-9)
		if p.Within != row.within || p.Corrodes != row.corrodes || p.Fastener != row.fastener || p.Apart || p.Ref.How != source.Memory {
			t.Errorf("%+v", p)
		}
		if row.more != "" && len(m.Metals) != 2 {
			t.Errorf("rods on a copper floor: %+v", m.Metals)
		}
	}
	// Zinc bolts in aluminium: the small one corrodes; kept apart, it is told but
	// not found.
	j, m := mounted(t, "thread: M8, grade: A2-70, torque: 2 N·m", "thread: M8, grade: 8.8, torque: 2 N·m, nut: zinc, isolated: true")
	if p := m.Metals[0]; !p.Fastener || !p.Apart || p.MetalOne != "zinc" {
		t.Errorf("%+v", p)
	}
	if found, _ := j.MountFindings(m); slices.ContainsFunc(found, func(f finding.Finding) bool { return f.Rule == "MNT-04" }) {
		t.Errorf("%+v", found)
	}
	// The marine book makes it wet, assumed.
	_, m = mounted(t, "title: Ferry\n", "title: Ferry\npractice: {book: marine}\n")
	if m.Metals[0].Place != "wet" || !slices.ContainsFunc(m.Assumed, func(a report.Assumption) bool { return a.What == "surroundings" }) {
		t.Errorf("%+v", m.Metals[0])
	}
}

// TestMountOut: a case of 200 mm is drawn up over a lip of 40 with 50 for a hand;
// the compartment is 260 high.
func TestMountOut(t *testing.T) {
	const shelf = "parts: [{id: F1, kind: fuse, at: [120 mm, 100 mm, 230 mm], size: {length: 60 mm, width: 20 mm, height: 20 mm}, resistance: 0.1 mΩ}]\ncables:"
	for _, row := range []struct {
		name        string
		pairs       []string
		free, spare float64
		by          string
		blocks      []string
	}{
		{"fixed lid", nil, 0.260, -0.030, "the top of bay", nil},
		{"lid opens", []string{"  forward: +y\n", "  forward: +y\n  service: {lid: opens}\n"}, math.Inf(1), math.Inf(1), "", nil},
		{"a fuse over it", []string{"  forward: +y\n", "  forward: +y\n  service: {lid: opens}\n", "cables:", shelf}, 0.230, -0.060, "F1", nil},
		{"just enough", []string{"height: 260 mm", "height: 290 mm"}, 0.290, 0, "the top of bay", nil},
		{"out to the right", []string{"  forward: +y\n", "  forward: +y\n  service: {way: +x}\n"}, 0.260, 0.020, "the top of bay", []string{"B2"}},
		{"out to the left", []string{"  forward: +y\n", "  forward: +y\n  service: {way: -x}\n"}, 0.260, 0.020, "the top of bay", nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			j, m := mounted(t, row.pairs...)
			o := m.Out[0]
			if o.Battery != "B1" || o.By != row.by || !slices.Equal(o.Blocks, row.blocks) || !(o.Free == row.free || math.Abs(o.Free-row.free) < 1e-9) || !(o.Spare == row.spare || math.Abs(o.Spare-row.spare) < 1e-9) {
				t.Errorf("%+v", o)
			}
			found, _ := j.MountFindings(m)
			if got := slices.ContainsFunc(found, func(f finding.Finding) bool { return f.Rule == "MNT-05" && f.At("B1") }); got != (row.spare < -1e-9) {
				t.Errorf("%+v", found)
			}
		})
	}
}

// TestMountLift: T18 of the reference, in the metric set of the equation, which
// differs from the inch one by some per cent: 26 lb index 0.831, 65 lb 2.078.
func TestMountLift(t *testing.T) {
	const lift = "  forward: +y\n  lifting: {people: 1, reach: 15 in, height: 30 in, travel: 18 in, grip: good}\n"
	for mass, index := range map[string]float64{"26 lb": 0.831, "65 lb": 2.078} {
		_, m := mounted(t, "mass: 10 kg", "mass: "+mass, "  forward: +y\n", lift)
		near(t, mass, m.Lifts[0].Index, index, 0.04*index)
		if m.Lifts[0].Enough != int(math.Ceil(m.Lifts[0].Index)) {
			t.Errorf("%+v", m.Lifts[0])
		}
	}
	_, m := mounted(t, "mass: 10 kg", "mass: 65 lb", "  forward: +y\n", strings.Replace(lift, "people: 1", "people: 2", 1))
	near(t, "two people", m.Lifts[0].Index, 1.039, 0.04)
	// Nothing given: hands at the top of the case, which is under 25 cm, so 25 cm
	// and half of 200 mm before the ankles.
	_, m = mounted(t)
	near(t, "reach", m.Lifts[0].Reach, 0.35, 1e-9)
	near(t, "height", m.Lifts[0].Height, 0.2, 1e-9)
	for _, what := range []string{"reach of a lift", "hands at the start of a lift", "people who lift", "travel of a lift", "grip of a lift"} {
		if !slices.ContainsFunc(m.Assumed, func(a report.Assumption) bool { return a.What == what }) {
			t.Errorf("%s is not told as assumed", what)
		}
	}
}

// TestMountTrayAndBrackets: what brackets, pins and a shelf take, by hand.
func TestMountTrayAndBrackets(t *testing.T) {
	rods := ferry[strings.Index(ferry, "    - {id: K1"):strings.Index(ferry, "  vehicle")]
	// A bracket in the middle of each side, at the height of the middle of mass,
	// and a shelf: forward one bracket takes 2 g, up the shelf's corners share 1 g.
	_, m := mounted(t, rods, `    - {id: K1, kind: bracket, holds: [B1, B2], at: [[-5 mm, 150 mm, 100 mm], [405 mm, 150 mm, 100 mm], [200 mm, -5 mm, 100 mm], [200 mm, 305 mm, 100 mm]], thread: M8, grade: 8.8, strength: 2 kN}
    - {id: K2, kind: shelf, holds: [B1, B2], strength: 1 kN}
`)
	g := &m.Groups[0]
	near(t, "bracket", pull(t, g.Case("forward"), "K1.4").Push, 2*20*gravity, 1e-6)
	near(t, "idle bracket", pull(t, g.Case("forward"), "K1.3").Push, 0, 1e-6)
	for n := range 4 {
		near(t, "shelf", pull(t, g.Case("up"), fmt.Sprintf("K2.%d", n+1)).Push, 20*gravity/4, 1e-6)
	}
	near(t, "bracket margin", partOf(t, g, "K1.4", "bracket").Margin, 2000/2/(2*20*gravity), 1e-9)
	// Root area of M8, 0.6·580 MPa, over 2.
	near(t, "bolt", partOf(t, g, "K1.4", "bolt").Capacity, math.Pi/4*math.Pow(8-1.2269*1.25, 2)*0.6*580/2, 1e-6)
	// Feet gripped by four bolts: up 1 g in pull, forward 2 g in shear beside.
	_, m = mounted(t, rods, "    - {id: K1, kind: bracket, holds: [B1, B2], at: [[0 mm, 0 mm, 0 mm], [400 mm, 0 mm, 0 mm], [0 mm, 300 mm, 0 mm], [400 mm, 300 mm, 0 mm]], thread: M8, grade: 8.8, grips: true, strength: 2 kN}\n")
	g = &m.Groups[0]
	near(t, "gripped up", pull(t, g.Case("up"), "K1.1").Pull, 20*gravity/4, 1e-6)
	near(t, "gripped forward", pull(t, g.Case("forward"), "K1.1").Shear, 2*20*gravity/4, 1e-6)
	if !g.Held() {
		t.Errorf("%+v", g.Cases)
	}
	// A pin in double shear across x: 2·π/4·6.35²·0.6·210 MPa, over 2.
	_, m = mounted(t, rods, "    - {id: K1, kind: pin, holds: [B1, B2], at: [[0 mm, 150 mm, 100 mm], [400 mm, 150 mm, 100 mm]], axis: x, diameter: 1/4 in, planes: 2, grade: A2-50}\n")
	near(t, "pin", partOf(t, &m.Groups[0], "K1.1", "pin").Capacity, 2*math.Pi/4*6.35*6.35*0.6*210/2, 1e-6)
	if c := m.Groups[0].Case("left"); c.Held || c.How != "slides" {
		t.Errorf("pins along x do not hold in x: %+v", c)
	}
}

// TestMountWorkings: every number has its working, each is found by its ID, and
// none is said twice.
func TestMountWorkings(t *testing.T) {
	j, m := mounted(t)
	seen := map[string]bool{}
	for _, w := range j.MountWorkings(m) {
		if seen[w.ID] || !IsMountNumber(w.ID) || w.Result == "" || w.Formula == "" || w.What == "" || len(w.Inputs) == 0 {
			t.Errorf("%+v", w)
		}
		seen[w.ID] = true
		if again, err := j.ExplainMount(w.ID); err != nil || again.Result != w.Result {
			t.Errorf("%s: %v", w.ID, err)
		}
	}
	for _, id := range []string{"mount.1.forward", "mount.1.up", "mount.K1.1.rod", "mount.K1.2.bar", "mount.K2.bolt", "mount.K1.preload", "mount.B1.floor", "mount.B2.out", "mount.B1.lift", "mount.balance"} {
		if !seen[id] {
			t.Errorf("no working %s", id)
		}
	}
	w, err := j.ExplainMount("mount.1.up")
	if err != nil || !strings.HasPrefix(w.Result, "392 N, held, up to 12.4 g (then bar of K1.1)") {
		t.Errorf("%q, %v", w.Result, err)
	}
	if _, err := j.ExplainMount("mount.K9.rod"); err == nil || !strings.Contains(err.Error(), "mount.K1.1.rod") {
		t.Error(err)
	}
}

// TestMountVerdicts: every rule is there, with the same margin as when it is the
// one asked.
func TestMountVerdicts(t *testing.T) {
	j, m := mounted(t)
	if len(m.Verdicts) != len(MountRules()) {
		t.Fatalf("%d verdicts", len(m.Verdicts))
	}
	for _, v := range m.Verdicts {
		one, err := j.Mount(v.ID)
		if err != nil {
			t.Fatal(err)
		}
		g := &one.Groups[0]
		if v.Held != g.Held() {
			t.Errorf("%s: %+v", v.ID, v)
		}
		if w := g.Weakest(); w != nil {
			near(t, v.ID, v.Margin, w.Margin, 1e-9)
		}
	}
	// Without a grade the rods bear a load only where they are pulled, the tray's
	// bolts in every direction.
	_, m = mounted(t, "thread: M6, grade: A2-70}", "thread: M6}", ", grade: A2-70, torque", ", torque")
	for _, v := range m.Verdicts {
		if v.ID == "recommended" && v.Unchecked != 3 || v.ID == "cabin" && v.Unchecked < 1 {
			t.Errorf("%+v", v)
		}
	}
	_, m = mounted(t, "  rule: recommended\n", "")
	if !m.Rule.Assumed || m.Rule.ID != "recommended" || !slices.ContainsFunc(m.Assumed, func(a report.Assumption) bool { return a.What == "rule" }) {
		t.Errorf("%+v", m.Rule)
	}
}

// TestCrosses: a way over a box, by hand.
func TestCrosses(t *testing.T) {
	box := bank.Box{Min: bank.Point{X: 1, Y: 1}, Max: bank.Point{X: 3, Y: 2}}
	for _, row := range []struct {
		from, to bank.Point
		a, z     float64
		ok       bool
	}{
		{bank.Point{X: 0, Y: 1.5}, bank.Point{X: 4, Y: 1.5}, 0.25, 0.75, true},
		{bank.Point{X: 4, Y: 1.5}, bank.Point{X: 0, Y: 1.5}, 0.25, 0.75, true},
		{bank.Point{X: 2, Y: 0}, bank.Point{X: 2, Y: 4}, 0.25, 0.5, true},
		{bank.Point{X: 0, Y: 3}, bank.Point{X: 4, Y: 3}, 0, 0, false},
		{bank.Point{X: 0, Y: 1.5}, bank.Point{X: 0.5, Y: 1.5}, 0, 0, false},
		{bank.Point{X: 0, Y: 0}, bank.Point{X: 4, Y: 2}, 0.5, 0.75, true},
	} {
		a, z, ok := crosses(row.from, row.to, box)
		if ok != row.ok || ok && (math.Abs(a-row.a)+math.Abs(z-row.z) > 1e-12) {
			t.Errorf("%v to %v: %g, %g, %v", row.from, row.to, a, z, ok)
		}
	}
}
