package web

import (
	"context"
	"crypto/sha256"
	"fmt"
	"strings"

	"bankwright/internal/check/assess"
	"bankwright/internal/model/report"
)

// ran is a run computed for the page.
type ran struct {
	base     *assess.Job // as the file stands
	job      *assess.Job // with the picked wiring
	run      *report.Run
	compared *assess.Compared // nil where batteries are out by hand
	own      bool             // the job's own cables make a circuit
	pick     string
}

// runKey is what a run is of.
type runKey struct {
	job              [sha256.Size]byte
	name, kase, pick string
	out              string
}

// ran computes, or remembers, the run that an address asks for.
func (s *Server) ran(ctx context.Context, h hours) (*ran, error) {
	b, err := h.source.Read()
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", h.source.File, err)
	}
	k := runKey{sha256.Sum256(b), h.source.Name, h.kase, h.pick, ""}
	for _, d := range h.out {
		k.out += dropWords(d) + " "
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if a := s.runs[k]; a != nil {
		return a, nil
	}
	ctx, cancel := context.WithTimeout(ctx, searchTime)
	defer cancel()
	a, err := s.run(ctx, h, b)
	if err != nil {
		return nil, err
	}
	if len(s.runs) >= maxKept {
		clear(s.runs)
	}
	s.runs[k] = a
	return a, nil
}

// run computes it. The comparison with the front is kept from run to run of
// the same case: it does not depend on what is picked or out.
func (s *Server) run(ctx context.Context, h hours, text []byte) (*ran, error) {
	a := &ran{pick: "own"}
	var err error
	if a.base, err = assess.Load(h.source.File, text); err != nil {
		return nil, err
	}
	cases, err := a.base.Steps(h.kase)
	if err != nil {
		return nil, err
	}
	_, why := a.base.Currents("")
	a.own = why == nil
	k := runKey{sha256.Sum256(text), h.source.Name, h.kase, "", "compared"}
	if kept := s.runs[k]; kept != nil {
		a.compared = kept.compared
	} else if a.compared, err = a.base.Against(ctx, h.kase); err == nil && ctx.Err() == nil {
		s.runs[k] = &ran{compared: a.compared}
	}
	a.job = a.base
	if c := a.compared; c != nil && c.Searched != nil {
		if n := numberAfter(h.pick, "front-"); n >= 1 && n <= len(c.Searched.Front) {
			if a.job, err = a.base.Rewired(c.Searched, &c.Searched.Front[n-1]); err != nil {
				return nil, err
			}
			a.pick = h.pick
		}
	}
	if a.pick == "own" && !a.own {
		return nil, why
	}
	id := h.kase
	a.run, err = a.job.Run(id, assess.RunOptions{Every: everyFor(cases), Out: h.out, Rest: true, Stop: func() bool { return ctx.Err() != nil }})
	if err != nil {
		return nil, err
	}
	return a, nil
}

// isSequence reports whether an ID is that of a sequence.
func isSequence(j *assess.Job, id string) bool {
	for _, s := range j.Bank.Sequences {
		if s.ID == id {
			return true
		}
	}
	return false
}

// knows reports whether the job of a source has a sequence of that name. A
// file that cannot be read has none.
func (s *Server) knows(src Source, id string) bool {
	if id == "" {
		return false
	}
	b, err := src.Read()
	if err != nil || !strings.Contains(string(b), id) {
		return false
	}
	j, err := assess.Load(src.File, b)
	return err == nil && isSequence(j, id)
}
