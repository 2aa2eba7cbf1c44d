package assess

import (
	"math"
	"sort"

	"bankwright/internal/base/quantity"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/assemble"
)

// stops finds what stops first as the bank empties: each device that draws, by
// its cut-out with its power on, that of its surge where it has one, and nothing
// else; and the floor.
func (t *dayTable) stops() {
	t.out.Stops = append(t.out.Stops, report.DayStop{ID: "floor", Charge: t.out.Floor, Volts: math.NaN()})
	if t.j.ready() != nil {
		return
	}
	h := t.j.heights()
	for _, id := range t.devices() {
		p := t.part(id)
		cut := float64(p.Device.Cutout)
		if !p.Kind.Draws() || !(cut > 0) || !h.across(p) {
			continue
		}
		lasting, amps, ok := p.Asks(p.Device.Cutout)
		ohm, known := t.seen(p)
		if !ok || !known {
			continue
		}
		stop := report.DayStop{ID: id, Charge: -1, Volts: cut, Amps: float64(amps), Surge: amps > lasting}
		for n := 1000; n >= 0; n-- {
			charge := float64(n) / 1000
			level := h.climb(t.j.Bank, func(b *bank.Battery) float64 { return b.Model.Curve.At(charge) })
			if h.own(level, p)-float64(ohm*stop.Amps) <= cut {
				stop.Charge = charge
				break
			}
		}
		t.out.Stops = append(t.out.Stops, stop)
	}
	sort.SliceStable(t.out.Stops, func(a, b int) bool { return t.out.Stops[a].Charge > t.out.Stops[b].Charge })
}

// seen is the resistance of bank and wires together as a device sees it.
func (t *dayTable) seen(p *bank.Part) (float64, bool) {
	var v [2]float64
	for n := range v {
		_, all, err := sharing.SolveDraws(t.level(), assemble.Rest(t.j.cat).CableTemperature.V, []sharing.Draw{{Positive: end(p, 0), Negative: end(p, 1), Current: float64(n)}})
		if err != nil {
			return 0, false
		}
		v[n] = all[0]
	}
	return v[0] - v[1], true
}

// fuseOver is how far a fuse's rating lies over the lasting current: that of a
// circuit of continuous load (common practice, no source; NEC 210.20 idea).
const fuseOver = 1.25

// sides sets each device that draws beside itself at other system voltages, its
// cables the same.
func (t *dayTable) sides(volts []float64) error {
	o := t.out
	if volts == nil {
		other := 2 * o.Nominal
		if o.Nominal >= 18 {
			other = o.Nominal / 2
		}
		volts = []float64{math.Min(o.Nominal, other), math.Max(o.Nominal, other)}
	}
	o.Voltages = volts
	h := t.j.heights()
	for _, id := range t.devices() {
		p := t.part(id)
		if !p.Kind.Draws() {
			continue
		}
		at, own := o.Nominal, o.Nominal
		empty := at
		if t.j.ready() == nil && h.across(p) {
			at, _ = h.lowest(p)
			own, empty = h.own(h.nominal, p), h.own(h.empty, p)
		}
		amps, _, ok := p.Asks(quantity.Voltage(at))
		if !ok {
			continue
		}
		row := report.DaySides{ID: id, Way: math.NaN(), Ohm: math.NaN()}
		t.way(&row)
		for _, v := range volts {
			one, err := t.side(p, &row, float64(amps), v/own, empty, v)
			if err != nil {
				return err
			}
			row.Each = append(row.Each, one)
		}
		o.Sides = append(o.Sides, row)
	}
	return nil
}

// way fills the length and resistance of a device's cables: of its own circuit,
// each conductor by the part of the current that it carries.
func (t *dayTable) way(row *report.DaySides) {
	n, ok := t.wires.at[row.ID]
	if !ok {
		return
	}
	row.Ohm = t.wires.m[n][n]
	sum, thinnest := 0.0, math.Inf(1)
	for i, part := range t.wires.ways[n] {
		c := &t.j.Bank.Cables[i]
		if part < 1e-9 {
			continue
		}
		if !c.Length.Known() {
			sum = math.NaN()
		}
		sum += float64(part * float64(c.Length.V))
		if k := t.j.cat.Conductor(c.Size); k != nil && part > 0.99 && float64(k.Section) < thinnest {
			thinnest, row.Have = float64(k.Section), c.Size.String()
		}
	}
	row.Way = sum / 2
}

// side is one device at a voltage that is ratio times its own: a lower voltage
// asks for a larger current for the same power.
func (t *dayTable) side(p *bank.Part, row *report.DaySides, own, ratio, empty, v float64) (report.DaySide, error) {
	one := report.DaySide{Volts: v, Amps: own / ratio, Cutout: float64(p.Device.Cutout) * ratio, Warm: math.NaN()}
	one.Drop = one.Amps * row.Ohm
	one.Loss = one.Amps * one.Drop
	one.Terminals = empty*ratio - one.Drop
	for _, r := range t.j.cat.StandardRatings().List {
		if float64(r) >= fuseOver*one.Amps*(1-1e-9) {
			one.Fuse = float64(r)
			break
		}
	}
	if !(row.Way > 0) || !(one.Amps > 0) {
		return one, nil
	}
	ask := SizeAsk{Current: one.Amps, Length: row.Way, Voltage: v, Book: t.j.Bank.Practice.Book.V, Ambient: float64(t.j.Bank.Practice.Ambient.V)}
	answer, err := Size(ask)
	if err != nil {
		return one, nil // out of what a size can be asked for: none is named
	}
	if c := answer.Smallest; c != nil {
		one.Cable, one.Warm = c.Size.String(), c.Temperature
	}
	return one, nil
}
