package rules

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// bundleFactor gives the circle round a bundle of round cables from the root of
// the sum of their squared diameters. The least circles round 2 to 19 equal ones
// are 1.11 to 1.24 times that, but for two, whose diameters add up (known
// packings of circles, from memory); 1.25 is above all of them.
const bundleFactor = 1.25

// passageJob is dcJob with the two batteries in two compartments, both links
// through one hole.
var passageJob = dcWith(
	"    chemistry: lfp\n", "    chemistry: lfp\n    size: {length: 10 in, width: 6 in, height: 8 in}\n    posts: {positive: [8 in, 2 in], negative: [8 in, 4 in]}\n",
	"batteries:\n", "compartments:\n  - {id: port, at: [0 in, 0 in, 0 in], size: {length: 12 in, width: 20 in, height: 14 in}}\n  - {id: starboard, at: [13 in, 0 in, 0 in], size: {length: 12 in, width: 20 in, height: 14 in}}\n"+
		"passages:\n  - {id: G1, at: [12.5 in, 10 in, 10 in], diameter: 1.5 in}\nbatteries:\n",
	"{id: B1, type: block,", "{id: B1, type: block, at: [1 in, 7 in, 0 in],", "{id: B2, type: block,", "{id: B2, type: block, at: [14 in, 7 in, 0 in], turn: 180,",
	"{id: W1, from: B1+, to: B2+, size: 2/0 AWG, length: 6 in,", "{id: W1, from: B1+, to: B2+, size: 2/0 AWG,", "{id: W2, from: B1-, to: B2-, size: 2/0 AWG, length: 6 in,", "{id: W2, from: B1-, to: B2-, size: 2/0 AWG,")

var passageFill = Rule{
	ID:       "GRM-01",
	Title:    "The cables do not go through their passage",
	Text:     "Any two round cables need the sum of their diameters, whatever lies between them: that is certain. For more the circle round a bundle is estimated as 1.25 times the root of the sum of the squared diameters, which lies above the known least circles round 3 to 19 equal cables. Diameters are as measured, else of a model good to 1 mm. Lugs are not counted: crimp them after, or give them room.",
	Source:   source.Ref{Title: "circles in a circle: two need the sum of their diameters, more 1.25·√Σd²", At: "geometry; known least circles from memory", Edition: "not stated", How: source.Memory},
	Severity: finding.Fault,
	Failing:  strings.Replace(passageJob, "diameter: 1.5 in", "diameter: 1 in", 1),
	Passing:  passageJob,
	check:    checkPassageFill,
}

func checkPassageFill(r *report.Report, say *speaker) {
	for _, p := range r.Bank.Passages {
		widths, assumed, unknown := through(r, p.ID)
		if len(unknown) > 0 {
			say.pass(p.ID, "the outside diameter of "+strings.Join(unknown, ", ")+" is not known")
			continue
		}
		pair, all := bundle(widths)
		show := func(m float64) string { return r.Bank.Show.FormatLength(quantity.Length(m)) }
		const cure = "take a wider grommet, or a second passage"
		switch {
		case pair > p.Diameter*(1+1e-9):
			say.hold(finding.Fault, p.ID, fmt.Sprintf("%s is %s wide; of the %d cables through it the thickest %s side by side%s", p.ID, show(p.Diameter), len(widths), need(len(widths), show(pair)), assumedWords(assumed)),
				cure, number{value: pair, limit: p.Diameter, unit: "m"}, source.Ref{Title: "geometry: round cables side by side", How: source.Practice})
		case all > p.Diameter*(1+1e-9):
			say.hold(finding.Warning, p.ID, fmt.Sprintf("%s is %s wide; its %d cables make a bundle of about %s%s", p.ID, show(p.Diameter), len(widths), show(all), assumedWords(assumed)),
				cure, number{value: all, limit: p.Diameter, unit: "m"}, say.rule.Source)
		}
	}
}

// need words the width that one or two cables take.
func need(n int, wide string) string {
	if n == 1 {
		return "needs " + wide
	}
	return "two need " + wide
}

// through lists the outside diameters of the cables that a hole takes, m, what
// of them was assumed, and the cables whose diameter is not known.
func through(r *report.Report, passage string) (widths []float64, assumed, unknown []string) {
	for i := range r.Routes {
		for _, id := range r.Routes[i].Passages {
			l := lineOf(r, r.Routes[i].Cable)
			if id != passage || l == nil {
				continue
			}
			if !(l.Outside > 0) {
				unknown = append(unknown, l.Cable)
				continue
			}
			widths = append(widths, l.Outside)
			if cableOf(r, l).Wrap.Diameter == 0 && assumed == nil {
				assumed = []string{"outside diameters from a model"}
			}
		}
	}
	return widths, assumed, unknown
}

// lineOf finds the line of a cable, nil if there is none.
func lineOf(r *report.Report, cable string) *report.Line {
	for i := range r.Side.Lines {
		if r.Side.Lines[i].Cable == cable {
			return &r.Side.Lines[i]
		}
	}
	return nil
}

// bundle gives what the two thickest of some cables need side by side, and the
// estimated circle round all of them, never less; both 0 for none.
func bundle(widths []float64) (pair, all float64) {
	first, second, squares := 0.0, 0.0, 0.0
	for _, d := range widths {
		squares += float64(d * d)
		if d > first {
			first, second = d, first
		} else if d > second {
			second = d
		}
	}
	pair = first + second
	if len(widths) < 3 {
		return pair, pair
	}
	return pair, math.Max(pair, bundleFactor*math.Sqrt(squares))
}

var crossing = Rule{
	ID:       "CRS-01",
	Title:    "A cable crosses a wall where the job has no passage",
	Text:     "Its ends stand in different compartments, and no way through the passages of the job was found for it. Where it goes through in truth nothing is known of the edge that it rubs on; a conductor through a bulkhead or a rigid surface is to be kept from abrasion.",
	Source:   source.Ref{Title: "33 CFR 183.445", At: "(a)", Edition: "1983", How: source.Read},
	Severity: finding.Warning,
	Failing: strings.NewReplacer("passages:\n  - {id: G1, at: [12.5 in, 10 in, 10 in], diameter: 1.5 in}\n", "",
		"to: B2+, size: 2/0 AWG,", "to: B2+, size: 2/0 AWG, length: 20 in,", "from: B1-, to: B2-, size: 2/0 AWG,", "from: B1-, to: B2-, size: 2/0 AWG, length: 20 in,").Replace(passageJob),
	Passing: passageJob,
	check:   checkCrossing,
}

func checkCrossing(r *report.Report, say *speaker) {
	for i := range r.Bank.Cables {
		c := &r.Bank.Cables[i]
		if c.RouteFailure == "" {
			continue
		}
		from, to := roomOf(r.Bank, c.From), roomOf(r.Bank, c.To)
		if from != "" && to != "" && from != to {
			say.find(c.ID, fmt.Sprintf("cable %s goes from %s to %s, and no passage takes it: %s", c.ID, from, to, c.RouteFailure),
				"write the passage that it goes through, with the clear width of its grommet")
		}
	}
}

// roomOf names the compartment that an end lies in, "" where its place or the
// compartment is not known.
func roomOf(b *bank.Bank, e bank.End) string {
	p, ok := b.Locate(e)
	if !ok {
		return ""
	}
	for _, room := range b.Compartments {
		if room.Box.Contains(bank.Box{Min: p, Max: p}) {
			return room.ID
		}
	}
	return ""
}
