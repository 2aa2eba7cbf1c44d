// Package sharing says who carries how much: current, voltage, heat and share
// of every battery and cable of a bank in one case, a snapshot with the EMFs
// fixed.
package sharing

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/engine/network"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// PowerError says that the bank cannot deliver a power, and what it can.
type PowerError struct {
	Case  string
	Asked quantity.Power
	Most  quantity.Power // at the take-off, at half the open-circuit voltage
}

func (e *PowerError) Error() string {
	return fmt.Sprintf("case %s asks for %s; the bank can deliver at most %s at the take-off, with its voltage then halved; ask for less, or make the bank stronger",
		e.Case, quantity.Format(e.Asked, 4), quantity.Format(e.Most, 4))
}

// Solve gives the sharing of a bank in one case. Every cable needs a
// resistance or a length. Of the two currents that give a power the lower is
// meant. The error names places of the job.
func Solve(b *bank.Bank, c bank.Case) (report.Sharing, error) {
	s := report.Sharing{Case: c}
	circ, err := newCircuit(b, c.CableTemperature.V)
	if err != nil {
		return s, err
	}
	f, err := circ.factorize()
	if err != nil {
		return s, err
	}
	open, resistance, err := circ.source(f)
	if err != nil {
		return s, err
	}
	current, err := demand(c, open, resistance)
	if err != nil {
		return s, err
	}
	sol, err := f.Solve(nil, circ.injections(current))
	if err != nil {
		return s, circ.name(err)
	}
	if err := sol.Check(); err != nil {
		return s, err
	}
	s.Current, s.Resistance = current, resistance
	s.Voltage = circ.takeoffVoltage(sol)
	s.Residual, s.Condition = sol.Residual, f.Condition()
	circ.batteries(&s, sol)
	circ.flows(&s, sol)
	shares(&s, b)
	return s, nil
}

// source gives the open-circuit voltage and the resistance of the whole bank
// as seen at the take-off.
func (c *circuit) source(f *network.Factor) (open, resistance float64, err error) {
	still, err := f.Solve(nil, nil)
	if err != nil {
		return 0, 0, c.name(err)
	}
	unit, err := f.Solve(make([]float64, len(c.net.Branches)), c.injections(1))
	if err != nil {
		return 0, 0, c.name(err)
	}
	return c.takeoffVoltage(still), -c.takeoffVoltage(unit), nil
}

// injections are the currents into the nodes for a draw at the take-off.
func (c *circuit) injections(draw float64) []float64 {
	in := make([]float64, len(c.ends))
	in[c.node[c.bank.Takeoff.Positive]] = -draw
	in[c.node[c.bank.Takeoff.Negative]] = draw
	return in
}

func (c *circuit) takeoffVoltage(s network.Solution) float64 {
	return s.Potential[c.node[c.bank.Takeoff.Positive]] - s.Potential[c.node[c.bank.Takeoff.Negative]]
}

// demand turns a case into amps at the take-off. A power P solves
// R·I² − E·I + P = 0; the lower current is (E − √(E² − 4RP)) / 2R, written so
// that it does not cancel.
func demand(c bank.Case, open, resistance float64) (float64, error) {
	if !c.ByPower {
		return float64(c.Current), nil
	}
	p := float64(c.Power)
	square := float64(open*open) - float64(4*resistance*p)
	if !(square >= 0) || !(open > 0) {
		return 0, &PowerError{c.ID, c.Power, quantity.Power(open * math.Abs(open) / (4 * resistance))}
	}
	return 2 * p / (open + math.Sqrt(square)), nil
}

func (c *circuit) batteries(s *report.Sharing, sol network.Solution) {
	islands := c.joined(func(int) bool { return true })
	for i := range c.bank.Batteries {
		bat := &c.bank.Batteries[i]
		one := report.BatteryShare{ID: bat.ID, Off: bat.Off, Share: math.NaN(), Group: -1,
			Voltage: sol.Potential[c.node[bat.Plus()]] - sol.Potential[c.node[bat.Minus()]]}
		if islands[c.node[bat.Plus()]] != islands[c.node[bat.Minus()]] {
			one.Voltage = math.NaN() // nothing says what lies across a gap between islands
		}
		if n := c.battery[i]; n >= 0 {
			one.Current = sol.Current[n]
			one.Heat = float64(one.Current * one.Current * float64(bat.Resistance.V))
		}
		s.Loss += one.Heat
		s.Batteries = append(s.Batteries, one)
	}
	for i, g := range c.groups() {
		if !s.Batteries[i].Off {
			s.Batteries[i].Group = g
		}
	}
}

func (c *circuit) flows(s *report.Sharing, sol network.Solution) {
	flow := func(branch int, id string, from, to bank.End) report.Flow {
		r := c.net.Branches[branch].Resistance
		i := sol.Current[branch]
		f := report.Flow{ID: id, From: from, To: to, Current: i, Drop: i * r, Resistance: r, Heat: float64(i * i * r)}
		s.WiringLoss += f.Heat
		return f
	}
	for i := range c.bank.Cables {
		cable := &c.bank.Cables[i]
		s.Cables = append(s.Cables, flow(c.cable[i], cable.ID, cable.From, cable.To))
	}
	for _, p := range c.parts {
		s.Parts = append(s.Parts, flow(p.branch, p.id, p.from, p.to))
	}
	s.Loss += s.WiringLoss
}

// nil current: below this part of the largest battery current a group's sum
// is what rounding left.
const nilPart = 1e-9

// shares fills each battery's share of its group and the imbalance.
func shares(s *report.Sharing, b *bank.Bank) {
	type sum struct{ current, capacity float64 }
	groups := map[int]sum{}
	most := 0.0
	for i, one := range s.Batteries {
		if one.Group >= 0 {
			g := groups[one.Group]
			groups[one.Group] = sum{g.current + one.Current, g.capacity + float64(b.Batteries[i].Capacity.V)}
			most = math.Max(most, math.Abs(one.Current))
		}
	}
	s.Imbalance = math.NaN()
	for i := range s.Batteries {
		one := &s.Batteries[i]
		g := groups[one.Group]
		if one.Group < 0 || math.Abs(g.current) <= nilPart*math.Max(most, 1) {
			continue
		}
		one.Share = (one.Current / float64(b.Batteries[i].Capacity.V)) / (g.current / g.capacity)
		if !(one.Share-1 <= s.Imbalance) {
			s.Imbalance = one.Share - 1
		}
	}
}
