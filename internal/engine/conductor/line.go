package conductor

import "math"

// line is a cable in a place made ready for many evaluations. Everything in it
// is a function of the temperature x of the outermost surface, from which heat
// leaves to the ambient; the temperatures inside follow layer by layer.
type line struct {
	cable      Cable
	place      Place
	n          float64
	pressure   float64
	bundle     float64 // m, diameter of the cables' common outline
	outer      float64 // m, of the outermost surface
	emissivity float64 // of the outermost surface
	wall       float64 // K·m/W, of the sleeve
	core       float64 // K·m/W, of the bundle for one cable's heat
	insulation float64 // K·m/W, of one cable
}

func newLine(c Cable, p Place) (*line, error) {
	if err := c.Check(); err != nil {
		return nil, err
	}
	if err := p.check(c); err != nil {
		return nil, err
	}
	l := &line{cable: c, place: p, n: float64(p.count()), pressure: p.pressure(), insulation: c.InsulationResistance()}
	l.bundle = taut(c.Outside, p.count())
	l.outer, l.emissivity = l.bundle, c.Emissivity
	l.core = core(c, p.count(), AirAt(p.Ambient, l.pressure).Conductivity)
	if s := p.Sleeve; s != nil {
		l.outer, l.emissivity = s.Outside, s.Emissivity
		l.wall = s.Resistivity / (2 * math.Pi) * math.Log(s.Outside/s.Inside)
	}
	return l, nil
}

// radiation gives what the outermost surface radiates, W/m, into surroundings
// at the ambient all around.
func (l *line) radiation(x float64) float64 {
	return float64(math.Pi * l.outer * l.emissivity * boltzmann * fourths(x, l.place.Ambient))
}

// heat gives what leaves the outermost surface, W/m, of all cables together.
func (l *line) heat(x float64) float64 {
	f := filmOf(l.outer, x, l.place.Ambient, l.pressure)
	return l.convection(x, f) + l.radiation(x)
}

// convection gives what the air takes off the outermost surface, W/m. Here and
// elsewhere a product is rounded before it is added to, so that every machine
// prints the same digits.
func (l *line) convection(x float64, f film) float64 {
	return float64(math.Pi * l.outer * f.coefficient * (x - l.place.Ambient))
}

// layers gives the temperatures of the hottest cable's surface and of its
// conductor from that of the outermost surface and the heat there.
func (l *line) layers(x, heat float64) (surface, conductor float64) {
	rim := x
	if l.place.Sleeve != nil {
		rim = l.across(x+float64(heat*l.wall), heat)
	}
	each := heat / l.n
	surface = rim + float64(each*l.core)
	return surface, surface + float64(each*l.insulation)
}

// conductor gives the temperature of the hottest conductor.
func (l *line) conductor(x float64) float64 {
	_, t := l.layers(x, l.heat(x))
	return t
}

// across gives the temperature of the cables inside a sleeve whose inner face
// is at a temperature, for a heat of zero or more. Conduction alone through the
// coolest air would need the largest difference, which ends the search.
func (l *line) across(face, heat float64) float64 {
	if !(heat > 0) {
		return face
	}
	air := AirAt(face, l.pressure).Conductivity
	most := heat * math.Log(l.place.Sleeve.Inside/l.bundle) / (2 * math.Pi * air)
	if !(most > tolerance) {
		return face
	}
	return root(func(t float64) float64 { return l.gap(t, face) - heat }, face, face+most)
}

// gap gives the heat between the cables and the sleeve's inner face, W/m, as if
// they lay in its middle: conduction, raised where the air turns over, and
// radiation between grey cylinders. Cables that lie on the wall of the sleeve
// lose more, so that this leans to the hot side.
//
// Reference: G. D. Raithby and K. G. T. Hollands, Adv. Heat Transfer 11 (1975)
// 265, for concentric cylinders, and the radiation between long concentric grey
// cylinders (textbook), both from memory.
func (l *line) gap(inside, face float64) float64 {
	a, b := l.bundle, l.place.Sleeve.Inside
	air := AirAt((inside+face)/2, l.pressure)
	logarithm, width := math.Log(b/a), (b-a)/2
	rayleigh := gravity * (inside - face) * width * width * width / (air.Temperature * air.Viscosity * air.Diffusivity)
	ends := math.Pow(a, -0.6) + math.Pow(b, -0.6)
	shaped := rayleigh * math.Pow(logarithm, 4) / (width * width * width * math.Pow(ends, 5))
	raised := math.Max(1, 0.386*math.Pow(air.Prandtl/(0.861+air.Prandtl)*shaped, 0.25))
	grey := 1/l.cable.Emissivity + float64(a/b*(1/l.place.Sleeve.Emissivity-1))
	return 2*math.Pi*air.Conductivity*raised*(inside-face)/logarithm + math.Pi*a*boltzmann*fourths(inside, face)/grey
}

// net gives what warms one cable, W/m: what a current makes less what leaves.
func (l *line) net(x, current float64) float64 {
	heat := l.heat(x)
	_, t := l.layers(x, heat)
	return float64(current*current*l.cable.Resistance(t)) - heat/l.n
}

// outermost gives the outermost temperature at which the conductor has one, for
// a conductor not below the ambient.
func (l *line) outermost(conductor float64) float64 {
	if conductor <= l.place.Ambient {
		return l.place.Ambient
	}
	return root(func(x float64) float64 { return l.conductor(x) - conductor }, l.place.Ambient, conductor)
}

// tolerance of temperatures found by iteration, K.
const tolerance = 1e-10

// root finds where f, of opposite signs at a and b, is zero: Ridders' method,
// whose bracket at least halves each time (C. J. F. Ridders, IEEE Trans. Circuits
// Syst. 26 (1979) 979).
func root(f func(float64) float64, a, b float64) float64 {
	fa, fb := f(a), f(b)
	last := math.Inf(1)
	for math.Abs(b-a) > tolerance {
		middle := float64((a + b) / 2)
		fm := f(middle)
		scale := math.Sqrt(float64(fm*fm) - float64(fa*fb))
		if fm == 0 || scale == 0 {
			return middle
		}
		x := middle + float64((middle-a)*math.Copysign(fm/scale, (fa-fb)*fm))
		fx := f(x)
		if fx == 0 || math.Abs(x-last) <= tolerance {
			return x
		}
		last = x
		a, fa, b, fb = narrow(a, fa, b, fb, middle, fm, x, fx)
	}
	return (a + b) / 2
}

// narrow gives the tightest bracket among the two ends, the middle and x.
func narrow(a, fa, b, fb, middle, fm, x, fx float64) (float64, float64, float64, float64) {
	switch {
	case (fm > 0) != (fx > 0):
		return middle, fm, x, fx
	case (fa > 0) != (fx > 0):
		return a, fa, x, fx
	}
	return x, fx, b, fb
}
