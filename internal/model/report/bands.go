package report

import "bankwright/internal/base/source"

// Bands is one fuse or breaker over current and time: what it does, what it
// has to pass, to save and to break.
type Bands struct {
	Device   string
	Words    string        // what it is: "fuse, class T, 125 A"
	Rating   float64       // A; 0 not known
	Carries  float64       // A that it carries without end for sure; 0 not known
	Holds    []CurvePoint  // it does not open before; rising currents
	Opened   []CurvePoint  // it has opened by then; rising currents
	Through  float64       // A²s, most that it lets through in a dead short; 0 not told
	Refs     []source.Ref  // of all these
	Loads    []LoadStep    // rising currents, falling times
	Cables   []CableCurve  // the weakest first
	Shared   []string      // cables that other devices feed at the same time, so that they have no line here
	Most     float64       // A of a dead short just behind it; NaN not known
	Least    float64       // A at the far end of what it saves; NaN not known
	LeastAt  string        // that cable
	Breaks   float64       // A it can break; 0 not told
	Volts    float64       // V it has to break
	Verdicts []BandVerdict // passes, saves, breaks
}

// CurvePoint is a time at a current; straight in both logarithms between two.
type CurvePoint struct{ Amps, Seconds float64 }

// LoadStep is a current that a device has to pass for a time, +Inf without end.
type LoadStep struct {
	Amps, Seconds float64
	In            string // the scenario
}

// CableCurve is how long a conductor bears a current.
type CableCurve struct {
	Name      string       // "W5, 1/0 AWG", of several alike the warmest
	Cables    []string     // all of them
	Side      string       // as in Line
	Withstand float64      // A²s, for a dead short of at most 5 s; NaN not known
	Warms     []CurvePoint // beyond 5 s: until it is as warm as its insulation is rated for; rising currents
	Ref       source.Ref   // of the withstand
	Outside   bool         // the device does not save it
}

// BandVerdict is what one question about a device comes to.
type BandVerdict struct {
	What    string // "passes the loads"
	Verdict string // within, outside, not checked
	Reasons []string
	Memory  bool // it rests on a number from memory
}

// Memory reports whether something a device is drawn from is from memory.
func (b *Bands) Memory() bool {
	for _, r := range b.Refs {
		if r.How == source.Memory {
			return true
		}
	}
	return false
}
