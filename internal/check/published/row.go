// Package published lists every value that the program can be held against:
// printed in a source that was read, worked out by other means, or known from
// memory. Each row asks the program itself for its value. doc/published.md is
// made from it, and a test checks every row.
package published

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/source"
)

// Kind tells what stands behind a wanted value.
type Kind string

// The kinds, the strongest first.
const (
	Published Kind = "published"   // printed in a source that was read
	Computed  Kind = "computed"    // worked out by other means than the program's
	Memory    Kind = "from memory" // said to be printed, the text was not at hand
)

// Tolerance is how far a value may be off, and why so far.
type Tolerance struct {
	Value    float64 // in the row's unit, or a part of the wanted value
	Relative bool
	Why      string
}

// within is a tolerance in the row's unit.
func within(v float64, why string) Tolerance { return Tolerance{Value: v, Why: why} }

// part is a tolerance as a part of the wanted value.
func part(v float64, why string) Tolerance { return Tolerance{Value: v, Relative: true, Why: why} }

// Row is one value to be reproduced.
type Row struct {
	ID        string // for ever
	What      string
	Source    source.Ref
	Kind      Kind
	Want      float64
	Unit      string // "" for a plain number
	Tolerance Tolerance
	Got       func() (float64, error) // from the program; an error where it cannot answer
}

// Check gives the program's value, and an error where there is none or it is
// outside the tolerance; NaN is outside.
func (r Row) Check() (float64, error) {
	got, err := r.Got()
	if err != nil {
		return got, fmt.Errorf("%s: %w", r.ID, err)
	}
	if !(math.Abs(got-r.Want) <= r.most()) {
		return got, fmt.Errorf("%s: %s is %.9g %s, want %.9g within %.2g", r.ID, r.What, got, r.Unit, r.Want, r.most())
	}
	return got, nil
}

// most is the tolerance in the row's unit. A hair more lets a value through
// that is off by exactly the half digit allowed.
func (r Row) most() float64 {
	most := r.Tolerance.Value
	if r.Tolerance.Relative {
		most *= math.Abs(r.Want)
	}
	return most * (1 + 1e-9)
}

// Rows lists every row, always in the same order. Nothing is solved before a
// row is asked.
func Rows() []Row {
	return slices.Concat(
		splitRows(), cascadeRows(), seriesRows(), loadRows(), faultRows(), joiningRows(),
		tableRows(), exampleRows(), countRows(),
		metricRows(), gaugeRows(), necRows(), temperatureRows(), dropRows(), strandRows(), barRows(), lugRows(), sideRows(),
		lithiumRows(), leadRows(), unitRows(),
		batteryRows(), dischargeRows(), closedRows(), peukertRows(), keptRows(),
		closingRows(), settlingRows(), hysteresisRows(), lossRows(), inrushRows(), unevenRows(), lifeRows(),
	)
}
