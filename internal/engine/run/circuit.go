package run

import (
	"math"
	"slices"

	"bankwright/internal/base/quantity"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
)

// circuit keeps the response of the bank for the batteries that are in and
// their resistances.
type circuit struct {
	bank       *bank.Bank
	ports      map[quantity.Temperature]*sharing.Ports // by temperature of the cables
	at         *sharing.Ports
	response   *sharing.Response
	in         []bool
	resistance []float64
	want       []float64
	wantIn     []bool
	renewed    int
}

// moved is how far a resistance may go before the response is renewed.
const moved = 1e-3

func newCircuit(b *bank.Bank, cases []bank.Case) (*circuit, error) {
	n := len(b.Batteries)
	c := &circuit{bank: b, ports: map[quantity.Temperature]*sharing.Ports{}, in: make([]bool, n), wantIn: make([]bool, n),
		resistance: make([]float64, n), want: make([]float64, n)}
	for i := range cases {
		if err := c.choose(cases[i]); err != nil {
			return nil, err
		}
	}
	return c, nil
}

// choose takes the cables' temperature from a case.
func (c *circuit) choose(one bank.Case) error {
	t := one.CableTemperature.V
	if c.ports[t] == nil {
		p, err := sharing.NewPorts(c.bank, t)
		if err != nil {
			return err
		}
		c.ports[t] = p
	}
	c.at, c.response = c.ports[t], nil
	return nil
}

// renew makes the response anew where it has to be.
func (c *circuit) renew(units []unit) error {
	stale := c.response == nil
	for i := range units {
		u := &units[i]
		c.wantIn[i] = u.in()
		stale = stale || c.wantIn[i] != c.in[i]
		if u.cell.Steady() && !stale {
			continue
		}
		c.want[i] = u.cell.Resistance(&u.state)
		stale = stale || math.Abs(c.want[i]-c.resistance[i]) > moved*c.resistance[i]
	}
	if !stale {
		return nil
	}
	for i := range units {
		c.want[i] = units[i].cell.Resistance(&units[i].state)
	}
	r, err := c.at.Solve(c.want, c.wantIn)
	if err != nil {
		return err
	}
	c.response, c.renewed = r, c.renewed+1
	c.in, c.resistance = slices.Clone(c.wantIn), slices.Clone(c.want)
	return nil
}

// instant is what flows at one moment.
type instant struct {
	draw    float64 // A at the take-off
	volts   float64 // V there
	current []float64
	emf     []float64
	posts   []float64 // V at the batteries' posts; filled by fillPosts
	carries bool
	held    bool // the charger holds its voltage
	weak    bool // the bank cannot give the power
	pull    int  // 1: something draws, -1: something charges, 0: neither
}

// solve fills what flows, given the batteries' EMFs in x.emf.
func (c *circuit) solve(demand bank.Case, x *instant) {
	r, n := c.response, c.response.N
	open := 0.0
	for j, e := range x.emf {
		open += float64(r.Voltage[j] * e)
	}
	x.carries, x.pull = r.Carries, 0
	if drawsOrCharges(demand) {
		if x.pull = -1; isDraw(demand) {
			x.pull = 1
		}
	}
	x.draw, x.held, x.weak = 0, false, false
	if r.Carries {
		x.ask(demand, open, r.Resistance)
		x.volts = open - float64(r.Resistance*x.draw)
	} else {
		x.volts = math.NaN()
	}
	for i := range n {
		row := r.Current[i*n : i*n+n]
		sum := float64(r.PerDraw[i] * x.draw)
		for j, g := range row {
			sum += float64(g * x.emf[j])
		}
		x.current[i] = sum
	}
}

// fillPosts adds the volts at the posts of a battery that is out.
func (c *circuit) fillPosts(x *instant, i int) {
	r, n := c.response, c.response.N
	sum := r.PostsPerDraw[i]
	if x.draw != 0 {
		sum *= x.draw
	} else if !math.IsNaN(sum) {
		sum = 0
	}
	for j, g := range r.Posts[i*n : i*n+n] {
		sum += float64(g * x.emf[j])
	}
	x.posts[i] = sum
}

// ask turns a case into amps at the take-off of a source with these volts and
// this resistance.
func (x *instant) ask(demand bank.Case, open, resistance float64) {
	x.draw = float64(demand.Current)
	if demand.ByPower {
		p := float64(demand.Power)
		square := float64(open*open) - float64(4*resistance*p)
		if !(square >= 0) || !(open > 0) {
			x.draw, x.weak = 0, true
			return
		}
		x.draw = 2 * p / (open + math.Sqrt(square))
	}
	if limit := float64(demand.Voltage); limit > 0 && x.draw < 0 {
		if most := (open - limit) / resistance; most > x.draw {
			x.draw, x.held = math.Min(most, 0), true
		}
	}
}
