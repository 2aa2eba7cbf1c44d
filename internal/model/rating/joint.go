package rating

import (
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

// StudTest is the current at which a feed-through stud terminal is tested, and
// the largest drop there.
type StudTest struct {
	Thread  string
	Current quantity.Current
	Drop    quantity.Voltage
	Ref     source.Ref
}

// Resistance is the largest that passes the test; NaN or infinite without a
// current, which no catalogue row has.
func (s StudTest) Resistance() quantity.Resistance {
	return quantity.Resistance(float64(s.Drop) / float64(s.Current))
}

// StudLimit is how many lugs may be on one stud or screw.
type StudLimit struct {
	ID, Title string
	Regime    Regime
	Most      int
	Ref       source.Ref
}

// Bars is the currents of bare flat copper bars.
type Bars struct {
	Title      string
	Ref        source.Ref
	Ambient    source.Value[quantity.Temperature]
	Emissivity float64
	Rises      []float64 // K over the ambient, one for each column of amperes
	Rows       []Bar
}

// Bar is one section.
type Bar struct {
	Thickness, Width quantity.Length
	Section          quantity.Area // from the printed square inches
	Kcmil            float64       // as printed
	R20              quantity.ResistancePerLength
	SkinRatio        float64            // a.c. over d.c. resistance at 60 Hz
	Amps             []quantity.Current // a.c. 60 Hz, one a rise
	AmpsRef          source.Ref
}

// DC gives the d.c. amperes of a column: the a.c. figure times the root of the
// skin ratio, as the source says. ok is false where there is no such column.
func (b *Bar) DC(column int) (amps quantity.Current, ok bool) {
	if column < 0 || column >= len(b.Amps) {
		return 0, false
	}
	return quantity.Current(float64(b.Amps[column]) * math.Sqrt(b.SkinRatio)), true
}

// Find gives the bar of a thickness and width to a tenth of a millimetre, nil
// if there is none. A metric bar near an inch one is not found.
func (b *Bars) Find(thickness, width quantity.Length) *Bar {
	const same = 0.05e-3 // m
	for i := range b.Rows {
		r := &b.Rows[i]
		if d, e := thickness-r.Thickness, width-r.Width; d > -same && d < same && e > -same && e < same {
			return r
		}
	}
	return nil
}

// BarJoint is the one bolt in an overlap of two bars as long as they are wide.
type BarJoint struct {
	Least, Most quantity.Length // width of the bar, both included; Most 0: no limit
	Thread      string
	Hole        quantity.Length
	Ref         source.Ref
}
