package assess

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/base/working"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// ExplainDays gives the working of a number of the balance of days:
// days.capacity, days.jan.asked, days.fridge.jan, days.roof.jan, days.C1.full.
// The error lists what there is.
func (j *Job) ExplainDays(id string) (working.Working, error) {
	d, err := j.Days(DaysOptions{})
	if err != nil {
		return working.Working{}, err
	}
	if d.Missing != "" {
		return working.Working{}, fmt.Errorf("%s: %s", j.Doc.File, d.Missing)
	}
	var names []string
	for _, w := range j.dayWorkings(d) {
		if w.ID == id {
			return w, nil
		}
		names = append(names, w.ID)
	}
	return working.Working{}, fmt.Errorf("there is no number %s; of the days there are %s", id, strings.Join(names, ", "))
}

// dayWorkings gives the derivation of every number of the balance.
func (j *Job) dayWorkings(d *report.Days) []working.Working {
	all := []working.Working{j.dayCapacity(d)}
	for m := range d.Months {
		all = append(all, j.monthWorkings(d, m)...)
	}
	for n := range d.Loads {
		for m, name := range bank.MonthNames {
			all = append(all, loadWorking(d, n, m, string(name)))
		}
	}
	for n := range d.Sources {
		for m, name := range bank.MonthNames {
			all = append(all, sourceWorking(d, n, m, string(name)))
		}
	}
	for n := range d.Full {
		all = append(all, fullWorking(d, &d.Full[n]))
	}
	return all
}

func given(name, value string) working.Input {
	return working.Input{Name: name, Value: value, Origin: source.Given}
}

func computed(name, value, id string) working.Input {
	return working.Input{Name: name, Value: value, Origin: source.Computed, ID: id}
}

// valued is an input with its own origin.
func valued[T any](name, text string, v source.Value[T]) working.Input {
	return working.Input{Name: name, Value: text, Origin: v.Origin, Note: v.Note, Source: v.Ref.String()}
}

func joules(j float64) string { return quantity.Format(quantity.Energy(j), 4) }

func ratioWords(v float64) string { return quantity.Format(quantity.Ratio(v), 3) }

func (j *Job) dayCapacity(d *report.Days) working.Working {
	w := working.Working{ID: "days.capacity", What: "capacity of the bank at 25 °C", Formula: "batteries side by side added up, the least of those in series", Result: quantity.Format(quantity.Charge(d.Capacity), 4)}
	for i := range j.Bank.Batteries {
		b := &j.Bank.Batteries[i]
		w.Inputs = append(w.Inputs, valued(b.ID, quantity.Format(b.Capacity.V, 4), b.Capacity))
	}
	return w
}

// monthWorkings are what the days of a month ask and get, and how long bad ones
// last.
func (j *Job) monthWorkings(d *report.Days, m int) []working.Working {
	one, ask := &d.Months[m], &j.Bank.Days
	at := "days." + string(bank.MonthNames[m]) + "."
	month := report.MonthWords[m]
	factor := working.Working{ID: at + "factor", What: "part of the capacity that is there in " + month, Formula: "the chemistry's, or the job's, at the month's mean temperature outside", Result: ratioWords(one.Factor)}
	if !math.IsNaN(one.Kelvin) {
		factor.Inputs = append(factor.Inputs, computed("mean outside", quantity.Show{}.FormatTemperature(quantity.Temperature(one.Kelvin)), ""))
	}
	from := j.Bank.Batteries[0].Model.CapacityFrom
	factor.Inputs = append(factor.Inputs, working.Input{Name: "capacity over temperature", Value: "of the chemistry", Origin: from.Origin, Source: from.Ref.String()})
	all := []working.Working{factor}
	for _, k := range []struct {
		prefix, name string
		kind         *report.DayKind
	}{{"", "typical", &one.Typical}, {"bad_", "bad", &one.Bad}} {
		all = append(all, working.Working{ID: at + k.prefix + "asked", What: fmt.Sprintf("what a %s day of %s asks at the bank's terminals", k.name, month), Formula: "loads + lost in inverters + inverters idle + lost in cables, Σ I²·R over what is on together", Result: joules(k.kind.Asked()),
			Inputs: []working.Input{computed("loads", joules(k.kind.Loads), ""), computed("lost in inverters", joules(k.kind.Inverters), ""), computed("inverters idle", joules(k.kind.Idle), ""), computed("lost in cables", joules(k.kind.Wiring), "")}})
		got := working.Working{ID: at + k.prefix + "given", What: fmt.Sprintf("what a %s day of %s gets, mean of its week", k.name, month), Formula: "each source as far as loads and bank take it", Result: joules(sumOf(k.kind.Given))}
		for n := range d.Sources {
			got.Inputs = append(got.Inputs, computed(d.Sources[n].ID, joules(k.kind.Given[n]), ""))
		}
		all = append(all, got)
	}
	store := []working.Input{computed("capacity", quantity.Format(quantity.Charge(one.Capacity), 4), at+"factor"), valued("floor", ratioWords(d.Floor), ask.Floor), valued("start", ratioWords(d.Start), ask.Start),
		computed("asked a bad day", joules(one.Bad.Asked()), at+"bad_asked")}
	for _, k := range []struct {
		name, what string
		seconds    float64
	}{{"lasts", "how long bad days of " + month + " take to the floor", one.Bad.Reaches}, {"no_sun", "the same without any sun", one.NoSun}, {"alone", "the same without any source", one.Alone}} {
		all = append(all, working.Working{ID: at + k.name, What: k.what, Formula: "hour by hour in steps of a tenth: sources feed the loads, the rest the bank; the bank gives what is missing, at its nominal voltage", Result: report.LastsWords(k.seconds), Inputs: store})
	}
	return all
}

func sumOf(all []float64) float64 {
	sum := 0.0
	for _, v := range all {
		sum += v
	}
	return sum
}

func loadWorking(d *report.Days, n, m int, month string) working.Working {
	l := &d.Loads[n]
	w := working.Working{ID: "days." + l.ID + "." + month, What: fmt.Sprintf("what %s uses on a typical day of %s, on its own side", l.Name, report.MonthWords[m]), Formula: "power × hours × duty", Result: joules(d.Months[m].Typical.ByLoad[n]),
		Inputs: []working.Input{given("power", quantity.Format(quantity.Power(l.Watts), 4)), given("hours", quantity.FormatFixed(l.Hours, 2)+" h"), given("duty", ratioWords(l.Duty))}}
	if !l.Months[m] {
		w.Formula = "it is not used in this month"
	}
	if l.Spread {
		w.Inputs = append(w.Inputs, working.Input{Name: "when it runs", Value: "spread evenly", Origin: source.Assumed})
	}
	return w
}

func sourceWorking(d *report.Days, n, m int, month string) working.Working {
	s := &d.Sources[n]
	w := working.Working{ID: "days." + s.ID + "." + month, What: fmt.Sprintf("what %s could give on a typical day of %s, mean of the week", s.ID, report.MonthWords[m]), Result: joules(d.Months[m].Typical.Offered[n])}
	switch s.Kind {
	case report.BySun:
		w.Formula = "Σ over the hours of every day of the month: G/1000 W/m² × peak × (1 − coefficient × (cell − 25 °C)) × (1 − loss), at most its charger's current, less what its wires lose"
		w.Source = "sun by the hour from the month's mean: see doc/methods.md"
	case report.ByEngine:
		w.Formula = "lasting current × nominal voltage × hours × days / 7, less what its wires lose"
	default:
		w.Formula = "power × hours plugged in × days / 7, less what its wires lose"
	}
	w.Inputs = []working.Input{computed("at most", quantity.Format(quantity.Power(s.Watts), 4), ""), computed("lost on its wires at most", quantity.Format(quantity.Power(s.Lost), 3), "")}
	if s.Kind != report.BySun {
		w.Inputs = append(w.Inputs, given("hours a day", quantity.FormatFixed(s.Hours, 2)+" h"), given("days a week", fmt.Sprint(s.Days)))
	}
	if s.Bound != "" {
		w.Inputs = append(w.Inputs, computed("bound by", s.Bound, ""))
	}
	return w
}

func fullWorking(d *report.Days, f *report.DayFull) working.Working {
	id := "days." + f.Source + ".full"
	if f.In != "" {
		id += "_" + f.In
	}
	w := working.Working{ID: id, What: "from the floor to full (99.5 %) by " + f.Source + " alone, no load on", Result: report.FullWords(f),
		Inputs: []working.Input{computed("capacity", quantity.Format(quantity.Charge(d.Capacity), 4), "days.capacity"), computed("floor", ratioWords(d.Floor), ""), computed("kept of the charge", ratioWords(d.Kept), ""), computed("time constant of the tail", quantity.Format(quantity.Duration(d.Tail), 3), "")}}
	w.Formula = "hour by hour through mean days"
	if !math.IsNaN(f.Amps) {
		w.Formula = "(charge before the tail)/I + τ·ln(I/I_end): the tail begins where what is missing over the time constant is I"
		w.Inputs = append(w.Inputs, computed("current", amps(f.Amps), ""))
	}
	return w
}
