package plan

import (
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// net tells which ends hang together through cables and parts, batteries
// left out.
type net struct {
	bank *bank.Bank
	root map[bank.End]bank.End
}

func newNet(b *bank.Bank) net {
	n := net{b, map[bank.End]bank.End{}}
	for i := range b.Parts {
		ends := b.Parts[i].Joined()
		for k := 1; k < len(ends); k++ {
			n.join(ends[k-1], ends[k])
		}
	}
	for i := range b.Cables {
		n.join(b.Cables[i].From, b.Cables[i].To)
	}
	return n
}

func (n net) find(e bank.End) bank.End {
	for {
		up, ok := n.root[e]
		if !ok || up == e {
			return e
		}
		e = up
	}
}

func (n net) join(a, b bank.End) {
	if a, b = n.find(a), n.find(b); a != b {
		n.root[b] = a
	}
}

// kind tells what the stretch an end lies on is: the take-off decides, else
// the posts on it, else nothing is known and it counts as between.
func (n net) kind(e bank.End) kind {
	mine := n.find(e)
	plus := !n.bank.Takeoff.Positive.IsZero() && n.find(n.bank.Takeoff.Positive) == mine
	minus := !n.bank.Takeoff.Negative.IsZero() && n.find(n.bank.Takeoff.Negative) == mine
	if plus == minus {
		plus, minus = false, false
		for i := range n.bank.Batteries {
			b := &n.bank.Batteries[i]
			plus = plus || n.find(b.Plus()) == mine
			minus = minus || n.find(b.Minus()) == mine
		}
	}
	switch {
	case plus && !minus:
		return positive
	case minus && !plus:
		return negative
	}
	return between
}

// wiring takes the cables of a wiring, and of the job's own cables those that
// join batteries to strings.
func (sc *scene) wiring(opt Options) {
	w := opt.Wiring
	if !w.Takeoff.Positive.IsZero() {
		sc.takeoff = w.Takeoff
	}
	for i := range sc.bank.Cables {
		if c := &sc.bank.Cables[i]; sc.net.kind(c.From) == between {
			sc.runs = append(sc.runs, sc.link(c, opt))
		}
	}
	sc.tree(opt, positive, w.Positive, sc.takeoff.Positive)
	sc.tree(opt, negative, w.Negative, sc.takeoff.Negative)
	sc.total = 0
	for _, i := range w.Currents {
		sc.total += i
	}
	if len(w.Currents) == 0 || !sc.live {
		sc.total, sc.live = nan, false
	}
}

// link makes a run of a cable that stays as it is. Its current is that of the
// string it lies in, from minus to plus.
func (sc *scene) link(c *bank.Cable, opt Options) run {
	r := sc.cable(c, nan)
	r.link = true
	k := stringOf(opt.Search.Strings, c.From.ID)
	if k < 0 || k != stringOf(opt.Search.Strings, c.To.ID) {
		return r
	}
	r.current = at(opt.Wiring.Currents, k)
	if c.From.Place == "-" {
		r.current = -r.current
	}
	return r
}

// tree makes a run of each edge of a rail. An edge carries what all strings
// beyond it carry together, towards the take-off on the positive rail and away
// from it on the negative.
func (sc *scene) tree(opt Options, k kind, edges [][2]bank.End, root bank.End) {
	beyond := map[bank.End]float64{}
	for i, s := range opt.Search.Strings {
		if k == positive {
			beyond[s.Positive] += at(opt.Wiring.Currents, i)
		} else {
			beyond[s.Negative] += at(opt.Wiring.Currents, i)
		}
	}
	left := make([]bool, len(edges)) // edges whose outer end is not known yet
	for i := range left {
		left[i] = true
	}
	current := make([]float64, len(edges))
	for range edges {
		i, leaf := outermost(edges, left, root)
		if i < 0 { // what is left is a ring, which no wiring of a search is
			break
		}
		left[i] = false
		inner := edges[i][0]
		if inner == leaf {
			inner = edges[i][1]
		}
		beyond[inner] += beyond[leaf]
		current[i] = beyond[leaf]
		if (edges[i][0] == leaf) != (k == positive) {
			current[i] = -current[i]
		}
	}
	for i, e := range edges {
		if left[i] || !sc.live {
			current[i] = nan
		}
		sc.runs = append(sc.runs, sc.edge(opt, k, e, current[i]))
	}
}

// outermost gives an edge with an end that no other edge still left has, and
// that end.
func outermost(edges [][2]bank.End, left []bool, root bank.End) (int, bank.End) {
	degree := map[bank.End]int{}
	for i, e := range edges {
		if left[i] {
			degree[e[0]]++
			degree[e[1]]++
		}
	}
	for i, e := range edges {
		for _, end := range e {
			if left[i] && degree[end] == 1 && end != root {
				return i, end
			}
		}
	}
	return -1, bank.End{}
}

// edge makes a run of one cable of a wiring.
func (sc *scene) edge(opt Options, k kind, e [2]bank.End, current float64) run {
	r := run{id: e[0].String() + "/" + e[1].String(), from: e[0], to: e[1], current: current, kind: k}
	for i := range opt.Search.Lengths {
		p := &opt.Search.Lengths[i]
		if p.Rail == k.String() && (samePair(p, e[0], e[1]) || samePair(p, e[1], e[0])) {
			r.points = p.Points
			r.about = ", " + sc.bank.Show.FormatLength(length(p.Length))
		}
	}
	return r
}

func samePair(p *report.PairLength, from, to bank.End) bool { return p.From == from && p.To == to }
