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
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/chart"
)

// daysPage is sheet 43: the balance of days.
type daysPage struct {
	checkedPage
	MonthLinks []link
	Month      string
	Chart      template.HTML
	Small      template.HTML
	Caption    string
	Findings   []findingRow
	Months     []dayMonthRow
	Loads      []dayLoadRow
	Sources    []daySourceRow
	Full       []string
	Stops      []string
	SidesAt    string
	Sides      []daySideRow
	Rests      []string
}

// dayMonthRow is a month of the table.
type dayMonthRow struct {
	Name, Asked, Given, Ends, BadAsked, BadGiven, Lasts, NoSun, Alone string
	Short                                                             bool // bad days end before the wish
	Now                                                               bool
}

type dayLoadRow struct{ Name, Watts, Hours, Duty, Typical, Bad, By string }

type daySourceRow struct{ Name, Watts, Typical, Bad, Taken, Bound string }

type daySideRow struct{ Device, Volts, Amps, Loss, Drop, Empty, Cutout, Cable, Warm, Fuse string }

// serveDays answers for sheet 43.
func (s *Server) serveDays(r *http.Request) (any, int, error) {
	const path = "/days"
	q, err := s.read(r)
	if err != nil {
		return nil, http.StatusNotFound, err
	}
	page, c := s.begin(q, path)
	p := &daysPage{checkedPage: *page}
	if c == nil {
		return p, http.StatusOK, nil
	}
	p.Block = blockOf("Days", c, "43")
	p.Assumed = nil
	d := c.report.Days
	if d == nil || d.Missing != "" {
		p.Heading, p.Sub = "No balance of days yet.", assess.NoLoads+"."
		return p, http.StatusOK, nil
	}
	month := report.HardestMonth(d)
	if word := r.URL.Query().Get("month"); word != "" {
		if month = monthNamed(word); month < 0 {
			return nil, http.StatusNotFound, fmt.Errorf("there is no month %q; write jan, feb, … dec", clip(word))
		}
	}
	for m, name := range bank.MonthNames {
		p.MonthLinks = append(p.MonthLinks, link{string(name), path + "?" + url.Values{"job": {q.source.Name}, "month": {string(name)}}.Encode(), m == month})
	}
	if err := p.fill(c, d, month); err != nil {
		return nil, http.StatusInternalServerError, err
	}
	return p, http.StatusOK, nil
}

func monthNamed(word string) int {
	for m, name := range bank.MonthNames {
		if string(name) == word {
			return m
		}
	}
	return -1
}

func (p *daysPage) fill(c *checked, d *report.Days, month int) error {
	head, more, _ := strings.Cut(report.DaysHeading(d), ". ")
	p.Heading = strings.TrimSuffix(head, ".") + "."
	p.Sub = fmt.Sprintf("%s %s at %s, down to %.0f %%; weeks begin at %.0f %%; it shall last %s of bad days", more, quantity.Format(quantity.Charge(d.Capacity), 4),
		quantity.Format(quantity.Voltage(d.Nominal), 3), 100*d.Floor, 100*d.Start, report.LastsWords(d.Wish))
	for _, f := range c.report.Findings {
		if strings.HasPrefix(f.Rule, "DAY-") {
			p.Findings = append(p.Findings, findingRow{f, report.MarginWords(c.report.Bank.Show, f.Number)})
		}
	}
	p.Month = report.MonthWords[month]
	p.months(d, month)
	p.tables(d, month)
	for i := range d.Full {
		p.Full = append(p.Full, report.FullWords(&d.Full[i]))
	}
	for i := range d.Stops {
		p.Stops = append(p.Stops, report.StopWords(&d.Stops[i]))
	}
	p.sides(d)
	p.Rests = append(append(p.Rests, d.Notes...), report.DaysLimits(d)...)
	p.Assumed = d.Assumed
	if cold := d.Months[month].Cold; cold > 0 {
		p.Rests = append([]string{fmt.Sprintf("in the middle week of %s a battery is too cold to be charged in %d of 168 hours; that is counted", p.Month, cold)}, p.Rests...)
	}
	p.Caption = "a week of " + p.Month + ", and every month"
	var err error
	if p.Chart, err = inline(chart.Days(d, chart.DaysOptions{Width: 240, Month: month}), "days-"); err != nil {
		return err
	}
	p.Small, err = inline(chart.Days(d, chart.DaysOptions{Small: true, Month: month}), "days-small-")
	return err
}

func wattHours(j float64) string { return quantity.FormatFixed(j/3600, 0) }

func daysWords(s float64) string {
	if math.IsInf(s, 1) {
		return "over 60"
	}
	return quantity.FormatFixed(s/86400, 1)
}

func (p *daysPage) months(d *report.Days, now int) {
	for m := range d.Months {
		one := &d.Months[m]
		p.Months = append(p.Months, dayMonthRow{Name: report.MonthWords[m], Asked: wattHours(one.Typical.Asked()), Given: wattHours(total(one.Typical.Given)),
			Ends: quantity.FormatFixed(100*one.Typical.Charge[len(one.Typical.Charge)-1], 0), BadAsked: wattHours(one.Bad.Asked()), BadGiven: wattHours(total(one.Bad.Given)),
			Lasts: daysWords(one.Bad.Reaches), NoSun: daysWords(one.NoSun), Alone: daysWords(one.Alone), Short: one.Bad.Reaches < d.Wish, Now: m == now})
	}
}

func total(all []float64) float64 {
	sum := 0.0
	for _, v := range all {
		sum += v
	}
	return sum
}

// tables are what each load asks and each source gives in the month shown.
func (p *daysPage) tables(d *report.Days, month int) {
	k := &d.Months[month]
	for n := range d.Loads {
		l := &d.Loads[n]
		by := l.Through + l.Part
		if by == "" {
			by = "the bank"
		}
		p.Loads = append(p.Loads, dayLoadRow{l.Name, quantity.FormatFixed(l.Watts, 0), quantity.FormatFixed(l.Hours, 1), quantity.FormatFixed(100*l.Duty, 0), wattHours(k.Typical.ByLoad[n]), wattHours(k.Bad.ByLoad[n]), by})
	}
	for _, one := range []struct {
		name         string
		typical, bad float64
	}{{"lost in inverters", k.Typical.Inverters, k.Bad.Inverters}, {"inverters idle", k.Typical.Idle, k.Bad.Idle}, {"lost in cables", k.Typical.Wiring, k.Bad.Wiring}, {"asked of the bank", k.Typical.Asked(), k.Bad.Asked()}} {
		p.Loads = append(p.Loads, dayLoadRow{Name: one.name, Typical: wattHours(one.typical), Bad: wattHours(one.bad)})
	}
	for n := range d.Sources {
		s := &d.Sources[n]
		row := daySourceRow{Name: s.ID + ", " + string(s.Kind), Watts: quantity.FormatFixed(s.Watts, 0), Typical: wattHours(k.Typical.Offered[n]), Bad: wattHours(k.Bad.Offered[n]), Taken: wattHours(k.Typical.Given[n]), Bound: s.Bound}
		if s.Days < 7 {
			row.Name += fmt.Sprintf(", %d days a week", s.Days)
		}
		p.Sources = append(p.Sources, row)
	}
}

func (p *daysPage) sides(d *report.Days) {
	var at []string
	for _, v := range d.Voltages {
		at = append(at, quantity.Format(quantity.Voltage(v), 3))
	}
	p.SidesAt = strings.Join(at, " and at ")
	dash := func(v float64) string {
		if !(v > 0) {
			return "–"
		}
		return quantity.FormatFixed(v, 1)
	}
	for i := range d.Sides {
		for n := range d.Sides[i].Each {
			e := &d.Sides[i].Each[n]
			row := daySideRow{d.Sides[i].ID, quantity.FormatFixed(e.Volts, 1), quantity.FormatFixed(e.Amps, 1), quantity.FormatFixed(e.Loss, 1), quantity.FormatFixed(100*e.Drop/e.Volts, 2),
				quantity.FormatFixed(e.Terminals, 2), dash(e.Cutout), e.Cable, quantity.FormatFixed(e.Warm-273.15, 0), dash(e.Fuse)}
			if row.Cable == "" {
				row.Cable = "–"
			}
			p.Sides = append(p.Sides, row)
		}
	}
}
