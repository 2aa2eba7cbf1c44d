package web

import (
	"fmt"
	"html/template"
	"math"
	"net/http"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/chart"
)

// heatPage is sheet 41: how cold and how warm it gets.
type heatPage struct {
	checkedPage
	Chart, Small template.HTML
	Caption      string
	Batteries    []heatRow
	Cold, Hot    []string
	Months       []monthRow
	Sensors      []sensorRow
	SensorWords  string
	Off          bool // sensors looked at with the heaters off
	Gas          []string
	Left         string
	Findings     []findingRow
}

type heatRow struct {
	ID, Coldest, When, Limit, Blocked string
	Hottest, HotWhen, Most, Over      string
	Cold, Hot                         bool // the coldest, the hottest of all
}

type monthRow struct{ Name, Hours, Daylight, After, Heating string }

type sensorRow struct {
	At, Setting, Margin, Early, Lost, Own string
	Best                                  bool
}

// serveHeat answers for sheet 41.
func (s *Server) serveHeat(r *http.Request) (any, int, error) {
	const path = "/heat"
	q, err := s.read(r)
	if err != nil {
		return nil, http.StatusNotFound, err
	}
	page, c := s.begin(q, path)
	p := &heatPage{checkedPage: *page}
	if c == nil {
		return p, http.StatusOK, nil
	}
	p.Block = blockOf("Warmth", c, "41")
	h := c.report.Heat
	if h == nil {
		p.Heading = "The job says nothing of warmth."
		p.Sub = "it takes a place with latitude and climate or months, walls of the compartments, and batteries with at, size and mass"
		p.Assumed = nil
		return p, http.StatusOK, nil
	}
	p.Gas = assess.GasWords(h)
	p.findingsOf(c)
	if h.Missing != "" {
		p.Heading, p.Sub, p.Assumed = "How warm it gets cannot be told yet.", h.Missing, nil
		return p, http.StatusOK, nil
	}
	p.Assumed = h.Assumed
	p.heat(c, h)
	if err := p.charts(c, h); err != nil {
		return nil, http.StatusInternalServerError, err
	}
	return p, http.StatusOK, nil
}

// findingsOf keeps what the rules of warmth say.
func (p *heatPage) findingsOf(c *checked) {
	warmth := map[string]bool{"COLD-01": true, "HEAT-01": true, "HEAT-02": true, "VENT-01": true, "HTR-01": true, "SNS-01": true}
	for _, f := range c.report.Findings {
		if warmth[f.Rule] {
			p.Findings = append(p.Findings, findingRow{f, report.MarginWords(c.report.Bank.Show, f.Number)})
		}
	}
}

// heat fills what is said of the two weeks, the year and the sensors.
func (p *heatPage) heat(c *checked, h *report.Heat) {
	show := c.job.Bank.Show
	temp := func(v float64) string {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return "–"
		}
		return show.FormatTemperature(quantity.Temperature(v))
	}
	low, high := h.Batteries[0], h.Batteries[0]
	for _, b := range h.Batteries {
		if b.Coldest < low.Coldest {
			low = b
		}
		if b.Hottest > high.Hottest {
			high = b
		}
		p.Batteries = append(p.Batteries, heatRow{b.ID, temp(b.Coldest), assess.HourWords(b.ColdestAt), temp(b.Limit), fmt.Sprint(b.Blocked),
			temp(b.Hottest), assess.HourWords(b.HottestAt), temp(b.Most), fmt.Sprint(b.Over), false, false})
	}
	for i := range p.Batteries {
		p.Batteries[i].Cold, p.Batteries[i].Hot = p.Batteries[i].ID == low.ID, p.Batteries[i].ID == high.ID
	}
	p.Heading = fmt.Sprintf("Cold week: %s down to %s. Hot week: %s up to %s.", low.ID, temp(low.Coldest), high.ID, temp(high.Hottest))
	if h.Cold.Wait.Hours > 0 {
		p.Warn = fmt.Sprintf("charge has to wait in %d hours of the cold week", h.Cold.Wait.Hours)
	}
	run := "nothing, at rest"
	if h.Run != "" {
		run = "the run " + h.Run
	}
	p.Sub = "weather: " + h.Place + "; batteries warmed by " + run
	p.Cold, p.Hot = assess.ColdWords(h, show), assess.HotWords(h, show)
	for _, id := range h.Left {
		p.Left += ", " + id
	}
	if p.Left != "" {
		p.Left = p.Left[2:]
	}
	p.months(h)
	p.SensorWords, p.Off = assess.SensorWords(h, show), h.SensorsOff
	for n, s := range h.Sensors {
		row := sensorRow{s.At, temp(s.Setting), quantity.FormatFixed(s.Margin, 1), quantity.FormatFixed(s.Early, 0), fmt.Sprint(s.Lost), s.ID, n == h.BestSensor}
		if s.Set > 0 {
			row.Own += ", " + s.Source + " at " + temp(s.Set) + fmt.Sprintf(": lets charge %d h", s.Lets)
		}
		p.Sensors = append(p.Sensors, row)
	}
	if h.BestSensor < 0 {
		p.Sensors = nil
	}
}

func (p *heatPage) months(h *report.Heat) {
	if h.Year == nil {
		return
	}
	for m, one := range h.Year.Months {
		after := "–"
		switch {
		case math.IsInf(one.After, 1):
			after = "not that day"
		case !math.IsNaN(one.After):
			after = quantity.FormatFixed(one.After, 1)
		}
		p.Months = append(p.Months, monthRow{assess.MonthWords(m), fmt.Sprint(one.Hours), fmt.Sprint(one.Daylight), after, quantity.FormatFixed(h.Year.Heater[m]/3600, 0)})
	}
}

func (p *heatPage) charts(c *checked, h *report.Heat) error {
	p.Caption = "a cold week, a hot week, and the year by hour and day"
	var err error
	if p.Chart, err = inline(chart.Heat(h, chart.HeatOptions{Width: 230, Show: c.job.Bank.Show}), "heat-"); err != nil {
		return err
	}
	p.Small, err = inline(chart.Heat(h, chart.HeatOptions{Small: true, Show: c.job.Bank.Show}), "heat-small-")
	return err
}
