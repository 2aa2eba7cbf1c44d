package rules

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/protect"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

var saves = Rule{
	ID:       "PRO-08",
	Title:    "A device may open too late to save a conductor in a dead short",
	Text:     "What the device lets through, from the least to the most fault current, is held against what the copper and its insulation bear: I²t against k²S² up to 5 s, the heat balance above. Let-through figures of a class are from memory and show nothing for sure: such a conductor is listed as not checked. Taps are left out: what saves them is their shortness, PRO-03.",
	Source:   source.Ref{Title: "IEC 60364-4-43", At: "434.5.2, t = (k·S/I)² up to 5 s", Edition: "not at hand", How: source.Memory},
	Severity: finding.Fault,
	Failing: dcWith("class: class_t, rating: 200 A", "class: bolt_51, rating: 400 A",
		"{id: W6, from: P1.2, to: I1.a, size: 2/0 AWG", "{id: W6, from: P1.2, to: I1.a, size: 8 AWG"),
	// So weak that the copper bears a dead short for good.
	Passing: dcWith("fault_resistance: 5 mΩ", "fault_resistance: 100 mΩ",
		"from: P1.3, to: D1.a, size: 12 AWG", "from: P1.3, to: D1.a, size: 2/0 AWG", "from: D1.b, to: L1.a, size: 12 AWG", "from: D1.b, to: L1.a, size: 2/0 AWG",
		"from: P1.4, to: F2.a, size: 6 AWG", "from: P1.4, to: F2.a, size: 2/0 AWG", "from: F2.b, to: C1.a, size: 6 AWG", "from: F2.b, to: C1.a, size: 2/0 AWG"),
	check: checkSaves,
}

// pair is a device with one conductor that it saves.
type pair struct {
	guard *report.Guard
	line  *report.Line
}

// pairs lists each device with each conductor it stands before, seen from a
// battery; conductors with a smaller device of their own close by are left out.
func pairs(r *report.Report) []pair {
	var all []pair
	for i := range r.Side.Guards {
		g := &r.Side.Guards[i]
		if partOf(r, g).Rated.Current == 0 {
			continue
		}
		for n := range r.Side.Lines {
			if l := &r.Side.Lines[n]; live(l) && fedThrough(l, g.Part) && !tapOf(r, l, g.Part) {
				all = append(all, pair{g, l})
			}
		}
	}
	return all
}

// fedThrough reports whether a battery feeds a conductor with a device as the
// nearest.
func fedThrough(l *report.Line, id string) bool {
	return slices.ContainsFunc(l.Ways, func(w report.FeedWay) bool { return w.Battery && w.Device == id })
}

// tapOf reports whether a conductor is a tap under a device too large for it.
func tapOf(r *report.Report, l *report.Line, id string) bool {
	s := sizeLimitOf(r, l)
	if s.why != "" || over(float64(r.Bank.Part(id).Rated.Current), s.basis.V*math.Max(float64(s.rule.Ratio), float64(s.rule.Next))) {
		_, kept := tapped(r, l, &s)
		return s.why == "" && kept
	}
	return false
}

func bears(l *report.Line) protect.Cable {
	c := protect.Cable{Name: l.Cable, Holds: l.Holds}
	if l.Withstand > 0 {
		c.Withstand = source.Look(l.Withstand, l.WithstandRef)
	}
	return c
}

// prospective is the span of a dead short on a conductor: the most just behind
// the device, the least at the conductor's far end.
func prospective(g *report.Guard, l *report.Line) protect.Prospective {
	p := protect.Prospective{Least: l.Least, Most: g.Most}
	if p.Least > p.Most {
		p.Least = p.Most // assumed for a weaker bank, yet above: the most bounds it
	}
	return p
}

// memoryOf gives a ground that is from memory, else the first.
func memoryOf(o *protect.Outcome) source.Ref {
	for _, ref := range o.Grounds {
		if ref.How == source.Memory {
			return ref
		}
	}
	return source.Ref{}
}

func checkSaves(r *report.Report, say *speaker) {
	var open []string
	for _, s := range pairs(r) {
		f := protect.Saves(device(r, s.guard), bears(s.line), prospective(s.guard, s.line)).Fault
		switch {
		case f.Verdict == protect.Outside:
			say.hold(finding.Fault, s.line.Cable, fmt.Sprintf("cable %s behind %s: %s", s.line.Cable, s.guard.Part, f.Reasons[0]),
				"take a faster or smaller device, or a larger conductor", number{value: f.Device, limit: f.Cable, unit: "s"}, memoryOf(&f.Outcome))
		case f.Verdict == protect.NotChecked, f.Memory && over(s.guard.Most, s.line.Physics):
			if !slices.Contains(open, s.guard.Part) {
				open = append(open, s.guard.Part)
			}
		}
	}
	for _, id := range open {
		say.pass(id, "what it lets through in a dead short is not told, or from memory alone: hold the I²t of its own sheet against the withstand of the cables behind it")
	}
}

var overload = Rule{
	ID:       "PRO-09",
	Title:    "An overload may warm a conductor for hours without opening the device",
	Text:     "Rules allow a device of 150 % of the conductor's amperes, and a device need not open up to about 1.35 times its rating. Between what the copper bears and that, too many loads together can keep a cable over its temperature for hours. Where a device's times are not told, one and a half times its rating counts as the most that it carries for hours: common practice, no source.",
	Source:   source.Ref{Title: "heat balance of the cable against the current at which the device need not open", At: "doc/methods.md", Edition: "this version", How: source.Derived},
	Severity: finding.Warning,
	Failing:  dcWith("class: class_t, rating: 200 A", "class: class_t, rating: 450 A"),
	Passing:  dcJob,
	check:    checkOverload,
}

// untoldHours is the multiple of its rating that a device of unknown times is
// taken to carry for hours at most. Common practice, no source.
const untoldHours = 1.5

// checkOverload speaks once of a cable, of the device that may carry the most.
func checkOverload(r *report.Report, say *speaker) {
	most := map[string]float64{}
	worst := map[string]pair{}
	var order []string
	for _, one := range pairs(r) {
		l, g := one.line, one.guard
		top := math.Min(staysClosed(device(r, g))*float64(partOf(r, g).Rated.Current), g.Most)
		if l.Holds == nil || math.IsNaN(l.Physics) || math.IsNaN(top) {
			say.pass(l.Cable, fmt.Sprintf("how long it bears an overload that %s carries is not known", g.Part))
			continue
		}
		if _, ok := worst[l.Cable]; !ok {
			order = append(order, l.Cable)
		}
		if top > most[l.Cable] {
			most[l.Cable], worst[l.Cable] = top, one
		}
	}
	for _, id := range order {
		l, g, top := worst[id].line, worst[id].guard, most[id]
		if g != nil && over(top, l.Physics) {
			say.hold(finding.Warning, l.Cable, fmt.Sprintf("%s of %s may carry %s for hours; cable %s bears %s for good and passes its temperature after %s%s", g.Part, amps(float64(partOf(r, g).Rated.Current)), amps(top), l.Cable, amps(l.Physics),
				quantity.Format(quantity.Duration(l.Holds(top)), 2), assumedWords(l.Assumed)),
				"take a smaller device or a larger conductor, or keep the loads below that", number{value: top, limit: l.Physics, unit: "A"}, bandRef(device(r, g)))
		}
	}
}

// staysClosed gives the multiple of its rating from which a device is sure to
// open some time.
func staysClosed(d protect.Device) float64 {
	for _, p := range d.Band.Points() {
		if !math.IsNaN(p.Max) {
			return p.Multiple
		}
	}
	return untoldHours
}
