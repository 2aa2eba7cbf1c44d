package conductor

import "math"

// State is a cable that has come to rest at a current. Where several lie
// together it is the hottest. All temperatures are +Inf, and all else NaN,
// where no rest is found below the melting point of copper.
type State struct {
	Conductor  float64 // K
	Surface    float64 // K, of the insulation
	Outermost  float64 // K, of what the air touches: the bundle or the sleeve
	Resistance float64 // Ω/m, at Conductor
	Heat       float64 // W/m, of this cable
	Convection float64 // W/m from the outermost surface, of all cables together
	Radiation  float64 // W/m likewise

	Coefficient float64 // W/(m²·K), of the convection
	Rayleigh    float64
	Nusselt     float64
	Air         Air // at the film temperature

	Thermal float64 // K·m/W from this conductor to the ambient; NaN without current
	Slope   float64 // W/(m·K): how fast the heat that leaves outgrows the heat that is made
	Tau     float64 // s: heat capacity times Thermal, the customary time constant; NaN without current
}

// Steady gives the rest that a current, A, comes to. The sign of the current
// does not matter. The error names the value that is out of range or no
// number.
//
// The balance is that of a horizontal cylinder in still air with free
// convection ([ChurchillChu]) and radiation to surroundings at the ambient;
// see [Place] and [Sleeve] for bundles and tubes. Copper's resistance and the
// air's properties are taken at the temperatures found.
func Steady(c Cable, p Place, current float64) (State, error) {
	l, err := newLine(c, p)
	if err != nil {
		return State{}, err
	}
	if math.IsNaN(current) || math.IsInf(current, 0) {
		return State{}, bad("the current", current, "A", "a number")
	}
	return l.state(l.rest(current), current), nil
}

// rest gives the outermost temperature at rest, +Inf where the conductor would
// melt first. The heat that leaves grows faster than in proportion to the
// temperature, the heat that is made in proportion at most, so that there is
// one rest or none.
func (l *line) rest(current float64) float64 {
	low := l.place.Ambient
	if current == 0 {
		return low
	}
	high := l.outermost(Melting)
	if l.net(high, current) > 0 {
		return math.Inf(1)
	}
	return root(func(x float64) float64 { return l.net(x, current) }, low, high)
}

func (l *line) state(x, current float64) State {
	nan, inf := math.NaN(), math.Inf(1)
	if math.IsInf(x, 1) {
		return State{Conductor: inf, Surface: inf, Outermost: inf, Resistance: nan, Heat: nan, Convection: nan, Radiation: nan,
			Coefficient: nan, Rayleigh: nan, Nusselt: nan, Air: Air{nan, nan, nan, nan, nan, nan}, Thermal: nan, Slope: nan, Tau: nan}
	}
	f := filmOf(l.outer, x, l.place.Ambient, l.pressure)
	s := State{Outermost: x, Coefficient: f.coefficient, Rayleigh: f.rayleigh, Nusselt: f.nusselt, Air: f.air, Radiation: l.radiation(x)}
	s.Convection = l.convection(x, f)
	heat := s.Convection + s.Radiation
	s.Surface, s.Conductor = l.layers(x, heat)
	s.Resistance = l.cable.Resistance(s.Conductor)
	s.Heat = current * current * s.Resistance
	rise, dheat := l.slopes(x)
	s.Slope = dheat/rise - float64(current*current*l.cable.R20*Alpha)
	s.Thermal, s.Tau = nan, nan
	if current != 0 {
		s.Thermal = (s.Conductor - l.place.Ambient) / s.Heat
		s.Tau = l.capacity(x) * s.Thermal
	}
	return s
}

// step is the difference that slopes are taken over, K: wide against the
// tolerance, narrow against how the slopes change.
const step = 0.01

// slopes gives how conductor temperature and the heat of one cable change with
// the outermost temperature. Below the ambient the formulas for the air gap do
// not hold, so that the lower point is never there.
func (l *line) slopes(x float64) (conductor, heat float64) {
	low, high := math.Max(l.place.Ambient, x-step), x+step
	hl, hh := l.heat(low), l.heat(high)
	_, tl := l.layers(low, hl)
	_, th := l.layers(high, hh)
	return (th - tl) / (high - low), (hh - hl) / (high - low) / l.n
}

// capacity gives the heat, J/(K·m), that one cable takes for each kelvin of
// its conductor: the copper, and the insulation with the logarithmic profile
// that it has at rest. A sleeve's heat and the air's are left out, so that the
// true cable is slower.
func (l *line) capacity(x float64) float64 {
	ins := l.cable.insulationHeat()
	if ins == 0 {
		return l.cable.CopperHeat()
	}
	inner := l.cable.inner()
	rise, heat := l.slopes(x)
	surface := 1 - float64(heat*l.insulation)/rise // K of the surface for each of the conductor
	return l.cable.CopperHeat() + float64(ins*(inner+float64((1-inner)*surface)))
}

// Ampacity gives the current, A, at which the hottest conductor comes to rest
// at a limit, K. It is zero where the ambient is at the limit or above. The
// error names the value that is out of range; a limit must be below the
// melting point of copper.
func Ampacity(c Cable, p Place, limit float64) (float64, error) {
	l, err := newLine(c, p)
	if err != nil {
		return 0, err
	}
	if !(limit > 0 && limit < Melting) {
		return 0, bad("the temperature limit", limit, "K", "a temperature in kelvin below 1357 K")
	}
	return l.ampacity(limit), nil
}

func (l *line) ampacity(limit float64) float64 {
	if limit <= l.place.Ambient {
		return 0
	}
	return math.Sqrt(l.heat(l.outermost(limit)) / l.n / l.cable.Resistance(limit))
}
