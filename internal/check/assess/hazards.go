package assess

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/feed"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// freezing is where lithium must not be charged any more: 0 °C, K.
const freezing = 273.15

// hazards derives the table of what stops what, and what the charging sources
// together push into each battery.
func (j *Job) hazards(s *report.Side, m *feed.Map) error {
	h := &hazardTable{j: j, side: s, feed: m, at: feed.Islands(j.Bank, nil)}
	h.levels()
	for i := range j.Bank.Parts {
		if p := &j.Bank.Parts[i]; p.Kind.Charges() {
			h.charging(p)
		}
	}
	for i := range j.Bank.Parts {
		if p := &j.Bank.Parts[i]; p.Kind.Draws() {
			h.drawing(p)
		}
	}
	h.exits()
	h.alone()
	return j.charges(s)
}

// hazardTable is the table in the making.
type hazardTable struct {
	j     *Job
	side  *report.Side
	feed  *feed.Map
	at    map[bank.End]int // islands of copper
	level map[int]float64  // V nominal of an island over the negative take-off
}

// levels gives each island of copper its nominal voltage.
func (h *hazardTable) levels() {
	h.level = map[int]float64{h.at[h.j.Bank.Takeoff.Negative]: 0}
	for range h.j.Bank.Batteries {
		for i := range h.j.Bank.Batteries {
			b := &h.j.Bank.Batteries[i]
			low, known := h.level[h.at[b.Minus()]]
			if _, done := h.level[h.at[b.Plus()]]; known && !done {
				h.level[h.at[b.Plus()]] = low + float64(b.Nominal)
			}
		}
	}
}

// fed lists the batteries that a device's positive terminal is joined to: those
// on its copper and those below them in series.
func (h *hazardTable) fed(at bank.End) []*bank.Battery {
	islands := []int{h.at[at]}
	var all []*bank.Battery
	for n := 0; n < len(islands); n++ {
		for i := range h.j.Bank.Batteries {
			b := &h.j.Bank.Batteries[i]
			if h.at[b.Plus()] != islands[n] || slices.Contains(all, b) {
				continue
			}
			all = append(all, b)
			if low := h.at[b.Minus()]; low != h.at[h.j.Bank.Takeoff.Negative] && !slices.Contains(islands, low) {
				islands = append(islands, low)
			}
		}
	}
	slices.SortFunc(all, func(x, y *bank.Battery) int { return h.order(x) - h.order(y) })
	return all
}

func (h *hazardTable) order(b *bank.Battery) int {
	for i := range h.j.Bank.Batteries {
		if h.j.Bank.Batteries[i].ID == b.ID {
			return i
		}
	}
	return -1
}

// share is one battery's part of a voltage at a device.
func (h *hazardTable) share(b *bank.Battery, at bank.End, volts float64) float64 {
	if level := h.level[h.at[at]]; level > 0 {
		return volts * float64(b.Nominal) / level
	}
	return volts
}

// most adds up a limit over the strings that a device is joined to: of each the
// least of its batteries. NaN where one does not say.
func (h *hazardTable) most(at bank.End, limit func(*bank.Battery) float64) float64 {
	sum := 0.0
	for i := range h.j.Bank.Batteries {
		b := &h.j.Bank.Batteries[i]
		if h.at[b.Plus()] != h.at[at] {
			continue
		}
		least := limit(b)
		for _, below := range h.fed(b.Minus()) {
			least = math.Min(least, limit(below))
		}
		if least <= 0 {
			return math.NaN()
		}
		sum += least
	}
	return sum
}

func chargeLimit(b *bank.Battery) float64    { return float64(b.Limits.Charge) }
func dischargeLimit(b *bank.Battery) float64 { return float64(b.Limits.Discharge) }

// add puts a hazard of one battery into the table, into the row of its likes
// where there is one.
func (h *hazardTable) add(what report.HazardKind, through string, b *bank.Battery, barriers ...[]report.Barrier) *report.Hazard {
	one := report.Hazard{What: what, Through: through, Batteries: []string{b.ID}, Type: b.Type, Lithium: b.Chemistry == bank.LFP, Barriers: slices.Concat(barriers...)}
	for i := range h.side.Hazards {
		r := &h.side.Hazards[i]
		if r.What == what && r.Through == through && r.Type == b.Type && slices.Equal(r.Barriers, one.Barriers) {
			r.Batteries = append(r.Batteries, b.ID)
			return r
		}
	}
	h.side.Hazards = append(h.side.Hazards, one)
	return &h.side.Hazards[len(h.side.Hazards)-1]
}

// own is the battery's own protection, if it acts: assumed unless the job
// states the limit. A battery without electronics has one only where the job
// gives it a trip.
func own[T any](b *bank.Battery, v source.Value[T], senses, how string) []report.Barrier {
	g := &b.Model.Guard
	if !v.Known() || !g.Electronic && g.Trip.Origin != source.Given {
		return nil
	}
	return []report.Barrier{{Senses: senses, Acts: "own protection of " + b.Type, How: how, Own: true, Assumed: v.Origin == source.Assumed}}
}

// charging adds the hazards of one charging source.
func (h *hazardTable) charging(p *bank.Part) {
	show := h.j.Bank.Show
	plus := end(p, 0)
	for _, b := range h.fed(plus) {
		g := &b.Model.Guard
		if b.Chemistry == bank.LFP {
			// A battery that may be charged colder says so by its own limit.
			least := quantity.Temperature(freezing)
			if g.ColdCharge.Origin == source.Given {
				least = min(least, g.ColdCharge.V)
			}
			var lockout []report.Barrier
			if cold := p.Device.ColdLockout; cold >= least {
				lockout = []report.Barrier{{Senses: "its own sensor on the batteries", Acts: p.ID, How: "stops charging below " + show.FormatTemperature(cold)}}
			}
			h.add(report.Freezing, p.ID, b, h.cells(b, g.ColdCharge, "refuses charge below "), lockout)
		}
		hot, most := g.HotCharge, "refuses charge above "
		if g.Hot.Origin == source.Given && hot.Origin != source.Given {
			hot, most = g.Hot, "opens above "
		}
		h.add(report.TooHot, p.ID, b, h.cells(b, hot, most), h.stopsHot(p, hot))
		h.add(report.OverVoltage, p.ID, b, own(b, g.High, "volts at the posts", "refuses charge above "+quantity.Format(g.High.V, 3)), h.holds(p, b)).PerBattery = h.share(b, plus, 1)
		h.add(report.OverCharge, p.ID, b, own(b, g.TripCharge, "its charge current", "opens at "+quantity.Format(g.TripCharge.V, 3)), h.gives(p))
	}
}

// stopsHot is the source's own sensor, where it acts within what the batteries
// bear.
func (h *hazardTable) stopsHot(p *bank.Part, most source.Value[quantity.Temperature]) []report.Barrier {
	hot := p.Device.HotLockout
	if hot <= 0 || most.Known() && float64(hot-most.V) > 1e-6 {
		return nil
	}
	return []report.Barrier{{Senses: "its own sensor on the batteries", Acts: p.ID, How: "stops charging above " + h.j.Bank.Show.FormatTemperature(hot)}}
}

// cells is own protection by temperature.
func (h *hazardTable) cells(b *bank.Battery, v source.Value[quantity.Temperature], how string) []report.Barrier {
	return own(b, v, "its cells' temperature", how+h.j.Bank.Show.FormatTemperature(v.V))
}

// holds is the source's own voltage, where the battery bears it.
func (h *hazardTable) holds(p *bank.Part, b *bank.Battery) []report.Barrier {
	high := b.Model.Guard.High
	if p.Device.Voltage <= 0 || high.Known() && h.share(b, end(p, 0), float64(p.Device.Voltage)) > float64(high.V)*(1+1e-9) {
		return nil
	}
	return []report.Barrier{{Senses: "its own output volts", Acts: p.ID, How: "holds " + quantity.Format(p.Device.Voltage, 3)}}
}

// gives is the source's own limit of current, where the batteries bear it.
func (h *hazardTable) gives(p *bank.Part) []report.Barrier {
	limit := h.most(end(p, 0), chargeLimit)
	if p.Device.Current <= 0 || float64(p.Device.Current) > limit*(1+1e-9) {
		return nil
	}
	return []report.Barrier{{Senses: "its own output current", Acts: p.ID, How: "gives at most " + quantity.Format(p.Device.Current, 3)}}
}

// drawing adds what one load can do to the batteries' charge.
func (h *hazardTable) drawing(p *bank.Part) {
	plus := end(p, 0)
	for _, b := range h.fed(plus) {
		g := &b.Model.Guard
		var cutout []report.Barrier
		// A cut-out below the battery's own never acts.
		if v := h.share(b, plus, float64(p.Device.Cutout)); v > 0 && !(g.Low.Known() && v < float64(g.Low.V)*(1-1e-9)) {
			cutout = []report.Barrier{{Senses: "volts at its terminals", Acts: p.ID, How: "stops below " + quantity.Format(p.Device.Cutout, 3)}}
		}
		h.add(report.OverDischarge, p.ID, b, own(b, g.Low, "volts at the posts", "opens below "+quantity.Format(g.Low.V, 3)), cutout)
	}
}

// exits adds short and over-current on each way out of the bank: to every
// device, or to the take-off where the job has none.
func (h *hazardTable) exits() {
	n := len(h.side.Hazards)
	for i := range h.j.Bank.Parts {
		if p := &h.j.Bank.Parts[i]; p.Kind.Device() {
			h.exit(p.ID, end(p, 0), p.Kind.Draws())
		}
	}
	if len(h.side.Hazards) == n {
		h.exit("takeoff", h.j.Bank.Takeoff.Positive, true)
	}
}

func (h *hazardTable) exit(id string, at bank.End, draws bool) {
	limit := h.most(at, dischargeLimit)
	for _, b := range h.fed(at) {
		g := &b.Model.Guard
		trip := func(how string) []report.Barrier {
			return own(b, g.Trip, "its discharge current", how+quantity.Format(g.Trip.V, 3))
		}
		way := h.way(at, b)
		h.add(report.DeadShort, id, b, trip("opens above "), h.fuses(way.Devices, math.NaN()), h.hands(way.Switches))
		if draws {
			h.add(report.OverCurrent, id, b, trip("opens above "), h.fuses(way.Devices, limit), h.hands(way.Switches))
		}
	}
}

// way gives the way from a battery, or from the one above it in series, to an
// end: the one with the fewest devices.
func (h *hazardTable) way(to bank.End, b *bank.Battery) feed.Way {
	var best *feed.Way
	for i := range h.j.Bank.Cables {
		c := &h.j.Bank.Cables[i]
		for n, e := range []bank.End{c.To, c.From} { // the other end's ways come over this cable
			if e != to {
				continue
			}
			for k := range h.feed.Cables[i].Ways[n] {
				w := &h.feed.Cables[i].Ways[n][k]
				if w.Battery && h.above(b, w.Source) && (best == nil || len(w.Devices) < len(best.Devices)) {
					best = w
				}
			}
		}
	}
	if best == nil {
		return feed.Way{}
	}
	return *best
}

// above reports whether a positive post is the battery's own or that of one
// above it in its string.
func (h *hazardTable) above(b *bank.Battery, post bank.End) bool {
	if post == b.Plus() {
		return true
	}
	top := h.j.Bank.Battery(post.ID)
	return post.Place == "+" && top != nil && h.at[post] != h.at[b.Plus()] && slices.Contains(h.fed(post), b)
}

// fuses are the devices on a way; of over-current those that open before the
// batteries' limit (NaN: whatever they open at).
func (h *hazardTable) fuses(ids []string, limit float64) []report.Barrier {
	var all []report.Barrier
	for _, id := range ids {
		p := h.j.Bank.Part(id)
		if float64(p.Rated.Current) > limit*(1+1e-9) || p.Rated.Current == 0 && !math.IsNaN(limit) {
			continue
		}
		how := "opens"
		if p.Rated.Current > 0 {
			how = fmt.Sprintf("opens above %s", quantity.Format(p.Rated.Current, 3))
		}
		all = append(all, report.Barrier{Senses: "its current", Acts: id, How: how, Fuse: true})
	}
	return all
}

// hands are switches and contactors: what commands a contactor no job says.
func (h *hazardTable) hands(ids []string) []report.Barrier {
	var all []report.Barrier
	for _, id := range ids {
		one := report.Barrier{Senses: "a person", Acts: id, How: "opened by hand", Hand: true}
		if h.j.Bank.Part(id).Kind == bank.Contactor {
			one = report.Barrier{Senses: "whatever commands it; the job does not say", Acts: id, How: "opens on command", Hand: true}
		}
		all = append(all, one)
	}
	return all
}

// alone adds the hazards of the batteries as such.
func (h *hazardTable) alone() {
	for i := range h.j.Bank.Batteries {
		b := &h.j.Bank.Batteries[i]
		trip := own(b, b.Model.Guard.Trip, "its discharge current", "opens above "+quantity.Format(b.Model.Guard.Trip.V, 3))
		var devices, cover []report.Barrier
		beside := h.beside(b, &devices)
		if row := h.add(report.Reversed, "", b, trip, devices); beside {
			row.Parallel = true
		}
		if b.Covered {
			cover = []report.Barrier{{Senses: "nothing, it is in the way", Acts: "cover of the posts", How: "keeps metal off"}}
		}
		h.add(report.CoverOff, "", b, cover, trip)
	}
}

// beside reports whether other batteries lie in parallel with one, and gives
// the fuses that every loop through both passes.
func (h *hazardTable) beside(b *bank.Battery, devices *[]report.Barrier) bool {
	var common []string
	loops := 0
	for i := range h.j.Bank.Batteries {
		o := &h.j.Bank.Batteries[i]
		if o.ID == b.ID || h.at[o.Plus()] != h.at[b.Plus()] {
			continue
		}
		ids := h.way(b.Plus(), o).Devices
		if loops++; loops == 1 {
			common = ids
		}
		common = slices.DeleteFunc(slices.Clone(common), func(id string) bool { return !slices.Contains(ids, id) })
	}
	*devices = h.fuses(common, math.NaN())
	return loops > 0
}
