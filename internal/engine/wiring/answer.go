package wiring

import (
	"math/big"
	"strings"
)

// answer fills in everything but the front.
func (s *search) answer() Answer {
	p, n := s.sides[0], s.sides[1]
	a := Answer{
		Space:        new(big.Int).Mul(p.space, n.space),
		Examined:     new(big.Int).Mul(big.NewInt(int64(p.list.len())), big.NewInt(int64(n.list.len()))),
		Exact:        p.whole && n.whole,
		Solved:       s.solved,
		PositiveUsed: p.use,
		NegativeUsed: n.use,
	}
	if p.bound || n.bound {
		a.SpaceNote = "an upper bound: trees that break the limit on cable ends are counted too"
	}
	if !a.Exact {
		a.Smaller = smaller(p, n, len(s.active))
	}
	return a
}

// smaller says what would bring the question within the budget.
func smaller(p, n *side, strings int) string {
	var ways []string
	limit := 0
	for _, s := range []*side{p, n} {
		if s.whole {
			continue
		}
		if s.rail.Lugs != 2 {
			limit++
		}
	}
	if limit > 0 {
		ways = append(ways, "a lower limit on cable ends at one node")
	}
	if strings > 2 {
		ways = append(ways, "fewer batteries in parallel")
	}
	if !p.whole && len(p.rail.Roots) > 1 || !n.whole && len(n.rail.Roots) > 1 {
		ways = append(ways, "one fixed take-off instead of any post")
	}
	if ways == nil {
		ways = []string{"a larger budget"}
	}
	return sentence(ways) + " would make it small enough to search whole."
}

// sentence joins ways as "A, b or c".
func sentence(ways []string) string {
	text := ways[len(ways)-1]
	if len(ways) > 1 {
		text = strings.Join(ways[:len(ways)-1], ", ") + " or " + text
	}
	return strings.ToUpper(text[:1]) + text[1:]
}
