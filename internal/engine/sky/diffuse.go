package sky

import "math"

// lowSunset parts the diffuse correlations: days whose sunset lies at an hour
// angle of up to 81.4°, short winter days, and all others.
const lowSunset = 81.4 * degree

// Clearness is the part of the sun outside the air that reaches level ground,
// both in the same unit. 0 where there is no sun outside.
func Clearness(global, outside float64) float64 {
	if !(outside > 0) {
		return 0
	}
	return global / outside
}

// MonthDiffuse is the diffuse part of the sun on level ground over a month,
// from the month's clearness and the sunset hour angle, rad, of its mean day.
// From a clearness of 0.3 to 0.8: Erbs, Klein, Duffie, Solar Energy 28, 1982
// (read in open code). Below 0.3 the cubic is carried on, which falls steadily,
// up to a diffuse part of 1, and above 0.8 the value there is kept: ours.
//
// Against typical years it comes out within 0.04 at Golden in all months but one
// and up to 0.14 too low at Chicago in winter. Where the winter sun stays low it
// is far too low: 0.51 for 0.75 at Fairbanks in January, 0.53 for 0.87 in
// December, so that a plane at 60° to the south would get twice and three times
// what it does (Chicago 1.2 times, Golden 1.1 times at most). Climate.Unsure
// names such months; a diffuse figure given for them mends it.
func MonthDiffuse(clearness, sunset float64) float64 {
	k := min(max(clearness, 0), 0.8)
	if sunset <= lowSunset {
		return min(poly(k, 1.391, -3.560, 4.189, -2.137), 1)
	}
	return min(poly(k, 1.311, -3.022, 3.427, -1.821), 1)
}

// DayDiffuse is the same for one day, clear or cloudy, from that day's
// clearness (the same publication; read in open code).
func DayDiffuse(clearness, sunset float64) float64 {
	k := max(clearness, 0)
	switch short := sunset <= lowSunset; {
	case short && k < 0.715:
		return min(poly(k, 1, -0.2727, 2.4495, -11.9514, 9.3879), 1)
	case short:
		return 0.143
	case k < 0.722:
		return min(poly(k, 1, 0.2832, -2.5557, 0.8448), 1)
	default:
		return 0.175
	}
}

// HourDiffuse is the same for one hour, from that hour's clearness (the same
// publication; read in open code).
func HourDiffuse(clearness float64) float64 {
	switch k := max(clearness, 0); {
	case k <= 0.22:
		return 1 - float64(0.09*k)
	case k <= 0.80:
		return poly(k, 0.9511, -0.1604, 4.388, -16.638, 12.336)
	default:
		return 0.165
	}
}

// poly is c0 + c1 x + c2 x² + …, by Horner's rule.
func poly(x float64, c ...float64) float64 {
	y := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		y = float64(y*x) + c[i]
	}
	return y
}

// shape tells how a day's sun on level ground is spread over its hour angles:
// as (a + b cos w)(cos w - edge), while that is over 0.
type shape struct {
	sunset float64 // hour angle
	edge   float64 // cos ws; under -1 where the sun does not set
	a, b   float64
	whole  float64 // integral over the day
}

// newShape fits a shape to the day. Where the sun does not set, cos ws is
// -tan φ tan δ, below -1: the sun outside the air goes as cos w - edge there too,
// and at a pole it is the same all day.
func newShape(s Sun, latitude, a, b float64) shape {
	arc := s.arc(latitude)
	f := shape{sunset: arc.reach(0), a: a, b: b}
	f.edge = math.Cos(f.sunset)
	if f.sunset == math.Pi {
		f.edge = min(-arc.base/max(arc.swing, 1e-12), -1)
		f.b /= -f.edge
	}
	f.whole = 2 * f.until(f.sunset)
	return f
}

// globalShape is that of the global radiation: a = 0.409 + 0.5016 sin(ws - 60°),
// b = 0.6609 - 0.4767 sin(ws - 60°). Collares-Pereira and Rabl, Solar Energy 22,
// 1979 (read in open code). For the polar day, which they did not have, b fades as
// the sun's height varies less: ours.
func globalShape(s Sun, latitude float64) shape {
	t := math.Sin(s.Sunset(latitude) - 60*degree)
	return newShape(s, latitude, 0.409+float64(0.5016*t), 0.6609-float64(0.4767*t))
}

// diffuseShape is that of the diffuse radiation: cos w - cos ws, the same as
// outside the air. Liu and Jordan, Solar Energy 4, 1960 (read in open code).
func diffuseShape(s Sun, latitude float64) shape { return newShape(s, latitude, 1, 0) }

// until is the integral of the shape from noon to w.
func (f shape) until(w float64) float64 {
	sin, cos := math.Sincos(w)
	return float64(f.a*(sin-float64(w*f.edge))) +
		float64(f.b*(float64(w/2)+float64(sin*cos/2)-float64(sin*f.edge)))
}

// part is the share of the day's sun that falls into a stretch. The published
// ratios hold for the middle of an hour and add up to 1 within 2 % for sunsets at
// hour angles of 45° to 165° and within 5 % for others; here they are integrated
// and divided by the integral over the day, so that the parts add up to it.
func (f shape) part(in span) float64 {
	from, to := max(in.from, -f.sunset), min(in.to, f.sunset)
	if !(to > from) || !(f.whole > 0) {
		return 0
	}
	return max((f.until(to)-f.until(from))/f.whole, 0)
}

// Light is the sun of a day by the hour, each the mean over the hour on level
// ground, W/m².
type Light struct {
	Global, Diffuse [night]float64
}

// Spread gives the hours of a day from its global and diffuse sums on level
// ground, J/m². The hours add up to both sums, and no hour's diffuse is over its
// global: where the published shapes would have it so, at the edges of a dull
// day, what is over is moved to the other hours. All 0 where the sun does not
// rise.
func (p Place) Spread(day int, global, diffuse float64) Light {
	s := On(day)
	g, d := globalShape(s, p.Latitude), diffuseShape(s, p.Latitude)
	var l Light
	for i := range night {
		for _, in := range p.spans(s, i) {
			l.Global[i] += float64(global * g.part(in) / hour)
			l.Diffuse[i] += float64(diffuse * d.part(in) / hour)
		}
	}
	l.level()
	return l
}

// level holds every hour's diffuse down to its global, and raises the others by
// one factor to keep the sum.
func (l *Light) level() {
	held := func(by float64) (d [night]float64, sum float64) {
		for i := range d {
			d[i] = min(float64(by*l.Diffuse[i]), l.Global[i])
			sum += d[i]
		}
		return d, sum
	}
	want := 0.0
	for _, d := range l.Diffuse {
		want += d
	}
	d, sum := held(1)
	if sum >= want {
		l.Diffuse = d
		return
	}
	low, high := 1.0, 1.0
	for range 64 { // the factor that holds the sum; the sum rises with it
		high *= 2
		if _, sum = held(high); sum >= want {
			break
		}
	}
	for range 64 {
		mid := (low + high) / 2
		if _, sum = held(mid); sum >= want {
			high = mid
		} else {
			low = mid
		}
	}
	l.Diffuse, _ = held(high)
}
