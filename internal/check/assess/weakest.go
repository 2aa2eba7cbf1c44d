package assess

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/base/working"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/assemble"
)

// lowestUsed is how far a bank is used where the job gives no floor. Common
// practice, no source.
const lowestUsed = 0.2

// weakBank is the bank at one state of charge: voltages by its curves, no
// higher than one that the job gives, and resistances by what depth does to
// them.
func (j *Job) weakBank(charge float64) *bank.Bank {
	weak := *j.Bank
	weak.Batteries = append([]bank.Battery{}, weak.Batteries...)
	for i := range weak.Batteries {
		b := &weak.Batteries[i]
		v := b.Model.Curve.At(charge)
		if b.EMF.Origin == source.Given && b.EMF.Note == "" { // a note: from the job's own curve
			v = math.Min(v, float64(b.EMF.V))
		}
		b.EMF.V = quantity.Voltage(v)
		b.Resistance.V *= quantity.Resistance(b.Model.Depth.Or(charge, 1))
	}
	return &weak
}

// emptyBank is the bank where it counts as empty under load, which is the least
// voltage that it has behind its resistance.
func (j *Job) emptyBank() *bank.Bank {
	weak := j.weakBank(0)
	_, least := j.faultConditions()
	for i := range weak.Batteries {
		weak.Batteries[i].EMF.V = quantity.Voltage(least.EMF[i])
	}
	return weak
}

// seenBy gives a bank as the terminals of a device see it while the others take
// draws: the voltage without the device's own current, and the resistance of
// bank and wires.
func (j *Job) seenBy(b *bank.Bank, p *bank.Part, draws []sharing.Draw) (u, r float64, err error) {
	var seen [2]float64
	for n := range seen {
		with := drawing(p, draws, float64(n))
		_, v, err := sharing.SolveDraws(b, assemble.Rest(j.cat).CableTemperature.V, with)
		if err != nil {
			return 0, 0, j.named(err)
		}
		for k := range with {
			if with[k].Positive == end(p, 0) && with[k].Negative == end(p, 1) {
				seen[n] = v[k]
			}
		}
	}
	return seen[0], seen[0] - seen[1], nil
}

// powerAmps is the current at which a source of u behind r gives so much power,
// the lower root of I·(u − r·I) = P; ok is false where it gives less at any.
func powerAmps(u, r, watts float64) (amps float64, ok bool) {
	under := u*u - float64(4*float64(r*watts))
	if !(under >= 0) || !(u > 0) {
		return math.NaN(), false
	}
	return 2 * watts / (u + math.Sqrt(under)), true
}

// floor is the lowest state of charge that the bank is used at; assumed where no
// battery says.
func (j *Job) floor() (charge float64, assumed bool) {
	for i := range j.Bank.Batteries {
		charge = math.Max(charge, float64(j.Bank.Batteries[i].Limits.Floor))
	}
	if charge > 0 {
		return charge, false
	}
	return lowestUsed, true
}

// weak is what a device has at its terminals, in its surge if it has one, while
// all other loads are on and the bank is as far down as it is used; and from
// which charge down it cuts out.
func (j *Job) weak(h *heights, p *bank.Part, draws []sharing.Draw) report.WeakPoint {
	w := report.WeakPoint{Volts: math.NaN(), Amps: math.NaN(), Stops: math.NaN(), Surge: p.Device.Surge > p.Device.Power}
	if _, _, _, ok := h.lasting(p); !ok {
		return w
	}
	w.Charge, w.Assumed = j.floor()
	var err error
	if w.Amps, w.Volts, err = j.terminalsAt(p, draws, w.Charge); err != nil {
		w.Amps, w.Volts = math.NaN(), math.NaN()
		return w
	}
	if cut := float64(p.Device.Cutout); cut > 0 {
		w.Stops = bisect(func(charge float64) bool {
			_, v, err := j.terminalsAt(p, draws, charge)
			return err == nil && v >= cut*(1-1e-9)
		})
	}
	return w
}

// bisect finds the least charge at which something holds that holds the better
// the fuller: 0 where it always does, NaN where it never does.
func bisect(holds func(charge float64) bool) float64 {
	low, high := 0.0, 1.0
	switch {
	case holds(low):
		return 0
	case !holds(high):
		return math.NaN()
	}
	for high-low > 1e-4 {
		if mid := (low + high) / 2; holds(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high
}

// terminalsAt is what a device takes and has at its terminals at a state of
// charge; 0 V where the bank cannot give its power.
func (j *Job) terminalsAt(p *bank.Part, draws []sharing.Draw, charge float64) (amps, volts float64, err error) {
	u, r, err := j.seenBy(j.weakBank(charge), p, draws)
	if err != nil {
		return 0, 0, err
	}
	if p.Kind != bank.InverterCharger { // there it is what it charges with
		amps = float64(p.Device.Current)
	}
	if watts := inputPower(p); watts > 0 {
		by, ok := powerAmps(u, r, watts)
		if !ok {
			return math.NaN(), 0, nil
		}
		amps = math.Max(amps, by)
	}
	return amps, u - float64(r*amps), nil
}

// inputPower is the most power that a device takes from the bank, W, its surge
// included.
func inputPower(p *bank.Part) float64 {
	per := 1.0
	if e := p.Device.Efficiency; e.Known() && e.V > 0 {
		per = float64(e.V)
	}
	return math.Max(float64(p.Device.Power), float64(p.Device.Surge)) / per
}

// atWords says which voltage a device's lasting current is taken at.
func (j *Job) atWords(h *heights, p *bank.Part) string {
	_, v, _, ok := h.lasting(p)
	switch {
	case !ok:
		return ""
	case p.Device.Power == 0:
		return "as the job gives it"
	case v == float64(p.Device.Cutout):
		return "its power at its cut-out, " + volts(v)
	case v == h.own(h.nominal, p):
		return "its power at the nominal " + volts(v)
	}
	return "its power where the bank is empty under load, " + volts(v)
}

// weakWorkings are the surge of a device and what it has at its terminals with
// the bank far down.
func (j *Job) weakWorkings(h *heights, l *report.LoadPoint) []working.Working {
	p := j.Bank.Part(l.Part)
	w := &l.Weak
	var all []working.Working
	watts := working.Input{Name: "P", Value: quantity.Format(quantity.Power(inputPower(p)), 4), Origin: source.Computed, Note: "its power over its efficiency"}
	if w.Surge && l.SurgeAmps > 0 {
		v, _ := h.lowest(p)
		lowest := working.Input{Name: "U least", Value: volts(v), Origin: source.Computed, Note: "the lowest it works at: " + j.atWords(h, p)}
		all = append(all, working.Working{ID: l.Part + ".surge", What: "most that " + l.Part + " takes in its surge", Inputs: []working.Input{watts, lowest}, Result: amps(l.SurgeAmps),
			Formula: "the smaller of P/U least and the lower root of I·(U − R·I) = P, U and R the bank where it is empty under load, as the terminals see it"})
	}
	if !(w.Volts > 0) {
		return all
	}
	charge := working.Input{Name: "state of charge", Value: fmt.Sprintf("%.0f %%", 100*w.Charge), Origin: source.Given, Note: "the batteries' floor"}
	if w.Assumed {
		charge.Origin, charge.Note = source.Assumed, "the job gives no floor: common practice, no source"
	}
	one := working.Working{ID: l.Part + ".weak", What: "voltage at " + l.Part + " with the bank as far down as it is used and all other loads on", Inputs: []working.Input{charge}, Result: volts(w.Volts),
		Formula: "V = U − R·I at I·(U − R·I) = P, U and R the bank at that charge, as the terminals see it"}
	if p.Device.Power > 0 || p.Device.Surge > 0 {
		one.Inputs = append(one.Inputs, watts)
	}
	one.Inputs = append(one.Inputs, working.Input{Name: "I", Value: amps(w.Amps), Origin: source.Computed})
	if cut := p.Device.Cutout; cut > 0 {
		stops := "at no charge"
		switch {
		case math.IsNaN(w.Stops):
			stops = "even full"
		case w.Stops > 0:
			stops = fmt.Sprintf("below %.0f %%", 100*w.Stops)
		}
		one.Inputs = append(one.Inputs, working.Input{Name: "it cuts out, at " + volts(float64(cut)), Value: stops, Origin: source.Computed})
	}
	return append(all, one)
}
