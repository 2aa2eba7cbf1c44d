package plan

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"bankwright/internal/paper/sheet"
)

// entry is one piece of the legend: what is drawn and the words behind it.
type entry struct {
	wide  float64 // of what is drawn
	draw  func(it *sheet.Item, at sheet.Point)
	words string
}

const (
	entryHigh = 5.6 // of a row of the legend
	entryGap  = 6.0
	wordGap   = 1.6
)

// footerBox gives the column that the legend and the notes stand in.
func (d *drawing) footerBox(outer sheet.Box) sheet.Box {
	if d.opt.Frame != nil && outer.Width() > 250 {
		outer.X1 -= 172 // the title block stands beside it
	}
	return outer
}

const blockRoom = 19.0 // of the title block

// footerHeight gives the room that legend and notes take.
func (d *drawing) footerHeight(outer sheet.Box) float64 {
	if d.opt.Small {
		return 0
	}
	box := d.footerBox(outer)
	high := entryHigh*float64(d.legend(nil, box)) + sheet.Fine*lineHigh*float64(len(d.notes(box.Width()))+1)
	if d.opt.Frame == nil {
		return high
	}
	if box.Width() < outer.Width() {
		return max(high, blockRoom)
	}
	return high + blockRoom
}

// footer draws legend and notes at the foot of the sheet.
func (d *drawing) footer(lost []string) {
	if d.opt.Small {
		return
	}
	outer := sheet.Box{X0: margin, Y0: d.room.Y1, X1: d.s.Width - margin, Y1: d.s.Height - margin}
	if d.opt.Frame != nil {
		outer.X0, outer.X1, outer.Y1 = outer.X0+4, outer.X1-4, outer.Y1-4
		if d.footerBox(outer) == outer {
			outer.Y1 -= blockRoom
		}
	}
	box := d.footerBox(outer)
	notes := d.notes(box.Width())
	if lost != nil {
		words := sheet.Fit(sheet.Regular, sheet.Fine, box.Width(), "no room in the drawing for "+strings.Join(lost, "; "))
		notes = append(notes, line{text: words, role: sheet.Attention})
	}
	it := sheet.Item{Layer: sheet.Words}
	y := box.Y1 - sheet.Fine*lineHigh*float64(len(notes))
	for i, n := range notes {
		role := n.role
		if role == sheet.None {
			role = sheet.Grey
		}
		it.Text(sheet.Text{At: pt(box.X0, y+sheet.Fine*lineHigh*float64(i+1)-0.6), S: n.text, Size: sheet.Fine, Role: role})
	}
	box.Y1 = y
	d.legend(&it, box)
	d.s.Add(it)
}

// legend sets the entries in rows that end at the bottom of the box and gives
// the number of rows. Without an item it only counts.
func (d *drawing) legend(it *sheet.Item, box sheet.Box) int {
	entries := d.entries()
	rows, x := 1, box.X0
	var places []sheet.Point
	for _, e := range entries {
		w := e.wide + wordGap + sheet.TextWidth(sheet.Regular, sheet.Fine, e.words)
		if x > box.X0 && x+w > box.X1 {
			rows, x = rows+1, box.X0
		}
		places = append(places, pt(x, float64(rows-1)))
		x += w + entryGap
	}
	if it == nil {
		return rows
	}
	for i, e := range entries {
		at := pt(places[i].X, box.Y1-entryHigh*(float64(rows)-places[i].Y-0.5))
		e.draw(it, at)
		it.Text(sheet.Text{At: at.Plus(pt(e.wide+wordGap, 0.36*sheet.Fine)), S: e.words, Size: sheet.Fine, Role: sheet.Ink})
	}
	return rows
}

// entries lists what the drawing needs explained.
func (d *drawing) entries() []entry {
	list := []entry{d.scaleBar()}
	most := d.widest()
	if d.live && most > 0 {
		for _, i := range samples(most) {
			w := d.width(run{current: i}, most)
			list = append(list, entry{8, func(it *sheet.Item, at sheet.Point) {
				it.Line(sheet.Line(sheet.Grey, w), at, at.Plus(pt(8, 0)))
			}, strconv.FormatFloat(i, 'g', -1, 64) + " A"})
		}
		list[len(list)-1].words += ": width is current"
	}
	for _, k := range []kind{positive, negative, between} {
		if slices.ContainsFunc(d.runs, func(r run) bool { return r.kind == k }) {
			list = append(list, d.sample(k))
		}
	}
	if slices.ContainsFunc(d.runs, func(r run) bool { return len(r.points) < 2 }) {
		list = append(list, entry{9, func(it *sheet.Item, at sheet.Point) {
			it.Line(sheet.Line(sheet.Grey, 1).Dashed(dashes[:]...), at, at.Plus(pt(9, 0)))
		}, "not routed"})
	}
	if slices.ContainsFunc(d.cells, func(c cell) bool { return !math.IsNaN(c.share) && !c.off }) {
		list = append(list, entry{12, func(it *sheet.Item, at sheet.Point) { bar(it, at, line{share: 1.1, width: 12}) }, "share, tick at the mean"})
	}
	if slices.ContainsFunc(d.cells, func(c cell) bool { return c.off }) {
		list = append(list, entry{5, func(it *sheet.Item, at sheet.Point) {
			b := sheet.Around(at.Plus(pt(2.5, 0)), 5, 3)
			it.Rect(sheet.Line(sheet.Ink, sheet.W025), b)
			it.Marks = append(it.Marks, sheet.Hatch(sheet.Line(sheet.Grey, sheet.W018), b, 1))
		}, "off"})
	}
	return list
}

// sample shows how one kind of cable is drawn.
func (d *drawing) sample(k kind) entry {
	const wide, weight = 9, 1.6
	return entry{wide, func(it *sheet.Item, at sheet.Point) {
		end := at.Plus(pt(wide, 0))
		it.Line(sheet.Line(k.role(), weight), at, end)
		if w := core(k, weight); w > 0 {
			it.Line(sheet.Line(sheet.Paper, w), at, end)
		}
	}, k.String()}
}

// samples gives two currents for the legend: round ones near the largest and
// near a third of it.
func samples(most float64) []float64 {
	round := func(v float64) float64 {
		unit := math.Pow10(int(math.Floor(math.Log10(v))))
		for _, k := range []float64{5, 2, 1} {
			if k*unit <= v*(1+1e-9) {
				return k * unit
			}
		}
		return unit
	}
	return []float64{round(most / 3), round(most)}
}

// scaleBar shows a round length and the scale.
func (d *drawing) scaleBar() entry {
	const most = 34.0 // mm
	unit, steps := 1.0, []float64{0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100}
	if s := d.bank.Show.Length; s == "in" || s == "ft" {
		unit, steps = 0.0254, []float64{1, 2, 4, 6, 12, 24, 48, 120, 240, 600, 1200} // in; exact: NIST SP 811, 2008, B.8 (from memory)
	}
	size := steps[0] * unit
	for _, s := range steps {
		if d.view.scale > 0 && s*unit*1000/d.view.scale <= most {
			size = s * unit
		}
	}
	words := fmt.Sprintf("%s, 1 : %.0f", d.bank.Show.FormatLength(length(size)), max(1, d.view.scale))
	w := float64(most) // until the scale is known
	if d.view.scale > 0 {
		w = size * 1000 / d.view.scale
	}
	return entry{w, func(it *sheet.Item, at sheet.Point) {
		for i := range 4 {
			b := sheet.Box{X0: at.X + float64(w*float64(i)/4), X1: at.X + float64(w*float64(i+1)/4), Y0: at.Y - 0.6, Y1: at.Y + 0.6}
			style := sheet.Line(sheet.Ink, sheet.W018)
			if i%2 == 0 {
				style = style.On(sheet.Ink)
			}
			it.Rect(style, b)
		}
	}, words}
}

// notes lists what a reader has to know, wrapped to a width.
func (d *drawing) notes(width float64) []line {
	const most = 7
	var lines []line
	add := func(role sheet.Role, text string) {
		for _, l := range sheet.Wrap(sheet.Regular, sheet.Fine, width, text) {
			lines = append(lines, line{text: l, role: role})
		}
	}
	if a := d.assumed(); a != "" {
		add(sheet.Attention, "assumed: "+a)
	}
	if d.adrift != nil {
		add(sheet.Attention, "place not given, drawn beside the rest: "+list(d.adrift))
	}
	if d.seated != nil {
		add(sheet.Ink, "no place or size given, drawn at their studs: "+list(d.seated))
	}
	var close, tight []string
	for _, r := range d.report.Routes {
		if d.opt.Wiring == nil && r.Close {
			close = append(close, r.Cable)
		}
		if d.opt.Wiring == nil && r.Tight {
			tight = append(tight, r.Cable)
		}
	}
	if close != nil {
		add(sheet.Attention, "nearer to a case or wall than the clearance asked for: "+list(close))
	}
	if tight != nil {
		add(sheet.Attention, "bends tighter than asked for: "+list(tight))
	}
	add(sheet.Grey, d.method())
	if len(lines) > most {
		lines = append(lines[:most-1], line{text: "and more; the list of findings and the workings say all of it", role: sheet.Attention})
	}
	return lines
}

// method says what is drawn otherwise than it will be built.
func (d *drawing) method() string {
	var parts []string
	if len(d.runs) > 0 {
		parts = append(parts, "Cables that lie over one another are drawn side by side.")
	}
	if d.live && len(d.runs) > 0 {
		parts = append(parts, fmt.Sprintf("The thinnest stand for up to %s.", d.amps(d.widest()*d.style.least/d.style.wide)))
	}
	if len(d.bank.Compartments) > 0 {
		parts = append(parts, "Walls: inside faces to scale, thickness not.")
	}
	return strings.Join(parts, " ")
}

// list joins names, the first few of many.
func list(names []string) string {
	const most = 6
	if len(names) > most+1 {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
	}
	return strings.Join(names, ", ")
}
