package chart

import (
	"strconv"

	"bankwright/internal/paper/sheet"
)

// label is a text that is to find a place beside its mark.
type label struct {
	item   int // index in the sheet's items, to which the text belongs
	text   sheet.Text
	leader bool
	choice sheet.Label
}

// labeller puts marks on a sheet and finds places for their labels.
type labeller struct {
	s      *sheet.Sheet
	board  *sheet.Board
	widest float64 // of a label, mm
	labels []label
}

// radii and half sizes of the marks, mm.
const (
	ringRadius  = 1.25
	outerRadius = 2.3
	crossReach  = float64(1.4)
	squareReach = float64(1.4)
	arrowReach  = 2
)

// key says what the marks are.
func (f *front) key(at sheet.Point) {
	it := sheet.Item{Layer: sheet.Words}
	entry := func(draw func(sheet.Point), words string) {
		draw(sheet.Point{X: at.X + crossReach, Y: at.Y - 0.36*sheet.Fine})
		it.Text(sheet.Text{At: at.Plus(sheet.Point{X: 4.2}), S: words, Size: sheet.Fine, Role: sheet.Grey})
		at.X += 9 + sheet.TextWidth(sheet.Regular, sheet.Fine, words)
	}
	entry(func(p sheet.Point) { it.Circle(ringStyle, p, ringRadius) }, "worth building")
	if len(f.books) > 0 {
		entry(func(p sheet.Point) { cross(&it, p) }, "textbook")
	}
	if f.own != nil {
		entry(func(p sheet.Point) { square(&it, p) }, "yours")
	}
	f.s.Add(it)
}

var (
	ringStyle  = sheet.Line(sheet.Ink, sheet.W035).On(sheet.Paper)
	crossStyle = sheet.Line(sheet.Grey, sheet.W035)
)

func cross(it *sheet.Item, at sheet.Point) {
	const r = crossReach
	it.Line(crossStyle, at.Plus(sheet.Point{X: -r, Y: -r}), at.Plus(sheet.Point{X: r, Y: r}))
	it.Line(crossStyle, at.Plus(sheet.Point{X: -r, Y: r}), at.Plus(sheet.Point{X: r, Y: -r}))
}

func square(it *sheet.Item, at sheet.Point) {
	it.Rect(sheet.Filled(sheet.Ink), sheet.Around(at, 2*squareReach, 2*squareReach))
}

// grid draws the axes, their ticks and words.
func (f *front) grid() {
	lines, words := sheet.Item{Layer: sheet.Walls}, sheet.Item{Layer: sheet.Words}
	p := f.plot
	small := sheet.Text{Size: sheet.Body, Role: sheet.Ink}
	for _, t := range f.x.ticks {
		upright(&lines, &words, p, f.x.at(t.at), t.label, sheet.Body)
	}
	for _, t := range f.y.ticks {
		level(&lines, &words, p, f.y.at(t.at), t.label, sheet.Body)
	}
	if f.y.hasZero {
		level(&lines, &words, p, f.y.zero, "0 %", sheet.Body)
	}
	f.border(&lines)
	small.At, small.S, small.Anchor = sheet.Point{X: (p.X0 + p.X1) / 2, Y: p.Y1 + 8.3}, "cable, both rails, "+f.unit, sheet.Middle
	words.Text(small)
	small.At, small.S, small.Turned = sheet.Point{X: 5.5, Y: (p.Y0 + p.Y1) / 2}, "worst battery above the mean", true
	words.Text(small)
	f.s.Add(lines, words)
}

// border draws the frame of the plot, broken by two strokes on either side
// where the axis jumps to nil.
func (f *front) border(it *sheet.Item) {
	p, ink := f.plot, sheet.Line(sheet.Ink, sheet.W035)
	if !f.y.hasZero {
		it.Rect(ink, p)
		return
	}
	const slant, gap = 1.3, 0.7
	mid := (f.y.from + f.y.zero) / 2
	it.Polyline(ink, sheet.Point{X: p.X0, Y: mid - gap}, sheet.Point{X: p.X0, Y: p.Y0}, sheet.Point{X: p.X1, Y: p.Y0}, sheet.Point{X: p.X1, Y: mid - gap})
	it.Polyline(ink, sheet.Point{X: p.X0, Y: mid + gap}, sheet.Point{X: p.X0, Y: p.Y1}, sheet.Point{X: p.X1, Y: p.Y1}, sheet.Point{X: p.X1, Y: mid + gap})
	for _, x := range []float64{p.X0, p.X1} {
		for _, y := range []float64{mid - gap, mid + gap} {
			it.Line(ink, sheet.Point{X: x - slant, Y: y + slant/2}, sheet.Point{X: x + slant, Y: y - slant/2})
		}
	}
}

// point gives a mark's place, kept within the plot; off tells by how much it
// lies outside.
func (f *front) point(m mark) (at, off sheet.Point) {
	const inset = 2.2
	want := sheet.Point{X: f.x.at(m.copper), Y: f.y.at(m.imbalance)}
	at = f.plot.Nearest(want)
	off = want.Minus(at)
	if off != (sheet.Point{}) {
		at = f.plot.Grown(-inset).Nearest(want)
	}
	return at, off
}

// stairs draws the front: no wiring of the question lies below and left of it.
func (f *front) stairs() {
	it := sheet.Item{Layer: sheet.Conductors}
	var points []sheet.Point
	for i, m := range f.marks {
		at, _ := f.point(m)
		if i > 0 {
			points = append(points, sheet.Point{X: at.X, Y: points[len(points)-1].Y})
		}
		points = append(points, at)
	}
	points = append(points, sheet.Point{X: f.plot.X1, Y: points[len(points)-1].Y})
	it.Polyline(sheet.Line(sheet.Ink, sheet.W035), points...)
	f.board.Stroke(sheet.W035, 3, points...)
	f.s.Add(it)
}

func (f *front) rings() {
	for _, m := range f.marks {
		at, _ := f.point(m)
		it := sheet.Item{ID: m.id, Name: m.name, Layer: sheet.Posts}
		reach, text := ringRadius, sheet.Text{S: strconv.Itoa(m.number), Size: sheet.Fine, Role: sheet.Grey}
		if m.number == f.opt.Selected {
			it.Name = "selected, " + m.name
			it.Circle(sheet.Line(sheet.Ink, sheet.W050).On(sheet.Paper), at, outerRadius)
			reach = outerRadius
			text = sheet.Text{S: "selected " + text.S + ": " + f.numbers(m), Size: sheet.Body, Font: sheet.Bold, Role: sheet.Ink}
		}
		it.Circle(ringStyle, at, ringRadius)
		f.attach(it, at, reach, text, m.number == f.opt.Selected)
	}
}

func (f *front) textbook() {
	for _, m := range f.books {
		at, off := f.point(m)
		it := sheet.Item{ID: m.id, Name: m.name + ", " + f.numbers(m), Layer: sheet.Posts}
		reach := crossReach
		if off == (sheet.Point{}) {
			cross(&it, at)
		} else {
			arrow(&it, crossStyle, at, off)
			reach = arrowReach
		}
		f.attach(it, at, reach, sheet.Text{S: f.outside(m, m.name, off), Size: sheet.Body, Role: sheet.Grey}, true)
	}
}

func (f *front) yours() {
	if f.own == nil {
		return
	}
	m := *f.own
	at, off := f.point(m)
	it := sheet.Item{ID: m.id, Name: "yours, " + f.numbers(m), Layer: sheet.Posts}
	reach := squareReach
	if off == (sheet.Point{}) {
		square(&it, at)
	} else {
		arrow(&it, sheet.Line(sheet.Ink, sheet.W050), at, off)
		reach = arrowReach
	}
	f.attach(it, at, reach, sheet.Text{S: f.outside(m, m.name, off), Size: sheet.Body, Role: sheet.Ink}, true)
}

// outside adds to the name of a mark that lies off the chart the numbers it
// has there.
func (f *front) outside(m mark, name string, off sheet.Point) string {
	switch {
	case off.X != 0 && off.Y != 0:
		return name + ", " + f.numbers(m)
	case off.X != 0:
		return name + ", " + f.length(m)
	case off.Y != 0:
		return name + ", " + sheet.Over(m.imbalance/100)
	}
	return name
}

// arrow points from the border of the plot to where the mark would lie.
func arrow(it *sheet.Item, style sheet.Style, at, off sheet.Point) {
	u := off.Unit()
	if off.X != 0 && off.Y == 0 || off.X == 0 {
		u = sheet.Point{X: sign(off.X), Y: sign(off.Y)}
	}
	tip, tail := at.Plus(u.Times(1.7)), at.Minus(u.Times(1.9))
	it.Line(style, tail, tip)
	back, side := tip.Minus(u.Times(1.5)), u.Left().Times(1)
	it.Polyline(style, back.Plus(side), tip, back.Minus(side))
}

func sign(v float64) float64 {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}

// attach puts the mark on the sheet and has its label placed later.
func (f *labeller) attach(it sheet.Item, at sheet.Point, reach float64, text sheet.Text, leader bool) {
	f.s.Add(it)
	f.board.Block(sheet.Around(at, 2*reach, 2*reach), it.ID)
	far := reach + 2.3
	if leader {
		far = reach + 45
	}
	text.S = sheet.Fit(text.Font, text.Size, f.widest, text.S)
	w, h := sheet.TextBox(text.Font, text.Size, 1, text.S)
	f.labels = append(f.labels, label{
		item: len(f.s.Items) - 1, text: text, leader: leader,
		choice: sheet.Label{Owner: it.ID, Choices: sheet.Beside(at, w, h, reach+0.3, reach+0.8, far)},
	})
}

// place sets the labels: the selected first, then names, then the numbers of
// the rings. A number that has no room beside its ring is left out; the ring's
// name still says it.
func (f *labeller) place() {
	order := make([]int, 0, len(f.labels))
	for pass := range 3 {
		for i, l := range f.labels {
			rank := 2
			if l.text.Font == sheet.Bold {
				rank = 0
			} else if l.leader {
				rank = 1
			}
			if rank == pass {
				order = append(order, i)
			}
		}
	}
	choices := make([]sheet.Label, len(order))
	for k, i := range order {
		choices[k] = f.labels[i].choice
	}
	for k, c := range f.board.Settle(choices) {
		if c < 0 {
			continue
		}
		l := f.labels[order[k]]
		taken := choices[k].Choices[c]
		it := sheet.Item{ID: f.s.Items[l.item].ID, Layer: sheet.Words}
		if l.leader && len(taken.Leader) == 2 {
			it.Line(sheet.Line(sheet.Grey, sheet.W013), taken.Leader[0], taken.Leader[1])
		}
		l.text.At = sheet.Point{X: taken.Box.X0, Y: taken.Box.Y0 + sheet.Ascent*l.text.Size}
		it.Text(l.text)
		f.s.Add(it)
	}
}
