package web

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
	"bankwright/internal/read/job"
)

// checkedPage is a sheet of the whole job's check: the conductors, or the
// findings.
type checkedPage struct {
	Title, Note, File string
	Sheets            []link
	Jobs, Cases       []link
	Faults            []job.Fault
	Heading, Sub      string
	Warn              string
	Lines             []lineRow
	Groups            []findingGroup
	Unchecked         []uncheckedRow
	Settings          []settingGroup
	Assumed           []report.Assumption
	Block             []fact
}

// lineRow is one conductor of the schedule.
type lineRow struct {
	ID, From, To, Size, Length string
	Steady, Surge, In          string
	Table, TableNote           string // amperes by the book's table, or why not
	Heat, Warm                 string // by heat balance
	Saves                      string
	Fault                      string // dead short, most and least
	Margin                     string
	Used                       int // of what it may carry, percent, at most 125: how long its bar is
	Past                       bool
}

// findingGroup is the findings of one severity.
type findingGroup struct {
	Name string
	List []findingRow
}

type findingRow struct {
	finding.Finding
	Margin string
}

// settingGroup is what to set on one device.
type settingGroup struct {
	Part, For string
	List      []settingRow
}

type settingRow struct {
	Name, Set, Have, Note, Source string
	Differs                       bool
}

type uncheckedRow struct{ Rule, Why, Places string }

// checked is what is kept of a job's check.
type checked struct {
	job    *assess.Job
	report *report.Report
	bands  map[string]*report.Bands // by device, once asked for
}

// check computes, or remembers, the check of a job's file as it is now.
func (s *Server) check(src Source) (*checked, error) {
	b, err := src.Read()
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", src.File, err)
	}
	k := key{sha256.Sum256(b), src.Name, ""}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if c := s.checks[k]; c != nil {
		return c, nil
	}
	c := &checked{}
	if c.job, err = assess.Load(src.File, b); err != nil {
		return nil, err
	}
	if c.report, err = c.job.Check(); err != nil {
		return nil, err
	}
	if len(s.checks) >= maxKept {
		clear(s.checks)
	}
	s.checks[k] = c
	return c, nil
}

// begin makes the page of a sheet of the check; without a check what stands on
// it already is all there is.
func (s *Server) begin(q request, path string) (*checkedPage, *checked) {
	p := &checkedPage{Title: "Job with faults", File: q.source.File, Sheets: sheets(q, path)}
	for _, src := range s.sources {
		if len(s.sources) > 1 {
			p.Jobs = append(p.Jobs, link{strings.ReplaceAll(src.Name, "-", " "), path + "?" + url.Values{"job": {src.Name}}.Encode(), src.Name == q.source.Name})
		}
	}
	c, err := s.check(q.source)
	var faults *job.Faults
	switch {
	case errors.As(err, &faults):
		p.Faults = faults.List
		return p, nil
	case err != nil:
		p.Heading, p.Warn = "Nothing can be checked here yet", err.Error()
		return p, nil
	}
	p.Title, p.Note, p.Assumed = c.job.Bank.Title, c.job.Doc.Note.V, c.report.Assumed
	return p, c
}

// serveChecked gives the handler of a sheet that needs nothing but the check.
func (s *Server) serveChecked(path string, fill func(*checkedPage, *checked)) func(*http.Request) (any, int, error) {
	return func(r *http.Request) (any, int, error) {
		q, err := s.read(r)
		if err != nil {
			return nil, http.StatusNotFound, err
		}
		p, c := s.begin(q, path)
		if c != nil {
			fill(p, c)
		}
		return p, http.StatusOK, nil
	}
}

// findings fills sheet 61.
func (p *checkedPage) findings(c *checked) {
	r := c.report
	p.Heading = "Findings: " + countWords(r.Findings)
	p.Sub = bookWords(c.job.Bank) + "; compared with the rules named, no more"
	for _, g := range []struct {
		s    finding.Severity
		name string
	}{{finding.Fault, "faults, to be mended before it is built"}, {finding.Warning, "warnings, to be looked at"}, {finding.Note, "notes, worth knowing"}} {
		group := findingGroup{Name: g.name}
		for _, f := range r.Findings {
			if f.Severity == g.s {
				group.List = append(group.List, findingRow{f, report.MarginWords(r.Bank.Show, f.Number)})
			}
		}
		if group.List != nil {
			p.Groups = append(p.Groups, group)
		}
	}
	at := map[string]int{}
	for _, u := range r.Unchecked {
		k := u.Rule + u.Why
		n, ok := at[k]
		if !ok {
			n = len(p.Unchecked)
			at[k] = n
			p.Unchecked = append(p.Unchecked, uncheckedRow{Rule: u.Rule, Why: u.Why, Places: u.Place})
			continue
		}
		p.Unchecked[n].Places += ", " + u.Place
	}
	p.Block = blockOf("Findings", c, "61")
}

func countWords(all []finding.Finding) string {
	n := map[finding.Severity]int{}
	for _, f := range all {
		n[f.Severity]++
	}
	one := func(s finding.Severity, word string) string {
		if n[s] == 1 {
			return "1 " + word
		}
		return fmt.Sprintf("%d %ss", n[s], word)
	}
	return one(finding.Fault, "fault") + ", " + one(finding.Warning, "warning") + ", " + one(finding.Note, "note")
}

func bookWords(b *bank.Bank) string {
	words := "the " + b.Practice.Book.V + " book"
	if b.Practice.Book.Origin == source.Assumed {
		words += " (assumed)"
	}
	return words + ", air at most " + b.Show.FormatTemperature(b.Practice.Ambient.V)
}

func blockOf(title string, c *checked, sheet string) []fact {
	return []fact{{"title", title}, {"job", c.job.Bank.Title}, {"document", "working drawing"}, {"case", "all of them"}, {"compared with", c.job.Bank.Practice.Book.V + " book"}, {"sheet", sheet}}
}

// conductors fills sheet 32.
func (p *checkedPage) conductors(c *checked) {
	side, b := c.report.Side, c.job.Bank
	past, near := 0, math.Inf(1)
	nearest := ""
	for i := range side.Lines {
		row, margin := lineOf(b, &side.Lines[i])
		if margin < 0 {
			past++
		}
		if margin < near {
			near, nearest = margin, row.ID
		}
		p.Lines = append(p.Lines, row)
	}
	p.Heading = fmt.Sprintf("%d conductors, each by its table and by its own heat.", len(side.Lines))
	switch {
	case past > 0:
		p.Warn = fmt.Sprintf("%d carry more than they may; see the margins", past)
	case nearest != "":
		p.Heading += fmt.Sprintf(" Least to spare: %s, %.0f %%.", nearest, 100*near)
	}
	p.Sub = bookWords(b) + "; currents are the largest that last, of every case, all loads at once and each source alone"
	p.Block = blockOf("Conductor schedule", c, "32")
}

// lineOf makes a row and its least margin, +Inf where there is none.
func lineOf(b *bank.Bank, l *report.Line) (lineRow, float64) {
	c := &b.Cables[l.Index]
	amps := func(v float64) string { return quantity.FormatFixed(v, 1) }
	row := lineRow{ID: l.Cable, From: c.From.String(), To: c.To.String(), Size: sizeWords(c), Length: "–", Steady: amps(l.Steady.Amps), In: l.Steady.In,
		Surge: "–", Table: "–", TableNote: l.NoTable, Heat: "–", Warm: "–", Fault: "–", Margin: "–", Saves: savedBy(l)}
	if c.Length.Known() {
		row.Length = b.Show.FormatLength(c.Length.V)
	}
	if l.Surge.Amps > 0 {
		row.Surge = amps(l.Surge.Amps)
	}
	if !math.IsNaN(l.Physics) {
		row.Heat = quantity.FormatFixed(l.Physics, 0)
	}
	if l.Warm > 0 && !math.IsInf(l.Warm, 1) {
		row.Warm = b.Show.FormatTemperature(quantity.Temperature(l.Warm))
	}
	if l.Most > 0 {
		row.Fault = quantity.FormatFixed(l.Most, 0)
		if l.Least > 0 {
			row.Fault += " / " + quantity.FormatFixed(l.Least, 0)
		}
	}
	margin := math.Inf(1)
	if t := l.Governing(); t != nil {
		row.Table, row.TableNote = quantity.FormatFixed(t.Amps, 0), t.Title
		margin = 1 - l.Steady.Amps/t.Amps
	} else if l.Physics > 0 {
		margin = 1 - l.Steady.Amps/l.Physics
	}
	if l.Steady.Amps > 0 && !math.IsInf(margin, 1) {
		row.Margin, row.Past = fmt.Sprintf("%.0f %%", 100*margin), margin < 0
		row.Used = int(math.Round(100 * math.Min(1.25, 1-margin)))
	}
	if l.Steady.Amps == 0 {
		margin = math.Inf(1)
	}
	return row, margin
}

// settings fills sheet 34.
func (p *checkedPage) settings(c *checked) {
	all, err := c.job.Settings()
	if err != nil {
		p.Warn = err.Error()
	}
	differs := 0
	for i := range all {
		one := &all[i]
		batteries := one.Chemistry + ", " + strings.Join(one.Batteries, ", ")
		if n := len(p.Settings); n == 0 || p.Settings[n-1].Part != one.Part || p.Settings[n-1].For != batteries {
			p.Settings = append(p.Settings, settingGroup{Part: one.Part, For: batteries})
		}
		g := &p.Settings[len(p.Settings)-1]
		set, have := one.Words(c.job.Bank.Show)
		row := settingRow{string(one.Kind), set, have, one.Note, one.From(), one.State == report.SettingDiffers}
		if row.Differs {
			differs++
		}
		g.List = append(g.List, row)
	}
	devices := map[string]bool{}
	for _, g := range p.Settings {
		devices[g.Part] = true
	}
	p.Heading = "Settings: the job has no charger and no inverter that is joined to a battery."
	if len(p.Settings) > 0 {
		p.Heading = fmt.Sprintf("Chargers and inverters set for these batteries: %d.", len(devices))
	}
	if differs > 0 {
		p.Warn = fmt.Sprintf("%d in the job differ from what is due", differs)
	}
	p.Sub = "the batteries' own limits where the job gives them, else what is customary for the chemistry; the batteries' own sheet governs"
	p.Block = blockOf("Settings", c, "34")
}
