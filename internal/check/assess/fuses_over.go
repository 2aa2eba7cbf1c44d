package assess

import (
	"math"

	"bankwright/internal/check/rules"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/report"
)

// fuseTimes fills how long a fuse or breaker carries its current at the least
// and at the most.
func (j *Job) fuseTimes(o *report.FuseOver) {
	o.Holds, o.Opens = math.NaN(), math.NaN()
	for i := range j.Bank.Parts {
		if p := &j.Bank.Parts[i]; p.ID == o.Part && o.Rating > 0 {
			d := rules.DeviceOf(&report.Report{Bank: j.Bank, Side: &report.Side{}}, &report.Guard{Part: p.ID, Index: i, Most: math.NaN(), Least: math.NaN()})
			o.Holds, o.Opens = d.Band.AtLeast(o.Amps/o.Rating), d.Band.AtMost(o.Amps/o.Rating)
			o.Sheet = len(p.Rated.Times) > 0
		}
	}
}

// runFuses lists the fuses and breakers that carry more than their rating in a
// run: the most, when first, and for how long in all, sample by sample.
func (j *Job) runFuses(r *report.Run) {
	flows, bridged := sharing.FuseFlows(j.Bank)
	r.Bridged = bridged
	for n := range flows {
		f := &flows[n]
		one := report.FuseOver{Part: f.Part, Rating: f.Rating, From: math.NaN()}
		now := make([]float64, len(r.Batteries))
		for t := range r.Time {
			for i := range now {
				now[i] = r.Batteries[i].Current[t]
			}
			amps := math.Abs(f.Of(now, r.Current[t]))
			one.Amps = math.Max(one.Amps, amps)
			if !(amps > f.Rating*(1+1e-9)) {
				continue
			}
			if math.IsNaN(one.From) {
				one.From = r.Time[t]
			}
			if t > 0 {
				one.For += r.Time[t] - r.Time[t-1]
			}
		}
		if k := f.InLine(); k >= 0 && math.Abs(r.Batteries[k].Peak) > one.Amps { // between samples
			one.Amps = math.Abs(r.Batteries[k].Peak)
			if math.IsNaN(one.From) {
				one.From = r.Batteries[k].PeakAt
			}
		}
		if one.Amps > f.Rating*(1+1e-9) {
			j.fuseTimes(&one)
			r.Over = append(r.Over, one)
		}
	}
}
