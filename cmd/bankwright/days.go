package main

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/chart"
	"bankwright/internal/paper/sheet"

	"github.com/spf13/cobra"
)

// daysFlags are the words of the command line of days.
type daysFlags struct {
	month, drawing    string
	volts             []string
	json, csv, asCase bool
}

func (a *app) daysCommand() *cobra.Command {
	var f daysFlags
	c := &cobra.Command{
		Use:   "days JOB",
		Short: "what a day asks and gives, month by month, and how long the bank lasts",
		Long: `The loads of the day against sun, engine and mains: for each month a typical
and a bad day, the state of charge through a week of each, the days without sun
until the floor, what stops first, how long each source takes to full, and the
same devices at two system voltages side by side.

A bad day has a part of a mean day's sun (days: dark) and each load of that month
at its bad duty. All at the bank's terminals: what inverters take
idle and under load and what cables lose is counted.

--month shows one month by the hour. --csv gives the week of every month by the
hour. --cases prints that month's typical and bad day as cases and sequences, to be
put among those of the job for bankwright run.`,
		Example: "  bankwright days job.yaml\n  bankwright days job.yaml --month jan\n  bankwright days job.yaml --volts 12V,48V\n  bankwright days job.yaml --month dec --cases",
		Args:    oneJob,
		RunE:    func(_ *cobra.Command, args []string) error { return a.days(args[0], &f) },
	}
	c.Flags().StringVar(&f.month, "month", "", "one month, as in jan")
	c.Flags().StringSliceVar(&f.volts, "volts", nil, "system voltages to compare (default the job's own, and twice or half of it)")
	c.Flags().StringVarP(&f.drawing, "output", "o", "", "write weeks and months as an SVG drawing")
	c.Flags().BoolVar(&f.json, "json", false, "SI numbers for programs")
	c.Flags().BoolVar(&f.csv, "csv", false, "the weeks by the hour as a table for programs")
	c.Flags().BoolVar(&f.asCase, "cases", false, "cases and sequences for a run, as YAML")
	c.MarkFlagsMutuallyExclusive("json", "csv", "cases")
	return c
}

// monthOf finds a month by its name or the beginning of it.
func monthOf(word string) (int, error) {
	word = strings.ToLower(word)
	for m, name := range bank.MonthNames {
		if len(word) >= 3 && strings.HasPrefix(strings.ToLower(report.MonthWords[m]), word) || word == string(name) {
			return m, nil
		}
	}
	return 0, fmt.Errorf("--month %s: there is no such month; write jan, feb, … dec", word)
}

func (a *app) days(path string, f *daysFlags) error {
	month := -1
	if f.month != "" {
		var err error
		if month, err = monthOf(f.month); err != nil {
			return err
		}
	}
	var o assess.DaysOptions
	for _, word := range f.volts {
		v, err := quantity.ParseArg[quantity.Voltage](word)
		if err != nil || !(v >= 1 && v <= 1500) {
			return fmt.Errorf("--volts %s: a voltage from 1 V to 1500 V is due, as in 24V", word)
		}
		o.Volts = append(o.Volts, float64(v))
	}
	j, err := a.open(path)
	if err != nil {
		return err
	}
	d, err := j.Days(o)
	if err != nil {
		return work(err)
	}
	if d.Missing != "" {
		return work(fmt.Errorf("%s: %s", path, d.Missing))
	}
	if f.drawing != "" {
		if err := a.drawDays(j, d, month, f.drawing); err != nil {
			return err
		}
	}
	switch {
	case f.json:
		return work(writeJSON(a.out, daysJSONOf(d)))
	case f.csv:
		return work(daysCSV(a.out, d, month))
	case f.asCase:
		text, err := j.DayCases(d, month)
		if err != nil {
			return work(err)
		}
		_, err = io.WriteString(a.out, text)
		return work(err)
	case f.drawing != "":
		return nil
	}
	daysText(a.out, j, d, month)
	return nil
}

// drawDays writes weeks and months as a framed sheet.
func (a *app) drawDays(j *assess.Job, d *report.Days, month int, path string) error {
	frame := &sheet.TitleBlock{Title: "Days", Document: "working drawing", Sheet: "43", Job: j.Bank.Title, Compared: "the job's own wish"}
	return a.drawing(chart.Days(d, chart.DaysOptions{Title: j.Bank.Title, Month: month, Frame: frame}), path)
}

// daysCSV writes one line an hour of a month's typical and bad week: SI numbers.
func daysCSV(w io.Writer, d *report.Days, month int) error {
	head := []string{"month", "day", "hour", "time_s", "load_typical_w", "sources_typical_w", "soc_typical", "load_bad_w", "sources_bad_w", "soc_bad"}
	number := func(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
	out := csv.NewWriter(w)
	_ = out.Write(head) // an error stays and comes with Error below
	for m := range d.Months {
		if month >= 0 && m != month {
			continue
		}
		t, b := &d.Months[m].Typical, &d.Months[m].Bad
		for n := range 7 * 24 {
			day, h := n/24, n%24
			row := []string{string(bank.MonthNames[m]), strconv.Itoa(day + 1), strconv.Itoa(h), strconv.Itoa(3600 * n)}
			for _, k := range []*report.DayKind{t, b} {
				row = append(row, number(k.Power[day].Out[h]), number(k.Power[day].In[h]), number(k.Charge[n+1]))
			}
			_ = out.Write(row)
		}
	}
	out.Flush()
	return out.Error()
}

// wattHours prints an energy a day in Wh.
func wattHours(j float64) string { return quantity.FormatFixed(j/perHour, 0) }

// daysOf prints a time in days; over what was followed in words.
func daysOf(s float64) string {
	if math.IsInf(s, 1) {
		return "60+"
	}
	return quantity.FormatFixed(s/86400, 1)
}
