package life

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
)

// Law is one published law of ageing. Get one from Small, Large or For; the
// zero Law gives no loss and must not be used.
type Law struct {
	ID, Name string
	Cell     string     // what was tested
	Note     string     // what a reader should know
	Calendar source.Ref // of the part that goes with time
	Cycle    source.Ref // of the part that goes with use

	calendar, cycle part
	extrapolate     bool
}

// part is one of a law's two parts: a loss of rate·amountⁿ with the amount, a
// time or a number of cycles, counted in the law's own unit.
type part struct {
	name     string
	exponent float64
	unit     float64 // of the amount, in seconds or in cycles
	rate     func(Conditions) float64
	rise     func(Conditions) float64 // of resistance, per unit of the amount; nil where the law has none
	limits   []limit
	longest  float64 // most that was tested, seconds or cycles; 0 where the source does not say
	span     string  // the same in words
}

// limit is one range that was tested.
type limit struct {
	what, unit string
	of         func(Conditions) float64
	shift      float64 // from the printed unit to the computed one
	low, high  float64 // as printed
	gentle     bool    // below low is milder use than was tested, no ground to refuse
}

// ErrNoLaw says that no law of ageing is published for a chemistry, as far as
// the references of this package reach.
var ErrNoLaw = errors.New("no published law at hand")

// For gives the laws for a chemistry, the nearest to a house bank first. The
// error wraps ErrNoLaw for every kind but lithium iron phosphate.
func For(c bank.Chemistry) ([]Law, error) {
	if c != bank.LFP {
		return nil, fmt.Errorf("%w for %s", ErrNoLaw, c)
	}
	return []Law{Large(), Small()}, nil
}

// Extrapolating gives the same law, which then answers outside its tests too;
// Result.Outside still names where.
func (l Law) Extrapolating() Law {
	l.extrapolate = true
	return l
}

// Loss gives what one stretch of use takes from a new battery. The error says
// that the conditions are no conditions, such as a depth of 3.
func (l Law) Loss(c Conditions) (Result, error) { return l.After(c) }

// After gives what stretches of use take from a new battery, one after the
// other. A battery that has lost something goes on as if it had reached that
// loss under the new conditions all along (virtual time, virtual cycles). No
// stretch: no loss.
func (l Law) After(stretches ...Conditions) (Result, error) {
	var r Result
	for i, c := range stretches {
		if err := c.check(); err != nil {
			return Result{}, fmt.Errorf("ageing, stretch %d: %w", i+1, err)
		}
	}
	seconds := func(c Conditions) float64 { return c.Time }
	cycles := func(c Conditions) float64 { return c.Cycles }
	r.Calendar, r.CalendarRise = l.calendar.after(stretches, seconds, l.extrapolate, &r)
	r.Cycle, r.CycleRise = l.cycle.after(stretches, cycles, l.extrapolate, &r)
	r.Loss, r.Rise = r.Calendar+r.Cycle, r.CalendarRise+r.CycleRise
	if r.Loss > 1 {
		r.Outside = append(r.Outside, "the law gives a loss of more than the whole capacity")
		r.Calendar, r.Cycle, r.Loss = math.NaN(), math.NaN(), math.NaN()
	}
	return r, nil
}

// after gives loss and rise of this part and adds its reasons to the result.
func (p *part) after(stretches []Conditions, amount func(Conditions) float64, extrapolate bool, r *Result) (loss, rise float64) {
	total, outside := 0.0, false
	for _, c := range stretches {
		n := amount(c)
		if n == 0 {
			continue
		}
		total += n
		outside = p.told(c, r) || outside
		loss = p.goOn(loss, n, c)
		if p.rise == nil {
			rise = math.NaN()
		} else {
			rise += p.rise(c) * (n / p.unit)
		}
	}
	if p.longest > 0 && total > float64(p.longest*(1+slack)) {
		say(&r.Stretched, p.name+": longer than the "+p.span+" of the tests")
	}
	if outside && !extrapolate {
		return math.NaN(), math.NaN()
	}
	return loss, rise
}

// goOn carries a loss on by n more seconds or cycles.
func (p *part) goOn(loss, n float64, c Conditions) float64 {
	k := p.rate(c)
	equivalent := math.Pow(loss/k, 1/p.exponent)
	return k * math.Pow(equivalent+n/p.unit, p.exponent)
}

// slack lets a limit that came through a change of units still be met.
const slack = 1e-9

// told adds the limits that the conditions leave and reports whether any of
// them bars the law.
func (p *part) told(c Conditions, r *Result) (outside bool) {
	for _, l := range p.limits {
		v := l.of(c) - l.shift
		gap := slack * math.Max(1, math.Abs(l.shift))
		text := fmt.Sprintf("%s: %s %.3g%s, tests %g to %g%s", p.name, l.what, v, l.unit, l.low, l.high, l.unit)
		switch {
		case v < l.low-gap && l.gentle:
			say(&r.Stretched, text)
		case v < l.low-gap, v > l.high+gap:
			say(&r.Outside, text)
			outside = true
		}
	}
	return outside
}

func say(all *[]string, text string) {
	if !slices.Contains(*all, text) {
		*all = append(*all, text)
	}
}
