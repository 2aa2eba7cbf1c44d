// Package protect says of a fuse or breaker what it carries, what it opens at
// and what it saves: by numbers alone, without a bank.
//
// # What a band tells
//
// A device's band gives at a few multiples of its rating the shortest time
// after which it may open and the longest until it has opened. Between two
// told multiples both are taken straight in the logarithms of time and
// multiple. Beyond the told multiples nothing is told, and a check that needs
// it comes out as not checked. Only that a device never takes longer at more
// current is used there: the time at the first multiple is a least time below
// it, the one at the last a most time above it.
//
// Bands are of a cold device at the temperature it is rated for. One that has
// carried load, or sits in warm air, opens sooner.
//
// # Limits
//
// Exactly at a limit it holds, here as elsewhere; only of two devices in series
// must one be ahead of the other, for at the same instant both may open.
package protect

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

// Verdict is what a check comes to.
type Verdict string

// The verdicts.
const (
	Within     Verdict = "within"
	Outside    Verdict = "outside"
	NotChecked Verdict = "not checked" // a number it needs is not told
)

// rank orders verdicts so that the worst of several stands.
func (v Verdict) rank() int {
	switch v {
	case Outside:
		return 2
	case NotChecked:
		return 1
	}
	return 0
}

// Outcome is what every check here comes to.
type Outcome struct {
	Verdict Verdict
	Reasons []string     // why, at least one
	Grounds []source.Ref // of the numbers it rests on, each once, in the order of use
	Memory  bool         // one of these is from memory
	Assumed bool         // a number it rests on was assumed
}

func (o *Outcome) say(v Verdict, format string, args ...any) {
	o.Verdict = v
	o.Reasons = append(o.Reasons, fmt.Sprintf(format, args...))
}

// ground notes sources that an outcome rests on.
func (o *Outcome) ground(refs ...source.Ref) {
	for _, r := range refs {
		if r.IsZero() {
			continue
		}
		known := false
		for _, have := range o.Grounds {
			known = known || have == r
		}
		if !known {
			o.Grounds = append(o.Grounds, r)
		}
		o.Memory = o.Memory || r.How == source.Memory
	}
}

// use notes values that an outcome rests on; one that is no number is not told
// and nothing rests on it.
func (o *Outcome) use(values ...source.Value[float64]) {
	for _, v := range values {
		if v.Known() && !math.IsNaN(v.V) {
			o.ground(v.Ref)
			o.Assumed = o.Assumed || v.Origin == source.Assumed
		}
	}
}

// same is the part by which rounding may part two equal numbers: 1.35 times
// 450 A over 450 A is 1.35.
const same = 1e-9

// atMost reports whether x is at most limit, rounding aside. NaN is not.
func atMost(x, limit float64) bool { return x <= limit || x <= float64(limit*(1+same)) }

// positive gives a known value above zero and finite; ok is false else.
func positive(v source.Value[float64]) (x float64, ok bool) {
	return v.V, v.Known() && v.V > 0 && !math.IsInf(v.V, 1)
}

func amps(x float64) string    { return quantity.Format(quantity.Current(x), 4) }
func seconds(x float64) string { return quantity.Format(quantity.Duration(x), 3) }

// span is a time with its preposition.
func span(x float64) string {
	if math.IsInf(x, 1) {
		return "for good"
	}
	return "for " + seconds(x)
}
