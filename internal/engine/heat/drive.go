package heat

import (
	"fmt"
	"math"
	"slices"
)

// Heater warms nodes by a thermostat: on at or below On, off at or above Off,
// both K at the node it senses. Watts is the whole; Share says which part of it
// goes into which node and sums to one.
type Heater struct {
	Sense   int
	On, Off float64
	Watts   float64
	Share   map[int]float64
	Always  bool // no thermostat: it is on all the time
}

// Fan moves air between a node and a place by a thermostat: on at or above On,
// off at or below Off, both K at the node it senses.
type Fan struct {
	Sense       int
	On, Off     float64
	Node, Place int
	G           float64 // W/K while it runs
	Watts       float64 // that it draws
}

// Vent lets air through by warmth alone; its openings join a node to a place.
type Vent struct {
	Node, Place int
	Openings    []Opening
}

// Plant is a network with what is switched in it.
type Plant struct {
	Net     Net
	Heaters []Heater
	Fans    []Fan
	Vents   []Vent
	Step    float64 // s between two looks of the thermostats, a whole part of an hour; 0: a minute

	paces map[string]*pace
	on    []bool // heaters, then fans
}

// Hour is what one hour brings: given temperatures, K, and heat into nodes, W.
type Hour struct {
	Places, Heat []float64
}

// Past is what an hour left.
type Past struct {
	End         []float64 // K at its end
	Least, Most []float64 // K within it, at the looks of the thermostats
	Heaters     []float64 // J that each heater gave
	Fans        []float64 // s that each fan ran
}

// Check notes what is wrong with the switched things of a plant.
func (p *Plant) Check() error {
	if err := p.Net.check(); err != nil {
		return err
	}
	for i, h := range p.Heaters {
		sum := 0.0
		for node, part := range h.Share {
			if !p.Net.node(node) || !(part >= 0) {
				return fmt.Errorf("heater %d gives %g of its heat to node %d; name nodes and parts of 0 to 1", i, part, node)
			}
			sum += part
		}
		switch {
		case math.Abs(sum-1) > 1e-9:
			return fmt.Errorf("heater %d: the parts of its heat sum to %g, not to one", i, sum)
		case !(h.Watts >= 0):
			return fmt.Errorf("heater %d has %g W; give 0 or more", i, h.Watts)
		case !h.Always && (!p.Net.node(h.Sense) || !(h.Off > h.On)):
			return fmt.Errorf("heater %d goes on at %g K and off at %g K, sensed at node %d; off must be the higher", i, h.On, h.Off, h.Sense)
		}
	}
	for i, f := range p.Fans {
		switch {
		case !p.Net.node(f.Sense) || !(f.On > f.Off):
			return fmt.Errorf("fan %d goes on at %g K and off at %g K, sensed at node %d; on must be the higher", i, f.On, f.Off, f.Sense)
		case p.Net.checkTies([]Tie{{f.Node, f.Place, f.G}}) != nil:
			return fmt.Errorf("fan %d: %w", i, p.Net.checkTies([]Tie{{f.Node, f.Place, f.G}}))
		}
	}
	for i, v := range p.Vents {
		if err := p.Net.checkTies([]Tie{{v.Node, v.Place, 0}}); err != nil {
			return fmt.Errorf("vent %d: %w", i, err)
		}
	}
	return nil
}

// step gives the seconds between two looks.
func (p *Plant) step() float64 {
	if p.Step > 0 {
		return p.Step
	}
	return 60
}

// Run goes through hours from a start in K and calls each with what it left.
// Thermostats keep their state from one hour to the next; all begin off. Where
// each gives false the run ends. A vent's draught is taken at the temperatures
// of the hour's beginning.
func (p *Plant) Run(start []float64, hours func(n int) (Hour, bool), each func(n int, past Past) bool) error {
	if err := p.Check(); err != nil {
		return err
	}
	p.paces, p.on = map[string]*pace{}, make([]bool, len(p.Heaters)+len(p.Fans))
	now := append([]float64{}, start...)
	if len(now) != len(p.Net.Capacity) {
		return fmt.Errorf("heat: %d starting temperatures for %d nodes", len(now), len(p.Net.Capacity))
	}
	for n := 0; ; n++ {
		hour, more := hours(n)
		if !more {
			return nil
		}
		past, err := p.hour(now, hour)
		if err != nil {
			return fmt.Errorf("hour %d: %w", n, err)
		}
		now = past.End
		if !each(n, past) {
			return nil
		}
	}
}

func (p *Plant) hour(now []float64, in Hour) (Past, error) {
	now = append([]float64{}, now...)
	past := Past{Least: append([]float64{}, now...), Most: append([]float64{}, now...), Heaters: make([]float64, len(p.Heaters)), Fans: make([]float64, len(p.Fans))}
	if len(in.Heat) != len(now) || len(in.Places) != p.Net.Places {
		return past, fmt.Errorf("%d heats and %d given temperatures for %d nodes and %d places", len(in.Heat), len(in.Places), len(now), p.Net.Places)
	}
	draught := p.draughts(now, in)
	looks := int(math.Round(3600 / p.step()))
	dt := 3600 / float64(looks)
	next := make([]float64, len(now))
	var pace *pace
	var added []float64
	for range looks {
		if p.look(now) || pace == nil {
			var err error
			if pace, err = p.state(draught, dt); err != nil {
				return past, err
			}
			added = pace.added(in.Places, p.warmed(in.Heat))
		}
		for i, on := range p.on {
			switch {
			case !on:
			case i < len(p.Heaters):
				past.Heaters[i] += p.Heaters[i].Watts * dt
			default:
				past.Fans[i-len(p.Heaters)] += dt
			}
		}
		pace.step(now, added, next)
		now, next = next, now
		for i, t := range now {
			past.Least[i], past.Most[i] = math.Min(past.Least[i], t), math.Max(past.Most[i], t)
		}
	}
	past.End = now
	return past, nil
}

// warmed is the heat with that of the heaters that are on.
func (p *Plant) warmed(heat []float64) []float64 {
	all := append([]float64{}, heat...)
	for i, h := range p.Heaters {
		if p.on[i] {
			for node, part := range h.Share {
				all[node] += part * h.Watts
			}
		}
	}
	return all
}

// look switches what its thermostat asks for, and reports whether anything
// changed.
func (p *Plant) look(now []float64) (changed bool) {
	before := append([]bool{}, p.on...)
	defer func() { changed = !slices.Equal(before, p.on) }()
	for i, h := range p.Heaters {
		switch {
		case h.Always || now[h.Sense] <= h.On:
			p.on[i] = true
		case now[h.Sense] >= h.Off:
			p.on[i] = false
		}
	}
	for i, f := range p.Fans {
		switch {
		case now[f.Sense] >= f.On:
			p.on[len(p.Heaters)+i] = true
		case now[f.Sense] <= f.Off:
			p.on[len(p.Heaters)+i] = false
		}
	}
	return changed
}

// grade is the ratio of two neighbouring draughts that are told apart: within
// it the modes of one stand for the other.
const grade = 1.05

// draughts gives each vent's draught of the hour as a whole number of grades,
// so that few states have to be worked out.
func (p *Plant) draughts(now []float64, in Hour) []int {
	all := make([]int, len(p.Vents))
	for i, v := range p.Vents {
		all[i] = math.MinInt32
		if g := Flow(Draught(v.Openings, now[v.Node], in.Places[v.Place])); g > 1e-6 {
			all[i] = int(math.Round(math.Log(g) / math.Log(grade)))
		}
	}
	return all
}

// state gives the step with the fans that run and the draughts of the hour.
func (p *Plant) state(draught []int, dt float64) (*pace, error) {
	fans := p.on[len(p.Heaters):]
	key := fmt.Sprint(fans, draught)
	if have := p.paces[key]; have != nil {
		return have, nil
	}
	var ties []Tie
	for i, f := range p.Fans {
		if fans[i] {
			ties = append(ties, Tie{f.Node, f.Place, f.G})
		}
	}
	for i, v := range p.Vents {
		if draught[i] != math.MinInt32 {
			ties = append(ties, Tie{v.Node, v.Place, math.Pow(grade, float64(draught[i]))})
		}
	}
	m, err := p.Net.Modes(ties...)
	if err != nil {
		return nil, err
	}
	p.paces[key] = m.paceOf(dt)
	return p.paces[key], nil
}
