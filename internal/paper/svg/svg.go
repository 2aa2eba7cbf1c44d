// Package svg writes a [sheet.Sheet] as SVG. The same sheet gives the same
// bytes. There are no style attributes, so the drawing can stand in a page
// with a strict content security policy: colours come from classes, either of
// the page's own style sheet, which can take them from [CSS], or of a style
// element in a file that stands alone.
package svg

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"

	"bankwright/internal/paper/sheet"
)

// Options say what the SVG is for.
type Options struct {
	// Standalone is for a file of its own: it carries its colours, for light and
	// dark and print, and its size in millimetres. Else it takes the size and
	// the colours that the page gives it.
	Standalone bool
	// IDPrefix, if not empty, gives the first group of each thing an id: the
	// prefix and the thing's ID.
	IDPrefix string
	// Explorable lets a screen reader go from thing to thing. Else the drawing
	// is one picture with one name, as role img has it.
	Explorable bool
}

// Write writes the sheet. The error is the sheet's own, where it cannot be
// drawn, or the writer's.
func Write(w io.Writer, s *sheet.Sheet, opt Options) error {
	if err := s.Check(); err != nil {
		return err
	}
	p := printer{opt: opt, named: map[string]bool{}}
	p.open(s)
	items := s.Layered()
	for i, it := range items {
		if i == 0 || it.Layer != items[i-1].Layer {
			if i > 0 {
				p.raw("</g>\n")
			}
			p.rawf("<g data-layer=\"%s\">\n", it.Layer)
		}
		p.item(it)
	}
	if len(items) > 0 {
		p.raw("</g>\n")
	}
	p.raw("</svg>\n")
	_, err := w.Write(p.Bytes())
	return err
}

type printer struct {
	bytes.Buffer
	opt   Options
	named map[string]bool
}

func (p *printer) raw(s string) { p.WriteString(s) }

func (p *printer) rawf(format string, args ...any) { fmt.Fprintf(&p.Buffer, format, args...) }

// open writes everything before the first item.
func (p *printer) open(s *sheet.Sheet) {
	role := "img"
	if p.opt.Explorable {
		role = "group"
	}
	title := sheet.Clean(s.Title)
	p.rawf(`<svg xmlns="http://www.w3.org/2000/svg" class="sheet" viewBox="0 0 %s %s"`, number(s.Width), number(s.Height))
	if p.opt.Standalone {
		p.rawf(` width="%smm" height="%smm"`, number(s.Width), number(s.Height))
	}
	p.rawf(` role="%s" aria-label="%s" font-family="Go,'DejaVu Sans',sans-serif">`, role, escape(title))
	p.rawf("\n<title>%s</title>\n", escape(title))
	if d := sheet.Clean(s.Description); d != "" {
		p.rawf("<desc>%s</desc>\n", escape(d))
	}
	if p.opt.Standalone {
		p.rawf("<style>\n%s</style>\n", CSS())
	}
	p.rawf("<path class=\"f-paper\" d=\"M0 0H%sV%sH0Z\"/>\n", number(s.Width), number(s.Height))
}

func (p *printer) item(it sheet.Item) {
	if it.ID == "" && it.Name == "" {
		for _, m := range it.Marks {
			p.mark(m)
		}
		return
	}
	first := !p.named[it.ID]
	p.named[it.ID] = true
	p.raw("<g")
	if it.ID != "" {
		p.rawf(` data-id="%s"`, escape(it.ID))
		if p.opt.IDPrefix != "" && first {
			p.rawf(` id="%s"`, escape(p.opt.IDPrefix+it.ID))
		}
	}
	name := escape(sheet.Clean(it.Name))
	if p.opt.Explorable && name != "" {
		p.rawf(` role="img" aria-label="%s"`, name)
	}
	p.raw(">")
	if name != "" {
		p.rawf("<title>%s</title>", name)
	}
	p.raw("\n")
	for _, m := range it.Marks {
		p.mark(m)
	}
	p.raw("</g>\n")
}

func (p *printer) mark(m sheet.Mark) {
	switch m := m.(type) {
	case sheet.Path:
		p.raw("<path")
		p.style(m.Style)
		p.raw(` d="`)
		p.data(m.Pieces)
		p.raw("\"/>\n")
	case sheet.Circle:
		p.raw("<circle")
		p.style(m.Style)
		p.rawf(" cx=\"%s\" cy=\"%s\" r=\"%s\"/>\n", number(m.Centre.X), number(m.Centre.Y), number(m.Radius))
	case sheet.Text:
		p.text(m)
	default:
		panic(fmt.Sprintf("svg: a mark of type %T cannot be written", m))
	}
}

func (p *printer) style(s sheet.Style) {
	class := ""
	if s.Fill != sheet.None {
		class = "f-" + s.Fill.String()
	} else {
		p.raw(` fill="none"`)
	}
	if s.Stroke != sheet.None {
		if class != "" {
			class += " "
		}
		class += "s-" + s.Stroke.String()
		p.rawf(` stroke-width="%s"`, number(s.Weight))
		if s.Round {
			p.raw(` stroke-linecap="round" stroke-linejoin="round"`)
		}
	}
	if class != "" {
		p.rawf(` class="%s"`, class)
	}
	if s.Stroke != sheet.None && len(s.Dash) > 0 {
		p.raw(` stroke-dasharray="`)
		for i, d := range s.Dash {
			if i > 0 {
				p.raw(" ")
			}
			p.raw(number(d))
		}
		p.raw(`"`)
	}
}

func (p *printer) data(pieces []sheet.Piece) {
	for _, piece := range pieces {
		q := piece.P
		switch piece.Op {
		case sheet.Move:
			p.rawf("M%s %s", number(q[0].X), number(q[0].Y))
		case sheet.To:
			p.rawf("L%s %s", number(q[0].X), number(q[0].Y))
		case sheet.Curve:
			p.rawf("C%s %s %s %s %s %s", number(q[0].X), number(q[0].Y), number(q[1].X), number(q[1].Y), number(q[2].X), number(q[2].Y))
		case sheet.Close:
			p.raw("Z")
		}
	}
}

// text writes one line of lettering. Its length is written too, so that a
// reader without the Go fonts sees it squeezed or stretched to the room that
// was measured for it.
func (p *printer) text(t sheet.Text) {
	if t.S == "" {
		return
	}
	x, y := number(t.At.X), number(t.At.Y)
	p.rawf(`<text x="%s" y="%s" font-size="%s" class="f-%s"`, x, y, number(t.Size), t.Role)
	switch t.Font {
	case sheet.Bold:
		p.raw(` font-weight="bold"`)
	case sheet.Mono:
		p.raw(` font-family="'Go Mono','DejaVu Sans Mono',monospace"`)
	}
	switch t.Anchor {
	case sheet.Middle:
		p.raw(` text-anchor="middle"`)
	case sheet.End:
		p.raw(` text-anchor="end"`)
	}
	if t.Turned {
		p.rawf(` transform="rotate(-90 %s %s)"`, x, y)
	}
	p.rawf(" textLength=\"%s\" lengthAdjust=\"spacingAndGlyphs\">%s</text>\n", number(t.Width()), escape(t.S))
}

// number prints millimetres to the hundredth without trailing zeros. Halves go
// up, with a nudge of a ten-billionth of a metre, so that the last bit of a sum
// does not decide a digit.
func number(x float64) string {
	const perMM, nudge = 100, 1e-5
	n := math.Floor(float64(x*perMM) + (0.5 + nudge))
	if n == 0 {
		return "0" // never "-0"
	}
	return strconv.FormatFloat(n/perMM, 'f', -1, 64)
}

// escape makes text fit for XML, in content and in attributes. Signs that XML
// 1.0 does not allow become U+FFFD.
func escape(s string) string {
	var b bytes.Buffer
	if err := xml.EscapeText(&b, []byte(s)); err != nil {
		panic("svg: writing to memory failed: " + err.Error())
	}
	return b.String()
}
