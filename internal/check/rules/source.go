package rules

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/feed"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/rating"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

// sourceRules are those of what charges the batteries.
var sourceRules = []*Rule{&losesBattery, &chargeSum, &chargeVolts, &outputDevice, &lockoutCold}

var losesBattery = Rule{
	ID:       "SRC-01",
	Title:    "A source that loses its battery",
	Text:     "When a switch opens while a source is charging, or the protection that lithium batteries have of their own, the source has no battery to hold its voltage down. An alternator's field cannot fall at once: its voltage shoots up and takes its own diodes and everything else on the wire with it. An alternator without a limit of its current also asks all it can of batteries that take all they get, and overheats.",
	Source:   source.Ref{Title: "an alternator keeps a lead-acid battery, a suppressor or a charger between it and batteries that can open", How: source.Practice},
	Severity: finding.Warning,
	Failing:  dcWith("on_open: stops", "on_open: surges"),
	Passing:  dcJob,
	check:    checkLosesBattery,
}

func checkLosesBattery(r *report.Report, say *speaker) {
	for i := range r.Bank.Parts {
		p := &r.Bank.Parts[i]
		if !p.Kind.Charges() {
			continue
		}
		opens, stay := whatOpens(r, p.ID)
		alternator := p.Kind == bank.Alternator
		switch {
		case p.Device.OnOpen == bank.OpenSurges:
			say.find(p.ID, "the voltage of "+p.ID+" shoots up when "+opens+" opens under it", stay)
		case p.Device.OnOpen == "" && alternator:
			say.find(p.ID, "what alternator "+p.ID+" does when "+opens+" opens under it is not said; most shoot up", stay+"; then say so with on_open")
		case p.Device.OnOpen == "":
			say.pass(p.ID, "the job does not say what it does when "+opens+" opens under it (on_open)")
		}
		if alternator && p.Device.Current <= 0 && !p.Device.Limited {
			say.find(p.ID, "alternator "+p.ID+" has no limit of its current: into batteries of low resistance it gives all it can until it overheats", "limit it by its regulator or a charger between, and give current, or limited: true where it limits itself")
		}
	}
}

// whatOpens tells what may part a source from its batteries, and what helps:
// only batteries with electronics open by themselves.
func whatOpens(r *report.Report, id string) (opens, stay string) {
	for i := range r.Side.Hazards {
		if h := &r.Side.Hazards[i]; h.Through == id && electronic(r, h) {
			return "the batteries' protection or a switch", "keep a lead-acid battery or a suppressor on it, or charge through a charger that stops by itself"
		}
	}
	return "a switch or fuse", "open no switch while it runs, put a suppressor on it, or charge through a charger that stops by itself"
}

// electronic reports whether a hazard's batteries have protection of their own.
func electronic(r *report.Report, h *report.Hazard) bool {
	g := &r.Bank.Battery(h.Batteries[0]).Model.Guard
	return g.Electronic || g.Trip.Origin == source.Given
}

var chargeSum = Rule{
	ID:       "SRC-02",
	Title:    "The sources charge with more than the batteries take",
	Text:     "Each source alone at its most, and all of them together, are shared among the batteries by the resistances of the job. One source alone over a battery's charge limit is a fault; all together are a warning, since the sun, an engine and the mains seldom give their most at once, but they can.",
	Source:   source.Ref{Title: "the charge limit of the battery in the job", How: source.Practice},
	Severity: finding.Fault,
	Failing:  dcWith("kind: charger, current: 40 A", "kind: charger, current: 120 A"),
	Passing:  dcJob,
	check:    checkChargeSum,
}

func checkChargeSum(r *report.Report, say *speaker) {
	over := map[string]bool{}
	for _, c := range r.Side.Charges {
		severity := finding.Fault
		if len(c.Sources) > 1 {
			severity = finding.Warning
		}
		for _, b := range c.Batteries {
			switch {
			case b.Limit <= 0:
				if len(c.Sources) == 1 && !over[b.ID] {
					over[b.ID] = true // said once
					say.pass(b.ID, "the job gives no charge limit")
				}
			case b.Amps > b.Limit*(1+1e-9) && !over[b.ID]:
				over[b.ID] = true // its sum with others is no news
				say.hold(severity, b.ID, fmt.Sprintf("%s charging with %s push %s into %s; its charge limit is %s", strings.Join(c.Sources, " and "), amps(c.Amps), amps(b.Amps), b.ID, amps(b.Limit)),
					"set the sources lower, or add batteries", number{value: b.Amps, limit: b.Limit, unit: "A"}, source.Ref{})
			}
		}
	}
	for i := range r.Bank.Parts {
		if p := &r.Bank.Parts[i]; p.Kind.Charges() && p.Device.Current <= 0 && p.Kind != bank.Alternator {
			say.pass(p.ID, "the job gives no current")
		}
	}
}

var chargeVolts = Rule{
	ID:       "SRC-03",
	Title:    "A source's voltage does not suit the batteries",
	Text:     "The voltage that a source holds is shared among the batteries in series. Over a battery's own high limit its protection opens under the source at every charge: a fault. Where the job gives no limit, what is customary for the chemistry counts: a warning. Lithium iron phosphate needs no float; held higher than its resting voltage it stays full, which ages it: a note.",
	Source:   source.Ref{Title: "the high limit of the battery in the job, else customary charge voltages of its chemistry", How: source.Practice},
	Severity: finding.Fault,
	Failing:  dcWith("voltage: 14.2 V", "voltage: 14.8 V"),
	Passing:  dcJob,
	check:    checkChargeVolts,
}

func checkChargeVolts(r *report.Report, say *speaker) {
	for i := range r.Side.Hazards {
		h := &r.Side.Hazards[i]
		if h.What != report.OverVoltage {
			continue
		}
		p, b := r.Bank.Part(h.Through), r.Bank.Battery(h.Batteries[0])
		if p.Device.Voltage <= 0 {
			say.pass(p.ID, "the job gives no voltage")
			continue
		}
		table, ok := rating.ChargingOf(string(b.Chemistry))
		cells := table.Cells(float64(b.Nominal))
		limit, severity, ref, whose := float64(b.Model.Guard.High.V), finding.Fault, source.Ref{}, "the limit of "+names(h)
		if b.Model.Guard.High.Origin != source.Given {
			if !ok {
				say.pass(p.ID, "no charge voltage is known for "+string(b.Chemistry))
				continue
			}
			limit, severity, ref = table.Highest*cells, finding.Warning, table.HighestRef
			whose = "customary at most for " + string(b.Chemistry) + ", for the job gives no limit of " + names(h) + ","
		}
		if v := h.PerBattery * float64(p.Device.Voltage); v > limit*(1+1e-9) && !over(v, otherBank*float64(b.Nominal)) { // beyond is DEV-02
			say.hold(severity, p.ID, fmt.Sprintf("%s holds %s%s; %s is %s", p.ID, volt(float64(p.Device.Voltage)), each(h, v), whose, volt(limit)),
				"set it lower", number{value: v, limit: limit, unit: "V"}, ref)
		}
		if v, most := h.PerBattery*float64(p.Device.Float), table.Float.Most*cells; ok && b.Chemistry == bank.LFP && v > most*(1+1e-9) {
			say.hold(finding.Note, p.ID, fmt.Sprintf("%s floats at %s%s; lithium iron phosphate is customarily floated at %s at most, or not at all", p.ID, volt(float64(p.Device.Float)), each(h, v), volt(most)),
				"set the float lower or off", number{value: v, limit: most, unit: "V"}, table.FloatRef)
		}
	}
}

// each gives a battery's part of a voltage where it is not the whole.
func each(h *report.Hazard, v float64) string {
	if h.PerBattery == 1 {
		return ""
	}
	return ", " + volt(v) + " a battery"
}

var outputDevice = Rule{
	ID:       "SRC-04",
	Title:    "The device on an alternator's output is too large or missing",
	Text:     "Each live output of an alternator is to have a fuse or breaker of at most 120 % of its largest output at 60 °C, unless it limits itself by its build (limited: true). A fuse that feeds loads too is not of the output alone: it may be larger, and does not count.",
	Source:   source.Ref{Title: "33 CFR 183.460", At: "(b)", Edition: "not at hand", How: source.Memory},
	Severity: finding.Warning,
	Failing:  dcWith("kind: charger, current: 40 A", "kind: alternator, current: 40 A"),
	Passing:  dcJob,
	check:    checkOutputDevice,
}

func checkOutputDevice(r *report.Report, say *speaker) {
	ratio := outputRatio()
	var m *feed.Map
	for i := range r.Bank.Parts {
		p := &r.Bank.Parts[i]
		if p.Kind != bank.Alternator || p.Device.Limited {
			continue
		}
		if p.Device.Current <= 0 {
			say.pass(p.ID, "the job gives no current")
			continue
		}
		if m == nil {
			m = feed.New(r.Bank)
		}
		first, joined := firstDevice(r.Bank, m, p)
		switch {
		case !joined:
			say.pass(p.ID, "no way leads from it to a battery")
		case first == nil:
			say.hold(finding.Warning, p.ID, "no fuse or breaker stands between alternator "+p.ID+" and the batteries", "put one in its output, of at most "+amps(ratio*float64(p.Device.Current))+", unless it limits itself", number{}, say.rule.Source)
		case feedsLoad(r.Bank, m, first.ID) != "":
			say.hold(finding.Warning, p.ID, fmt.Sprintf("alternator %s has no fuse or breaker of its own: the first on its way to the batteries, %s, feeds %s too", p.ID, first.ID, feedsLoad(r.Bank, m, first.ID)), "put one in its output, of at most "+amps(ratio*float64(p.Device.Current))+", unless it limits itself (limited: true)", number{}, say.rule.Source)
		case first.Rated.Current <= 0:
			say.pass(first.ID, "the job gives no rating")
		default:
			limit := ratio * float64(p.Device.Current)
			if float64(first.Rated.Current) > limit*(1+1e-9) {
				say.hold(finding.Warning, first.ID, fmt.Sprintf("%s in the output of alternator %s is rated %s; %.0f %% of the %s that it gives are %s, unless it limits itself", first.ID, p.ID, amps(float64(first.Rated.Current)), 100*ratio, amps(float64(p.Device.Current)), amps(limit)),
					"take a smaller one, or an alternator that limits itself", number{value: float64(first.Rated.Current), limit: limit, unit: "A"}, say.rule.Source)
			}
		}
	}
}

// feedsLoad names a device that draws and that a battery feeds through a fuse or
// breaker, "" where there is none: a device of a source's output alone feeds
// nothing.
func feedsLoad(b *bank.Bank, m *feed.Map, id string) string {
	for i := range b.Parts {
		p := &b.Parts[i]
		if !p.Kind.Draws() {
			continue
		}
		for k := range b.Cables {
			c := &b.Cables[k]
			for n, e := range []bank.End{c.To, c.From} { // what comes to it comes from the other end
				if e != p.Ends()[0] {
					continue
				}
				for _, w := range m.Cables[k].Ways[n] {
					if w.Battery && slices.Contains(w.Devices, id) {
						return p.ID
					}
				}
			}
		}
	}
	return ""
}

// outputRatio is the catalogue's largest device over a source's output.
func outputRatio() float64 {
	if l := catalog.Default().ProtectionLimit("cfr_183_460"); l != nil {
		return float64(l.Ratio)
	}
	panic("rules: the catalogue lacks the limit cfr_183_460")
}

// firstDevice is the protective device nearest to a source on its way to the
// batteries, nil where some way has none; joined is false without any way.
func firstDevice(b *bank.Bank, m *feed.Map, p *bank.Part) (first *bank.Part, joined bool) {
	for i := range b.Cables {
		c := &b.Cables[i]
		for n, e := range []bank.End{c.To, c.From} { // what comes to the post comes from the other end
			if e.Place != "+" {
				continue
			}
			for _, w := range m.Cables[i].Ways[n] {
				if w.Source != p.Ends()[0] {
					continue
				}
				if joined = true; len(w.Devices) == 0 {
					return nil, true
				}
				first = b.Part(w.Devices[0])
			}
		}
	}
	return first, joined
}

var lockoutCold = Rule{
	ID:       "SRC-05",
	Title:    "A source goes on charging where the batteries refuse",
	Text:     "The source's own lockout is set colder than the batteries' limit for charge. It acts too late: the batteries' protection opens under the source each time, and if that fails nothing does.",
	Source:   source.Ref{Title: "the cold_charge limit of the battery in the job", How: source.Practice},
	Severity: finding.Warning,
	Failing:  dcWith("cold_lockout: 2 °C", "cold_lockout: -5 °C"),
	Passing:  dcJob,
	check:    checkLockoutCold,
}

func checkLockoutCold(r *report.Report, say *speaker) {
	eachCold(r, func(p *bank.Part, h *report.Hazard, battery quantity.Temperature) {
		if own := p.Device.ColdLockout; own > 0 && float64(battery-own) > 1e-6 && !math.IsNaN(float64(own)) {
			say.hold(finding.Warning, p.ID, fmt.Sprintf("%s charges down to %s; %s take no charge below %s", p.ID, r.Bank.Show.FormatTemperature(own), names(h), r.Bank.Show.FormatTemperature(battery)),
				"set its lockout at or above the batteries' limit", number{value: float64(own), limit: float64(battery), unit: "K", least: true}, source.Ref{})
		}
	})
}
