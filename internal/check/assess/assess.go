// Package assess computes everything about a job, the same for command, page
// and paper: it reads, assembles, routes, solves, searches and checks.
package assess

import (
	"errors"
	"fmt"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/check/rules"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/assemble"
	"bankwright/internal/read/catalog"
	"bankwright/internal/read/job"
)

// Job is a job that was read and laid out: its bank has the length of every
// cable that has one.
type Job struct {
	Bank   *bank.Bank
	Doc    *job.Document
	Routes []report.Route
	src    []byte // as it was read
	cat    *catalog.Catalog
	lay    *layout
}

// Load reads a job file and lays its cables. The error holds every fault of
// the file with line and column.
func Load(name string, src []byte) (*Job, error) { return load(assemble.Read, name, src) }

type reading func(name string, src []byte, cat *catalog.Catalog) (*bank.Bank, *job.Document, error)

func load(read reading, name string, src []byte) (*Job, error) {
	cat := catalog.Default()
	b, doc, err := read(name, src, cat)
	if err != nil {
		return nil, err
	}
	j := &Job{Bank: b, Doc: doc, src: src, cat: cat}
	j.age()
	if j.lay, err = newLayout(b, cat); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	j.routeCables()
	return j, nil
}

// Case gives the case of an ID; of "" the first of the job, or rest where it
// has none.
func (j *Job) Case(id string) (bank.Case, error) {
	if id == "" {
		if len(j.Bank.Cases) > 0 {
			return j.Bank.Cases[0], nil
		}
		return assemble.Rest(j.cat), nil
	}
	var have []string
	for _, c := range j.Bank.Cases {
		if c.ID == id {
			return c, nil
		}
		have = append(have, c.ID)
	}
	if have == nil {
		return bank.Case{}, fmt.Errorf("there is no case %s; the job has no cases", id)
	}
	return bank.Case{}, fmt.Errorf("there is no case %s; the job has %s", id, strings.Join(have, ", "))
}

// Currents computes the report of one case: lengths, sharing, findings and
// the working of every number.
func (j *Job) Currents(caseID string) (*report.Report, error) {
	c, err := j.Case(caseID)
	if err != nil {
		return nil, err
	}
	if err := job.CheckWired(j.Doc); err != nil {
		return nil, err
	}
	if err := j.checkLengths(); err != nil {
		return nil, err
	}
	s, err := sharing.Solve(j.Bank, c)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", j.Doc.File, err)
	}
	if open := s.Voltage + float64(s.Resistance*s.Current); open < 0 {
		var faults job.Collector
		faults.Add(j.Doc.Takeoff.Pos, "the take-off's ends are the wrong way round: %s lies below %s; swap positive and negative", j.Bank.Takeoff.Positive, j.Bank.Takeoff.Negative)
		return nil, faults.Err(j.Doc.File)
	}
	r := &report.Report{Bank: j.Bank, Routes: j.Routes, Sharing: s}
	r.Findings, r.Unchecked = rules.Check(r)
	r.Workings = j.workings(r)
	r.Assumed = Assumptions(j.Bank, c)
	return r, nil
}

// Plan gives the report for a drawing: that of Currents where the job's cables
// make a circuit, else the layout alone and the reason.
func (j *Job) Plan(caseID string) (*report.Report, error) {
	r, err := j.Currents(caseID)
	if err == nil {
		return r, nil
	}
	if len(j.Bank.Cables) > 0 {
		return nil, err
	}
	return j.Layout(), nil
}

// Layout is the report of the layout alone, without currents.
func (j *Job) Layout() *report.Report {
	return &report.Report{Bank: j.Bank, Routes: j.Routes, Assumed: Assumptions(j.Bank, assemble.Rest(j.cat))}
}

// at is a fault of the file at a place in it.
func (j *Job) at(p job.Pos, format string, args ...any) error {
	var c job.Collector
	c.Add(p, format, args...)
	return c.Err(j.Doc.File)
}

// named puts the file's name before an error that does not begin with it.
func (j *Job) named(err error) error {
	var faults *job.Faults
	if errors.As(err, &faults) {
		return err
	}
	return fmt.Errorf("%s: %w", j.Doc.File, err)
}

// posOf gives where a battery or part stands in the file.
func (j *Job) posOf(id string) job.Pos {
	for i := range j.Doc.Batteries {
		if b := &j.Doc.Batteries[i]; b.ID.V == id {
			return b.Pos
		}
	}
	for i := range j.Doc.Parts {
		if p := &j.Doc.Parts[i]; p.ID.V == id {
			return p.Pos
		}
	}
	return j.Doc.Pos
}

// checkLengths notes every cable that has neither a length nor a resistance,
// with its line and why it could not be routed.
func (j *Job) checkLengths() error {
	var c job.Collector
	for i := range j.Bank.Cables {
		if cable := &j.Bank.Cables[i]; !cable.HasResistance() {
			c.Add(j.Doc.Cables[i].Pos, "cable %s has no length: %s; give its length or resistance", cable.ID, cable.RouteFailure)
		}
	}
	return c.Err(j.Doc.File)
}

// routeCables fills the length of every cable that has none, and keeps where
// each runs for the drawing.
func (j *Job) routeCables() {
	for i := range j.Bank.Cables {
		c := &j.Bank.Cables[i]
		r, err := j.lay.route(c.From, c.To, c.Size, c.Along)
		if err != nil {
			c.RouteFailure = err.Error()
			continue
		}
		r.Cable = c.ID
		j.Routes = append(j.Routes, r)
		if !c.Length.Known() && !c.Whole.Known() {
			c.Length = source.Value[quantity.Length]{V: quantity.Length(r.Length), Origin: source.Routed}
		}
	}
}
