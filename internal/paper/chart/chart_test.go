package chart

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
	"bankwright/internal/paper/svg"
)

var books = []string{"chain, same end", "chain, opposite ends", "inner posts", "equal leads to studs", "star", "halves"}

// random is a made-up answer of a search: copper goes up and imbalance down,
// over up to six decades as exact searches give them, with or without a wiring
// that shares exactly.
func random(rng *rand.Rand) *report.Wirings {
	w := &report.Wirings{}
	copper, imbalance := 1+5*rng.Float64(), math.Pow(10, 1-2*rng.Float64())
	n := 1 + rng.IntN(18)
	for i := range n {
		if i == n-1 && rng.IntN(3) == 0 {
			imbalance = 0
		}
		w.Front = append(w.Front, report.Wiring{Copper: copper, Imbalance: imbalance})
		copper += math.Pow(10, -3*rng.Float64())
		imbalance *= math.Pow(10, -rng.Float64()/2)
	}
	for _, name := range books {
		w.Textbook = append(w.Textbook, report.Wiring{
			Name: name, Copper: w.Front[0].Copper * (0.9 + 3*rng.Float64()*rng.Float64()),
			Imbalance: math.Pow(10, 2-5*rng.Float64()), Missing: rng.IntN(4) == 0, Note: "a post would carry six lugs, the limit is four",
		})
	}
	if rng.IntN(2) == 0 {
		w.Own = &report.Wiring{Copper: copper, Imbalance: 0.03}
	} else {
		w.OwnNote = "the job's cables form a ring"
	}
	return w
}

func draw(t *testing.T, w *report.Wirings, opt Options) *sheet.Sheet {
	t.Helper()
	s, err := Front(w, opt)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func bytesOf(t *testing.T, s *sheet.Sheet) string {
	t.Helper()
	var b bytes.Buffer
	if err := svg.Write(&b, s, svg.Options{Standalone: true}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestLetteringOfRandomFronts(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for i := range 50 {
		w := random(rng)
		opt := Options{Selected: rng.IntN(len(w.Front) + 1), Title: "Worth building: " + strconv.Itoa(len(w.Front))}
		if i%3 == 0 {
			opt.Width, opt.Height, opt.Show.Length = 90, 80, "ft"
		}
		s := draw(t, w, opt)
		if wrong := s.Misplaced(); wrong != nil {
			t.Errorf("front %d: %s", i, strings.Join(wrong, "\n"))
		}
		if bytesOf(t, s) != bytesOf(t, draw(t, w, opt)) {
			t.Errorf("front %d: drawn twice, the bytes differ", i)
		}
		seen := map[string]bool{}
		for _, it := range s.Items {
			seen[it.ID] = true
		}
		for k := range w.Front {
			if !seen[fmt.Sprintf("front-%d", k+1)] {
				t.Errorf("front %d: wiring %d is not drawn", i, k+1)
			}
		}
		for k, b := range w.Textbook {
			if seen[fmt.Sprintf("textbook-%d", k+1)] == b.Missing {
				t.Errorf("front %d: %q drawn %v, missing %v", i, b.Name, !b.Missing, b.Missing)
			}
		}
	}
}

// centre finds where the mark of an item is drawn.
func centre(t *testing.T, s *sheet.Sheet, id string) sheet.Point {
	t.Helper()
	for _, it := range s.Items {
		if it.ID == id && it.Layer == sheet.Posts {
			return it.Marks[len(it.Marks)-1].Box().Centre()
		}
	}
	t.Fatalf("%s is not drawn", id)
	return sheet.Point{}
}

func TestMarksStandWhereTheirNumbersAre(t *testing.T) {
	w := &report.Wirings{Front: []report.Wiring{{Copper: 2, Imbalance: 0.4}, {Copper: 3, Imbalance: 0.04}, {Copper: 4, Imbalance: 0.004}, {Copper: 5}}}
	s := draw(t, w, Options{})
	var p [4]sheet.Point
	for i := range p {
		p[i] = centre(t, s, fmt.Sprintf("front-%d", i+1))
	}
	// Equal steps in copper are equal on paper, equal ratios of imbalance too.
	if d := (p[1].X - p[0].X) - (p[2].X - p[1].X); math.Abs(d) > 1e-9 {
		t.Errorf("a metre is not a metre: %g mm off", d)
	}
	if d := (p[1].Y - p[0].Y) - (p[2].Y - p[1].Y); math.Abs(d) > 1e-9 || p[1].Y <= p[0].Y {
		t.Errorf("a decade is not a decade: %g mm off", d)
	}
	if p[3].Y <= p[2].Y {
		t.Errorf("nil imbalance at %g is not below %g", p[3].Y, p[2].Y)
	}
	even := draw(t, &report.Wirings{Front: []report.Wiring{{Copper: 2, Imbalance: 0.4}, {Copper: 3, Imbalance: 0.3}, {Copper: 4, Imbalance: 0.2}}}, Options{})
	for i := range 3 {
		p[i] = centre(t, even, fmt.Sprintf("front-%d", i+1))
	}
	if d := (p[1].Y - p[0].Y) - (p[2].Y - p[1].Y); math.Abs(d) > 1e-9 {
		t.Errorf("a range under a decade is not linear: %g mm off", d)
	}
}

func TestTicksSayWhereTheyAre(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 300 {
		lo := math.Pow(10, 6*rng.Float64()-4)
		hi := lo * (1.5 + math.Pow(10, 5*rng.Float64()))
		for kind, ticks := range map[string][]tick{"linear": linearTicks(lo, hi, 8, ""), "log": logTicks(lo, hi, 12, "")} {
			if kind == "linear" && (len(ticks) < 2 || len(ticks) > 9) {
				t.Errorf("%d ticks from %g to %g", len(ticks), lo, hi)
			}
			if len(ticks) > 12 {
				t.Errorf("%s: %d ticks from %g to %g", kind, len(ticks), lo, hi)
			}
			for _, k := range ticks {
				v, err := strconv.ParseFloat(k.label, 64)
				if err != nil || math.Abs(v-k.at) > 1e-9*hi || k.at < lo*(1-1e-8) || k.at > hi*(1+1e-8) {
					t.Errorf("%s: tick %q at %g, from %g to %g", kind, k.label, k.at, lo, hi)
				}
			}
		}
	}
	if got := decimal(-3, -2); got != "−0.03" {
		t.Errorf("decimal gives %q", got)
	}
}

func TestFarTextbookStandsAtTheBorderWithItsNumber(t *testing.T) {
	w := &report.Wirings{
		Front:    []report.Wiring{{Copper: 2, Imbalance: 0.4}, {Copper: 3, Imbalance: 0.04}},
		Textbook: []report.Wiring{{Name: "star", Copper: 23.1, Imbalance: 0.1}},
	}
	s := draw(t, w, Options{})
	if !slices.ContainsFunc(s.Texts(), func(x sheet.Text) bool { return x.S == "star, 23.10 m" }) {
		t.Error("its number is not said")
	}
	if x := centre(t, s, "textbook-1").X; x > s.Width-6 || x < s.Width-12 {
		t.Errorf("its mark is at %g of %g", x, s.Width)
	}
	feet := draw(t, w, Options{Show: quantity.Show{Length: "in"}})
	if !slices.ContainsFunc(feet.Texts(), func(x sheet.Text) bool { return x.S == "star, 75.8 ft" }) { // 23.1 / 0.3048
		t.Error("feet are not said")
	}
}

func TestSelectedIsNamed(t *testing.T) {
	w := &report.Wirings{Front: []report.Wiring{{Copper: 2, Imbalance: 0.4}, {Copper: 5.04, Imbalance: 0.0096}}}
	s := draw(t, w, Options{Selected: 2})
	if !slices.ContainsFunc(s.Texts(), func(x sheet.Text) bool { return x.S == "selected 2: 5.04 m, +0.96 %" && x.Font == sheet.Bold }) {
		t.Error("the selected wiring's numbers are not set")
	}
	circles := 0
	for _, it := range s.Items {
		if it.ID == "front-2" && strings.HasPrefix(it.Name, "selected, wiring 2 of 2") {
			circles = len(it.Marks)
		}
	}
	if circles != 2 {
		t.Errorf("%d rings, want two", circles)
	}
}

func TestHostileNames(t *testing.T) {
	bad := `</text><script>x</script>"&` + "\u202e" + strings.Repeat("long ", 80)
	w := &report.Wirings{
		Front:    []report.Wiring{{Copper: 2, Imbalance: 0.4}},
		Textbook: []report.Wiring{{Name: bad, Copper: 2.1, Imbalance: 0.1}, {Name: bad, Missing: true, Note: bad}},
		OwnNote:  bad,
	}
	s := draw(t, w, Options{Title: bad})
	if wrong := s.Misplaced(); wrong != nil {
		t.Error(strings.Join(wrong, "\n"))
	}
	d := xml.NewDecoder(strings.NewReader(bytesOf(t, s)))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := tok.(xml.StartElement); ok && e.Name.Local == "script" {
			t.Error("a script got in")
		}
	}
}

func TestErrors(t *testing.T) {
	one := []report.Wiring{{Copper: 2, Imbalance: 0.4}}
	for name, row := range map[string]struct {
		w    *report.Wirings
		opt  Options
		want string
	}{
		"no answer":  {nil, Options{}, "no wiring"},
		"no front":   {&report.Wirings{}, Options{}, "no wiring"},
		"no current": {&report.Wirings{Front: []report.Wiring{{Copper: 2, Imbalance: math.NaN()}}}, Options{}, "no group carries current"},
		"too small":  {&report.Wirings{Front: one}, Options{Width: 40, Height: 40}, "no room"},
		"no size":    {&report.Wirings{Front: one}, Options{Width: math.NaN(), Height: 100}, "no room"},
	} {
		if _, err := Front(row.w, row.opt); err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("%s: error %v, want one with %q", name, err, row.want)
		}
	}
}
