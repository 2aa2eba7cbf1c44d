// Command bankwright takes one job file of a battery bank and gives what each
// battery carries, every wiring worth building, drawings, and the working of
// every number.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"
)

// Exit codes, settled for scripts.
const (
	exitDone  = 0
	exitWork  = 1 // the work could not be done; stderr says why
	exitUsage = 2 // the command line is wrong
	exitFault = 3 // check --strict found a fault
)

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }

// app is what a command needs of the world, so that tests can give another.
type app struct {
	in       io.Reader
	out, err io.Writer
}

// run executes one command line and gives the exit code.
func run(args []string, in io.Reader, out, errs io.Writer) int {
	a := &app{in, out, errs}
	root := a.root()
	root.SetArgs(args)
	root.SetOut(out)
	root.SetErr(errs)
	err := root.Execute()
	if err == nil {
		return exitDone
	}
	fmt.Fprintln(errs, err)
	if errors.Is(err, errFaults) {
		return exitFault
	}
	if isWork(err) {
		return exitWork
	}
	fmt.Fprintln(errs, "see bankwright --help")
	return exitUsage
}

// workError marks an error of the work itself, apart from one of the command line.
type workError struct{ error }

func (e workError) Unwrap() error { return e.error }

func isWork(err error) bool {
	var w workError
	return errors.As(err, &w)
}

func work(err error) error {
	if err == nil {
		return nil
	}
	return workError{err}
}

const teach = `bankwright takes one job file: your batteries, where they stand, and how
they are wired. It gives what each battery carries, every wiring worth
building beside the one you had in mind, and drawings to scale.

Start:
  bankwright                        open the workbench with an example
  bankwright currents job.yaml      who carries how much
  bankwright wirings job.yaml       every wiring, the front of the best
  bankwright check job.yaml         every rule, with margins
  bankwright plan job.yaml -o plan.svg
  bankwright explain job.yaml B1.current

A job begins like this; every value carries its unit:
  bankwright: 1
  battery_types:
    block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah}
  batteries: [{id: B1, type: block}, {id: B2, type: block}]
  cables:
    - {id: W1, from: B1+, to: B2+, size: 2/0 AWG, length: 11 in}
    - {id: W2, from: B1-, to: B2-, size: 2/0 AWG, length: 11 in}
  takeoff: {positive: B1+, negative: B2-}
  cases: [{id: evening, draw: 100 A}]
doc/format.md has it all; examples/ has whole jobs.

Exit: 0 done, 1 the work could not be done, 2 the command line is wrong,
3 check --strict found a fault.
Large batteries burn and weld. Numbers here do not replace your local code
or a licensed person.`

func (a *app) root() *cobra.Command {
	cobra.MousetrapHelpText = "" // else a double-click on Windows shows a message and quits; from memory
	root := &cobra.Command{
		Use:           "bankwright",
		Short:         "wire a battery bank so that it shares its current",
		Long:          teach,
		SilenceUsage:  true,
		SilenceErrors: true,
		Args:          noJob,
		RunE:          func(c *cobra.Command, _ []string) error { return a.serve(c.Context(), "", 0, true) },
	}
	root.CompletionOptions.HiddenDefaultCmd = true
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error { return fmt.Errorf("%w%s", err, flagHint(c, err)) })
	root.AddCommand(a.currentsCommand(), a.wiringsCommand(), a.planCommand(), a.runCommand(), a.dropoutCommand(), a.spreadCommand(), a.joinCommand(), a.prechargeCommand(), a.normalCommand(), a.fitCommand(), a.faultsCommand(), a.heatCommand(), a.sizeCommand(), a.checkCommand(), a.settingsCommand(), a.daysCommand(), a.mountCommand(), a.chooseCommand(), a.explainCommand(), a.serveCommand())
	return root
}

// noJob refuses words where none are due, with the usual slip named.
func noJob(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	if strings.HasSuffix(args[0], ".yaml") || strings.HasSuffix(args[0], ".yml") {
		return fmt.Errorf("say what to do with %s: bankwright currents %s", args[0], args[0])
	}
	var names []string
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() {
			names = append(names, sub.Name())
		}
	}
	hint := ""
	c.SuggestionsMinimumDistance = 2
	if s := c.SuggestionsFor(args[0]); len(s) > 0 {
		hint = "; did you mean " + s[0] + "?"
	}
	return fmt.Errorf("there is no command %q%s; there are %s", args[0], hint, strings.Join(names, ", "))
}

// flagHint names the flags there are where one is unknown.
func flagHint(c *cobra.Command, err error) string {
	if !strings.Contains(err.Error(), "unknown") {
		return ""
	}
	return "; flags of this command: " + strings.Join(flagNames(c), ", ")
}
