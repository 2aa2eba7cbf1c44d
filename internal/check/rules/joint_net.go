package rules

import (
	"strings"

	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// copper is what cables and parts join, switches counted as closed: nothing
// leads through a battery or a device.
type copper struct {
	hops map[bank.End][]hop
}

type hop struct {
	to  bank.End
	via string // the cable or part
}

// joined maps a bank without the cables and parts of some IDs; a frame part
// named there takes its cables with it.
func joined(b *bank.Bank, without ...string) *copper {
	out := map[string]bool{}
	for _, id := range without {
		out[id] = true
	}
	n := &copper{map[bank.End][]hop{}}
	add := func(x, y bank.End, via string) {
		n.hops[x] = append(n.hops[x], hop{y, via})
		n.hops[y] = append(n.hops[y], hop{x, via})
	}
	for i := range b.Cables {
		if c := &b.Cables[i]; !out[c.ID] && !isFrame(b, c.From, out) && !isFrame(b, c.To, out) {
			add(c.From, c.To, c.ID)
		}
	}
	for i := range b.Parts {
		p := &b.Parts[i]
		ends := p.Joined()
		for k := 1; k < len(ends) && !out[p.ID]; k++ {
			add(ends[k-1], ends[k], p.ID)
		}
	}
	return n
}

func isFrame(b *bank.Bank, e bank.End, out map[string]bool) bool {
	p := b.Part(e.ID)
	return p != nil && p.Kind == bank.Frame && out[e.ID]
}

// trail tells for each end that was reached from where it was.
type trail map[bank.End]hop

// reach follows the copper from some ends, nearest first.
func (n *copper) reach(from ...bank.End) trail {
	t := trail{}
	var list []bank.End
	for _, e := range from {
		if _, ok := t[e]; !ok {
			t[e] = hop{}
			list = append(list, e)
		}
	}
	for k := 0; k < len(list); k++ {
		for _, h := range n.hops[list[k]] {
			if _, ok := t[h.to]; !ok {
				t[h.to] = hop{list[k], h.via}
				list = append(list, h.to)
			}
		}
	}
	return t
}

// has reports whether an end was reached.
func (t trail) has(e bank.End) bool { _, ok := t[e]; return ok }

// way lists the cables and parts from an end back to where the trail began.
func (t trail) way(e bank.End) string {
	var ids []string
	for h, ok := t[e]; ok && h.via != ""; h, ok = t[h.to] {
		if n := len(ids); n == 0 || ids[n-1] != h.via {
			ids = append(ids, h.via)
		}
	}
	return strings.Join(ids, ", ")
}

// islands numbers the pieces of copper.
func (n *copper) islands(b *bank.Bank) map[bank.End]int {
	at := map[bank.End]int{}
	count := 0
	for _, e := range b.Ends() {
		if _, ok := at[e]; ok {
			continue
		}
		for one := range n.reach(e) {
			at[one] = count
		}
		count++
	}
	return at
}

// ladder is the batteries that lie between the two ends of the take-off, by how
// many stand below them in series. A battery that shares only the negative,
// such as a starter's, is not of it.
type ladder struct {
	rungs [][]*bank.Battery // the lowest first
	at    map[bank.End]int  // pieces of copper
}

// climb sorts a bank's batteries into rungs.
func climb(b *bank.Bank) *ladder {
	l := &ladder{at: joined(b).islands(b)}
	up := l.levels(b, b.Takeoff.Negative, true)
	down := l.levels(b, b.Takeoff.Positive, false)
	for i := range b.Batteries {
		one := &b.Batteries[i]
		level, below := up[l.at[one.Minus()]]
		_, above := down[l.at[one.Plus()]]
		if !below || !above || l.at[one.Minus()] == l.at[one.Plus()] {
			continue
		}
		for len(l.rungs) <= level {
			l.rungs = append(l.rungs, nil)
		}
		l.rungs[level] = append(l.rungs[level], one)
	}
	return l
}

// levels counts the batteries from an end to each piece of copper, all passed
// from minus to plus, or all the other way.
func (l *ladder) levels(b *bank.Bank, from bank.End, up bool) map[int]int {
	level := map[int]int{l.at[from]: 0}
	for changed := true; changed; {
		changed = false
		for i := range b.Batteries {
			x, y := l.at[b.Batteries[i].Minus()], l.at[b.Batteries[i].Plus()]
			if !up {
				x, y = y, x
			}
			n, ok := level[x]
			if old, known := level[y]; ok && (!known || n+1 < old) {
				level[y], changed = n+1, true
			}
		}
	}
	return level
}

// all lists the batteries of the ladder from below.
func (l *ladder) all() []*bank.Battery {
	var list []*bank.Battery
	for _, rung := range l.rungs {
		list = append(list, rung...)
	}
	return list
}

// foot lists the negative posts at the bottom of the ladder, the take-off's
// negative where there is none.
func (l *ladder) foot(b *bank.Bank) []bank.End {
	if len(l.rungs) == 0 {
		return []bank.End{b.Takeoff.Negative}
	}
	return posts(l.rungs[0], false)
}

// head lists the positive posts at its top.
func (l *ladder) head(b *bank.Bank) []bank.End {
	if len(l.rungs) == 0 {
		return []bank.End{b.Takeoff.Positive}
	}
	return posts(l.rungs[len(l.rungs)-1], true)
}

func posts(list []*bank.Battery, positive bool) []bank.End {
	var ends []bank.End
	for _, one := range list {
		if positive {
			ends = append(ends, one.Plus())
		} else {
			ends = append(ends, one.Minus())
		}
	}
	return ends
}

// kindsOf lists the IDs of the parts of a kind.
func kindsOf(b *bank.Bank, kind bank.PartKind) []string {
	var ids []string
	for i := range b.Parts {
		if b.Parts[i].Kind == kind {
			ids = append(ids, b.Parts[i].ID)
		}
	}
	return ids
}

// lugsAt lists by end the lines whose lugs sit there.
func lugsAt(r *report.Report) map[bank.End][]*report.Line {
	at := map[bank.End][]*report.Line{}
	for i := range r.Side.Lines {
		l := &r.Side.Lines[i]
		c := cableOf(r, l)
		at[c.From] = append(at[c.From], l)
		at[c.To] = append(at[c.To], l)
	}
	return at
}
