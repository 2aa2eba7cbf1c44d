package assess

import (
	"fmt"
	"math"
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
		var ids []string
		for n, step := range daySteps(k.kind) {
			id := j.free(fmt.Sprintf("%s-%s-%d", name, k.name, n+1))
			ids = append(ids, id)
			verb, more := "draw", ""
			if step.watts < 0 {
				verb, more = "charge", fmt.Sprintf(", voltage: %s V", quantity.FormatFixed(top, 2))
			}
			fmt.Fprintf(&cases, "  - {id: %s, %s: %.0f W, for: %d h%s}   # from %02d:00\n", id, verb, math.Abs(step.watts), step.hours, more, step.from)
		}
		fmt.Fprintf(&sequences, "  - {id: %s, cases: [%s], times: 7}\n", j.free(name+"-"+k.name), strings.Join(ids, ", "))
	}
	note := fmt.Sprintf("# %s: days of the balance of days, midnight to midnight, net at the take-off, on the last day of the week.\n", report.MonthWords[month])
	return note + "cases:\n" + cases.String() + "sequences:\n" + sequences.String(), nil
}

// dayStep is hours of one net power, W, negative where it charges.
type dayStep struct {
	watts       float64
	from, hours int
}

// daySteps joins hours whose net power is the same to the watt. The last day of
// the week is the one on which every source is there.
func daySteps(k *report.DayKind) []dayStep {
	var all []dayStep
	for h := range 24 {
		net := math.Round(k.Power[6].Out[h] - k.Power[6].In[h])
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
