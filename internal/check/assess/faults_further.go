package assess

import (
	"math"

	"bankwright/internal/engine/fault"
	"bankwright/internal/engine/feed"
	"bankwright/internal/model/bank"
)

// further adds what is known of the loop before a place: where it is not known
// where the last stretch to it runs, the loop of the nearest place on the one
// way to it that is known by routes counts, and what lies beyond by length. So a
// place further along a way never has less than one before it.
func (f *field) further(r *FaultRise, at bank.End, s *fault.Share, known map[bank.End]*FaultRise) {
	if f == nil || r.Routed || math.IsNaN(r.Inductance) {
		return
	}
	sum := 0.0
	for e := at; ; {
		if from := known[e]; e != at && from != nil && from.Routed {
			r.Inductance, r.Partly = from.Inductance+sum, true
			r.Why = "by routes up to " + e.String() + ", beyond that by length: " + r.Why
			return
		}
		n, before := feeding(s, e)
		if n < 0 {
			return // it branches there: by length alone
		}
		share, half := s.Flows[n].Current, f.halves[len(s.Batteries)+n]
		if sum += float64(share * share * half); math.IsNaN(sum) {
			return
		}
		e = before
	}
}

// feeding gives the one flow that comes into an end, and its other end; -1 where
// there is none or more than one.
func feeding(s *fault.Share, e bank.End) (n int, before bank.End) {
	n = -1
	for i, one := range s.Flows {
		from, into := one.From, one.Current >= smallShare && one.To == e
		if one.Current <= -smallShare && one.From == e {
			from, into = one.To, true
		}
		switch {
		case !into:
		case n >= 0:
			return -1, before
		default:
			n, before = i, from
		}
	}
	return n, before
}

// furtherBack does the same for a short across a device: its loop is that of
// its positive terminal and, by length, the way back.
func (f *field) furtherBack(r, out *FaultRise, s *fault.Share) {
	if f == nil || r.Routed || math.IsNaN(r.Inductance) || out == nil || !out.Routed && !out.Partly {
		return
	}
	sum := out.Inductance
	for n := range s.Flows {
		if n >= len(f.j.Bank.Cables) || f.negative(&f.j.Bank.Cables[n]) {
			share := s.Flows[n].Current
			sum += float64(share * share * f.halves[len(s.Batteries)+n])
		}
	}
	if !math.IsNaN(sum) {
		r.Inductance, r.Partly = sum, true
		r.Why = "out as at its positive terminal, back by length: " + r.Why
	}
}

// negative reports whether a cable lies on the copper of the negative take-off.
func (f *field) negative(c *bank.Cable) bool {
	if f.at == nil {
		f.at = feed.Islands(f.j.Bank, nil)
	}
	return f.at[c.From] == f.at[f.j.Bank.Takeoff.Negative]
}
