package spread

import (
	"fmt"
	"testing"
)

// BenchmarkBuilds is 10 000 builds with snapshot and one-out, and each of the
// four tolerances alone.
func BenchmarkBuilds(b *testing.B) {
	for _, n := range []int{5, 6, 16, 64} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			bank := ladder(n, 300)
			b.ReportAllocs()
			for b.Loop() {
				if s := mustSolve(b, bank, amps(200), Defaults()); s.Done != s.Asked {
					b.Fatal("not done")
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/10_000, "ns/build")
		})
	}
}
