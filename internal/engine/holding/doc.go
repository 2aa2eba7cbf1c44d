// Package holding is the mechanics of holding a bank down: what a road or a sea
// asks in each direction, what each rod, bolt, strap, stop or shelf then
// carries, which part is weakest and by how much; and beside it what the mass
// does to the floor, to the vehicle's balance and to whoever lifts it.
//
// A group of cases is one rigid block on a rigid floor that only pushes. Hold-
// downs are springs that only pull, only push, or do both; nobody's weight or
// friction is counted unless the rule or the question says so. The reactions
// are in equilibrium with the load whatever the springs' stiffness; the
// stiffness only decides how redundant hold-downs share.
//
// All numbers are in SI units: m, kg, N, N·m, Pa. Accelerations are in units of
// standard gravity. A margin is capacity over demand; it is NaN where a
// strength is not known, and a reason stands beside it.
package holding

import (
	"fmt"
	"math"
)

// Gravity is the standard acceleration, m/s². Reference: NIST SP 811 (2008),
// appendix B.
const Gravity = 9.80665

// Vec is a place or a force: x right, y away, z up, as in a job's plan.
type Vec struct{ X, Y, Z float64 }

// Add gives v + w.
func (v Vec) Add(w Vec) Vec { return Vec{v.X + w.X, v.Y + w.Y, v.Z + w.Z} }

// Sub gives v − w.
func (v Vec) Sub(w Vec) Vec { return Vec{v.X - w.X, v.Y - w.Y, v.Z - w.Z} }

// Times gives v scaled.
func (v Vec) Times(s float64) Vec { return Vec{v.X * s, v.Y * s, v.Z * s} }

// Dot gives the scalar product.
func (v Vec) Dot(w Vec) float64 {
	return float64(v.X*w.X) + float64(v.Y*w.Y) + float64(v.Z*w.Z)
}

// Cross gives the vector product v × w.
func (v Vec) Cross(w Vec) Vec {
	return Vec{
		float64(v.Y*w.Z) - float64(v.Z*w.Y),
		float64(v.Z*w.X) - float64(v.X*w.Z),
		float64(v.X*w.Y) - float64(v.Y*w.X),
	}
}

// Length gives the magnitude.
func (v Vec) Length() float64 { return math.Sqrt(v.Dot(v)) }

// Unit gives the direction of v; the zero vector for the zero vector.
func (v Vec) Unit() Vec {
	l := v.Length()
	if l == 0 {
		return Vec{}
	}
	return v.Times(1 / l)
}

func (v Vec) finite() bool { return !math.IsNaN(v.Length()) && !math.IsInf(v.Length(), 0) }

// above reports whether v is a finite number above low.
func above(v, low float64) bool { return v > low && !math.IsInf(v, 1) }

// none reports whether v is neither zero ("not given") nor a usable number.
func none(v float64) bool { return v != 0 && !above(v, 0) }

// bad is the error for an input out of range.
func bad(what string, v float64, unit, give string) error {
	return fmt.Errorf("holding: %s is %g %s; give %s", what, v, unit, give)
}
