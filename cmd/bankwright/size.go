package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/report"

	"github.com/spf13/cobra"
)

func (a *app) sizeCommand() *cobra.Command {
	words := map[string]*string{}
	var ask assess.SizeAsk
	var asJSON bool
	c := &cobra.Command{
		Use:   "size",
		Short: "which cable for a current and a way, without a job",
		Long: `Every gauge and metric size held against a lasting current: by the ampacity
table of a book of rules, by the heat balance of the cable itself, and by the
voltage lost out and back at the temperature that the current makes. Table and
heat balance stay two verdicts. No table here has metric sizes; those stand on
the heat balance alone, and a gauge's row is never taken for them.

The length is one way. Books: marine, vehicle, general.

--json gives SI numbers, null where there is none. Where the current is so much
that the copper does not settle below its melting point, "melts" is true and
temperature, drop and drop_fraction are null; by_drop then is "over".`,
		Example: "  bankwright size --current 200A --length 3m --rule marine\n  bankwright size --current 30A --length 12ft --voltage 25.6V --drop 10% --insulation 105degC --bundled 3",
		Args:    noWords,
		RunE: func(c *cobra.Command, _ []string) error {
			if err := sizeAskOf(c, words, &ask); err != nil {
				return err
			}
			answer, err := assess.Size(ask)
			if err != nil {
				if one := (*assess.AskError)(nil); errors.As(err, &one) {
					return fmt.Errorf("--%w", err) // Of is the flag's name
				}
				return work(err)
			}
			if asJSON {
				return work(writeJSON(a.out, sizeJSONOf(answer)))
			}
			sizeText(a.out, answer)
			return nil
		},
	}
	for _, f := range []struct{ name, use string }{
		{"current", "current without end, as in 200A"}, {"length", "length one way, as in 3m"}, {"voltage", "nominal voltage (default 12.8 V)"},
		{"drop", "part of it that may be lost (default 3 %)"}, {"ambient", "the warmest air round the cable (default 40 °C)"},
		{"insulation", "temperature its insulation bears (default 75 °C)"}, {"rule", "book of rules: marine, vehicle, general (default vehicle)"},
	} {
		words[f.name] = c.Flags().String(f.name, "", f.use)
	}
	c.Flags().IntVar(&ask.Bundled, "bundled", 1, "loaded cables together, itself included")
	c.Flags().BoolVar(&ask.Enclosed, "enclosed", false, "in a sleeve, conduit or raceway")
	c.Flags().BoolVar(&ask.Engine, "engine", false, "in an engine space: air of 50 °C at least")
	c.Flags().BoolVar(&asJSON, "json", false, "SI numbers for programs")
	return c
}

// noWords refuses a word where only flags are due.
func noWords(c *cobra.Command, args []string) error {
	if len(args) > 0 {
		return fmt.Errorf("%s takes no %q; flags: %s", c.Name(), args[0], strings.Join(flagNames(c), ", "))
	}
	return nil
}

// sizeAskOf reads the words of the command line.
func sizeAskOf(c *cobra.Command, words map[string]*string, ask *assess.SizeAsk) error {
	for _, err := range []error{
		flagValue[quantity.Current](words, "current", &ask.Current), flagValue[quantity.Length](words, "length", &ask.Length),
		flagValue[quantity.Voltage](words, "voltage", &ask.Voltage), flagValue[quantity.Ratio](words, "drop", &ask.Drop),
		flagValue[quantity.Temperature](words, "ambient", &ask.Ambient), flagValue[quantity.Temperature](words, "insulation", &ask.Insulation),
	} {
		if err != nil {
			return err
		}
	}
	for _, due := range []string{"current", "length"} {
		if *words[due] == "" {
			return fmt.Errorf("--%s is missing: %s", due, "bankwright size --current 200A --length 3m")
		}
	}
	if ask.Bundled < 1 {
		return fmt.Errorf("--bundled %d: at least 1, the cable itself", ask.Bundled)
	}
	if c.Flags().Changed("rule") && *words["rule"] == "" {
		return fmt.Errorf("--rule is empty; there are marine, vehicle, general")
	}
	ask.Book = *words["rule"]
	return nil
}

type sizeChoiceJSON struct {
	Size         string   `json:"size"`
	Section      float64  `json:"section"`
	Ampacity     *float64 `json:"ampacity"`
	Table        *float64 `json:"table"`
	Physics      *float64 `json:"physics"`
	Drop         *float64 `json:"drop"`
	DropFraction *float64 `json:"drop_fraction"`
	Temperature  *float64 `json:"temperature"`
	Melts        bool     `json:"melts"`
	Within       bool     `json:"within"`
	ByTable      string   `json:"by_table"`
	ByHeat       string   `json:"by_heat"`
	ByDrop       string   `json:"by_drop"`
	Rule         string   `json:"rule"`
	Source       string   `json:"source"`
}

type sizeJSON struct {
	Book       string           `json:"book"`
	Choices    []sizeChoiceJSON `json:"choices"`
	Smallest   *string          `json:"smallest"`
	ByHeat     *string          `json:"smallest_by_heat"`
	MetricHeat *string          `json:"smallest_metric_by_heat"`
	Assumed    []string         `json:"assumed"`
	Notes      []string         `json:"notes"`
}

func sizeJSONOf(s *report.SizeAnswer) sizeJSON {
	named := func(c *report.SizeChoice) *string {
		if c == nil {
			return nil
		}
		name := c.Size.ASCII()
		return &name
	}
	out := sizeJSON{Book: s.Book, Choices: []sizeChoiceJSON{}, Smallest: named(s.Smallest), ByHeat: named(s.ByHeat), MetricHeat: named(s.MetricHeat),
		Assumed: append([]string{}, s.Assumed...), Notes: append([]string{}, s.Notes...)}
	for i := range s.Choices {
		c := &s.Choices[i]
		out.Choices = append(out.Choices, sizeChoiceJSON{c.Size.ASCII(), c.Section, orNull(c.Ampacity()), orNull(tableAmps(c)), orNull(c.Physics), orNull(c.Volts), orNull(c.Volts / s.Voltage),
			orNull(c.Temperature), c.Melts, c.Within, string(c.ByTable), string(c.ByHeat), string(c.ByDrop), c.Rule, c.Source})
	}
	return out
}

func tableAmps(c *report.SizeChoice) float64 {
	if c.Table == nil {
		return math.NaN()
	}
	return c.Table.Amps
}

func sizeText(w io.Writer, s *report.SizeAnswer) {
	warm := func(k float64) string {
		if math.IsInf(k, 1) {
			return "melts"
		}
		return quantity.FormatFixed(k-273.15, 0)
	}
	tell(w, fmt.Sprintf("%s over %s one way at %s: %s book, air of %s, insulation for %s, drop up to %.3g %%", quantity.Format(quantity.Current(s.Current), 3), quantity.Show{}.FormatLength(quantity.Length(s.Length)),
		quantity.Format(quantity.Voltage(s.Voltage), 3), s.Book, celsius(s.Ambient), celsius(s.Insulation), 100*s.Drop))
	if len(s.Assumed) > 0 {
		tell(w, "assumed: "+strings.Join(s.Assumed, ", "))
	}
	fmt.Fprintln(w)
	t := table{head: []string{"size", "table A", "heat A", "°C", "drop %", "by table", "by heat", "by drop"}, left: map[int]bool{5: true, 6: true, 7: true}}
	for i := range s.Choices {
		c := &s.Choices[i]
		lost := "–"
		if !math.IsInf(c.Volts, 1) {
			lost = quantity.FormatFixed(100*c.Volts/s.Voltage, 2)
		}
		t.add(c.Size.String(), quantity.FormatFixed(tableAmps(c), 1), quantity.FormatFixed(c.Physics, 1), warm(c.Temperature), lost, string(c.ByTable), string(c.ByHeat), string(c.ByDrop))
	}
	t.write(w)
	fmt.Fprintln(w)
	sizeVerdict(w, s)
	for _, n := range s.Notes {
		tell(w, "- "+n)
	}
	tell(w, "- the heat balance is for a level cable in still air with the outside diameter of a model; published tables lie below it, as they keep a margin")
	tell(w, "- lugs, fuse and switch lose voltage too; they are not in the drop")
}

func sizeVerdict(w io.Writer, s *report.SizeAnswer) {
	name := func(c *report.SizeChoice) string {
		if c == nil {
			return "none of these sizes; lay two side by side, go up in voltage, or shorten the way"
		}
		return c.Size.String()
	}
	by := "table"
	if s.NoTableRows {
		by = "heat balance, not checked by table,"
	}
	tell(w, fmt.Sprintf("smallest by %s and drop: %s", by, name(s.Smallest)))
	if c := s.Smallest; c != nil {
		tell(w, "  "+c.Rule+"; "+c.Source)
	}
	tell(w, "smallest gauge by heat balance and drop: "+name(s.ByHeat))
	tell(w, "smallest metric size by heat balance and drop, not checked by table: "+name(s.MetricHeat))
	if c := s.Smallest; c != nil && c.ByHeat == report.Over {
		tell(w, fmt.Sprintf("caution: by the heat balance %s does not stay under what its insulation bears here; take the larger of the two", c.Size))
	}
}

func celsius(k float64) string { return quantity.Show{}.FormatTemperature(quantity.Temperature(k)) }
