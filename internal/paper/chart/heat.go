package chart

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// HeatOptions say how a drawing of the warmth is made.
type HeatOptions struct {
	Width, Height float64 // mm; 0: the usual
	Small         bool    // for a phone: one under the other, larger letters
	Show          quantity.Show
	Frame         *sheet.TitleBlock
}

// heatChart is the drawing in the making.
type heatChart struct {
	page
	h    *report.Heat
	opt  HeatOptions
	per  float64
	off  float64
	unit string
}

// Heat draws the cold and the hot week and the year by hour and day.
func Heat(h *report.Heat, opt HeatOptions) *sheet.Sheet {
	c := &heatChart{page: newPage(opt.Width, opt.Height, 190, opt.Small, opt.Frame), h: h, opt: opt}
	scale := panel{kind: panelKind{id: "temperature"}, per: 1}
	scale.inUnit(&runChart{opt: RunOptions{Show: opt.Show}})
	c.per, c.off, c.unit = scale.per, scale.off, scale.unit
	c.s.Title, c.s.Description = "Warmth", "cold week, hot week and year by the hour"
	if h.Missing != "" || h.Cold == nil {
		c.nothing(h.Missing)
		return c.s
	}
	c.heading("Cold week, hot week"+c.yearTitle(), "cores of the batteries; grey bands: hours in which charge has to wait; the strip at the foot of a week: heater on")
	c.draw()
	return c.s
}

func (c *heatChart) yearTitle() string {
	if c.h.Year == nil {
		return ""
	}
	return ", and the year"
}

// Heights of the pieces where the sheet's height is free, mm.
const (
	heatWeekHigh = 74.0
	heatYearHigh = 52.0
	heatGap      = 7.0
	heatRight    = 24.0 // for the names of lines
)

func (c *heatChart) draw() {
	weeks := []*report.HeatWeek{c.h.Cold, c.h.Hot}
	beside := !c.small && c.room.Width() > 170
	weekHigh, yearHigh := heatWeekHigh, heatYearHigh
	if c.h.Year == nil {
		yearHigh = 0
	}
	if !c.free {
		left := c.room.Y1 - c.room.Y0 - c.feet(nil, nil) - 2*heatGap
		yearHigh = math.Min(yearHigh, 0.42*left)
		weekHigh = left - yearHigh
		if !beside {
			weekHigh = (left - yearHigh - heatGap) / 2
		}
	}
	y := c.room.Y0 + 2
	width := c.room.Width()
	if beside {
		width = (width - heatGap) / 2
	}
	for n, w := range weeks {
		box := sheet.Box{X0: c.room.X0, Y0: y, X1: c.room.X0 + width, Y1: y + weekHigh}
		if beside && n == 1 {
			box.X0, box.X1 = box.X0+width+heatGap, box.X1+width+heatGap
		}
		c.week(w, box)
		if !beside || n == 1 {
			y += weekHigh + heatGap
		}
	}
	if yearHigh > 0 {
		c.year(sheet.Box{X0: c.room.X0, Y0: y, X1: c.room.X1, Y1: y + yearHigh})
		y += yearHigh + heatGap
	}
	c.close(y-heatGap, nil, nil)
}

func (c *heatChart) shown(kelvin float64) float64 { return float64(kelvin*c.per) + c.off }

// span is the range of a week's temperatures, in the unit shown.
func (c *heatChart) span(w *report.HeatWeek) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	take := func(v []float64) {
		for _, x := range v {
			lo, hi = math.Min(lo, c.shown(x)), math.Max(hi, c.shown(x))
		}
	}
	take(w.Outside)
	for _, list := range [][]report.NamedSeries{w.Air, w.Cores} {
		for _, s := range list {
			take(s.Values)
		}
	}
	if limit := c.limit(w); !math.IsNaN(limit) {
		lo, hi = math.Min(lo, c.shown(limit)), math.Max(hi, c.shown(limit))
	}
	pad := 0.06 * math.Max(2, hi-lo)
	return lo - pad, hi + pad
}

// limit is the batteries' limit that a week is held against, K; NaN none.
func (c *heatChart) limit(w *report.HeatWeek) float64 {
	v := math.NaN()
	for _, b := range c.h.Batteries {
		switch {
		case w.Name == "cold" && !(v >= b.Limit):
			v = b.Limit
		case w.Name != "cold" && !(v <= b.Most):
			v = b.Most
		}
	}
	return v
}

// week draws one week into a box.
func (c *heatChart) week(w *report.HeatWeek, box sheet.Box) {
	size := c.text.body
	words := sheet.Item{Layer: sheet.Words}
	title := map[string]string{"cold": "cold week", "hot": "hot week"}[w.Name]
	words.Text(sheet.Text{At: sheet.Point{X: box.X0, Y: box.Y0 + size}, S: title + ", " + c.unit, Size: c.text.large, Font: sheet.Bold, Role: sheet.Ink})
	plot := sheet.Box{X0: box.X0 + ems(4, size), Y0: box.Y0 + ems(2.2, size), X1: box.X1 - heatRight, Y1: box.Y1 - ems(2.6, size)}
	lo, hi := c.span(w)
	x := axis{lo: 0, hi: float64(len(w.Outside)), from: plot.X0, to: plot.X1}
	y := axis{lo: lo, hi: hi, from: plot.Y1, to: plot.Y0}
	grid := sheet.Item{Layer: sheet.Walls}
	c.bands(w, plot, &x)
	for _, t := range linearTicks(lo, hi, 6, "") {
		level(&grid, &words, plot, y.at(t.at), t.label, size)
	}
	for d := 0; d <= len(w.Outside)/24; d++ {
		label := fmt.Sprintf("day %d", d+1)
		at := x.at(float64(24 * d))
		upright(&grid, nil, plot, at, "", size)
		if d < len(w.Outside)/24 && (!c.small || d%2 == 0) {
			words.Text(sheet.Text{At: sheet.Point{X: (at + x.at(float64(24*d+24))) / 2, Y: plot.Y1 + ems(1.3, size)}, S: label, Size: c.text.fine, Role: sheet.Grey, Anchor: sheet.Middle})
		}
	}
	if limit := c.limit(w); !math.IsNaN(limit) {
		at := y.at(c.shown(limit))
		grid.Line(sheet.Line(sheet.Attention, sheet.W035).Dashed(2, 1.2), sheet.Point{X: plot.X0, Y: at}, sheet.Point{X: plot.X1, Y: at})
	}
	c.s.Add(grid, words)
	c.heaters(w, plot, &x)
	c.lines(w, plot, &x, &y)
}

// bands shades the hours in which charge has to wait.
func (c *heatChart) bands(w *report.HeatWeek, plot sheet.Box, x *axis) {
	it := sheet.Item{Layer: sheet.Ground, Name: "hours in which charge has to wait"}
	for _, r := range runs(w.Blocked) {
		it.Marks = append(it.Marks, sheet.Rect(sheet.Filled(sheet.Faint), sheet.Box{X0: x.at(float64(r[0])), Y0: plot.Y0, X1: x.at(float64(r[1])), Y1: plot.Y1}))
	}
	if it.Marks != nil {
		c.s.Add(it)
	}
}

// runs gives the stretches of true, from and behind.
func runs(list []bool) [][2]int {
	var all [][2]int
	for i := 0; i < len(list); i++ {
		if !list[i] {
			continue
		}
		from := i
		for i < len(list) && list[i] {
			i++
		}
		all = append(all, [2]int{from, i})
	}
	return all
}

// heaters draws the strip at the foot of a week: how much of each hour the
// heaters were on, by their watts together.
func (c *heatChart) heaters(w *report.HeatWeek, plot sheet.Box, x *axis) {
	const high = 4.0
	most := 0.0
	sum := make([]float64, len(w.Outside))
	for _, s := range w.Heaters {
		for n, v := range s.Values {
			sum[n] += v
			most = math.Max(most, sum[n])
		}
	}
	if most == 0 {
		return
	}
	it := sheet.Item{Layer: sheet.Cases, Name: "heater on"}
	for n := 0; n < len(sum); {
		v, from := math.Round(20*sum[n]/most), n
		for n < len(sum) && math.Round(20*sum[n]/most) == v {
			n++
		}
		if v > 0 {
			it.Rect(sheet.Filled(sheet.Attention), sheet.Box{X0: x.at(float64(from)), Y0: plot.Y1 - float64(high*v/20), X1: x.at(float64(n)), Y1: plot.Y1})
		}
	}
	c.s.Add(it)
}

// heatLine is a line of a week with its name at its end.
type heatLine struct {
	id, label string
	values    []float64
	style     sheet.Style
	loud      bool
}

// lines draws outside, air and batteries; each is named at its end, of many
// batteries only the extreme one.
func (c *heatChart) lines(w *report.HeatWeek, plot sheet.Box, x, y *axis) {
	all := []heatLine{{"outside", "outside", w.Outside, sheet.Line(sheet.Grey, sheet.W025), true}}
	for _, s := range w.Air {
		label := "air"
		if len(w.Air) > 1 {
			label = "air " + s.ID
		}
		all = append(all, heatLine{"air-" + s.ID, label, s.Values, sheet.Line(sheet.Grey, sheet.W035).Dashed(1.5, 1), true})
	}
	extreme := c.extreme(w)
	for _, s := range w.Cores {
		one := heatLine{s.ID, s.ID, s.Values, sheet.Line(sheet.Ink, sheet.W025), len(w.Cores) <= 4}
		if s.ID == extreme {
			one.style, one.loud = sheet.Line(sheet.Ink, sheet.W070), true
		}
		all = append(all, one)
	}
	if limit := c.limit(w); !math.IsNaN(limit) {
		label := "no charge below"
		if w.Name != "cold" {
			label = "no charge above"
		}
		if c.small {
			label = "limit"
		}
		all = append(all, heatLine{label: label, values: []float64{limit}, style: sheet.Line(sheet.Attention, sheet.W035), loud: true})
	}
	words := sheet.Item{Layer: sheet.Words}
	var want, size []float64
	var loud []heatLine
	for _, n := range all {
		if n.loud {
			loud = append(loud, n)
		}
		if n.id == "" {
			continue // the limit is drawn with the grid
		}
		it := sheet.Item{ID: n.id, Name: n.label, Layer: sheet.Conductors}
		var points []sheet.Point
		for h, v := range n.values {
			points = append(points, sheet.Point{X: x.at(float64(h + 1)), Y: y.at(c.shown(v))})
		}
		it.Polyline(n.style, straighten(points, 0.03)...)
		c.s.Add(it)
	}
	sortBy(loud, func(n heatLine) float64 { return y.at(c.shown(n.values[len(n.values)-1])) })
	for _, n := range loud {
		want = append(want, y.at(c.shown(n.values[len(n.values)-1])))
		size = append(size, ems(1.15, c.text.body))
	}
	for i, at := range apart(want, size, plot.Y0, plot.Y1) {
		words.Text(sheet.Text{At: sheet.Point{X: plot.X1 + 1, Y: at + drop(c.text.body)}, S: sheet.Fit(sheet.Regular, c.text.body, heatRight-1, loud[i].label), Size: c.text.body, Role: loud[i].style.Stroke})
	}
	c.s.Add(words)
}

func sortBy(list []heatLine, key func(heatLine) float64) {
	for i := 1; i < len(list); i++ {
		for k := i; k > 0 && key(list[k]) < key(list[k-1]); k-- {
			list[k], list[k-1] = list[k-1], list[k]
		}
	}
}

// extreme is the battery that a week is about: the coldest or the hottest.
func (c *heatChart) extreme(w *report.HeatWeek) string {
	best, id := math.Inf(1), ""
	for _, b := range c.h.Batteries {
		v := b.Coldest
		if w.Name != "cold" {
			v = -b.Hottest
		}
		if v < best-1e-9 {
			best, id = v, b.ID
		}
	}
	return id
}

// nearLimit is how far over the limit an hour is shaded pale, K.
const nearLimit = 5.0

// mapTitle says what the map of the year shows.
func (c *heatChart) mapTitle() string {
	if math.IsNaN(c.limit(c.h.Cold)) {
		return "the year: no limit for charge in the cold is known"
	}
	if c.small {
		return "strong: charge waits; pale: 5 K from it"
	}
	return "the year by hour and day; strong: charge has to wait; pale: a battery within 5 K of its limit"
}

// shade fills the hours of the year of which something holds, days of one hour
// together.
func (c *heatChart) shade(role sheet.Role, name string, x, y *axis, is func(at int) bool) {
	const lap = 0.03 // mm over the next row, so that no light shines between
	it := sheet.Item{Layer: sheet.Ground, Name: name}
	for hour := range 24 {
		day := make([]bool, 365)
		for d := range day {
			day[d] = is(24*d + hour)
		}
		for _, r := range runs(day) {
			it.Rect(sheet.Filled(role), sheet.Box{X0: x.at(float64(r[0])), Y0: y.at(float64(hour)), X1: x.at(float64(r[1])), Y1: y.at(float64(hour+1)) + lap})
		}
	}
	c.s.Add(it)
}

// year draws the year: days across, hours down, shaded where charge has to wait.
func (c *heatChart) year(box sheet.Box) {
	size := c.text.body
	words, grid := sheet.Item{Layer: sheet.Words}, sheet.Item{Layer: sheet.Walls}
	words.Text(sheet.Text{At: sheet.Point{X: box.X0, Y: box.Y0 + size}, S: sheet.Fit(sheet.Bold, c.text.large, box.Width(), c.mapTitle()), Size: c.text.large, Font: sheet.Bold, Role: sheet.Ink})
	plot := sheet.Box{X0: box.X0 + ems(4, size), Y0: box.Y0 + ems(2.2, size), X1: box.X1 - 2, Y1: box.Y1 - ems(2.6, size)}
	x := axis{lo: 0, hi: 365, from: plot.X0, to: plot.X1}
	y := axis{lo: 0, hi: 24, from: plot.Y0, to: plot.Y1}
	limit := c.limit(c.h.Cold)
	c.shade(sheet.Faint, "hours in which a battery is within five kelvin of its limit", &x, &y, func(at int) bool { return c.h.Year.Coldest[at] < limit+nearLimit })
	c.shade(sheet.Grey, "hours in which charge has to wait", &x, &y, func(at int) bool { return c.h.Year.Blocked[at] })
	for _, hour := range []int{0, 6, 12, 18, 24} {
		level(&grid, &words, plot, y.at(float64(hour)), fmt.Sprintf("%d:00", hour), c.text.fine)
	}
	at := 0
	for m, n := range [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31} {
		upright(&grid, nil, plot, x.at(float64(at)), "", size)
		label := [12]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}[m]
		if c.small {
			label = label[:1]
		}
		words.Text(sheet.Text{At: sheet.Point{X: x.at(float64(at) + float64(n)/2), Y: plot.Y1 + ems(1.3, size)}, S: label, Size: c.text.fine, Role: sheet.Grey, Anchor: sheet.Middle})
		at += n
	}
	grid.Rect(sheet.Line(sheet.Ink, sheet.W025), plot)
	c.s.Add(grid, words)
}
