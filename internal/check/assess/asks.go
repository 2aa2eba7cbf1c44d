package assess

import (
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/feed"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/rating"
)

// heights give each island of copper its voltage over the negative take-off
// with the batteries at nominal and when empty under load.
type heights struct {
	at             map[bank.End]int
	nominal, empty map[int]float64
	assumed        bool // some battery's empty voltage is of its chemistry
}

func (j *Job) heights() *heights {
	h := &heights{at: feed.Islands(j.Bank, nil)}
	h.nominal = h.climb(j.Bank, func(b *bank.Battery) float64 { return float64(b.Nominal) })
	h.empty = h.climb(j.Bank, func(b *bank.Battery) float64 {
		low, given := emptyVolts(b)
		h.assumed = h.assumed || !given
		return low
	})
	return h
}

// emptyVolts is where a battery is empty under load: its own low limit, else
// the cut-off of its chemistry; given only where the job states it.
func emptyVolts(b *bank.Battery) (volts float64, given bool) {
	if low := b.Model.Guard.Low; low.Known() {
		return float64(low.V), low.Origin == source.Given
	}
	if table, ok := rating.ChargingOf(string(b.Chemistry)); ok {
		return table.Cutoff * table.Cells(float64(b.Nominal)), false
	}
	return float64(b.Nominal), false
}

// climb adds up battery voltages from the negative take-off.
func (h *heights) climb(b *bank.Bank, volts func(*bank.Battery) float64) map[int]float64 {
	level := map[int]float64{h.at[b.Takeoff.Negative]: 0}
	for range b.Batteries {
		for i := range b.Batteries {
			one := &b.Batteries[i]
			low, known := level[h.at[one.Minus()]]
			if _, done := level[h.at[one.Plus()]]; known && !done {
				level[h.at[one.Plus()]] = low + volts(one)
			}
		}
	}
	return level
}

// across reports whether a device stands across batteries, its positive
// terminal on the higher side. One that does not carries no current that means
// anything: rule DEV-01 names it.
func (h *heights) across(p *bank.Part) bool {
	a, hasA := h.nominal[h.at[end(p, 0)]]
	b, hasB := h.nominal[h.at[end(p, 1)]]
	return hasA && hasB && a > b
}

// own is the voltage of a level at a device's terminals.
func (h *heights) own(level map[int]float64, p *bank.Part) float64 {
	return level[h.at[end(p, 0)]] - level[h.at[end(p, 1)]]
}

// lowest is the voltage that a device's lasting current is taken at. What turns
// its input into power of its own, an inverter or a load with a cut-out, takes
// the more current the lower the voltage: the lowest that it works at counts,
// its cut-out, else where the batteries are empty. What a plain load takes
// falls with the voltage: nominal. A cut-out outside of what the bank can have
// is no help (rule DEV-02).
func (h *heights) lowest(p *bank.Part) (volts float64, assumed bool) {
	nominal, cut := h.own(h.nominal, p), float64(p.Device.Cutout)
	switch {
	case p.Kind == bank.Load && cut == 0:
		return nominal, false
	case cut > nominal/2:
		return math.Min(cut, nominal), false
	}
	if empty := h.own(h.empty, p); empty > 0 && empty < nominal {
		return empty, h.assumed
	}
	return nominal, true
}

// lasting is what a device takes without end, A; ok is false where the job does
// not say or the device is not across the batteries.
func (h *heights) lasting(p *bank.Part) (amps, volts float64, assumed, ok bool) {
	if !p.Kind.Draws() || !h.across(p) {
		return 0, 0, false, false
	}
	volts, assumed = h.lowest(p)
	a, _, ok := p.Asks(quantity.Voltage(volts))
	return float64(a), volts, assumed && p.Device.Power > 0, ok
}

// surgeAmps is what a device takes in its surge at most while the others take
// draws, A: it asks for power, so that its current is the larger the lower the
// voltage. It is that at the voltage to which the surge itself brings its
// terminals with the bank empty under load,
//
//	I·(U − R·I) = P,  I = 2P/(U + √(U² − 4RP)),
//
// with U and R of that bank as its terminals see it, but no more than at the
// lowest voltage that it works at; there it ends too where the bank cannot give
// the power at all.
func (j *Job) surgeAmps(h *heights, p *bank.Part, draws []sharing.Draw) (float64, error) {
	watts := inputPower(p)
	volts, _ := h.lowest(p)
	most := watts / volts
	u, r, err := j.seenBy(j.emptyBank(), p, draws)
	if err != nil {
		return 0, err
	}
	if amps, ok := powerAmps(u, r, watts); ok {
		return math.Min(most, amps), nil
	}
	return most, nil
}

// drawing is draws with another current of one device.
func drawing(p *bank.Part, draws []sharing.Draw, amps float64) []sharing.Draw {
	with := append([]sharing.Draw{}, draws...)
	for n := range with {
		if with[n].Positive == end(p, 0) && with[n].Negative == end(p, 1) {
			with[n].Current = amps
		}
	}
	return with
}

// takes is what a device takes lasting and in its surge, A, zero where not
// known.
func (j *Job) takes(p *bank.Part) (lasting, surge float64) {
	h := j.heights()
	lasting, _, _, ok := h.lasting(p)
	if !ok {
		return 0, 0
	}
	if p.Device.Surge <= p.Device.Power {
		return lasting, lasting
	}
	draws, _ := j.draws()
	surge, err := j.surgeAmps(h, p, draws)
	if err != nil {
		return lasting, lasting
	}
	return lasting, surge
}
