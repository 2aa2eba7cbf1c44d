package web

import (
	"errors"
	"fmt"
	"html/template"
	"math"
	"net/http"
	"net/url"
	"slices"
	"sort"
	"strconv"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/chart"
	"bankwright/internal/paper/plan"
	"bankwright/internal/read/job"
)

// hoursPage is the run through time.
type hoursPage struct {
	Title, Note, File string
	Sheets            []link
	Jobs, Cases       []link
	Wirings           []link
	Faults            []job.Fault
	Heading, Sub      string
	Warn              string
	Hidden            []fact // of the form
	Last, At          int    // samples
	AtWords           string
	Chart, ChartSmall template.HTML
	Plan, Small       template.HTML
	Caption           string
	Facts             []fact
	Batteries         []hourRow
	Events            []link
	Notes             []string
	Assumed           []report.Assumption
	Block             []fact
}

// hourRow is one battery at the time chosen.
type hourRow struct {
	ID, Current, Charge, Voltage, State string
	URL, Act                            string // the tap: what it does
	Gone                                bool
}

// hours is what the address of the run asks for.
type hours struct {
	request
	at  int // sample
	out []assess.Drop
}

// maxDrops bounds what an address can ask for.
const maxDrops = 16

func (s *Server) readHours(r *http.Request) (hours, error) {
	q, err := s.read(r)
	h := hours{request: q}
	if err != nil {
		return h, err
	}
	h.sequence = s.knows(q.source, q.kase)
	h.at, _ = strconv.Atoi(r.URL.Query().Get("at")) // what is no number is the beginning
	for _, w := range r.URL.Query()["out"] {
		id, at, _ := strings.Cut(w, "@")
		t, err := strconv.ParseFloat(at, 64)
		if at == "" {
			t, err = 0, nil
		}
		if err != nil || !(t >= 0) || math.IsInf(t, 1) || len(h.out) == maxDrops {
			return h, fmt.Errorf("out=%s: a battery and seconds are due, as in B3@600, at most %d of them", clip(w), maxDrops)
		}
		h.out = append(h.out, assess.Drop{ID: id, Time: t})
	}
	return h, nil
}

// address gives the page's address with these batteries out and this sample.
func (h hours) address(at int, out []assess.Drop) string {
	v := url.Values{}
	v.Set("job", h.source.Name)
	if h.kase != "" {
		v.Set("case", h.kase)
	}
	if h.pick != "" {
		v.Set("pick", h.pick)
	}
	if at > 0 {
		v.Set("at", strconv.Itoa(at))
	}
	for _, d := range out {
		v.Add("out", dropWords(d))
	}
	return "/hours?" + v.Encode()
}

func dropWords(d assess.Drop) string {
	return d.ID + "@" + strconv.FormatFloat(d.Time, 'f', -1, 64)
}

func (s *Server) serveHours(r *http.Request) (any, int, error) {
	h, err := s.readHours(r)
	if err != nil {
		return nil, http.StatusNotFound, err
	}
	p := &hoursPage{Title: "Job with faults", File: h.source.File, Sheets: sheets(h.request, "/hours")}
	for _, src := range s.sources {
		if len(s.sources) > 1 {
			other := hours{request: request{source: src}}
			p.Jobs = append(p.Jobs, link{strings.ReplaceAll(src.Name, "-", " "), other.address(0, nil), src.Name == h.source.Name})
		}
	}
	a, err := s.ran(r.Context(), h)
	var faults *job.Faults
	switch {
	case errors.As(err, &faults):
		p.Faults = faults.List
		return p, http.StatusOK, nil
	case err != nil:
		return nil, http.StatusNotFound, err
	}
	if err := p.fill(h, a); err != nil {
		return nil, http.StatusInternalServerError, err
	}
	return p, http.StatusOK, nil
}

// sheets is the set, as far as it goes; now is the path of the one shown.
func sheets(q request, now string) []link {
	run := url.Values{}
	run.Set("job", q.source.Name)
	if q.kase != "" {
		run.Set("case", q.kase)
	}
	if q.pick != "" {
		run.Set("pick", q.pick)
	}
	kase := q.kase
	if q.sequence {
		kase = "" // the other sheets know single cases only
	}
	whole := "?" + url.Values{"job": {q.source.Name}}.Encode()
	return []link{{"22 Wirings", q.url(q.source.Name, kase, q.pick), now == "/"}, {"23 Currents", "/hours?" + run.Encode(), now == "/hours"},
		{"32 Conductor schedule", "/conductors" + whole, now == "/conductors"}, {"33 Faults", "/faults" + whole, now == "/faults"}, {"34 Settings", "/settings" + whole, now == "/settings"}, {"41 Warmth", "/heat" + whole, now == "/heat"}, {"42 Holding down", "/mount" + whole, now == "/mount"}, {"43 Days", "/days" + whole, now == "/days"}, {"61 Findings", "/findings" + whole, now == "/findings"}}
}

// fill turns a run into the page for one of its samples.
func (p *hoursPage) fill(h hours, a *ran) error {
	b, r := a.job.Bank, a.run
	p.Title, p.Note = b.Title, a.base.Doc.Note.V
	p.Last = len(r.Time) - 1
	n := min(max(h.at, 0), p.Last)
	p.At, p.AtWords = n, spell(r.Time[n])
	p.cases(h, a)
	p.wirings(h, a)
	p.heading(h, a)
	for _, f := range []fact{{"job", h.source.Name}, {"case", h.kase}, {"pick", h.pick}} {
		if f.Value != "" {
			p.Hidden = append(p.Hidden, f)
		}
	}
	for _, d := range h.out {
		p.Hidden = append(p.Hidden, fact{"out", dropWords(d)})
	}
	p.rows(h, a, n)
	p.Assumed = a.job.RunAssumptions(h.kase)
	p.Block = []fact{{"title", "Currents through the hours"}, {"job", b.Title}, {"document", "working drawing"}, {"case", r.ID}, {"compared with", "the job's own limits"}, {"sheet", "23"}}
	return p.draw(a, n)
}

func (p *hoursPage) cases(h hours, a *ran) {
	to := func(id string) string {
		other := h
		other.kase = id
		return other.address(0, nil)
	}
	for _, c := range a.base.Bank.Cases {
		p.Cases = append(p.Cases, link{c.ID + ", " + demandWords(c), to(c.ID), c.ID == a.run.ID})
	}
	for _, s := range a.base.Bank.Sequences {
		p.Cases = append(p.Cases, link{s.ID + ": " + strings.Join(s.Cases, ", "), to(s.ID), s.ID == a.run.ID})
	}
}

// wirings offers the job's own wiring, the picked one, and the one of the front
// that gives most.
func (p *hoursPage) wirings(h hours, a *ran) {
	to := func(pick string) string {
		other := h
		other.pick = pick
		return other.address(h.at, h.out)
	}
	if a.own {
		p.Wirings = append(p.Wirings, link{"yours", to("own"), a.pick == "own"})
	}
	best := -1
	if c := a.compared; c != nil && c.Best >= 0 {
		best = c.Best + 1
		p.Wirings = append(p.Wirings, link{fmt.Sprintf("wiring %d, which gives most", best), to(fmt.Sprintf("front-%d", best)), numberAfter(a.pick, "front-") == best})
	}
	if n := numberAfter(a.pick, "front-"); n > 0 && n != best {
		p.Wirings = append(p.Wirings, link{fmt.Sprintf("wiring %d", n), to(a.pick), true})
	}
}

// heading says in one line what comes out.
func (p *hoursPage) heading(h hours, a *ran) {
	r := a.run
	var first *report.Event
	for i := range r.Events {
		if e := &r.Events[i]; e.What != report.Reconnect {
			first = e
			break
		}
	}
	end := r.Time[len(r.Time)-1]
	switch {
	case first == nil:
		p.Heading = fmt.Sprintf("%s, %s: no battery empties, fills up or trips.", r.ID, spell(end))
	default:
		p.Heading = fmt.Sprintf("%s: %s %s first, after %s.", r.ID, first.Battery, happened(first), spell(first.Time))
	}
	var parts []string
	if !math.IsNaN(r.FirstOut) {
		parts = append(parts, fmt.Sprintf("%s until the first battery was out", ampereHours(r.FirstOut)))
	}
	if !math.IsNaN(r.BankOut) {
		parts = append(parts, fmt.Sprintf("%s until the bank was", ampereHours(r.BankOut)))
	} else if r.Delivered > 0 {
		parts = append(parts, ampereHours(r.Delivered)+" given")
	}
	if r.Taken > 0 {
		parts = append(parts, ampereHours(r.Taken)+" taken")
	}
	parts = append(parts, "ended after "+spell(end)+": "+r.Ended)
	p.Sub = strings.Join(parts, "; ")
	if r.BeganFull() {
		p.Warn = "the batteries begin full (start is 100 % where the job says nothing), so nothing can be put in; give start, or a sequence that draws first"
	}
	for _, d := range h.out {
		when := "from the beginning"
		if d.Time > 0 {
			when = "from " + spell(d.Time) + " on"
		}
		p.Notes = append(p.Notes, d.ID+" is taken out "+when)
	}
	if c := a.compared; c != nil && c.Note == "" && c.Best >= 0 {
		best := c.Front[c.Best]
		p.Notes = append(p.Notes, fmt.Sprintf("carried on until the bank is out, yours gives %s until %s goes out first; wiring %d of the front gives %s", ampereHours(c.Own.FirstOut), c.Own.First, c.Best+1, ampereHours(best.FirstOut)))
	}
}

// happened says in a word what an event was.
func happened(e *report.Event) string {
	switch e.What {
	case report.Empty:
		return "is empty"
	case report.Full:
		return "is full"
	case report.TripCurrent:
		return fmt.Sprintf("trips at %s", quantity.Format(quantity.Current(e.Value), 3))
	case report.TripVoltage:
		return fmt.Sprintf("trips at %s", quantity.Format(quantity.Voltage(e.Value), 4))
	case report.TripTemperature:
		return "trips by its temperature"
	}
	return "closes again"
}

// rows shows each battery at sample n, and what a tap on it does.
func (p *hoursPage) rows(h hours, a *ran, n int) {
	r := a.run
	for i := range r.Batteries {
		b := &r.Batteries[i]
		row := hourRow{ID: b.ID, Current: quantity.FormatFixed(b.Current[n], 1), Charge: quantity.FormatFixed(100*b.Charge[n], 1), Voltage: quantity.FormatFixed(b.Voltage[n], 2), State: "in"}
		if !b.Active[n] {
			row.State = "out"
		}
		if at := slices.IndexFunc(h.out, func(d assess.Drop) bool { return d.ID == b.ID }); at >= 0 {
			row.Gone, row.Act = true, "put back"
			row.URL = h.address(p.At, slices.Delete(slices.Clone(h.out), at, at+1))
		} else if !a.job.Bank.Batteries[i].Off {
			row.Act = "drop out here"
			out := append(slices.Clone(h.out), assess.Drop{ID: b.ID, Time: math.Round(r.Time[n])})
			sort.Slice(out, func(x, y int) bool { return out[x].ID < out[y].ID })
			row.URL = h.address(p.At, out)
		}
		p.Batteries = append(p.Batteries, row)
	}
	for i := range r.Events {
		e := &r.Events[i]
		at, _ := slices.BinarySearch(r.Time, e.Time)
		p.Events = append(p.Events, link{fmt.Sprintf("%s  %s %s", spell(e.Time), e.Battery, happened(e)), h.address(min(at, p.Last), h.out), false})
		if i == 30 && len(r.Events) > 32 {
			p.Notes = append(p.Notes, fmt.Sprintf("%d more events are not listed", len(r.Events)-i-1))
			break
		}
	}
	p.Facts = []fact{{"time", p.AtWords}, {"take-off", quantity.FormatFixed(r.Current[n], 1) + " A, " + quantity.FormatFixed(r.Voltage[n], 2) + " V"}, {"on the labels", ampereHours(r.Nameplate)}}
	if e := r.Rest; e != nil && e.Largest >= 0.05 {
		words := quantity.FormatFixed(e.Largest, 1) + " A at most"
		if !math.IsNaN(e.Settles) {
			words += ", a tenth after " + spell(e.Settles)
		}
		p.Facts = append(p.Facts, fact{"between them after the load", words})
	}
}

// draw makes the curves and the plan at sample n.
func (p *hoursPage) draw(a *ran, n int) error {
	r := a.run
	var err error
	opt := chart.RunOptions{Width: 230, Show: a.job.Bank.Show, At: r.Time[n]}
	if p.Chart, err = inline(chart.Run(r, opt), "hours-"); err != nil {
		return err
	}
	opt.Width, opt.Small = 0, true
	if p.ChartSmall, err = inline(chart.Run(r, opt), "hours-small-"); err != nil {
		return err
	}
	still, err := a.job.At(a.job.Bank, r, n)
	if err != nil {
		p.Notes = append(p.Notes, "no plan for this moment: no battery that is in reaches the take-off")
		return nil
	}
	p.Caption = "at " + p.AtWords
	for _, view := range []struct {
		width float64
		small bool
		into  *template.HTML
		name  string
	}{{170, false, &p.Plan, "moment-"}, {100, true, &p.Small, "moment-small-"}} {
		s, err := plan.Draw(still, plan.Options{Width: view.width, Small: view.small})
		if err != nil {
			p.Notes = append(p.Notes, "no plan: "+err.Error())
			return nil
		}
		if *view.into, err = inline(s, view.name); err != nil {
			return err
		}
	}
	return nil
}

// spell gives a time of a run in words a fitter reads.
func spell(s float64) string {
	switch m := int(math.Round(s / 60)); {
	case s < 60 && s != 0:
		return quantity.FormatFixed(s, 0) + " s"
	case s < 3600 && s != math.Trunc(s/60)*60:
		return fmt.Sprintf("%d min %d s", int(s)/60, int(math.Round(s))%60)
	case m < 60:
		return fmt.Sprintf("%d min", m)
	case m < 48*60:
		return fmt.Sprintf("%d h %02d min", m/60, m%60)
	default:
		return fmt.Sprintf("%d d %d h", m/1440, m/60%24)
	}
}

func ampereHours(c float64) string { return quantity.FormatFixed(c/3600, 1) + " Ah" }

// everyFor gives a time between samples that makes some hundreds of them.
func everyFor(cases []bank.Case) float64 {
	total := 0.0
	for _, c := range cases {
		if c.For == 0 {
			return 60 // not known beforehand
		}
		total += float64(c.For)
	}
	for _, s := range []float64{1, 2, 5, 10, 30, 60, 120, 300, 600, 1200, 1800} {
		if total/s <= 360 {
			return s
		}
	}
	return 3600
}
