package chart

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bankwright/internal/base/source"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// bandKinds are the sizes and kinds in which every device must be readable.
var bandKinds = map[string]BandsOptions{
	"plain": {Title: "Faults"}, "page": {Width: 150}, "phone": {Small: true}, "phone, titled": {Small: true, Title: "Faults"},
	"framed": {Frame: &sheet.TitleBlock{Title: "Faults"}, Title: "Faults"}, "too small": {Width: 3, Height: 3}, "wide": {Width: 300, Height: 200},
}

// device is a made-up fuse of any rating, told on one side, both or neither.
func device(rng *rand.Rand) *report.Bands {
	rated := math.Pow(10, 0.5+2.2*rng.Float64())
	b := &report.Bands{Device: "F" + fmt.Sprint(1+rng.IntN(99)), Words: "fuse, class invented", Rating: rated, Carries: rated, Volts: 14.4, LeastAt: "W12",
		Least: rated * (0.5 + 20*rng.Float64()), Breaks: rated * 100, Refs: []source.Ref{{Title: "an invented standard", At: "table 1", How: source.Memory}, {Title: "a read one", How: source.Read}}}
	b.Most = b.Least * (1 + 4*rng.Float64())
	for i, m := range []float64{1.1, 1.35, 2, 3.5, 6} {
		most := 7200 * math.Pow(10, -1.2*float64(i)*(0.5+rng.Float64()/2))
		if n := len(b.Opened); n > 0 {
			most = min(most, b.Opened[n-1].Seconds)
		}
		if rng.IntN(5) > 0 {
			b.Opened = append(b.Opened, report.CurvePoint{Amps: m * rated, Seconds: most})
		}
		least := most / 20
		if n := len(b.Holds); n > 0 {
			least = min(least, b.Holds[n-1].Seconds)
		}
		if rng.IntN(3) > 0 {
			b.Holds = append(b.Holds, report.CurvePoint{Amps: m * rated, Seconds: least})
		}
	}
	switch rng.IntN(4) {
	case 0:
		b.Holds = nil
	case 1:
		b.Holds, b.Opened, b.Refs = nil, nil, nil
	}
	if rng.IntN(2) == 0 {
		b.Through = 10 * rated * rated
	}
	for i := range rng.IntN(4) {
		b.Loads = append([]report.LoadStep{{Amps: rated * (1.4 - 0.4*float64(i)), Seconds: []float64{5, 600, 7200, math.Inf(1)}[i], In: "surge of I1 with all loads on"}}, b.Loads...)
	}
	for i := range rng.IntN(6) {
		k := report.CableCurve{Name: fmt.Sprintf("W%d, %d AWG", 10+i, 12-2*i), Side: "positive", Cables: []string{fmt.Sprintf("W%d", 10+i), "W20", "W21"}[:1+rng.IntN(3)], Withstand: math.NaN(), Outside: rng.IntN(4) == 0}
		for n := range 20 {
			a := rated * (1 + float64(i)) * math.Pow(1.2, float64(n))
			k.Warms = append(k.Warms, report.CurvePoint{Amps: a, Seconds: 1e4 / math.Pow(1.2, 2.5*float64(n))})
		}
		if rng.IntN(3) > 0 {
			k.Withstand = 300 * rated * rated * float64((i+1)*(i+1))
		}
		b.Cables = append(b.Cables, k)
	}
	b.Verdicts = []report.BandVerdict{{What: "passes the loads", Verdict: []string{"within", "outside"}[rng.IntN(2)]}, {What: "breaks a dead short", Verdict: []string{"not checked", "outside"}[rng.IntN(2)]}}
	return b
}

func TestLetteringOfBands(t *testing.T) {
	rng := rand.New(rand.NewPCG(33, 1))
	for round := range 24 {
		b := device(rng)
		for kind, opt := range bandKinds {
			t.Run(fmt.Sprintf("%d, %s", round, kind), func(t *testing.T) {
				s := Bands(b, opt)
				right(t, s)
				if bytesOf(t, s) != bytesOf(t, Bands(b, opt)) {
					t.Error("drawn twice, the bytes differ")
				}
				for _, words := range []string{"most dead short", "can break", "rating", "from memory"} {
					if len(b.Refs) == 0 && words == "from memory" {
						continue
					}
					if !strings.Contains(strings.ToLower(strings.Join(texts(s, "*"), " ")), words) {
						t.Errorf("%q is not said: %q", words, texts(s, "*"))
					}
				}
			})
		}
	}
}

// scale gives the place of a number on an axis by the ticks that are printed:
// the straight line in the logarithm through two of them.
func scale(t *testing.T, s *sheet.Sheet, one, other string, upright bool) func(a, b, v float64) float64 {
	t.Helper()
	place := func(words string) float64 {
		for _, it := range s.Items {
			for _, m := range it.Marks {
				if x, ok := m.(sheet.Text); ok && it.Layer == sheet.Words && x.S == words {
					if upright && x.Anchor == sheet.End {
						return x.At.Y - 0.36*x.Size
					}
					if !upright && x.Anchor == sheet.Middle {
						return x.At.X
					}
				}
			}
		}
		t.Fatalf("no tick %q", words)
		return 0
	}
	p, q := place(one), place(other)
	return func(a, b, v float64) float64 { return p + (q-p)*math.Log(v/a)/math.Log(b/a) }
}

// Everything stands where its number is, by the printed ticks.
func TestBandMarksStandAtTheirNumbers(t *testing.T) {
	b := &report.Bands{Device: "F1", Words: "fuse", Rating: 100, Carries: 100, Most: 4000, Least: 800, Breaks: 20000, Through: 50e3, Volts: 14,
		Holds: []report.CurvePoint{{Amps: 135, Seconds: 60}, {Amps: 200, Seconds: 2}}, Opened: []report.CurvePoint{{Amps: 135, Seconds: 900}, {Amps: 200, Seconds: 60}},
		Loads:  []report.LoadStep{{Amps: 60, Seconds: math.Inf(1)}, {Amps: 110, Seconds: 5}},
		Cables: []report.CableCurve{{Name: "W1", Cables: []string{"W1"}, Side: "positive", Withstand: 4e6, Warms: []report.CurvePoint{{Amps: 300, Seconds: 600}, {Amps: 900, Seconds: 6}}}}}
	s := Bands(b, BandsOptions{})
	x, y := scale(t, s, "100", "1000", false), scale(t, s, "1 s", "1 h", true)
	ends := map[string][]sheet.Point{}
	for _, it := range s.Items {
		for _, m := range it.Marks {
			if p, ok := m.(sheet.Path); ok && it.ID != "" && it.Layer == sheet.Conductors {
				for _, piece := range p.Pieces {
					ends[it.ID] = append(ends[it.ID], piece.P[0])
				}
			}
		}
	}
	for _, row := range []struct {
		id         string
		amps, time float64
	}{
		{"holds", 135, 60}, {"holds", 200, 2}, {"opened", 135, 900}, {"opened", 200, 60}, {"load-1", 60, 5}, {"load-1", 110, 5}, {"load-2", 110, 5}, {"load-2", 110, 0.01},
		{"load-1", 60, 4 * 3600}, {"least", 800, 0.01}, {"least", 800, 4 * 3600}, {"most", 4000, 0.01}, {"breaks", 20000, 0.01}, {"rating", 100, 4 * 3600},
		{"cable-1", 300, 600}, {"cable-1", 900, 6},
		{"cable-1", math.Sqrt(4e6 / 5), 5}, {"cable-1", math.Sqrt(4e6 / 0.01), 0.01}, // t = k²S²/I²
		{"through", math.Sqrt(50e3 / 0.1), 0.1}, {"through", math.Sqrt(50e3 / 0.01), 0.01},
	} {
		want := sheet.Point{X: x(100, 1000, row.amps), Y: y(1, 3600, row.time)}
		if !slices.ContainsFunc(ends[row.id], func(p sheet.Point) bool { return p.Minus(want).Length() < 1e-6 }) {
			t.Errorf("%s has no point at %g A and %g s, %.2f mm: %.2f", row.id, row.amps, row.time, want, ends[row.id])
		}
	}
}

func TestPoorBands(t *testing.T) {
	bad := `</text>"&` + "\u202e" + strings.Repeat("long ", 60)
	for name, row := range map[string]struct {
		b    *report.Bands
		want string
	}{
		"nil": {nil, "Nothing to draw"}, "empty": {&report.Bands{Device: "F1", Most: nan, Least: nan}, "Nothing to draw"},
		"no numbers": {&report.Bands{Device: "F1", Rating: nan, Most: math.Inf(1), Least: -3, Loads: []report.LoadStep{{Amps: nan}}}, "Nothing to draw"},
		"rating":     {&report.Bands{Device: "F1", Rating: 30, Most: nan, Least: nan}, "is not told"},
		"hostile": {&report.Bands{Device: bad, Words: bad, Rating: 30, Most: 900, Least: 500, LeastAt: bad, Breaks: 1e300, Through: math.Inf(1), Refs: []source.Ref{{Title: bad, How: source.Memory}},
			Cables: []report.CableCurve{{Name: bad, Cables: []string{bad, bad}, Withstand: nan, Warms: []report.CurvePoint{{Amps: nan, Seconds: 1}, {Amps: 50, Seconds: math.Inf(1)}, {Amps: 90, Seconds: 9}}}}, Shared: []string{bad}}, "most dead short"},
	} {
		for kind, opt := range bandKinds {
			t.Run(name+", "+kind, func(t *testing.T) {
				s := Bands(row.b, opt)
				right(t, s)
				if !strings.Contains(strings.Join(texts(s, "*"), " "), row.want) {
					t.Errorf("%q is not said: %q", row.want, texts(s, "*"))
				}
			})
		}
	}
}

// What is clipped lies within the box and on the line; an area keeps what a
// count of random points says of it.
func TestClipping(t *testing.T) {
	rng := rand.New(rand.NewPCG(33, 2))
	box := sheet.Box{X0: 0, Y0: 0, X1: 10, Y1: 8}
	point := func() sheet.Point { return sheet.Point{X: 20*rng.Float64() - 5, Y: 16*rng.Float64() - 4} }
	for range 300 {
		p, q := point(), point()
		seen := 0.0
		for i := range 1000 {
			if box.Contains(sheet.Around(sheet.Between(p, q, (float64(i)+0.5)/1000), 0, 0)) {
				seen += q.Minus(p).Length() / 1000
			}
		}
		got := 0.0
		for _, piece := range clip([]sheet.Point{p, q}, box) {
			got += reach(piece)
			for _, e := range piece {
				if !box.Contains(sheet.Around(e, 0, 0)) {
					t.Errorf("%v lies outside", e)
				}
			}
		}
		if math.Abs(got-seen) > 0.05 { // two steps of the count
			t.Errorf("%v to %v: %g mm within, counted %g", p, q, got, seen)
		}
		area := clipArea([]sheet.Point{p, q, point()}, box)
		for _, e := range area {
			if !box.Contains(sheet.Around(e, 0, 0)) {
				t.Errorf("%v of an area lies outside", e)
			}
		}
	}
	if got := between([]sheet.Point{{X: 0, Y: 0}, {X: 10, Y: 10}}, []sheet.Point{{X: 4, Y: 20}, {X: 6, Y: 20}}); !slices.Equal(got, []sheet.Point{{X: 4, Y: 4}, {X: 6, Y: 6}, {X: 6, Y: 20}, {X: 4, Y: 20}}) {
		t.Errorf("between: %v", got)
	}
}
