package sky

import "math"

const (
	// WattHour is one watt-hour in joules, exact.
	WattHour = 3600.0

	// SolarConstant is the sun's irradiance outside the air at the mean
	// distance, W/m²: 1367, the value that goes with the correlations used here
	// (as in the ASHRAE 2009 sky of the project's reference; read). The measured
	// value has since been put at 1361 (from memory).
	SolarConstant = 1367.0

	// DaysInYear and HoursInYear are those of the years made here.
	DaysInYear  = 365
	HoursInYear = DaysInYear * 24

	degree = math.Pi / 180
	turn   = 2 * math.Pi
	night  = 24 // hours in a day
	hour   = 3600.0

	// epoch is noon of day 0 in days after noon of 1 January 2000. The calendar
	// year is 2025, amid a leap-year cycle: in other years the same date lies up
	// to 0.75 day off, which moves the declination by up to 0.3° at the
	// equinoxes.
	epoch = 9131.0
)

// Sun is where the sun stands for the whole earth on one day: what does not
// depend on the place.
type Sun struct {
	Declination float64 // rad, positive north
	Equation    float64 // of time: sundial minus clock, s
	Distance    float64 // from the earth, in mean distances
}

// On gives the sun at noon, universal time, of a day of the year. Within the
// day the declination moves by up to 0.2° either way, which day sums do not
// feel. Days beyond 1 to 365 count on into the next years.
func On(day int) Sun { return sunAt(epoch + float64(day)) }

// sunAt gives the sun at a moment in days after 2000-01-01 12:00.
//
// Low-precision series after Meeus as in the NOAA calculator (from memory; the
// project's reference found it to hold the worked case of NREL/TP-560-34302 to
// 0.0023°). The distance is that of the same ellipse.
func sunAt(days float64) Sun {
	t := days / 36525
	long := (280.46646 + float64(36000.76983*t) + float64(0.0003032*t*t)) * degree
	anomaly := (357.52911 + float64(35999.05029*t) - float64(0.0001537*t*t)) * degree
	e := 0.016708634 - float64(0.000042037*t)
	centre := (float64(math.Sin(anomaly)*(1.914602-float64(0.004817*t))) +
		float64(math.Sin(2*anomaly)*(0.019993-float64(0.000101*t))) + float64(0.000289*math.Sin(3*anomaly))) * degree
	node := (125.04 - float64(1934.136*t)) * degree
	apparent := long + centre - float64((0.00569+float64(0.00478*math.Sin(node)))*degree)
	tilt := (23.439291 - float64(0.0130042*t) + float64(0.00256*math.Cos(node))) * degree
	y := math.Tan(tilt / 2)
	y *= y
	eq := float64(y*math.Sin(2*long)) - float64(2*e*math.Sin(anomaly)) +
		float64(4*e*y*math.Sin(anomaly)*math.Cos(2*long)) -
		float64(0.5*y*y*math.Sin(4*long)) - float64(1.25*e*e*math.Sin(2*anomaly))
	return Sun{
		Declination: math.Asin(math.Sin(tilt) * math.Sin(apparent)),
		Equation:    eq / turn * night * hour,
		Distance:    (1 - float64(e*e)) / (1 + float64(e*math.Cos(anomaly+centre))),
	}
}

// Normal is the irradiance outside the air on a plane that faces the sun,
// W/m²: the solar constant over the square of the distance.
func (s Sun) Normal() float64 { return SolarConstant / (s.Distance * s.Distance) }

// arc holds what the height of the sun over a place and day needs:
// sin(elevation) = base + swing·cos(hour angle).
type arc struct{ base, swing float64 }

func (s Sun) arc(latitude float64) arc {
	return arc{base: math.Sin(latitude) * math.Sin(s.Declination), swing: math.Cos(latitude) * math.Cos(s.Declination)}
}

// Elevation is the height of the sun's centre over the level horizon in rad at
// an hour angle in rad, 0 at solar noon and positive after it; below 0 it is
// night. Without refraction, which lifts the sun by half a degree at the
// horizon and by nothing that matters higher up.
func (s Sun) Elevation(latitude, angle float64) float64 {
	a := s.arc(latitude)
	return math.Asin(min(max(a.base+float64(a.swing*math.Cos(angle)), -1), 1))
}

// Azimuth is where the sun stands at an hour angle, rad from north, east
// positive, 0 up to 2π. At a pole, and with the sun overhead, there is no
// direction and what is given means nothing.
func (s Sun) Azimuth(latitude, angle float64) float64 {
	east := -math.Cos(s.Declination) * math.Sin(angle)
	north := float64(math.Sin(s.Declination)*math.Cos(latitude)) -
		float64(math.Cos(s.Declination)*math.Sin(latitude)*math.Cos(angle))
	a := math.Atan2(east, north)
	if a < 0 {
		a += turn
	}
	return a
}

// Refraction is by how much air lifts a sun that stands at the elevation, rad,
// at a pressure in Pa and a temperature in K. Bennett's form turned round
// (Saemundsson), as in the project's reference (from memory); not for an
// elevation below -1°.
func Refraction(elevation, pressure, temperature float64) float64 {
	e := elevation / degree
	up := 1.02 / (60 * math.Tan((e+10.3/(e+5.11))*degree))
	return up * degree * (pressure / 101000) * (283 / temperature)
}

// Sunset is the hour angle of sunset in rad, the sun's centre on a level
// horizon and no refraction: 0 where the sun does not rise, π where it does not
// set. Sunrise is at the same angle before noon. cos ws = -tan φ tan δ.
func (s Sun) Sunset(latitude float64) float64 { return s.arc(latitude).reach(0) }

// reach is the hour angle at which sin(elevation) falls to level.
func (a arc) reach(level float64) float64 {
	switch up := a.base - level; {
	case up >= a.swing:
		return math.Pi
	case up <= -a.swing:
		return 0
	default:
		return math.Acos(-up / a.swing)
	}
}

// Seen is the hour angle at which the sun's upper edge is seen to set: half the
// sun's disc and the mean refraction at the horizon together, 0.833° (the usual
// almanac value, from memory).
func (s Sun) Seen(latitude float64) float64 {
	return s.arc(latitude).reach(math.Sin(-0.833 * degree))
}

// Outside is the sun outside the air on a level square metre in a day, J/m²:
// (86400/π)·Normal·(cos φ cos δ sin ws + ws sin φ sin δ), the closed integral
// over the day (Duffie and Beckman, eq. 1.10.3; read in open code). 0 in the
// polar night.
func (s Sun) Outside(latitude float64) float64 {
	w := s.Sunset(latitude)
	return s.OutsideBetween(latitude, -w, w)
}

// OutsideBetween is the same between two hour angles, rad, from ≤ to, each
// within -π to π; only while the sun is up. J/m².
func (s Sun) OutsideBetween(latitude, from, to float64) float64 {
	a := s.arc(latitude)
	w := a.reach(0)
	from, to = max(from, -w), min(to, w)
	if !(to > from) {
		return 0
	}
	part := float64(a.base*(to-from)) + float64(a.swing*(math.Sin(to)-math.Sin(from)))
	return s.Normal() * max(part, 0) * night * hour / turn
}

// Clear is a cloudless sky's irradiance on level ground, W/m², by the sun's
// elevation alone: 1098·sin h·exp(-0.059/sin h) (Haurwitz 1945, 1946; read in
// open code). 0 below the horizon. It is good to some 10 %: height above the
// sea, haze and moisture are not in it.
func Clear(elevation float64) float64 {
	s := math.Sin(elevation)
	if !(s > 0) {
		return 0
	}
	return 1098 * s * math.Exp(-0.059/s)
}
