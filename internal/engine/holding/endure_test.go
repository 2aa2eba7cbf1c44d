package holding

import (
	"math"
	"testing"
)

// TestEndure: limits by hand. A case 0.4 m long and 0.2 m wide with its middle
// 0.1 m up.
func TestEndure(t *testing.T) {
	b := box("A", 20, 0, 0, 0.4, 0.2, 0.2)
	w := 20 * Gravity
	rod := Part{Name: "rod", Under: Pull, Strength: Strength{Yield: 2 * w, Break: 3 * w}}
	unknown := Part{Name: "anchor", Under: Pull, Why: "no figure"}
	front := append(lips(b, 0)[:1], lips(b, 0)[2:]...)
	withRod := func(parts ...Part) []Hold { return append(lips(b, 0), NewRod("r", Vec{0.2, 0.1, 0.2}, parts...)) }
	for _, row := range []struct {
		name     string
		holds    []Hold
		friction float64
		basis    Basis
		factor   float64
		beyond   bool
		d        Direction
		want     Endurance
	}{
		{"friction", nil, 0.35, AtBreak, 1, false, Forward, Endurance{Multiple: 0.35, How: "slides"}},
		{"nothing", nil, 0, AtBreak, 1, false, Aft, Endurance{Multiple: 0, How: "slides"}},
		{"tips to the side", lips(b, 0), 0, AtBreak, 1, false, Left, Endurance{Multiple: 1, How: "tips or turns"}},
		{"no lip behind", front, 0, AtBreak, 1, false, Aft, Endurance{Multiple: 0, How: "slides"}},
		{"weight", nil, 0, AtBreak, 1, false, Up, Endurance{Multiple: 1, How: "lifts"}},
		{"rod breaks", withRod(rod), 0, AtBreak, 1, false, Up, Endurance{Multiple: 4, Hold: "r", Part: "rod"}},
		{"rod yields, twice over", withRod(rod), 0, AtYield, 2, false, Up, Endurance{Multiple: 2, Hold: "r", Part: "rod"}},
		{"beyond the weight", withRod(rod), 0, AtBreak, 1, true, Up, Endurance{Multiple: 3, Hold: "r", Part: "rod"}},
		{"anchor not known", withRod(rod, unknown), 0, AtBreak, 1, true, Up, Endurance{Multiple: 3, Hold: "r", Part: "rod", Unchecked: true}},
		{"rod breaks in tipping", withRod(rod), 0, AtBreak, 1, false, Left, Endurance{Multiple: 4, Hold: "r", Part: "rod"}}, // c·W·0.1 = (W + 3W)·0.1
		{"nothing gives way", withRod(), 0, AtBreak, 1, false, Up, Endurance{Multiple: math.Inf(1)}},
	} {
		t.Run(row.name, func(t *testing.T) {
			rule := ask(1)
			rule.Basis, rule.Factor, rule.Beyond, rule.Most, rule.SideTipping = row.basis, row.factor, row.beyond, 1, 3
			g := Group{Bodies: []Body{b}, Ahead: ahead, Holds: row.holds, Friction: row.friction}
			got, err := Endure(&g, rule, row.d)
			if err != nil {
				t.Fatal(err)
			}
			if got.Multiple != row.want.Multiple {
				near(t, "multiple", got.Multiple, row.want.Multiple, 1e-4) // a rod's force to a millionth, the lost digit to how a load is called held
			}
			got.Multiple = row.want.Multiple
			if got != row.want {
				t.Errorf("%+v, want %+v", got, row.want)
			}
		})
	}
	g := Group{Bodies: []Body{b}, Ahead: ahead}
	if e, err := Endure(&g, ask(1), Down); err != nil || !math.IsNaN(e.Multiple) {
		t.Errorf("down: %+v, %v", e, err)
	}
	if _, err := Endure(&g, Rule{}, Up); err == nil {
		t.Error("an empty rule is taken")
	}
	if _, err := Endure(&Group{}, ask(1), Up); err == nil {
		t.Error("an empty group is taken")
	}
}
