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
	"bankwright/internal/read/catalog"
)

// bondRules are those of the frame, the way back and the shunt.
var bondRules = []*Rule{&bondCount, &bondSize, &frameReturn, &shuntBypass, &shuntRating, &barRating}

const bondCable = "  - {id: W16, from: N1.5, to: H1, size: 1/0 AWG, length: 2 ft, insulation: 105 °C, support: 12 in}\n"

var bondCount = Rule{
	ID:       "BON-01",
	Title:    "The negative is not bonded to the frame at one place",
	Text:     "Without a bond a fault from positive to the frame makes the metal live and no fuse opens. With two bonds the frame lies beside the negative cables and carries part of their current, past the shunt.",
	Source:   source.Ref{Title: "one bond of the d.c. negative to the frame", How: source.Practice},
	Severity: finding.Fault,
	Failing:  dcWith(bondCable, bondCable+strings.NewReplacer("W16", "W17", "N1.5", "B1-").Replace(bondCable)),
	Passing:  dcJob,
	check:    checkBondCount,
}

func checkBondCount(r *report.Report, say *speaker) {
	frames := kindsOf(r.Bank, bank.Frame)
	if len(frames) == 0 {
		if hasDevice(r.Bank) {
			say.find(r.Bank.Takeoff.Negative.String(), "the job names no frame: whether metal that people and tools can touch is bonded to the negative is not seen",
				"where there is a metal hull, chassis or box, add it as kind: frame with its one bond")
			say.findings[len(say.findings)-1].Severity = finding.Note
		} else {
			say.pass(r.Bank.Takeoff.Negative.String(), "the job has neither frame nor devices")
		}
		return
	}
	bonds := bondsOf(r)
	all, apart := 0, map[int]map[string]bool{}
	for _, b := range bonds {
		all++
		if apart[b.island] == nil {
			apart[b.island] = map[string]bool{}
		}
		apart[b.island][b.far.ID+" "+b.frame.ID] = true
	}
	if all == 0 {
		say.find(frames[0], "the d.c. negative is not bonded to "+strings.Join(frames, ", "), "join the negative to the frame at one place, on the load side of the shunt")
		say.findings[len(say.findings)-1].Severity = finding.Warning
	}
	said := map[int]bool{}
	for _, b := range bonds {
		if n := len(apart[b.island]); n > 1 && !said[b.island] {
			said[b.island] = true
			say.hold(finding.Fault, b.frame.ID, fmt.Sprintf("the negative is bonded to the frame at %d places, by %s: the frame carries part of the current between them", n, bondNames(bonds, b.island)),
				"keep one", number{value: float64(n), limit: 1, unit: "1"}, source.Ref{})
		}
	}
}

func hasDevice(b *bank.Bank) bool {
	for i := range b.Parts {
		if b.Parts[i].Kind.Device() {
			return true
		}
	}
	return false
}

// bond is a cable between the frame and the negative.
type bond struct {
	cable      *bank.Cable
	frame, far bank.End
	island     int // of the negative, the frame left out
}

// bondsOf lists the cables from a frame to a piece of negative copper: one that
// a negative post or the negative take-off is on. A device that has its
// negative on the frame alone is no bond.
func bondsOf(r *report.Report) []bond {
	frames := kindsOf(r.Bank, bank.Frame)
	at := joined(r.Bank, frames...).islands(r.Bank)
	negative := map[int]bool{at[r.Bank.Takeoff.Negative]: true}
	for _, e := range climb(r.Bank).foot(r.Bank) {
		negative[at[e]] = true
	}
	var all []bond
	for i := range r.Bank.Cables {
		c := &r.Bank.Cables[i]
		b := bond{cable: c, frame: c.From, far: c.To}
		if p := r.Bank.Part(c.From.ID); p == nil || p.Kind != bank.Frame {
			b.frame, b.far = c.To, c.From
		}
		p, far := r.Bank.Part(b.frame.ID), r.Bank.Part(b.far.ID)
		if p == nil || p.Kind != bank.Frame || far != nil && far.Kind == bank.Frame {
			continue
		}
		if b.island = at[b.far]; negative[b.island] {
			all = append(all, b)
		}
	}
	return all
}

func bondNames(all []bond, island int) string {
	var ids []string
	for _, b := range all {
		if b.island == island {
			ids = append(ids, b.cable.ID)
		}
	}
	return strings.Join(ids, ", ")
}

var bondSize = Rule{
	ID:       "BON-02",
	Title:    "The bond to the frame is thin",
	Text:     "In a fault to the frame the bond carries the whole current until a fuse opens. Boats: no more than one gauge thinner than the thickest positive conductor. Motor homes: 8 AWG at least. Elsewhere: by the largest device, as an equipment grounding conductor.",
	Source:   source.Ref{Title: "the bonding rule of the job's book: ABYC E-11, NFPA 70 551.56 or 250.122", At: "the finding names the one", Edition: "not at hand, but for 250.122 of 2023", How: source.Memory},
	Severity: finding.Warning,
	Failing:  dcWith("to: H1, size: 1/0 AWG", "to: H1, size: 1 AWG"),
	Passing:  dcJob,
	check:    checkBondSize,
}

func checkBondSize(r *report.Report, say *speaker) {
	for _, b := range bondsOf(r) {
		least, ref, why := leastBond(r)
		have := section(b.cable.Size)
		switch {
		case have == 0:
			say.pass(b.cable.ID, "the job does not give its size")
		case least.IsZero():
			say.pass(b.cable.ID, why)
		case have < section(least)*(1-1e-3): // tables round sections to a few parts in a thousand
			say.hold(finding.Warning, b.cable.ID, fmt.Sprintf("the bond %s is %s; the rule (%s) asks for %s at least", b.cable.ID, b.cable.Size, why, least),
				"take "+least.String()+" or thicker", number{value: have, limit: section(least), unit: "m²", least: true}, ref)
		}
	}
}

// leastBond gives the thinnest bond that the job's book lets pass and by what
// rule; zero and why not where it has none.
func leastBond(r *report.Report) (size quantity.Size, ref source.Ref, why string) {
	for _, row := range catalog.Default().Bonding() {
		if row.Regime != regime(r) {
			continue
		}
		thick := thickest(r)
		if s, ok := row.For(thick); ok {
			return s, row.Ref, fmt.Sprintf("%s, beside a positive conductor of %s", row.Title, thick)
		}
		return quantity.Size{}, row.Ref, fmt.Sprintf("the thickest positive conductor is %s; %s counts in gauges", thick, row.Ref.Title)
	}
	most := 0.0
	for i := range r.Side.Guards {
		most = math.Max(most, float64(partOf(r, &r.Side.Guards[i]).Rated.Current))
	}
	for _, t := range catalog.Default().Grounding() {
		if t.Regime != regime(r) {
			continue
		}
		if s, ok := t.For(quantity.Current(most)); ok {
			return s, t.Ref, fmt.Sprintf("%s beside a device of %s", t.Title, amps(most))
		}
		return quantity.Size{}, t.Ref, t.Title + " goes by the rating of the largest device, and has no row for it here"
	}
	return quantity.Size{}, source.Ref{}, "no bonding rule of the " + string(regime(r)) + " book is known"
}

// thickest is the largest positive conductor.
func thickest(r *report.Report) quantity.Size {
	var most quantity.Size
	for i := range r.Side.Lines {
		if l := &r.Side.Lines[i]; live(l) && section(cableOf(r, l).Size) > section(most) {
			most = cableOf(r, l).Size
		}
	}
	return most
}

// section gives a conductor's copper, m²; 0 not known.
func section(s quantity.Size) float64 {
	if row := catalog.Default().Conductor(s); row != nil {
		return float64(row.Section)
	}
	return 0
}

var frameReturn = Rule{
	ID:       "BON-03",
	Title:    "Current comes back through the frame",
	Text:     "A frame is no conductor with a size: its joints are unknown, they rust, and in a boat the current eats metal. The voltage lost on the way is not worked out here either.",
	Source:   source.Ref{Title: "each device has a negative conductor of its own; the frame only bonds", How: source.Practice},
	Severity: finding.Warning,
	Failing:  dcWith("from: L1.b, to: N1.3", "from: L1.b, to: H1"),
	Passing:  dcJob,
	check:    checkFrameReturn,
}

func checkFrameReturn(r *report.Report, say *speaker) {
	foot := climb(r.Bank).foot(r.Bank)
	whole := joined(r.Bank).reach(foot...)
	own := joined(r.Bank, kindsOf(r.Bank, bank.Frame)...).reach(foot...)
	for i := range r.Bank.Parts {
		p := &r.Bank.Parts[i]
		if !p.Kind.Device() {
			continue
		}
		if e := p.Ends()[1]; whole.has(e) && !own.has(e) {
			say.find(p.ID, fmt.Sprintf("the current of %s comes back through the frame (%s)", p.ID, whole.way(e)), "run a negative cable of the positive one's size to the negative bar")
		}
	}
	if e := r.Bank.Takeoff.Negative; !hasDevice(r.Bank) && whole.has(e) && !own.has(e) {
		say.find(e.String(), "the current of the take-off comes back through the frame", "run a negative cable of the positive one's size")
	}
}
