package sheet

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// signs are what drawings of this kind are lettered with. Brackets and the
// vertical bar reach deeper and are not used.
const signs = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+-−.,:;%/#°Ω²µ"

func TestAscentAndDescentHoldEveryLetter(t *testing.T) {
	var buf sfnt.Buffer
	for name, f := range map[string]Font{"regular": Regular, "bold": Bold, "mono": Mono} {
		face := faces[f]()
		for _, r := range signs {
			g, err := face.font.GlyphIndex(&buf, r)
			if err != nil || g == 0 {
				t.Errorf("%s lacks %q: %v", name, r, err)
				continue
			}
			// 1024 pixels to the em, so that the bounds come in fine steps.
			box, _, err := face.font.GlyphBounds(&buf, g, fixed.I(1024), font.HintingNone)
			if err != nil {
				t.Fatal(err)
			}
			up, down := -float64(box.Min.Y)/64/1024, float64(box.Max.Y)/64/1024
			if up > Ascent || down > Descent {
				t.Errorf("%s %q reaches %.3f up and %.3f down, over %.2f and %.2f", name, r, up, down, Ascent, Descent)
			}
		}
	}
}

func TestTextWidth(t *testing.T) {
	// Advances read from the fonts' own hmtx tables: every sign of a font of one
	// width is as wide, so ten are ten times one.
	one := TextWidth(Mono, 1, "i")
	if got := TextWidth(Mono, 3, "W2 35.1 A!"); math.Abs(got-30*one) > 1e-9 {
		t.Errorf("mono: %g, want %g", got, 30*one)
	}
	if r, b := TextWidth(Regular, 3, "battery"), TextWidth(Bold, 3, "battery"); !(b > r && r > 3) {
		t.Errorf("bold %g should be wider than regular %g", b, r)
	}
	if got := TextWidth(Regular, 2, "電"); got != 2 {
		t.Errorf("a sign the fonts lack is %g, want one em, 2", got)
	}
	if got := TextWidth(Regular, 2, ""); got != 0 {
		t.Errorf("no text is %g wide", got)
	}
	if w, h := TextBox(Regular, 2, 1.3); w != 0 || h != 0 {
		t.Errorf("no lines take %g by %g", w, h)
	}
	if w, h := TextBox(Mono, 2, 1.3, "a", "abc"); math.Abs(w-6*one) > 1e-9 || math.Abs(h-2*(Ascent+Descent+1.3)) > 1e-9 {
		t.Errorf("two lines take %g by %g, want %g and a line and 1.3 ems more", w, h, 6*one)
	}
}

func TestTextBoxTurnsWithTheText(t *testing.T) {
	for _, a := range []Anchor{Start, Middle, End} {
		flat := Text{At: Point{10, 20}, S: "19 3/4 in", Size: 3, Anchor: a}
		turned := flat
		turned.Turned = true
		f, u := flat.Box(), turned.Box()
		// A quarter counter-clockwise about At takes (dx, dy) to (dy, -dx).
		want := Box{10 + (f.Y0 - 20), 20 - (f.X1 - 10), 10 + (f.Y1 - 20), 20 - (f.X0 - 10)}
		if d := math.Abs(u.X0-want.X0) + math.Abs(u.Y0-want.Y0) + math.Abs(u.X1-want.X1) + math.Abs(u.Y1-want.Y1); d > 1e-9 {
			t.Errorf("anchor %d: turned box %v, want %v", a, u, want)
		}
	}
}

func TestCleanFitWrap(t *testing.T) {
	if got := Clean(" a\x00b\n\tc \u202e d\xff\u200b "); got != "ab c d" {
		t.Errorf("Clean gives %q", got)
	}
	long := "a rather long name of a bank in a trailer"
	fit := Fit(Regular, 3, 30, long)
	if TextWidth(Regular, 3, fit) > 30 || !strings.HasSuffix(fit, "…") || len(fit) < 10 {
		t.Errorf("Fit gives %q", fit)
	}
	if got := Fit(Regular, 3, 0.1, long); got != "" {
		t.Errorf("Fit into nothing gives %q", got)
	}
	lines := Wrap(Regular, 3, 30, long+" "+strings.Repeat("x", 60))
	for _, l := range lines {
		if TextWidth(Regular, 3, l) > 30 {
			t.Errorf("line %q is too wide", l)
		}
	}
	if got := strings.ReplaceAll(strings.Join(lines, ""), " ", ""); got != strings.ReplaceAll(long, " ", "")+strings.Repeat("x", 60) {
		t.Errorf("Wrap lost something: %q", lines)
	}
}

func TestArcStaysOnItsCircle(t *testing.T) {
	var p Path
	c := Point{3, -2}
	p.Arc(c, 5, 0.3, 0.3+1.9*math.Pi)
	from := p.Pieces[0].P[0]
	for _, piece := range p.Pieces[1:] {
		for k := range 11 {
			s := float64(k) / 10
			u := 1 - s
			q := from.Times(u * u * u).Plus(piece.P[0].Times(3 * u * u * s)).Plus(piece.P[1].Times(3 * u * s * s)).Plus(piece.P[2].Times(s * s * s))
			// 0.03 % of the radius is the bound the doc comment names.
			if off := math.Abs(q.Minus(c).Length() - 5); off > 5*3e-4 {
				t.Fatalf("%.4f mm off the circle", off)
			}
		}
		from = piece.P[2]
	}
}

func TestWithinAgreesWithSampling(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	const n = 4000
	for range 200 {
		b := Box{-rng.Float64(), -rng.Float64(), rng.Float64(), rng.Float64()}
		p, q := Point{3*rng.Float64() - 1.5, 3*rng.Float64() - 1.5}, Point{3*rng.Float64() - 1.5, 3*rng.Float64() - 1.5}
		inside := 0
		for k := range n {
			r := Between(p, q, (float64(k)+0.5)/n)
			if r.X > b.X0 && r.X < b.X1 && r.Y > b.Y0 && r.Y < b.Y1 {
				inside++
			}
		}
		length := q.Minus(p).Length()
		// Two samples at each end may fall either way.
		if want := length * float64(inside) / n; math.Abs(b.Within(p, q)-want) > 2*length/n {
			t.Errorf("Within %v of %v to %v is %g, sampled %g", b, p, q, b.Within(p, q), want)
		}
	}
	if got := (Box{0, 0, 1, 1}).Within(Point{0, 0}, Point{0, 1}); got != 0 {
		t.Errorf("a line along a side is %g inside, want 0", got)
	}
}

func TestHatchStaysInItsBox(t *testing.T) {
	b := Box{1, 2, 8, 5}
	p := Hatch(Line(Ink, W018), b, 1)
	// Lines of 45° a millimetre apart: (7 + 3)/√2 of them, cut down.
	if n := len(p.Pieces) / 2; n != 7 {
		t.Errorf("%d lines, want 7", n)
	}
	if !b.Contains(p.Box()) {
		t.Errorf("hatch covers %v, box is %v", p.Box(), b)
	}
	for i := 0; i < len(p.Pieces); i += 2 {
		d := p.Pieces[i+1].P[0].Minus(p.Pieces[i].P[0])
		if math.Abs(d.X+d.Y) > 1e-9 {
			t.Errorf("line %d does not slant by 45°: %v", i/2, d)
		}
	}
}

func TestCheckRefusesWhatCannotBeDrawn(t *testing.T) {
	for name, s := range map[string]Sheet{
		"no size": {},
		"NaN":     {Width: 10, Height: 10, Items: []Item{{Marks: []Mark{Circle{Point{math.NaN(), 1}, 1, Style{}}}}}},
		"inf":     {Width: 10, Height: 10, Items: []Item{{Marks: []Mark{Polyline(Line(Ink, 1), Point{0, 0}, Point{math.Inf(1), 0})}}}},
	} {
		if s.Check() == nil {
			t.Errorf("%s: no error", name)
		}
	}
	good := Sheet{Width: 10, Height: 10}
	if err := good.Check(); err != nil {
		t.Error(err)
	}
}

func TestLayersComeInOrder(t *testing.T) {
	var s Sheet
	for i, l := range []Layer{Words, Ground, Posts, Ground} {
		s.Add(Item{ID: string(rune('a' + i)), Layer: l, Marks: []Mark{Circle{}}})
	}
	s.Add(Item{ID: "empty"})
	ids := ""
	for _, it := range s.Layered() {
		ids += it.ID
	}
	if ids != "bdca" {
		t.Errorf("order %q, want bdca", ids)
	}
}

func TestFrameHoldsItsWords(t *testing.T) {
	long := strings.Repeat("a very long field ", 10)
	for _, size := range [][2]float64{{297, 210}, {420, 297}, {120, 160}} {
		s := Sheet{Width: size[0], Height: size[1]}
		room, block := s.Frame(TitleBlock{Title: long, Document: long, Scale: "1 : 5", Revision: "C", Sheet: "23", Job: long, Compared: long, Drawn: long, Units: long})
		if !room.Contains(block) || !(Box{0, 0, s.Width, s.Height}).Contains(room) {
			t.Errorf("%v: block %v, room %v", size, block, room)
		}
		if wrong := s.Misplaced(); wrong != nil {
			t.Errorf("%v: %s", size, strings.Join(wrong, "\n"))
		}
		if n := len(s.Texts()); n != 20+14 {
			t.Errorf("%v: %d texts, want 20 of the block and 14 of the zones", size, n)
		}
	}
}
