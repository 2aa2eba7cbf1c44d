// Package terminal is the physics of a bolted terminal: contact resistance from
// torque, the stress in the thread, the heat of a joint and where it goes, the
// order of lugs on a stud and the current through each face, the length of
// stud that they need, and the limits that joints are measured against.
//
// All numbers are in SI units: m, m², N, N·m, Pa, Ω, A, V, W, and kelvin for
// temperatures as well as differences.
package terminal

import (
	"fmt"
	"math"
)

// above reports whether v is a finite number above low.
func above(v, low float64) bool { return v > low && !math.IsInf(v, 1) }

// bad is the error for an input out of range.
func bad(what string, v float64, unit, give string) error {
	return fmt.Errorf("terminal: %s is %g %s; give %s", what, v, unit, give)
}
