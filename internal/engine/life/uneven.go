package life

import (
	"errors"
	"fmt"
	"math"
)

// Use is how one battery is used day by day.
type Use struct {
	ID          string
	PerDay      float64 // equivalent full cycles a day, of its own capacity
	Depth       float64 // of a cycle, 0 to 1
	Charge      float64 // C-rate of its own capacity, 1/h
	Discharge   float64 // C-rate of its own capacity, 1/h
	Temperature float64 // K, of the cells
	SOC         float64 // mean state of charge, 0 to 1
}

// Question says when to look, and at which parts of the loss. One of MeanLoss
// and Time is above zero.
type Question struct {
	MeanLoss  float64 // look when the mean battery has lost this fraction, above 0 and below 1
	Time      float64 // or after this time, s
	CycleOnly bool    // leave the calendar part out
}

// Fate is what becomes of one battery. All but the ID and the reasons are NaN
// where its use, or the mean battery's, is outside the law's tests.
type Fate struct {
	ID        string
	Loss      float64 // fraction of the capacity when new, at Uneven.After
	LossRatio float64 // over the mean battery's; the roots in the laws hide differences, so quote TimeRatio
	Time      float64 // s until it has lost what the mean battery has at Uneven.After; +Inf if never
	TimeRatio float64 // that over Uneven.After: below 1, sooner than the mean battery
	Outside   []string
	Stretched []string
}

// Uneven is what unequal use makes of the batteries of a bank.
type Uneven struct {
	After     float64 // s, when the losses are looked at; NaN where the mean battery is outside the tests
	Mean      Fate    // the mean battery, with no ID
	Batteries []Fate  // as asked
}

var errNeverLoses = errors.New("uneven ageing: no battery is cycled, so that none ever loses anything; give cycles a day, or count the calendar part too")

// Compare gives the fate of batteries under one law beside a mean battery,
// whose every number is the plain mean of theirs. Calendar and cycle part each
// run with the battery's own use. The error names what is missing: no
// batteries, no time to look at, a use that is none, or a mean battery that
// never loses anything.
func Compare(law Law, uses []Use, q Question) (Uneven, error) {
	if err := q.check(); err != nil {
		return Uneven{}, err
	}
	if len(uses) == 0 {
		return Uneven{}, errors.New("uneven ageing: no batteries to compare")
	}
	for _, u := range uses {
		if err := u.over(day, q.CycleOnly).check(); err != nil {
			return Uneven{}, fmt.Errorf("uneven ageing, battery %s: %w", u.ID, err)
		}
	}
	mean := meanUse(uses)
	after := q.Time
	if q.MeanLoss > 0 {
		after = law.timeTo(q.MeanLoss, mean, q.CycleOnly)
	}
	if math.IsInf(after, 1) {
		return Uneven{}, errNeverLoses
	}
	r, err := law.Loss(mean.over(after, q.CycleOnly))
	if err != nil {
		return Uneven{}, fmt.Errorf("uneven ageing, mean battery: %w", err)
	}
	if r.Loss == 0 {
		return Uneven{}, errNeverLoses
	}
	out := Uneven{After: after, Mean: Fate{Loss: r.Loss, LossRatio: r.Loss / r.Loss, Time: after, TimeRatio: 1, Outside: r.Outside, Stretched: r.Stretched}}
	if math.IsNaN(r.Loss) {
		out.After, out.Mean.Time, out.Mean.TimeRatio = math.NaN(), math.NaN(), math.NaN()
	}
	for _, u := range uses {
		f, err := law.fate(u, after, r.Loss, q.CycleOnly)
		if err != nil {
			return Uneven{}, fmt.Errorf("uneven ageing, battery %s: %w", u.ID, err)
		}
		out.Batteries = append(out.Batteries, f)
	}
	return out, nil
}

func (q Question) check() error {
	switch {
	case !(q.MeanLoss >= 0 && q.MeanLoss < 1):
		return fmt.Errorf("uneven ageing: loss of the mean battery %g; give a fraction above 0 and below 1", q.MeanLoss)
	case !finite(q.Time) || q.Time < 0:
		return fmt.Errorf("uneven ageing: time %g s; give a time above 0", q.Time)
	case (q.MeanLoss > 0) == (q.Time > 0):
		return errors.New("uneven ageing: give either the loss of the mean battery or a time to look at")
	}
	return nil
}

// fate of one battery beside a mean loss. A battery without any use keeps all:
// its loss is zero, and it never gets to the mean battery's.
func (l Law) fate(u Use, after, meanLoss float64, cycleOnly bool) (Fate, error) {
	r, err := l.Loss(u.over(after, cycleOnly))
	if err != nil {
		return Fate{}, err
	}
	f := Fate{ID: u.ID, Loss: r.Loss, LossRatio: r.Loss / meanLoss, Outside: r.Outside, Stretched: r.Stretched}
	if math.IsNaN(f.LossRatio) {
		f.Loss, f.Time, f.TimeRatio = math.NaN(), math.NaN(), math.NaN()
		return f, nil
	}
	f.Time = l.timeTo(meanLoss, u, cycleOnly)
	f.TimeRatio = f.Time / after
	return f, nil
}

// over is the use as a stretch of conditions.
func (u Use) over(seconds float64, cycleOnly bool) Conditions {
	c := Conditions{Time: seconds, Cycles: u.PerDay * seconds / day, Depth: u.Depth,
		Charge: u.Charge, Discharge: u.Discharge, Temperature: u.Temperature, SOC: u.SOC}
	if cycleOnly {
		c.Time = 0
	}
	return c
}

func meanUse(uses []Use) Use {
	var m Use
	n := float64(len(uses))
	for _, u := range uses {
		m.PerDay += u.PerDay / n
		m.Depth += u.Depth / n
		m.Charge += u.Charge / n
		m.Discharge += u.Discharge / n
		m.Temperature += u.Temperature / n
		m.SOC += u.SOC / n
	}
	return m
}

// timeTo gives the seconds until a use has taken a loss, whether or not it lies
// within the tests; +Inf if it never does. Each part alone gets there in a time
// known in closed form, and both together before the sooner of the two.
func (l Law) timeTo(loss float64, u Use, cycleOnly bool) float64 {
	c := u.over(day, cycleOnly)
	late := math.Inf(1)
	if c.Time > 0 {
		late = l.calendar.unit * math.Pow(loss/l.calendar.rate(c), 1/l.calendar.exponent)
	}
	if c.Cycles > 0 {
		cycles := l.cycle.unit * math.Pow(loss/l.cycle.rate(c), 1/l.cycle.exponent)
		late = math.Min(late, cycles/c.Cycles*day)
	}
	if c.Time == 0 || c.Cycles == 0 || math.IsInf(late, 1) {
		return late
	}
	taken := func(t float64) float64 {
		c := u.over(t, cycleOnly)
		return l.calendar.goOn(0, c.Time, c) + l.cycle.goOn(0, c.Cycles, c)
	}
	early := 0.0
	for range 200 { // halving ends sooner, where no number lies between
		middle := early + (late-early)/2
		if middle <= early || middle >= late {
			break
		}
		if taken(middle) < loss {
			early = middle
		} else {
			late = middle
		}
	}
	return late
}
