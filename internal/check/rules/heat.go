package rules

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// heatRules speak of warmth. They are silent where the job says nothing of it.
var heatRules = []*Rule{&chargesCold, &tooWarm, &warmElectronics, &gasVent, &weakHeater, &sensorPlace}

// warmJob is dcJob in a box with a heater and a sensor, in a cold place, that
// the rules of warmth are silent on.
var warmJob = dcWith("title: Tea boat\n", `title: Tea boat
place: {climate: golden}
compartments:
  - id: bay
    at: [0 mm, 0 mm, 0 mm]
    size: {length: 420 mm, width: 370 mm, height: 300 mm}
    walls:
      floor: {layers: [[plywood, 12 mm], [xps, 40 mm]], outside: ground}
      all: {layers: [[plywood, 12 mm], [xps, 40 mm]], surface: white}
heaters: [{id: T1, at: floor, power: 40 W, on: 4 °C, off: 7 °C, sensor: B1}]
sensors: [{id: K1, at: B1, source: C1}]
`, "    fault_resistance: 5 mΩ\n", "    fault_resistance: 5 mΩ\n    size: {length: 330 mm, width: 170 mm, height: 215 mm}\n    mass: 11 kg\n",
	"{id: B1, type: block,", "{id: B1, type: block, at: [30 mm, 20 mm, 0 mm], turn: 90,", "{id: B2, type: block,", "{id: B2, type: block, at: [210 mm, 20 mm, 0 mm], turn: 90,")

// warmWith is warmJob with texts replaced, each of which must be there.
func warmWith(pairs ...string) string {
	s := warmJob
	for n := 0; n+1 < len(pairs); n += 2 {
		if !strings.Contains(s, pairs[n]) {
			panic("rules: the example lacks " + pairs[n])
		}
		s = strings.Replace(s, pairs[n], pairs[n+1], 1)
	}
	return s
}

// noHeater is the line that takes the heater out.
const noHeater = "heaters: [{id: T1, at: floor, power: 40 W, on: 4 °C, off: 7 °C, sensor: B1}]\n"

// heatOf gives the warmth of a report that has it in full, nil else.
func heatOf(r *report.Report) *report.Heat {
	if r.Heat == nil || r.Heat.Missing != "" {
		return nil
	}
	return r.Heat
}

// networkRef is the ground of what the thermal network gives.
var networkRef = source.Ref{Title: "the job's own limits, held against a thermal network through a cold week, a hot week and the year", How: source.Practice}

var chargesCold = Rule{
	ID:       "COLD-01",
	Title:    "A lockout that lets charge begin too cold",
	Text:     "A source stops charging in the cold by a sensor of its own. Where that sensor gets warm before the coldest battery does, charge begins while a battery is still below its limit. The network goes through the cold week and the year and counts those hours at the source's setting. It is a fault where the batteries themselves state no limit, so that nothing else stops it. A source without any lockout is HAZ-04.",
	Source:   networkRef,
	Severity: finding.Fault,
	Failing:  warmWith(noHeater, "", "at: B1, source: C1", "at: lid, source: C1", "cold_lockout: 2 °C", "cold_lockout: 0.5 °C", "cold_charge: 0 °C, ", ""),
	Passing:  warmJob,
	check:    checkChargesCold,
}

func checkChargesCold(r *report.Report, say *speaker) {
	h := heatOf(r)
	if h == nil || h.BestSensor < 0 {
		return
	}
	sensed := map[string]bool{}
	for _, s := range h.Sensors {
		if s.Source == "" || s.Set == 0 {
			continue
		}
		sensed[s.Source] = true
		if s.Lets == 0 {
			continue
		}
		severity := finding.Fault
		if statesCold(r, s.Source) {
			severity = finding.Warning
		}
		say.hold(severity, s.Source, fmt.Sprintf("%s charges from %s on, felt at %s (%s): in %d hours of the cold week and the year a battery is then still below its limit%s", s.Source, kelvin(r, s.Set), s.At, s.ID, s.Lets, withoutHeat(h)),
			fmt.Sprintf("set it to %s there, or move the sensor to the case of %s and set %s", kelvin(r, s.Setting), h.Sensors[h.BestSensor].At, kelvin(r, h.Sensors[h.BestSensor].Setting)), number{}, source.Ref{})
	}
	for i := range r.Bank.Parts {
		p := &r.Bank.Parts[i]
		if p.Kind.Charges() && p.Device.ColdLockout > 0 && !sensed[p.ID] {
			say.pass(p.ID, "its lockout's sensor is not in the job: give it under sensors, with at and source")
		}
	}
}

// withoutHeat says that the sensors were looked at with the heaters off.
func withoutHeat(h *report.Heat) string {
	if h.SensorsOff {
		return ", should the heaters be off"
	}
	return ""
}

// statesCold reports whether the batteries that a source charges state a limit
// of their own for charge in the cold.
func statesCold(r *report.Report, id string) bool {
	for i := range r.Side.Hazards {
		h := &r.Side.Hazards[i]
		if h.What != report.Freezing || h.Through != id {
			continue
		}
		own := false
		for _, b := range h.Stated() {
			own = own || b.Own
		}
		if !own {
			return false
		}
	}
	return true
}

func kelvin(r *report.Report, k float64) string {
	return r.Bank.Show.FormatTemperature(quantity.Temperature(k))
}

var tooWarm = Rule{
	ID:       "HEAT-01",
	Title:    "A battery gets warmer than it may be charged",
	Text:     "The hot week of the place, with the sun on the walls and the losses within, brings a battery over the temperature above which it refuses charge. It also ages the faster the warmer it is.",
	Source:   networkRef,
	Severity: finding.Warning,
	Failing:  warmWith("climate: golden", "climate: phoenix", "surface: white", "surface: black", "hot_charge: 50 °C", "hot_charge: 42 °C"),
	Passing:  warmJob,
	check:    checkTooWarm,
}

func checkTooWarm(r *report.Report, say *speaker) {
	h := heatOf(r)
	if h == nil {
		return
	}
	for _, b := range h.Batteries {
		switch {
		case math.IsNaN(b.Most):
			say.pass(b.ID, "the job gives no hot_charge for its type")
		case b.Over > 0:
			limit := "its limit for charge"
			if b.MostAssumed {
				limit = "the limit for charge assumed of its chemistry"
			}
			mend := "shade or white paint, or vent it"
			if c := h.Cooling; c != nil && c.Possible {
				mend = fmt.Sprintf("shade or white paint, or blow %s of outside air through %s", quantity.Format(quantity.Flow(c.Flow), 2), c.Compartment)
			}
			say.find(b.ID, fmt.Sprintf("in the hot week it gets to %s, %.1f K over %s, %s, in %d hours", kelvin(r, b.Hottest), b.Hottest-b.Most, limit, kelvin(r, b.Most), b.Over), mend)
		}
	}
}

var warmElectronics = Rule{
	ID:       "HEAT-02",
	Title:    "Electronics in air above their rating",
	Text:     "Inverters and chargers are commonly rated at 40 °C; in warmer air most give less, some stop. The air of their compartment passes that in the hot week.",
	Source:   source.Ref{Title: "ratings of inverters and chargers at 40 °C of air", How: source.Practice},
	Severity: finding.Note,
	Failing:  warmWith("climate: golden", "climate: phoenix", "surface: white", "surface: black", "id: C1, kind: charger,", "id: C1, kind: charger, in: bay,"),
	Passing:  warmJob,
	check:    checkWarmElectronics,
}

func checkWarmElectronics(r *report.Report, say *speaker) {
	h := heatOf(r)
	if h == nil {
		return
	}
	for _, e := range h.Equipment {
		if e.Over > 0 {
			say.find(e.ID, fmt.Sprintf("the air round it in %s gets to %s in the hot week, over %s in %d hours; expect less than its rating then", e.Compartment, kelvin(r, e.Air), kelvin(r, e.Limit), e.Over),
				"look up how its maker derates it, move it, or vent its compartment")
		}
	}
}

var gasVent = Rule{
	ID:       "VENT-01",
	Title:    "Too little opening for hydrogen",
	Text:     "Lead-acid batteries give off hydrogen while they are charged. Two openings, one low and one high, each of the area by the formula keep it below 4 % with a margin of five without a fan; a fan does that runs whenever they are charged. Sealed lithium makes none, and the rule does not apply to it.",
	Source:   source.Ref{Title: "IEC 62485-2", At: "ventilation of battery compartments, as reprints give it", Edition: "not stated", How: source.Read},
	Severity: finding.Warning,
	Failing:  leadJob("{id: O1, area: 1 cm2, height: 30 mm}, {id: O2, area: 40 cm2, height: 280 mm}"),
	Passing:  leadJob("{id: O1, area: 40 cm2, height: 30 mm}, {id: O2, area: 40 cm2, height: 280 mm}"),
	check:    checkGasVent,
}

// leadJob is a lead-acid battery in a box with vents.
func leadJob(vents string) string {
	return `bankwright: 1
title: Gate box
practice: {book: marine, ambient: 30 °C}
battery_types:
  block: {chemistry: agm, nominal: 12 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 12.6 V, fault_resistance: 5 mΩ, size: {length: 330 mm, width: 170 mm, height: 215 mm}, mass: 28 kg, limits: {discharge: 100 A, charge: 30 A, trip: 200 A, series: 4, parallel: 4}}
batteries:
  - {id: B1, type: block, at: [30 mm, 20 mm, 0 mm], covered: true}
  - {id: B2, type: block, at: [30 mm, 200 mm, 0 mm], covered: true}
compartments: [{id: box, at: [0 mm, 0 mm, 0 mm], size: {length: 400 mm, width: 400 mm, height: 320 mm}}]
vents: [` + vents + `]
parts:
  - {id: S, kind: stud}
  - {id: T, kind: stud}
  - {id: F1, kind: fuse, class: class_t, rating: 100 A, interrupt: 20 kA, volts: 125 V, resistance: 0.1 mΩ}
  - {id: Q1, kind: switch, rating: 300 A, resistance: 0.1 mΩ}
cables:
  - {id: W1, from: B1+, to: B2+, size: 2/0 AWG, length: 6 in, insulation: 105 °C, support: 12 in}
  - {id: W2, from: B1-, to: B2-, size: 2/0 AWG, length: 6 in, insulation: 105 °C, support: 12 in}
  - {id: W3, from: B1+, to: F1.a, size: 2/0 AWG, length: 6 in, insulation: 105 °C, support: 12 in}
  - {id: W4, from: F1.b, to: Q1.a, size: 2/0 AWG, length: 12 in, insulation: 105 °C, support: 12 in}
  - {id: W5, from: Q1.b, to: S, size: 2/0 AWG, length: 12 in, insulation: 105 °C, support: 12 in}
  - {id: W6, from: B2-, to: T, size: 2/0 AWG, length: 12 in, insulation: 105 °C, support: 12 in}
takeoff: {positive: S, negative: T}
cases: [{id: gate, draw: 30 A}]
`
}

func checkGasVent(r *report.Report, say *speaker) {
	if r.Heat == nil {
		return
	}
	for _, g := range r.Heat.Gas {
		if g.Lithium || g.Have >= g.Area {
			continue
		}
		charged := "on float"
		if g.Boost {
			charged = "on boost charge"
		}
		say.hold(finding.Warning, g.Compartment, fmt.Sprintf("%s %s need two openings of %.1f cm² free each; the smaller of the two best has %.1f cm²", strings.Join(g.Batteries, ", "), charged, 1e4*g.Area, 1e4*g.Have),
			fmt.Sprintf("open one low and one high, or give it a fan of %s that runs whenever they are charged", quantity.Format(quantity.Flow(g.Flow), 2)),
			number{value: g.Have, limit: g.Area, unit: "m2", least: true}, source.Ref{})
	}
}

var weakHeater = Rule{
	ID:       "HTR-01",
	Title:    "The heater does not keep the batteries warm",
	Text:     "At the mean of the coldest day the heaters' watts are held against what keeps every battery 3 K above its limit for charge, and the run of the cold week shows whether a battery gets below it all the same, as where the heater warms one end only. Twice the holding watts is customary, so that it is on half of the time.",
	Source:   networkRef,
	Severity: finding.Warning,
	Failing:  warmWith("power: 40 W", "power: 3 W"),
	Passing:  warmJob,
	check:    checkWeakHeater,
}

func checkWeakHeater(r *report.Report, say *speaker) {
	h := heatOf(r)
	if h == nil || h.Heating == nil || !h.Heating.Own {
		return
	}
	z := h.Heating
	limit := h.Battery(z.Coolest)
	switch {
	case z.Watts < z.Hold:
		mend := fmt.Sprintf("give it %s, twice what holds, or more insulation", quantity.Format(quantity.Power(z.Suggests), 2))
		if math.IsInf(z.Hold, 1) {
			mend = "warm every battery: no heat there reaches them all"
		}
		say.hold(finding.Warning, r.Bank.Warmth.Heaters[0].ID, fmt.Sprintf("%s give %s together; %s outside as a mean takes %s to hold %s", z.At, quantity.Format(quantity.Power(z.Watts), 3), kelvin(r, z.Outside), quantity.Format(quantity.Power(z.Hold), 3), kelvin(r, z.Target)),
			mend, number{value: z.Watts, limit: z.Hold, unit: "W", least: true}, source.Ref{})
	case limit != nil && z.Coldest < limit.Limit:
		say.find(r.Bank.Warmth.Heaters[0].ID, fmt.Sprintf("%s have the watts, yet %s gets to %s, below its limit of %s: the thermostat feels elsewhere or the warmth goes elsewhere", z.At, z.Coolest, kelvin(r, z.Coldest), kelvin(r, limit.Limit)),
			"put its sensor on the case of "+z.Coolest+", set it warmer, or warm the batteries from below")
	}
	if z.Share > heavy {
		say.hold(finding.Note, r.Bank.Warmth.Heaters[0].ID, fmt.Sprintf("on the coldest day heating takes %s of the bank, %.0f %% of it", quantity.Format(quantity.Energy(z.DayJ), 3), 100*z.Share),
			"insulate more, warm only before charging, or heat from the mains", number{}, source.Ref{Title: "heating by the battery it warms", How: source.Practice})
	}
}

// heavy is the part of the bank that a day's heating may take before it is
// worth a note: common practice, no source.
const heavy = 0.25

var sensorPlace = Rule{
	ID:       "SNS-01",
	Title:    "A lockout's sensor is not on the coldest battery",
	Text:     "The sensor of a charge lockout belongs on the battery that is coldest when charge would begin. Elsewhere it has to be set the warmer by as much as it reads too high then, and holds back charge that could be had: a note where it is set so, a warning where it is not.",
	Source:   networkRef,
	Severity: finding.Warning,
	Failing:  warmWith(noHeater, "", "at: B1, source: C1", "at: lid, source: C1", "cold_lockout: 2 °C", "cold_lockout: 1 °C"),
	Passing:  warmJob,
	check:    checkSensorPlace,
}

func checkSensorPlace(r *report.Report, say *speaker) {
	h := heatOf(r)
	if h == nil || h.BestSensor < 0 {
		return
	}
	best := &h.Sensors[h.BestSensor]
	for i := range h.Sensors {
		s := &h.Sensors[i]
		if r.Bank.Part(s.Source) == nil || math.IsNaN(s.Setting) || s.Setting-best.Setting <= sameKelvin {
			continue
		}
		severity := finding.Warning
		if p := r.Bank.Part(s.Source); float64(p.Device.ColdLockout) >= s.Setting {
			severity = finding.Note // its setting makes up for it; it holds charge back, no more
		}
		say.hold(severity, s.ID, fmt.Sprintf("it feels %s, which reads up to %.1f K over the batteries' limit while %s is still below it; on the case of %s that is %.1f K", s.At, s.Margin, best.At, best.At, best.Margin),
			fmt.Sprintf("move it to the case of %s and set %s, or set %s where it is", best.At, kelvin(r, best.Setting), kelvin(r, s.Setting)), number{}, source.Ref{})
	}
}
