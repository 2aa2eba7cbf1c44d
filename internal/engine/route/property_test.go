package route

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"
)

func mustNew(t testing.TB, scene Scene, rules Rules) *Router {
	t.Helper()
	r, err := New(scene, rules)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestRandomLayouts routes all pairs of 200 layouts and walks along each
// route. Every failure must say why in terms of the layout: a wall or a taller
// case too near a post, or no way through, which is then checked to be rare.
func TestRandomLayouts(t *testing.T) {
	routed, tight, through, lost := 0, 0, 0, 0
	for seed := range seeds(200) {
		rng := rand.New(rand.NewPCG(seed, 1))
		l := randomLayout(rng, 2+int(seed%9), seed%3 == 0)
		r := mustNew(t, l.scene, heavy)
		for i, from := range l.posts {
			for _, to := range l.posts[:i] {
				p, err := r.Route(from, to, nil)
				var none *NoRouteError
				if errors.As(err, &none) {
					lost += btoi(strings.Contains(none.Why, "no way through"))
					continue
				}
				if err != nil {
					t.Fatalf("seed %d: %v", seed, err)
				}
				if fault := l.fault(p, heavy, from, to); fault != "" {
					t.Errorf("seed %d: route from %v to %v %s: %v", seed, from.At, to.At, fault, p.Points)
				}
				if fault := accountFault(p, heavy); fault != "" {
					t.Errorf("seed %d: route from %v to %v: %s", seed, from.At, to.At, fault)
				}
				routed++
				tight += btoi(p.Close)
				through += len(p.Passages)
			}
		}
	}
	t.Logf("%d routed, %d of them close, %d through the hole, %d without a way", routed, tight, through, lost)
	if !raced && (routed < 10000 || tight == 0 || through < 100) {
		t.Errorf("layouts test little: %d routed, %d close, %d through the hole", routed, tight, through)
	}
	if lost > routed/50 {
		t.Errorf("%d routes without a way among %d", lost, routed)
	}
}

// accountFault works the length of a path out again from its points, by the
// definition: legs less (2-π/2)·r at each corner, and two allowances.
func accountFault(p Path, rules Rules) string {
	var legs []float64
	for i := 1; i < len(p.Points); i++ {
		a, b := p.Points[i-1], p.Points[i]
		legs = append(legs, math.Abs(a.X-b.X)+math.Abs(a.Y-b.Y)+math.Abs(a.Z-b.Z))
	}
	want, tight := 2*rules.Allowance, false
	for i, leg := range legs {
		want += leg
		corners := 2.0
		if i == 0 || i == len(legs)-1 {
			corners = 1
		}
		if len(legs) > 1 && leg < corners*rules.Radius-1e-9 {
			tight = true
		}
		if i > 0 {
			want -= (2 - math.Pi/2) * min(rules.Radius, leg/2, legs[i-1]/2)
		}
	}
	sum := 0.0
	for _, s := range p.Steps() {
		sum += s.Metres
	}
	switch {
	case math.Abs(p.Length-want) > 1e-12:
		return fmt.Sprintf("length %.15g, by its points %.15g", p.Length, want)
	case math.Abs(sum-p.Length) > 1e-12:
		return fmt.Sprintf("length %.15g, by its steps %.15g", p.Length, sum)
	case p.Bends != len(p.Points)-2:
		return fmt.Sprintf("%d bends, %d points", p.Bends, len(p.Points))
	case p.Tight != tight:
		return fmt.Sprintf("tight %v, by its points %v", p.Tight, tight)
	}
	return ""
}

// TestSymmetry asks the same of a layout moved, mirrored and turned about: the
// lengths must be the same to rounding, and moved, the points too.
func TestSymmetry(t *testing.T) {
	moves := []struct {
		name string
		move func(Point) Point
		back func(Point) Point // nil: other points may be as good
	}{
		{"moved", func(p Point) Point { return Point{p.X + 1.2345678, p.Y - 7.1, p.Z + 0.3} },
			func(p Point) Point { return Point{p.X - 1.2345678, p.Y + 7.1, p.Z - 0.3} }},
		{"mirrored left to right", func(p Point) Point { return Point{0.7 - p.X, p.Y, p.Z} }, nil},
		{"mirrored front to back", func(p Point) Point { return Point{p.X, 1.3 - p.Y, p.Z} }, nil},
		{"turned a quarter", func(p Point) Point { return Point{-p.Y, p.X, p.Z} }, nil},
		{"mirrored on the diagonal", func(p Point) Point { return Point{p.Y, p.X, p.Z} }, nil},
	}
	for _, m := range moves {
		t.Run(m.name, func(t *testing.T) {
			for seed := range seeds(8) {
				// Equal batteries in rows have the most ties.
				l := bank(3, 2)
				if seed > 0 {
					l = randomLayout(rand.New(rand.NewPCG(seed, 2)), 2+int(seed%5), seed%2 == 0)
				}
				other := l.eachPoint(m.move)
				r, s := mustNew(t, l.scene, heavy), mustNew(t, other.scene, heavy)
				for i := range l.posts {
					for j := range i {
						p, err := r.Route(l.posts[i], l.posts[j], nil)
						q, other := s.Route(other.posts[i], other.posts[j], nil)
						if (err == nil) != (other == nil) {
							t.Fatalf("seed %d: %v, but %v", seed, err, other)
						}
						if math.Abs(p.Length-q.Length) > 1e-12 || p.Close != q.Close {
							t.Errorf("seed %d: posts %d, %d: %.15g m, else %.15g m", seed, i, j, p.Length, q.Length)
						}
						if m.back != nil && !samePoints(p.Points, q.Points, m.back) {
							t.Errorf("seed %d: posts %d, %d: %v, else %v", seed, i, j, p.Points, q.Points)
						}
					}
				}
			}
		})
	}
}

// TestSymmetryByOnePoint mirrors layouts where the cable is led by a point, so
// that there is a choice of how to come to it and leave it.
func TestSymmetryByOnePoint(t *testing.T) {
	mirror := func(p Point) Point { return Point{0.7 - p.X, p.Y, p.Z} }
	ends := []End{post(0, 0, 0.1), post(0.3, 0.02, 0.26), post(0.3, 0.3, 0.1), stud(0.1, 0.1, 0.1), stud(0.2, 0.01, 0.3), stud(0.3, 0.02, 0.02)}
	r := mustNew(t, Scene{}, heavy)
	rng := rand.New(rand.NewPCG(9, 9))
	for range 50 {
		// Whole centimetres, so that legs are often equal.
		by := Point{0.01 * float64(rng.IntN(40)), 0.01 * float64(rng.IntN(40)), 0.01 * float64(rng.IntN(40))}
		for i, from := range ends {
			for _, to := range ends[:i] {
				p, err := r.Route(from, to, []Point{by})
				q, other := r.Route(End{mirror(from.At), from.Rise}, End{mirror(to.At), to.Rise}, []Point{mirror(by)})
				if err != nil || other != nil || math.Abs(p.Length-q.Length) > 1e-12 {
					t.Errorf("from %v by %v to %v: %.15g m, mirrored %.15g m; errors %v, %v", from.At, by, to.At, p.Length, q.Length, err, other)
				}
			}
		}
	}
}

func samePoints(p, q []Point, back func(Point) Point) bool {
	return slices.EqualFunc(p, q, func(a, b Point) bool {
		b = back(b)
		return math.Abs(a.X-b.X) < 1e-12 && math.Abs(a.Y-b.Y) < 1e-12 && math.Abs(a.Z-b.Z) < 1e-12
	})
}

// TestReversed wants the very same bits from either end.
func TestReversed(t *testing.T) {
	for seed := range seeds(10) {
		l := randomLayout(rand.New(rand.NewPCG(seed, 3)), 2+int(seed%5), seed%2 == 0)
		r := mustNew(t, l.scene, heavy)
		run := []Point{{0.1, 0.1, 0.4}, {0.3, 0.3, 0.4}, {0.3, 0.1, 0.4}}
		for i := range l.posts {
			for j := range i {
				for _, via := range [][]Point{nil, run[:1], run} {
					p, err := r.Route(l.posts[i], l.posts[j], via)
					q, other := r.Route(l.posts[j], l.posts[i], via)
					if (err == nil) != (other == nil) {
						t.Fatalf("seed %d: %v, but %v", seed, err, other)
					}
					q.reverse()
					if fmt.Sprintf("%+v", p) != fmt.Sprintf("%+v", q) {
						t.Errorf("seed %d: posts %d, %d: %+v, else %+v", seed, i, j, p, q)
					}
				}
			}
		}
	}
}

// TestConcurrent asks one router from several goroutines; the answers must be
// those of one (and the race detector quiet).
func TestConcurrent(t *testing.T) {
	l := randomLayout(rand.New(rand.NewPCG(5, 4)), 6, true)
	r := mustNew(t, l.scene, heavy)
	answers := make([]string, 4)
	var wait sync.WaitGroup
	for k := range answers {
		wait.Go(func() {
			for i := range l.posts {
				for j := range i {
					p, err := r.Route(l.posts[i], l.posts[j], nil)
					answers[k] += fmt.Sprintf("%+v %v\n", p, err)
				}
			}
		})
	}
	wait.Wait()
	for k, a := range answers {
		if a != answers[0] || a == "" {
			t.Errorf("goroutine %d has other answers than goroutine 0", k)
		}
	}
}

// TestRepeatable asks two routers, one after other questions, for the same.
// The marks that tell one question's costs from the last one's run out on the
// way, which must not show.
func TestRepeatable(t *testing.T) {
	l := randomLayout(rand.New(rand.NewPCG(6, 5)), 7, false)
	r := mustNew(t, l.scene, heavy)
	worn := new(search)
	worn.costs.generation = 1<<(64-keyBits) - 10
	r.pool.New = func() any { return worn } // asked one at a time here
	ask := func(r *Router, i, j int) string {
		p, err := r.Route(l.posts[i], l.posts[j], nil)
		return fmt.Sprintf("%+v %v", p, err)
	}
	for i := range l.posts {
		for j := range i {
			if a, b := ask(r, i, j), ask(mustNew(t, l.scene, heavy), i, j); a != b {
				t.Errorf("posts %d, %d: %s, fresh %s", i, j, a, b)
			}
		}
	}
	if worn.costs.generation > 1000 {
		t.Errorf("generation %d: the marks did not run out", worn.costs.generation)
	}
}
