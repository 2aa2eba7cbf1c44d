// Package run takes a bank through time: cases one after the other, each
// battery's charge, what its protection does, and what the rest must then
// carry. Temperatures are those of the batteries' models; nothing is assumed
// here.
//
// # Method
//
// At every instant the currents are linear in the batteries' voltages and the
// draw (sharing.Response), so the state of the bank follows an ordinary
// differential equation between events. A step goes to its end with the
// currents at its beginning, asks for the currents there, and is then taken
// once more with the mean of both (Heun's method, second order); branches and
// temperatures move by their closed forms. The difference of the two ends is
// held below a tolerance by halving the step. Steps end at samples, at the
// ends of cases, and at events, which are found by false position on the
// length of the step.
//
// The response is renewed when a battery goes out or comes back, or when any
// resistance has moved by a thousandth.
package run

import (
	"errors"
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/engine/cell"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// Options say how finely a run is computed.
type Options struct {
	Every     float64     // s between samples; not above zero: none but first and last
	MaxStep   float64     // s; not above zero: 10 s
	Tolerance float64     // of a state of charge within a step; not above zero: 1e-6
	Rest      bool        // say what flows between the batteries when the last load has stopped
	Drops     []Drop      // batteries taken out by hand
	Stop      func() bool // asked now and then; true ends the run where it is. nil: never
}

// Drop takes a battery out for good at a time, as if its protection had opened.
type Drop struct {
	Battery int     // its place in the bank
	Time    float64 // s; at 0 it is out from the beginning
}

// What Options mean where they are not above zero.
const (
	MaxStep   = 10.0 // s
	Tolerance = 1e-6
)

// Bounds on what a run may take. Ours: a month at ten seconds is a tenth of it.
const (
	maxInstants = 50_000_000
	maxSamples  = 2_000_000
	maxEvents   = 5000
	restHours   = 24
	longest     = 30 * 24 * 3600.0 // s, of a case that does not say how long
)

// ErrStopped is returned with the run as far as it came.
var ErrStopped = errors.New("stopped")

// Solve runs a bank through cases one after the other. A case with For ends
// then. One without ends when the bank is out (a draw), when the tail is
// reached or nothing takes the charge any more (a charge), or after 24 h (no
// load). The error names places of the job; a bank that goes out is no error.
func Solve(b *bank.Bank, cases []bank.Case, o Options) (*report.Run, error) {
	s, err := newRunner(b, cases, o)
	if err != nil {
		return nil, err
	}
	for i := range cases {
		if err := s.step(cases[i], i == len(cases)-1); err != nil {
			return s.finish(), err
		}
		if s.ended != "" {
			break
		}
	}
	r := s.finish()
	if o.Rest && isDraw(cases[len(cases)-1]) {
		r.Rest, err = s.equalise()
	}
	return r, err
}

// unit is one battery on its way.
type unit struct {
	bat     *bank.Battery
	cell    *cell.Cell
	state   cell.State
	away    bool    // off in the job: never comes back
	noGive  string  // why discharge is open, "" if it is closed
	noTake  string  // why charge is open
	retry   float64 // s, when discharge closes again by itself; +Inf: not
	over    [4]float64
	wrong   quantity.Temperature // the limit that opened both its sides
	watched []kind               // what can happen while it is in
	started float64              // state of charge at the beginning
	gave    float64              // C, discharged less charged, by the sums
}

func (u *unit) in() bool { return !u.away && u.noGive == "" && u.noTake == "" }

// runner is a run under way.
type runner struct {
	bank    *bank.Bank
	units   []unit
	circuit *circuit
	o       Options
	out     *report.Run
	now     float64
	next    int // sample
	dt      float64
	demand  bank.Case
	ended   string
	fresh   bool // first is of now and of the circuit's response
	kept    moment
	steps   int
	calm    bool         // nothing was near a limit at the end of the last step
	trying  []cell.State // after the step that is tried
	ahead   []cell.State
	first   instant
	second  instant
	third   instant
}

func newRunner(b *bank.Bank, cases []bank.Case, o Options) (*runner, error) {
	if o.MaxStep <= 0 {
		o.MaxStep = MaxStep
	}
	if o.Tolerance <= 0 {
		o.Tolerance = Tolerance
	}
	if len(cases) == 0 {
		return nil, errors.New("a run needs at least one case")
	}
	total := 0.0
	for i := range cases {
		total += float64(cases[i].For)
	}
	if o.Every > 0 && total/o.Every > maxSamples || total/o.MaxStep > maxInstants/4 {
		return nil, fmt.Errorf("%.0f h at these steps would take more than %d samples or %d instants; ask for a shorter time or larger steps", total/3600, maxSamples, maxInstants)
	}
	n := len(b.Batteries)
	for _, d := range o.Drops {
		if d.Battery < 0 || d.Battery >= n || !(d.Time >= 0) {
			return nil, fmt.Errorf("there is no battery %d to take out at %g s", d.Battery, d.Time)
		}
	}
	s := &runner{bank: b, o: o, dt: o.MaxStep, units: make([]unit, n), trying: make([]cell.State, n), ahead: make([]cell.State, n)}
	for i := range b.Batteries {
		bat := &b.Batteries[i]
		if len(bat.Model.Curve) == 0 {
			return nil, fmt.Errorf("battery %s has no open-circuit voltage to run with; give its curve or emf", bat.ID)
		}
		u := &s.units[i]
		*u = unit{bat: bat, cell: cell.New(bat), away: bat.Off, retry: math.Inf(1)}
		u.state = u.cell.Start(float64(bat.Start.V))
		u.started = u.state.Charge
		for _, d := range o.Drops {
			u.away = u.away || d.Battery == i && d.Time == 0
		}
		for k := range u.over {
			u.over[k] = math.NaN()
		}
		u.watched = watchedOf(&bat.Model.Guard)
	}
	var err error
	if s.circuit, err = newCircuit(b, cases); err != nil {
		return nil, err
	}
	for _, in := range []*instant{&s.first, &s.second, &s.third} {
		in.current, in.emf, in.posts = make([]float64, n), make([]float64, n), make([]float64, n)
	}
	s.out = s.newReport(cases)
	return s, nil
}

// step runs one case.
func (s *runner) step(c bank.Case, last bool) error {
	s.demand = c
	record := report.RunStep{Case: c, Start: s.now}
	var end float64
	switch {
	case c.For > 0:
		end = s.now + float64(c.For)
	case !drawsOrCharges(c):
		end = s.now + restHours*3600
	default:
		end = s.now + longest
	}
	if err := s.circuit.choose(c); err != nil {
		return err
	}
	s.dt, s.calm = s.o.MaxStep, false
	why, err := s.until(end, c, last)
	record.End, record.Ended = s.now, why
	s.out.Steps = append(s.out.Steps, record)
	return err
}

func drawsOrCharges(c bank.Case) bool {
	if c.ByPower {
		return c.Power != 0
	}
	return c.Current != 0
}

// until steps to a time or to what ends the case before it.
func (s *runner) until(end float64, c bank.Case, last bool) (string, error) {
	tail := ""
	for {
		if err := s.refresh(); err != nil {
			return "stopped", err
		}
		s.sample()
		if s.drop() {
			if err := s.refresh(); err != nil {
				return "stopped", err
			}
		}
		if !s.calm {
			if err := s.settle(); err != nil {
				return "stopped", err
			}
		}
		why := s.over(c)
		switch {
		case s.ended != "":
			return s.ended, nil
		case why != "" && (last || !(c.For > 0)):
			if last {
				s.ended = why
			}
			return why, nil
		case why == tailReached: // the charger has done; the rest of its time passes at rest
			s.demand, s.fresh, s.calm, tail = bank.Case{ID: c.ID, CableTemperature: c.CableTemperature}, false, false, why
			c = s.demand
			continue
		case s.now >= end-tiny(end):
			s.now = end
			if last {
				s.ended = "its time was over"
			}
			if tail != "" {
				return tail, nil
			}
			return "time", nil
		case len(s.out.Events) > maxEvents:
			s.ended = fmt.Sprintf("more than %d events: a protection opens and closes again and again", maxEvents)
			return s.ended, nil
		}
		if s.steps++; s.steps%2048 == 0 && s.o.Stop != nil && s.o.Stop() {
			return "stopped", ErrStopped
		}
		if s.out.Computed > maxInstants || len(s.out.Time) > maxSamples {
			return "stopped", fmt.Errorf("the run would take more than %d instants or %d samples; ask for a shorter time or larger steps", maxInstants, maxSamples)
		}
		if err := s.advance(end); err != nil {
			return "stopped", err
		}
	}
}

// tiny is what two times may differ by and still be one.
func tiny(t float64) float64 { return 1e-9 * math.Max(1, math.Abs(t)) }

// over says why a case ends before its time, "" if it goes on.
func (s *runner) over(c bank.Case) string {
	switch {
	case !drawsOrCharges(c):
		return ""
	case isDraw(c) && !s.first.carries:
		return "the bank was out"
	case isDraw(c) && s.first.weak:
		return "the bank cannot give that power any more"
	case !isDraw(c) && !s.first.carries:
		return "no battery takes the charge any more"
	case !isDraw(c) && c.Tail > 0 && s.first.held && -s.first.draw <= float64(c.Tail)*(1+1e-9):
		return tailReached
	}
	return ""
}

// tailReached is why a charge ends.
const tailReached = "the charge current had fallen to its tail"

func isDraw(c bank.Case) bool { return c.Current > 0 || c.Power > 0 }
