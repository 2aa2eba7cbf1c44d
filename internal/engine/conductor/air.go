package conductor

import "math"

// SeaLevel is the pressure at sea level, Pa: US Standard Atmosphere 1976.
const SeaLevel = 101325

// highest is the altitude up to which PressureAt holds, m: the top of the
// troposphere, US Standard Atmosphere 1976.
const highest = 11000

// PressureAt gives the air's pressure at an altitude in m above sea level, Pa,
// and an error below −500 m, above 11 000 m and for NaN.
//
// Reference: US Standard Atmosphere 1976, eq. 33a with a lapse of 6.5 K/km from
// 288.15 K; the constants from memory. Geometric and geopotential altitude are
// taken as equal, which is wrong by 0.2 % at 11 km.
func PressureAt(altitude float64) (float64, error) {
	if !(altitude >= -500 && altitude <= highest) {
		return 0, bad("the altitude", altitude, "m", "-500 to 11000 m")
	}
	const exponent = 9.80665 * 0.0289644 / (8.31432 * 0.0065) // g·M/(R·lapse) = 5.256
	return SeaLevel * math.Pow(1-float64(0.0065*altitude)/288.15, exponent), nil
}

// Air is dry air at one temperature and pressure.
type Air struct {
	Temperature  float64 // K
	Density      float64 // kg/m³
	Viscosity    float64 // m²/s, kinematic
	Conductivity float64 // W/(m·K)
	Diffusivity  float64 // m²/s, thermal
	Prandtl      float64
}

// AirAt gives air at a temperature, K, and a pressure, Pa. Both must be above
// zero; anything else gives NaN.
//
// Reference: US Standard Atmosphere 1976, eqs. 51 (viscosity) and 53
// (conductivity), from memory; ideal gas with 287.053 J/(kg·K); heat capacity
// 1006 J/(kg·K), handbook value of dry air near 300 K, which rises by 1 % up to
// 400 K.
func AirAt(temperature, pressure float64) Air {
	const heat = 1006
	root := math.Sqrt(temperature) * temperature
	dynamic := 1.458e-6 * root / (temperature + 110.4)
	a := Air{
		Temperature:  temperature,
		Density:      pressure / (287.053 * temperature),
		Conductivity: 2.64638e-3 * root / (temperature + float64(245.4*math.Pow(10, -12/temperature))),
	}
	a.Viscosity = dynamic / a.Density
	a.Diffusivity = a.Conductivity / (a.Density * heat)
	a.Prandtl = dynamic * heat / a.Conductivity
	return a
}

// gravity is the standard acceleration, m/s² (ISO 80000-3, exact).
const gravity = 9.80665

// boltzmann is the Stefan–Boltzmann constant, W/(m²·K⁴) (CODATA 2018).
const boltzmann = 5.670374e-8

// ChurchillChu gives the Nusselt number of a long level cylinder in still
// fluid, from the Prandtl and the Rayleigh number of its diameter, for Rayleigh
// numbers up to 1e12. It is 0.36 at a Rayleigh number of zero.
//
// Reference: S. W. Churchill and H. H. S. Chu, Int. J. Heat Mass Transfer 18
// (1975) 1049, eq. 9 (from memory, held against published values in the test).
func ChurchillChu(prandtl, rayleigh float64) float64 {
	shape := math.Pow(1+math.Pow(0.559/prandtl, 9.0/16), 8.0/27)
	root := 0.60 + float64(0.387*math.Pow(rayleigh, 1.0/6))/shape
	return root * root
}

// film is free convection from a level cylinder.
type film struct {
	air         Air
	rayleigh    float64
	nusselt     float64
	coefficient float64 // W/(m²·K)
}

// filmOf takes the air at the mean temperature of surface and ambient, as
// Churchill and Chu do.
func filmOf(diameter, surface, ambient, pressure float64) film {
	mean := (surface + ambient) / 2
	a := AirAt(mean, pressure)
	f := film{air: a}
	f.rayleigh = gravity * math.Abs(surface-ambient) * diameter * diameter * diameter / (mean * a.Viscosity * a.Diffusivity)
	f.nusselt = ChurchillChu(a.Prandtl, f.rayleigh)
	f.coefficient = f.nusselt * a.Conductivity / diameter
	return f
}

// fourths gives a⁴ − b⁴ without losing digits where both are near.
func fourths(a, b float64) float64 {
	return (a - b) * (a + b) * (float64(a*a) + float64(b*b))
}
