package rules

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/protect"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/rating"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

var interrupts = Rule{
	ID:       "PRO-06",
	Title:    "A device cannot break the fault current at its place",
	Text:     "A dead short just behind the device draws the most that a full, warm, new bank gives through the cables up to there. The device's own interrupting rating must reach it; without one its class stands in, which from memory is only a hint. That a battery's electronics may open first is not counted.",
	Source:   source.Ref{Title: "ABYC E-11", At: "a device breaks at least the batteries' short-circuit current, newer wording as a forum post quotes it", Edition: "not stated", How: source.Read},
	Severity: finding.Fault,
	Failing:  dcWith("rating: 20 A, interrupt: 5 kA", "rating: 20 A, interrupt: 1 kA"),
	Passing:  dcJob,
	check:    checkInterrupts,
}

func checkInterrupts(r *report.Report, say *speaker) {
	for i := range r.Side.Guards {
		g := &r.Side.Guards[i]
		p := partOf(r, g)
		rated, ref, own := breaks(p, g)
		switch {
		case math.IsNaN(g.Most):
			say.pass(g.Part, "no dead short draws through it here, or the current is not known")
		case rated == 0:
			say.pass(g.Part, fmt.Sprintf("what it can break is not known; a dead short behind it draws %s", amps(g.Most)))
		case protect.Interrupts([]protect.Interrupt{{Volts: g.Volts, Amps: source.Look(rated, ref)}}, g.Volts, g.Most).Verdict == protect.Outside:
			say.hold(finding.Fault, g.Part, fmt.Sprintf("%s breaks %s; a dead short behind it draws %s", g.Part, amps(rated), amps(g.Most)),
				"take a class with a larger interrupting rating, or put one ahead of it", number{value: g.Most, limit: rated, unit: "A"}, ref)
		case !own && ref.How == source.Memory:
			say.pass(g.Part, fmt.Sprintf("its class breaks %s, from memory; a dead short behind it draws %s: add the interrupting rating that is marked on it", amps(rated), amps(g.Most)))
		}
	}
}

// breaks gives what a device can break at its place: its own mark first, else
// its class's row; 0 where neither tells.
func breaks(p *bank.Part, g *report.Guard) (rated float64, ref source.Ref, own bool) {
	if p.Rated.Interrupt > 0 {
		return float64(p.Rated.Interrupt), source.Ref{}, true
	}
	if class := catalog.Default().FuseClass(p.Rated.Class); class != nil {
		if row, ok := class.InterruptAt(quantity.Voltage(g.Volts)); ok {
			return float64(row.Least), row.Ref, false
		}
	}
	return 0, source.Ref{}, false
}

var breakVolts = Rule{
	ID:       "PRO-07",
	Title:    "A device is made for less voltage than it may have to break",
	Text:     "A d.c. arc that a device cannot put out burns on. The highest voltage of the system counts, not the nominal one: what its sources hold, or the full bank. A rating for a.c. says nothing here.",
	Source:   source.Ref{Title: "33 CFR 183.455", At: "(d), which asks for the nominal voltage", Edition: "not stated", How: source.Read},
	Severity: finding.Fault,
	Failing:  dcWith("interrupt: 5 kA, volts: 32 V", "interrupt: 5 kA, volts: 12 V"),
	Passing:  dcJob,
	check:    checkBreakVolts,
}

func checkBreakVolts(r *report.Report, say *speaker) {
	for i := range r.Side.Guards {
		g := &r.Side.Guards[i]
		p := partOf(r, g)
		volts, ref, own := float64(p.Rated.Voltage), source.Ref{}, p.Rated.Voltage > 0
		if class := catalog.Default().FuseClass(p.Rated.Class); !own && class != nil {
			volts, ref = float64(class.Volts.Least()), class.Volts.Ref
		}
		switch {
		case volts == 0:
			say.pass(g.Part, fmt.Sprintf("the d.c. voltage it can break is not known; the system may reach %s", volt(g.Volts)))
		case over(g.Volts, volts):
			whose := "is"
			if !own {
				whose = "of this class may be"
			}
			say.hold(finding.Fault, g.Part, fmt.Sprintf("%s %s made for %s d.c.; the system may reach %s", g.Part, whose, volt(volts), volt(g.Volts)), "take one for more volts d.c.",
				number{value: g.Volts, limit: volts, unit: "V"}, ref)
		case !own && ref.How == source.Memory:
			say.pass(g.Part, fmt.Sprintf("its class is made for %s, from memory: add the d.c. voltage that is marked on it", volt(volts)))
		}
	}
}

var opensInTime = Rule{
	ID:       "PRO-10",
	Title:    "A device may not open in time at the least fault current",
	Text:     "An empty, cold, aged bank over hot cables gives little into a short at the far end. The device must open there too, within 5 s. The least current is assumed throughout.",
	Source:   source.Ref{Title: "IEC 60364-4-43", At: "434.5.2, short-circuit heat up to 5 s", Edition: "not at hand", How: source.Memory},
	Severity: finding.Warning,
	Failing:  banded("rating: 400 A"),
	Passing:  banded("rating: 200 A"),
	check:    checkOpensInTime,
}

// banded is the example with fuses of classes whose times are told.
func banded(rating string) string {
	return dcWith("class: class_t, rating: 200 A", "class: bolt_51, "+rating, "kind: breaker, rating: 20 A", "kind: fuse, class: blade, rating: 20 A", "class: class_t, rating: 60 A", "class: blade_high, rating: 60 A")
}

// shortTime is how long a short may last, s.
const shortTime = 5

func checkOpensInTime(r *report.Report, say *speaker) {
	for i := range r.Side.Guards {
		g := &r.Side.Guards[i]
		rated := float64(partOf(r, g).Rated.Current)
		if rated == 0 || len(g.Feeds) == 0 {
			continue
		}
		if math.IsNaN(g.Least) {
			say.pass(g.Part, "the least current of a dead short on what it saves is not known")
			continue
		}
		d := device(r, g)
		d.Clearing = source.Value[float64]{} // told for thousands of amperes, not for the least current
		at := fmt.Sprintf("the least dead short, at cable %s, draws %s through %s", g.LeastAt, amps(g.Least), g.Part)
		latest, open := d.Band.AtMost(g.Least/rated), false
		if points := d.Band.Points(); len(points) > 0 && math.IsNaN(latest) {
			open = true // below the first multiple at which it is told to open
		}
		n := number{value: latest, limit: shortTime, unit: "s"}
		beyond := math.IsNaN(d.Band.Max(g.Least / rated))
		switch {
		case !over(g.Least, rated) || open:
			say.hold(finding.Warning, g.Part, at+fmt.Sprintf(", %.3g times its rating: it need not open", g.Least/rated), "take a smaller device or thicker cables, or shorten the run", number{value: g.Least, limit: rated, unit: "A", least: true}, bandRef(d))
		case math.IsNaN(latest) || beyond && over(latest, shortTime):
			say.pass(g.Part, "the least dead short behind it is beyond the times told for its class: look at its own curve")
		case over(latest, shortTime):
			say.hold(finding.Warning, g.Part, at+fmt.Sprintf(", %.3g times its rating: it may take %s, more than %s", g.Least/rated, quantity.Format(quantity.Duration(latest), 2), quantity.Format(quantity.Duration(shortTime), 2)),
				"take a smaller or faster device, or thicker cables", n, bandRef(d))
		}
	}
}

var cranking = Rule{
	ID:       "PRO-18",
	Title:    "The table by cold cranking amperes is not for lithium",
	Text:     "A marine table gives what a main or branch breaker must break by the cold cranking amperes of the batteries: 1500 to 5000 A for a main. That rating belongs to lead-acid batteries; a lithium battery has none, and its short-circuit current has no tie to it. Here the prospective current counts instead, PRO-06.",
	Source:   source.Ref{Title: "ABYC E-11", At: "E-11.16, Table V-A, as a trade page quotes it", Edition: "not stated", How: source.Read},
	Severity: finding.Note,
	Failing:  dcWith("rating: 20 A, interrupt: 5 kA", "rating: 20 A, interrupt: 3 kA"),
	Passing:  dcJob,
	check:    checkCranking,
}

// checkCranking speaks once, of the devices that break less than the table's
// largest figure and so may have been chosen by it.
func checkCranking(r *report.Report, say *speaker) {
	if regime(r) != rating.Marine || !lithium(r.Bank) {
		return
	}
	top := quantity.Current(0)
	for _, row := range catalog.Default().RequiredInterrupt().Rows {
		top = max(top, row.Main)
	}
	var names []string
	for i := range r.Side.Guards {
		if p := partOf(r, &r.Side.Guards[i]); p.Rated.Interrupt > 0 && p.Rated.Interrupt < top {
			names = append(names, p.ID)
		}
	}
	if len(names) > 0 {
		say.find(names[0], fmt.Sprintf("%s: an interrupting rating below %s may come from the table by cold cranking amperes; that table is for lead-acid and was not applied to these lithium batteries", listed(names), amps(float64(top))),
			"rely on the prospective current at the place, and on the battery maker's short-circuit figure")
	}
}

func lithium(b *bank.Bank) bool {
	for i := range b.Batteries {
		if b.Batteries[i].Chemistry == bank.LFP {
			return true
		}
	}
	return false
}
