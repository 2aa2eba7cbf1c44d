package fit

import "math"

// How far the capacity is mended, and how much that must pay: an error of a
// twentieth has to halve the square of what is left. A shunt's error and the
// currents missed between rows stay within some percent (common practice, no
// source).
const (
	mend  = 0.05
	doubt = 0.05
)

// scanned is about the most rows that the capacity is looked for with: of
// longer logs each so many, which keeps a year of minutes to some seconds.
const scanned = 100_000

// cost is the mean square that is left, dearer the further the capacity is
// from the one given.
func (s *solution) cost(scale float64) float64 {
	away := (scale - 1) / doubt
	return s.square / float64(s.rows) * (1 + float64(away*away))
}

// searchCapacity finds the capacity within mend of the one given, and with it
// the time constants and all else. The given one is searched to the end before
// others are tried, so that a log without error keeps it.
func (t *task) searchCapacity() (*task, *solution) {
	all := grid(t.tauLow, t.tauHigh, coarse)
	if t.knots != nil {
		return t, t.search(t.best(all))
	}
	thin := *t
	thin.every = 1 + t.used/scanned
	s := thin.search(thin.best(all))
	best := &candidate{&thin, s, 1, s.cost(1)}
	for percent := -5; percent <= 5; percent++ {
		best = best.better(&thin, 1+float64(percent)/100, all)
	}
	for _, step := range []float64{0.0025, 0.000625} {
		from := best.scale
		for k := -3; k <= 3; k++ {
			best = best.better(&thin, from+float64(k)*step, t.around(best.taus, fine))
		}
	}
	best.task.every = 1
	return best.task, best.task.search(best.task.best(best.taus))
}

// candidate is a capacity, as a part of the one given, and what goes with it.
type candidate struct {
	*task
	*solution
	scale, price float64
}

// better gives the better of c and another capacity, over a grid of time
// constants.
func (c *candidate) better(given *task, scale float64, taus []float64) *candidate {
	if math.Abs(scale-1) > mend+1e-9 {
		return c
	}
	t, err := given.with(given.battery.Capacity * scale)
	if err != nil {
		return c // leaves too few rows, and so is no better
	}
	s := t.best(taus)
	if price := s.cost(scale); price < c.price {
		return &candidate{t, s, scale, price}
	}
	return c
}
