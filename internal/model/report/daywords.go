package report

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
)

// MonthWords are the months in full.
var MonthWords = [12]string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}

// DayWords gives a day of the year, 1 to 365, as a date.
func DayWords(day int) string {
	for m, n := range [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31} {
		if day <= n {
			return fmt.Sprintf("%d %s", day, MonthWords[m])
		}
		day -= n
	}
	return fmt.Sprintf("day %d after the year", day)
}

// HardestMonth is the month whose bad days last least; of equals the one that
// asks most beyond what it gets.
func HardestMonth(d *Days) int {
	worst := 0
	for m := range d.Months {
		a, b := &d.Months[m], &d.Months[worst]
		if a.Bad.Reaches < b.Bad.Reaches || a.Bad.Reaches == b.Bad.Reaches && a.NoSun < b.NoSun ||
			a.Bad.Reaches == b.Bad.Reaches && a.NoSun == b.NoSun && a.Bad.Asked()-total(a.Bad.Offered) > b.Bad.Asked()-total(b.Bad.Offered) {
			worst = m
		}
	}
	return worst
}

func total(all []float64) float64 {
	sum := 0.0
	for _, v := range all {
		sum += v
	}
	return sum
}

// DryDays is the number of days of a mean year on which loads go without.
func DryDays(d *Days) int {
	n := 0
	for _, s := range d.Dry {
		n += s.Last - s.First + 1
	}
	return n
}

// DryWords names the days of a mean year on which loads go without, "" for none.
func DryWords(d *Days) string {
	var words []string
	for i, s := range d.Dry {
		switch {
		case i == 4 && len(d.Dry) > 5:
			words = append(words, fmt.Sprintf("and %d times more", len(d.Dry)-i))
			return strings.Join(words, ", ")
		case s.First == s.Last:
			words = append(words, DayWords(s.First))
		default:
			words = append(words, DayWords(s.First)+" to "+DayWords(s.Last))
		}
	}
	return strings.Join(words, ", ")
}

// DaysHeading says in one or two sentences what comes out.
func DaysHeading(d *Days) string {
	m := HardestMonth(d)
	k := &d.Months[m]
	words := ""
	switch dry := DryDays(d); {
	case len(d.Sources) == 0:
		words = "The job has no source for its days: the bank lives from what it holds."
	case dry == 365:
		words = "On mean days the loads go without on every day of the year."
	case dry > 0:
		words = fmt.Sprintf("On mean days the loads go without on %d days of the year: %s.", dry, DryWords(d))
	default:
		words = "On mean days the bank carries the loads all year."
	}
	if math.IsInf(k.Bad.Reaches, 1) {
		return words + " Bad days do not bring it to its floor within 60 days in any month."
	}
	return words + fmt.Sprintf(" Bad days bring it to its floor soonest in %s: after %s.", MonthWords[m], LastsWords(k.Bad.Reaches))
}

// LastsWords gives a time that a bank lasts.
func LastsWords(s float64) string {
	switch {
	case math.IsInf(s, 1):
		return "more than 60 days"
	case s < 2*86400:
		return quantity.FormatFixed(s/3600, 0) + " h"
	}
	return quantity.FormatFixed(s/86400, 1) + " days"
}

// FullWords says how long one source takes.
func FullWords(f *DayFull) string {
	switch {
	case math.IsNaN(f.Amps) && math.IsInf(f.Whole, 1):
		return fmt.Sprintf("%s in %s: not within 60 days", f.Source, f.In)
	case math.IsNaN(f.Amps):
		return fmt.Sprintf("%s in %s: %s of mean days, from midnight on", f.Source, f.In, LastsWords(f.Whole))
	}
	return fmt.Sprintf("%s at %s: %s h, of which %s h in the tail", f.Source, quantity.Format(quantity.Current(f.Amps), 3), quantity.FormatFixed(f.Whole/3600, 1), quantity.FormatFixed(f.Tail/3600, 1))
}

// StopWords says at which state of charge something stops.
func StopWords(s *DayStop) string {
	draws := quantity.Format(quantity.Current(s.Amps), 3)
	if s.Surge {
		draws += " of surge"
	}
	cut := quantity.Format(quantity.Voltage(s.Volts), 3)
	switch {
	case math.IsNaN(s.Volts):
		return fmt.Sprintf("the floor, at %.0f %%: the loads are to go off", 100*s.Charge)
	case s.Charge < 0:
		return fmt.Sprintf("%s does not stop by its cut-out of %s before the bank is empty", s.ID, cut)
	case s.Charge >= 1:
		return fmt.Sprintf("%s stops even with a full bank: its %s bring it to its cut-out of %s", s.ID, draws, cut)
	}
	return fmt.Sprintf("%s, at %.0f %%: its %s bring its terminals to its cut-out of %s", s.ID, 100*s.Charge, draws, cut)
}

// DaysLimits says what a balance of days leaves out.
func DaysLimits(d *Days) []string {
	cold := "hours in which the batteries are too cold to be charged are not taken off"
	if d.ColdKnown {
		cold = "hours in which a battery is too cold to be charged, and how cold the batteries are, are those of mean days"
	}
	all := []string{
		cold,
		"what runs through an inverter that charges too is fed from the bank while it is plugged in: no passing through is counted",
		"the capacity does not fall with the current (no Peukert), and batteries do not age",
		"the year is of mean days: a run of dark days is what the bad days are for",
	}
	if len(d.Unwired) > 0 {
		all = append(all, "cables are not counted of "+strings.Join(d.Unwired, ", ")+", which are not across the batteries")
	}
	return all
}
