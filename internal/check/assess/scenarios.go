package assess

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/assemble"
)

// scenarios are the states that conductors are held against: every case of the
// job, all loads at once, each source alone at its most, and each load's surge
// on top of all others, as large as it can get: at its lowest working voltage
// or with the bank empty under load.
func (j *Job) scenarios() ([]report.Scenario, error) {
	var all []report.Scenario
	for _, c := range j.Bank.Cases {
		s, err := sharing.Solve(j.Bank, c)
		if err != nil {
			return nil, j.named(err)
		}
		one := scenario("case "+c.ID, &s)
		one.Case = true
		if c.For > 0 {
			one.Seconds = float64(c.For)
		}
		all = append(all, one)
	}
	draws, assumed := j.draws()
	if len(draws) > 0 {
		one, err := j.state(allLoads, draws, assumed)
		if err != nil {
			return nil, err
		}
		all = append(all, one)
	}
	h := j.heights()
	for i := range j.Bank.Parts {
		p := &j.Bank.Parts[i]
		if p.Kind.Charges() && p.Device.Current > 0 && h.across(p) {
			d := []sharing.Draw{{Positive: end(p, 0), Negative: end(p, 1), Current: -float64(p.Device.Current)}}
			one, err := j.state(p.ID+" charging alone", d, false)
			if err != nil {
				return nil, err
			}
			all = append(all, one)
		}
		one, ok, err := j.surge(h, p, draws)
		if err != nil {
			return nil, err
		}
		if ok {
			all = append(all, one)
		}
	}
	return all, nil
}

// allLoads and surgeOf name scenarios.
const allLoads = "all loads at once"

func surgeOf(id string) string { return "surge of " + id + " at its lowest voltage, all loads on" }

func end(p *bank.Part, n int) bank.End { return p.Ends()[n] }

// draws are what all loads ask for, each at the voltage that its lasting
// current is taken at; assumed where that or an efficiency is.
func (j *Job) draws() (all []sharing.Draw, assumed bool) {
	h := j.heights()
	for i := range j.Bank.Parts {
		p := &j.Bank.Parts[i]
		amps, _, atAssumed, ok := h.lasting(p)
		if !ok {
			continue
		}
		assumed = assumed || atAssumed || p.Device.Efficiency.Origin == source.Assumed
		all = append(all, sharing.Draw{Positive: end(p, 0), Negative: end(p, 1), Current: amps})
	}
	return all, assumed
}

// nominalDraws are what all loads ask for at their nominal voltage, which parts
// of that voltage are counted by.
func (j *Job) nominalDraws() (all []sharing.Draw) {
	h := j.heights()
	for i := range j.Bank.Parts {
		p := &j.Bank.Parts[i]
		if _, _, _, ok := h.lasting(p); ok {
			amps, _, _ := p.Asks(quantity.Voltage(h.own(h.nominal, p)))
			all = append(all, sharing.Draw{Positive: end(p, 0), Negative: end(p, 1), Current: float64(amps)})
		}
	}
	return all
}

// surge is a load's surge on top of all loads.
func (j *Job) surge(h *heights, p *bank.Part, draws []sharing.Draw) (report.Scenario, bool, error) {
	if _, _, _, ok := h.lasting(p); !ok || p.Device.Surge <= p.Device.Power {
		return report.Scenario{}, false, nil
	}
	amps, err := j.surgeAmps(h, p, draws)
	if err != nil {
		return report.Scenario{}, false, err
	}
	one, err := j.state(surgeOf(p.ID), drawing(p, draws, amps), p.Device.Efficiency.Origin == source.Assumed)
	one.Seconds = float64(p.Device.SurgeFor)
	return one, err == nil, err
}

// state solves one set of draws.
func (j *Job) state(name string, draws []sharing.Draw, assumed bool) (report.Scenario, error) {
	s, volts, err := sharing.SolveDraws(j.Bank, assemble.Rest(j.cat).CableTemperature.V, draws)
	if err != nil {
		return report.Scenario{}, fmt.Errorf("%s: %s: %w", j.Doc.File, name, err)
	}
	one := scenario(name, &s)
	one.Assumed = assumed
	for n, d := range draws {
		one.Volts[d.Positive.ID] = volts[n]
	}
	return one, nil
}

func scenario(name string, s *report.Sharing) report.Scenario {
	one := report.Scenario{Name: name, Seconds: math.Inf(1), Parts: map[string]float64{}, Volts: map[string]float64{}}
	for _, c := range s.Cables {
		one.Cables = append(one.Cables, math.Abs(c.Current))
	}
	for i := range s.Batteries {
		one.Gives = append(one.Gives, s.Batteries[i].Current)
	}
	for _, p := range s.Parts {
		one.Parts[p.ID] = math.Max(one.Parts[p.ID], math.Abs(p.Current))
	}
	return one
}

// nominal is the voltage of the system: that of its take-off with every battery
// at its nominal voltage.
func (j *Job) nominal() (float64, error) {
	b := *j.Bank
	b.Batteries = append([]bank.Battery{}, b.Batteries...)
	for i := range b.Batteries {
		b.Batteries[i].EMF.V = b.Batteries[i].Nominal
	}
	s, err := sharing.Solve(&b, assemble.Rest(j.cat))
	if err != nil {
		return 0, j.named(err)
	}
	return s.Voltage, nil
}

// lasting is from when a scenario counts as steady, s: what warms a cable
// through is over within some minutes (its time constant), what lasts less is a
// surge. Common practice, no source: ten minutes.
const lasting = 600

// worst finds the largest steady and the largest short current of something.
func worst(all []report.Scenario, amps func(*report.Scenario) float64) (steady, surge report.WorstFlow) {
	for i := range all {
		s := &all[i]
		w := report.WorstFlow{Amps: amps(s), Seconds: s.Seconds, In: s.Name, Assumed: s.Assumed}
		into := &steady
		if s.Seconds < lasting {
			into = &surge
		}
		if w.Amps > into.Amps*(1+1e-9) {
			*into = w
		}
	}
	return steady, surge
}
