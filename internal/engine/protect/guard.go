package protect

import (
	"math"

	"bankwright/internal/base/source"
)

// Trip is one setting of a battery's own protection: above Current, A, it opens
// after Delay, s.
type Trip struct{ Current, Delay source.Value[float64] }

// First is who opens first.
type First string

// Who opens first.
const (
	BatteryFirst First = "battery"  // its own protection
	DeviceFirst  First = "device"   // the fuse or breaker
	EitherFirst  First = "either"   // by their spread
	NeitherFirst First = "neither"  // both carry it
	FirstNotTold First = "not told" // which, or whether one does
)

// FirstSpan is a range of current with who opens first in it.
type FirstSpan struct {
	From, To float64 // A
	First    First
}

// Race is a battery's own protection against the device in its lead.
type Race struct {
	Outcome
	Spans []FirstSpan // rising, without gaps
}

// FirstToOpen says for each current between two, A, whether the battery's own
// protection or the device opens first. Exactly at its trip current a battery
// holds. Its delays are taken as they are set, without spread.
//
// Within: at each current one of the two opens for sure. Outside: at some
// current neither does, both carry it. Not checked: at some current it is not
// told, or a number is none. A battery that opens first spares the fuse, but
// what its switches can break is seldom told: it is no ground for a device that
// cannot break the fault itself.
func FirstToOpen(trips []Trip, d Device, from, to float64) Race {
	var r Race
	if !d.rated(&r.Outcome) {
		return r
	}
	if !(from > 0) || !(to >= from) || math.IsInf(to, 1) {
		r.say(NotChecked, "the range of current is not told")
		return r
	}
	d.ground(&r.Outcome)
	r.use(d.Melting, d.Clearing)
	marks := d.marks()
	for _, t := range trips {
		r.use(t.Current, t.Delay)
		marks = append(marks, t.Current.V)
	}
	first := func(i float64) First { return opensFirst(trips, &d, i) }
	r.spans(currents(from, to, marks), first)
	r.judge(&d)
	return r
}

// opens gives the time in s after which a battery has opened, +Inf where it
// stays closed.
func opens(trips []Trip, current float64) float64 {
	best := math.Inf(1)
	for _, t := range trips {
		limit, ok := positive(t.Current)
		if ok && t.Delay.Known() && t.Delay.V >= 0 && !atMost(current, limit) {
			best = math.Min(best, t.Delay.V)
		}
	}
	return best
}

func opensFirst(trips []Trip, d *Device, current float64) First {
	battery := opens(trips, current)
	least, _ := d.earliest(current)
	most, _ := d.latest(current)
	switch {
	case math.IsInf(battery, 1) && math.IsInf(least, 1):
		return NeitherFirst
	case math.IsInf(battery, 1) && math.IsNaN(most):
		return FirstNotTold
	case battery < least:
		return BatteryFirst
	case most < battery:
		return DeviceFirst
	case math.IsNaN(least) && math.IsNaN(most):
		return FirstNotTold
	}
	return EitherFirst
}

// spans joins equal answers and finds the currents at which they change.
func (r *Race) spans(at []float64, first func(float64) First) {
	one := FirstSpan{at[0], at[0], first(at[0])}
	for _, c := range at[1:] {
		if now := first(c); now != one.First {
			before := one.First
			one.To = edge(one.To, c, func(i float64) bool { return first(i) == before })
			r.Spans = append(r.Spans, one)
			one = FirstSpan{one.To, c, now}
		}
		one.To = c
	}
	r.Spans = append(r.Spans, one)
}

func (r *Race) judge(d *Device) {
	r.Verdict = Within
	for _, s := range r.Spans {
		at := "from " + amps(s.From) + " to " + amps(s.To) + " "
		switch s.First {
		case BatteryFirst:
			at += "the battery opens before " + d.name()
		case DeviceFirst:
			at += d.name() + " opens before the battery"
		case EitherFirst:
			at += "either the battery or " + d.name() + " opens first"
		case NeitherFirst:
			at += "neither the battery nor " + d.name() + " opens"
			r.Verdict = Outside
		case FirstNotTold:
			at += "which of the battery and " + d.name() + " opens first, or whether one does, is not told"
			if r.Verdict == Within {
				r.Verdict = NotChecked
			}
		}
		r.Reasons = append(r.Reasons, at)
	}
}
