package chart

import (
	"math"

	"bankwright/internal/paper/sheet"
)

// lettering is the sizes of text of one drawing, mm.
type lettering struct{ fine, body, large, head float64 }

// Text of a sheet that fills a laptop's screen, and of one as wide as a phone.
// There a millimetre is 96/25.4 pixels (CSS Values and Units Level 3, 2022,
// clause 6.2, from memory), so the small text is 11 and 12 pixels high.
var (
	plainLettering = lettering{sheet.Fine, sheet.Body, sheet.Large, sheet.Head}
	smallLettering = lettering{2.9, 3.2, 3.8, 4.5}
)

// Widths of paper if none is asked for, mm. The phone's is 360 pixels.
const (
	phoneWide  = 360 * 25.4 / 96
	framedWide = 297
	framedHigh = 210
)

// ems gives a length in mm from one in ems of a size of text, rounded so that
// it is the same whatever it is added to.
func ems(n, size float64) float64 { return float64(n * size) }

// drop is how far the base line lies below the middle of a line of text, mm.
func drop(size float64) float64 { return ems((sheet.Ascent-sheet.Descent)/2, size) }

// leading is the way from one line of text to the next, ems.
const leading = 1.4

// page is a sheet that is filled from its head and from its foot, with what is
// drawn in the room between.
type page struct {
	s     *sheet.Sheet
	small bool
	frame *sheet.TitleBlock
	text  lettering
	room  sheet.Box // inside the margins; the bottom moves where the height is free
	free  bool      // the height is what the drawing needs
}

// newPage begins a sheet. A size that is nil or no number is the usual one, a
// width too small for the least drawing is raised to what that needs.
func newPage(width, height, usual float64, small bool, frame *sheet.TitleBlock) page {
	const least, most = 80, 2000
	p := page{s: &sheet.Sheet{}, small: small, frame: frame, text: plainLettering}
	margin := 6.0
	switch {
	case small:
		p.text, usual, margin = smallLettering, phoneWide, 3
	case frame != nil:
		usual, margin = framedWide, 8+4 // the frame, and room inside it
		if !(height > 0) {
			height = framedHigh
		}
	}
	if small && frame != nil {
		margin = 8 + 2
	}
	if frame != nil && frame.Scale == "" {
		filled := *frame
		filled.Scale = "none"
		p.frame = &filled
	}
	if !(width > 0) || math.IsInf(width, 0) {
		width = usual
	}
	if p.free = !(height > 0) || math.IsInf(height, 0); p.free {
		height = 0
	}
	p.s.Width, p.s.Height = min(max(width, least), most), min(height, most)
	p.room = sheet.Box{X0: margin, Y0: margin, X1: p.s.Width - margin, Y1: p.s.Height - margin}
	return p
}

// heading sets the title and grey lines under it, wrapped, and moves the room
// below them.
func (p *page) heading(title string, below ...string) {
	it := sheet.Item{Layer: sheet.Words}
	set := func(font sheet.Font, size float64, role sheet.Role, most int, text string) {
		for _, l := range wrapped(font, size, p.room.Width(), most, sheet.Clean(text)) {
			p.room.Y0 += ems(leading, size)
			it.Text(sheet.Text{At: sheet.Point{X: p.room.X0, Y: p.room.Y0 - ems(0.45, size)}, S: l, Size: size, Font: font, Role: role})
		}
	}
	set(sheet.Bold, p.text.head, sheet.Ink, 2, title)
	for _, b := range below {
		set(sheet.Regular, p.text.body, sheet.Grey, 3, b)
	}
	p.s.Add(it)
}

// wrapped breaks a text into at most so many lines; the last is cut where that
// is not enough.
func wrapped(font sheet.Font, size, width float64, most int, text string) []string {
	lines := sheet.Wrap(font, size, width, text)
	if len(lines) > most {
		lines = append(lines[:most-1], sheet.Fit(font, size, width, lines[most-1]+" …"))
	}
	return lines
}

// blockRoom is the height of the title block and what stands clear of it, mm.
const blockRoom = 19.0

// narrow gives the width of what stands beside the title block, and whether
// anything can.
func (p *page) narrow() (width float64, beside bool) {
	const block = 172
	if p.frame == nil {
		return p.room.Width(), false
	}
	if p.room.Width() < block+60 {
		return p.room.Width(), false
	}
	return p.room.Width() - block, true
}

// part is a piece of the foot: so high, drawn from its upper left corner down.
type part struct {
	high float64
	draw func(at sheet.Point)
}

// partGap is the room above each piece of the foot, mm.
const partGap = 2.0

// feet gives the height that the foot takes: wide pieces one under the other,
// then narrow ones, beside the title block if there is one.
func (p *page) feet(wide, beside []part) float64 {
	total := func(list []part) float64 {
		sum := 0.0
		for _, f := range list {
			if f.high > 0 {
				sum += f.high + partGap
			}
		}
		return sum
	}
	high := total(beside)
	if p.frame != nil {
		if _, ok := p.narrow(); ok {
			high = max(high, blockRoom-4) // the frame's own margin is 4 mm narrower
		} else {
			high += blockRoom - 4
		}
	}
	return total(wide) + high
}

// close sets the height of the sheet where it is free, draws the foot, frame
// and title block. Base is where the foot begins.
func (p *page) close(base float64, wide, beside []part) {
	if margin := p.s.Width - p.room.X1; p.free {
		p.s.Height = base + p.feet(wide, beside) + margin
	}
	at := sheet.Point{X: p.room.X0, Y: base}
	for _, list := range [][]part{wide, beside} {
		for _, f := range list {
			if f.high > 0 {
				at.Y += partGap
				f.draw(at)
				at.Y += f.high
			}
		}
	}
	if p.frame != nil {
		p.s.Frame(*p.frame)
	}
}

// axisRoom is the height of the numbers and the words under a level axis, mm.
func (p *page) axisRoom() float64 { return ems(tickRow+axisRow, p.text.body) + 0.6 }

// nothing fills a sheet that has nothing to draw with the reason.
func (p *page) nothing(why string) {
	reason := p.lines(p.text.body, p.room.Width(), 6, sheet.Grey, why)
	if high := p.room.Y0 + p.feet([]part{reason}, nil) + p.s.Width - p.room.X1; p.free || p.s.Height < high {
		p.s.Height, p.free = high, false
	}
	p.close(p.room.Y0, []part{reason}, nil)
}

// lines makes a part of the foot of lines of text, wrapped to a width.
func (p *page) lines(size, width float64, most int, role sheet.Role, texts ...string) part {
	var lines []string
	for _, t := range texts {
		lines = append(lines, sheet.Wrap(sheet.Regular, size, width, sheet.Clean(t))...)
	}
	if len(lines) > most {
		lines = append(lines[:most-1], sheet.Fit(sheet.Regular, size, width, lines[most-1]+" …"))
	}
	return part{ems(leading*float64(len(lines)), size), func(at sheet.Point) {
		it := sheet.Item{Layer: sheet.Words}
		for _, l := range lines {
			at.Y += ems(leading, size)
			it.Text(sheet.Text{At: sheet.Point{X: at.X, Y: at.Y - ems(0.4, size)}, S: l, Size: size, Role: role})
		}
		p.s.Add(it)
	}}
}
