package sheet

import (
	"strings"
	"sync"
	"unicode"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Font is one of the Go fonts.
type Font uint8

// The fonts.
const (
	Regular Font = iota
	Bold
	Mono
)

// Anchor says which end of a text its place is.
type Anchor uint8

// The anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// Ascent and Descent are how far letters reach over and under the base line,
// in ems: the tallest and deepest of the letters, figures and common signs of
// the Go fonts (a test measures them).
const (
	Ascent  = 0.8
	Descent = 0.22
)

// Text is one line of lettering. At is on its base line.
type Text struct {
	At     Point
	S      string
	Size   float64 // em, mm
	Font   Font
	Role   Role
	Anchor Anchor
	Turned bool // a quarter counter-clockwise, to be read from the right
}

// Width gives the length of the text along its line, mm.
func (t Text) Width() float64 { return TextWidth(t.Font, t.Size, t.S) }

// Box implements [Mark]: the length of the text by the height of its letters.
func (t Text) Box() Box {
	w := t.Width()
	from := 0.0
	switch t.Anchor {
	case Middle:
		from = -w / 2
	case End:
		from = -w
	}
	up, down := float64(Ascent*t.Size), float64(Descent*t.Size)
	if t.Turned {
		return Box{t.At.X - up, t.At.Y - from - w, t.At.X + down, t.At.Y - from}
	}
	return Box{t.At.X + from, t.At.Y - up, t.At.X + from + w, t.At.Y + down}
}

// face is a parsed font and how far each of the first signs, Latin and Greek,
// moves the pen, in ems.
type face struct {
	font  *sfnt.Font
	first [0x400]float64
}

var faces = [...]func() *face{
	Regular: sync.OnceValue(func() *face { return load(goregular.TTF) }),
	Bold:    sync.OnceValue(func() *face { return load(gobold.TTF) }),
	Mono:    sync.OnceValue(func() *face { return load(gomono.TTF) }),
}

func load(ttf []byte) *face {
	parsed, err := sfnt.Parse(ttf)
	if err != nil {
		panic("sheet: a font built into the program does not parse: " + err.Error())
	}
	f := &face{font: parsed}
	var buf sfnt.Buffer
	for r := range f.first {
		f.first[r] = f.advance(&buf, rune(r))
	}
	return f
}

// advance gives how far a rune moves the pen, in ems. A rune the Go fonts lack
// comes from whatever font the reader has: a full em, as wide as a Han sign.
func (f *face) advance(buf *sfnt.Buffer, r rune) float64 {
	const foreign = 1
	glyph, err := f.font.GlyphIndex(buf, r)
	if err != nil || glyph == 0 {
		return foreign
	}
	em := f.font.UnitsPerEm()
	adv, err := f.font.GlyphAdvance(buf, glyph, fixed.I(int(em)), font.HintingNone)
	if err != nil {
		return foreign
	}
	return float64(adv) / 64 / float64(em)
}

// TextWidth gives the length of a line of text in mm at a size in mm, without
// kerning. Runes that the Go fonts lack count as one em.
func TextWidth(f Font, size float64, s string) float64 {
	if int(f) >= len(faces) {
		f = Regular
	}
	face := faces[f]()
	var buf *sfnt.Buffer // of kilobytes: made only where it is needed
	ems := 0.0
	for _, r := range s {
		if int(r) < len(face.first) {
			ems += face.first[r]
			continue
		}
		if buf == nil {
			buf = new(sfnt.Buffer)
		}
		ems += face.advance(buf, r)
	}
	return float64(ems * size)
}

// TextBox gives the size of lines of text set under each other at the given
// line height in ems.
func TextBox(f Font, size, leading float64, lines ...string) (w, h float64) {
	for _, l := range lines {
		w = max(w, TextWidth(f, size, l))
	}
	if len(lines) == 0 {
		return 0, 0
	}
	return w, float64(size * (Ascent + Descent + float64(float64(len(lines)-1)*leading)))
}

// Clean makes a text fit to be set on one line: signs that steer or hide
// (control and format characters, such as those that turn the direction of
// writing) and bytes that are no UTF-8 go, white space becomes one space.
func Clean(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case r == unicode.ReplacementChar || !unicode.IsGraphic(r):
			return -1
		}
		return r
	}, s)
	return strings.Join(strings.Fields(s), " ")
}

// Fit gives the text cut, with "…", to at most the width given. It is empty
// where not even that sign fits.
func Fit(f Font, size, width float64, s string) string {
	if TextWidth(f, size, s) <= width {
		return s
	}
	runes := []rune(s)
	for n := len(runes) - 1; n >= 0; n-- {
		short := strings.TrimRight(string(runes[:n]), " ") + "…"
		if TextWidth(f, size, short) <= width {
			return short
		}
	}
	return ""
}

// Wrap breaks a text into lines of at most the width given, at spaces, and
// within a word only where that alone is too long.
func Wrap(f Font, size, width float64, s string) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		for _, part := range pieces(f, size, width, word) {
			switch next := line + " " + part; {
			case line == "":
				line = part
			case TextWidth(f, size, next) <= width:
				line = next
			default:
				lines, line = append(lines, line), part
			}
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// pieces breaks a word that is wider than a line.
func pieces(f Font, size, width float64, word string) []string {
	if TextWidth(f, size, word) <= width {
		return []string{word}
	}
	var list []string
	from := 0
	runes := []rune(word)
	for to := 1; to <= len(runes); to++ {
		if to == len(runes) || to > from && TextWidth(f, size, string(runes[from:to+1])) > width {
			list = append(list, string(runes[from:to]))
			from = to
		}
	}
	return list
}
