package holding

import "math"

// Endurance is how much a group bears in one direction: the greatest multiple of
// the weight at which it is held and no part of known strength is past it, and
// what gives way first: How ("slides", "lifts", "tips or turns") or the Hold and
// its Part. Multiple is +Inf where nothing gives way at a hundred times the
// weight, and NaN for down, which only the floor bears. Unchecked says that a
// part that bears a load there has no known strength, so that the true figure
// may be lower.
type Endurance struct {
	Multiple        float64
	How, Hold, Part string
	Unchecked       bool
}

// Endure works the endurance out against a rule's basis and factor; its loads do
// not matter, but whether its figure for up comes on top of the weight does. What
// a group bears at some load it bears at any less, so that halving finds the
// limit, here to a millionth of the weight.
func Endure(g *Group, rule Rule, d Direction) (Endurance, error) {
	if err := g.Check(); err != nil {
		return Endurance{}, err
	}
	if err := rule.Check(); err != nil {
		return Endurance{}, err
	}
	if d == Down {
		return Endurance{Multiple: math.NaN()}, nil
	}
	rule.Most, rule.SideTipping = 0, 0
	m := model(g)
	const most, fine = 100, 1e-6
	low, high := 0.0, float64(most)
	c := m.at(rule, d, high)
	if c.bears() {
		e := c.endurance()
		e.Multiple = math.Inf(1)
		return e, nil
	}
	for high-low > fine {
		mid := (low + high) / 2
		if next := m.at(rule, d, mid); next.bears() {
			low = mid
		} else {
			high, c = mid, next
		}
	}
	e := c.endurance()
	e.Multiple = low
	return e, nil
}

// at runs a direction at a multiple of the weight.
func (m *machine) at(rule Rule, d Direction, multiple float64) Case {
	switch d {
	case Forward:
		rule.Forward = multiple
	case Aft:
		rule.Aft = multiple
	case Left, Right:
		rule.Side = multiple
	case Up:
		rule.Up = multiple
	}
	return m.run(&rule, d)
}

// bears reports whether a case is held with no known part past its strength.
func (c *Case) bears() bool {
	return c.Held && (c.Weakest < 0 || c.Checks[c.Weakest].Margin >= 1)
}

// endurance says what gives way in a case.
func (c *Case) endurance() Endurance {
	e := Endurance{How: c.How}
	if c.Held && c.Weakest >= 0 && c.Checks[c.Weakest].Margin < 1 {
		e.Hold, e.Part = c.Checks[c.Weakest].Hold, c.Checks[c.Weakest].Part
	}
	for _, k := range c.Checks {
		e.Unchecked = e.Unchecked || math.IsNaN(k.Margin)
	}
	return e
}
