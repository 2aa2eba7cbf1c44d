// Package cell is one battery as a circuit: its open-circuit voltage over the
// state of charge, the branch it is on, an ohmic resistance, slow branches,
// its heat and its temperature. Given a steady current it moves its state
// through any time by closed forms.
package cell

import (
	"math"

	"bankwright/internal/model/bank"
)

// State is where a battery is.
type State struct {
	Charge float64    // state of charge, 0 to 1
	Slow   [2]float64 // V across the slow branches, positive after discharge
	Lean   float64    // −1 on the discharge branch, +1 on the charge branch
	Kelvin float64
}

// Cell is a battery made ready for many small steps. It is not for several
// goroutines at once: it remembers where on its curve it was.
type Cell struct {
	m         *bank.Model
	capacity  float64 // C at 25 °C
	branches  []branch
	segment   int // of the curve
	piece     piece
	peukert   float64
	rated     float64 // A that the capacity is rated at
	heatStore float64 // J/K, 0: temperature stays
	cooling   float64 // W/K
	around    float64 // K
	plain     bool    // charge in and out is state of charge times a constant capacity
	steady    bool    // resistance never changes
	dt        float64 // that decay is of
	dtOver    float64 // over the capacity
	decay     [2]float64
	simple    bool // nothing but charge and branches moves
}

// piece is the straight stretch of the curve that was met last.
type piece struct{ from, to, base, slope float64 }

type branch struct{ resistance, time float64 }

// warm is the temperature that resistances and capacities are given at, K: 25 °C.
const warm = 298.15

// New makes a battery ready. The battery's model must have a curve; more than
// two branches are cut to two.
func New(b *bank.Battery) *Cell {
	m := &b.Model
	c := &Cell{m: m, capacity: float64(b.Capacity.V), heatStore: m.HeatCapacity.V, cooling: m.Cooling.V, around: float64(m.Temperature.V)}
	for _, one := range m.Branches[:min(2, len(m.Branches))] {
		c.branches = append(c.branches, branch{float64(one.Resistance.V), float64(one.Time.V)})
	}
	if m.Peukert.Known() && m.Peukert.V > 1 && m.RatedFor.V > 0 {
		c.peukert, c.rated = m.Peukert.V-1, c.capacity/float64(m.RatedFor.V)
	}
	c.plain = c.peukert == 0 && len(m.Efficiency) == 0 && (len(m.Capacity) == 0 || c.heatStore == 0)
	c.steady = len(m.Depth) == 0 && (len(m.Warmth) == 0 || c.heatStore == 0)
	c.simple = c.plain && len(m.Capacity) == 0 && len(m.Gap)+len(m.Rise) == 0 && len(m.Warmth) == 0 && c.heatStore == 0
	return c
}

// Start gives the state a battery begins in: at rest, between its branches, at
// its own temperature.
func (c *Cell) Start(charge float64) State {
	return State{Charge: charge, Kelvin: c.around}
}

// Plain reports whether charge and state of charge are in one fixed ratio.
func (c *Cell) Plain() bool { return c.plain }

// Steady reports whether the resistance is the same in every state.
func (c *Cell) Steady() bool { return c.steady }

// EMF gives the voltage behind the ohmic resistance, V.
func (c *Cell) EMF(s *State) float64 {
	p := &c.piece
	if !(s.Charge >= p.from && s.Charge < p.to) {
		c.seek(s.Charge)
	}
	e := p.base + float64((s.Charge-p.from)*p.slope) - s.Slow[0] - s.Slow[1]
	if len(c.m.Gap) > 0 {
		e += float64(s.Lean * c.half(s))
	}
	if s.Lean > 0 && len(c.m.Rise) > 0 {
		e += float64(s.Lean * c.m.Rise.At(s.Charge))
	}
	if len(c.m.Entropy) > 0 && s.Kelvin != warm {
		e += float64(c.m.Entropy.At(s.Charge) * (s.Kelvin - warm))
	}
	return e
}

// seek makes piece the stretch that holds a state of charge; beyond the ends of
// the curve it is flat.
func (c *Cell) seek(charge float64) {
	l := c.m.Curve
	n := len(l)
	switch {
	case n == 1:
		c.piece = piece{math.Inf(-1), math.Inf(1), l[0].Y, 0}
	case charge < l[0].X:
		c.piece = piece{math.Inf(-1), l[0].X, l[0].Y, 0}
	case charge >= l[n-1].X:
		c.piece = piece{l[n-1].X, math.Inf(1), l[n-1].Y, 0}
	default:
		l.Walk(charge, &c.segment)
		i := c.segment
		if charge >= l[i+1].X { // Walk takes an inner point to the stretch before it
			i++
		}
		a, b := l[i], l[i+1]
		c.piece = piece{a.X, b.X, a.Y, (b.Y - a.Y) / (b.X - a.X)}
	}
	if math.IsInf(c.piece.from, -1) { // (charge − from)·0 would be no number
		c.piece.from = -math.MaxFloat64
	}
}

// half is half the distance between the two branches, V.
func (c *Cell) half(s *State) float64 {
	return c.m.Gap.At(s.Charge) / 2 * c.m.GapWarmth.Or(s.Kelvin, 1)
}

// Resistance gives the ohmic resistance, ohm.
func (c *Cell) Resistance(s *State) float64 {
	r := float64(c.m.Ohmic.V)
	if len(c.m.Warmth) > 0 {
		r *= c.m.Warmth.LogAt(s.Kelvin)
	}
	return r * c.m.Depth.Or(s.Charge, 1)
}

// Capacity gives the charge between full and empty at the battery's
// temperature, C, at a small current.
func (c *Cell) Capacity(s *State) float64 {
	if len(c.m.Capacity) == 0 {
		return c.capacity
	}
	return c.capacity * c.m.Capacity.At(s.Kelvin)
}

// Rate gives how fast the state of charge falls, 1/s, at a current. Peukert's
// law counts above the rated current only: below it would promise more than
// the capacity.
func (c *Cell) Rate(s *State, current float64) float64 {
	rate := current / c.Capacity(s)
	switch {
	case current > 0 && c.peukert > 0 && current > c.rated:
		rate *= math.Pow(current/c.rated, c.peukert)
	case current < 0 && len(c.m.Efficiency) > 0:
		rate *= c.m.Efficiency.At(s.Charge)
	}
	return rate
}

// Advance moves a state through dt seconds at a steady current, A. Peukert's
// law and the charge that is kept are those of the state it comes from.
func (c *Cell) Advance(s State, current, dt float64) State {
	var to State
	c.Move(&to, &s, current, dt)
	return to
}

// Move is Advance without copies, for the many small steps of a run.
func (c *Cell) Move(into, from *State, current, dt float64) {
	if !c.simple {
		*into = c.advance(*from, current, dt)
		return
	}
	if dt != c.dt {
		c.setStep(dt)
	}
	into.Charge = from.Charge - float64(current*c.dtOver)
	into.Lean, into.Kelvin = from.Lean, from.Kelvin
	for k := range c.branches {
		to := float64(current * c.branches[k].resistance)
		into.Slow[k] = to + float64((from.Slow[k]-to)*c.decay[k])
	}
}

func (c *Cell) advance(s State, current, dt float64) State {
	before := s.Kelvin
	heat := 0.0
	if c.heatStore > 0 {
		heat = c.Heat(&s, current)
	}
	fall := float64(c.Rate(&s, current) * dt)
	s.Charge -= fall
	warmth := 1.0
	if len(c.branches) > 0 && len(c.m.Warmth) > 0 {
		warmth = c.m.Warmth.LogAt(before)
	}
	if dt != c.dt {
		c.setStep(dt)
	}
	for k, b := range c.branches {
		to := current * b.resistance * warmth
		s.Slow[k] = to + float64((s.Slow[k]-to)*c.decay[k])
	}
	if travel := c.m.GapTravel.V; len(c.m.Gap)+len(c.m.Rise) > 0 && travel > 0 && current != 0 {
		to := -math.Copysign(1, current)
		s.Lean = to + float64((s.Lean-to)*math.Exp(-math.Abs(fall)/travel))
	}
	if c.heatStore > 0 {
		s.Kelvin = c.warmed(s.Kelvin, heat, dt)
	}
	return s
}

// setStep keeps what a branch has left after dt, for the next step as long.
func (c *Cell) setStep(dt float64) {
	c.dt, c.dtOver = dt, dt/c.capacity
	for k, b := range c.branches {
		c.decay[k] = math.Exp(-dt / b.time)
	}
}

// warmed is the lumped case with a steady heat and its surroundings.
func (c *Cell) warmed(kelvin, heat, dt float64) float64 {
	if c.cooling <= 0 {
		return kelvin + float64(heat*dt)/c.heatStore
	}
	to := c.around + heat/c.cooling
	return to + float64((kelvin-to)*math.Exp(-dt*c.cooling/c.heatStore))
}

// Heat gives the heat in the battery, W: what the current loses against its
// open-circuit voltage, less what the entropy takes up. It may be below zero.
func (c *Cell) Heat(s *State, current float64) float64 {
	lost := float64(current*c.Resistance(s)) + s.Slow[0] + s.Slow[1]
	if len(c.m.Gap) > 0 {
		lost -= float64(s.Lean * c.half(s))
	}
	if s.Lean > 0 && len(c.m.Rise) > 0 {
		lost -= float64(s.Lean * c.m.Rise.At(s.Charge))
	}
	if len(c.m.Entropy) > 0 {
		lost -= float64(s.Kelvin * c.m.Entropy.At(s.Charge))
	}
	return current * lost
}

// Stored gives the energy between empty and a state of charge along the middle
// of the branches, J: the curve summed exactly, piece by piece.
func (c *Cell) Stored(charge float64) float64 {
	sum, last := 0.0, bank.LinePoint{}
	for i, p := range c.m.Curve {
		if i == 0 {
			last = bank.LinePoint{X: math.Min(0, p.X), Y: p.Y}
		}
		to := math.Min(p.X, charge)
		if to > last.X {
			y := c.m.Curve.At(to)
			sum += float64((to - last.X) * (y + last.Y) / 2)
			last = bank.LinePoint{X: to, Y: y}
		}
	}
	if charge > last.X {
		sum += float64((charge - last.X) * last.Y)
	}
	return sum * c.capacity
}
