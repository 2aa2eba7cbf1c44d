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

func (s *Server) serveWirings(r *http.Request) (*wiringsPage, int, error) {
	q, err := s.read(r)
	if err != nil {
		return nil, http.StatusNotFound, err
	}
	p := &wiringsPage{Title: "Job with faults", File: q.source.File}
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
		{"compared with", "nothing published yet"}, {"sheet", "22"}}
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
	p.Heading = fmt.Sprintf("Every way to wire %d %s: %s. Worth building: %d.", len(w.Strings), things, grouped(w.Space), len(w.Front))
	p.Sub = fmt.Sprintf("searched all, exactly, in %d ms; %s solved one by one, the rest ruled out by a proven bound", a.took.Milliseconds(), grouped(fmt.Sprint(w.Solved)))
	if !w.Exact {
		p.Sub = fmt.Sprintf("searched %s of them in %d ms: not exact", grouped(w.Examined), a.took.Milliseconds())
		p.Warn = w.Smaller
	}
}

// grouped prints a decimal with thin gaps between thousands, a very long one
// by its first digits.
func grouped(s string) string {
	const most = 24 // digits that a person still reads
	if len(s) > most {
		return fmt.Sprintf("about %c.%s·10^%d", s[0], s[1:3], len(s)-1)
	}
	var b strings.Builder
	for i, r := range s {
		if i > 0 && (len(s)-i)%3 == 0 {
			b.WriteRune('\u202f')
		}
		b.WriteRune(r)
	}
	return b.String()
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
	case a.report != nil:
		p.Others = append(p.Others, wiringRow{ID: "own", URL: q.url(q.source.Name, q.kase, "own"), Name: "yours", Now: pick == "own",
			Cable: "–", Uneven: percent(a.report.Sharing.Imbalance), Loss: fixed(a.report.Sharing.Loss, 1), Volt: fixed(a.report.Sharing.Voltage, 3),
			Lugs: "–", Lengths: "–", OneOut: "–", Longer: "–"})
		p.Notes = append(p.Notes, "yours: "+w.OwnNote)
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
	r.Cable, r.Uneven = show.FormatLength(quantity.Length(one.Copper)), percent(one.Imbalance)
	r.Loss, r.Volt = fixed(one.Loss, 1), fixed(one.TakeoffVoltage, 3)
	r.Lugs, r.Lengths = strconv.Itoa(one.FullestPost), strconv.Itoa(one.Distinct)
	r.Longer, r.OneOut, r.Ties = show.FormatLength(quantity.Length(one.Longest)), percent(one.OneOutShare-1), one.Ties
	return r
}

func percent(v float64) string {
	if math.IsNaN(v) {
		return "–"
	}
	return fmt.Sprintf("%+.2f %%", 100*v)
}

func fixed(v float64, digits int) string {
	if math.IsNaN(v) {
		return "–"
	}
	return strconv.FormatFloat(v, 'f', digits, 64)
}
