package protect

import (
	"math"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/rating"
)

// Standard ratings: NFPA 70 (2023) 240.6(A), from a public copy.
var standard = rating.StandardRatings{List: []quantity.Current{10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125,
	150, 175, 200, 225, 250, 300, 350, 400, 450, 500, 600, 700, 800, 1000, 1200}, Ref: source.Ref{Title: "NFPA 70", At: "240.6(A)", Edition: "2023", How: source.Read}}

// 33 CFR 183.455(c)(1) and (2), 46 CFR 111.50-3(c).
var (
	low  = rating.ProtectionLimit{ID: "low", Ratio: 1.5, Below: 50, Ref: source.Ref{Title: "33 CFR 183.455", At: "(c)(1)", Edition: "not stated", How: source.Read}}
	high = rating.ProtectionLimit{ID: "high", Ratio: 1, Next: 1.5, From: 50, Ref: source.Ref{Title: "33 CFR 183.455", At: "(c)(2)", Edition: "not stated", How: source.Read}}
	ship = rating.ProtectionLimit{ID: "ship", Ratio: 1, Next: 1.5, Ref: source.Ref{Title: "46 CFR 111.50-3", At: "(c)", Edition: "not stated", How: source.Read}}
)

// TestLargestDevice: 2/0 of 105 °C has 330 A in Table 5 of 33 CFR 183.425, 495
// A at 150 %: 450 A goes, 500 A does not. In an engine space it carries 330 ×
// 0.85 = 280.5 A, but the rule is for the plain amperes.
func TestLargestDevice(t *testing.T) {
	near(t, "in an engine space", 330*0.85, 280.5, 1e-9)
	for _, row := range []struct {
		name           string
		rule           rating.ProtectionLimit
		basis, device  float64
		want           Verdict
		largest, bound float64
	}{
		{"450 A", low, 330, 450, Within, 450, 495},
		{"500 A", low, 330, 500, Outside, 450, 495},
		{"just under", low, 330, 495 * (1 - 1e-6), Within, 450, 495},
		{"at", low, 330, 495, Within, 450, 495},
		{"just over", low, 330, 495 * (1 + 1e-6), Outside, 450, 495},
		{"from 50 V the next step", high, 330, 350, Within, 350, 495},
		{"from 50 V not the one after", high, 330, 400, Outside, 350, 495},
		{"no step, but under", high, 330, 320, Within, 350, 495},
		{"no step, over", high, 330, 340, Outside, 350, 495},
		{"a step itself", high, 350, 350, Within, 350, 525},
		{"a step itself, the next", high, 350, 400, Outside, 350, 525},
		{"ships alike", ship, 330, 350, Within, 350, 495},
		// 6 A: the next step is 10 A, 167 % of it; none below.
		{"next step too far", ship, 6, 10, Outside, nan, 9},
		{"next step too far, 150 % by ratio", low, 6, 10, Outside, nan, 9},
		{"next step at 150 %", ship, 10.0 / 1.5, 10, Within, 10, 10},
		{"above all steps", ship, 1300, 1200, Within, 1200, 1950},
		{"no device asked", low, 330, nan, NotChecked, 450, 495},
		{"no ampacity", low, nan, 450, NotChecked, nan, nan},
	} {
		t.Run(row.name, func(t *testing.T) {
			r := Allowed(source.Of(row.device), source.Look(row.basis, fromMemory), row.rule, &standard)
			verdict(t, row.name, r.Outcome, row.want)
			near(t, "largest", r.Largest, row.largest, 0)
			near(t, "bound", r.Bound, row.bound, 1e-9)
			if r.Grounds[0] != row.rule.Ref || r.Memory == math.IsNaN(row.basis) {
				t.Errorf("grounds %v, from memory %v", r.Grounds, r.Memory)
			}
		})
	}
	verdict(t, "no standard ratings", Allowed(source.Of(1.0), source.Of(10.0), low, &rating.StandardRatings{}).Outcome, NotChecked)
	// All steps: what Largest says is allowed, the next step is not.
	for _, rule := range []rating.ProtectionLimit{low, high, ship} {
		for basis := 8.0; basis < 790; basis *= 1.07 {
			largest := Allowed(source.Value[float64]{}, source.Of(basis), rule, &standard).Largest
			for _, step := range standard.List {
				got := Allowed(source.Of(float64(step)), source.Of(basis), rule, &standard)
				if allowed := got.Verdict == Within; allowed != (float64(step) <= largest) {
					t.Errorf("%s, %g A: %g A is %s, largest %g A", rule.ID, basis, float64(step), got.Verdict, largest)
				}
			}
		}
	}
}

// TestInterrupts: ratings of a fuse on a terminal post, 10 kA at 14 V, 5 kA at
// 32 V, 2 kA at 58 V (SAE J1171 with UL 248-1, from memory).
func TestInterrupts(t *testing.T) {
	cube := []Interrupt{{14, source.Look(10e3, fromMemory)}, {32, source.Look(5e3, fromMemory)}, {58, source.Look(2e3, fromMemory)}}
	for _, row := range []struct {
		name           string
		volts, most    float64
		want           Verdict
		rating, margin float64
	}{
		{"12 V bank", 13.6, 6850, Within, 10e3, 10e3 / 6850.0},
		{"at its volts, just under", 14, 10e3 * (1 - 1e-6), Within, 10e3, 1 / (1 - 1e-6)},
		{"at", 14, 10e3, Within, 10e3, 1},
		{"just over", 14, 10e3 * (1 + 1e-6), Outside, 10e3, 1 / (1 + 1e-6)},
		{"lead-acid on charge", 14.6, 6850, Outside, 5e3, 5e3 / 6850.0},
		{"48 V class", 54, 1999, Within, 2e3, 2e3 / 1999.0},
		{"more volts than any", 58.1, 100, Outside, nan, nan},
		{"no volts", nan, 100, NotChecked, nan, nan},
		{"no current", 14, nan, NotChecked, nan, nan},
		{"dead bank", 14, 0, Within, 10e3, inf},
	} {
		t.Run(row.name, func(t *testing.T) {
			b := Interrupts(cube, row.volts, row.most)
			verdict(t, row.name, b.Outcome, row.want)
			near(t, "rating", b.Rating, row.rating, 0)
			near(t, "margin", b.Margin, row.margin, 1e-9)
			if b.Memory != !math.IsNaN(row.rating) {
				t.Errorf("from memory: %v", b.Memory)
			}
		})
	}
	verdict(t, "not told", Interrupts([]Interrupt{{32, source.Value[float64]{}}}, 14, 100).Outcome, NotChecked)
	// A rating for more volts speaks for less, and the larger of two counts.
	odd := Interrupts([]Interrupt{{32, source.Of(1000.0)}, {58, source.Of(2000.0)}}, 14, 1500)
	verdict(t, "larger at more volts", odd.Outcome, Within)
}

// The reaches of 33 CFR 183.455(b), read, and 183.460(a), from memory.
const inch = 0.0254

var reaches = []rating.Reach{
	{ID: "near", Length: 7 * inch, Ref: source.Ref{Title: "33 CFR 183.455", At: "(b)(1)", Edition: "not stated", How: source.Read}},
	{ID: "sheathed", Length: 40 * inch, Sheathed: true, Ref: source.Ref{Title: "33 CFR 183.455", At: "(b)(2)", Edition: "not stated", How: source.Read}},
	{ID: "battery", Length: 72 * inch, Battery: true, Unless: "the circuit has a switch that disconnects the battery",
		Ref: source.Ref{Title: "33 CFR 183.460", At: "(a)", Edition: "not at hand", How: source.Memory}},
}

// TestReaches: each rule just under, at and over, with its condition met, not
// met, lifted and not known.
func TestReaches(t *testing.T) {
	for _, row := range []struct {
		name   string
		inches float64
		way    Way
		want   Verdict
		each   [3]Verdict
		cond   [3]Condition
	}{
		{"on the post itself", 0, Way{Sheathed: No, FromBattery: No, Switched: No}, Within, [3]Verdict{Within, NotChecked, NotChecked}, [3]Condition{Met, NotMet, NotMet}},
		{"at 7 in", 7, Way{Sheathed: No, FromBattery: No, Switched: No}, Within, [3]Verdict{Within, NotChecked, NotChecked}, [3]Condition{Met, NotMet, NotMet}},
		{"just over 7 in", 7.0001, Way{Sheathed: No, FromBattery: No, Switched: No}, Outside, [3]Verdict{Outside, NotChecked, NotChecked}, [3]Condition{Met, NotMet, NotMet}},
		{"at 40 in in a sheath", 40, Way{Sheathed: Yes, FromBattery: No, Switched: No}, Within, [3]Verdict{Outside, Within, NotChecked}, [3]Condition{Met, Met, NotMet}},
		{"over 40 in in a sheath", 40.0001, Way{Sheathed: Yes, FromBattery: No, Switched: No}, Outside, [3]Verdict{Outside, Outside, NotChecked}, [3]Condition{Met, Met, NotMet}},
		{"at 72 in from a battery", 72, Way{Sheathed: No, FromBattery: Yes, Switched: No}, Within, [3]Verdict{Outside, NotChecked, Within}, [3]Condition{Met, NotMet, Met}},
		{"over 72 in from a battery", 72.0001, Way{Sheathed: No, FromBattery: Yes, Switched: No}, Outside, [3]Verdict{Outside, NotChecked, Outside}, [3]Condition{Met, NotMet, Met}},
		{"lifted", 90, Way{Sheathed: No, FromBattery: Yes, Switched: Yes}, NotChecked, [3]Verdict{Outside, NotChecked, NotChecked}, [3]Condition{Met, NotMet, ConditionOff}},
		{"lifted, but short", 6, Way{Sheathed: No, FromBattery: Yes, Switched: Yes}, Within, [3]Verdict{Within, NotChecked, NotChecked}, [3]Condition{Met, NotMet, ConditionOff}},
		{"sheath not known", 20, Way{FromBattery: No, Switched: No}, NotChecked, [3]Verdict{Outside, NotChecked, NotChecked}, [3]Condition{Met, NotKnown, NotMet}},
		{"switch not known, short", 60, Way{Sheathed: No, FromBattery: Yes}, Within, [3]Verdict{Outside, NotChecked, Within}, [3]Condition{Met, NotMet, NotKnown}},
		{"switch not known, long", 80, Way{Sheathed: No, FromBattery: Yes}, NotChecked, [3]Verdict{Outside, NotChecked, NotChecked}, [3]Condition{Met, NotMet, NotKnown}},
		{"nothing known", 6, Way{}, Within, [3]Verdict{Within, NotChecked, NotChecked}, [3]Condition{Met, NotKnown, NotKnown}},
	} {
		t.Run(row.name, func(t *testing.T) {
			row.way.Length = source.Of(row.inches * inch)
			r := Reaches(row.way, reaches)
			verdict(t, row.name, r.Outcome, row.want)
			for i, one := range r.Each {
				verdict(t, one.Rule.ID, one.Outcome, row.each[i])
				if one.Condition != row.cond[i] {
					t.Errorf("%s: condition %q, want %q", one.Rule.ID, one.Condition, row.cond[i])
				}
				near(t, "margin", one.Margin, float64(reaches[i].Length)-row.inches*inch, 1e-12)
				if one.Memory != (i == 2) {
					t.Errorf("%s: from memory %v", one.Rule.ID, one.Memory)
				}
			}
		})
	}
	// A rule that was read speaks before one from memory.
	near6 := Reaches(Way{Length: source.Of(6 * inch), FromBattery: Yes, Switched: No}, []rating.Reach{reaches[2], reaches[0]})
	if near6.Memory {
		t.Errorf("rests on memory: %v", near6.Grounds)
	}
	verdict(t, "no length", Reaches(Way{Sheathed: No, FromBattery: No, Switched: No}, reaches).Outcome, NotChecked)
	verdict(t, "no rule applies", Reaches(Way{Length: source.Of(1.0), FromBattery: No}, reaches[2:]).Outcome, NotChecked, "no rule applies")
	far := Reaches(Way{Length: source.Assume(9.0, fromPage, ""), Sheathed: No, FromBattery: Yes, Switched: No}, reaches)
	if !far.Assumed || !far.Memory {
		t.Errorf("an assumed length and a rule from memory are not marked: %+v", far.Outcome)
	}
}
