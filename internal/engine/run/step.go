package run

import (
	"math"

	"bankwright/internal/engine/cell"
	"bankwright/internal/model/report"
)

// refresh makes first what flows now.
func (s *runner) refresh() error {
	before := s.circuit.response
	if err := s.circuit.renew(s.units); err != nil {
		return err
	}
	if s.fresh && s.circuit.response == before {
		return nil
	}
	for i := range s.units {
		s.first.emf[i] = s.units[i].cell.EMF(&s.units[i].state)
	}
	s.solve(&s.first)
	s.fresh = true
	return nil
}

// solve fills an instant from its EMFs, posts included.
func (s *runner) solve(x *instant) {
	s.circuit.solve(s.demand, x)
	for i := range s.units {
		if s.circuit.in[i] {
			x.posts[i] = x.emf[i] - float64(s.circuit.resistance[i]*x.current[i])
		} else {
			s.circuit.fillPosts(x, i)
		}
	}
	s.out.Computed++
}

// shortest is the shortest step that the error may ask for, s: far below what
// any protection of a battery acts in.
const shortest = 1e-3

// advance takes one step: as long as the error allows, to at most the next
// thing that is known to happen, and to the first event within it.
func (s *runner) advance(end float64) error {
	known := s.known(end)
	most := known - s.now
	h := math.Min(s.dt, most)
	for {
		miss := s.try(h) / s.o.Tolerance
		if miss <= 1 || h <= shortest {
			if h >= s.dt || miss > 0.25 {
				s.dt = math.Min(s.o.MaxStep, h*math.Min(2, 0.9/math.Sqrt(math.Max(miss, 1e-9))))
			}
			break
		}
		h = math.Max(shortest, h*math.Max(0.2, 0.9/math.Sqrt(miss)))
	}
	past := s.excess()
	if past > 0 {
		h = s.locate(h)
	}
	s.accept(h)
	s.calm = past < -10*slack && !s.first.weak && s.waits() == 0
	if h == most {
		s.now = known // no rounding left between a time and its sum
	}
	return nil
}

// waits counts the limits that are passed and wait for their delay, and the
// batteries that will close again by themselves.
func (s *runner) waits() int {
	n := 0
	for i := range s.units {
		u := &s.units[i]
		if !math.IsInf(u.retry, 1) {
			n++
		}
		for _, since := range u.over {
			if !math.IsNaN(since) {
				n++
			}
		}
	}
	return n
}

// known is when the next thing happens that is known beforehand: a sample, the
// end of the case, a protection's delay or its retry.
func (s *runner) known(end float64) float64 {
	t := end
	if s.o.Every > 0 {
		t = math.Min(t, float64(s.next)*s.o.Every)
	}
	for _, d := range s.o.Drops {
		if d.Time > s.now {
			t = math.Min(t, d.Time)
		}
	}
	for i := range s.units {
		u := &s.units[i]
		if u.retry > s.now {
			t = math.Min(t, u.retry)
		}
		for k, since := range u.over {
			if !math.IsNaN(since) {
				if at := since + u.delay(k); at > s.now {
					t = math.Min(t, at)
				}
			}
		}
	}
	return t
}

// try goes h on from now, leaving the states in trying and the instants in
// second (at the end of a step with the first currents) and third (at the end).
// It gives the largest difference of a state of charge between the two ends.
func (s *runner) try(h float64) float64 {
	for i := range s.units {
		u := &s.units[i]
		u.cell.Move(&s.ahead[i], &u.state, s.first.current[i], h)
		u.brim(&s.ahead[i])
		s.second.emf[i] = u.cell.EMF(&s.ahead[i])
	}
	s.solve(&s.second)
	worst := 0.0
	for i := range s.units {
		u := &s.units[i]
		mean := (s.first.current[i] + s.second.current[i]) / 2
		u.cell.Move(&s.trying[i], &u.state, mean, h)
		u.brim(&s.trying[i])
		s.third.emf[i] = u.cell.EMF(&s.trying[i])
		worst = math.Max(worst, math.Abs(s.ahead[i].Charge-s.trying[i].Charge))
	}
	s.solve(&s.third)
	return worst
}

// brim keeps a battery without electronics at full: what is put in beyond turns
// into gas.
func (u *unit) brim(s *cell.State) {
	if !u.bat.Model.Guard.Electronic && s.Charge > 1 {
		s.Charge = 1
	}
}

// locate finds the step to the first event within a step that holds one, by
// false position (Illinois); it ends just past the event, so that the event is
// there.
func (s *runner) locate(h float64) float64 {
	low, high := 0.0, h
	fLow, fHigh := math.Min(s.excessNow(), -1e-12), s.excess()
	side := 0
	for range 200 {
		if high-low <= 1e-7*math.Max(1, 1e-6*s.now) {
			break
		}
		mid := low + (high-low)*fLow/(fLow-fHigh)
		if !(mid > low && mid < high) || side > 3 || side < -3 {
			mid, side = (low+high)/2, 0
		}
		s.try(mid)
		if f := s.excess(); f > 0 {
			high, fHigh = mid, f
			side = max(side, 0) + 1
			if side > 1 {
				fLow /= 2
			}
		} else {
			low, fLow = mid, math.Min(f, -1e-12)
			side = min(side, 0) - 1
			if side < -1 {
				fHigh /= 2
			}
		}
	}
	s.try(high)
	return high
}

// accept makes the step that was tried the present, and adds to the sums.
func (s *runner) accept(h float64) {
	r := s.out
	mean := func(a, b float64) float64 { return (a + b) / 2 * h }
	charge := mean(s.first.draw, s.second.draw)
	energy := mean(s.first.draw*s.first.volts, s.second.draw*s.second.volts)
	switch {
	case charge > 0:
		r.Delivered, r.Energy = r.Delivered+charge, r.Energy+energy
	case charge < 0:
		r.Taken, r.TakenJ = r.Taken-charge, r.TakenJ-energy
	}
	for i := range s.units {
		s.add(i, h)
		if u := &s.units[i]; s.trying[i].Charge == 1 && u.state.Charge < 1 && !u.bat.Model.Guard.Electronic {
			s.gasses(i, s.now+h)
		}
		s.units[i].state = s.trying[i]
	}
	s.first, s.third = s.third, s.first
	s.now += h
}

// add adds one battery's part of a step.
func (s *runner) add(i int, h float64) {
	u, b := &s.units[i], &s.out.Batteries[i]
	i1, i2 := s.first.current[i], s.second.current[i]
	charge := (i1 + i2) / 2 * h
	energy := (i1*s.first.posts[i] + i2*s.second.posts[i]) / 2 * h
	switch {
	case charge > 0:
		b.Out, b.OutJ, b.OutTime = b.Out+charge, b.OutJ+energy, b.OutTime+h
	case charge < 0:
		b.In, b.InJ, b.InTime = b.In-charge, b.InJ-energy, b.InTime+h
		if fall := (s.trying[i].Charge - u.state.Charge) * u.cell.Capacity(&u.state); !u.cell.Plain() || s.trying[i].Charge == 1 {
			b.Lost += math.Max(0, -charge-fall)
		}
	}
	u.gave += charge
	b.Square += (i1*i1 + i2*i2) / 2 * h
	b.MeanCharge += (u.state.Charge + s.trying[i].Charge) / 2 * h
	switch c := s.trying[i].Charge; {
	case c < b.Least:
		b.Least = c
	case c > b.Most:
		b.Most = c
	}
	s.peak(i, s.third.current[i], s.now+h)
}

func (s *runner) peak(i int, current, at float64) {
	if b := &s.out.Batteries[i]; math.Abs(current) > math.Abs(b.Peak) {
		b.Peak, b.PeakAt = current, at
	}
}

// gasses notes that a battery without electronics has become full: it goes on
// taking current, which turns into gas.
func (s *runner) gasses(i int, at float64) {
	b := &s.out.Batteries[i]
	if !math.IsNaN(b.FullAt) {
		return
	}
	b.FullAt = at
	s.out.Events = append(s.out.Events, report.Event{Time: at, Battery: b.ID, What: report.Full, Because: "charge", Value: 1, Limit: 1, OnCharge: true})
}
