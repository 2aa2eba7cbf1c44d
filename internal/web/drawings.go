package web

import (
	"bytes"
	"html/template"

	"bankwright/internal/model/report"
	"bankwright/internal/paper/chart"
	"bankwright/internal/paper/plan"
	"bankwright/internal/paper/sheet"
	"bankwright/internal/paper/svg"
)

// draw fills the page's drawings: the front, the plan, the view from the front.
func (p *wiringsPage) draw(a *answer, picked *report.Wiring, pick string) error {
	if a.wirings != nil && len(a.wirings.Front) > 0 {
		s, err := chart.Front(a.wirings, chart.Options{Width: 120, Height: 112, Show: a.job.Bank.Show, Selected: numberAfter(pick, "front-")})
		if err != nil {
			return err
		}
		if p.Chart, err = inline(s, "chart-"); err != nil {
			return err
		}
	}
	r := a.report
	if r == nil {
		r = &report.Report{Bank: a.job.Bank, Routes: a.job.Routes}
	}
	opt := plan.Options{}
	if picked != nil {
		opt.Wiring, opt.Search = picked, a.wirings
	}
	for _, view := range []struct {
		draw   func(*report.Report, plan.Options) (*sheet.Sheet, error)
		width  float64
		small  bool
		prefix string
		into   *template.HTML
	}{
		{plan.Draw, 170, false, "plan-", &p.Plan},
		{plan.Draw, 100, true, "small-", &p.Small},
		{plan.Front, 230, false, "elevation-", &p.Front},
	} {
		opt.Width, opt.Small = view.width, view.small
		s, err := view.draw(r, opt)
		if err != nil {
			p.Notes = append(p.Notes, "no drawing: "+err.Error())
			return nil
		}
		if *view.into, err = inline(s, view.prefix); err != nil {
			return err
		}
	}
	return nil
}

// inline gives a sheet as SVG that stands in the page.
func inline(s *sheet.Sheet, prefix string) (template.HTML, error) {
	var b bytes.Buffer
	if err := svg.Write(&b, s, svg.Options{IDPrefix: prefix, Explorable: true}); err != nil {
		return "", err
	}
	return template.HTML(b.String()), nil // the writer escapes all text, which its tests hold
}
