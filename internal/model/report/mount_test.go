package report

import (
	"math"
	"testing"
)

// TestMountWorst: of the places of one part the worst counts; an unknown strength
// comes before any, and of those the one that is asked the most.
func TestMountWorst(t *testing.T) {
	part := func(hold, part string, demand, margin float64) MountPart {
		return MountPart{MountCheck: MountCheck{Hold: hold, Of: hold[:2], Part: part, Demand: demand, Margin: margin}}
	}
	nan, inf := math.NaN(), math.Inf(1)
	g := MountGroup{Parts: []MountPart{part("K1.1", "rod", 10, 3), part("K1.2", "rod", 20, 2), part("K1.1", "bar", 10, inf), part("K1.2", "bar", 20, inf), part("K2.1", "lip", 5, nan), part("K2.2", "lip", 9, nan), part("K2.3", "lip", 50, 0.5)}}
	worst := g.Worst()
	if len(worst) != 3 || worst[0].Hold != "K1.2" || worst[2].Hold != "K2.2" {
		t.Errorf("%+v", worst)
	}
	if w := g.Weakest(); w == nil || w.Hold != "K2.3" {
		t.Errorf("%+v", w)
	}
	if w := (&MountGroup{Parts: g.Parts[2:6]}).Weakest(); w != nil {
		t.Errorf("%+v", w)
	}
	c := MountCase{Checks: []MountCheck{g.Parts[0].MountCheck, g.Parts[4].MountCheck, g.Parts[6].MountCheck}}
	if k := c.Weak(); k == nil || k.Hold != "K2.3" {
		t.Errorf("%+v", k)
	}
	if k := (&MountCase{Checks: c.Checks[:2]}).Weak(); k != nil {
		t.Errorf("%+v", k)
	}
}

func TestMountWords(t *testing.T) {
	for margin, want := range map[float64]string{2.5: "2.50 times", math.Inf(1): "bears nothing", 250: "over 100 times"} {
		if got := (&MountCheck{Margin: margin}).MarginWords(); got != want {
			t.Errorf("%g: %q", margin, got)
		}
	}
	if got := (&MountCheck{Margin: math.NaN(), Why: "no grade"}).MarginWords(); got != "not checked: no grade" {
		t.Errorf("%q", got)
	}
	ids := []string{"B1", "B2", "B3", "B4", "B5", "B6", "B7", "B8", "B9"}
	if got := NameList(ids); got != "B1, B2, B3, … B9 (9)" {
		t.Errorf("%q", got)
	}
	if got := NameList(ids[:2]); got != "B1, B2" {
		t.Errorf("%q", got)
	}
	g := MountGroup{Cases: []MountCase{{Direction: "up", Held: true}, {Direction: "forward"}}}
	if g.Held() || g.Case("up") == nil || g.Case("down") != nil {
		t.Errorf("%+v", g)
	}
}
