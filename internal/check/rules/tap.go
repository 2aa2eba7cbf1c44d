package rules

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/feed"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

// What a small tap is. Common practice, no source: up to 10 AWG, and less than
// a tenth of the copper of the thickest cable. Its fuse stands within 7 in,
// which is the reach of 33 CFR 183.455(b)(1), and is at most 150 % of what its
// table allows, (c)(1) there.
const (
	tapGauge  = 10
	tapPart   = 0.1
	tapReach  = 7 * 0.0254 // m
	tapDevice = 1.5
)

var smallTap = Rule{
	ID:       "TAP-01",
	Title:    "A thin lead on a main post or bar has no fuse of its own",
	Text:     "Leads for sensing, a heater, a monitor or a lamp are often put on the nearest main post or bar. The main fuse carries far more than such a lead bears: in a short the lead burns and the fuse stays whole. Each has a fuse of its own at the post. On a battery's post a fault, on a bar behind the main fuse a warning.",
	Source:   source.Ref{Title: "small leads are fused at the post that they are taken from", How: source.Practice},
	Severity: finding.Fault,
	Failing:  dcWith("{id: W10, from: P1.3, to: D1.a, size: 12 AWG, length: 4 in", "{id: W10, from: B1+, to: D1.a, size: 12 AWG, length: 40 in"),
	Passing:  dcJob,
	check:    checkSmallTap,
}

func checkSmallTap(r *report.Report, say *speaker) {
	main := 0.0
	for i := range r.Bank.Cables {
		main = math.Max(main, sectionOf(r.Bank.Cables[i].Size))
	}
	var m *feed.Map
	for i := range r.Side.Lines {
		l := &r.Side.Lines[i]
		c := cableOf(r, l)
		if !live(l) || !thin(c.Size, main) {
			continue
		}
		if m == nil {
			m = feed.New(r.Bank)
		}
		for n, e := range []bank.End{c.From, c.To} {
			if takenFrom(r.Bank, e, main) {
				saySmallTap(r, say, m, l, n, e)
			}
		}
	}
}

// saySmallTap looks at a thin lead taken from one end.
func saySmallTap(r *report.Report, say *speaker, m *feed.Map, l *report.Line, n int, from bank.End) {
	c := cableOf(r, l)
	to := c.To
	if n == 1 {
		to = c.From
	}
	if p := r.Bank.Part(to.ID); p != nil && p.Kind.Protects() {
		switch {
		case !c.Length.Known():
			say.pass(l.Cable, "how far its fuse stands from "+from.String()+" is not known")
			return
		case float64(c.Length.V) <= tapReach*(1+1e-9):
			return
		}
	}
	bears := l.Physics
	if row := l.Governing(); row != nil {
		bears = row.Amps
	}
	if !batteryReaches(r.Bank, m, l.Index, n, tapDevice*bears) {
		return
	}
	severity := finding.Warning
	if from.IsPost() {
		severity = finding.Fault
	}
	say.hold(severity, l.Cable, fmt.Sprintf("cable %s (%s) is taken from %s, where the copper is far thicker, and no fuse of its own stands within %s", l.Cable, c.Size, from, r.Bank.Show.FormatLength(quantity.Length(tapReach))),
		fmt.Sprintf("put a fuse at %s, of at most what %s bears", from, l.Cable), number{}, source.Ref{})
}

// batteryReaches reports whether some battery beyond one end of a cable reaches
// it with no device on the way that is rated at or under a current.
func batteryReaches(b *bank.Bank, m *feed.Map, cable, n int, most float64) bool {
	for _, w := range m.Cables[cable].Ways[n] {
		if !w.Battery {
			continue
		}
		held := false
		for _, id := range w.Devices {
			rated := float64(b.Part(id).Rated.Current)
			held = held || rated > 0 && (math.IsNaN(most) || rated <= most*(1+1e-9))
		}
		if !held {
			return true
		}
	}
	return false
}

// sectionOf is the cross-section of a size, m², 0 where it is not known.
func sectionOf(s quantity.Size) float64 {
	if row := catalog.Default().Conductor(s); row != nil {
		return float64(row.Section)
	}
	return 0
}

func thin(s quantity.Size, main float64) bool {
	a := sectionOf(s)
	return a > 0 && a <= sectionOf(quantity.AWG(tapGauge))*(1+1e-9) && a < tapPart*main
}

// takenFrom reports whether an end is a battery's post, or a bar or stud that
// thick copper comes to.
func takenFrom(b *bank.Bank, e bank.End, main float64) bool {
	if e.IsPost() {
		return true
	}
	p := b.Part(e.ID)
	if p == nil || p.Kind != bank.Bar && p.Kind != bank.Stud {
		return false
	}
	for i := range b.Cables {
		c := &b.Cables[i]
		if (c.From.ID == p.ID || c.To.ID == p.ID) && sectionOf(c.Size) >= main/2 {
			return true
		}
	}
	return false
}
