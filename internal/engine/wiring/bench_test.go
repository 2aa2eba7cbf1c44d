package wiring

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
	"testing"
	"time"
)

// layoutsOfTrial is how many random layouts the figures are taken over.
const layoutsOfTrial = 20

// BenchmarkSix is the exact front of all 282 475 249 wirings of six batteries
// with one stud a rail, one layout after the other.
func BenchmarkSix(b *testing.B) {
	for k := range layoutsOfTrial {
		q := trialSix(k)
		b.Run(fmt.Sprintf("layout%02d", k), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				a, err := Search(context.Background(), q)
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(a.Solved), "solved")
				b.ReportMetric(float64(len(a.Front)), "front")
			}
		})
	}
}

// BenchmarkSixAll gives the median and the worst of the twenty layouts, and
// how many times longer the plain loop would take, sampled in the same run.
func BenchmarkSixAll(b *testing.B) {
	var times []float64
	for b.Loop() {
		for k := range layoutsOfTrial {
			start := time.Now()
			if _, err := Search(context.Background(), trialSix(k)); err != nil {
				b.Fatal(err)
			}
			times = append(times, time.Since(start).Seconds())
		}
	}
	slices.Sort(times)
	median := times[len(times)/2]
	perSecond := newPlainLoop(b, trialSix(1)).rate(4_000_000)
	b.ReportMetric(median, "median-s")
	b.ReportMetric(times[len(times)-1], "worst-s")
	b.ReportMetric(perSecond, "plain-solves/s")
	b.ReportMetric(math.Pow(7, 10)/perSecond/median, "times-plain")
}

// BenchmarkPlainLoop solves wirings one by one, on a sample, with all that can
// be done beforehand done: path matrices of all trees listed.
func BenchmarkPlainLoop(b *testing.B) {
	p := newPlainLoop(b, trialSix(1))
	const sample = 4_000_000
	for b.Loop() {
		b.ReportMetric(p.rate(sample), "solves/s")
	}
}

// BenchmarkSeven is the exact front of all 6.9e10 wirings of seven batteries.
func BenchmarkSeven(b *testing.B) {
	rng := rand.New(rand.NewPCG(7, 1))
	q := randomQuestion(rng, bankShape{n: 7, rows: 2, stud: true, jitter: 0.08, unequal: true})
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Search(context.Background(), q); err != nil {
			b.Fatal(err)
		}
	}
}

// plainLoop has the packed path matrices of all trees.
type plainLoop struct {
	bank     *bank
	size     int
	matrices [2][]float64
}

func newPlainLoop(tb testing.TB, q Question) *plainLoop {
	p := &plainLoop{bank: newBank(q.Strings, q.Current, -1)}
	p.size = triangle(len(p.bank.active))
	for i, r := range []*Rail{&q.Positive, &q.Negative} {
		l := newLayout(r, p.bank, everyPair(r))
		t, ok, err := listTrees(context.Background(), l, nil, 0, defaultTrees)
		if !ok || err != nil {
			tb.Fatal("listing did not end", err)
		}
		ps := newPaths(l)
		p.matrices[i] = make([]float64, t.len()*p.size)
		for k := range t.len() {
			ps.matrix(t.edges[k], int(t.root[k]), p.matrices[i][k*p.size:(k+1)*p.size])
		}
	}
	return p
}

// rate solves about so many wirings, spread over all positive trees, on all
// processors, and gives solves a second.
func (p *plainLoop) rate(sample int) float64 {
	positives := len(p.matrices[0]) / p.size
	negatives := len(p.matrices[1]) / p.size
	rows := sample / negatives
	start := time.Now()
	var wg sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	best := make([]float64, workers)
	for k := range workers {
		wg.Go(func() {
			s := newSolver(p.bank)
			least := math.Inf(1) // not best[k] itself: the processors would fight over its cache line
			for i := k; i < rows; i += workers {
				at := i * positives / rows
				a := p.matrices[0][at*p.size : (at+1)*p.size]
				for j := range negatives {
					least = min(least, s.imbalance(a, p.matrices[1][j*p.size:(j+1)*p.size]))
				}
			}
			best[k] = least
		})
	}
	wg.Wait()
	return float64(rows*negatives) / time.Since(start).Seconds()
}
