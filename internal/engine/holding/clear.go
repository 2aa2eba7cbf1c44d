package holding

import "math"

// Clearance is what stands over a case, m, all from the floor it stands on: the
// height of the case, how high the lip or tray edge is that it must be drawn up
// over, the free height up to a lid or shelf (+Inf for none), and the hand or
// strap that needs room over it.
type Clearance struct{ Case, Lip, Free, Hand float64 }

// Needs gives the free height, m, to draw the case straight up and over the lip:
// lip + case + hand. NaN for a length below zero or no number.
func (c Clearance) Needs() float64 {
	for _, v := range []float64{c.Case, c.Lip, c.Hand} {
		if !(v >= 0) || math.IsInf(v, 1) {
			return math.NaN()
		}
	}
	return c.Lip + c.Case + c.Hand
}

// Spare gives what of the free height is left, m, below zero where the case
// does not come out.
func (c Clearance) Spare() float64 { return c.Free - c.Needs() }
