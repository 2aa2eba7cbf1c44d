package heat

import (
	"math"
	"math/rand/v2"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.9g, want %.9g within %g", what, got, want, tol)
	}
}

// row is four batteries side by side over a floor, with air over them: the
// network of heat-mount-energy T13. Node 4 is the air; place 0 is outside and
// under the floor, both 25 °C.
func row() Net {
	n := Net{Capacity: []float64{12.1e3, 12.1e3, 12.1e3, 12.1e3, 500}, Places: 1}
	for i := range 3 {
		n.Links = append(n.Links, Link{i, i + 1, 0.44})
	}
	for i := range 4 {
		air := 0.967692
		if i == 0 || i == 3 {
			air = 1.475385
		}
		n.Links = append(n.Links, Link{i, 4, air})
		n.Ties = append(n.Ties, Tie{i, 0, 0.0527076})
	}
	n.Ties = append(n.Ties, Tie{4, 0, 0.901142})
	return n
}

// Reference: heat-mount-energy T13, computed; five digits.
func TestFourInARow(t *testing.T) {
	const zero = 273.15
	n := row()
	for _, c := range []struct {
		name             string
		air, fan         float64 // W into the air; W/K of the fan
		ends, inner, box float64 // °C
	}{
		{"2 W each", 0, 0, 33.104, 33.413, 31.945},
		{"60 W in the air", 60, 0, 85.466, 85.233, 86.340},
		{"a fan of 20 m³/h beside", 60, 20 * 1206 / 3600.0, 34.765, 35.057, 33.671},
	} {
		m, err := n.Modes(Tie{4, 0, c.fan})
		if err != nil {
			t.Fatal(err)
		}
		got, err := m.Steady([]float64{25 + zero}, []float64{2, 2, 2, 2, c.air})
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.name+", ends", got[0]-zero, c.ends, 6e-4)
		near(t, c.name+", other end", got[3]-zero, c.ends, 6e-4)
		near(t, c.name+", inner", got[1]-zero, c.inner, 6e-4)
		near(t, c.name+", air", got[4]-zero, c.box, 6e-4)
	}
}

// one is a single body tied to the outside: the lumped law is its closed form.
func TestOneNodeIsTheLump(t *testing.T) {
	l := Lump{Capacity: 56.4e3, Loss: 1.2}
	n := Net{Capacity: []float64{l.Capacity}, Ties: []Tie{{0, 0, l.Loss}}, Places: 1}
	m, err := n.Modes()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "time constant", m.Times()[0], l.Tau(), 1e-6)
	for _, at := range []float64{0, 600, 3600, 86400} {
		got, err := m.Step(at, []float64{288.15}, []float64{253.15}, []float64{30})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "after", got[0], l.After(at, 288.15, 253.15, 30), 1e-9)
	}
}

// random is a network of n nodes, all hanging together, seeded.
func random(rng *rand.Rand, size int) Net {
	n := Net{Places: 2}
	for i := range size {
		n.Capacity = append(n.Capacity, math.Exp(5+6*rng.Float64()))
		if i > 0 {
			n.Links = append(n.Links, Link{i, rng.IntN(i), 0.05 + 3*rng.Float64()})
		}
	}
	for range size {
		if a, b := rng.IntN(size), rng.IntN(size); a != b {
			n.Links = append(n.Links, Link{a, b, 2 * rng.Float64()})
		}
	}
	n.Ties = []Tie{{0, 0, 0.1 + rng.Float64()}, {size - 1, 1, 0.1 + rng.Float64()}}
	return n
}

func some(rng *rand.Rand, n int, least, most float64) []float64 {
	all := make([]float64, n)
	for i := range all {
		all[i] = least + rng.Float64()*(most-least)
	}
	return all
}

// Against Euler's rule at steps so short that it is exact to a millikelvin: a
// solver that shares nothing with the modes but the law.
func TestAgainstShortSteps(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	for range 6 {
		n := random(rng, 2+rng.IntN(7))
		size := len(n.Capacity)
		start, heat, places := some(rng, size, 260, 320), some(rng, size, 0, 40), []float64{250, 300}
		m, err := n.Modes()
		if err != nil {
			t.Fatal(err)
		}
		got, err := m.Step(1800, start, places, heat)
		if err != nil {
			t.Fatal(err)
		}
		now, shortest := append([]float64{}, start...), m.Times()[size-1]
		steps := int(math.Ceil(1800 / math.Min(shortest/2000, 1)))
		for range steps {
			now = euler(&n, now, places, heat, 1800/float64(steps))
		}
		for i := range now {
			near(t, "node", got[i], now[i], 5e-3)
		}
	}
}

func euler(n *Net, now, places, heat []float64, dt float64) []float64 {
	rise := append([]float64{}, heat...)
	for _, l := range n.Links {
		q := l.G * (now[l.A] - now[l.B])
		rise[l.A] -= q
		rise[l.B] += q
	}
	for _, t := range n.Ties {
		rise[t.Node] += t.G * (places[t.Place] - now[t.Node])
	}
	next := make([]float64, len(now))
	for i := range now {
		next[i] = now[i] + rise[i]/n.Capacity[i]*dt
	}
	return next
}

// What goes in comes out when nothing changes any more; two half steps are one;
// heat in one node warms another as much as the other way round.
func TestConservationHalvingReciprocity(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 2))
	for range 30 {
		n := random(rng, 2+rng.IntN(9))
		size := len(n.Capacity)
		m, err := n.Modes()
		if err != nil {
			t.Fatal(err)
		}
		places, heat, start := []float64{255, 290}, some(rng, size, 0, 50), some(rng, size, 260, 300)
		steady, err := m.Steady(places, heat)
		if err != nil {
			t.Fatal(err)
		}
		in, out := 0.0, 0.0
		for i := range heat {
			in += heat[i]
		}
		for _, tie := range n.Ties {
			out += tie.G * (steady[tie.Node] - places[tie.Place])
		}
		near(t, "what goes out", out, in, 1e-6*(1+in))
		whole, _ := m.Step(1200, start, places, heat)
		half, _ := m.Step(600, start, places, heat)
		half, _ = m.Step(600, half, places, heat)
		for i := range whole {
			near(t, "two halves", half[i], whole[i], 1e-8)
		}
		a, b := rng.IntN(size), rng.IntN(size)
		push := func(at int) []float64 {
			q := make([]float64, size)
			q[at] = 10
			got, err := m.Steady([]float64{0, 0}, q)
			if err != nil {
				t.Fatal(err)
			}
			return got
		}
		near(t, "reciprocity", push(a)[b], push(b)[a], 1e-7*(1+math.Abs(push(a)[b])))
	}
}

func TestNetRefuses(t *testing.T) {
	for name, n := range map[string]Net{
		"no node":        {},
		"no capacity":    {Capacity: []float64{0}, Places: 1, Ties: []Tie{{0, 0, 1}}},
		"a loose node":   {Capacity: []float64{10, 10}, Places: 1, Ties: []Tie{{0, 0, 1}}},
		"itself":         {Capacity: []float64{10}, Links: []Link{{0, 0, 1}}, Places: 1, Ties: []Tie{{0, 0, 1}}},
		"no such place":  {Capacity: []float64{10}, Places: 1, Ties: []Tie{{0, 1, 1}}},
		"negative":       {Capacity: []float64{10}, Places: 1, Ties: []Tie{{0, 0, -1}}},
		"no number":      {Capacity: []float64{10, 10}, Links: []Link{{0, 1, math.NaN()}}, Places: 1, Ties: []Tie{{0, 0, 1}}},
		"endless weight": {Capacity: []float64{math.Inf(1)}, Places: 1, Ties: []Tie{{0, 0, 1}}},
	} {
		if m, err := n.Modes(); err == nil {
			t.Errorf("%s: modes %v", name, m.Times())
		}
	}
	n := row()
	m, err := n.Modes()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := m.Step(-1, make([]float64, 5), []float64{1}, make([]float64, 5)); err == nil {
		t.Error("a negative step passes")
	}
	if _, err := m.Step(1, make([]float64, 4), []float64{1}, make([]float64, 5)); err == nil {
		t.Error("a wrong number of temperatures passes")
	}
	if _, err := m.Step(1, make([]float64, 5), nil, make([]float64, 5)); err == nil {
		t.Error("a wrong number of places passes")
	}
}
