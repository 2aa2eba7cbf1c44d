package assess

import (
	"testing"

	"bankwright/internal/model/report"
)

// warmYear is a year in which a battery is below its limit in some hours, all of
// 10 °C, with heaters that take so much a day.
func warmYear(blocked func(hour int) bool, heater float64) *report.Heat {
	y := &report.HeatYear{}
	for h := range 8760 {
		y.Blocked = append(y.Blocked, blocked(h))
		y.Coldest = append(y.Coldest, 283.15)
	}
	for m := range y.Heater {
		y.Heater[m] = heater
	}
	return &report.Heat{Year: y}
}

// A bank that is blocked takes nothing from the sources, which still feed the
// loads; what it could have taken is told. The capacity is that of the battery's
// own temperature, not of the air outside.
func TestDaysBlocked(t *testing.T) {
	text := daysJob + "place: {climate: golden}\nloads: [{id: a, part: L1}]\nmains: {}\ndays: {start: 50 %, floor: 20 %}\n"
	j, err := Load("job.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		blocked func(int) bool
		rises   bool
	}{"never": {func(int) bool { return false }, true}, "always": {func(int) bool { return true }, false}, "winter": {func(h int) bool { return h < 24*59 }, false}} {
		d, err := j.Days(DaysOptions{Heat: warmYear(c.blocked, 0)})
		if err != nil {
			t.Fatal(err)
		}
		jan, jul := &d.Months[0], &d.Months[6]
		if rises := jan.Typical.Charge[168] > 0.9; rises != c.rises || !c.rises && jan.Typical.Charge[168] != 0.5 {
			t.Errorf("%s: January ends at %g", name, jan.Typical.Charge[168])
		}
		cold := map[bool]int{true: 0, false: 168}[c.rises]
		if jan.Cold != cold || !d.ColdKnown {
			t.Errorf("%s: %d h too cold", name, jan.Cold)
		}
		within(t, name+": as warm as the battery", jan.Battery, 283.15, 1e-9)
		if jan.Typical.Missed != 0 || name == "winter" && !(jul.Typical.Charge[168] > 0.9) {
			t.Errorf("%s: %g J missed in January, July ends at %g", name, jan.Typical.Missed, jul.Typical.Charge[168])
		}
		if !c.rises {
			within(t, name+": given to the loads alone", jan.Typical.Given[0], jan.Typical.Asked(), 1e-6*jan.Typical.Asked())
		}
	}
}

// Heaters are a load of their own: what a mean day of the month asks of them.
func TestDaysHeaters(t *testing.T) {
	text := daysJob + "loads: [{id: a, part: L1}]\ncompartments: [{id: bay, at: [0 mm, 0 mm, 0 mm], size: {length: 1 m, width: 1 m, height: 1 m}}]\nheaters: [{id: T1, compartment: bay, at: air, power: 100 W, on: 3 °C, off: 6 °C}]\n"
	j, err := Load("job.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	d, err := j.Days(DaysOptions{Heat: warmYear(func(int) bool { return false }, 500*3600)})
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Loads) != 2 || !d.Loads[1].Heating || len(j.Bank.Days.Loads) != 1 {
		t.Fatalf("%+v, the job has %d", d.Loads, len(j.Bank.Days.Loads))
	}
	// The cold week asks 800 Wh a day, 1.6 times the mean day of the month.
	cold := warmYear(func(int) bool { return false }, 500*3600)
	cold.Heating = &report.Heating{Own: true, WeekJ: 800 * 3600}
	harder, err := j.Days(DaysOptions{Heat: cold})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "on a mean day", harder.Months[0].Typical.ByLoad[1], 500*3600, 1e-3)
	within(t, "on a bad day of a cold week", harder.Months[0].Bad.ByLoad[1], 800*3600, 1e-3)
	for m := range d.Months {
		within(t, "heaters", d.Months[m].Typical.ByLoad[1], 500*3600, 1e-3)
		within(t, "on a bad day", d.Months[m].Bad.ByLoad[1], 500*3600, 1e-3)
	}
}
