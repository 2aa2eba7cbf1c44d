package rules

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/protect"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

var selective = Rule{
	ID:       "PRO-11",
	Title:    "A main device may open before the branch device",
	Text:     "Of two devices in series the one nearer to the fault should have opened before the other begins to, or all goes dark for one branch. Several that feed one, a fuse at each battery, carry a share each, as in a dead short. Devices that feed each other in a loop have no order. Where their times do not tell it, the main's rating should be at least twice the branch's: common practice, no source.",
	Source:   source.Ref{Title: "time-current bands of both devices; else main at least twice the branch", How: source.Practice},
	Severity: finding.Note,
	Failing:  dcWith("class: class_t, rating: 60 A", "class: class_t, rating: 150 A"),
	Passing:  dcJob,
	check:    checkSelective,
}

// twice is the least ratio of main to branch where no times tell. Common
// practice, no source.
const twice = 2.0

// checkSelective looks at each device with those that feed it with none
// between. Several of them, a fuse at each battery, stand side by side: each
// carries a share of what the one behind them does.
func checkSelective(r *report.Report, say *speaker) {
	ring := rings(r)
	said := map[int]bool{}
	for n := range r.Side.Guards {
		down := &r.Side.Guards[n]
		var ups []*report.Guard
		for i := range r.Side.Guards {
			up := &r.Side.Guards[i]
			switch {
			case i == n || partOf(r, up).Rated.Current == 0 || !follows(up, down):
			case ring[i] != 0 && ring[i] == ring[n]:
				if !said[ring[n]] {
					said[ring[n]] = true
					sayRing(r, say, ring, ring[n])
				}
			default:
				ups = append(ups, up)
			}
		}
		if partOf(r, down).Rated.Current > 0 {
			if up, by := firstToGo(r, ups, down); up != nil {
				inSeries(r, say, up, down, by, len(ups))
			}
		}
	}
}

// rings numbers the devices that feed each other in a circle, by device; 0 of
// one that stands in none.
func rings(r *report.Report) []int {
	n := len(r.Side.Guards)
	before := make([][]bool, n)
	for i := range before {
		before[i] = make([]bool, n)
		for k := range before[i] {
			before[i][k] = i != k && follows(&r.Side.Guards[i], &r.Side.Guards[k])
		}
	}
	for via := range n {
		for i := range n {
			for k := range n {
				before[i][k] = before[i][k] || before[i][via] && before[via][k]
			}
		}
	}
	ring := make([]int, n)
	for i := range n {
		for k := range i + 1 {
			if ring[i] == 0 && before[i][i] && before[i][k] && before[k][i] {
				ring[i] = k + 1 // of the first of them
			}
		}
	}
	return ring
}

func sayRing(r *report.Report, say *speaker, ring []int, which int) {
	var names []string
	for i := range ring {
		if ring[i] == which {
			names = append(names, r.Side.Guards[i].Part)
		}
	}
	say.pass(names[0], listed(names)+" stand in a loop: each is fed through the others, so which should open first cannot be told")
}

// firstToGo gives of the devices that feed one the one that is loaded most for
// its rating, and how many times its own current the one behind it carries.
func firstToGo(r *report.Report, ups []*report.Guard, down *report.Guard) (worst *report.Guard, by float64) {
	for _, up := range ups {
		one := timesOwn(r, up, down, float64(len(ups)))
		if worst == nil || float64(partOf(r, up).Rated.Current)*one < float64(partOf(r, worst).Rated.Current)*by*(1-1e-9) {
			worst, by = up, one
		}
	}
	return worst, by
}

// timesOwn gives what a device behind carries over what one that feeds it does,
// in a dead short on the conductor between them; the even share where that is
// not known.
func timesOwn(r *report.Report, up, down *report.Guard, even float64) float64 {
	if even == 1 {
		return 1
	}
	for _, f := range up.Fed {
		for i := range r.Side.Lines {
			l := &r.Side.Lines[i]
			c := cableOf(r, l)
			if by := f.Most.Cable / f.Most.Device; l.Cable == f.Cable && (c.From.ID == down.Part || c.To.ID == down.Part) && by > 0 {
				return by
			}
		}
	}
	return even
}

// inSeries holds a device against the one behind that carries so many times its
// current.
func inSeries(r *report.Report, say *speaker, up, down *report.Guard, by float64, beside int) {
	rated, branch := float64(partOf(r, up).Rated.Current), float64(partOf(r, down).Rated.Current)
	main := rated * by
	o := protect.Selective(scaled(device(r, up), by), device(r, down), down.Most)
	words := fmt.Sprintf("%s of %s", up.Part, amps(rated))
	if beside > 1 {
		words = fmt.Sprintf("%d devices side by side, the first to go %s with %.0f %% of the current,", beside, words, 100/by)
	}
	words += fmt.Sprintf(" before %s of %s", down.Part, amps(branch))
	switch {
	case o.Verdict == protect.Outside:
		say.hold(finding.Note, up.Part, words+": "+o.Reasons[0], "take a larger or slower main device, or a smaller or faster branch device", number{value: o.Upstream, limit: o.Downstream, unit: "s", least: true}, memoryOf(&o.Outcome))
	case o.Verdict == protect.NotChecked && main < twice*branch*(1-1e-9):
		say.hold(finding.Note, up.Part, words+": which opens first is not told, and the main is less than twice the branch", "compare the devices' own curves, or part their ratings more", number{value: main, limit: twice * branch, unit: "A", least: true}, source.Ref{})
	}
}

// follows reports whether a battery feeds the second device through the first,
// with none between.
func follows(up, down *report.Guard) bool {
	return !down.First && slices.Contains(down.After, up.Part)
}

var batteryFirst = Rule{
	ID:       "PRO-12",
	Title:    "The batteries' own protection opens before the main device",
	Text:     "A battery with electronics may cut off before the fuse opens: then the bank goes dark with the fuse whole. It is no ground for a fuse that cannot break the fault: what the electronics can break is seldom told. Each battery is taken to carry an even share; a fuse at one battery is held against that one's.",
	Source:   source.Ref{Title: "the trip of the batteries in the job against the device's times", How: source.Practice},
	Severity: finding.Note,
	Failing:  dcJob,
	Passing:  dcWith("trip: 200 A,", "trip: 200 A, trip_delay: 5 s,"),
	check:    checkBatteryFirst,
}

func checkBatteryFirst(r *report.Report, say *speaker) {
	trips, assumed := bankTrips(r)
	if len(trips) == 0 {
		return
	}
	said := map[string]bool{} // of fuses alike, one at each battery, the first speaks
	for i := range r.Side.Guards {
		g := &r.Side.Guards[i]
		p := partOf(r, g)
		rated := float64(p.Rated.Current)
		like := fmt.Sprint(p.Rated.Class, rated)
		if !g.First || rated == 0 || !(g.Most > rated) || said[like] {
			continue
		}
		at := trips
		if owner := ownBattery(r, g); owner != nil {
			at = []protect.Trip{{Current: source.Of(float64(owner.Model.Guard.Trip.V)), Delay: source.Of(float64(owner.Model.Guard.TripDelay.V))}}
		}
		race := protect.FirstToOpen(at, device(r, g), rated, g.Most)
		if words := raceWords(race, g.Part, rated, assumed); words != "" {
			said[like] = true
			say.find(g.Part, words, "count on the bank going dark then; keep the fuse as what can break a dead short")
		}
	}
}

// ownBattery gives the battery that a fuse is the own one of: the only one that
// reaches one of its sides through no device; nil where it carries several.
func ownBattery(r *report.Report, g *report.Guard) *bank.Battery {
	for i := range r.Side.Lines {
		l := &r.Side.Lines[i]
		if c := cableOf(r, l); c.From.ID != g.Part && c.To.ID != g.Part {
			continue
		}
		var bare []string
		for _, w := range l.Ways {
			if w.Battery && w.Device == "" {
				bare = append(bare, strings.TrimRight(w.Source, "+-"))
			}
		}
		if len(bare) == 1 {
			if b := r.Bank.Battery(bare[0]); b != nil && b.Model.Guard.Electronic && b.Model.Guard.Trip.Known() {
				return b
			}
		}
	}
	return nil
}

// raceWords says where the battery opens first, "" where it never does.
func raceWords(race protect.Race, id string, rated float64, assumed bool) string {
	for _, s := range race.Spans {
		may := "may open"
		switch s.First {
		case protect.BatteryFirst:
			may = "open"
		case protect.EitherFirst:
		default:
			continue
		}
		words := fmt.Sprintf("from %s to %s the batteries %s before %s of %s", amps(s.From), amps(s.To), may, id, amps(rated))
		if assumed {
			words += " (that they open at once is assumed)"
		}
		return words
	}
	return ""
}

// bankTrips gives the trip of the batteries for the current of the whole bank,
// by even shares; assumed where a delay was.
func bankTrips(r *report.Report) (trips []protect.Trip, assumed bool) {
	side := float64(parallelStrings(r))
	least := math.Inf(1)
	var delay source.Value[quantity.Duration]
	for i := range r.Bank.Batteries {
		b := &r.Bank.Batteries[i]
		if t := b.Model.Guard.Trip; b.Model.Guard.Electronic && t.Known() && t.V > 0 && float64(t.V) < least {
			least, delay = float64(t.V), b.Model.Guard.TripDelay
		}
	}
	if math.IsInf(least, 1) {
		return nil, false
	}
	return []protect.Trip{{Current: source.Of(least * side), Delay: source.Of(float64(delay.V))}}, delay.Origin != source.Given
}

// parallelStrings counts the batteries that stand side by side: all of them
// over how many make the nominal voltage.
func parallelStrings(r *report.Report) int {
	if len(r.Bank.Batteries) == 0 || !(r.Bank.Batteries[0].Nominal > 0) {
		return 1
	}
	series := math.Max(1, math.Round(r.Side.Nominal/float64(r.Bank.Batteries[0].Nominal)))
	return max(1, int(float64(len(r.Bank.Batteries))/series))
}

var sideBySide = Rule{
	ID:       "PRO-13",
	Title:    "Leads side by side share unevenly",
	Text:     "Leads between the same two places share the current as the inverse of their resistances, not by their size. Each must hold for its own share, by the book's table or, where that has no row, by its heat balance. When one device opens the others take what it carried; for ships devices side by side are forbidden, 46 CFR 111.50-3(d).",
	Source:   source.Ref{Title: "46 CFR 111.50-3", At: "(d)", Edition: "not stated", How: source.Read},
	Severity: finding.Warning,
	Failing: dcWith("  - {id: H1, kind: frame}", "  - {id: F3, kind: fuse, class: class_t, rating: 40 A, interrupt: 20 kA, volts: 125 V, resistance: 0.1 mΩ}\n  - {id: H1, kind: frame}",
		"support: 12 in}\ntakeoff:", "support: 12 in}\n  - {id: W17, from: B1+, to: F3.a, size: 2/0 AWG, length: 6 in, insulation: 105 °C, support: 12 in}\n  - {id: W18, from: F3.b, to: Q1.a, size: 2/0 AWG, length: 12 in, insulation: 105 °C, support: 12 in}\ntakeoff:"),
	Passing: dcJob,
	check:   checkSideBySide,
}

// lead is a cable, or a device with the cables at its two ends.
type lead struct {
	name   string
	a, b   string // places it joins, in order
	lines  []*report.Line
	device bool
	rated  float64 // A of its device; 0 none or not known
	ohms   float64
	amps   float64 // steady
}

// leadsOf lists the live cables between two places and the devices with the one
// cable at each of their ends.
func leadsOf(r *report.Report) []lead {
	var all []lead
	for i := range r.Side.Lines {
		l := &r.Side.Lines[i]
		c := cableOf(r, l)
		if live(l) && !atGuard(r.Bank, c.From) && !atGuard(r.Bank, c.To) {
			all = append(all, ordered(lead{name: l.Cable, a: placeOf(r.Bank, c.From), b: placeOf(r.Bank, c.To), lines: []*report.Line{l},
				ohms: float64(c.Resistance(restTemperature)), amps: l.Steady.Amps}))
		}
	}
	for i := range r.Side.Guards {
		if one, ok := leadThrough(r, &r.Side.Guards[i]); ok {
			all = append(all, ordered(one))
		}
	}
	return all
}

// restTemperature is of all cables alike, K, where only their shares count.
const restTemperature = 293.15

// leadThrough is a device with its two cables; ok is false where an end has
// none or several, or a cable is not live.
func leadThrough(r *report.Report, g *report.Guard) (lead, bool) {
	p := partOf(r, g)
	one := lead{name: g.Part, device: true, rated: float64(p.Rated.Current), amps: g.Steady.Amps, ohms: float64(p.Resistance.V)}
	var places []string
	for _, e := range p.Ends() {
		for i := range r.Side.Lines {
			l := &r.Side.Lines[i]
			c := cableOf(r, l)
			other := c.To
			switch {
			case c.To == e:
				other = c.From
			case c.From != e:
				continue
			}
			if !live(l) {
				return one, false
			}
			places = append(places, placeOf(r.Bank, other))
			one.lines = append(one.lines, l)
			one.ohms += float64(c.Resistance(restTemperature))
		}
	}
	if len(places) != 2 {
		return one, false
	}
	one.a, one.b = places[0], places[1]
	return one, true
}

func ordered(l lead) lead {
	if l.a > l.b {
		l.a, l.b = l.b, l.a
	}
	return l
}

func atGuard(b *bank.Bank, e bank.End) bool {
	p := b.Part(e.ID)
	return p != nil && p.Kind.Protects()
}

// placeOf names where an end is: a bar is one place, whatever the stud.
func placeOf(b *bank.Bank, e bank.End) string {
	if p := b.Part(e.ID); p != nil && p.Kind == bank.Bar {
		return e.ID
	}
	return e.String()
}

func checkSideBySide(r *report.Report, say *speaker) {
	leads := leadsOf(r)
	done := map[string]bool{}
	for _, one := range leads {
		key := one.a + " " + one.b
		var group []lead
		for _, other := range leads {
			if other.a == one.a && other.b == one.b {
				group = append(group, other)
			}
		}
		if len(group) < 2 || done[key] {
			continue
		}
		done[key] = true
		sharedBy(group, one.a+" and "+one.b, say)
	}
}

// bearsForGood is what a conductor bears by the book's table, by its heat
// balance where that has no row; NaN where neither tells.
func bearsForGood(l *report.Line) float64 {
	if row := l.Governing(); row != nil {
		return row.Amps
	}
	return l.Physics
}

func sharedBy(group []lead, between string, say *speaker) {
	total, devices := 0.0, 0
	var list []protect.Lead
	var names []string
	for _, g := range group {
		total += g.amps
		names = append(names, g.name)
		one := protect.Lead{Resistance: g.ohms}
		least := math.NaN()
		for _, l := range g.lines {
			if bears := bearsForGood(l); bears > 0 && !(bears >= least) {
				least = bears
			}
		}
		one.Ampacity = known(least)
		if g.device {
			devices++
			one.Device = known(g.rated)
		}
		list = append(list, one)
	}
	got := protect.Parallel(total, list)
	place := group[0].name
	words := fmt.Sprintf("%s lie side by side between %s", listed(names), between)
	switch {
	case got.Verdict == protect.Outside:
		w := got.Leads[got.Worst]
		limit := list[got.Worst].Ampacity.V
		if w.Device > w.Cable || math.IsNaN(w.Cable) {
			limit = list[got.Worst].Device.V
		}
		say.hold(finding.Warning, names[got.Worst], fmt.Sprintf("%s: %s takes %s of %s, %s", words, names[got.Worst], amps(w.Current), amps(total), got.Reasons[0]), "make all leads alike, each good for its share, or take one lead that carries all", number{value: w.Current, limit: limit, unit: "A"}, source.Ref{})
	case got.Verdict == protect.NotChecked:
		say.pass(place, words+": "+got.Reasons[0])
	case devices > 0 && devices < len(group):
		say.hold(finding.Warning, place, words+", but not each has a device of its own", "give each lead a device, or none and one before all", number{}, source.Ref{})
	case devices > 1:
		say.hold(finding.Note, place, words+", each with a device: when one opens the others take its share", "take one device that carries all", number{}, source.Ref{})
	}
}
