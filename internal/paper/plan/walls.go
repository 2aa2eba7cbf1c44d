package plan

import (
	"strings"

	"bankwright/internal/model/bank"
	"bankwright/internal/paper/sheet"
)

// walls draws the compartments: the inside to scale, round it a band for the
// wall, whose thickness a job does not say. Passages are cut through.
func (d *drawing) walls() {
	band := sheet.Item{Layer: sheet.Walls}
	for _, c := range d.bank.Compartments {
		b := d.view.box(c.Box)
		band.Rect(sheet.Line(sheet.Grey, sheet.W013).On(sheet.Faint), b.Grown(d.style.wall))
	}
	d.s.Add(band)
	for _, c := range d.bank.Compartments {
		it := sheet.Item{ID: c.ID, Name: "compartment " + c.ID, Layer: sheet.Walls}
		it.Rect(sheet.Line(sheet.Ink, sheet.W050).On(sheet.Paper), d.view.box(c.Box))
		d.s.Add(it)
	}
	for _, p := range d.bank.Passages {
		d.passage(p)
	}
}

// compartmentLabels asks for places for the compartments' names, where there
// are several, and for the word lid under the upper edge of a front view.
func (d *drawing) compartmentLabels() {
	for _, c := range d.bank.Compartments {
		var words []string
		if len(d.bank.Compartments) > 1 {
			words = append(words, c.ID)
		}
		if d.view.front {
			words = append(words, "lid")
		}
		if words == nil {
			continue
		}
		lines := []line{{text: strings.Join(words, ", "), size: sheet.Fine, role: sheet.Grey}}
		w, h := measure(lines)
		const room, steps = 0.9, 24
		in := d.view.box(c.Box).Grown(-room)
		var choices []sheet.Choice
		for i := range steps + 1 {
			x := in.X0 + float64((in.Width()-w)*float64(i)/steps)
			choices = append(choices, sheet.Choice{Box: sheet.Box{X0: x, Y0: in.Y0, X1: x + w, Y1: in.Y0 + h}, Cost: 0.1 * float64(i)})
			if !d.view.front {
				choices = append(choices, sheet.Choice{Box: sheet.Box{X0: x, Y0: in.Y1 - h, X1: x + w, Y1: in.Y1}, Cost: 1 + 0.1*float64(i)})
			}
		}
		d.labels = append(d.labels, pending{lines: lines, minor: true, label: sheet.Label{Owner: c.ID, Choices: choices}})
	}
}

// passage draws a hole: as a gap in the wall where the wall is seen from its
// edge, else as a circle.
func (d *drawing) passage(p bank.Passage) {
	it := sheet.Item{ID: p.ID, Name: "passage " + p.ID + ", " + d.bank.Show.FormatLength(length(p.Diameter)), Layer: sheet.Walls}
	ink := sheet.Line(sheet.Ink, sheet.W035)
	place, half := d.view.at(p.At), 500*p.Diameter/d.view.scale
	from, to, across, ok := d.wallAt(p.At)
	if !ok {
		it.Circle(ink.On(sheet.Paper).Dashed(1, 0.7), place, max(half, 0.6))
		d.s.Add(it)
		return
	}
	half = max(half, 0.6)
	gap := sheet.Box{X0: from, X1: to, Y0: place.Y - half, Y1: place.Y + half}
	sides := [2][2]sheet.Point{{pt(from, gap.Y0), pt(to, gap.Y0)}, {pt(from, gap.Y1), pt(to, gap.Y1)}}
	if !across {
		gap = sheet.Box{X0: place.X - half, X1: place.X + half, Y0: from, Y1: to}
		sides = [2][2]sheet.Point{{pt(gap.X0, from), pt(gap.X0, to)}, {pt(gap.X1, from), pt(gap.X1, to)}}
	}
	it.Rect(sheet.Filled(sheet.Paper), gap)
	for _, s := range sides {
		it.Line(ink, s[0], s[1])
	}
	d.s.Add(it)
}

// wallAt finds the wall between two compartments in which a point lies, and
// gives its faces on paper. across tells that one walks through it to the
// right or left. A wall seen flat, or none, is not ok.
func (d *drawing) wallAt(p bank.Point) (from, to float64, across, ok bool) {
	const slack = 1e-6 // m
	// Two compartments with a third between them face each other too: the wall
	// is the thinnest of all.
	keep := func(lo, hi float64, level bool) {
		if !ok || hi-lo < to-from {
			from, to, across, ok = lo, hi, level, true
		}
	}
	for _, one := range d.bank.Compartments {
		for _, other := range d.bank.Compartments {
			a, b := one.Box, other.Box
			if one.ID == other.ID {
				continue
			}
			if a.Max.X <= p.X+slack && p.X-slack <= b.Min.X && within(p.Y, a.Min.Y, a.Max.Y) && within(p.Y, b.Min.Y, b.Max.Y) {
				keep(d.view.at(a.Max).X-0.2, d.view.at(b.Min).X+0.2, true)
			}
			lo, hi, at := a.Max.Y, b.Min.Y, p.Y
			if d.view.front {
				lo, hi, at = a.Max.Z, b.Min.Z, p.Z
			}
			if lo <= at+slack && at-slack <= hi && within(p.X, a.Min.X, a.Max.X) && within(p.X, b.Min.X, b.Max.X) {
				keep(d.view.at(b.Min).Y-0.2, d.view.at(a.Max).Y+0.2, false)
			}
		}
	}
	return from, to, across, ok
}

func within(v, lo, hi float64) bool { return v >= lo && v <= hi }
