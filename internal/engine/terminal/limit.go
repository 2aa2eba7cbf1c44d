package terminal

import (
	"math"

	"bankwright/internal/base/source"
)

// DropTest is a published limit for the voltage across a terminal at a test
// current.
type DropTest struct {
	Name    string
	Voltage float64 // V
	Current float64 // A
	Ref     source.Ref
}

// Resistance gives the resistance at the limit, Ω; +Inf without a test current.
func (d DropTest) Resistance() float64 { return d.Voltage / d.Current }

// Limit gives the voltage, V, that the limit comes to at another current, A: a
// contact's voltage goes with its current.
func (d DropTest) Limit(current float64) float64 { return math.Abs(current) * d.Resistance() }

// Within reports whether a reading, V at a current, A, keeps the limit. It is
// false for NaN and without a current, where nothing was measured.
func (d DropTest) Within(reading, current float64) bool {
	return current != 0 && math.Abs(reading) <= float64(d.Limit(current)*(1+1e-9)) // so that 7.5 mV keeps 7.5 mV
}

// StudTests gives the limit for feed-through stud terminals, 7.5 mV at a test
// current by thread. It is no limit for a lug on a bar, but of its order.
func StudTests() []DropTest {
	ref := source.Ref{Title: "MIL-DTL-83454A", At: "4.5.3, table VIII", Edition: "A", How: source.Read}
	return []DropTest{
		{"0.138-32", 7.5e-3, 25, ref}, {"0.164-32", 7.5e-3, 30, ref}, {"0.190-32", 7.5e-3, 35, ref}, {"0.250-28", 7.5e-3, 43, ref},
	}
}

// SimilarRatio is how far above the lowest of similar joints a reading may be
// before it is looked into: 50 %.
const SimilarRatio = 1.5

// SimilarRef is where SimilarRatio is from.
var SimilarRef = source.Ref{Title: "ANSI/NETA acceptance testing, as quoted in a trade article on test equipment", At: "bolted connections", Edition: "not stated", How: source.Read}

// Similar compares the resistances of similar joints: the limit is a ratio
// times the lowest, and high are the indices of those above it. Readings that
// are NaN are passed over. With fewer than two readings there is nothing to
// compare, and with one of zero or below the meter has shown less than it can:
// the limit is then NaN and the error says so.
func Similar(readings []float64, ratio float64) (limit float64, high []int, err error) {
	if !above(ratio, 1) {
		return math.NaN(), nil, bad("the ratio to the lowest reading", ratio, "", "more than 1, such as 1.5")
	}
	lowest, count := math.Inf(1), 0
	for _, r := range readings {
		if !math.IsNaN(r) {
			lowest = math.Min(lowest, r)
			count++
		}
	}
	switch {
	case count < 2:
		return math.NaN(), nil, bad("the number of readings", float64(count), "", "two or more of similar joints")
	case !above(lowest, 0):
		return math.NaN(), nil, bad("the lowest reading", lowest, "ohm", "readings above 0, with more current or a finer meter")
	}
	limit = lowest * ratio
	for i, r := range readings {
		if r > float64(limit*(1+1e-9)) { // so that 1.5 times is not above 1.5 times
			high = append(high, i)
		}
	}
	return limit, high, nil
}
