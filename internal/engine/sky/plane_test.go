package sky

import (
	"math"
	"math/rand/v2"
	"testing"
)

func randomPlane(r *rand.Rand) Plane {
	return Plane{Tilt: r.Float64() * math.Pi, Azimuth: r.Float64() * turn, Reflectance: r.Float64()}
}

// TestCosine: the closed form against the reference's cos inc = cos z cos s +
// sin z sin s cos(az - saz), and that three planes square to each other share
// the beam out: the squares of the cosines add up to 1.
func TestCosine(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 500 {
		latitude, w := (r.Float64()-0.5)*math.Pi*0.99, (r.Float64()-0.5)*turn
		s, f := On(1+r.IntN(365)), randomPlane(r)
		z, az := math.Pi/2-s.Elevation(latitude, w), s.Azimuth(latitude, w)
		want := math.Cos(z)*math.Cos(f.Tilt) + math.Sin(z)*math.Sin(f.Tilt)*math.Cos(az-f.Azimuth)
		got := f.cosine(s, latitude).at(w)
		near(t, "cosine", got, want, 1e-9)
		side := Plane{Tilt: math.Pi / 2, Azimuth: f.Azimuth + math.Pi/2}.cosine(s, latitude).at(w)
		back := Plane{Tilt: f.Tilt + math.Pi/2, Azimuth: f.Azimuth}.cosine(s, latitude).at(w)
		near(t, "three planes", got*got+side*side+back*back, 1, 1e-12)
	}
}

// TestBeams: the closed integrals against 2000 steps an hour.
func TestBeams(t *testing.T) {
	const steps = 2000
	r := rand.New(rand.NewPCG(7, 8))
	for range 30 {
		p := Place{Latitude: (r.Float64() - 0.5) * math.Pi, Longitude: (r.Float64() - 0.5) * 0.3}
		s, f := On(1+r.IntN(365)), randomPlane(r)
		plane, ground := p.beams(s, f)
		c := f.cosine(s, p.Latitude)
		for i := range 24 {
			a, b := 0.0, 0.0
			for k := range steps {
				w := p.HourAngle(s, float64(i)+(float64(k)+0.5)/steps)
				if h := math.Sin(s.Elevation(p.Latitude, w)); h > 0 {
					a += max(c.at(w), 0) * turn / 24 / steps
					b += h * turn / 24 / steps
				}
			}
			near(t, "plane", plane[i], a, 2e-4)
			near(t, "ground", ground[i], b, 2e-4)
		}
	}
}

// TestTowardsEquator: the day's ratio of the beam outside the air on a plane
// that faces the equator, closed form of Duffie and Beckman eq. 2.19.3 (read in
// open code), and its mirror in the south.
func TestTowardsEquator(t *testing.T) {
	for _, c := range []struct{ latitude, tilt float64 }{{40, 40}, {40, 60}, {55, 30}, {25, 90}, {-35, 35}, {-50, 60}} {
		for _, day := range []int{17, 75, 135, 198, 258, 344} {
			s, north := On(day), c.latitude > 0
			f := Plane{Tilt: c.tilt * degree, Azimuth: math.Pi}
			lean := (c.latitude - c.tilt) * degree
			if !north {
				f.Azimuth, lean = 0, (c.latitude+c.tilt)*degree
			}
			d, l := s.Declination, c.latitude*degree
			ws := s.Sunset(l)
			w := min(ws, math.Acos(min(max(-math.Tan(lean)*math.Tan(d), -1), 1)))
			want := (math.Cos(lean)*math.Cos(d)*math.Sin(w) + w*math.Sin(lean)*math.Sin(d)) /
				(math.Cos(l)*math.Cos(d)*math.Sin(ws) + ws*math.Sin(l)*math.Sin(d))
			plane, ground := Sundial(l).beams(s, f)
			near(t, "ratio", Sum(plane)/Sum(ground), want, 1e-9*want)
		}
	}
}

func TestOnPlane(t *testing.T) {
	p := golden
	l := p.Spread(100, 2e7, 6e6)
	if got := p.On(100, l, Level()); math.Abs(Sum(got)-2e7) > 1 {
		t.Errorf("on level ground %v J/m², want the global", Sum(got))
	}
	down := p.On(100, l, Plane{Tilt: math.Pi, Reflectance: BareGround})
	near(t, "facing down it gets what the ground sends back", Sum(down), 0.2*2e7, 1)
	// A wall to the north in winter gets no beam: half the sky, half the ground.
	winter := p.Spread(355, 8e6, 3e6)
	wall := p.On(355, winter, Plane{Tilt: math.Pi / 2, Reflectance: SnowGround})
	near(t, "wall to the north", Sum(wall), 3e6/2+0.7*8e6/2, 1)
	steep := Sum(p.On(355, winter, Plane{Tilt: 60 * degree, Azimuth: math.Pi}))
	if !(steep > 1.5*8e6) {
		t.Errorf("60° to the south at 40° in December gets %.3g J/m², want well over level ground", steep)
	}
	// A beam where the sun hardly is counts as no more than the sun itself.
	var odd Light
	odd.Global[7] = 400
	on := p.On(355, odd, Plane{Tilt: 80 * degree, Azimuth: 120 * degree})
	if on[7] > On(355).Normal() {
		t.Errorf("%v W/m² on a plane, more than the sun gives", on[7])
	}
}

// TestMirrors: east and west, and the two halves of the world half a year apart
// in declination.
func TestMirrors(t *testing.T) {
	const day = 60
	p := noonAtTwelve(45*degree, day)
	l := p.Spread(day, 1.2e7, 5e6)
	east := p.On(day, l, Plane{Tilt: 0.6, Azimuth: 80 * degree, Reflectance: 0.2})
	west := p.On(day, l, Plane{Tilt: 0.6, Azimuth: 280 * degree, Reflectance: 0.2})
	for i := range 24 {
		near(t, "east and west", east[i], west[23-i], 1e-9*1000)
	}
	s := On(day)
	south := Sun{Declination: -s.Declination, Equation: s.Equation, Distance: s.Distance}
	f, g := Plane{Tilt: 0.6, Azimuth: 80 * degree}, Plane{Tilt: 0.6, Azimuth: 100 * degree}
	a, b := Place{Latitude: 0.8}, Place{Latitude: -0.8}
	pa, ga := a.beams(s, f)
	pb, gb := b.beams(south, g)
	for i := range 24 {
		near(t, "plane, halves of the world", pa[i], pb[i], 1e-12)
		near(t, "ground, halves of the world", ga[i], gb[i], 1e-12)
	}
}

func TestPlaneCheck(t *testing.T) {
	for name, f := range map[string]Plane{
		"tilt below": {Tilt: -0.1}, "tilt over": {Tilt: 4}, "tilt no number": {Tilt: math.NaN()},
		"azimuth": {Azimuth: math.Inf(1)}, "reflectance": {Reflectance: 1.1}, "reflectance no number": {Reflectance: math.NaN()},
	} {
		if f.Check() == nil {
			t.Errorf("%s: want an error", name)
		}
	}
	if err := (Plane{Tilt: 1, Azimuth: -2, Reflectance: SnowGround}).Check(); err != nil {
		t.Error(err)
	}
}
