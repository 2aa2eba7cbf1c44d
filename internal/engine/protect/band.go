package protect

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/source"
	"bankwright/internal/model/rating"
)

// BandPoint is what is told at one multiple of the rating. Min is the time
// before which the device does not open, +Inf where it carries this without
// end; Max the time by which it has opened. NaN: not told. Both in s.
type BandPoint struct{ Multiple, Min, Max float64 }

// Band is how long a device takes, over multiples of its rating. The zero Band
// tells nothing.
type Band struct {
	min, max []knot // rising multiples, times that do not rise
	points   []BandPoint
	refs     []source.Ref
}

type knot struct{ multiple, time float64 }

// NewBand makes a band of points in rising multiples, with the sources they
// come from. No points give the band that tells nothing.
//
// The error names the point at fault: a multiple not above zero or not above
// the one before, a time not above zero, neither time told, Min above Max, a
// time longer than at a smaller multiple.
func NewBand(points []BandPoint, refs ...source.Ref) (Band, error) {
	b := Band{points: slices.Clone(points), refs: slices.Clone(refs)}
	last := 0.0
	for _, p := range points {
		if !(p.Multiple > last) || math.IsInf(p.Multiple, 1) {
			return Band{}, fmt.Errorf("band: multiple %g after %g; give finite multiples that rise", p.Multiple, last)
		}
		last = p.Multiple
		if err := p.check(); err != nil {
			return Band{}, err
		}
		for _, side := range []struct {
			curve *[]knot
			time  float64
		}{{&b.min, p.Min}, {&b.max, p.Max}} {
			if math.IsNaN(side.time) {
				continue
			}
			if n := len(*side.curve); n > 0 && side.time > (*side.curve)[n-1].time {
				return Band{}, fmt.Errorf("band: at %g times the rating %g s, longer than the %g s at %g times; a device is never slower at more current",
					p.Multiple, side.time, (*side.curve)[n-1].time, (*side.curve)[n-1].multiple)
			}
			*side.curve = append(*side.curve, knot{p.Multiple, side.time})
		}
	}
	return b, b.crossed()
}

// crossed says where between its points a band's two curves cross.
func (b Band) crossed() error {
	for _, curve := range [][]knot{b.min, b.max} {
		for _, k := range curve {
			if low, high := b.Min(k.multiple), b.Max(k.multiple); low > float64(high*(1+same)) && !math.IsInf(low, 1) {
				return fmt.Errorf("band: at %g times the rating it holds at least %g s but has opened after %g s, by what is told beside it; mend one of the points", k.multiple, low, high)
			}
		}
	}
	return nil
}

func (p BandPoint) check() error {
	switch {
	case math.IsNaN(p.Min) && math.IsNaN(p.Max):
		return fmt.Errorf("band: at %g times the rating neither time is told; leave the point out", p.Multiple)
	case p.Min <= 0 || p.Max <= 0 || math.IsInf(p.Max, 1):
		return fmt.Errorf("band: at %g times the rating %g to %g s; give times above zero, and no end only to what it carries", p.Multiple, p.Min, p.Max)
	case p.Min > p.Max:
		return fmt.Errorf("band: at %g times the rating at least %g s but at most %g s; exchange them", p.Multiple, p.Min, p.Max)
	}
	return nil
}

// BandOf makes a band of a catalogue's rows for one rating, in any order and
// from several sources. Where two tell the same multiple, or one a longer time
// at a larger multiple, both hold, so that the narrower counts. The error is
// that of NewBand, where two sources contradict each other.
func BandOf(rows []rating.Band) (Band, error) {
	var refs []source.Ref
	var points []BandPoint
	sorted := slices.Clone(rows)
	slices.SortStableFunc(sorted, func(a, b rating.Band) int { return cmp.Compare(a.Multiple, b.Multiple) })
	for _, r := range sorted {
		p := BandPoint{float64(r.Multiple), math.NaN(), math.NaN()}
		if r.Least > 0 {
			p.Min = float64(r.Least)
		}
		if r.Holds {
			p.Min = math.Inf(1)
		}
		if r.Most > 0 {
			p.Max = float64(r.Most)
		}
		if n := len(points); n > 0 && points[n-1].Multiple == p.Multiple {
			points[n-1] = points[n-1].meet(p)
		} else {
			points = append(points, p)
		}
		if !slices.Contains(refs, r.Ref) {
			refs = append(refs, r.Ref)
		}
	}
	tighten(points)
	return NewBand(points, refs...)
}

// meet gives what both points tell of one multiple.
func (p BandPoint) meet(q BandPoint) BandPoint {
	if !(p.Min >= q.Min) {
		p.Min = either(q.Min, p.Min)
	}
	if !(p.Max <= q.Max) {
		p.Max = either(q.Max, p.Max)
	}
	return p
}

// either gives a, or b where a is not told.
func either(a, b float64) float64 {
	if math.IsNaN(a) {
		return b
	}
	return a
}

// tighten carries a most time on to larger multiples and a least time back to
// smaller ones, where more is told there.
func tighten(points []BandPoint) {
	most := math.NaN()
	for i := range points {
		if points[i].Max > most {
			points[i].Max = most
		}
		most = either(points[i].Max, most)
	}
	least := math.NaN()
	for i := len(points) - 1; i >= 0; i-- {
		if points[i].Min < least {
			points[i].Min = least
		}
		least = either(points[i].Min, least)
	}
}

// Points gives the band as it was told. The slice is the caller's own.
func (b Band) Points() []BandPoint { return slices.Clone(b.points) }

// Refs gives where the band comes from. The slice is the caller's own.
func (b Band) Refs() []source.Ref { return slices.Clone(b.refs) }

// Min gives the time in s before which the device does not open at a multiple
// of its rating: +Inf where it carries that without end, NaN outside the told
// multiples.
func (b Band) Min(multiple float64) float64 { return at(b.min, multiple) }

// Max gives the time in s by which the device has opened, NaN outside the told
// multiples.
func (b Band) Max(multiple float64) float64 { return at(b.max, multiple) }

// at reads a curve, straight in both logarithms between knots and exact at
// them. Between no end and a time nothing is told.
func at(curve []knot, multiple float64) float64 {
	for i, k := range curve {
		switch {
		case math.Abs(multiple-k.multiple) <= same*k.multiple:
			return k.time
		case multiple > k.multiple:
			continue
		case i == 0 || math.IsInf(curve[i-1].time, 1) || !(multiple > 0):
			return math.NaN()
		}
		a := curve[i-1]
		part := math.Log(multiple/a.multiple) / math.Log(k.multiple/a.multiple)
		return a.time * math.Pow(k.time/a.time, part)
	}
	return math.NaN()
}

// AtLeast is Min, and below a told multiple the time told there, as a device is
// never quicker at less current. NaN above the last told multiple.
func (b Band) AtLeast(multiple float64) float64 {
	if t := b.Min(multiple); !math.IsNaN(t) {
		return t
	}
	for _, k := range b.min {
		if multiple <= k.multiple {
			return k.time
		}
	}
	return math.NaN()
}

// AtMost is Max, and above the last told multiple the time told there, as a
// device is never slower at more current. NaN below the first told multiple.
func (b Band) AtMost(multiple float64) float64 {
	if n := len(b.max); n > 0 && multiple > b.max[n-1].multiple {
		return b.max[n-1].time
	}
	return b.Max(multiple)
}

// firstMax gives the smallest multiple at which the device surely opens, NaN
// where none is told.
func (b Band) firstMax() float64 {
	if len(b.max) == 0 {
		return math.NaN()
	}
	return b.max[0].multiple
}

// beyond reports whether a multiple lies above all that a curve tells.
func beyond(curve []knot, multiple float64) bool {
	n := len(curve)
	return n == 0 || multiple > float64(curve[n-1].multiple*(1+same))
}
