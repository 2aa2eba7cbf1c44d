// Package outage says what the loss of batteries does to the others: the
// currents just after, which batteries then trip and in what order, and the
// largest draw that the bank bears. It also says what one weak thing does: an
// old battery, a cold side, a bad joint.
//
// # Losses
//
// With EMFs and wiring fixed every battery current is a straight line over the
// draw, I = rest + per·D. A battery that opens is as good as one whose EMF has
// moved so far that its current is nil (compensation theorem), so that the
// response of the whole bank holds every loss, in series strings too (state.go).
//
// # Cascade
//
// A battery passes its limit when its own current does, on discharge or on
// charge; exactly at the limit it holds. Of several the one that is over most,
// as current over limit, opens first, of equals the first in the job; then all
// is computed anew, until none is over or the take-off has nothing to feed it.
// The ground for that order is that boards of one kind open the sooner the
// further they are over (from memory); boards of unlike delays may differ.
package outage

import (
	"fmt"
	"math"

	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// maxBatteries bounds the time, which in the worst case grows with the fourth
// power of their number. A limit of ours, far above any bank of this trade.
const maxBatteries = 128

// maxPairs is the number of pairs of 64 batteries; a report of more is not
// read. A limit of ours.
const maxPairs = 64 * 63 / 2

// Solve gives what each loss does to a bank in one case. A case by power is
// turned into amps once, with all in; they then stay. Off batteries are out
// from the start and are not counted among the losses. A case of 0 A counts as
// a draw.
//
// Limits of the draw have the sign of the case and are +Inf where nothing
// limits. LimitAllIn is the largest draw at which no battery passes its limit,
// NaN where at each draw one does. The Limit of a loss is the largest draw up
// to which the bank holds, from nothing on: a draw above it may hold again,
// where unequal EMFs make another battery open first, but is not counted on.
// It is NaN where the bank does not hold at any draw, as when the only way
// through is gone. LimitOneOut is the least of these, NaN where one is.
//
// A fuse or breaker in line with a battery is a limit of that battery by its
// rating; one that carries more than a battery bounds the draw by its own.
//
// Worst is NaN where no battery has a limit for the way its current flows.
// The currents of a bank that can no longer carry are those that still flow
// between its batteries.
//
// Errors are those of sharing.Solve, more than 128 batteries, and options out
// of range.
func Solve(b *bank.Bank, c bank.Case, o Options) (report.Dropout, error) {
	d := report.Dropout{Case: c}
	o, err := o.filled()
	if err != nil {
		return d, err
	}
	if n := len(b.Batteries); n > maxBatteries {
		return d, fmt.Errorf("the loss of batteries is computed for at most %d of them, the bank has %d; ask about a part of it", maxBatteries, n)
	}
	snapshot, err := sharing.Solve(b, c)
	if err != nil {
		return d, err
	}
	c.ByPower, c.Current, c.Power = false, ampere(snapshot.Current), 0
	s, err := newStudy(b, c)
	if err != nil {
		return d, err
	}
	s.fill(&d)
	d.Weak, err = s.weak(o)
	return d, err
}

// fill gives all but the weak cases.
func (s *study) fill(d *report.Dropout) {
	d.Draw = s.signed(s.draw)
	for i := range s.bank.Batteries {
		discharge, charge := Limits(&s.bank.Batteries[i])
		if s.sign < 0 {
			discharge = charge
		}
		d.Limit = append(d.Limit, s.fused(i, discharge))
	}
	all := s.out(s.base)
	d.AllIn, d.AllInTrips, d.AllInHolds = all.Current, all.Trips, all.Holds
	d.LimitAllIn = s.signed(s.within(s.base, s.allInLimit()))
	d.Over, d.Bridged = s.over(&all), s.bridged
	var single []*state
	for i, in := range s.base.in {
		single = append(single, nil)
		if in {
			single[i] = s.lose(s.base, i)
			d.Outs = append(d.Outs, s.outLimited(single[i], i))
			d.Over = append(d.Over, s.over(&d.Outs[len(d.Outs)-1])...)
		}
	}
	d.LimitOneOut = s.signed(s.oneOutLimit(d.Outs, single))
	for i, one := range single {
		for k := i + 1; k < len(single) && one != nil; k++ {
			if single[k] == nil {
				continue
			}
			if len(d.Pairs) == maxPairs {
				d.Stops = true
				return
			}
			d.Pairs = append(d.Pairs, s.outLimited(s.lose(one, k), i, k))
		}
	}
}

// out is what a state comes to at the draw of the case.
func (s *study) out(st *state) report.Out {
	o := report.Out{Current: s.currents(st)}
	o.Worst, o.WorstID = s.worst(o.Current)
	trips, holds := s.cascade(st, s.draw)
	o.Holds = holds
	for _, k := range trips {
		o.Trips = append(o.Trips, s.bank.Batteries[k].ID)
	}
	return o
}

func (s *study) outLimited(st *state, out ...int) report.Out {
	o := s.out(st)
	for _, k := range out {
		o.Out = append(o.Out, s.bank.Batteries[k].ID)
	}
	o.Limit = s.signed(s.within(st, s.limit(st)))
	return o
}

// worst is the largest current over limit among these currents, of equals the
// first in the job.
func (s *study) worst(current []float64) (float64, string) {
	most, id := math.NaN(), ""
	for i, amps := range current {
		limit := s.limits[i].discharge
		if amps < 0 {
			limit = s.limits[i].charge
		}
		if over := math.Abs(amps) / limit; s.base.in[i] && !math.IsInf(limit, 1) && !(over <= most*(1+same)) {
			most, id = over, s.bank.Batteries[i].ID
		}
	}
	return most, id
}

// Limits gives the largest currents of a battery on discharge and on charge,
// both positive. On discharge it is that at which its protection opens, else
// the maker's largest, assumed to open there too; on charge the maker's
// largest, likewise. +Inf and no name where the job says nothing.
func Limits(b *bank.Battery) (discharge, charge report.Limit) {
	none := report.Limit{Current: math.Inf(1)}
	discharge, charge = none, none
	l := b.Limits
	switch {
	case l.Trip > 0:
		discharge = report.Limit{Current: float64(l.Trip), What: "trip"}
	case l.Discharge > 0:
		discharge = report.Limit{Current: float64(l.Discharge), What: "discharge", Assumed: true}
	}
	switch {
	case l.ChargeTrip > 0:
		charge = report.Limit{Current: float64(l.ChargeTrip), What: "charge_trip"}
	case l.Charge > 0:
		charge = report.Limit{Current: float64(l.Charge), What: "charge", Assumed: true}
	}
	return discharge, charge
}
