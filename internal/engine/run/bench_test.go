package run

import (
	"fmt"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
)

// six is the bank of the speed target: six batteries on their curves, one slow
// branch each, a chain.
func six() *bank.Bank {
	var all []bank.Battery
	for i := range 6 {
		b := exact(fmt.Sprintf("B%d", i+1), fourLFP, 4e-3+2e-4*float64(i), 150, 0.98)
		b.Model.Branches = []bank.Branch{{Resistance: source.Of(quantity.Resistance(1.5e-3)), Time: source.Of(quantity.Duration(60))}}
		b.Model.Depth = bank.Line{{X: 0, Y: 1.5}, {X: 0.2, Y: 1}, {X: 1, Y: 0.9}}
		all = append(all, b)
	}
	return chain(0.3e-3, 5, all...)
}

// BenchmarkDay is P3: a day at steps of one second, 86 400 of them.
func BenchmarkDay(b *testing.B) {
	bank6 := six()
	day := []bank.Case{draw(30, 14), {ID: "shore", Current: -45, For: 9 * 3600}, {ID: "rest", For: 3600}}
	for b.Loop() {
		r, err := Solve(bank6, day, Options{MaxStep: 1, Every: 600})
		if err != nil || r.Steps[2].End != 86400 {
			b.Fatal(err, r.Steps)
		}
		b.ReportMetric(float64(r.Computed), "instants")
	}
}

// BenchmarkDayUsual is the same day at the steps that are used.
func BenchmarkDayUsual(b *testing.B) {
	bank6 := six()
	day := []bank.Case{draw(30, 14), {ID: "shore", Current: -45, For: 9 * 3600}, {ID: "rest", For: 3600}}
	for b.Loop() {
		if _, err := Solve(bank6, day, Options{Every: 600}); err != nil {
			b.Fatal(err)
		}
	}
}
