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
	Text:     "What the device lets through, from the least to the most fault current, is held against what the copper and its insulation bear: of the conductors that it feeds, and of the return that carries the whole current of what it feeds, in a short across the terminals there. I²t against k²S² up to 5 s, the heat balance above. k is the copper's and its insulation's, from the limit it is rated for up to the one it bears in a short. Of devices side by side each meets its share. Let-through figures of a class are from memory and show nothing for sure: such a device is listed as not checked until the job gives let_through and times of its own sheet. How long a conductor without any device bears a dead short stands with PRO-01. Taps are left out: what saves them is their shortness, PRO-03.",
	Source:   source.Ref{Title: "IEC 60364-4-43", At: "434.5.2, t = (k·S/I)² up to 5 s", Edition: "not at hand", How: source.Memory},
	Severity: finding.Fault,
	Failing: dcWith("class: class_t, rating: 200 A", "class: bolt_51, rating: 400 A",
		"{id: W6, from: P1.2, to: I1.a, size: 2/0 AWG", "{id: W6, from: P1.2, to: I1.a, size: 8 AWG"),
	// So weak that the copper bears a dead short for good.
	Passing: dcWith("fault_resistance: 5 mΩ", "fault_resistance: 100 mΩ",
		"from: P1.3, to: D1.a, size: 12 AWG", "from: P1.3, to: D1.a, size: 2/0 AWG", "from: D1.b, to: L1.a, size: 12 AWG", "from: D1.b, to: L1.a, size: 2/0 AWG", "from: L1.b, to: N1.3, size: 12 AWG", "from: L1.b, to: N1.3, size: 2/0 AWG", "from: C1.b, to: N1.4, size: 6 AWG", "from: C1.b, to: N1.4, size: 2/0 AWG",
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
			if l := &r.Side.Lines[n]; savedBy(r, l, g) {
				all = append(all, pair{g, l})
			}
		}
	}
	return all
}

// savedBy reports whether a device has to save a conductor: a live one that is
// no tap, or a return.
func savedBy(r *report.Report, l *report.Line, g *report.Guard) bool {
	return live(l) && fedThrough(l, g.Part) && !tapOf(r, l, g.Part) || returnOf(g, l) != nil
}

// fedThrough reports whether a battery feeds a conductor with a device as the
// nearest.
func fedThrough(l *report.Line, id string) bool {
	return slices.ContainsFunc(l.Ways, func(w report.FeedWay) bool { return w.Battery && w.Device == id })
}

// tapOf reports whether a conductor is a tap under a device too large for it.
// Where the book's table has no row, as for metric sizes, what its heat balance
// bears stands in.
func tapOf(r *report.Report, l *report.Line, id string) bool {
	s := sizeLimitOf(r, l)
	if s.why != "" {
		return false
	}
	if over(float64(r.Bank.Part(id).Rated.Current), s.basis.V*math.Max(float64(s.rule.Ratio), float64(s.rule.Next))) {
		_, kept := tapped(r, l, &s)
		return kept
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

// behindOf is a device as a conductor that it saves sees it: larger by as much
// as the conductor carries more, and the span of a dead short on the conductor,
// from the weakest at its far end to the strongest at its near one.
func behindOf(g *report.Guard, l *report.Line, d protect.Device) (protect.Device, protect.Prospective) {
	p := protect.Prospective{Least: l.Least, Most: g.Most}
	for _, f := range fedShorts(g) {
		by := f.Most.Cable / f.Most.Device
		if f.Cable != l.Cable || !(by > 0) {
			continue
		}
		d = scaled(d, by)
		p = protect.Prospective{Least: f.Least.Cable, Most: math.Max(f.Most.Cable, f.Near*by)}
		if math.IsNaN(p.Most) {
			p.Most = f.Most.Cable
		}
		break // what comes in at the other end has devices of its own
	}
	if p.Least > p.Most {
		p.Least = p.Most // assumed for a weaker bank, yet above: the most bounds it
	}
	return d, p
}

// pastWords tell that a conductor's lasting load alone takes it past what its
// insulation bears, "" where it does not.
func pastWords(r *report.Report, l *report.Line) string {
	if !(l.Warm >= float64(l.Insulation)) {
		return ""
	}
	return fmt.Sprintf("its lasting %s alone takes it past the %s that its insulation bears", amps(l.Steady.Amps), r.Bank.Show.FormatTemperature(l.Insulation))
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
	var told sameAgain
	for _, s := range outFirst(pairs(r)) {
		own := device(r, s.guard)
		d, short := behindOf(s.guard, s.line, own)
		f := protect.Saves(d, bears(s.line), short).Fault
		switch {
		case f.Verdict == protect.Outside:
			part := ""
			if d.Rating.V > own.Rating.V*1.01 {
				part = fmt.Sprintf(" (%s carries %.0f %% of that, the rest comes through others)", s.guard.Part, 100*own.Rating.V/d.Rating.V)
			}
			ref := source.Ref{} // the rule's: only the clause is from memory then
			if remembered(&d) {
				ref = memoryOf(&f.Outcome)
			}
			if told.again(r, say, s.guard, s.line) {
				continue
			}
			if words := pastWords(r, s.line); words != "" {
				say.hold(finding.Fault, s.line.Cable, fmt.Sprintf("cable %s%s behind %s: %s; nothing is left for a short", s.line.Cable, returnWords(s.guard, s.line), s.guard.Part, words),
					"take a larger conductor first, then a device that saves it", number{}, ref)
				continue
			}
			say.hold(finding.Fault, s.line.Cable, fmt.Sprintf("cable %s%s behind %s: %s%s", s.line.Cable, returnWords(s.guard, s.line), s.guard.Part, f.Reasons[0], part),
				"take a faster or smaller device, or a larger conductor", number{value: f.Device, limit: f.Cable, unit: "s"}, ref)
		case f.Verdict == protect.NotChecked, remembered(&d) && over(short.Most, s.line.Physics):
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
	Text:     "Rules allow a device of 150 % of the conductor's amperes, and a device need not open up to about 1.35 times its rating. Between what the copper bears and that, too many loads together can keep a cable over its temperature for hours. Devices side by side count together; a smaller one in line, through which all must go, counts alone. At higher currents the longest time that the device may take, where its own sheet tells it, is held against how long the conductor bears it: a note. Where a device's times are not told, one and a half times its rating counts as the most that it carries for hours: common practice, no source.",
	Source:   source.Ref{Title: "heat balance of the cable against the current at which the device need not open", At: "doc/methods.md", Edition: "this version", How: source.Derived},
	Severity: finding.Warning,
	Failing:  dcWith("class: class_t, rating: 200 A", "class: class_t, rating: 450 A"),
	Passing:  dcJob,
	check:    checkOverload,
}

// untoldHours is the multiple of its rating that a device of unknown times is
// taken to carry for hours at most. Common practice, no source.
const untoldHours = 1.5

// checkOverload speaks once of a cable, of the end where more comes in.
func checkOverload(r *report.Report, say *speaker) {
	var told sameAgain
	for _, l := range linesOutFirst(r) {
		var worst carrier
		for fed := range 2 {
			c, ok := forHours(r, l, fed)
			switch {
			case !ok || !held(r, l):
			case l.Holds == nil || math.IsNaN(l.Physics):
				say.pass(l.Cable, fmt.Sprintf("how long it bears an overload that %s carries is not known", listed(c.names())))
			case c.amps > worst.amps:
				worst = c
			}
		}
		if worst.guards == nil || !over(worst.amps, l.Physics) {
			slowOverload(r, say, l, &worst)
			continue
		}
		if told.again(r, say, worst.guards[0], l) {
			continue
		}
		after := "passes its temperature after " + quantity.Format(quantity.Duration(l.Holds(worst.amps)), 2)
		if words := pastWords(r, l); words != "" {
			after = words
		}
		say.hold(finding.Warning, l.Cable, fmt.Sprintf("%s may carry %s for hours; cable %s%s bears %s for good and %s%s", worst.words(r), amps(worst.amps), l.Cable, returnWords(worst.guards[0], l), amps(l.Physics), after, assumedWords(l.Assumed)),
			"take a smaller device or a larger conductor, or keep the loads below that", number{value: worst.amps, limit: l.Physics, unit: "A"}, bandRef(device(r, worst.guards[0])))
	}
}

// slowOverload speaks where a device that is sure to open some time takes longer
// than its conductor bears, at a current between an overload and a dead short.
func slowOverload(r *report.Report, say *speaker, l *report.Line, c *carrier) {
	if len(c.guards) != 1 || !fedThrough(l, c.guards[0].Part) && returnOf(c.guards[0], l) == nil {
		return
	}
	d, short := behindOf(c.guards[0], l, device(r, c.guards[0]))
	got := protect.Saves(d, bears(l), short).Overload
	if got.Verdict != protect.Outside || bandRef(d).How == source.Memory {
		return // the longest times of a class say little of the very device
	}
	say.hold(finding.Note, l.Cable, fmt.Sprintf("overload of cable %s behind %s: %s%s", l.Cable, c.guards[0].Part, got.Reasons[0], assumedWords(l.Assumed)),
		"look at the device's curve there: between the points of its sheet the longest time is taken straight; else take a smaller or faster device, or a larger conductor", number{value: got.Device, limit: got.Cable, unit: "s"}, bandRef(d))
}

// staysClosed gives the multiple of its rating from which a device is sure to
// open some time.
func staysClosed(d protect.Device) float64 {
	for _, p := range d.Band.Points() {
		if !math.IsNaN(p.Max) && d.Band.Refs()[0] == ownSheet {
			return math.Min(p.Multiple, untoldHours) // a sheet's first time may stand far above
		} else if !math.IsNaN(p.Max) {
			return p.Multiple
		}
	}
	return untoldHours
}
