package assess

import (
	"math"
	"slices"

	"bankwright/internal/base/source"
	"bankwright/internal/engine/fault"
	"bankwright/internal/engine/feed"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// behindBridged is what a fuse or breaker carries in a dead short at its own
// ends with its own resistance bridged: the prospective current at its place,
// which is what its breaking capacity is told for; NaN where none flows.
func (j *Job) behindBridged(id string, most fault.Conditions) float64 {
	p := j.Bank.Part(id)
	if p == nil || p.Open || p.Resistance.Origin == source.Assumed {
		return math.NaN() // an assumed one counts as none already
	}
	most.Bridged = id
	c, err := fault.New(j.Bank, most)
	if err != nil {
		return math.NaN()
	}
	best := math.NaN()
	for _, e := range p.Ends() {
		one, err := c.Short(e, j.Bank.Takeoff.Negative)
		if err != nil || !one.Joined() {
			continue // the take-off itself
		}
		if a, ok := one.Through(id); ok && !(math.Abs(a) <= best) {
			best = math.Abs(a)
		}
	}
	return best
}

// terminals is a device with the shorts across it and the ways from the
// batteries to its positive terminal.
type terminals struct {
	part         *bank.Part
	strong, weak *fault.Short
	ways         []feed.Way
}

// whole reports whether a cable carries all of the short's current.
func (t *terminals) whole(cable string) bool {
	return amperesOf(t.strong, cable) >= (1-smallShare)*t.strong.Current
}

// next reports whether a device is the nearest to the positive terminal on the
// way from some battery.
func (t *terminals) next(device string) bool {
	return slices.ContainsFunc(t.ways, func(w feed.Way) bool { n := len(w.Devices); return n > 0 && w.Devices[n-1] == device })
}

// across lists the devices that batteries feed the right way round.
func (j *Job) across(strong, weak *fault.Circuit) []terminals {
	var all []terminals
	for i := range j.Bank.Parts {
		p := &j.Bank.Parts[i]
		if !p.Kind.Device() {
			continue
		}
		most, err := strong.Short(end(p, 0), end(p, 1))
		if err != nil || !most.Joined() || !(most.Current > 0) {
			continue
		}
		one := terminals{part: p, strong: most}
		one.weak, _ = weak.Short(end(p, 0), end(p, 1)) // joined as the strong one is
		one.ways = slices.DeleteFunc(feed.WaysTo(j.Bank, end(p, 0)), func(w feed.Way) bool { return !w.Battery })
		all = append(all, one)
	}
	return all
}

// returns fills of each device what it and the return conductors that it saves
// carry in a dead short across the terminals of what they belong to. A return
// that carries the whole current of one branch is saved by that branch's
// device; one that several branches share by the nearest device that they all
// come through, else by each branch's own.
func (j *Job) returns(s *report.Side, m *feed.Map, strong, weak *fault.Circuit) {
	all := j.across(strong, weak)
	for n := range all {
		t := &all[n]
		for i := range s.Guards {
			for k := range s.Guards[i].Fed {
				if f := &s.Guards[i].Fed[k]; t.next(s.Guards[i].Part) && t.whole(f.Cable) {
					widen(f, t.strong, t.weak, s.Guards[i].Part) // the way out of the same short
				}
			}
		}
	}
	for k := range m.Cables {
		if m.Cables[k].Side != feed.Negative {
			continue
		}
		var whole []*terminals
		for n := range all {
			if all[n].whole(m.Cables[k].ID) {
				whole = append(whole, &all[n])
			}
		}
		l := &s.Lines[k]
		for _, t := range whole {
			if a := amperesOf(t.weak, l.Cable); a > 0 && !(a <= l.Least) {
				l.Least = a
			}
		}
		for _, id := range savers(whole) {
			for i := range s.Guards {
				if g := &s.Guards[i]; g.Part == id {
					g.Returns = append(g.Returns, j.returnShort(g, k, whole, strong, weak))
				}
			}
		}
	}
}

// savers names the devices that save what returns the current of some branches.
func savers(whole []*terminals) []string {
	var ways []feed.Way
	for _, t := range whole {
		ways = append(ways, t.ways...)
	}
	if len(ways) == 0 {
		return nil
	}
	first := ways[0].Devices
	for n := len(first) - 1; n >= 0; n-- {
		if !slices.ContainsFunc(ways, func(w feed.Way) bool { return !slices.Contains(w.Devices, first[n]) }) {
			return first[n : n+1]
		}
	}
	var each []string
	for _, w := range ways {
		if n := len(w.Devices); n > 0 && !slices.Contains(each, w.Devices[n-1]) {
			each = append(each, w.Devices[n-1])
		}
	}
	return each
}

// returnShort is what a device and a return carry, from the weakest to the
// strongest short that the device has to open: across the terminals of what it
// stands next before; where it stands before other devices only, between its own
// end and the return's far one. Near is right at the return's end towards the
// batteries.
func (j *Job) returnShort(g *report.Guard, k int, whole []*terminals, strong, weak *fault.Circuit) report.FedShort {
	c := &j.Bank.Cables[k]
	f := report.FedShort{Cable: c.ID, Near: math.NaN(), Most: noAmps(), Least: noAmps()}
	var first *terminals
	direct := false
	for _, t := range whole {
		if !slices.ContainsFunc(t.ways, func(w feed.Way) bool { return slices.Contains(w.Devices, g.Part) }) {
			continue // another branch's device
		}
		if first == nil {
			first, f.Of = t, t.part.ID
		}
		if t.next(g.Part) {
			direct = true
			widen(&f, t.strong, t.weak, g.Part)
		}
	}
	if first == nil {
		return f
	}
	behind, near, far := end(j.Bank.Part(g.Part), 1), c.From, c.To
	if out, _ := first.strong.Through(g.Part); out < 0 {
		behind = end(j.Bank.Part(g.Part), 0)
	}
	if back, _ := first.strong.Through(c.ID); back > 0 {
		near, far, f.End = c.To, c.From, 1
	}
	if one, err := strong.Short(behind, near); err == nil && one.Joined() {
		f.Near = amperesOf(one, g.Part)
	}
	if !direct {
		high, err1 := strong.Short(behind, far)
		low, err2 := weak.Short(behind, far)
		if err1 == nil && err2 == nil {
			widen(&f, high, low, g.Part)
		}
	}
	return f
}

// amperesOf is what a named cable or part carries in a short, NaN where it is
// not in it.
func amperesOf(s *fault.Short, id string) float64 {
	if s == nil {
		return math.NaN()
	}
	a, ok := s.Through(id)
	if !ok {
		return math.NaN()
	}
	return math.Abs(a)
}

// widen takes a short into the span of one.
func widen(f *report.FedShort, strong, weak *fault.Short, device string) {
	if a := amperesOf(strong, f.Cable); !(a <= f.Most.Cable) {
		f.Most = report.FedAmps{Device: amperesOf(strong, device), Cable: a}
	}
	if a := amperesOf(weak, f.Cable); a > 0 && !(a >= f.Least.Cable) {
		f.Least = report.FedAmps{Device: amperesOf(weak, device), Cable: a}
	}
}

func noAmps() report.FedAmps { return report.FedAmps{Device: math.NaN(), Cable: math.NaN()} }
