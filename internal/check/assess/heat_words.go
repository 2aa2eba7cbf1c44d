package assess

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/engine/sky"
	"bankwright/internal/model/report"
)

var monthNames = [12]string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}

// MonthWords names a month, 0 for January.
func MonthWords(m int) string { return monthNames[m] }

// DayWords names a day of the year, 1 to 365.
func DayWords(day int) string {
	day = (day-1)%sky.DaysInYear + 1
	m := sky.MonthOf(day)
	first := day
	for first > 1 && sky.MonthOf(first-1) == m {
		first--
	}
	return fmt.Sprintf("%d %s", day-first+1, monthNames[m])
}

// HourWords names an hour of a week: its day and when it ends.
func HourWords(hour int) string {
	end := hour + 1
	return fmt.Sprintf("day %d, %02d:00", (end-1)/24+1, (end-1)%24+1)
}

// ColdWords says what the cold week does, line by line.
func ColdWords(h *report.Heat, show quantity.Show) []string {
	temp := func(v float64) string { return show.FormatTemperature(quantity.Temperature(v)) }
	var lines []string
	if b := coldestOf(h); b != nil {
		lines = append(lines, fmt.Sprintf("the coldest battery is %s with %s on %s", b.ID, temp(b.Coldest), HourWords(b.ColdestAt)))
	}
	lines = append(lines, waitWords(h.Cold.Wait))
	if at := crossing(h); at != "" {
		lines = append(lines, at)
	}
	if f := h.Freeze; f != nil {
		start := fmt.Sprintf("from %s, without heat and at rest, in %s outside", temp(f.Start), temp(f.Outside))
		if math.IsInf(f.Seconds, 1) {
			lines = append(lines, start+" no battery gets below its limit within thirty days")
		} else {
			lines = append(lines, fmt.Sprintf("%s %s is at %s after %s", start, f.Battery, temp(f.Limit), spanWords(f.Seconds)))
		}
	}
	if h.Heating != nil {
		lines = append(lines, heatingWords(h.Heating, show)...)
	}
	return lines
}

func coldestOf(h *report.Heat) *report.HeatBattery {
	var best *report.HeatBattery
	for i := range h.Batteries {
		if best == nil || h.Batteries[i].Coldest < best.Coldest-1e-9 {
			best = &h.Batteries[i]
		}
	}
	return best
}

func hottestOf(h *report.Heat) *report.HeatBattery {
	var best *report.HeatBattery
	for i := range h.Batteries {
		if best == nil || h.Batteries[i].Hottest > best.Hottest+1e-9 {
			best = &h.Batteries[i]
		}
	}
	return best
}

// crossing says when the first battery passes its limit in the cold week.
func crossing(h *report.Heat) string {
	for n, b := range h.Cold.Blocked {
		if b && n > 0 && !h.Cold.Blocked[n-1] {
			return "the first battery crosses its limit on " + HourWords(n)
		}
		if b && n == 0 {
			return "a battery is below its limit from the beginning of the week"
		}
	}
	return ""
}

func waitWords(w report.Wait) string {
	if math.IsNaN(w.After) {
		return "no limit for charge in the cold is known, so no hours are counted; lead-acid has none but its electrolyte, which freezes when it is discharged"
	}
	if w.Hours == 0 {
		return "charge never has to wait for the cold"
	}
	s := fmt.Sprintf("charge has to wait in %d of the week's hours, %d of them in daylight", w.Hours, w.Daylight)
	switch {
	case math.IsInf(w.After, 1):
		s += fmt.Sprintf("; on %s it cannot begin at all", DayWords(w.Day))
	case w.After > 0:
		s += fmt.Sprintf("; on the worst day it may begin %.1f h after sunrise", w.After)
	}
	return s
}

// spanWords prints a time of hours or days.
func spanWords(s float64) string {
	if s < 48*3600 {
		return quantity.FormatFixed(s/3600, 1) + " h"
	}
	return quantity.FormatFixed(s/86400, 1) + " days"
}

func heatingWords(h *report.Heating, show quantity.Show) []string {
	temp := func(v float64) string { return show.FormatTemperature(quantity.Temperature(v)) }
	if math.IsInf(h.Hold, 1) {
		return []string{"no heat there reaches every battery"}
	}
	hold := fmt.Sprintf("to hold %s through the coldest day, %s outside as its mean and nothing running, takes %s", temp(h.Target), temp(h.Outside), quantity.Format(quantity.Power(h.Hold), 3))
	energy := fmt.Sprintf("%s on the coldest day (%.1f Ah, %.1f %% of the bank), %s a day over the week; the coldest battery is then %s with %s",
		quantity.Format(quantity.Energy(h.DayJ), 3), h.DayAh/3600, 100*h.Share, quantity.Format(quantity.Energy(h.WeekJ), 3), h.Coolest, temp(h.Coldest))
	if h.Own {
		return []string{hold, fmt.Sprintf("%s, %s together, give %s; on for %.0f %% of that day", h.At, quantity.Format(quantity.Power(h.Watts), 3), energy, 100*h.Always)}
	}
	return []string{hold, fmt.Sprintf("a heater of %s (twice that, rounded up) at the %s would give %s", quantity.Format(quantity.Power(h.Watts), 3), h.At, energy)}
}

// HotWords says what the hot week does, line by line.
func HotWords(h *report.Heat, show quantity.Show) []string {
	temp := func(v float64) string { return show.FormatTemperature(quantity.Temperature(v)) }
	var lines []string
	if b := hottestOf(h); b != nil {
		lines = append(lines, fmt.Sprintf("the hottest battery is %s with %s on %s", b.ID, temp(b.Hottest), HourWords(b.HottestAt)))
	}
	switch c := h.Cooling; {
	case c == nil:
		lines = append(lines, "no limit for charge in the heat is known, so no fan is looked for")
	case !c.Needed:
		lines = append(lines, fmt.Sprintf("all stay under their limit; %s comes nearest, %.1f K below its %s", c.Battery, c.Limit-c.Hottest, temp(c.Limit)))
	case !c.Possible:
		lines = append(lines, fmt.Sprintf("%s passes its limit of %s, and no fan with outside air of up to %s mends that: shade, white paint, more insulation or less heat within", c.Battery, temp(c.Limit), temp(c.Outside)))
	default:
		s := fmt.Sprintf("%s passes its limit of %s; %s of outside air through %s all the time would keep it under", c.Battery, temp(c.Limit), quantity.Format(quantity.Flow(c.Flow), 2), c.Compartment)
		if c.Vent > 0 {
			s += fmt.Sprintf(", or two openings low and high of %s free each", cm2(c.Vent))
		}
		lines = append(lines, s)
	}
	for _, e := range h.Equipment {
		s := fmt.Sprintf("%s loses %s as the mean of the day (%s at most) into %s; the air there reaches %s", e.ID, quantity.Format(quantity.Power(e.Loss), 2), quantity.Format(quantity.Power(e.Peak), 2), e.Compartment, temp(e.Air))
		if e.Still > 0 {
			s += fmt.Sprintf(" (%s with the fan off)", temp(e.Still))
		}
		if e.Over > 0 {
			s += fmt.Sprintf(", over %s in %d hours: it gives less than its rating then", temp(e.Limit), e.Over)
		}
		lines = append(lines, s)
	}
	return lines
}

func cm2(area float64) string { return quantity.FormatFixed(area*1e4, 1) + " cm²" }

// GasWords says what each compartment needs in openings, and what a vent of
// sealed lithium is for.
func GasWords(h *report.Heat) []string {
	var lines []string
	for _, g := range h.Gas {
		list := strings.Join(g.Batteries, ", ")
		if g.Lithium {
			lines = append(lines, fmt.Sprintf("%s (%s): sealed lithium makes no hydrogen in normal work and no rule asks for an opening; a vent there is for warmth, and for the gas of a cell that fails, which must not go where people are", g.Compartment, list))
			continue
		}
		charged := "on float"
		if g.Boost {
			charged = "on boost charge"
		}
		lines = append(lines, fmt.Sprintf("%s (%s): lead-acid %s needs %s of air against hydrogen, by two openings of %s free each, one low and one high, or a fan that runs whenever it is charged (IEC 62485-2); it has two of %s",
			g.Compartment, list, charged, quantity.Format(quantity.Flow(g.Flow), 3), cm2(g.Area), cm2(g.Have)))
	}
	return lines
}
