package assess

import (
	"fmt"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// Assumptions lists every value of a bank that nobody gave, equal ones
// together, in the order in which they are met.
func Assumptions(b *bank.Bank, c bank.Case) []report.Assumption {
	var list assumptions
	list.batteries(b)
	routed := false
	for i := range b.Cables {
		cable := &b.Cables[i]
		if cable.Whole.Known() {
			continue
		}
		routed = routed || cable.Length.Origin == source.Routed
		for _, joint := range cable.Joints {
			addAssumed(&list, jointWords, cable.ID, ohms(float64(joint.V)), joint)
		}
		addAssumed(&list, "cable temperature", cable.ID, b.Show.FormatTemperature(c.CableTemperature.V), c.CableTemperature)
	}
	if routed {
		list.routing(b)
	}
	if c.Origin == source.Assumed {
		list.add("case", "takeoff", amps(float64(c.Current)), "the job has no case; see cases", "")
	}
	return list
}

const jointWords = "joint at each cable end, crimp and contact together,"

// assumed lists what the search rests on that nobody gave.
func (q *question) assumed() []report.Assumption {
	b, ask := q.job.Bank, &q.job.Bank.Question
	var list assumptions
	list.batteries(b)
	for k, r := range q.rails {
		place := r.name + " rail"
		if ask.SizeOrigin[k] == source.Assumed {
			list.add("cable size", place, r.size.String(), "as most of the job's own cables there have", "")
		}
		addAssumed(&list, jointWords, place, ohms(float64(ask.Joint.V)), ask.Joint)
		addAssumed(&list, "cable temperature", place, b.Show.FormatTemperature(q.current.CableTemperature.V), q.current.CableTemperature)
	}
	for _, p := range q.out.Lengths {
		if p.Origin == source.Routed {
			list.routing(b)
			break
		}
	}
	if c := q.current; c.Origin == source.Assumed {
		list.add("case", "takeoff", amps(float64(c.Current)), "the job has no case that draws; a part of the capacity an hour", q.job.cat.Constant("search_current").Source.String())
	}
	return list
}

type assumptions []report.Assumption

func (l *assumptions) batteries(b *bank.Bank) {
	for i := range b.Batteries {
		bat := &b.Batteries[i]
		addAssumed(l, "resistance", bat.ID, ohms(float64(bat.Resistance.V)), bat.Resistance)
		addAssumed(l, "open-circuit voltage", bat.ID, volts(float64(bat.EMF.V)), bat.EMF)
		if bat.EMF.Origin != source.Given {
			addAssumed(l, "state of charge", bat.ID, quantity.Format(bat.Start.V, 3), bat.Start)
		}
	}
}

func addAssumed[T any](l *assumptions, what, place, value string, v source.Value[T]) {
	if v.Origin == source.Assumed {
		l.add(what, place, value, v.Note, v.Ref.String())
	}
}

func (l *assumptions) add(what, place, value, note, ref string) {
	for i := range *l {
		a := &(*l)[i]
		if a.What == what && a.Value == value && a.Note == note {
			if a.Places[len(a.Places)-1] != place {
				a.Places = append(a.Places, place)
			}
			return
		}
	}
	*l = append(*l, report.Assumption{What: what, Value: value, Places: []string{place}, Note: note, Source: ref})
}

func (l *assumptions) routing(b *bank.Bank) {
	r := b.Routing
	addAssumed(l, "rise from a post", "routes", b.Show.FormatLength(r.Rise.V), r.Rise)
	addAssumed(l, "clearance of cables", "routes", b.Show.FormatLength(r.Clearance.V), r.Clearance)
	addAssumed(l, "allowance at each end", "routes", b.Show.FormatLength(r.Allowance.V), r.Allowance)
	addAssumed(l, "bend radius", "routes", fmt.Sprintf("%g diameters", r.Bend.V), r.Bend)
	l.add("cable outside diameter", "routes", "from section", "model of a flexible cable, good to about 1 mm", "common practice, no source")
}

// RunAssumptions lists what a run rests on that nobody gave.
func (j *Job) RunAssumptions(id string) []report.Assumption {
	cases, err := j.Steps(id)
	if err != nil {
		return nil
	}
	var list assumptions
	for i := range j.Bank.Batteries {
		list.model(&j.Bank.Batteries[i], j.Bank.Show)
	}
	for _, a := range Assumptions(j.Bank, cases[0]) {
		if a.What == "resistance" || a.What == "open-circuit voltage" || a.What == "state of charge" {
			continue // told above, as the run uses them
		}
		for _, p := range a.Places {
			list.add(a.What, p, a.Value, a.Note, a.Source)
		}
	}
	return list
}

// model lists what a battery's run rests on.
func (l *assumptions) model(b *bank.Battery, show quantity.Show) {
	m := &b.Model
	addAssumed(l, "state of charge at the start", b.ID, quantity.Format(b.Start.V, 3), b.Start)
	addAssumed(l, "capacity", b.ID, quantity.Format(b.Capacity.V, 4), b.Capacity)
	addAssumed(l, "open-circuit curve", b.ID, "of the chemistry", m.CurveFrom)
	addAssumed(l, "distance of charge and discharge", b.ID, "of the chemistry", m.GapFrom)
	addAssumed(l, "resistance after ten seconds", b.ID, ohms(float64(b.Resistance.V)), b.Resistance)
	addAssumed(l, "resistance at once", b.ID, ohms(float64(m.Ohmic.V)), m.Ohmic)
	for _, one := range m.Branches {
		addAssumed(l, "slow branch of "+quantity.Format(one.Time.V, 3), b.ID, ohms(float64(one.Resistance.V)), one.Resistance)
	}
	addAssumed(l, "resistance over temperature", b.ID, "of the chemistry", m.WarmthFrom)
	addAssumed(l, "resistance over charge", b.ID, "of the chemistry", m.DepthFrom)
	addAssumed(l, "capacity over temperature", b.ID, "of the chemistry", m.CapacityFrom)
	addAssumed(l, "part of a charge that is kept", b.ID, "of the chemistry", m.EfficiencyFrom)
	addAssumed(l, "reversible heat", b.ID, "of the chemistry", m.EntropyFrom)
	addAssumed(l, "Peukert's exponent", b.ID, fmt.Sprintf("%g", m.Peukert.V), m.Peukert)
	addAssumed(l, "rated for", b.ID, quantity.Format(m.RatedFor.V, 3), m.RatedFor)
	addAssumed(l, "temperature at the start and around", b.ID, show.FormatTemperature(m.Temperature.V), m.Temperature)
	addAssumed(l, "heat capacity", b.ID, quantity.Format(quantity.Energy(m.HeatCapacity.V), 3)+" a kelvin", m.HeatCapacity)
	addAssumed(l, "cooling", b.ID, quantity.Format(quantity.Power(m.Cooling.V), 3)+" a kelvin", m.Cooling)
	l.guard(b, show)
}

// guard lists what is assumed of a battery's own protection.
func (l *assumptions) guard(b *bank.Battery, show quantity.Show) {
	g := &b.Model.Guard
	addAssumed(l, "trip on discharge", b.ID, amps(float64(g.Trip.V)), g.Trip)
	addAssumed(l, "trip on charge", b.ID, amps(float64(g.TripCharge.V)), g.TripCharge)
	if g.Trip.Known() || g.TripCharge.Known() {
		addAssumed(l, "delay of a trip", b.ID, quantity.Format(g.TripDelay.V, 3), g.TripDelay)
	}
	addAssumed(l, "under-voltage", b.ID, volts(float64(g.Low.V)), g.Low)
	addAssumed(l, "over-voltage", b.ID, volts(float64(g.High.V)), g.High)
	if g.Low.Known() || g.High.Known() {
		addAssumed(l, "delay of a trip by voltage", b.ID, quantity.Format(g.VoltageDelay.V, 3), g.VoltageDelay)
	}
	var words []string
	var ref string
	for _, one := range []struct {
		what string
		at   source.Value[quantity.Temperature]
	}{{"no charge below", g.ColdCharge}, {"or above", g.HotCharge}, {"opens below", g.Cold}, {"and above", g.Hot}} {
		if one.at.Origin == source.Assumed {
			words, ref = append(words, one.what+" "+show.FormatTemperature(one.at.V)), one.at.Ref.String()
		}
	}
	if words != nil {
		l.add("its electronics by temperature", b.ID, strings.Join(words, ", "), "", ref)
	}
	if g.Electronic {
		addAssumed(l, "an open side passes current the other way above", b.ID, volts(float64(g.Diode.V)), g.Diode)
	}
}
