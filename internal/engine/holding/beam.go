package holding

import (
	"math"

	"bankwright/internal/base/source"
)

// Section is a bar's cross-section about the axis that it bends over: area, m²,
// second moment of area, m⁴, and section modulus, m³.
type Section struct{ Area, Inertia, Modulus float64 }

// Flat gives a flat bar of a width and a thickness in the direction of the load.
func Flat(width, thickness float64) Section {
	i := width * thickness * thickness * thickness / 12
	return Section{width * thickness, i, i / (thickness / 2)}
}

// Tube gives a rectangular tube of a width, a height in the direction of the
// load and a wall. A wall of half the smaller side or more is solid.
func Tube(width, height, wall float64) Section {
	w, h := math.Max(0, width-2*wall), math.Max(0, height-2*wall)
	if w == 0 || h == 0 {
		w, h = 0, 0
	}
	i := (float64(width*height*height*height) - float64(w*h*h*h)) / 12
	return Section{float64(width*height) - float64(w*h), i, i / (height / 2)}
}

// Angle gives an equal angle of a leg and a thickness about the axis along one
// leg, taken as two rectangles; the modulus is the lesser of both faces.
func Angle(leg, thickness float64) Section {
	stand := leg - thickness // of the upright leg above the flat one
	a1, a2 := leg*thickness, stand*thickness
	y1, y2 := thickness/2, thickness+stand/2
	y := (float64(a1*y1) + float64(a2*y2)) / (a1 + a2)
	i := leg*thickness*thickness*thickness/12 + thickness*stand*stand*stand/12
	i += float64(a1*(y-y1)*(y-y1)) + float64(a2*(y-y2)*(y-y2))
	return Section{a1 + a2, i, i / math.Max(y, leg-y)}
}

// Round gives a solid round bar.
func Round(diameter float64) Section {
	i := math.Pi / 64 * math.Pow(diameter, 4)
	return Section{disc(diameter), i, i / (diameter / 2)}
}

// Alloy is the strength of a bar's metal, Pa, and its modulus of elasticity, Pa,
// 0 where not known.
type Alloy struct {
	ID           string
	Yield, Break float64
	Elastic      float64
	Ref          source.Ref
}

// Alloys gives the alloys of the reference.
func Alloys() []Alloy {
	read := func(title string) source.Ref {
		return source.Ref{Title: title, At: "yield and tensile strength", Edition: "not stated", How: source.Read}
	}
	memory := source.Ref{Title: "Aluminum Design Manual", At: "strengths", Edition: "not at hand", How: source.Memory}
	const e = 10.1e6 * ksi / 1000 // Aluminum Design Manual, from memory
	table := read("tables of aluminium extrusions")
	return []Alloy{
		{"6061-T6", 35 * ksi, 38 * ksi, e, table},
		{"6005A-T61", 35 * ksi, 38 * ksi, e, table},
		{"6063-T5", 16 * ksi, 22 * ksi, e, table},
		{"6063-T6", 25 * ksi, 30 * ksi, e, table},
		{"6061-T6 welded", 15 * ksi, 24 * ksi, e, memory}, // within 1 in of the weld; some tables have 11 for the yield
		{"5052-H32", 23 * ksi, 31 * ksi, e, memory},
	}
}

// FindAlloy gives an alloy by its ID; ok is false where there is none.
func FindAlloy(id string) (a Alloy, ok bool) {
	for _, a := range Alloys() {
		if a.ID == id {
			return a, true
		}
	}
	return Alloy{}, false
}

// Bar is a bar over the cases, simply supported at two rods a span apart, m, and
// bearing on the cases over a length in the middle, m: 0 bears at one point, the
// whole span all along.
type Bar struct {
	Section     Section
	Alloy       Alloy
	Span, Bears float64
}

// Moment gives the greatest bending moment, N·m, of a load, N, spread over the
// length that it bears on: F·(L/4 − c/8). That is F·L/4 at one point and F·L/8
// all along. Reference: statics.
func (b Bar) Moment(load float64) float64 { return load * (b.Span/4 - b.bears()/8) }

func (b Bar) bears() float64 { return math.Min(math.Max(b.Bears, 0), b.Span) }

// Stress gives the greatest bending stress, Pa.
func (b Bar) Stress(load float64) float64 { return b.Moment(load) / b.Section.Modulus }

// Deflection gives the bend at the middle, m: F·(8·L³ − 4·L·c² + c³)/(384·E·I),
// which is F·L³/48EI at one point and 5·F·L³/384EI all along. +Inf where the
// alloy's modulus is not known. Reference: beam theory.
func (b Bar) Deflection(load float64) float64 {
	l, c := b.Span, b.bears()
	cube := float64(8*l*l*l) - float64(4*l*c*c) + float64(c*c*c)
	return load * cube / (384 * b.Alloy.Elastic * b.Section.Inertia)
}

// Part gives the bar as a part of a rod: the pull, N, in the harder pulled rod at
// which it yields or breaks. With the load between the rods its moment is never
// above that of both rods pulling as hard. Breaking is reckoned at first tensile
// stress, with no help from the section going plastic.
func (b Bar) Part(name string) Part {
	each := 2 * b.Moment(1) / b.Section.Modulus // Pa for a newton in each rod
	return Part{Name: name, Under: Pull, Strength: Strength{Yield: b.Alloy.Yield / each, Break: b.Alloy.Break / each, Ref: b.Alloy.Ref}}
}
