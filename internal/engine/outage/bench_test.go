package outage

import (
	"fmt"
	"testing"
)

// BenchmarkSolve is every loss, every pair and every weak thing of a chain at
// opposite ends, at a draw that brings all of it down.
func BenchmarkSolve(b *testing.B) {
	for _, n := range []int{6, 16, 64, 128} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			long := ladder(n, n, 0.004, 2e-5, 100)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Solve(long, amps(110*float64(n)), Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
