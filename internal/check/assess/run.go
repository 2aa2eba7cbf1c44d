package assess

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/run"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/assemble"
	"bankwright/internal/read/job"
)

// RunOptions say what is asked of a run.
type RunOptions struct {
	Every   float64 // s between samples; not above zero: ends only
	MaxStep float64 // s; not above zero: the engine's own
	Out     []Drop  // batteries taken out by hand
	Halve   bool    // run again with half steps, to state the error
	Rest    bool    // what flows once the last load has stopped
	Stop    func() bool
}

// Drop takes a battery out at a time of a run, s; at 0 before it begins.
type Drop struct {
	ID   string
	Time float64
}

// ready says whether the bank can be solved: its posts are wired and every
// cable has a resistance.
func (j *Job) ready() error {
	if err := job.CheckWired(j.Doc); err != nil {
		return err
	}
	return j.checkLengths()
}

// Steps gives the cases of a run: those of a sequence, else the one case.
func (j *Job) Steps(id string) ([]bank.Case, error) {
	for _, s := range j.Bank.Sequences {
		if s.ID != id {
			continue
		}
		var all []bank.Case
		for range s.Times {
			for _, one := range s.Cases {
				c, err := j.Case(one)
				if err != nil {
					return nil, err
				}
				all = append(all, c)
			}
		}
		return all, nil
	}
	c, err := j.Case(id)
	if err != nil && len(j.Bank.Sequences) > 0 {
		var names []string
		for _, s := range j.Bank.Sequences {
			names = append(names, s.ID)
		}
		err = fmt.Errorf("%w; and the sequences %s", err, strings.Join(names, ", "))
	}
	return []bank.Case{c}, err
}

// Run takes the bank through a case or a sequence of cases.
func (j *Job) Run(id string, o RunOptions) (*report.Run, error) {
	cases, err := j.Steps(id)
	if err != nil {
		return nil, err
	}
	if err := j.ready(); err != nil {
		return nil, err
	}
	b := j.Bank
	opts := run.Options{Every: o.Every, MaxStep: o.MaxStep, Rest: o.Rest, Stop: o.Stop}
	if opts.Drops, err = j.drops(o.Out); err != nil {
		return nil, err
	}
	r, err := run.Solve(b, cases, opts)
	if err != nil {
		return r, j.named(err)
	}
	if id != "" {
		r.ID = id
	}
	r.Nameplate = nameplate(b, cases[0])
	j.runFuses(r)
	if o.Halve {
		if err := halve(r, b, cases, opts); err != nil {
			return r, j.named(err)
		}
	}
	return r, nil
}

// drops finds the batteries that are to go.
func (j *Job) drops(out []Drop) ([]run.Drop, error) {
	var all []run.Drop
	left := map[int]bool{} // out, by hand or in the job
	for i := range j.Bank.Batteries {
		if j.Bank.Batteries[i].Off {
			left[i] = true
		}
	}
	for _, d := range out {
		at := slices.IndexFunc(j.Bank.Batteries, func(b bank.Battery) bool { return b.ID == d.ID })
		if at < 0 {
			return nil, fmt.Errorf("%s: there is no battery %s", j.Doc.File, d.ID)
		}
		all = append(all, run.Drop{Battery: at, Time: d.Time})
		left[at] = true
	}
	if len(left) == len(j.Bank.Batteries) {
		return nil, fmt.Errorf("%s: every battery is out; leave one in", j.Doc.File)
	}
	return all, nil
}

// halve runs again with half the steps and a quarter of the tolerance, and
// keeps how far that moved states of charge and events.
func halve(r *report.Run, b *bank.Bank, cases []bank.Case, o run.Options) error {
	fine := o
	if fine.MaxStep <= 0 {
		fine.MaxStep = run.MaxStep
	}
	fine.MaxStep, fine.Tolerance, fine.Rest = fine.MaxStep/2, run.Tolerance/4, false
	h, err := run.Solve(b, cases, fine)
	if err != nil {
		return err
	}
	r.StepError, r.EventError = 0, 0
	for i := range r.Batteries {
		a, c := r.Batteries[i].Charge, h.Batteries[i].Charge
		for n := range min(len(a), len(c)) {
			if math.Abs(r.Time[n]-h.Time[n]) < 1 {
				r.StepError = math.Max(r.StepError, math.Abs(a[n]-c[n]))
			}
		}
	}
	if len(r.Events) != len(h.Events) {
		r.EventError = math.Inf(1)
		return nil
	}
	for i, e := range r.Events {
		if f := h.Events[i]; e.Battery != f.Battery || e.What != f.What {
			r.EventError = math.Inf(1)
			return nil
		}
		r.EventError = math.Max(r.EventError, math.Abs(e.Time-h.Events[i].Time))
	}
	return nil
}

// At gives the snapshot of a bank at a sample of a run: its voltages, its
// resistances and what is out are those of that moment. The bank is the one
// the run was of; what it draws is the run's current there.
func (j *Job) At(b *bank.Bank, r *report.Run, n int) (*report.Report, error) {
	still := *b
	still.Batteries = append([]bank.Battery{}, b.Batteries...)
	for i := range still.Batteries {
		one, s := &still.Batteries[i], &r.Batteries[i]
		one.EMF.V, one.Resistance.V = quantity.Voltage(s.EMF[n]), quantity.Resistance(s.Resistance[n])
		one.Off = !s.Active[n]
	}
	c := bank.Case{ID: r.ID, Current: quantity.Current(r.Current[n]), Origin: source.Computed}
	for _, s := range r.Steps {
		if r.Time[n] >= s.Start {
			c.ID, c.CableTemperature = s.Case.ID, s.Case.CableTemperature
		}
	}
	sh, err := sharing.Solve(&still, c)
	if err != nil {
		return nil, err
	}
	return &report.Report{Bank: &still, Routes: j.Routes, Sharing: sh}, nil
}

// nameplate is the capacity on the labels of batteries side by side, of the
// group that has least; batteries that are off are left out. C.
func nameplate(b *bank.Bank, c bank.Case) float64 {
	c.ByPower, c.Current = false, 0
	s, err := sharing.Solve(b, c)
	if err != nil {
		return math.NaN()
	}
	sum := map[int]float64{}
	for i, one := range s.Batteries {
		if one.Group >= 0 {
			sum[one.Group] += float64(b.Batteries[i].Label)
		}
	}
	least := math.NaN()
	for _, v := range sum {
		if !(v >= least) {
			least = v
		}
	}
	return least
}

// Compared is what wirings give before the first battery is out, in one draw
// carried on until the bank is out.
type Compared struct {
	Case     bank.Case
	Own      Yield   // the job's cables
	Front    []Yield // in the order of the front
	Best     int     // of Front, by charge until the first is out; -1: none
	Note     string  // why there is no comparison
	Searched *report.Wirings
}

// Yield is what one wiring gives.
type Yield struct {
	FirstOut, BankOut float64 // C
	First             string  // the battery that went out first
	Why               string  // what took it out: one of the report's words
}

// Against runs the job's own wiring and every wiring of the front through a
// draw until the bank is out.
func (j *Job) Against(ctx context.Context, id string) (*Compared, error) {
	cases, err := j.Steps(id)
	if err != nil {
		return nil, err
	}
	out := &Compared{Best: -1}
	out.Case = firstDraw(cases)
	if out.Case.ID == "" {
		out.Note = "only a draw can be compared"
		return out, nil
	}
	out.Case.For = 0
	if err := j.ready(); err != nil {
		return nil, err
	}
	if out.Own, err = yield(j.Bank, out.Case); err != nil {
		return nil, j.named(err)
	}
	w, err := j.Wirings(ctx, out.Case.ID, nil)
	if err != nil {
		out.Note = "the search declines: " + err.Error()
		return out, nil
	}
	out.Searched = w
	for i := range w.Front {
		b, err := j.Wired(w, &w.Front[i])
		if err != nil {
			return nil, err
		}
		y, err := yield(b, out.Case)
		if err != nil {
			return nil, j.named(err)
		}
		if out.Front = append(out.Front, y); out.Best < 0 || y.FirstOut > out.Front[out.Best].FirstOut*(1+1e-9) {
			out.Best = i
		}
	}
	return out, ctx.Err()
}

func firstDraw(cases []bank.Case) bank.Case {
	for _, c := range cases {
		if c.Current > 0 || c.Power > 0 {
			return c
		}
	}
	return bank.Case{}
}

// yield runs a draw until the bank is out.
func yield(b *bank.Bank, c bank.Case) (Yield, error) {
	r, err := run.Solve(b, []bank.Case{c}, run.Options{})
	if err != nil {
		return Yield{}, err
	}
	y := Yield{FirstOut: r.FirstOut, BankOut: r.BankOut}
	for _, e := range r.Events {
		if e.What != report.Reconnect && e.What != report.Full {
			y.First, y.Why = e.Battery, e.What
			break
		}
	}
	return y, nil
}

// Wired is the bank with the rail cables of a wiring in place of its own. A
// cable of the job that the wiring keeps stays as it is.
func (j *Job) Wired(w *report.Wirings, one *report.Wiring) (*bank.Bank, error) {
	text, err := j.Build(w, one)
	if err != nil {
		return nil, err
	}
	b, _, err := assemble.Read(j.Doc.File, text, j.cat)
	if err != nil {
		return nil, err
	}
	k := &Job{Bank: b, Doc: j.Doc, cat: j.cat, lay: j.lay}
	k.age()
	k.routeCables()
	return b, nil
}

// Rewired is the job with the rail cables of a wiring in place of its own, as a
// job of its own.
func (j *Job) Rewired(w *report.Wirings, one *report.Wiring) (*Job, error) {
	text, err := j.Build(w, one)
	if err != nil {
		return nil, err
	}
	return Load(j.Doc.File, text)
}
