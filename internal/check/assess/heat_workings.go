package assess

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/base/working"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// IsHeatNumber reports whether a number's name is one of warmth.
func IsHeatNumber(id string) bool { return strings.HasPrefix(id, "heat.") }

// ExplainHeat gives the working of a number of warmth, such as heat.B1.coldest,
// heat.wall.bay.lid, heat.freeze, heat.hold, heat.sensor. The error lists what
// there is.
func (j *Job) ExplainHeat(id string) (working.Working, error) {
	h, err := j.Heat(HeatOptions{Year: true})
	if err != nil {
		return working.Working{}, err
	}
	if h.Missing != "" && h.Gas == nil {
		return working.Working{}, fmt.Errorf("%s", h.Missing)
	}
	var names []string
	for _, w := range j.heatWorkings(h) {
		if w.ID == id {
			return w, nil
		}
		names = append(names, w.ID)
	}
	return working.Working{}, fmt.Errorf("there is no number %s; there are %s", id, strings.Join(names, ", "))
}

// networkLaw is the ground of what the network gives.
const networkLaw = "C·dT/dt = heat within + Σ G·(neighbour − T) at every node, solved exactly through its modes hour by hour, thermostats looked at every two minutes"

func (j *Job) heatWorkings(h *report.Heat) []working.Working {
	all := j.gasWorkings(h)
	if h.Missing != "" {
		return all
	}
	w, _ := newWarm(j)
	all = append(all, w.wallWorkings()...)
	in := w.networkInputs()
	temp := func(v float64) string { return j.Bank.Show.FormatTemperature(quantity.Temperature(v)) }
	for _, b := range h.Batteries {
		all = append(all,
			working.Working{ID: "heat." + b.ID + ".coldest", What: b.ID + ": coldest core in the cold week, " + HourWords(b.ColdestAt), Formula: networkLaw, Inputs: in, Result: temp(b.Coldest)},
			working.Working{ID: "heat." + b.ID + ".hottest", What: b.ID + ": hottest core in the hot week, " + HourWords(b.HottestAt), Formula: networkLaw, Inputs: in, Result: temp(b.Hottest)})
	}
	if !math.IsNaN(h.Cold.Wait.After) {
		all = append(all, working.Working{ID: "heat.wait", What: "hours of the cold week in which charge has to wait", Formula: "hours in which the core of any battery is below its limit for charge", Inputs: in, Result: fmt.Sprintf("%d h, %d in daylight", h.Cold.Wait.Hours, h.Cold.Wait.Daylight)})
	}
	return append(all, w.needWorkings(h, in)...)
}

// needWorkings are those of what is needed.
func (w *warm) needWorkings(h *report.Heat, in []working.Input) []working.Working {
	var all []working.Working
	temp := func(v float64) string { return w.j.Bank.Show.FormatTemperature(quantity.Temperature(v)) }
	computed := func(name, value string) working.Input {
		return working.Input{Name: name, Value: value, Origin: source.Computed}
	}
	if f := h.Freeze; f != nil {
		result := "never within thirty days"
		if !math.IsInf(f.Seconds, 1) {
			result = spanWords(f.Seconds)
		}
		lump, err := w.lump()
		check := "one body of all: not known"
		if err == nil {
			check = fmt.Sprintf("one body of all, τ·ln((start − rest)/(limit − rest)) with τ = C/UA = %s: %s", spanWords(lump.Tau()), spanWords(f.Lump))
		}
		all = append(all, working.Working{ID: "heat.freeze", What: "time until the first battery is at its limit, without heat and current", Formula: "the network left alone from one temperature; " + check,
			Inputs: append([]working.Input{computed("start", temp(f.Start)), computed("outside, mean of the coldest day", temp(f.Outside)), computed("rest, where the batteries would come to", temp(f.Settles)), computed("limit", temp(f.Limit))}, in...), Result: result})
	}
	if z := h.Heating; z != nil {
		all = append(all, working.Working{ID: "heat.hold", What: "power that holds every battery at " + temp(z.Target) + " through the coldest day", Formula: "most over batteries of (target − T without heat)/(K a watt), both of the network at rest",
			Inputs: append([]working.Input{computed("outside, mean of the coldest day", temp(z.Outside)), {Name: "target", Value: temp(z.Target), Origin: source.Assumed, Note: fmt.Sprintf("%g K above the limit", above), Source: "common practice, no source"}}, in...), Result: quantity.Format(quantity.Power(z.Hold), 3)},
			working.Working{ID: "heat.day", What: "heating on the coldest day", Formula: "sum of heater power over the hours it is on, thermostat and all; " + networkLaw, Inputs: in, Result: quantity.Format(quantity.Energy(z.DayJ), 3)})
	}
	if c := h.Cooling; c != nil && c.Possible {
		all = append(all, working.Working{ID: "heat.flow", What: "outside air all the time that keeps the batteries under their limit in the hot week", Formula: "the least flow, by halving, at which no core passes its limit; V·1.2 kg/m³·1005 J/(kg·K) as W/K", Inputs: in, Result: quantity.Format(quantity.Flow(c.Flow), 3)})
	}
	if h.BestSensor >= 0 {
		s := h.Sensors[h.BestSensor]
		all = append(all, working.Working{ID: "heat.sensor", What: "least setting of a lockout that feels " + s.At, Formula: "the highest reading there in any hour of the cold week and the year in which a battery is below its limit", Inputs: in, Result: temp(s.Setting)})
	}
	return all
}

// networkInputs are the values that every number of the network rests on.
func (w *warm) networkInputs() []working.Input {
	var in []working.Input
	for i := range w.j.Bank.Warmth.Walls {
		d := &w.j.Bank.Warmth.Walls[i]
		u, _ := w.of(d)
		in = append(in, working.Input{Name: "U of " + d.Side + " of " + d.Compartment, Value: fmt.Sprintf("%.3f W/(m²·K) over %.3f m²", u.U, d.Area.V), Origin: source.Computed, ID: "heat.wall." + d.Compartment + "." + d.Side})
	}
	for i := range w.j.Bank.Batteries {
		if w.core[i] >= 0 {
			b := &w.j.Bank.Batteries[i]
			in = append(in, working.Input{Name: "heat capacity of " + b.ID, Value: fmt.Sprintf("%.1f kJ/K", w.capacity(b)/1e3), Origin: source.Assumed, Source: "specific heat from memory", Note: "mass times specific heat"})
		}
	}
	p := &w.j.Bank.Place
	in = append(in, input("coldest hour", w.j.Bank.Show.FormatTemperature(p.Coldest.V), p.Coldest, ""), input("hottest hour", w.j.Bank.Show.FormatTemperature(p.Hottest.V), p.Hottest, ""))
	return in
}

// wallWorkings are the walls' resistances, layer by layer.
func (w *warm) wallWorkings() []working.Working {
	var all []working.Working
	for i := range w.j.Bank.Warmth.Walls {
		d := &w.j.Bank.Warmth.Walls[i]
		u, _ := w.of(d)
		in := []working.Input{{Name: "film inside", Value: fmt.Sprintf("%.3f m²K/W", w.inside(d)), Origin: source.LookedUp, Source: w.j.cat.Film("level").Ref.String()}}
		for _, l := range d.Layers {
			in = append(in, working.Input{Name: l.Material, Value: fmt.Sprintf("%s at %g W/(m·K): %.3f m²K/W", w.j.Bank.Show.FormatLength(quantity.Length(l.Thickness)), l.Conductivity, l.Thickness/l.Conductivity), Origin: source.LookedUp, Source: l.Ref.String()})
		}
		in = append(in, working.Input{Name: "film outside", Value: fmt.Sprintf("%.3f m²K/W", w.outer(d)), Origin: source.LookedUp, Source: w.j.cat.Film("outside").Ref.String(), Note: d.Outside})
		formula := "1/(film + Σ thickness/conductivity + film)"
		if d.Framed > 0 {
			formula = "ISO 6946 combined method: the mean of heat going straight through and of one temperature a layer"
			in = append(in, input("framed part", quantity.Format(d.Framed, 3)+" of "+d.FrameFrom.V, d.FrameFrom, ""))
		}
		all = append(all, working.Working{ID: "heat.wall." + d.Compartment + "." + d.Side, What: "heat through the " + d.Side + " of " + d.Compartment, Formula: formula, Inputs: in, Result: fmt.Sprintf("U = %.3f W/(m²·K)", u.U), Source: "ISO 6946, as reprints give it"})
	}
	return all
}

// gasWorkings are the openings against hydrogen.
func (j *Job) gasWorkings(h *report.Heat) []working.Working {
	var all []working.Working
	for _, g := range h.Gas {
		if g.Lithium {
			continue
		}
		var in []working.Input
		for _, id := range g.Batteries {
			b := j.Bank.Battery(id)
			if b.Chemistry == bank.LFP {
				continue
			}
			in = append(in, working.Input{Name: id, Value: fmt.Sprintf("%d cells, %s, %g mA/Ah", leadCells(b), quantity.Format(b.Label, 4), 1e3*gassing(b.Chemistry, g.Boost)), Origin: source.Given})
		}
		all = append(all, working.Working{ID: "heat.gas." + g.Compartment, What: "free area, each of two openings, against hydrogen in " + g.Compartment,
			Formula: "28·Q cm² with Q = 0.05·cells·gas current·capacity in m³/h", Inputs: in, Result: cm2(g.Area), Source: "IEC 62485-2, as reprints give it"})
	}
	return all
}
