package assess

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/base/working"
	"bankwright/internal/model/report"
)

// ExplainHours gives the working of a number of a run or of a dropout: run.first_out,
// run.B1.peak, dropout.limit_one_out. The error lists what there is.
func (j *Job) ExplainHours(caseID, id string) (working.Working, error) {
	var all []working.Working
	if strings.HasPrefix(id, "run.") {
		r, err := j.Run(caseID, RunOptions{Every: 60, Halve: true})
		if err != nil {
			return working.Working{}, err
		}
		all = j.runWorkings(r)
	} else {
		d, err := j.Dropout(caseID)
		if err != nil {
			return working.Working{}, err
		}
		all = j.dropoutWorkings(d)
	}
	var names []string
	for _, w := range all {
		if w.ID == id {
			return w, nil
		}
		names = append(names, w.ID)
	}
	return working.Working{}, fmt.Errorf("there is no number %s; there are %s", id, strings.Join(names, ", "))
}

// throughTime is the ground of every number of a run.
const throughTime = "currents by Kirchhoff's and Ohm's laws at every instant; states of charge summed from them by Heun's method (doc/methods.md)"

func (j *Job) runWorkings(r *report.Run) []working.Working {
	in := j.runInputs(r)
	ah := func(c float64) string {
		if math.IsNaN(c) {
			return "it did not come to that"
		}
		return fmt.Sprintf("%.2f Ah", c/3600)
	}
	all := []working.Working{
		{ID: "run.first_out", What: "charge drawn at the take-off until the first battery went out on draw", Formula: "sum of draw·dt; " + throughTime, Inputs: in, Result: ah(r.FirstOut)},
		{ID: "run.bank_out", What: "charge drawn at the take-off until the bank could not carry the draw", Formula: "sum of draw·dt; " + throughTime, Inputs: in, Result: ah(r.BankOut)},
		{ID: "run.delivered", What: "charge drawn at the take-off in all", Formula: "sum of draw·dt; " + throughTime, Inputs: in, Result: ah(r.Delivered)},
		{ID: "run.taken", What: "charge put in at the take-off in all", Formula: "sum of charge·dt; " + throughTime, Inputs: in, Result: ah(r.Taken)},
		{ID: "run.nameplate", What: "capacity on the labels", Formula: "sum over batteries side by side; of groups in series the least", Inputs: j.capacityInputs(), Result: ah(r.Nameplate)},
		{ID: "run.error", What: "largest change of a state of charge when every step is halved", Formula: "the run computed once more with half the steps and a quarter of the tolerance", Result: fmt.Sprintf("%.2g", r.StepError)},
	}
	for i := range r.Batteries {
		b := &r.Batteries[i]
		own := j.modelInputs(i)
		all = append(all,
			working.Working{ID: "run." + b.ID + ".out", What: b.ID + ": charge it gave", Formula: throughTime, Inputs: own, Result: ah(b.Out)},
			working.Working{ID: "run." + b.ID + ".least", What: b.ID + ": least state of charge", Formula: "start less charge over capacity", Inputs: own, Result: fmt.Sprintf("%.2f %%", 100*b.Least)},
			working.Working{ID: "run." + b.ID + ".peak", What: b.ID + ": largest current by size", Formula: throughTime, Inputs: own, Result: fmt.Sprintf("%.2f A at %.0f s", b.Peak, b.PeakAt)})
	}
	return all
}

// runInputs are what every number of a run rests on.
func (j *Job) runInputs(r *report.Run) []working.Input {
	var in []working.Input
	for _, s := range r.Steps {
		value := amps(float64(s.Case.Current))
		if s.Case.ByPower {
			value = watts(float64(s.Case.Power))
		}
		in = append(in, working.Input{Name: "case " + s.Case.ID, Value: value, Origin: s.Case.Origin})
		if len(in) == 8 {
			break
		}
	}
	for i := range j.Bank.Batteries {
		in = append(in, j.modelInputs(i)...)
	}
	for i := range j.Bank.Cables {
		c := &j.Bank.Cables[i]
		in = append(in, working.Input{Name: c.ID + " resistance", Value: ohms(float64(c.Resistance(r.Steps[0].Case.CableTemperature.V))), Origin: cableOrigin(c), ID: c.ID + ".resistance"})
	}
	return in
}

func (j *Job) capacityInputs() []working.Input {
	var in []working.Input
	for i := range j.Bank.Batteries {
		b := &j.Bank.Batteries[i]
		in = append(in, input(b.ID+" capacity of its type", quantity.Format(b.Label, 4), source.Of(b.Label), ""))
	}
	return in
}

// modelInputs are the values of one battery that a run uses.
func (j *Job) modelInputs(i int) []working.Input {
	b := &j.Bank.Batteries[i]
	m := &b.Model
	in := []working.Input{
		input(b.ID+" capacity", quantity.Format(b.Capacity.V, 4), b.Capacity, ""),
		input(b.ID+" start", quantity.Format(b.Start.V, 3), b.Start, ""),
		{Name: b.ID + " open-circuit curve", Value: fmt.Sprintf("%d points", len(m.Curve)), Origin: m.CurveFrom.Origin, Source: m.CurveFrom.Ref.String(), Note: m.CurveFrom.Note},
		input(b.ID+" resistance at once", ohms(float64(m.Ohmic.V)), m.Ohmic, b.ID+".resistance"),
	}
	for _, one := range m.Branches {
		in = append(in, input(b.ID+" slow branch of "+quantity.Format(one.Time.V, 3), ohms(float64(one.Resistance.V)), one.Resistance, ""))
	}
	if m.Guard.Floor.Known() {
		in = append(in, input(b.ID+" floor", quantity.Format(m.Guard.Floor.V, 3), m.Guard.Floor, ""))
	}
	if m.Guard.Trip.Known() {
		in = append(in, input(b.ID+" trip", amps(float64(m.Guard.Trip.V)), m.Guard.Trip, ""))
	}
	return in
}

func (j *Job) dropoutWorkings(d *report.Dropout) []working.Working {
	amps := func(v float64) string {
		switch {
		case math.IsNaN(v):
			return "none"
		case math.IsInf(v, 0):
			return "no limit known"
		}
		return fmt.Sprintf("%.2f A", v)
	}
	limits := make([]working.Input, 0, len(d.Limit))
	for i, l := range d.Limit {
		origin := source.Given
		if l.Assumed {
			origin = source.Assumed
		}
		limits = append(limits, working.Input{Name: j.Bank.Batteries[i].ID + " " + l.What, Value: amps(l.Current), Origin: origin})
	}
	one := working.Working{ID: "dropout.limit_one_out", What: "largest draw at which the bank holds whichever battery is out", Formula: "least over the losses of the largest draw up to which each holds, trips that follow included", Result: amps(d.LimitOneOut)}
	all := []working.Working{{ID: "dropout.limit_all_in", What: "largest draw at which no battery passes its limit",
		Formula: "least over batteries of (limit − a)/b, its current being a + b·draw with the open-circuit voltages fixed", Inputs: limits, Result: amps(d.LimitAllIn)}}
	for _, o := range d.Outs {
		id := "dropout." + o.Out[0] + ".limit"
		one.Inputs = append(one.Inputs, working.Input{Name: "without " + o.Out[0], Value: amps(o.Limit), Origin: source.Computed, ID: id})
		all = append(all, working.Working{ID: id, What: "largest draw at which the bank holds without " + o.Out[0],
			Formula: "its current forced to nought by its voltage (compensation); the battery furthest over its limit trips first, and so on", Inputs: limits, Result: amps(o.Limit)})
	}
	return append(all, one)
}
