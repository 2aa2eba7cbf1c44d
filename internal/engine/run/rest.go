package run

import (
	"math"

	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// settled is the part of the first equalising current at which it counts as over.
const settled = 0.1

// equalise lets the bank stand where it is without load and says what flows
// between the batteries. Nothing of it enters the report of the run.
func (s *runner) equalise() (*report.Equalise, error) {
	kept := s.out
	defer func() { s.out = kept }()
	s.out = s.newReport([]bank.Case{s.demand})
	s.demand = bank.Case{ID: "rest", CableTemperature: s.demand.CableTemperature}
	s.o.Every, s.next, s.fresh, s.dt = 0, 1, false, 1
	e := &report.Equalise{At: s.now, Settles: math.NaN(), Watched: restHours * 3600}
	if err := s.refresh(); err != nil {
		return nil, err
	}
	if err := s.settle(); err != nil {
		return nil, err
	}
	before := make([]float64, len(s.units))
	for i := range s.units {
		before[i] = s.units[i].gave
	}
	e.Current = append(e.Current, s.first.current...)
	e.Largest = largest(e.Current)
	end := s.now + e.Watched
	for s.now < end-tiny(end) && len(s.out.Events) < maxEvents {
		if math.IsNaN(e.Settles) && largest(s.first.current) <= settled*e.Largest {
			e.Settles = s.now - e.At
		}
		if err := s.advance(end); err != nil {
			return nil, err
		}
		if err := s.refresh(); err != nil {
			return nil, err
		}
		if !s.calm {
			if err := s.settle(); err != nil {
				return nil, err
			}
		}
		for i := range s.units {
			e.Moved = math.Max(e.Moved, math.Abs(s.units[i].gave-before[i]))
		}
	}
	return e, nil
}

func largest(values []float64) float64 {
	most := 0.0
	for _, v := range values {
		most = math.Max(most, math.Abs(v))
	}
	return most
}
