package rules

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/source"
	"bankwright/internal/engine/protect"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

// feeders lists the devices through which batteries feed a conductor at one of
// its ends, none between, or which save a return: side by side, each has a part
// of its current.
func feeders(r *report.Report, l *report.Line, end int) []*report.Guard {
	var all []*report.Guard
	for i := range r.Side.Guards {
		g := &r.Side.Guards[i]
		if slices.ContainsFunc(fedShorts(g), func(f report.FedShort) bool { return f.Cable == l.Cable && f.End == end }) {
			all = append(all, g)
		}
	}
	return all
}

// inLine gives the device that all current of a conductor goes through beyond
// the end away from where it is fed, nil where it branches or has none. Only a
// short on the conductor itself goes past it.
func inLine(r *report.Report, l *report.Line, fed int) *report.Guard {
	c := cableOf(r, l)
	far := c.To
	if fed == 1 {
		far = c.From
	}
	p, _ := tapTo(r.Bank, l.Index, far)
	for i := range r.Side.Guards {
		if p != nil && r.Side.Guards[i].Part == p.ID {
			return &r.Side.Guards[i]
		}
	}
	return nil
}

// carrier is what may come through devices side by side, A.
type carrier struct {
	guards []*report.Guard
	amps   float64
}

func (c *carrier) names() []string {
	var all []string
	for _, g := range c.guards {
		all = append(all, g.Part)
	}
	return all
}

// words name the devices with their ratings.
func (c *carrier) words(r *report.Report) string {
	if len(c.guards) == 1 {
		return fmt.Sprintf("%s of %s", c.guards[0].Part, amps(float64(partOf(r, c.guards[0]).Rated.Current)))
	}
	return fmt.Sprintf("%s side by side, %s together,", listed(c.names()), amps(c.rated(r)))
}

// rated is the sum of the ratings, NaN where one is not known.
func (c *carrier) rated(r *report.Report) float64 {
	sum := 0.0
	for _, g := range c.guards {
		one := float64(partOf(r, g).Rated.Current)
		if one == 0 {
			return math.NaN()
		}
		sum += one
	}
	return sum
}

// forHours is what devices may let pass for hours: all of those side by side,
// or one in line that opens before.
func forHours(r *report.Report, l *report.Line, fed int) (carrier, bool) {
	stays := func(g *report.Guard) float64 {
		return staysClosed(device(r, g)) * float64(partOf(r, g).Rated.Current)
	}
	c := carrier{guards: feeders(r, l, fed)}
	if len(c.guards) == 0 || math.IsNaN(c.rated(r)) {
		return c, false
	}
	for _, g := range c.guards {
		c.amps += stays(g)
	}
	if g := inLine(r, l, fed); g != nil && stays(g) > 0 && stays(g) < c.amps {
		c = carrier{[]*report.Guard{g}, stays(g)}
	}
	if most := mostThrough(c.guards, l); most < c.amps {
		c.amps = most
	}
	return c, true
}

// mostThrough is the strongest dead short of a conductor that the devices feed,
// NaN not known.
func mostThrough(guards []*report.Guard, l *report.Line) float64 {
	most := math.NaN()
	for _, g := range guards {
		for _, f := range fedShorts(g) {
			if f.Cable == l.Cable && !(f.Most.Cable <= most) {
				most = f.Most.Cable
			}
		}
	}
	return most
}

// checkTogether holds devices side by side against what they feed together,
// where each alone is small enough.
func checkTogether(r *report.Report, say *speaker) {
	var order []string
	worst := map[string]*tooLarge{}
	sets := map[string]carrier{}
	cables := map[string][]string{}
	for i := range r.Side.Lines {
		l := &r.Side.Lines[i]
		for fed := range 2 {
			c := carrier{guards: feeders(r, l, fed)}
			if len(c.guards) < 2 || !live(l) {
				continue
			}
			one := together(r, l, fed, c.rated(r))
			if one == nil {
				continue
			}
			key := strings.Join(c.names(), " ")
			if sets[key] = c; worst[key] == nil {
				order = append(order, key)
			}
			cables[key] = append(cables[key], l.Cable)
			if worst[key] == nil || one.got.Bound < worst[key].got.Bound {
				worst[key] = one
			}
		}
	}
	for _, key := range order {
		t, c := worst[key], sets[key]
		words := fmt.Sprintf("%s are too much for cable %s: its %s are %s, the limit %s", strings.TrimSuffix(c.words(r), ","), t.line.Cable, t.limit.words(), amps(t.limit.basis.V), amps(t.got.Bound))
		if len(cables[key]) > 1 {
			words += fmt.Sprintf(" (too much for %s)", listed(cables[key]))
		}
		say.hold(finding.Warning, c.guards[0].Part, words+"; the rule speaks of one device", "put a main device behind the point where they meet, or take larger conductors from there on",
			number{value: c.rated(r), limit: t.got.Bound, unit: "A"}, source.Ref{})
	}
}

// together gives what is amiss between ratings side by side and a conductor,
// nil if nothing: also where one of the devices is too large by itself, which
// is said of it, or a device in line is small enough.
func together(r *report.Report, l *report.Line, fed int, rated float64) *tooLarge {
	s := sizeLimitOf(r, l)
	if s.why != "" || math.IsNaN(rated) {
		return nil
	}
	fits := func(v float64) protect.SizeResult {
		return protect.Allowed(known(v), s.basis, s.rule, catalog.Default().StandardRatings())
	}
	got := fits(rated)
	if !over(rated, got.Bound) {
		return nil
	}
	for _, g := range feeders(r, l, fed) {
		if fits(float64(partOf(r, g).Rated.Current)).Verdict != protect.Within {
			return nil
		}
	}
	if g := inLine(r, l, fed); g != nil && fits(float64(partOf(r, g).Rated.Current)).Verdict == protect.Within {
		return nil
	}
	return &tooLarge{line: l, limit: s, got: got}
}

// ownOf gives the fuse that a battery has for itself: the only device that its
// positive post leads to, with nothing else on the way; "" where it has none.
func ownOf(r *report.Report, b *bank.Battery) (own string, around beyond) {
	around = look(r.Bank, b.Plus(), -1)
	for _, id := range around.batteries {
		if id != b.ID && around.ends[r.Bank.Battery(id).Plus()] {
			return "", around
		}
	}
	if len(around.guards) == 1 && len(around.devices) == 0 && !around.takeoff {
		return around.guards[0], around
	}
	return "", around
}
