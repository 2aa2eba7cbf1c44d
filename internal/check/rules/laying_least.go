package rules

import (
	"fmt"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/rating"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

// Rows of the catalogue's thinnest conductors.
const (
	leastBoat         = "cfr_183_425"
	leastBoatSheath   = "cfr_183_425_sheath"
	leastMetric       = "iso_10133"
	leastMetricSheath = "iso_10133_sheath"
	leastVessel       = "cfr_46_183"
)

// What 33 CFR 183.425 (g) (2001, read) leaves out: circuits under 1 A and
// pigtails under 7 in.
const (
	smallCircuit = 1.0    // A
	pigtail      = 0.1778 // m
)

var leastConductor = Rule{
	ID:       "MIN-01",
	Title:    "A conductor is thinner than may be laid",
	Text:     "A thin conductor breaks before it burns. In the marine book a gauge laid alone is 16 AWG at least, 18 AWG in a sheath with others; a metric one 1 mm² alone where longer than 200 mm, 0.75 mm² in a sheath. Gauges and metric sizes are each held against their own row. Gauges in circuits under 1 A and pigtails under 7 in are left out, as 33 CFR 183.425 (g) does.",
	Source:   source.Ref{Title: "33 CFR 183.425 (d) and (e); ISO 10133 7.7 as a page quotes it", At: "the finding names the one", Edition: "2001; 2012", How: source.Read},
	Severity: finding.Warning,
	Failing:  dcWith("{id: W12, from: L1.b, to: N1.3, size: 12 AWG, length: 4 ft", "{id: W12, from: L1.b, to: N1.3, size: 18 AWG, length: 4 ft"),
	Passing:  dcJob,
	check:    checkLeastConductor,
}

func checkLeastConductor(r *report.Report, say *speaker) {
	for i := range r.Side.Lines {
		l := &r.Side.Lines[i]
		c := cableOf(r, l)
		if regime(r) != rating.Marine || c.Size.IsZero() || c.Size.IsAWG() && !power(l, c) {
			continue
		}
		row := leastRow(c)
		if row == nil || float64(c.Length.V) <= float64(row.Over) {
			continue
		}
		if have, need, ok := sections(c.Size, row.Size); ok && have < need*(1-1e-9) {
			say.hold(finding.Warning, l.Cable, fmt.Sprintf("cable %s is %s; %s: %s at least", l.Cable, c.Size, row.Title, row.Size),
				"take "+row.Size.String()+" or thicker", number{value: have, limit: need, unit: "m²", least: true}, row.Ref)
		}
	}
}

// power reports whether a cable is more than a pigtail or a small circuit. One
// whose current nobody says counts.
func power(l *report.Line, c *bank.Cable) bool {
	small := l.Steady.Amps > 0 && l.Steady.Amps < smallCircuit
	return !small && (!c.Length.Known() || float64(c.Length.V) >= pigtail)
}

// leastRow gives the row that a cable is held against, of its own system.
func leastRow(c *bank.Cable) *rating.LeastSize {
	id := leastMetric
	switch {
	case c.Size.IsAWG() && c.Wrap.Sheath:
		id = leastBoatSheath
	case c.Size.IsAWG():
		id = leastBoat
	case c.Wrap.Sheath:
		id = leastMetricSheath
	}
	return leastNamed(id)
}

func leastNamed(id string) *rating.LeastSize {
	all := catalog.Default().LeastSizes()
	for i := range all {
		if all[i].ID == id {
			return &all[i]
		}
	}
	return nil
}

// sections gives the sections of two sizes of one system, m²; ok is false where
// they are of two, or one is not in the catalogue.
func sections(have, need quantity.Size) (a, b float64, ok bool) {
	cat := catalog.Default()
	h, n := cat.Conductor(have), cat.Conductor(need)
	if h == nil || n == nil || have.IsAWG() != need.IsAWG() {
		return 0, 0, false
	}
	return float64(h.Section), float64(n.Section), true
}

var vesselConductor = Rule{
	ID:       "MIN-02",
	Title:    "A power conductor is thinner than small passenger vessels may have",
	Text:     "On vessels that carry passengers for hire power conductors are 14 AWG at least. On a private boat this is worth knowing, no more. The rule names gauges only; a metric size is not held against it.",
	Source:   source.Ref{Title: "46 CFR 183.340", At: "power conductors", Edition: "not stated", How: source.Read},
	Severity: finding.Note,
	Failing:  dcWith("{id: W12, from: L1.b, to: N1.3, size: 12 AWG, length: 4 ft", "{id: W12, from: L1.b, to: N1.3, size: 16 AWG, length: 4 ft"),
	Passing:  dcJob,
	check:    checkVesselConductor,
}

func checkVesselConductor(r *report.Report, say *speaker) {
	row := leastNamed(leastVessel)
	for i := range r.Side.Lines {
		l := &r.Side.Lines[i]
		c := cableOf(r, l)
		if row == nil || regime(r) != rating.Marine || c.Size.IsZero() || !power(l, c) {
			continue
		}
		if have, need, ok := sections(c.Size, row.Size); ok && have < need*(1-1e-9) {
			say.hold(finding.Note, l.Cable, fmt.Sprintf("cable %s is %s; small passenger vessels must have %s or thicker", l.Cable, c.Size, row.Size),
				"for a vessel that carries passengers for hire take "+row.Size.String(), number{value: have, limit: need, unit: "m²", least: true}, row.Ref)
		}
	}
}
