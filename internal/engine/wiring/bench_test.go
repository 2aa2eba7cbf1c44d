package wiring

import (
	"context"
	"fmt"
	"testing"
)

func BenchmarkSix(b *testing.B) {
	for k := range 20 {
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
