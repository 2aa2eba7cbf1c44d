package sky

import (
	"fmt"
	"math"
)

// Usual reflectances of the ground.
const (
	// BareGround is that of grass, earth or old concrete: 0.2 (the usual
	// assumption in solar work; read in open code).
	BareGround = 0.2
	// SnowGround is that of fresh snow: 0.7 (the usual assumption, from memory).
	SnowGround = 0.7
)

// Plane is a flat surface in the sun.
type Plane struct {
	Tilt        float64 // from level, rad: 0 faces up, π/2 stands upright
	Azimuth     float64 // that it faces, rad from north, east positive
	Reflectance float64 // of the ground before it, 0 to 1
}

// Level is a plane that faces up.
func Level() Plane { return Plane{} }

// Check returns an error for a plane that cannot be.
func (f Plane) Check() error {
	switch {
	case !(f.Tilt >= 0 && f.Tilt <= math.Pi):
		return fmt.Errorf("tilt %.4g°: must be from 0°, facing up, to 180°", f.Tilt/degree)
	case math.IsNaN(f.Azimuth) || math.IsInf(f.Azimuth, 0):
		return fmt.Errorf("azimuth: must be a number")
	case !(f.Reflectance >= 0 && f.Reflectance <= 1):
		return fmt.Errorf("ground reflectance %.4g: must be from 0 to 1", f.Reflectance)
	}
	return nil
}

// wave is base + cosine·cos w + sine·sin w over the hour angle w.
type wave struct{ base, cosine, sine float64 }

// cosine is the cosine of the angle between the sun and the plane's normal over
// the hour angle: the dot product of the two directions. (The reference's cos
// inc = cos z cos s + sin z sin s cos(az - saz), written out; equal by identity.)
func (f Plane) cosine(s Sun, latitude float64) wave {
	sinT, cosT := math.Sincos(f.Tilt)
	sinA, cosA := math.Sincos(f.Azimuth)
	sinL, cosL := math.Sincos(latitude)
	sinD, cosD := math.Sincos(s.Declination)
	up, north, east := cosT, float64(sinT*cosA), float64(sinT*sinA)
	return wave{
		base:   sinD * (float64(up*sinL) + float64(north*cosL)),
		cosine: cosD * (float64(up*cosL) - float64(north*sinL)),
		sine:   -cosD * east,
	}
}

// Incidence is the angle between the sun and the plane's normal, rad, at an
// hour angle; over π/2 the sun is behind the plane.
func (f Plane) Incidence(s Sun, latitude, angle float64) float64 {
	return math.Acos(min(max(f.cosine(s, latitude).at(angle), -1), 1))
}

func (c wave) at(w float64) float64 {
	return c.base + float64(c.cosine*math.Cos(w)) + float64(c.sine*math.Sin(w))
}

// until is the integral from 0 to w.
func (c wave) until(w float64) float64 {
	return float64(c.base*w) + float64(c.cosine*math.Sin(w)) + float64(c.sine*(1-math.Cos(w)))
}

// above is the integral of what of the wave is over 0, in closed form: the
// stretch is cut where the wave passes 0.
func (c wave) above(in span) float64 {
	if !(in.to > in.from) {
		return 0
	}
	cuts := append([]float64{in.from}, c.zeros(in)...)
	cuts = append(cuts, in.to)
	sum := 0.0
	for i := range len(cuts) - 1 {
		if c.at((cuts[i]+cuts[i+1])/2) > 0 {
			sum += c.until(cuts[i+1]) - c.until(cuts[i])
		}
	}
	return max(sum, 0)
}

// zeros gives where the wave passes 0 within a stretch of no more than a turn,
// in order.
func (c wave) zeros(in span) []float64 {
	size := math.Hypot(c.cosine, c.sine)
	if !(size > math.Abs(c.base)) {
		return nil
	}
	top := math.Atan2(c.sine, c.cosine)
	half := math.Acos(-c.base / size)
	var found []float64
	for _, w := range [2]float64{top - half, top + half} {
		w -= turn * math.Floor((w-in.from)/turn) // the first at or after the start
		if w > in.from && w < in.to {
			found = append(found, w)
		}
	}
	if len(found) == 2 && found[0] > found[1] {
		found[0], found[1] = found[1], found[0]
	}
	return found
}

// beams gives, for each hour of a day, the integral of the plane's cosine over
// the hour's sunlit hour angles, and that of level ground: the ratio of the two
// is by how much the beam on the plane is stronger than on the ground.
func (p Place) beams(s Sun, f Plane) (plane, ground [night]float64) {
	c, g := f.cosine(s, p.Latitude), Level().cosine(s, p.Latitude)
	w := s.Sunset(p.Latitude)
	for i := range night {
		for _, in := range p.spans(s, i) {
			in.from, in.to = max(in.from, -w), min(in.to, w)
			plane[i] += c.above(in)
			ground[i] += g.above(in)
		}
	}
	return plane, ground
}

// On gives the irradiance on a plane for each hour of a day, W/m², from that on
// level ground:
//
//	beam·(plane/ground) + diffuse·(1 + cos tilt)/2 + global·reflectance·(1 - cos tilt)/2
//
// with a sky that is equally bright all over (isotropic; Liu and Jordan 1963,
// as in the project's reference; read in open code). A real sky is brighter
// about the sun, so that a plane that faces it gets up to some 5 % more. A beam
// stronger than the sun outside the air, which measured hours about sunrise can
// ask for, counts as that.
func (p Place) On(day int, l Light, f Plane) [night]float64 {
	s := On(day)
	plane, ground := p.beams(s, f)
	sky, soil := (1+math.Cos(f.Tilt))/2, f.Reflectance*(1-math.Cos(f.Tilt))/2
	var out [night]float64
	for i := range out {
		out[i] = float64(l.Diffuse[i]*sky) + float64(l.Global[i]*soil)
		if beam := l.Global[i] - l.Diffuse[i]; beam > 0 && ground[i] > 0 {
			out[i] += min(float64(beam/ground[i]), float64(s.Normal()*night/turn)) * plane[i]
		}
	}
	return out
}

// Sum is the day's sum of an hourly irradiance, J/m².
func Sum(hours [night]float64) float64 {
	sum := 0.0
	for _, h := range hours {
		sum += h
	}
	return sum * hour
}
