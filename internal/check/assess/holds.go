package assess

import (
	"fmt"
	"math"
	"sync"

	"bankwright/internal/engine/conductor"
)

// warming is how long one cable in one place bears a current: points of the
// heat balance through time, worked out as they are asked for, and lines
// between them. The time goes over ln(I/I₀ − 1), I₀ the current it bears for
// good, almost as a straight line in its logarithm, far above I₀ exactly as
// 1/I²; the points stand close enough for the error to stay under a percent
// (a test holds it to that).
type warming struct {
	made         conductor.Cable
	place        conductor.Place
	start, limit float64 // K
	steady       float64 // A that it bears for good

	mutex  sync.Mutex
	points map[int]float64 // s at step n
}

// Steps of ln(I/I₀ − 1): from a thousandth above I₀ to a thousand times it.
const (
	warmingStep = 0.25
	warmingLow  = -28 // e^(−7) = 0.0009
	warmingHigh = 28
)

// at gives the current of a step.
func (w *warming) at(n int) float64 { return w.steady * (1 + math.Exp(float64(n)*warmingStep)) }

// point gives the time at a step, NaN where the balance has none.
func (w *warming) point(n int) float64 {
	if t, ok := w.points[n]; ok {
		return t
	}
	t, err := conductor.TimeTo(w.made, w.place, w.at(n), w.start, w.limit)
	if err != nil {
		t = math.NaN()
	}
	w.points[n] = t
	return t
}

// holds gives how many seconds the cable bears a current: +Inf up to the one
// it bears for good. Just above that, where the time runs away, it is the time
// of the first step, which is too short; above the last it falls as 1/I².
func (w *warming) holds(amps float64) float64 {
	switch {
	case !(amps > w.steady):
		return math.Inf(1)
	case math.IsInf(amps, 1):
		return 0
	}
	w.mutex.Lock()
	defer w.mutex.Unlock()
	u := math.Log(amps/w.steady-1) / warmingStep
	switch {
	case u <= warmingLow:
		return w.point(warmingLow)
	case u >= warmingHigh:
		return w.point(warmingHigh) * math.Pow(w.at(warmingHigh)/amps, 2)
	}
	n := int(math.Floor(u))
	a, b := math.Log(w.point(n)), math.Log(w.point(n+1))
	return math.Exp(a + float64((b-a)*(u-float64(n))))
}

// warmings keeps them over jobs: the same cable in the same place is asked for
// again and again, and the answer is the same.
var warmings = struct {
	sync.Mutex
	kept map[string]*warming
}{kept: map[string]*warming{}}

// maxWarmings bounds them; when full it starts anew.
const maxWarmings = 2048

// warmingOf finds or begins one. The start is taken up to the next whole
// kelvin, so that cables that differ by less share it; that is the shorter side.
func warmingOf(made conductor.Cable, place conductor.Place, start, limit, steady float64) *warming {
	if up := math.Ceil(start); up < limit { // else nothing would be left to bear
		start = up
	}
	sleeve := ""
	if place.Sleeve != nil {
		sleeve = fmt.Sprint(*place.Sleeve)
	}
	key := fmt.Sprint(made, place.Ambient, place.Pressure, place.Cables, sleeve, start, limit, steady)
	warmings.Lock()
	defer warmings.Unlock()
	if w := warmings.kept[key]; w != nil {
		return w
	}
	if len(warmings.kept) >= maxWarmings {
		clear(warmings.kept)
	}
	w := &warming{made: made, place: place, start: start, limit: limit, steady: steady, points: map[int]float64{}}
	warmings.kept[key] = w
	return w
}

// briefHeat is up to when the heat of a current stays in the copper, s: IEC
// 60364-4-43, 434.5.2 (from memory).
const briefHeat = 5

// shortHeat is holds, but for what lasts so briefly that no heat leaves the
// copper: then k²·S²/I², k from the cable's own warmth to its limit. The lump of
// copper and insulation would bear that longer than the copper does.
func shortHeat(made conductor.Cable, start, limit float64, holds func(float64) float64) func(float64) float64 {
	k := conductor.Copper.Factor(start, limit)
	heat := float64(k * k * made.Section * made.Section)
	return func(amps float64) float64 {
		if t := heat / amps / amps; t <= briefHeat {
			return math.Min(t, holds(amps))
		}
		return holds(amps)
	}
}
