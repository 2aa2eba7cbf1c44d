package chart

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// MountOptions say how the holding down of a bank is drawn.
type MountOptions struct {
	// Width is that of the sheet in mm; nil is 165, 297 with a frame, or that of
	// a phone of 360 pixels for a small sheet. The height is what it needs.
	Width float64
	Title string // over the drawing; none if empty
	Small bool   // for a phone: larger text
	Frame *sheet.TitleBlock
}

// mountChart is a drawing of the holding down in the making.
type mountChart struct {
	page
	labeller
	m     *report.Mount
	bank  *bank.Bank
	world bank.Box // all that is drawn, m
	scale float64  // mm of paper for a metre
	plan  sheet.Box
	front sheet.Box
}

// Mount draws how a bank is held down: from above and from the front, to one
// scale, with what the rule asks in each direction as an arrow, every hold-down
// in its place, and under it each hold-down's parts with the part of their
// strength that is used as a bar. Items have the IDs of batteries and hold-downs.
//
// A mounting in which nothing can be looked at gives a sheet that says so.
func Mount(m *report.Mount, b *bank.Bank, opt MountOptions) *sheet.Sheet {
	c := &mountChart{page: newPage(opt.Width, 0, 165, opt.Small, opt.Frame), m: m, bank: b}
	c.labeller.s, c.page.free = c.page.s, true
	s := c.page.s
	s.Title, s.Description = "Holding down", c.describe()
	if opt.Title != "" || opt.Frame != nil {
		c.heading(opt.Title, c.asks())
	}
	if !c.extent() {
		c.nothing("Nothing to draw: no battery with mass, size and place is held.")
		return s
	}
	c.layout()
	c.view(c.plan, c.seenFromAbove, "from above")
	c.view(c.front, c.seenFromFront, "from the front")
	c.place()
	wide := []part{c.rows(c.room.Width()), c.lines(c.text.fine, c.room.Width(), 6, sheet.Grey, c.notes()...)}
	c.close(max(c.plan.Y1, c.front.Y1)+c.pad(), wide, nil)
	return s
}

// asks says what the rule asks.
func (c *mountChart) asks() string {
	r := &c.m.Rule
	words := fmt.Sprintf("%s: against the %s", sheet.Clean(r.Title), r.Basis)
	if r.Factor != 1 {
		words += fmt.Sprintf(" over %g", r.Factor)
	}
	if r.Assumed {
		words += "; the rule is assumed"
	}
	return words
}

func (c *mountChart) describe() string {
	words := c.asks() + "."
	for i := range c.m.Groups {
		g := &c.m.Groups[i]
		words += fmt.Sprintf(" Block %s of %s.", g.Name(), quantity.Format(quantity.Mass(g.Mass), 3))
		if p := g.Weakest(); p != nil {
			words += fmt.Sprintf(" Weakest: %s, %s, margin %.2f.", p.Name(), p.Direction, p.Margin)
		}
	}
	return words
}

// notes says what bounds what is drawn.
func (c *mountChart) notes() []string {
	var list []string
	if len(c.m.Loose) > 0 {
		list = append(list, "Held by nothing: "+report.NameList(c.m.Loose)+".")
	}
	if len(c.m.Unknown) > 0 {
		var ids []string
		for _, u := range c.m.Unknown {
			ids = append(ids, u.ID)
		}
		list = append(list, "Not looked at: "+strings.Join(ids, ", ")+".")
	}
	return append(list, "Drawn: grey band a bar or strap, heavy line a tray's lip, broken line a shelf, dot a rod or anchor, ring a bolt under the cases, square a bracket, diagonal cross a pin, cross in a circle a centre of mass; ×2.50 a margin.", "Bars: part of the strength that is asked; the stroke is all of it. A hatched frame: its strength is not known.")
}

// extent sets what is drawn: the batteries, and the places of the hold-downs.
func (c *mountChart) extent() bool {
	inf := math.Inf(1)
	c.world = bank.Box{Min: bank.Point{X: inf, Y: inf, Z: inf}, Max: bank.Point{X: -inf, Y: -inf, Z: -inf}}
	any := false
	grow := func(p bank.Point) {
		w := &c.world
		w.Min = bank.Point{X: min(w.Min.X, p.X), Y: min(w.Min.Y, p.Y), Z: min(w.Min.Z, p.Z)}
		w.Max = bank.Point{X: max(w.Max.X, p.X), Y: max(w.Max.Y, p.Y), Z: max(w.Max.Z, p.Z)}
	}
	for i := range c.bank.Batteries {
		if b := &c.bank.Batteries[i]; b.Placed {
			any = true
			grow(b.Body.Box().Min)
			grow(b.Body.Box().Max)
		}
	}
	if !any {
		return false
	}
	floor := c.world.Min.Z
	for _, h := range c.bank.Mounting.HoldDowns {
		for _, p := range h.At {
			grow(bank.Point{X: p.X, Y: p.Y, Z: max(p.Z, floor)})
		}
	}
	return true
}

// pad is the room round a view for its arrows.
func (c *mountChart) pad() float64 { return 6.2 * c.text.body }

// layout sets the scale and the places of both views: beside one another where
// there is room, else one under the other.
func (c *mountChart) layout() {
	const gap, bare = 4.0, 8.0 // mm; no arrows stand beside the front
	w := bank.Point{X: c.world.Max.X - c.world.Min.X, Y: c.world.Max.Y - c.world.Min.Y, Z: c.world.Max.Z - c.world.Min.Z}
	pad, room := c.pad(), c.room.Width()
	head := c.room.Y0 + ems(1.6, c.text.body)
	if !c.small {
		tallest := max(w.Y, w.Z)
		c.scale = min((room-2*pad-2*bare-gap)/(2*w.X), c.most()/tallest)
		left := c.room.X0 + max(0, (room-2*pad-2*bare-gap-float64(2*w.X*c.scale))/2) + pad
		top := head + pad
		c.plan = sheet.Box{X0: left, Y0: top, X1: left + float64(w.X*c.scale), Y1: top + float64(w.Y*c.scale)}
		left = c.plan.X1 + pad + gap + bare
		base := top + float64(tallest*c.scale)
		c.front = sheet.Box{X0: left, Y0: base - float64(w.Z*c.scale), X1: left + float64(w.X*c.scale), Y1: base}
	} else {
		c.scale = min((room-2*pad)/w.X, 1.4*c.most()/(w.Y+w.Z))
		left := c.room.X0 + (room-float64(w.X*c.scale))/2
		c.plan = sheet.Box{X0: left, Y0: head + pad, X1: left + float64(w.X*c.scale), Y1: head + pad + float64(w.Y*c.scale)}
		top := c.plan.Y1 + 2*pad + ems(1.6, c.text.body)
		c.front = sheet.Box{X0: left, Y0: top, X1: c.plan.X1, Y1: top + float64(w.Z*c.scale)}
	}
	c.board, c.widest = sheet.NewBoard(c.plan.Union(c.front).Grown(pad-1)), 40
}

// most is the greatest height of a view, mm.
func (c *mountChart) most() float64 {
	if c.frame != nil {
		return 62 // that a sheet of A4 holds the table too
	}
	return 80
}

// seenFromAbove and seenFromFront put a place on paper.
func (c *mountChart) seenFromAbove(p bank.Point) sheet.Point {
	return sheet.Point{X: c.plan.X0 + float64((p.X-c.world.Min.X)*c.scale), Y: c.plan.Y1 - float64((p.Y-c.world.Min.Y)*c.scale)}
}

func (c *mountChart) seenFromFront(p bank.Point) sheet.Point {
	return sheet.Point{X: c.front.X0 + float64((p.X-c.world.Min.X)*c.scale), Y: c.front.Y1 - float64((p.Z-c.world.Min.Z)*c.scale)}
}

// view draws one view with its arrows.
func (c *mountChart) view(box sheet.Box, at func(bank.Point) sheet.Point, name string) {
	above := name == "from above"
	it := sheet.Item{Layer: sheet.Words}
	left := box.X0 - c.pad()
	if !above {
		left = box.X0 - 6
	}
	it.Text(sheet.Text{At: sheet.Point{X: left, Y: box.Y0 - c.pad() + 0.2*c.text.body}, S: name, Size: c.text.body, Role: sheet.Grey})
	c.page.s.Add(it)
	if !above {
		floor := sheet.Item{Layer: sheet.Walls}
		floor.Line(sheet.Line(sheet.Ink, sheet.W035), sheet.Point{X: box.X0 - 6, Y: box.Y1}, sheet.Point{X: box.X1 + 6, Y: box.Y1})
		c.page.s.Add(floor)
	}
	for _, b := range c.farFirst() {
		c.battery(b, at, above)
	}
	for i := range c.m.Groups {
		c.middle(at(c.m.Groups[i].Middle))
	}
	for i := range c.bank.Mounting.HoldDowns {
		c.hold(&c.bank.Mounting.HoldDowns[i], at, above)
	}
	c.arrows(box, above)
}

// farFirst lists the batteries with a place, those at the back first.
func (c *mountChart) farFirst() []*bank.Battery {
	var list []*bank.Battery
	for i := range c.bank.Batteries {
		if b := &c.bank.Batteries[i]; b.Placed {
			list = append(list, b)
		}
	}
	slices.SortStableFunc(list, func(a, b *bank.Battery) int { return cmp.Compare(b.Body.At.Y, a.Body.At.Y) })
	return list
}

// middle marks a block's centre of mass.
func (c *mountChart) middle(at sheet.Point) {
	const r = 1.5
	it := sheet.Item{Layer: sheet.Posts, Name: "centre of mass"}
	style := sheet.Line(sheet.Grey, sheet.W025)
	it.Circle(style.On(sheet.Paper), at, r)
	it.Line(style, at.Plus(sheet.Point{X: -1.5 * r}), at.Plus(sheet.Point{X: 1.5 * r}))
	it.Line(style, at.Plus(sheet.Point{Y: -1.5 * r}), at.Plus(sheet.Point{Y: 1.5 * r}))
	c.board.Cover(sheet.Around(at, 3*r, 3*r))
	c.page.s.Add(it)
}

func boxed(at func(bank.Point) sheet.Point, b bank.Box) sheet.Box {
	p, q := at(b.Min), at(b.Max)
	return sheet.Box{X0: min(p.X, q.X), Y0: min(p.Y, q.Y), X1: max(p.X, q.X), Y1: max(p.Y, q.Y)}
}

// battery draws one case, from above with its posts and caps.
func (c *mountChart) battery(b *bank.Battery, at func(bank.Point) sheet.Point, above bool) {
	it := sheet.Item{ID: b.ID, Name: "battery " + b.ID, Layer: sheet.Cases}
	box := boxed(at, b.Body.Box())
	outline := sheet.Rect(sheet.Line(sheet.Ink, sheet.W035).On(sheet.Paper), box)
	it.Marks = append(it.Marks, outline)
	c.avoid(&outline)
	c.page.s.Add(it)
	if !above {
		return
	}
	it = sheet.Item{ID: b.ID, Layer: sheet.Posts}
	for _, plus := range []bool{true, false} {
		if p, ok := b.Post(plus); ok {
			role, arm := sheet.Negative, 0.7
			if plus {
				role = sheet.Positive
			}
			q := at(p)
			it.Circle(sheet.Line(role, sheet.W025).On(sheet.Paper), q, 1.2)
			it.Line(sheet.Line(role, sheet.W025), q.Plus(sheet.Point{X: -arm}), q.Plus(sheet.Point{X: arm}))
			if plus {
				it.Line(sheet.Line(role, sheet.W025), q.Plus(sheet.Point{Y: -arm}), q.Plus(sheet.Point{Y: arm}))
			}
			c.board.Cover(sheet.Around(q, 2.6, 2.6))
		}
	}
	for _, cap := range b.Caps {
		q := at(b.Body.Top(cap[0], cap[1]))
		it.Circle(sheet.Line(sheet.Grey, sheet.W025).On(sheet.Paper), q, 1)
		c.board.Cover(sheet.Around(q, 2, 2))
	}
	c.page.s.Add(it)
	id := sheet.Fit(sheet.Bold, c.text.large, box.Width()-1, sheet.Clean(b.ID))
	c.named(b.ID, sheet.Text{S: id, Size: c.text.large, Font: sheet.Bold, Role: sheet.Ink}, box)
}

// named has a battery's ID set in it, where nothing else is.
func (c *mountChart) named(id string, t sheet.Text, box sheet.Box) {
	if t.S == "" {
		return
	}
	w, h := sheet.TextBox(t.Font, t.Size, 1, t.S)
	var choices []sheet.Choice
	for n, y := range []float64{0, 0.3, -0.3, 0.2, -0.2, 0.4, -0.4} {
		for k, x := range []float64{0, 0.25, -0.25} {
			mid := box.Centre().Plus(sheet.Point{X: x * box.Width(), Y: y * box.Height()})
			if one := sheet.Around(mid, w, h); box.Contains(one) {
				choices = append(choices, sheet.Choice{Box: one, Cost: float64(n) + 3*float64(k)})
			}
		}
	}
	if choices == nil {
		return
	}
	it := sheet.Item{ID: id, Layer: sheet.Words}
	c.page.s.Add(it)
	c.labels = append(c.labels, label{item: len(c.page.s.Items) - 1, text: t, choice: sheet.Label{Owner: id, Choices: choices}})
}
