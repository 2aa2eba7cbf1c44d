package assess

import (
	"math"

	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// idlePart is what an inverter takes without load where the job does not say:
// one percent of its lasting power.
const idlePart = 0.01

var idlePractice = source.Ref{Title: "an inverter of 2 kW takes some 20 W without load", How: source.Practice}

// idle is what an inverter takes without load, W.
func idle(p *bank.Part) (watts float64, assumed bool) {
	if p.Device.Idle > 0 {
		return float64(p.Device.Idle), false
	}
	return idlePart * float64(p.Device.Power), true
}

// inverterPast is one inverter's hour, W as means over it: what it gives, what
// it loses while something runs, what it takes while nothing does, and in which
// part of the hour something runs.
type inverterPast struct{ gives, loses, idles, busy float64 }

// inverterLoss is what an inverter loses, W, while it gives so many watts. Of a
// curve the losses are straight between its points, from what it takes without
// load on: an efficiency straight from nought would make the loss at a small
// load as large as at the first point. A single figure holds at any load, but
// the loss is never below what it takes without one.
func inverterLoss(d *bank.Device, standing, watts float64) float64 {
	at := bank.Line{{X: 0, Y: standing}}
	for _, p := range d.EfficiencyCurve {
		if x := float64(p.Load) * float64(d.Power); x > 0 && p.Efficiency > 0 {
			at = append(at, bank.LinePoint{X: x, Y: x * (1/float64(p.Efficiency) - 1)})
		}
	}
	last := at[len(at)-1]
	switch {
	case len(at) == 1 && d.Efficiency.V > 0:
		return math.Max(standing, watts*(1/float64(d.Efficiency.V)-1))
	case len(at) > 1 && watts > last.X:
		return last.Y / last.X * watts // the efficiency of the last point
	}
	return at.At(watts)
}

// inverter gives an inverter's hour. Loads that run independently of one
// another leave it idle for Π(1 − part) of the hour; its efficiency is that at
// its mean load while it is not.
func (t *dayTable) inverter(p *bank.Part, parts, watts []float64) inverterPast {
	var one inverterPast
	still := 1.0
	for n, f := range parts {
		still *= 1 - f
		one.gives += float64(f * watts[n])
	}
	one.busy = 1 - still
	standing, _ := idle(p)
	if one.busy > 0 {
		one.loses = one.busy * inverterLoss(&p.Device, standing, one.gives/one.busy)
	}
	if !t.ask.InvertersOff {
		one.idles = standing * still
	}
	return one
}

// dayHour is what one hour of a day asks of the bank, W as means over it.
type dayHour struct {
	byLoad                  []float64
	loads, lost, idle, wire float64
}

func (h *dayHour) asked() float64 { return h.loads + h.lost + h.idle + h.wire }

// hour gives hour h of a kind of day.
func (t *dayTable) hour(month, h int, bad bool) dayHour {
	out := dayHour{byLoad: make([]float64, len(t.ask.Loads))}
	through := map[string][2][]float64{}
	var flows []dayFlow
	for n := range t.ask.Loads {
		l := &t.ask.Loads[n]
		f, w := t.runs(n, month, h, bad), t.out.Loads[n].Watts
		out.byLoad[n] = f * w
		out.loads += out.byLoad[n]
		if l.Through == "" {
			flows = append(flows, dayFlow{l.Part, f, w / t.out.Nominal})
			continue
		}
		both := through[l.Through]
		both[0], both[1] = append(both[0], f), append(both[1], w)
		through[l.Through] = both
	}
	for _, id := range t.inverters() {
		both := through[id]
		past := t.inverter(t.part(id), both[0], both[1])
		out.lost += past.loses
		out.idle += past.idles
		if past.busy > 0 {
			flows = append(flows, dayFlow{id, past.busy, (past.gives + past.loses) / past.busy / t.out.Nominal})
		}
		if past.idles > 0 {
			flows = append(flows, dayFlow{id, 1, past.idles / t.out.Nominal})
		}
	}
	out.wire = t.wires.loss(flows)
	return out
}

// inverters are those that a load of the day names, in the order of the parts.
func (t *dayTable) inverters() []string {
	var ids []string
	for i := range t.j.Bank.Parts {
		id := t.j.Bank.Parts[i].ID
		for n := range t.ask.Loads {
			if t.ask.Loads[n].Through == id {
				ids = append(ids, id)
				break
			}
		}
	}
	return ids
}

// asks fills what a kind of day asks.
func (t *dayTable) asks(k *report.DayKind, month int, bad bool) {
	k.ByLoad = make([]float64, len(t.ask.Loads))
	for h := range 24 {
		one := t.hour(month, h, bad)
		for n, w := range one.byLoad {
			k.ByLoad[n] += w * hourSeconds
		}
		k.Loads += one.loads * hourSeconds
		k.Inverters += one.lost * hourSeconds
		k.Idle += one.idle * hourSeconds
		k.Wiring += one.wire * hourSeconds
		k.Hours[h] = one.asked()
	}
}

// idlers sets what each inverter gives against what it takes for nothing, mean
// of the months.
func (t *dayTable) idlers() {
	for _, id := range t.inverters() {
		p := t.part(id)
		one := report.DayInverter{ID: id}
		one.Standing, one.Assumed = idle(p)
		for m := range t.out.Months {
			for h := range 24 {
				var parts, watts []float64
				for n := range t.ask.Loads {
					if t.ask.Loads[n].Through == id {
						parts, watts = append(parts, t.runs(n, m, h, false)), append(watts, t.out.Loads[n].Watts)
					}
				}
				past := t.inverter(p, parts, watts)
				one.Gives += past.gives * hourSeconds / 12
				one.Idle += past.idles * hourSeconds / 12
			}
		}
		t.out.Inverters = append(t.out.Inverters, one)
	}
}
