package rules

import (
	"fmt"
	"math"

	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// Parts of the nominal voltage that may be lost on the way: 3 % for what
// matters, 10 % for the rest.
const (
	dropCritical = 0.03
	dropOther    = 0.10
)

var drop = Rule{
	ID:       "DRP-01",
	Title:    "Too much voltage is lost on the way to a device",
	Text:     "The loss along the whole way, out and back, with all loads on and the cables as warm as that makes them. Inverters count as a main feeder: 3 %. Other loads may lose 10 %; a pump, a fan or a radio that matters should keep to 3 %.",
	Source:   source.Ref{Title: "voltage drop: 3 % for main feeders and what matters, 10 % for the rest", At: "ABYC text as a marine page quotes it; ISO 10133 lists 3 % too", Edition: "not stated", How: source.Read},
	Severity: finding.Warning,
	Failing:  dcWith("{id: W11, from: D1.b, to: L1.a, size: 12 AWG, length: 4 ft", "{id: W11, from: D1.b, to: L1.a, size: 12 AWG, length: 60 ft"),
	Passing:  dcJob,
	check:    checkDrop,
}

func checkDrop(r *report.Report, say *speaker) {
	for _, l := range r.Side.Loads {
		limit := dropOther
		if k := r.Bank.Part(l.Part).Kind; k != bank.Load {
			limit = dropCritical
		}
		switch {
		case math.IsNaN(l.DropFraction):
			say.pass(l.Part, "the job gives neither its power nor its current")
		case l.DropFraction > limit*(1+1e-9):
			say.hold(finding.Warning, l.Part, fmt.Sprintf("%s loses %.1f %% of %s on the way with all loads on; the limit is %.0f %%", l.Part, 100*l.DropFraction, volt(l.Open), 100*limit),
				"take a larger size or a shorter way", number{value: l.DropFraction, limit: limit, unit: "1"}, source.Ref{})
		}
	}
}

var cutout = Rule{
	ID:       "DRP-02",
	Title:    "A device cuts out in its own surge",
	Text:     "In a surge the batteries' own resistance counts beside the cables'. Where the voltage at the device's terminals falls under its cut-out it stops, just when a motor starts. Looked at with all other loads on and the bank as far down as it is used: at the batteries' floor, else at 20 %, assumed.",
	Source:   source.Ref{Title: "the cut-out of the device in the job", How: source.Practice},
	Severity: finding.Warning,
	Failing:  dcWith("cutout: 10.5 V", "cutout: 12.8 V"),
	Passing:  dcJob,
	check:    checkCutout,
}

func checkCutout(r *report.Report, say *speaker) {
	for _, l := range r.Side.Loads {
		p, w := r.Bank.Part(l.Part), l.Weak
		cut := float64(p.Device.Cutout)
		switch {
		case cut == 0:
			if p.Kind != bank.Load {
				say.pass(l.Part, "the job gives no cut-out voltage")
			}
		case math.IsNaN(w.Volts):
			say.pass(l.Part, "the job gives neither its power nor its current")
		case w.Volts < cut*(1-1e-9):
			say.hold(finding.Warning, l.Part, weakWords(&l, cut),
				"shorten or thicken its cables, add a battery, or lower the cut-out where its maker allows it", number{value: w.Volts, limit: cut, unit: "V", least: true}, source.Ref{})
		}
	}
}

// weakWords says what a device has at its terminals with the bank far down, and
// from which charge down it stops.
func weakWords(l *report.LoadPoint, cut float64) string {
	w := &l.Weak
	in := "with all loads on"
	if w.Surge {
		in = "in its surge with all loads on"
	}
	charge := fmt.Sprintf("the bank at %.0f %%", 100*w.Charge)
	if w.Assumed {
		charge += " (assumed: the job gives no floor)"
	}
	stops := "even with a full bank"
	if !math.IsNaN(w.Stops) {
		stops = fmt.Sprintf("with the bank under %.0f %%", 100*w.Stops)
	}
	if w.Volts == 0 {
		return fmt.Sprintf("the bank cannot give %s its power %s, %s; it cuts out at %s, %s", l.Part, in, charge, volt(cut), stops)
	}
	return fmt.Sprintf("%s has %s at its terminals %s, at %s, %s; it cuts out at %s, %s", l.Part, volt(w.Volts), in, amps(w.Amps), charge, volt(cut), stops)
}
