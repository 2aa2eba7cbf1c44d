package conductor

import "math"

// taut is the diameter of the round cylinder that has the outline of n equal
// round cables lying as close as they can: a string pulled tight around them,
// over π. A straight string neither adds to nor hides what radiates away, and
// air has no way through the middle.
//
// The string's length is π and one more for each pair of neighbours on the
// outline, and the least outline of n equal discs has ⌈√(12n − 3)⌉ − 3 of them:
// 0, 2, 3, 4, 5, 6, 6, 7 for one to eight, 12 for the hexagon of 19. As that
// goes in steps, one cable more would now and then seem to cool all; what each
// cable has of the outline is therefore never more than it was with fewer.
//
// Reference: H. Harborth, Elemente der Mathematik 29 (1974) 14, "Lösung zu
// Problem 664A", the most contacts of n equal discs, from memory; the outline
// follows by Euler's formula.
func taut(diameter float64, n int) float64 {
	each := 1.0 // cylinder of one cable
	for m := 2; m <= n; m++ {
		sides := math.Ceil(math.Sqrt(float64(12*m-3))) - 3
		each = math.Min(each, (1+sides/math.Pi)/float64(m))
	}
	return diameter * each * float64(n)
}

// fill is the part of a bundle's section that cables take up, the densest
// there is; a looser bundle conducts less but shows more outside.
var fill = math.Pi / math.Sqrt(12)

// across is the thermal conductivity of a bundle across the cables, W/(m·K):
// copper cylinders that conduct without limit in a matrix of insulation and of
// the air between. The matrix is the geometric mean of the two by volume.
//
// Reference: Lord Rayleigh, Phil. Mag. 34 (1892) 481, first order, for the
// cylinders; K. Lichtenecker, Phys. Z. 27 (1926) 115, for the mean; both from
// memory. Neither was made for cables: the result is good to perhaps ±40 %,
// and no measurement was at hand. It decides only how much hotter the middle
// of a bundle is than its rim.
func across(c Cable, air float64) float64 {
	copper := c.Conductor / c.Outside
	copper = float64(copper * copper * fill)
	share := (fill - copper) / (1 - copper) // of insulation in the matrix
	matrix := math.Exp(float64(share*math.Log(1/c.Resistivity)) + float64((1-share)*math.Log(air)))
	return matrix * (1 + copper) / (1 - copper)
}

// core is the thermal resistance from the rim of a bundle to its hottest
// cable's surface for the heat of one cable, K·m/W. A cylinder heated evenly
// is hotter in its middle by its whole heat over 4πk (textbook); one cable's
// own part of that heat is left out, as its own insulation already counts, and
// the formula so ends at zero for one cable.
func core(c Cable, n int, air float64) float64 {
	if n < 2 {
		return 0
	}
	return float64(n-1) / (4 * math.Pi * across(c, air))
}
