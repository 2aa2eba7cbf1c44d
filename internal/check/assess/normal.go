package assess

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/engine/normal"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
)

// Unevenness is two readings taken apart, beside what the job itself expects.
type Unevenness struct {
	normal.Result
	LowID, HighID string    // of the readings
	Expected      []float64 // A at the high load by the job's own wiring with equal open-circuit voltages; NaN where it cannot be solved
	Case          bank.Case // of the high reading
}

// Normal says of two readings whether the unevenness comes from open-circuit
// voltages or from the resistance of paths. Empty IDs mean the readings with
// the least and the largest current of those that tell it of every battery.
func (j *Job) Normal(lowID, highID string) (*Unevenness, error) {
	low, high, err := j.twoReadings(lowID, highID)
	if err != nil {
		return nil, err
	}
	ask := normal.Readings{Low: draw(low), High: draw(high), Meter: normal.ClampMeter()}
	for i := range j.Bank.Batteries {
		b := &j.Bank.Batteries[i]
		if b.Off {
			continue
		}
		ask.Batteries = append(ask.Batteries, normal.Battery{ID: b.ID, Low: current(low, b.ID), High: current(high, b.ID), Resistance: float64(b.Resistance.V), Capacity: float64(b.Capacity.V)})
	}
	u := &Unevenness{LowID: low.ID, HighID: high.ID}
	if u.Result, err = normal.Judge(ask); err != nil {
		return nil, fmt.Errorf("%s: readings %s and %s: %w", j.Doc.File, low.ID, high.ID, err)
	}
	if u.Case, err = j.Case(high.Case); err != nil {
		return nil, err
	}
	u.Expected = j.expected(u.Case, u.High)
	return u, nil
}

// expected gives what the job's own wiring makes of a draw with equal
// open-circuit voltages, of the batteries that are not off.
func (j *Job) expected(c bank.Case, amps float64) []float64 {
	var all []float64
	level := *j.Bank
	level.Batteries = append([]bank.Battery{}, j.Bank.Batteries...)
	for i := range level.Batteries {
		level.Batteries[i].EMF.V = level.Batteries[0].EMF.V
	}
	c.ByPower, c.Current = false, quantity.Current(amps)
	s, err := sharing.Solve(&level, c)
	for i := range level.Batteries {
		switch {
		case level.Batteries[i].Off:
		case err != nil || j.ready() != nil:
			all = append(all, math.NaN())
		default:
			all = append(all, s.Batteries[i].Current)
		}
	}
	return all
}

// draw is the take-off's current in a reading, NaN where it was not read.
func draw(r *bank.Reading) float64 { return current(r, "takeoff") }

func current(r *bank.Reading, id string) float64 {
	if c, ok := r.Current[id]; ok {
		return float64(c)
	}
	return math.NaN()
}

// twoReadings finds the readings asked for.
func (j *Job) twoReadings(lowID, highID string) (low, high *bank.Reading, err error) {
	sum := func(r *bank.Reading) float64 {
		all := 0.0
		for i := range j.Bank.Batteries {
			if b := &j.Bank.Batteries[i]; !b.Off {
				all += math.Abs(current(r, b.ID))
			}
		}
		return all
	}
	for i := range j.Bank.Readings {
		r := &j.Bank.Readings[i]
		total := sum(r)
		switch {
		case r.ID == lowID:
			low = r
		case r.ID == highID:
			high = r
		case math.IsNaN(total):
		default:
			if lowID == "" && (low == nil || total < sum(low)) {
				low = r
			}
			if highID == "" && (high == nil || total > sum(high)) {
				high = r
			}
		}
	}
	switch {
	case lowID != "" && lowID == highID:
		return nil, nil, fmt.Errorf("%s: %s is named for both; two readings at different loads are due", j.Doc.File, lowID)
	case lowID != "" && low == nil:
		return nil, nil, fmt.Errorf("%s: there is no reading %s", j.Doc.File, lowID)
	case highID != "" && high == nil:
		return nil, nil, fmt.Errorf("%s: there is no reading %s", j.Doc.File, highID)
	case low == nil || high == nil || low == high:
		return nil, nil, fmt.Errorf("%s: two readings are due, at a low and at a high load, each with the current of every battery; add them under readings", j.Doc.File)
	}
	return low, high, nil
}
