// Package rating holds what published tables allow: amperes of a conductor,
// what a fuse does and breaks, torques, threads, bars, joints, insulation,
// support. It is filled by the catalogue; nothing here knows a bank.
//
// Every table and every value that has a source of its own carries it as a
// [source.Ref]. Where the reference was not at hand its How is
// [source.Memory], and whoever prints the number must say so; Ref.String does.
//
// A look-up never estimates: there is no interpolation between rows, and a
// metric size never takes a gauge's row. What is not in a table comes back
// with ok false.
package rating

import (
	"math"
	"slices"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

// Regime is the field that a table or rule was written for.
type Regime string

// The regimes.
const (
	Marine   Regime = "marine"   // boats and ships
	Vehicle  Regime = "vehicle"  // road vehicles, trailers, motor homes
	General  Regime = "general"  // buildings and everything without rules of its own
	Aircraft Regime = "aircraft" // aeroplanes; for comparison
)

// Known reports whether r is one of the constants.
func (r Regime) Known() bool {
	return slices.Contains([]Regime{Marine, Vehicle, General, Aircraft}, r)
}

// Span is a number that a source gives as one figure or as a range.
type Span struct {
	Least, Most float64 // equal where one figure is given
}

// IsZero reports whether there is no number.
func (s Span) IsZero() bool { return s == Span{} }

// One reports whether the span is a single figure.
func (s Span) One() bool { return s.Least == s.Most }

// Limit is one number about joints with what it means.
type Limit struct {
	ID, Title string
	Value     Span
	Unit      string // "1" where it is a ratio or a count
	Ref       source.Ref
}

// Table is rows of one number a conductor size.
type Table struct {
	ID, Title string
	Regime    Regime // "" where it is of no one field
	Unit      string // SI
	Rows      []SizeRow
}

// SizeRow is one row of a [Table].
type SizeRow struct {
	Size  quantity.Size
	Value float64 // in the table's unit
	Ref   source.Ref
}

// Find gives the row of a size; ok is false where there is none.
func (t *Table) Find(s quantity.Size) (row SizeRow, ok bool) {
	for _, r := range t.Rows {
		if r.Size == s && !s.IsZero() {
			return r, true
		}
	}
	return SizeRow{}, false
}

// within reports whether v lies in (over, upTo], where an upTo of zero is no
// upper limit. NaN lies nowhere.
func within[Q quantity.Quantity](v, over, upTo Q) bool {
	return v > over && (upTo == 0 || v <= upTo) && !math.IsInf(float64(v), 0)
}
