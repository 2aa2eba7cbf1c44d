package published

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"
	circuit "bankwright/internal/engine/cell"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// loaded is a job, read when first asked for.
type loaded func() (*assess.Job, error)

func load(text string) loaded {
	return sync.OnceValues(func() (*assess.Job, error) { return assess.Load("published.yaml", []byte(text)) })
}

// single is a job of one battery at its own posts: the keys of its type, its
// own, and the cases.
func single(kind, own, cases string) string {
	return "bankwright: 1\nbattery_types:\n  unit: {" + kind + "}\nbatteries: [{id: B1, type: unit" + more(own) + "}]\ntakeoff: {positive: B1+, negative: B1-}\n" + cases
}

// battery gives something of the first battery as the job makes it, ready for
// small steps and at rest.
func (l loaded) battery(of func(b *bank.Battery, c *circuit.Cell, s circuit.State) float64) getter {
	return func() (float64, error) {
		j, err := l()
		if err != nil {
			return 0, err
		}
		b := &j.Bank.Batteries[0]
		c := circuit.New(b)
		return of(b, c, c.Start(float64(b.Start.V))), nil
	}
}

// kindred is a chain of batteries of one kind, neighbours joined by equal links
// on both rails, taken off at the first positive post.
type kindred struct {
	kind     string   // keys of the type
	own      []string // keys of each battery
	link     string
	negative int // battery of the negative take-off, from 1
	cases    string
}

func (k kindred) job() string {
	var s strings.Builder
	fmt.Fprintf(&s, "bankwright: 1\nbattery_types:\n  unit: {%s}\nbatteries:\n", k.kind)
	for i, keys := range k.own {
		fmt.Fprintf(&s, "  - {id: B%d, type: unit%s}\n", i+1, more(keys))
	}
	s.WriteString("cables:\n")
	for i := 1; i < len(k.own); i++ {
		fmt.Fprintf(&s, "  - {id: P%d, from: B%d+, to: B%d+, resistance: %s}\n  - {id: N%d, from: B%d-, to: B%d-, resistance: %s}\n", i, i, i+1, k.link, i, i, i+1, k.link)
	}
	fmt.Fprintf(&s, "takeoff: {positive: B1+, negative: B%d-}\n%s\n", k.negative, k.cases)
	return s.String()
}

// ran is a job and its first case carried through time, worked out when first
// asked for.
type ran func() (*report.Run, error)

// through runs a job with a sample every so many seconds.
func through(text string, every float64) ran {
	l := load(text)
	return sync.OnceValues(func() (*report.Run, error) {
		j, err := l()
		if err != nil {
			return nil, err
		}
		return j.Run("", assess.RunOptions{Every: every})
	})
}

// justBefore runs a job to a hundredth of a second before the first thing that
// happens to a battery, so that its last sample is of that moment.
func justBefore(text string) ran {
	l := load(text)
	return sync.OnceValues(func() (*report.Run, error) {
		j, err := l()
		if err != nil {
			return nil, err
		}
		r, err := j.Run("", assess.RunOptions{})
		if err != nil {
			return nil, err
		}
		if len(r.Events) == 0 {
			return nil, fmt.Errorf("nothing happens")
		}
		j.Bank.Cases[0].For = quantity.Duration(r.Events[0].Time - 0.01)
		return j.Run("", assess.RunOptions{})
	})
}

func (r ran) get(of func(*report.Run) (float64, error)) getter {
	return func() (float64, error) {
		done, err := r()
		if err != nil {
			return 0, err
		}
		return of(done)
	}
}

// at gives something of a battery at a sample, in s from the beginning; at +Inf
// of the last one.
func (r ran) at(battery int, seconds float64, of func(b *report.BatteryRun, n int) float64) getter {
	return r.get(func(done *report.Run) (float64, error) {
		n := len(done.Time) - 1
		if !math.IsInf(seconds, 1) {
			n = slices.IndexFunc(done.Time, func(t float64) bool { return math.Abs(t-seconds) < 1e-6 })
		}
		if n < 0 {
			return 0, fmt.Errorf("no sample at %g s", seconds)
		}
		return of(&done.Batteries[battery], n), nil
	})
}

func amps(b *report.BatteryRun, n int) float64    { return b.Current[n] }
func percent(b *report.BatteryRun, n int) float64 { return b.Charge[n] * 100 }

// first gives something of the first event, which must be of this sort.
func (r ran) first(what string, of func(report.Event) float64) getter {
	return r.get(func(done *report.Run) (float64, error) {
		if len(done.Events) == 0 || done.Events[0].What != what {
			return 0, fmt.Errorf("the first event is not %q: %+v", what, done.Events)
		}
		return of(done.Events[0]), nil
	})
}

func hoursOf(e report.Event) float64 { return e.Time / 3600 }
