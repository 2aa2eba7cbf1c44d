package outage

import (
	"math"

	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/report"
)

// fuses lays out the fuses and breakers. One in line with a battery is a limit
// of that battery beside its trip: its rating, which it carries without end.
func (s *study) fuses() {
	s.flows, s.bridged = sharing.FuseFlows(s.bank)
	s.fuse = make([]report.Limit, len(s.bank.Batteries))
	for i := range s.fuse {
		s.fuse[i] = report.Limit{Current: math.Inf(1)}
	}
	for n := range s.flows {
		f := &s.flows[n]
		if k := f.InLine(); k >= 0 && f.Rating < s.fuse[k].Current {
			s.fuse[k] = report.Limit{Current: f.Rating, What: "fuse", Fuse: f.Part}
		}
	}
	for i := range s.limits {
		s.limits[i].discharge = math.Min(s.limits[i].discharge, s.fuse[i].Current)
		s.limits[i].charge = math.Min(s.limits[i].charge, s.fuse[i].Current)
	}
}

// fused is a battery's limit or that of the fuse in line with it, the smaller.
func (s *study) fused(i int, own report.Limit) report.Limit {
	if s.fuse[i].Current < own.Current {
		return s.fuse[i]
	}
	return own
}

// within is the largest draw, no more than most, at which no fuse that carries
// more than one battery passes its rating; NaN where there is none.
func (s *study) within(st *state, most float64) float64 {
	per := make([]float64, len(st.per))
	for i := range per {
		per[i] = float64(s.sign * st.per[i])
	}
	for n := range s.flows {
		f := &s.flows[n]
		if f.InLine() >= 0 {
			continue
		}
		top := f.Cap(st.rest, per, s.sign)
		if math.IsNaN(top) {
			return top
		}
		most = min(most, top) // NaN stays
	}
	return most
}

// over lists the fuses that carry more than their rating just after a loss.
func (s *study) over(o *report.Out) []report.FuseOver {
	var all []report.FuseOver
	for n := range s.flows {
		f := &s.flows[n]
		if amps := math.Abs(f.Of(o.Current, s.signed(s.draw))); amps > f.Rating*(1+same) {
			all = append(all, report.FuseOver{Out: o.Out, Part: f.Part, Amps: amps, Rating: f.Rating})
		}
	}
	return all
}
