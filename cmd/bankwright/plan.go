package main

import (
	"bytes"
	"context"
	"fmt"

	"bankwright/internal/check/assess"
	"bankwright/internal/paper/plan"
	"bankwright/internal/paper/svg"
	"bankwright/internal/read/store"

	"github.com/spf13/cobra"
)

func (a *app) planCommand() *cobra.Command {
	var caseID, out, view string
	var wiring int
	c := &cobra.Command{
		Use:   "plan JOB -o FILE.svg",
		Short: "the compartment to scale, cables as wide as their current",
		Long: `Draws the compartment from above to scale: batteries with posts and their
share, parts, and each cable along its way, as wide as its current in the
case. --view front draws it from the front. --wiring N draws a wiring of the
front that wirings found, instead of the job's own cables.`,
		Example: "  bankwright plan job.yaml -o plan.svg\n  bankwright plan job.yaml --wiring 3 -o third.svg",
		Args:    oneJob,
		RunE: func(_ *cobra.Command, args []string) error {
			if view != "top" && view != "front" {
				return fmt.Errorf("--view %s: top or front", view)
			}
			if out != "" && out != "-" && sameFile(out, args[0]) {
				return fmt.Errorf("-o %s is the job file itself; name another file", out)
			}
			j, err := a.open(args[0])
			if err != nil {
				return err
			}
			picture, err := drawPlan(j, caseID, view, wiring)
			if err != nil {
				return err
			}
			if out == "" || out == "-" {
				_, err = a.out.Write(picture)
				return work(err)
			}
			return work(store.Write(out, picture))
		},
	}
	c.Flags().StringVar(&caseID, "case", "", "the case to look at (default the first)")
	c.Flags().StringVarP(&out, "output", "o", "", "file to write (default standard output)")
	c.Flags().StringVar(&view, "view", "top", "top or front")
	c.Flags().IntVar(&wiring, "wiring", 0, "draw this wiring of the front")
	return c
}

// drawPlan gives the SVG of the job's own cables, or of a wiring of the front.
func drawPlan(j *assess.Job, caseID, view string, wiring int) ([]byte, error) {
	r, err := j.Plan(caseID)
	if err != nil && wiring == 0 {
		return nil, work(err)
	}
	opt := plan.Options{}
	if wiring != 0 {
		w, err := j.Wirings(context.Background(), caseID, nil)
		if err != nil {
			return nil, work(err)
		}
		if wiring < 1 || wiring > len(w.Front) {
			return nil, fmt.Errorf("--wiring %d: the front has 1 to %d", wiring, len(w.Front))
		}
		if r == nil {
			r = j.Layout()
		}
		opt.Wiring, opt.Search = &w.Front[wiring-1], w
	}
	draw := plan.Draw
	if view == "front" {
		draw = plan.Front
	}
	s, err := draw(r, opt)
	if err != nil {
		return nil, work(fmt.Errorf("%s: %w", j.Doc.File, err))
	}
	var b bytes.Buffer
	if err := svg.Write(&b, s, svg.Options{Standalone: true}); err != nil {
		return nil, work(err)
	}
	return b.Bytes(), nil
}
