package protect

import (
	"math"

	"bankwright/internal/base/source"
)

// Cable is what a conductor bears.
type Cable struct {
	Name      string
	Withstand source.Value[float64] // A²s, k²S²: heat it can take at once
	// Holds gives how many seconds it bears a current in A before its
	// insulation passes the temperature it is rated for: +Inf for good, NaN not
	// told. It must not rise with the current. nil: not told at all.
	Holds func(current float64) float64
	Ref   source.Ref // of Holds
}

func (c *Cable) name() string {
	if c.Name == "" {
		return "the cable"
	}
	return c.Name
}

// holds is Holds, NaN where nothing is told.
func (c *Cable) holds(current float64) float64 {
	if c.Holds == nil {
		return math.NaN()
	}
	return c.Holds(current)
}

// Prospective is the range of current of a dead short at the far end of a
// cable, A: Least from an empty, cold, aged bank over hot cables, Most from a
// full one. A Least that is not above zero is not told, and the Most is looked
// at alone.
type Prospective struct{ Least, Most float64 }

// Stretch is a range of current with what it comes to at its worst.
//
// Margin, at least 1 within: what the cable bears over what the device may let
// it bear, in A²s or in s, at Worst; of a long overload the largest current the
// cable bears for good over the largest at which the device need not open. NaN
// where it cannot be told; 0 where the device need not open at all.
type Stretch struct {
	Outcome
	From, To float64 // A; NaN where there is no such range
	Worst    float64 // A
	Margin   float64
	Device   float64 // s, longest until it has opened; of a long overload how long it carries that for sure; NaN not told
	Cable    float64 // s that the cable bears it
}

// Saving is whether a device opens before a cable passes its limit, for three
// kinds of too much current.
//
// Fault: a dead short. Overload: less than a dead short, but so much that the
// device is sure to open some time. LongOverload: more than the cable bears,
// but so little that the device need not open. Rules that let a device have 150
// % of a conductor's amperes allow the last: such a cable can pass its
// temperature for hours, at a current that no short draws but too many loads
// together can. It is no fault of the device, hence told apart.
type Saving struct{ Fault, Overload, LongOverload Stretch }

// adiabatic is how long a short may last for its heat to be taken as staying in
// the copper, s.
const adiabatic = 5

// adiabaticRef is where that stands.
var adiabaticRef = source.Ref{Title: "IEC 60364-4-43", At: "434.5.2, t = (k·S/I)² up to 5 s", Edition: "not at hand", How: source.Memory}

// Saves says whether a device opens before a cable passes its limit, for all
// currents from its rating to the most.
//
// Where the device has opened after 5 s at the latest, what it lets through,
// I²t, is held against the cable's k²S². Where it takes longer, the time is
// held against Holds; in a fault, without Holds, against k²S² all the same,
// which counts no cooling and so can only show that it is within. The clearing
// I²t counts above the last told multiple of the band; where that is not told
// either, only the time at that multiple bounds what passes, which again can
// only show that it is within.
func Saves(d Device, c Cable, p Prospective) Saving {
	var s Saving
	for _, one := range []*Stretch{&s.Fault, &s.Overload, &s.LongOverload} {
		one.From, one.To, one.Worst = math.NaN(), math.NaN(), math.NaN()
		one.Margin, one.Device, one.Cable = math.NaN(), math.NaN(), math.NaN()
		if !d.rated(&one.Outcome) {
			continue
		}
		d.ground(&one.Outcome)
		switch {
		case !(p.Most > 0) || math.IsInf(p.Most, 1):
			one.say(NotChecked, "the most fault current is not told")
		case p.Least > float64(p.Most*(1+same)):
			one.say(NotChecked, "the least fault current, %s, is above the most, %s; exchange them", amps(p.Least), amps(p.Most))
		}
	}
	if s.Fault.Verdict != "" {
		return s
	}
	least := p.Least
	if !(least > 0 && least <= p.Most) {
		least = p.Most
	}
	s.Fault.fault(&d, &c, least, p)
	s.Overload.overload(&d, &c, least)
	s.LongOverload.long(&d, &c, p.Most)
	return s
}

func (s *Stretch) fault(d *Device, c *Cable, least float64, p Prospective) {
	s.ground(adiabaticRef)
	s.use(c.Withstand, d.Clearing)
	s.ground(c.Ref)
	s.From, s.To = least, p.Most
	s.take(scan(least, p.Most, append(d.marks(), d.within(adiabatic)...), func(i float64) probe { return save(d, c, i, true) }))
	if !(p.Least > 0) {
		s.say(s.Verdict, "the least fault current is not told; the most was looked at alone")
	}
}

func (s *Stretch) overload(d *Device, c *Cable, least float64) {
	first := d.Band.firstMax() * d.Rating.V
	switch {
	case math.IsNaN(first):
		s.say(NotChecked, "when %s has opened is not told", d.name())
		return
	case first >= least:
		s.say(NotChecked, "no current between the rating and a dead short makes %s open for sure", d.name())
		return
	}
	s.ground(adiabaticRef)
	s.use(c.Withstand)
	s.ground(c.Ref)
	s.From, s.To = first, least
	s.take(scan(first, least, append(d.marks(), d.within(adiabatic)...), func(i float64) probe { return save(d, c, i, false) }))
}

// take sets the stretch to its worst current.
func (s *Stretch) take(p probe) {
	s.Worst, s.Margin, s.Device, s.Cable = p.amps, p.margin, p.device, p.cable
	s.say(p.verdict, "%s", p.why())
}

// save is one current through device and cable. fault: a dead short, where
// k²S² also speaks for more than 5 s.
func save(d *Device, c *Cable, current float64, fault bool) probe {
	p := probe{amps: current, margin: math.NaN(), cable: c.holds(current), verdict: NotChecked}
	latest, told := d.latest(current)
	p.device = latest
	energy, hasEnergy := positive(c.Withstand)
	brief := atMost(latest, adiabatic) && hasEnergy
	if brief {
		p.cable = MeltingTime(energy, current)
	}
	switch {
	case math.IsInf(p.cable, 1):
		p.margin, p.verdict = math.Inf(1), Within
		p.why = func() string { return c.name() + " bears " + amps(current) + " for good" }
	case math.IsNaN(latest):
		return p.never(d, c)
	default:
		p.margin = p.cable / latest
		if bare := MeltingTime(energy, current) / latest; fault && hasEnergy && math.IsNaN(p.margin) && atMost(1, bare) {
			p.margin, p.cable = bare, bare*latest
		}
		p.judge(d, c, told)
	}
	return p
}

// judge gives the verdict of a margin.
func (p *probe) judge(d *Device, c *Cable, told bool) {
	switch {
	case math.IsNaN(p.margin):
		p.why = func() string { return "how long " + c.name() + " bears " + amps(p.amps) + " is not told" }
	case atMost(1, p.margin):
		p.verdict = Within
		p.why = func() string {
			return "at " + amps(p.amps) + " " + d.name() + " has opened after " + seconds(p.device) + "; " + c.name() + " bears it " + span(p.cable)
		}
	case told:
		p.verdict = Outside
		p.why = func() string {
			return "at " + amps(p.amps) + " " + d.name() + " may take " + seconds(p.device) + "; " + c.name() + " bears it only " + span(p.cable)
		}
	default:
		p.margin = math.NaN()
		p.why = func() string { return "how quickly " + d.name() + " opens at " + amps(p.amps) + " is not told" }
	}
}

// never is a current at which the device need not open, or of which nothing is
// told.
func (p probe) never(d *Device, c *Cable) probe {
	switch {
	case len(d.Band.max) == 0 && !d.carries(p.amps):
		p.why = func() string { return "how quickly " + d.name() + " opens at " + amps(p.amps) + " is not told" }
	case math.IsNaN(p.cable):
		p.why = func() string {
			return d.name() + " need not open at " + amps(p.amps) + ", and how long " + c.name() + " bears that is not told"
		}
	default:
		p.verdict, p.margin = Outside, 0
		p.why = func() string {
			return d.name() + " need not open at " + amps(p.amps) + "; " + c.name() + " bears it only " + span(p.cable)
		}
	}
	return p
}

// long looks at currents at which the device need not open: up to the first
// multiple at which it is told to, or its rating where none is.
func (s *Stretch) long(d *Device, c *Cable, most float64) {
	first := d.Band.firstMax()
	top := math.Min(either(first, 1)*d.Rating.V, most)
	s.ground(c.Ref)
	s.From, s.To, s.Worst = math.Min(d.Rating.V, top), top, top
	s.Cable = c.holds(top)
	s.Device, _ = d.earliest(top * (1 - 3*same))
	if !math.IsNaN(s.Cable) {
		s.Margin = bears(c, top) / top
	}
	switch {
	case math.IsNaN(s.Cable):
		s.say(NotChecked, "how long %s bears %s is not told", c.name(), amps(top))
	case !math.IsInf(s.Cable, 1):
		s.From = s.Margin * top
		s.say(Outside, "from %s to %s %s need not open, while %s passes its temperature, at %s after %s", amps(s.From), amps(top), d.name(), c.name(), amps(top), seconds(s.Cable))
	case math.IsNaN(first) && most > top:
		s.say(NotChecked, "from where on %s opens is not told; %s bears its rating for good", d.name(), c.name())
	default:
		s.say(Within, "%s bears %s for good, the most at which %s need not open", c.name(), amps(top), d.name())
	}
}

// bears gives the largest current that a cable bears for good, looked for up
// to eight times a current: +Inf beyond.
func bears(c *Cable, around float64) float64 {
	forever := func(i float64) bool { return math.IsInf(c.holds(i), 1) }
	switch low, high := around/1024, around*8; {
	case forever(high):
		return math.Inf(1)
	case !forever(low):
		return 0
	default:
		return edge(low, high, forever)
	}
}
