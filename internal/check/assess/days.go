package assess

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/energy"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/assemble"
)

// DaysOptions say what is asked of a balance of days.
type DaysOptions struct {
	Volts []float64    // system voltages to set side by side; nil: the job's own, and twice or half of it
	Heat  *report.Heat // with its year, where it is at hand; nil: computed where the job says enough for it
}

const (
	daySeconds  = 86400.0
	hourSeconds = 3600.0
	farDays     = 60 // that a bank is followed
)

// NoLoads says what a balance needs.
const NoLoads = "the job has no loads of the day; give them, as in loads: [{id: fridge, power: 55 W, duty: 35 %}]"

// dayTable is a balance of days in the making.
type dayTable struct {
	j     *Job
	ask   *bank.Days
	out   *report.Days
	wires *dayWires
	sun   *daySun
	warm  *dayWarm // nil: how warm the batteries are is not known
	list  assumptions
}

// Days sets what the loads of the day ask of the bank against what sun, engine
// and mains give, month by month. Without loads the answer says in Missing what
// the job has to give. The error is of a place whose weather cannot be.
func (j *Job) Days(o DaysOptions) (*report.Days, error) {
	asked := j.Bank.Days
	t := &dayTable{j: j, ask: &asked, out: &report.Days{}}
	if len(t.ask.Loads) == 0 {
		t.out.Missing = NoLoads
		return t.out, nil
	}
	if err := t.store(); err != nil {
		return nil, err
	}
	if err := t.weather(); err != nil {
		return nil, err
	}
	if err := t.warmth(o.Heat); err != nil {
		return nil, err
	}
	t.wiring()
	t.loads()
	t.sources()
	for m := range t.out.Months {
		if err := t.month(m); err != nil {
			return nil, j.named(err)
		}
	}
	if err := t.year(); err != nil {
		return nil, j.named(err)
	}
	if err := t.full(); err != nil {
		return nil, j.named(err)
	}
	t.stops()
	t.idlers()
	if err := t.sides(o.Volts); err != nil {
		return nil, err
	}
	t.assume()
	t.out.Assumed = t.list
	return t.out, nil
}

// Of a charge, what comes out again where nothing else says it.
var keptPractice = source.Ref{Title: "0.99 of the ampere hours for lithium iron phosphate, 0.85 for lead", How: source.Practice}

// store is the bank as one.
func (t *dayTable) store() error {
	b, d := t.j.Bank, t.ask
	nominal, err := t.nominal()
	if err != nil {
		return err
	}
	o := t.out
	o.Nominal, o.Capacity = nominal, t.capacity(func(b *bank.Battery) float64 { return float64(b.Capacity.V) })
	if !(o.Capacity > 0) {
		return t.j.at(t.j.Doc.Takeoff.Pos, "no battery is in: nothing to live from")
	}
	o.Floor, o.Start, o.Dark = float64(d.Floor.V), float64(d.Start.V), float64(d.Dark.V)
	o.Wish, o.Tail = float64(d.Wish.V), float64(d.Tail.V)
	o.InvertersApart = d.InvertersOff
	if o.Start < o.Floor {
		o.Start = o.Floor
		o.Notes = append(o.Notes, "the batteries' start lies below the floor: the week begins at the floor")
	}
	o.Accept = t.capacity(func(b *bank.Battery) float64 { return float64(b.Limits.Charge) })
	if d.Kept.Known() {
		o.Kept = float64(d.Kept.V)
		return nil
	}
	one := &b.Batteries[0]
	o.Kept = 0.99
	ref, note := keptPractice, ""
	switch line := one.Model.Efficiency; {
	case len(line) > 0:
		o.Kept, ref, note = meanAbove(line, o.Floor), one.Model.EfficiencyFrom.Ref, "mean from the floor to full"
	case one.Chemistry != bank.LFP:
		o.Kept = 0.85
	}
	kept := source.Assume(quantity.Ratio(o.Kept), ref, note)
	addAssumed(&t.list, "part of a charge that comes out again", "the bank", quantity.Format(kept.V, 3), kept)
	return nil
}

// nominal is the bank's voltage: of the solved circuit, or, where its cables
// make none, of one battery.
func (t *dayTable) nominal() (float64, error) {
	if t.j.ready() == nil {
		v, err := t.j.nominal()
		if err == nil && v > 0 {
			return v, nil
		}
	}
	v := float64(t.j.Bank.Batteries[0].Nominal)
	t.out.Notes = append(t.out.Notes, fmt.Sprintf("the cables make no circuit yet: all batteries count as side by side at %s, and no cable loss is counted", quantity.Format(quantity.Voltage(v), 3)))
	return v, nil
}

// capacity adds up something of the batteries side by side, of the group that
// has least; 0 where one of them lacks it.
func (t *dayTable) capacity(of func(*bank.Battery) float64) float64 {
	b := t.j.Bank
	groups := make([]int, len(b.Batteries))
	if t.j.ready() == nil {
		if s, err := sharing.Solve(b, assemble.Rest(t.j.cat)); err == nil {
			for i := range s.Batteries {
				groups[i] = s.Batteries[i].Group
			}
		}
	}
	sum := map[int]float64{}
	for i, g := range groups {
		if v := of(&b.Batteries[i]); g >= 0 && !b.Batteries[i].Off {
			if v == 0 {
				return 0
			}
			sum[g] += v
		}
	}
	least := 0.0
	for _, v := range sum {
		if least == 0 || v < least {
			least = v
		}
	}
	return least
}

// meanAbove is the mean of a line from x up to one.
func meanAbove(l bank.Line, x float64) float64 {
	const n = 1000
	sum := 0.0
	for i := range n {
		sum += l.At(x + float64((1-x)*(float64(i)+0.5)/n))
	}
	return sum / n
}

// bankAt is the store at a month's temperature.
func (t *dayTable) bankAt(factor float64) energy.Store {
	o := t.out
	return energy.Store{Capacity: o.Capacity * factor, Floor: o.Floor, Volts: o.Nominal, Accept: o.Accept, Tau: o.Tail, Back: o.Kept}
}

// factor is the part of the capacity that is there at a temperature.
func (t *dayTable) factor(kelvin float64) float64 {
	if math.IsNaN(kelvin) {
		return 1
	}
	least := math.Inf(1)
	for i := range t.j.Bank.Batteries {
		least = math.Min(least, t.j.Bank.Batteries[i].Model.Capacity.Or(kelvin, 1))
	}
	return least
}

// runs is the part of hour h in which load n takes its power in a month; on a
// bad day by its bad duty.
func (t *dayTable) runs(n, month, h int, bad bool) float64 {
	l := &t.ask.Loads[n]
	duty := float64(l.Duty)
	if bad {
		duty = float64(l.BadDuty)
	}
	switch {
	case t.warm.heats(n) && bad:
		return t.warm.colder[month]
	case t.warm.heats(n):
		return t.warm.parts[month]
	case !l.Months[month]:
		return 0
	case l.Hours.Known():
		return float64(l.Hours.V) / daySeconds * duty
	}
	return bank.Within(l.Spans, h) * duty
}

// loads lists the loads of the day.
func (t *dayTable) loads() {
	for n := range t.ask.Loads {
		l := &t.ask.Loads[n]
		one := report.DayLoad{ID: l.ID, Name: l.Name, Through: l.Through, Part: l.Part, Watts: t.watts(l),
			Duty: float64(l.Duty), BadDuty: float64(l.BadDuty), Months: l.Months, Spread: l.Hours.Known()}
		one.Hours = float64(l.Hours.V) / hourSeconds
		if !one.Spread {
			one.Hours = hoursOf(l.Spans)
		} else {
			t.list.add("when it runs", l.ID, "spread evenly over the day", "", "")
		}
		if t.warm.heats(n) {
			one.Hours, one.Duty, one.BadDuty = 24, t.warm.parts[0], t.warm.colder[0]
			one.Heating = true
		}
		t.out.Loads = append(t.out.Loads, one)
	}
}

// watts is a load's power on its own side.
func (t *dayTable) watts(l *bank.DayLoad) float64 {
	if l.Power.V > 0 || l.Part == "" || l.Power.Origin == source.Given {
		return float64(l.Power.V)
	}
	p := t.part(l.Part)
	return float64(p.Device.Current) * t.out.Nominal
}

func (t *dayTable) part(id string) *bank.Part {
	for i := range t.j.Bank.Parts {
		if t.j.Bank.Parts[i].ID == id {
			return &t.j.Bank.Parts[i]
		}
	}
	return nil
}
