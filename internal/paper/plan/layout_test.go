package plan

import (
	"fmt"
	"math"
	"math/rand/v2"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// made is a made-up job with the currents its cables must carry, worked out
// here by following each battery's path to the take-off.
type made struct {
	r    *report.Report
	want map[string]float64 // by cable, from from to to
}

// tree is a random tree over a root and n leaves: of each leaf the place it
// hangs on, -1 for the root.
func tree(rng *rand.Rand, n int) []int {
	up := make([]int, n)
	order := rng.Perm(n)
	for k, i := range order {
		up[i] = -1
		if k > 0 && rng.IntN(3) > 0 {
			up[i] = order[rng.IntN(k)]
		}
	}
	return up
}

// route is a plain way between two ends: up, along one axis, along the other,
// down. Many of them lie on one another, which is what is to be tested.
func route(rng *rand.Rand, from, to bank.Point) []bank.Point {
	z := max(from.Z, to.Z) + 0.02 + 0.01*float64(rng.IntN(3))
	a, b := from, to
	a.Z, b.Z = z, z
	mid := bank.Point{X: b.X, Y: a.Y, Z: z}
	if rng.IntN(2) == 0 {
		mid = bank.Point{X: a.X, Y: b.Y, Z: z}
	}
	return []bank.Point{from, a, mid, b, to}
}

// batteries puts n batteries of one size on a grid, each turned at random.
func batteries(rng *rand.Rand, n int) []bank.Battery {
	l, w := 0.2+0.2*rng.Float64(), 0.12+0.1*rng.Float64()
	pitch := max(l, w) + 0.015
	var list []bank.Battery
	for i := range n {
		body := bank.Body{Size: bank.Point{X: l, Y: w, Z: 0.21}, Turn: 90 * rng.IntN(4)}
		body.At = bank.Point{X: pitch * float64(i%4), Y: pitch * float64(i/4)}
		b := bank.Battery{
			ID: fmt.Sprintf("B%d", i+1), Placed: true, HasPosts: true, Body: body, Off: n > 2 && rng.IntN(8) == 0,
			Posts:      [2][2]float64{{0.03, 0.025}, {l - 0.03, 0.025}},
			Resistance: source.Of(quantity.Resistance(0.004)),
		}
		if rng.IntN(3) == 0 {
			b.Resistance.Origin = source.Assumed
		}
		list = append(list, b)
	}
	return list
}

// parts puts studs, and now and then things with two ends, beside the batteries.
func parts(rng *rand.Rand, wide float64) []bank.Part {
	list := []bank.Part{
		{ID: "S1", Kind: bank.Stud, Placed: true, Body: bank.Body{At: bank.Point{X: -0.1, Y: 0.2 * rng.Float64(), Z: 0.2}}},
		{ID: "S2", Kind: bank.Stud, Placed: true, Body: bank.Body{At: bank.Point{X: wide + 0.1, Y: 0.2 * rng.Float64(), Z: 0.2}}},
	}
	if rng.IntN(2) == 0 {
		list = append(list, bank.Part{ID: "F1", Kind: bank.Fuse, Placed: true, Body: bank.Body{
			At: bank.Point{X: 0.1, Y: -0.15, Z: 0.1}, Size: bank.Point{X: 0.08, Y: 0.03, Z: 0.03}, Turn: 90 * rng.IntN(4)}})
	}
	if rng.IntN(2) == 0 {
		list = append(list, bank.Part{ID: "Q1", Kind: bank.Switch, Open: rng.IntN(2) == 0, Placed: rng.IntN(2) == 0, Body: bank.Body{
			At: bank.Point{X: 0.3, Y: -0.15, Z: 0.1}, Size: bank.Point{X: 0.08, Y: 0.07, Z: 0.05}}})
	}
	if rng.IntN(2) == 0 {
		list = append(list, bank.Part{ID: "N1", Kind: bank.Bar, Studs: 4, Pitch: 0.03, Placed: true, Body: bank.Body{
			At: bank.Point{X: 0.5, Y: -0.15, Z: 0.1}, Size: bank.Point{X: 0.12, Y: 0.03, Z: 0.02}}})
	}
	return list
}

// random makes up a job of 2 to 8 batteries.
func random(rng *rand.Rand) made {
	n := 2 + rng.IntN(7)
	shows := []string{"", "in", "ft", "cm"}
	b := &bank.Bank{Title: "Made up", Show: quantity.Show{Length: shows[rng.IntN(4)]}, Batteries: batteries(rng, n)}
	all := extent(b, nil)
	b.Parts = parts(rng, all.Max.X)
	if rng.IntN(2) == 0 {
		in := bank.Box{Min: bank.Point{X: -0.15, Y: -0.2}, Max: bank.Point{X: all.Max.X + 0.15, Y: all.Max.Y + 0.1, Z: 0.4}}
		b.Compartments = append(b.Compartments, bank.Compartment{ID: "C1", Box: in})
	}
	b.Takeoff = bank.Takeoff{Positive: bank.End{ID: "S1"}, Negative: bank.End{ID: "S2"}}
	m := made{r: &report.Report{Bank: b}, want: map[string]float64{}}
	m.share(rng, rng.IntN(5) == 0)
	m.rail(rng, true)
	m.rail(rng, false)
	return m
}

// share makes up the batteries' currents, of draw or charge.
func (m *made) share(rng *rand.Rand, charge bool) {
	s := &m.r.Sharing
	s.Case = bank.Case{ID: "evening"}
	on := 0.0
	for i := range m.r.Bank.Batteries {
		b := &m.r.Bank.Batteries[i]
		one := report.BatteryShare{ID: b.ID, Off: b.Off, Share: math.NaN(), Group: -1}
		if !b.Off {
			one.Current = 20 + 30*rng.Float64()
			if charge {
				one.Current = -one.Current
			}
			one.Group = 0
			on++
		}
		s.Current += one.Current
		s.Batteries = append(s.Batteries, one)
	}
	for i := range s.Batteries {
		if x := &s.Batteries[i]; !x.Off {
			x.Share = x.Current * on / s.Current
		}
	}
}

// rail makes up one rail: a tree of cables and what flows in them.
func (m *made) rail(rng *rand.Rand, plus bool) {
	b := m.r.Bank
	root, letter := b.Takeoff.Positive, "P"
	if !plus {
		root, letter = b.Takeoff.Negative, "N"
	}
	up := tree(rng, len(b.Batteries))
	end := func(i int) bank.End {
		switch {
		case i < 0:
			return root
		case plus:
			return b.Batteries[i].Plus()
		}
		return b.Batteries[i].Minus()
	}
	flow := make([]float64, len(up))
	for i, s := range m.r.Sharing.Batteries {
		for k := i; k >= 0; k = up[k] {
			flow[k] += s.Current
		}
	}
	for i := range up {
		c := bank.Cable{ID: fmt.Sprintf("%s%d", letter, i+1), From: end(i), To: end(up[i]), Length: source.Of(quantity.Length(0.5))}
		current := flow[i] // to the take-off on the positive rail
		if !plus {
			current = -current
		}
		if rng.IntN(2) == 0 {
			c.From, c.To, current = c.To, c.From, -current
		}
		b.Cables = append(b.Cables, c)
		m.want[c.ID] = current
		m.r.Sharing.Cables = append(m.r.Sharing.Cables, report.Flow{ID: c.ID, From: c.From, To: c.To, Current: current})
		from, _ := b.Locate(c.From)
		to, _ := b.Locate(c.To)
		if rng.IntN(7) > 0 {
			m.r.Routes = append(m.r.Routes, report.Route{Cable: c.ID, Points: route(rng, from, to), Length: 0.5})
		}
	}
}

// wiring turns a made-up job into a wiring of a search: its cables become
// edges, their routes pairs, and the job itself loses them.
func (m *made) wiring() Options {
	b, w := m.r.Bank, &report.Wiring{Takeoff: m.r.Bank.Takeoff, Copper: 5, Imbalance: 0.01}
	opt := Options{Wiring: w, Search: &report.Wirings{}}
	for i, s := range m.r.Sharing.Batteries {
		bat := &b.Batteries[i]
		opt.Search.Strings = append(opt.Search.Strings, report.String{ID: s.ID, Batteries: []string{s.ID}, Positive: bat.Plus(), Negative: bat.Minus(), Off: s.Off})
		w.Currents, w.Shares = append(w.Currents, s.Current), append(w.Shares, s.Share)
	}
	for _, c := range b.Cables {
		edge, rail := [2]bank.End{c.From, c.To}, "positive"
		if c.ID[0] == 'N' {
			rail = "negative"
			w.Negative = append(w.Negative, edge)
		} else {
			w.Positive = append(w.Positive, edge)
		}
		p := report.PairLength{Rail: rail, From: c.To, To: c.From, Length: 0.5}
		for _, r := range m.r.Routes {
			if r.Cable == c.ID {
				p.Points = r.Points
			}
		}
		opt.Search.Lengths = append(opt.Search.Lengths, p)
	}
	b.Cables, m.r.Routes, m.r.Sharing = nil, nil, report.Sharing{}
	return opt
}

// row is a bank of n batteries side by side, posts in two lines, on two studs.
func row(n int) *report.Report {
	b := &bank.Bank{Title: "Row", Takeoff: bank.Takeoff{Positive: bank.End{ID: "S1"}, Negative: bank.End{ID: "S2"}}}
	for i := range n {
		b.Batteries = append(b.Batteries, bank.Battery{ID: fmt.Sprintf("B%d", i+1), Placed: true, HasPosts: true,
			Body:  bank.Body{At: bank.Point{X: 0.19 * float64(i)}, Size: bank.Point{X: 0.33, Y: 0.172, Z: 0.21}, Turn: 90},
			Posts: [2][2]float64{{0.3, 0.03}, {0.03, 0.03}}})
	}
	b.Parts = []bank.Part{
		{ID: "S1", Kind: bank.Stud, Placed: true, Body: bank.Body{At: bank.Point{X: -0.1, Y: 0.3, Z: 0.2}}},
		{ID: "S2", Kind: bank.Stud, Placed: true, Body: bank.Body{At: bank.Point{X: -0.1, Y: 0.03, Z: 0.2}}},
	}
	return &report.Report{Bank: b}
}

// wire adds a cable with a straight route and a current.
func wire(r *report.Report, id, from, to string, current float64) {
	f, err := bank.ParseEnd(from)
	if err != nil {
		panic(err)
	}
	t, err := bank.ParseEnd(to)
	if err != nil {
		panic(err)
	}
	p, _ := r.Bank.Locate(f)
	q, _ := r.Bank.Locate(t)
	r.Bank.Cables = append(r.Bank.Cables, bank.Cable{ID: id, From: f, To: t})
	over, under := p, q
	over.Z, under.Z = 0.25, 0.25
	r.Routes = append(r.Routes, report.Route{Cable: id, Points: []bank.Point{p, over, {X: under.X, Y: over.Y, Z: 0.25}, under, q}})
	r.Sharing.Cables = append(r.Sharing.Cables, report.Flow{ID: id, From: f, To: t, Current: current})
	if len(r.Sharing.Batteries) == 0 {
		for i := range r.Bank.Batteries {
			r.Sharing.Batteries = append(r.Sharing.Batteries, report.BatteryShare{ID: r.Bank.Batteries[i].ID, Current: 30, Share: 1})
		}
	}
}
