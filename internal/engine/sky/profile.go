package sky

import "math"

// profile is the course of the temperature through a day: the part of the
// day's range by which each hour lies above the day's low, from 0 to 1. Hour i
// runs from i to i+1 o'clock, and has the published value of the hour at its
// end, as in the hour-ending tables which the profiles were compared with.
type profile struct {
	part [night]float64
	mean float64
}

// meanDay is the course of a month's mean day:
//
//	0.4632 cos(t-3.805) + 0.0984 cos(2t-0.360) + 0.0168 cos(3t-0.822) + 0.0138 cos(4t-3.513)
//
// with t = 2π(h-1)/24, h = 1 to 24. Erbs, Klein, Beckman 1983, "Estimation of
// degree-days and ambient temperature bin data from monthly-average
// temperatures" (from memory; the project's reference found it to fit mean days
// of three stations to 0.7 to 0.9 K rms). Stretched here so that it runs from
// the low to the high exactly; it does within 1 % as published.
var meanDay = stretch(func(h int) float64 {
	t := turn * float64(h-1) / night
	return float64(0.4632*math.Cos(t-3.805)) + float64(0.0984*math.Cos(2*t-0.360)) +
		float64(0.0168*math.Cos(3*t-0.822)) + float64(0.0138*math.Cos(4*t-3.513))
})

// below is by what part of the day's range each hour of a design day, 1 to 24,
// lies below the high: ASHRAE 2009, one profile for the dry bulb in all climates
// (read in open code, in the project's reference).
var below = [night]float64{0.88, 0.92, 0.95, 0.98, 1.00, 0.98, 0.91, 0.74, 0.55, 0.38, 0.23, 0.13,
	0.05, 0.00, 0.00, 0.06, 0.14, 0.24, 0.39, 0.50, 0.59, 0.68, 0.75, 0.82}

// designDay is the course of a clear day, of which cold snaps and heat waves
// are mostly made.
var designDay = stretch(func(h int) float64 { return -below[h-1] })

// stretch makes a profile of the shape of 24 values.
func stretch(at func(h int) float64) profile {
	var p profile
	low, high := math.Inf(1), math.Inf(-1)
	for i := range p.part {
		p.part[i] = at(i + 1)
		low, high = min(low, p.part[i]), max(high, p.part[i])
	}
	for i := range p.part {
		p.part[i] = (p.part[i] - low) / (high - low)
		p.mean += p.part[i] / night
	}
	return p
}
