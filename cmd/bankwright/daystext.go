package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

func daysText(w io.Writer, j *assess.Job, d *report.Days, month int) {
	tell(w, fmt.Sprintf("%s: %s at %s, floor %.0f %%, weeks begin at %.0f %%", j.Bank.Title, quantity.Format(quantity.Charge(d.Capacity), 4), quantity.Format(quantity.Voltage(d.Nominal), 3), 100*d.Floor, 100*d.Start))
	if d.Place != "" {
		tell(w, "weather: "+d.Place)
	}
	tell(w, report.DaysHeading(d))
	fmt.Fprintln(w)
	daysMonths(w, d)
	if month >= 0 {
		daysMonth(w, d, month)
	}
	daysLoads(w, d, month)
	daysSources(w, d)
	daysFull(w, d)
	daysStops(w, d)
	daysSides(w, d)
	fmt.Fprintln(w)
	for _, n := range d.Notes {
		tell(w, "- "+n)
	}
	for _, n := range report.DaysLimits(d) {
		tell(w, "- "+n)
	}
	assumedWide(w, d.Assumed, broad)
}

// daysMonths is the table of the months: Wh a day, and how long it lasts.
func daysMonths(w io.Writer, d *report.Days) {
	t := table{head: []string{"", "typical asks Wh", "gets Wh", "week ends %", "bad asks Wh", "gets Wh", "lasts d", "no sun d", "nothing d"}}
	for m := range d.Months {
		one := &d.Months[m]
		t.add(string(bank.MonthNames[m]), wattHours(one.Typical.Asked()), wattHours(sum(one.Typical.Given)), percentOf(one.Typical.Charge[168]),
			wattHours(one.Bad.Asked()), wattHours(sum(one.Bad.Given)), daysOf(one.Bad.Reaches), daysOf(one.NoSun), daysOf(one.Alone))
	}
	t.write(w)
	tell(w, "lasts: bad days one after the other until the floor; no sun: the same without any sun; nothing: without any source; 60+: not within 60 days")
	fmt.Fprintln(w)
}

func sum(all []float64) float64 {
	s := 0.0
	for _, v := range all {
		s += v
	}
	return s
}

func percentOf(v float64) string { return quantity.FormatFixed(100*v, 0) }

// daysMonth is one month by the hour.
func daysMonth(w io.Writer, d *report.Days, m int) {
	one := &d.Months[m]
	words := report.MonthWords[m]
	if !math.IsNaN(one.Kelvin) {
		words += fmt.Sprintf(": %s outside, %.0f %% of the capacity", quantity.Show{}.FormatTemperature(quantity.Temperature(math.Round(10*one.Kelvin)/10)), 100*one.Factor)
	}
	tell(w, words)
	t := table{head: []string{"Wh a day", "loads", "in inverters", "idle", "cables", "asked", "given"}}
	for _, k := range []struct {
		name string
		kind *report.DayKind
	}{{"typical", &one.Typical}, {"bad", &one.Bad}} {
		t.add(k.name, wattHours(k.kind.Loads), wattHours(k.kind.Inverters), wattHours(k.kind.Idle), wattHours(k.kind.Wiring), wattHours(k.kind.Asked()), wattHours(sum(k.kind.Given)))
	}
	t.write(w)
	if one.Cold > 0 {
		tell(w, fmt.Sprintf("a battery is too cold to be charged in %d of the week's 168 hours", one.Cold))
	}
	fmt.Fprintln(w)
	h := table{head: []string{"day, hour", "out W", "in W", "%", "bad out W", "in W", "%"}}
	for n := range 7 * 24 {
		if n%24%3 != 0 {
			continue
		}
		day, hour := n/24, n%24
		a, b := &one.Typical, &one.Bad
		h.add(fmt.Sprintf("%d, %02d:00", day+1, hour), watts(a.Power[day].Out[hour]), watts(a.Power[day].In[hour]), percentOf(a.Charge[n]),
			watts(b.Power[day].Out[hour]), watts(b.Power[day].In[hour]), percentOf(b.Charge[n]))
	}
	h.write(w)
	fmt.Fprintln(w)
}

func watts(v float64) string { return quantity.FormatFixed(v, 0) }

// daysLoads is what each load asks; of the month, else of the hardest one.
func daysLoads(w io.Writer, d *report.Days, month int) {
	if month < 0 {
		month = report.HardestMonth(d)
	}
	k := &d.Months[month]
	t := table{head: []string{"load", "W", "h a day", "duty %", "Wh " + string(bank.MonthNames[month]), "bad Wh", "by"}, left: map[int]bool{6: true}}
	for n := range d.Loads {
		l := &d.Loads[n]
		by := l.Through + l.Part
		if by == "" {
			by = "the bank"
		}
		t.add(l.ID, watts(l.Watts), quantity.FormatFixed(l.Hours, 1), percentOf(l.Duty), wattHours(k.Typical.ByLoad[n]), wattHours(k.Bad.ByLoad[n]), by)
	}
	for _, one := range []struct {
		name         string
		typical, bad float64
	}{{"lost in inverters", k.Typical.Inverters, k.Bad.Inverters}, {"inverters idle", k.Typical.Idle, k.Bad.Idle}, {"lost in cables", k.Typical.Wiring, k.Bad.Wiring}, {"asked of the bank", k.Typical.Asked(), k.Bad.Asked()}} {
		t.add(one.name, "", "", "", wattHours(one.typical), wattHours(one.bad))
	}
	t.write(w)
	fmt.Fprintln(w)
}

func daysSources(w io.Writer, d *report.Days) {
	if len(d.Sources) == 0 {
		tell(w, "the job has no source of days; give sun, mains or drive")
		fmt.Fprintln(w)
		return
	}
	head := []string{"source, Wh a day", "W most", "d a week"}
	months := []int{0, 3, 6, 9}
	for _, m := range months {
		head = append(head, string(bank.MonthNames[m]), "bad")
	}
	t := table{head: head}
	for n := range d.Sources {
		s := &d.Sources[n]
		row := []string{s.ID + ", " + string(s.Kind), watts(s.Watts), fmt.Sprint(s.Days)}
		for _, m := range months {
			row = append(row, wattHours(d.Months[m].Typical.Offered[n]), wattHours(d.Months[m].Bad.Offered[n]))
		}
		t.add(row...)
	}
	t.write(w)
	for n := range d.Sources {
		if s := &d.Sources[n]; s.Bound != "" {
			tell(w, fmt.Sprintf("%s gives no more than %s because of %s", s.ID, quantity.Format(quantity.Power(s.Watts), 3), s.Bound))
		}
	}
	fmt.Fprintln(w)
}

func daysFull(w io.Writer, d *report.Days) {
	if len(d.Full) == 0 {
		return
	}
	tell(w, fmt.Sprintf("from %.0f %% to full by one source alone, no load on:", 100*d.Floor))
	for i := range d.Full {
		tell(w, "- "+report.FullWords(&d.Full[i]))
	}
	fmt.Fprintln(w)
}

func daysStops(w io.Writer, d *report.Days) {
	tell(w, "what stops first as the bank empties:")
	for i := range d.Stops {
		tell(w, "- "+report.StopWords(&d.Stops[i]))
	}
	fmt.Fprintln(w)
}

// daysSides sets each device at the system voltages side by side.
func daysSides(w io.Writer, d *report.Days) {
	if len(d.Sides) == 0 {
		return
	}
	var heads []string
	for _, v := range d.Voltages {
		heads = append(heads, quantity.Format(quantity.Voltage(v), 3))
	}
	tell(w, "the same devices at "+strings.Join(heads, " and at ")+", over the same cables:")
	t := table{head: []string{"device", "V", "A", "cables lose W", "drop %", "empty V", "cut-out V", "cable", "its °C", "fuse A"}, left: map[int]bool{7: true}}
	for i := range d.Sides {
		row := &d.Sides[i]
		for n := range row.Each {
			s := &row.Each[n]
			name := ""
			if n == 0 {
				name = row.ID
			}
			t.add(name, quantity.FormatFixed(s.Volts, 1), quantity.FormatFixed(s.Amps, 1), quantity.FormatFixed(s.Loss, 1), quantity.FormatFixed(100*s.Drop/s.Volts, 2),
				quantity.FormatFixed(s.Terminals, 2), orDash(s.Cutout), wordOr(s.Cable), quantity.FormatFixed(s.Warm-273.15, 0), orDash(s.Fuse))
		}
	}
	t.write(w)
	tell(w, "A: at the lowest voltage it works at; empty V: at its terminals with the bank empty; cable: the smallest by table, heat and a drop of 3 % over the way of its cables, one way "+ways(d))
}

func ways(d *report.Days) string {
	var words []string
	for i := range d.Sides {
		if r := &d.Sides[i]; !math.IsNaN(r.Way) {
			words = append(words, fmt.Sprintf("%s %s", r.ID, quantity.Show{}.FormatLength(quantity.Length(r.Way))))
		}
	}
	if words == nil {
		return "not known"
	}
	return strings.Join(words, ", ")
}

func orDash(v float64) string {
	if !(v > 0) {
		return "–"
	}
	return quantity.FormatFixed(v, 1)
}

func wordOr(s string) string {
	if s == "" {
		return "–"
	}
	return s
}
