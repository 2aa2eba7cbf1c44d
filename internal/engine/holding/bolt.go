package holding

import (
	"math"

	"bankwright/internal/base/source"
)

// Thread is a screw thread: nominal diameter and pitch, m.
type Thread struct {
	Name            string
	Diameter, Pitch float64
	Inch            bool // inch form, which the areas tell apart
}

// Metric gives a metric thread of a diameter and a pitch, mm.
func Metric(name string, diameter, pitch float64) Thread {
	return Thread{name, diameter * 1e-3, pitch * 1e-3, false}
}

// Inch gives an inch thread of a diameter, inches, and threads per inch.
func Inch(name string, diameter, perInch float64) Thread {
	return Thread{name, diameter * inch, inch / perInch, true}
}

// inch is exact.
const inch = 0.0254

// Threads gives the threads of the reference's table: metric coarse and the
// inch coarse series.
func Threads() []Thread {
	return []Thread{
		Metric("M5x0.8", 5, 0.8), Metric("M6x1", 6, 1), Metric("M8x1.25", 8, 1.25), Metric("M10x1.5", 10, 1.5),
		Metric("M12x1.75", 12, 1.75), Metric("M16x2", 16, 2),
		Inch("10-24", 0.190, 24), Inch("1/4-20", 0.25, 20), Inch("5/16-18", 0.3125, 18), Inch("3/8-16", 0.375, 16),
		Inch("7/16-14", 0.4375, 14), Inch("1/2-13", 0.5, 13),
	}
}

// StressArea gives the area that bears tension, m²: π/4·(d − 0.9382·p)² metric,
// π/4·(d − 0.9743·p)² inch. Reference: ISO 898-1 and ASME B1.1, neither
// at hand; the areas of printed tables that were read agree.
func (t Thread) StressArea() float64 {
	if t.Inch {
		return disc(t.Diameter - float64(0.9743*t.Pitch))
	}
	return disc(t.Diameter - float64(0.9382*t.Pitch))
}

// RootArea gives the area that bears shear where the thread lies in the plane of
// shear, m²: π/4·(d − 1.2269·p)² metric, π/4·(d − 1.299·p)² inch. Same ground.
func (t Thread) RootArea() float64 {
	if t.Inch {
		return disc(t.Diameter - float64(1.299*t.Pitch))
	}
	return disc(t.Diameter - float64(1.2269*t.Pitch))
}

func disc(d float64) float64 { return math.Pi / 4 * d * d }

// Grade is the strength of a bolt's material, Pa: what it bears without
// stretching for good (proof stress, or 0.2 % yield for stainless) and what
// breaks it. Upto is the greatest diameter, m, it is known for; 0 not said.
type Grade struct {
	ID           string
	Proof, Break float64
	Upto         float64
	Ref          source.Ref
}

// ksi and mpa in Pa. Reference: NIST SP 811 (2008), appendix B.
const (
	ksi = 6.894757e6
	mpa = 1e6
)

// Grades gives the grades of the reference.
func Grades() []Grade {
	sae := source.Ref{Title: "SAE J429", At: "strengths, as reprinted", Edition: "not stated", How: source.Read}
	iso := source.Ref{Title: "ISO 898-1", At: "strengths", Edition: "not at hand", How: source.Memory}
	stainless := source.Ref{Title: "ISO 3506", At: "extract of strengths", Edition: "not stated", How: source.Read}
	memory := source.Ref{Title: "ISO 3506", At: "class 50", Edition: "not at hand", How: source.Memory}
	return []Grade{
		{"SAE 2", 55 * ksi, 74 * ksi, 0.75 * inch, sae}, // one table has 72 for the tensile strength
		{"SAE 5", 85 * ksi, 120 * ksi, 1 * inch, sae},
		{"SAE 8", 120 * ksi, 150 * ksi, 0, sae},
		{"4.8", 310 * mpa, 420 * mpa, 0, iso},
		{"8.8", 580 * mpa, 800 * mpa, 16e-3, iso},
		{"10.9", 830 * mpa, 1040 * mpa, 0, iso},
		{"A2-50", 210 * mpa, 500 * mpa, 0, memory},
		{"A2-70", 450 * mpa, 700 * mpa, 20e-3, stainless},
		{"A4-70", 450 * mpa, 700 * mpa, 20e-3, stainless},
		{"A2-80", 600 * mpa, 800 * mpa, 0, stainless},
		{"A4-80", 600 * mpa, 800 * mpa, 0, stainless},
	}
}

// FindGrade gives a grade by its ID; ok is false where there is none.
func FindGrade(id string) (g Grade, ok bool) {
	for _, g := range Grades() {
		if g.ID == id {
			return g, true
		}
	}
	return Grade{}, false
}

// ShearRatio is the shear strength of steel over its tensile strength: common
// practice, no source.
const ShearRatio = 0.6

// Tension gives the strength of a bolt in pull: stress times stress area.
func (g Grade) Tension(t Thread) Strength {
	a := t.StressArea()
	return Strength{Yield: g.Proof * a, Break: g.Break * a, Ref: g.Ref}
}

// Across gives the strength of a bolt in shear through its thread, in one plane;
// the yield is taken at the same ratio.
func (g Grade) Across(t Thread) Strength {
	a := t.RootArea() * ShearRatio
	return Strength{Yield: g.Proof * a, Break: g.Break * a, Ref: g.Ref}
}

// Pin gives the strength of a plain pin or shank of a diameter, m, across a
// number of planes (2 for double shear): planes·π/4·d²·τ.
func (g Grade) Pin(diameter float64, planes int) Strength {
	a := disc(diameter) * ShearRatio * float64(planes)
	return Strength{Yield: g.Proof * a, Break: g.Break * a, Ref: g.Ref}
}

// BoltPart gives the part of a bolt under pull and shear together.
func BoltPart(name string, g Grade, t Thread) Part {
	return Part{Name: name, Under: Combined, Strength: g.Tension(t), Across: g.Across(t)}
}

// RodPart gives the part of a rod under pull alone.
func RodPart(name string, g Grade, t Thread) Part {
	return Part{Name: name, Under: Pull, Strength: g.Tension(t)}
}

// Nut factors K of T = K·D·F. Reference: fastener makers' tables, read; edition
// not stated.
const (
	DryNut   = 0.20 // plain steel, dry
	ZincNut  = 0.17 // zinc-plated, dry
	OiledNut = 0.15 // lubricated; also for stainless on stainless, which galls dry
)

// Scatter is how far the preload at one torque may lie from the sum, either way:
// common practice (25 to 35 %), the greater of it.
const Scatter = 0.35

// ProofShare is the preload of a joint that is taken apart again over its proof
// load. Reference: fastener makers' tables, read.
const ProofShare = 0.75

// Preload gives the force, N, of a torque, N·m, at a nut factor on a thread:
// T/(K·D). +Inf or NaN for a factor or a diameter of 0.
func Preload(torque, factor float64, t Thread) float64 { return torque / (factor * t.Diameter) }

// Torque gives the torque, N·m, for a preload, N.
func Torque(preload, factor float64, t Thread) float64 { return preload * factor * t.Diameter }

// Setting gives the preload, N, and the torque, N·m, for a bolt of a grade that
// is used again: 0.75 of proof times the stress area, and K·D·F of it.
func Setting(g Grade, t Thread, factor float64) (preload, torque float64) {
	preload = ProofShare * g.Proof * t.StressArea()
	return preload, Torque(preload, factor, t)
}

// Opens gives the margin against the joint opening under a pull, N: the least
// preload that the torque may have given, over the pull. Below 1 the parts part
// and the nut works loose; a bolt that bears the pull may still open. NaN where
// the preload is not known (0).
func Opens(preload, pull float64) float64 {
	if !above(preload, 0) {
		return math.NaN()
	}
	return Margin(preload*(1-Scatter), pull)
}
