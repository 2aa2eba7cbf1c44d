package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/paper/sheet"
)

// farFirst sorts the cells so that what is nearer to the reader comes last.
func (d *drawing) farFirst() []cell {
	list := slices.Clone(d.cells)
	slices.SortStableFunc(list, func(a, b cell) int { return d.farther(a.b.Body, b.b.Body) })
	return list
}

// farther is negative where a lies farther from the reader than b.
func (d *drawing) farther(a, b bank.Body) int {
	if d.view.front {
		return cmp.Compare(b.At.Y, a.At.Y)
	}
	return cmp.Compare(a.Box().Max.Z, b.Box().Max.Z)
}

// signs gives the posts of a battery, the farther first: true for the positive.
func (d *drawing) signs(b *bank.Battery) [2]bool {
	plus, _ := b.Post(true)
	minus, _ := b.Post(false)
	if d.view.front && plus.Y < minus.Y {
		return [2]bool{false, true}
	}
	return [2]bool{true, false}
}

// cases draws the outlines of the batteries.
func (d *drawing) cases() {
	for _, c := range d.farFirst() {
		it := sheet.Item{ID: c.b.ID, Name: d.batteryName(c), Layer: sheet.Cases}
		b := d.view.box(c.b.Body.Box())
		it.Rect(sheet.Line(sheet.Ink, sheet.W035).On(sheet.Paper), b)
		if c.off {
			it.Marks = append(it.Marks, sheet.Hatch(sheet.Line(sheet.Grey, sheet.W018), b, 1.8))
			it.Rect(sheet.Line(sheet.Ink, sheet.W035), b)
		}
		d.s.Add(it)
	}
}

// batteryName is what a screen reader says.
func (d *drawing) batteryName(c cell) string {
	name := "battery " + c.b.ID
	switch {
	case c.off:
		return name + ", off"
	case math.IsNaN(c.current):
		return name
	case c.current < 0:
		name += ", " + d.amps(-c.current) + " into it"
	default:
		name += ", " + d.amps(c.current)
	}
	if !math.IsNaN(c.share) {
		name += fmt.Sprintf(", share %.3f", c.share)
	}
	return name
}

// posts draws the posts: the sign in a circle, red and black besides.
func (d *drawing) posts() {
	for _, c := range d.farFirst() {
		for _, plus := range d.signs(c.b) {
			place, _ := c.b.Post(plus)
			if d.view.front && d.hidden(c.b, place) {
				continue
			}
			end, role, word := c.b.Minus(), sheet.Negative, "negative"
			if plus {
				end, role, word = c.b.Plus(), sheet.Positive, "positive"
			}
			it := sheet.Item{ID: end.String(), Name: "post " + end.String() + ", " + word, Layer: sheet.Posts}
			p, r := d.view.at(place), d.style.post
			d.ring(&it, end, p)
			it.Circle(sheet.Line(role, 0.28*r).On(sheet.Paper), p, 0.86*r)
			arm := 0.44 * r
			it.Line(sheet.Line(role, 0.26*r), p.Plus(pt(-arm, 0)), p.Plus(pt(arm, 0)))
			if plus {
				it.Line(sheet.Line(role, 0.26*r), p.Plus(pt(0, -arm)), p.Plus(pt(0, arm)))
			}
			d.s.Add(it)
		}
	}
	d.partEnds()
}

// hidden reports whether a nearer battery stands before a place, in a front
// view.
func (d *drawing) hidden(own *bank.Battery, p bank.Point) bool {
	for _, c := range d.cells {
		b := c.b.Body.Box()
		if c.b != own && b.Min.Y < own.Body.At.Y-1e-6 && p.X > b.Min.X && p.X < b.Max.X && p.Z > b.Min.Z && p.Z < b.Max.Z-1e-6 {
			return true
		}
	}
	return false
}

// ringRoom is what the ring round the take-off adds to a post's radius, mm.
func (d *drawing) ringRoom() float64 { return 0.25 + 0.38*d.style.post }

// ring marks the ends of the take-off.
func (d *drawing) ring(it *sheet.Item, end bank.End, p sheet.Point) {
	if d.takesOff(end.String()) {
		it.Circle(sheet.Line(sheet.Ink, sheet.W050).On(sheet.Paper), p, d.style.post+d.ringRoom()-0.25)
	}
}

// takesOff reports whether an end is one of the take-off's.
func (d *drawing) takesOff(end string) bool {
	t := d.takeoff
	return !t.Positive.IsZero() && t.Positive.String() == end || !t.Negative.IsZero() && t.Negative.String() == end
}

// batteryLabels asks for a place for each battery's words inside its case, or
// beside it where they do not fit.
func (d *drawing) batteryLabels() {
	order := d.farFirst()
	behind := map[string][]string{}
	for i, c := range order {
		kinds := d.batteryKinds(c)
		box := d.view.box(c.b.Body.Box())
		nearer := d.nearer(order[i+1:], box)
		var choices []sheet.Choice
		for k, lines := range kinds {
			choices = append(choices, inside(box, nearer, lines, k)...)
		}
		if len(choices) == 0 && len(nearer) > 0 {
			if front := d.cover(order[i+1:], box); front != "" {
				behind[front] = append(behind[front], c.b.ID)
				continue
			}
		}
		last := len(kinds) - 1
		w, h := measure(kinds[last])
		for _, out := range sheet.Beside(box.Centre(), w, h, 0, min(box.Width(), box.Height())/2+1, 60) {
			out.Kind, out.Cost = last, out.Cost+30
			choices = append(choices, out)
		}
		d.labels = append(d.labels, pending{id: c.b.ID, lines: kinds[last], kinds: kinds, dotted: true,
			label: sheet.Label{Owner: c.b.ID, Choices: choices}})
	}
	d.sayBehind(behind)
}

// nearer gives the outlines of those batteries that hide part of a box.
func (d *drawing) nearer(cells []cell, box sheet.Box) []sheet.Box {
	var list []sheet.Box
	for _, c := range cells {
		if b := d.view.box(c.b.Body.Box()); b.Overlaps(box) {
			list = append(list, b)
		}
	}
	return list
}

// cover gives the battery that hides most of a box.
func (d *drawing) cover(cells []cell, box sheet.Box) string {
	id, most := "", 0.0
	for _, c := range cells {
		b := d.view.box(c.b.Body.Box())
		w, h := min(b.X1, box.X1)-max(b.X0, box.X0), min(b.Y1, box.Y1)-max(b.Y0, box.Y0)
		if w > 0 && h > 0 && w*h >= most {
			id, most = c.b.ID, w*h
		}
	}
	return id
}

// sayBehind tells on the nearer batteries which ones stand behind them.
func (d *drawing) sayBehind(behind map[string][]string) {
	for _, c := range d.cells {
		ids := behind[c.b.ID]
		if ids == nil {
			continue
		}
		lines := []line{{text: "behind: " + list(ids), size: sheet.Fine, role: sheet.Grey}}
		box := d.view.box(c.b.Body.Box())
		choices := inside(box, nil, lines, 0)
		w, h := measure(lines)
		for _, out := range sheet.Beside(box.Centre(), w, h, 0, min(box.Width(), box.Height())/2+1, 60) {
			out.Cost += 30
			choices = append(choices, out)
		}
		d.labels = append(d.labels, pending{id: c.b.ID, lines: lines, dotted: true, label: sheet.Label{Owner: c.b.ID, Choices: choices}})
	}
}

// inside gives places for lines within a case, the middle first.
func inside(box sheet.Box, nearer []sheet.Box, lines []line, kind int) []sheet.Choice {
	const steps, room = 5, 0.9
	w, h := measure(lines)
	free := box.Grown(-room)
	freeX, freeY := free.Width()-w, free.Height()-h
	if freeX < 0 || freeY < 0 {
		return nil
	}
	var list []sheet.Choice
	for i := -steps; i <= steps; i++ {
		for j := -steps; j <= steps; j++ {
			by := pt(freeX/2*float64(i)/steps, freeY/2*float64(j)/steps)
			b := sheet.Around(box.Centre().Plus(by), w, h)
			if !slices.ContainsFunc(nearer, b.Grown(0.5).Overlaps) {
				list = append(list, sheet.Choice{Box: b, Cost: float64(0.35*by.Length()) + float64(5*float64(kind)), Kind: kind})
			}
		}
	}
	return list
}

// batteryKinds gives the words of a battery, the fullest first, the last just
// its ID.
func (d *drawing) batteryKinds(c cell) [][]line {
	id := line{text: c.b.ID, size: d.style.big, font: sheet.Bold}
	short := line{text: c.b.ID, size: sheet.Body, font: sheet.Bold}
	if c.off {
		off := line{text: "off", size: d.style.text}
		return [][]line{{id, off}, {{text: c.b.ID + " off", size: sheet.Fine, font: sheet.Bold}}}
	}
	if math.IsNaN(c.current) {
		return [][]line{{id}, {short}}
	}
	amps := line{text: d.amps(c.current), size: d.style.text}
	marks := d.batteryMark(c)
	if math.IsNaN(c.share) {
		return [][]line{append([]line{id, amps}, marks...), {short, {text: d.amps(c.current), size: sheet.Fine}}, {{text: c.b.ID + " " + d.amps(c.current), size: sheet.Fine}}, {short}}
	}
	over := sheet.Over(c.share - 1)
	bar := line{share: max(0, c.share), width: 15}
	thin := line{share: max(0, c.share), width: 9.5}
	percent, small := line{text: over, size: sheet.Fine}, line{text: d.amps(c.current), size: sheet.Fine}
	if d.opt.Small {
		percent.size = d.style.text
		return [][]line{{id, percent}, {id, line{text: over, size: sheet.Fine}}, {id}, {short}}
	}
	return [][]line{
		append([]line{id, amps, bar, percent}, marks...),
		append([]line{short, small, thin, percent}, marks...),
		{short, small, percent},
		{{text: c.b.ID + " " + d.amps(c.current), size: sheet.Fine}, percent},
		{{text: c.b.ID + " " + d.amps(c.current) + " " + over, size: sheet.Fine}},
		{short},
	}
}

// batteryMark is the word that has to stand by a battery's numbers where its
// own values were assumed and not those of all.
func (d *drawing) batteryMark(c cell) []line {
	n := 0
	for _, o := range d.cells {
		if assumedBattery(o.b) {
			n++
		}
	}
	if !assumedBattery(c.b) || n == len(d.cells) {
		return nil
	}
	return []line{{text: "assumed", size: sheet.Fine, role: sheet.Attention}}
}

func assumedBattery(b *bank.Battery) bool {
	return b.Resistance.Origin == source.Assumed || b.EMF.Origin == source.Assumed || b.Capacity.Origin == source.Assumed
}

// bar draws a share: its length against the mean, at which there is a tick.
func bar(it *sheet.Item, from sheet.Point, l line) {
	const full = 1.35 // of the mean: the whole length; what is more is cut, and the percents tell
	end := pt(from.X+l.width, from.Y)
	it.Line(sheet.Line(sheet.Faint, 0.8), from, end)
	it.Line(sheet.Line(sheet.Ink, 0.8), from, sheet.Between(from, end, min(1, l.share/full)))
	tick := sheet.Between(from, end, 1/full)
	it.Line(sheet.Line(sheet.Ink, sheet.W025), tick.Plus(pt(0, -1.1)), tick.Plus(pt(0, 1.1)))
}
