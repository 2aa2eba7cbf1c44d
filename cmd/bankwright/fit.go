package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/bank"
	"bankwright/internal/read/series"

	"github.com/spf13/cobra"
)

// fitFlags are the words of the command line of fit.
type fitFlags struct {
	chemistry, capacity, temperature, start, nominal string
	branches                                         int
	curve, json                                      bool
	columns                                          series.Columns
}

func (a *app) fitCommand() *cobra.Command {
	var f fitFlags
	c := &cobra.Command{
		Use:   "fit LOG.csv",
		Short: "a battery's resistance, branches and curve from a log of it",
		Long: `A log of one battery, one row a second or so: time, current, voltage. From it come
the resistance that acts at once, one or two slow branches, the hysteresis, the
open-circuit curve, the error that is left, and what the log cannot tell. The
lines to put into a job stand at the end.

Columns are time_s, current_a, voltage_v, discharge positive; others are named
by option, more columns are ignored, lines with # are skipped. Only 15 to 90 %
of charge are looked at: beyond, the curve's own error drowns the rest. For
lithium iron phosphate a curve is shipped; --curve fits one from the log, as is
done for lead-acid.`,
		Example: "  bankwright fit log.csv --chemistry lfp --capacity 100Ah --temperature 12degC\n  bankwright fit log.csv --chemistry agm --capacity 80Ah --current I_batt --charge-positive",
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 {
				return fmt.Errorf("one log is due: bankwright fit log.csv --chemistry lfp --capacity 100Ah")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error { return a.fit(args[0], &f) },
	}
	flags := c.Flags()
	flags.StringVar(&f.chemistry, "chemistry", "", "lfp, agm, gel or flooded")
	flags.StringVar(&f.capacity, "capacity", "", "its capacity, as in 100Ah")
	flags.StringVar(&f.nominal, "nominal", "", "its nominal voltage (default from the log)")
	flags.StringVar(&f.temperature, "temperature", "", "its temperature (default 25 °C, assumed)")
	flags.StringVar(&f.start, "start", "", "state of charge at the first row (default 100 %, assumed)")
	flags.IntVar(&f.branches, "branches", 2, "slow branches, 1 or 2")
	flags.BoolVar(&f.curve, "curve", false, "fit the open-circuit curve from the log")
	flags.StringVar(&f.columns.Time, "time-column", "", "name of the column with seconds")
	flags.StringVar(&f.columns.Current, "current-column", "", "name of the column with amperes")
	flags.StringVar(&f.columns.Voltage, "voltage-column", "", "name of the column with volts")
	flags.BoolVar(&f.columns.ChargePositive, "charge-positive", false, "the log counts current positive on charge")
	flags.BoolVar(&f.json, "json", false, "SI numbers for programs")
	return c
}

// ask reads the words of the command line.
func (f *fitFlags) ask() (assess.FitAsk, error) {
	ask := assess.FitAsk{Chemistry: bank.Chemistry(f.chemistry), Start: -1, Branches: f.branches, FitCurve: f.curve}
	if f.chemistry == "" {
		return ask, fmt.Errorf("--chemistry is due: lfp, agm, gel or flooded")
	}
	if f.capacity == "" {
		return ask, fmt.Errorf("--capacity is due, best as measured: --capacity 100Ah")
	}
	if f.branches != 1 && f.branches != 2 {
		return ask, fmt.Errorf("--branches %d: 1 or 2 can be told from a log", f.branches)
	}
	words := map[string]*string{"capacity": &f.capacity, "nominal": &f.nominal, "temperature": &f.temperature}
	for _, err := range []error{flagValue[quantity.Charge](words, "capacity", &ask.Capacity), flagValue[quantity.Voltage](words, "nominal", &ask.Nominal), flagValue[quantity.Temperature](words, "temperature", &ask.Kelvin)} {
		if err != nil {
			return ask, err
		}
	}
	if f.start != "" {
		s, err := quantity.ParseArg[quantity.Ratio](f.start)
		if err != nil || s < 0 || s > 1 {
			return ask, fmt.Errorf("--start %s: a state of charge is due, as in 100%%", f.start)
		}
		ask.Start = float64(s)
	}
	return ask, nil
}

func (a *app) fit(path string, f *fitFlags) error {
	ask, err := f.ask()
	if err != nil {
		return err
	}
	var in io.Reader = a.in
	if path != "-" {
		file, err := os.Open(path)
		if err != nil {
			return work(fmt.Errorf("%s: cannot be read: %w", path, unwrapPath(err)))
		}
		defer file.Close()
		in = file
	}
	log, err := series.Read(path, in, f.columns)
	if err != nil {
		return work(err)
	}
	r, err := assess.FitLog(log, ask)
	if err != nil {
		return work(fmt.Errorf("%s: %w", path, err))
	}
	if f.json {
		return work(writeJSON(a.out, fitJSONOf(r)))
	}
	fitText(a.out, r)
	return nil
}

type branchJSON struct {
	R   float64 `json:"r"`
	Tau float64 `json:"tau"`
}

type fitJSON struct {
	R0         float64      `json:"r0"`
	Branches   []branchJSON `json:"branches"`
	Hysteresis *float64     `json:"hysteresis"`
	RMS        float64      `json:"rms"`
	Curve      [][2]float64 `json:"curve"`
	OCV        string       `json:"ocv"`
	Range      [2]float64   `json:"soc_range"`
	Capacity   float64      `json:"capacity"` // Ah
	Cells      int          `json:"cells"`
	Rows       int          `json:"rows"`
	Untold     []string     `json:"untold"`
}

func fitJSONOf(r *assess.Fitted) fitJSON {
	out := fitJSON{r.R0, []branchJSON{}, orNull(r.Hysteresis), r.RMS, [][2]float64{}, string(r.OCV), r.Charge, r.Capacity / perHour, r.Cells, r.Rows, names(r.Untold)}
	for _, b := range r.Branches {
		out.Branches = append(out.Branches, branchJSON{b.R, b.Tau})
	}
	for _, p := range r.Curve {
		out.Curve = append(out.Curve, [2]float64{p.Charge, p.Voltage})
	}
	return out
}

func fitText(w io.Writer, r *assess.Fitted) {
	ohm := func(v float64) string { return quantity.Format(quantity.Resistance(v), 3) }
	volts := func(v float64) string { return quantity.Format(quantity.Voltage(v), 3) }
	tell(w, fmt.Sprintf("%d rows between %.0f and %.0f %% of charge, %s", r.Rows, 100*r.Charge[0], 100*r.Charge[1], plural(fmt.Sprint(r.Cells), "cell")))
	fmt.Fprintln(w)
	tell(w, "at once: "+ohm(r.R0))
	for _, b := range r.Branches {
		tell(w, fmt.Sprintf("slow branch: %s, %s", ohm(b.R), quantity.Format(quantity.Duration(b.Tau), 3)))
	}
	if !math.IsNaN(r.Hysteresis) {
		tell(w, fmt.Sprintf("hysteresis: charge %s above discharge", volts(2*r.Hysteresis)))
	}
	tell(w, fmt.Sprintf("capacity that explains the log best: %s", quantity.Format(quantity.Charge(r.Capacity), 4)))
	tell(w, fmt.Sprintf("error left: %s rms, %s a cell; curve %s", volts(r.RMS), volts(r.RMS/float64(r.Cells)), r.OCV))
	fmt.Fprintln(w)
	tell(w, "what the log cannot tell, and what was taken for granted:")
	if r.FullAssumed {
		tell(w, "- the first row is at 100 % charge, assumed")
	}
	if r.WarmAssumed {
		tell(w, "- the battery is at 25 °C, assumed")
	}
	for _, s := range r.Untold {
		tell(w, "- "+s)
	}
	fmt.Fprintln(w)
	fmt.Fprintln(w, "for the battery's type in a job:")
	fmt.Fprint(w, fitYAML(r))
}

// fitYAML gives the lines for a job.
func fitYAML(r *assess.Fitted) string {
	var b strings.Builder
	fmt.Fprintf(&b, "  resistance: %.3g mΩ\n", 1e3*r.R0)
	if len(r.Branches) > 0 {
		var parts []string
		for _, one := range r.Branches {
			parts = append(parts, fmt.Sprintf("{resistance: %.3g mΩ, time: %.3g s}", 1e3*one.R, one.Tau))
		}
		fmt.Fprintf(&b, "  branches: [%s]\n", strings.Join(parts, ", "))
	}
	if !math.IsNaN(r.Hysteresis) {
		fmt.Fprintf(&b, "  hysteresis: %.3g mV\n", 2e3*r.Hysteresis)
	}
	fmt.Fprintf(&b, "  capacity: %.4g Ah\n", r.Capacity/perHour)
	if r.OCV != "fitted" {
		fmt.Fprintln(&b, "  # no curve: the shipped one was used, and is assumed where a job gives none")
		return b.String()
	}
	if n := len(r.Curve); n >= 2 && r.Curve[0].Charge == 0 && r.Curve[n-1].Charge == 1 {
		var points []string
		for _, p := range r.Curve {
			if percent := 100 * p.Charge; percent > 5 && percent < 95 && math.Abs(math.Remainder(percent, 5)) > 1e-9 {
				continue // a line a person can read; --json has all of them
			}
			points = append(points, fmt.Sprintf("[%.4g %%, %.4f V]", 100*p.Charge, p.Voltage))
		}
		fmt.Fprintf(&b, "  curve: [%s]\n", strings.Join(points, ", "))
	} else {
		var points []string
		for _, p := range r.Curve {
			points = append(points, fmt.Sprintf("[%.4g %%, %.4f V]", 100*p.Charge, p.Voltage))
		}
		fmt.Fprintf(&b, "  # fitted over a part only; put ends at 0 and 100 %% of your own to it:\n  # curve: [%s]\n", strings.Join(points, ", "))
	}
	return b.String()
}
