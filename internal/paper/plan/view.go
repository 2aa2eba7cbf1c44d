package plan

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
	"bankwright/internal/paper/sheet"
)

var nan = math.NaN()

func length(m float64) quantity.Length { return quantity.Length(m) }

func pt(x, y float64) sheet.Point { return sheet.Point{X: x, Y: y} }

// scales are those of ISO 5455:1979 (1, 2, 5 and their decades) and, where
// those are too far apart for one sheet, whole numbers between them, which it
// allows as an exception (from memory).
var scales = []float64{1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 16, 20, 25, 30, 40, 50, 60, 80, 100, 150, 200, 500, 1000, 2000, 5000, 10000}

// view maps metres to millimetres of paper.
type view struct {
	front  bool
	scale  float64     // metres of the thing to a metre of paper
	corner bank.Point  // whose place is at
	origin sheet.Point // this point: the upper left of all that is drawn
}

// flat gives the two coordinates that are seen: across to the right and up.
func (v view) flat(p bank.Point) (across, up float64) {
	if v.front {
		return p.X, p.Z
	}
	return p.X, p.Y
}

// at gives the place of a point on paper.
func (v view) at(p bank.Point) sheet.Point {
	x, y := v.flat(p)
	x0, y0 := v.flat(v.corner)
	return pt(v.origin.X+float64((x-x0)*1000/v.scale), v.origin.Y+float64((y0-y)*1000/v.scale))
}

// box gives the outline of a box on paper.
func (v view) box(b bank.Box) sheet.Box {
	p, q := v.at(b.Min), v.at(b.Max)
	return sheet.Box{X0: p.X, Y0: q.Y, X1: q.X, Y1: p.Y}
}

// Sizes of the parts of a sheet, mm.
const (
	margin    = 7.0
	labelRoom = 11.0 // round the drawing
	dimRoom   = 8.0  // for each row of dimensions
	lineHigh  = 1.4  // ems from one line of a note to the next
)

// layout parts the sheet and sets the scale.
func (d *drawing) layout() error {
	if d.opt.Width == 0 {
		d.opt.Width = 297
		if d.opt.Small {
			d.opt.Width = 100
		}
	}
	fit := d.opt.Height == 0
	most := d.opt.Height
	if fit {
		most = 210
		if d.opt.Small {
			most = 80
		}
	}
	d.s.Width, d.s.Height = d.opt.Width, most
	outer := sheet.Box{X0: margin, Y0: margin, X1: d.opt.Width - margin, Y1: most - margin}
	round := min(labelRoom, 0.07*d.opt.Width)
	switch {
	case d.opt.Small:
		outer, round = sheet.Box{X0: 2, Y0: 2, X1: d.opt.Width - 2, Y1: most - 2}, 4.5
	case d.opt.Frame != nil:
		outer = outer.Grown(-4)
	}
	if err := d.checkRoom(outer); err != nil {
		return err
	}
	head, foot := d.header(outer, false), d.footerHeight(outer)
	d.room = sheet.Box{X0: outer.X0, Y0: outer.Y0 + head, X1: outer.X1, Y1: outer.Y1 - foot}
	dims := d.dimensionRows()
	free := d.room.Grown(-round)
	if !d.opt.Small {
		free.X0 += dimRoom * float64(dims[0])
		free.Y1 -= dimRoom * float64(dims[1])
	}
	if err := d.setScale(free); err != nil {
		return err
	}
	if fit {
		d.shrink(free, foot)
	}
	d.header(outer, true)
	if d.opt.Frame != nil {
		d.frame()
	}
	return nil
}

func (d *drawing) checkRoom(outer sheet.Box) error {
	const wide, high = 90, 100 // mm, for words, legend and a drawing
	small := outer.Width() < 20 || outer.Height() < 20
	large := outer.Width() < wide || outer.Height() < high
	if math.IsNaN(outer.Width()+outer.Height()) || math.IsInf(outer.Width()+outer.Height(), 0) || small || large && !d.opt.Small {
		return fmt.Errorf("a sheet of %g by %g mm has no room for the drawing; give at least 120 by 125 mm, or 30 by 30 mm for a small picture", d.s.Width, d.s.Height)
	}
	return nil
}

// setScale takes the largest scale at which everything fits, and puts the
// drawing in the middle of the room.
func (d *drawing) setScale(free sheet.Box) error {
	all := extent(d.bank, d.runs)
	x0, y0 := d.view.flat(all.Min)
	x1, y1 := d.view.flat(all.Max)
	wide, high := 1000*(x1-x0), 1000*(y1-y0)
	need := max(wide/free.Width(), high/free.Height())
	if !(free.Width() > 0) || !(free.Height() > 0) || !(need > 0) {
		return fmt.Errorf("a sheet of %g by %g mm has no room left for the drawing; make it larger", d.s.Width, d.s.Height)
	}
	d.view.scale = need
	if !d.opt.Small {
		for _, s := range scales {
			if d.view.scale = s; s >= need {
				break
			}
		}
		if d.view.scale < need {
			return fmt.Errorf("the bank is %.0f m wide and does not fit the sheet at 1 : %.0f; look at the units of its places", wide/1000, d.view.scale)
		}
	}
	d.view.corner = bank.Point{X: all.Min.X, Y: all.Max.Y, Z: all.Max.Z}
	d.view.origin = pt(free.X0+(free.Width()-wide/d.view.scale)/2, free.Y0+(free.Height()-high/d.view.scale)/2)
	return nil
}

// shrink takes the height that is not needed off the sheet.
func (d *drawing) shrink(free sheet.Box, foot float64) {
	all := d.view.box(extent(d.bank, d.runs))
	spare := free.Height() - all.Height()
	d.view.origin.Y -= spare / 2
	d.room.Y1 -= spare
	d.s.Height -= spare
}

// header sets the title and what is drawn under it, and gives the height that
// takes. Only with draw set does it put anything on the sheet.
func (d *drawing) header(outer sheet.Box, draw bool) float64 {
	if d.opt.Small {
		return 0
	}
	it := sheet.Item{Layer: sheet.Words}
	y := outer.Y0
	set := func(font sheet.Font, size float64, role sheet.Role, most int, text string) {
		lines := sheet.Wrap(font, size, outer.Width(), text)
		if len(lines) > most {
			lines = append(lines[:most-1], sheet.Fit(font, size, outer.Width(), lines[most-1]+" …"))
		}
		for _, l := range lines {
			y += float64(lineHigh * size)
			it.Text(sheet.Text{At: pt(outer.X0, y-float64(0.5*size)), S: l, Size: size, Font: font, Role: role})
		}
	}
	set(sheet.Bold, sheet.Head, sheet.Ink, 2, d.s.Title)
	set(sheet.Regular, sheet.Body, sheet.Grey, 2, d.subtitle())
	if draw {
		d.s.Add(it)
	}
	return y - outer.Y0 + 1
}

// frame draws frame and title block with the scale filled in.
func (d *drawing) frame() {
	b := *d.opt.Frame
	if b.Scale == "" {
		b.Scale = fmt.Sprintf("1 : %.0f", d.view.scale)
	}
	d.s.Frame(b)
}

// subtitle says what the currents are of.
func (d *drawing) subtitle() string {
	what := "seen from above"
	if d.view.front {
		what = "seen from the front"
	}
	if w := d.opt.Wiring; w != nil {
		text := fmt.Sprintf("%s; %s of cable, worst battery %s above the mean", what, d.copper(w.Copper), sheet.Over(w.Imbalance))
		if d.live {
			text += " at " + d.amps(math.Abs(d.total))
		}
		return text
	}
	if !d.live {
		return what + "; no currents yet"
	}
	c := d.report.Sharing.Case
	word := "draw of "
	if d.total < 0 {
		word = "charge of "
	}
	text := what + "; " + word + d.amps(math.Abs(d.total)) + " at the take-off"
	if id := sheet.Clean(c.ID); id != "" {
		text += ", case " + id
	}
	if c.Origin == "assumed" {
		text += " (assumed)"
	}
	return text
}

// copper prints a sum of lengths, in feet for a reader of inches.
func (d *drawing) copper(m float64) string {
	if s := d.bank.Show.Length; s == "in" || s == "ft" {
		return sheet.Decimal(m/0.3048, 1) + " ft" // exact: NIST SP 811, 2008, B.8 (from memory)
	}
	return sheet.Decimal(m, 2) + " m"
}
