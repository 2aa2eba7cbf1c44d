package assess

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/life"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// Life is how unevenly a run ages the batteries.
type Life struct {
	Ratio  []float64 // by battery: time to the same loss over the mean battery's; NaN: none
	Loss   []float64 // of the capacity, when the mean battery has lost MeanLoss
	After  float64   // s until the mean battery has
	Words  string    // the law, and what it rests on
	Source string
	Err    error // why there is none
}

// meanLoss is the loss of the mean battery at which lives are compared: the end
// of a battery's life is customarily set at 80 % of its capacity. Common
// practice, no source.
const meanLoss = 0.2

// backRate is the charge rate, 1/h, that a run without charging is assumed to
// be followed by. Common practice, no source.
const backRate = 0.2

// Life compares the ageing of the batteries if a run is done once a day, by a
// published law inside its tests.
func (j *Job) Life(r *report.Run) Life {
	out := Life{Ratio: make([]float64, len(r.Batteries)), Loss: make([]float64, len(r.Batteries))}
	for i := range out.Ratio {
		out.Ratio[i], out.Loss[i] = math.NaN(), math.NaN()
	}
	fail := func(err error) Life {
		out.Err, out.Words = err, err.Error()
		return out
	}
	var uses []life.Use
	var at []int
	charged := false
	for i := range r.Batteries {
		b := &j.Bank.Batteries[i]
		if use, back, ok := useOf(b, &r.Batteries[i]); ok {
			uses, at, charged = append(uses, use), append(at, i), charged || !back
		}
	}
	if len(uses) < 2 {
		return fail(fmt.Errorf("fewer than two batteries are cycled"))
	}
	laws, err := life.For(j.Bank.Batteries[at[0]].Chemistry)
	if err != nil {
		return fail(err)
	}
	law := laws[0]
	u, err := life.Compare(law, uses, life.Question{MeanLoss: meanLoss})
	if err != nil {
		return fail(err)
	}
	if out := u.Mean.Outside; len(out) > 0 {
		return fail(fmt.Errorf("not told: outside the tests of the law (%s): %s", law.Name, strings.Join(out, "; ")))
	}
	for n, i := range at {
		out.Ratio[i], out.Loss[i] = u.Batteries[n].TimeRatio, u.Batteries[n].Loss
	}
	out.After, out.Source = u.After, law.Cycle.String()
	out.Words = fmt.Sprintf("time until it has lost what the mean battery has when that is at %.0f %%, over the mean battery's, if this is done once a day; %s", 100*(1-meanLoss), law.Cycle)
	if !charged {
		out.Words += fmt.Sprintf("; charged back in %.0f h, assumed", 1/backRate)
	}
	if s := stretched(u); s != "" {
		out.Words += "; gentler than was tested: " + s
	}
	return out
}

func stretched(u life.Uneven) string {
	seen := map[string]bool{}
	var all []string
	for _, b := range u.Batteries {
		for _, s := range b.Stretched {
			// one value stands for all: they differ from battery to battery only
			if what, _, _ := strings.Cut(strings.TrimPrefix(s, "cycle: "), " "); !seen[what] {
				seen[what] = true
				all = append(all, s)
			}
		}
	}
	return strings.Join(all, "; ")
}

// useOf is a battery's use if a run is done once a day; back says that its
// charging is assumed.
func useOf(b *bank.Battery, r *report.BatteryRun) (use life.Use, back, ok bool) {
	c := float64(b.Capacity.V)
	if r.Out <= 0 || r.OutTime <= 0 || r.Depth <= 0 || c <= 0 {
		return use, false, false
	}
	use = life.Use{ID: b.ID, PerDay: r.Out / c, Depth: math.Min(1, r.Depth), Discharge: r.Out / r.OutTime / c * 3600,
		Temperature: mean(r.Temperature), SOC: math.Max(0, math.Min(1, r.MeanCharge)), Charge: backRate}
	if r.InTime > 0 && r.In > 0.01*c {
		use.Charge = r.In / r.InTime / c * 3600
		return use, false, true
	}
	return use, true, true
}

func mean(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum / float64(len(values))
}

// age makes what is not given of an old battery what its age leaves of it. A
// capacity or resistance that the battery itself has in the job was measured
// and stands.
func (j *Job) age() {
	for i := range j.Bank.Batteries {
		b, d := &j.Bank.Batteries[i], &j.Doc.Batteries[i]
		if b.Age <= 0 {
			continue
		}
		a, err := life.Aged(float64(b.Age), float64(b.Model.Temperature.V), 0.5)
		if err != nil || math.IsNaN(a.Capacity) || math.IsNaN(a.Resistance) || b.Chemistry != bank.LFP {
			continue // AGE-01 tells that its age changes nothing
		}
		note := fmt.Sprintf("what %.0f days at half charge leave of it, use not counted", float64(b.Age)/86400)
		if !d.Capacity.Set {
			b.Capacity = source.Assume(b.Capacity.V*quantity.Charge(a.Capacity), a.Source, note)
		}
		if !d.Resistance.Set {
			b.Resistance = source.Assume(b.Resistance.V*quantity.Resistance(a.Resistance), a.Source, note)
			b.Model.Ohmic = source.Assume(b.Model.Ohmic.V*quantity.Resistance(a.Resistance), a.Source, note)
		}
	}
}
