// Package chart draws curves and fronts as sheets.
package chart

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// Options say how a chart is drawn.
type Options struct {
	Width, Height float64       // mm; nil for 165 by 130
	Show          quantity.Show // inches and feet give an axis in feet, all else one in metres
	Title         string        // over the chart; none if empty
	Selected      int           // the wiring of the front to point out, from 1; 0 for none
}

// nought is the imbalance below which two wirings count as equal in the
// search, so nothing below it can be told from none.
const nought = 1e-9

// mark is one wiring on the chart.
type mark struct {
	number    int // of the front, from 1
	id, name  string
	copper    float64 // in the unit of the axis
	imbalance float64 // in percent; exactly 0 below nought
}

// front is a chart in the making.
type front struct {
	labeller
	opt    Options
	unit   string
	per    float64 // units in a metre
	marks  []mark  // of the front, by copper
	books  []mark
	own    *mark
	absent []string // what is not drawn and why
	plot   sheet.Box
	x, y   axis
}

// Front draws copper against imbalance: the front of a search as a staircase
// with a numbered ring for each wiring worth building, textbook arrangements
// as crosses and the job's own wiring as a filled square. Marks far outside
// the range of the front stand at the border with an arrow and their numbers.
// Imbalances that span more than most of a decade get a logarithmic axis, on
// which exact zeros lie on a line of their own below a break. Each mark is an
// item: front-1 and so on, textbook-1 and so on, own.
//
// It fails where there is no wiring with an imbalance to draw, or where the
// sheet is too small (80 by 70 mm).
func Front(w *report.Wirings, opt Options) (*sheet.Sheet, error) {
	if opt.Width == 0 {
		opt.Width = 165
	}
	if opt.Height == 0 {
		opt.Height = 130
	}
	if !(opt.Width >= 80) || !(opt.Height >= 70) || math.IsInf(opt.Width+opt.Height, 0) {
		return nil, fmt.Errorf("a chart of %g by %g mm has no room for its axes; give at least 80 by 70 mm", opt.Width, opt.Height)
	}
	f := front{opt: opt, unit: "m", per: 1}
	if opt.Show.Length == "in" || opt.Show.Length == "ft" {
		f.unit, f.per = "ft", 1/0.3048 // exact: NIST SP 811, 2008, B.8 (from memory)
	}
	if err := f.read(w); err != nil {
		return nil, err
	}
	f.s = &sheet.Sheet{Width: opt.Width, Height: opt.Height, Title: "Copper against imbalance", Description: f.describe()}
	if t := sheet.Clean(opt.Title); t != "" {
		f.s.Title = t
	}
	f.layout()
	f.grid()
	f.stairs()
	f.rings()
	f.textbook()
	f.yours()
	f.place()
	return f.s, nil
}

// read takes the wirings that can be drawn.
func (f *front) read(w *report.Wirings) error {
	if w == nil || len(w.Front) == 0 {
		return errors.New("there is no wiring on the front to draw; search first, or loosen the limits of the question")
	}
	for i := range w.Front {
		if m, ok := f.mark(&w.Front[i]); ok {
			m.number, m.id = i+1, fmt.Sprintf("front-%d", i+1)
			m.name = fmt.Sprintf("wiring %d of %d, %s", i+1, len(w.Front), f.numbers(m))
			f.marks = append(f.marks, m)
		}
	}
	if len(f.marks) == 0 {
		return errors.New("the imbalance of these wirings is no number, as no group carries current; ask for a case that draws or charges")
	}
	slices.SortStableFunc(f.marks, func(a, b mark) int {
		switch {
		case a.copper < b.copper:
			return -1
		case a.copper > b.copper:
			return 1
		}
		return 0
	})
	for i := range w.Textbook {
		t := &w.Textbook[i]
		m, ok := f.mark(t)
		name := sheet.Clean(t.Name)
		if t.Missing || !ok {
			f.absent = append(f.absent, absent(name, sheet.Clean(t.Note)))
			continue
		}
		m.id, m.name = fmt.Sprintf("textbook-%d", i+1), name
		f.books = append(f.books, m)
	}
	if w.Own != nil {
		if m, ok := f.mark(w.Own); ok {
			m.id, m.name = "own", "yours"
			f.own = &m
		}
	} else if note := sheet.Clean(w.OwnNote); note != "" {
		f.absent = append(f.absent, absent("yours", note))
	}
	return nil
}

func absent(name, why string) string {
	if why == "" {
		return name + ": not drawn"
	}
	return name + ": " + why
}

// mark reads one wiring; ok is false where it has no place on the chart.
func (f *front) mark(w *report.Wiring) (m mark, ok bool) {
	m = mark{copper: w.Copper * f.per, imbalance: 100 * w.Imbalance}
	if math.IsNaN(m.copper+m.imbalance) || math.IsInf(m.copper+m.imbalance, 0) {
		return m, false
	}
	if w.Imbalance < nought {
		m.imbalance = 0
	}
	return m, true
}

// numbers gives a wiring's two numbers as words.
func (f *front) numbers(m mark) string {
	return f.length(m) + ", " + sheet.Over(m.imbalance/100)
}

func (f *front) length(m mark) string {
	if f.unit == "ft" {
		return sheet.Decimal(m.copper, 1) + " ft"
	}
	return sheet.Decimal(m.copper, 2) + " m"
}

func (f *front) describe() string {
	first, last := f.marks[0], f.marks[len(f.marks)-1]
	text := fmt.Sprintf("%d wirings worth building, from %s to %s", len(f.marks), f.numbers(first), f.numbers(last))
	if f.own != nil {
		text += "; yours " + f.numbers(*f.own)
	}
	return text + "."
}

// layout parts the sheet and sets up the axes.
func (f *front) layout() {
	const left, right, top, bottom = 22, 6, 6, 15.5
	f.plot = sheet.Box{X0: left, Y0: top, X1: f.s.Width - right, Y1: f.s.Height - bottom}
	words := sheet.Item{Layer: sheet.Words}
	if f.opt.Title != "" {
		for i, l := range sheet.Wrap(sheet.Bold, sheet.Large, f.s.Width-2*right, sheet.Clean(f.opt.Title)) {
			if i == 2 {
				break
			}
			f.plot.Y0 += sheet.Large * 1.35
			words.Text(sheet.Text{At: sheet.Point{X: right, Y: f.plot.Y0 - 2.2}, S: l, Size: sheet.Large, Font: sheet.Bold, Role: sheet.Ink})
		}
		f.plot.Y0 += 1.5
	}
	f.plot.Y1 -= f.notes(&words, right, f.s.Height-bottom+12.5)
	f.s.Add(words)
	f.x = axis{from: f.plot.X0, to: f.plot.X1}
	f.y = axis{from: f.plot.Y1, to: f.plot.Y0}
	f.rangeX()
	f.rangeY()
	f.board, f.widest = sheet.NewBoard(f.plot.Grown(-0.4)), f.plot.Width()-4
}

// notes sets the key and what is not drawn under the chart and gives the
// height they take beyond a single line.
func (f *front) notes(words *sheet.Item, left, base float64) float64 {
	const leading, most = 1.35 * sheet.Fine, 4
	width := f.s.Width - 2*left
	var lines []string
	for _, a := range f.absent {
		lines = append(lines, sheet.Wrap(sheet.Regular, sheet.Fine, width, "not drawn, "+a)...)
	}
	if len(lines) > most {
		lines = append(lines[:most-1], fmt.Sprintf("and %d more lines on what is not drawn", len(lines)-most+1))
	}
	taken := leading * float64(len(lines))
	if lines != nil {
		taken += 0.9 // the key stands a little apart
	}
	f.key(sheet.Point{X: left, Y: base - taken})
	for i, l := range lines {
		at := sheet.Point{X: left, Y: base - float64(leading*float64(len(lines)-1-i))}
		words.Text(sheet.Text{At: at, S: sheet.Fit(sheet.Regular, sheet.Fine, width, l), Size: sheet.Fine, Role: sheet.Grey})
	}
	return taken
}

// rangeX takes in the front, and of the others those not far outside it.
func (f *front) rangeX() {
	const reach = 0.6 // of the front's span, for others to widen the axis
	lo, hi := spread(f.values(func(m mark) float64 { return m.copper }))
	span := max(hi-lo, 0.1*hi, 0.1)
	from, to := lo, hi
	for _, m := range f.others() {
		if m.copper >= from-float64(reach*span) && m.copper <= to+float64(reach*span) {
			lo, hi = min(lo, m.copper), max(hi, m.copper)
		}
	}
	if short := span - (hi - lo); short > 0 {
		lo, hi = lo-short/2, hi+short/2
	}
	pad := 0.07 * (hi - lo)
	f.x.lo, f.x.hi = max(0, lo-pad), hi+pad
	f.x.ticks = linearTicks(f.x.lo, f.x.hi, int(max(3, f.plot.Width()/16)), "")
}

// rangeY does the same for imbalance, and picks the kind of axis.
func (f *front) rangeY() {
	const decade = 8 // largest over least, from which the axis is logarithmic
	values := f.values(func(m mark) float64 { return m.imbalance })
	zero := slices.Min(values) == 0
	values = slices.DeleteFunc(values, func(v float64) bool { return v == 0 })
	if len(values) == 0 {
		values = []float64{1}
	}
	lo, hi := spread(values)
	top := hi
	for _, m := range f.others() {
		if m.imbalance <= 30*top {
			hi = max(hi, m.imbalance)
			if m.imbalance > lo/30 {
				lo = min(lo, m.imbalance)
			}
		}
	}
	f.y.log = hi > decade*lo
	if !f.y.log {
		f.y.lo, f.y.hi = 0, 1.12*hi
		f.y.ticks = linearTicks(0, f.y.hi, int(max(3, f.plot.Height()/14)), " %")
		return
	}
	f.y.lo, f.y.hi = lo/1.5, hi*1.5
	for _, m := range f.others() {
		zero = zero || m.imbalance == 0
	}
	f.y.hasZero, f.y.zero = zero, f.plot.Y1
	if zero {
		f.y.zero = f.plot.Y1 - 4
		f.y.from = f.plot.Y1 - 11
	}
	f.y.ticks = logTicks(f.y.lo, f.y.hi, int(max(3, f.plot.Height()/9)), " %")
}

func (f *front) values(of func(mark) float64) []float64 {
	list := make([]float64, len(f.marks))
	for i, m := range f.marks {
		list[i] = of(m)
	}
	return list
}

// others lists the marks that are not of the front.
func (f *front) others() []mark {
	if f.own != nil {
		return append(slices.Clone(f.books), *f.own)
	}
	return f.books
}
