package heat

import (
	"fmt"
	"math"
)

// Density and HeatOfAir are of dry air near 20 °C: 1.2 kg/m³, 1005 J/(kg·K)
// (read: application notes on cabinet fans).
const (
	Density   = 1.2
	HeatOfAir = 1005
)

// Flow gives the W/K that air carries at a volume a second, m³/s.
func Flow(volume float64) float64 { return volume * Density * HeatOfAir }

// FanFor gives the air, m³/s, that carries a power in W off at a rise in K.
// The error says that the rise is not above zero.
func FanFor(power, rise float64) (float64, error) {
	if !(rise > 0) || !(power >= 0) {
		return 0, fmt.Errorf("fan: %g W at a rise of %g K; give 0 W or more and a rise above 0", power, rise)
	}
	return power / (rise * Density * HeatOfAir), nil
}

// AltitudeFactor gives how thin the air is at a height over the sea, m, against
// sea level: the standard atmosphere, 1 below the sea. It holds to 11 km.
func AltitudeFactor(height float64) float64 {
	return math.Pow(1-2.25577e-5*math.Max(0, height), 4.2559)
}

// Opening is a vent that air goes through.
type Opening struct {
	Area   float64 // m², free
	Height float64 // m over the floor, of its middle
}

// discharge of an opening: 0.65 (from memory, the usual of a sharp edge).
const discharge = 0.65

// Draught gives the air, m³/s, that warmth drives through openings of a box:
// inside and outside temperatures in K. All openings at one height let air in
// and out through the same hole: Cd = 0.40 + 0.0045·|ΔT|, over half the height
// of a square opening (read, ASHRAE Fundamentals 1997, chapter 25, as quoted).
// Else the lowest ones together feed the others, areas in series, over the
// height between the two middles: Cd·A·√(2·g·ΔH·ΔT/T) with ΔH half of that
// height for equal openings (from memory). It is zero without openings or
// without a difference.
func Draught(openings []Opening, inside, outside float64) float64 {
	const gravity = 9.80665 // m/s²
	dt := math.Abs(inside - outside)
	warm := math.Max(inside, outside)
	var low, high, lowAt, highAt, sum, mid float64
	for _, o := range openings {
		sum += o.Area
		mid += o.Area * o.Height
	}
	if sum == 0 || dt == 0 {
		return 0
	}
	mid /= sum
	for _, o := range openings {
		if o.Height < mid {
			low, lowAt = low+o.Area, lowAt+o.Area*o.Height
		} else {
			high, highAt = high+o.Area, highAt+o.Area*o.Height
		}
	}
	const apart = 0.01 // m: nearer openings count as one
	if low == 0 || highAt/high-lowAt/low < apart {
		height := math.Sqrt(sum) / 2 // of a square of the whole area
		return (0.40 + 0.0045*dt) * sum * math.Sqrt(2*gravity*height/2*dt/warm)
	}
	// Areas in series act as one of 1/√(1/low² + 1/high²); for equal ones that
	// is A/√2 over the whole height, which is A over half of it.
	series := 1 / math.Sqrt(1/low/low+1/high/high)
	return discharge * series * math.Sqrt(2*gravity*(highAt/high-lowAt/low)*dt/warm)
}
