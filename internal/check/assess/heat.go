package assess

import (
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/heat"
	"bankwright/internal/engine/sky"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/series"
)

// HeatOptions say what is asked of Heat.
type HeatOptions struct {
	Run  string          // case or sequence that warms the batteries; "" the first sequence, at rest where there is none
	Own  *series.Weather // a person's own year of hours
	Year bool            // go through the year as well
}

// warmJob is the answer in the making.
type warmJob struct {
	*warm
	x       *Weather
	p       *pattern
	out     *report.Heat
	cold    *trace
	hot     *trace
	year    *trace
	limits  []float64 // K, by battery; NaN none
	most    []float64
	coldSun *sunshine
	hotSun  *sunshine
}

// HasHeat reports whether the job says anything about warmth.
func (j *Job) HasHeat() bool {
	w := &j.Bank.Warmth
	return len(w.Walls)+len(w.Heaters)+len(w.Fans)+len(w.Vents)+len(w.Sensors) > 0
}

// Heat computes how warm the job gets. Where the job does not say enough the
// report's Missing says what it has to give; the error is of what cannot be.
func (j *Job) Heat(o HeatOptions) (*report.Heat, error) {
	out := &report.Heat{BestSensor: -1, Gas: j.gas()}
	w, missing := newWarm(j)
	if !j.Bank.Place.Known {
		missing = append([]string{"place with latitude and climate or months"}, missing...)
	}
	if missing != nil {
		out.Missing = "for how warm it gets the job has to give " + strings.Join(missing, ", and ")
		return out, nil
	}
	x, err := j.Weather(o.Own)
	if err != nil {
		return nil, err
	}
	k := &warmJob{warm: w, x: x, out: out}
	if k.p, err = w.pattern(o.Run); err != nil {
		return nil, j.named(err)
	}
	if err := k.runs(o.Year); err != nil {
		return nil, j.named(err)
	}
	return out, j.named2(k.fill())
}

// named2 is named for an error that may be nil.
func (j *Job) named2(err error) error {
	if err == nil {
		return nil
	}
	return j.named(err)
}

// runs goes through the weeks, and the year where it is asked for.
func (k *warmJob) runs(year bool) error {
	s, err := k.own(true)
	if err != nil {
		return err
	}
	k.coldSun, k.hotSun = k.x.sunshine(k.x.Cold), k.x.sunshine(k.x.Hot)
	if k.cold, err = k.through(k.x.Cold, k.coldSun, k.p, s); err != nil {
		return err
	}
	if k.hot, err = k.through(k.x.Hot, k.hotSun, k.p, s); err != nil {
		return err
	}
	if year {
		s.step = 600
		k.year, err = k.through(k.x.Year, k.x.sunshine(k.x.Year), k.p, s)
	}
	return err
}

// fill turns the runs into answers.
func (k *warmJob) fill() error {
	k.out.Place, k.out.Run = k.placeWords(), k.p.run
	l, err := k.lump()
	if err != nil {
		return err
	}
	k.out.Tau = l.Tau()
	k.ofBank()
	k.setLimits()
	k.out.Cold, k.out.Hot = k.week("cold", k.cold), k.week("hot", k.hot)
	k.batteriesOut()
	k.yearOut()
	for _, step := range []func() error{k.freeze, k.heating, k.cooling} {
		if err := step(); err != nil {
			return err
		}
	}
	k.sensors()
	if err := k.equipmentOut(); err != nil {
		return err
	}
	var list assumptions
	k.assumed(&list)
	k.runAssumed(&list, k.x, k.p)
	for i := range k.out.Batteries {
		b := &k.out.Batteries[i]
		if b.LimitAssumed {
			list.add("no charge below", b.ID, k.show(b.Limit), "of the chemistry", k.j.Bank.Battery(b.ID).Model.Guard.ColdCharge.Ref.String())
		}
		if b.MostAssumed {
			list.add("no charge above", b.ID, k.show(b.Most), "of the chemistry", k.j.Bank.Battery(b.ID).Model.Guard.HotCharge.Ref.String())
		}
	}
	k.out.Assumed = list
	return nil
}

func (k *warmJob) show(kelvin float64) string {
	return k.j.Bank.Show.FormatTemperature(quantity.Temperature(kelvin))
}

func (k *warmJob) placeWords() string {
	p := &k.j.Bank.Place
	switch {
	case k.x.Own:
		return "your own hours"
	case p.Name != "":
		return p.Name
	}
	return "the job's own months"
}

// ofBank is what the heaters' share is counted against.
func (k *warmJob) ofBank() {
	for i := range k.j.Bank.Batteries {
		b := &k.j.Bank.Batteries[i]
		k.out.Bank += float64(b.Nominal) * float64(b.Label)
	}
	c, err := k.j.Case("")
	if err == nil {
		if charge := nameplate(k.j.Bank, c); charge > 0 {
			k.out.Volts = k.out.Bank / charge
		}
	}
}

func (k *warmJob) setLimits() {
	for i := range k.j.Bank.Batteries {
		b := &k.j.Bank.Batteries[i]
		g := &b.Model.Guard
		k.limits, k.most = append(k.limits, orNaN(g.ColdCharge)), append(k.most, orNaN(g.HotCharge))
		if k.core[i] < 0 {
			k.out.Left = append(k.out.Left, b.ID)
		}
	}
}

func orNaN(v source.Value[quantity.Temperature]) float64 {
	if !v.Known() {
		return math.NaN()
	}
	return float64(v.V)
}

// week turns a run into the report's week.
func (k *warmJob) week(name string, t *trace) *report.HeatWeek {
	w := &report.HeatWeek{Name: name, Day: t.hours.Start/24 + 1, Sun: t.hours.Global}
	for _, at := range t.hours.Temperature {
		w.Outside = append(w.Outside, float64(at))
	}
	column := func(node int) []float64 {
		var v []float64
		for h := range t.end {
			v = append(v, t.end[h][node])
		}
		return v
	}
	for _, c := range k.j.Bank.Compartments {
		if n, ok := k.air[c.ID]; ok {
			w.Air = append(w.Air, report.NamedSeries{ID: c.ID, Values: column(n)})
		}
	}
	for i := range k.j.Bank.Batteries {
		if k.core[i] >= 0 {
			w.Cores = append(w.Cores, report.NamedSeries{ID: k.j.Bank.Batteries[i].ID, Values: column(k.core[i])})
			w.Shells = append(w.Shells, report.NamedSeries{ID: k.j.Bank.Batteries[i].ID, Values: column(k.shell[i])})
		}
	}
	for n, h := range k.j.Bank.Warmth.Heaters {
		w.Heaters = append(w.Heaters, report.NamedSeries{ID: h.ID, Values: pick(t.heaters, n)})
	}
	n := 0
	for _, f := range k.j.Bank.Warmth.Fans {
		if _, ok := k.air[f.Compartment]; ok {
			w.Fans = append(w.Fans, report.NamedSeries{ID: f.ID, Values: pick(t.fans, n)})
			n++
		}
	}
	w.Blocked = k.blocked(t)
	w.Wait = k.wait(t, w.Blocked, 0, len(w.Blocked))
	return w
}

func pick(rows [][]float64, n int) []float64 {
	var v []float64
	for _, r := range rows {
		v = append(v, r[n])
	}
	return v
}

// blocked says of each hour whether a battery is below its limit in it.
func (k *warmJob) blocked(t *trace) []bool {
	all := make([]bool, len(t.least))
	for h := range t.least {
		for i, c := range k.core {
			all[h] = all[h] || c >= 0 && t.least[h][c] < k.limits[i]
		}
	}
	return all
}

// wait counts the hours of a part of a run in which charging has to wait, and
// how long after sunrise it may begin on the worst of its days.
func (k *warmJob) wait(t *trace, blocked []bool, from, to int) report.Wait {
	w := report.Wait{After: math.NaN()}
	if !slices.ContainsFunc(k.limits, func(v float64) bool { return !math.IsNaN(v) }) {
		return w
	}
	w.After = 0
	for start := from; start+24 <= to; start += 24 {
		day := (t.hours.Start+start)/24%sky.DaysInYear + 1
		rise, set := k.x.Climate.Place.Daylight(day)
		first, any := math.Inf(1), false
		for h := range 24 {
			up := float64(h)+1 > rise && float64(h) < set
			if blocked[start+h] {
				w.Hours++
				if up {
					w.Daylight++
				}
			}
			any = any || up
			if up && !blocked[start+h] && math.IsInf(first, 1) {
				first = math.Max(0, float64(h)-rise)
			}
		}
		if any && first > w.After {
			w.After, w.Day = first, day
		}
	}
	return w
}

// batteriesOut gives each battery's extremes.
func (k *warmJob) batteriesOut() {
	for i := range k.j.Bank.Batteries {
		c := k.core[i]
		if c < 0 {
			continue
		}
		g := &k.j.Bank.Batteries[i].Model.Guard
		b := report.HeatBattery{ID: k.j.Bank.Batteries[i].ID, Limit: k.limits[i], Most: k.most[i], Coldest: math.Inf(1), Hottest: math.Inf(-1),
			LimitAssumed: g.ColdCharge.Origin == source.Assumed, MostAssumed: g.HotCharge.Origin == source.Assumed}
		for h := range k.cold.least {
			if v := k.cold.least[h][c]; v < b.Coldest {
				b.Coldest, b.ColdestAt = v, h
			}
			if k.cold.least[h][c] < b.Limit {
				b.Blocked++
			}
		}
		for h := range k.hot.most {
			if v := k.hot.most[h][c]; v > b.Hottest {
				b.Hottest, b.HottestAt = v, h
			}
			if k.hot.most[h][c] > b.Most {
				b.Over++
			}
		}
		k.out.Batteries = append(k.out.Batteries, b)
	}
}

// yearOut gives the year by the hour and by the month.
func (k *warmJob) yearOut() {
	if k.year == nil {
		return
	}
	y := &report.HeatYear{Own: k.x.Own, Blocked: k.blocked(k.year)}
	for h, row := range k.year.end {
		y.Outside = append(y.Outside, float64(k.x.Year.Temperature[h]))
		low, high := math.Inf(1), math.Inf(-1)
		for _, c := range k.core {
			if c >= 0 {
				low, high = math.Min(low, row[c]), math.Max(high, row[c])
			}
		}
		y.Coldest, y.Hottest = append(y.Coldest, low), append(y.Hottest, high)
	}
	days := [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
	at := 0
	for m, n := range days {
		y.Months[m] = k.wait(k.year, y.Blocked, at*24, (at+n)*24)
		for h := at * 24; h < (at+n)*24; h++ {
			for _, watts := range k.year.heaters[h] {
				y.Heater[m] += watts * 3600 / float64(n)
			}
		}
		at += n
	}
	k.out.Year = y
}

// gas lists what compartments with batteries need in openings, as far as the
// job says where they are and has walls or vents there.
func (j *Job) gas() []report.Gas {
	var all []report.Gas
	boost := slices.ContainsFunc(j.Bank.Parts, func(p bank.Part) bool { return p.Kind.Charges() })
	for _, c := range j.Bank.Compartments {
		known := slices.ContainsFunc(j.Bank.Warmth.Walls, func(w bank.Wall) bool { return w.Compartment == c.ID }) ||
			slices.ContainsFunc(j.Bank.Warmth.Vents, func(v bank.Vent) bool { return v.Compartment == c.ID })
		g := report.Gas{Compartment: c.ID, Lithium: true, Boost: boost}
		for i := range j.Bank.Batteries {
			b := &j.Bank.Batteries[i]
			if !known || !b.Placed || !c.Box.Contains(b.Body.Box()) {
				continue
			}
			g.Batteries = append(g.Batteries, b.ID)
			if b.Chemistry == bank.LFP {
				continue
			}
			g.Lithium = false
			flow, area, err := heat.Ventilation(leadCells(b), float64(b.Label)/3600, gassing(b.Chemistry, boost))
			if err == nil {
				g.Flow, g.Area = g.Flow+flow, g.Area+area
			}
		}
		g.Have = secondVent(j.Bank.Warmth.Vents, c.ID)
		if g.Batteries != nil {
			all = append(all, g)
		}
	}
	return all
}

// leadCells of a lead-acid battery: 2 V each.
func leadCells(b *bank.Battery) int { return max(1, int(math.Round(float64(b.Nominal)/2))) }

func gassing(c bank.Chemistry, boost bool) float64 {
	kind := heat.Regulated
	if c == bank.Flooded {
		kind = heat.Vented
	}
	if boost {
		return kind.Boost
	}
	return kind.Float
}

// secondVent is the smaller of the two largest openings, 0 with fewer than two.
func secondVent(vents []bank.Vent, compartment string) float64 {
	var areas []float64
	for _, v := range vents {
		if v.Compartment == compartment {
			areas = append(areas, v.Area)
		}
	}
	slices.Sort(areas)
	if len(areas) < 2 {
		return 0
	}
	return areas[len(areas)-2]
}

// equipmentOut gives the devices that warm a compartment, and how warm it is
// round them.
func (k *warmJob) equipmentOut() error {
	still, err := k.withoutFans()
	if err != nil {
		return err
	}
	for i := range k.j.Bank.Parts {
		d := &k.j.Bank.Parts[i]
		in := k.j.Bank.Warmth.Parts[d.ID]
		air, ok := k.air[in]
		if by, has := k.p.parts[d.ID]; ok && has {
			one := report.HeatPart{ID: d.ID, Compartment: in, Limit: derates, Air: math.Inf(-1)}
			for _, v := range by {
				one.Loss, one.Peak = one.Loss+v/24, math.Max(one.Peak, v)
			}
			for h := range k.hot.most {
				one.Air = math.Max(one.Air, k.hot.most[h][air])
				if k.hot.most[h][air] > derates {
					one.Over++
				}
			}
			for h := range still {
				one.Still = math.Max(one.Still, still[h][air])
			}
			k.out.Equipment = append(k.out.Equipment, one)
		}
	}
	return nil
}

// withoutFans runs the hot week with every fan off: the warmest of each hour by
// node; nil where there is no fan.
func (k *warmJob) withoutFans() ([][]float64, error) {
	s, err := k.own(true)
	if err != nil || len(s.fans) == 0 {
		return nil, err
	}
	s.fans = nil
	t, err := k.through(k.x.Hot, k.hotSun, k.p, s)
	if err != nil {
		return nil, err
	}
	return t.most, nil
}

// derates is the air at which chargers and inverters are rated, above which
// most give less: 40 °C, common practice.
const derates = 313.15
