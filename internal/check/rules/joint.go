package rules

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/terminal"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

// jointRules are those of lugs, studs, posts and what covers them.
var jointRules = []*Rule{&jointDrop, &jointHeat, &studCurrent, &lugOrder, &torque, &cover, &apart}

// bareJob is one battery in its compartment behind a fuse. Its one cable is a
// mere resistance: nothing that a lug could be wrong with.
const bareJob = `bankwright: 1
battery_types:
  block:
    chemistry: lfp
    nominal: 12.8 V
    capacity: 100 Ah
    resistance: 5 mΩ
    emf: 13.2 V
    size: {length: 13 in, width: 7 in, height: 8 in}
    posts: {positive: [2 in, 3 in], negative: [11 in, 3 in]}
    limits: {discharge: 100 A, charge: 50 A, trip: 200 A, charge_trip: 100 A}
compartments: [{id: bay, at: [0 in, 0 in, 0 in], size: {length: 20 in, width: 12 in, height: 12 in}}]
batteries: [{id: B1, type: block, at: [3 in, 2 in, 0 in], covered: true}]
parts: [{id: F1, kind: fuse, class: class_t, rating: 100 A, interrupt: 20 kA, volts: 125 V, resistance: 0.3 mΩ}, {id: Q1, kind: switch, rating: 100 A, resistance: 0.1 mΩ}]
cables: [{id: W1, from: B1+, to: F1.a, resistance: 0.3 mΩ}, {id: W8, from: F1.b, to: Q1.a, resistance: 0.3 mΩ}]
takeoff: {positive: Q1.a, negative: B1-}
`

// bareWith is bareJob with one text replaced.
func bareWith(old, new string) string {
	if !strings.Contains(bareJob, old) {
		panic("rules: the bare example lacks " + old)
	}
	return strings.Replace(bareJob, old, new, 1)
}

var jointDrop = Rule{
	ID:       "JNT-01",
	Title:    "A joint loses too many millivolts",
	Text:     "A good bolted joint of copper has a few micro-ohms. One that loses 10 to 20 mV at its rated current is suspect, and at 120 mV the copper in its spots softens and it gets worse by itself. Only joints that the job gives are judged; an assumed one is never more than not checked. Measure with the meter's tips on lug and post.",
	Source:   suspect().Ref,
	Severity: finding.Warning,
	Failing:  jointOf("0.3 mΩ"),
	Passing:  dcJob,
	check:    checkJointDrop,
}

// jointOf is dcJob with a joint of the main cable given.
func jointOf(ohm string) string {
	return dcWith("to: I1.a, size: 2/0 AWG", "to: I1.a, joint: {from: 0.02 mΩ, to: "+ohm+"}, size: 2/0 AWG")
}

// suspect is the published reading of a bolted joint that is looked into.
func suspect() jointRange { return limitOf("bar_joint_drop") }

// jointRange is what the catalogue has of a limit, SI, with its source.
type jointRange struct {
	least, most float64
	Ref         source.Ref
}

func limitOf(id string) jointRange {
	l := catalog.Default().JointLimit(id)
	if l == nil {
		panic("rules: the catalogue lacks " + id)
	}
	scale := map[string]float64{"mV": 1e-3, "K": 1}[l.Unit] // a limit is in its own unit
	if scale == 0 {
		panic("rules: " + id + " is in " + l.Unit)
	}
	return jointRange{l.Value.Least * scale, l.Value.Most * scale, l.Ref}
}

// joint is one cable end with a lasting current.
type joint struct {
	line *report.Line
	end  bank.End
	ohm  source.Value[quantity.Resistance]
}

// lossy lists the cable ends whose resistance is apart from the cable's, and
// the cables that give theirs whole.
func lossy(r *report.Report) (all []joint, whole []string) {
	for i := range r.Side.Lines {
		l := &r.Side.Lines[i]
		c := cableOf(r, l)
		if c.Whole.Known() {
			whole = append(whole, c.ID)
			continue
		}
		all = append(all, joint{l, c.From, c.Joints[0]}, joint{l, c.To, c.Joints[1]})
	}
	return all, whole
}

func checkJointDrop(r *report.Report, say *speaker) {
	limit := suspect()
	all, whole := lossy(r)
	if len(whole) > 0 {
		say.pass(whole[0], "the resistance is given whole, the joints are not apart: "+strings.Join(whole, ", "))
	}
	var guessed []string
	var worst float64
	for _, j := range all {
		at := terminal.Across(j.line.Steady.Amps, float64(j.ohm.V), j.line.Ambient)
		place := j.line.Cable + "@" + j.end.String()
		what := fmt.Sprintf("the joint of %s on %s loses %s at %s (%s)", j.line.Cable, j.end, volt(at.Voltage), amps(j.line.Steady.Amps), j.line.Steady.In)
		const mend = "clean and bolt it anew, lug on metal, and measure again"
		switch {
		case !(at.Voltage > limit.least*(1+1e-9)):
		case j.ohm.Origin == source.Assumed:
			guessed, worst = append(guessed, place), math.Max(worst, at.Voltage)
		case at.Voltage >= terminal.SofteningVoltage:
			say.hold(finding.Fault, place, what+": its copper softens", mend, number{value: at.Voltage, limit: terminal.SofteningVoltage, unit: "V"},
				source.Ref{Title: "R. Holm, Electric Contacts", At: "softening of copper", Edition: "1967", How: source.Memory})
		case at.Voltage > limit.most*(1+1e-9):
			say.hold(finding.Warning, place, what+"; above 20 mV it is bad", mend, number{value: at.Voltage, limit: limit.most, unit: "V"}, limit.Ref)
		default:
			say.hold(finding.Note, place, what+"; from 10 mV it is suspect", mend, number{value: at.Voltage, limit: limit.least, unit: "V"}, limit.Ref)
		}
	}
	if len(guessed) > 0 {
		say.pass(guessed[0], fmt.Sprintf("with the assumed resistance these joints lose up to %s; measure them: above 10 to 20 mV a joint is suspect: %s", volt(worst), strings.Join(guessed, ", ")))
	}
}

var jointHeat = Rule{
	ID:       "JNT-02",
	Title:    "A joint gets hot",
	Text:     "The heat made in the joint flows off along its own cable alone, which leans to the hot side: post, bar and air take some too. Connectors may rise 50 K in the steady test of their standard, and the cable's insulation bears no more than its rating right behind the lug. Only joints that the job gives are judged.",
	Source:   limitOf("connector_rise").Ref,
	Severity: finding.Warning,
	Failing:  jointOf("1 mΩ"),
	Passing:  dcJob,
	check:    checkJointHeat,
}

func checkJointHeat(r *report.Report, say *speaker) {
	limit := limitOf("connector_rise")
	all, _ := lossy(r)
	for _, j := range all {
		rise, ok := jointRise(r, j)
		if j.ohm.Origin == source.Assumed || j.line.Steady.Amps == 0 {
			continue
		}
		place := j.line.Cable + "@" + j.end.String()
		hot := j.line.Warm + rise
		switch {
		case !ok:
			say.pass(place, "the cable's own heat is not known")
		case rise > limit.most*(1+1e-9):
			say.hold(finding.Warning, place, fmt.Sprintf("the joint of %s on %s comes %.0f K above its cable at %s (%s)", j.line.Cable, j.end, rise, amps(j.line.Steady.Amps), j.line.Steady.In),
				"clean and bolt it anew, and measure its millivolts", number{value: rise, limit: limit.most, unit: "K"}, limit.Ref)
		case hot > float64(j.line.Insulation)*(1+1e-9):
			say.hold(finding.Warning, place, fmt.Sprintf("the joint of %s on %s comes to %s; the insulation bears %s", j.line.Cable, j.end, r.Bank.Show.FormatTemperature(quantity.Temperature(hot)), r.Bank.Show.FormatTemperature(j.line.Insulation)),
				"better the joint, or take a larger cable", number{value: hot, limit: float64(j.line.Insulation), unit: "K"}, source.Ref{Title: "the insulation's rating in the job", How: source.Practice})
		}
	}
}

// jointRise gives how far above its cable a joint gets. The cable's loss per
// kelvin is taken from the current that warms it to its insulation's limit.
func jointRise(r *report.Report, j joint) (kelvin float64, ok bool) {
	c, l := cableOf(r, j.line), j.line
	above := float64(l.Insulation) - l.Ambient
	area := section(c.Size)
	if !(above > 0) || !(l.Physics > 0) || math.IsInf(l.Physics, 1) || !(area > 0) || !c.Length.Known() || !(l.Warm > 0) || math.IsInf(l.Warm, 1) {
		return math.NaN(), false
	}
	per := float64(c.PerLength.V) * (1 + float64(c.Coefficient.V*(float64(l.Insulation)-293.15)))
	loss := float64(l.Physics*l.Physics) * per / above
	own := float64(l.Steady.Amps*l.Steady.Amps) * float64(c.PerLength.V) * c.Coefficient.V
	rest, err := terminal.Rest(l.Steady.Amps, float64(j.ohm.V), []terminal.Side{{Slope: loss - own, Conductivity: terminal.CopperConductivity, Section: area, Length: float64(c.Length.V) / 2, Far: l.Warm}})
	return rest.Rise, err == nil
}
