package main

import (
	"fmt"
	"io"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/check/assess"

	"github.com/spf13/cobra"
)

func (a *app) prechargeCommand() *cobra.Command {
	words := map[string]*string{}
	var asJSON bool
	c := &cobra.Command{
		Use:   "precharge [JOB]",
		Short: "the resistor that fills an inverter's input before the switch closes",
		Long: `An inverter's input capacitor is empty when its switch closes: for an instant
the bank sees a short. A resistor across the open switch fills it first. This
gives the resistor, the wait, the heat in it, and the peak without it.

With a job the bank's own voltage and resistance are taken. Either the resistor
is given, or the largest current, or the longest wait; else a resistor for 2 A
is chosen.`,
		Example: "  bankwright precharge job.yaml --power 2000W\n  bankwright precharge --voltage 13.6V --capacitance 20mF --resistor 10ohm --fraction 99%",
		Args: func(c *cobra.Command, args []string) error {
			if len(args) > 1 {
				return fmt.Errorf("one job file at most")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			ask, err := inrushOf(words)
			if err != nil {
				return err
			}
			var j *assess.Job
			if len(args) == 1 {
				if j, err = a.open(args[0]); err != nil {
					return err
				}
			}
			p, err := assess.Precharge(j, ask)
			if err != nil {
				return work(err)
			}
			if asJSON {
				return work(writeJSON(a.out, prechargeJSONOf(p)))
			}
			prechargeText(a.out, p)
			return nil
		},
	}
	for _, f := range []struct{ name, use string }{
		{"capacitance", "input capacitance of the inverter, as in 20mF"}, {"power", "its power, to guess the capacitance from"},
		{"voltage", "the bank's voltage (default the job's)"}, {"source", "resistance of bank and cables (default the job's)"},
		{"length", "cable from bank to inverter, one way (default 1.5 m, assumed)"}, {"resistor", "the resistor there is"},
		{"peak", "largest current at first (default 2 A)"}, {"wait", "longest wait"}, {"fraction", "how full before the switch closes (default 95 %)"},
	} {
		words[f.name] = c.Flags().String(f.name, "", f.use)
	}
	c.Flags().BoolVar(&asJSON, "json", false, "SI numbers for programs")
	return c
}

// inrushOf reads the words of the command line.
func inrushOf(words map[string]*string) (assess.Inrush, error) {
	var ask assess.Inrush
	for _, err := range []error{
		flagValue[quantity.Capacitance](words, "capacitance", &ask.Capacitance), flagValue[quantity.Power](words, "power", &ask.Power),
		flagValue[quantity.Voltage](words, "voltage", &ask.Voltage), flagValue[quantity.Resistance](words, "source", &ask.Source),
		flagValue[quantity.Length](words, "length", &ask.Loop), flagValue[quantity.Resistance](words, "resistor", &ask.Resistor),
		flagValue[quantity.Current](words, "peak", &ask.Peak), flagValue[quantity.Duration](words, "wait", &ask.Wait),
		flagValue[quantity.Ratio](words, "fraction", &ask.Fraction),
	} {
		if err != nil {
			return ask, err
		}
	}
	return ask, nil
}

// flagValue reads one quantity above zero; an empty word leaves it at zero.
func flagValue[Q quantity.Quantity](words map[string]*string, name string, into *float64) error {
	if *words[name] == "" {
		return nil
	}
	q, err := quantity.ParseArg[Q](*words[name])
	if err != nil {
		return fmt.Errorf("--%s: %w", name, err)
	}
	if !(q > 0) {
		return fmt.Errorf("--%s %s: more than zero is due", name, *words[name])
	}
	*into = float64(q)
	return nil
}

type prechargeJSON struct {
	Resistor    float64  `json:"resistor"`
	Suggested   bool     `json:"suggested"`
	Tau         float64  `json:"tau"`
	Wait        float64  `json:"wait"`
	Fraction    float64  `json:"fraction"`
	Peak        float64  `json:"peak"`
	Energy      float64  `json:"energy"`
	PeakPower   float64  `json:"peak_power"`
	MeanPower   float64  `json:"mean_power"`
	Hold        float64  `json:"hold_power"`
	ClosingPeak *float64 `json:"closing_peak"`
	Without     *float64 `json:"peak_without"`
	ByOhm       *float64 `json:"peak_without_by_resistance"`
	Capacitance float64  `json:"capacitance"`
	Voltage     float64  `json:"voltage"`
	Source      float64  `json:"source_resistance"`
	Inductance  float64  `json:"inductance"`
	Assumed     []string `json:"assumed"`
}

func prechargeJSONOf(p *assess.Precharged) prechargeJSON {
	r := p.Chosen
	byOhm := math.Inf(1)
	if p.Source.V > 0 {
		byOhm = p.Voltage.V / p.Source.V
	}
	out := prechargeJSON{r.Ohm, p.Suggested, r.Tau, r.Wait, p.Fraction, r.Peak, r.Energy, r.PeakPower, r.MeanPower, r.Hold, orNull(r.ClosingPeak),
		orNull(p.Without.Peak), orNull(byOhm), p.Capacitance.V, p.Voltage.V, p.Source.V, p.Inductance.V, []string{}}
	if p.Capacitance.Origin == source.Assumed {
		out.Assumed = append(out.Assumed, "capacitance")
	}
	out.Assumed = append(out.Assumed, "inductance")
	return out
}

func prechargeText(w io.Writer, p *assess.Precharged) {
	r := p.Chosen
	volts, farads := quantity.Format(quantity.Voltage(p.Voltage.V), 4), quantity.Format(quantity.Capacitance(p.Capacitance.V), 3)
	tell(w, fmt.Sprintf("%s onto an input of %s", volts, farads))
	if p.Capacitance.Origin == source.Assumed {
		tell(w, fmt.Sprintf("the capacitance is guessed from the power: %s to %s, middle taken, assumed; %s. Ask the maker.",
			quantity.Format(quantity.Capacitance(p.Range.Low), 3), quantity.Format(quantity.Capacitance(p.Range.High), 3), p.Capacitance.Ref))
	}
	fmt.Fprintln(w)
	how := "resistor given"
	if p.Suggested {
		how = "resistor chosen (IEC 60063, E12 series)"
	}
	tell(w, fmt.Sprintf("%s: %s", how, quantity.Format(quantity.Resistance(r.Ohm), 3)))
	tell(w, fmt.Sprintf("wait %s until the input is at %.0f %% (time constant %s)", quantity.Format(quantity.Duration(r.Wait), 3), 100*p.Fraction, quantity.Format(quantity.Duration(r.Tau), 3)))
	tell(w, fmt.Sprintf("peak %s; the resistor takes up %s, at first %s, %s on the mean of the wait", quantity.Format(quantity.Current(r.Peak), 3),
		quantity.Format(quantity.Energy(r.Energy), 3), quantity.Format(quantity.Power(r.PeakPower), 3), quantity.Format(quantity.Power(r.MeanPower), 3)))
	tell(w, fmt.Sprintf("rating: %.0f to %.0f W wire-wound; %s", p.LeastRating, p.MostRating, p.RatingSource))
	hold := fmt.Sprintf("caution: if the inverter is on, or its input is shorted, the resistor takes up to %s for as long as it is in circuit", quantity.Format(quantity.Power(r.Hold), 3))
	if r.OverPractice {
		hold += ", more than a customary one stands: it can burn; fuse it and use a push-button"
	}
	tell(w, hold+".")
	fmt.Fprintln(w)
	tell(w, fmt.Sprintf("without it: %s at most; source %s, loop %s (%s)", peakWords(p.Without.Peak),
		quantity.Format(quantity.Resistance(p.Source.V), 3), henries(p.Inductance.V), p.Inductance.Note))
	tell(w, fmt.Sprintf("after the wait the switch still closes on %s: %s at most", quantity.Format(quantity.Voltage(r.Step), 3), peakWords(r.ClosingPeak)))
	if p.Source.V == 0 {
		tell(w, "the bank's resistance is not given, so the peak without a resistor counts the inductance alone: give --source or a job")
	}
}

func peakWords(a float64) string {
	if math.IsInf(a, 1) {
		return "no bound known"
	}
	return quantity.Format(quantity.Current(a), 3)
}

func henries(l float64) string { return quantity.FormatFixed(l*1e6, 2) + " µH" }
