package assess

import (
	"fmt"
	"math"

	"bankwright/internal/engine/holding"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// tray is a tray with the bolts that hold it to the floor: they share evenly
// what its lips take, in shear.
type tray struct {
	h     *bank.HoldDown
	lips  map[string]holding.Vec // the engine's stops, with the way each pushes back
	parts []holding.Part         // of each bolt
}

// tray adds a lip at each side, bearing at both of its ends, at its top: there a
// case that begins to tip bears.
func (k *mounter) tray(b *block, h *bank.HoldDown, box bank.Box) {
	z := box.Min.Z + h.Lip
	t := tray{h: h, lips: map[string]holding.Vec{}}
	for _, side := range h.Sides {
		toward, ends := lip(side, box)
		for n, at := range ends {
			at.Z = z
			id := fmt.Sprintf("%s.%s%d", h.ID, side, n+1)
			b.add(h, holding.NewStop(id, vec(toward), []holding.Vec{vec(at)}, bodyPart("lip", h, holding.Push)), at)
			t.lips[id] = vec(toward)
		}
	}
	if len(h.At) == 0 {
		return
	}
	t.parts = append(t.parts, boltPart("bolt", h, holding.Shear))
	if thread, ok := threadOf(h); ok {
		if p, ok := platePart(h, thread.Diameter, holding.Shear); ok {
			t.parts = append(t.parts, p)
		}
	}
	b.trays = append(b.trays, t)
}

// lip gives the way in which a side's lip pushes back, and its two ends.
func lip(side string, box bank.Box) (toward bank.Point, ends [2]bank.Point) {
	a, z := box.Min, box.Max
	switch side {
	case bank.LeftSide:
		return bank.Point{X: 1}, [2]bank.Point{{X: a.X, Y: a.Y}, {X: a.X, Y: z.Y}}
	case bank.RightSide:
		return bank.Point{X: -1}, [2]bank.Point{{X: z.X, Y: a.Y}, {X: z.X, Y: z.Y}}
	case bank.FrontSide:
		return bank.Point{Y: 1}, [2]bank.Point{{X: a.X, Y: a.Y}, {X: z.X, Y: a.Y}}
	}
	return bank.Point{Y: -1}, [2]bank.Point{{X: a.X, Y: z.Y}, {X: z.X, Y: z.Y}}
}

// check holds the tray's bolts against what its lips take in a case.
func (t *tray) check(c *holding.Case, rule *holding.Rule) []report.MountCheck {
	var sum holding.Vec
	for _, r := range c.Reactions {
		if toward, ok := t.lips[r.Hold]; ok {
			sum = sum.Add(toward.Times(r.Push))
		}
	}
	each := sum.Length() / float64(len(t.h.At))
	var all []report.MountCheck
	for _, p := range t.parts {
		one := report.MountCheck{Hold: t.h.ID, Of: t.h.ID, Part: p.Name, Under: string(holding.Shear), Demand: felt(each), Why: p.Why, Source: refWords(p.Strength.Ref)}
		capacity, basis := strengthAt(p.Strength, rule.Basis)
		one.Capacity, one.Basis = capacity/rule.Factor, string(basis)
		one.Margin = holding.Margin(one.Capacity, each)
		if !math.IsNaN(one.Margin) {
			one.Why = ""
		} else if one.Why == "" {
			one.Why = "its " + string(rule.Basis) + " is not known"
		}
		all = append(all, one)
	}
	return all
}

// strengthAt gives a strength for a basis; a lower one stands in for a higher
// one, never the other way round.
func strengthAt(s holding.Strength, b holding.Basis) (float64, holding.Basis) {
	switch {
	case b == holding.AtBreak && s.Break > 0:
		return s.Break, holding.AtBreak
	case b != holding.AtWorking && s.Yield > 0:
		return s.Yield, holding.AtYield
	case s.Working > 0:
		return s.Working, holding.AtWorking
	}
	return math.NaN(), ""
}
