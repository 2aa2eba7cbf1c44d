package fit

import (
	"fmt"
	"math"
	"slices"
)

// task is a log made ready for many sums over it.
type task struct {
	log     Log
	battery Battery
	options Options
	given   float64   // C, the capacity given
	assumed bool      // the efficiency was not given
	knots   []float64 // of charge, of a curve that is fitted; nil: it is known

	charge              []float64  // state of charge at each row
	lean                []float64  // h at each row
	target              []float64  // V at each row that resistances and hysteresis must explain
	every               int        // rows are summed, each so many
	used                int        // rows within Lowest to Highest
	covered             [2]float64 // least and most charge of those
	charged, discharged float64    // charge moved over those, as a part of the capacity
	leans               bool       // h swings enough over those to tell the hysteresis by

	level           float64 // V taken off the voltage where the curve is fitted, so that sums of squares keep their digits
	step            float64 // s, the middle of the times between rows
	tauLow, tauHigh float64 // s, time constants looked at
}

// minPerUnknown rows for each value that is found, or an error: common
// practice, no source.
const minPerUnknown = 10

func newTask(log Log, b Battery, o Options) (*task, error) {
	if len(log.Time) < 2 {
		return nil, fmt.Errorf("a log of %d rows; a fit needs hundreds, over charge and discharge", len(log.Time))
	}
	assumed := b.Efficiency == 0
	if assumed {
		b.Efficiency = 1
		if b.OCV != nil {
			b.Efficiency = LFPEfficiency
		}
	}
	base := &task{log: log, battery: b, options: o, given: b.Capacity, assumed: assumed, every: 1}
	if err := base.tauRange(); err != nil {
		return nil, err
	}
	t, err := base.with(b.Capacity)
	if err != nil {
		return nil, err
	}
	if t.rising() {
		return nil, fmt.Errorf("the voltage rises as the current does; a current that is positive on discharge is needed: turn its sign")
	}
	return t, nil
}

// with gives the task for a capacity.
func (t *task) with(capacity float64) (*task, error) {
	u := *t
	u.battery.Capacity = capacity
	u.count()
	unknown := 2 + 2*u.options.Branches
	if u.used < minPerUnknown*unknown {
		low, high := slices.Min(u.charge), slices.Max(u.charge)
		return nil, fmt.Errorf("%d rows lie between %s and %s charge, at least %d are needed; counted from the current, charge goes from %s to %s: look at capacity and start",
			u.used, percent(Lowest), percent(Highest), minPerUnknown*unknown, percent(low), percent(high))
	}
	u.span()
	if u.options.FitCurve {
		u.placeKnots(unknown)
	}
	return &u, u.aim()
}

func (t *task) inside(k int) bool { return t.charge[k] >= Lowest && t.charge[k] <= Highest }

// count finds state of charge and lean at every row. Between rows the current
// is the straight line: neither the row before nor the one after stands for
// the whole step.
func (t *task) count() {
	n := len(t.log.Time)
	t.charge, t.lean, t.used = make([]float64, n), make([]float64, n), 0
	s, h := t.battery.Start, 0.0
	for k := range n {
		if k > 0 {
			moved := float64((t.log.Current[k-1]+t.log.Current[k])/2*(t.log.Time[k]-t.log.Time[k-1])) / t.battery.Capacity
			if moved < 0 {
				moved *= t.battery.Efficiency
			}
			s -= moved
			if moved != 0 {
				to := -math.Copysign(1, moved)
				h = to + float64((h-to)*math.Exp(-math.Abs(moved)/Travel))
			}
		}
		t.charge[k], t.lean[k] = s, h
		if t.inside(k) {
			t.used++
		}
	}
}

// span finds what the rows inside cover: of charge, of lean, and charge moved
// either way.
func (t *task) span() {
	low, high := math.Inf(1), math.Inf(-1)
	least, most := math.Inf(1), math.Inf(-1)
	t.charged, t.discharged = 0, 0
	moved := 0.0
	for k, s := range t.charge {
		in, out := 0.0, 0.0
		if k > 0 {
			in, out = max(0, s-t.charge[k-1]), max(0, t.charge[k-1]-s)
		}
		moved += in + out
		if !t.inside(k) {
			continue
		}
		low, high = min(low, s), max(high, s)
		t.charged += in
		t.discharged += out
		// What the lean was at first is only taken for granted; e^−2 of it is left
		// then.
		if moved >= 2*Travel {
			least, most = min(least, t.lean[k]), max(most, t.lean[k])
		}
	}
	t.covered = [2]float64{low, high}
	t.leans = most-least >= 0.5 // a quarter of the way between the branches; common practice, no source
}

// aim sets target: the curve less what was measured, or the measured alone
// where the curve is fitted.
func (t *task) aim() error {
	t.target = make([]float64, len(t.charge))
	if t.knots != nil {
		sum := 0.0
		for k, v := range t.log.Voltage {
			if t.inside(k) {
				sum += v
			}
		}
		t.level = sum / float64(t.used)
	}
	for k, s := range t.charge {
		mid := t.level
		if t.knots == nil {
			var err error
			if mid, err = t.mid(s); err != nil {
				return err
			}
		}
		t.target[k] = mid - t.log.Voltage[k]
	}
	return nil
}

// mid is the middle of the branches of the whole battery, V.
func (t *task) mid(charge float64) (float64, error) {
	discharge, charged := t.battery.OCV(min(max(charge, 0), 1), t.battery.Kelvin)
	mid := float64((discharge+charged)/2) * float64(t.battery.Cells)
	if !(math.Abs(mid) <= bound) {
		return 0, fmt.Errorf("the open-circuit curve gives %g V at a charge of %g and %g K; finite volts are needed", mid, charge, t.battery.Kelvin)
	}
	return mid, nil
}

// rising reports a voltage that goes up as the discharge current does, over
// the steps between rows, where the current has steps to judge by.
func (t *task) rising() bool {
	const clear = 0.5 // correlation; a resistance alone gives −1
	both, currents, voltages := 0.0, 0.0, 0.0
	for k := 1; k < len(t.charge); k++ {
		di, dv := t.log.Current[k]-t.log.Current[k-1], t.log.Voltage[k]-t.log.Voltage[k-1]
		both += float64(di * dv)
		currents += float64(di * di)
		voltages += float64(dv * dv)
	}
	return t.largestStep() >= t.perHour(stepRate) && both > clear*math.Sqrt(currents)*math.Sqrt(voltages)
}

// perHour is the current that moves rate times the capacity in an hour, A.
func (t *task) perHour(rate float64) float64 { return rate * t.battery.Capacity / 3600 }

// largestStep is the largest change of current from row to row, A.
func (t *task) largestStep() float64 {
	most := 0.0
	for k := 1; k < len(t.charge); k++ {
		if t.inside(k) && t.inside(k-1) {
			most = max(most, math.Abs(t.log.Current[k]-t.log.Current[k-1]))
		}
	}
	return most
}

// middleStep is the median time from row to row, s; 0 where time stands still.
func (t *task) middleStep() float64 {
	steps := make([]float64, 0, len(t.log.Time)-1)
	for k := 1; k < len(t.log.Time); k++ {
		if dt := t.log.Time[k] - t.log.Time[k-1]; dt > 0 { // two rows at one time are a jump, written out
			steps = append(steps, dt)
		}
	}
	if len(steps) == 0 {
		return 0
	}
	slices.Sort(steps)
	return steps[len(steps)/2]
}

// placeKnots spreads the knots of a curve evenly over the charge covered: each
// 2.5 %, fewer where there are few rows. Wider knots would blunt the steps of
// an iron phosphate curve, which are some 5 % wide (our choice).
func (t *task) placeKnots(unknown int) {
	const width = 0.025
	n := int(math.Round((t.covered[1] - t.covered[0]) / width))
	n = max(min(n, t.used/minPerUnknown-unknown), 1)
	for k := range n + 1 {
		t.knots = append(t.knots, t.covered[0]+float64(k)*(t.covered[1]-t.covered[0])/float64(n))
	}
}

// knot gives the knot below a charge and how far on to the next it is, 0 to 1.
func (t *task) knot(charge float64) (int, float64) {
	n := len(t.knots) - 1
	width := (t.knots[n] - t.knots[0]) / float64(n)
	if width <= 0 {
		return 0, 0
	}
	x := (charge - t.knots[0]) / width
	k := min(max(int(x), 0), n-1)
	return k, min(max(x-float64(k), 0), 1)
}
