package energy

import (
	"fmt"
	"math"
)

// Store is the bank as one: capacity and what it holds in coulombs.
type Store struct {
	Capacity float64 // C that can be used at the temperature of the day
	Floor    float64 // part of the capacity below which loads go off, 0 to 1
	Volts    float64 // V at which power is turned into current
	Accept   float64 // A at most that it takes; 0: no limit
	Tau      float64 // s of the tail: what it takes is at most what is missing over Tau; 0: none
	Back     float64 // of what goes in, the part that comes out again, 0 to 1
}

// Check notes what is wrong with a store.
func (s Store) Check() error {
	switch {
	case !(s.Capacity > 0) || !(s.Volts > 0):
		return fmt.Errorf("store: %g C at %g V; both above 0", s.Capacity, s.Volts)
	case !(s.Floor >= 0 && s.Floor < 1):
		return fmt.Errorf("store: a floor of %g; give 0 to below 1", s.Floor)
	case !(s.Back > 0 && s.Back <= 1):
		return fmt.Errorf("store: %g of the charge comes back; give above 0 to 1", s.Back)
	case !(s.Accept >= 0) || !(s.Tau >= 0):
		return fmt.Errorf("store: takes %g A with a tail of %g s; give 0 or more", s.Accept, s.Tau)
	}
	return nil
}

// Hour is one hour's asking and giving, both at the bank's terminals.
type Hour struct {
	Load    float64   // W
	Sources []float64 // W that each can give, in the order in which they are taken
	Blocked bool      // the bank takes no charge: too cold, or too warm; sources still feed the loads
}

// Past is what an hour came to, J at the bank's terminals.
type Past struct {
	Charge  float64   // part of the capacity that it holds at the end
	Served  float64   // of the loads
	Missed  float64   // of the loads, that nothing could give
	Given   []float64 // by each source, to loads and bank together
	Unused  []float64 // that each source could have given besides
	Refused float64   // of the unused, what it was only because the bank was blocked
	Empty   bool      // the floor was reached within the hour
	Full    bool      // the bank was full at the end
}

// full is the part of the capacity from which a bank counts as full.
const full = 0.995

// Run goes through hours from a charge, 0 to 1 of the capacity, in steps of a
// tenth of an hour, and calls each with what the hour came to. Sources feed the
// loads first and the bank with what is left; the bank gives what they lack,
// down to its floor. Loads are then off until it has been charged by a twentieth
// of its capacity above the floor, as a cut-out with its re-connect does (common
// practice, no source).
func (s Store) Run(start float64, hours func(n int) (Hour, bool), each func(n int, past Past) bool) error {
	if err := s.Check(); err != nil {
		return err
	}
	if !(start >= 0 && start <= 1) {
		return fmt.Errorf("store: it begins with %g of its capacity; give 0 to 1", start)
	}
	now, off := start*s.Capacity, false
	for n := 0; ; n++ {
		hour, more := hours(n)
		if !more {
			return nil
		}
		past, err := s.hour(&now, &off, hour)
		if err != nil {
			return fmt.Errorf("hour %d: %w", n, err)
		}
		if !each(n, past) {
			return nil
		}
	}
}

// Again is the part of the capacity above the floor that has to come back before
// loads that went off are fed again: common practice, no source.
const Again = 0.05

const steps = 10 // of an hour

func (s Store) hour(now *float64, off *bool, h Hour) (Past, error) {
	past := Past{Given: make([]float64, len(h.Sources)), Unused: make([]float64, len(h.Sources))}
	if !(h.Load >= 0) {
		return past, fmt.Errorf("a load of %g W; give 0 or more", h.Load)
	}
	for i, w := range h.Sources {
		if !(w >= 0) {
			return past, fmt.Errorf("source %d gives %g W; give 0 or more", i, w)
		}
	}
	const dt = 3600.0 / steps
	for range steps {
		s.step(now, off, h, dt, &past)
	}
	past.Charge = *now / s.Capacity
	past.Full = past.Charge >= full
	return past, nil
}

// step moves the store by dt seconds.
func (s Store) step(now *float64, off *bool, h Hour, dt float64, past *Past) {
	floor := s.Floor * s.Capacity
	if *off && *now >= math.Min(floor+Again*s.Capacity, s.Capacity) {
		*off = false
	}
	room := 0.0
	if !h.Blocked {
		room = s.takes(*now, dt) * s.Volts
	}
	free := s.takes(*now, dt) * s.Volts // were it not blocked
	asked := h.Load
	supply := 0.0
	for _, w := range h.Sources {
		supply += w
	}
	served := asked
	if *off {
		served = 0
	}
	lack := math.Max(0, served-supply)
	if have := math.Max(0, *now-floor) / dt * s.Volts; lack > have {
		served -= lack - have
		lack = have
		*off, past.Empty = true, true
	}
	spare := supply - math.Min(served, supply)
	into := math.Min(spare, room)
	past.Refused += (math.Min(spare, free) - into) * dt
	*now = math.Min(s.Capacity, *now+(into*s.Back-lack)/s.Volts*dt)
	past.Served += served * dt
	past.Missed += (asked - served) * dt
	left := math.Min(served, supply) + into
	for i, w := range h.Sources {
		take := math.Min(w, left)
		left -= take
		past.Given[i] += take * dt
		past.Unused[i] += (w - take) * dt
	}
}

// takes gives the current that the store takes at most, A, over dt seconds: its
// own limit, the tail, and what it lacks.
func (s Store) takes(now, dt float64) float64 {
	missing := math.Max(0, s.Capacity-now)
	most := missing / dt / s.Back
	if s.Tau > 0 {
		// Exact over the step: missing falls as exp(-t·Back/Tau).
		most = math.Min(most, missing*(1-math.Exp(-dt*s.Back/s.Tau))/dt/s.Back)
	}
	if s.Accept > 0 {
		most = math.Min(most, s.Accept)
	}
	return most
}
