package fault

import (
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
)

// Places lists the points that Solve asks, in its order.
func (c *Circuit) Places() []bank.End {
	to := c.bank.Takeoff
	negative := c.net[c.node[to.Negative]]
	live := map[int]bool{c.net[c.node[to.Positive]]: true}
	for i := range c.bank.Batteries {
		live[c.net[c.node[c.bank.Batteries[i].Plus()]]] = true
	}
	var places []bank.End
	for i, e := range c.ends {
		rail := live[c.net[i]] && !e.IsPost()
		if c.net[i] != negative && (rail || e.Place == "+" || e == to.Positive) {
			places = append(places, e)
		}
	}
	return places
}

// devices lists the parts that draw or charge.
func (c *Circuit) devices() []*bank.Part {
	var all []*bank.Part
	for i := range c.bank.Parts {
		if p := &c.bank.Parts[i]; p.Kind.Device() {
			all = append(all, p)
		}
	}
	return all
}

// across sets one of the two sources of each device.
func (c *Circuit) across(r *Result, source func(*Across) *Source) error {
	for n, p := range c.devices() {
		one, err := c.Between(p.Ends()[0], p.Ends()[1])
		if err != nil {
			return err
		}
		*source(&r.Across[n]) = one
	}
	return nil
}

// nextToNone stands in for no resistance, ohm: a five-thousandth of a usual joint,
// yet enough for the equations to have one answer.
const nextToNone = 1e-8

// resistance is what a part counts with under the conditions.
func (with *Conditions) resistance(p *bank.Part) float64 {
	if p.ID == with.Bridged || with.Bare && p.Resistance.Origin == source.Assumed {
		return nextToNone
	}
	return float64(p.Resistance.V)
}
