package fit

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
)

// Three digits are what a fit is good for, and four a capacity.
func amps(v float64) string    { return quantity.Format(quantity.Current(v), 3) }
func volts(v float64) string   { return quantity.Format(quantity.Voltage(v), 3) }
func seconds(v float64) string { return quantity.Format(quantity.Duration(v), 3) }
func hours(v float64) string   { return quantity.Format(quantity.Charge(v), 4) } // Ah
func percent(v float64) string { return quantity.Format(quantity.Ratio(v), 3) }

// What a log must hold to tell a value by. All are common practice, no source.
const (
	restRate    = 0.01 // of the capacity an hour: less is rest
	stepRate    = 0.05 // of the capacity an hour: a step of current that shows against noise
	shortRows   = 10   // s; a battery's resistance is commonly that of 10 s
	narrow      = 0.3  // of full: less is a small part of the curve
	outside     = 0.02 // of full: further below empty or above full is no rounding
	longGap     = 20   // times the rows' usual distance
	coarseVolts = 1    // step of the voltage reading, as a part of what is left
)

// untold gives the sentences that go with a result.
func (t *task) untold(r *Result, s *solution) []string {
	var out []string
	for _, one := range []string{
		t.tellStart(s), t.tellSteps(), t.tellRows(), t.tellGap(), t.tellVolts(r), t.tellRest(r), t.tellHysteresis(),
		t.tellCovered(), t.tellCount(), t.tellEfficiency(), t.tellMended(), t.tellCapacity(r, s), t.tellCurve(r), t.tellR0(r),
	} {
		if one != "" {
			out = append(out, one)
		}
	}
	return append(out, t.tellBranches(r, s)...)
}

// tellStart: a log that begins under load, in what is fitted or soon before.
func (t *task) tellStart(s *solution) string {
	first := 0
	for !t.inside(first) {
		first++
	}
	memory := 3 * s.taus[len(s.taus)-1] // e^−3 is 5 %
	if math.Abs(t.log.Current[0]) <= t.perHour(restRate) || t.log.Time[first]-t.log.Time[0] > memory {
		return ""
	}
	return fmt.Sprintf("The log begins under a current of %s; it was taken to have rested before.", amps(t.log.Current[0]))
}

func (t *task) tellSteps() string {
	most := t.largestStep()
	if most >= t.perHour(stepRate) {
		return ""
	}
	return fmt.Sprintf("The current hardly varies: it never changes by more than %s from one row to the next, so r0 cannot be told from the curve and the branches.", amps(most))
}

func (t *task) tellRows() string {
	if t.step <= shortRows {
		return ""
	}
	return fmt.Sprintf("Rows are %s apart: r0 holds all that is faster than that, not the resistance of the first seconds alone.", seconds(t.step))
}

func (t *task) tellGap() string {
	most, at := 0.0, 0
	for k := 1; k < len(t.charge); k++ {
		if dt := t.log.Time[k] - t.log.Time[k-1]; dt > most && (t.inside(k) || t.inside(k-1)) {
			most, at = dt, k
		}
	}
	if most <= longGap*t.step {
		return ""
	}
	return fmt.Sprintf("The log has a gap of %s before row %d; the current in it was taken to go straight from one value to the other.", seconds(most), at+1)
}

// tellVolts: a meter that reads in steps shows as differences from row to row
// that are all whole numbers of the least one.
func (t *task) tellVolts(r *Result) string {
	const whole = 0.01 // of a step
	step := math.Inf(1)
	for k := 1; k < len(t.charge); k++ {
		if dv := math.Abs(t.log.Voltage[k] - t.log.Voltage[k-1]); dv > 1e-9*math.Abs(t.log.Voltage[k]) { // more than rounding
			step = min(step, dv)
		}
	}
	if math.IsInf(step, 1) {
		return "The voltage never changes, so nothing can be told from it."
	}
	if step <= coarseVolts*r.RMS {
		return ""
	}
	for k := 1; k < len(t.charge); k++ {
		steps := (t.log.Voltage[k] - t.log.Voltage[k-1]) / step
		if math.Abs(steps-math.Round(steps)) > whole {
			return ""
		}
	}
	return fmt.Sprintf("The voltage was read in steps of %s, coarser than what the fit leaves over.", volts(step))
}

// tellRest: what a branch does is seen purely only when the current is gone.
func (t *task) tellRest(r *Result) string {
	longest := t.longestRest()
	switch {
	case longest == 0:
		return fmt.Sprintf("The battery never rests (below %s), so that the curve and the slow branches are not told apart by themselves.", amps(t.perHour(restRate)))
	case len(r.Branches) > 0 && longest < r.Branches[len(r.Branches)-1].Tau:
		return fmt.Sprintf("The slowest branch, of %s, is longer than the longest rest, of %s: it is not well told from the curve and the hysteresis and is no constant of the battery.", seconds(r.Branches[len(r.Branches)-1].Tau), seconds(longest))
	}
	return ""
}

// longestRest within what is fitted, s.
func (t *task) longestRest() float64 {
	longest, since := 0.0, -1
	for k, current := range t.log.Current {
		if !t.inside(k) || math.Abs(current) > t.perHour(restRate) {
			since = -1
			continue
		}
		if since < 0 {
			since = k
		}
		longest = max(longest, t.log.Time[k]-t.log.Time[since])
	}
	return longest
}

func (t *task) tellHysteresis() string {
	if t.leans {
		return ""
	}
	way := "neither charge nor discharge goes"
	switch {
	case t.charged > Travel && t.discharged <= Travel:
		way = "discharge does not go"
	case t.discharged > Travel && t.charged <= Travel:
		way = "charge does not go"
	}
	return fmt.Sprintf("The hysteresis is unknown and was left out: %s on for long enough (some %s of the capacity at a stretch) to change the branch.", way, percent(Travel))
}

func (t *task) tellCovered() string {
	if t.covered[1]-t.covered[0] >= narrow {
		return ""
	}
	return fmt.Sprintf("Only %s to %s of charge are covered; what was found holds there.", percent(t.covered[0]), percent(t.covered[1]))
}

// tellCount: charge that is counted below empty or above full.
func (t *task) tellCount() string {
	low, high := math.Inf(1), math.Inf(-1)
	for _, s := range t.charge {
		low, high = min(low, s), max(high, s)
	}
	if low >= -outside && high <= 1+outside {
		return ""
	}
	return fmt.Sprintf("The capacity of %s and the start at %s are at odds with the amp-hours counted: charge would go from %s to %s.", hours(t.battery.Capacity), percent(t.battery.Start), percent(low), percent(high))
}

// tellEfficiency: an efficiency that was not given, where it counts.
func (t *task) tellEfficiency() string {
	if !t.assumed || t.charged <= Travel {
		return ""
	}
	whose := "as of the cell of the shipped curve"
	if t.battery.OCV == nil {
		whose = "lead-acid keeps less near full"
	}
	return fmt.Sprintf("Of the charge put in %s was taken to come out again (%s): the coulombic efficiency was not given.", quantity.Format(quantity.Ratio(t.battery.Efficiency), 4), whose)
}

// tellMended: a capacity that is not the one given.
func (t *task) tellMended() string {
	if math.Abs(t.battery.Capacity/t.given-1) < 0.005 { // finer than any label
		return ""
	}
	return fmt.Sprintf("The capacity was taken as %s instead of the %s given, as the log then fits better; it may as well be the amp-hours counted that are off.", hours(t.battery.Capacity), hours(t.given))
}

// tellCapacity: another capacity, beyond what is mended, that would fit much
// better.
func (t *task) tellCapacity(r *Result, s *solution) string {
	if t.knots != nil {
		return ""
	}
	const clear = 0.64 // of the mean square: a fifth off the rms
	best, found := clear*s.cost(1), 0.0
	for k := -6; k <= 6; k++ {
		u, err := t.with(t.battery.Capacity * (1 + float64(k)*0.05))
		if k == 0 || err != nil {
			continue
		}
		if price := u.best(s.taus).cost(1); price < best {
			best, found = price, u.battery.Capacity
		}
	}
	if found == 0 {
		return ""
	}
	return fmt.Sprintf("The capacity is at odds with the amp-hours counted: with about %s, from a start at %s, the log would fit to %s instead of %s.",
		hours(found), percent(t.battery.Start), volts(math.Sqrt(best)), volts(r.RMS))
}

func (t *task) tellCurve(r *Result) string {
	if t.knots == nil {
		return ""
	}
	return fmt.Sprintf("The curve was fitted from the same log, over the charge counted with %s: a wrong capacity stretches it, and it holds from %s to %s only.", hours(t.battery.Capacity), percent(r.Charge[0]), percent(r.Charge[1]))
}

func (t *task) tellR0(r *Result) string {
	if r.R0 > 0 {
		return ""
	}
	return "r0 came out at nil: the log does not show it."
}

// tellBranches: branches that hardly show, and time constants at the end of
// what was looked at.
func (t *task) tellBranches(r *Result, s *solution) []string {
	const shows = 0.05 // of what is left
	var out []string
	sums := t.gather(s.taus)
	for k, tau := range s.taus {
		at := sums.slow(k)
		size := s.r[k] * math.Sqrt(sums.g[at][at]/float64(sums.rows))
		switch {
		case s.r[k] == 0:
			out = append(out, fmt.Sprintf("Branch %d of %d was not found: with it the log fits no better.", k+1, len(s.taus)))
		case size < shows*r.RMS:
			out = append(out, fmt.Sprintf("The branch of %s hardly shows: it is %s of voltage where %s are left over.", seconds(tau), volts(size), volts(r.RMS)))
		case tau <= t.tauLow*(1+finest):
			out = append(out, fmt.Sprintf("The branch of %s is at the fast end of what rows %s apart can tell.", seconds(tau), seconds(t.step)))
		case tau >= t.tauHigh*(1-finest):
			out = append(out, fmt.Sprintf("The branch of %s is at the slow end of what was looked at; it stands for all that is slower.", seconds(tau)))
		}
	}
	return out
}
