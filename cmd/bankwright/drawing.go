package main

import (
	"bytes"
	"math"

	"bankwright/internal/check/assess"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/chart"
	"bankwright/internal/paper/sheet"
	"bankwright/internal/paper/svg"
	"bankwright/internal/read/store"
)

// drawRun writes the curves of a run as a framed sheet.
func (a *app) drawRun(j *assess.Job, r *report.Run, path string) error {
	frame := &sheet.TitleBlock{Title: "Currents through the hours", Document: "working drawing", Sheet: "23", Job: j.Bank.Title, Compared: "the job's own limits"}
	return a.drawing(chart.Run(r, chart.RunOptions{Show: j.Bank.Show, Title: r.ID, Frame: frame, At: math.NaN()}), path)
}

// drawSpread writes the distribution of a spread as a framed sheet.
func (a *app) drawSpread(j *assess.Job, s *report.Spread, path string) error {
	frame := &sheet.TitleBlock{Title: "Spread", Document: "working drawing", Sheet: "23", Job: j.Bank.Title, Compared: "the job's own limits"}
	return a.drawing(chart.Spread(s, chart.SpreadOptions{Title: s.Case.ID, Frame: frame}), path)
}

// drawing writes a sheet as an SVG file of its own.
func (a *app) drawing(s *sheet.Sheet, path string) error {
	var b bytes.Buffer
	if err := svg.Write(&b, s, svg.Options{Standalone: true}); err != nil {
		return work(err)
	}
	return work(store.Write(path, b.Bytes()))
}
