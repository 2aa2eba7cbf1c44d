package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/report"
	"bankwright/internal/read/series"

	"github.com/spf13/cobra"
)

// heatFlags are the words of the command line of heat.
type heatFlags struct {
	weather, sequence, kase, week, out string
	year, json, csv                    bool
}

func (a *app) heatCommand() *cobra.Command {
	var f heatFlags
	c := &cobra.Command{
		Use:   "heat JOB",
		Short: "how cold and how warm the batteries get, and what it takes",
		Long: `A thermal network of the job's compartments: walls from their layers, air, each
battery by core and case with its neighbours, heaters, fans and vents, run
through a cold week, a hot week and a year of the place's weather. It gives the
coldest and the hottest battery, the hours that a charger must wait, how long
the warmth lasts, what heating costs in watts and ampere-hours, the air that
keeps the batteries cool, and where the sensor of a charge lockout belongs.

The job gives place (latitude, climate or months), walls of the compartments,
and batteries with at, size and mass. --weather takes a year of your own hours:
a column temperature_c, and sun_w_m2 where there is one, 8760 rows from
midnight of 1 January in standard time.`,
		Example: "  bankwright heat job.yaml\n  bankwright heat job.yaml --year\n  bankwright heat job.yaml --week cold --csv\n  bankwright heat job.yaml -o heat.svg",
		Args:    oneJob,
		RunE:    func(_ *cobra.Command, args []string) error { return a.heat(args[0], &f) },
	}
	flags := c.Flags()
	flags.StringVar(&f.weather, "weather", "", "a year of your own hours, a CSV file")
	flags.StringVar(&f.sequence, "sequence", "", "the sequence that warms the batteries (default the first, at rest without one)")
	flags.StringVar(&f.kase, "case", "", "a case instead of a sequence")
	flags.StringVar(&f.week, "week", "", "cold or hot: that week alone")
	flags.BoolVar(&f.year, "year", false, "the year by the month as well")
	flags.BoolVar(&f.json, "json", false, "SI numbers for programs")
	flags.BoolVar(&f.csv, "csv", false, "the hours of the weeks, or of the year with --year, as columns")
	flags.StringVarP(&f.out, "out", "o", "", "write the chart as an SVG file")
	return c
}

func (f *heatFlags) check() error {
	switch {
	case f.week != "" && f.week != "cold" && f.week != "hot":
		return fmt.Errorf("--week %s: cold or hot is due", f.week)
	case f.sequence != "" && f.kase != "":
		return fmt.Errorf("--sequence and --case: give one of the two")
	case f.json && f.csv:
		return fmt.Errorf("--json and --csv: give one of the two")
	case f.year && f.week != "":
		return fmt.Errorf("--year and --week: give one of the two")
	}
	return nil
}

func (a *app) heat(path string, f *heatFlags) error {
	if err := f.check(); err != nil {
		return err
	}
	j, err := a.open(path)
	if err != nil {
		return err
	}
	o := assess.HeatOptions{Run: f.sequence + f.kase, Year: true}
	if f.weather != "" {
		if o.Own, err = weatherFile(f.weather); err != nil {
			return work(err)
		}
	}
	h, err := j.Heat(o)
	if err != nil {
		return work(err)
	}
	if f.out != "" && h.Missing != "" {
		return work(fmt.Errorf("%s: nothing to draw: %s", path, h.Missing))
	}
	switch {
	case f.json:
		return work(writeJSON(a.out, heatJSONOf(h, f)))
	case f.csv:
		return work(heatCSV(a.out, h, f))
	case f.out != "":
		return a.drawHeat(j, h, f.out)
	}
	heatText(a.out, j, h, f)
	return nil
}

// weatherFile reads a year of a person's own hours.
func weatherFile(path string) (*series.Weather, error) {
	in, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", path, unwrapPath(err))
	}
	defer in.Close()
	return series.ReadWeather(path, in)
}

func heatText(w io.Writer, j *assess.Job, h *report.Heat, f *heatFlags) {
	tell(w, j.Bank.Title+": warmth")
	if h.Missing != "" {
		fmt.Fprintln(w)
		tell(w, upper(h.Missing)+".")
		gasText(w, h)
		return
	}
	tell(w, "weather: "+h.Place+"; batteries warmed by "+heatRun(h))
	if h.Left != nil {
		tell(w, "not looked at, as they stand in no compartment with walls: "+strings.Join(h.Left, ", "))
	}
	fmt.Fprintln(w)
	heatBatteries(w, j, h, f)
	if f.week != "hot" {
		coldText(w, j, h)
	}
	if f.week != "cold" {
		hotText(w, j, h)
	}
	if f.year {
		yearText(w, j, h)
	}
	if f.week == "" {
		sensorText(w, j, h)
		gasText(w, h)
	}
	assumedText(w, h.Assumed)
}

func heatRun(h *report.Heat) string {
	if h.Run == "" {
		return "nothing, at rest"
	}
	return "the run " + h.Run
}

func heatBatteries(w io.Writer, j *assess.Job, h *report.Heat, f *heatFlags) {
	temp := func(v float64) string { return degrees(j, v) }
	t := table{head: []string{"battery"}}
	if f.week != "hot" {
		t.head = append(t.head, "coldest", "when", "no charge below", "hours")
	}
	if f.week != "cold" {
		t.head = append(t.head, "hottest", "when", "not above", "hours")
	}
	for _, b := range h.Batteries {
		row := []string{b.ID}
		if f.week != "hot" {
			row = append(row, temp(b.Coldest), assess.HourWords(b.ColdestAt), temp(b.Limit), fmt.Sprint(b.Blocked))
		}
		if f.week != "cold" {
			row = append(row, temp(b.Hottest), assess.HourWords(b.HottestAt), temp(b.Most), fmt.Sprint(b.Over))
		}
		t.add(row...)
	}
	t.write(w)
	tell(w, "temperatures of the cores; the day of the week and the hour; hours of that week beyond the limit")
}

// degrees prints a temperature, "–" for none.
func degrees(j *assess.Job, v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "–"
	}
	return j.Bank.Show.FormatTemperature(quantity.Temperature(v))
}

func coldText(w io.Writer, j *assess.Job, h *report.Heat) {
	fmt.Fprintln(w)
	tell(w, "cold week, from "+assess.DayWords(h.Cold.Day)+": outside down to "+degrees(j, least(h.Cold.Outside)))
	for _, line := range assess.ColdWords(h, j.Bank.Show) {
		tell(w, "- "+line)
	}
}

func hotText(w io.Writer, j *assess.Job, h *report.Heat) {
	fmt.Fprintln(w)
	tell(w, "hot week, from "+assess.DayWords(h.Hot.Day)+": outside up to "+degrees(j, most(h.Hot.Outside)))
	for _, line := range assess.HotWords(h, j.Bank.Show) {
		tell(w, "- "+line)
	}
}

func least(v []float64) float64 {
	m := math.Inf(1)
	for _, x := range v {
		m = math.Min(m, x)
	}
	return m
}

func most(v []float64) float64 {
	m := math.Inf(-1)
	for _, x := range v {
		m = math.Max(m, x)
	}
	return m
}

func yearText(w io.Writer, j *assess.Job, h *report.Heat) {
	fmt.Fprintln(w)
	words := "a year of mean days"
	if h.Year.Own {
		words = "your own year"
	}
	tell(w, words+": hours in which charge has to wait, by the month")
	t := table{head: []string{"month", "hours", "in daylight", "h after sunrise", "heating Wh a day"}}
	for m, one := range h.Year.Months {
		after := "–"
		switch {
		case math.IsInf(one.After, 1):
			after = "not that day"
		case !math.IsNaN(one.After):
			after = quantity.FormatFixed(one.After, 1)
		}
		t.add(assess.MonthWords(m), fmt.Sprint(one.Hours), fmt.Sprint(one.Daylight), after, quantity.FormatFixed(h.Year.Heater[m]/3600, 0))
	}
	t.write(w)
	tell(w, "h after sunrise: on the worst day of the month")
}

func sensorText(w io.Writer, j *assess.Job, h *report.Heat) {
	if h.Sensors == nil {
		return
	}
	fmt.Fprintln(w)
	if h.BestSensor < 0 {
		tell(w, "no battery gets below its limit for charge, in the cold week and in the year: a lockout would never act")
		return
	}
	tell(w, assess.SensorWords(h, j.Bank.Show))
	if h.SensorsOff {
		tell(w, "looked at with the heaters off: with them on no battery gets below its limit")
	}
	t := table{head: []string{"sensor at", "set to", "K over limit", "h too early", "h lost a year", "yours"}, left: map[int]bool{5: true}}
	for _, s := range h.Sensors {
		own := s.ID
		if s.Set > 0 {
			own += ", " + s.Source + " at " + degrees(j, s.Set) + fmt.Sprintf(": lets charge %d h", s.Lets)
		}
		t.add(s.At, degrees(j, s.Setting), quantity.FormatFixed(s.Margin, 1), quantity.FormatFixed(s.Early, 0), fmt.Sprint(s.Lost), own)
	}
	t.write(w)
	tell(w, "set to: the least setting at which charge never begins with a battery below its limit; too early: how long before the last battery its reading passes the limit; lost: hours held back that could be had")
}

func gasText(w io.Writer, h *report.Heat) {
	for _, line := range assess.GasWords(h) {
		fmt.Fprintln(w)
		tell(w, line)
	}
}
