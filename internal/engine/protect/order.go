package protect

import "math"

// Order is whether of two devices in series the downstream one, nearer to the
// fault, has opened before the upstream one begins to.
//
// Margin is the upstream device's least time over the downstream one's most at
// Worst: above 1 within. To is up to where it is so for sure, from From on; NaN
// where not even there.
type Order struct {
	Outcome
	From, To   float64 // A
	Worst      float64 // A
	Margin     float64 // +Inf where the upstream device carries all of it; NaN not told
	Upstream   float64 // s it holds at Worst
	Downstream float64 // s by which it has opened there
}

// Selective looks at all currents from the downstream device's rating to the
// most fault current, A. Where the bands tell nothing, above their last
// multiples, the upstream device's melting I²t stands against the downstream
// one's clearing I²t. At the same instant both may open, so equal is outside.
//
// A current that the upstream device carries without end is within, also where
// the downstream one need not open. Not checked: what decides is not told.
func Selective(upstream, downstream Device, most float64) Order {
	o := Order{From: math.NaN(), To: math.NaN(), Worst: math.NaN(), Margin: math.NaN(), Upstream: math.NaN(), Downstream: math.NaN()}
	if !upstream.rated(&o.Outcome) || !downstream.rated(&o.Outcome) {
		return o
	}
	upstream.ground(&o.Outcome)
	downstream.ground(&o.Outcome)
	o.use(upstream.Melting, downstream.Clearing)
	if !(most > 0) || math.IsInf(most, 1) {
		o.say(NotChecked, "the most fault current is not told")
		return o
	}
	o.From = math.Min(downstream.Rating.V, most)
	look := func(i float64) probe { return ahead(&upstream, &downstream, i) }
	marks := append(upstream.marks(), downstream.marks()...)
	p := scan(o.From, most, marks, look)
	o.Worst, o.Margin, o.Upstream, o.Downstream = p.amps, p.margin, p.cable, p.device
	o.say(p.verdict, "%s", p.why())
	if p.verdict == Within {
		o.To = most
	} else {
		o.To = firstNot(o.From, most, marks, look)
	}
	return o
}

// ahead is one current through both; the upstream device stands for what is to
// last longer.
func ahead(up, down *Device, current float64) probe {
	p := probe{amps: current, margin: math.NaN(), verdict: NotChecked}
	least, told := up.earliest(current)
	most, sure := down.latest(current)
	p.cable, p.device = least, most
	if !math.IsInf(least, 1) {
		p.margin = least / most
	} else {
		p.margin = least
	}
	at := func() string { return amps(current) }
	switch {
	case math.IsInf(least, 1):
		p.verdict = Within
		p.why = func() string { return "upstream carries " + at() + " for good" }
	case p.margin > 1+same:
		p.verdict = Within
		p.why = func() string {
			return "at " + at() + " upstream holds " + span(least) + ", downstream has opened after " + seconds(most)
		}
	case p.margin <= 1+same && told && sure:
		p.verdict = Outside
		p.why = func() string {
			return "at " + at() + " upstream may open after " + seconds(least) + ", downstream may take " + seconds(most)
		}
	case math.IsNaN(most) && downMayStay(down, current) && upOpens(up, current):
		p.verdict, p.margin = Outside, 0
		p.why = func() string { return "at " + at() + " upstream opens, and downstream need not" }
	default:
		p.margin = math.NaN()
		p.why = func() string { return "which of the two opens first at " + at() + " is not told" }
	}
	return p
}

// downMayStay reports whether a device is told to open only at more current.
func downMayStay(d *Device, current float64) bool {
	return d.carries(current) || d.multiple(current) < d.Band.firstMax()
}

// upOpens reports whether a device is told to open at a current some time.
func upOpens(d *Device, current float64) bool {
	t, _ := d.latest(current)
	return !math.IsNaN(t)
}

// firstNot gives up to which current, from the lowest on, all is within; NaN
// where the lowest is not.
func firstNot(a, b float64, marks []float64, look func(float64) probe) float64 {
	fits := func(i float64) bool { return look(i).verdict == Within }
	if !fits(a) {
		return math.NaN()
	}
	last := a
	for _, c := range currents(a, b, marks) {
		if !fits(c) {
			return edge(last, c, fits)
		}
		last = c
	}
	return b
}
