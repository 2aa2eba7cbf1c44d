package assess

import (
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/engine/heat"
	"bankwright/internal/engine/sky"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// Margins of the answers, common practice.
const (
	above       = 3.0    // K over the limit that a heater is to hold
	band        = 2.0    // K between a thermostat's on and off, of a heater that is proposed
	twice       = 2.0    // times the hold
	startWarm   = 288.15 // K, from which the time to freeze counts where no heater says another
	longestWait = 30 * 24
)

// coldDay gives the coldest day of the cold week by its mean: its first hour
// and that mean, K.
func (k *warmJob) coldDay() (from int, mean float64) {
	mean = math.Inf(1)
	for day := 0; day+24 <= len(k.cold.end); day += 24 {
		sum := 0.0
		for h := range 24 {
			sum += float64(k.cold.hours.Temperature[day+h])
		}
		if sum/24 < mean {
			from, mean = day, sum/24
		}
	}
	return from, mean
}

// still is the given temperatures of a day as its means.
func (k *warmJob) still(from int) []float64 {
	places := k.given(k.cold.hours, k.coldSun)
	mean := make([]float64, len(k.places))
	for h := range 24 {
		for p := range mean {
			mean[p] += places[from+h][p] / 24
		}
	}
	return mean
}

// anyLimit reports whether a battery of the network has a limit for charge.
func (k *warmJob) anyLimit() bool {
	for i, c := range k.core {
		if c >= 0 && !math.IsNaN(k.limits[i]) {
			return true
		}
	}
	return false
}

// freeze says how long the warmth lasts through the coldest day's mean with no
// heater and no current.
func (k *warmJob) freeze() error {
	if !k.anyLimit() {
		return nil
	}
	from, mean := k.coldDay()
	f := &report.Freeze{Start: startWarm, Outside: mean, Seconds: math.Inf(1), Limit: math.Inf(-1)}
	for _, h := range k.j.Bank.Warmth.Heaters {
		f.Start = float64(h.Off)
	}
	m, err := k.net.Modes()
	if err != nil {
		return err
	}
	places, none := k.still(from), make([]float64, len(k.names))
	at := func(hours float64) ([]float64, error) {
		start := make([]float64, len(k.names))
		for i := range start {
			start[i] = f.Start
		}
		return m.Step(hours*3600, start, places, none)
	}
	for i, c := range k.core {
		if c < 0 || math.IsNaN(k.limits[i]) {
			continue
		}
		lo, hi := 0.0, float64(longestWait)
		if end, err := at(hi); err != nil || end[c] >= k.limits[i] {
			continue
		}
		for range 60 {
			mid := (lo + hi) / 2
			now, err := at(mid)
			if err != nil {
				return err
			}
			if now[c] < k.limits[i] {
				hi = mid
			} else {
				lo = mid
			}
		}
		if hi*3600 < f.Seconds {
			f.Seconds, f.Battery, f.Limit = hi*3600, k.j.Bank.Batteries[i].ID, k.limits[i]
		}
	}
	if f.Battery == "" {
		f.Limit = k.highestLimit()
	}
	k.out.Freeze = f
	return k.freezeByLump(f, m, places, none)
}

// freezeByLump is the same by one body of all, as a check: it comes to rest
// where the batteries would as a mean.
func (k *warmJob) freezeByLump(f *report.Freeze, m *heat.Modes, places, none []float64) error {
	l, err := k.lump()
	if err != nil {
		return err
	}
	settled, err := m.Steady(places, none)
	if err != nil {
		return err
	}
	n := 0.0
	for _, c := range k.core {
		if c >= 0 {
			f.Settles += settled[c]
			n++
		}
	}
	f.Settles /= n
	f.Lump = l.Until(f.Start, f.Limit, f.Settles, 0)
	return nil
}

func (k *warmJob) highestLimit() float64 {
	most := math.Inf(-1)
	for i, c := range k.core {
		if c >= 0 && k.limits[i] > most {
			most = k.limits[i]
		}
	}
	return most
}

// coldestBattery is the battery furthest below its limit in the cold week, or
// nearest to it; -1 none has a limit.
func (k *warmJob) coldestBattery(t *trace) int {
	best, least := -1, math.Inf(1)
	for i, c := range k.core {
		if c < 0 || math.IsNaN(k.limits[i]) {
			continue
		}
		for h := range t.least {
			if v := t.least[h][c] - k.limits[i]; v < least-1e-9 {
				best, least = i, v
			}
		}
	}
	return best
}

// heating says what the job's heaters do in the cold week, or what one would
// have to.
func (k *warmJob) heating() error {
	if !k.anyLimit() {
		return nil
	}
	own := len(k.j.Bank.Warmth.Heaters) > 0
	needs := k.out.Cold.Wait.Hours > 0
	if !own && !needs {
		return nil
	}
	h := &report.Heating{Own: own, Target: k.highestLimit() + above}
	from, mean := k.coldDay()
	h.Outside = mean
	share, err := k.heaterShare(h)
	if err != nil {
		return err
	}
	if h.Hold, err = k.hold(share, from, h.Target); err != nil {
		return err
	}
	h.Suggests = twice * h.Hold
	t := k.cold
	if !own && !math.IsInf(h.Hold, 1) {
		h.Watts = math.Max(5, 5*math.Ceil(h.Suggests/5))
		if t, err = k.proposed(h, share); err != nil {
			return err
		}
	}
	k.heated(h, t, from)
	k.out.Heating = h
	return nil
}

// heaterShare says which part of the heat goes where: of the job's heaters
// together, or of one that is proposed under or around the coldest battery.
func (k *warmJob) heaterShare(h *report.Heating) (map[int]float64, error) {
	if !h.Own {
		i := k.coldestBattery(k.cold)
		h.At = bank.AtAir
		if k.floorUp[i] > 0 {
			h.At = bank.AtFloor
		}
		share, err := k.share(h.At, k.within[i])
		h.At += " of " + k.within[i]
		return share, err
	}
	share := map[int]float64{}
	for i := range k.j.Bank.Warmth.Heaters {
		one := &k.j.Bank.Warmth.Heaters[i]
		h.Watts += float64(one.Power)
		if h.At != "" {
			h.At += ", "
		}
		h.At += one.ID
	}
	for i := range k.j.Bank.Warmth.Heaters {
		one := &k.j.Bank.Warmth.Heaters[i]
		part, err := k.share(one.At, one.Compartment)
		if err != nil {
			return nil, err
		}
		weight := 1 / float64(len(k.j.Bank.Warmth.Heaters)) // of heaters that give nothing
		if h.Watts > 0 {
			weight = float64(one.Power) / h.Watts
		}
		for node, v := range part {
			share[node] += v * weight
		}
	}
	return share, nil
}

// hold gives the watts that keep every battery at a target through the mean of
// a day with nothing running, as when it stands parked: the answer is linear in
// the watts.
func (k *warmJob) hold(share map[int]float64, from int, target float64) (float64, error) {
	m, err := k.net.Modes()
	if err != nil {
		return 0, err
	}
	without, err := m.Steady(k.still(from), make([]float64, len(k.names)))
	if err != nil {
		return 0, err
	}
	push := make([]float64, len(k.names))
	for node, v := range share {
		push[node] = v
	}
	rise, err := m.Steady(make([]float64, len(k.places)), push)
	if err != nil {
		return 0, err
	}
	watts := 0.0
	for i, c := range k.core {
		if c < 0 || math.IsNaN(k.limits[i]) {
			continue
		}
		if short := target - without[c]; short > 0 {
			watts = math.Max(watts, short/rise[c])
		}
	}
	return watts, nil
}

// proposed runs the cold week with a heater that would do.
func (k *warmJob) proposed(h *report.Heating, share map[int]float64) (*trace, error) {
	s, err := k.own(false)
	if err != nil {
		return nil, err
	}
	on := h.Target - band/2
	s.heaters = []heat.Heater{{Sense: k.shell[k.coldestBattery(k.cold)], On: on, Off: on + band, Watts: h.Watts, Share: share}}
	return k.through(k.x.Cold, k.coldSun, k.p, s)
}

// heated counts what heaters give in a run of the cold week.
func (k *warmJob) heated(h *report.Heating, t *trace, from int) {
	for hour, row := range t.heaters {
		for _, w := range row {
			h.WeekJ += w * 3600 / (float64(len(t.heaters)) / 24)
			if hour >= from && hour < from+24 {
				h.DayJ += w * 3600
			}
		}
	}
	if h.Watts > 0 {
		h.Always = h.DayJ / (h.Watts * 86400)
	}
	if k.out.Bank > 0 {
		h.Share = h.DayJ / k.out.Bank
	}
	if k.out.Volts > 0 {
		h.DayAh = h.DayJ / k.out.Volts
	}
	h.Coldest = math.Inf(1)
	if i := k.coldestBattery(t); i >= 0 {
		h.Coolest = k.j.Bank.Batteries[i].ID
		for hour := range t.least {
			h.Coldest = math.Min(h.Coldest, t.least[hour][k.core[i]])
		}
	}
}

// mostFlow is the most air that a fan is proposed for: 500 m³/h.
const mostFlow = 500.0 / 3600

// cooling says whether the batteries stay under their limit in the hot week,
// and what air would keep them there.
func (k *warmJob) cooling() error {
	c := &report.Cooling{Hottest: math.Inf(-1), Limit: math.NaN()}
	worst := math.Inf(-1)
	for _, b := range k.out.Batteries {
		if over := b.Hottest - b.Most; over > worst {
			worst, c.Battery, c.Hottest, c.Limit = over, b.ID, b.Hottest, b.Most
		}
	}
	if c.Battery == "" {
		return nil
	}
	c.Outside = hottest(k.x.Hot)
	c.Compartment = k.within[k.index(c.Battery)]
	c.Needed = worst > 0
	k.out.Cooling = c
	if !c.Needed {
		return nil
	}
	over := func(flow float64) (float64, error) { return k.overWith(flow, c.Compartment) }
	if v, err := over(mostFlow); err != nil || v > 0 {
		return err
	}
	lo, hi := 0.0, mostFlow
	for range 12 {
		mid := (lo + hi) / 2
		v, err := over(mid)
		if err != nil {
			return err
		}
		if v > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	c.Possible, c.Flow = true, hi
	box := k.room(c.Compartment)
	tall := box.Max.Z - box.Min.Z
	per := heat.Draught([]heat.Opening{{Area: 1, Height: 0.1 * tall}, {Area: 1, Height: 0.9 * tall}}, c.Limit, c.Outside)
	if per > 0 && c.Limit > c.Outside {
		c.Vent = c.Flow / per
	}
	return nil
}

func hottest(h sky.Hours) float64 {
	most := quantity.Temperature(0)
	for _, t := range h.Temperature {
		most = max(most, t)
	}
	return float64(most)
}

// overWith gives by how much a battery passes its limit in the hot week with
// outside air blown through a compartment all the time.
func (k *warmJob) overWith(flow float64, compartment string) (float64, error) {
	s, err := k.own(true)
	if err != nil {
		return 0, err
	}
	s.always = []heat.Tie{{Node: k.air[compartment], Place: 0, G: heat.Flow(flow)}}
	s.step, s.spin = 600, 3
	t, err := k.through(k.x.Hot, k.hotSun, k.p, s)
	if err != nil {
		return 0, err
	}
	worst := math.Inf(-1)
	for i, c := range k.core {
		for h := range t.most {
			if c >= 0 && t.most[h][c]-k.most[i] > worst {
				worst = t.most[h][c] - k.most[i]
			}
		}
	}
	return worst, nil
}
