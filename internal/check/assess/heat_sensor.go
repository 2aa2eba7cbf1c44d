package assess

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// probe is a place for a sensor: what it reads is a sum over nodes, and over
// heaters that run beside it.
type probe struct {
	report.HeatSensor
	node   map[int]float64
	heater map[int]float64 // K per watt
	whose  int             // battery, -1 none
}

// finFilm is how a bare cable gives its warmth to still air, W/(m²K): common
// practice.
const finFilm = 10.0

// probes lists every place that a sensor is looked at for.
func (k *warmJob) probes() []probe {
	var all []probe
	for i := range k.j.Bank.Batteries {
		if k.core[i] < 0 {
			continue
		}
		b := &k.j.Bank.Batteries[i]
		all = append(all, probe{HeatSensor: report.HeatSensor{At: b.ID, Kind: "case"}, node: map[int]float64{k.shell[i]: 1}, whose: i})
		for _, post := range []bank.End{b.Plus(), b.Minus()} {
			f := k.postPart(post)
			all = append(all, probe{HeatSensor: report.HeatSensor{At: post.String(), Kind: "post"}, node: map[int]float64{k.core[i]: 1 - f, k.air[k.within[i]]: f}, whose: i})
		}
	}
	for _, c := range k.j.Bank.Compartments {
		if n, ok := k.air[c.ID]; ok && slices.Contains(k.within, c.ID) {
			all = append(all, probe{HeatSensor: report.HeatSensor{At: "air of " + c.ID, Kind: "air"}, node: map[int]float64{n: 1}, whose: -1})
		}
	}
	for i := range k.j.Bank.Warmth.Walls {
		d := &k.j.Bank.Warmth.Walls[i]
		if !slices.Contains(k.within, d.Compartment) {
			continue
		}
		u, _ := k.of(d)
		part := math.Min(1, k.inside(d)/u.Inner) // of the way from the air to the wall's middle
		all = append(all, probe{HeatSensor: report.HeatSensor{At: d.Side + " of " + d.Compartment, Kind: "wall"},
			node: map[int]float64{k.air[d.Compartment]: 1 - part, k.wallNode(d): part}, whose: -1})
	}
	for n := range k.j.Bank.Warmth.Heaters {
		if p, ok := k.byHeater(n); ok {
			all = append(all, p)
		}
	}
	return all
}

// postPart is how far a lug's temperature lies from the cells' towards the
// air's: the cable draws heat off as a fin, the post brings it.
func (k *warmJob) postPart(post bank.End) float64 {
	const copper = 384.0 // W/(m·K)
	fin := 0.0
	for i := range k.j.Bank.Cables {
		c := &k.j.Bank.Cables[i]
		row := k.j.cat.Conductor(c.Size)
		if c.From != post && c.To != post || row == nil {
			continue
		}
		area := float64(row.Section)
		round := math.Pi * float64(row.Diameter.V)
		fin += math.Sqrt(finFilm * round * copper * area)
	}
	return fin / (fin + postPath)
}

// byHeater is a sensor on the warm side of a heater: a battery's case and the
// rise over the contact while it runs.
func (k *warmJob) byHeater(n int) (probe, bool) {
	h := &k.j.Bank.Warmth.Heaters[n]
	share, err := k.share(h.At, h.Compartment)
	if err != nil {
		return probe{}, false
	}
	p := probe{HeatSensor: report.HeatSensor{At: h.ID, Kind: "heater"}, node: map[int]float64{}, heater: map[int]float64{}, whose: -1}
	base := 0.0
	for i := range k.shell {
		if k.shell[i] >= 0 && share[k.shell[i]] > 0 {
			p.node[k.shell[i]] = share[k.shell[i]]
			base += share[k.shell[i]]
			size := k.j.Bank.Batteries[i].Outside
			p.heater[n] = math.Max(p.heater[n], share[k.shell[i]]*k.film("touching")/(size.X*size.Y))
		}
	}
	if base == 0 { // it warms the air
		p.node[k.air[h.Compartment]] = 1
		return p, true
	}
	for node := range p.node {
		p.node[node] /= base
	}
	return p, true
}

// reads gives what a sensor shows at the end of an hour.
func (p *probe) reads(t *trace, h int) float64 {
	v := 0.0
	for _, node := range sortedKeys(p.node) {
		v += float64(p.node[node] * t.end[h][node])
	}
	for _, n := range sortedKeys(p.heater) {
		if n >= len(t.heaters[h]) {
			continue // a run with the heaters off
		}
		v += float64(p.heater[n] * t.heaters[h][n])
	}
	return v
}

func sortedKeys(m map[int]float64) []int {
	var all []int
	for key := range m {
		all = append(all, key)
	}
	slices.Sort(all)
	return all
}

// below says of each hour by how much the worst battery is under its limit, K;
// negative where all are above.
func (k *warmJob) below(t *trace) []float64 {
	all := make([]float64, len(t.end))
	for h := range t.end {
		all[h] = math.Inf(-1)
		for i, c := range k.core {
			if c >= 0 && !math.IsNaN(k.limits[i]) {
				all[h] = math.Max(all[h], k.limits[i]-t.end[h][c])
			}
		}
	}
	return all
}

// sensors looks at every place for a sensor of the lockout: what it has to be
// set to so that charge never begins with a battery below its limit.
func (k *warmJob) sensors() {
	if !k.anyLimit() {
		return
	}
	all := k.probes()
	traces := k.looked()
	best := -1
	for n := range all {
		p := &all[n]
		k.judge(p, traces)
		k.belongs(p, traces)
		k.out.Sensors = append(k.out.Sensors, p.HeatSensor)
		if p.Kind == "case" && !math.IsNaN(p.Setting) && (best < 0 || k.better(p, &all[best], traces)) {
			best = n
		}
	}
	k.out.BestSensor = best
}

// sameSetting is how far the settings of two places may lie apart and count as
// one, K: less than a sensor of this trade tells apart. Common practice.
const sameSetting = 0.1

// better reports whether a case is the better place: the lower setting does,
// and of equal ones the battery that gets the coldest.
func (k *warmJob) better(p, than *probe, traces []*trace) bool {
	if d := p.Setting - than.Setting; math.Abs(d) > sameSetting {
		return d < 0
	}
	coldest := func(i int) float64 {
		least := math.Inf(1)
		for _, t := range traces {
			for h := range t.least {
				least = math.Min(least, t.least[h][k.core[i]])
			}
		}
		return least
	}
	return coldest(p.whose) < coldest(than.whose)-1e-6
}

// looked gives the runs that sensors are looked at in: with the job's heaters,
// or without them where no battery gets below its limit with them on: a lockout
// is there for the day on which they fail.
func (k *warmJob) looked() []*trace {
	traces := []*trace{k.cold}
	if k.year != nil {
		traces = append(traces, k.year)
	}
	for _, t := range traces {
		for _, under := range k.below(t) {
			if under > 0 {
				return traces
			}
		}
	}
	s, err := k.own(false)
	if err != nil || len(k.j.Bank.Warmth.Heaters) == 0 {
		return traces
	}
	off, err := k.through(k.x.Cold, k.coldSun, k.p, s)
	if err != nil {
		return traces
	}
	k.out.SensorsOff, traces = true, []*trace{off}
	if k.year == nil {
		return traces
	}
	s.step = 600
	if off, err = k.through(k.x.Year, k.x.sunshine(k.x.Year), k.p, s); err == nil {
		traces = append(traces, off)
	}
	return traces
}

// judge finds the setting that a place needs, its margin, how early it reads
// warm and what it costs.
func (k *warmJob) judge(p *probe, traces []*trace) {
	p.Setting = math.NaN()
	limit := k.highestLimit()
	for _, t := range traces {
		for h, under := range k.below(t) {
			if under > 0 && !(p.reads(t, h) <= p.Setting) {
				p.Setting = p.reads(t, h)
			}
		}
	}
	if math.IsNaN(p.Setting) {
		return
	}
	p.Setting = math.Max(p.Setting, limit)
	p.Margin = p.Setting - limit
	for n, t := range traces {
		first := -1
		for h, under := range k.below(t) {
			reading := p.reads(t, h)
			switch {
			case under > 0 && reading > limit:
				if first < 0 {
					first = h
				}
				p.Early = math.Max(p.Early, float64(h-first+1))
			default:
				first = -1
			}
			if n == len(traces)-1 && under <= 0 && reading <= p.Setting {
				p.Lost++
			}
		}
	}
}

// belongs fills in the job's own sensor at a place, and what its source's
// setting lets through there.
func (k *warmJob) belongs(p *probe, traces []*trace) {
	for _, s := range k.j.Bank.Warmth.Sensors {
		at := s.At
		if s.Compartment != "" {
			at += " of " + s.Compartment
		}
		if at != p.At || p.ID != "" {
			continue
		}
		p.ID, p.Source = s.ID, s.Source
		part := k.j.Bank.Part(s.Source)
		if part == nil || part.Device.ColdLockout <= 0 {
			continue
		}
		p.Set = float64(part.Device.ColdLockout)
		for _, t := range traces {
			for h, under := range k.below(t) {
				if under > 0 && p.reads(t, h) > p.Set {
					p.Lets++
				}
			}
		}
	}
}

// alike is the spread of settings within which one case is as good as another
// for a sensor of this trade, K: common practice.
const alike = 0.5

// SensorWords says in a sentence where a sensor of the lockout belongs.
func SensorWords(h *report.Heat, show quantity.Show) string {
	if h.BestSensor < 0 {
		return ""
	}
	b := &h.Sensors[h.BestSensor]
	words := "the sensor of a charge lockout belongs on the case of " + b.At + ", set to " + show.FormatTemperature(quantity.Temperature(b.Setting)) + " or more"
	most := b.Setting
	for _, s := range h.Sensors {
		if s.Kind == "case" {
			most = math.Max(most, s.Setting)
		}
	}
	if most-b.Setting < alike {
		words += fmt.Sprintf("; the other cases differ by less than %g K, so any of them does at that much more", alike)
	}
	return words
}
