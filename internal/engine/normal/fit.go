package normal

import (
	"errors"
	"fmt"
	"math"
)

// fit is the pair of loads that the lines go through.
type fit struct {
	meter               Meter
	low, high           float64 // A, the draws
	lowError, highError float64 // A
	apart               float64 // high − low
	rounding            float64 // A, below which a current is what arithmetic left
}

func (r Readings) check() error {
	bad := func(v float64) bool { return !(v >= 0) || math.IsInf(v, 1) }
	if len(r.Batteries) < 2 {
		return errors.New("uneven currents: readings of two batteries or more are needed")
	}
	if bad(r.Meter.Relative) || bad(r.Meter.Absolute) || bad(r.PathResistance) {
		return errors.New("uneven currents: the meter's error and the mean path resistance must be zero or more")
	}
	seen := map[string]bool{}
	for _, b := range r.Batteries {
		switch {
		case b.ID == "" || seen[b.ID]:
			return fmt.Errorf("uneven currents: battery %q is named twice or not at all; give each its own ID", b.ID)
		case math.IsNaN(b.Low) || math.IsInf(b.Low, 0):
			return fmt.Errorf("uneven currents, battery %s: no reading at the low load; measure it", b.ID)
		case math.IsNaN(b.High) || math.IsInf(b.High, 0):
			return fmt.Errorf("uneven currents, battery %s: no reading at the high load; measure it", b.ID)
		case bad(b.Resistance) || bad(b.Capacity):
			return fmt.Errorf("uneven currents, battery %s: resistance and capacity must be above zero, or zero where not known", b.ID)
		case (b.Capacity > 0) != (r.Batteries[0].Capacity > 0):
			return fmt.Errorf("uneven currents, battery %s: the capacity is known of some batteries only; give all of them or none", b.ID)
		}
		seen[b.ID] = true
	}
	return nil
}

// newFit checks the two loads.
func newFit(r Readings) (*fit, error) {
	f := &fit{meter: r.Meter, low: r.Low, high: r.High}
	lows, highs := make([]float64, len(r.Batteries)), make([]float64, len(r.Batteries))
	for i, b := range r.Batteries {
		lows[i], highs[i] = b.Low, b.High
	}
	var err error
	if f.low, f.lowError, err = f.draw("low", r.Low, lows); err != nil {
		return nil, err
	}
	if f.high, f.highError, err = f.draw("high", r.High, highs); err != nil {
		return nil, err
	}
	f.apart = f.high - f.low
	f.rounding = 1e-9 * math.Abs(f.high)
	switch {
	case f.low*f.high < 0 && math.Abs(f.low) > f.lowError:
		return nil, fmt.Errorf("uneven currents: one load is a discharge and the other a charge (%.4g A and %.4g A); take both on discharge or both on charge", f.low, f.high)
	case math.Abs(f.apart) <= math.Hypot(f.lowError, f.highError)+f.rounding:
		return nil, fmt.Errorf("uneven currents: the loads of %.4g A and %.4g A are the same within the meter's error; take them further apart", f.low, f.high)
	case math.Abs(f.low) > math.Abs(f.high):
		return nil, fmt.Errorf("uneven currents: the low load of %.4g A is larger than the high one of %.4g A; change them over", f.low, f.high)
	}
	return f, nil
}

// draw gives the whole draw of one set and its error, and checks that the
// batteries add up to it.
func (f *fit) draw(which string, given float64, amps []float64) (draw, off float64, err error) {
	sum, squares, size := 0.0, 0.0, 0.0
	for _, a := range amps {
		e := f.meter.error(a)
		sum += a
		squares += float64(e * e)
		size = math.Max(size, math.Abs(a))
	}
	off = math.Sqrt(squares)
	if math.IsNaN(given) {
		return sum, off, nil
	}
	if math.IsInf(given, 0) {
		return 0, 0, fmt.Errorf("uneven currents, %s load: a draw of %g A; give the amperes drawn", which, given)
	}
	own := f.meter.error(given)
	// Three times the limit of independent errors, as more than one meter and
	// moment may be in it (common practice, no source).
	if !(math.Abs(sum-given) <= 3*math.Hypot(off, own)+1e-9*size) {
		return 0, 0, fmt.Errorf("uneven currents, %s load: the batteries add up to %.4g A, the draw is %.4g A; a battery is missing, a clamp was the other way round, or the load changed", which, sum, given)
	}
	return given, own, nil
}

// battery takes one battery's currents apart. With s = ΔI/ΔD, offset and path
// excess are
//
//	Il − s·Dl  and  (s − fair)·Dh
//
// and each reading's error enters with the derivative by it.
func (f *fit) battery(b Battery, fair float64) (Finding, error) {
	s := (b.High - b.Low) / f.apart
	lowError, highError := f.meter.error(b.Low), f.meter.error(b.High)
	shareError := norm(lowError, highError, s*f.lowError, s*f.highError) / math.Abs(f.apart)
	if s < -shareError-1e-9 { // beyond what rounding leaves
		return Finding{}, fmt.Errorf("uneven currents, battery %s: %.4g A at the low load and %.4g A at the high one go against the load; look at the clamp's direction and measure again", b.ID, b.Low, b.High)
	}
	o := Finding{ID: b.ID, Fair: fair, Share: s}
	o.Offset = b.Low - float64(s*f.low)
	o.PathExcess = (s - fair) * f.high
	o.Excess = b.High - float64(fair*f.high)
	part := func(amps float64) float64 { return amps / f.apart }
	o.OffsetError = norm(part(f.high)*lowError, part(f.low)*highError, s*part(f.high)*f.lowError, s*part(f.low)*f.highError)
	o.PathError = norm(part(f.high)*lowError, part(f.high)*highError, s*part(f.high)*f.lowError,
		(s-fair-float64(s*part(f.high)))*f.highError)
	o.Verdict = verdict(math.Abs(o.Offset) > o.OffsetError+f.rounding, math.Abs(o.PathExcess) > o.PathError+f.rounding)
	return o, nil
}

// norm is the root of the sum of squares.
func norm(parts ...float64) float64 {
	sum := 0.0
	for _, p := range parts {
		sum += float64(p * p)
	}
	return math.Sqrt(sum)
}
