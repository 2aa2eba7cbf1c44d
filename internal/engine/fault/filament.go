package fault

import (
	"fmt"
	"math"
)

// Filament is a straight piece of round conductor: its two ends and its radius
// in m. Current counts from From to To.
type Filament struct {
	From, To [3]float64
	Radius   float64
}

// selfMean times its radius is the geometric mean distance of a round
// conductor from itself, exp(−¼): current evenly over the section.
//
// Reference: textbook (F. W. Grover, Inductance Calculations, 1946, from
// memory).
var selfMean = math.Exp(-0.25)

// mu0Over4Pi is µ₀/4π, H/m.
const mu0Over4Pi = 1e-7

// Check says what is wrong with a filament: a radius that is not above zero,
// or an end that is no place. One without length is none of that: it has no
// inductance.
func (f *Filament) Check() error {
	bad := !(f.Radius > 0) || math.IsInf(f.Radius, 1)
	for i := range 3 {
		for _, v := range []float64{f.From[i], f.To[i]} {
			bad = bad || math.IsNaN(v) || math.IsInf(v, 0)
		}
	}
	if bad {
		return fmt.Errorf("inductance: a conductor of radius %g m from %v to %v; give a radius above zero and places in m", f.Radius, f.From, f.To)
	}
	return nil
}

// axis gives length and direction.
func (f *Filament) axis() (length float64, along [3]float64) {
	d := minus(f.To, f.From)
	length = math.Sqrt(dot(d, d))
	if length > 0 {
		along = [3]float64{d[0] / length, d[1] / length, d[2] / length}
	}
	return length, along
}

// parallel is up to which sine of their angle two filaments count as parallel.
const parallel = 1e-9

// Mutual gives the partial inductance of two filaments in H, of one with itself
// its own: Neumann's integral of one axis along the other, their distance never
// taken as less than the mean distance of the thicker from itself. Symmetric
// but for rounding; below zero where they run against each other.
func Mutual(a, b *Filament) float64 {
	la, ua := a.axis()
	lb, ub := b.axis()
	if la == 0 || lb == 0 {
		return 0
	}
	least := selfMean * math.Max(a.Radius, b.Radius)
	cosine := dot(ua, ub)
	if math.Abs(cosine) < parallel {
		return 0
	}
	start := minus(b.From, a.From)
	x := dot(start, ua)
	if c := cross(ua, ub); math.Sqrt(dot(c, c)) < parallel {
		d := math.Max(least, math.Sqrt(math.Max(0, dot(start, start)-float64(x*x))))
		y := x + float64(lb*cosine)
		far := func(z float64) float64 { return float64(z*math.Asinh(z/d)) - math.Hypot(z, d) }
		sum := (far(la-x) - far(x)) - (far(la-y) - far(y))
		return mu0Over4Pi * sum
	}
	return mu0Over4Pi * cosine * skew(a, b, la, lb, ua, ub, least)
}

// skew integrates 1/distance over both axes: along a in closed form, along b by
// Gauss and Legendre, in pieces that shorten towards b's ends, where a corner
// may be.
func skew(a, b *Filament, la, lb float64, ua, ub [3]float64, least float64) float64 {
	sum := 0.0
	for n := 1; n < len(pieces); n++ {
		mid, half := (pieces[n]+pieces[n-1])/2, (pieces[n]-pieces[n-1])/2
		for i, node := range gaussNodes {
			s := lb * (mid + float64(half*node))
			p := minus([3]float64{b.From[0] + float64(s*ub[0]), b.From[1] + float64(s*ub[1]), b.From[2] + float64(s*ub[2])}, a.From)
			x := dot(p, ua)
			h := math.Max(least, math.Sqrt(math.Max(0, dot(p, p)-float64(x*x))))
			sum += float64(gaussWeights[i] * lb * half * (math.Asinh(x/h) + math.Asinh((la-x)/h)))
		}
	}
	return sum
}

var pieces = []float64{0, 0.05, 0.5, 0.95, 1}

// Gauss and Legendre's rule of five points (M. Abramowitz, I. Stegun, Handbook
// of Mathematical Functions, table 25.4).
var (
	gaussNodes   = []float64{-0.906179845938664, -0.538469310105683, 0, 0.538469310105683, 0.906179845938664}
	gaussWeights = []float64{0.236926885056189, 0.478628670499366, 0.568888888888889, 0.478628670499366, 0.236926885056189}
)

func dot(a, b [3]float64) float64 {
	return float64(a[0]*b[0]) + float64(a[1]*b[1]) + float64(a[2]*b[2])
}

func cross(a, b [3]float64) [3]float64 {
	return [3]float64{float64(a[1]*b[2]) - float64(a[2]*b[1]), float64(a[2]*b[0]) - float64(a[0]*b[2]), float64(a[0]*b[1]) - float64(a[1]*b[0])}
}

func minus(a, b [3]float64) [3]float64 { return [3]float64{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

// Inductance gives the partial inductance of two ways made of filaments, one
// after the other, in H: of a way with itself its own.
func Inductance(a, b []Filament) float64 {
	sum := 0.0
	for i := range a {
		for k := range b {
			sum += Mutual(&a[i], &b[k])
		}
	}
	return sum
}
