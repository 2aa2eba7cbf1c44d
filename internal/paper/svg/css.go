package svg

import (
	"fmt"
	"strings"

	"bankwright/internal/paper/sheet"
)

// Theme is one set of colours.
type Theme uint8

// The themes. Print is Light on white paper.
const (
	Light Theme = iota
	Dark
	Print
)

// colours are ours. Words and conductors stand out from paper by at least
// 4.5 : 1, the contrast of WCAG 2.2 criterion 1.4.3 for text (from memory; a
// test computes it). On dark paper the negative is drawn light: what tells it
// from the positive is its core line and its sign, not only its colour.
var colours = map[sheet.Role][3]string{
	sheet.Ink:       {"#1d1d1b", "#ecebe4", "#000000"},
	sheet.Grey:      {"#6b6b65", "#a6a59d", "#5c5c58"},
	sheet.Faint:     {"#dfe0da", "#3b3b37", "#dddddd"},
	sheet.Paper:     {"#fdfcf8", "#171715", "#ffffff"},
	sheet.Positive:  {"#b3231c", "#ff7b6b", "#b3231c"},
	sheet.Negative:  {"#1d1d1b", "#ecebe4", "#000000"},
	sheet.Attention: {"#9c5a00", "#e2a23b", "#9c5a00"},
	sheet.Bond:      {"#1f7a3d", "#5cc083", "#1f7a3d"},
}

// Colour gives a role's colour as #rrggbb, "" for a role that draws nothing.
func Colour(r sheet.Role, t Theme) string {
	if c, ok := colours[r]; ok && t <= Print {
		return c[t]
	}
	return ""
}

// CSS gives the rules for the classes of the drawings: f- and a role fills,
// s- and a role strokes, within an element of class sheet. Dark follows what
// the reader prefers; print is on white.
func CSS() string {
	var b strings.Builder
	rules(&b, Light, "")
	b.WriteString("@media screen and (prefers-color-scheme:dark){\n")
	rules(&b, Dark, "")
	b.WriteString("}\n@media print{\n")
	rules(&b, Print, "")
	b.WriteString("}\n")
	return b.String()
}

// Themed gives the rules of one theme below a selector, for a page whose
// reader has picked light or dark by hand.
func Themed(t Theme, selector string) string {
	var b strings.Builder
	rules(&b, t, selector+" ")
	return b.String()
}

func rules(b *strings.Builder, t Theme, before string) {
	for _, r := range sheet.Roles() {
		c := Colour(r, t)
		fmt.Fprintf(b, "%s.sheet .f-%s{fill:%s}%s.sheet .s-%s{stroke:%s}\n", before, r, c, before, r, c)
	}
}
