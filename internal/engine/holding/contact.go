package holding

import (
	"math"

	"bankwright/internal/base/source"
)

// HoleBearing gives the strength of a hole in aluminium against a bolt that bears
// on its side: 2·Ftu·D·t, for a hole two diameters or more from the edge; NaN
// with less edge, for which the reference has nothing. Reference: Aluminum Design
// Manual, from memory.
func HoleBearing(a Alloy, diameter, thickness, edge float64) float64 {
	if !(edge >= 2*diameter) {
		return math.NaN()
	}
	return 2 * a.Break * diameter * thickness
}

// Washer gives the pressure, Pa, of a pull, N, under a washer of outer diameter
// and hole, m. +Inf where the washer is no larger than the hole.
func Washer(pull, outer, hole float64) float64 {
	return pull / math.Max(0, disc(outer)-disc(hole))
}

// Crush gives the pull, N, that crushes wood or sheet under a washer of outer
// diameter and hole, m, at a bearing strength, Pa; NaN where that is not known
// (0): no table of it is kept here.
func Crush(strength, outer, hole float64) float64 {
	if !above(strength, 0) {
		return math.NaN()
	}
	return strength * math.Max(0, disc(outer)-disc(hole))
}

// PullThrough gives the pull, N, at which a washer or head of a diameter, m,
// shears through a sheet of a thickness, m, round its edge: π·D·t·τ, at a shear
// strength, Pa; NaN where that is not known (0).
func PullThrough(strength, diameter, thickness float64) float64 {
	if !above(strength, 0) {
		return math.NaN()
	}
	return math.Pi * diameter * thickness * strength
}

// WasherPart gives a washer on a floor as a part under pull: the lesser of
// crushing and pulling through, whose strengths, Pa, may be 0 where not known.
// With only one known it is not checked, since the other may govern.
func WasherPart(name string, crush, shear, outer, hole, thickness float64, ref source.Ref) Part {
	p := Part{Name: name, Under: Pull}
	least := math.Min(Crush(crush, outer, hole), PullThrough(shear, outer, thickness))
	if math.IsNaN(least) {
		p.Why = "the bearing or the shear strength of the floor is not known"
		return p
	}
	p.Strength = Strength{Break: least, Ref: ref}
	return p
}

// FloorPressure gives the mean pressure, Pa, under one body at a multiple of its
// weight (1 at rest).
func FloorPressure(b *Body, multiple float64) float64 {
	return b.Mass * Gravity * multiple / ((b.Max.X - b.Min.X) * (b.Max.Y - b.Min.Y))
}

// StrapPull gives the least tension, N, of each of n straps over the top of a
// load with no stop, that friction alone holds it: EN 12195-1,
// F = (c − μ·cz)·m·g·fs/(2·n·μ·sin α), from memory. The angle is to the floor,
// rad; fs is 1.25 forward and 1.1 in other directions. 0 where friction under the
// weight is enough; NaN without friction, straps or angle, where no tension is.
func StrapPull(mass, c, cz, friction, angle, fs float64, n int) float64 {
	if !above(friction, 0) || n < 1 || !above(math.Sin(angle), 0) {
		return math.NaN()
	}
	need := c - float64(friction*cz)
	return math.Max(0, need*mass*Gravity*fs/(2*float64(n)*friction*math.Sin(angle)))
}

// Factors of StrapPull, EN 12195-1, from memory.
const (
	StrapForward = 1.25
	StrapOther   = 1.1
)

// Slope gives the angle of a strap to the floor, rad, from where it leaves the
// group to where it is anchored: π/2 straight down, 0 level or upward.
func Slope(from, to Vec) float64 {
	d := to.Sub(from)
	return math.Max(0, math.Atan2(-d.Z, math.Hypot(d.X, d.Y)))
}

// StrapPart gives a strap's part from its working load limit, N, as its label
// says it for one leg pulled straight.
func StrapPart(name string, working float64, ref source.Ref) Part {
	return Part{Name: name, Under: Pull, Strength: Strength{Working: working, Ref: ref}}
}

// Aggregate gives the margin of tie-downs' working load limits together, N, on
// the weight of what they hold: half the weight is asked. Reference: 49 CFR
// 393.106(d), as in 59 FR of 6 July 1994.
func Aggregate(mass float64, working ...float64) float64 {
	sum := 0.0
	for _, w := range working {
		sum += w
	}
	return Margin(sum, mass*Gravity/2)
}

// Friction is a coefficient at rest between two faces.
type Friction struct {
	ID, Title string
	Static    float64
	Sliding   float64 // once it moves
	Ref       source.Ref
}

// Frictions gives the pairs of the reference. Nothing was found for carpet or
// rubber under a battery.
func Frictions() []Friction {
	ref := source.Ref{Title: "European best practice guidelines on cargo securing", At: "friction, as reprinted", Edition: "not stated", How: source.Read}
	const fall = 0.7 // sliding over static, same source
	return []Friction{
		{"wood_wood", "timber on plywood or timber", 0.5, 0.35, ref},
		{"wood_aluminium", "timber on grooved aluminium", 0.4, 0.3, ref},
		{"wood_steel", "timber on steel", 0.4, 0.4 * fall, ref},
		{"film_film", "plastic film on film or metal", 0.3, 0.3 * fall, ref},
		{"paint_paint", "painted metal on painted metal", 0.3, 0.3 * fall, ref},
	}
}
