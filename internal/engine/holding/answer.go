package holding

import (
	"math"
)

// Reaction is what one hold-down carries, N. Shear is the resultant of both
// ways across; Pull and Push are the greatest of its places.
type Reaction struct {
	Hold              string
	Pull, Shear, Push float64
}

// of gives the load of a kind.
func (r *Reaction) of(l Load) float64 {
	switch l {
	case Pull:
		return r.Pull
	case Shear:
		return r.Shear
	}
	return r.Push
}

// Check is one part against what it feels. Demand, N, is that of the pull for a
// part under both. Margin is capacity over demand, +Inf for a part that feels
// nothing, NaN where not checked, and then Why says why.
type Check struct {
	Hold, Part       string
	Under            Load
	Demand, Capacity float64
	Margin           float64
	At               Basis // strength it was held against, may be a lower one than the rule's
	Why              string
}

// Case is one direction. Force is what the load asks at the bodies' middles,
// N; Weight what of their weight helps meanwhile; Friction what of the force
// the floor takes by friction, 0 where it is not counted, and FrictionMost what
// it could take.
//
// Tips is the multiple of the weight at which the group begins to tip about its
// lower edge with nothing but its weight to hold it; Overturn and Restore are
// the moments about that edge, N·m. All three are NaN for up and down.
//
// Held says that the hold-downs can be in equilibrium with the load, whatever
// their strength. Where not, Free is the force, N, and Turn the moment, N·m,
// that nothing takes, and How what the group does.
type Case struct {
	Direction              Direction
	Multiple               float64 // of the weight
	Force, Weight          float64
	Friction, FrictionMost float64
	Tips                   float64
	Overturn, Restore      float64
	Held                   bool
	How                    string // "", "slides", "lifts" or "tips or turns"
	Free, Turn             float64
	Floor                  float64 // N that the floor bears
	Reactions              []Reaction
	Checks                 []Check
	Weakest                int // index in Checks of the least margin, -1 where no part of known strength bears anything
}

// Result is a group under a rule. Cases holds the directions that the rule asks
// for, in the order of Directions.
type Result struct {
	Rule  Rule
	Cases []Case
	Loose []string // bodies that no hold-down holds
}

// Held reports whether every direction is held and nothing is loose; how strong
// the parts are is another matter.
func (r *Result) Held() bool {
	for i := range r.Cases {
		if !r.Cases[i].Held {
			return false
		}
	}
	return len(r.Loose) == 0
}

// Weakest gives the direction and the part with the least margin, or nils where
// no part of known strength bears anything.
func (r *Result) Weakest() (c *Case, k *Check) {
	for i := range r.Cases {
		w := r.Cases[i].Weakest
		if w >= 0 && (k == nil || r.Cases[i].Checks[w].Margin < k.Margin) {
			c, k = &r.Cases[i], &r.Cases[i].Checks[w]
		}
	}
	return c, k
}

// Unchecked counts the parts that bear a load in some direction and whose
// strength is not known.
func (r *Result) Unchecked() int {
	seen := map[[2]string]bool{}
	for i := range r.Cases {
		for _, k := range r.Cases[i].Checks {
			if math.IsNaN(k.Margin) {
				seen[[2]string{k.Hold, k.Part}] = true
			}
		}
	}
	return len(seen)
}

// Solve works a group out under a rule. The error names what is out of range in
// either.
func Solve(g *Group, rule Rule) (Result, error) {
	if err := g.Check(); err != nil {
		return Result{}, err
	}
	if err := rule.Check(); err != nil {
		return Result{}, err
	}
	r := Result{Rule: rule, Loose: g.Loose()}
	m := model(g)
	for _, d := range Directions() {
		if rule.Load(d) > 0 {
			r.Cases = append(r.Cases, m.run(&rule, d))
		}
	}
	return r, nil
}

// machine is the group made ready for the solver.
type machine struct {
	g       *Group
	frame   frame
	feet    []Vec
	springs []spring // the feet, then every act of every hold
}

func model(g *Group) *machine {
	m := &machine{g: g, feet: g.feet()}
	low, high := g.Bodies[0].Min, g.Bodies[0].Max
	for _, b := range g.Bodies {
		low = Vec{math.Min(low.X, b.Min.X), math.Min(low.Y, b.Min.Y), math.Min(low.Z, b.Min.Z)}
		high = Vec{math.Max(high.X, b.Max.X), math.Max(high.Y, b.Max.Y), math.Max(high.Z, b.Max.Z)}
	}
	m.frame = frame{g.Middle(), high.Sub(low).Length() / 2}
	for _, p := range m.feet {
		m.springs = append(m.springs, spring{unit: m.frame.wrench(p, Vec{0, 0, 1}), k: floorStiffness})
	}
	for _, h := range g.Holds {
		for _, a := range h.Acts {
			s := spring{k: a.Stiffness, both: a.Both}
			if s.k == 0 {
				s.k = 1
			}
			for _, l := range a.Legs {
				w := m.frame.wrench(l.At, l.Toward.Unit())
				s.unit.add(&w, 1)
			}
			m.springs = append(m.springs, s)
		}
	}
	return m
}

// run works one direction out.
func (m *machine) run(rule *Rule, d Direction) Case {
	c := Case{Direction: d, Multiple: rule.Load(d), Weakest: -1}
	m.tipping(&c, rule)
	load := m.load(&c, rule)
	reactions, left := settle(m.springs, &load)
	m.judge(&c, &load, &left)
	for i := range m.feet {
		c.Floor += reactions[i]
	}
	m.share(&c, reactions[len(m.feet):])
	for i := range m.g.Holds {
		c.check(&m.g.Holds[i], &c.Reactions[i], rule)
	}
	for i, k := range c.Checks {
		if k.Margin < math.Inf(1) && (c.Weakest < 0 || k.Margin < c.Checks[c.Weakest].Margin) {
			c.Weakest = i
		}
	}
	return c
}

// tipping fills what the lower edge says, and takes the rule's load for groups
// that tip where it has one. With nothing but the weight a block tips where the
// multiple passes the level distance from its middle to the edge over the
// height of its middle (statics; the reference's "c·h > b/2").
func (m *machine) tipping(c *Case, rule *Rule) {
	c.Tips, c.Overturn, c.Restore = math.NaN(), math.NaN(), math.NaN()
	if c.Direction == Up || c.Direction == Down {
		return
	}
	toward, middle := m.g.Toward(c.Direction), m.g.Middle()
	reach := math.Inf(-1)
	for _, p := range m.feet {
		reach = math.Max(reach, p.Sub(middle).Dot(toward))
	}
	height := middle.Z - m.g.Level()
	if height <= 0 {
		c.Tips = math.Inf(1) // a middle given at the floor
	} else {
		c.Tips = math.Max(reach, 0) / height
	}
	side := c.Direction == Left || c.Direction == Right
	if side && rule.SideTipping > c.Multiple && c.Tips < rule.SideTipping {
		c.Multiple = rule.SideTipping
	}
	c.Restore = m.g.Mass() * Gravity * reach
	c.Overturn = 0
	for i := range m.g.Bodies {
		b := &m.g.Bodies[i]
		c.Overturn += float64(rule.Force(b.Mass, c.Multiple) * (b.Middle().Z - m.g.Level()))
	}
}

// load gives the wrench of the bodies' loads, their weight and friction.
func (m *machine) load(c *Case, rule *Rule) wrench {
	toward := m.g.Toward(c.Direction)
	var load wrench
	var pressed Vec // middle of the force that friction meets, times the force
	for i := range m.g.Bodies {
		b := &m.g.Bodies[i]
		multiple, weight := c.Multiple, b.Mass*Gravity
		switch {
		case c.Direction == Up && rule.Beyond:
			weight = 0
		case c.Direction == Down: // asked with the weight included
			multiple--
		}
		force := rule.Force(b.Mass, multiple)
		w := m.frame.wrench(b.Middle(), toward.Times(force).Add(Vec{0, 0, -weight}))
		load.add(&w, 1)
		c.Force += force
		c.Weight += weight
		pressed = pressed.Add(b.Middle().Times(force))
	}
	if c.Direction == Up || c.Direction == Down || c.Force == 0 {
		return load
	}
	c.FrictionMost = m.g.Friction * (c.Weight + m.g.Clamp)
	c.Friction = math.Min(c.FrictionMost, c.Force)
	at := pressed.Times(1 / c.Force)
	at.Z = m.g.Level()
	w := m.frame.wrench(at, toward.Times(-c.Friction))
	load.add(&w, 1)
	return load
}

// heldWithin is the part of the load that may be left for rounding.
const heldWithin = 1e-7

// judge says what the group does with a load that is left over: where the forces
// alone, without their moments, cannot be balanced it slides or lifts, and
// otherwise it tips or turns.
func (m *machine) judge(c *Case, load, left *wrench) {
	limit := heldWithin * (c.Force + m.g.Mass()*Gravity)
	c.Held = math.Sqrt(left.dot(left)) <= limit
	if c.Held {
		return
	}
	bare := make([]spring, len(m.springs))
	for i, s := range m.springs {
		s.unit = s.unit.force()
		bare[i] = s
	}
	force := load.force()
	_, free := settle(bare, &force)
	level := math.Hypot(free[0], free[1])
	switch {
	case math.Hypot(level, free[2]) <= limit:
		c.How = "tips or turns"
		c.Turn = m.short(left)
		return
	case free[2] > level:
		c.How = "lifts"
	default:
		c.How = "slides"
	}
	c.Free = math.Hypot(level, free[2])
}

// force gives the wrench without its moment.
func (w *wrench) force() wrench { return wrench{w[0], w[1], w[2]} }

// short gives the moment, N·m, that would hold a group that tips or turns. What
// is left over is also the way the group goes: nothing that holds it does work
// along it, so that a moment does as much work as the load where its own share
// of the way times it is the square of the whole (Farkas' lemma).
func (m *machine) short(left *wrench) float64 {
	turn := math.Sqrt(float64(left[3]*left[3]) + float64(left[4]*left[4]) + float64(left[5]*left[5]))
	return left.dot(left) / turn * m.frame.size
}

// share puts the acts' reactions to their hold-downs.
func (m *machine) share(c *Case, reactions []float64) {
	next := 0
	for _, h := range m.g.Holds {
		r := Reaction{Hold: h.ID}
		for _, a := range h.Acts {
			v := math.Abs(reactions[next])
			next++
			switch a.Does {
			case Pull:
				r.Pull = math.Max(r.Pull, v)
			case Shear:
				r.Shear = math.Hypot(r.Shear, v)
			default:
				r.Push = math.Max(r.Push, v)
			}
		}
		c.Reactions = append(c.Reactions, r)
	}
}

// check holds the parts of one hold-down against its reaction.
func (c *Case) check(h *Hold, r *Reaction, rule *Rule) {
	for _, p := range h.Parts {
		k := Check{Hold: h.ID, Part: p.Name, Under: p.Under, Why: p.Why}
		if p.Under == Combined {
			k.combined(&p, r, rule)
		} else {
			k.Demand = r.of(p.Under)
			k.Capacity, k.At = p.Strength.at(rule.Basis)
			k.Capacity /= rule.Factor
			k.Margin = Margin(k.Capacity, k.Demand)
		}
		if !math.IsNaN(k.Margin) {
			k.Why = ""
		} else if k.Why == "" {
			k.Why = "its " + string(rule.Basis) + " is not known"
		}
		c.Checks = append(c.Checks, k)
	}
}

func (k *Check) combined(p *Part, r *Reaction, rule *Rule) {
	tension, at := p.Strength.at(rule.Basis)
	across, lower := p.Across.at(rule.Basis)
	tension, across = tension/rule.Factor, across/rule.Factor
	k.Demand, k.Capacity, k.At = r.Pull, tension, at
	if at == rule.Basis && lower != "" {
		k.At = lower
	}
	switch use := Interaction(Margin(tension, r.Pull), Margin(across, r.Shear)); {
	case r.Pull == 0:
		k.Demand, k.Capacity, k.At = r.Shear, across, lower
		k.Margin = Margin(across, r.Shear)
	default:
		k.Margin = use
	}
}

// negligible is a force, N, below which a part is taken to feel nothing: far
// below what any scale shows, far above rounding.
const negligible = 1e-3

// Margin gives capacity over demand, N: +Inf where nothing is asked, known
// capacity or not, and NaN where something is asked of an unknown capacity.
func Margin(capacity, demand float64) float64 {
	if math.Abs(demand) <= negligible {
		return math.Inf(1)
	}
	return capacity / math.Abs(demand)
}

// Interaction gives the margin of a bolt in pull and shear together from its
// margins in each alone: (V/Va)² + (T/Ta)² = 1 at the limit, so that with both
// loads growing alike 1/m² = 1/mt² + 1/ms². NaN if either is. Reference: the
// family of curves of NASA RP-1228 (1990), from memory.
func Interaction(pull, shear float64) float64 {
	return 1 / math.Hypot(1/pull, 1/shear)
}
