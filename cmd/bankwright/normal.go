package main

import (
	"fmt"
	"io"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"

	"github.com/spf13/cobra"
)

func (a *app) normalCommand() *cobra.Command {
	var low, high string
	var asJSON bool
	c := &cobra.Command{
		Use:   "normal JOB",
		Short: "is this unevenness normal? from two readings",
		Long: `Two readings of every battery's current, one at a low load and one at a high
one, tell two causes apart: an offset of open-circuit voltage is the same at
any load and fades by itself; the resistance of a path grows with the load and
stays. Take both within minutes of each other, on a rested bank.

The readings are those of the job; without --low and --high the ones with the
least and the most current.`,
		Example: "  bankwright normal job.yaml --low R1 --high R2",
		Args:    oneJob,
		RunE: func(_ *cobra.Command, args []string) error {
			j, err := a.open(args[0])
			if err != nil {
				return err
			}
			u, err := j.Normal(low, high)
			if err != nil {
				return work(err)
			}
			if asJSON {
				return work(writeJSON(a.out, normalJSONOf(u)))
			}
			normalText(a.out, j, u)
			return nil
		},
	}
	c.Flags().StringVar(&low, "low", "", "the reading at the low load")
	c.Flags().StringVar(&high, "high", "", "the reading at the high load")
	c.Flags().BoolVar(&asJSON, "json", false, "SI numbers for programs")
	return c
}

type unevenJSON struct {
	ID       string   `json:"id"`
	Share    float64  `json:"share"`
	Fair     float64  `json:"fair"`
	Expected *float64 `json:"expected"`
	Excess   float64  `json:"excess"`
	Offset   float64  `json:"offset"`
	Path     float64  `json:"path_excess"`
	EMF      *float64 `json:"emf"`
	Extra    *float64 `json:"extra_resistance"`
	Verdict  string   `json:"verdict"`
}

type normalJSON struct {
	Low        string       `json:"low"`
	High       string       `json:"high"`
	Verdict    string       `json:"verdict"`
	MostOffset string       `json:"most_offset"`
	MostPath   string       `json:"most_path"`
	Batteries  []unevenJSON `json:"batteries"`
}

func normalJSONOf(u *assess.Unevenness) normalJSON {
	out := normalJSON{u.LowID, u.HighID, string(u.Verdict), u.MostOffset, u.MostPath, []unevenJSON{}}
	for i, b := range u.Batteries {
		out.Batteries = append(out.Batteries, unevenJSON{b.ID, b.Share, b.Fair, orNull(u.Expected[i]), b.Excess, b.Offset, b.PathExcess, orNull(b.EMF), orNull(b.Extra), string(b.Verdict)})
	}
	return out
}

func normalText(w io.Writer, j *assess.Job, u *assess.Unevenness) {
	tell(w, fmt.Sprintf("%s: readings %s at %s and %s at %s", j.Bank.Title, u.LowID, quantity.Format(quantity.Current(u.Low), 3), u.HighID, quantity.Format(quantity.Current(u.High), 3)))
	fmt.Fprintln(w)
	t := table{head: []string{"battery", "share %", "fair %", "too much A", "by voltage A", "by path A", "job says A", "cause"}, left: map[int]bool{7: true}}
	for i, b := range u.Batteries {
		t.add(b.ID, quantity.FormatFixed(100*b.Share, 1), quantity.FormatFixed(100*b.Fair, 1), quantity.FormatFixed(b.Excess, 1), quantity.FormatFixed(b.Offset, 1), quantity.FormatFixed(b.PathExcess, 1),
			quantity.FormatFixed(u.Expected[i], 1), string(b.Verdict))
	}
	t.write(w)
	tell(w, fmt.Sprintf("at the high load; a meter good to %.0f %% and %s is assumed (%s); job says: what its own wiring would make of this load with equal voltages", 100*u.Meter.Relative, quantity.Format(quantity.Current(u.Meter.Absolute), 2), u.Meter.Source))
	fmt.Fprintln(w)
	tell(w, "over all: "+string(u.Verdict))
	for i, b := range u.Batteries {
		if b.ID == u.MostPath {
			tell(w, pathWords(b.ID, b.Extra, u.High*b.Share, u.Expected[i]))
		}
		if b.ID == u.MostOffset && !math.IsNaN(b.EMF) {
			tell(w, fmt.Sprintf("%s stands %s off the others at rest: charge each alone to full and rest it before the wiring is blamed", b.ID, quantity.Format(quantity.Voltage(b.EMF), 2)))
		}
	}
}

// pathWords says what a path's resistance means, beside what the job expects.
func pathWords(id string, extra, carries, expected float64) string {
	words := fmt.Sprintf("%s stands out by the resistance of its path", id)
	switch {
	case math.IsInf(extra, 1):
		words += ": it carries nothing"
	case !math.IsNaN(extra):
		words += fmt.Sprintf(": %s against the fair part, as if it met the others in two points", quantity.Format(quantity.Resistance(extra), 2))
	}
	switch {
	case math.IsNaN(expected):
	case math.Abs(carries-expected) <= 0.05*math.Abs(expected)+0.5:
		words += "; the job's own wiring makes it so: another wiring mends it, no joint"
	default:
		words += fmt.Sprintf("; the job's own wiring would give it %s: look at its joints, cables and age", quantity.Format(quantity.Current(expected), 3))
	}
	return words
}
