package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/report"

	"github.com/spf13/cobra"
)

func (a *app) joinCommand() *cobra.Command {
	var battery, meter string
	var asJSON bool
	c := &cobra.Command{
		Use:   "join JOB",
		Short: "closing a battery onto the others, the first time or after it slept",
		Long: `What flows at the instant a battery is closed onto the others without load,
how it dies away, which difference of voltage each limit allows, and the
resistor for a larger one. Then whether the battery may stay: what each
carries with it in the job's cases, and what it adds over a whole discharge.

A battery that is off in the job, or has a start or emf of its own, is closed
onto the others as they stand. Without --battery every battery is looked at
and the one with the largest difference is told in full.

Equal volts do not prove equal charge: the text says what range of charge each
voltage leaves open.`,
		Example: "  bankwright join job.yaml --battery B3",
		Args:    oneJob,
		RunE: func(_ *cobra.Command, args []string) error {
			o := assess.JoinOptions()
			if meter != "" {
				v, err := quantity.ParseArg[quantity.Voltage](meter)
				if err != nil || v < 0 {
					return fmt.Errorf("--meter %s: the error of a voltmeter is due, as in 10mV", meter)
				}
				o.Meter = float64(v)
			}
			j, err := a.open(args[0])
			if err != nil {
				return err
			}
			ids := []string{battery}
			if battery == "" {
				ids = nil
				for i := range j.Bank.Batteries {
					ids = append(ids, j.Bank.Batteries[i].ID)
				}
			}
			var all []*report.Join
			var verdicts []*assess.Verdict
			for _, id := range ids {
				r, v, err := j.Join(id, o)
				if err != nil {
					return work(err)
				}
				all, verdicts = append(all, r), append(verdicts, v)
			}
			if asJSON {
				return work(writeJSON(a.out, joinsJSON(j, all, verdicts)))
			}
			joinText(a.out, j, all, verdicts)
			return nil
		},
	}
	c.Flags().StringVar(&battery, "battery", "", "the battery that joins (default all in turn)")
	c.Flags().StringVar(&meter, "meter", "", "error of the voltmeter (default 10 mV, assumed)")
	c.Flags().BoolVar(&asJSON, "json", false, "SI numbers for programs")
	return c
}

type allowedJSON struct {
	What       string   `json:"what"`
	Battery    string   `json:"battery"`
	Current    *float64 `json:"current"`
	Difference float64  `json:"difference"`
	Within     bool     `json:"within"`
	Assumed    bool     `json:"assumed"`
	Source     string   `json:"source"`
}

type resistorJSON struct {
	Ohm    float64  `json:"resistance"`
	Peak   float64  `json:"peak_power"`
	Energy float64  `json:"energy"`
	Time   *float64 `json:"time"`
}

type verdictJSON struct {
	Answer   string              `json:"answer"`
	Why      []string            `json:"why"`
	Draw     *float64            `json:"largest_draw"`
	Charge   *float64            `json:"largest_charge"`
	Share    map[string]*float64 `json:"share"`
	FirstOut float64             `json:"first_out"` // Ah
	Without  float64             `json:"first_out_without"`
}

type joinJSON struct {
	Battery    string             `json:"battery"`
	Volts      float64            `json:"voltage"`
	BankVolts  float64            `json:"bank_voltage"`
	Difference float64            `json:"difference"`
	First      map[string]float64 `json:"first_current"`
	Allowed    []allowedJSON      `json:"allowed"`
	Half       *float64           `json:"half"`
	Tenth      *float64           `json:"tenth"`
	Moved      float64            `json:"moved"` // Ah
	Resistor   *resistorJSON      `json:"resistor"`
	Low        *float64           `json:"soc_low"` // that the voltage leaves open
	High       *float64           `json:"soc_high"`
	Verdict    verdictJSON        `json:"may_stay"`
}

func joinsJSON(j *assess.Job, all []*report.Join, verdicts []*assess.Verdict) map[string][]joinJSON {
	list := []joinJSON{}
	for n, r := range all {
		v := verdicts[n]
		one := joinJSON{Battery: r.Battery, Volts: r.Volts, BankVolts: r.BankVolts, Difference: r.Difference, First: map[string]float64{}, Allowed: []allowedJSON{},
			Half: orNull(r.Half), Tenth: orNull(r.Tenth), Moved: r.Moved / perHour, Low: orNull(r.Sure[0].Low), High: orNull(r.Sure[0].High),
			Verdict: verdictJSON{v.Answer, append([]string{}, v.Why...), orNull(v.Draw), orNull(v.Charge), map[string]*float64{}, v.FirstOut / perHour, v.Without / perHour}}
		for i := range j.Bank.Batteries {
			id := j.Bank.Batteries[i].ID
			one.First[id], one.Verdict.Share[id] = r.First[i], orNull(v.Share[i])
		}
		for _, x := range r.Allowed {
			one.Allowed = append(one.Allowed, allowedJSON{x.What, x.Battery, orNull(x.Current), x.Difference, x.Within, x.Assumed, x.Source})
		}
		if x := r.Resistor; x != nil {
			one.Resistor = &resistorJSON{x.Ohm, x.Peak, x.Energy, orNull(x.Time)}
		}
		list = append(list, one)
	}
	return map[string][]joinJSON{"joins": list}
}

func joinText(w io.Writer, j *assess.Job, all []*report.Join, verdicts []*assess.Verdict) {
	tell(w, j.Bank.Title+": each battery closed onto the others, without load")
	fmt.Fprintln(w)
	worst := 0
	t := table{head: []string{"battery", "V", "others V", "first A", "allowed V", ""}, left: map[int]bool{5: true}}
	for n, r := range all {
		off := func(n int) bool { b := j.Bank.Battery(all[n].Battery); return b != nil && b.Off }
		if off(n) && !off(worst) || off(n) == off(worst) && math.Abs(r.Difference) > math.Abs(all[worst].Difference) {
			worst = n
		}
		word := "within"
		if math.Abs(r.Difference) > r.Least*(1+1e-9) {
			word = "outside"
		}
		t.add(r.Battery, quantity.FormatFixed(r.Volts, 3), quantity.FormatFixed(r.BankVolts, 3), quantity.FormatFixed(r.First[indexOf(j, r.Battery)], 1), quantity.FormatFixed(r.Least, 3), word)
	}
	t.write(w)
	fmt.Fprintln(w)
	oneJoinText(w, j, all[worst])
	fmt.Fprintln(w)
	verdictText(w, j, all[worst], verdicts[worst])
	assumedWide(w, j.RunAssumptions(""), broad)
}

func indexOf(j *assess.Job, id string) int {
	for i := range j.Bank.Batteries {
		if j.Bank.Batteries[i].ID == id {
			return i
		}
	}
	return 0
}

func oneJoinText(w io.Writer, j *assess.Job, r *report.Join) {
	tell(w, fmt.Sprintf("%s at %s, the others at %s: %s apart", r.Battery, volt(r.Volts), volt(r.BankVolts), quantity.FormatFixed(1000*math.Abs(r.Difference), 1)+" mV"))
	for _, s := range r.Sure {
		tell(w, sureWords(&s))
	}
	fmt.Fprintln(w)
	t := table{head: []string{"limit", "of", "A", "V apart", ""}, left: map[int]bool{0: true, 1: true, 4: true}}
	for _, x := range r.Allowed {
		word, what := "outside", x.What
		if x.Within {
			word = "within"
		}
		if x.Assumed {
			what += " ~"
		}
		t.add(what, x.Battery, quantity.FormatFixed(x.Current, 1), quantity.FormatFixed(x.Difference, 3), word)
	}
	t.write(w)
	tell(w, "~ assumed; the trade's figures are common practice and disagree, so all stand here; no standard's number was found")
	fmt.Fprintln(w)
	tell(w, decayWords(r))
	for _, e := range r.Events {
		tell(w, clock(e.Time)+"  "+eventWords(j.Bank, &e))
	}
	resistorText(w, r)
}

// sureWords says what a voltage leaves open.
func sureWords(s *report.Sure) string {
	whose := s.Whose
	if math.IsNaN(s.Low) {
		return fmt.Sprintf("%s: no rested battery of this curve shows %s", whose, volt(s.Volts))
	}
	return fmt.Sprintf("%s: %s with a meter good to %s leaves a state of charge of %.0f to %.0f %% open", whose, volt(s.Volts), quantity.Format(quantity.Voltage(s.Error), 2), 100*s.Low, 100*s.High)
}

func decayWords(r *report.Join) string {
	if math.Abs(r.Difference) < 1e-4 {
		return "nothing of note flows; charge each to full and rest it all the same: equal volts do not prove equal charge"
	}
	if r.NoCurve {
		return "how it dies away is not told: the job gives its voltage but no curve over its charge"
	}
	part := func(t float64) string {
		if math.IsNaN(t) {
			return "not within " + clock(r.Watched)
		}
		return "after " + clock(t)
	}
	gives := "takes"
	if r.Moved > 0 {
		gives = "gives"
	}
	return fmt.Sprintf("its current is half %s, a tenth %s; in %s it %s %s", part(r.Half), part(r.Tenth), clock(r.Watched), gives, ampereHours(math.Abs(r.Moved)))
}

func resistorText(w io.Writer, r *report.Join) {
	x := r.Resistor
	if x == nil {
		return
	}
	if x.Ohm < 0.01 {
		fmt.Fprintln(w)
		tell(w, "outside by so little that no resistor is worth it: charge each battery alone to full, let it rest, then close")
		return
	}
	how := "longer than " + clock(r.Watched)
	if !math.IsNaN(x.Time) {
		how = clock(x.Time)
	}
	fmt.Fprintln(w)
	tell(w, fmt.Sprintf("too far apart: charge each battery alone to full, let it rest, then close. Or close through a resistor of at least %s that stands %s at first (%s), until %s has passed and the difference is under %s",
		quantity.Format(quantity.Resistance(x.Ohm), 3), quantity.Format(quantity.Power(x.Peak), 3), quantity.Format(quantity.Energy(x.Energy), 3)+" in all", how, quantity.Format(quantity.Voltage(r.Least), 3)))
	tell(w, "caution: joining throws sparks and can weld a tool; close with a switch or a fuse holder, never with the lug.")
}

func verdictText(w io.Writer, j *assess.Job, r *report.Join, v *assess.Verdict) {
	tell(w, fmt.Sprintf("may %s be one of them? %s", r.Battery, v.Answer))
	for _, why := range v.Why {
		tell(w, "- "+why)
	}
	if !math.IsInf(v.Draw, 1) {
		tell(w, fmt.Sprintf("- at most %s drawn: there %s reaches its lasting limit first", quantity.Format(quantity.Current(v.Draw), 3), v.DrawBy))
	}
	if !math.IsInf(v.Charge, 1) {
		tell(w, fmt.Sprintf("- at most %s charged: there %s reaches its limit first", quantity.Format(quantity.Current(v.Charge), 3), v.ChargeBy))
	}
	tell(w, fmt.Sprintf("- from full, %s until the first battery is out; %s without it", ampereHours(v.FirstOut), ampereHours(v.Without)))
	t := table{head: []string{"battery", "share", "A", "Ah out", "life"}}
	for i := range j.Bank.Batteries {
		life := "none"
		if v.Life.Err == nil && !math.IsNaN(v.Life.Ratio[i]) {
			life = quantity.FormatFixed(v.Life.Ratio[i], 2)
		}
		t.add(j.Bank.Batteries[i].ID, quantity.FormatFixed(v.Share[i], 3), quantity.FormatFixed(v.Current[i], 1), quantity.FormatFixed(v.Out[i]/perHour, 1), life)
	}
	t.write(w)
	tell(w, "in case "+strings.TrimPrefix(caseWords(&report.Sharing{Case: v.Case}), "case ")+", from equal states of charge; life: "+v.Life.Words)
}
