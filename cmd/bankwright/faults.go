package main

import (
	"fmt"
	"io"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"

	"github.com/spf13/cobra"
)

func (a *app) faultsCommand() *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "faults JOB",
		Short: "what a dead short draws, at every place and into every battery",
		Long: `The current of a dead short from each positive place to the negative take-off,
and what all the others push into a short across one battery's own posts, its
own part left out. Always two figures: the most (full, warm, new), which
devices must break and cables bear, and the least (empty, cold, aged, cables
hot), which must still open a device in time. Chargers, alternators and the
capacitors of inverters add to a short for moments; they are not counted.`,
		Example: "  bankwright faults job.yaml",
		Args:    oneJob,
		RunE: func(_ *cobra.Command, args []string) error {
			j, err := a.open(args[0])
			if err != nil {
				return err
			}
			f, err := j.Faults()
			if err != nil {
				return work(err)
			}
			if asJSON {
				return work(writeJSON(a.out, faultsJSONOf(f)))
			}
			faultsText(a.out, j, f)
			return nil
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "SI numbers for programs")
	return c
}

type pointJSON struct {
	Place      string   `json:"place"`
	Current    float64  `json:"current"`
	Resistance *float64 `json:"resistance"`
	Least      float64  `json:"least_current"`
}

type intoJSON struct {
	Battery string  `json:"battery"`
	Current float64 `json:"current"`
	Least   float64 `json:"least_current"`
}

type faultsJSON struct {
	Points []pointJSON `json:"points"`
	Into   []intoJSON  `json:"into"`
}

func faultsJSONOf(f *assess.Faults) faultsJSON {
	out := faultsJSON{[]pointJSON{}, []intoJSON{}}
	for _, p := range f.Points {
		out.Points = append(out.Points, pointJSON{p.Place.String(), p.Most.Current, orNull(p.Most.Resistance), p.Least.Current})
	}
	for _, p := range f.Into {
		out.Into = append(out.Into, intoJSON{p.Battery, p.Most.Current, p.Least.Current})
	}
	return out
}

func faultsText(w io.Writer, j *assess.Job, f *assess.Faults) {
	amps := func(v float64) string { return quantity.FormatFixed(v, 0) }
	tell(w, j.Bank.Title+": dead shorts to the negative take-off")
	fmt.Fprintln(w)
	t := table{head: []string{"place", "most A", "least A", "mΩ"}}
	for _, p := range f.Points {
		t.add(p.Place.String(), amps(p.Most.Current), amps(p.Least.Current), quantity.FormatFixed(1e3*p.Most.Resistance, 3))
	}
	t.write(w)
	fmt.Fprintln(w)
	tell(w, "into a short across one battery's posts, from the others:")
	t = table{head: []string{"battery", "most A", "least A"}}
	for _, p := range f.Into {
		t.add(p.Battery, amps(p.Most.Current), amps(p.Least.Current))
	}
	t.write(w)
	if s := f.Takeoff; s != nil {
		fmt.Fprintln(w)
		tell(w, fmt.Sprintf("through the conductors while the take-off is shorted (%s A):", amps(s.Current)))
		t = table{head: []string{"cable or part", "most A", "worst A", "at"}}
		for _, th := range f.Through {
			now, _ := s.Through(th.ID)
			t.add(th.ID, amps(now), amps(th.Current), th.Place.String())
		}
		t.write(w)
		tell(w, "worst: over shorts at every place listed above")
	}
	fmt.Fprintln(w)
	for _, one := range f.Assumed {
		tell(w, "- "+one)
	}
	tell(w, "caution: a short of this size throws molten metal and draws an arc that does not go out by itself at these volts; cover posts, take off rings and watch, open the switch first.")
}
