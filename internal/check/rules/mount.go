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

// mountRules look at how the batteries are held down, taken out and lifted. They
// speak only where the job has a mounting.
var mountRules = []*Rule{&mountLoose, &mountWeak, &mountFree, &mountMetals, &mountOut, &mountLift, &mountStrap, &mountTorque}

// CheckMount runs the rules of the mounting alone, for a job whose circuit
// cannot be checked.
func CheckMount(r *report.Report) (found []finding.Finding, unchecked []finding.Unchecked) {
	for _, rule := range mountRules {
		say := speaker{rule: rule}
		rule.check(r, &say)
		found = append(found, fold(say.findings)...)
		unchecked = append(unchecked, say.unchecked...)
	}
	return found, unchecked
}

var tierRef = source.Ref{Title: "tiers for holding batteries down; the loads are those of the rule that the job names", How: source.Practice}

var mountLoose = Rule{
	ID:       "MNT-01",
	Title:    "A battery is held by nothing",
	Text:     "A battery that no hold-down holds slides at the first hard braking and is thrown in a crash. A short across its posts or a torn cable follows. Standing between others is no hold-down, nor is a bar that passes beside it or over a lower case.",
	Source:   source.Ref{Title: "33 CFR 183.420", At: "(a)", Edition: "agency text", How: source.Read},
	Severity: finding.Fault,
	Failing:  mountJob("holds: [B1, B2], lip: 40 mm", "holds: [B1], lip: 40 mm", "holds: [B1, B2], at: [[185 mm, -20", "holds: [B1], at: [[185 mm, -20", "holds: [B1, B2], at: [[-30", "holds: [B1], at: [[-30"),
	Passing:  mountJob(),
	check: func(r *report.Report, say *speaker) {
		if r.Mount == nil {
			return
		}
		for _, id := range r.Mount.Loose {
			say.find(id, "nothing holds "+id+" down", "add it to the holds of a hold-down that takes it, or give it one of its own")
		}
		for _, b := range r.Mount.Bare {
			say.find(b.Battery, fmt.Sprintf("%s is said to be held by %s, but no bar or strap of it lies on %s", b.Battery, strings.Join(b.Holds, ", "), b.Battery), "move the bar or strap over it, pack a lower case up, or hold it another way")
		}
	},
}

var mountWeak = Rule{
	ID:       "MNT-02",
	Title:    "A part of a hold-down is weaker than the rule asks",
	Text:     "Each rod, bar, bolt, strap, lip and floor is held against what it feels in each direction the rule asks for, with the strength and factor of that rule. The weakest counts. A part whose strength the job does not give is not checked.",
	Source:   tierRef,
	Severity: finding.Fault,
	Failing:  mountJob("width: 20 mm, wall: 2 mm, alloy: 6061-T6", "width: 6 mm, wall: 1 mm, alloy: 6063-T5"),
	Passing:  mountJob(),
	check:    checkWeak,
}

func checkWeak(r *report.Report, say *speaker) {
	if r.Mount == nil {
		return
	}
	for _, u := range r.Mount.Unknown {
		say.pass(u.ID, u.Why)
	}
	for i := range r.Mount.Groups {
		worst := r.Mount.Groups[i].Worst()
		for n := range worst {
			p := &worst[n]
			switch {
			case math.IsNaN(p.Margin):
				say.pass(p.Of, fmt.Sprintf("the %s bears %s %s: %s", p.Name(), newton(p.Demand), p.Direction, p.Why))
			case p.Margin < 1:
				say.hold(finding.Fault, p.Of, fmt.Sprintf("the %s takes %s %s, where %s asks %s of it: margin %.2f%s", p.Name(), newton(p.Capacity), p.Direction, r.Mount.Rule.ID, newton(p.Demand), p.Margin, byMemory(r)),
					"take a stronger one, more of them, or a shorter span", number{value: p.Demand, limit: p.Capacity, unit: "N"}, source.Ref{})
			}
		}
	}
}

// byMemory says where the loads of a rule are from memory.
func byMemory(r *report.Report) string {
	if r.Mount.Rule.Ref.How == source.Memory {
		return " (the rule's loads are from memory)"
	}
	return ""
}

func newton(v float64) string { return quantity.Format(quantity.Force(v), 3) }

var mountFree = Rule{
	ID:       "MNT-03",
	Title:    "A direction in which nothing holds the batteries",
	Text:     "The hold-downs together must take the load in every direction the rule asks for: against sliding, against lifting, and against tipping. Whatever their strength, rods that only pull down do not stop a slide, and a lip does not stop a lift. Friction counts only where the job says so.",
	Source:   tierRef,
	Severity: finding.Fault,
	Failing:  mountJob("lip: 40 mm, strength", "lip: 40 mm, sides: [left, right], strength"),
	Passing:  mountJob(),
	check:    checkFree,
}

func checkFree(r *report.Report, say *speaker) {
	if r.Mount == nil {
		return
	}
	for i := range r.Mount.Groups {
		g := &r.Mount.Groups[i]
		for n := range g.Cases {
			c := &g.Cases[n]
			if c.Held {
				continue
			}
			left := newton(c.Free) + " that nothing takes"
			if c.Turn > 0 {
				left = quantity.Format(quantity.Torque(c.Turn), 3) + " that nothing takes"
			}
			say.find(g.Holds[0], fmt.Sprintf("%s: under %.3g g %s the block %s; %s", g.Name(), c.Multiple, c.Direction, c.How, left), freeMend(c))
		}
	}
}

func freeMend(c *report.MountCase) string {
	switch c.How {
	case "slides":
		return "add a tray with a lip, brackets at that side, or bolts"
	case "lifts":
		return "add rods with a bar, a strap or a shelf over them"
	}
	return "hold the top as well as the foot: a bar or strap over them, or a higher lip"
}

var mountMetals = Rule{
	ID:       "MNT-04",
	Title:    "Two metals that eat one another",
	Text:     "Where it is damp, the less noble of two metals in contact corrodes, the faster the further they lie apart and the smaller its face is: stainless bolts in aluminium sheet, but not the reverse. The limits by surroundings are from memory. Sleeves and washers that keep them apart end it.",
	Source:   source.Ref{Title: "MIL-STD-1250A", At: "dissimilar metals", Edition: "not stated", How: source.Read},
	Severity: finding.Warning,
	Failing:  mountJob("isolated: true", "isolated: false"),
	Passing:  mountJob(),
	check:    checkMetals,
}

func checkMetals(r *report.Report, say *speaker) {
	if r.Mount == nil {
		return
	}
	for _, m := range r.Mount.Metals {
		if m.Within || m.Apart {
			continue
		}
		message := fmt.Sprintf("%s of %s on %s of %s: %.2f V apart, %s surroundings bear %.2f V (figures from memory); the %s corrodes", m.One, m.MetalOne, m.Other, m.MetalTo, m.Difference, m.Place, m.Limit, m.Corrodes)
		if m.Fastener {
			message += ", and it is the small one"
		}
		say.hold(finding.Warning, m.Hold, message, "put insulating sleeves and washers between them and say isolated: true, or take metals closer together", number{value: m.Difference, limit: m.Limit, unit: "V"}, source.Ref{})
	}
}

// tape is what no tape measure shows, m.
const tape = 1e-6

var mountOut = Rule{
	ID:       "MNT-05",
	Title:    "No room to take a battery out",
	Text:     "A battery has to come out for service, and fast when it is hot. It is drawn up over the lip, with room for a hand or strap, under the lid and what stands over it.",
	Source:   source.Ref{Title: "room for service", How: source.Practice},
	Severity: finding.Warning,
	Failing:  mountJob("lid: opens", "lid: fixed"),
	Passing:  mountJob(),
	check: func(r *report.Report, say *speaker) {
		if r.Mount == nil {
			return
		}
		for _, o := range r.Mount.Out {
			if o.Spare < -tape {
				show := r.Bank.Show
				say.hold(finding.Warning, o.Battery, fmt.Sprintf("to take it out %s needs %s from its floor; there is %s under %s", o.Battery, show.FormatLength(quantity.Length(o.Needs)), show.FormatLength(quantity.Length(o.Free)), o.By),
					"let the lid open over it (lid: opens), take it out sideways (way), or move what stands over it", number{value: o.Free, limit: o.Needs, unit: "m", least: true}, source.Ref{})
			}
		}
	},
}

var mountLift = Rule{
	ID:       "MNT-06",
	Title:    "A battery heavier than one lift by hand",
	Text:     "The published equation gives the mass that most healthy people lift in a posture now and then. Above it the back is at risk: above three times it gravely. More people or a hoist share it.",
	Source:   source.Ref{Title: "NIOSH 94-110, applications manual for the revised lifting equation", Edition: "revised 2021", How: source.Read},
	Severity: finding.Note,
	Failing:  mountJob("mass: 11 kg", "mass: 30 kg"),
	Passing:  mountJob(),
	check: func(r *report.Report, say *speaker) {
		if r.Mount == nil {
			return
		}
		for _, l := range r.Mount.Lifts {
			if l.Index > 1 {
				mend := "lift it with a hoist"
				if l.Enough > 0 && l.Enough <= 4 {
					mend = fmt.Sprintf("lift it with %d people, or a hoist", l.Enough)
				}
				say.hold(finding.Note, l.Battery, fmt.Sprintf("%s weighs %s; the limit for one in this posture is %s, lifting index %.2f with %d", l.Battery, kilo(l.Mass), kilo(l.Limit), l.Index, l.People), mend, number{value: l.Mass / float64(l.People), limit: l.Limit, unit: "kg"}, source.Ref{})
			}
		}
	},
}

func kilo(v float64) string { return quantity.Format(quantity.Mass(v), 3) }

var mountStrap = Rule{
	ID:       "MNT-07",
	Title:    "A strap lies over a post or a cap",
	Text:     "A strap over a post chafes its insulation, pushes on the lug and hinders a wrench; over a filler cap it hinders service and stops the vent. Its way is looked at on the plan, 15 mm clear of the middle of each post and cap.",
	Source:   source.Ref{Title: "straps over batteries", How: source.Practice},
	Severity: finding.Warning,
	Failing:  mountJob(strapLine, strings.ReplaceAll(strapLine, "165 mm", "45 mm")),
	Passing:  mountJob(),
	check: func(r *report.Report, say *speaker) {
		if r.Mount == nil {
			return
		}
		for _, s := range r.Mount.Straps {
			if s.Over == nil {
				continue
			}
			mend := "no way beside it is clear: turn it the other way over the cases, or hold them by a bar or brackets"
			if s.Moved {
				mend = "move it by " + shiftWords(r, s.Shift)
			}
			say.find(s.Of, fmt.Sprintf("the strap %s lies over %s", s.Hold, strings.Join(s.Over, ", ")), mend)
		}
	},
}

// shiftWords says a move on the plan.
func shiftWords(r *report.Report, p bank.Point) string {
	var words []string
	for _, one := range []struct {
		d    float64
		axis string
	}{{p.X, "x"}, {p.Y, "y"}} {
		if math.Abs(one.d) > 1e-6 {
			words = append(words, fmt.Sprintf("%s in %s", r.Bank.Show.FormatLength(quantity.Length(one.d)), one.axis))
		}
	}
	return strings.Join(words, " and ")
}

var mountTorque = Rule{
	ID:       "MNT-08",
	Title:    "A torque that stretches a bolt or bends a bar",
	Text:     "A torque gives a pull of T/(K·D), a third more or less. At the most of it the bolt should stay under its proof load and a bar under its yield. A bar presses the cases with the pull of both rods: tighten such rods only until the bar bears.",
	Source:   source.Ref{Title: "fastener makers' tables", At: "T = K·D·F", Edition: "not stated", How: source.Read},
	Severity: finding.Warning,
	Failing:  mountJob("torque: 1 N·m", "torque: 20 N·m"),
	Passing:  mountJob(),
	check: func(r *report.Report, say *speaker) {
		if r.Mount == nil {
			return
		}
		for _, p := range r.Mount.Preloads {
			mend := fmt.Sprintf("tighten %s until it bears, then no more", p.Hold)
			if p.Most > p.Proof {
				if p.Press == 0 {
					mend = "tighten it to " + quantity.Format(quantity.Torque(p.Torque), 2)
				}
				say.hold(finding.Warning, p.Hold, fmt.Sprintf("%s at the nuts of %s may pull %s; the proof load is %s", quantity.Format(quantity.Torque(p.Given), 3), p.Hold, newton(p.Most), newton(p.Proof)), mend, number{value: p.Most, limit: p.Proof, unit: "N"}, source.Ref{})
			}
			if p.Bar < 1 {
				say.hold(finding.Warning, p.Hold, fmt.Sprintf("%s at the nuts of %s may pull %s at each rod; the bar yields at %s", quantity.Format(quantity.Torque(p.Given), 3), p.Hold, newton(p.Most), newton(p.Bar*p.Most)), mend, number{value: p.Most, limit: p.Bar * p.Most, unit: "N"}, source.Ref{})
			}
		}
	},
}
