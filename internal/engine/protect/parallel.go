package protect

import (
	"math"
	"strconv"

	"bankwright/internal/base/source"
)

// Lead is one of several cables side by side, with the device in it.
type Lead struct {
	Resistance float64               // ohm, of the lead with its joints and device
	Ampacity   source.Value[float64] // A
	Device     source.Value[float64] // A, rating; not known: none
}

// LeadShare is what one of them carries.
type LeadShare struct {
	Current float64 // A
	Share   float64 // of the total
	Even    float64 // over what it would carry if all were alike
	OneOut  float64 // A, the most it carries when one of the others is open; NaN for the only one
	Cable   float64 // current over ampacity; NaN not told
	Device  float64 // current over the device's rating; NaN without one
}

// ParallelResult is leads side by side.
type ParallelResult struct {
	Outcome
	Leads []LeadShare
	Worst int // index of the largest current over ampacity or rating, else of the largest share; -1 without leads
}

// noParallel is what speaks against devices side by side.
var noParallel = source.Ref{Title: "46 CFR 111.50-3", At: "(d), overcurrent devices must not be connected in parallel", Edition: "not stated", How: source.Read}

// Parallel shares a total, A, among leads that begin at one place and end at
// one: as the inverse of their resistances.
//
// Within: none carries more than its ampacity or its device's rating. Outside:
// one does, exactly at the limit it holds. Not checked: the total is none, a
// resistance is not above zero, or an ampacity is not told. That a rule forbids
// devices side by side is among the reasons where more than one lead has one,
// and does not decide: each lead here has its own.
func Parallel(total float64, leads []Lead) ParallelResult {
	r := ParallelResult{Worst: -1}
	sum := 0.0
	for _, l := range leads {
		if !(l.Resistance > 0) || math.IsInf(l.Resistance, 1) {
			r.say(NotChecked, "the resistance of a lead is not told")
			return r
		}
		sum += 1 / l.Resistance
	}
	if len(leads) == 0 || !(total >= 0) || math.IsInf(total, 1) {
		r.say(NotChecked, "no leads or no current is told")
		return r
	}
	for i, l := range leads {
		share := 1 / l.Resistance / sum
		r.Leads = append(r.Leads, LeadShare{Current: share * total, Share: share, Even: share * float64(len(leads)),
			OneOut: oneOut(total, leads, i, sum), Cable: over(share*total, l.Ampacity), Device: over(share*total, l.Device)})
		r.use(l.Ampacity, l.Device)
	}
	r.judge(leads)
	return r
}

// over gives a current over a limit, NaN where that is not told.
func over(current float64, limit source.Value[float64]) float64 {
	if l, ok := positive(limit); ok {
		return current / l
	}
	return math.NaN()
}

// oneOut is the most that lead i carries when one of the others is open.
func oneOut(total float64, leads []Lead, i int, sum float64) float64 {
	most := math.NaN()
	for k, l := range leads {
		if k == i {
			continue
		}
		if now := total / leads[i].Resistance / (sum - 1/l.Resistance); !(now <= most) {
			most = now
		}
	}
	return most
}

func (r *ParallelResult) judge(leads []Lead) {
	loaded := func(l LeadShare) float64 { return math.Max(either(l.Cable, 0), either(l.Device, 0)) }
	devices, untold := 0, 0
	r.Worst = 0
	for i, l := range r.Leads {
		w := r.Leads[r.Worst]
		if loaded(l) > loaded(w)*(1+same) || loaded(w) == 0 && l.Share > w.Share*(1+same) {
			r.Worst = i
		}
		if !math.IsNaN(l.Device) {
			devices++
		}
		if math.IsNaN(l.Cable) {
			untold++
		}
	}
	w := r.Leads[r.Worst]
	name := "lead " + strconv.Itoa(r.Worst+1)
	switch {
	case !atMost(either(w.Cable, 0), 1):
		r.say(Outside, "%s carries %s, more than its conductor may", name, amps(w.Current))
	case !atMost(either(w.Device, 0), 1):
		r.say(Outside, "%s carries %s, more than the %s of its device", name, amps(w.Current), amps(leads[r.Worst].Device.V))
	case untold > 0:
		r.say(NotChecked, "what %d of the %d leads may carry is not told; the most loaded has %s", untold, len(leads), amps(w.Current))
	default:
		r.say(Within, "the most loaded, %s, carries %s", name, amps(w.Current))
	}
	if devices > 1 {
		r.ground(noParallel)
		r.say(r.Verdict, "for ships 46 CFR 111.50-3(d) forbids overcurrent devices side by side: when one opens the others take its share")
	}
}
