package sharing

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// end reads an end as a job writes it; a slip in a test panics.
func end(s string) bank.End {
	e, err := bank.ParseEnd(s)
	if err != nil {
		panic(err)
	}
	return e
}

func battery(id string, emf, ohm, ah float64) bank.Battery {
	return bank.Battery{ID: id, EMF: source.Of(quantity.Voltage(emf)), Resistance: source.Of(quantity.Resistance(ohm)),
		Capacity: source.Of(quantity.Charge(ah * 3600))}
}

func cable(id string, from, to bank.End, ohm float64) bank.Cable {
	return bank.Cable{ID: id, From: from, To: to, Whole: source.Of(quantity.Resistance(ohm))}
}

func wire(id, from, to string, ohm float64) bank.Cable { return cable(id, end(from), end(to), ohm) }

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

func amps(i float64) bank.Case { return bank.Case{ID: "test", Current: quantity.Current(i)} }

func watts(p float64) bank.Case {
	return bank.Case{ID: "test", ByPower: true, Power: quantity.Power(p)}
}

func mustSolve(t *testing.T, b *bank.Bank, c bank.Case) report.Sharing {
	t.Helper()
	s, err := Solve(b, c)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// near fails unless got is within tol of want; NaN is near nothing.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.15g, want %.15g within %.2g", what, got, want, tol)
	}
}

func currents(s report.Sharing) []float64 {
	var all []float64
	for _, b := range s.Batteries {
		all = append(all, b.Current)
	}
	return all
}

// ladder is n batteries side by side on two chains of links.
func ladder(n int, emf, ohm, link float64) *bank.Bank {
	b := &bank.Bank{}
	for i := range n {
		b.Batteries = append(b.Batteries, battery(fmt.Sprintf("B%d", i+1), emf, ohm, 100))
		if i > 0 {
			b.Cables = append(b.Cables,
				wire(fmt.Sprintf("P%d", i), fmt.Sprintf("B%d+", i), fmt.Sprintf("B%d+", i+1), link),
				wire(fmt.Sprintf("N%d", i), fmt.Sprintf("B%d-", i), fmt.Sprintf("B%d-", i+1), link))
		}
	}
	b.Takeoff = takeoff("B1+", "B1-")
	return b
}

// builder makes a random bank: one to five strings of one to three batteries,
// rails of posts, studs, bars and two-ended parts joined by a random tree and
// sometimes by more cables than a tree needs, ties between strings.
type builder struct {
	*rand.Rand
	b     *bank.Bank
	level bool // all EMFs equal
}

func (m *builder) between(low, high float64) float64 { return low + (high-low)*m.Float64() }

// ohm is drawn evenly over its logarithm, over what links and batteries have:
// a short thick link to a cold small battery.
func (m *builder) ohm() float64 { return math.Pow(10, m.between(-5, -1)) }

func (m *builder) cable(from, to bank.End) {
	m.b.Cables = append(m.b.Cables, cable(fmt.Sprintf("W%d", len(m.b.Cables)+1), from, to, m.ohm()))
}

func randomBank(rng *rand.Rand, level bool) *bank.Bank {
	m := &builder{Rand: rng, b: &bank.Bank{}, level: level}
	parallel, series := 1+m.IntN(5), 1+m.IntN(3)
	top, bottom := m.strings(parallel, series)
	m.b.Takeoff = bank.Takeoff{Positive: m.rail("P", top), Negative: m.rail("N", bottom)}
	m.switchOff(parallel, series)
	return m.b
}

// strings adds the batteries with their links and ties and gives the two posts
// at the ends of each string.
func (m *builder) strings(parallel, series int) (top, bottom []bank.End) {
	for p := range parallel {
		for s := range series {
			emf := 12.8
			if !m.level {
				emf = m.between(11.5, 14)
			}
			one := battery(fmt.Sprintf("B%d", len(m.b.Batteries)+1), emf, m.ohm(), m.between(20, 300))
			m.b.Batteries = append(m.b.Batteries, one)
			if s > 0 {
				below := &m.b.Batteries[len(m.b.Batteries)-2]
				m.cable(below.Plus(), one.Minus())
				if p > 0 && m.IntN(4) == 0 { // a tie to the string before
					m.cable(below.Plus(), m.b.Batteries[(p-1)*series+s-1].Plus())
				}
			}
		}
		top = append(top, m.b.Batteries[p*series+series-1].Plus())
		bottom = append(bottom, m.b.Batteries[p*series].Minus())
	}
	return top, bottom
}

// rail joins posts and some parts and gives the end to take off at.
func (m *builder) rail(name string, ends []bank.End) bank.End {
	for i := range m.IntN(3) {
		id := fmt.Sprintf("%s%d", name, i)
		kind := []bank.PartKind{bank.Stud, bank.Bar, bank.Fuse, bank.Switch, bank.Shunt}[m.IntN(5)]
		p := part(id, kind, 2+m.IntN(4), m.ohm())
		p.Open = kind == bank.Switch && m.IntN(2) == 0
		m.b.Parts = append(m.b.Parts, p)
		ends = append(ends, p.Ends()...)
	}
	m.Shuffle(len(ends), func(i, k int) { ends[i], ends[k] = ends[k], ends[i] })
	for i := 1; i < len(ends); i++ {
		m.cable(ends[i], ends[m.IntN(i)])
	}
	if len(ends) > 1 && m.IntN(2) == 0 { // a ring
		a := m.IntN(len(ends))
		m.cable(ends[a], ends[(a+1+m.IntN(len(ends)-1))%len(ends)])
	}
	return ends[m.IntN(len(ends))]
}

// switchOff takes out batteries of all strings but one.
func (m *builder) switchOff(parallel, series int) {
	keep := m.IntN(parallel)
	for i := range m.b.Batteries {
		m.b.Batteries[i].Off = i/series != keep && m.IntN(5) == 0
	}
}

// eachRandom runs a property over 200 random banks.
func eachRandom(t *testing.T, seed uint64, level bool, property func(t *testing.T, rng *rand.Rand, b *bank.Bank)) {
	t.Helper()
	for i := range uint64(200) {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			rng := rand.New(rand.NewPCG(seed, i))
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

// largest is the size of the largest of some numbers.
func largest(values []float64) float64 {
	most := 0.0
	for _, v := range values {
		most = max(most, math.Abs(v))
	}
	return most
}
