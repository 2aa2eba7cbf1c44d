package assess

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/base/working"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// workings gives the derivation of every number of a report.
func (j *Job) workings(r *report.Report) []working.Working {
	w := &worker{bank: r.Bank, sharing: &r.Sharing, routes: map[string]*report.Route{}}
	for i := range r.Routes {
		w.routes[r.Routes[i].Cable] = &r.Routes[i]
	}
	w.takeoff()
	for i := range r.Bank.Batteries {
		w.battery(&r.Bank.Batteries[i], &r.Sharing.Batteries[i])
	}
	for i := range r.Bank.Cables {
		w.cable(&r.Bank.Cables[i], &r.Sharing.Cables[i])
	}
	return w.all
}

type worker struct {
	bank    *bank.Bank
	sharing *report.Sharing
	routes  map[string]*report.Route
	all     []working.Working
}

func (w *worker) add(one working.Working) { w.all = append(w.all, one) }

// nodal is the ground of every current and voltage.
const nodal = "Kirchhoff's and Ohm's laws at every end, solved together; each battery is its open-circuit voltage behind its resistance"

func amps(v float64) string { return quantity.Format(quantity.Current(v), 4) }
func ohms(v float64) string { return quantity.Format(quantity.Resistance(v), 4) }

// volts keeps millivolts in sight, as a fitter's meter shows them.
func volts(v float64) string {
	if math.Abs(v) >= 1 {
		return fmt.Sprintf("%.3f V", v)
	}
	return quantity.Format(quantity.Voltage(v), 4)
}
func watts(v float64) string { return quantity.Format(quantity.Power(v), 4) }

func share(v float64) string {
	if math.IsNaN(v) {
		return "none"
	}
	return fmt.Sprintf("%.4f", v)
}

// origin of a result: assumed where any battery or cable value it rests on is.
func (w *worker) netInputs() []working.Input {
	var in []working.Input
	for i := range w.bank.Batteries {
		b := &w.bank.Batteries[i]
		in = append(in, input(b.ID+" open-circuit", volts(float64(b.EMF.V)), b.EMF, b.ID+".emf"),
			input(b.ID+" resistance", ohms(float64(b.Resistance.V)), b.Resistance, b.ID+".resistance"))
	}
	for i := range w.bank.Cables {
		c := &w.bank.Cables[i]
		in = append(in, working.Input{Name: c.ID + " resistance", Value: ohms(w.sharing.Cables[i].Resistance), Origin: cableOrigin(c), ID: c.ID + ".resistance"})
	}
	for _, p := range w.bank.Parts {
		if p.Resistance.Known() {
			in = append(in, input(p.ID+" resistance", ohms(float64(p.Resistance.V)), p.Resistance, ""))
		}
	}
	return in
}

func input[T any](name, value string, v source.Value[T], id string) working.Input {
	return working.Input{Name: name, Value: value, Origin: v.Origin, Source: v.Ref.String(), Note: v.Note, ID: id}
}

// cableOrigin is the weakest origin of what makes up a cable's resistance.
func cableOrigin(c *bank.Cable) source.Origin {
	if c.Whole.Known() {
		return c.Whole.Origin
	}
	for _, o := range []source.Origin{c.Length.Origin, c.Joints[0].Origin, c.Joints[1].Origin} {
		if o == source.Assumed {
			return source.Assumed
		}
	}
	return source.Computed
}

func (w *worker) takeoff() {
	s, c := w.sharing, w.sharing.Case
	demand := working.Input{Name: "case " + c.ID, Value: amps(float64(c.Current)), Origin: c.Origin}
	formula := "as asked"
	if c.ByPower {
		demand.Value = watts(float64(c.Power))
		formula = "the lower current I of R·I² − E·I + P = 0 at the take-off"
	}
	w.add(working.Working{ID: "takeoff.current", What: "current at the take-off, positive on draw", Formula: formula, Inputs: []working.Input{demand}, Result: amps(s.Current)})
	w.add(working.Working{ID: "takeoff.voltage", What: "voltage across the take-off", Formula: nodal, Inputs: w.netInputs(), Result: volts(s.Voltage)})
	w.add(working.Working{ID: "takeoff.resistance", What: "resistance of the whole bank at the take-off, −dV/dI with the open-circuit voltages fixed",
		Formula: nodal, Inputs: w.netInputs(), Result: ohms(s.Resistance)})
	imbalance := working.Working{ID: "imbalance", What: "largest share less one", Formula: "max over all batteries of share − 1"}
	for _, b := range s.Batteries {
		imbalance.Inputs = append(imbalance.Inputs, working.Input{Name: b.ID + " share", Value: share(b.Share), Origin: source.Computed, ID: b.ID + ".share"})
	}
	imbalance.Result = "none: no group carries current"
	if !math.IsNaN(s.Imbalance) {
		imbalance.Result = fmt.Sprintf("%+.3f %%", 100*s.Imbalance)
	}
	w.add(imbalance)
	w.add(working.Working{ID: "loss", What: "heat in batteries and wiring", Formula: "sum of I²·R", Result: watts(s.Loss),
		Inputs: []working.Input{{Name: "of which in wiring", Value: watts(s.WiringLoss), Origin: source.Computed}}})
}

func (w *worker) battery(b *bank.Battery, s *report.BatteryShare) {
	w.add(working.Working{ID: b.ID + ".emf", What: "open-circuit voltage of " + b.ID, Formula: "given, or the curve at its state of charge", Result: volts(float64(b.EMF.V)),
		Inputs: []working.Input{input("open-circuit voltage", volts(float64(b.EMF.V)), b.EMF, ""), input("state of charge", quantity.Format(b.Start.V, 3), b.Start, "")}})
	w.add(working.Working{ID: b.ID + ".resistance", What: "inner resistance of " + b.ID, Formula: "given, or typical resistance × capacity ÷ its capacity", Result: ohms(float64(b.Resistance.V)),
		Inputs: []working.Input{input("resistance", ohms(float64(b.Resistance.V)), b.Resistance, ""), input("capacity", quantity.Format(b.Capacity.V, 4), b.Capacity, "")}})
	w.add(working.Working{ID: b.ID + ".current", What: "current of " + b.ID + ", positive on discharge", Formula: nodal, Inputs: w.netInputs(), Result: amps(s.Current)})
	w.add(working.Working{ID: b.ID + ".voltage", What: "voltage across the posts of " + b.ID, Formula: "E − I·R", Result: volts(s.Voltage),
		Inputs: []working.Input{input("E", volts(float64(b.EMF.V)), b.EMF, b.ID+".emf"), {Name: "I", Value: amps(s.Current), Origin: source.Computed, ID: b.ID + ".current"}, input("R", ohms(float64(b.Resistance.V)), b.Resistance, b.ID+".resistance")}})
	w.add(working.Working{ID: b.ID + ".heat", What: "heat in " + b.ID, Formula: "I²·R", Result: watts(s.Heat),
		Inputs: []working.Input{{Name: "I", Value: amps(s.Current), Origin: source.Computed, ID: b.ID + ".current"}, input("R", ohms(float64(b.Resistance.V)), b.Resistance, b.ID+".resistance")}})
	one := working.Working{ID: b.ID + ".share", What: "share of " + b.ID + " in its group", Formula: "(I/C) ÷ (ΣI/ΣC over the group)", Result: share(s.Share)}
	for i, other := range w.sharing.Batteries {
		if other.Group == s.Group && !other.Off {
			one.Inputs = append(one.Inputs,
				working.Input{Name: other.ID + " I", Value: amps(other.Current), Origin: source.Computed, ID: other.ID + ".current"},
				input(other.ID+" C", quantity.Format(w.bank.Batteries[i].Capacity.V, 4), w.bank.Batteries[i].Capacity, ""))
		}
	}
	w.add(one)
}

func (w *worker) cable(c *bank.Cable, s *report.Flow) {
	w.add(w.length(c))
	r := working.Working{ID: c.ID + ".resistance", What: "resistance of " + c.ID + " with both joints", Result: ohms(s.Resistance)}
	if c.Whole.Known() {
		r.Formula = "given whole"
		r.Inputs = []working.Input{input("resistance", ohms(float64(c.Whole.V)), c.Whole, "")}
	} else {
		t := w.sharing.Case.CableTemperature
		r.Formula = "r20·(1 + α·(T − 20 °C))·length + joint + joint"
		r.Inputs = []working.Input{
			input("r20 of "+c.Size.String(), quantity.Format(c.PerLength.V, 4), c.PerLength, ""),
			input("α", fmt.Sprintf("%.5f 1/K", c.Coefficient.V), c.Coefficient, ""),
			input("T", w.bank.Show.FormatTemperature(t.V), t, ""),
			{Name: "length", Value: w.bank.Show.FormatLength(c.Length.V), Origin: c.Length.Origin, ID: c.ID + ".length"},
			input("joint at "+c.From.String(), ohms(float64(c.Joints[0].V)), c.Joints[0], ""),
			input("joint at "+c.To.String(), ohms(float64(c.Joints[1].V)), c.Joints[1], ""),
		}
	}
	w.add(r)
	w.add(working.Working{ID: c.ID + ".current", What: fmt.Sprintf("current of %s, positive from %s to %s", c.ID, c.From, c.To), Formula: nodal, Inputs: w.netInputs(), Result: amps(s.Current)})
	current := working.Input{Name: "I", Value: amps(s.Current), Origin: source.Computed, ID: c.ID + ".current"}
	resistance := working.Input{Name: "R", Value: ohms(s.Resistance), Origin: cableOrigin(c), ID: c.ID + ".resistance"}
	w.add(working.Working{ID: c.ID + ".drop", What: fmt.Sprintf("V(%s) − V(%s)", c.From, c.To), Formula: "I·R", Inputs: []working.Input{current, resistance}, Result: volts(s.Drop)})
	w.add(working.Working{ID: c.ID + ".heat", What: "heat in " + c.ID, Formula: "I²·R", Inputs: []working.Input{current, resistance}, Result: watts(s.Heat)})
}

func (w *worker) length(c *bank.Cable) working.Working {
	one := working.Working{ID: c.ID + ".length", What: "length of " + c.ID + ", lug-hole centre to lug-hole centre", Result: "unknown"}
	switch {
	case c.Length.Origin == source.Routed:
		one.Formula = "rise + run + drop − what the bends save + allowance"
		route := w.routes[c.ID]
		for _, s := range route.Steps {
			one.Inputs = append(one.Inputs, working.Input{Name: s.What, Value: w.bank.Show.Both(quantity.Length(s.Length)), Origin: source.Routed})
		}
		one.Inputs = append(one.Inputs, ruleInputs(w.bank)...)
		one.Result = w.bank.Show.Both(c.Length.V)
	case c.Length.Known():
		one.Formula = "given"
		one.Inputs = []working.Input{input("length", w.bank.Show.Both(c.Length.V), c.Length, "")}
		one.Result = w.bank.Show.Both(c.Length.V)
	case c.Whole.Known():
		one.Formula = "not needed: the resistance is given whole"
	}
	return one
}

// ruleInputs are the routing rules that every routed length rests on.
func ruleInputs(b *bank.Bank) []working.Input {
	r := b.Routing
	length := func(name string, v source.Value[quantity.Length]) working.Input {
		return input("rule: "+name, b.Show.FormatLength(v.V), v, "")
	}
	return []working.Input{length("rise", r.Rise), length("clearance", r.Clearance), length("allowance at each end", r.Allowance),
		input("rule: bend radius", fmt.Sprintf("%g cable diameters inside", r.Bend.V), r.Bend, "")}
}

// Explain gives the working of a number by its ID.
func Explain(r *report.Report, id string) (working.Working, error) {
	for _, w := range r.Workings {
		if w.ID == id {
			return w, nil
		}
	}
	return working.Working{}, fmt.Errorf("there is no number %s; numbers are named like takeoff.voltage, imbalance, B1.current, W1.length; without a name all are listed", id)
}
