package assess

import (
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/fault"
	"bankwright/internal/engine/feed"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// Side computes the whole d.c. side: scenarios, conductors, devices, faults.
func (j *Job) Side() (*report.Side, error) {
	if err := j.ready(); err != nil {
		return nil, err
	}
	nominal, err := j.nominal()
	if err != nil {
		return nil, err
	}
	s := &report.Side{Nominal: nominal}
	if s.Scenarios, err = j.scenarios(); err != nil {
		return nil, err
	}
	m := feed.New(j.Bank)
	for i := range j.Bank.Cables {
		s.Lines = append(s.Lines, j.line(i, m, s.Scenarios, nominal))
		s.Lines[i].Ways = feedWays(&m.Cables[i])
	}
	most, least := j.faultConditions()
	f, err := fault.Solve(j.Bank, fault.Options{Most: most, Least: &least})
	if err != nil {
		return nil, j.named(err)
	}
	for _, p := range f.Points {
		s.Points = append(s.Points, report.FaultPoint{Place: p.Place.String(), Most: p.Most.Current, Least: p.Least.Current})
	}
	for _, p := range f.Across {
		s.Across = append(s.Across, report.FaultPoint{Place: p.Device, Most: p.Most.Current, Least: p.Least.Current})
	}
	for _, p := range f.Into {
		s.Into = append(s.Into, report.FaultPoint{Place: p.Battery, Most: p.Most.Current, Least: p.Least.Current})
	}
	s.Highest = j.highest(most.EMF)
	if err := j.shorts(s, m, &f, least); err != nil {
		return nil, err
	}
	if err := j.fedShorts(s, m, most, least); err != nil {
		return nil, err
	}
	if s.Leads, err = j.leads(most); err != nil {
		return nil, err
	}
	s.Loads = j.loads(s, j.stiff(s))
	return s, j.hazards(s, m)
}

// feedWays lists from where current comes into a cable.
func feedWays(c *feed.Cable) []report.FeedWay {
	var all []report.FeedWay
	for _, ways := range c.Ways {
		for _, w := range ways {
			one := report.FeedWay{Source: w.Source.String(), Battery: w.Battery, Switched: len(w.Switches) > 0}
			if n := len(w.Devices); n > 0 {
				one.Device = w.Devices[n-1]
			}
			all = append(all, one)
		}
	}
	return all
}

// highest is the highest voltage that the system may reach: what its sources
// hold, else its batteries' open-circuit voltage when full.
func (j *Job) highest(full []float64) float64 {
	most := 0.0
	for i := range j.Bank.Parts {
		most = math.Max(most, float64(j.Bank.Parts[i].Device.Voltage))
	}
	b := *j.Bank
	b.Batteries = append([]bank.Battery{}, b.Batteries...)
	k := &Job{Bank: &b, Doc: j.Doc, cat: j.cat, lay: j.lay}
	for i := range b.Batteries {
		b.Batteries[i].Nominal = quantity.Voltage(full[i])
	}
	if v, err := k.nominal(); err == nil {
		most = math.Max(most, v)
	}
	return most
}

// shorts fills what conductors and devices see of dead shorts.
func (j *Job) shorts(s *report.Side, m *feed.Map, f *fault.Result, least fault.Conditions) error {
	through := map[string]float64{}
	for _, t := range f.Through {
		through[t.ID] = math.Max(through[t.ID], math.Abs(t.Current))
	}
	weak, err := fault.New(j.Bank, least)
	if err != nil {
		return j.named(err)
	}
	low := map[bank.End]*fault.Short{}
	for _, p := range f.Points {
		if one, err := weak.Short(p.Place, j.Bank.Takeoff.Negative); err == nil {
			low[p.Place] = one
		}
	}
	for i := range s.Lines {
		l := &s.Lines[i]
		if amps := through[l.Cable]; amps > 0 {
			l.Most = amps
		}
		l.Least = leastThrough(low, l.Cable, []bank.End{j.Bank.Cables[i].From, j.Bank.Cables[i].To})
	}
	for _, d := range m.Devices {
		s.Guards = append(s.Guards, j.guard(s, &d, through[d.ID], low))
	}
	return nil
}

// leastThrough is the least current through a conductor in shorts at places
// that it feeds: of the two ends of a cable the one where it carries more.
func leastThrough(low map[bank.End]*fault.Short, id string, at []bank.End) float64 {
	most := math.NaN()
	for _, e := range at {
		if one := low[e]; one != nil {
			if amps, ok := one.Through(id); ok && !(math.Abs(amps) <= most) {
				most = math.Abs(amps)
			}
		}
	}
	return most
}

// guard holds a fuse or breaker against what it carries and what it has to open.
func (j *Job) guard(s *report.Side, d *feed.Device, most float64, low map[bank.End]*fault.Short) report.Guard {
	g := report.Guard{Part: d.ID, First: d.First, Before: d.Before, Sheath: d.Sheath, Switch: d.Switch, Far: d.Far, Feeds: d.Feeds, After: d.After, Most: math.NaN(), Least: math.NaN(), Volts: s.Highest}
	for i := range j.Bank.Parts {
		if j.Bank.Parts[i].ID == d.ID {
			g.Index = i
		}
	}
	if most > 0 {
		g.Most = most
	}
	g.Steady, g.Surge = worst(s.Scenarios, func(sc *report.Scenario) float64 { return sc.Parts[d.ID] })
	for _, id := range d.Feeds {
		c := cableNamed(j.Bank, id)
		if c == nil {
			continue
		}
		// The far end of what it saves: where the device carries least of the short.
		if amps := leastThrough(low, d.ID, []bank.End{c.From, c.To}); amps > 0 && !(amps >= g.Least) {
			g.Least, g.LeastAt = amps, id
		}
	}
	return g
}

// loads gives what each device that draws has at its terminals.
func (j *Job) loads(s *report.Side, stiff *bank.Bank) []report.LoadPoint {
	var all []report.LoadPoint
	h := j.heights()
	draws, _ := j.draws()
	for i := range j.Bank.Parts {
		p := &j.Bank.Parts[i]
		if !p.Kind.Draws() {
			continue
		}
		l := report.LoadPoint{Part: p.ID, Open: s.Nominal, Steady: math.NaN(), DropFraction: math.NaN(), Weak: j.weak(h, p, draws)}
		l.SteadyAmps, l.SurgeAmps = j.takes(p)
		for n := range s.Scenarios {
			sc := &s.Scenarios[n]
			if v, ok := sc.Volts[p.ID]; ok && sc.Name == allLoads {
				l.Steady = v
			}
		}
		if own := h.own(h.nominal, p); h.across(p) {
			l.Open = own // of its own supply, as at a centre tap
		}
		l.DropFraction = j.dropTo(stiff, p, l.Open)
		all = append(all, l)
	}
	return all
}

// stiff is the bank with sources of no resistance at its nominal voltage and
// every cable as warm as its steady current makes it: what a device lacks of
// the nominal voltage is then lost in conductors alone.
func (j *Job) stiff(s *report.Side) *bank.Bank {
	const none = 1e-7 // ohm: a thousandth of any joint
	b := *j.Bank
	b.Batteries = append([]bank.Battery{}, b.Batteries...)
	for i := range b.Batteries {
		b.Batteries[i].EMF.V, b.Batteries[i].Resistance.V = b.Batteries[i].Nominal, none
	}
	b.Cables = append([]bank.Cable{}, b.Cables...)
	for i := range b.Cables {
		if warm := s.Lines[i].Warm; warm > 0 && !math.IsInf(warm, 1) {
			b.Cables[i].Whole = source.Of(b.Cables[i].Resistance(quantity.Temperature(warm)))
		}
	}
	return &b
}

// dropTo is the part of the nominal voltage that is lost in conductors on the
// way to a device and back, with all loads on; NaN where nothing is known.
func (j *Job) dropTo(stiff *bank.Bank, p *bank.Part, nominal float64) float64 {
	draws := j.nominalDraws()
	_, volts, err := sharing.SolveDraws(stiff, 293.15, draws)
	if err != nil {
		return math.NaN()
	}
	for n, d := range draws {
		if d.Positive == end(p, 0) {
			return (nominal - volts[n]) / nominal
		}
	}
	return math.NaN()
}

func cableNamed(b *bank.Bank, id string) *bank.Cable {
	for i := range b.Cables {
		if b.Cables[i].ID == id {
			return &b.Cables[i]
		}
	}
	return nil
}
