package chart

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// made says what kind of run is made up.
type made struct {
	batteries int
	every     float64 // s between samples
	draw      float64 // A
	capacity  float64 // C of each
	uneven    float64 // how far the worst begins above the mean, of one
	hours     float64
	warm      float64 // K that each gets warmer in all
}

// discharge makes up a run of equal batteries in parallel. While a set of n of
// them is in, battery i carries draw/n·(1 + d·e^(−t/τ)), the closed form of
// sources whose voltage falls straight with charge; its charge is the integral
// of that. One that reaches a tenth is empty and leaves the others to it; when
// two are left the charger comes on.
func discharge(m made) *report.Run {
	const tau, floor = 5400, 0.1
	n := m.batteries
	r := &report.Run{ID: "evening", Every: m.every, FirstOut: math.NaN(), BankOut: math.NaN(), Ended: "its time was over"}
	charge, begin, in := make([]float64, n), make([]float64, n), make([]bool, n)
	for i := range n {
		begin[i], in[i] = 0.95, true
		r.Batteries = append(r.Batteries, report.BatteryRun{ID: fmt.Sprintf("B%d", i+1)})
	}
	left, since, draw, changed := float64(n), 0.0, m.draw, 0.0
	for t := 0.0; t <= m.hours*3600; t += m.every {
		total := 0.0
		out := false
		for i := range n {
			b := &r.Batteries[i]
			d := m.uneven * math.Cos(math.Pi*float64(i)/float64(max(1, n-1)))
			fade := math.Exp(-(t - since) / tau)
			current := 0.0
			if in[i] {
				current = draw / left * (1 + float64(d*fade))
				charge[i] = begin[i] - draw/left*(t-since+float64(d*tau*(1-fade)))/m.capacity
			}
			total += current
			b.Current = append(b.Current, current)
			b.Charge = append(b.Charge, charge[i])
			b.Voltage = append(b.Voltage, 12.6+0.9*charge[i]-0.004*current)
			b.Temperature = append(b.Temperature, 293.15+m.warm*(1-math.Exp(-t/9000))*(1+d))
			if in[i] && charge[i] <= floor && draw > 0 {
				in[i], out = false, true
				r.Events = append(r.Events, report.Event{Time: t, Battery: b.ID, What: report.Empty, Opens: "discharge", Because: "floor", Value: charge[i], Limit: floor, Assumed: i == 0})
			}
		}
		r.Time, r.Current = append(r.Time, t), append(r.Current, total)
		r.Voltage = append(r.Voltage, 12.4+0.9*charge[n-1]-0.001*total)
		if !out {
			continue
		}
		left, since = 0, t
		for i := range n {
			if begin[i] = charge[i]; in[i] {
				left++
			}
		}
		if math.IsNaN(r.FirstOut) {
			r.FirstOut = t * draw
		}
		if left <= 2 && changed == 0 {
			changed, draw, left = t, -m.draw/2, float64(n)
			for i := range n {
				in[i] = true
			}
			r.Events = append(r.Events, report.Event{Time: t, Battery: "B1", What: report.TripCurrent, Opens: "both", Because: "current", Value: 212.4, Limit: 200})
		}
	}
	end := r.Time[len(r.Time)-1]
	evening := bank.Case{ID: "evening", Current: quantity.Current(m.draw)}
	r.Steps = []report.RunStep{{Case: evening, Start: 0, End: end, Ended: "time"}}
	if changed > 0 {
		r.Steps = []report.RunStep{{Case: evening, Start: 0, End: changed, Ended: "bank out"},
			{Case: bank.Case{ID: "shore", Current: quantity.Current(-m.draw / 2), Origin: "assumed"}, Start: changed, End: end, Ended: "time"}}
	}
	return r
}

// four and six are the runs that are looked at.
func four() *report.Run {
	return discharge(made{batteries: 4, every: 30, draw: 180, capacity: 100 * 3600, uneven: 0.18, hours: 4, warm: 6})
}

func six() *report.Run {
	return discharge(made{batteries: 6, every: 60, draw: 180, capacity: 100 * 3600, uneven: 0.25, hours: 6, warm: 0.3})
}

// varied makes up the spread of n builds: the worst of four normal deviates
// about the nominal.
func varied(n int, seed uint64) *report.Spread {
	rng := rand.New(rand.NewPCG(seed, 1))
	s := &report.Spread{Case: bank.Case{ID: "evening", Current: 180}, Draw: 180, Seed: seed, Asked: n, Done: n, Nominal: 0.053, NominalOut: 0.34, HasLimit: true}
	for range n {
		in, out := s.Nominal-0.03, s.NominalOut-0.05
		for range 4 {
			in = max(in, s.Nominal+0.03*rng.NormFloat64())
			out = max(out, s.NominalOut+0.05*rng.NormFloat64())
		}
		s.Worst, s.WorstOut = append(s.Worst, in), append(s.WorstOut, out)
		if out > 0.45 {
			s.OverOut++
		}
	}
	slices.Sort(s.Worst)
	slices.Sort(s.WorstOut)
	s.Tolerances = []report.Tolerance{
		{What: "resistance", Spread: 0.05, Assumed: true, Matters: 0.031, Part: 0.61},
		{What: "capacity", Spread: 0.02, Matters: 0, Part: 0},
		{What: "joints", Spread: 0.3, Assumed: true, Matters: 0.022, Part: 0.31},
		{What: "lengths", Spread: 0.01, Matters: 0.0012, Part: 0.001},
		{What: "emf", Spread: 0.002, Matters: 0.011, Part: 0.079},
	}
	return s
}
