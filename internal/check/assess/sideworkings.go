package assess

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/base/working"
	"bankwright/internal/engine/conductor"
	"bankwright/internal/engine/fault"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// sideNumbers are the kinds of number of the d.c. side, each after the ID of a
// cable or part.
var sideNumbers = []string{"steady", "surge", "ampacity", "physics", "temperature", "withstand", "most", "least", "terminals", "lost", "weak", "rise", "inductance"}

// IsSideNumber reports whether an ID is that of a number of the d.c. side, such
// as W6.ampacity.
func IsSideNumber(id string) bool {
	_, kind, ok := strings.Cut(id, ".")
	if n := strings.LastIndexByte(id, '.'); n >= 0 && riseKind(id[n+1:]) != "" {
		return true // of a place, as P1.2.rise
	}
	return ok && slices.Contains(sideNumbers, kind)
}

// ExplainSide gives the working of a number of the d.c. side: W6.ampacity,
// F1.least, I1.terminals. The error lists what there is.
func (j *Job) ExplainSide(id string) (working.Working, error) {
	if n := strings.LastIndexByte(id, '.'); n >= 0 && riseKind(id[n+1:]) != "" {
		return j.explainRise(id[:n], id[n+1:])
	}
	s, err := j.Side()
	if err != nil {
		return working.Working{}, err
	}
	all := j.sideWorkings(s)
	var names []string
	for _, w := range all {
		if w.ID == id {
			return w, nil
		}
		names = append(names, w.ID)
	}
	if why := noAmpacity(s, id); why != "" {
		return working.Working{}, fmt.Errorf("there is no number %s: %s", id, why)
	}
	return working.Working{}, fmt.Errorf("there is no number %s; of the d.c. side there are %s", id, ofSame(names, id))
}

// noAmpacity says why a cable has no row of the table, "" where it is not that.
func noAmpacity(s *report.Side, id string) string {
	for i := range s.Lines {
		if l := &s.Lines[i]; id == l.Cable+".ampacity" && l.NoTable != "" {
			return l.NoTable + "; " + l.Cable + ".physics is what the heat balance gives"
		}
	}
	return ""
}

// ofSame keeps the names of the same cable or part; where it has none all.
func ofSame(names []string, id string) string {
	place, _, _ := strings.Cut(id, ".")
	var same []string
	for _, n := range names {
		if strings.HasPrefix(n, place+".") {
			same = append(same, n)
		}
	}
	if len(same) > 0 {
		return strings.Join(same, ", ")
	}
	return strings.Join(names, ", ")
}

// sideWorkings gives the derivation of every number of the d.c. side that is
// known.
func (j *Job) sideWorkings(s *report.Side) []working.Working {
	var all []working.Working
	for i := range s.Lines {
		l := &s.Lines[i]
		c := &j.Bank.Cables[i]
		all = append(all, flowWorkings(s, l.Cable, func(sc *report.Scenario) float64 { return sc.Cables[i] }, l.Steady, l.Surge)...)
		all = append(all, j.lineWorkings(l, c)...)
		all = append(all, j.faultWorkings(l.Cable, l.Most, l.Least, "in shorts at its two ends, the larger")...)
	}
	for i := range s.Guards {
		g := &s.Guards[i]
		all = append(all, flowWorkings(s, g.Part, func(sc *report.Scenario) float64 { return sc.Parts[g.Part] }, g.Steady, g.Surge)...)
		all = append(all, j.faultWorkings(g.Part, g.Most, g.Least, "in a short at the far end of "+g.LeastAt)...)
	}
	for i := range s.Loads {
		all = append(all, j.loadWorkings(s, &s.Loads[i])...)
	}
	return all
}

// flowWorkings are the largest lasting and the largest short current of
// something, over all states.
func flowWorkings(s *report.Side, id string, amperes func(*report.Scenario) float64, steady, surge report.WorstFlow) []working.Working {
	one := working.Working{ID: id + ".steady", What: "largest lasting current of " + id, Formula: fmt.Sprintf("the largest over the states of the job that last %d s or more; %s", lasting, nodal), Result: amps(steady.Amps)}
	two := working.Working{ID: id + ".surge", What: "largest current of " + id + " in what lasts less", Formula: fmt.Sprintf("the largest over the states of the job that last less than %d s; %s", lasting, nodal), Result: amps(surge.Amps)}
	for i := range s.Scenarios {
		sc := &s.Scenarios[i]
		in := working.Input{Name: sc.Name, Value: amps(amperes(sc)), Origin: source.Computed}
		if sc.Assumed {
			in.Origin, in.Note = source.Assumed, "an efficiency in it is assumed"
		}
		into := &one
		if sc.Seconds < lasting {
			into = &two
		}
		into.Inputs = append(into.Inputs, in)
	}
	if len(two.Inputs) == 0 {
		return []working.Working{one}
	}
	return []working.Working{one, two}
}

// lineWorkings are what a cable may carry by table and by heat balance, how
// warm it gets, and what it bears in a short.
func (j *Job) lineWorkings(l *report.Line, c *bank.Cable) []working.Working {
	var all []working.Working
	if t := l.Governing(); t != nil {
		one := working.Working{ID: l.Cable + ".ampacity", What: "what " + l.Cable + " may carry by the table of the book of rules", Formula: "the table's row times its factors", Result: amps(t.Amps), Source: t.Ref.String(),
			Inputs: []working.Input{{Name: fmt.Sprintf("row of %s for insulation of %s", c.Size, j.Bank.Show.FormatTemperature(l.Insulation)), Value: amps(t.Base), Origin: source.LookedUp, Source: t.Ref.String()}}}
		for _, f := range t.Factors {
			one.Inputs = append(one.Inputs, working.Input{Name: "factor for " + f.Name, Value: fmt.Sprintf("%g", f.Value), Origin: source.LookedUp, Source: f.Ref.String()})
		}
		all = append(all, one)
	}
	made, ins, _, err := j.made(c)
	if c.Size.IsZero() || err != nil {
		return all
	}
	const balance = "the heat made, I²·R(T), is what leaves: convection π·D·h·(Ts − Ta) and radiation; T − Ts over the thermal resistance of the insulation (doc/methods.md)"
	in := j.heatInputs(l, c, &made)
	if !math.IsNaN(l.Physics) {
		all = append(all, working.Working{ID: l.Cable + ".physics", What: "current that warms " + l.Cable + " to what its insulation bears", Formula: "I at which " + balance, Inputs: in, Result: amps(l.Physics), Source: heatRef.String()})
	}
	if !math.IsNaN(l.Warm) {
		with := append([]working.Input{{Name: "I", Value: amps(l.Steady.Amps), Origin: source.Computed, ID: l.Cable + ".steady"}}, in...)
		result := "it does not settle below the melting point"
		if !math.IsInf(l.Warm, 1) {
			result = j.Bank.Show.FormatTemperature(quantity.Temperature(l.Warm))
		}
		all = append(all, working.Working{ID: l.Cable + ".temperature", What: "copper of " + l.Cable + " at its largest lasting current", Formula: "T at which " + balance, Inputs: with, Result: result, Source: heatRef.String()})
	}
	if ins != nil && !math.IsNaN(l.Withstand) {
		k := conductor.Copper.Factor(float64(l.Insulation), math.Max(float64(l.Insulation), float64(ins.Limit)))
		all = append(all, working.Working{ID: l.Cable + ".withstand", What: "I²·t that the copper of " + l.Cable + " bears, from what its insulation bears in service to what it bears in a short", Formula: "(k·S)²; no heat leaves the copper",
			Inputs: []working.Input{
				{Name: "k", Value: fmt.Sprintf("%.5g A·√s/m²", k), Origin: source.Computed, Note: fmt.Sprintf("from %s to %s", j.Bank.Show.FormatTemperature(l.Insulation), j.Bank.Show.FormatTemperature(ins.Limit)), Source: ins.Ref.String()},
				{Name: "S", Value: fmt.Sprintf("%.5g m²", made.Section), Origin: source.LookedUp}},
			Result: fmt.Sprintf("%.4g A²s", l.Withstand), Source: l.WithstandRef.String()})
	}
	return all
}

// heatInputs are what the heat balance of a cable rests on.
func (j *Job) heatInputs(l *report.Line, c *bank.Cable, made *conductor.Cable) []working.Input {
	outside := source.Of(quantity.Length(made.Outside))
	if c.Wrap.Diameter == 0 {
		outside = source.Assume(outside.V, source.Ref{}, "from a model")
	}
	in := []working.Input{
		input("resistance at 20 °C", quantity.Format(c.PerLength.V, 4), c.PerLength, ""),
		input("insulation bears", j.Bank.Show.FormatTemperature(l.Insulation), c.Wrap.Insulation, ""),
		input("air round it", j.Bank.Show.FormatTemperature(quantity.Temperature(l.Ambient)), j.Bank.Practice.Ambient, ""),
		input("outside diameter", quantity.Format(outside.V, 3), outside, ""),
		{Name: "emissivity", Value: fmt.Sprintf("%g", made.Emissivity), Origin: source.Assumed},
		{Name: "thermal resistivity of the insulation", Value: fmt.Sprintf("%g K·m/W", made.Resistivity), Origin: source.LookedUp},
	}
	if c.Wrap.Bundled > 1 {
		in = append(in, working.Input{Name: "cables together", Value: fmt.Sprint(c.Wrap.Bundled), Origin: source.Given})
	}
	if c.Wrap.Sheath {
		in = append(in, working.Input{Name: "sleeve", Value: "one and a half times as wide as what is in it", Origin: source.Assumed})
	}
	return in
}

// faultWorkings are the most and the least that a cable or part carries in a
// dead short.
func (j *Job) faultWorkings(id string, highest, lowest float64, where string) []working.Working {
	most, least := j.faultConditions()
	const solved = "Kirchhoff's and Ohm's laws with the two places joined without resistance"
	var all []working.Working
	if highest > 0 {
		all = append(all, working.Working{ID: id + ".most", What: "most that " + id + " carries in a dead short", Formula: "the largest over shorts at every positive place to the negative take-off and across every device, of a fuse or breaker with its own resistance bridged; parts whose resistance is only assumed have none; " + solved, Inputs: j.faultInputs(&most), Result: amps(highest)})
	}
	if lowest > 0 {
		all = append(all, working.Working{ID: id + ".least", What: "least that " + id + " carries " + where, Formula: solved + "; batteries empty, cold and aged, cables hot", Inputs: j.faultInputs(&least), Result: amps(lowest)})
	}
	return all
}

func (j *Job) faultInputs(c *fault.Conditions) []working.Input {
	var in []working.Input
	for i := range j.Bank.Batteries {
		b := &j.Bank.Batteries[i]
		in = append(in, working.Input{Name: b.ID + " open-circuit", Value: volts(c.EMF[i]), Origin: b.EMF.Origin},
			working.Input{Name: b.ID + " resistance", Value: ohms(c.Resistance[i]), Origin: b.FaultResistance.Origin})
	}
	in = append(in, working.Input{Name: "cables at", Value: j.Bank.Show.FormatTemperature(c.Cables), Origin: source.Assumed})
	for i := range j.Bank.Cables {
		cable := &j.Bank.Cables[i]
		in = append(in, working.Input{Name: cable.ID + " resistance", Value: ohms(float64(cable.Resistance(c.Cables))), Origin: cableOrigin(cable), ID: cable.ID + ".resistance"})
	}
	return in
}

// loadWorkings are what a device has at its terminals and what is lost on the
// way.
func (j *Job) loadWorkings(s *report.Side, l *report.LoadPoint) []working.Working {
	h := j.heights()
	all := j.weakWorkings(h, l)
	current := working.Input{Name: l.Part + " takes", Value: amps(l.SteadyAmps), Origin: source.Computed, Note: j.atWords(h, j.Bank.Part(l.Part))}
	if !math.IsNaN(l.Steady) {
		all = append(all, working.Working{ID: l.Part + ".terminals", What: "voltage at " + l.Part + " with all loads on, each at its largest lasting current, and the bank at the job's state of charge", Formula: nodal, Inputs: []working.Input{current}, Result: volts(l.Steady)})
	}
	if !math.IsNaN(l.DropFraction) {
		nominal := working.Input{Name: "U", Value: fmt.Sprintf("%.9g V", l.Open), Origin: source.Computed}
		at := working.Input{Name: "V", Value: fmt.Sprintf("%.9g V", l.Open*(1-l.DropFraction)), Origin: source.Computed, Note: "batteries at nominal voltage without resistance, each load taking its current at nominal voltage, cables as warm as their lasting current makes them"}
		all = append(all, working.Working{ID: l.Part + ".lost", What: "part of the nominal voltage that " + l.Part + " loses on the way, with all loads on", Formula: "(U − V)/U", Inputs: []working.Input{nominal, at}, Result: fmt.Sprintf("%.3f %%", 100*l.DropFraction)})
	}
	return all
}
