package chart

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// hold draws one hold-down in its places.
func (c *mountChart) hold(h *bank.HoldDown, at func(bank.Point) sheet.Point, above bool) {
	box, ok := c.heldBox(h.Holds)
	if !ok {
		return
	}
	role := sheet.Ink
	if p := c.worst(h.ID); p != nil && p.Margin < 1 {
		role = sheet.Attention
	}
	it := sheet.Item{ID: h.ID, Name: h.Kind.Word() + " " + h.ID, Layer: sheet.Conductors}
	switch h.Kind {
	case bank.RodsAndBar:
		c.bars(&it, h, box, at, above, role)
	case bank.StrapOver:
		c.strapBand(&it, h, box, at, above, role)
	case bank.Tray:
		c.trayLip(&it, h, box, at, above, role)
	case bank.ShelfOver:
		top := boxed(at, box)
		if !above {
			top.Y1, top.Y0 = top.Y0, top.Y0-1.2
		}
		it.Rect(sheet.Line(role, sheet.W035).Dashed(3, 1.2), top.Grown(0.8))
	}
	for _, m := range it.Marks {
		if p, ok := m.(sheet.Path); ok {
			c.avoid(&p)
		}
	}
	c.page.s.Add(it)
	c.points(h, box, at, above, role)
}

// avoid makes it cost something to set words over a path.
func (c *mountChart) avoid(p *sheet.Path) {
	var points []sheet.Point
	for _, s := range p.Pieces {
		if s.Op == sheet.Close && points != nil {
			points = append(points, points[0])
		} else if s.Op != sheet.Close {
			points = append(points, s.P[0])
		}
	}
	c.board.Stroke(p.Style.Weight, 8, points...)
}

// heldBox gives the box round the batteries of a hold-down that have a place.
func (c *mountChart) heldBox(ids []string) (all bank.Box, ok bool) {
	for _, id := range ids {
		b := c.bank.Battery(id)
		if b == nil || !b.Placed {
			continue
		}
		one := b.Body.Box()
		if !ok {
			all, ok = one, true
			continue
		}
		all.Min = bank.Point{X: min(all.Min.X, one.Min.X), Y: min(all.Min.Y, one.Min.Y), Z: min(all.Min.Z, one.Min.Z)}
		all.Max = bank.Point{X: max(all.Max.X, one.Max.X), Y: max(all.Max.Y, one.Max.Y), Z: max(all.Max.Z, one.Max.Z)}
	}
	return all, ok
}

// worst gives the part of a hold-down with the least margin.
func (c *mountChart) worst(id string) *report.MountPart {
	var least *report.MountPart
	for i := range c.m.Groups {
		for n := range c.m.Groups[i].Parts {
			if p := &c.m.Groups[i].Parts[n]; p.Of == id && !math.IsNaN(p.Margin) && (least == nil || p.Margin < least.Margin) {
				least = p
			}
		}
	}
	return least
}

// bars draws the bar of each pair of rods, and from the front the rods.
func (c *mountChart) bars(it *sheet.Item, h *bank.HoldDown, box bank.Box, at func(bank.Point) sheet.Point, above bool, role sheet.Role) {
	style := sheet.Line(role, sheet.W035).On(sheet.Faint)
	for n := 0; n+1 < len(h.At); n += 2 {
		p, q := h.At[n], h.At[n+1]
		if above {
			band(it, style, at(p), at(q), max(1, float64(h.Bar.Width*c.scale)))
			continue
		}
		for _, r := range []bank.Point{p, q} {
			it.Line(sheet.Line(role, sheet.W070), at(bank.Point{X: r.X, Y: r.Y, Z: c.world.Min.Z}), at(bank.Point{X: r.X, Y: r.Y, Z: box.Max.Z}).Minus(sheet.Point{Y: 3}))
		}
		high := max(1, float64(max(h.Bar.Height, h.Bar.Wall, h.Bar.Width/3)*c.scale))
		a, z := at(bank.Point{X: min(p.X, q.X), Z: box.Max.Z}), at(bank.Point{X: max(p.X, q.X), Z: box.Max.Z})
		if half := float64(h.Bar.Width * c.scale / 2); z.X-a.X < 2*half {
			mid := (a.X + z.X) / 2
			a.X, z.X = mid-half, mid+half
		}
		it.Rect(style, sheet.Box{X0: a.X - 1, Y0: a.Y - high, X1: z.X + 1, Y1: a.Y})
	}
}

// band draws a band of a width along a line.
func band(it *sheet.Item, style sheet.Style, p, q sheet.Point, width float64) {
	off := q.Minus(p).Unit().Left().Times(width / 2)
	it.Polygon(style, p.Plus(off), q.Plus(off), q.Minus(off), p.Minus(off))
}

// strapBand draws straps: as wide as they are from above, over the top from the
// front.
func (c *mountChart) strapBand(it *sheet.Item, h *bank.HoldDown, box bank.Box, at func(bank.Point) sheet.Point, above bool, role sheet.Role) {
	for i := range c.m.Straps {
		s := &c.m.Straps[i]
		if s.Of != h.ID {
			continue
		}
		if s.Over != nil {
			role = sheet.Attention
		}
		if !above {
			it.Polyline(sheet.Line(role, sheet.W070), at(s.Anchors[0]), at(s.From), at(s.To), at(s.Anchors[1]))
			continue
		}
		band(it, sheet.Line(role, sheet.W025).On(sheet.Faint), at(s.Anchors[0]), at(s.Anchors[1]), float64(s.Width*c.scale))
		if s.Moved {
			free := sheet.Line(sheet.Grey, sheet.W025).Dashed(2, 1)
			band(it, free, at(s.Anchors[0].Add(s.Shift)), at(s.Anchors[1].Add(s.Shift)), float64(s.Width*c.scale))
		}
	}
}

// trayLip draws the lips of a tray.
func (c *mountChart) trayLip(it *sheet.Item, h *bank.HoldDown, box bank.Box, at func(bank.Point) sheet.Point, above bool, role sheet.Role) {
	b := boxed(at, box).Grown(0.9)
	style := sheet.Line(role, sheet.W070)
	if !above {
		high := max(1, float64(h.Lip*c.scale))
		for _, x := range []float64{b.X0, b.X1} {
			it.Line(style, sheet.Point{X: x, Y: b.Y1 - 0.9}, sheet.Point{X: x, Y: b.Y1 - 0.9 - high})
		}
		return
	}
	for _, side := range h.Sides {
		switch side {
		case bank.LeftSide:
			it.Line(style, sheet.Point{X: b.X0, Y: b.Y0}, sheet.Point{X: b.X0, Y: b.Y1})
		case bank.RightSide:
			it.Line(style, sheet.Point{X: b.X1, Y: b.Y0}, sheet.Point{X: b.X1, Y: b.Y1})
		case bank.FrontSide:
			it.Line(style, sheet.Point{X: b.X0, Y: b.Y1}, sheet.Point{X: b.X1, Y: b.Y1})
		default:
			it.Line(style, sheet.Point{X: b.X0, Y: b.Y0}, sheet.Point{X: b.X1, Y: b.Y0})
		}
	}
}

// points draws rods, bolts, anchors, brackets and pins, and from above names
// each hold-down at its first place, with its least margin.
func (c *mountChart) points(h *bank.HoldDown, box bank.Box, at func(bank.Point) sheet.Point, above bool, role sheet.Role) {
	first := at(bank.Point{X: box.Min.X, Y: box.Max.Y, Z: box.Min.Z})
	for n, p := range h.At {
		if !above {
			p.Z = max(p.Z, c.world.Min.Z)
		}
		q := at(p)
		it := sheet.Item{ID: h.ID, Layer: sheet.Posts}
		if n == 0 && (h.Kind == bank.Bracket || h.Kind == bank.PinAcross) {
			it.Name = h.Kind.Word() + " " + h.ID
		}
		switch {
		case h.Kind == bank.Bracket:
			it.Rect(sheet.Line(role, sheet.W035).On(sheet.Paper), sheet.Around(q, 2.4, 2.4))
		case h.Kind == bank.PinAcross:
			it.Line(sheet.Line(role, sheet.W050), q.Plus(sheet.Point{X: -1.4, Y: -1.4}), q.Plus(sheet.Point{X: 1.4, Y: 1.4}))
			it.Line(sheet.Line(role, sheet.W050), q.Plus(sheet.Point{X: -1.4, Y: 1.4}), q.Plus(sheet.Point{X: 1.4, Y: -1.4}))
		case h.Kind == bank.Tray:
			it.Circle(sheet.Line(sheet.Grey, sheet.W025), q, 0.9)
		case above:
			it.Circle(sheet.Filled(role), q, 0.8)
		}
		if it.Marks != nil {
			c.page.s.Add(it)
		}
		c.board.Cover(sheet.Around(q, 2, 2))
		if n == 0 {
			first = q
		}
	}
	if !above {
		return
	}
	words := h.ID
	if p := c.worst(h.ID); p != nil && !math.IsInf(p.Margin, 1) {
		words += ", " + margins(p.Margin)
	}
	c.attach(sheet.Item{ID: h.ID, Name: words, Layer: sheet.Posts}, first, 1, sheet.Text{S: sheet.Clean(words), Size: c.text.body, Role: role}, true)
}

// margins prints how many times as much as is asked a part bears.
func margins(v float64) string {
	switch {
	case math.IsNaN(v):
		return "not known"
	case v >= 100:
		return "over ×100"
	case v >= 10:
		return fmt.Sprintf("×%.0f", v)
	}
	return fmt.Sprintf("×%.2f", v)
}

// arrows shows what the rule asks: on the plan to the four sides, from the front
// up and down.
func (c *mountChart) arrows(box sheet.Box, above bool) {
	seen := map[string]bool{}
	for i := range c.m.Groups {
		for n := range c.m.Groups[i].Cases {
			k := &c.m.Groups[i].Cases[n]
			if level := k.Toward.Z == 0; level != above || seen[k.Direction] {
				continue
			}
			seen[k.Direction] = true
			c.arrow(box, k.Direction, k.Toward, k.Multiple, c.held(k.Direction))
		}
	}
}

// held reports whether every block is held in a direction.
func (c *mountChart) held(direction string) bool {
	return !slices.ContainsFunc(c.m.Groups, func(g report.MountGroup) bool { k := g.Case(direction); return k != nil && !k.Held })
}

// arrow draws one arrow outside of a view, as long as the load is great, with
// its direction and load in words.
func (c *mountChart) arrow(box sheet.Box, direction string, toward bank.Point, multiple float64, held bool) {
	most := 0.0
	for _, v := range []float64{c.m.Rule.Forward, c.m.Rule.Aft, c.m.Rule.Side, c.m.Rule.Up, c.m.Rule.Down} {
		most = max(most, v)
	}
	const gap, least = 3.0, 3.0
	long := least + (c.pad()-gap-least-1.5)*multiple/max(most, multiple)
	way := sheet.Point{X: toward.X, Y: -toward.Y}
	if toward.Z != 0 {
		way = sheet.Point{Y: -toward.Z}
	}
	mid := box.Centre()
	from := sheet.Point{X: mid.X + way.X*(box.Width()/2+gap), Y: mid.Y + way.Y*(box.Height()/2+gap)}
	to := from.Plus(way.Times(long))
	role, words := sheet.Ink, direction
	load := fmt.Sprintf("%.3g g", multiple)
	if !held {
		role, load = sheet.Attention, load+", not held"
	}
	it := sheet.Item{ID: "load-" + direction, Name: fmt.Sprintf("%s: %s asked", words, load), Layer: sheet.Dimensions}
	it.Line(sheet.Line(role, sheet.W050), from, to)
	side := way.Left()
	head := to.Minus(way.Times(2))
	it.Polygon(sheet.Filled(role), to, head.Plus(side.Times(0.8)), head.Minus(side.Times(0.8)))
	size := c.text.body
	if way.X != 0 {
		at := sheet.Point{X: (from.X + from.Plus(way.Times(c.pad()-gap)).X) / 2}
		at.Y = from.Y - 1.2
		it.Text(sheet.Text{At: at, S: words, Size: size, Role: role, Anchor: sheet.Middle})
		for n, line := range sheet.Wrap(sheet.Regular, size, c.pad()-1, load) {
			at.Y = from.Y + 1 + ems(sheet.Ascent+1.1*float64(n), size)
			it.Text(sheet.Text{At: at, S: line, Size: size, Role: role, Anchor: sheet.Middle})
		}
	} else {
		it.Text(sheet.Text{At: sheet.Point{X: from.X + 1.8, Y: (from.Y+to.Y)/2 + drop(size)}, S: words + " " + load, Size: size, Role: role})
	}
	for _, m := range it.Marks {
		c.board.Cover(m.Box())
	}
	c.page.s.Add(it)
}

// rows lists each hold-down's parts with a bar for what is used.
func (c *mountChart) rows(width float64) part {
	var list []report.MountPart
	for i := range c.m.Groups {
		list = append(list, c.m.Groups[i].Worst()...)
	}
	if list == nil {
		return part{}
	}
	g := grid{corner: "part at its worst", byRow: true, heads: []string{"direction", "asked", "bears", "margin"}, cells: make([][]string, 4)}
	if c.small {
		g.corner, g.heads = "part", []string{"", "asked", "bears", "margin"}
	}
	for i := range list {
		p := &list[i]
		g.rows, g.ids = append(g.rows, sheet.Clean(p.Name())), append(g.ids, p.Of)
		bears, margin, direction := newton(p.Capacity), margins(p.Margin), p.Direction
		switch {
		case math.IsInf(p.Margin, 1):
			direction, margin = "–", "bears nothing"
		case math.IsNaN(p.Margin):
			bears = "?"
		}
		for k, cell := range []string{direction, newton(p.Demand), bears, margin} {
			g.cells[k] = append(g.cells[k], cell)
		}
	}
	table := g.part(&c.page, width)
	return part{table.high, func(at sheet.Point) {
		table.draw(at)
		left := g.wide() + 4
		c.used(list, at.Plus(sheet.Point{X: left, Y: ems(gridStep, c.text.body)}), min(50, width-left-2))
	}}
}

func newton(v float64) string {
	if math.IsNaN(v) {
		return "?"
	}
	return quantity.Format(quantity.Force(v), 3)
}

// used draws how much of each part's strength is asked, up to a quarter more
// than all of it.
func (c *mountChart) used(list []report.MountPart, at sheet.Point, long float64) {
	const least, over = 12.0, 1.25
	if long < least {
		return
	}
	for i := range list {
		p := &list[i]
		y := at.Y + ems(gridStep*(float64(i)+0.5), c.text.body)
		high := ems(0.3, c.text.body)
		full := at.X + long/over
		it := sheet.Item{ID: p.Of, Layer: sheet.Cases, Name: p.Name() + ": " + p.MarginWords()}
		switch {
		case math.IsNaN(p.Margin):
			box := sheet.Box{X0: at.X, Y0: y - high, X1: full, Y1: y + high}
			it.Rect(sheet.Line(sheet.Grey, sheet.W018), box)
			it.Marks = append(it.Marks, sheet.Hatch(sheet.Line(sheet.Grey, sheet.W013), box, 1.2))
		case !math.IsInf(p.Margin, 1):
			role := sheet.Ink
			if p.Margin < 1 {
				role = sheet.Attention
			}
			it.Rect(sheet.Filled(role), sheet.Box{X0: at.X, Y0: y - high, X1: at.X + max(0.2, (full-at.X)*min(over, 1/p.Margin)), Y1: y + high})
		}
		it.Line(sheet.Line(sheet.Ink, sheet.W025), sheet.Point{X: full, Y: y - high - 0.5}, sheet.Point{X: full, Y: y + high + 0.5})
		c.page.s.Add(it)
	}
}
