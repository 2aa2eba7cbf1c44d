package assess

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/protect"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/rating"
	"bankwright/internal/model/report"
)

// own says why an open cable may not have a size by itself, "" where it may:
// its current, its surge, the least size, the devices that stand before it.
func (c *chooser) own(st *state, n, size int) string {
	i := c.open[n]
	j := st.job
	if size != st.at[n] {
		j = c.with(st.job, i, size)
	}
	l := &st.side.Lines[i]
	if size != st.at[n] {
		one := j.line(i, st.feed, st.side.Scenarios, st.side.Nominal)
		l = &one
	}
	cable := &j.Bank.Cables[i]
	for _, look := range []string{c.carries(l), j.leastSize(cable), c.bears(l), c.bonds(st, l, cable), c.saved(st, l, cable)} {
		if look != "" {
			return look
		}
	}
	return ""
}

// carries holds the lasting current against table and heat balance.
func (c *chooser) carries(l *report.Line) string {
	row := l.Governing()
	switch {
	case l.Steady.Amps == 0:
		return ""
	case row != nil && l.Steady.Amps > row.Amps*overSlack:
		return fmt.Sprintf("carries %s (%s), its table allows %s", amps(l.Steady.Amps), l.Steady.In, amps(row.Amps))
	case !math.IsNaN(l.Physics) && l.Steady.Amps > l.Physics*overSlack:
		return fmt.Sprintf("carries %s (%s), its heat balance allows %s", amps(l.Steady.Amps), l.Steady.In, amps(l.Physics))
	case row == nil && math.IsNaN(l.Physics):
		return "neither a table nor the heat balance tells what it bears"
	}
	return ""
}

// bears holds the surge against the time until it is too warm.
func (c *chooser) bears(l *report.Line) string {
	if l.Holds == nil || l.Surge.Amps <= l.Steady.Amps || l.Surge.Amps <= l.Physics {
		return "" // what it bears for good it bears for a surge
	}
	// Not told counts as not borne: a cable that its steady current alone warms
	// to its limit has no time left.
	t := l.Holds(l.Surge.Amps)
	if math.IsNaN(t) {
		return fmt.Sprintf("has no time left for %s (%s)", amps(l.Surge.Amps), l.Surge.In)
	}
	if t < l.Surge.Seconds {
		return fmt.Sprintf("bears %s (%s) for %s, not %s", amps(l.Surge.Amps), l.Surge.In, quantity.Format(quantity.Duration(t), 3), quantity.Format(quantity.Duration(l.Surge.Seconds), 3))
	}
	return ""
}

// leastSize holds a cable against the least size of the book, which is of
// copper, so that a section is compared with a gauge's.
func (j *Job) leastSize(cable *bank.Cable) string {
	have := j.cat.Conductor(cable.Size)
	for _, one := range j.cat.LeastSizes() {
		least := j.cat.Conductor(one.Size)
		switch {
		case string(one.Regime) != j.Bank.Practice.Book.V || one.Sheathed != cable.Wrap.Sheath || one.Ref.How != source.Read:
		case one.ID == "cfr_46_183": // passenger vessels, which a bank of this tool is not asked to be
		case cable.Size.IsAWG() != one.Size.IsAWG() || least == nil || float64(cable.Length.V) <= float64(one.Over):
		case have.Section < least.Section:
			return fmt.Sprintf("under the least size of %s, %s", one.Ref, one.Size)
		}
	}
	return ""
}

// bonds holds a bond to the frame, which carries nothing, against the book.
func (c *chooser) bonds(st *state, l *report.Line, cable *bank.Cable) string {
	if !isBond(st.job.Bank, cable) || l.Steady.Amps > 0 {
		return ""
	}
	least, ref, ok := st.job.bondSize(st)
	if !ok {
		return ""
	}
	cat := c.job.cat
	if cat.Conductor(cable.Size).Section < cat.Conductor(least).Section {
		return fmt.Sprintf("under the %s of a bond beside the conductors here (%s)", least, ref)
	}
	return ""
}

func isBond(b *bank.Bank, cable *bank.Cable) bool {
	for _, e := range []bank.End{cable.From, cable.To} {
		if p := b.Part(e.ID); p != nil && p.Kind == bank.Frame {
			return true
		}
	}
	return false
}

// bondSize gives the least conductor that bonds the frame by the job's book,
// beside its largest positive conductor or its largest device.
func (j *Job) bondSize(st *state) (quantity.Size, source.Ref, bool) {
	var positive quantity.Size
	most := quantity.Current(0)
	for i := range j.Bank.Cables {
		s := j.Bank.Cables[i].Size
		row, best := j.cat.Conductor(s), j.cat.Conductor(positive)
		if st.side.Lines[i].Side == "positive" && row != nil && (best == nil || row.Section > best.Section) {
			positive = s
		}
	}
	for i := range j.Bank.Parts {
		if p := &j.Bank.Parts[i]; p.Kind.Protects() {
			most = max(most, p.Rated.Current)
		}
	}
	for _, b := range j.cat.Bonding() {
		if string(b.Regime) == j.Bank.Practice.Book.V {
			s, ok := b.For(positive)
			return s, b.Ref, ok
		}
	}
	for _, g := range j.cat.Grounding() {
		if string(g.Regime) == j.Bank.Practice.Book.V {
			s, ok := g.For(most)
			return s, g.Ref, ok
		}
	}
	return quantity.Size{}, source.Ref{}, false
}

// saved holds a cable against the devices that are to save it.
func (c *chooser) saved(st *state, l *report.Line, cable *bank.Cable) string {
	if l.Side == "negative" {
		// Of several that all see what returns here one is enough.
		return c.returned(st, l, cable)
	}
	if tap := st.tap(l, cable); tap != "" {
		if why := c.overDevice(st, l, cable, tap); why != "" {
			return why
		}
		before, _ := st.fromBatteries(l)
		for _, id := range before {
			if why := c.withstands(st, l, id, c.ratingOf(st, id)); why != "" {
				return why
			}
		}
		return ""
	}
	for _, id := range st.devicesOver(l) {
		if why := c.overDevice(st, l, cable, id); why != "" {
			return why
		}
	}
	return ""
}

// devicesOver lists the devices that are to save a live conductor: those before
// it, and of one that a battery reaches first those that it leads to, all of
// what it carries passing them.
func (st *state) devicesOver(l *report.Line) []string {
	all := slices.Clone(l.Saves)
	if _, bare := st.fromBatteries(l); !bare {
		return all
	}
	for _, id := range st.returnsThrough(l.Index) {
		if !slices.Contains(all, id) {
			all = append(all, id)
		}
	}
	return all
}

// fromBatteries lists the devices that stand between batteries and a conductor,
// the nearest to it of each; bare where a battery reaches it through none.
func (st *state) fromBatteries(l *report.Line) (devices []string, bare bool) {
	for _, ways := range st.feed.Cables[l.Index].Ways {
		for _, w := range ways {
			switch n := len(w.Devices); {
			case !w.Battery:
			case n == 0:
				bare = true
			default:
				devices = append(devices, w.Devices[n-1])
			}
		}
	}
	return devices, bare
}

// tap gives the device at the far end of a live conductor that is no longer
// than the book lets a way to its device be, "" where it is no tap.
func (st *state) tap(l *report.Line, cable *bank.Cable) string {
	short, _ := st.job.reach(cable)
	before, bare := st.fromBatteries(l)
	if bare || short.Ref == plainReach || float64(cable.Length.V) > float64(short.Length)*overSlack {
		return ""
	}
	for _, e := range []bank.End{cable.From, cable.To} {
		if p := st.job.Bank.Part(e.ID); p != nil && p.Kind.Protects() && slices.Contains(st.returnsThrough(l.Index), p.ID) && !slices.Contains(before, p.ID) {
			return p.ID
		}
	}
	return ""
}

// returned is saved for a return: what the smallest of its devices says, where
// none passes.
func (c *chooser) returned(st *state, l *report.Line, cable *bank.Cable) string {
	least, last := math.Inf(1), ""
	for _, id := range append(st.returnsThrough(l.Index), l.Saves...) {
		why := c.overDevice(st, l, cable, id)
		if why == "" {
			return ""
		}
		if r := c.ratingOf(st, id); r < least {
			least, last = r, why
		}
	}
	return last
}

// overDevice says what a device does not save of a cable.
func (c *chooser) overDevice(st *state, l *report.Line, cable *bank.Cable, id string) string {
	r := c.ratingOf(st, id)
	if !(r > 0) {
		return ""
	}
	limit := st.job.deviceLimit(l, cable.Size, st.side.Nominal)
	if ok, known := limit.allows(r); known && !ok {
		return fmt.Sprintf("%s of %s may not stand over it, %s is the most (%s)", id, amps(r), ampsOrNone(limit.largest), limit.ref)
	}
	return c.withstands(st, l, id, r)
}

func ampsOrNone(v float64) string {
	if math.IsNaN(v) {
		return "none of the standard ratings"
	}
	return amps(v)
}

// withstands asks whether a device opens in a dead short before the cable is
// too hot. What is not told fails nothing.
func (c *chooser) withstands(st *state, l *report.Line, id string, r float64) string {
	g, known := c.guards[id]
	class := c.job.cat.FuseClass(c.classOf(st, id))
	if !known || class == nil || !(l.Withstand > 0) || !(l.Most > 0 || g.Most > 0) {
		return ""
	}
	d, err := deviceOf(id, r, class)
	if err != nil {
		return ""
	}
	if t, ok := class.LetThroughFor(quantity.Current(r)); ok {
		d.Clearing = source.Look(t.I2t, t.Ref)
	}
	most := g.Most
	if l.Most > 0 {
		most = l.Most
	}
	// Without Holds: a dead short is over before heat flows off, and the many
	// currents of an overload cost time and fail nothing here.
	s := protect.Saves(d, protect.Cable{Name: l.Cable, Withstand: source.Look(l.Withstand, l.WithstandRef)}, protect.Prospective{Least: l.Least, Most: most})
	if s.Fault.Verdict == protect.Outside {
		return "in a dead short " + s.Fault.Reasons[0]
	}
	return ""
}

// deviceOver is what a rule lets stand over a conductor.
type deviceOver struct {
	basis, largest float64 // A; NaN not known
	ref            source.Ref
	allow          func(r float64) bool
}

func (d *deviceOver) allows(r float64) (ok, known bool) {
	if d.allow == nil {
		return true, false
	}
	return d.allow(r), true
}

// plainRule stands in where a book has no rule here, heatRule where its table
// has no row for the conductor: a metric size, or air that it has no factor
// for. A law that counts from its table's amperes says nothing of those.
var (
	plainRule = source.Ref{Title: "a device is at most the conductor's amperes", How: source.Practice}
	heatRule  = source.Ref{Title: "a device is at most the conductor's amperes, by the heat balance, as the book's table has no row for it", How: source.Practice}
)

// deviceLimit finds the largest device over a conductor: by the book's rule,
// which for boats counts from the table's plain amperes; else by its table of
// sizes and the conductor's amperes. Without a row of the table it is the
// conductor's amperes by heat balance, and no book is named for it.
func (j *Job) deviceLimit(l *report.Line, size quantity.Size, nominal float64) deviceOver {
	out := deviceOver{basis: l.Physics, largest: math.NaN(), ref: plainRule}
	regime := rating.Regime(j.Bank.Practice.Book.V)
	row := l.Governing()
	rule := rating.ProtectionLimit{Ratio: 1, Ref: plainRule}
	if row == nil {
		rule.Ref, out.ref = heatRule, heatRule
	}
	for _, one := range j.cat.ProtectionLimits() {
		if row != nil && one.Regime == regime && one.Of == rating.OfAmpacity && one.Applies(quantity.Voltage(nominal)) {
			rule, out.ref = one, one.Ref
			break
		}
	}
	if row != nil {
		out.basis = row.Amps
		if regime == bank.Marine {
			out.basis = row.Base
		}
	}
	if !(out.basis > 0) {
		return out
	}
	standard := j.cat.StandardRatings()
	if largest, ok := rule.Largest(quantity.Current(out.basis), standard); ok {
		out.largest = float64(largest)
	}
	most := math.Inf(1)
	for _, t := range j.cat.DeviceLimits() {
		for _, r := range t.Rows {
			if t.Regime == regime && r.Size == size {
				most, out.ref = r.Value, r.Ref
			}
		}
	}
	if out.largest > most {
		out.largest = math.NaN()
		if r, ok := standard.AtMost(quantity.Current(most)); ok {
			out.largest = float64(r)
		}
	}
	out.allow = func(r float64) bool {
		return r <= most*overSlack && protect.Allowed(source.Of(r), source.Of(out.basis), rule, standard).Verdict == protect.Within
	}
	return out
}
