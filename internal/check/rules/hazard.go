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

// hazardRules read the table of what stops what.
var hazardRules = []*Rule{&noBarrier, &oneBarrier, &twoSensors, &noLockout}

// barrierPractice is the ground of the table: no published rule counts so.
var barrierPractice = source.Ref{Title: "nothing that can ruin a battery or start a fire hangs on one part alone", How: source.Practice}

var noBarrier = Rule{
	ID:       "HAZ-01",
	Title:    "Nothing stops a hazard",
	Text:     "For each way in which a source, a load or a mishap can hurt the batteries, the job is searched for what senses it and acts: the battery's own protection, the source's own limits, a fuse, a cut-out, a cover. Only what the job states counts. What is assumed of the chemistry, and what a person must do by hand, does not. Over-discharge of lead-acid and a reversed battery are warnings: the one ruins without fire, the other is met by the order of work.",
	Source:   barrierPractice,
	Severity: finding.Fault,
	Failing:  dcWith("low: 10 V, ", ""),
	Passing:  dcJob,
	check:    checkNoBarrier,
}

func checkNoBarrier(r *report.Report, say *speaker) {
	sources := 0
	for i := range r.Bank.Parts {
		if r.Bank.Parts[i].Kind.Charges() {
			sources++
		}
	}
	if sources == 0 {
		for _, c := range r.Bank.Cases {
			if c.Current < 0 || c.Power < 0 {
				say.pass("takeoff", "case "+c.ID+" charges through the take-off, but the job has no charging source: what stops it is not known")
				break
			}
		}
	}
	open := map[string]bool{} // ways with no device at all: said once
	for i := range r.Side.Hazards {
		h := &r.Side.Hazards[i]
		if len(h.Stated()) > 0 || h.What == report.Freezing || h.What == report.OverCurrent && open[h.Through] {
			continue
		}
		open[h.Through] = open[h.Through] || h.What == report.DeadShort
		severity := finding.Fault
		switch {
		case h.What == report.TooHot && !h.Lithium:
			say.pass(h.Through, "the job cannot say whether it senses how warm "+names(h)+" are and lowers its voltage")
			continue
		case h.What == report.Reversed && !h.Parallel:
			continue
		case h.What == report.Reversed, h.What == report.OverCurrent, h.What == report.OverDischarge && !h.Lithium:
			severity = finding.Warning
		}
		say.hold(severity, h.Place(), "nothing that the job states stops "+hazardWords(h)+assumedBarriers(h), mend(r, h), number{}, source.Ref{})
	}
}

// names lists a hazard's batteries.
func names(h *report.Hazard) string { return strings.Join(h.Batteries, ", ") }

// hazardWords name a hazard with where it comes by.
func hazardWords(h *report.Hazard) string {
	switch {
	case h.What == report.Reversed:
		return "the current of a battery connected the wrong way round (" + names(h) + ")"
	case h.What == report.CoverOff:
		return "metal falling across the posts of " + names(h)
	case h.What == report.TooHot:
		return h.Through + " from charging " + names(h) + " when too hot"
	case h.What == report.Freezing:
		return h.Through + " from charging " + names(h) + " below freezing"
	}
	return fmt.Sprintf("%s of %s through %s", h.What, names(h), h.Through)
}

// assumedBarriers tells what is assumed only.
func assumedBarriers(h *report.Hazard) string {
	for _, b := range h.Barriers {
		if b.Assumed {
			return fmt.Sprintf("; that %s %s is assumed", who(&b), b.How)
		}
	}
	return ""
}

// who acts: a part by its ID, or a battery's protection.
func who(b *report.Barrier) string {
	if b.Own {
		return "the " + b.Acts
	}
	return b.Acts
}

var oneBarrier = Rule{
	ID:       "HAZ-02",
	Title:    "One thing alone stops a hazard",
	Text:     "As HAZ-01, where a single barrier is left: should it fail nothing else acts. Nothing is said where one is the ordinary state: lead-acid, the fuse of a dead short, heat, a plain load on a battery that opens when empty, and the limits that no second part can have. A battery's own electronics alone are not enough for a dead short: what they break is seldom told.",
	Source:   barrierPractice,
	Severity: finding.Warning,
	Failing:  dcWith(", cold_lockout: 2 °C", ""),
	Passing:  dcJob,
	check:    checkOneBarrier,
}

func checkOneBarrier(r *report.Report, say *speaker) {
	for i := range r.Side.Hazards {
		h := &r.Side.Hazards[i]
		stated := h.Stated()
		if len(stated) != 1 {
			continue
		}
		only := stated[0]
		severity := lonely(r, h, &only)
		if severity == "" {
			continue
		}
		say.hold(severity, h.Place(), fmt.Sprintf("only one thing stops %s: %s %s%s", hazardWords(h), who(&only), only.How, assumedBarriers(h)), mend(r, h), number{}, source.Ref{})
	}
}

// lonely is how grave it is that one barrier stands alone, "" where that is
// the ordinary state.
func lonely(r *report.Report, h *report.Hazard, only *report.Barrier) finding.Severity {
	switch h.What {
	case report.Freezing:
		return finding.Warning
	case report.OverVoltage:
		if h.Lithium {
			return finding.Warning
		}
	case report.OverCharge:
		if only.Own {
			return finding.Warning
		}
		if h.Lithium {
			return finding.Note
		}
	case report.OverDischarge:
		if h.Lithium && !(only.Own && r.Bank.Part(h.Through).Kind == bank.Load) {
			return finding.Warning
		}
	case report.DeadShort:
		if only.Own {
			return finding.Warning
		}
	}
	return ""
}

var twoSensors = Rule{
	ID:       "HAZ-03",
	Title:    "Two sensors of temperature that differ",
	Text:     "A source with a sensor of its own and a battery with another stop charge at different temperatures, and they sit at different places. The warmer setting governs while both read right; which one is meant to govern should be written down. A source that is set colder than the battery is SRC-05.",
	Source:   barrierPractice,
	Severity: finding.Note,
	Failing:  dcJob,
	Passing:  dcWith("cold_lockout: 2 °C", "cold_lockout: 0 °C"),
	check:    checkTwoSensors,
}

func checkTwoSensors(r *report.Report, say *speaker) {
	at := map[string]string{} // sources by what they are said to do: sources of one setting are one note
	var said []string
	eachCold(r, func(p *bank.Part, h *report.Hazard, battery quantity.Temperature) {
		if own := p.Device.ColdLockout; own > 0 && float64(own-battery) > sameKelvin {
			what := fmt.Sprintf("charging stops below %s by a sensor of the source, and %s refuse charge below %s by theirs: the source governs while both read right, and nothing says which is meant to",
				r.Bank.Show.FormatTemperature(own), names(h), r.Bank.Show.FormatTemperature(battery))
			if at[what] == "" {
				said = append(said, what)
				at[what] = p.ID
			} else {
				at[what] += ", " + p.ID
			}
		}
	})
	for _, what := range said {
		first, _, _ := strings.Cut(at[what], ",")
		say.find(first, at[what]+": "+what, "write down which governs, and put the source's sensor on the coldest battery")
	}
}

// sameKelvin is how far two settings may lie apart and still be one: below what
// a sensor of this trade reads. Common practice, no source.
const sameKelvin = 0.5

// eachCold walks sources that charge batteries with a stated limit for charge
// in the cold.
func eachCold(r *report.Report, do func(p *bank.Part, h *report.Hazard, battery quantity.Temperature)) {
	for i := range r.Side.Hazards {
		h := &r.Side.Hazards[i]
		if h.What != report.Freezing {
			continue
		}
		limit := r.Bank.Battery(h.Batteries[0]).Model.Guard.ColdCharge
		if limit.Origin == source.Given && !math.IsNaN(float64(limit.V)) {
			do(r.Bank.Part(h.Through), h, limit.V)
		}
	}
}

var noLockout = Rule{
	ID:       "HAZ-04",
	Title:    "Lithium that is charged below freezing",
	Text:     "Below 0 °C lithium plates out on the graphite while a cell is charged, the more the faster it is charged; it does not show from outside. Each charging source is looked at apart: one that never sees the batteries' temperature, on batteries that the job gives no cold lockout, charges them at any temperature. That one charge ruins a cell is more than is known; the rule is a precaution.",
	Source:   source.Ref{Title: "charge range of lithium iron phosphate cells, 0 to 60 °C", At: "a cell's specification as a page quotes it; plating: Petzl and Danzer, J. Power Sources 254 (2014) 80, abstract", Edition: "not stated", How: source.Read},
	Severity: finding.Fault,
	Failing:  dcWith(", cold_lockout: 2 °C", "", "cold_charge: 0 °C, ", ""),
	Passing:  dcJob,
	check:    checkNoLockout,
}

func checkNoLockout(r *report.Report, say *speaker) {
	for i := range r.Side.Hazards {
		h := &r.Side.Hazards[i]
		if h.What != report.Freezing || len(h.Stated()) > 0 {
			continue
		}
		sees := "never sees their temperature"
		if own := r.Bank.Part(h.Through).Device.ColdLockout; own > 0 {
			sees = "stops only below " + r.Bank.Show.FormatTemperature(own)
		}
		say.find(h.Through, fmt.Sprintf("%s charges %s, %s, and the job states no cold lockout of the batteries%s", h.Through, names(h), sees, assumedBarriers(h)), mend(r, h))
	}
}
