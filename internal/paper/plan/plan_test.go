package plan

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
	"bankwright/internal/paper/svg"
)

// drawings are the kinds of drawing that every random layout goes through.
var drawings = []struct {
	name string
	draw func(*report.Report, Options) (*sheet.Sheet, error)
	opt  Options
}{
	{"plan", Draw, Options{}},
	{"front", Front, Options{}},
	{"small", Draw, Options{Small: true}},
	{"narrow", Draw, Options{Width: 130, Height: 170}},
	{"framed", Draw, Options{Height: 210, Frame: &sheet.TitleBlock{Title: "Currents", Job: "made up"}}},
}

func written(t *testing.T, s *sheet.Sheet) string {
	t.Helper()
	var b bytes.Buffer
	if err := svg.Write(&b, s, svg.Options{Standalone: true, IDPrefix: "p-"}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// dataIDs reads the IDs off a drawing, and fails where it is not well formed.
func dataIDs(t *testing.T, doc string) map[string]bool {
	t.Helper()
	ids := map[string]bool{}
	d := xml.NewDecoder(strings.NewReader(doc))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return ids
		}
		if err != nil {
			t.Fatalf("not well formed: %v", err)
		}
		if e, ok := tok.(xml.StartElement); ok {
			if e.Name.Local == "script" {
				t.Error("a script got in")
			}
			for _, a := range e.Attr {
				if a.Name.Local == "data-id" {
					ids[a.Value] = true
				}
			}
		}
	}
}

func TestRandomLayouts(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	for i := range 50 {
		m := random(rng)
		for _, how := range drawings {
			if how.name != "plan" && how.name != "front" && i%4 != 0 {
				continue // the rest in fewer layouts, for time
			}
			s, err := how.draw(m.r, how.opt)
			if err != nil {
				t.Fatalf("%d %s: %v", i, how.name, err)
			}
			if wrong := s.Misplaced(); wrong != nil {
				t.Errorf("%d %s: %s", i, how.name, strings.Join(wrong, "\n"))
			}
			doc := written(t, s)
			if i%5 == 0 {
				if again, _ := how.draw(m.r, how.opt); doc != written(t, again) {
					t.Errorf("%d %s: drawn twice, the bytes differ", i, how.name)
				}
			}
			ids := dataIDs(t, doc)
			for _, b := range m.r.Bank.Batteries {
				if !ids[b.ID] {
					t.Errorf("%d %s: battery %s is not drawn", i, how.name, b.ID)
				}
			}
			for _, c := range m.r.Bank.Cables {
				if !ids[c.ID] {
					t.Errorf("%d %s: cable %s is not drawn", i, how.name, c.ID)
				}
			}
			lostWords(t, fmt.Sprint(i, " ", how.name), s)
		}
	}
}

// lostWords fails where labels had to be left out of a drawing, or lie over
// posts.
func lostWords(t *testing.T, name string, s *sheet.Sheet) {
	t.Helper()
	for _, x := range s.Texts() {
		if strings.HasPrefix(x.S, "no room in the drawing") {
			t.Errorf("%s: %s", name, x.S)
		}
	}
	for _, it := range s.Items {
		if it.Layer != sheet.Posts {
			continue
		}
		for _, m := range it.Marks {
			for _, x := range s.Texts() {
				if x.Box().Overlaps(m.Box().Grown(-0.1)) {
					t.Errorf("%s: %q lies over %s", name, x.S, it.ID)
				}
			}
		}
	}
}

func TestWidthFollowsCurrent(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 14))
	for range 20 {
		m := random(rng)
		d, lanes, err := compose(m.r, Options{}, false)
		if err != nil {
			t.Fatal(err)
		}
		most := d.widest()
		for _, a := range lanes {
			ia := math.Abs(m.want[d.runs[a.run].id])
			if a.width == d.style.least {
				continue
			}
			// In proportion: the width of the largest is the full one.
			if want := d.style.wide * ia / most; math.Abs(a.width-want) > 1e-9 {
				t.Errorf("%s of %g A is %g mm wide, want %g", d.runs[a.run].id, ia, a.width, want)
			}
		}
		for _, a := range lanes {
			for _, b := range lanes {
				if math.Abs(m.want[d.runs[a.run].id]) > math.Abs(m.want[d.runs[b.run].id]) && a.width < b.width {
					t.Errorf("more current, less width: %s %s", d.runs[a.run].id, d.runs[b.run].id)
				}
			}
		}
	}
}

// place finds where an item is drawn on a layer: the middle of its last mark.
func place(t *testing.T, s *sheet.Sheet, id string, layer sheet.Layer) sheet.Box {
	t.Helper()
	for _, it := range s.Items {
		if it.ID == id && it.Layer == layer {
			b := it.Marks[0].Box()
			for _, m := range it.Marks {
				b = b.Union(m.Box())
			}
			return b
		}
	}
	t.Fatalf("%s is not on layer %s", id, layer)
	return sheet.Box{}
}

func scaleOf(t *testing.T, s *sheet.Sheet) float64 {
	t.Helper()
	for _, x := range s.Texts() {
		if _, words, ok := strings.Cut(x.S, ", 1 : "); ok {
			var n float64
			if _, err := fmt.Sscanf(words, "%f", &n); err != nil {
				t.Fatal(err)
			}
			return n
		}
	}
	t.Fatal("no scale is said")
	return 0
}

func TestDrawnToTheScaleSaid(t *testing.T) {
	rng := rand.New(rand.NewPCG(15, 16))
	for range 10 {
		m := random(rng)
		for name, draw := range map[string]func(*report.Report, Options) (*sheet.Sheet, error){"plan": Draw, "front": Front} {
			s, err := draw(m.r, Options{})
			if err != nil {
				t.Fatal(err)
			}
			scale := scaleOf(t, s)
			if !slices.Contains(scales, scale) {
				t.Errorf("scale 1 : %g", scale)
			}
			first := m.r.Bank.Batteries[0].Body.Box()
			b0 := place(t, s, "B1", sheet.Cases)
			for _, b := range m.r.Bank.Batteries {
				real, paper := b.Body.Box(), place(t, s, b.ID, sheet.Cases)
				across := real.Max.Y - real.Min.Y
				up := -(real.Min.Y - first.Min.Y)
				if name == "front" {
					across, up = real.Max.Z-real.Min.Z, -(real.Min.Z - first.Min.Z)
				}
				for what, d := range map[string]float64{
					"width": paper.Width() - 1000*(real.Max.X-real.Min.X)/scale, "height": paper.Height() - 1000*across/scale,
					"x": paper.X0 - b0.X0 - 1000*(real.Min.X-first.Min.X)/scale, "y": paper.Y1 - b0.Y1 - 1000*up/scale,
				} {
					if math.Abs(d) > 1e-6 {
						t.Errorf("%s: %s of %s is %g mm off", name, what, b.ID, d)
					}
				}
			}
		}
	}
}

func TestPostsStandWhereTheyAre(t *testing.T) {
	r := row(2)
	r.Bank.Batteries[1].Body.Turn = 270
	s, err := Draw(r, Options{})
	if err != nil {
		t.Fatal(err)
	}
	scale, box := scaleOf(t, s), place(t, s, "B2", sheet.Cases)
	// At turn 270 a post (u, v) comes to (v, L-u): the positive of (0.3, 0.03)
	// on a case 0.33 long lies at (0.03, 0.03) from the lower left corner.
	got := place(t, s, "B2+", sheet.Posts).Centre()
	if dx, dy := got.X-box.X0-30/scale, box.Y1-got.Y-30/scale; math.Abs(dx)+math.Abs(dy) > 1e-6 {
		t.Errorf("B2+ is (%g, %g) mm off", dx, dy)
	}
	signs := map[string]int{}
	for _, it := range s.Items {
		if it.Layer == sheet.Posts {
			signs[it.ID] = len(it.Marks)
		}
	}
	if signs["B2+"] != 3 || signs["B2-"] != 2 { // a circle with two strokes, a circle with one
		t.Errorf("marks of the posts: %v", signs)
	}
}

func TestFrontShowsTheNearerPost(t *testing.T) {
	r := row(1)
	for _, turn := range []int{90, 270} {
		b := &r.Bank.Batteries[0]
		b.Body.Turn = turn
		b.Posts = [2][2]float64{{0.3, 0.086}, {0.03, 0.086}} // in the middle, so that one stands behind the other
		s, err := Front(r, Options{})
		if err != nil {
			t.Fatal(err)
		}
		last := ""
		for _, it := range s.Items {
			if it.Layer == sheet.Posts && strings.HasPrefix(it.ID, "B1") {
				last = it.ID
			}
		}
		plus, _ := b.Post(true)
		minus, _ := b.Post(false)
		if want := map[bool]string{true: "B1+", false: "B1-"}[plus.Y < minus.Y]; last != want {
			t.Errorf("turn %d: %s is drawn over the other, want %s", turn, last, want)
		}
	}
}

func TestTreeCurrentsObeyKirchhoff(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 18))
	for range 60 {
		m := random(rng)
		want, cables := m.want, slices.Clone(m.r.Bank.Cables)
		opt := m.wiring()
		d, _, err := compose(m.r, opt, false)
		if err != nil {
			t.Fatal(err)
		}
		if len(d.runs) != len(cables) {
			t.Fatalf("%d cables, want %d", len(d.runs), len(cables))
		}
		for _, c := range cables {
			i := slices.IndexFunc(d.runs, func(r run) bool { return r.from == c.From && r.to == c.To })
			// Sums of a few tens of amps.
			if i < 0 || math.Abs(d.runs[i].current-want[c.ID]) > 1e-9 {
				t.Errorf("%s from %s to %s: want %g, runs %+v", c.ID, c.From, c.To, want[c.ID], d.runs)
			}
		}
	}
}

func TestWiringPicture(t *testing.T) {
	rng := rand.New(rand.NewPCG(19, 20))
	for i := range 8 {
		m := random(rng)
		opt := m.wiring()
		opt.Small = i%2 == 0
		s, err := Draw(m.r, opt)
		if err != nil {
			t.Fatal(err)
		}
		ids := dataIDs(t, written(t, s))
		for _, e := range slices.Concat(opt.Wiring.Positive, opt.Wiring.Negative) {
			if !ids[e[0].String()+"/"+e[1].String()] {
				t.Errorf("%v is not drawn", e)
			}
		}
		if wrong := s.Misplaced(); wrong != nil {
			t.Error(strings.Join(wrong, "\n"))
		}
	}
}

func TestWiringWithoutItsSearchHasNoCurrents(t *testing.T) {
	r := row(2)
	b := r.Bank
	w := &report.Wiring{Takeoff: b.Takeoff, Currents: []float64{40, 60}, Positive: [][2]bank.End{{b.Takeoff.Positive, b.Batteries[0].Plus()}, {b.Batteries[0].Plus(), b.Batteries[1].Plus()}}}
	s, err := Draw(r, Options{Wiring: w})
	if err != nil {
		t.Fatal(err)
	}
	if ids := dataIDs(t, written(t, s)); !ids["S1/B1+"] || !ids["B1+/B2+"] || says(s, " A") || !says(s, "not routed") {
		t.Errorf("ids %v, words %v", ids, s.Texts())
	}
}

func TestSeriesLinksStayInTheWiringPicture(t *testing.T) {
	r := row(4)
	b := r.Bank
	wire(r, "L1", "B1-", "B2+", 0)
	wire(r, "L2", "B4+", "B3-", 0)
	wire(r, "W1", "B1+", "B3+", 0)
	r.Sharing = report.Sharing{}
	b.Takeoff = bank.Takeoff{Positive: b.Batteries[0].Plus(), Negative: b.Batteries[3].Minus()}
	w := &report.Wiring{Takeoff: b.Takeoff, Currents: []float64{40, 60}, Shares: []float64{0.8, 1.2},
		Positive: [][2]bank.End{{b.Batteries[2].Plus(), b.Batteries[0].Plus()}}, Negative: [][2]bank.End{{b.Batteries[1].Minus(), b.Batteries[3].Minus()}}}
	strs := []report.String{
		{ID: "B1→B2", Batteries: []string{"B1", "B2"}, Positive: b.Batteries[0].Plus(), Negative: b.Batteries[1].Minus()},
		{ID: "B3→B4", Batteries: []string{"B3", "B4"}, Positive: b.Batteries[2].Plus(), Negative: b.Batteries[3].Minus()},
	}
	d, lanes, err := compose(r, Options{Wiring: w, Search: &report.Wirings{Strings: strs}}, false)
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]float64{}
	for _, l := range lanes {
		got[d.runs[l.run].id] = d.runs[l.run].current
		if d.runs[l.run].link && l.width != d.style.least {
			t.Errorf("link %s is %g mm wide, want it thin", d.runs[l.run].id, l.width)
		}
	}
	// A link carries its string's current from minus to plus inside it: out of
	// B2+ into B1-, and out of B4+ into B3-.
	want := map[string]float64{"L1": -40, "L2": 60, "B3+/B1+": 60, "B2-/B4-": -40}
	if len(got) != len(want) {
		t.Errorf("runs %v, want %v", got, want)
	}
	for id, i := range want {
		if got[id] != i {
			t.Errorf("%s carries %g A, want %g", id, got[id], i)
		}
	}
	if d.cells[3].current != 60 || d.cells[1].share != 0.8 {
		t.Errorf("cells %+v", d.cells)
	}
}

func TestKindOfNet(t *testing.T) {
	r := row(3)
	wire(r, "W1", "B1+", "S1", 1)
	wire(r, "W2", "B1-", "B2+", 1)
	wire(r, "W3", "B3-", "B2-", 1)
	d, _, err := compose(r, Options{}, false)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []kind{positive, between, negative} {
		if d.runs[i].kind != want {
			t.Errorf("%s is %s, want %s", d.runs[i].id, d.runs[i].kind, want)
		}
	}
}
