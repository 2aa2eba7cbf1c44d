package fit

import "math"

// slow moves what the branches hold back, per ohm: the current, smoothed with
// each time constant.
type slow struct {
	taus []float64
	x    []float64 // A
	dt   float64   // that keep and late are of
	keep []float64 // part of x left after dt
	late []float64 // part that the change of current within dt has reached
}

func newSlow(taus []float64) *slow {
	n := len(taus)
	return &slow{taus: taus, x: make([]float64, n), dt: -1, keep: make([]float64, n), late: make([]float64, n)}
}

// advance moves x over dt in which the current goes straight from one value
// to another. With z = dt/τ it is exactly
//
//	x(dt) = e^−z·x + (1 − e^−z)·from + (1 − (1 − e^−z)/z)·(to − from)
func (s *slow) advance(from, to, dt float64) {
	if dt != s.dt {
		s.set(dt)
	}
	for k, keep := range s.keep {
		s.x[k] = from + float64(keep*(s.x[k]-from)) + float64(s.late[k]*(to-from))
	}
}

func (s *slow) set(dt float64) {
	s.dt = dt
	for k, tau := range s.taus {
		z := dt / tau
		s.keep[k] = math.Exp(-z)
		if z < 1e-4 {
			s.late[k] = z/2 - float64(z*z)/6 // the next term is z³/24, below rounding of x
			continue
		}
		s.late[k] = 1 + math.Expm1(-z)/z
	}
}
