package assess

import (
	"math"

	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/read/assemble"
)

// dayFlow is a current that one device takes during a part of an hour.
type dayFlow struct {
	id   string
	part float64
	amps float64
}

// dayWires holds what currents of devices lose in cables and parts: with linear
// resistances a quadratic form, loss = Σ I_k·I_l·M_kl.
type dayWires struct {
	at map[string]int // of the form, by device
	m  [][]float64    // ohm
	// Of each device alone: the cables it goes through, by current of 1 A.
	ways [][]float64
}

// wiring finds that form from circuits with one and with two devices at 1 A.
// The batteries are at their nominal voltage, so that none pushes current into
// another. Devices that no cable reaches are left out.
func (t *dayTable) wiring() {
	t.wires = &dayWires{at: map[string]int{}}
	if t.j.ready() != nil {
		return // the note on the cables is made with the voltage
	}
	b := t.level()
	cold := assemble.Rest(t.j.cat).CableTemperature.V
	loss := func(d ...sharing.Draw) (float64, []float64, bool) {
		s, _, err := sharing.SolveDraws(b, cold, d)
		if err != nil || math.IsNaN(s.WiringLoss) {
			return 0, nil, false
		}
		var flows []float64
		for _, c := range s.Cables {
			flows = append(flows, math.Abs(c.Current))
		}
		return s.WiringLoss, flows, true
	}
	if still, _, ok := loss(); !ok || still > 1e-9 {
		t.out.Notes = append(t.out.Notes, "batteries of unlike voltage stand side by side: cable losses are not counted")
		return
	}
	w := t.wires
	h := t.j.heights()
	var draws []sharing.Draw
	for _, id := range t.devices() {
		p := t.part(id)
		if !h.across(p) {
			t.out.Unwired = append(t.out.Unwired, id)
			continue
		}
		d := sharing.Draw{Positive: end(p, 0), Negative: end(p, 1), Current: 1}
		own, flows, ok := loss(d)
		if !ok {
			continue
		}
		row := make([]float64, len(draws)+1)
		row[len(draws)] = own
		for k, other := range draws {
			if both, _, ok := loss(d, other); ok {
				row[k] = (both - own - w.m[k][k]) / 2
			}
		}
		w.at[id] = len(draws)
		w.m, w.ways, draws = append(w.m, row), append(w.ways, flows), append(draws, d)
	}
	t.out.WiringKnown = len(w.at) > 0
}

// level is the bank with every battery at its nominal voltage.
func (t *dayTable) level() *bank.Bank {
	b := *t.j.Bank
	b.Batteries = append([]bank.Battery{}, b.Batteries...)
	for i := range b.Batteries {
		b.Batteries[i].EMF.V = b.Batteries[i].Nominal
	}
	return &b
}

// devices are the parts that the balance knows, in the order of the parts.
func (t *dayTable) devices() []string {
	named := map[string]bool{t.ask.Drive.Part: true}
	for n := range t.ask.Loads {
		named[t.ask.Loads[n].Part], named[t.ask.Loads[n].Through] = true, true
	}
	for i := range t.ask.Sun {
		named[t.ask.Sun[i].Part] = true
	}
	var ids []string
	for i := range t.j.Bank.Parts {
		p := &t.j.Bank.Parts[i]
		if named[p.ID] || p.Kind.Mains() && t.ask.Mains.Days > 0 {
			ids = append(ids, p.ID)
		}
	}
	return ids
}

// ohm is an element of the form; 0 where a device is not in it.
func (w *dayWires) ohm(a, b string) float64 {
	i, hasA := w.at[a]
	k, hasB := w.at[b]
	if !hasA || !hasB {
		return 0
	}
	return w.m[max(i, k)][min(i, k)]
}

// loss is the mean loss, W, of currents that flow in parts of an hour
// independently of one another: a current with itself overlaps for its whole
// part, two for the product of theirs.
func (w *dayWires) loss(flows []dayFlow) float64 {
	sum := 0.0
	for k, a := range flows {
		sum += float64(a.part * a.amps * a.amps * w.ohm(a.id, a.id))
		for _, b := range flows[:k] {
			sum += float64(2 * a.part * b.part * a.amps * b.amps * w.ohm(a.id, b.id))
		}
	}
	return sum
}
