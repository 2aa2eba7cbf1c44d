package rules

import (
	"fmt"
	"math"

	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// polarityRules are those of batteries connected the wrong way round.
var polarityRules = []*Rule{&reversedBattery}

var reversedBattery = Rule{
	ID:       "POL-01",
	Title:    "A battery is connected the wrong way round",
	Text:     "Between two points all strings must add up to the same voltage, each battery counted from its negative to its positive post. Where they do not, or where a string adds up to less than its batteries have, it is looked for the battery that, turned round, makes them agree: of several such the one that gives the take-off the most. The batteries drive into each other through it all that their resistances let pass: `currents` shows how much. Until it is turned CUR-01, PRO-15 and PRO-19 are silent, as their currents mean nothing.",
	Source:   source.Ref{Title: "Kirchhoff's voltage law over the nominal voltages of the job", How: source.Practice},
	Severity: finding.Fault,
	Failing:  dcWith("from: B1+, to: B2+", "from: B1+, to: B2-", "from: B1-, to: B2-", "from: B1-, to: B2+", "from: R1.b, to: B2-", "from: R1.b, to: B1-"),
	Passing:  dcJob,
	snapshot: true,
	check:    checkReversed,
}

// mostTurned is how many batteries the wrong way round are looked for.
const mostTurned = 2

func checkReversed(r *report.Report, say *speaker) {
	wrong, turned := wrongWay(r.Bank)
	if len(wrong) == 0 {
		return
	}
	is, it := "is", "it"
	if len(wrong) > 1 {
		is, it = "are", "them"
	}
	words := fmt.Sprintf("%s %s connected the wrong way round: ", listed(wrong), is)
	if low, high, ok := againstEachOther(r.Bank); ok {
		words += fmt.Sprintf("the string of %s adds up to %s, against %s of what it is in parallel with", listed(stringOf(r.Bank, wrong[0])), volt(low), volt(high))
	} else {
		at, _ := potentials(r.Bank, nil)
		now := at[joined(r.Bank).islands(r.Bank)[r.Bank.Takeoff.Positive]]
		words += fmt.Sprintf("the take-off has %s; with %s turned it has %s", volt(now), it, volt(turned))
	}
	say.find(wrong[0], words, "exchange the leads at the posts of "+listed(wrong)+", before anything else is connected")
}

// wrongWay names the fewest batteries that, turned round, make all strings
// agree and give the take-off more than it has; none where nothing is amiss, or
// where no such few are found. turned is what the take-off then has, V.
func wrongWay(b *bank.Bank) (names []string, turned float64) {
	top := joined(b).islands(b)[b.Takeoff.Positive]
	volts := func(flip []int) (float64, bool) {
		at, off := potentials(b, flip)
		v, known := at[top]
		return v, known && off == nil
	}
	now, agree := volts(nil)
	best := math.Inf(-1)
	if agree {
		best = now * (1 + 1e-9)
	}
	for many := 1; many <= mostTurned && names == nil; many++ {
		choices(len(b.Batteries), many, func(flip []int) {
			if v, ok := volts(flip); ok && v > 0 && v > best+1e-6 {
				best, names = v, nil
				for _, i := range flip {
					names = append(names, b.Batteries[i].ID)
				}
			}
		})
	}
	return names, best
}

// choices calls with every choice of so many numbers below n, in order.
func choices(n, many int, call func([]int)) {
	for i := range n {
		if many == 1 {
			call([]int{i})
			continue
		}
		for k := i + 1; k < n; k++ {
			call([]int{i, k})
		}
	}
}

// potentials gives islands of copper their nominal voltage over the negative
// take-off, batteries passed either way and those named turned round. off is
// the first battery that does not agree with the others, nil where all do:
// half the smallest nominal voltage apart, since 12 V and 12.8 V are no matter
// of polarity.
func potentials(b *bank.Bank, flip []int) (at map[int]float64, off *bank.Battery) {
	copper := joined(b).islands(b)
	at = map[int]float64{copper[b.Takeoff.Negative]: 0}
	least := math.Inf(1)
	volts := make([]float64, len(b.Batteries))
	for i := range b.Batteries {
		volts[i] = float64(b.Batteries[i].Nominal)
		least = math.Min(least, volts[i])
	}
	for _, i := range flip {
		volts[i] = -volts[i]
	}
	for changed := true; changed; {
		changed = false
		for i := range b.Batteries {
			low, high := copper[b.Batteries[i].Minus()], copper[b.Batteries[i].Plus()]
			l, okL := at[low]
			h, okH := at[high]
			switch {
			case okL && !okH:
				at[high], changed = l+volts[i], true
			case okH && !okL:
				at[low], changed = h-volts[i], true
			case okL && math.Abs(h-l-volts[i]) > least/2 && off == nil:
				off = &b.Batteries[i]
			}
		}
	}
	return at, off
}

// againstEachOther gives what two strings in parallel add up to, the string
// with the battery that is the wrong way round first; ok is false where strings
// do not disagree.
func againstEachOther(b *bank.Bank) (low, high float64, ok bool) {
	wrong, _ := wrongWay(b)
	if _, off := potentials(b, nil); off == nil || len(wrong) == 0 {
		return 0, 0, false
	}
	for _, id := range stringOf(b, wrong[0]) {
		v := float64(b.Battery(id).Nominal)
		high += v
		low += v
		for _, w := range wrong {
			if w == id {
				low -= 2 * v
			}
		}
	}
	return low, high, true
}

// stringOf lists the batteries in series with one: joined to it by copper at
// which just two posts meet, itself included, in the order of the job.
func stringOf(b *bank.Bank, id string) []string {
	copper := joined(b).islands(b)
	posts := map[int][]string{}
	for i := range b.Batteries {
		one := &b.Batteries[i]
		for _, e := range []bank.End{one.Minus(), one.Plus()} {
			posts[copper[e]] = append(posts[copper[e]], one.ID)
		}
	}
	ends := map[int]bool{copper[b.Takeoff.Positive]: true, copper[b.Takeoff.Negative]: true}
	in := map[string]bool{id: true}
	for range b.Batteries {
		for place, who := range posts { // order does not matter: a set grows
			if len(who) == 2 && !ends[place] && (in[who[0]] || in[who[1]]) {
				in[who[0]], in[who[1]] = true, true
			}
		}
	}
	var all []string
	for i := range b.Batteries {
		if in[b.Batteries[i].ID] {
			all = append(all, b.Batteries[i].ID)
		}
	}
	return all
}
