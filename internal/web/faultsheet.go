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
}

type verdictRow struct {
	report.BandVerdict
	Out bool
	Why string
}

type shortRow struct{ Place, Most, Least string }

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
	p.shorts(c)
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
		if f.Place == b.Device {
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

// shorts fills the tables of prospective currents.
func (p *faultsPage) shorts(c *checked) {
	rows := func(list []report.FaultPoint) []shortRow {
		var all []shortRow
		for _, one := range list {
			all = append(all, shortRow{one.Place, shortWords(one.Most), shortWords(one.Least)})
		}
		return all
	}
	p.Shorts, p.Into = rows(c.report.Side.Points), rows(c.report.Side.Into)
}

func shortWords(v float64) string {
	if math.IsNaN(v) {
		return "–"
	}
	return quantity.FormatFixed(v, 0)
}
