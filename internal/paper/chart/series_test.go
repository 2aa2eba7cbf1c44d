package chart

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bankwright/internal/paper/sheet"
)

var nan = math.NaN()

// noise is a random walk with spikes and gaps.
func noise(rng *rand.Rand, n int, gaps bool) series {
	s := series{make([]float64, n), make([]float64, n)}
	v, t := 0.0, 0.0
	for i := range n {
		v += rng.NormFloat64()
		t += rng.Float64()
		s.time[i], s.value[i] = t, v
		if rng.IntN(50) == 0 {
			s.value[i] += 40 * rng.NormFloat64()
		}
		if gaps && rng.IntN(40) == 0 {
			s.value[i] = nan
		}
	}
	return s
}

func TestColumnsKeepExtremes(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for round := range 40 {
		s := noise(rng, 1+rng.IntN(3000), round%2 == 0)
		x := axis{lo: s.time[0], hi: s.time[len(s.time)-1] + 1, from: 10, to: 110}
		width := 0.2 + 5*rng.Float64()
		column := func(i int) float64 { return math.Floor((x.at(s.time[i]) - x.from) / width) }
		all, kept := map[float64][2]float64{}, map[float64][2]float64{}
		take := func(m map[float64][2]float64, i int) {
			if old, ok := m[column(i)]; ok {
				m[column(i)] = [2]float64{min(old[0], s.value[i]), max(old[1], s.value[i])}
			} else {
				m[column(i)] = [2]float64{s.value[i], s.value[i]}
			}
		}
		for i := range s.value {
			if s.has(i) {
				take(all, i)
			}
		}
		last := -1
		for _, piece := range s.columns(&x, width) {
			for _, i := range piece {
				if take(kept, i); i <= last {
					t.Fatalf("round %d: sample %d after %d", round, i, last)
				}
				last = i
			}
			for i := piece[0]; i <= piece[len(piece)-1]; i++ {
				if !s.has(i) {
					t.Fatalf("round %d: a piece spans the gap at %d", round, i)
				}
			}
		}
		if few := s.picked(s.columns(&x, width)); fmt.Sprint(few.picked(few.columns(&x, 4*width))) != fmt.Sprint(s.picked(s.columns(&x, 4*width))) {
			t.Fatalf("round %d: thinned twice is not thinned once", round)
		}
		if len(all) != len(kept) {
			t.Fatalf("round %d: %d columns of %d", round, len(kept), len(all))
		}
		for c, want := range all {
			if kept[c] != want {
				t.Errorf("round %d: column %g spans %v, drawn %v", round, c, want, kept[c])
			}
		}
	}
}

// onto gives the height of a line through points at x, the least distance to y
// where it stands upright there.
func onto(points []sheet.Point, p sheet.Point) float64 {
	best := math.Inf(1)
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		if p.X < a.X || p.X > b.X {
			continue
		}
		if a.X == b.X {
			best = min(best, max(0, min(a.Y, b.Y)-p.Y, p.Y-max(a.Y, b.Y)))
			continue
		}
		y := a.Y + (b.Y-a.Y)*(p.X-a.X)/(b.X-a.X)
		best = min(best, math.Abs(y-p.Y))
	}
	return best
}

func TestStraightenStaysNear(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for round := range 60 {
		const slack = 0.03
		var points []sheet.Point
		x := 0.0
		for i := range 2 + rng.IntN(400) {
			if rng.IntN(5) > 0 { // else two samples at one time, as at an event
				x += 0.1
			}
			y := 5 * math.Sin(float64(i)/30)
			if round%2 == 0 {
				y += rng.Float64() * 0.1
			}
			points = append(points, sheet.Point{X: x, Y: y})
		}
		kept := straighten(slices.Clone(points), slack)
		if kept[0] != points[0] || kept[len(kept)-1] != points[len(points)-1] {
			t.Fatalf("round %d: an end is lost", round)
		}
		for _, p := range points {
			if d := onto(kept, p); d > slack+1e-9 && !slices.Contains(kept, p) {
				t.Errorf("round %d: %v lies %g mm off the line", round, p, d)
			}
		}
		for _, less := range []func(a, b sheet.Point) bool{
			func(a, b sheet.Point) bool { return a.Y < b.Y }, func(a, b sheet.Point) bool { return a.Y > b.Y },
		} {
			best := points[0]
			for _, p := range points {
				if less(p, best) {
					best = p
				}
			}
			if !slices.Contains(kept, best) {
				t.Errorf("round %d: the extreme %v is lost", round, best)
			}
		}
		if round%2 == 1 && len(points) > 200 && len(kept) > len(points)/2 {
			t.Errorf("round %d: %d points of %d on a smooth line", round, len(kept), len(points))
		}
	}
}

func TestReadOff(t *testing.T) {
	s := series{[]float64{0, 10, 20, 20, 30, 40}, []float64{1, 3, 5, 9, nan, 2}}
	for _, row := range []struct{ t, want float64 }{
		{0, 1}, {5, 2}, {10, 3}, {20, 5}, {25, nan}, {30, nan}, {35, nan}, {40, 2}, {41, nan}, {-1, nan}, {nan, nan},
	} {
		if got := s.at(row.t); got != row.want && !(math.IsNaN(got) && math.IsNaN(row.want)) {
			t.Errorf("at %g it is %g, want %g", row.t, got, row.want)
		}
	}
	if got := newSeries([]float64{1, 2, 3}, []float64{4}).at(1); got != 4 {
		t.Errorf("a short series reads %g", got)
	}
}

func TestApartMovesLeast(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for round := range 200 {
		n := 1 + rng.IntN(5)
		want, size := make([]float64, n), make([]float64, n)
		for i := range n {
			want[i], size[i] = 30*rng.Float64()-2, 1+3*rng.Float64()
		}
		slices.Sort(want)
		const lo, hi = 0, 26
		got := apart(want, size, lo, hi)
		fits := func(at []float64) bool {
			low := float64(lo)
			for i, c := range at {
				if c-size[i]/2 < low-1e-9 {
					return false
				}
				low = c + size[i]/2
			}
			return low <= hi+1e-9
		}
		cost := func(at []float64) (sum float64) {
			for i := range at {
				sum += (at[i] - want[i]) * (at[i] - want[i])
			}
			return sum
		}
		if !fits(got) {
			t.Fatalf("round %d: %v of sizes %v do not fit", round, got, size)
		}
		// The sum of squares over places that fit is convex, so a place that no
		// small move betters is the best.
		for range 300 {
			other := slices.Clone(got)
			for i := range other {
				other[i] += 0.2 * rng.NormFloat64()
			}
			if fits(other) && cost(other) < cost(got)-1e-6 {
				t.Fatalf("round %d: %v is better than %v for %v", round, other, got, want)
			}
		}
	}
	if got := apart(nil, nil, 0, 1); len(got) != 0 {
		t.Errorf("nothing is placed at %v", got)
	}
}

func TestClock(t *testing.T) {
	for _, row := range []struct {
		s    float64
		want string
	}{
		{0, "0"}, {0.04, "0"}, {3.21, "3.2 s"}, {45, "45 s"}, {59.96, "1 min"}, {250, "4 min 10 s"}, {599.7, "10 min"},
		{10620, "2 h 57 min"}, {10645, "2 h 57 min"}, {3600, "1 h"}, {3599, "1 h"}, {36 * 3600, "36 h"}, {48 * 3600, "2 d"},
		{3*86400 + 4*3600, "3 d 4 h"}, {-90, "−1 min 30 s"}, {-0.01, "0"}, {nan, "–"}, {math.Inf(1), "∞"},
	} {
		if got := clock(row.s); got != row.want {
			t.Errorf("%g s is told as %q, want %q", row.s, got, row.want)
		}
	}
}

func TestFigures(t *testing.T) {
	for _, row := range []struct {
		v    float64
		want string
	}{{180, "180"}, {62.5, "62.5"}, {1.0 / 3, "0.3333"}, {12346, "12350"}, {-0.5, "−0.5"}, {0, "0"}, {nan, "–"}} {
		if got := figures(row.v); got != row.want {
			t.Errorf("%g is %q, want %q", row.v, got, row.want)
		}
	}
}

func TestTimeTicks(t *testing.T) {
	for _, span := range []float64{1, 7, 45, 200, 1000, 3600, 4 * 3600, 86400, 3 * 86400, 40 * 86400, 800 * 86400, 1e10} {
		for _, wide := range []float64{55, 200} {
			t.Run(fmt.Sprintf("%g s on %g mm", span, wide), func(t *testing.T) {
				a := axis{lo: 0, hi: span, from: 20, to: 20 + wide}
				ticks := timeTicks(&a, sheet.Body)
				if len(ticks) < 2 || ticks[0].at != 0 {
					t.Fatalf("ticks %v", ticks)
				}
				for i := 1; i < len(ticks); i++ {
					a0, a1 := a.at(ticks[i-1].at), a.at(ticks[i].at)
					half := (sheet.TextWidth(sheet.Regular, sheet.Body, ticks[i-1].label) + sheet.TextWidth(sheet.Regular, sheet.Body, ticks[i].label)) / 2
					if a1-a0 < half+2 || ticks[i].at > span*(1+1e-9) {
						t.Errorf("%q at %g and %q at %g", ticks[i-1].label, a0, ticks[i].label, a1)
					}
				}
			})
		}
	}
}
