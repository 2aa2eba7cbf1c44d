package holding

import "math"

// Added is a mass put into a vehicle, kg, below zero for one taken out: how far
// ahead of the axle (the rear one, where there are two) and how far left of the
// middle, m.
type Added struct {
	ID          string
	Mass        float64
	Ahead, Left float64
}

// Vehicle is the distances that the balance hangs on, m: from the axle forward to
// what else bears (a trailer's hitch, a car's front axle), and between the
// wheels of the axle. 0 where not known.
type Vehicle struct{ Base, Track float64 }

// Shift is what masses change, N: the nose (hitch or front axle), the axle, and
// its left and right wheels. The values that need a distance nobody gave are
// NaN. A nose below zero is lifted.
type Shift struct {
	Weight, Nose, Axle, Left, Right float64
	MomentAhead, MomentLeft         float64 // N·m about the axle's middle
}

// Balance gives the change: nose·base = Σ m·g·ahead, the rest is the axle's, and
// the side moment goes to its wheels, since a hitch takes none. Reference:
// statics.
func Balance(v Vehicle, added ...Added) Shift {
	var s Shift
	for _, a := range added {
		w := a.Mass * Gravity
		s.Weight += w
		s.MomentAhead += float64(w * a.Ahead)
		s.MomentLeft += float64(w * a.Left)
	}
	s.Nose, s.Axle, s.Left, s.Right = math.NaN(), math.NaN(), math.NaN(), math.NaN()
	if above(v.Base, 0) {
		s.Nose = s.MomentAhead / v.Base
		s.Axle = s.Weight - s.Nose
	}
	if above(v.Track, 0) && above(v.Base, 0) {
		s.Left = s.Axle/2 + s.MomentLeft/v.Track
		s.Right = s.Axle/2 - s.MomentLeft/v.Track
	}
	return s
}
