// Package fit finds a battery's resistances from a log of its current and
// voltage.
//
// The battery is an open-circuit voltage over the state of charge (the middle
// between its discharge and its charge branch), an ohmic resistance, one or
// two slow branches (a resistance beside a capacitor) and a hysteresis:
//
//	v = ocv(s) − r0·i − Σ rk·xk + m·h
//	dxk/dt = (i − xk)/τk
//	dh = −(sign(i) + h)·|dq|/travel
//
// i is positive on discharge, s is counted from the current, q is charge moved
// as a part of the capacity, and h is the lean, from −1 after long discharge to
// +1 after long charge. Given the time constants all else is linear, so they
// are searched on a grid, which is then refined, and for each choice the rest
// is found by least squares with no value below zero. The curve may be fitted
// too, as a rising line over knots of charge. Where it is given, the capacity
// is mended within a few percent.
//
// References: G. L. Plett, Battery Management Systems, volume 1, chapter 2
// (equivalent circuits with a hysteresis state; from memory). Lawson and
// Hanson, Solving Least Squares Problems, chapter 23 (no value below zero; from
// memory).
package fit

import (
	"errors"
	"fmt"
	"math"
)

// Log is what was measured, three columns of one length: seconds from any
// moment, never falling; amperes, positive on discharge; volts of the battery.
type Log struct {
	Time, Current, Voltage []float64
}

// OCV gives the rested voltage of one cell, V, after discharge and after
// charge, at a state of charge from 0 to 1 and a temperature in kelvin.
type OCV func(charge, kelvin float64) (discharge, charged float64)

// Battery is what is known before.
type Battery struct {
	Capacity float64 // C, between full and empty
	Start    float64 // state of charge at the first row, 0 to 1
	Kelvin   float64 // through the whole log
	Cells    int     // in series
	OCV      OCV     // of one cell; nil: the curve is fitted
	// Efficiency is the part of the charge put in that can be taken out again,
	// above 0 to 1. 0 is LFPEfficiency with an OCV and 1 without, and told as
	// taken for granted.
	Efficiency float64
}

// LFPEfficiency is the coulombic efficiency of the cell whose open-circuit
// voltage is shipped, at 25 °C: Plett group, slow tests of an LFP/graphite
// 26650 cell; open copy batterysim/esctoolbox-python, commit e82af55.
const LFPEfficiency = 0.99617

// Travel is the charge moved, as a part of the capacity, in which the lean
// covers 1 − 1/e of its way; the same as chemistries.yaml gives (from memory).
const Travel = 0.03

// The charge that is fitted: below and above, the curve is so steep that its
// own error drowns the rest (battery tests commonly leave the ends out;
// common practice, no source).
const (
	Lowest  = 0.15
	Highest = 0.90
)

// Options are the choices.
type Options struct {
	Branches int  // 1 or 2; 0 is 2
	FitCurve bool // fit the open-circuit curve though there is an OCV
}

// Branch is a resistance beside a capacitor: what it holds back grows and
// fades with Tau.
type Branch struct {
	R   float64 // ohm, above 0
	Tau float64 // s
}

// Curve says where the open-circuit voltage is from.
type Curve string

// The two curves.
const (
	Shipped Curve = "shipped" // Battery.OCV
	Fitted  Curve = "fitted"
)

// Point is one point of a curve: a state of charge and the volts of the whole
// battery.
type Point struct{ Charge, Voltage float64 }

// Result is the battery that explains the log best. Volts and ohms are of the
// whole battery, not of a cell.
type Result struct {
	R0 float64 // ohm, 0 or more
	// Branches come with Tau rising. A branch that came out at 0 is left out, so
	// that there may be fewer than were asked for.
	Branches   []Branch
	Hysteresis float64    // V, half the distance between the branches, 0 or more; NaN where the log cannot tell and none was used
	RMS        float64    // V, root of the mean square of what is left, over the rows in Charge
	Charge     [2]float64 // least and most state of charge that was fitted
	Rows       int        // that were fitted
	OCV        Curve
	Curve      []Point // used, charge rising: over 0 to 1 if shipped, over Charge if fitted
	Efficiency float64 // used
	// Capacity is the one that explains the log best, C, within 5 % of the one
	// given: amp-hours summed from readings miss what lies between them, and a
	// shunt has an error. The one given where the curve is fitted, which takes
	// any capacity as it comes.
	Capacity float64
	Untold   []string // sentences, of what the log cannot tell or was taken for granted
}

// bound is beyond any battery's amperes and volts, and far from where squares
// overflow.
const bound = 1e6

// Fit finds the battery. The log is taken to begin at rest. The work grows as
// the rows; of more than a hundred thousand the capacity is looked for with
// each so many, all else is found with all.
//
// Errors: columns that differ in length, a value that is not finite or past
// all measure, time that goes back, a capacity, start, temperature, number of
// cells, efficiency or number of branches that cannot be, a curve that gives
// no finite volts, too few rows within Lowest to Highest, rows too far apart
// or too short a log for any branch, and a voltage that rises with the
// current, which is a current of the wrong sign.
func Fit(log Log, b Battery, o Options) (*Result, error) {
	if o.Branches == 0 {
		o.Branches = 2
	}
	if err := errors.Join(log.check(), b.check()); err != nil {
		return nil, err
	}
	if o.Branches != 1 && o.Branches != 2 {
		return nil, fmt.Errorf("fit with %d branches; 1 or 2 can be told from a log", o.Branches)
	}
	if b.OCV == nil {
		o.FitCurve = true
	}
	t, err := newTask(log, b, o)
	if err != nil {
		return nil, err
	}
	t, s := t.searchCapacity()
	r := t.result(s)
	r.Untold = t.untold(r, s)
	return r, nil
}

// result turns a solution into the whole answer.
func (t *task) result(s *solution) *Result {
	r := &Result{R0: s.r0, Hysteresis: s.hysteresis, RMS: t.rms(s), Charge: t.covered, Rows: t.used, OCV: Shipped,
		Capacity: t.battery.Capacity, Efficiency: t.battery.Efficiency}
	for k, tau := range s.taus {
		if s.r[k] > 0 {
			r.Branches = append(r.Branches, Branch{s.r[k], tau})
		}
	}
	if t.knots != nil {
		r.OCV = Fitted
		for k, charge := range t.knots {
			r.Curve = append(r.Curve, Point{charge, s.curve[k]})
		}
		return r
	}
	const points = 201 // each half percent, as slow tests are commonly tabled
	for k := range points {
		charge := float64(k) / (points - 1)
		mid, _ := t.mid(charge) // every OCV was tried before
		r.Curve = append(r.Curve, Point{charge, mid})
	}
	return r
}

func (l Log) check() error {
	n := len(l.Time)
	if len(l.Current) != n || len(l.Voltage) != n {
		return fmt.Errorf("columns of %d times, %d currents and %d voltages; a log has one of each a row", n, len(l.Current), len(l.Voltage))
	}
	for k, time := range l.Time {
		switch {
		case !(math.Abs(time) <= 1e15): // seconds are then still told apart
			return fmt.Errorf("row %d: a time of %g s; a number of seconds is needed", k+1, time)
		case !(math.Abs(l.Current[k]) <= bound):
			return fmt.Errorf("row %d: a current of %g A; finite amperes up to %g are needed", k+1, l.Current[k], bound)
		case !(math.Abs(l.Voltage[k]) <= bound):
			return fmt.Errorf("row %d: a voltage of %g V; finite volts up to %g are needed", k+1, l.Voltage[k], bound)
		case k > 0 && time < l.Time[k-1]:
			return fmt.Errorf("row %d: time goes back from %g to %g s; sort the rows, or cut the log where the clock was set", k+1, l.Time[k-1], time)
		}
	}
	return nil
}

func (b Battery) check() error {
	var faults []error
	need := func(ok bool, format string, args ...any) {
		if !ok {
			faults = append(faults, fmt.Errorf(format, args...))
		}
	}
	need(b.Capacity > 0 && b.Capacity <= 3600*bound, "capacity of %g C; the charge between full and empty is needed, more than zero", b.Capacity)
	need(b.Start >= 0 && b.Start <= 1, "start at a charge of %g; it is a part of full, 0 to 1", b.Start)
	need(b.Kelvin > 0 && b.Kelvin < bound, "temperature of %g K; it is counted from absolute zero", b.Kelvin)
	need(b.Cells >= 1, "%d cells in series; a battery has at least one", b.Cells)
	need(b.Efficiency >= 0 && b.Efficiency <= 1, "coulombic efficiency of %g; it is a part, above 0 to 1", b.Efficiency)
	return errors.Join(faults...)
}
