package job

import (
	"fmt"
	"strconv"
	"strings"

	"bankwright/internal/base/quantity"
)

// The shapes that only the mounting has.

// gees reads a load as a multiple of the weight, "2 g".
var gees = plain[float64]{scalarShape[float64]{name: "load in g", pattern: unitPattern, parse: parseGees}}

func parseGees(s string) (float64, error) {
	number, ok := strings.CutSuffix(strings.TrimSpace(s), "g")
	v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if !ok || err != nil || !(v >= 0 && v <= 100) {
		return 0, fmt.Errorf("%q: a load from 0 g to 100 g is due, in multiples of the weight, as in 2 g", clip(s))
	}
	return v, nil
}

// pulls reads a force, or the weight of a mass, as a strap's label has either.
var pulls = plain[quantity.Force]{scalarShape[quantity.Force]{name: "force, or the mass whose weight it is", pattern: unitPattern, parse: parsePull}}

func parsePull(s string) (quantity.Force, error) {
	f, err := quantity.Parse[quantity.Force](s)
	if err != nil {
		m, other := quantity.Parse[quantity.Mass](s)
		if other != nil {
			return 0, fmt.Errorf("%w; or the mass whose weight it bears, as in 250 kg", err)
		}
		const gravity = 9.80665 // m/s², NIST SP 811 (2008), appendix B
		f = quantity.Force(float64(m) * gravity)
	}
	if !(f > 0 && f <= 1e7) {
		return 0, fmt.Errorf("%s is outside what a job can hold: more than 0 N, up to 10 000 kN", s)
	}
	return f, nil
}

// likeNumbers lets words that look like numbers, such as 8.8, stand in a file
// without quotes. The schema then cannot list them.
func likeNumbers(p plain[string]) plain[string] {
	p.enum, p.types = nil, []string{"string", "number"}
	return p
}

// flatPlaces reads [x, y] on the plan.
var flatPlaces = tupleShape[quantity.Length]{places, 2, "[x, y]"}
