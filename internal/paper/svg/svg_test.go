package svg

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"bankwright/internal/paper/sheet"
)

const hostile = `</text><script>alert("1")</script> & 'x' ]]> --> <![CDATA[`

// sample has one of every kind of mark, named and unnamed things.
func sample(title string) *sheet.Sheet {
	s := &sheet.Sheet{Title: title, Description: title, Width: 100, Height: 60.5}
	p := sheet.Path{Style: sheet.Line(sheet.Negative, sheet.W070).Rounded().Dashed(2, 1)}
	p.Arc(sheet.Point{X: 10, Y: 10}, 4, 0, 3)
	p.Close()
	a := sheet.Item{ID: "B1", Name: "battery B1, " + title, Layer: sheet.Cases, Marks: []sheet.Mark{p}}
	a.Circle(sheet.Filled(sheet.Bond), sheet.Point{X: 1, Y: 1}, 0.5)
	a.Circle(sheet.Line(sheet.Faint, 0.13), sheet.Point{X: -0.001, Y: 1}, 0.5)
	b := sheet.Item{ID: "B1", Layer: sheet.Words}
	b.Text(sheet.Text{At: sheet.Point{X: 50, Y: 30}, S: title, Size: 2.8, Font: sheet.Bold, Role: sheet.Ink, Anchor: sheet.Middle})
	b.Text(sheet.Text{At: sheet.Point{X: 50, Y: 40}, S: "19 3/4 in", Size: 2.8, Font: sheet.Mono, Role: sheet.Grey, Anchor: sheet.End, Turned: true})
	b.Text(sheet.Text{At: sheet.Point{X: 50, Y: 40}, Size: 2.8, Role: sheet.Grey})
	c := sheet.Item{Layer: sheet.Ground}
	c.Rect(sheet.Line(sheet.Ink, 0.5).On(sheet.Paper), sheet.Box{X0: 1, Y0: 1, X1: 99, Y1: 59})
	s.Add(b, a, c)
	return s
}

func write(t *testing.T, s *sheet.Sheet, opt Options) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, s, opt); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// element is one start tag with its attributes and the text right behind it.
type element struct {
	name string
	attr map[string]string
	text string
}

func parse(t *testing.T, doc string) []element {
	t.Helper()
	var list []element
	d := xml.NewDecoder(strings.NewReader(doc))
	d.Strict = true
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return list
		}
		if err != nil {
			t.Fatalf("not well formed: %v\n%s", err, doc)
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			e := element{tok.Name.Local, map[string]string{}, ""}
			for _, a := range tok.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			list = append(list, e)
		case xml.CharData:
			if len(list) > 0 {
				list[len(list)-1].text += string(tok)
			}
		}
	}
}

func find(list []element, name string) []element {
	var found []element
	for _, e := range list {
		if e.name == name {
			found = append(found, e)
		}
	}
	return found
}

func TestHostileWordsStayWords(t *testing.T) {
	for _, opt := range []Options{{}, {Standalone: true}, {IDPrefix: "p-", Explorable: true}} {
		list := parse(t, write(t, sample(hostile), opt))
		if n := len(find(list, "script")); n != 0 {
			t.Errorf("%+v: %d script elements", opt, n)
		}
		if got := strings.TrimSpace(find(list, "title")[0].text); got != sheet.Clean(hostile) {
			t.Errorf("%+v: title %q", opt, got)
		}
		if got := strings.TrimSpace(find(list, "text")[0].text); got != hostile {
			t.Errorf("%+v: text %q", opt, got)
		}
	}
	// U+FFFE and control characters are not allowed in XML 1.0, clause 2.2.
	parse(t, write(t, sample("a\x00\x1b\ufffe\xffb"), Options{Standalone: true}))
}

func TestNoStyleAttributesNorScripts(t *testing.T) {
	for _, e := range parse(t, write(t, sample("bank"), Options{IDPrefix: "p-"})) {
		for name := range e.attr {
			if name == "style" || strings.HasPrefix(name, "on") {
				t.Errorf("<%s> has the attribute %s", e.name, name)
			}
		}
		if e.name == "style" {
			t.Error("a style element, though the drawing does not stand alone")
		}
	}
	if n := len(find(parse(t, write(t, sample("bank"), Options{Standalone: true})), "style")); n != 1 {
		t.Errorf("%d style elements in a drawing that stands alone, want 1", n)
	}
}

func TestRootAndGroups(t *testing.T) {
	list := parse(t, write(t, sample("bank"), Options{Standalone: true, IDPrefix: "p-"}))
	root := list[0]
	for name, want := range map[string]string{"viewBox": "0 0 100 60.5", "width": "100mm", "height": "60.5mm", "role": "img", "class": "sheet"} {
		if root.attr[name] != want {
			t.Errorf("%s is %q, want %q", name, root.attr[name], want)
		}
	}
	var ids, groups []string
	for _, g := range find(list, "g") {
		if d := g.attr["data-id"]; d != "" {
			groups = append(groups, d)
			ids = append(ids, g.attr["id"])
		}
	}
	if strings.Join(groups, " ") != "B1 B1" || strings.Join(ids, " ") != "p-B1 " {
		t.Errorf("groups %q with ids %q", groups, ids)
	}
	bare := parse(t, write(t, sample("bank"), Options{}))[0]
	if bare.attr["width"] != "" {
		t.Errorf("a drawing in a page has width %q", bare.attr["width"])
	}
	named := 0
	for _, g := range find(parse(t, write(t, sample("bank"), Options{Explorable: true})), "g") {
		if g.attr["role"] == "img" && g.attr["aria-label"] == "battery B1, bank" {
			named++
		}
	}
	if named != 1 {
		t.Errorf("the name is said %d times, want once", named)
	}
}

func TestTextCarriesItsMeasuredLength(t *testing.T) {
	s := sample("bank")
	texts := find(parse(t, write(t, s, Options{})), "text")
	if len(texts) != 2 {
		t.Fatalf("%d texts, want 2: the empty one is left out", len(texts))
	}
	for i, want := range s.Texts()[:2] {
		got, err := strconv.ParseFloat(texts[i].attr["textLength"], 64)
		// Printed to the hundredth.
		if err != nil || math.Abs(got-want.Width()) > 0.0051 || texts[i].attr["lengthAdjust"] != "spacingAndGlyphs" {
			t.Errorf("text %d: length %q, want %.3f", i, texts[i].attr["textLength"], want.Width())
		}
	}
	if texts[1].attr["transform"] != "rotate(-90 50 40)" {
		t.Errorf("turned text has %q", texts[1].attr["transform"])
	}
}

func TestSameBytesAndLayers(t *testing.T) {
	a, b := write(t, sample("bank"), Options{Standalone: true}), write(t, sample("bank"), Options{Standalone: true})
	if a != b {
		t.Error("two writings differ")
	}
	ground, cases, words := strings.Index(a, `"ground"`), strings.Index(a, `"cases"`), strings.Index(a, `"words"`)
	if !(0 < ground && ground < cases && cases < words) {
		t.Errorf("layers at %d, %d, %d", ground, cases, words)
	}
}

func TestNumber(t *testing.T) {
	for _, row := range []struct {
		x    float64
		want string
	}{
		{0, "0"}, {-0.001, "0"}, {0.13, "0.13"}, {10, "10"}, {1.005, "1.01"}, {math.Nextafter(1.005, 0), "1.01"},
		{-2.5, "-2.5"}, {297, "297"}, {0.1 + 0.2, "0.3"}, {1e6, "1000000"},
	} {
		if got := number(row.x); got != row.want {
			t.Errorf("number(%v) is %q, want %q", row.x, got, row.want)
		}
	}
}

type full struct{}

var errFull = errors.New("no room")

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestErrors(t *testing.T) {
	if err := Write(io.Discard, &sheet.Sheet{}, Options{}); err == nil {
		t.Error("a sheet without size was written")
	}
	if err := Write(full{}, sample("bank"), Options{}); !errors.Is(err, errFull) {
		t.Errorf("error %v, want the writer's", err)
	}
}

// luminance is the relative luminance of WCAG 2.2 (from memory).
func luminance(t *testing.T, c string) float64 {
	t.Helper()
	n, err := strconv.ParseUint(strings.TrimPrefix(c, "#"), 16, 32)
	if err != nil || len(c) != 7 {
		t.Fatalf("%q is no colour", c)
	}
	part := func(v uint64) float64 {
		x := float64(v&255) / 255
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	return 0.2126*part(n>>16) + 0.7152*part(n>>8) + 0.0722*part(n)
}

func TestColoursStandOut(t *testing.T) {
	for _, theme := range []Theme{Light, Dark, Print} {
		paper := luminance(t, Colour(sheet.Paper, theme))
		for _, r := range sheet.Roles() {
			if r == sheet.Paper || r == sheet.Faint {
				continue
			}
			l := luminance(t, Colour(r, theme))
			if ratio := (max(l, paper) + 0.05) / (min(l, paper) + 0.05); ratio < 4.5 {
				t.Errorf("theme %d: %s stands out by %.2f, under 4.5", theme, r, ratio)
			}
		}
	}
	if Colour(sheet.None, Light) != "" || Colour(sheet.Ink, 9) != "" {
		t.Error("a colour where there is none")
	}
	if css := Themed(Dark, ".dark"); !strings.Contains(css, ".dark .sheet .f-ink{fill:"+Colour(sheet.Ink, Dark)+"}") {
		t.Errorf("themed rules: %s", css)
	}
}
