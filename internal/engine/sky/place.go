package sky

import (
	"fmt"
	"math"
)

// Place is where the hours are made.
type Place struct {
	Latitude  float64 // rad, north positive
	Longitude float64 // rad, east positive
	Zone      float64 // standard time ahead of universal time, s
}

// Sundial is a place of a latitude whose clocks follow the mean sun: for a
// place of which no longitude is known.
func Sundial(latitude float64) Place { return Place{Latitude: latitude} }

// Check returns an error for a latitude or longitude that is not on the earth
// and for a clock more than three hours off the sun, which is a sign lost or a
// zone of another place (the widest true offset is under that).
func (p Place) Check() error {
	if !(math.Abs(p.Latitude) <= math.Pi/2) {
		return fmt.Errorf("latitude %.4g°: must be from -90° to 90°", p.Latitude/degree)
	}
	if !(math.Abs(p.Longitude) <= math.Pi) {
		return fmt.Errorf("longitude %.4g°: must be from -180° to 180°", p.Longitude/degree)
	}
	off := math.Remainder(float64(p.Longitude/turn*night*hour)-p.Zone, night*hour)
	if !(math.Abs(off) <= 3*hour) {
		return fmt.Errorf("the clock is %.1f h off the sun: longitude %.4g° and time zone %+.4g h do not belong together; west is negative in both",
			-off/hour, p.Longitude/degree, p.Zone/hour)
	}
	return nil
}

// HourAngle is the sun's hour angle, rad, at a time of standard time in hours
// after midnight: 0 at solar noon. It is not brought within ±π.
func (p Place) HourAngle(s Sun, clock float64) float64 {
	seconds := float64(clock*hour) - p.Zone + s.Equation
	return float64(seconds/(night*hour)*turn) + p.Longitude - math.Pi
}

// Noon is the time of solar noon, in hours after midnight.
func (p Place) Noon(s Sun) float64 {
	return 12 - float64(p.HourAngle(s, 12)*night/turn)
}

// Daylight gives when the sun's upper edge is seen to rise and to set on a
// level horizon, in hours after midnight, which can be below 0 or over 24 where
// clock and sun differ much. Equal in the polar night, 24 h apart in the polar
// day.
func (p Place) Daylight(day int) (rise, set float64) {
	s := On(day)
	half := s.Seen(p.Latitude) * night / turn
	noon := p.Noon(s)
	return noon - half, noon + half
}

// span is a stretch of hour angles within -π to π.
type span struct{ from, to float64 }

// spans cuts hour i of a day into stretches of hour angle: two where the sun's
// midnight falls within it. The 24 hours cover the circle exactly once, so that
// what is spread over a day adds up to the day.
func (p Place) spans(s Sun, i int) []span {
	from := p.HourAngle(s, float64(i))
	from -= turn * math.Floor((from+math.Pi)/turn)
	to := from + turn/night
	if to <= math.Pi {
		return []span{{from, to}}
	}
	return []span{{from, math.Pi}, {-math.Pi, to - turn}}
}
