// Package join closes one battery onto the rest of a bank that stands without
// load: what flows at the first instant and in the hours after, which
// difference of voltage each limit allows, the resistor for a larger one, and
// how little a voltage says of a state of charge.
package join

import (
	"errors"
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/cell"
	"bankwright/internal/engine/run"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// Options set what a job does not say.
type Options struct {
	Meter    float64 // V, error of the voltmeter; common practice for a hand-held one: 10 mV
	Gentle   float64 // 1/h, largest current of a joining over the capacity; common practice 0.2
	Watch    float64 // s
	Guidance []report.Allowed
}

// Defaults: the meter's error and the gentle current are common practice, no
// source. The guidance of trade articles and makers' notes is common practice
// too; no standard's number was found, so all of it is given.
func Defaults() Options {
	nan := math.NaN()
	return Options{Meter: 0.010, Gentle: 0.2, Watch: 24 * 3600, Guidance: []report.Allowed{
		{What: "trade guidance, the strict one: match within 50 mV", Current: nan, Difference: 0.05, Source: "two trade sources (common practice)"},
		{What: "trade guidance, the usual one: match within 0.1 V", Current: nan, Difference: 0.1, Source: "one trade source (common practice)"},
		{What: "trade guidance: a resistor above 0.3 V", Current: nan, Difference: 0.3, Source: "one trade source (common practice)"},
	}}
}

// Solve joins battery k to the others of the bank that are not off. The bank's
// batteries are at their Start. The cables' temperature is that of the case.
func Solve(b *bank.Bank, k int, rest bank.Case, o Options) (*report.Join, error) {
	p, err := sharing.NewPorts(b, rest.CableTemperature.V)
	if err != nil {
		return nil, err
	}
	n := len(b.Batteries)
	resistance, emf, in := make([]float64, n), make([]float64, n), make([]bool, n)
	others := 0
	for i := range b.Batteries {
		resistance[i], emf[i] = atOnce(&b.Batteries[i])
		in[i] = i == k || !b.Batteries[i].Off
		if in[i] && i != k {
			others++
		}
	}
	if others == 0 {
		return nil, errors.New("there is no other battery to join")
	}
	r, err := p.Solve(resistance, in)
	if err != nil {
		return nil, err
	}
	j := &report.Join{Battery: b.Batteries[k].ID, Volts: emf[k], Own: resistance[k], Watched: o.Watch, LeastBy: -1, Least: math.Inf(1)}
	own := r.Current[k*n+k]
	if !(own > 0) {
		return nil, fmt.Errorf("battery %s meets no other: its posts are not joined to a battery that is on", j.Battery)
	}
	for i := range n {
		sum := 0.0
		for m := range n {
			sum += r.Current[i*n+m] * emf[m]
		}
		j.First = append(j.First, sum)
	}
	j.Difference = j.First[k] / own // its current is what the difference drives through both
	j.BankVolts, j.Path = emf[k]-j.Difference, 1/own-resistance[k]
	limits(j, b, r, k, o)
	if err := hours(j, b, k, rest, o); err != nil {
		return nil, err
	}
	sure(j, &b.Batteries[k], o.Meter)
	return j, nil
}

// atOnce gives a battery's resistance and voltage at the first instant: the
// job's emf where it gives one, else the curve at its state of charge.
func atOnce(b *bank.Battery) (ohm, volts float64) {
	c := cell.New(b)
	st := c.Start(float64(startOf(b)))
	if volts = c.EMF(&st); b.EMF.Origin == source.Given {
		volts = float64(b.EMF.V)
	}
	return c.Resistance(&st), volts
}

// limits fills what each limit allows: the battery's own limits, and of its
// neighbours' the tightest of each kind. Neighbours that differ have a current
// between them before the battery comes, which counts.
func limits(j *report.Join, b *bank.Bank, r *sharing.Response, k int, o Options) {
	sign := 1.0
	if j.Difference < 0 {
		sign = -1
	}
	own := r.Current[k*r.N+k]
	var others []report.Allowed
	for i := range b.Batteries {
		per := r.Current[i*r.N+k] * sign // A more through battery i for each volt of difference
		if math.Abs(per) < 1e-3*own {
			continue // too far away to feel it
		}
		before := j.First[i] - per*math.Abs(j.Difference)
		for _, a := range limitsOf(&b.Batteries[i], per > 0, i == k, o) {
			room := a.Current - before
			if per < 0 {
				room = a.Current + before
			}
			if a.Difference = math.Max(0, room/math.Abs(per)); i == k {
				allow(j, a)
			} else {
				others = append(others, a)
			}
		}
	}
	for _, a := range tightest(others) {
		allow(j, a)
	}
	for n, a := range j.Allowed { // the least of what is given; where nothing is, of what is assumed
		if given := j.LeastBy >= 0 && !j.Allowed[j.LeastBy].Assumed; a.Assumed && given {
			continue
		} else if better := !a.Assumed && !given; better || a.Difference < j.Least {
			j.Least, j.LeastBy = a.Difference, n
		}
	}
	for _, g := range o.Guidance {
		g.Within = math.Abs(j.Difference) <= g.Difference
		j.Allowed = append(j.Allowed, g)
	}
}

// limitsOf lists what bounds a battery's current in one direction.
func limitsOf(one *bank.Battery, gives, joins bool, o Options) []report.Allowed {
	var all []report.Allowed
	add := func(amps quantity.Current, what string, assumed bool) {
		if amps > 0 {
			a := report.Allowed{What: what, Battery: one.ID, Current: float64(amps), Assumed: assumed, Source: "the job"}
			if assumed {
				a.Source = "common practice, no source"
			}
			all = append(all, a)
		}
	}
	if gives {
		add(one.Limits.Discharge, "its discharge limit", false)
		add(one.Limits.Trip, "its trip", false)
	} else {
		add(one.Limits.Charge, "its charge limit", false)
		add(one.Limits.ChargeTrip, "its trip on charge", false)
	}
	if joins || !gives {
		add(quantity.Current(o.Gentle*float64(one.Capacity.V)/3600), fmt.Sprintf("%g of its capacity an hour, a gentle joining", o.Gentle), true)
	}
	return all
}

// tightest keeps of each kind of limit the one that allows least.
func tightest(all []report.Allowed) []report.Allowed {
	var kept []report.Allowed
	for _, a := range all {
		at := -1
		for n := range kept {
			if kept[n].What == a.What {
				at = n
			}
		}
		switch {
		case at < 0:
			kept = append(kept, a)
		case a.Difference < kept[at].Difference:
			kept[at] = a
		}
	}
	return kept
}

func allow(j *report.Join, a report.Allowed) {
	a.Within = math.Abs(j.Difference) <= a.Difference*(1+1e-9)
	j.Allowed = append(j.Allowed, a)
}

// sampled is the time between the samples that decay is read from, s.
const sampled = 10

// hours runs the joined bank without load, and where needed once more with a
// resistor before the battery.
func hours(j *report.Join, b *bank.Bank, k int, rest bank.Case, o Options) error {
	joined := with(b, k, 0)
	still := bank.Case{ID: "rest", For: quantity.Duration(o.Watch), CableTemperature: rest.CableTemperature}
	r, err := run.Solve(joined, []bank.Case{still}, run.Options{Every: sampled})
	if err != nil {
		return err
	}
	one := &r.Batteries[k]
	j.Events, j.Moved = r.Events, one.Out-one.In
	j.Half, j.Tenth = fallsTo(r.Time, one.Current, 0.5), fallsTo(r.Time, one.Current, 0.1)
	j.NoCurve = len(b.Batteries[k].Model.Curve) == 1
	if math.Abs(j.Difference) <= j.Least*(1+1e-9) {
		return nil
	}
	return resist(j, b, k, still)
}

// with gives the bank with battery k on, behind a further resistance.
func with(b *bank.Bank, k int, ohm float64) *bank.Bank {
	c := *b
	c.Batteries = append([]bank.Battery{}, b.Batteries...)
	c.Batteries[k].Off = false
	c.Batteries[k].Model.Ohmic.V += quantity.Resistance(ohm)
	for i := range c.Batteries {
		c.Batteries[i].Start.V = startOf(&c.Batteries[i])
		if b := &c.Batteries[i]; len(b.Model.Curve) == 1 && b.Start.Origin == source.Assumed {
			b.Start.V = 0.5 // nothing says: neither full nor empty, so that neither ends it
		}
	}
	return &c
}

// startOf is the state of charge to run from: where the job gives a voltage
// beside a curve, the middle of those at which the curve has it, or the nearest
// end of the curve.
func startOf(b *bank.Battery) quantity.Ratio {
	line := b.Model.Curve
	if b.EMF.Origin != source.Given || len(line) < 2 || line.At(float64(b.Start.V)) == float64(b.EMF.V) {
		return b.Start.V
	}
	low, high := between(&bank.Model{Curve: line}, float64(b.EMF.V), 1e-3)
	switch {
	case !math.IsNaN(low):
		return quantity.Ratio((low + high) / 2)
	case float64(b.EMF.V) > line[0].Y:
		return 1
	}
	return 0
}

// fallsTo gives when a current has fallen to a part of its first value.
func fallsTo(time, current []float64, part float64) float64 {
	for n, c := range current {
		if math.Abs(c) <= part*math.Abs(current[0]) {
			return time[n]
		}
	}
	return math.NaN()
}

// resist finds the resistor that keeps the first current at what the least
// limit allows, and how long it must stay.
func resist(j *report.Join, b *bank.Bank, k int, still bank.Case) error {
	path := j.Own + j.Path
	current := j.Least / path
	size := &report.Resistor{Ohm: math.Abs(j.Difference)/current - path, Current: current, Time: math.NaN()}
	size.Peak = current * current * size.Ohm
	r, err := run.Solve(with(b, k, size.Ohm), []bank.Case{still}, run.Options{Every: sampled})
	if err != nil {
		return err
	}
	for n, c := range r.Batteries[k].Current {
		if math.Abs(c)*(path+size.Ohm) <= j.Least {
			size.Time = r.Time[n]
			break
		}
		size.Energy += c * c * size.Ohm * sampled
	}
	j.Resistor = size
	return nil
}

// sure says between which states of charge a rested voltage leaves a battery,
// by its curve, the distance of its branches and the meter's error.
func sure(j *report.Join, one *bank.Battery, meter float64) {
	for _, v := range []struct {
		whose string
		volts float64
	}{{one.ID, j.Volts}, {"the others", j.BankVolts}} {
		low, high := between(&one.Model, v.volts, meter)
		j.Sure = append(j.Sure, report.Sure{Whose: v.whose, Volts: v.volts, Error: meter, Low: low, High: high})
	}
}

// between scans a battery's curve for the states of charge that a voltage does
// not exclude.
func between(m *bank.Model, volts, meter float64) (low, high float64) {
	const steps = 2000
	low, high = math.NaN(), math.NaN()
	for n := range steps + 1 {
		s := float64(n) / steps
		off := meter + m.Gap.Or(s, 0)/2*m.GapWarmth.Or(float64(m.Temperature.V), 1)
		if math.Abs(m.Curve.At(s)-volts) <= off {
			if math.IsNaN(low) {
				low = s
			}
			high = s
		}
	}
	return low, high
}
