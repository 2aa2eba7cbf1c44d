package holding

import (
	"math"

	"bankwright/internal/base/source"
)

// Grip is how well a case can be held.
type Grip float64

// The grips, as the multiplier each is. Same source as LiftEquation.
const (
	Good Grip = 1
	Fair Grip = 0.95
	Poor Grip = 0.90
)

// Lift is one rare lift by hand: how far in front of the ankles the hands are,
// how high they start, how far they travel up or down, m, and how far the body
// twists, degrees.
type Lift struct {
	Reach, Height, Travel, Twist float64
	Grip                         Grip
}

// LiftEquation is the constants of the lifting equation in one set of units, the
// load in kg and lengths in m. The two published sets differ by some per cent
// through their rounding.
type LiftEquation struct {
	Load                 float64 // kg, in the best posture
	Reach                float64 // m
	HeightSlope, Knuckle float64 // 1/m, m
	TravelBase           float64
	TravelSlope          float64 // m
	Ref                  source.Ref
}

// MetricLift and InchLift are the equation in its two published sets: 23 kg and
// 51 lb.
var (
	liftRef    = source.Ref{Title: "NIOSH 94-110, applications manual for the revised lifting equation", Edition: "revised 2021", How: source.Read}
	MetricLift = LiftEquation{23, 0.25, 0.3, 0.75, 0.82, 0.045, liftRef}
	InchLift   = LiftEquation{51 * 0.45359237, 10 * inch, 0.0075 / inch, 30 * inch, 0.82, 1.8 * inch, liftRef}
)

// Limit gives the recommended weight limit, kg: RWL = LC·HM·VM·DM·AM·CM with
// HM = reach₀/reach, VM = 1 − a·|height − 0.75|, DM = 0.82 + b/travel,
// AM = 1 − 0.0032·twist. A reach or a travel below 0.25 m (10 in) counts as
// that; a lift so far off that a factor would be negative has a limit of 0.
// NaN for a value that is no number or below zero.
func (e LiftEquation) Limit(l Lift) float64 {
	for _, v := range []float64{l.Reach, l.Height, l.Travel, l.Twist, float64(l.Grip)} {
		if !(v >= 0) || math.IsInf(v, 1) {
			return math.NaN()
		}
	}
	hm := e.Reach / math.Max(l.Reach, e.Reach)
	vm := math.Max(0, 1-float64(e.HeightSlope*math.Abs(l.Height-e.Knuckle)))
	dm := math.Min(1, e.TravelBase+e.TravelSlope/l.Travel) // a travel below 0.25 m counts as 0.25 m
	am := math.Max(0, 1-float64(0.0032*l.Twist))
	return e.Load * hm * vm * dm * am * float64(l.Grip)
}

// Index gives the load over the limit, for a load, kg, that people share
// equally: 1 is where caution begins, HighRisk where the risk is high. +Inf
// for a limit of 0. That people share equally is common practice; the equation
// is of one.
func (e LiftEquation) Index(l Lift, mass float64, people int) float64 {
	if people < 1 || !(mass >= 0) {
		return math.NaN()
	}
	return mass / float64(people) / e.Limit(l)
}

// HighRisk is the index from which a lift is of high risk. Same source.
const HighRisk = 3
