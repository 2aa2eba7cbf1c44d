package run

import (
	"math"
	"slices"

	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// newReport makes the report of a run that has not begun.
func (s *runner) newReport(cases []bank.Case) *report.Run {
	nan := math.NaN()
	r := &report.Run{ID: cases[0].ID, Every: s.o.Every, FirstOut: nan, BankOut: nan, FirstOutJ: nan, BankOutJ: nan, StepError: nan, EventError: nan}
	for i := range s.units {
		u := &s.units[i]
		r.Batteries = append(r.Batteries, report.BatteryRun{ID: u.bat.ID, Least: u.state.Charge, Most: u.state.Charge,
			EmptyAt: nan, FullAt: nan, Assumed: assumed(u.bat)})
	}
	return r
}

// assumed reports whether a battery's run rests on a value nobody gave.
func assumed(b *bank.Battery) bool {
	m := &b.Model
	for _, o := range []source.Origin{b.Capacity.Origin, b.Resistance.Origin, b.Start.Origin, m.CurveFrom.Origin, m.Ohmic.Origin} {
		if o == source.Assumed {
			return true
		}
	}
	return len(m.Branches) > 0 && m.Branches[0].Resistance.Origin == source.Assumed
}

func (s *runner) battery(u *unit) *report.BatteryRun {
	for i := range s.units {
		if &s.units[i] == u {
			return &s.out.Batteries[i]
		}
	}
	panic("run: a battery that is not of this run")
}

// moment is an instant with the states, kept for the series.
type moment struct {
	at     float64
	set    bool
	flow   instant
	states []reading
}

type reading struct {
	charge, kelvin, heat, resistance float64
	in                               bool
}

// read copies what stands now.
func (s *runner) read() moment {
	m := moment{at: s.now, set: true, flow: s.first}
	m.flow.current, m.flow.emf, m.flow.posts = slices.Clone(s.first.current), slices.Clone(s.first.emf), slices.Clone(s.first.posts)
	for i := range s.units {
		u := &s.units[i]
		m.states = append(m.states, reading{u.state.Charge, u.state.Kelvin, u.cell.Heat(&u.state, s.first.current[i]), s.circuit.resistance[i], s.circuit.in[i]})
	}
	return m
}

// keep holds on to what stood before the first event of this instant.
func (s *runner) keep() {
	if !s.kept.set || s.kept.at != s.now {
		s.kept = s.read()
	}
	s.fresh = false
}

// sample writes what stands if a sample is due.
func (s *runner) sample() {
	due := s.next == 0
	if s.o.Every > 0 {
		due = s.now >= float64(s.next)*s.o.Every-tiny(s.now)
	}
	if due {
		s.write(s.read())
		s.next++
	}
}

func (s *runner) write(m moment) {
	r := s.out
	r.Time = append(r.Time, m.at)
	r.Current = append(r.Current, m.flow.draw)
	r.Voltage = append(r.Voltage, m.flow.volts)
	for i, one := range m.states {
		b := &r.Batteries[i]
		b.Current = append(b.Current, m.flow.current[i])
		b.Charge = append(b.Charge, one.charge)
		b.Voltage = append(b.Voltage, m.flow.posts[i])
		b.Temperature = append(b.Temperature, one.kelvin)
		b.Heat = append(b.Heat, one.heat)
		b.EMF = append(b.EMF, m.flow.emf[i])
		b.Resistance = append(b.Resistance, one.resistance)
		b.Active = append(b.Active, one.in)
	}
}

// finish adds the last sample and what is known only at the end.
func (s *runner) finish() *report.Run {
	r := s.out
	if n := len(r.Time); n == 0 || r.Time[n-1] < s.now-tiny(s.now) {
		if s.kept.set && s.kept.at == s.now {
			s.write(s.kept)
		} else {
			s.write(s.read())
		}
	}
	r.Ended = s.ended
	for i := range s.units {
		u, b := &s.units[i], &r.Batteries[i]
		b.Depth = b.Most - b.Least
		if s.now > 0 {
			b.MeanCharge /= s.now
		} else {
			b.MeanCharge = u.state.Charge
		}
		if u.cell.Plain() && b.Lost == 0 {
			r.ChargeError = math.Max(r.ChargeError, math.Abs((u.started-u.state.Charge)*u.cell.Capacity(&u.state)-u.gave))
		}
	}
	return r
}
