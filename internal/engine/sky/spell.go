package sky

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
)

// Spell is a run of days with a weather of its own: a cold snap or a heat wave.
type Spell struct {
	Middle  int                  // day of the year in its middle
	Days    int                  // that it lasts, 1 to 60
	Hold    int                  // of them, in the middle, at full depth; 0 to Days
	Extreme quantity.Temperature // the coldest or the hottest hour
	Sun     float64              // share of a mean day's sun
}

// Week is a spell of seven days of which three are at full depth, with the sun
// of mean days: a shape of ours, near what a passing cold or hot air mass does
// (common practice, no source).
func Week(middle int, extreme quantity.Temperature) Spell {
	return Spell{Middle: middle, Days: 7, Hold: 3, Extreme: extreme, Sun: 1}
}

// Spell gives the hours of a spell, midnight to midnight. Each day runs through
// the course of a clear day, with the range of the mean days of the season; all
// are moved down or up by a departure that grows and fades as half a cosine
// wave on the days beside Hold, so that exactly the extreme is reached. At its
// two ends it meets the mean days.
//
// An error for an extreme that a mean day there has as well: it makes neither a
// cold snap nor a heat wave.
func (c Climate) Spell(s Spell) (Hours, error) {
	days, err := c.Days()
	if err != nil {
		return Hours{}, err
	}
	if err := s.check(); err != nil {
		return Hours{}, err
	}
	first := s.Middle - s.Days/2
	h := newHours((dayOf(first)-1)*night, s.Days*night)
	for i := range s.Days {
		day := dayOf(first + i)
		h.setTemperature(i*night, days[day-1], designDay)
		l, err := c.Place.dull(day, days[day-1].Global, s.Sun)
		if err != nil {
			return Hours{}, err
		}
		h.setLight(i*night, l)
	}
	return h, s.depart(h)
}

func (s Spell) check() error {
	switch {
	case s.Days < 1 || s.Days > 60:
		return fmt.Errorf("a spell of %d days: must be 1 to 60", s.Days)
	case s.Hold < 0 || s.Hold > s.Days:
		return fmt.Errorf("%d days at full depth: must be 0 to the spell's %d", s.Hold, s.Days)
	case !(s.Extreme >= coldestAir && s.Extreme <= hottestAir):
		return fmt.Errorf("extreme %.4g °C: no air on earth has this", float64(s.Extreme)-273.15)
	}
	return nil
}

// weight is the part of the full departure at an hour of the spell, from its
// middle.
func (s Spell) weight(i int) float64 {
	at := (float64(i) + 0.5) / night
	ramp := float64(s.Days-s.Hold) / 2
	into := min(at, float64(s.Days)-at)
	if into >= ramp {
		return 1
	}
	return (1 - math.Cos(math.Pi*into/ramp)) / 2
}

// depart moves the hours so that the extreme is just touched: the departure at
// which the first hour reaches it.
func (s Spell) depart(h Hours) error {
	low, high := h.Temperature[0], h.Temperature[0]
	for _, t := range h.Temperature {
		low, high = min(low, t), max(high, t)
	}
	sign := 1.0
	switch {
	case s.Extreme < low:
		sign = -1
	case s.Extreme <= high:
		return fmt.Errorf("extreme %.4g °C: mean days there already run from %.4g to %.4g °C; a spell goes beyond them",
			float64(s.Extreme)-273.15, float64(low)-273.15, float64(high)-273.15)
	}
	depth, touch := math.Inf(1), 0
	for i, t := range h.Temperature {
		if d := float64(sign*float64(s.Extreme-t)) / s.weight(i); d < depth {
			depth, touch = d, i
		}
	}
	for i := range h.Temperature {
		h.Temperature[i] += quantity.Temperature(float64(sign * depth * s.weight(i)))
	}
	h.Temperature[touch] = s.Extreme // free of the last rounding
	return nil
}
