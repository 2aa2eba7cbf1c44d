package assess

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/fault"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/assemble"
)

// Faults is what dead shorts can draw, with what it rests on.
type Faults struct {
	fault.Result
	Rises       []FaultRise // by point
	AcrossRises []FaultRise // by device
	IntoRises   []FaultRise // by battery
	Leads       []report.InLead
	Assumed     []string // sentences, of the most and of the least
}

// Conditions of the least fault current: what a device must still open at.
// Aged: the resistance doubled (common practice, no source). Cold: 0 °C.
const (
	agedFactor = 2.0
	coldKelvin = 273.15
)

// Faults computes the most and the least current of dead shorts.
func (j *Job) Faults() (*Faults, error) {
	if err := j.ready(); err != nil {
		return nil, err
	}
	most, least := j.faultConditions()
	r, err := fault.Solve(j.Bank, fault.Options{Most: most, Least: &least})
	if err != nil {
		return nil, j.named(err)
	}
	f := &Faults{Result: r}
	strong, err := fault.New(j.Bank, most)
	if err != nil {
		return nil, j.named(err)
	}
	if err := j.rises(f, strong); err != nil {
		return nil, err
	}
	if f.Leads, err = j.leads(most); err != nil {
		return nil, err
	}
	f.Assumed = append(f.Assumed,
		fmt.Sprintf("most: open-circuit voltage as given, else at 100 %%; fault resistance as given, else the resistance where that and the emf are given, else %g of the resistance, assumed; fuses, breakers, switches and shunts whose resistance is only assumed have none; cables at %s; no electronics counted, though they may open first",
			j.cat.Constant("fault_fraction").Value, j.Bank.Show.FormatTemperature(assemble.Rest(j.cat).CableTemperature.V)),
		fmt.Sprintf("least: empty, %s, resistance times %g for age, cables at what their insulation bears: assumed throughout; it decides whether a device opens in time", j.Bank.Show.FormatTemperature(coldKelvin), agedFactor))
	f.Assumed = append(f.Assumed, f.riseWords()...)
	return f, nil
}

// faultConditions gives full, warm and new; empty, cold and aged.
func (j *Job) faultConditions() (most, least fault.Conditions) {
	most.Cables, most.Bare = assemble.Rest(j.cat).CableTemperature.V, true
	least.Cables = j.hottestInsulation()
	for i := range j.Bank.Batteries {
		b := &j.Bank.Batteries[i]
		full, empty := b.Model.Curve.At(1), b.Model.Curve.At(0)
		if b.EMF.Origin == source.Given && b.EMF.Note == "" { // a note: from the job's own curve
			full = float64(b.EMF.V)
			empty = math.Min(empty, full)
			if len(b.Curve) == 0 { // it has no other voltage: where it counts as empty
				low, _ := emptyVolts(b)
				empty = math.Min(low, full)
			}
		}
		if low := b.Model.Guard.Low; low.Known() {
			empty = math.Max(empty, float64(low.V))
		}
		most.EMF = append(most.EMF, full)
		most.Resistance = append(most.Resistance, float64(b.FaultResistance.V))
		least.EMF = append(least.EMF, empty)
		least.Resistance = append(least.Resistance, float64(b.Resistance.V)*agedFactor*j.cold(b)*b.Model.Depth.Or(0, 1))
	}
	return most, least
}

// cold is the factor of a battery's resistance at 0 °C: the job's, else its
// chemistry's.
func (j *Job) cold(b *bank.Battery) float64 {
	if len(b.Model.Warmth) > 0 {
		return b.Model.Warmth.LogAt(coldKelvin)
	}
	return j.cat.Chemistry(b.Chemistry).Warmth.V.LogAt(coldKelvin)
}

// hottestInsulation is the highest temperature that the insulation of a cable
// bears: none can be warmer.
func (j *Job) hottestInsulation() quantity.Temperature {
	hot := assemble.Rest(j.cat).CableTemperature.V
	for i := range j.Bank.Cables {
		hot = max(hot, j.Bank.Cables[i].Wrap.Insulation.V)
	}
	return hot
}
