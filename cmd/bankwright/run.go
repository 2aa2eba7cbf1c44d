package main

import (
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"os"
	"os/signal"
	"strconv"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/report"

	"github.com/spf13/cobra"
)

// runFlags are the words of the command line of run.
type runFlags struct {
	caseID, every, step, drawing string
	json, csv, alone             bool
	out                          []string
}

func (a *app) runCommand() *cobra.Command {
	var f runFlags
	c := &cobra.Command{
		Use:   "run JOB",
		Short: "the bank through the hours: who empties first, who trips",
		Long: `The bank taken through a case, or through a sequence of cases, until it is
over: each battery's current, state of charge and voltage, what each one's own
protection does and when, and what the rest must then carry. A draw without
for: goes on until the bank is out.

Beside it stands what the same draw gives with every wiring of the front, so
that the amp-hours lost by your own can be seen. Empty is state of charge 0,
the floor, or under-voltage, whichever comes first; an empty battery goes out
and the rest carry on.

Text and drawing show a sample for every few minutes; --every sets another
step, --csv and --json give the series for other programs (ten minutes unless
told). --out takes batteries out by hand, before it begins or later.`,
		Example: "  bankwright run job.yaml --case evening\n  bankwright run job.yaml --case day --csv --every 1min > day.csv\n  bankwright run job.yaml --out B3 -o run.svg",
		Args:    oneJob,
		RunE: func(_ *cobra.Command, args []string) error {
			ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
			defer stop()
			return a.run(ctx, args[0], &f)
		},
	}
	c.Flags().StringVar(&f.caseID, "case", "", "the case or sequence (default the first case)")
	c.Flags().StringVar(&f.every, "every", "", "time between samples, as in 10min")
	c.Flags().StringVar(&f.step, "step", "", "largest step of the computation (default 10 s, and once more with half of it to state the error)")
	c.Flags().StringVarP(&f.drawing, "output", "o", "", "write the curves as an SVG drawing")
	c.Flags().BoolVar(&f.json, "json", false, "SI numbers for programs")
	c.Flags().BoolVar(&f.csv, "csv", false, "the series as a table for programs")
	c.Flags().BoolVar(&f.alone, "alone", false, "do not compare with other wirings")
	c.Flags().StringSliceVar(&f.out, "out", nil, "batteries taken out, from the beginning or as B3@90min")
	c.MarkFlagsMutuallyExclusive("json", "csv")
	return c
}

func (a *app) run(ctx context.Context, path string, f *runFlags) error {
	every := 600.0
	if f.every != "" {
		d, err := quantity.ParseArg[quantity.Duration](f.every)
		if err != nil || !(d > 0) {
			return fmt.Errorf("--every %s: a time from a millisecond on is due with its unit, as in 10min", f.every)
		}
		every = float64(d)
	}
	step := 0.0
	if f.step != "" {
		d, err := quantity.ParseArg[quantity.Duration](f.step)
		if err != nil || !(d >= 1e-3) {
			return fmt.Errorf("--step %s: a time of a millisecond or more is due, as in 1s", f.step)
		}
		step = float64(d)
	}
	text := !f.json && !f.csv
	if text && f.every == "" {
		every = 60
	}
	j, err := a.open(path)
	if err != nil {
		return err
	}
	out, err := dropsOf(f.out)
	if err != nil {
		return err
	}
	r, err := j.Run(f.caseID, assess.RunOptions{Every: every, MaxStep: step, Out: out, Halve: step == 0, Rest: true, Stop: func() bool { return ctx.Err() != nil }})
	if err != nil {
		return work(err)
	}
	if f.drawing != "" {
		if err := a.drawRun(j, r, f.drawing); err != nil {
			return err
		}
	}
	switch {
	case f.json:
		return work(writeJSON(a.out, runJSONOf(r)))
	case f.csv:
		return work(runCSV(a.out, r))
	case f.drawing != "":
		return nil
	}
	runText(a.out, j, r, f.every != "", out)
	if !f.alone && len(f.out) == 0 {
		c, err := j.Against(ctx, f.caseID)
		if err != nil {
			return work(err)
		}
		againstText(a.out, c)
	}
	assumedWide(a.out, j.RunAssumptions(f.caseID), broad)
	return nil
}

// dropsOf reads B3 or B3@90min.
func dropsOf(words []string) ([]assess.Drop, error) {
	var all []assess.Drop
	for _, w := range words {
		id, at, timed := strings.Cut(w, "@")
		d := assess.Drop{ID: id}
		if timed {
			t, err := quantity.ParseArg[quantity.Duration](at)
			if err != nil || t < 0 {
				return nil, fmt.Errorf("--out %s: a battery and a time with its unit are due, as in B3@90min", w)
			}
			d.Time = float64(t)
		}
		all = append(all, d)
	}
	return all, nil
}

type runBatteryJSON struct {
	ID      string     `json:"id"`
	Current []float64  `json:"current"`
	SOC     []float64  `json:"soc"`
	Voltage []*float64 `json:"voltage"`
	Kelvin  []float64  `json:"temperature"`
	Heat    []float64  `json:"heat"`
	Out     float64    `json:"discharged"` // Ah
	In      float64    `json:"charged"`
	Lost    float64    `json:"lost"` // Ah put in and not kept
	Least   float64    `json:"least"`
	Most    float64    `json:"most"`
	Peak    float64    `json:"peak"` // A
	PeakAt  float64    `json:"peak_time"`
	Assumed bool       `json:"assumed"`
}

type eventJSON struct {
	Time    float64  `json:"time"`
	Battery string   `json:"battery"`
	What    string   `json:"what"`
	Opens   string   `json:"side"`
	Because string   `json:"because"`
	Value   *float64 `json:"value"` // null where nothing says
	Limit   float64  `json:"limit"`
	Assumed bool     `json:"assumed"`
}

type deliveredJSON struct {
	FirstOut *float64 `json:"first_out"` // Ah
	Bank     *float64 `json:"bank"`
	Total    float64  `json:"total"`
	FirstWh  *float64 `json:"first_out_wh"`
	BankWh   *float64 `json:"bank_wh"`
	TotalWh  float64  `json:"total_wh"`
	Taken    float64  `json:"taken"`
}

type restJSON struct {
	At      float64   `json:"time"`
	Current []float64 `json:"current"`
	Settles *float64  `json:"settles"`
	Moved   float64   `json:"moved"` // Ah
}

type runJSON struct {
	Case      string           `json:"case"`
	Time      []float64        `json:"time"`
	Batteries []runBatteryJSON `json:"batteries"`
	Events    []eventJSON      `json:"events"`
	Delivered deliveredJSON    `json:"delivered"`
	Nameplate *float64         `json:"nameplate"` // Ah
	Current   []float64        `json:"takeoff_current"`
	Voltage   []*float64       `json:"takeoff_voltage"`
	Ended     string           `json:"ended"`
	Rest      *restJSON        `json:"rest,omitempty"`
	StepError *float64         `json:"step_error"`
	TimeError *float64         `json:"event_error"`
	Over      []fuseOverJSON   `json:"fuses_over"`
}

const perHour = 3600.0 // C in an ampere hour, J in a watt hour

func hours(v float64) *float64 { return orNull(v / perHour) }

func orNulls(values []float64) []*float64 {
	all := make([]*float64, 0, len(values))
	for _, v := range values {
		all = append(all, orNull(v))
	}
	return all
}

func runJSONOf(r *report.Run) runJSON {
	out := runJSON{Case: r.ID, Time: r.Time, Batteries: []runBatteryJSON{}, Events: []eventJSON{}, Current: r.Current, Voltage: orNulls(r.Voltage),
		Delivered: deliveredJSON{hours(r.FirstOut), hours(r.BankOut), r.Delivered / perHour, hours(r.FirstOutJ), hours(r.BankOutJ), r.Energy / perHour, r.Taken / perHour},
		Nameplate: hours(r.Nameplate), Ended: r.Ended, StepError: orNull(r.StepError), TimeError: orNull(r.EventError), Over: fuseOversJSON(r.Over, true)}
	for _, b := range r.Batteries {
		out.Batteries = append(out.Batteries, runBatteryJSON{b.ID, b.Current, b.Charge, orNulls(b.Voltage), b.Temperature, b.Heat, b.Out / perHour, b.In / perHour, b.Lost / perHour, b.Least, b.Most, b.Peak, b.PeakAt, b.Assumed})
	}
	for _, e := range r.Events {
		out.Events = append(out.Events, eventJSON{e.Time, e.Battery, e.What, e.Opens, e.Because, orNull(e.Value), e.Limit, e.Assumed})
	}
	if e := r.Rest; e != nil {
		out.Rest = &restJSON{e.At, e.Current, orNull(e.Settles), e.Moved / perHour}
	}
	return out
}

// runCSV writes one line a sample: SI numbers, state of charge from 0 to 1. An
// empty cell is a voltage that nothing says.
func runCSV(w io.Writer, r *report.Run) error {
	number := func(v float64) string {
		if math.IsNaN(v) {
			return ""
		}
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	head := []string{"time_s", "takeoff_current_a", "takeoff_voltage_v"}
	for _, b := range r.Batteries {
		for _, what := range []string{"current_a", "soc", "voltage_v", "temperature_k", "heat_w"} {
			head = append(head, b.ID+"_"+what)
		}
	}
	out := csv.NewWriter(w)
	_ = out.Write(head) // an error stays and comes with Error below
	for n := range r.Time {
		row := []string{number(r.Time[n]), number(r.Current[n]), number(r.Voltage[n])}
		for i := range r.Batteries {
			b := &r.Batteries[i]
			for _, v := range []float64{b.Current[n], b.Charge[n], b.Voltage[n], b.Temperature[n], b.Heat[n]} {
				row = append(row, number(v))
			}
		}
		_ = out.Write(row)
	}
	out.Flush()
	return out.Error()
}
