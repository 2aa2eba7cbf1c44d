package sheet

import (
	"cmp"
	"math"
	"slices"
)

// Board is a part of a sheet on which labels are to find their places: none
// over another, none over what is blocked, over strokes only where nothing
// else is left.
type Board struct {
	area    Box
	blocks  []block
	strokes []stroke
}

type block struct {
	box   Box
	owner string
	under bool // leaders may pass over it
}

type stroke struct {
	p, q  Point
	width float64
	cost  float64
}

// NewBoard gives an empty board; no label leaves the area.
func NewBoard(area Box) *Board { return &Board{area: area} }

// Block keeps labels off a box. The leader of a label with the same owner may
// enter it.
func (b *Board) Block(box Box, owner string) {
	b.blocks = append(b.blocks, block{box: box, owner: owner})
}

// Cover keeps labels off a box, but not their leaders.
func (b *Board) Cover(box Box) { b.blocks = append(b.blocks, block{box: box, under: true}) }

// Stroke makes it cost something to cover a line: cost for each square
// millimetre of it.
func (b *Board) Stroke(width, cost float64, points ...Point) {
	for i := 1; i < len(points); i++ {
		b.strokes = append(b.strokes, stroke{points[i-1], points[i], width, cost})
	}
}

// Choice is one place a label may take.
type Choice struct {
	Box    Box
	Cost   float64
	Leader []Point // from the box to what it names; nil for none
	Kind   int     // the caller's own mark
}

// Label is something to be placed. Owner is what it names.
type Label struct {
	Owner   string
	Choices []Choice
	Shy     float64 // how much more than others it keeps off strokes; 0: as others
}

// clear is the room kept round a label, mm.
const clear = 1

// Costs that weigh against millimetres of distance. Found by trying.
const (
	costCrossLeader = 12.0 // a leader over another leader
	costLeaderOver  = 0.8  // a leader over a stroke
)

// Settle finds a place for each label and gives the index of the choice taken,
// -1 for a label that has none left. Earlier labels choose first; then each in
// turn looks again for a better place.
func (b *Board) Settle(labels []Label) []int {
	s := settling{board: b, labels: labels, taken: make([]int, len(labels))}
	for i, l := range labels {
		s.taken[i] = -1
		s.price = append(s.price, b.prices(l))
	}
	for i := range labels {
		s.place(i)
	}
	const rounds = 4 // most changes come in the first two
	for range rounds {
		changed := false
		for i := range labels {
			before := s.taken[i]
			s.place(i)
			s.bump(i)
			changed = changed || before != s.taken[i]
		}
		if !changed {
			break
		}
	}
	return s.taken
}

// prices gives what each choice costs before other labels are looked at,
// infinite where it is out of the question.
func (b *Board) prices(l Label) []float64 {
	prices := make([]float64, len(l.Choices))
	for i, c := range l.Choices {
		prices[i] = b.price(c, l.Owner, max(1, l.Shy))
	}
	return prices
}

func (b *Board) price(c Choice, owner string, shy float64) float64 {
	room := c.Box.Grown(clear / 2)
	if !b.area.Contains(c.Box) {
		return math.Inf(1)
	}
	for _, o := range b.blocks {
		if room.Overlaps(o.box) || !o.under && o.owner != owner && leaderHits(c.Leader, o.box) {
			return math.Inf(1)
		}
	}
	cost := c.Cost
	for _, s := range b.strokes {
		grown := room.Grown(s.width / 2)
		if over := grown.Within(s.p, s.q); over > 0 {
			cost += float64(shy * s.cost * (1 + float64(over*min(s.width, c.Box.Height()))))
		}
		if len(c.Leader) == 2 && Cross(c.Leader[0], c.Leader[1], s.p, s.q) {
			cost += float64(costLeaderOver * min(s.cost, 1))
		}
	}
	return cost
}

func leaderHits(leader []Point, box Box) bool {
	return len(leader) == 2 && box.Within(leader[0], leader[1]) > 0
}

type settling struct {
	board  *Board
	labels []Label
	price  [][]float64
	taken  []int
}

func (s *settling) choice(i int) *Choice { return &s.labels[i].Choices[s.taken[i]] }

// place gives label i the cheapest free choice; false if there is none.
func (s *settling) place(i int) bool {
	best, least := -1, math.Inf(1)
	for c := range s.labels[i].Choices {
		cost := s.price[i][c]
		if cost >= least {
			continue
		}
		if cost = s.among(i, c, cost, least); cost < least {
			best, least = c, cost
		}
	}
	s.taken[i] = best
	return best >= 0
}

// among adds to a cost what the labels already placed make of it.
func (s *settling) among(i, c int, cost, limit float64) float64 {
	mine := &s.labels[i].Choices[c]
	for j := range s.labels {
		if j == i || s.taken[j] < 0 {
			continue
		}
		if clash(mine, s.choice(j)) {
			return math.Inf(1)
		}
		if cross(mine, s.choice(j)) {
			cost += costCrossLeader
		}
		if cost >= limit {
			return cost
		}
	}
	return cost
}

func clash(a, b *Choice) bool {
	return a.Box.Grown(clear).Overlaps(b.Box) ||
		leaderHits(a.Leader, b.Box.Grown(clear/2)) || leaderHits(b.Leader, a.Box.Grown(clear/2))
}

func cross(a, b *Choice) bool {
	return len(a.Leader) == 2 && len(b.Leader) == 2 && Cross(a.Leader[0], a.Leader[1], b.Leader[0], b.Leader[1])
}

// dear is a cost from which it is worth to disturb another label: that of
// covering a cable, not that of standing some way off.
const dear = 20.0

// bump looks for a better place for a label that has none or a dear one, among
// those from which a single other label can move away. It takes the first that
// makes the two of them together cheaper.
func (s *settling) bump(i int) {
	const tries = 400 // cheapest choices looked at
	before := s.cost(i)
	if before < dear {
		return
	}
	was := s.taken[i]
	for _, c := range s.cheapest(i, tries, before) {
		s.taken[i] = c
		other := s.inTheWay(i)
		if other < 0 {
			continue
		}
		s.taken[i] = was
		old, oldCost := s.taken[other], before+s.cost(other)
		s.taken[i], s.taken[other] = c, -1
		if s.place(other) && s.cost(i)+s.cost(other) < oldCost-1e-9 {
			return
		}
		s.taken[i], s.taken[other] = was, old
	}
	s.taken[i] = was
}

// cost gives what the place of a label costs among the others, infinite where
// it has none.
func (s *settling) cost(i int) float64 {
	if s.taken[i] < 0 {
		return math.Inf(1)
	}
	return s.among(i, s.taken[i], s.price[i][s.taken[i]], math.Inf(1))
}

// cheapest lists the choices of a label below a limit, cheapest first.
func (s *settling) cheapest(i, most int, limit float64) []int {
	price := s.price[i]
	var order []int
	for c, p := range price {
		if p < limit {
			order = append(order, c)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(price[a], price[b]) })
	return order[:min(most, len(order))]
}

// inTheWay gives the only label that label i collides with; -1 where there is
// none or more than one.
func (s *settling) inTheWay(i int) int {
	other := -1
	for j := range s.labels {
		if j == i || s.taken[j] < 0 || !clash(s.choice(i), s.choice(j)) {
			continue
		}
		if other >= 0 {
			return -1
		}
		other = j
	}
	return other
}

// Beside gives choices for a label of w by h round a point: in sixteen
// directions, from the distance near on outward up to far. A label that does
// not stand close by gets a leader, which ends at the distance tip from the
// point.
func Beside(at Point, w, h, tip, near, far float64) []Choice {
	const directions, close = 16, 2.2
	var list []Choice
	for d := near; d <= far; d += max(1.2, (d-near)/3) {
		for k := range directions {
			a := 2 * math.Pi * float64(k) / directions
			u := Point{math.Cos(a), math.Sin(a)}
			centre := Point{
				at.X + float64(d*u.X) + float64(w/2*max(-1, min(1, 1.6*u.X))),
				at.Y + float64(d*u.Y) + float64(h/2*max(-1, min(1, 1.6*u.Y))),
			}
			c := Choice{Box: Around(centre, w, h), Cost: d - near}
			if d > near+close {
				c.Cost += 1.5
				c.Leader = leader(c.Box, at, tip)
			}
			list = append(list, c)
		}
	}
	return list
}

// leader goes from the box to the point, but for the last stretch of it.
func leader(b Box, at Point, tip float64) []Point {
	const gap = 0.5
	from := b.Grown(gap).Nearest(at)
	way := at.Minus(from)
	if way.Length() <= tip {
		return nil
	}
	return []Point{from, at.Minus(way.Unit().Times(tip))}
}
