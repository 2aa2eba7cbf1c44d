// Package spread says what a bank does when its parts are not quite as they
// should be: many builds of one job, each with batteries, cables and joints a
// little off by chance.
//
// What varies, each part by itself: the resistance and the capacity of each
// battery, its EMF where asked for, the length of each cable, and each joint. A
// cable whose resistance is given whole varies by two joints of 0.05 mΩ only,
// taken to be in it. Fuses, switches, shunts and bars stay as they are. The draw
// stays too: a case by power is turned into amps once, with the parts as given.
//
// Deviations are normal, cut at three standard deviations (which takes 1.3 % off
// the standard deviation); where the standard deviation is above 0.3 they are
// log-normal of the same mean and standard deviation, for no resistance can be
// nil. EMFs are normal in volts.
//
// A build is a snapshot, and one more with each battery out that the bank can
// do without. No cascade is followed: a build counts as over when a battery
// passes its limit at first.
package spread

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// Limits of ours: memory grows with the builds, the time of a build with the
// square of the batteries.
const (
	maxBuilds    = 1_000_000
	maxBatteries = 256
)

// chunk is how many builds a worker takes at a time: a few hundred
// microseconds of work, so that neither the lock nor the wait after a stop
// matters.
const chunk = 32

// What a report.Tolerance can be of.
const (
	Resistance = "resistance"
	Capacity   = "capacity"
	EMF        = "emf"
	Joints     = "joints"
	Lengths    = "lengths"
)

// Options say how many builds there are and by how much things are off, as
// standard deviations of one, of the EMF in volts. A value of no known origin
// is one that does not vary and is not listed. Each must be 0 to 10.
type Options struct {
	Builds     int // 1 to 1 000 000
	Seed       uint64
	Resistance source.Value[quantity.Ratio]
	Capacity   source.Value[quantity.Ratio]
	EMF        source.Value[quantity.Voltage]
	Joints     source.Value[quantity.Ratio]
	Lengths    source.Value[quantity.Ratio]
}

// Defaults gives 10 000 builds with all assumed but the EMF, which does not
// vary.
func Defaults() Options {
	practice := func(v quantity.Ratio, what string) source.Value[quantity.Ratio] {
		return source.Assume(v, source.Ref{Title: what, How: source.Practice}, "")
	}
	return Options{Builds: 10_000, Seed: 1,
		// 10 to 90 % of the steps of one cell lay within about ±10 %; between
		// batteries of one kind nobody has told.
		Resistance: source.Assume(quantity.Ratio(0.10), source.Ref{Title: "scatter of the 1 s resistance of one lfp cell, open data of the ESC toolbox",
			At: "dyn_data", Edition: "commit e82af55", How: source.Derived}, "of one cell from step to step, taken for that between batteries"),
		Capacity: practice(0.03, "capacity of batteries of one kind"),
		Joints:   practice(0.50, "resistance of crimp and contact"),
		Lengths:  practice(0.02, "length of cut cable"),
	}
}

// variation is a kind of deviation that was asked for.
type variation struct {
	kind int
	line report.Tolerance
}

// variations lists what varies, in the order of the report.
func (o *Options) variations(l *layout) ([]variation, [kindCount]shape, error) {
	var all []variation
	var shapes [kindCount]shape
	for _, f := range []struct {
		kind   int
		what   string
		spread float64
		origin source.Origin
		ref    source.Ref
	}{
		{ofResistance, Resistance, float64(o.Resistance.V), o.Resistance.Origin, o.Resistance.Ref},
		{ofCapacity, Capacity, float64(o.Capacity.V), o.Capacity.Origin, o.Capacity.Ref},
		{ofEMF, EMF, float64(o.EMF.V), o.EMF.Origin, o.EMF.Ref},
		{ofJoints, Joints, float64(o.Joints.V), o.Joints.Origin, o.Joints.Ref},
		{ofLengths, Lengths, float64(o.Lengths.V), o.Lengths.Origin, o.Lengths.Ref},
	} {
		if f.origin == source.None {
			continue
		}
		if !(f.spread >= 0 && f.spread <= 10) {
			return nil, shapes, fmt.Errorf("spread of %s is %g; give a standard deviation of 0 to 10", f.what, f.spread)
		}
		shapes[f.kind] = newShape(f.spread)
		words := shapes[f.kind].String()
		switch {
		case f.kind == ofEMF:
			shapes[f.kind] = shape{spread: f.spread}
			words = shape{}.String()
		case f.kind == ofJoints && l.whole:
			words += "; a cable with its resistance given whole has two joints of 0.05 mΩ in it, assumed"
		case f.kind == ofLengths && l.whole:
			words += "; a cable with its resistance given whole does not vary"
		}
		all = append(all, variation{f.kind, report.Tolerance{What: f.what, Spread: f.spread, Shape: words,
			Assumed: f.origin == source.Assumed, Source: f.ref.String()}})
	}
	return all, shapes, nil
}

// Solve computes the builds of a bank in one case, on all processors. The same
// options give the same answer on any number of them. progress, if not nil, is
// told how many builds are done, one call at a time, the number rising, from
// whichever goroutine did them. When ctx ends, the answer is that of the builds
// done by then, the first Done of them, without an error.
//
// Worst and WorstOut have one value for each build in which a battery has a
// share, which is all of them but for the loss of a battery that the bank
// cannot do without: those losses are left out, and where no other is left
// WorstOut is empty and NominalOut NaN. Often counts the battery with the
// largest share of its group, of equals the first. Off batteries are in no
// build.
//
// Errors are those of sharing.Solve, a case that draws nothing, a battery
// without capacity, more than 256 batteries, and options out of range.
func Solve(ctx context.Context, b *bank.Bank, c bank.Case, o Options, progress func(done int)) (report.Spread, error) {
	s := report.Spread{Case: c, Seed: o.Seed, Asked: o.Builds}
	if o.Builds < 1 || o.Builds > maxBuilds {
		return s, fmt.Errorf("%d builds; give 1 to %d", o.Builds, maxBuilds)
	}
	snapshot, err := nominal(b, c)
	if err != nil {
		return s, err
	}
	l := newLayout(b, c, &snapshot)
	asked, shapes, err := o.variations(l)
	if err != nil {
		return s, err
	}
	s.Draw, s.HasLimit = l.draw, l.limited
	middle := newBuilder(l, [kindCount]shape{}).build(newValues(l))
	s.Nominal, s.NominalOut = middle.worst, middle.out
	w := newWork(l, o, asked, shapes, progress)
	s.Done = w.run(ctx)
	w.sum(&s, len(b.Batteries))
	return s, nil
}

// work is the builds of one question, each filled in by one worker.
type work struct {
	layout   *layout
	options  Options
	kinds    []variation
	shapes   [kindCount]shape
	outcomes []outcome
	alone    [][]float64 // worst share by variation and build
	progress func(done int)

	mutex       sync.Mutex
	taken, done int
}

func newWork(l *layout, o Options, kinds []variation, shapes [kindCount]shape, progress func(done int)) *work {
	w := &work{layout: l, options: o, kinds: kinds, shapes: shapes, progress: progress, outcomes: make([]outcome, o.Builds)}
	for range kinds {
		w.alone = append(w.alone, make([]float64, o.Builds))
	}
	return w
}

// run computes builds until all are done or ctx ends, and says how many are:
// they are taken in order and none that was taken is left, so that it is the
// first of them.
func (w *work) run(ctx context.Context) int {
	var wait sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), (w.options.Builds+chunk-1)/chunk) {
		wait.Go(func() { w.worker(ctx) })
	}
	wait.Wait()
	return w.done
}

func (w *work) worker(ctx context.Context) {
	b, v, source := newBuilder(w.layout, w.shapes), newValues(w.layout), new(rand.PCG)
	for ctx.Err() == nil {
		from, to := w.take()
		if from == to {
			return
		}
		for i := from; i < to; i++ {
			v.draw(w.options.Seed, uint64(i), source)
			w.outcomes[i] = b.build(v)
			for k := range w.kinds {
				w.alone[k][i] = w.outcomes[i].worst // of the only kind
				if len(w.kinds) > 1 {
					w.alone[k][i] = b.alone(v, w.kinds[k].kind)
				}
			}
		}
		w.tell(to - from)
	}
}

func (w *work) take() (from, to int) {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	from = w.taken
	w.taken = min(from+chunk, w.options.Builds)
	return from, w.taken
}

func (w *work) tell(more int) {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	w.done += more
	if w.progress != nil {
		w.progress(w.done)
	}
}

// sum fills in what the builds come to.
func (w *work) sum(s *report.Spread, batteries int) {
	s.Often = make([]float64, batteries)
	for _, o := range w.outcomes[:s.Done] {
		if !math.IsNaN(o.worst) {
			s.Worst = append(s.Worst, o.worst)
			s.Often[w.layout.job[o.most]]++
		}
		if !math.IsNaN(o.out) {
			s.WorstOut = append(s.WorstOut, o.out)
		}
		if o.over {
			s.Over++
		}
		if o.gone {
			s.OverOut++
		}
	}
	slices.Sort(s.Worst)
	slices.Sort(s.WorstOut)
	for i := range s.Often {
		s.Often[i] /= float64(max(len(s.Worst), 1))
	}
	total := 0.0
	for k, v := range w.kinds {
		v.line.Part = variance(w.alone[k][:s.Done])
		if v.line.Part <= same*same { // what rounding leaves of a share
			v.line.Part = 0
		}
		v.line.Matters = math.Sqrt(v.line.Part)
		total += v.line.Part
		s.Tolerances = append(s.Tolerances, v.line)
	}
	for i := range s.Tolerances {
		if total > 0 {
			s.Tolerances[i].Part /= total
		}
	}
}

// variance is the mean square distance from the mean, 0 of nothing; values
// that are not numbers are left out.
func variance(values []float64) float64 {
	n, mean, square := 0.0, 0.0, 0.0 // Welford's way: exactly 0 of equal values
	for _, v := range values {
		if math.IsNaN(v) {
			continue
		}
		n++
		off := v - mean
		mean += off / n
		square += float64(off * (v - mean))
	}
	return square / max(n, 1)
}
