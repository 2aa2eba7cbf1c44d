package rules

import (
	"math"
	"slices"

	"bankwright/internal/engine/protect"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/rating"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

// beyond is what copper joins to an end of a cable, up to protective devices.
type beyond struct {
	batteries, guards, devices []string
	takeoff                    bool
	ends                       map[bank.End]bool
}

// look walks from an end through cables and parts, but neither through one
// cable (−1: none left out), nor through a fuse, a breaker or a device.
func look(b *bank.Bank, from bank.End, without int) beyond {
	return lookPast(b, from, without, "")
}

// lookPast is look that does not enter one place either, "" none.
func lookPast(b *bank.Bank, from bank.End, without int, wall string) beyond {
	f := beyond{ends: map[bank.End]bool{from: true}}
	list := []bank.End{from}
	reach := func(e bank.End) {
		if !f.ends[e] && placeOf(b, e) != wall {
			f.ends[e] = true
			list = append(list, e)
		}
	}
	for n := 0; n < len(list); n++ {
		e := list[n]
		f.note(b, e)
		for i := range b.Cables {
			c := &b.Cables[i]
			switch {
			case i == without:
			case c.From == e:
				reach(c.To)
			case c.To == e:
				reach(c.From)
			}
		}
		if p := b.Part(e.ID); p != nil && !p.Kind.Protects() {
			for _, other := range p.Joined() {
				reach(other)
			}
		}
		for i := range b.Parts {
			if p := &b.Parts[i]; p.On == e { // it sits on this end
				f.note(b, bank.End{ID: p.ID, Place: "b"})
				if !p.Kind.Protects() {
					reach(p.Ends()[1])
				}
			}
		}
	}
	return f
}

func (f *beyond) note(b *bank.Bank, e bank.End) {
	add := func(list *[]string) {
		if !slices.Contains(*list, e.ID) {
			*list = append(*list, e.ID)
		}
	}
	f.takeoff = f.takeoff || e == b.Takeoff.Positive
	p := b.Part(e.ID)
	switch {
	case b.Battery(e.ID) != nil:
		add(&f.batteries)
	case p == nil:
	case p.Kind.Protects():
		add(&f.guards)
	case p.Kind.Device():
		add(&f.devices)
	}
}

// bareBattery reports whether a battery reaches a live conductor through no
// protective device, and whether a switch stands on that way.
func bareBattery(l *report.Line) (source string, switched, bare bool) {
	if !live(l) {
		return "", false, false
	}
	for _, w := range l.Ways {
		if w.Battery && w.Device == "" {
			return w.Source, w.Switched, true
		}
	}
	return "", false, false
}

// bareKind is what a conductor that no device saves from some battery is.
type bareKind int

const (
	bareNot  bareKind = iota
	bareLink          // it joins posts of two batteries
	bareLead          // it leads on to a device
	bareOpen          // it leads to the take-off, and the job tells nothing of what hangs there
	bareDead          // nothing protects it or what it feeds
)

// bareOf sorts a conductor; far is what lies on its side away from batteries.
func bareOf(r *report.Report, l *report.Line) (kind bareKind, far beyond) {
	if _, _, bare := bareBattery(l); !bare {
		return bareNot, far
	}
	c := cableOf(r, l)
	if joinsBatteries(r.Bank, c, l.Index) {
		return bareLink, look(r.Bank, c.To, l.Index)
	}
	far = farSide(r.Bank, c, l.Index)
	switch {
	case len(far.guards) > 0:
		return bareLead, far
	case far.takeoff && len(far.devices) == 0 && !anyDraws(r.Bank):
		return bareOpen, far
	}
	return bareDead, far
}

func anyDraws(b *bank.Bank) bool {
	return slices.ContainsFunc(b.Parts, func(p bank.Part) bool { return p.Kind.Draws() })
}

// sideOf tells what a device stands in, by the cables at its ends; "" none.
func sideOf(r *report.Report, id string) string {
	for i := range r.Side.Lines {
		if c := cableOf(r, &r.Side.Lines[i]); c.From.ID == id || c.To.ID == id {
			return r.Side.Lines[i].Side
		}
	}
	return ""
}

func fact(yes bool) protect.Fact {
	if yes {
		return protect.Yes
	}
	return protect.No
}

// tapTo gives the device that stands at the far side of an end with nothing
// branching off on the way, and the length of cable from the end to it.
func tapTo(b *bank.Bank, from int, e bank.End) (guard *bank.Part, more float64) {
	last := from
	for range b.Cables {
		p := b.Part(e.ID)
		switch {
		case p == nil || p.Kind == bank.Bar || p.Kind.Device():
			return nil, math.NaN()
		case p.Kind.Protects():
			return p, more
		}
		next := -1
		for _, out := range p.Joined() {
			for i := range b.Cables {
				c := &b.Cables[i]
				if i == last || c.From != out && c.To != out {
					continue
				}
				if next >= 0 {
					return nil, math.NaN() // it branches
				}
				next, e = i, c.To
				if c.To == out {
					e = c.From
				}
			}
		}
		if next < 0 {
			return nil, math.NaN()
		}
		more += lengthOf(&b.Cables[next])
		last = next
	}
	return nil, math.NaN()
}

func lengthOf(c *bank.Cable) float64 {
	if !c.Length.Known() {
		return math.NaN()
	}
	return float64(c.Length.V)
}

// reachRules are the length rules of the job's book.
func reachRules(r *report.Report) []rating.Reach {
	var all []rating.Reach
	for _, one := range catalog.Default().Reaches() {
		if one.Regime == regime(r) {
			all = append(all, one)
		}
	}
	return all
}

// bareWay is the shortest way from a battery to an end without a device.
type bareWay struct {
	length             float64
	sheathed, switched bool
}

// bareTo finds it; ok is false where no battery reaches the end so. A way of
// unknown length counts only where there is no other.
func bareTo(b *bank.Bank, to bank.End) (way bareWay, ok bool) {
	best := map[bank.End]bareWay{to: {sheathed: true}}
	list := []bank.End{to}
	step := func(e bank.End, w bareWay) {
		if old, known := best[e]; !known || w.length < old.length || math.IsNaN(old.length) && !math.IsNaN(w.length) {
			best[e] = w
			list = append(list, e)
		}
	}
	for n := 0; n < len(list); n++ {
		e := list[n]
		at := best[e]
		if e.IsPost() && b.Battery(e.ID) != nil && (!ok || at.length < way.length || math.IsNaN(way.length)) {
			way, ok = at, true
		}
		for i := range b.Cables {
			c := &b.Cables[i]
			w := bareWay{at.length + lengthOf(c), at.sheathed && c.Wrap.Sheath, at.switched}
			switch e {
			case c.From:
				step(c.To, w)
			case c.To:
				step(c.From, w)
			}
		}
		if p := b.Part(e.ID); p != nil && !p.Kind.Protects() {
			for _, other := range p.Joined() {
				if other != e {
					step(other, bareWay{at.length, at.sheathed, at.switched || p.Kind.Opens()})
				}
			}
		}
	}
	return way, ok
}
