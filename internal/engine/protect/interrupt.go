package protect

import (
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

// Interrupt is the largest current in A that a device breaks in a d.c. circuit
// of at most so many volts.
type Interrupt struct {
	Volts float64
	Amps  source.Value[float64]
}

// Breaking is a device's interrupting rating against the most fault current.
type Breaking struct {
	Outcome
	Rating float64 // A at the circuit's volts; NaN not told
	Most   float64 // A
	Margin float64 // rating over most, at least 1 within; NaN not told
}

// Interrupts says whether a device breaks the most fault current, A, in a
// circuit of so many volts: its highest, not its nominal. A rating for more
// volts counts too, as less volts are easier to break; of several the largest
// counts. Outside: too little, or all ratings are for less volts. Not checked:
// no rating is told, or the volts or the current are none.
func Interrupts(ratings []Interrupt, volts, most float64) Breaking {
	b := Breaking{Rating: math.NaN(), Most: most, Margin: math.NaN()}
	if !(volts > 0) || !(most >= 0) || math.IsInf(most, 1) {
		b.say(NotChecked, "the circuit's volts or the most fault current are not told")
		return b
	}
	var best source.Value[float64]
	told := false
	for _, r := range ratings {
		if a, ok := positive(r.Amps); ok {
			told = true
			if atMost(volts, r.Volts) && !(a <= best.V) {
				best = r.Amps
			}
		}
	}
	at := quantity.Format(quantity.Voltage(volts), 3)
	switch {
	case !told:
		b.say(NotChecked, "what it can break is not told")
	case best.V == 0:
		b.say(Outside, "it is rated to break less volts than the %s of the circuit", at)
	default:
		b.use(best)
		b.Rating, b.Margin = best.V, best.V/most
		b.judge(at)
	}
	return b
}

func (b *Breaking) judge(at string) {
	if atMost(b.Most, b.Rating) {
		b.say(Within, "it breaks %s at %s; a dead short draws %s", amps(b.Rating), at, amps(b.Most))
	} else {
		b.say(Outside, "it breaks %s at %s; a dead short draws %s", amps(b.Rating), at, amps(b.Most))
	}
}
