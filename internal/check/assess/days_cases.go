package assess

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// DayCases gives a month's typical and bad day as cases and sequences of a job,
// in YAML: the net power at the take-off, hour by hour, hours of the same power
// together. Month below 0 takes the hardest. IDs that the job has already are
// passed by with a number behind.
func (j *Job) DayCases(d *report.Days, month int) (string, error) {
	if d.Missing != "" {
		return "", fmt.Errorf("%s: %s", j.Doc.File, d.Missing)
	}
	if month < 0 {
		month = report.HardestMonth(d)
	}
	name := string(bank.MonthNames[month])
	var cases, sequences strings.Builder
	top := j.dayVolts(d)
	for _, k := range []struct {
		name string
		kind *report.DayKind
	}{{"typical", &d.Months[month].Typical}, {"bad", &d.Months[month].Bad}} {
		for letter, day := range unlikeDays(k.kind) {
			stem := name + "-" + k.name
			if letter > 0 {
				stem += string(rune('a' + letter))
			}
			var ids []string
			for n, step := range day.steps {
				id := j.free(fmt.Sprintf("%s-%d", stem, n+1))
				ids = append(ids, id)
				fmt.Fprintf(&cases, "  - {id: %s, %s}   # from %02d:00\n", id, step.asks(top), step.from)
			}
			fmt.Fprintf(&sequences, "  - {id: %s, cases: [%s], times: %d}   # %s of the week\n", j.free(stem), strings.Join(ids, ", "), len(day.days), dayList(day.days))
		}
	}
	note := fmt.Sprintf("# %s: days of the balance of days, midnight to midnight, net at the take-off.\n", report.MonthWords[month])
	return note + "cases:\n" + cases.String() + "sequences:\n" + sequences.String(), nil
}

// dayStep is hours of one net power, W, negative where it charges.
type dayStep struct {
	watts       float64
	from, hours int
}

// asks is what a step asks of the bank, as a case says it.
func (s dayStep) asks(top float64) string {
	switch {
	case s.watts == 0:
		return fmt.Sprintf("draw: 0 A, for: %d h", s.hours)
	case s.watts < 0:
		return fmt.Sprintf("charge: %.0f W, for: %d h, voltage: %s V", -s.watts, s.hours, quantity.FormatFixed(top, 2))
	}
	return fmt.Sprintf("draw: %.0f W, for: %d h", s.watts, s.hours)
}

// likeDays is days of a week that are the same hour by hour.
type likeDays struct {
	steps []dayStep
	days  []int // 0 to 6
}

// unlikeDays lists the kinds of day that a week has, in the order in which they
// come up.
func unlikeDays(k *report.DayKind) []likeDays {
	var all []likeDays
	for day := range k.Power {
		steps := daySteps(k, day)
		n := slices.IndexFunc(all, func(a likeDays) bool { return slices.Equal(a.steps, steps) })
		if n < 0 {
			n, all = len(all), append(all, likeDays{steps: steps})
		}
		all[n].days = append(all[n].days, day)
	}
	return all
}

func dayList(days []int) string {
	var words []string
	for _, d := range days {
		words = append(words, fmt.Sprint(d+1))
	}
	if len(words) == 1 {
		return "day " + words[0]
	}
	return "days " + strings.Join(words, ", ")
}

// daySteps joins hours of a day whose net power is the same to the watt.
func daySteps(k *report.DayKind, day int) []dayStep {
	var all []dayStep
	for h := range 24 {
		net := math.Round(k.Power[day].Out[h] - k.Power[day].In[h])
		if n := len(all); n > 0 && all[n-1].watts == net {
			all[n-1].hours++
			continue
		}
		all = append(all, dayStep{net, h, 1})
	}
	return all
}

// free is an ID that the job does not have yet.
func (j *Job) free(id string) string {
	taken := map[string]bool{}
	for _, c := range j.Bank.Cases {
		taken[c.ID] = true
	}
	for _, s := range j.Bank.Sequences {
		taken[s.ID] = true
	}
	out := id
	for n := 2; taken[out]; n++ {
		out = fmt.Sprintf("%s-%d", id, n)
	}
	return out
}

// dayVolts is what the sources hold at the take-off: the least of their
// voltages, else the lower end of the chemistry's absorption.
func (j *Job) dayVolts(d *report.Days) float64 {
	least := math.Inf(1)
	for n := range d.Sources {
		for i := range j.Bank.Parts {
			if p := &j.Bank.Parts[i]; p.ID == d.Sources[n].Part && p.Device.Voltage > 0 {
				least = math.Min(least, float64(p.Device.Voltage))
			}
		}
	}
	if math.IsInf(least, 1) {
		return 1.125 * d.Nominal // 14.4 V for 12.8 V: the absorption of lithium, and of 12 V lead 13.5 V, on the low side
	}
	return least
}
