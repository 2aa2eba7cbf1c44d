package main

import (
	"fmt"
	"io"
	"strings"

	"bankwright/internal/check/assess"
	"bankwright/internal/model/report"

	"github.com/spf13/cobra"
)

func (a *app) settingsCommand() *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "settings JOB",
		Short: "what to set on each charger and inverter for these batteries",
		Long: `For each charger and inverter of the job: absorption, float, equalise,
temperature compensation, charge current, cold lockout, cut-out. The batteries'
own limits stand where the job gives them, else what is customary for the
chemistry, with its source. The batteries' own sheet governs.`,
		Example: "  bankwright settings job.yaml",
		Args:    oneJob,
		RunE: func(_ *cobra.Command, args []string) error {
			j, err := a.open(args[0])
			if err != nil {
				return err
			}
			all, err := j.Settings()
			if err != nil {
				return work(err)
			}
			if asJSON {
				return work(writeJSON(a.out, settingsJSONOf(all)))
			}
			settingsText(a.out, j, all)
			return nil
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "SI numbers for programs")
	return c
}

type settingJSON struct {
	Part      string   `json:"part"`
	Setting   string   `json:"setting"`
	Batteries []string `json:"batteries"`
	Least     *float64 `json:"least"`
	Most      *float64 `json:"most"`
	Off       bool     `json:"off"`
	Unit      string   `json:"unit"`
	Job       *float64 `json:"job"`
	State     string   `json:"state"`
	Assumed   bool     `json:"assumed"`
	Note      string   `json:"note,omitempty"`
	Source    string   `json:"source"`
}

func settingsJSONOf(all []report.Setting) map[string][]settingJSON {
	out := []settingJSON{}
	for i := range all {
		s := &all[i]
		out = append(out, settingJSON{s.Part, string(s.Kind), s.Batteries, orNull(s.Least), orNull(s.Most), s.Off, s.Unit, orNull(s.Job), string(s.State), s.Assumed, s.Note, s.From()})
	}
	return map[string][]settingJSON{"settings": out}
}

func settingsText(w io.Writer, j *assess.Job, all []report.Setting) {
	say(w, j.Bank.Title+": what to set")
	if len(all) == 0 {
		say(w, "the job has no charger and no inverter that is joined to a battery")
		return
	}
	part := ""
	for i := range all {
		s := &all[i]
		if now := fmt.Sprintf("%s, for %s: %s", s.Part, s.Chemistry, strings.Join(s.Batteries, ", ")); now != part {
			part = now
			fmt.Fprintln(w)
			say(w, now)
		}
		set, have := s.Words(j.Bank.Show)
		line := string(s.Kind) + ": " + set
		if have != "" {
			line += "; the job has " + have
			if s.State == report.SettingDiffers {
				line += ", which differs"
			}
		}
		if s.Note != "" {
			line += " (" + s.Note + ")"
		}
		say(w, line+". By "+s.From())
	}
	fmt.Fprintln(w)
	say(w, "A charger that holds the wrong voltage ruins batteries and starts fires: read each setting back on the device, and once with a meter at the posts.")
}
