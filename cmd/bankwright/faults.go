package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/bank"

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
hot), which must still open a device in time. Beside them the loop's
resistance and inductance (where the cables run, else by their lengths) and
how long the current takes to rise. Chargers, alternators and the
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
	Place   string  `json:"place"`
	Current float64 `json:"current"`
	Least   float64 `json:"least_current"`
	loopJSON
}

// loopJSON is the loop of a short, its resistance and time constant with the
// most and with the least; null where not known.
type loopJSON struct {
	Resistance      *float64 `json:"resistance"`
	LeastResistance *float64 `json:"least_resistance"`
	Inductance      *float64 `json:"inductance"`
	InductanceFrom  *string  `json:"inductance_from"` // "routes", "lengths" or "routes and lengths"
	TimeConstant    *float64 `json:"time_constant"`
	LeastConstant   *float64 `json:"least_time_constant"`
	To90            *float64 `json:"time_to_90"`
	Least90         *float64 `json:"least_time_to_90"`
}

func loopJSONOf(most, least float64, r *assess.FaultRise) loopJSON {
	one := loopJSON{Resistance: orNull(most), LeastResistance: orNull(least), Inductance: orNull(r.Inductance),
		TimeConstant: orNull(r.Most.Tau), LeastConstant: orNull(r.Least.Tau), To90: orNull(r.Part(r.Most, 0.9)), Least90: orNull(r.Part(r.Least, 0.9))}
	if one.Inductance != nil {
		from := "lengths"
		if r.Routed {
			from = "routes"
		}
		if r.Partly {
			from = "routes and lengths"
		}
		one.InductanceFrom = &from
	}
	return one
}

type intoJSON struct {
	Battery string  `json:"battery"`
	Current float64 `json:"current"`
	Least   float64 `json:"least_current"`
	loopJSON
	Leads []leadJSON `json:"leads"`
}

// leadJSON is one cable at the battery's posts.
type leadJSON struct {
	Cable   string   `json:"cable"`
	Current float64  `json:"current"`
	Bare    float64  `json:"current_no_device_opens"`
	Opens   []string `json:"devices"`
	Bears   *float64 `json:"bears_5_s"`
}

// acrossJSON is a short over the terminals of a device.
type acrossJSON struct {
	Device  string  `json:"device"`
	Current float64 `json:"current"`
	Least   float64 `json:"least_current"`
	loopJSON
}

type faultsJSON struct {
	Points []pointJSON  `json:"points"`
	Across []acrossJSON `json:"across"`
	Into   []intoJSON   `json:"into"`
}

func faultsJSONOf(f *assess.Faults) faultsJSON {
	out := faultsJSON{[]pointJSON{}, []acrossJSON{}, []intoJSON{}}
	for i, p := range f.Across {
		out.Across = append(out.Across, acrossJSON{p.Device, p.Most.Current, p.Least.Current, loopJSONOf(p.Most.Resistance, p.Least.Resistance, &f.AcrossRises[i])})
	}
	for i, p := range f.Points {
		out.Points = append(out.Points, pointJSON{p.Place.String(), p.Most.Current, p.Least.Current, loopJSONOf(p.Most.Resistance, p.Least.Resistance, &f.Rises[i])})
	}
	for i, p := range f.Into {
		one := intoJSON{p.Battery, p.Most.Current, p.Least.Current, loopJSONOf(p.Most.Resistance, p.Least.Resistance, &f.IntoRises[i]), []leadJSON{}}
		for _, l := range f.Leads {
			if l.Battery == p.Battery {
				one.Leads = append(one.Leads, leadJSON{l.Cable, l.Amps, l.Bare, append([]string{}, l.Opens...), orNull(l.Bears)})
			}
		}
		out.Into = append(out.Into, one)
	}
	return out
}

func faultsText(w io.Writer, j *assess.Job, f *assess.Faults) {
	amps := func(v float64) string { return quantity.FormatFixed(v, 0) }
	tell(w, j.Bank.Title+": dead shorts to the negative take-off")
	fmt.Fprintln(w)
	head := []string{"most A", "least A", "mΩ", "µH", "ms to 63 %", "to 90 %"}
	t := table{head: append([]string{"place"}, head...)}
	for i, p := range f.Points {
		t.add(append([]string{p.Place.String()}, loopCells(p.Most.Current, p.Least.Current, p.Most.Resistance, &f.Rises[i])...)...)
	}
	t.write(w)
	tell(w, "mΩ, µH and times are of the most; 63 % is one time constant; µH by where the cables run, with l by length alone, with + by routes and beyond them by length")
	fmt.Fprintln(w)
	acrossText(w, f, head)
	tell(w, "into a short across one battery's posts, from the others:")
	t = table{head: append([]string{"battery"}, head...)}
	for i, p := range f.Into {
		t.add(append([]string{p.Battery}, loopCells(p.Most.Current, p.Least.Current, p.Most.Resistance, &f.IntoRises[i])...)...)
	}
	t.write(w)
	leadsText(w, f)
	if s := f.Takeoff; s != nil {
		fmt.Fprintln(w)
		tell(w, fmt.Sprintf("through the conductors while the take-off is shorted (%s A):", amps(s.Current)))
		t = table{head: []string{"cable or part", "most A", "worst A", "at"}}
		for _, th := range f.Through {
			now, _ := s.Through(th.ID)
			t.add(th.ID, amps(now), amps(th.Current), worstAt(j, th.Place, th.Back))
		}
		t.write(w)
		tell(w, "worst: over shorts at every place listed above")
	}
	fmt.Fprintln(w)
	for _, one := range f.Assumed {
		tell(w, "- "+one)
	}
	tell(w, "caution: "+assess.ShortCaution)
}

// acrossText tells the shorts over the terminals of devices, through their own
// leads out and back.
func acrossText(w io.Writer, f *assess.Faults, head []string) {
	if len(f.Across) == 0 {
		return
	}
	tell(w, "across a device's own terminals, through its leads out and back:")
	t := table{head: append([]string{"device"}, head...)}
	for i, p := range f.Across {
		t.add(append([]string{p.Device}, loopCells(p.Most.Current, p.Least.Current, p.Most.Resistance, &f.AcrossRises[i])...)...)
	}
	t.write(w)
	fmt.Fprintln(w)
}

// loopMark tells what an inductance is by.
func loopMark(r *assess.FaultRise) string {
	switch {
	case math.IsNaN(r.Inductance) || r.Routed:
		return ""
	case r.Partly:
		return " +"
	}
	return " l"
}

// loopCells are the cells of a short; "–" where a number is not known.
func loopCells(most, least, ohm float64, r *assess.FaultRise) []string {
	fixed := func(v float64, digits int) string {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return "–"
		}
		return quantity.FormatFixed(v, digits)
	}
	return []string{fixed(most, 0), fixed(least, 0), fixed(1e3*ohm, 3), fixed(1e6*r.Inductance, 2) + loopMark(r), fixed(1e3*r.Most.Tau, 2), fixed(1e3*r.Part(r.Most, 0.9), 2)}
}

// leadsText holds what the neighbours push through a battery's own leads
// against those.
func leadsText(w io.Writer, f *assess.Faults) {
	if len(f.Leads) == 0 {
		return
	}
	fmt.Fprintln(w)
	tell(w, "through that battery's own leads meanwhile:")
	t := table{head: []string{"battery", "lead", "most A", "bears 5 s A", "not cut A", "devices on the way"}, left: map[int]bool{1: true, 5: true}}
	for _, l := range f.Leads {
		bears, devices := "–", "none"
		if !math.IsNaN(l.Bears) {
			bears = quantity.FormatFixed(l.Bears, 0)
		}
		if len(l.Opens) > 0 {
			devices = strings.Join(l.Opens, ", ")
		}
		t.add(l.Battery, l.Cable, quantity.FormatFixed(l.Amps, 0), bears, quantity.FormatFixed(l.Bare, 0), devices)
	}
	t.write(w)
	tell(w, "not cut: what goes on when every fuse and breaker has opened")
}

// worstAt names a short: a place to the negative take-off, or a device.
func worstAt(j *assess.Job, place, back bank.End) string {
	if place.IsZero() || back == j.Bank.Takeoff.Negative {
		return place.String()
	}
	return "across " + place.ID
}
