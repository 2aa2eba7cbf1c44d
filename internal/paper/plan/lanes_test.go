package plan

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"bankwright/internal/paper/sheet"
)

// run a fan over lanes given as points, and give them back spread.
func spreadOut(pins []pin, lanes ...lane) []lane {
	f := fan{lanes: lanes, pins: pins}
	f.spread(true)
	f.spread(false)
	f.apply()
	return f.lanes
}

// crossings counts how often two ways cross.
func crossings(a, b []sheet.Point) int {
	n := 0
	for i := 1; i < len(a); i++ {
		for j := 1; j < len(b); j++ {
			if sheet.Cross(a[i-1], a[i], b[j-1], b[j]) {
				n++
			}
		}
	}
	return n
}

// gap gives the least distance across between stretches of two ways that run
// side by side for more than a few millimetres.
func gap(a, b []sheet.Point) float64 {
	least := math.Inf(1)
	for _, level := range []bool{true, false} {
		legs := func(p []sheet.Point) (list []leg) {
			f := fan{lanes: []lane{{points: p}}}
			for k := range len(p) - 1 {
				if g, ok := f.legOf(0, k, level); ok {
					list = append(list, g)
				}
			}
			return list
		}
		for _, g := range legs(a) {
			for _, h := range legs(b) {
				if min(g.hi, h.hi)-max(g.lo, h.lo) > 5 {
					least = min(least, math.Abs(g.pos-h.pos))
				}
			}
		}
	}
	return least
}

func TestCoincidentLanesLieSideBySide(t *testing.T) {
	way := func(p ...float64) (list []sheet.Point) {
		for i := 0; i < len(p); i += 2 {
			list = append(list, pt(p[i], p[i+1]))
		}
		return list
	}
	for name, row := range map[string][2][]sheet.Point{
		"alike":                   {way(0, 0, 50, 0, 50, 40), way(0, 0, 50, 0, 50, 40)},
		"against each other":      {way(0, 0, 50, 0, 50, 40), way(50, 40, 50, 0, 0, 0)},
		"one turns off above":     {way(0, 0, 80, 0), way(0, 0, 50, 0, 50, -30)},
		"one turns off below":     {way(0, 0, 80, 0), way(0, 0, 50, 0, 50, 30)},
		"part after a corner":     {way(0, 0, 50, 0, 50, 30, 90, 30), way(0, 0, 50, 0, 50, 30, 10, 30)},
		"part after two corners":  {way(0, 0, 50, 0, 50, 30, 90, 30, 90, 60), way(0, 0, 50, 0, 50, 30, 90, 30, 90, 5)},
		"one comes from the side": {way(0, 0, 90, 0, 90, 30), way(20, 30, 20, 0, 90, 0, 90, -30)},
		"from both sides":         {way(20, -30, 20, 0, 90, 0, 90, 30), way(20, 30, 20, 0, 90, 0, 90, -30)},
	} {
		t.Run(name, func(t *testing.T) {
			want := 0
			if strings.Contains(name, "side") {
				want = 1 // they change sides, so they must cross
			}
			for _, first := range []int{0, 1} { // whichever comes first
				got := spreadOut(nil, lane{points: row[first], width: 3}, lane{points: row[1-first], width: 2})
				a, b := got[0].points, got[1].points
				if g := gap(a, b); g < 2.5+laneGap-1e-3 {
					t.Errorf("%.2f mm apart, want %.2f: %v %v", g, 2.5+laneGap, a, b)
				}
				if n := crossings(a, b); n != want {
					t.Errorf("they cross %d times, want %d: %v %v", n, want, a, b)
				}
				for i, l := range got {
					from, to := row[(first+i)%2][0], row[(first+i)%2][len(row[(first+i)%2])-1]
					if l.points[0] != from || l.points[len(l.points)-1] != to {
						t.Errorf("lane %d no longer goes from %v to %v: %v", i, from, to, l.points)
					}
				}
			}
		})
	}
}

func TestLaneGoesRoundAForeignPost(t *testing.T) {
	r := row(3)
	wire(r, "W1", "B1+", "B2+", 30)
	wire(r, "W2", "B1+", "B3+", 60)
	d, lanes, err := compose(r, Options{}, false)
	if err != nil {
		t.Fatal(err)
	}
	var post sheet.Point
	for _, p := range d.pins() {
		if p.name == "B2+" {
			post = p.at
		}
	}
	near := func(l lane) float64 {
		least := math.Inf(1)
		for i := 1; i < len(l.points); i++ {
			for k := range 101 {
				least = min(least, sheet.Between(l.points[i-1], l.points[i], float64(k)/100).Minus(post).Length())
			}
		}
		return least
	}
	if n := near(lanes[0]); n > 1e-9 {
		t.Errorf("W1 ends %.2f mm off its post", n)
	}
	if n := near(lanes[1]); n < d.style.post+lanes[1].width/2+postGap-1e-3 {
		t.Errorf("W2 passes the post of B2 at %.2f mm, under %.2f", n, d.style.post+lanes[1].width/2+postGap)
	}
	if g := gap(lanes[0].points, lanes[1].points); g < (lanes[0].width+lanes[1].width)/2+laneGap-1e-3 {
		t.Errorf("W1 and W2 lie %.2f mm apart", g)
	}
	// Both posts lie towards the far side of the cases: there is where it goes.
	if lanes[1].points[1].Y >= lanes[1].points[0].Y {
		t.Errorf("W2 goes over the cases: %v", lanes[1].points)
	}
}

// Three to six lanes that share a stretch, in widths as they are drawn.
func TestBundlesKeepTheirOrder(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	for range 100 {
		n := 3 + rng.IntN(4)
		var lanes []lane
		for i := range n {
			// From the left end of a common stretch each goes up or down at a place of
			// its own.
			x, y := 60+15*float64(i), 40.0
			if rng.IntN(2) == 0 {
				y = -40
			}
			lanes = append(lanes, lane{run: i, points: []sheet.Point{pt(0, 0), pt(x, 0), pt(x, y)}, width: 1 + 2*rng.Float64()})
		}
		rng.Shuffle(n, func(i, j int) { lanes[i], lanes[j] = lanes[j], lanes[i] })
		got := spreadOut(nil, lanes...)
		for i := range got {
			for j := range i {
				// Stubs at the common post lie on one another; the rest must not cross.
				if c := crossings(got[i].points[1:], got[j].points[1:]); c != 0 {
					t.Errorf("lanes cross %d times: %v %v", c, got[i].points, got[j].points)
				}
				// Steps under 0.02 mm are left out of a way, so either may be off by that.
				if g := gap(got[i].points, got[j].points); g < (got[i].width+got[j].width)/2+laneGap-0.04 {
					t.Errorf("lanes lie %.5f mm apart, widths %.2f and %.2f: %v %v", g, got[i].width, got[j].width, got[i].points, got[j].points)
				}
			}
		}
	}
}

func TestCornersAndTrim(t *testing.T) {
	got := corners([]sheet.Point{pt(0, 0), pt(0, 0), pt(5, 0), pt(9, 0), pt(4, 0), pt(4, 3)})
	want := []sheet.Point{pt(0, 0), pt(9, 0), pt(9, 0), pt(4, 0), pt(4, 3)}
	if len(got) != len(want) {
		t.Fatalf("corners %v, want %v", got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("corner %d is %v, want %v", i, got[i], want[i])
		}
	}
	cut := trim([]sheet.Point{pt(0, 0), pt(10, 0), pt(10, 10)}, 3)
	if len(cut) != 3 || cut[0] != pt(3, 0) || cut[2] != pt(10, 7) {
		t.Errorf("trimmed %v", cut)
	}
	if cut := trim([]sheet.Point{pt(0, 0), pt(5, 0)}, 3); len(cut) > 1 {
		t.Errorf("of 5 mm, 3 mm off each end leaves %v", cut)
	}
}
