package holding

import (
	"math"
	"math/rand/v2"
	"testing"

	"bankwright/internal/base/source"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.9g, want %.9g within %.2g", what, got, want, tol)
	}
}

// box is one body of a length (x, ahead), width and height standing at 0.
func box(id string, mass, x, y, l, w, h float64) Body {
	return Body{ID: id, Mass: mass, Min: Vec{x, y, 0}, Max: Vec{x + l, y + w, h}}
}

var ahead = Vec{1, 0, 0}

// ask is a rule with the same multiple in each direction, down at least the weight.
func ask(c float64) Rule {
	return Rule{ID: "test", Forward: c, Aft: c, Side: c, Up: c, Down: math.Max(1, c), Basis: AtBreak, Factor: 1, Ref: source.Ref{Title: "test", How: source.Practice}}
}

func solved(t *testing.T, g Group, r Rule) Result {
	t.Helper()
	res, err := Solve(&g, r)
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// to gives a direction's case.
func (r Result) to(d Direction) *Case {
	for i := range r.Cases {
		if r.Cases[i].Direction == d {
			return &r.Cases[i]
		}
	}
	return &Case{How: "not asked"}
}

// lips are low stops on all four sides, at both ends of each, at a height.
func lips(b Body, z float64) []Hold {
	a, c := b.Min, b.Max
	return []Hold{
		NewStop("front", Vec{-1, 0, 0}, []Vec{{c.X, a.Y, z}, {c.X, c.Y, z}}),
		NewStop("rear", Vec{1, 0, 0}, []Vec{{a.X, a.Y, z}, {a.X, c.Y, z}}),
		NewStop("left", Vec{0, -1, 0}, []Vec{{a.X, c.Y, z}, {c.X, c.Y, z}}),
		NewStop("right", Vec{0, 1, 0}, []Vec{{a.X, a.Y, z}, {c.X, a.Y, z}}),
	}
}

// rods are n rods along both long sides of a box at its top.
func rods(b Body, n int) []Hold {
	var hs []Hold
	for i := range n {
		x := b.Min.X + (b.Max.X-b.Min.X)*(float64(i)+0.5)/float64(n)
		hs = append(hs, NewRod("l", Vec{x, b.Max.Y, b.Max.Z}), NewRod("r", Vec{x, b.Min.Y, b.Max.Z}))
	}
	return hs
}

// random gives a group of one to four boxes in a row with hold-downs of every
// kind thrown at it: over the range of real banks, 5 to 60 kg and cases of 0.1
// to 0.5 m, with rods, bolts, straps, stops and pins in places both good and
// bad, so that about half of the groups are held.
func random(rng *rand.Rand) Group {
	g := Group{Ahead: Vec{1, 0, 0}}
	x := 0.0
	var high, wide float64
	for range 1 + rng.IntN(4) {
		b := box(string(rune('A'+len(g.Bodies))), 5+55*rng.Float64(), x, 0, 0.1+0.4*rng.Float64(), 0.1+0.4*rng.Float64(), 0.1+0.4*rng.Float64())
		x, wide, high = b.Max.X, math.Max(wide, b.Max.Y), math.Max(high, b.Max.Z)
		g.Bodies = append(g.Bodies, b)
	}
	place := func(z float64) Vec { return Vec{x * rng.Float64(), wide * rng.Float64(), z} }
	for range 1 + rng.IntN(3) {
		g.Holds = append(g.Holds, NewRod("rod", place(high)))
	}
	if rng.IntN(2) == 0 {
		g.Holds = append(g.Holds, NewBolt("bolt", place(0)), NewBolt("bolt", place(0)))
	}
	if rng.IntN(2) == 0 {
		c := place(high)
		g.Holds = append(g.Holds, NewStrap("strap", [][2]Vec{{{c.X, 0, high}, {c.X - 0.1, -0.1, 0}}, {{c.X, wide, high}, {c.X + 0.1, wide + 0.2, 0}}}))
	}
	if rng.IntN(3) == 0 {
		g.Holds = append(g.Holds, NewPin("pin", place(0.02), Vec{0, 0, 1}))
	}
	whole := box("", 1, 0, 0, x, wide, high)
	if rng.IntN(2) == 0 {
		g.Holds = append(g.Holds, lips(whole, 0.05*rng.Float64())...)
	}
	for i := range g.Holds {
		for j := range g.Holds[i].Acts {
			g.Holds[i].Acts[j].Stiffness = 0.2 + 5*rng.Float64()
		}
	}
	return g
}
