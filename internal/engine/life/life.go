// Package life says how use ages a battery: published laws of capacity loss
// and resistance rise for lithium iron phosphate, and what unequal use makes of
// unequal batteries.
//
// # Two laws
//
// Small is fitted to a round cell of 3 Ah, Large to a flat cell of more than
// 250 Ah; For names them by chemistry, the one nearer to a house bank first.
// They differ by a factor of two and more, so that a loss is a guide and a
// comparison under one law is worth more than either figure. No law for
// lead-acid is at hand; ErrNoLaw says so.
//
// # Outside the tests
//
// A law is asked only about what its makers tested. Each limit that is left is
// named in Result.Outside, and the part concerned is NaN unless the law comes
// from Law.Extrapolating. Three steps beyond the tests are smooth and small or
// are taken by the laws' own authors: longer time or more cycles, a gentler
// current, a shallower depth. Those give a number, and Result.Stretched names
// them.
package life

import (
	"fmt"
	"math"
)

// Conditions are a stretch of use under one set of conditions.
type Conditions struct {
	Time        float64 // s; no calendar part at 0
	Cycles      float64 // equivalent full cycles in that time; no cycle part at 0
	Depth       float64 // of a cycle, 0 to 1, of the capacity when new; read where there are cycles
	Charge      float64 // C-rate, 1/h, above 0; read where there are cycles
	Discharge   float64 // C-rate, 1/h, above 0; read where there are cycles
	Temperature float64 // K, of the cells
	SOC         float64 // mean state of charge, 0 to 1; read where there is time
}

// rate is the mean of both C-rates, which the laws are written in.
func (c Conditions) rate() float64 { return (c.Charge + c.Discharge) / 2 }

// Result is what a law gives. Losses are fractions of the capacity when new,
// rises of the resistance when new. NaN: outside the tests, more than the whole
// capacity, or (rises only) the law has none.
type Result struct {
	Calendar, Cycle, Loss         float64 // Loss is the sum of both
	CalendarRise, CycleRise, Rise float64 // likewise
	Outside                       []string
	Stretched                     []string
}

// check says what is wrong with a stretch of use that no law could be asked
// about: it is bad input, not a limit of a law.
func (c Conditions) check() error {
	switch {
	case !finite(c.Time) || c.Time < 0:
		return fmt.Errorf("time %g s; give zero or more seconds", c.Time)
	case !finite(c.Cycles) || c.Cycles < 0:
		return fmt.Errorf("%g equivalent full cycles; give zero or more", c.Cycles)
	case !finite(c.Temperature) || c.Temperature <= 0:
		return fmt.Errorf("cell temperature %g K; give a temperature above absolute zero, in kelvin", c.Temperature)
	case c.Time > 0 && !(c.SOC >= 0 && c.SOC <= 1):
		return fmt.Errorf("mean state of charge %g; give 0 to 1", c.SOC)
	case c.Cycles > 0 && !(c.Depth > 0 && c.Depth <= 1):
		return fmt.Errorf("depth of a cycle %g; give more than 0 and at most 1", c.Depth)
	case c.Cycles > 0 && !(c.Charge > 0 && finite(c.Charge)):
		return fmt.Errorf("charge rate %g C; give a rate above 0", c.Charge)
	case c.Cycles > 0 && !(c.Discharge > 0 && finite(c.Discharge)):
		return fmt.Errorf("discharge rate %g C; give a rate above 0", c.Discharge)
	}
	return nil
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
