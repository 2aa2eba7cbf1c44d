package chart

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bankwright/internal/paper/sheet"
)

// drawn gives the points of an item's line in panel k, top to bottom.
func drawn(t *testing.T, s *sheet.Sheet, id string, k int) []sheet.Point {
	t.Helper()
	for _, it := range s.Items {
		if it.ID != id || it.Layer != sheet.Conductors {
			continue
		}
		if k--; k >= 0 {
			continue
		}
		var points []sheet.Point
		for _, m := range it.Marks {
			if p, ok := m.(sheet.Path); ok {
				for _, q := range p.Pieces {
					points = append(points, q.P[0])
				}
			}
		}
		return points
	}
	t.Fatalf("%s has no line in that panel", id)
	return nil
}

func TestLongRunsKeepTheirSpikesAndStaySmall(t *testing.T) {
	rng := rand.New(rand.NewPCG(10, 11))
	const samples, up, down = 86400, 51234, 70001
	r := rows(16, samples, 1, func(b, k int) float64 {
		switch {
		case b == 4 && k == up:
			return 200
		case b == 4 && k == down:
			return -150
		}
		return 40 + float64(b) + 20*rng.Float64()
	})
	for kind, opt := range map[string]RunOptions{"plain": {At: nan}, "phone": {At: 40000, Small: true}} {
		s := Run(r, opt)
		if n := len(bytesOf(t, s)); n > 300_000 {
			t.Errorf("%s: %d bytes, want at most 300 000", kind, n)
		}
		// The spikes are the ends of the axis but for a border of 6 in 112, and
		// stand at their seconds.
		x := func(k int) float64 {
			for _, it := range s.Items {
				if it.ID == "panel-current" {
					b := it.Marks[0].Box()
					return b.X0 + b.Width()*float64(k)/(samples-1)
				}
			}
			return nan
		}
		points := drawn(t, s, "B5", 0)
		top, low := points[0], points[0]
		for _, p := range points {
			if p.Y < top.Y {
				top = p
			}
			if p.Y > low.Y {
				low = p
			}
		}
		if math.Abs(top.X-x(up)) > 1e-9 || math.Abs(low.X-x(down)) > 1e-9 {
			t.Errorf("%s: spikes at %v and %v, want at %g and %g", kind, top, low, x(up), x(down))
		}
		if got := names(s, "B5")[0]; !strings.Contains(got, "current −150.0 to 200.0 A") {
			t.Errorf("%s: %q", kind, got)
		}
	}
}

func TestBatteriesAreToldApart(t *testing.T) {
	for n := 1; n <= each; n++ {
		seen := map[string]int{}
		for i := range n {
			s := batteryStyle(i, n)
			key := fmt.Sprint(s.Dash, s.Weight)
			if k, ok := seen[key]; ok {
				t.Errorf("of %d, %d and %d are drawn alike", n, k+1, i+1)
			}
			seen[key] = i
		}
	}
}

// named lists the batteries that a panel's labels name, ranges and all.
func named(s *sheet.Sheet, n int, box sheet.Box) map[string]bool {
	got := map[string]bool{}
	var words []string
	for _, x := range s.Texts() {
		if x.At.X > box.X1+labelGap-0.01 && x.At.Y > box.Y0-3 && x.At.Y < box.Y1+3 {
			words = append(words, strings.Fields(x.S)...)
		}
	}
	text := strings.ReplaceAll(strings.Join(words, " "), " – ", "–")
	text = strings.ReplaceAll(text, "all "+fmt.Sprint(n), fmt.Sprintf("B1–B%d", n))
	for _, w := range strings.Fields(text) {
		var from, to int
		if _, err := fmt.Sscanf(w, "B%d–B%d", &from, &to); err != nil {
			to = from
		}
		for i := from; i <= to && i > 0; i++ {
			got[fmt.Sprintf("B%d", i)] = true
		}
	}
	return got
}

func TestEveryLineIsNamedAtItsEnd(t *testing.T) {
	for _, n := range []int{1, 2, 6, 16} {
		for name, of := range map[string]func(b, k int) float64{
			"apart": func(b, k int) float64 { return float64(10*b) + float64(k)/20 }, "close": func(b, k int) float64 { return float64(b)/10 + float64(k)/10 },
			"pairs": func(b, k int) float64 { return float64(20*(b/2)) + float64(k)/20 }, "equal": func(_, k int) float64 { return float64(k) / 9 },
		} {
			for _, small := range []bool{false, true} {
				s := Run(rows(n, 30, 60, of), RunOptions{At: nan, Small: small})
				for _, it := range s.Items {
					if !strings.HasPrefix(it.ID, "panel-") {
						continue
					}
					if got := named(s, n, it.Marks[0].Box()); len(got) != n {
						t.Errorf("%d %s, small %v, %s: named are %v", n, name, small, it.ID, got)
					}
				}
			}
		}
	}
	// Lines that coincide share a label.
	s := Run(rows(4, 30, 60, func(b, k int) float64 { return float64(50*(b%3)) + float64(k)/20 }), still)
	if !slices.Contains(texts(s, "*"), "B1 B4") {
		t.Errorf("B1 and B4 coincide and share no label: %q", texts(s, "*"))
	}
}

func TestManyBatteriesAreAnEnvelope(t *testing.T) {
	r := rows(21, 9, 60, func(b, k int) float64 { return float64((7*b)%21) + float64(k)/8 })
	s := Run(r, RunOptions{At: 480, Emphasise: "B2"})
	// 7·b mod 21 is 0, 7 or 14 in equal parts; the first battery with each is B1, B2, B3.
	for _, words := range []string{"least B1", "most B3", "median", "1.0 B1", "15.0 B3", "8.0", "21 batteries"} {
		if !says(s, words) {
			t.Errorf("%q is not said: %q", words, texts(s, "*"))
		}
	}
	if got := names(s, "median")[0]; !strings.HasPrefix(got, "median, current 7.0 to 8.0 A") {
		t.Errorf("the median is named %q", got)
	}
	if len(names(s, "B2")) != 4 || len(names(s, "B3")) != 0 {
		t.Errorf("B2 is pointed out, B3 is not: %q, %q", names(s, "B2"), names(s, "B3"))
	}
}

func TestReadingsOfAnEnvelopeAgree(t *testing.T) {
	rng := rand.New(rand.NewPCG(16, 17))
	const n, samples = 23, 2000 // more than the median is drawn at
	r := rows(n, samples, 10, func(b, k int) float64 { return 100 * rng.Float64() })
	for range 8 {
		at := 10 * (samples - 1) * rng.Float64()
		k := int(at / 10)
		var least, median, most [2]float64
		for i := range 2 {
			var row []float64
			for _, b := range r.Batteries {
				row = append(row, b.Current[k+i])
			}
			slices.Sort(row)
			least[i], median[i], most[i] = row[0], row[n/2], row[n-1]
		}
		between := func(v [2]float64) string { return sheet.Decimal(v[0]+(v[1]-v[0])*(at/10-float64(k)), 1) }
		s := Run(r, RunOptions{At: at})
		if want := between(least) + " to " + between(most) + " A"; !says(s, want) {
			t.Errorf("at %g: the panel does not say %q", at, want)
		}
		for id, v := range map[string][2]float64{"least": least, "median": median, "most": most} {
			want := between(v)
			if !slices.ContainsFunc(texts(s, id), func(x string) bool { return x == want || strings.HasPrefix(x, want+" B") }) {
				t.Errorf("at %g: the table lacks the %s %s: %q", at, id, want, texts(s, id))
			}
			if !strings.HasSuffix(names(s, id)[0], " "+want) {
				t.Errorf("at %g: the %s is %s, but named %q", at, id, want, names(s, id)[0])
			}
		}
	}
}

func TestEmphasisIsWeightAndName(t *testing.T) {
	s := Run(four(), RunOptions{At: nan, Emphasise: "B3"})
	for _, it := range s.Items {
		if it.Layer != sheet.Conductors {
			continue
		}
		style := it.Marks[0].(sheet.Path).Style
		if mine := it.ID == "B3"; mine != (style.Stroke == sheet.Ink) || mine && style.Weight != sheet.W070 {
			t.Errorf("%s is drawn in %s, %g mm", it.ID, style.Stroke, style.Weight)
		}
	}
	if !slices.ContainsFunc(s.Texts(), func(x sheet.Text) bool { return x.S == "B3" && x.Font == sheet.Bold }) {
		t.Error("B3 is not named in bold")
	}
}
