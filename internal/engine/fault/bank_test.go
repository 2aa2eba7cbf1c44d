package fault

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
)

const cool = quantity.Temperature(293.15)

// end reads an end as a job writes it; a slip in a test panics.
func end(s string) bank.End {
	e, err := bank.ParseEnd(s)
	if err != nil {
		panic(err)
	}
	return e
}

func battery(id string, emf, ohm float64) bank.Battery {
	return bank.Battery{ID: id, EMF: source.Of(quantity.Voltage(emf)), Resistance: source.Of(quantity.Resistance(ohm)),
		FaultResistance: source.Of(quantity.Resistance(ohm)), Capacity: source.Of(quantity.Charge(360000))}
}

func wire(id, from, to string, ohm float64) bank.Cable {
	return bank.Cable{ID: id, From: end(from), To: end(to), Whole: source.Of(quantity.Resistance(ohm))}
}

func part(id string, kind bank.PartKind, studs int, ohm float64) bank.Part {
	p := bank.Part{ID: id, Kind: kind, Studs: studs}
	if kind != bank.Stud {
		p.Resistance = source.Of(quantity.Resistance(ohm))
	}
	return p
}

func takeoff(positive, negative string) bank.Takeoff {
	return bank.Takeoff{Positive: end(positive), Negative: end(negative)}
}

// as gives the conditions that a test's bank is built with.
func as(b *bank.Bank) Conditions {
	c := Conditions{Cables: cool}
	for i := range b.Batteries {
		c.EMF = append(c.EMF, float64(b.Batteries[i].EMF.V))
		c.Resistance = append(c.Resistance, float64(b.Batteries[i].FaultResistance.V))
	}
	return c
}

func mustSolve(t *testing.T, b *bank.Bank) Result {
	t.Helper()
	r, err := Solve(b, Options{Most: as(b)})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func mustNew(t *testing.T, b *bank.Bank) *Circuit {
	t.Helper()
	c, err := New(b, as(b))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// point gives the most at a place.
func point(t *testing.T, r Result, place string) Source {
	t.Helper()
	for _, p := range r.Points {
		if p.Place == end(place) {
			return p.Most
		}
	}
	t.Fatalf("no point %s", place)
	return Source{}
}

// near fails unless got is within tol of want; NaN is near nothing.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.15g, want %.15g within %.2g", what, got, want, tol)
	}
}

func nearAll(t *testing.T, what string, got, want []float64, tol float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%s: %d numbers, want %d", what, len(got), len(want))
	}
	for i := range got {
		near(t, fmt.Sprintf("%s %d", what, i), got[i], want[i], tol)
	}
}

// ladder is n batteries side by side on two chains of links.
func ladder(n int, emf, ohm, link float64) *bank.Bank {
	b := &bank.Bank{Takeoff: takeoff("B1+", "B1-")}
	for i := range n {
		b.Batteries = append(b.Batteries, battery(fmt.Sprintf("B%d", i+1), emf, ohm))
		if i > 0 {
			b.Cables = append(b.Cables,
				wire(fmt.Sprintf("P%d", i), fmt.Sprintf("B%d+", i), fmt.Sprintf("B%d+", i+1), link),
				wire(fmt.Sprintf("N%d", i), fmt.Sprintf("B%d-", i), fmt.Sprintf("B%d-", i+1), link))
		}
	}
	return b
}

// builder makes a random bank: one to five strings of one to three batteries,
// some off, rails of posts, studs, bars and two-ended parts on a random tree
// and sometimes a ring, ties between strings.
type builder struct {
	*rand.Rand
	b     *bank.Bank
	level bool // all EMFs equal
}

// ohm is drawn evenly over its logarithm, over what links and batteries have:
// a short thick link to a cold small battery.
func (m *builder) ohm() float64 { return math.Pow(10, -5+4*m.Float64()) }

func (m *builder) cable(from, to bank.End) {
	m.b.Cables = append(m.b.Cables, wire(fmt.Sprintf("W%d", len(m.b.Cables)+1), from.String(), to.String(), m.ohm()))
}

func randomBank(rng *rand.Rand, level bool) *bank.Bank {
	m := &builder{rng, &bank.Bank{}, level}
	parallel, series := 1+m.IntN(5), 1+m.IntN(3)
	var top, bottom []bank.End
	for p := range parallel {
		for s := range series {
			emf := 12.8
			if !level {
				emf = 11.5 + 2.5*m.Float64()
			}
			one := battery(fmt.Sprintf("B%d", len(m.b.Batteries)+1), emf, m.ohm())
			one.Off = m.IntN(6) == 0
			m.b.Batteries = append(m.b.Batteries, one)
			if s == 0 {
				bottom = append(bottom, one.Minus())
				continue
			}
			below := m.b.Batteries[len(m.b.Batteries)-2].Plus()
			m.cable(below, one.Minus())
			if p > 0 && m.IntN(4) == 0 {
				m.cable(below, m.b.Batteries[(p-1)*series+s-1].Plus())
			}
		}
		top = append(top, m.b.Batteries[len(m.b.Batteries)-1].Plus())
	}
	m.b.Takeoff = bank.Takeoff{Positive: m.rail("P", top), Negative: m.rail("N", bottom)}
	return m.b
}

// rail joins posts and some parts and gives the end to take off at.
func (m *builder) rail(name string, ends []bank.End) bank.End {
	for i := range m.IntN(3) {
		kind := []bank.PartKind{bank.Stud, bank.Bar, bank.Fuse, bank.Switch, bank.Shunt}[m.IntN(5)]
		p := part(fmt.Sprintf("%s%d", name, i), kind, 2+m.IntN(4), m.ohm())
		p.Open = kind == bank.Switch && m.IntN(2) == 0
		m.b.Parts = append(m.b.Parts, p)
		ends = append(ends, p.Ends()...)
	}
	m.Shuffle(len(ends), func(i, k int) { ends[i], ends[k] = ends[k], ends[i] })
	for i := 1; i < len(ends); i++ {
		m.cable(ends[i], ends[m.IntN(i)])
	}
	if len(ends) > 1 && m.IntN(2) == 0 {
		a := m.IntN(len(ends))
		m.cable(ends[a], ends[(a+1+m.IntN(len(ends)-1))%len(ends)])
	}
	return ends[m.IntN(len(ends))]
}

// eachRandom runs a property over random banks.
func eachRandom(t *testing.T, seed uint64, count int, level bool, property func(t *testing.T, rng *rand.Rand, b *bank.Bank)) {
	t.Helper()
	for i := range count {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			rng := rand.New(rand.NewPCG(seed, uint64(i)))
			property(t, rng, randomBank(rng, level))
		})
	}
}

// clone copies a bank so far that its batteries, cables and parts can be
// changed.
func clone(b *bank.Bank) *bank.Bank {
	c := *b
	c.Batteries = append([]bank.Battery(nil), b.Batteries...)
	c.Cables = append([]bank.Cable(nil), b.Cables...)
	c.Parts = append([]bank.Part(nil), b.Parts...)
	return &c
}
