package chart

import (
	"math"
	"strconv"
	"strings"

	"bankwright/internal/paper/sheet"
)

// Seconds in the units that time is told in.
const (
	minute = 60.0
	hour   = 3600.0
	day    = 86400.0
)

// timeSteps are the round steps of a time axis, s: those of a clock face up to
// the day.
var timeSteps = [...]float64{
	0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30,
	minute, 2 * minute, 5 * minute, 10 * minute, 15 * minute, 30 * minute,
	hour, 2 * hour, 3 * hour, 6 * hour, 12 * hour, day, 2 * day,
}

// timeTicks gives the closest ticks at round times, at most some dozen, whose
// labels stand clear of one another at a size of text.
func timeTicks(a *axis, size float64) []tick {
	const most, gap = 13, 3.0 // ticks, mm between labels
	span := a.hi - a.lo
	try := func(step float64) (list []tick, ok bool) {
		if span/step > most {
			return nil, false
		}
		wide := 0.0
		for k := math.Ceil(a.lo/step - 1e-9); float64(k*step) <= a.hi+float64(1e-9*span); k++ {
			t := tick{float64(k * step), clock(float64(k * step))}
			wide = max(wide, sheet.TextWidth(sheet.Regular, size, t.label))
			list = append(list, t)
		}
		return list, len(list) < 2 || wide+gap <= a.at(list[1].at)-a.at(list[0].at)
	}
	for _, step := range timeSteps {
		if list, ok := try(step); ok {
			return list
		}
	}
	for n := 12; n > 1; n-- {
		digit, exp := nice(span/day, n)
		if list, ok := try(day * float64(digit) * math.Pow10(exp)); ok {
			return list
		}
	}
	return []tick{{a.lo, clock(a.lo)}}
}

// clock tells a time from the start as a person would: "0", "3.2 s", "45 s",
// "4 min 10 s", "2 h 57 min", "3 d 4 h". From ten minutes on it is rounded to
// the minute, below a minute to the tenth of a second. NaN is "–".
func clock(seconds float64) string {
	if !counts(seconds) {
		return sheet.Decimal(seconds, 0)
	}
	if seconds < 0 {
		if text := clock(-seconds); text != "0" {
			return "−" + text
		}
		return "0"
	}
	if tenths := math.Round(seconds * 10); tenths < 10*minute {
		if tenths == 0 {
			return "0"
		}
		return strconv.FormatFloat(tenths/10, 'f', -1, 64) + " s"
	}
	units := []struct {
		size float64
		name string
	}{{day, " d"}, {hour, " h"}, {minute, " min"}, {1, " s"}}
	rest := math.Round(seconds)
	if seconds >= 10*minute {
		rest = minute * math.Round(seconds/minute)
	}
	if rest < 2*day {
		units = units[1:] // 36 h is told in hours
	}
	var parts []string
	for _, u := range units {
		if n := math.Floor(rest / u.size); n > 0 {
			parts = append(parts, strconv.FormatFloat(n, 'f', 0, 64)+u.name)
			rest -= n * u.size
		}
	}
	return strings.Join(parts, " ")
}

// figures prints a number with at most four digits that count and no zeros at
// its end: 180, 62.5, 0.3333, 12350.
func figures(v float64) string {
	if !counts(v) {
		return sheet.Decimal(v, 0)
	}
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 3, 64), 64) // always parses
	return sheet.Signs(strconv.FormatFloat(rounded, 'f', -1, 64))
}
