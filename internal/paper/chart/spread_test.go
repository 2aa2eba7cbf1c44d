package chart

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// spreadKinds are the sizes and kinds in which every spread must be readable.
var spreadKinds = map[string]SpreadOptions{
	"plain": {Title: "Spread"}, "phone": {Small: true}, "framed": {Frame: &sheet.TitleBlock{Title: "Spread"}, Title: "Spread"},
	"too small": {Width: 3, Height: 3}, "wide": {Width: 300, Height: 200, Title: "Spread"}, "upright": {Width: 190, Height: 260, Frame: &sheet.TitleBlock{}},
}

func TestLetteringOfSpreads(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 13))
	for round := range 6 {
		s := varied(1+rng.IntN(3000), uint64(round))
		if round%3 == 0 {
			for i := range s.WorstOut {
				s.WorstOut[i] = s.Worst[i] * (1 + rng.Float64()/10)
			}
			s.NominalOut = s.Nominal
			slices.Sort(s.WorstOut)
		}
		for kind, opt := range spreadKinds {
			t.Run(fmt.Sprintf("%d, %s", round, kind), func(t *testing.T) {
				drawn := Spread(s, opt)
				right(t, drawn)
				if bytesOf(t, drawn) != bytesOf(t, Spread(s, opt)) {
					t.Error("drawn twice, the bytes differ")
				}
				for _, id := range []string{"all-in", "one-out", "nominal", "nominal-out"} {
					if len(names(drawn, id)) != 1 {
						t.Errorf("%s has names %q", id, names(drawn, id))
					}
				}
			})
		}
	}
}

func TestQuantilesAgreeWithCounting(t *testing.T) {
	rng := rand.New(rand.NewPCG(14, 15))
	for range 100 {
		b := builds{worst: make([]float64, 1+rng.IntN(60))}
		for i := range b.worst {
			b.worst[i] = float64(rng.IntN(20))
		}
		slices.Sort(b.worst)
		n := float64(len(b.worst))
		count := func(v float64) (n float64) {
			for _, w := range b.worst {
				if w <= v {
					n++
				}
			}
			return n
		}
		for _, of := range []float64{0.01, 0.5, 0.7, 0.95, 1} {
			q := b.quantile(of)
			if count(q) < of*n-1e-9 || count(q-1) >= of*n {
				t.Errorf("%g of %v is %g", of, b.worst, q)
			}
		}
		if v := float64(rng.IntN(22)) - 1; b.below(v) != count(v)/n {
			t.Errorf("%g of %v lie below %g, want %g", b.below(v), b.worst, v, count(v)/n)
		}
		steps := b.steps(-1, 30)
		if lo, hi, _ := steps.extremes(); lo != 0 || hi != 1 || !slices.IsSorted(steps.time) || !slices.IsSorted(steps.value) {
			t.Errorf("the staircase of %v is no staircase", b.worst)
		}
	}
}

func TestNominalStandsOnItsCurve(t *testing.T) {
	s := varied(400, 3)
	drawn := Spread(s, SpreadOptions{})
	at := centre(t, drawn, "nominal")
	var ticks []sheet.Text
	for _, x := range drawn.Texts() {
		if (x.S == "0 %" || x.S == "20 %") && x.Anchor == sheet.Middle {
			ticks = append(ticks, x)
		}
	}
	if len(ticks) != 2 {
		t.Fatalf("ticks %v", ticks)
	}
	want := ticks[0].At.X + (ticks[1].At.X-ticks[0].At.X)*s.Nominal/0.2
	if math.Abs(at.X-want) > 1e-9 {
		t.Errorf("the nominal stands at %g mm, want %g", at.X, want)
	}
	if d := onto(drawnSpread(drawn, "all-in"), at); d > 2*thinSlack {
		t.Errorf("the nominal is %g mm off its curve", d)
	}
}

// drawnSpread gives the points of a curve.
func drawnSpread(s *sheet.Sheet, id string) []sheet.Point {
	var points []sheet.Point
	for _, it := range s.Items {
		if it.ID == id && it.Layer == sheet.Conductors {
			for _, q := range it.Marks[0].(sheet.Path).Pieces {
				points = append(points, q.P[0])
			}
		}
	}
	return points
}

func TestLimitsAreSaid(t *testing.T) {
	for want, change := range map[string]func(*report.Spread){
		"A battery passes its limit in 12 of 50 builds with all in, in none of 50 builds with the worst one out.": func(s *report.Spread) { s.Over, s.OverOut = 12, 0 },
		"No limit of a battery's current is known, so none can be passed.":                                        func(s *report.Spread) { s.HasLimit, s.Over = false, 0 },
		"A battery passes its limit in 3 of 50 builds with all in.":                                               func(s *report.Spread) { s.WorstOut, s.Over = nil, 3 },
		"case evening, draw 180 A; stopped after 50 of 2000 builds, seed 1":                                       func(s *report.Spread) { s.Asked = 2000 },
	} {
		s := varied(50, 1)
		change(s)
		role := sheet.Grey
		if strings.Contains(want, "of 50") {
			role = sheet.Attention
		}
		if !slices.ContainsFunc(Spread(s, SpreadOptions{Width: 250}).Texts(), func(x sheet.Text) bool { return x.S == want && x.Role == role }) {
			t.Errorf("%q is not said", want)
		}
	}
}

func TestTolerancesByWhatMatters(t *testing.T) {
	drawn := Spread(varied(100, 2), SpreadOptions{})
	long, low := math.Inf(1), 0.0
	for i, id := range []string{"resistance", "joints", "emf", "lengths", "capacity"} {
		for _, it := range drawn.Items {
			if it.ID != id || it.Layer != sheet.Cases {
				continue
			}
			b := it.Marks[0].Box()
			if b.Width() > long || b.Y0 < low {
				t.Errorf("%s has a bar %.1f mm long at %.1f, below one of %.1f", id, b.Width(), b.Y0, long)
			}
			if hatched := len(it.Marks) == 2; hatched != (i < 2) {
				t.Errorf("%s is hatched %v, its spread assumed %v", id, hatched, i < 2)
			}
			long, low = b.Width(), b.Y1
		}
	}
	if got := texts(drawn, "emf"); strings.Join(got, " ") != "emf 2 mV 1.1 % 7.9 %" {
		t.Errorf("emf: %q", got)
	}
	if !says(drawn, "assumed: the spread of resistance, joints") {
		t.Error("what is assumed is not said")
	}
}

func TestPoorSpreads(t *testing.T) {
	bad := `</text>"&` + "\u202e" + strings.Repeat("long ", 80)
	equal := varied(30, 4)
	for i := range equal.Worst {
		equal.Worst[i], equal.WorstOut[i] = 1e-13, 1e-13
	}
	equal.Nominal, equal.NominalOut = 0, nan
	odd := varied(30, 5)
	odd.Worst[3], odd.WorstOut[9], odd.Worst[29] = nan, math.Inf(1), 1e300
	odd.Tolerances[0].Matters, odd.Tolerances[1].Part, odd.Tolerances[0].What = nan, nan, bad
	odd.Case.ID = bad
	for name, row := range map[string]struct {
		s    *report.Spread
		want string
	}{
		"nil": {nil, "Nothing to draw"}, "empty": {&report.Spread{}, "Nothing to draw"}, "no number": {&report.Spread{Done: 1, Worst: []float64{nan}}, "Nothing to draw"},
		"one": {&report.Spread{Done: 1, Asked: 1, Worst: []float64{0.05}, Nominal: 0.05}, "all in"}, "equal": {equal, "worst one out"}, "odd": {odd, "95 of 100"},
	} {
		for kind, opt := range spreadKinds {
			t.Run(name+", "+kind, func(t *testing.T) {
				s := Spread(row.s, opt)
				right(t, s)
				if !says(s, row.want) {
					t.Errorf("%q is not said: %q", row.want, texts(s, "*"))
				}
			})
		}
	}
}
