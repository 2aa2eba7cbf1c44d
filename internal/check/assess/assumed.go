package assess

import (
	"fmt"

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
