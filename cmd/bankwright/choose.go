package main

import (
	"fmt"
	"io"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/report"
	"bankwright/internal/read/store"

	"github.com/spf13/cobra"
)

func (a *app) chooseCommand() *cobra.Command {
	var asJSON bool
	var out string
	c := &cobra.Command{
		Use:   "choose JOB",
		Short: "a size for every cable and a rating for every device that has none",
		Long: `For each cable without size the smallest that passes: the ampacity table of
the job's book, the heat balance, surges, the voltage lost on the way, and the
devices that are to save it. For each fuse or breaker without rating the
smallest standard rating that carries its load, passes the surge as far as its
class tells its times, and may stand over what it saves; for a fuse without class one that breaks the dead short
there. Where a live conductor leaves the bank without a device it says where
one is due. Nothing that is given is changed. -o NEW.yaml writes the job anew
with the proposals in it; then check it. A proposal is what passes on paper:
the maker's sheet of the part you buy comes first.`,
		Example: "  bankwright choose job.yaml\n  bankwright choose job.yaml -o new.yaml",
		Args:    oneJob,
		RunE: func(_ *cobra.Command, args []string) error {
			if out != "" && sameFile(args[0], out) {
				return fmt.Errorf("-o %s is the job file itself; name another file", out)
			}
			src, err := a.bytes(args[0])
			if err != nil {
				return work(err)
			}
			chosen, err := assess.Choose(args[0], src)
			if err != nil {
				return work(err)
			}
			if out != "" {
				if err := writeChosen(chosen, out); err != nil {
					return work(err)
				}
			}
			if asJSON {
				return work(writeJSON(a.out, chooseJSONOf(chosen)))
			}
			chooseText(a.out, chosen, out)
			return nil
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "SI numbers for programs")
	c.Flags().StringVarP(&out, "output", "o", "", "write the job with the proposals to this new file")
	return c
}

// writeChosen writes the new job. Where every cable has a size then it has to
// be one that all other commands read.
func writeChosen(chosen *assess.Chosen, out string) error {
	b, err := chosen.Write()
	if err != nil {
		return err
	}
	if chosen.Complete() {
		if _, err := assess.Load(out, b); err != nil {
			return fmt.Errorf("the new job would have faults, so it was not written: %w", err)
		}
	}
	return store.Write(out, b)
}

type cableChoiceJSON struct {
	Cable   string        `json:"cable"`
	Size    quantity.Size `json:"size"`
	Why     string        `json:"why"`
	Better  string        `json:"better,omitempty"`
	Steady  float64       `json:"steady_current"`
	Surge   float64       `json:"surge_current"`
	Allowed *float64      `json:"allowed_current"`
	ByTable bool          `json:"allowed_by_table"`
	Memory  bool          `json:"from_memory"`
}

type deviceChoiceJSON struct {
	Part    string   `json:"part"`
	Rating  float64  `json:"rating"`
	Class   string   `json:"class,omitempty"`
	Why     string   `json:"why"`
	Better  string   `json:"better,omitempty"`
	Ask     string   `json:"ask,omitempty"`
	Most    *float64 `json:"fault_current"`
	Volts   float64  `json:"volts"`
	Breaks  *float64 `json:"interrupt"`
	Largest *float64 `json:"largest_allowed"`
	Memory  bool     `json:"from_memory"`
}

type dueJSON struct {
	Cable  string   `json:"cable"`
	End    string   `json:"end"`
	Source string   `json:"source"`
	Within float64  `json:"within"`
	Rating float64  `json:"rating"`
	Most   *float64 `json:"fault_current"`
	Saves  []string `json:"saves"`
	Weak   []string `json:"weak"`
	Rule   string   `json:"rule"`
}

type leftJSON struct {
	Place string `json:"place"`
	Why   string `json:"why"`
}

type chooseJSON struct {
	Cables  []cableChoiceJSON  `json:"cables"`
	Devices []deviceChoiceJSON `json:"devices"`
	Due     []dueJSON          `json:"due"`
	Left    []leftJSON         `json:"left"`
	Assumed []string           `json:"assumed"`
}

func chooseJSONOf(c *assess.Chosen) chooseJSON {
	out := chooseJSON{[]cableChoiceJSON{}, []deviceChoiceJSON{}, []dueJSON{}, []leftJSON{}, append([]string{}, c.Assumed...)}
	for _, o := range c.Cables {
		out.Cables = append(out.Cables, cableChoiceJSON{o.Cable, o.Size, o.Why, o.Better.ASCII(), o.Steady.Amps, o.Surge.Amps, orNull(o.Allowed), o.ByTable, o.Memory})
	}
	for _, o := range c.Devices {
		out.Devices = append(out.Devices, deviceChoiceJSON{o.Part, float64(o.Rating), o.Class, o.Why, o.Better, o.Ask, orNull(o.Most), o.Volts, orNull(o.Breaks), orNull(o.Largest), o.Memory})
	}
	for _, o := range c.Due {
		out.Due = append(out.Due, dueJSON{o.Cable, o.End, o.Source, float64(o.Within), float64(o.Rating), orNull(o.Most), append([]string{}, o.Saves...), append([]string{}, o.Weak...), o.Rule.Ref.String()})
	}
	for _, o := range c.Left {
		out.Left = append(out.Left, leftJSON{o.Place, o.Why})
	}
	return out
}

func chooseText(w io.Writer, c *assess.Chosen, written string) {
	tell(w, c.Bank.Title+": proposals; nothing that is given is changed")
	if len(c.Cables)+len(c.Devices) == 0 {
		tell(w, "every cable has its size or resistance and every device its rating and class, as far as they can be told")
	}
	cableChoicesText(w, c.Cables)
	deviceChoicesText(w, c.Devices)
	for i := range c.Due {
		dueText(w, c, &c.Due[i])
	}
	if len(c.Left) > 0 {
		fmt.Fprintln(w, "\nleft open:")
		for _, l := range c.Left {
			tell(w, "- "+l.Place+": "+l.Why)
		}
	}
	if len(c.Assumed) > 0 {
		fmt.Fprintln(w, "\nassumed:")
		for _, s := range c.Assumed {
			tell(w, "- "+s)
		}
	}
	switch {
	case written == "":
	case c.Complete():
		tell(w, fmt.Sprintf("\nwritten to %s; look at it with bankwright check %s", written, written))
	default:
		tell(w, fmt.Sprintf("\nwritten to %s; cables are still without a size there, so that other commands will ask for it", written))
	}
}

func cableChoicesText(w io.Writer, all []report.CableChoice) {
	if len(all) == 0 {
		return
	}
	fmt.Fprintln(w)
	t := table{head: []string{"cable", "size", "A", "allowed A", "next", "allowed A"}, left: map[int]bool{1: true, 4: true}}
	for i := range all {
		o := &all[i]
		t.add(o.Cable, o.Size.String(), one(o.Steady.Amps), one(o.Allowed)+memoryMark(o.Memory), o.Better.String(), one(o.Next))
	}
	t.write(w)
	for i := range all {
		o := &all[i]
		if o.Smaller.IsZero() {
			tell(w, fmt.Sprintf("- %s: %s", o.Cable, o.Why))
		} else {
			tell(w, fmt.Sprintf("- %s: not %s: %s", o.Cable, o.Smaller, o.Why))
		}
	}
}

func memoryMark(memory bool) string {
	if memory {
		return " (memory)"
	}
	return ""
}

func one(v float64) string { return quantity.FormatFixed(v, 1) }

func deviceChoicesText(w io.Writer, all []report.DeviceChoice) {
	for i := range all {
		o := &all[i]
		what := quantity.Format(o.Rating, 4)
		if o.Class != "" {
			what += ", " + o.ClassName
		}
		fmt.Fprintln(w)
		tell(w, fmt.Sprintf("%s: %s: %s", o.Part, what, o.Why))
		var more []string
		if o.Most > 0 {
			more = append(more, fmt.Sprintf("a dead short behind it draws %s at up to %s", quantity.Format(quantity.Current(o.Most), 3), quantity.Format(quantity.Voltage(o.Volts), 3)))
		}
		if o.Breaks > 0 {
			more = append(more, "its class breaks "+quantity.Format(quantity.Current(o.Breaks), 3)+memoryMark(o.Memory))
		}
		if len(more) > 0 {
			tell(w, "  "+strings.Join(more, "; "))
		}
		if o.Better != "" {
			tell(w, "  next better: "+o.Better)
		}
		if o.Ask != "" {
			tell(w, "  ask for its sheet: "+o.Ask)
		}
	}
}

func dueText(w io.Writer, c *assess.Chosen, o *report.DeviceDue) {
	fmt.Fprintln(w)
	text := fmt.Sprintf("a device is due at %s, at the start of cable %s: within %s of copper from %s (%s)", o.End, o.Cable, c.Bank.Show.FormatLength(o.Within), o.Source, o.Rule.Ref)
	if o.Rating > 0 {
		text += fmt.Sprintf("; by its load at least %s", quantity.Format(o.Rating, 4))
	}
	if o.Most > 0 {
		text += fmt.Sprintf("; it has to break %s at up to %s", quantity.Format(quantity.Current(o.Most), 3), quantity.Format(quantity.Voltage(o.Volts), 3))
	}
	tell(w, text)
	if len(o.Weak) > 0 {
		tell(w, "  it would not save "+strings.Join(o.Weak, ", ")+", which bear less than its rating: a larger conductor is due there, a smaller load, or a device of their own")
	}
	if len(o.Saves) > 0 {
		tell(w, "  it would save "+strings.Join(o.Saves, ", "))
	}
}
