package web

import (
	"errors"
	"fmt"
	"html/template"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
	"bankwright/internal/read/job"
)

// wiringsPage is all that the page shows.
type wiringsPage struct {
	Title, Note string
	File        string
	Sheets      []link
	Jobs        []link
	Cases       []link
	Faults      []job.Fault // of the file; then nothing else is there
	Heading     string
	Sub         string
	Warn        string
	Chart, Plan template.HTML
	Small       template.HTML // the plan for a narrow screen: fewer words, larger
	Front       template.HTML // elevation
	Caption     string
	Facts       []fact
	Rows        []wiringRow // of the front
	Others      []wiringRow // arrangements of the trade, and the job's own
	Notes       []string
	Cables      []cableRow
	Batteries   []batteryRow
	Findings    []finding.Finding
	Unchecked   []string
	Assumed     []report.Assumption
	Block       []fact // of the title block
}

type link struct {
	Words, URL string
	Now        bool
}

type fact struct{ Name, Value string }

type wiringRow struct {
	ID, URL, Name                                            string
	Cable, Uneven, Loss, Volt, Lugs, Lengths, OneOut, Longer string
	Ties                                                     int
	Now, Missing                                             bool
	Note                                                     string
}

type cableRow struct{ ID, From, To, Size, Length, Current string }

type batteryRow struct{ ID, Current, Share string }

// request is what the address asks for.
type request struct {
	source Source
	kase   string
	pick   string // front-3, textbook-2, own: the IDs of the marks on the chart

	sequence bool // kase is a sequence, which only a run knows
}

func (s *Server) read(r *http.Request) (request, error) {
	q := r.URL.Query()
	out := request{source: s.sources[0], kase: q.Get("case"), pick: q.Get("pick")}
	if name := q.Get("job"); name != "" {
		found := false
		for _, src := range s.sources {
			if src.Name == name {
				out.source, found = src, true
			}
		}
		if !found {
			return out, fmt.Errorf("there is no job %q here", clip(name))
		}
	}
	return out, nil
}

func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

// url gives the address of the same page with another job, case or pick.
func (q request) url(name, kase, pick string) string {
	v := url.Values{}
	v.Set("job", name)
	if kase != "" {
		v.Set("case", kase)
	}
	if pick != "" {
		v.Set("pick", pick)
	}
	return "/?" + v.Encode()
}

func (s *Server) serveWirings(r *http.Request) (any, int, error) {
	q, err := s.read(r)
	if err != nil {
		return nil, http.StatusNotFound, err
	}
	p := &wiringsPage{Title: "Job with faults", File: q.source.File, Sheets: sheets(q, "/")}
	for _, src := range s.sources {
		if len(s.sources) > 1 {
			p.Jobs = append(p.Jobs, link{strings.ReplaceAll(src.Name, "-", " "), q.url(src.Name, "", ""), src.Name == q.source.Name})
		}
	}
	a, err := s.answer(r.Context(), q.source, q.kase)
	var faults *job.Faults
	switch {
	case errors.As(err, &faults):
		p.Faults = faults.List
		return p, http.StatusOK, nil
	case err != nil:
		return nil, http.StatusNotFound, err
	}
	if err := s.fill(p, q, a); err != nil {
		return nil, http.StatusInternalServerError, err
	}
	return p, http.StatusOK, nil
}

// fill turns an answer into the page for what is picked.
func (s *Server) fill(p *wiringsPage, q request, a *answer) error {
	b := a.job.Bank
	p.Title, p.Note = b.Title, a.job.Doc.Note.V
	current, err := a.job.Case(q.kase)
	if err != nil {
		return err
	}
	for _, c := range b.Cases {
		p.Cases = append(p.Cases, link{c.ID + ", " + demandWords(c), q.url(q.source.Name, c.ID, q.pick), c.ID == current.ID})
	}
	p.heading(a)
	picked, pick := choose(a, q.pick)
	if a.wirings != nil {
		p.rows(q, a, pick)
	}
	p.describe(a, picked)
	p.Block = []fact{{"title", "Wirings"}, {"job", b.Title}, {"document", "working drawing"}, {"case", current.ID + ", " + demandWords(current)},
		{"compared with", "every other wiring"}, {"sheet", "22"}}
	return p.draw(a, picked, pick)
}

func demandWords(c bank.Case) string {
	switch {
	case c.ByPower && c.Power < 0:
		return "charge " + quantity.Format(-c.Power, 3)
	case c.ByPower:
		return "draw " + quantity.Format(c.Power, 3)
	case c.Current < 0:
		return "charge " + quantity.Format(-c.Current, 3)
	case c.Current == 0:
		return "no load"
	}
	return "draw " + quantity.Format(c.Current, 3)
}

// choose gives the wiring asked for; nil is the job as it stands. Without a
// wish it is the job's own, or the best first choice of the front.
func choose(a *answer, pick string) (*report.Wiring, string) {
	w := a.wirings
	if w == nil {
		return nil, "own"
	}
	if n := numberAfter(pick, "front-"); n >= 1 && n <= len(w.Front) {
		return &w.Front[n-1], pick
	}
	if n := numberAfter(pick, "textbook-"); n >= 1 && n <= len(w.Textbook) && !w.Textbook[n-1].Missing {
		return &w.Textbook[n-1], pick
	}
	if a.report != nil {
		return nil, "own"
	}
	if len(w.Front) == 0 {
		return nil, "own"
	}
	return &w.Front[0], "front-1"
}

// numberAfter gives the number behind a prefix, 0 where there is none.
func numberAfter(s, prefix string) int {
	rest, ok := strings.CutPrefix(s, prefix)
	n, err := strconv.Atoi(rest)
	if !ok || err != nil {
		return 0
	}
	return n
}

func (p *wiringsPage) heading(a *answer) {
	w := a.wirings
	if w == nil {
		p.Heading, p.Warn = "No wirings to compare here", a.whyNot.Error()
		return
	}
	things := "batteries"
	if len(w.Strings[0].Batteries) > 1 {
		things = "strings"
	}
	p.Heading = fmt.Sprintf("Every way to wire %d %s: %s. Worth building: %d.", len(w.Strings), things, quantity.FormatCount(w.Space, "\u202f"), len(w.Front))
	p.Sub = fmt.Sprintf("searched all, exactly, in %d ms and %s solutions; what was not solved is ruled out by a proven bound", a.took.Milliseconds(), quantity.FormatCount(fmt.Sprint(w.Solved), "\u202f"))
	if !w.Exact {
		p.Sub = fmt.Sprintf("searched %s of them in %d ms: not exact", quantity.FormatCount(w.Examined, "\u202f"), a.took.Milliseconds())
		p.Warn = w.Smaller
	}
	p.Sub += fmt.Sprintf("; compared at %s", quantity.Format(quantity.Current(math.Abs(w.Current)), 3))
	if w.Case.ByPower {
		p.Sub += ", the power at nominal volts"
	}
}

// ownWords says how far the job as it stands can be held against the wirings.
func ownWords(a *answer) string {
	w := a.wirings
	words := "yours: " + w.OwnNote
	if len(w.LeftOut) > 0 {
		words += "; its " + strings.Join(w.LeftOut, ", ") + " carry the current too and are in none of the compared wirings, whose losses and volts lack them"
	}
	words += "; its line is at the same " + quantity.Format(quantity.Current(math.Abs(w.Current)), 4) + " as theirs"
	if a.report != nil && math.Abs(a.report.Sharing.Current-w.Current) > 1e-3*math.Abs(w.Current) {
		words += ", its drawing at the " + quantity.Format(quantity.Current(math.Abs(a.report.Sharing.Current)), 4) + " that the power comes to at its own volts"
	}
	return words
}

func (p *wiringsPage) rows(q request, a *answer, pick string) {
	w := a.wirings
	for i := range w.Front {
		p.Rows = append(p.Rows, row(q, a, fmt.Sprintf("front-%d", i+1), strconv.Itoa(i+1), &w.Front[i], pick))
	}
	for i := range w.Textbook {
		p.Others = append(p.Others, row(q, a, fmt.Sprintf("textbook-%d", i+1), w.Textbook[i].Name, &w.Textbook[i], pick))
	}
	switch {
	case w.Own != nil:
		p.Others = append(p.Others, row(q, a, "own", "yours", w.Own, pick))
	case w.OwnAsIs != nil:
		s := w.OwnAsIs
		p.Others = append(p.Others, wiringRow{ID: "own", URL: q.url(q.source.Name, q.kase, "own"), Name: "yours", Now: pick == "own",
			Cable: "–", Uneven: quantity.FormatPercent(s.Imbalance), Loss: quantity.FormatFixed(s.Loss, 1), Volt: quantity.FormatFixed(s.Voltage, 3),
			Lugs: "–", Lengths: "–", OneOut: "–", Longer: "–"})
		p.Notes = append(p.Notes, ownWords(a))
	default:
		p.Notes = append(p.Notes, "yours: "+w.OwnNote)
	}
	for _, u := range w.Unrouted {
		p.Notes = append(p.Notes, fmt.Sprintf("left out, no way for a cable: %s to %s: %s", u.From, u.To, u.Why))
	}
}

func row(q request, a *answer, id, name string, one *report.Wiring, pick string) wiringRow {
	show := a.job.Bank.Show
	r := wiringRow{ID: id, URL: q.url(q.source.Name, q.kase, id), Name: name, Now: id == pick, Missing: one.Missing, Note: one.Note}
	if one.Missing {
		return r
	}
	r.Cable, r.Uneven = show.FormatLength(quantity.Length(one.Copper)), quantity.FormatPercent(one.Imbalance)
	r.Loss, r.Volt = quantity.FormatFixed(one.Loss, 1), quantity.FormatFixed(one.TakeoffVoltage, 3)
	r.Lugs, r.Lengths = strconv.Itoa(one.FullestPost), strconv.Itoa(one.Distinct)
	r.Longer, r.OneOut, r.Ties = show.FormatLength(quantity.Length(one.Longest)), quantity.FormatPercent(one.OneOutShare-1), one.Ties
	return r
}
