package wiring

import (
	"cmp"
	"math"
	"slices"
)

// Imbalances are compared in whole steps of 1e-12: equal wirings that the
// rounding of their sums sets a little apart fall together, and a ledger never
// holds more than a thousand different values within the tolerance.
const (
	stepsPerUnit = 1e12
	tolerance    = 1000 // 1e-9 in steps
)

func inSteps(imbalance float64) float64 { return math.Round(max(imbalance, 0) * stepsPerUnit) }

// never marks copper at which nothing can be on the front any more.
const never = -1

// cutPoint says that from this class of copper on, an imbalance of step is
// known to be reached.
type cutPoint struct {
	class int64
	step  float64 // best known, in steps of imbalance
	eps   float64 // a wiring above this imbalance is of no use; never: none is
}

// cut is the best imbalance known for each copper: classes go up, steps down.
// The first point stands for "nothing known".
type cut []cutPoint

func newCut() cut {
	// Not infinite, so that the products of the bound stay numbers.
	return cut{{class: math.MinInt64, step: math.Inf(1), eps: 1e100}}
}

// at is the index of the point that holds for a class, searched for upwards
// from a point known to hold for a lesser class.
func (c cut) at(class int64, from int) int {
	for from+1 < len(c) && c[from+1].class <= class {
		from++
	}
	return from
}

// lower notes that a wiring of this class and imbalance exists.
func (c *cut) lower(class int64, step float64) {
	at := c.at(class, 0)
	if (*c)[at].step <= step {
		return
	}
	end := at + 1
	for end < len(*c) && (*c)[end].step >= step {
		end++
	}
	start := at + 1
	if (*c)[at].class == class {
		start = at
	}
	// Ties count: what is within the tolerance is still wanted. Half a step
	// more makes up for rounding to steps.
	point := cutPoint{class, step, (step + tolerance + 0.5) / stepsPerUnit}
	points := []cutPoint{point}
	if step == 0 {
		// Nothing is better than none at all, so more copper is of no use.
		points = append(points, cutPoint{class + 1, 0, never})
		end = len(*c)
	}
	*c = slices.Replace(*c, start, end, points...)
}

// take lowers the cut by all that another one knows.
func (c *cut) take(from cut) {
	for _, p := range from[1:] {
		if p.eps != never {
			c.lower(p.class, p.step)
		}
	}
}

// found is every wiring of one class and one imbalance: how many there are and
// the first of them.
type found struct {
	step  float64
	count uint64
	tree  [2]int32 // positive, negative: places in their lists
}

// ledger keeps, by class of copper, the wirings that may be on the front.
type ledger struct {
	before  func(a, b found) bool // order of equal wirings
	classes []ledgerClass         // by class, up
}

type ledgerClass struct {
	class int64
	found []found // by step, up
}

func (l *ledger) add(class int64, f found) {
	at, ok := slices.BinarySearchFunc(l.classes, class, func(c ledgerClass, class int64) int {
		return cmp.Compare(c.class, class)
	})
	if !ok {
		l.classes = slices.Insert(l.classes, at, ledgerClass{class: class})
	}
	c := &l.classes[at]
	i, ok := slices.BinarySearchFunc(c.found, f.step, func(g found, step float64) int {
		return cmp.Compare(g.step, step)
	})
	if !ok {
		c.found = slices.Insert(c.found, i, f)
		return
	}
	g := &c.found[i]
	count := g.count + f.count
	if l.before(f, *g) {
		*g = f
	}
	g.count = count
}

// merge takes over what another ledger found.
func (l *ledger) merge(from *ledger) {
	for _, c := range from.classes {
		for _, f := range c.found {
			l.add(c.class, f)
		}
	}
}

// shed drops what the cut shows to be of no use.
func (l *ledger) shed(c cut) {
	at := 0
	l.classes = slices.DeleteFunc(l.classes, func(lc ledgerClass) bool {
		at = c.at(lc.class, at)
		return c[at].eps == never || lc.found[0].step > c[at].step+tolerance
	})
	at = 0
	for i := range l.classes {
		lc := &l.classes[i]
		at = c.at(lc.class, at)
		most := c[at].step + tolerance
		lc.found = slices.DeleteFunc(lc.found, func(f found) bool { return f.step > most })
	}
}

// entry is one class on the front.
type entry struct {
	found // of least edge list among the equal ones; count is of all of them
	class int64
}

// front reads the ledger in order of copper: a class is on the front if its
// least imbalance is better, by more than the tolerance, than that of the last
// class on it.
func (l *ledger) front() []entry {
	var out []entry
	last := math.Inf(1)
	for _, c := range l.classes {
		least := c.found[0].step
		if !(least < last-tolerance) {
			continue
		}
		last = least
		e := entry{found: c.found[0], class: c.class}
		for _, f := range c.found[1:] {
			if f.step > least+tolerance {
				break
			}
			count := e.count + f.count
			if l.before(f, e.found) {
				e.found = f
			}
			e.count = count
		}
		out = append(out, e)
	}
	return out
}
