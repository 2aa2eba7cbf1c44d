package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"

	"github.com/spf13/cobra"
)

// errFaults ends check --strict: the design has a fault.
var errFaults = errors.New("the check found a fault")

func (a *app) checkCommand() *cobra.Command {
	var asJSON, strict bool
	c := &cobra.Command{
		Use:   "check JOB",
		Short: "every conductor, joint and device against load, surge, fault and the rules",
		Long: `Every rule over the whole job: each finding with its place, the number and the
limit it is held against, the margin and the source; what could not be looked
at stands with why. A fault is to be mended before it is built, a warning wants
a look, a note is worth knowing. Rules are compared, not certified: your local
code and a licensed person have the last word. bankwright explain ID says what
is behind a rule. With --strict it exits with 3 where there is a fault.`,
		Example: "  bankwright check job.yaml\n  bankwright check job.yaml --strict --json",
		Args:    oneJob,
		RunE: func(_ *cobra.Command, args []string) error {
			j, err := a.open(args[0])
			if err != nil {
				return err
			}
			r, err := j.Check()
			if err != nil {
				return work(err)
			}
			if asJSON {
				err = writeJSON(a.out, checkJSONOf(r))
			} else {
				checkText(a.out, r)
			}
			if err == nil && strict && severe(r.Findings, finding.Fault) > 0 {
				return errFaults
			}
			return work(err)
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "SI numbers for programs")
	c.Flags().BoolVar(&strict, "strict", false, "exit with 3 where a fault is found")
	return c
}

type checkJSON struct {
	Findings  []finding.Finding   `json:"findings"`
	Unchecked []finding.Unchecked `json:"unchecked"`
}

func checkJSONOf(r *report.Report) checkJSON {
	out := checkJSON{r.Findings, r.Unchecked}
	if out.Findings == nil {
		out.Findings = []finding.Finding{}
	}
	if out.Unchecked == nil {
		out.Unchecked = []finding.Unchecked{}
	}
	return out
}

func severe(all []finding.Finding, s finding.Severity) int {
	n := 0
	for _, f := range all {
		if f.Severity == s {
			n++
		}
	}
	return n
}

func checkText(w io.Writer, r *report.Report) {
	tell(w, r.Bank.Title+": checked against the "+r.Bank.Practice.Book.V+" book, air at most "+r.Bank.Show.FormatTemperature(r.Bank.Practice.Ambient.V))
	tell(w, fmt.Sprintf("%s, %s, %s; %d not checked", plural(fmt.Sprint(severe(r.Findings, finding.Fault)), "fault"),
		plural(fmt.Sprint(severe(r.Findings, finding.Warning)), "warning"), plural(fmt.Sprint(severe(r.Findings, finding.Note)), "note"), len(r.Unchecked)))
	for _, f := range r.Findings {
		fmt.Fprintln(w)
		say(w, fmt.Sprintf("%s %s at %s: %s.", f.Severity, f.Rule, f.Where(), f.Message))
		if m := report.MarginWords(r.Bank.Show, f.Number); m != "" {
			say(w, upper(m)+".")
		}
		if f.Suggestion != "" {
			say(w, upper(f.Suggestion)+".")
		}
		say(w, "By "+f.Source+".")
	}
	uncheckedText(w, r.Unchecked)
	fmt.Fprintln(w)
	say(w, "Compared with the rules named, no more. Before you touch anything: open the switch, lay tools and rings away, cover what is live. Your local code and a licensed person have the last word.")
	assumedText(w, r.Assumed)
}

// uncheckedText lists what no rule could look at, those of one reason together.
func uncheckedText(w io.Writer, unchecked []finding.Unchecked) {
	if len(unchecked) == 0 {
		return
	}
	fmt.Fprintln(w)
	tell(w, "not checked")
	where := map[string][]string{}
	var order []string
	for _, u := range unchecked {
		key := u.Rule + ": " + u.Why
		if where[key] == nil {
			order = append(order, key)
		}
		where[key] = append(where[key], u.Place)
	}
	for _, key := range order {
		say(w, key+" ("+strings.Join(where[key], ", ")+")")
	}
}
