package assess

import (
	"math"
	"slices"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/sky"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// dayWarm is what the balance takes from how warm the job gets.
type dayWarm struct {
	blocked []bool      // by hour of the year: a battery is too cold to be charged
	kelvin  [12]float64 // the coldest battery, mean of the month
	heater  int         // of the loads: the heaters; -1 none
	parts   [12]float64 // of their power that they take, mean of the month
	colder  [12]float64 // the same on a bad day
}

// heats reports whether load n is the heaters.
func (w *dayWarm) heats(n int) bool { return w != nil && w.heater == n }

// at reports whether the bank takes no charge at an hour of the year.
func (w *dayWarm) at(hour int) bool { return w != nil && w.blocked[hour%sky.HoursInYear] }

// warmth takes the year of the job's warmth, where the job says enough for it:
// the hours in which a battery is too cold to be charged, how cold batteries
// are, and what the heaters take, which are a load of their own.
func (t *dayTable) warmth(h *report.Heat) error {
	if h == nil && t.j.HasHeat() && t.j.Bank.Place.Known {
		var err error
		if h, err = t.j.Heat(HeatOptions{Year: true}); err != nil {
			return err
		}
	}
	if h == nil || h.Missing != "" || h.Year == nil || len(h.Year.Blocked) != sky.HoursInYear || len(h.Year.Coldest) != sky.HoursInYear {
		return nil
	}
	w := &dayWarm{blocked: h.Year.Blocked, heater: -1}
	var days [12]float64
	for i, k := range h.Year.Coldest {
		m := sky.MonthOf(i/24 + 1)
		w.kelvin[m] += k
		days[m]++
	}
	for m := range w.kelvin {
		w.kelvin[m] /= days[m]
	}
	t.warm, t.out.ColdKnown = w, true
	watts := 0.0
	for _, one := range t.j.Bank.Warmth.Heaters {
		watts += float64(one.Power)
	}
	if watts > 0 {
		w.heater = len(t.ask.Loads)
		one := bank.DayLoad{ID: "heaters", Name: "heaters", Power: source.Of(quantity.Power(watts)), Duty: 1, BadDuty: 1, Spans: []bank.Span{{From: 0, To: daySeconds}}}
		for m := range one.Months {
			one.Months[m] = true
			w.parts[m] = math.Min(1, h.Year.Heater[m]/daySeconds/watts)
			w.colder[m] = math.Min(1, w.parts[m]*harder(h))
		}
		t.ask.Loads = append(append([]bank.DayLoad{}, t.ask.Loads...), one)
		t.list.add("heaters", "the bank", "fed by it, as the warmth of mean days asks; on a bad day more, as the cold week asks more than the mean of its month", "they are no loads of the day to be listed", "")
	}
	return nil
}

// harder is how much more the heaters take on a day of the cold week than on a
// mean day of the month that asks most: 1 where the cold week was not looked at
// with them.
func harder(h *report.Heat) float64 {
	most := slices.Max(h.Year.Heater[:])
	if h.Heating == nil || !h.Heating.Own || !(most > 0) {
		return 1
	}
	return math.Max(1, h.Heating.WeekJ/most)
}

// midWeek are the first hours of the seven days in the middle of each month.
var midWeek = func() (all [12]int) {
	for day := sky.DaysInYear; day > 0; day-- {
		all[sky.MonthOf(day)] = 24 * (day - 1 + 11)
	}
	return all
}()
