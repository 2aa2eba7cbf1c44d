package sharing

import (
	"fmt"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
)

// chainBank is n batteries on two chains, built in memory.
func chainBank(n int) *bank.Bank {
	b := &bank.Bank{}
	for i := range n {
		bat := bank.Battery{ID: fmt.Sprintf("B%d", i), EMF: source.Of(quantity.Voltage(13.2)), Resistance: source.Of(quantity.Resistance(4e-3)), Capacity: source.Of(quantity.Charge(36e4))}
		b.Batteries = append(b.Batteries, bat)
		if i > 0 {
			last := &b.Batteries[i-1]
			b.Cables = append(b.Cables,
				bank.Cable{ID: fmt.Sprintf("P%d", i), From: last.Plus(), To: bat.Plus(), Whole: source.Of(quantity.Resistance(2e-4))},
				bank.Cable{ID: fmt.Sprintf("N%d", i), From: last.Minus(), To: bat.Minus(), Whole: source.Of(quantity.Resistance(2e-4))})
		}
	}
	b.Takeoff = bank.Takeoff{Positive: b.Batteries[0].Plus(), Negative: b.Batteries[n-1].Minus()}
	return b
}

// BenchmarkChain is the snapshot of a chain of batteries: time and memory grow
// with their number.
func BenchmarkChain(b *testing.B) {
	for _, n := range []int{10, 100, 1000, 10_000, 100_000} {
		long := chainBank(n)
		c := bank.Case{ID: "load", Current: 100}
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Solve(long, c); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/battery")
		})
	}
}
