package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/chart"
	"bankwright/internal/paper/sheet"

	"github.com/spf13/cobra"
)

func (a *app) mountCommand() *cobra.Command {
	var asJSON bool
	var rule, out string
	c := &cobra.Command{
		Use:   "mount JOB",
		Short: "whether the batteries stay where they are put",
		Long: `What the rule asks in each direction, what each rod, bar, bolt, strap and lip
then carries, which part is weakest and by how much; what a torque does, which
metals eat one another; how each battery comes out and is lifted; what the
masses do to the floor and to the vehicle's balance.

--rule holds the same hold-downs against another rule; every rule is listed at
the end. What is not looked at is said.`,
		Example: "  bankwright mount job.yaml\n  bankwright mount job.yaml --rule cabin\n  bankwright mount job.yaml -o mount.svg",
		Args:    oneJob,
		RunE: func(_ *cobra.Command, args []string) error {
			j, err := a.open(args[0])
			if err != nil {
				return err
			}
			m, err := j.Mount(rule)
			if err != nil {
				return fmt.Errorf("--rule: %w", err)
			}
			if m == nil {
				return work(fmt.Errorf("%s: %s", args[0], assess.MountAsks))
			}
			found, unchecked := j.MountFindings(m)
			if out != "" {
				frame := &sheet.TitleBlock{Title: "Holding down", Document: "working drawing", Sheet: "42", Job: j.Bank.Title, Compared: m.Rule.ID}
				return a.drawing(chart.Mount(m, j.Bank, chart.MountOptions{Frame: frame, Title: "Holding down"}), out)
			}
			if asJSON {
				return work(writeJSON(a.out, mountJSONOf(m, found, unchecked)))
			}
			mountText(a.out, j, m, found, unchecked)
			return nil
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "SI numbers for programs")
	c.Flags().StringVar(&rule, "rule", "", "another rule: "+strings.Join(assess.MountRules(), ", "))
	c.Flags().StringVarP(&out, "output", "o", "", "write the drawing as SVG")
	return c
}

func newtons(v float64) string { return quantity.Format(quantity.Force(v), 3) }

// mountText tells a person how the bank is held.
func mountText(w io.Writer, j *assess.Job, m *report.Mount, found []finding.Finding, unchecked []finding.Unchecked) {
	say(w, fmt.Sprintf("%s: held against %s (%s)", j.Bank.Title, m.Rule.ID, m.Rule.Title))
	say(w, ruleWords(&m.Rule))
	if m.Rule.Assumed {
		say(w, "The job names no rule; this one is assumed.")
	}
	if m.Rule.Note != "" {
		say(w, "Note: "+m.Rule.Note+".")
	}
	for i := range m.Groups {
		mountGroup(w, &m.Groups[i])
	}
	if len(m.Loose) > 0 {
		fmt.Fprintln(w)
		say(w, "Held by nothing: "+report.NameList(m.Loose))
	}
	mountFindings(w, found, unchecked)
	mountBeside(w, j, m)
	fmt.Fprintln(w)
	say(w, "Not looked at:")
	for _, s := range m.NotChecked {
		say(w, "- "+s)
	}
	if len(m.Assumed) > 0 {
		fmt.Fprintln(w)
		say(w, "Assumed:")
		for _, a := range m.Assumed {
			line := fmt.Sprintf("- %s %s (%s)", a.What, a.Value, report.NameList(a.Places))
			for _, more := range []string{a.Note, a.Source} {
				if more != "" {
					line += "; " + more
				}
			}
			say(w, line)
		}
	}
}

// ruleWords says what a rule asks.
func ruleWords(r *report.MountRule) string {
	var asks []string
	for _, d := range []struct {
		name string
		g    float64
	}{{"forward", r.Forward}, {"aft", r.Aft}, {"to each side", r.Side}, {"up", r.Up}, {"down", r.Down}} {
		if d.g > 0 {
			asks = append(asks, fmt.Sprintf("%.3g g %s", d.g, d.name))
		}
	}
	words := "It asks " + strings.Join(asks, ", ") + fmt.Sprintf(", against the %s", r.Basis)
	if r.Factor != 1 {
		words += fmt.Sprintf(" over %g", r.Factor)
	}
	return words + ". By " + r.Ref.String() + "."
}

func mountGroup(w io.Writer, g *report.MountGroup) {
	fmt.Fprintln(w)
	say(w, fmt.Sprintf("Block %s: %s, held by %s", g.Name(), quantity.Format(quantity.Mass(g.Mass), 3), strings.Join(g.Holds, ", ")))
	t := table{head: []string{"direction", "force", "tips at", "held up to"}, left: map[int]bool{3: true}}
	for i := range g.Cases {
		c := &g.Cases[i]
		tips := "–"
		if !math.IsNaN(c.Tips) {
			tips = fmt.Sprintf("%.2f g", c.Tips)
		}
		t.add(c.Direction, newtons(c.Force), tips, upTo(c))
	}
	t.write(w)
	if p := g.Weakest(); p != nil {
		fmt.Fprintln(w)
		say(w, fmt.Sprintf("Weakest: %s, %s: %s asked, %s borne, margin %.2f", p.Name(), p.Direction, newtons(p.Demand), newtons(p.Capacity), p.Margin))
	}
	fmt.Fprintln(w)
	parts := table{head: []string{"part at its worst", "direction", "asked", "bears", "margin"}, left: map[int]bool{1: true}}
	var idle []string
	worst := g.Worst()
	for i := range worst {
		p := &worst[i]
		if math.IsInf(p.Margin, 1) {
			idle = append(idle, p.Name())
			continue
		}
		bears, margin := newtons(p.Capacity), fmt.Sprintf("%.2f", p.Margin)
		if math.IsNaN(p.Margin) {
			bears, margin = "?", "not checked"
		}
		parts.add(p.Name(), p.Direction, newtons(p.Demand), bears, margin)
	}
	if len(parts.rows) > 0 {
		parts.write(w)
	}
	if idle != nil {
		say(w, "Bearing nothing in any direction: "+strings.Join(idle, ", "))
	}
}

// upTo says to what multiple a direction is held.
func upTo(c *report.MountCase) string {
	switch {
	case !c.Held:
		return "not: it " + c.How
	case c.Weak() != nil && !(c.Bears < c.Multiple):
		return "too weak: " + c.Weak().Name() + lesser(c)
	case math.IsNaN(c.Bears):
		return "by the floor"
	case math.IsInf(c.Bears, 1):
		return "over 100 g" + lesser(c)
	}
	words := fmt.Sprintf("%.1f g", c.Bears)
	if c.Gives != "" {
		words += ", then " + c.Gives
	}
	return words + lesser(c)
}

func lesser(c *report.MountCase) string {
	if c.Lesser {
		return " *"
	}
	return ""
}

func mountFindings(w io.Writer, found []finding.Finding, unchecked []finding.Unchecked) {
	fmt.Fprintln(w)
	if len(found) == 0 {
		say(w, "No finding.")
	}
	for _, f := range found {
		say(w, fmt.Sprintf("%s %s at %s: %s. %s.", f.Severity, f.Rule, f.Where(), f.Message, upper(f.Suggestion)))
	}
	if len(unchecked) > 0 {
		say(w, "Not checked (* above):")
		for _, u := range unchecked {
			say(w, fmt.Sprintf("- %s, %s: %s", u.Rule, u.Place, u.Why))
		}
	}
}

// mountBeside tells what goes with holding down: torque, metals, floor, way out,
// lifting, balance, and every other rule.
func mountBeside(w io.Writer, j *assess.Job, m *report.Mount) {
	show := j.Bank.Show
	section := func(title string, n int) {
		if n > 0 {
			fmt.Fprintln(w)
			say(w, title)
		}
	}
	section("Torque", len(m.Preloads))
	for _, p := range m.Preloads {
		say(w, "- "+assess.PreloadWords(&p))
	}
	section("Metals that touch", len(m.Metals))
	for _, p := range m.Metals {
		say(w, "- "+assess.MetalWords(&p))
	}
	section("Straps", len(m.Straps))
	for i := range m.Straps {
		say(w, "- "+assess.StrapWords(&m.Straps[i]))
	}
	section("Taking out, lifting, floor", len(m.Lifts)+len(m.Out))
	for _, l := range assess.MountByBattery(show, m) {
		say(w, "- "+l)
	}
	if m.Balance != nil {
		section("Balance of the vehicle", 1)
		say(w, assess.BalanceWords(m.Balance)+".")
		say(w, assess.MiddleWords(show, m.Balance)+".")
	}
	section("Against each rule", len(m.Verdicts))
	for _, v := range m.Verdicts {
		say(w, fmt.Sprintf("- %s: %s", v.ID, assess.VerdictWords(&v)))
	}
}
