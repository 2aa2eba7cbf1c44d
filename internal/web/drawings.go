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
	var err error
	if a.wirings != nil && len(a.wirings.Front) > 0 {
		s, err := chart.Front(a.wirings, chart.Options{Show: a.job.Bank.Show, Selected: numberAfter(pick, "front-")})
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
	top, err := plan.Draw(r, opt)
	if err != nil {
		p.Notes = append(p.Notes, "no plan: "+err.Error())
		return nil
	}
	if p.Plan, err = inline(top, "plan-"); err != nil {
		return err
	}
	front, err := plan.Front(r, opt)
	if err != nil {
		return err
	}
	p.Front, err = inline(front, "front-")
	return err
}

// inline gives a sheet as SVG that stands in the page.
func inline(s *sheet.Sheet, prefix string) (template.HTML, error) {
	var b bytes.Buffer
	if err := svg.Write(&b, s, svg.Options{IDPrefix: prefix, Explorable: true}); err != nil {
		return "", err
	}
	return template.HTML(b.String()), nil // the writer escapes all text, which its tests hold
}
