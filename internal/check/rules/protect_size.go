package rules

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/protect"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/rating"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

var oversize = Rule{
	ID:       "PRO-03",
	Title:    "A device is too large for its conductor",
	Text:     "Under 50 V a boat's rule allows 150 % of the conductor's amperes; from 50 V, and on ships, the next standard rating up to 150 %. The amperes are the plain ones of Table 5, not lowered for an engine space. A thin conductor whose own smaller device stands at its other end is a tap: there the length to that device counts. Devices side by side, a fuse at each battery, count together for what they feed where no device in line is small enough: a warning, as the rule speaks of one. A return that carries the whole current of what a device feeds is held like a conductor, as a warning: the rules speak of ungrounded conductors. Where the book has no such limit here the ships' rule stands in, as a warning. Where its table has no row for the conductor, as of metric sizes, the amperes of the conductor's own heat balance stand in: a warning, and a fault over 150 % of them.",
	Source:   source.Ref{Title: "33 CFR 183.455", At: "(c)", Edition: "not stated", How: source.Read},
	Severity: finding.Fault,
	Failing:  dcWith("class: class_t, rating: 200 A", "class: class_t, rating: 600 A"),
	Passing:  dcJob,
	check:    checkOversize,
}

func checkOversize(r *report.Report, say *speaker) {
	for i := range r.Side.Guards {
		g := &r.Side.Guards[i]
		id := g.Part
		var worst *tooLarge
		var names []string
		var out, back []*tooLarge
		for n := range r.Side.Lines {
			l := &r.Side.Lines[n]
			if !slices.Contains(guardsOf(r, l), id) && returnOf(g, l) == nil {
				continue
			}
			if one := heldSize(r, say, l, id); one != nil {
				if !live(l) {
					back = append(back, one)
					continue
				}
				names, out = append(names, l.Cable), append(out, one)
				if worst == nil || one.got.Bound < worst.got.Bound {
					worst = one
				}
			}
		}
		same, thin := sortReturns(r, out, back)
		if worst != nil {
			worst.tell(r, say, id, append(names, same...))
		}
		tellReturns(r, say, g, thin)
	}
	checkTogether(r, say)
}

// guardsOf lists the devices that save a live conductor from batteries, and the
// one that it leads to where that is the only one.
func guardsOf(r *report.Report, l *report.Line) []string {
	var all []string
	if !live(l) {
		return nil
	}
	for _, w := range l.Ways {
		if w.Battery && w.Device != "" && !slices.Contains(all, w.Device) {
			all = append(all, w.Device)
		}
	}
	if kind, far := bareOf(r, l); kind == bareLead && len(far.guards) == 1 && !slices.Contains(all, far.guards[0]) {
		all = append(all, far.guards[0])
	}
	return all
}

// sizeLimit is what a book lets a device have over a conductor.
type sizeLimit struct {
	rule   rating.ProtectionLimit
	basis  source.Value[float64]
	why    string // why there is no basis
	weaker bool   // another book's rule stands in
	heat   bool   // the basis is the conductor's heat balance, as the book's table has no row
}

// sizeLimitOf finds the limit for a conductor.
func sizeLimitOf(r *report.Report, l *report.Line) sizeLimit {
	var s sizeLimit
	row := l.Governing()
	if row == nil {
		return heatLimit(r, l)
	}
	c := catalog.Default()
	if regime(r) == rating.Marine {
		s.basis, s.rule = source.Look(row.Base, row.Ref), boatLimit(r)
		return s
	}
	s.basis, s.rule, s.weaker = source.Look(row.Amps, row.Ref), *c.ProtectionLimit("cfr_46_111_50"), true
	for _, t := range c.DeviceLimits() {
		if size, ok := t.Find(cableOf(r, l).Size); ok && t.Regime == regime(r) {
			s.basis, s.weaker = source.Look(size.Value, size.Ref), false
			s.rule = rating.ProtectionLimit{Title: t.Title, Regime: t.Regime, Of: rating.OfAmpacity, Ratio: 1, Ref: size.Ref}
		}
	}
	return s
}

// heatLimit stands in where the book's table has no row, as of metric sizes: the
// amperes of the conductor's own heat balance, under the boats' rule on a boat
// and the ships' elsewhere. Common practice, no source.
func heatLimit(r *report.Report, l *report.Line) sizeLimit {
	if !(l.Physics > 0) {
		return sizeLimit{why: l.NoTable}
	}
	s := sizeLimit{basis: source.Look(l.Physics, heatBasis), rule: *catalog.Default().ProtectionLimit("cfr_46_111_50"), heat: true}
	if regime(r) == rating.Marine {
		s.rule = boatLimit(r)
	}
	return s
}

// heatBasis is the source of a limit that counts from a heat balance.
var heatBasis = source.Ref{Title: "a device is held against the conductor's amperes, by the heat balance, as the book's table has no row for it", How: source.Practice}

// words tell what the limit counts from.
func (s *sizeLimit) words() string {
	if s.heat {
		return "amperes by the heat balance, as the book's table has no row for it,"
	}
	return "table amperes"
}

// boatLimit is the boats' limit for the job's volts.
func boatLimit(r *report.Report) (rule rating.ProtectionLimit) {
	for _, id := range []string{"cfr_183_455_low", "cfr_183_455_high"} {
		if one := catalog.Default().ProtectionLimit(id); one.Applies(quantity.Voltage(r.Side.Nominal)) {
			rule = *one
		}
	}
	return rule
}

// tooLarge is a conductor that a device is too large for.
type tooLarge struct {
	line  *report.Line
	limit sizeLimit
	got   protect.SizeResult
	tap   string
	back  string // whose return it is; "" a live conductor
}

// heldSize gives what is amiss between a device and a conductor, nil if nothing.
func heldSize(r *report.Report, say *speaker, l *report.Line, id string) *tooLarge {
	p := r.Bank.Part(id)
	if p.Rated.Current == 0 {
		return nil // PRO-14 says so
	}
	s := sizeLimitOf(r, l)
	if s.why != "" {
		say.pass(l.Cable, fmt.Sprintf("whether %s is small enough for it: %s", id, s.why))
		return nil
	}
	got := protect.Allowed(known(float64(p.Rated.Current)), s.basis, s.rule, catalog.Default().StandardRatings())
	switch got.Verdict {
	case protect.Within:
		return nil
	case protect.NotChecked:
		say.pass(l.Cable, got.Reasons[0])
		return nil
	}
	tap, kept := tapped(r, l, &s)
	if kept {
		return nil
	}
	return &tooLarge{line: l, limit: s, got: got, tap: tap}
}

// heatFault is from which multiple of the conductor's heat balance a device is a
// fault: the 150 % of the boats' and the ships' rule.
const heatFault = 1.5

// tell speaks of the conductor with the lowest limit, and names the others.
func (t *tooLarge) tell(r *report.Report, say *speaker, id string, names []string) {
	severity, stands, others := finding.Fault, "", ""
	if t.limit.weaker {
		severity, stands = finding.Warning, fmt.Sprintf(" (the %s book sets no such limit here; the ships' rule stands in)", regime(r))
	}
	if t.back != "" {
		severity = finding.Warning
		stands += " (the rule speaks of ungrounded conductors; this one carries the same current)"
	}
	table, ref := t.limit.words(), t.limit.rule.Ref
	if t.limit.heat {
		ref = heatBasis
		if rated := float64(r.Bank.Part(id).Rated.Current); !over(rated, heatFault*t.limit.basis.V) {
			severity = finding.Warning
		}
	}
	if len(names) > 1 {
		others = fmt.Sprintf(" (too large for %s)", listed(names))
	}
	mend := "take a larger conductor: no standard rating is small enough for this one"
	if !math.IsNaN(t.got.Largest) {
		mend = fmt.Sprintf("take a device of at most %s, the largest standard rating allowed, or a larger conductor", amps(t.got.Largest))
	}
	rated := float64(r.Bank.Part(id).Rated.Current)
	say.hold(severity, id, fmt.Sprintf("%s of %s is too large for cable %s%s: its %s are %s, the limit %s%s%s%s", id, amps(rated), t.line.Cable, t.back, table, amps(t.limit.basis.V), amps(t.got.Bound), stands, t.tap, others),
		mend, number{value: rated, limit: t.got.Bound, unit: "A"}, ref)
}

// tapped looks for a smaller device at the other end of a thin conductor: kept
// where that fits and stands within the book's length; words tell what is amiss.
func tapped(r *report.Report, l *report.Line, s *sizeLimit) (words string, kept bool) {
	c := cableOf(r, l)
	fits := func(p *bank.Part) bool {
		return p != nil && protect.Allowed(known(float64(p.Rated.Current)), s.basis, s.rule, catalog.Default().StandardRatings()).Verdict == protect.Within
	}
	from, more := tapTo(r.Bank, l.Index, c.To)
	if !fits(from) {
		from, more = tapTo(r.Bank, l.Index, c.From)
	}
	if !fits(from) {
		return "", false
	}
	length := lengthOf(c) + more
	w := protect.Way{Length: lengthValue(length), Sheathed: fact(c.Wrap.Sheath), FromBattery: protect.No, Switched: protect.No}
	rules := reachRules(r)
	if len(rules) == 0 {
		rules = catalog.Default().Reaches() // the nearest stand in
	}
	if protect.Reaches(w, rules).Verdict == protect.Within {
		return "", true
	}
	if math.IsNaN(length) {
		return fmt.Sprintf("; how far %s is from its beginning is not known", from.ID), false
	}
	return fmt.Sprintf("; %s would fit but stands %s from its beginning, too far for a tap", from.ID, r.Bank.Show.FormatLength(quantity.Length(length))), false
}
