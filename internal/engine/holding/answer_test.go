package holding

import (
	"math"
	"slices"
	"testing"
)

// TestReferenceBank is T16 of the reference: a 50 kg bank 0.34 m long with its
// middle 0.115 m up and a row of two bolts at the rear edge, forward.
func TestReferenceBank(t *testing.T) {
	g := Group{Bodies: []Body{box("A", 50, 0, 0, 0.34, 0.2, 0.23)}, Ahead: ahead,
		Holds: []Hold{NewBolt("a", Vec{0, 0.05, 0}), NewBolt("b", Vec{0, 0.15, 0})}}
	for _, row := range []struct{ c, force, row float64 }{{0.8, 392.3, 0}, {2, 980.7, 86.5}, {10, 4903, 10.0/0.34*50*Gravity*0.115 - 50*Gravity/2}} { // last by hand
		c := solved(t, g, ask(row.c)).to(Forward)
		near(t, "force", c.Force, row.force, 0.5)
		near(t, "row", c.Reactions[0].Pull+c.Reactions[1].Pull, row.row, 0.06)
		near(t, "shear", c.Reactions[0].Shear+c.Reactions[1].Shear, c.Force, 1e-4)
		near(t, "tips", c.Tips, 0.17/0.115, 1e-12)
		near(t, "overturn", c.Overturn, c.Force*0.115, 1e-9)
		near(t, "restore", c.Restore, 50*Gravity*0.17, 1e-9)
		near(t, "floor", c.Floor, 50*Gravity+row.row, 0.06)
		if !c.Held {
			t.Errorf("%g g: %s", row.c, c.How)
		}
	}
}

// TestRowsOfBolts: with the floor as pivot the pull in each row goes with its
// distance from the lower edge, ΣT·d = the moment left (the elastic bolt group of
// textbooks).
func TestRowsOfBolts(t *testing.T) {
	b := box("A", 40, 0, 0, 0.4, 0.2, 0.5)
	g := Group{Bodies: []Body{b}, Ahead: ahead}
	ds := []float64{0.1, 0.2, 0.4} // from the front edge, m
	for _, d := range ds {
		g.Holds = append(g.Holds, NewBolt("b", Vec{0.4 - d, 0.1, 0}))
	}
	c := solved(t, g, ask(3)).to(Forward)
	left := 40 * Gravity * (3*0.25 - 0.2)
	for i, d := range ds {
		near(t, "row", c.Reactions[i].Pull, left*d/(0.01+0.04+0.16), 0.05) // the floor is 10⁵ as stiff
	}
}

// TestStatics: cases with one answer by hand.
func TestStatics(t *testing.T) {
	b := box("A", 20, 0, 0, 0.4, 0.2, 0.2)
	w := 20 * Gravity
	down := func(x, y float64) [2]Vec { return [2]Vec{{x, y, 0.2}, {x, y, 0}} }
	at45 := [][2]Vec{{{0.2, 0, 0.2}, {0.2, -0.2, 0}}, {{0.2, 0.2, 0.2}, {0.2, 0.4, 0}}}
	for _, row := range []struct {
		name  string
		holds []Hold
		d     Direction
		c     float64
		want  []float64 // pull or push of each hold
	}{
		{"two rods, lever rule", []Hold{NewRod("a", Vec{0.1, 0.1, 0.2}), NewRod("b", Vec{0.4, 0.1, 0.2})}, Up, 3, []float64{2 * w * 2 / 3, 2 * w / 3}},
		{"one strap, two upright legs", []Hold{NewStrap("s", [][2]Vec{down(0.2, 0), down(0.2, 0.2)})}, Up, 2, []float64{w / 2}},
		{"one strap at 45° each side", []Hold{NewStrap("s", at45)}, Up, 2, []float64{w / math.Sqrt2}},
		{"shelf", []Hold{NewShelf("s", []Vec{{0, 0, 0.2}, {0.4, 0, 0.2}, {0, 0.2, 0.2}, {0.4, 0.2, 0.2}})}, Up, 3, []float64{2 * w / 4}},
		{"weight holds", []Hold{NewRod("a", Vec{0.2, 0.1, 0.2})}, Up, 0.9, []float64{0}},
		{"front lip, two places", lips(b, 0.1)[:1], Forward, 1, []float64{w / 2}},
		{"strap fastened behind, level", []Hold{NewStrap("s", [][2]Vec{{{0, 0.1, 0.1}, {-1, 0.1, 0.1}}})}, Forward, 2, []float64{2 * w}},
	} {
		t.Run(row.name, func(t *testing.T) {
			res := solved(t, Group{Bodies: []Body{b}, Ahead: ahead, Holds: row.holds}, ask(row.c))
			c := res.to(row.d)
			if !c.Held {
				t.Fatalf("%s by %g N, %g N·m", c.How, c.Free, c.Turn)
			}
			for i, want := range row.want {
				near(t, "reaction", c.Reactions[i].Pull+c.Reactions[i].Push, want, 1e-4)
			}
		})
	}
}

// TestPin: two pins through ears share the load across, whatever way they lie.
func TestPin(t *testing.T) {
	b := box("A", 20, 0, 0, 0.4, 0.2, 0.2)
	for _, axis := range []Vec{{0, 0, 1}, {0, 1, 0}, {1, 0, 0}} {
		g := Group{Bodies: []Body{b}, Ahead: ahead, Holds: []Hold{NewPin("a", Vec{0.2, 0, 0.1}, axis), NewPin("b", Vec{0.2, 0.2, 0.1}, axis)}}
		res := solved(t, g, ask(1))
		for _, d := range []Direction{Forward, Left} {
			along := math.Abs(axis.Dot(g.Toward(d))) == 1
			c := res.to(d)
			if c.Held == along {
				t.Errorf("pins along %v, %s: held %v", axis, d, c.Held)
			}
			if !along {
				near(t, "shear", c.Reactions[0].Shear, 10*Gravity, 1e-4)
			}
		}
	}
}

// TestPinAcross: a pin bears in two ways, upright to it and to each other.
func TestPinAcross(t *testing.T) {
	for _, axis := range []Vec{{1, 0, 0}, {0, 0, 2}, {1, 1, 0}, {0.95, 0.1, 0.3}, {-1, 2, 3}} {
		h := NewPin("p", Vec{}, axis)
		a, b := h.Acts[0].Legs[0].Toward, h.Acts[1].Legs[0].Toward
		for _, v := range []float64{a.Dot(b), a.Dot(axis), b.Dot(axis), a.Length() - 1, b.Length() - 1} {
			near(t, "across", v, 0, 1e-14)
		}
	}
}

// TestLimits: tipping, sliding, lifting and the friction counted, each just
// under, at and just over.
func TestLimits(t *testing.T) {
	b := box("A", 20, 0, 0, 0.25, 0.5, 0.5) // tips ahead at 0.5
	const step = 1e-4
	for _, row := range []struct {
		name     string
		holds    []Hold
		friction float64
		d        Direction
		c        float64
		held     bool
		how      string
	}{
		{"tips, under", lips(b, 0), 0, Forward, 0.5 - step, true, ""},
		{"tips, at", lips(b, 0), 0, Forward, 0.5, true, ""},
		{"tips, over", lips(b, 0), 0, Forward, 0.5 + step, false, "tips or turns"},
		{"tips", lips(b, 0), 0, Forward, 0.7, false, "tips or turns"},
		{"slides, under", nil, 0.4, Left, 0.4 - step, true, ""},
		{"slides, at", nil, 0.4, Left, 0.4, true, ""},
		{"slides, over", nil, 0.4, Left, 0.4 + step, false, "slides"},
		{"held by friction at the floor, under", nil, 1, Forward, 0.5 - step, true, ""},
		{"held by friction at the floor, over", nil, 1, Forward, 0.5 + step, false, "tips or turns"},
		{"slides with no friction", nil, 0, Left, step, false, "slides"},
		{"lifts, under", lips(b, 0), 0.5, Up, 1 - step, true, ""},
		{"lifts, at", lips(b, 0), 0.5, Up, 1, true, ""},
		{"lifts, over", lips(b, 0), 0.5, Up, 1 + step, false, "lifts"},
		{"down", nil, 0, Down, 3, true, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			res := solved(t, Group{Bodies: []Body{b}, Ahead: ahead, Holds: row.holds, Friction: row.friction}, ask(row.c))
			c := res.to(row.d)
			if c.Held != row.held || c.How != row.how {
				t.Errorf("held %v, %q, by %g N and %g N·m", c.Held, c.How, c.Free, c.Turn)
			}
			if row.held == (c.Free > 0 || c.Turn > 0) {
				t.Errorf("held %v with %g N and %g N·m left", c.Held, c.Free, c.Turn)
			}
			switch row.name {
			case "slides, over", "lifts, over":
				near(t, "free", c.Free, step*20*Gravity, 1e-5)
			case "tips, over":
				near(t, "turn", c.Turn, step*20*Gravity*0.25, 1e-5) // two in 10⁷ of what the weight restores
			case "tips":
				near(t, "turn", c.Turn, c.Overturn-c.Restore, 1e-4)
			}
			if row.d == Down {
				near(t, "floor", c.Floor, 3*20*Gravity, 1e-3)
			}
		})
	}
}

// TestFriction: friction takes what it can of the force at the floor and the
// stops the rest; a clamp adds to it; it never works for up.
func TestFriction(t *testing.T) {
	b := box("A", 20, 0, 0, 0.5, 0.5, 0.2)
	w := 20 * Gravity
	g := Group{Bodies: []Body{b}, Ahead: ahead, Holds: append(lips(b, 0.05), rods(b, 1)...), Friction: 0.3, Clamp: w}
	c := solved(t, g, ask(2)).to(Forward)
	near(t, "friction", c.Friction, 0.6*w, 1e-9)
	near(t, "front lip, two places", 2*c.Reactions[0].Push, 1.4*w, 1e-4)
	near(t, "the other lip", c.Reactions[1].Push, 0, 0)
	g.Friction = 1
	c = solved(t, g, ask(1.5)).to(Forward)
	near(t, "no more than the force", c.Friction, 1.5*w, 1e-9)
	near(t, "could take", c.FrictionMost, 2*w, 1e-9)
	near(t, "nothing for the lip", c.Reactions[0].Push, 0, 1e-4)
	if up := solved(t, g, ask(2)).to(Up); up.Friction != 0 {
		t.Errorf("friction against up: %g N", up.Friction)
	}
}

// TestTilt: EN 12195-1 asks 0.6 instead of 0.5 to the side where the group tips
// at it (the reference's reading): cases that tip at 0.55, at 0.6 and at 0.7.
func TestTilt(t *testing.T) {
	rule, _ := FindRule("road_eu")
	for _, row := range []struct{ tips, want float64 }{{0.55, 0.6}, {0.5999, 0.6}, {0.6001, 0.5}, {0.7, 0.5}} {
		b := box("A", 20, 0, 0, 0.5, row.tips*0.4, 0.4)
		c := solved(t, Group{Bodies: []Body{b}, Ahead: ahead, Holds: lips(b, 0)}, rule).to(Left)
		near(t, "multiple", c.Multiple, row.want, 0)
		near(t, "tips", c.Tips, row.tips, 1e-12)
		near(t, "force", c.Force, row.want*20*Gravity, 1e-9)
	}
}

// TestChecks: basis, factor, missing strengths, pull and shear together.
func TestChecks(t *testing.T) {
	b := box("A", 20, 0, 0, 0.4, 0.2, 0.2)
	w := 20 * Gravity
	part := func(s Strength) Part { return Part{Name: "rod", Under: Pull, Strength: s} }
	for _, row := range []struct {
		name   string
		part   Part
		basis  Basis
		factor float64
		margin float64
		at     Basis
	}{
		{"break", part(Strength{Working: w / 2, Yield: w, Break: 2 * w}), AtBreak, 1, 2, AtBreak},
		{"yield with a factor", part(Strength{Working: w / 2, Yield: w, Break: 2 * w}), AtYield, 2, 0.5, AtYield},
		{"working", part(Strength{Working: w / 2, Yield: w}), AtWorking, 1, 0.5, AtWorking},
		{"yield stands in for break", part(Strength{Yield: w}), AtBreak, 1, 1, AtYield},
		{"working stands in for yield", part(Strength{Working: w, Break: 3 * w}), AtYield, 1, 1, AtWorking},
		{"yield never for working", part(Strength{Yield: w}), AtWorking, 1, math.NaN(), ""},
		{"break never for yield", part(Strength{Break: w}), AtYield, 1, math.NaN(), ""},
		{"not known", part(Strength{}), AtBreak, 1, math.NaN(), ""},
		{"feels nothing", Part{Name: "side", Under: Shear}, AtBreak, 1, math.Inf(1), ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			rule := ask(2)
			rule.Basis, rule.Factor = row.basis, row.factor
			g := Group{Bodies: []Body{b}, Ahead: ahead, Holds: []Hold{NewRod("a", Vec{0.2, 0.1, 0.2}, row.part)}}
			res := solved(t, g, rule)
			c := res.to(Up)
			k := c.Checks[0]
			if math.IsNaN(row.margin) {
				if !math.IsNaN(k.Margin) || k.Why == "" || c.Weakest != -1 || res.Unchecked() != 1 {
					t.Errorf("%+v, weakest %d, %d unchecked", k, c.Weakest, res.Unchecked())
				}
				return
			}
			if k.Margin != row.margin {
				near(t, "margin", k.Margin, row.margin, 1e-5)
			}
			weakest := 0
			if math.IsInf(row.margin, 1) {
				weakest = -1
			}
			if k.At != row.at || k.Why != "" || c.Weakest != weakest {
				t.Errorf("%+v, weakest %d", k, c.Weakest)
			}
		})
	}
}

// TestBoltBothWays: the margin in pull and shear together is the multiple by
// which both may grow until (V/Va)² + (T/Ta)² = 1.
func TestBoltBothWays(t *testing.T) {
	near(t, "3-4-5", Interaction(1/0.6, 1/0.8), 1, 1e-15)
	near(t, "pull alone", Interaction(3, math.Inf(1)), 3, 1e-15)
	near(t, "both alike", Interaction(2, 2), math.Sqrt2, 1e-15)
	if !math.IsNaN(Interaction(math.NaN(), 2)) {
		t.Error("an unknown strength has a margin")
	}
	b := box("A", 50, 0, 0, 0.34, 0.2, 0.23)
	g8, _ := FindGrade("8.8")
	p := BoltPart("bolt", g8, Metric("M6", 6, 1))
	g := Group{Bodies: []Body{b}, Ahead: ahead, Holds: []Hold{NewBolt("a", Vec{0, 0.05, 0}, p), NewBolt("b", Vec{0, 0.15, 0}, p)}}
	c := solved(t, g, ask(10)).to(Forward)
	r, m := c.Reactions[0], c.Checks[c.Weakest].Margin
	v, tt := m*r.Shear/p.Across.Break, m*r.Pull/p.Strength.Break
	near(t, "at the limit", v*v+tt*tt, 1, 1e-9)
	half := ask(10)
	half.Factor = 2
	near(t, "half of both strengths", solved(t, g, half).to(Forward).Checks[0].Margin, m/2, 1e-9)
	p.Across = Strength{Working: 1e9}
	g.Holds[0].Parts = []Part{p}
	c = solved(t, g, ask(10)).to(Forward)
	if k := c.Checks[0]; k.At != AtWorking {
		t.Errorf("held against a working load in shear, but says %q", k.At)
	}
}

// TestSkew: a load across both of a bolt's ways is their resultant.
func TestSkew(t *testing.T) {
	b := box("A", 20, 0, 0, 0.4, 0.4, 0.2)
	g := Group{Bodies: []Body{b}, Ahead: Vec{1, 1, 0}, Holds: []Hold{NewBolt("a", Vec{0, 0.4, 0}), NewBolt("b", Vec{0.4, 0, 0})}}
	c := solved(t, g, ask(1)).to(Forward)
	near(t, "half", c.Reactions[0].Shear, 10*Gravity, 1e-4)
	near(t, "the other half", c.Reactions[1].Shear, 10*Gravity, 1e-4)
}

// TestResult: the weakest over directions, what is loose, the order.
func TestResult(t *testing.T) {
	a, b := box("A", 10, 0, 0, 0.2, 0.2, 0.2), box("B", 10, 0.2, 0, 0.2, 0.2, 0.2)
	whole := box("", 1, 0, 0, 0.4, 0.2, 0.2)
	g := Group{Bodies: []Body{a, b}, Ahead: ahead, Holds: append(lips(whole, 0.05), NewRod("r", Vec{0.2, 0.1, 0.2}, Part{Name: "rod", Under: Pull, Strength: Strength{Break: 1000}}))}
	rule := ask(2)
	rule.Down = 0
	res := solved(t, g, rule)
	var order []Direction
	for _, c := range res.Cases {
		order = append(order, c.Direction)
	}
	if !slices.Equal(order, Directions()[:5]) {
		t.Errorf("cases are %v", order)
	}
	c, k := res.Weakest()
	if !res.Held() || c == nil || k.Part != "rod" {
		t.Fatalf("held %v, weakest %+v", res.Held(), k)
	}
	for i := range res.Cases {
		if m := res.Cases[i].Checks[0].Margin; m < k.Margin {
			t.Errorf("%s has %g, below the weakest of %g", res.Cases[i].Direction, m, k.Margin)
		}
	}
	for i := range g.Holds {
		g.Holds[i].Bodies = []string{"A"}
	}
	if res = solved(t, g, rule); !slices.Equal(res.Loose, []string{"B"}) || res.Held() {
		t.Errorf("loose is %v, held %v", res.Loose, res.Held())
	}
	g.Holds = nil
	res = solved(t, g, rule)
	if c, k := res.Weakest(); c != nil || k != nil || res.Held() || !slices.Equal(res.Loose, []string{"A", "B"}) {
		t.Errorf("nothing holds, but weakest is %v %v, loose %v", c, k, res.Loose)
	}
}

// TestStacked: a case on another is no foot, and its mass counts at its place.
func TestStacked(t *testing.T) {
	a, b := box("A", 10, 0, 0, 0.2, 0.2, 0.2), box("B", 30, 0, 0, 0.2, 0.2, 0.2)
	b.Min.Z, b.Max.Z = 0.2, 0.4
	off := Vec{0.1, 0.1, 0.25}
	b.Centre = &off
	g := Group{Bodies: []Body{a, b}, Ahead: ahead}
	if n := len(g.feet()); n != 4 {
		t.Errorf("%d feet", n)
	}
	near(t, "height of the middle", g.Middle().Z, (10*0.1+30*0.25)/40, 1e-15)
	near(t, "tips", solved(t, g, ask(1)).to(Forward).Tips, 0.1/g.Middle().Z, 1e-12)
}

// TestOdd: a middle at the floor never tips; a push is a load of its own.
func TestOdd(t *testing.T) {
	b := box("A", 10, 0, 0, 0.4, 0.2, 0.2)
	b.Centre = &Vec{0.2, 0.1, 0}
	holds := lips(b, 0)
	holds[0].Parts = []Part{{Name: "lip", Under: Push, Strength: Strength{Break: 10 * Gravity}}}
	c := solved(t, Group{Bodies: []Body{b}, Ahead: ahead, Holds: holds}, ask(4)).to(Forward)
	if !math.IsInf(c.Tips, 1) || !c.Held {
		t.Errorf("tips at %g, %q", c.Tips, c.How)
	}
	near(t, "margin of the harder pushed end", c.Checks[0].Margin, 0.5, 1e-6)
	g, _ := FindGrade("A2-70")
	bolt := Metric("M6", 6, 1)
	bolted := Group{Bodies: []Body{b}, Ahead: ahead, Holds: []Hold{NewBolt("a", Vec{0.2, 0, 0}, RodPart("thread", g, bolt), Part{Name: "hole", Under: Shear, Strength: Strength{Break: 100 * Gravity}}), NewBolt("b", Vec{0.2, 0.2, 0})}}
	c = solved(t, bolted, ask(4)).to(Forward)
	near(t, "hole", c.Checks[1].Margin, 5, 1e-6)
	up := solved(t, bolted, ask(4)).to(Up)
	near(t, "thread", up.Checks[0].Margin, g.Tension(bolt).Break/(15*Gravity), 1e-3)
}
