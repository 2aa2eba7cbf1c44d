package web

import (
	"fmt"
	"html/template"
	"math"
	"net/http"
	"net/url"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/chart"
)

// faultsPage is sheet 33: one device over current and time, and the dead
// shorts.
type faultsPage struct {
	checkedPage
	Devices  []link
	Chart    template.HTML
	Small    template.HTML
	Caption  string
	Verdicts []verdictRow
	Findings []findingRow // of this device
	Shorts   []shortRow
	Into     []shortRow
	Leads    []leadRow
	Rests    []string // what the shorts rest on
	Caution  string
}

type verdictRow struct {
	report.BandVerdict
	Out bool
	Why string
}

type shortRow struct{ Place, Most, Least, Ohm, Henry, To63, To90 string }

// leadRow is a battery's lead against what its neighbours push through it.
type leadRow struct {
	report.InLead
	Most, Bears, NotCut, Devices string
}

// serveFaults answers for sheet 33.
func (s *Server) serveFaults(r *http.Request) (any, int, error) {
	const path = "/faults"
	q, err := s.read(r)
	if err != nil {
		return nil, http.StatusNotFound, err
	}
	page, c := s.begin(q, path)
	p := &faultsPage{checkedPage: *page}
	if c == nil {
		return p, http.StatusOK, nil
	}
	if err := p.shorts(c); err != nil {
		return nil, http.StatusInternalServerError, err
	}
	p.Block = blockOf("Faults and devices", c, "33")
	id := r.URL.Query().Get("device")
	if id == "" && len(c.report.Side.Guards) > 0 {
		id = c.report.Side.Guards[0].Part
	}
	for i := range c.report.Side.Guards {
		g := &c.report.Side.Guards[i]
		p.Devices = append(p.Devices, link{g.Part, path + "?" + url.Values{"job": {q.source.Name}, "device": {g.Part}}.Encode(), g.Part == id})
	}
	if id == "" {
		p.Heading, p.Sub = "The job has no fuse or breaker.", "the dead shorts it draws all the same"
		return p, http.StatusOK, nil
	}
	b := s.bands(c, id)
	if b == nil {
		return nil, http.StatusNotFound, fmt.Errorf("there is no fuse or breaker %q in this job", clip(id))
	}
	if err := p.device(c, b); err != nil {
		return nil, http.StatusInternalServerError, err
	}
	return p, http.StatusOK, nil
}

// bands computes, or remembers, what is drawn of a device; nil where there is no
// such device.
func (s *Server) bands(c *checked, id string) *report.Bands {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	b := c.bands[id]
	if b == nil {
		if b = assess.Bands(c.report, id); b == nil {
			return nil
		}
		if c.bands == nil {
			c.bands = map[string]*report.Bands{}
		}
		c.bands[id] = b
	}
	return b
}

// device fills what is shown of one fuse or breaker.
func (p *faultsPage) device(c *checked, b *report.Bands) error {
	out, unknown := 0, 0
	for _, v := range b.Verdicts {
		row := verdictRow{BandVerdict: v, Out: v.Verdict == "outside", Why: strings.Join(v.Reasons, "; ")}
		switch v.Verdict {
		case "outside":
			out++
		case "not checked":
			unknown++
		}
		p.Verdicts = append(p.Verdicts, row)
	}
	n := len(b.Verdicts)
	p.Heading = fmt.Sprintf("%s, %s: %d of %d questions within", b.Device, b.Words, n-out-unknown, n)
	if unknown > 0 {
		p.Heading += fmt.Sprintf(", %d not checked", unknown)
	}
	if out > 0 {
		p.Warn = fmt.Sprintf("%d outside; see below", out)
	}
	p.Sub = fmt.Sprintf("%s; up to %s to break; dead shorts of a full, warm, new bank and of an empty, cold, aged one", bookWords(c.job.Bank), quantity.Format(quantity.Voltage(b.Volts), 3))
	for _, f := range c.report.Findings {
		if f.At(b.Device) {
			p.Findings = append(p.Findings, findingRow{f, report.MarginWords(c.report.Bank.Show, f.Number)})
		}
	}
	p.Caption = b.Device + " over current and time"
	var err error
	if p.Chart, err = inline(chart.Bands(b, chart.BandsOptions{Width: 150}), "faults-"); err != nil {
		return err
	}
	p.Small, err = inline(chart.Bands(b, chart.BandsOptions{Small: true}), "faults-small-")
	return err
}

// shorts fills the tables of prospective currents, their rise, and what
// neighbours push through a battery's leads.
func (p *faultsPage) shorts(c *checked) error {
	f, err := c.job.Faults()
	if err != nil {
		return err
	}
	row := func(place string, most, least, ohm float64, r *assess.FaultRise) shortRow {
		return shortRow{place, shortWords(most), shortWords(least), digits(1e3*ohm, 3), digits(1e6*r.Inductance, 2) + loopMark(r), digits(1e3*r.Most.Tau, 2), digits(1e3*r.Part(r.Most, 0.9), 2)}
	}
	for i, one := range f.Points {
		p.Shorts = append(p.Shorts, row(one.Place.String(), one.Most.Current, one.Least.Current, one.Most.Resistance, &f.Rises[i]))
	}
	for i, one := range f.Across {
		p.Shorts = append(p.Shorts, row("across "+one.Device, one.Most.Current, one.Least.Current, one.Most.Resistance, &f.AcrossRises[i]))
	}
	for i, one := range f.Into {
		p.Into = append(p.Into, row(one.Battery, one.Most.Current, one.Least.Current, one.Most.Resistance, &f.IntoRises[i]))
	}
	for _, l := range f.Leads {
		devices := strings.Join(l.Opens, ", ")
		if devices == "" {
			devices = "none"
		}
		p.Leads = append(p.Leads, leadRow{l, shortWords(l.Amps), shortWords(l.Bears), shortWords(l.Bare), devices})
	}
	p.Rests, p.Caution = append([]string{loopMarks}, f.Assumed...), assess.ShortCaution
	return nil
}

// loopMark tells what an inductance is by, as loopMarks says.
func loopMark(r *assess.FaultRise) string {
	switch {
	case math.IsNaN(r.Inductance) || r.Routed:
		return ""
	case r.Partly:
		return " +"
	}
	return " l"
}

const loopMarks = "µH by where the cables run; with l by length alone, with + by routes and beyond them by length; across: over a device's own terminals, through its leads out and back"

func shortWords(v float64) string { return digits(v, 0) }

// digits prints a number with so many decimals, "–" where there is none.
func digits(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "–"
	}
	return quantity.FormatFixed(v, decimals)
}
