package protect

import (
	"math"
	"slices"
)

// probe is what a check finds at one current.
type probe struct {
	amps    float64
	margin  float64 // at least one is within; NaN where it cannot be told
	verdict Verdict
	device  float64       // s
	cable   float64       // s
	why     func() string // told only of the worst: hundreds are looked at
}

// worse reports whether p is to be told rather than q.
func (p probe) worse(q probe) bool {
	if p.verdict != q.verdict {
		return p.verdict.rank() > q.verdict.rank()
	}
	return p.margin < q.margin || math.IsNaN(q.margin) && !math.IsNaN(p.margin)
}

// steps is how many currents are looked at between two, evenly in their
// logarithm, beside the marks; from 1 to 100 that is one in every 2.3 %.
const steps = 200

// currents lists what is looked at from a to b, rising: both, the marks
// themselves and just beside them, and steps between.
func currents(a, b float64, marks []float64) []float64 {
	all := []float64{a, b}
	for i := 1; i < steps; i++ {
		all = append(all, a*math.Pow(b/a, float64(i)/steps))
	}
	for _, m := range marks {
		for _, c := range []float64{m * (1 - 3*same), m, m * (1 + 3*same)} {
			if c > a && c < b {
				all = append(all, c)
			}
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// scan finds the worst current from a to b, both above zero, a at most b.
// Between the looks the margin is searched on, as it may dip there.
func scan(a, b float64, marks []float64, look func(float64) probe) probe {
	all := currents(a, b, marks)
	worst, at := look(all[0]), 0
	for i, c := range all[1:] {
		if p := look(c); p.worse(worst) {
			worst, at = p, i+1
		}
	}
	return dip(all[max(at-1, 0)], all[min(at+1, len(all)-1)], worst, look)
}

// dip narrows the neighbourhood of the worst current by thirds.
func dip(low, high float64, worst probe, look func(float64) probe) probe {
	for range 40 {
		p, q := look(low+(high-low)/3), look(high-(high-low)/3)
		for _, x := range []probe{p, q} {
			if x.worse(worst) {
				worst = x
			}
		}
		if q.worse(p) {
			low = p.amps
		} else {
			high = q.amps
		}
	}
	return worst
}

// edge finds where between two currents a property changes: it holds at low
// and not at high.
func edge(low, high float64, holds func(float64) bool) float64 {
	for range 60 {
		if mid := math.Sqrt(low * high); holds(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}
