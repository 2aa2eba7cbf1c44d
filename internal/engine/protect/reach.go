package protect

import (
	"math"

	"bankwright/internal/base/source"
	"bankwright/internal/model/rating"
)

// Fact is whether something is so; the zero Fact is not known.
type Fact int

// The facts.
const (
	Unknown Fact = iota
	Yes
	No
)

// Way is the conductor between the source of power and the first device.
type Way struct {
	Length      source.Value[float64] // m along the conductor
	Sheathed    Fact                  // in a sheath or enclosure all the way
	FromBattery Fact                  // it begins at a battery, not at another source of power
	Switched    Fact                  // its circuit has a switch that disconnects the battery: what a rule's Unless lifts it by
}

// Condition is whether what a rule asks beside the length is met.
type Condition string

// The conditions. A rule that asks for nothing is met.
const (
	Met          Condition = "met"
	NotMet       Condition = "condition not met"
	ConditionOff Condition = "lifted" // what the rule's Unless names is so
	NotKnown     Condition = "not known"
)

// ReachResult is one rule against the way. A rule whose condition is not met
// does not apply and is not checked; one that is lifted neither: that it sets
// no length does not make the way short enough for the others.
type ReachResult struct {
	Outcome
	Rule      rating.Reach
	Condition Condition
	Margin    float64 // m left; below 0 too long; NaN where the length is not told
}

// ReachResults is a way against several rules, which are alternatives: one
// that it is within is enough. Outside: all that apply are passed and none is
// left open. Not checked: it is within none, and one is lifted or could not be
// looked at, or none applies.
type ReachResults struct {
	Outcome
	Each []ReachResult // in the order of the rules
}

// Reaches holds the length without a device against rules for it.
func Reaches(w Way, rules []rating.Reach) ReachResults {
	var all ReachResults
	open, passed := 0, 0
	for _, rule := range rules {
		r := w.reach(rule)
		all.Each = append(all.Each, r)
		switch {
		case r.Verdict == Outside:
			passed++
		case r.Verdict == NotChecked && r.Condition != NotMet:
			open++
		}
	}
	for _, memory := range []bool{false, true} { // rather one that was read
		for _, r := range all.Each {
			if r.Verdict == Within && r.Memory == memory {
				all.Outcome = r.Outcome
				return all
			}
		}
	}
	for _, r := range all.Each {
		all.ground(r.Grounds...)
		all.Assumed = all.Assumed || r.Assumed
	}
	switch {
	case open > 0:
		all.say(NotChecked, "%d of %d rules are lifted or could not be looked at, and the way is within none of the others", open, len(rules))
	case passed > 0:
		all.say(Outside, "the way is longer than each rule that applies allows")
	default:
		all.say(NotChecked, "no rule applies")
	}
	return all
}

func (w *Way) reach(rule rating.Reach) ReachResult {
	r := ReachResult{Rule: rule, Condition: w.condition(rule), Margin: math.NaN()}
	r.ground(rule.Ref)
	if w.Length.Known() && w.Length.V >= 0 {
		r.Margin = float64(rule.Length) - w.Length.V
		r.use(w.Length)
	}
	short := atMost(w.Length.V, float64(rule.Length))
	switch {
	case r.Condition == ConditionOff:
		r.say(NotChecked, "this rule limits no length here: %s", rule.Unless)
	case r.Condition == NotMet:
		r.say(NotChecked, "the rule does not apply: %s", w.lacks(rule))
	case math.IsNaN(r.Margin):
		r.say(NotChecked, "the length is not told")
	case !short && r.Condition == NotKnown:
		r.say(NotChecked, "longer than the rule allows, but it is not told whether it applies or is lifted")
	case r.Condition == NotKnown && w.hinges(rule):
		r.say(NotChecked, "short enough, but it is not told whether the rule's condition is met")
	case short:
		r.say(Within, "no longer than the rule allows")
	default:
		r.say(Outside, "longer than the rule allows")
	}
	return r
}

// condition weighs what a rule asks beside the length.
func (w *Way) condition(rule rating.Reach) Condition {
	worst := Met
	for _, f := range w.asked(rule) {
		switch f {
		case No:
			return NotMet
		case Unknown:
			worst = NotKnown
		}
	}
	if rule.Unless != "" && w.Switched != No && worst == Met {
		if w.Switched == Yes {
			return ConditionOff
		}
		return NotKnown
	}
	return worst
}

// asked are the facts that a rule needs.
func (w *Way) asked(rule rating.Reach) []Fact {
	var all []Fact
	if rule.Battery {
		all = append(all, w.FromBattery)
	}
	if rule.Sheathed {
		all = append(all, w.Sheathed)
	}
	return all
}

// hinges reports whether a way that is short enough still waits for a fact: not
// so where only the lifting of the rule is open.
func (w *Way) hinges(rule rating.Reach) bool {
	for _, f := range w.asked(rule) {
		if f == Unknown {
			return true
		}
	}
	return false
}

// lacks says which condition is not met.
func (w *Way) lacks(rule rating.Reach) string {
	if rule.Battery && w.FromBattery == No {
		return "it is for a conductor from a battery"
	}
	return "it is for a conductor in a sheath or enclosure all the way"
}
