package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"os/signal"
	"sync/atomic"
	"time"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/report"

	"github.com/spf13/cobra"
)

// spreadFlags are the words of the command line of spread.
type spreadFlags struct {
	caseID, drawing string
	json            bool
	builds          int
	seed            uint64
	off             map[string]*string
}

func (a *app) spreadCommand() *cobra.Command {
	f := spreadFlags{off: map[string]*string{}}
	c := &cobra.Command{
		Use:   "spread JOB",
		Short: "the same bank built many times, its parts a little off each time",
		Long: `No two batteries, joints or cables are quite alike. The bank is built many times
in numbers, each part a little off by chance: how uneven it then is, all in and
with any one battery out, how often a battery passes its limit, and which kind
of part matters most. The same seed gives the same numbers.

Each is a standard deviation; what nobody gives is assumed and said. Ctrl-C
stops and shows what was done till then.`,
		Example: "  bankwright spread job.yaml --joints 30% --builds 50000 -o spread.svg",
		Args:    oneJob,
		RunE: func(_ *cobra.Command, args []string) error {
			ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
			defer stop()
			return a.spread(ctx, args[0], &f)
		},
	}
	c.Flags().StringVar(&f.caseID, "case", "", "the case to look at (default the first that draws)")
	c.Flags().IntVar(&f.builds, "builds", 10000, "how many builds")
	c.Flags().Uint64Var(&f.seed, "seed", 1, "where the chance begins")
	for _, k := range []struct{ name, use string }{
		{"resistance", "of the batteries' resistance, as in 10%"}, {"capacity", "of their capacity"}, {"emf", "of their open-circuit voltage, as in 20mV (default none)"},
		{"joints", "of every joint"}, {"lengths", "of every cable's length"},
	} {
		f.off[k.name] = c.Flags().String(k.name, "", k.use)
	}
	c.Flags().StringVarP(&f.drawing, "output", "o", "", "write the distribution as an SVG drawing")
	c.Flags().BoolVar(&f.json, "json", false, "SI numbers for programs")
	return c
}

func (a *app) spread(ctx context.Context, path string, f *spreadFlags) error {
	o := assess.SpreadOptions()
	o.Builds, o.Seed = f.builds, f.seed
	for _, err := range []error{
		deviation(f.off, "resistance", &o.Resistance), deviation(f.off, "capacity", &o.Capacity), deviation(f.off, "emf", &o.EMF),
		deviation(f.off, "joints", &o.Joints), deviation(f.off, "lengths", &o.Lengths),
	} {
		if err != nil {
			return err
		}
	}
	j, err := a.open(path)
	if err != nil {
		return err
	}
	s, err := j.Spread(ctx, f.caseID, o, a.progress(f.builds))
	if err != nil {
		return work(err)
	}
	if f.drawing != "" {
		if err := a.drawSpread(j, s, f.drawing); err != nil {
			return err
		}
	}
	switch {
	case f.json:
		return work(writeJSON(a.out, spreadJSONOf(j, s)))
	case f.drawing != "":
		return nil
	}
	spreadText(a.out, j, s)
	return nil
}

// progress tells on the error output how far a long spread has come, once it
// has taken a second.
func (a *app) progress(all int) func(int) {
	var last atomic.Int64
	last.Store(time.Now().UnixNano())
	return func(done int) {
		then, now := last.Load(), time.Now().UnixNano()
		if now-then > int64(time.Second) && last.CompareAndSwap(then, now) {
			fmt.Fprintf(a.err, "%d of %d builds\n", done, all)
		}
	}
}

// deviation reads one standard deviation that a person gives.
func deviation[Q quantity.Quantity](off map[string]*string, name string, into *source.Value[Q]) error {
	if *off[name] == "" {
		return nil
	}
	v, err := quantity.ParseArg[Q](*off[name])
	if err != nil {
		return fmt.Errorf("--%s: %w", name, err)
	}
	*into = source.Of(v)
	return nil
}

type toleranceJSON struct {
	What    string  `json:"what"`
	Spread  float64 `json:"spread"`
	Assumed bool    `json:"assumed"`
	Matters float64 `json:"matters"`
	Part    float64 `json:"part"`
}

type spreadJSON struct {
	Case       string              `json:"case"`
	Draw       float64             `json:"draw"`
	Seed       uint64              `json:"seed"`
	Builds     int                 `json:"builds"`
	Asked      int                 `json:"asked"`
	Nominal    *float64            `json:"imbalance"`
	Quantiles  map[string]*float64 `json:"quantiles"`
	OneOut     map[string]*float64 `json:"quantiles_one_out"`
	Over       *float64            `json:"over"`
	OverOut    *float64            `json:"over_one_out"`
	Often      map[string]float64  `json:"most_loaded"`
	Tolerances []toleranceJSON     `json:"tolerances"`
}

// quantiles are those that are shown.
var quantiles = []struct {
	name string
	part float64
}{{"5%", 0.05}, {"50%", 0.5}, {"95%", 0.95}, {"99%", 0.99}, {"100%", 1}}

// quantile gives a part of sorted values, NaN of none.
func quantile(sorted []float64, part float64) float64 {
	if len(sorted) == 0 {
		return math.NaN()
	}
	return sorted[int(math.Round(part*float64(len(sorted)-1)))]
}

func spreadJSONOf(j *assess.Job, s *report.Spread) spreadJSON {
	out := spreadJSON{Case: s.Case.ID, Draw: s.Draw, Seed: s.Seed, Builds: s.Done, Asked: s.Asked, Nominal: orNull(s.Nominal),
		Quantiles: map[string]*float64{}, OneOut: map[string]*float64{}, Often: map[string]float64{}, Tolerances: []toleranceJSON{}}
	for _, q := range quantiles {
		out.Quantiles[q.name], out.OneOut[q.name] = orNull(quantile(s.Worst, q.part)), orNull(quantile(s.WorstOut, q.part))
	}
	if s.HasLimit && s.Done > 0 {
		out.Over, out.OverOut = orNull(float64(s.Over)/float64(s.Done)), orNull(float64(s.OverOut)/float64(s.Done))
	}
	for i, part := range s.Often {
		out.Often[j.Bank.Batteries[i].ID] = part
	}
	for _, t := range s.Tolerances {
		out.Tolerances = append(out.Tolerances, toleranceJSON{t.What, t.Spread, t.Assumed, t.Matters, t.Part})
	}
	return out
}

func spreadText(w io.Writer, j *assess.Job, s *report.Spread) {
	tell(w, fmt.Sprintf("%s, case %s: %d builds, seed %d", j.Bank.Title, caseWords(&report.Sharing{Case: s.Case}), s.Done, s.Seed))
	if s.Done < s.Asked {
		tell(w, fmt.Sprintf("stopped: %d of %d builds", s.Done, s.Asked))
	}
	fmt.Fprintln(w)
	t := table{head: []string{"of all builds", "uneven, all in", "any one out"}, left: map[int]bool{0: true}}
	t.add("as drawn", quantity.FormatPercent(s.Nominal), quantity.FormatPercent(s.NominalOut))
	for _, q := range quantiles {
		name := "under, in " + q.name
		if q.part == 1 {
			name = "the worst"
		}
		t.add(name, quantity.FormatPercent(quantile(s.Worst, q.part)), quantity.FormatPercent(quantile(s.WorstOut, q.part)))
	}
	t.write(w)
	fmt.Fprintln(w)
	if s.HasLimit {
		tell(w, fmt.Sprintf("a battery passes its limit in %s of the builds, with any one out in %s", partWords(s.Over, s.Done), partWords(s.OverOut, s.Done)))
	} else {
		tell(w, "not checked: the job gives no limit of any battery")
	}
	fmt.Fprintln(w)
	t = table{head: []string{"a little off", "by", "moves it by", "part"}, left: map[int]bool{0: true}}
	for _, k := range s.Tolerances {
		name := k.What
		if k.Assumed {
			name += " ~"
		}
		by := quantity.Format(quantity.Ratio(k.Spread), 3)
		if k.What == "emf" {
			by = quantity.Format(quantity.Voltage(k.Spread), 3)
		}
		t.add(name, by, quantity.FormatFixed(100*k.Matters, 2)+" %", quantity.FormatFixed(100*k.Part, 0)+" %")
	}
	t.write(w)
	tell(w, "by: standard deviation; moves it by: standard deviation of the unevenness from this alone; ~ assumed:")
	for _, k := range s.Tolerances {
		if k.Assumed {
			tell(w, fmt.Sprintf("- %s: %s (%s)", k.What, k.Source, k.Shape))
		}
	}
	fmt.Fprintln(w)
	t = table{head: []string{"battery", "carries most in"}}
	for i, part := range s.Often {
		t.add(j.Bank.Batteries[i].ID, quantity.FormatFixed(100*part, 1)+" %")
	}
	t.write(w)
	assumedWide(w, assess.Assumptions(j.Bank, s.Case), broad)
}

func partWords(n, of int) string {
	if of == 0 {
		return "none"
	}
	if n == 0 {
		return "none of " + fmt.Sprint(of)
	}
	return quantity.FormatFixed(100*float64(n)/float64(of), 2) + " %"
}
