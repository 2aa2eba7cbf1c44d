package assess

import (
	"math"
	"slices"

	"bankwright/internal/engine/fault"
	"bankwright/internal/engine/feed"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// fedShorts fills of each device what it and a conductor that it saves carry
// together in a dead short at the far end of that conductor: of several devices
// side by side each has but a share.
func (j *Job) fedShorts(s *report.Side, m *feed.Map, most, least fault.Conditions) error {
	strong, err := fault.New(j.Bank, most)
	if err != nil {
		return j.named(err)
	}
	weak, err := fault.New(j.Bank, least)
	if err != nil {
		return j.named(err)
	}
	high, low := shortsOf{strong, j.Bank, map[bank.End]*fault.Short{}}, shortsOf{weak, j.Bank, map[bank.End]*fault.Short{}}
	for i := range s.Guards {
		g := &s.Guards[i]
		for k := range m.Cables {
			for n := range 2 {
				if batteryThrough(m.Cables[k].Ways[n], g.Part) {
					g.Fed = append(g.Fed, report.FedShort{Cable: m.Cables[k].ID, End: n, Near: high.near(g.Part, k, n), Most: high.amps(g.Part, k, n), Least: low.amps(g.Part, k, n)})
				}
			}
		}
	}
	j.returns(s, m, strong, weak)
	for i := range s.Guards {
		g := &s.Guards[i]
		farthest(g)
		if a := j.behindBridged(g.Part, most); a > 0 && !(a <= g.Most) {
			g.Most = a
		}
	}
	for i := range j.Bank.Batteries {
		b := &j.Bank.Batteries[i]
		flows := make([]float64, len(j.Bank.Cables))
		if one, err := strong.Short(b.Plus(), b.Minus()); err == nil {
			for k := range flows {
				a, _ := one.Through(j.Bank.Cables[k].ID)
				flows[k] = math.Abs(a)
			}
		}
		s.IntoFlows = append(s.IntoFlows, flows)
	}
	return nil
}

// farthest sets the least current that a device has to open at: of the shorts
// at the far ends of what it saves the one in which it carries least. Where no
// short is known what was found before stays.
func farthest(g *report.Guard) {
	least, at := math.NaN(), ""
	for _, f := range slices.Concat(g.Fed, g.Returns) {
		if a := f.Least.Device; a > 0 && !(a >= least) {
			least, at = a, f.Cable
		}
	}
	if at != "" {
		g.Least, g.LeastAt = least, at
	}
}

// batteryThrough reports whether a battery feeds an end with a device as the
// nearest.
func batteryThrough(ways []feed.Way, id string) bool {
	for _, w := range ways {
		if n := len(w.Devices); w.Battery && n > 0 && w.Devices[n-1] == id {
			return true
		}
	}
	return false
}

// shortsOf keeps dead shorts by place; nil where there is none.
type shortsOf struct {
	c  *fault.Circuit
	b  *bank.Bank
	at map[bank.End]*fault.Short
}

// amps gives what a device and a cable carry in a dead short at the cable's far
// end, seen from the end where it is fed; NaN where none flows that way.
func (s *shortsOf) amps(device string, cable, fed int) report.FedAmps {
	none := report.FedAmps{Device: math.NaN(), Cable: math.NaN()}
	c := &s.b.Cables[cable]
	far, way := c.To, 1.0
	if fed == 1 {
		far, way = c.From, -1
	}
	one := s.to(far)
	if one == nil {
		return none
	}
	d, ok1 := one.Through(device)
	a, ok2 := one.Through(c.ID)
	if a *= way; !ok1 || !ok2 || !(a > 0) || d == 0 {
		return none
	}
	return report.FedAmps{Device: math.Abs(d), Cable: a}
}

// near gives what a device carries in a dead short at the end where it feeds a
// cable; NaN where none flows.
func (s *shortsOf) near(device string, cable, fed int) float64 {
	at := s.b.Cables[cable].From
	if fed == 1 {
		at = s.b.Cables[cable].To
	}
	if one := s.to(at); one != nil {
		if d, ok := one.Through(device); ok && d != 0 {
			return math.Abs(d)
		}
	}
	return math.NaN()
}

// to gives the short at a place, nil where there is none.
func (s *shortsOf) to(at bank.End) *fault.Short {
	one, ok := s.at[at]
	if !ok {
		one, _ = s.c.Short(at, s.b.Takeoff.Negative) // none at the take-off itself
		s.at[at] = one
	}
	if one == nil || !one.Joined() {
		return nil
	}
	return one
}
