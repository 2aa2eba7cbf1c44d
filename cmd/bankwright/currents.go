package main

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"

	"github.com/spf13/cobra"
)

func (a *app) currentsCommand() *cobra.Command {
	var caseID string
	var asJSON bool
	c := &cobra.Command{
		Use:   "currents JOB",
		Short: "what each battery and cable carries in one case",
		Long: `What each battery and each cable carries in one case: a snapshot with the
open-circuit voltages as they stand.

Battery current is positive on discharge. Share is a battery's current over
its capacity, over the same of its group: 1 is an even share. Imbalance is
the largest share less one. Cable current is positive from its from end to
its to end. Without --case the first case of the job is meant; a job without
cases is looked at at rest.`,
		Example: "  bankwright currents job.yaml --case evening\n  bankwright currents job.yaml --json",
		Args:    oneJob,
		RunE: func(_ *cobra.Command, args []string) error {
			j, err := a.open(args[0])
			if err != nil {
				return err
			}
			r, err := j.Currents(caseID)
			if err != nil {
				return work(err)
			}
			if asJSON {
				return work(writeJSON(a.out, currentsJSON(&r.Sharing)))
			}
			currentsText(a.out, r)
			return nil
		},
	}
	c.Flags().StringVar(&caseID, "case", "", "the case to look at (default the first)")
	c.Flags().BoolVar(&asJSON, "json", false, "SI numbers for programs")
	return c
}

// writeJSON writes one value and a line end, numbers as short as they read
// back the same.
func writeJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	return enc.Encode(v)
}

// orNull gives a number, null where it has no meaning.
func orNull(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}

type takeoffJSON struct {
	Current    float64 `json:"current"`
	Voltage    float64 `json:"voltage"`
	Resistance float64 `json:"resistance"`
}

type batteryJSON struct {
	ID      string   `json:"id"`
	Current float64  `json:"current"`
	Voltage *float64 `json:"voltage"` // null across a gap between islands
	Share   *float64 `json:"share"`
}

type cableJSON struct {
	ID         string  `json:"id"`
	Current    float64 `json:"current"`
	Drop       float64 `json:"drop"`
	Resistance float64 `json:"resistance"`
}

type sharingJSON struct {
	Case      string        `json:"case"`
	Takeoff   takeoffJSON   `json:"takeoff"`
	Batteries []batteryJSON `json:"batteries"`
	Cables    []cableJSON   `json:"cables"`
	Imbalance *float64      `json:"imbalance"`
	Residual  float64       `json:"residual"`
}

func currentsJSON(s *report.Sharing) sharingJSON {
	out := sharingJSON{Case: s.Case.ID, Takeoff: takeoffJSON{s.Current, s.Voltage, s.Resistance},
		Batteries: []batteryJSON{}, Cables: []cableJSON{}, Imbalance: orNull(s.Imbalance), Residual: s.Residual}
	for _, b := range s.Batteries {
		out.Batteries = append(out.Batteries, batteryJSON{b.ID, b.Current, orNull(b.Voltage), orNull(b.Share)})
	}
	for _, c := range s.Cables {
		out.Cables = append(out.Cables, cableJSON{c.ID, c.Current, c.Drop, c.Resistance})
	}
	return out
}

func currentsText(w io.Writer, r *report.Report) {
	s := &r.Sharing
	say(w, r.Bank.Title+", case "+caseWords(s))
	say(w, fmt.Sprintf("take-off %s, %s, bank %s", ampere(s.Current), volt(s.Voltage), quantity.Format(quantity.Resistance(s.Resistance), 3)))
	fmt.Fprintln(w)
	t := table{head: []string{"battery", "A", "share", "V", "W"}}
	for i, b := range s.Batteries {
		name := b.ID
		if b.Off {
			name += " off"
		} else if r.Bank.Batteries[i].Resistance.Mark() != "" || r.Bank.Batteries[i].EMF.Mark() != "" {
			name += " ~"
		}
		t.add(name, quantity.FormatFixed(b.Current, 2), quantity.FormatFixed(b.Share, 3), quantity.FormatFixed(b.Voltage, 3), quantity.FormatFixed(b.Heat, 1))
	}
	t.write(w)
	fmt.Fprintln(w)
	say(w, fmt.Sprintf("imbalance %s, loss %s, of which in wiring %s", quantity.FormatPercent(s.Imbalance), watt(s.Loss), watt(s.WiringLoss)))
	fmt.Fprintln(w)
	t = table{head: []string{"cable", "from", "to", "A", "mV", "mΩ", "W"}, left: map[int]bool{1: true, 2: true}}
	for i, c := range s.Cables {
		name := c.ID
		if r.Bank.Cables[i].Length.Origin == "routed" {
			name += " r"
		}
		t.add(name, c.From.String(), c.To.String(), quantity.FormatFixed(c.Current, 1), quantity.FormatFixed(1e3*c.Drop, 1), quantity.FormatFixed(1e3*c.Resistance, 3), quantity.FormatFixed(c.Heat, 1))
	}
	for _, c := range s.Parts {
		t.add(c.ID, c.From.String(), c.To.String(), quantity.FormatFixed(c.Current, 1), quantity.FormatFixed(1e3*c.Drop, 1), quantity.FormatFixed(1e3*c.Resistance, 3), quantity.FormatFixed(c.Heat, 1))
	}
	t.write(w)
	say(w, "~ rests on an assumed battery value, r on a routed length")
	findingsText(w, r.Findings, r.Unchecked)
	assumedText(w, r.Assumed)
}

func caseWords(s *report.Sharing) string {
	c := s.Case
	switch {
	case c.ByPower && c.Power < 0:
		return fmt.Sprintf("%s, charge %s", c.ID, quantity.Format(-c.Power, 4))
	case c.ByPower:
		return fmt.Sprintf("%s, draw %s", c.ID, quantity.Format(c.Power, 4))
	case c.Current < 0:
		return fmt.Sprintf("%s, charge %s", c.ID, quantity.Format(-c.Current, 4))
	case c.Current == 0:
		return c.ID + ", no load"
	}
	return fmt.Sprintf("%s, draw %s", c.ID, quantity.Format(c.Current, 4))
}

func ampere(v float64) string { return quantity.FormatFixed(v, 2) + " A" }
func volt(v float64) string   { return quantity.FormatFixed(v, 3) + " V" }
func watt(v float64) string   { return quantity.FormatFixed(v, 1) + " W" }

func findingsText(w io.Writer, found []finding.Finding, unchecked []finding.Unchecked) {
	for _, f := range found {
		fmt.Fprintln(w)
		say(w, fmt.Sprintf("%s %s at %s: %s. %s.", f.Severity, f.Rule, f.Where(), f.Message, upper(f.Suggestion)))
	}
	why := map[string][]string{}
	var order []string
	for _, u := range unchecked {
		key := u.Rule + ": " + u.Why
		if why[key] == nil {
			order = append(order, key)
		}
		why[key] = append(why[key], u.Place)
	}
	for _, key := range order {
		fmt.Fprintln(w)
		say(w, "not checked, "+key+" ("+strings.Join(why[key], ", ")+")")
	}
}

func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// assumedText lists what nobody gave.
func assumedText(w io.Writer, list []report.Assumption) { assumedWide(w, list, wide) }

// assumedWide is the same for texts of another width.
func assumedWide(w io.Writer, list []report.Assumption, width int) {
	if len(list) == 0 {
		return
	}
	say := func(w io.Writer, text string) { wrap(w, text, width, "  ") }
	fmt.Fprintln(w)
	say(w, "assumed, and every number above rests on these:")
	for _, a := range list {
		places := strings.Join(a.Places, " ")
		if len(a.Places) > 4 {
			places = fmt.Sprintf("%s … %s", a.Places[0], a.Places[len(a.Places)-1])
		}
		line := fmt.Sprintf("- %s %s (%s)", a.What, a.Value, places)
		if a.Note != "" {
			line += ": " + a.Note
		}
		if a.Source != "" {
			line += "; " + a.Source
		}
		say(w, line)
	}
}
