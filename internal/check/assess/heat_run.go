package assess

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/heat"
	"bankwright/internal/engine/sky"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// pattern is what warms the nodes, W by the hour of the day.
type pattern struct {
	heat  [24][]float64
	parts map[string][24]float64 // loss by part
	run   string
}

// runBegins is the hour of the day at which the run that warms the batteries
// begins: an evening. Shown as assumed.
const runBegins = 18

// solarLoss is the part that a solar controller loses: common practice.
const solarLoss = 0.04

// pattern lays a run on the clock; without an ID the job's first sequence, at
// rest where it has none.
func (w *warm) pattern(id string) (*pattern, error) {
	p := &pattern{parts: map[string][24]float64{}}
	for h := range p.heat {
		p.heat[h] = make([]float64, len(w.names))
	}
	if id == "" && len(w.j.Bank.Sequences) > 0 {
		id = w.j.Bank.Sequences[0].ID
	}
	if id == "" {
		w.equipment(p, nil, 1)
		return p, nil
	}
	r, err := w.j.Run(id, RunOptions{Every: 600})
	if err != nil {
		return nil, err
	}
	p.run = id
	end := r.Time[len(r.Time)-1]
	days := math.Max(1, math.Ceil(end/86400-1e-9))
	k := w.wiringLoss(r)
	for n := 0; n+1 < len(r.Time); n++ {
		span := (r.Time[n+1] - r.Time[n]) / 3600 / days
		hour := (runBegins + int(r.Time[n]/3600)) % 24
		for i := range r.Batteries {
			if c := w.core[i]; c >= 0 {
				p.heat[hour][c] += span * r.Batteries[i].Heat[n]
			}
		}
		if air, ok := w.mainAir(); ok {
			p.heat[hour][air] += span * k * r.Current[n] * r.Current[n]
		}
	}
	w.equipment(p, r, days)
	return p, nil
}

// mainAir is the air of the compartment with the first battery.
func (w *warm) mainAir() (int, bool) {
	for _, id := range w.within {
		if id != "" {
			return w.air[id], true
		}
	}
	return 0, false
}

// wiringLoss is the loss in cables and parts over the square of the take-off's
// current, ohm, at the sample with the most current.
func (w *warm) wiringLoss(r *report.Run) float64 {
	most := 0
	for n := range r.Current {
		if math.Abs(r.Current[n]) > math.Abs(r.Current[most]) {
			most = n
		}
	}
	if r.Current[most] == 0 {
		return 0
	}
	still, err := w.j.At(w.j.Bank, r, most)
	if err != nil {
		return 0
	}
	return still.Sharing.WiringLoss / r.Current[most] / r.Current[most]
}

// equipment adds what devices lose into the air round them. What is drawn at
// the take-off is taken to pass through the job's inverters by their lasting
// power, what is put in to come from its sources by their currents.
func (w *warm) equipment(p *pattern, r *report.Run, days float64) {
	var draws, gives float64
	for i := range w.j.Bank.Parts {
		d := &w.j.Bank.Parts[i]
		if inverts(d) {
			draws += math.Max(1, float64(d.Device.Power))
		}
		if d.Kind.Charges() {
			gives += math.Max(1, float64(d.Device.Current))
		}
	}
	for i := range w.j.Bank.Parts {
		d := &w.j.Bank.Parts[i]
		air, ok := w.air[w.j.Bank.Warmth.Parts[d.ID]]
		if !ok || !inverts(d) && !d.Kind.Charges() {
			continue
		}
		var by, busy [24]float64
		for n := 0; r != nil && n+1 < len(r.Time); n++ {
			span := (r.Time[n+1] - r.Time[n]) / 3600 / days
			hour := (runBegins + int(r.Time[n]/3600)) % 24
			power := r.Current[n] * r.Voltage[n]
			switch {
			case power > 0 && inverts(d):
				by[hour] += span * inverterWarmth(d, power*math.Max(1, float64(d.Device.Power))/draws)
				busy[hour] += span
			case power < 0 && d.Kind.Charges():
				by[hour] += span * chargerWarmth(d, -power*math.Max(1, float64(d.Device.Current))/gives)
			}
		}
		for h := range by {
			if inverts(d) {
				by[h] += math.Max(0, 1-busy[h]) * float64(d.Device.Idle)
			}
			p.heat[h][air] += by[h]
		}
		p.parts[d.ID] = by
	}
}

func inverts(d *bank.Part) bool { return d.Kind == bank.Inverter || d.Kind == bank.InverterCharger }

// inverterWarmth is what an inverter loses of a power at its d.c. side.
func inverterWarmth(d *bank.Part, power float64) float64 {
	eta := float64(d.Device.Efficiency.V)
	if rated := float64(d.Device.Power); rated > 0 && d.Device.EfficiencyCurve != nil {
		for range 8 { // what comes out depends on the efficiency there
			eta = float64(d.Device.EfficiencyAt(quantity.Ratio(power * eta / rated)))
		}
	}
	return power * (1 - eta)
}

// chargerWarmth is what a source loses while it gives a power.
func chargerWarmth(d *bank.Part, power float64) float64 {
	switch {
	case d.Kind == bank.Solar:
		return power * solarLoss / (1 - solarLoss)
	case d.Kind == bank.Alternator:
		return 0 // it is warm where the engine is
	case d.Device.Efficiency.V > 0:
		return power * (1/float64(d.Device.Efficiency.V) - 1)
	}
	return 0
}

// trace is a run of the network through hours.
type trace struct {
	hours   sky.Hours
	end     [][]float64 // by hour and node, K
	least   [][]float64
	most    [][]float64
	heaters [][]float64 // W, by hour and heater
	fans    [][]float64 // part of the hour
}

// switched is what a run of the network has in it beside walls and batteries.
type switched struct {
	heaters []heat.Heater
	fans    []heat.Fan
	vents   []heat.Vent
	always  []heat.Tie // a fan that runs all the time
	spin    int        // times that the first day is gone through beforehand
	step    float64    // s
}

// own is what the job has switched.
func (w *warm) own(heaters bool) (switched, error) {
	s := switched{spin: 6, step: 120}
	if heaters {
		for i := range w.j.Bank.Warmth.Heaters {
			h := &w.j.Bank.Warmth.Heaters[i]
			one, err := w.heater(h)
			if err != nil {
				return s, err
			}
			s.heaters = append(s.heaters, one)
		}
	}
	for _, f := range w.j.Bank.Warmth.Fans {
		if air, ok := w.air[f.Compartment]; ok {
			s.fans = append(s.fans, heat.Fan{Sense: air, On: float64(f.On), Off: float64(f.Off), Node: air, G: heat.Flow(float64(f.Flow)), Watts: float64(f.Power)})
		}
	}
	for _, c := range w.j.Bank.Compartments {
		var all []heat.Opening
		for _, v := range w.j.Bank.Warmth.Vents {
			if v.Compartment == c.ID {
				all = append(all, heat.Opening{Area: v.Area, Height: v.Height})
			}
		}
		if air, ok := w.air[c.ID]; ok && all != nil {
			s.vents = append(s.vents, heat.Vent{Node: air, Openings: all})
		}
	}
	return s, nil
}

// heater turns a heater of the job into the engine's.
func (w *warm) heater(h *bank.Heater) (heat.Heater, error) {
	share, err := w.share(h.At, h.Compartment)
	if err != nil {
		return heat.Heater{}, fmt.Errorf("heater %s: %w", h.ID, err)
	}
	one := heat.Heater{On: float64(h.On), Off: float64(h.Off), Watts: float64(h.Power), Share: share, Sense: -1}
	if air, ok := w.air[h.Compartment]; ok && h.Sensor == bank.AtAir {
		one.Sense = air
	}
	if i := w.index(h.Sensor); i >= 0 {
		one.Sense = w.shell[i]
	}
	if one.Sense < 0 {
		return one, fmt.Errorf("heater %s: its thermostat feels %s, which stands in no compartment with walls", h.ID, h.Sensor)
	}
	return one, nil
}

// index of a battery by its ID, -1 for none that is in the network.
func (w *warm) index(id string) int {
	for i := range w.j.Bank.Batteries {
		if w.j.Bank.Batteries[i].ID == id && w.core[i] >= 0 {
			return i
		}
	}
	return -1
}

// share says which part of a heater's warmth goes where. A mat lies between
// the floor and what stands on it: it warms both, by how well each leads.
func (w *warm) share(at, compartment string) (map[int]float64, error) {
	if i := w.index(at); i >= 0 {
		return map[int]float64{w.shell[i]: 1}, nil
	}
	air, ok := w.air[compartment]
	if !ok {
		return nil, fmt.Errorf("%s has no walls, or there is no battery %s in a compartment that has", compartment, at)
	}
	if at != bank.AtFloor {
		return map[int]float64{air: 1}, nil
	}
	share, up, area := map[int]float64{}, 0.0, 0.0
	for i, g := range w.floorUp {
		if w.within[i] == compartment {
			up += g
			area += g * w.film("touching")
		}
	}
	floor := w.j.Bank.Warmth.Wall(compartment, bank.FloorSide)
	if up == 0 || floor == nil {
		return map[int]float64{air: 1}, nil // nothing stands on it
	}
	down := area / w.floorR[compartment]
	for i, g := range w.floorUp {
		if g > 0 && w.within[i] == compartment {
			share[w.shell[i]] = g / (up + down)
		}
	}
	share[w.wallNode(floor)] = down / (up + down)
	return share, nil
}

// through runs the network through hours. The first day is gone through some
// times before, so that the start does not matter.
func (w *warm) through(hours sky.Hours, sun *sunshine, p *pattern, s switched) (*trace, error) {
	plant := heat.Plant{Net: w.net, Heaters: s.heaters, Fans: s.fans, Vents: s.vents, Step: s.step}
	plant.Net.Ties = append(append([]heat.Tie{}, w.net.Ties...), s.always...)
	n := hours.Len()
	places := w.given(hours, sun)
	t := &trace{hours: hours}
	start := make([]float64, len(w.names))
	for i := range start {
		for h := range min(24, n) {
			start[i] += places[h][0] / float64(min(24, n))
		}
	}
	lead := 24 * s.spin
	at := func(k int) int {
		if k < lead {
			return k % 24
		}
		return k - lead
	}
	err := plant.Run(start, func(k int) (heat.Hour, bool) {
		if k >= lead+n {
			return heat.Hour{}, false
		}
		return heat.Hour{Places: places[at(k)], Heat: p.heat[(hours.Start+at(k))%24]}, true
	}, func(k int, past heat.Past) bool {
		if k >= lead {
			t.keep(past)
		}
		return true
	})
	return t, err
}

func (t *trace) keep(past heat.Past) {
	watts, part := make([]float64, len(past.Heaters)), make([]float64, len(past.Fans))
	for i, j := range past.Heaters {
		watts[i] = j / 3600
	}
	for i, s := range past.Fans {
		part[i] = s / 3600
	}
	t.end, t.least, t.most = append(t.end, past.End), append(t.least, past.Least), append(t.most, past.Most)
	t.heaters, t.fans = append(t.heaters, watts), append(t.fans, part)
}

// sunshine is the sun on walls by the hour, and the ground's temperature.
type sunshine struct {
	level, upright []float64 // W/m²; nil not known
	ground         []float64 // K
}

// groundDays is over how many days before the ground under a floor is the mean
// of the air: common practice, no source.
const groundDays = 30

// sunshine works out the sun of hours; ground comes from the year.
func (x *Weather) sunshine(hours sky.Hours) *sunshine {
	s := &sunshine{}
	if x.HasSun && hours.Global != nil {
		s.level = hours.On(x.Climate.Place, sky.Level())
		s.upright = make([]float64, hours.Len())
		for _, towards := range []float64{0, 90, 180, 270} {
			one := hours.On(x.Climate.Place, sky.Plane{Tilt: math.Pi / 2, Azimuth: towards * math.Pi / 180, Reflectance: 0.2})
			for i, v := range one {
				s.upright[i] += v / 4
			}
		}
	}
	year := x.Year.Temperature
	sums := make([]float64, len(year)+1)
	for i, t := range year {
		sums[i+1] = sums[i] + float64(t)
	}
	span := func(to int) float64 { // the mean of the days before an hour of the year
		from, whole := to-24*groundDays, sums[len(year)]
		if from >= 0 {
			return (sums[to] - sums[from]) / (24 * groundDays)
		}
		return (sums[to] + whole - sums[from+len(year)]) / (24 * groundDays)
	}
	for i := range hours.Len() {
		s.ground = append(s.ground, span((hours.Start+i)%len(year)))
	}
	return s
}

// clearSky is what a level face loses to the sky, K of sol-air temperature
// (ASHRAE, from memory).
const clearSky = 4.0

// given lists the temperatures of all places for each hour.
func (w *warm) given(hours sky.Hours, sun *sunshine) [][]float64 {
	all := make([][]float64, hours.Len())
	cabin := float64(w.j.Bank.Place.Cabin.V)
	for i := range all {
		out := float64(hours.Temperature[i])
		row := make([]float64, len(w.places))
		for k, p := range w.places {
			switch {
			case p.what == bank.GroundOutside:
				row[k] = sun.ground[i]
			case p.what == bank.CabinOutside:
				row[k] = cabin
			case p.wall == nil:
				row[k] = out
			default:
				row[k] = solAir(p, out, sun, i)
			}
		}
		all[i] = row
	}
	return all
}

func solAir(p site, out float64, sun *sunshine, i int) float64 {
	sky, light := 0.0, 0.0
	lid := p.wall.Side == bank.LidSide
	if lid && p.wall.Surface.V != bank.Shade {
		sky = clearSky
	}
	if sun.level != nil {
		light = sun.upright[i]
		if lid {
			light = sun.level[i]
		}
	}
	return heat.SunAir(out, p.wall.Absorptance, light, p.film, sky)
}

// runAssumed lists what the heat within and the weather rest on.
func (w *warm) runAssumed(l *assumptions, x *Weather, p *pattern) {
	const practice = "common practice, no source"
	if p.run == "" {
		l.add("batteries", "heat", "at rest", "the job has no sequence and none was named, so no current warms them", "")
	} else {
		l.add("run "+p.run, "heat", fmt.Sprintf("begins at %d:00 each day", runBegins), "a run longer than a day is laid over it as a mean", practice)
		l.add("what is drawn", "heat", "through the inverters", "by their lasting power; what is put in comes from the sources by their currents", practice)
	}
	if n := len(w.j.Bank.Warmth.Heaters); n > 0 {
		l.add("heaters", "heat", "fed by the bank", "so that their energy is counted against it; all of it becomes heat where they are", practice)
	}
	if len(w.j.Bank.Passages) > 0 && len(w.air) > 1 {
		l.add("air through holes between compartments", "heat", "none", "the holes are taken to be filled by their cables", practice)
	}
	if !x.Own {
		l.add("cold week", "weather", fmt.Sprintf("seven days, three at full depth, %g of a mean day's sun", dullSpell), "", dullPractice.String())
		l.add("hot week", "weather", "seven days, three at full depth, the sun of mean days", "", sky.SpellSource.String())
		l.add("hours", "weather", "made from the months", "a mean day by the hour: "+sky.MeanDaySource.String()+"; design days: "+sky.DesignDaySource.String(), "")
	}
	if x.HasSun {
		l.add("upright walls", "weather", "face all ways in turn", "the mean of four, as nobody says which way they face; 0.2 of the sun comes back from the ground", practice)
		l.add("a lid under the sky", "weather", fmt.Sprintf("%g K less", clearSky), "what a clear sky draws off, day and night", "ASHRAE (from memory)")
	} else {
		l.add("sun on walls", "weather", "none", "the weather has no sun; in summer it gets warmer than this", "")
	}
	pl := &w.j.Bank.Place
	addAssumed(l, "coldest hour", "weather", w.j.Bank.Show.FormatTemperature(pl.Coldest.V), pl.Coldest)
	addAssumed(l, "hottest hour", "weather", w.j.Bank.Show.FormatTemperature(pl.Hottest.V), pl.Hottest)
	addAssumed(l, "clock", "weather", fmt.Sprintf("%+.3g h", pl.Zone/3600), pl.Clock)
	if pl.Clock.Origin == source.LookedUp && !x.Own {
		l.add("climate", "weather", pl.Name, "from the catalogue", pl.Ref.String())
	}
}
