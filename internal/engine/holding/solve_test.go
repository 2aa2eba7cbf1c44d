package holding

import (
	"math"
	"math/rand/v2"
	"testing"
)

// balance adds the bare forces and moments about the plan's own origin of a
// group's loads, feet and acts; it shares no line with the solver's wrenches.
func (m *machine) balance(c *Case, rule *Rule, reactions []float64) (force, moment Vec) {
	add := func(at, f Vec) {
		force = force.Add(f)
		moment = moment.Add(at.Cross(f))
	}
	for _, b := range m.g.Bodies {
		w := b.Mass * Gravity
		f := m.g.Toward(c.Direction).Times(c.Multiple * w)
		if c.Direction == Down {
			f = Vec{0, 0, -(c.Multiple - 1) * w}
		}
		add(b.Min.Add(b.Max).Times(0.5), f)
		add(b.Min.Add(b.Max).Times(0.5), Vec{0, 0, -w})
	}
	for i, p := range m.feet {
		add(p, Vec{0, 0, reactions[i]})
	}
	next := len(m.feet)
	for _, h := range m.g.Holds {
		for _, a := range h.Acts {
			for _, l := range a.Legs {
				add(l.At, l.Toward.Times(reactions[next]))
			}
			next++
		}
	}
	return force, moment
}

// escapes reports whether a group can go the way of what is left: no spring is
// pressed by going that way, and the load does work along it. Such a way is proof
// that nothing can hold the load (Farkas' lemma), whatever method found it. A
// thousandth of a newton in one is let pass for rounding.
func escapes(springs []spring, load, way *wrench) bool {
	size := math.Sqrt(way.dot(way))
	for i := range springs {
		along := springs[i].unit.dot(way) / size
		if along < -1e-3 || springs[i].both && along > 1e-3 {
			return false
		}
	}
	return load.dot(way) > 0
}

// TestEquilibrium: in 400 random groups, every direction that is called held is
// in equilibrium of forces and moments with no one-way reaction below zero; one
// that is not held has a way out; and both occur often.
func TestEquilibrium(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	held, free := 0, 0
	for n := range 400 {
		g := random(rng)
		rule := ask(0.3 + 3*rng.Float64())
		m := model(&g)
		for _, d := range Directions() {
			c := m.run(&rule, d)
			load := m.load(&c, &rule)
			reactions, left := settle(m.springs, &load)
			scale := g.Mass() * Gravity * (1 + c.Multiple)
			for i, r := range reactions {
				if !m.springs[i].both && r < 0 {
					t.Fatalf("group %d, %s: reaction %d pushes where it only pulls: %g N", n, d, i, r)
				}
			}
			if c.Held {
				held++
				f, mo := m.balance(&c, &rule, reactions)
				if f.Length() > 1e-6*scale || mo.Length() > 1e-6*scale {
					t.Fatalf("group %d, %s: out of balance by %g N and %g N·m of %g N", n, d, f.Length(), mo.Length(), scale)
				}
				continue
			}
			free++
			const short = 0.01 // of the load: less is left by a lever so short that rounding decides
			if math.Sqrt(left.dot(&left)) > short*scale && !escapes(m.springs, &load, &left) {
				t.Errorf("group %d, %s: not held, by %g of %g N, but there is no way out", n, d, math.Sqrt(left.dot(&left)), scale)
			}
		}
	}
	if held < 300 || free < 300 {
		t.Errorf("%d held, %d free: the groups are one-sided", held, free)
	}
}

// TestLeastEnergy: of all reactions in equilibrium, those on elastic springs
// have the least energy (Castigliano). The same group with other stiffnesses
// gives other reactions in equilibrium to compare with.
func TestLeastEnergy(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 2))
	compared := 0
	for range 300 {
		g := random(rng)
		rule := ask(1 + rng.Float64())
		m := model(&g)
		for _, d := range []Direction{Forward, Left, Up} {
			c := m.run(&rule, d)
			if !c.Held {
				continue
			}
			load := m.load(&c, &rule)
			reactions, _ := settle(m.springs, &load)
			other := append([]spring(nil), m.springs...)
			for i := range other {
				other[i].k *= 0.1 + rng.Float64()
			}
			changed, left := settle(other, &load)
			if left.dot(&left) > 1e-16*load.dot(&load) {
				continue // held by so short a lever that the others are not quite in equilibrium
			}
			own, theirs := 0.0, 0.0
			for i, s := range m.springs {
				own += reactions[i] * reactions[i] / (2 * s.k)
				theirs += changed[i] * changed[i] / (2 * s.k)
			}
			compared++
			if own > theirs*(1+1e-6)+1e-9 {
				t.Errorf("energy %g is above %g of other reactions in equilibrium", own, theirs)
			}
		}
	}
	if compared < 100 {
		t.Errorf("only %d compared", compared)
	}
}

// TestTurned: a plan turned by a quarter with its forward direction, or mirrored
// left for right, carries the same.
func TestTurned(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 3))
	quarter := func(v Vec) Vec { return Vec{-v.Y, v.X, v.Z} }
	mirror := func(v Vec) Vec { return Vec{v.X, -v.Y, v.Z} }
	same := func(d Direction) Direction { return d }
	swap := func(d Direction) Direction {
		switch d {
		case Left:
			return Right
		case Right:
			return Left
		}
		return d
	}
	for range 100 {
		g := random(rng)
		rule := ask(0.5 + 2*rng.Float64())
		base := solved(t, g, rule)
		for _, move := range []struct {
			name string
			of   func(Vec) Vec
			to   func(Direction) Direction
		}{{"quarter", quarter, same}, {"mirror", mirror, swap}} {
			h := turned(g, move.of)
			moved := solved(t, h, rule)
			for i := range base.Cases {
				a, b := &base.Cases[i], moved.to(move.to(base.Cases[i].Direction))
				if threadbare(a) || threadbare(b) {
					continue
				}
				if a.Held != b.Held || a.How != b.How {
					t.Fatalf("%s, %s: held %v %q against %v %q", move.name, a.Direction, a.Held, a.How, b.Held, b.How)
				}
				if !a.Held {
					continue
				}
				tol := 1e-5 * (a.Force + a.Weight)
				near(t, move.name+" floor", b.Floor, a.Floor, tol)
				for j := range a.Reactions {
					near(t, move.name+" pull", b.Reactions[j].Pull, a.Reactions[j].Pull, tol)
					near(t, move.name+" shear", b.Reactions[j].Shear, a.Reactions[j].Shear, tol)
					near(t, move.name+" push", b.Reactions[j].Push, a.Reactions[j].Push, tol)
				}
			}
		}
	}
}

// threadbare reports a group held by so short a lever that the reactions are fifty
// times the load, where rounding decides whether it is held.
func threadbare(c *Case) bool {
	for _, r := range c.Reactions {
		if math.Max(r.Pull, math.Max(r.Shear, r.Push)) > 50*(c.Force+c.Weight) {
			return true
		}
	}
	return false
}

// turned gives a group with every place and direction moved.
func turned(g Group, of func(Vec) Vec) Group {
	h := Group{Ahead: of(g.Ahead), Friction: g.Friction, Clamp: g.Clamp}
	for _, b := range g.Bodies {
		p, q := of(b.Min), of(b.Max)
		b.Min = Vec{math.Min(p.X, q.X), math.Min(p.Y, q.Y), p.Z}
		b.Max = Vec{math.Max(p.X, q.X), math.Max(p.Y, q.Y), q.Z}
		h.Bodies = append(h.Bodies, b)
	}
	for _, hold := range g.Holds {
		acts := make([]Act, len(hold.Acts))
		for i, a := range hold.Acts {
			legs := make([]Leg, len(a.Legs))
			for j, l := range a.Legs {
				legs[j] = Leg{of(l.At), of(l.Toward)}
			}
			a.Legs = legs
			acts[i] = a
		}
		hold.Acts = acts
		h.Holds = append(h.Holds, hold)
	}
	return h
}

// TestLinear: hold-downs that bear alone, the weight not helping, carry twice at
// twice the load.
func TestLinear(t *testing.T) {
	b := box("A", 30, 0, 0, 0.4, 0.2, 0.3)
	g := Group{Bodies: []Body{b}, Ahead: ahead, Holds: append(lips(b, 0.1), rods(b, 2)...)}
	rule := ask(1)
	rule.Beyond = true
	one := solved(t, g, rule)
	rule = ask(2)
	rule.Beyond = true
	two := solved(t, g, rule)
	for i, r := range one.to(Up).Reactions {
		near(t, "twice the load", two.to(Up).Reactions[i].Pull, 2*r.Pull, 1e-6)
	}
	near(t, "one of four rods", one.to(Up).Reactions[4].Pull, 30*Gravity/4, 1e-5)
}
