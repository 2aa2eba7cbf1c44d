package conductor

import (
	"fmt"
	"math"

	"bankwright/internal/base/source"
)

// Wall is an insulation thickness for sections up to a bound.
type Wall struct {
	UpTo      float64 // m², included; +Inf for the rest
	Thickness float64 // m
	Ref       source.Ref
}

// FlexibleFill is the copper in the round of a flexible conductor: common
// practice, no source. It gives diameters within about ±1 mm; a measured
// diameter is always better.
const FlexibleFill = 0.60

var boatWall = source.Ref{Title: "UL 1426", At: "wall thickness", Edition: "not at hand", How: source.Memory}

// BoatWalls gives the insulation of flexible battery cable: 60 mil up to 2 AWG
// (33.62 mm²), 80 mil above.
func BoatWalls() []Wall {
	return []Wall{{33.62e-6, 60 * 25.4e-6, boatWall}, {math.Inf(1), 80 * 25.4e-6, boatWall}}
}

// Diameters gives the diameter over the strands and over the insulation, m, of
// a section, m², whose round is filled to a part with copper. The error says
// what is out of range, or that no wall is for the section.
func Diameters(section, fill float64, walls []Wall) (strands, outside float64, err error) {
	if !above(section, 0) {
		return 0, 0, bad("the section", section, "m²", "more than 0")
	}
	if !(fill > 0 && fill <= 1) {
		return 0, 0, bad("the fill of the conductor", fill, "", "more than 0 and at most 1")
	}
	strands = math.Sqrt(4 * section / (math.Pi * fill))
	for _, w := range walls {
		if section <= float64(w.UpTo*(1+1e-9)) {
			return strands, strands + float64(2*w.Thickness), nil
		}
	}
	return 0, 0, fmt.Errorf("conductor: no insulation thickness is given for %g mm²; give the outside diameter", section*1e6)
}

// BendRule is a least inside bend radius as a number of diameters.
type BendRule struct {
	Over, UpTo float64 // m, outside diameter: (Over, UpTo]; UpTo 0: no upper bound
	Diameters  float64
	Ref        source.Ref
}

// LeastRadius gives the least inside bend radius, m, of a cable of an outside
// diameter, m, by the first rule that holds for it. ok is false where none does.
func LeastRadius(rules []BendRule, outside float64) (radius float64, rule BendRule, ok bool) {
	for _, r := range rules {
		if outside > r.Over && (r.UpTo == 0 || outside <= r.UpTo) {
			return r.Diameters * outside, r, true
		}
	}
	return math.NaN(), BendRule{}, false
}

// Bend compares a routed bend with the least one.
type Bend struct {
	Inside float64 // m, radius of the inside of the routed bend
	Least  float64 // m
	Within bool
}

// CheckBend takes the radius of a routed centre line, m, to the inside of the
// cable and compares it. A radius of +Inf is a straight run. Within is false
// where anything is NaN.
func CheckBend(centre, outside, least float64) Bend {
	b := Bend{Inside: centre - float64(outside/2), Least: least}
	b.Within = b.Inside >= float64(least*(1-1e-9)) // a radius typed as 4 diameters shall pass 4 diameters
	return b
}
