package conductor

import (
	"fmt"
	"math"
)

// After gives the temperature, K, of the hottest conductor some seconds after
// it had a start temperature, K, with a steady current, A, from then on. A
// time of +Inf gives that at rest. The result is +Inf where the copper melts
// before. The error names a value out of range; a start below the ambient is
// refused, as is one above the melting point.
//
// The cable is one lump: copper and insulation warm together in the profile
// that the insulation has at rest. Against a radial model of three battery
// cables at some 1.5 times their rated current that is up to 2 K too cool on
// the way, and 2 to 4 % late at a limit; for the first seconds of a short
// circuit use [Metal]. The heat of a sleeve is left out, so that a sleeved cable
// is shown to warm too soon.
//
// The lump's equation is integrated by exponential Euler steps with step
// doubling, each step within 1e-5 K.
func After(c Cable, p Place, current, start, time float64) (float64, error) {
	l, x, err := begin(c, p, current, start)
	if err != nil {
		return 0, err
	}
	if !(time >= 0) {
		return 0, bad("the time", time, "s", "0 or more")
	}
	if math.IsInf(time, 1) {
		return l.state(l.rest(current), current).Conductor, nil
	}
	x = l.walk(x, current, time, math.Inf(1), nil)
	if math.IsInf(x, 1) {
		return x, nil
	}
	return l.conductor(x), nil
}

// TimeTo gives how long, s, a steady current, A, takes to warm the hottest
// conductor from a start temperature to a limit, both K: zero where it starts
// there or above, +Inf where it never gets there. Errors and model are those of
// [After]. As the fuse rule of 150 % lets more than the rated current flow
// without end, this is the time that such a current may be borne.
func TimeTo(c Cable, p Place, current, start, limit float64) (float64, error) {
	l, x, err := begin(c, p, current, start)
	if err != nil {
		return 0, err
	}
	if !(limit > 0 && limit < Melting) {
		return 0, bad("the temperature limit", limit, "K", "a temperature in kelvin below 1357 K")
	}
	if start >= limit {
		return 0, nil
	}
	end := l.outermost(limit)
	if !(l.net(end, current) > 0) { // at rest below the limit, or just at it
		return math.Inf(1), nil
	}
	var passed float64
	l.walk(x, current, math.Inf(1), end, &passed)
	return passed, nil
}

// begin readies a cable and finds the outermost temperature of its start.
func begin(c Cable, p Place, current, start float64) (*line, float64, error) {
	l, err := newLine(c, p)
	switch {
	case err != nil:
		return nil, 0, err
	case math.IsNaN(current) || math.IsInf(current, 0):
		return nil, 0, bad("the current", current, "A", "a number")
	case !(start >= p.Ambient && start < Melting):
		return nil, 0, bad("the start temperature", start, "K", fmt.Sprintf("at least the ambient of %g K", p.Ambient))
	}
	return l, l.outermost(start), nil
}

// closeBy is the error allowed in one step, K.
const closeBy = 1e-5

// walk moves the outermost temperature through a time or to an end, whichever
// comes first, and says in passed (where not nil) how long that took. It is
// +Inf where the conductor reaches the melting point.
func (l *line) walk(x, current, time, end float64, passed *float64) float64 {
	top := l.outermost(Melting)
	done, h := 0.0, 1.0
	for done < time {
		h = math.Min(h, time-done)
		whole := l.move(x, current, h)
		half := l.move(l.move(x, current, h/2), current, h/2)
		off := math.Abs(half - whole)
		if !(off <= closeBy) {
			h /= 2
			continue
		}
		next := half + float64(half-whole)/3 // the error falls fourfold for half the step
		switch {
		case next >= end:
			if passed != nil {
				*passed = done + l.crossing(x, current, h, end)
			}
			return end
		case next >= top:
			return math.Inf(1)
		}
		x, done = next, done+h
		h *= math.Min(4, math.Max(0.5, 0.9*math.Cbrt(closeBy/math.Max(off, 1e-12))))
	}
	return x
}

// crossing gives the time within a step at which the end is reached.
func (l *line) crossing(x, current, h, end float64) float64 {
	at := func(t float64) float64 {
		half := l.move(l.move(x, current, t/2), current, t/2)
		return half + (half-l.move(x, current, t))/3 - end
	}
	low, high := 0.0, h
	for high-low > 1e-9*h {
		if middle := (low + high) / 2; at(middle) < 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}

// move is one step of the exponential Euler method (Rosenbrock form), exact
// where the rate is linear in x. Reference: M. Hochbruck and A. Ostermann, Acta
// Numerica 19 (2010) 209, section 2.4, from memory.
func (l *line) move(x, current, h float64) float64 {
	low := math.Max(l.place.Ambient, x-step)
	rate := l.rate(x, current)
	bend := (l.rate(x+step, current) - l.rate(low, current)) / (x + step - low)
	z := bend * h
	phi := 1.0
	if math.Abs(z) > 1e-12 {
		phi = math.Expm1(z) / z
	}
	return math.Max(l.place.Ambient, x+float64(h*rate*phi))
}

// rate gives how fast the outermost temperature rises, K/s.
func (l *line) rate(x, current float64) float64 {
	rise, _ := l.slopes(x)
	return l.net(x, current) / (l.capacity(x) * rise)
}
