package assess

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// ferry is two batteries of 10 kg that make a block of 400 by 300 by 200 mm, in a
// tray of four bolts under a bar across with a rod at each end. Its numbers are
// round, so that every force can be had by hand.
const ferry = `bankwright: 1
title: Ferry
battery_types:
  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13.2 V, size: {length: 200 mm, width: 300 mm, height: 200 mm}, mass: 10 kg, posts: {positive: [40 mm, 40 mm], negative: [160 mm, 40 mm]}, caps: [[50 mm, 200 mm], [100 mm, 200 mm], [150 mm, 200 mm]]}
batteries:
  - {id: B1, type: block, at: [0 mm, 0 mm, 0 mm]}
  - {id: B2, type: block, at: [200 mm, 0 mm, 0 mm]}
compartments: [{id: bay, at: [-100 mm, -100 mm, 0 mm], size: {length: 600 mm, width: 600 mm, height: 260 mm}}]
cables:
  - {id: W1, from: B1+, to: B2+, size: 35 mm2, length: 300 mm}
  - {id: W2, from: B1-, to: B2-, size: 35 mm2, length: 300 mm}
takeoff: {positive: B1+, negative: B2-}
mounting:
  rule: recommended
  forward: +y
  hold_downs:
    - {id: K1, kind: rods_and_bar, holds: [B1, B2], at: [[200 mm, -10 mm, 0 mm], [200 mm, 310 mm, 0 mm]], thread: M8, grade: A2-70, torque: 2 N·m, bar: {shape: tube, width: 20 mm, wall: 2 mm, alloy: 6061-T6}}
    - {id: K2, kind: tray, holds: [B1, B2], lip: 40 mm, strength: 5 kN, at: [[20 mm, 20 mm, 0 mm], [380 mm, 20 mm, 0 mm], [20 mm, 280 mm, 0 mm], [380 mm, 280 mm, 0 mm]], thread: M6, grade: A2-70}
  vehicle: {axle: [300 mm, -850 mm], hitch: [300 mm, 3.15 m], track: 1.5 m, mass: 980 kg, centre: [300 mm, -600 mm]}
`

// gravity is that of NIST SP 811 (2008), appendix B.
const gravity = 9.80665

// mounted gives the mounting of the ferry with texts replaced in pairs.
func mounted(t *testing.T, pairs ...string) (*Job, *report.Mount) {
	t.Helper()
	text := ferry
	for i := 0; i < len(pairs); i += 2 {
		text = replaced(t, text, pairs[i], pairs[i+1])
	}
	j := mustLoad(t, text)
	m, err := j.Mount("")
	if err != nil || m == nil {
		t.Fatal(m, err)
	}
	return j, m
}

func pull(t *testing.T, c *report.MountCase, hold string) report.MountPull {
	t.Helper()
	for _, p := range c.Pulls {
		if p.Hold == hold {
			return p
		}
	}
	t.Fatalf("%s carries nothing %s: %+v", hold, c.Direction, c.Pulls)
	return report.MountPull{}
}

func partOf(t *testing.T, g *report.MountGroup, hold, part string) *report.MountPart {
	t.Helper()
	for i := range g.Parts {
		if p := &g.Parts[i]; p.Hold == hold && p.Part == part {
			return p
		}
	}
	t.Fatalf("no %s of %s in %+v", part, hold, g.Parts)
	return nil
}

// TestMountByHand: every force and strength of the ferry, by statics. The block
// weighs 196.1 N, its middle is 150 mm from front and rear and 100 mm high.
func TestMountByHand(t *testing.T) {
	_, m := mounted(t)
	if len(m.Groups) != 1 || m.Groups[0].Name() != "B1, B2" || !m.Groups[0].Held() || m.Loose != nil {
		t.Fatalf("%+v", m.Groups)
	}
	g := &m.Groups[0]
	weight := 20 * gravity
	near(t, "forward", g.Case("forward").Force, 2*weight, 1e-9)
	near(t, "tips forward", g.Case("forward").Tips, 1.5, 1e-12)
	near(t, "tips left", g.Case("left").Tips, 2, 1e-12)
	up := g.Case("up")
	for _, rod := range []string{"K1.1", "K1.2"} {
		near(t, rod+" up", pull(t, up, rod).Pull, weight/2, 1e-6)
	}
	// Pushed at 40 mm by the lip, (100 − 40)·2·196 is less than 150·196: no rod
	// is pulled forward, each corner of the lip bears half.
	forward := g.Case("forward")
	near(t, "rod forward", pull(t, forward, "K1.1").Pull, 0, 1e-6)
	near(t, "lip forward", pull(t, forward, "K2.back1").Push, weight, 1e-6)
	// Four M6 bolts in shear, a quarter of 2 g each; root area π/4·(6 − 1.2269)²,
	// 0.6·450 MPa, over 2.
	bolt := partOf(t, g, "K2", "bolt")
	near(t, "bolt asked", bolt.Demand, weight/2, 1e-6)
	near(t, "bolt bears", bolt.Capacity, math.Pi/4*4.7731*4.7731*0.6*450/2, 1e-3)
	// The bar: 320 mm from rod to rod, on the cases for 300 mm; S = (20⁴ − 16⁴)/120
	// mm³, 35 ksi; both rods at F bend it by 2F·(320/4 − 300/8).
	bar := partOf(t, g, "K1.1", "bar")
	near(t, "bar bears", bar.Capacity, 35*6.894757*(160000-65536)/120/(2*(80-37.5))/2, 1e-6)
	near(t, "bar margin", bar.Margin, bar.Capacity/(weight/2), 1e-9)
	// A2-70 at M8: 450 MPa on π/4·(8 − 0.9382·1.25)², over 2.
	near(t, "rod bears", partOf(t, g, "K1.1", "rod").Capacity, math.Pi/4*math.Pow(8-0.9382*1.25, 2)*450/2, 1e-6)
	// What it bears up: weight helps, so margin·98.07·2/196.13 + 1 = bar.Margin + 1.
	near(t, "bears up", up.Bears, bar.Margin+1, 1e-4)
	if up.Gives != "bar of K1.1" || up.Lesser {
		t.Errorf("%+v", up)
	}
	if w := g.Weakest(); w.Name() != "bar of K1.1" {
		t.Errorf("weakest %+v", w)
	}
}

// TestMountTips: with the lip at the foot the block tips about its front edge
// and pulls the rear rod: (2·100 − 150)·196/310, all but the lip's millimetre.
func TestMountTips(t *testing.T) {
	_, m := mounted(t, "lip: 40 mm", "lip: 1 mm")
	c := m.Groups[0].Case("forward")
	near(t, "rear rod", pull(t, c, "K1.1").Pull, 20*gravity*(2*99-150)/310, 1e-6)
	near(t, "front rod", pull(t, c, "K1.2").Pull, 0, 1e-6)
}

// TestRuleForces: a bank of 50 kg under each rule; test case T16 of the
// reference, to its digits.
func TestRuleForces(t *testing.T) {
	j, _ := mounted(t, "mass: 10 kg", "mass: 25 kg")
	for _, row := range []struct {
		rule, direction string
		force           float64
	}{
		{"road_us_break", "forward", 392.3}, {"road_us_break", "aft", 245.2}, {"road_us_break", "left", 245.2}, {"road_us_break", "up", 98.1},
		{"least", "forward", 392.3}, {"recommended", "up", 980.7}, {"recommended", "right", 980.7}, {"cabin", "forward", 4903},
		// 33 CFR 183.420(a): 25 kg weigh 55 lb, so that 90 lbf a case governs.
		{"boat_us", "forward", 2 * 90 * 4.4482216},
	} {
		m, err := j.Mount(row.rule)
		if err != nil {
			t.Fatal(err)
		}
		near(t, row.rule+" "+row.direction, m.Groups[0].Case(row.direction).Force, row.force, 0.5)
	}
	if _, err := j.Mount("nobody"); err == nil || !strings.Contains(err.Error(), `there is no rule "nobody"`) {
		t.Error(err)
	}
}

// TestMountLimit: just under, at and over the strength of the lip, which feels
// 392.266 N forward at each corner under 4 g.
func TestMountLimit(t *testing.T) {
	for strength, found := range map[string]bool{"392.3 N": false, "392.266 N": false, "392.2 N": true} {
		j, m := mounted(t, "  rule: recommended\n", "  loads: {forward: 4 g}\n", "strength: 5 kN", "strength: "+strength)
		all, _ := j.MountFindings(m)
		got := slices.ContainsFunc(all, func(f finding.Finding) bool {
			return f.Rule == "MNT-02" && f.Place == "K2" && f.Severity == finding.Fault
		})
		if got != found || m.Rule.ID != "own" || m.Rule.Forward != 4 {
			t.Errorf("%s: %v", strength, all)
		}
	}
}

// TestMountFree: without the tray it slides, without the rods it lifts, without
// both one battery is held by nothing.
func TestMountFree(t *testing.T) {
	const tray = "    - {id: K2, kind: tray, holds: [B1, B2], lip: 40 mm, strength: 5 kN, at: [[20 mm, 20 mm, 0 mm], [380 mm, 20 mm, 0 mm], [20 mm, 280 mm, 0 mm], [380 mm, 280 mm, 0 mm]], thread: M6, grade: A2-70}\n"
	_, m := mounted(t, tray, "")
	if c := m.Groups[0].Case("forward"); c.Held || c.How != "slides" || math.Abs(c.Free-2*20*gravity) > 1e-6 {
		t.Errorf("without tray: %+v", c)
	}
	// Friction of 0.4 under the weight and what the rods press takes it: M8 at
	// 2 N·m, oiled, two rods of 1667 N, at least 0.65 of it.
	_, m = mounted(t, tray, "", "  forward: +y\n", "  forward: +y\n  friction: 0.4\n")
	c := m.Groups[0].Case("forward")
	if !c.Held {
		t.Errorf("with friction: %+v", c)
	}
	near(t, "friction", c.Friction, min(2*20*gravity, 0.4*(20*gravity+2*0.65*2/(0.15*0.008))), 1e-6)
	rods := ferry[strings.Index(ferry, "    - {id: K1"):strings.Index(ferry, "    - {id: K2")]
	j, m := mounted(t, rods, "")
	if c := m.Groups[0].Case("up"); c.Held || c.How != "lifts" {
		t.Errorf("without rods: %+v", c)
	}
	all, _ := j.MountFindings(m)
	if len(all) == 0 || all[0].Rule != "MNT-03" || all[0].Place != "K2" {
		t.Errorf("%+v", all)
	}
	j, m = mounted(t, rods, "", tray, strings.Replace(tray, "holds: [B1, B2]", "holds: [B2]", 1))
	all, _ = j.MountFindings(m)
	if !slices.Equal(m.Loose, []string{"B1"}) || all[0].Rule != "MNT-01" || all[0].Place != "B1" || all[0].Severity != finding.Fault {
		t.Errorf("%v, %+v", m.Loose, all)
	}
}

// TestMountMirror: a bank turned round in its vehicle, with what holds it, bears
// as much: forward there is aft here.
func TestMountMirror(t *testing.T) {
	_, one := mounted(t, "[200 mm, -10 mm, 0 mm], [200 mm, 310 mm, 0 mm]]", "[150 mm, -10 mm, 0 mm], [150 mm, 310 mm, 0 mm]]")
	_, two := mounted(t, "[200 mm, -10 mm, 0 mm], [200 mm, 310 mm, 0 mm]]", "[150 mm, -10 mm, 0 mm], [150 mm, 310 mm, 0 mm]]", "forward: +y", "forward: -y", "hitch: [300 mm, 3.15 m]", "hitch: [300 mm, -3.15 m]")
	other := map[string]string{"forward": "aft", "aft": "forward", "left": "right", "right": "left", "up": "up"}
	for _, c := range one.Groups[0].Cases {
		d := two.Groups[0].Case(other[c.Direction])
		near(t, "bears "+c.Direction, d.Bears, c.Bears, 1e-5)
		for _, p := range c.Pulls {
			near(t, p.Hold+" "+c.Direction, pull(t, d, p.Hold).Pull, p.Pull, 1e-6)
		}
	}
}

// TestMountScales: with twice the mass all forces double and no margin of a part
// that bears something is as great, whatever the rule. Seeded, over the rules.
func TestMountScales(t *testing.T) {
	light, _ := mounted(t)
	heavy, _ := mounted(t, "mass: 10 kg", "mass: 20 kg")
	rng := rand.New(rand.NewPCG(5, 4))
	rules := MountRules()
	for range 4 {
		rule := rules[rng.IntN(len(rules))]
		if rule == "boat_us" {
			continue // its most a case does not grow with the mass
		}
		a, err := light.Mount(rule)
		if err != nil {
			t.Fatal(err)
		}
		b, err := heavy.Mount(rule)
		if err != nil {
			t.Fatal(err)
		}
		for i, p := range a.Groups[0].Parts {
			if q := b.Groups[0].Parts[i]; p.Margin < 1e6 {
				near(t, rule+" "+p.Name(), q.Margin, p.Margin/2, 1e-6*p.Margin)
			}
		}
	}
}

// TestMountUnknown: what the job does not give is said, not taken for held.
func TestMountUnknown(t *testing.T) {
	for _, row := range []struct {
		name     string
		pairs    []string
		id, says string
	}{
		{"no mass", []string{", mass: 10 kg", ""}, "B1", "its mass"},
		{"no place", []string{"- {id: B2, type: block, at: [200 mm, 0 mm, 0 mm]}", "- {id: B2, type: block}"}, "K1", "see B2"},
		{"strap past them", []string{"    - {id: K1, kind: rods_and_bar, holds: [B1, B2], at: [[200 mm, -10 mm, 0 mm], [200 mm, 310 mm, 0 mm]], thread: M8, grade: A2-70, torque: 2 N·m, bar: {shape: tube, width: 20 mm, wall: 2 mm, alloy: 6061-T6}}",
			"    - {id: K1, kind: strap, holds: [B1, B2], at: [[500 mm, -10 mm, 0 mm], [500 mm, 310 mm, 0 mm]], rated: 5 kN}"}, "K1", "over none of the batteries"},
	} {
		t.Run(row.name, func(t *testing.T) {
			j, m := mounted(t, row.pairs...)
			if !slices.ContainsFunc(m.Unknown, func(u report.MountUnknown) bool { return u.ID == row.id && strings.Contains(u.Why, row.says) }) {
				t.Errorf("%+v", m.Unknown)
			}
			_, unchecked := j.MountFindings(m)
			if !slices.ContainsFunc(unchecked, func(u finding.Unchecked) bool { return u.Rule == "MNT-02" && u.Place == row.id }) {
				t.Errorf("%+v", unchecked)
			}
		})
	}
	for _, row := range [][3]string{
		{", grade: A2-70, torque", ", torque", "its grade"}, {", alloy: 6061-T6", "", "its alloy"}, {", strength: 5 kN", "", "its strength"},
		{"thread: M6, grade: A2-70}", "grade: A2-70}", "its thread"},
		{"wall: 2 mm, alloy: 6061-T6}}", "wall: 2 mm, alloy: 6061-T6}, floor: {material: oak}}", "washer and thickness"},
		{"wall: 2 mm, alloy: 6061-T6}}", "wall: 2 mm, alloy: 6061-T6}, floor: {washer: 30 mm, thickness: 12 mm, crush: 5 MPa}}", "shear strength of the floor is not known"},
		{"thread: M6, grade: A2-70}", "thread: M6, grade: A2-70, plate: {alloy: 5052-H32, thickness: 3 mm, edge: 11 mm}}", "nearer to the edge"},
	} {
		_, m := mounted(t, row[0], row[1])
		if !slices.ContainsFunc(m.Groups[0].Parts, func(p report.MountPart) bool { return math.IsNaN(p.Margin) && strings.Contains(p.Why, row[2]) }) {
			t.Errorf("%s: %+v", row[2], m.Groups[0].Parts)
		}
	}
	j := mustLoad(t, example(t, "market-cart.yaml"))
	if m, err := j.Mount(""); m != nil || err != nil {
		t.Errorf("a job without mounting: %v, %v", m, err)
	}
	if _, err := j.ExplainMount("mount.1.up"); err == nil || !strings.Contains(err.Error(), "says nothing of how its batteries are held down") {
		t.Error(err)
	}
}

// TestMountBare: a bar that passes beside a battery, or over one that is lower
// than its neighbour, does not hold it, whatever the job says.
func TestMountBare(t *testing.T) {
	for name, pairs := range map[string][]string{
		"beside": {"[200 mm, -10 mm, 0 mm], [200 mm, 310 mm, 0 mm]]", "[100 mm, -10 mm, 0 mm], [100 mm, 310 mm, 0 mm]]"},
		"lower":  {"batteries:", "  low: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, size: {length: 200 mm, width: 300 mm, height: 190 mm}, mass: 10 kg}\nbatteries:", "- {id: B2, type: block,", "- {id: B2, type: low,"},
	} {
		j, m := mounted(t, pairs...)
		if len(m.Bare) != 1 || m.Bare[0].Battery != "B2" || !slices.Equal(m.Bare[0].Holds, []string{"K1"}) {
			t.Errorf("%s: %+v", name, m.Bare)
		}
		found, _ := j.MountFindings(m)
		if found[0].Rule != "MNT-01" || found[0].Place != "B2" || found[0].Severity != finding.Fault {
			t.Errorf("%s: %+v", name, found)
		}
	}
	if _, m := mounted(t); m.Bare != nil {
		t.Errorf("%+v", m.Bare)
	}
}
