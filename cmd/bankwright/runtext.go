package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// rows is how many lines of a series the text shows at most, unless asked.
const rows = 18

func runText(w io.Writer, j *assess.Job, r *report.Run, all bool, out []assess.Drop) {
	tell(w, j.Bank.Title+", "+stepsWords(r))
	if r.BeganFull() {
		tell(w, "note: the batteries begin full (start is 100 % where the job says nothing), so nothing can be put in; give start, or a sequence that draws first")
	}
	fmt.Fprintln(w)
	seriesText(w, r, all)
	eventsText(w, j.Bank, r, out)
	runFusesText(w, r)
	fmt.Fprintln(w)
	deliveredText(w, r)
	fmt.Fprintln(w)
	batteriesText(w, j, r)
	restText(w, r)
	fmt.Fprintln(w)
	tell(w, errorWords(r))
}

// stepsWords names the case, or a sequence with its cases.
func stepsWords(r *report.Run) string {
	if len(r.Steps) == 1 {
		s := r.Steps[0]
		words := "case " + caseWords(&report.Sharing{Case: s.Case})
		if s.Case.Voltage > 0 {
			words += " up to " + quantity.Format(s.Case.Voltage, 4)
		}
		return words + "; ended after " + clock(s.End) + ": " + endWords(s, r)
	}
	var parts []string
	for _, s := range r.Steps {
		parts = append(parts, s.Case.ID+" until "+clock(s.End))
	}
	if len(parts) > 8 {
		parts = append(parts[:7], fmt.Sprintf("and %d more", len(r.Steps)-7))
	}
	return "sequence " + r.ID + ": " + strings.Join(parts, ", ") + "; " + r.Ended
}

func endWords(s report.RunStep, r *report.Run) string {
	if s.Ended == "time" {
		return r.Ended
	}
	return s.Ended
}

// clock prints a time of a run as hours and minutes.
func clock(s float64) string {
	switch m := int(math.Round(s / 60)); {
	case s < 60 && s != 0:
		return quantity.FormatFixed(s, 1) + " s"
	case m < 60:
		return fmt.Sprintf("%d min", m)
	case m < 48*60:
		return fmt.Sprintf("%d h %02d min", m/60, m%60)
	default:
		return fmt.Sprintf("%d d %d h %02d min", m/1440, m/60%24, m%60)
	}
}

// moment prints the time of an event to the second.
func moment(s float64) string {
	t := int(math.Round(s))
	if t < 60 {
		return clock(s)
	}
	return fmt.Sprintf("%s %02d s", clock(float64(t/60*60)), t%60)
}

// seriesText prints the series, thinned to a screenful of round times.
func seriesText(w io.Writer, r *report.Run, all bool) {
	t := table{head: []string{"time", "A", "V"}}
	wide := len(r.Batteries) <= 6
	if wide {
		for _, b := range r.Batteries {
			t.head = append(t.head, b.ID+" A", "%")
		}
	} else {
		t.head = append(t.head, "most A", "least A", "most %", "least %")
	}
	step := 1
	if n := len(r.Time); !all && n > rows {
		step = roundStep((n-1)/rows+1, r.Every)
	}
	for n := range r.Time {
		if n%step != 0 && n != len(r.Time)-1 {
			continue
		}
		line := []string{clock(r.Time[n]), quantity.FormatFixed(r.Current[n], 1), quantity.FormatFixed(r.Voltage[n], 2)}
		if wide {
			for i := range r.Batteries {
				b := &r.Batteries[i]
				line = append(line, quantity.FormatFixed(b.Current[n], 1), quantity.FormatFixed(100*b.Charge[n], 1))
			}
		} else {
			line = append(line, extremes(r, n)...)
		}
		t.add(line...)
	}
	t.write(w)
	tell(w, "each line is what stood just before anything that happens at its time")
}

// roundStep gives a number of samples that makes a time people read easily.
func roundStep(least int, every float64) int {
	for _, minutes := range []float64{1, 2, 5, 10, 15, 20, 30, 60, 120, 180, 240, 360, 720, 1440, 2880, 7200} {
		if n := minutes * 60 / every; n >= float64(least) && n == math.Trunc(n) {
			return int(n)
		}
	}
	return least
}

func extremes(r *report.Run, n int) []string {
	most, least, full, empty := math.Inf(-1), math.Inf(1), math.Inf(-1), math.Inf(1)
	for i := range r.Batteries {
		b := &r.Batteries[i]
		most, least = math.Max(most, b.Current[n]), math.Min(least, b.Current[n])
		full, empty = math.Max(full, b.Charge[n]), math.Min(empty, b.Charge[n])
	}
	return []string{quantity.FormatFixed(most, 1), quantity.FormatFixed(least, 1), quantity.FormatFixed(100*full, 1), quantity.FormatFixed(100*empty, 1)}
}

// eventsText lists what happened, in order.
func eventsText(w io.Writer, b *bank.Bank, r *report.Run, out []assess.Drop) {
	fmt.Fprintln(w)
	for _, d := range out {
		tell(w, moment(d.Time)+"  "+d.ID+" is taken out by hand")
	}
	if len(r.Events) == 0 {
		tell(w, "no battery empties, fills up or trips.")
		return
	}
	for n, e := range r.Events {
		if n == 40 {
			tell(w, fmt.Sprintf("and %d more; --json has them all", len(r.Events)-n))
			break
		}
		tell(w, moment(e.Time)+"  "+eventWords(b, &e))
	}
}

// eventWords says what happened to a battery and why.
func eventWords(b *bank.Bank, e *report.Event) string {
	assumed := ""
	if e.Assumed {
		assumed = " (assumed)"
	}
	switch {
	case e.What == report.Empty && e.Because == "charge":
		return fmt.Sprintf("%s is empty: state of charge %s; it goes out", e.Battery, quantity.Format(quantity.Ratio(math.Max(0, e.Value)), 3))
	case e.What == report.Empty:
		return fmt.Sprintf("%s is empty: %s at its posts, under its limit of %s%s; it goes out", e.Battery, volt(e.Value), volt(e.Limit), assumed)
	case e.What == report.Full:
		return e.Battery + " is full; it takes no more charge"
	case e.What == report.TripCurrent:
		return fmt.Sprintf("%s trips: %s on %s, over its %s%s; it goes out", e.Battery, ampere(e.Value), otherSide(e), ampere(e.Limit), assumed)
	case e.What == report.TripVoltage:
		return fmt.Sprintf("%s trips: %s at its posts, over its limit of %s%s; it takes no more charge", e.Battery, volt(e.Value), volt(e.Limit), assumed)
	case e.What == report.TripTemperature:
		return fmt.Sprintf("%s trips: it is at %s, its limit is %s%s; %s opens", e.Battery, b.Show.FormatTemperature(quantity.Temperature(e.Value)), b.Show.FormatTemperature(quantity.Temperature(e.Limit)), assumed, e.Opens)
	}
	return e.Battery + " closes again (" + e.Opens + ")"
}

func otherSide(e *report.Event) string {
	if e.OnCharge {
		return "charge"
	}
	return "discharge"
}

func ampereHours(c float64) string { return quantity.FormatFixed(c/perHour, 1) + " Ah" }
func kilowattHours(j float64) string {
	return quantity.FormatFixed(j/perHour/1000, 2) + " kWh"
}

func deliveredText(w io.Writer, r *report.Run) {
	if !math.IsNaN(r.FirstOut) {
		tell(w, fmt.Sprintf("given until the first battery was out: %s, %s", ampereHours(r.FirstOut), kilowattHours(r.FirstOutJ)))
	}
	if !math.IsNaN(r.BankOut) {
		tell(w, fmt.Sprintf("given until the bank was out: %s, %s", ampereHours(r.BankOut), kilowattHours(r.BankOutJ)))
	}
	if r.Delivered > 0 && math.IsNaN(r.BankOut) {
		tell(w, fmt.Sprintf("given in all: %s, %s", ampereHours(r.Delivered), kilowattHours(r.Energy)))
	}
	if r.Taken > 0 {
		tell(w, fmt.Sprintf("taken in all: %s, %s", ampereHours(r.Taken), kilowattHours(r.TakenJ)))
	}
	tell(w, "on the labels: "+ampereHours(r.Nameplate))
}

// batteriesText sums each battery up, and says in which order they filled.
func batteriesText(w io.Writer, j *assess.Job, r *report.Run) {
	gas := slices.ContainsFunc(r.Batteries, func(b report.BatteryRun) bool { return b.Lost > 0.01*perHour })
	t := table{head: []string{"battery", "Ah out", "Ah in", "most %", "least %", "peak A", "at", "life"}}
	if gas {
		t.head = append(t.head, "Ah gas")
	}
	life := j.Life(r)
	for i := range r.Batteries {
		b := &r.Batteries[i]
		name := b.ID
		if b.Assumed {
			name += " ~"
		}
		age := "none"
		if life.Err == nil && !math.IsNaN(life.Ratio[i]) {
			age = quantity.FormatFixed(life.Ratio[i], 2)
		}
		cells := []string{name, quantity.FormatFixed(b.Out/perHour, 1), quantity.FormatFixed(b.In/perHour, 1), quantity.FormatFixed(100*b.Most, 1), quantity.FormatFixed(100*b.Least, 1),
			quantity.FormatFixed(b.Peak, 1), clock(b.PeakAt), age}
		if gas {
			cells = append(cells, quantity.FormatFixed(b.Lost/perHour, 1))
		}
		t.add(cells...)
	}
	t.write(w)
	tell(w, "~ rests on an assumed battery value; life: "+life.Words)
	var order []string
	for _, e := range r.Events {
		if (e.What == report.Full || e.What == report.TripVoltage) && e.OnCharge && !slices.Contains(order, e.Battery) {
			order = append(order, e.Battery)
		}
	}
	if len(order) > 1 {
		tell(w, "the charge is ended by, in order: "+strings.Join(order, ", "))
	}
}

// restText says what flows once the load has stopped.
func restText(w io.Writer, r *report.Run) {
	e := r.Rest
	if e == nil {
		return
	}
	fmt.Fprintln(w)
	if e.Largest < 0.05 {
		tell(w, "when the load stops, nothing of note flows between the batteries")
		return
	}
	var parts []string
	for i, c := range e.Current {
		if math.Abs(c) >= 0.05 {
			parts = append(parts, fmt.Sprintf("%s %s", r.Batteries[i].ID, quantity.FormatFixed(c, 1)))
		}
	}
	words := fmt.Sprintf("when the load stops, current flows between the batteries (A, positive gives): %s", strings.Join(parts, ", "))
	if math.IsNaN(e.Settles) {
		words += fmt.Sprintf("; it has not fallen to a tenth after %s", clock(e.Watched))
	} else {
		words += fmt.Sprintf("; it falls to a tenth in %s", clock(e.Settles))
	}
	tell(w, words+fmt.Sprintf("; the most moved battery gives or takes %s", ampereHours(e.Moved)))
}

// errorWords states how good the numbers are.
func errorWords(r *report.Run) string {
	words := fmt.Sprintf("computed at %d instants", r.Computed)
	if math.IsNaN(r.StepError) {
		return words
	}
	words += fmt.Sprintf("; with every step halved no state of charge moves by more than %s", percentError(r.StepError))
	switch {
	case math.IsInf(r.EventError, 1):
		words += ", but the order of events changes: two of them all but coincide"
	case len(r.Events) > 0:
		words += fmt.Sprintf(", no event by more than %s", secondsError(r.EventError))
	}
	return words
}

func percentError(v float64) string {
	if v < 1e-6 {
		return "0.0001 %"
	}
	return quantity.FormatFixed(100*v, 4) + " %"
}

func secondsError(v float64) string {
	if v < 0.01 {
		return "0.01 s"
	}
	return quantity.FormatFixed(v, 2) + " s"
}

// firstWords says what ended the even part of a discharge.
func firstWords(id string) string {
	if id == "" {
		return "the bank cannot give it any more"
	}
	return id + " goes out first"
}

// againstText says what the job's own wiring loses against the front.
func againstText(w io.Writer, c *assess.Compared) {
	fmt.Fprintln(w)
	if c.Note != "" {
		tell(w, "not compared with other wirings: "+c.Note)
		return
	}
	demand := "draw " + quantity.Format(c.Case.Current, 4)
	if c.Case.ByPower {
		demand = "draw " + quantity.Format(c.Case.Power, 4)
	}
	tell(w, fmt.Sprintf("carried on until the bank is out (%s), this wiring gives %s until %s, %s in all", demand,
		ampereHours(c.Own.FirstOut), firstWords(c.Own.First), ampereHours(c.Own.BankOut)))
	if c.Best < 0 {
		tell(w, "the front is empty: nothing to compare with")
		return
	}
	best := c.Front[c.Best]
	words := fmt.Sprintf("wiring %d of the front gives most until its first is out: %s", c.Best+1, ampereHours(best.FirstOut))
	if lost := best.FirstOut - c.Own.FirstOut; lost > 0.05*perHour {
		words += fmt.Sprintf("; this wiring loses %s of that", ampereHours(lost))
	} else {
		words += "; this wiring loses nothing of note"
	}
	tell(w, words)
}
