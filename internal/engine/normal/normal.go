// Package normal answers "is this unevenness normal?" from two sets of battery
// currents, one at a low load and one at a high load.
//
// Batteries side by side on a load D carry currents that are straight lines in
// it: I = share·D + offset. The share is what the resistance of a battery's
// path gives it and grows with the load. The offset is what its open-circuit
// voltage, off the others', drives round the bank; it is the same at any load
// and stands out at a low one. Two loads are enough to tell them apart. The
// offset fades by itself as states of charge meet, so that both sets belong
// within minutes of each other, on a rested bank.
//
// For batteries that meet in two points (a star) share k is g/G and the offset
// g·(E − Ē), with g = 1/R the path's conductance, G the sum of all g and Ē the
// mean of the EMFs weighted by g (Ohm and Kirchhoff). Along a chain of links
// shares and offsets are told just as well, but path resistance and EMF are
// then those of a star that would carry the same currents.
package normal

import (
	"math"
	"slices"

	"bankwright/internal/base/source"
)

// Battery is one battery, or one string of batteries, of those side by side.
type Battery struct {
	ID         string
	Low, High  float64 // A, discharge positive, at the low and the high load; NaN where not read
	Resistance float64 // ohm of battery and its own leads, where known; 0 where not
	Capacity   float64 // where known, in a unit common to all; 0 where not
}

// Meter is how far a reading may be off: Relative of it and Absolute amperes
// more. The zero Meter is exact.
type Meter struct {
	Relative float64
	Absolute float64 // A
	Source   source.Ref
}

// ClampMeter is a DC clamp meter as it is commonly met: 2 % and 0.5 A.
func ClampMeter() Meter {
	return Meter{Relative: 0.02, Absolute: 0.5, Source: source.Ref{Title: "error of a DC clamp meter", How: source.Practice}}
}

func (m Meter) error(amps float64) float64 { return float64(m.Relative*math.Abs(amps)) + m.Absolute }

// Readings are two sets of currents. Draws are positive on discharge; both on
// charge will do as well.
type Readings struct {
	Low, High      float64 // A, the whole draw in each set; Low may be 0; NaN: the sum of the batteries
	Batteries      []Battery
	PathResistance float64 // ohm, mean of the paths (number of paths over the sum of conductances); 0: from the batteries' resistances
	Meter          Meter
}

// Verdict is the cause of a battery's unevenness, as far as the meter can tell.
type Verdict string

// The verdicts.
const (
	Within Verdict = "within the meter's error"
	Offset Verdict = "open-circuit voltage"
	Path   Verdict = "path resistance"
	Both   Verdict = "open-circuit voltage and path resistance"
)

func verdict(offset, path bool) Verdict {
	switch {
	case offset && path:
		return Both
	case offset:
		return Offset
	case path:
		return Path
	}
	return Within
}

// Finding is one battery's currents taken apart. Excess = Offset + PathExcess
// is what it carries at the high load beyond its fair part, in the sign of the
// readings: on charge, negative is more.
type Finding struct {
	ID          string
	Fair        float64 // part of the draw it should carry, by capacity or equal
	Share       float64 // part of the draw that it does carry, offset aside
	Excess      float64 // A at the high load
	Offset      float64 // A at any load, from its open-circuit voltage
	PathExcess  float64 // A at the high load, from the resistance of its path
	OffsetError float64 // A, that the meter may put Offset off by
	PathError   float64 // A, likewise PathExcess
	Path        float64 // ohm that explains its share; NaN where no mean path resistance is known, +Inf at a share of nothing
	Extra       float64 // ohm of that beyond what would give its fair part, negative for less; NaN and +Inf likewise
	EMF         float64 // V above the mean, weighted by conductance, that explains its offset; NaN where its path is not known
	Verdict     Verdict
}

// Result is the whole answer.
type Result struct {
	Batteries  []Finding // as given
	Verdict    Verdict   // over all batteries
	MostOffset string    // battery whose offset stands out most from the others'; "" if none does beyond the errors, as always of two
	MostPath   string    // likewise of the path excesses
	ByCapacity bool      // Fair goes by capacity; else equal
	Low, High  float64   // A, the draws used
	MeanPath   float64   // ohm; NaN where not known
	Meter      Meter
}

// Judge takes two sets of readings apart. The errors of single readings are
// taken to be independent, so that their squares add; a draw that is the sum of
// the batteries has the errors of all. The error names what is
// missing or cannot be: a battery without a reading, a capacity known of some
// only, loads that are equal within the meter's error, in the wrong order or of
// opposite sign, currents that do not add up to the draw, or a current that
// falls as the load grows.
func Judge(r Readings) (Result, error) {
	if err := r.check(); err != nil {
		return Result{}, err
	}
	f, err := newFit(r)
	if err != nil {
		return Result{}, err
	}
	out := Result{ByCapacity: r.Batteries[0].Capacity > 0, Low: f.low, High: f.high, MeanPath: r.meanPath(), Meter: r.Meter}
	fair := r.fair()
	for i, b := range r.Batteries {
		one, err := f.battery(b, fair[i])
		if err != nil {
			return Result{}, err
		}
		one.explain(b, out.MeanPath/float64(len(r.Batteries)))
		out.Batteries = append(out.Batteries, one)
	}
	out.conclude()
	return out, nil
}

// conclude joins the batteries' verdicts and looks for the odd one. One odd
// battery moves all others the other way, so that all may be uneven while one
// is the cause: it is looked for from the median, which one battery of three or
// more cannot move far. Currents in proportion to the fair parts compare.
func (r *Result) conclude() {
	offset, path := false, false
	offsets, paths := make([]bar, len(r.Batteries)), make([]bar, len(r.Batteries))
	for i, b := range r.Batteries {
		offset = offset || b.Verdict == Offset || b.Verdict == Both
		path = path || b.Verdict == Path || b.Verdict == Both
		size := b.Fair * float64(len(r.Batteries))
		offsets[i] = bar{b.Offset / size, b.OffsetError / size}
		paths[i] = bar{b.PathExcess / size, b.PathError / size}
	}
	r.Verdict = verdict(offset, path)
	if k := odd(offsets); offset && k >= 0 {
		r.MostOffset = r.Batteries[k].ID
	}
	if k := odd(paths); path && k >= 0 {
		r.MostPath = r.Batteries[k].ID
	}
}

// bar is a number with its error.
type bar struct{ value, off float64 }

// odd gives the number furthest from the median of all, -1 where another is as
// far within both errors.
func odd(bars []bar) int {
	values := make([]float64, len(bars))
	for i, b := range bars {
		values[i] = b.value
	}
	slices.Sort(values)
	middle := (values[(len(values)-1)/2] + values[len(values)/2]) / 2
	away := func(i int) float64 { return math.Abs(bars[i].value - middle) }
	best := 0
	for i := range bars {
		if away(i) > away(best) {
			best = i
		}
	}
	for i, b := range bars {
		if i != best && away(best)-away(i) <= norm(b.off, bars[best].off)+float64(1e-9*away(best)) {
			return -1
		}
	}
	return best
}

// explain turns share and offset into ohms and volts, from the resistance of
// all paths side by side.
func (f *Finding) explain(b Battery, together float64) {
	f.Path = together / f.Share
	if f.Share <= 0 && !math.IsNaN(together) {
		f.Path = math.Inf(1)
	}
	f.Extra = f.Path - together/f.Fair
	ohm := f.Path
	if b.Resistance > 0 {
		ohm = b.Resistance
	}
	f.EMF = math.NaN()
	if !math.IsInf(ohm, 1) {
		f.EMF = f.Offset * ohm
	}
}

// fair is each battery's fair part of the draw.
func (r Readings) fair() []float64 {
	sum, parts := 0.0, make([]float64, len(r.Batteries))
	for i, b := range r.Batteries {
		parts[i] = 1
		if b.Capacity > 0 {
			parts[i] = b.Capacity
		}
		sum += parts[i]
	}
	for i := range parts {
		parts[i] /= sum
	}
	return parts
}

// meanPath is the mean path resistance as given or, where all batteries' are
// known, by conductance; NaN otherwise.
func (r Readings) meanPath() float64 {
	if r.PathResistance > 0 {
		return r.PathResistance
	}
	conductance := 0.0
	for _, b := range r.Batteries {
		if b.Resistance == 0 {
			return math.NaN()
		}
		conductance += 1 / b.Resistance
	}
	return float64(len(r.Batteries)) / conductance
}
