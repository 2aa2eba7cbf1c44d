package network

import (
	"fmt"
	"math"
	"runtime"
	"testing"
	"time"
)

// TestLargeShapes: every shape a bank takes, with 100 000 batteries or more.
// Linear memory is counted: entries of the factor at most three a node. Linear
// time shows in that it ends: work that grows with the square would be above
// 10¹⁰ steps, 20 to 50 s here, where each shape takes about a tenth of one.
func TestLargeShapes(t *testing.T) {
	const n = 100_000
	const theta = 0.5                      // any link will do
	link := 0.005 * (math.Cosh(theta) - 1) // cosh(theta) = 1 + (both links / battery)/2
	rows := []struct {
		name     string
		net      Network
		injected []float64
		branch   int     // looked at
		current  float64 // A, expected there
	}{
		// Closed form of an endless chain: the first share is 1 - exp(-theta).
		{"ladder", ladder(n, 12.8, 0.005, link, link), drawn(2*n, n, 0, 100), 0, 100 * (1 - math.Exp(-theta))},
		{"star, hub first", fan(n, 0), drawn(n+1, 0, 1, 50), 0, 50},
		{"star, hub last", fan(n, n), drawn(n+1, n, 0, 50), 0, 50},
		{"two buses", twoBuses(n), drawn(n+3, 2, 0, 1000), n, 1000.0 / n}, // equal shares
		{"ring", ring(n), nil, n / 2, 3.2 / 0.004},                        // as one battery shorted
		{"tree", binaryTree(n), drawn(n, n-1, 0, 10), n - 2, 10},          // all of it at the last leaf
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			start := time.Now()
			f, err := Factorize(r.net)
			if err != nil {
				t.Fatal(err)
			}
			s, err := f.Solve(nil, r.injected)
			if err != nil {
				t.Fatal(err)
			}
			took := time.Since(start)
			if err := s.Check(); err != nil {
				t.Error(err)
			}
			if s.Residual > 1e-12*largest(s.Current) {
				t.Errorf("residual %.3g A at %.3g A", s.Residual, largest(s.Current))
			}
			wantClose(t, "current", s.Current[r.branch:r.branch+1], []float64{r.current}, 1e-10*largest(s.Current))
			if len(f.entries) > 3*r.net.Nodes {
				t.Errorf("%d entries for %d nodes", len(f.entries), r.net.Nodes)
			}
			if took > 15*time.Second {
				t.Errorf("took %v", took)
			}
		})
	}
}

// TestManyBuses: each of 20 000 nodes on ten buses. Each node that goes adds
// the buses' mesh once more to lists too long to walk; without tidying that is
// above 100 half-edges and entries a node, with it no more than 50.
func TestManyBuses(t *testing.T) {
	const n = 20_000
	f, err := factorize(manyBuses(n), limits{hub: defaultLimits.hub, stored: 50 * n})
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.Solve(nil, drawn(n+10, n+9, 0, 100))
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Check(); err != nil {
		t.Error(err)
	}
}

// BenchmarkChain: a ladder of N batteries, factorised and solved once.
func BenchmarkChain(b *testing.B) {
	for n := 10; n <= 100_000; n *= 10 {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			perBattery(b, n, ladder(n, 12.8, 0.005, 5e-5, 5e-5), drawn(2*n, n, 0, 100))
		})
	}
}

// BenchmarkShape: the other shapes with 100 000 batteries.
func BenchmarkShape(b *testing.B) {
	const n = 100_000
	b.Run("star", func(b *testing.B) { perBattery(b, n, fan(n, n), drawn(n+1, n, 0, 50)) })
	b.Run("two buses", func(b *testing.B) { perBattery(b, n, twoBuses(n), drawn(n+3, 2, 0, 1000)) })
	b.Run("ring", func(b *testing.B) { perBattery(b, n, ring(n), nil) })
	b.Run("tree", func(b *testing.B) { perBattery(b, n, binaryTree(n), drawn(n, n-1, 0, 10)) })
}

func perBattery(b *testing.B, n int, net Network, injected []float64) {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	rounds := 0
	for b.Loop() {
		if _, err := Solve(net, injected); err != nil {
			b.Fatal(err)
		}
		rounds++
	}
	runtime.ReadMemStats(&after)
	all := float64(rounds) * float64(n)
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/all, "ns/battery")
	b.ReportMetric(float64(after.TotalAlloc-before.TotalAlloc)/all, "B/battery")
}

// BenchmarkSix: six batteries, as a wiring is tried or a run takes a step.
func BenchmarkSix(b *testing.B) {
	net, injected := ladder(6, 12.8, 0.005, 5e-5, 5e-5), drawn(12, 6, 5, 100)
	b.Run("factor and solve", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := Solve(net, injected); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("solve", func(b *testing.B) {
		f, err := Factorize(net)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportAllocs()
		for b.Loop() {
			if _, err := f.Solve(nil, injected); err != nil {
				b.Fatal(err)
			}
		}
	})
}
