package protect

import (
	"fmt"
	"math"

	"bankwright/internal/base/source"
)

// Device is a fuse or breaker by its numbers. A value that is not known
// (source.None), or not above zero, is not told.
type Device struct {
	Name     string
	Rating   source.Value[float64] // A
	Band     Band
	Melting  source.Value[float64] // A²s, least that makes it open; what it takes in the shortest times
	Clearing source.Value[float64] // A²s, most that it lets through; held to be so above what the band tells
}

// carried is why a device carries its rated current, where the band itself
// says nothing of it.
var carried = source.Ref{Title: "UL 248-14", At: "a fuse carries 100 % of its rating; other standards ask for 110 %, some from memory", Edition: "not stated", How: source.Read}

func (d *Device) multiple(current float64) float64 { return current / d.Rating.V }

// carries reports whether the device bears a current without end, at the
// temperature it is rated for.
func (d *Device) carries(current float64) bool {
	return atMost(current, d.Rating.V) || math.IsInf(d.Band.AtLeast(d.multiple(current)), 1)
}

// earliest gives the time in s before which the device does not open: +Inf
// where it carries the current, NaN where nothing is told. told is false where
// the true time may well be longer.
func (d *Device) earliest(current float64) (t float64, told bool) {
	if d.carries(current) {
		return math.Inf(1), true
	}
	m := d.multiple(current)
	t, told = d.Band.AtLeast(m), !math.IsNaN(d.Band.Min(m))
	if energy, ok := positive(d.Melting); ok {
		if melt := energy / current / current; !(t >= melt) {
			t = melt
		}
		told = told || beyond(d.Band.min, m)
	}
	return t, told
}

// latest gives the time in s by which the device has opened, NaN where nothing
// is told or it need not open. told is false where the true time may well be
// shorter.
func (d *Device) latest(current float64) (t float64, told bool) {
	m := d.multiple(current)
	if d.carries(current) {
		return math.NaN(), true
	}
	t, told = d.Band.AtMost(m), !math.IsNaN(d.Band.Max(m))
	if energy, ok := positive(d.Clearing); ok && beyond(d.Band.max, m) {
		if clear := energy / current / current; !(t <= clear) {
			t = clear
		}
		told = true
	}
	return t, told
}

// marks are the currents at which what is told of a device changes its form.
func (d *Device) marks() []float64 {
	all := []float64{d.Rating.V}
	for _, p := range d.Band.points {
		all = append(all, p.Multiple*d.Rating.V)
	}
	return all
}

// within gives the currents at which the device has opened after a time at the
// latest, where that lies between two told multiples.
func (d *Device) within(t float64) []float64 {
	var all []float64
	for i := 1; i < len(d.Band.max); i++ {
		a, b := d.Band.max[i-1], d.Band.max[i]
		if a.time > t && b.time < t {
			part := math.Log(t/a.time) / math.Log(b.time/a.time)
			all = append(all, d.Rating.V*a.multiple*math.Pow(b.multiple/a.multiple, part))
		}
	}
	return all
}

// ground notes what an outcome on the device rests on.
func (d *Device) ground(o *Outcome) {
	o.use(d.Rating)
	o.ground(d.Band.refs...)
}

// rated reports whether the rating is known; if not it says so.
func (d *Device) rated(o *Outcome) bool {
	_, ok := positive(d.Rating)
	if !ok {
		o.say(NotChecked, "the rating of %s is not told", d.name())
	}
	return ok
}

func (d *Device) name() string {
	if d.Name == "" {
		return "the device"
	}
	return d.Name
}

// Scaled gives the I²t of another rating of the same family: it goes as the
// square of the rating, as both go with the element's section while no heat
// flows off. It holds for melting in short times and only roughly for total
// let-through. The source is the known one's, so that what was from memory
// stays so. It is not known where a number is not known or not above zero.
func Scaled(energy, rated, to source.Value[float64]) source.Value[float64] {
	e, ok1 := positive(energy)
	from, ok2 := positive(rated)
	r, ok3 := positive(to)
	if !ok1 || !ok2 || !ok3 {
		return source.Value[float64]{}
	}
	out := source.Value[float64]{V: e * (r / from) * (r / from), Origin: source.Computed, Ref: energy.Ref,
		Note: fmt.Sprintf("from the one of %s by the square of the ratings", amps(from))}
	for _, v := range []source.Value[float64]{energy, rated, to} {
		if v.Origin == source.Assumed {
			out.Origin = source.Assumed
		}
	}
	return out
}

// MeltingTime gives the time in s that an I²t in A²s lasts at a current in A:
// for times so short that no heat flows off. NaN where a number is not above
// zero.
func MeltingTime(energy, current float64) float64 {
	if !(energy > 0) || !(current > 0) {
		return math.NaN()
	}
	return energy / current / current
}
