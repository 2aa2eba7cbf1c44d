package main

import (
	"fmt"
	"io"
	"os"
	"strings"

	"bankwright/internal/base/working"
	"bankwright/internal/check/assess"
	"bankwright/internal/check/rules"

	"github.com/spf13/cobra"
)

func (a *app) explainCommand() *cobra.Command {
	var caseID string
	var asJSON bool
	c := &cobra.Command{
		Use:   "explain RULE | explain JOB [NUMBER]",
		Short: "how a number came about, or what a rule says",
		Long: `The working of a number: formula, inputs with where each comes from, result.
Numbers are named by place and kind: takeoff.voltage, imbalance, B1.current,
W1.length; those of a run and of a dropout like run.first_out, run.B1.peak,
dropout.limit_one_out; those of the d.c. side like W6.ampacity, W6.physics,
W6.temperature, W6.withstand, F1.most, F1.least, I1.terminals, I1.lost, I1.surge, I1.weak;
of a dead short P1.2.rise and P1.2.inductance, or B1.into.rise; those of the
balance of days like days.jan.asked, days.jan.lasts, days.fridge.jan, days.C1.full.
those of warmth like heat.B1.coldest, heat.wall.bay.lid, heat.freeze, heat.hold.
Those of holding down like mount.1.forward, mount.K1.2.rod, mount.K1.preload,
mount.B1.floor, mount.B1.out, mount.B1.lift, mount.balance.
Without a name those of the case are listed. A rule is
named by its ID.`,
		Example: "  bankwright explain job.yaml W1.length\n  bankwright explain LUG-01",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) < 1 || len(args) > 2 {
				return fmt.Errorf("name a rule, or a job file and a number: bankwright explain job.yaml B1.current")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if r := rules.Find(args[0]); r != nil && len(args) == 1 {
				ruleText(a.out, r)
				return nil
			}
			if len(args) == 1 && isRuleID(args[0]) {
				return work(fmt.Errorf("there is no rule %s; there are %s", args[0], ruleIDs()))
			}
			if len(args) == 1 && !strings.ContainsAny(args[0], "./\\") && !isFile(args[0]) {
				return work(fmt.Errorf("%s is neither a rule nor a job file; rules are named like LUG-01, numbers with the job before them: bankwright explain job.yaml %s", args[0], args[0]))
			}
			if len(args) == 2 && rules.Find(args[1]) != nil { // what it finds in the job, check says
				ruleText(a.out, rules.Find(args[1]))
				return nil
			}
			return a.explainNumber(args, caseID, asJSON)
		},
	}
	c.Flags().StringVar(&caseID, "case", "", "the case to look at (default the first)")
	c.Flags().BoolVar(&asJSON, "json", false, "for programs")
	return c
}

func isFile(name string) bool {
	_, err := os.Stat(name)
	return err == nil
}

// isRuleID reports a word like LUG-01.
func isRuleID(s string) bool {
	head, tail, ok := strings.Cut(s, "-")
	return ok && head == strings.ToUpper(head) && tail != "" && strings.Trim(tail, "0123456789") == ""
}

func ruleIDs() string {
	var ids []string
	for _, r := range rules.All() {
		ids = append(ids, r.ID)
	}
	return strings.Join(ids, ", ")
}

func (a *app) explainNumber(args []string, caseID string, asJSON bool) error {
	j, err := a.open(args[0])
	if err != nil {
		return err
	}
	if len(args) == 2 && (strings.HasPrefix(args[1], "run.") || strings.HasPrefix(args[1], "dropout.")) {
		w, err := j.ExplainHours(caseID, args[1])
		if err != nil {
			return work(err)
		}
		return a.explained(w, asJSON)
	}
	if len(args) == 2 && strings.HasPrefix(args[1], "days.") {
		w, err := j.ExplainDays(args[1])
		if err != nil {
			return work(err)
		}
		return a.explained(w, asJSON)
	}
	if len(args) == 2 && assess.IsMountNumber(args[1]) {
		w, err := j.ExplainMount(args[1])
		if err != nil {
			return work(err)
		}
		return a.explained(w, asJSON)
	}
	if len(args) == 2 && assess.IsHeatNumber(args[1]) {
		w, err := j.ExplainHeat(args[1])
		if err != nil {
			return work(err)
		}
		return a.explained(w, asJSON)
	}
	if len(args) == 2 && assess.IsSideNumber(args[1]) {
		w, err := j.ExplainSide(args[1])
		if err != nil {
			return work(err)
		}
		return a.explained(w, asJSON)
	}
	r, err := j.Currents(caseID)
	if err != nil {
		return work(err)
	}
	if len(args) == 1 {
		if asJSON {
			return work(writeJSON(a.out, r.Workings))
		}
		for _, w := range r.Workings {
			fmt.Fprintf(a.out, "%-20s %s\n", w.ID, w.Result)
		}
		return nil
	}
	w, err := assess.Explain(r, args[1])
	if err != nil {
		return work(err)
	}
	return a.explained(w, asJSON)
}

// explained prints one working.
func (a *app) explained(w working.Working, asJSON bool) error {
	if asJSON {
		return work(writeJSON(a.out, w))
	}
	workingText(a.out, w)
	return nil
}

func ruleText(w io.Writer, r *rules.Rule) {
	fmt.Fprintf(w, "%s  %s  (%s)\n", r.ID, r.Title, r.Severity)
	say(w, r.Text)
	say(w, "source: "+r.Source.String())
	fmt.Fprintf(w, "\na job it speaks on:\n%s\nthe same, mended:\n%s", indent(r.Failing), indent(r.Passing))
}

func indent(s string) string {
	return "  " + strings.ReplaceAll(strings.TrimRight(s, "\n"), "\n", "\n  ") + "\n"
}

func workingText(w io.Writer, one working.Working) {
	say(w, one.ID+": "+one.What)
	say(w, "= "+one.Result)
	say(w, "by "+one.Formula)
	for _, in := range one.Inputs {
		line := fmt.Sprintf("- %s: %s, %s", in.Name, in.Value, in.Origin)
		if in.Note != "" {
			line += " (" + in.Note + ")"
		}
		if in.Source != "" {
			line += "; " + in.Source
		}
		if in.ID != "" {
			line += "; see " + in.ID
		}
		say(w, line)
	}
}
