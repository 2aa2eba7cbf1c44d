package outage

import (
	"math"
	"slices"

	"bankwright/internal/model/report"
)

// same is the part by which two currents may differ and still count as equal:
// far above rounding, far below what a meter or a printed digit shows. It makes
// a battery exactly at its limit hold, and equal batteries open in job order.
const same = 1e-9

// line is a battery's current over its limit, as a straight line over the size
// of the draw. Each battery has up to two, for discharge and for charge.
type line struct {
	battery  int // -1: the limit itself, which is 1 at any draw
	at0      float64
	perDrawn float64
}

func (l line) at(x float64) float64 { return l.at0 + float64(l.perDrawn*x) }

// lines lists the limit first, then what batteries have a limit, in job order;
// into is used where it has room.
func (s *study) lines(st *state, into []line) []line {
	all := append(slices.Grow(into[:0], 1+2*len(st.in)), line{battery: -1, at0: 1})
	for i, in := range st.in {
		if !in {
			continue
		}
		per := s.sign * st.per[i]
		if l := s.limits[i].discharge; !math.IsInf(l, 1) {
			all = append(all, line{i, st.rest[i] / l, per / l})
		}
		if l := s.limits[i].charge; !math.IsInf(l, 1) {
			all = append(all, line{i, -st.rest[i] / l, -per / l})
		}
	}
	return all
}

// cascade gives the batteries that open after one another at a draw of this
// size, and whether the bank then still carries it.
func (s *study) cascade(st *state, x float64) (trips []int, holds bool) {
	for st.carries {
		top := line{battery: -1, at0: 1}
		s.scratch = s.lines(st, s.scratch)
		for _, l := range s.scratch[1:] {
			if l.at(x) > top.at(x)*(1+same) {
				top = l
			}
		}
		if top.battery < 0 {
			return trips, true
		}
		trips = append(trips, top.battery)
		st = s.lose(st, top.battery)
	}
	return trips, false
}

// allInLimit is the largest draw at which no battery passes its limit.
func (s *study) allInLimit() float64 {
	least, most := 0.0, math.Inf(1)
	for _, l := range s.lines(s.base, nil)[1:] {
		switch meets := (1 - l.at0) / l.perDrawn; {
		case l.perDrawn > 0:
			most = min(most, meets)
		case l.perDrawn < 0:
			least = max(least, meets)
		case l.at0 > 1+same:
			return math.NaN()
		}
	}
	if most < least*(1-same) || most < 0 {
		return math.NaN()
	}
	return most
}

// limit is the largest draw up to which the bank of a state holds.
func (s *study) limit(st *state) float64 {
	return settle(s.firstFailure(st, 0, math.Inf(1)), func(x float64) bool {
		_, holds := s.cascade(st, x)
		return holds
	})
}

// oneOutLimit is the least of the limits.
func (s *study) oneOutLimit(outs []report.Out, single []*state) float64 {
	least := math.Inf(1)
	for _, o := range outs {
		if math.IsNaN(o.Limit) {
			return math.NaN()
		}
		least = min(least, math.Abs(o.Limit))
	}
	return settle(least, func(x float64) bool {
		for _, st := range single {
			if st == nil {
				continue
			}
			if _, holds := s.cascade(st, x); !holds {
				return false
			}
		}
		return true
	})
}

// settle gives x where the bank holds at it. Where two batteries are over by
// as much just there, and the first of them in the job is the one whose loss
// the bank does not bear, it gives the nearest draw below that holds; NaN
// where none does.
func settle(x float64, holds func(x float64) bool) float64 {
	if math.IsInf(x, 1) || holds(x) {
		return x
	}
	for step := 2 * same; step < 1 && x > 0; step *= 2 {
		if below := x * (1 - step); holds(below) {
			return below
		}
	}
	return math.NaN()
}

// firstFailure gives the draw of [from, to) just above which the bank first
// does not hold, +Inf where it holds all along. What opens first changes with
// the draw only where two lines cross, so that the whole range is gone through
// in pieces, and each piece again for the state that follows.
func (s *study) firstFailure(st *state, from, to float64) float64 {
	if !st.carries {
		return from
	}
	lines := s.lines(st, nil)
	for x := from; x < to; {
		top, until := uppermost(lines, x)
		until = min(until, to)
		if top.battery >= 0 {
			if fails := s.firstFailure(s.lose(st, top.battery), x, until); fails < until {
				return fails
			}
		}
		x = until
	}
	return math.Inf(1)
}

// uppermost gives the line that is on top just above x, and up to where.
func uppermost(lines []line, x float64) (top line, until float64) {
	top = lines[0]
	for _, l := range lines[1:] {
		if above(l, top, x) {
			top = l
		}
	}
	until = math.Inf(1)
	for _, l := range lines {
		gap := top.at(x) - l.at(x)
		if gap > level(top, x) && steeper(l, top) {
			until = min(until, x+gap/(l.perDrawn-top.perDrawn))
		}
	}
	return top, until
}

// above reports whether a lies above b just above x.
func above(a, b line, x float64) bool {
	gap := a.at(x) - b.at(x)
	if math.Abs(gap) > level(b, x) {
		return gap > 0
	}
	return steeper(a, b)
}

// level is the gap up to which a line counts as met at x.
func level(l line, x float64) float64 { return same * max(1, math.Abs(l.at(x))) }

func steeper(a, b line) bool {
	return a.perDrawn-b.perDrawn > same*(math.Abs(a.perDrawn)+math.Abs(b.perDrawn))
}
