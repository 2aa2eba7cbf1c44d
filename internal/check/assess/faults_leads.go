package assess

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/engine/conductor"
	"bankwright/internal/engine/fault"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// leads gives what the neighbours of each battery push through its own leads
// when it has a dead short within, and what of that no device opens: the same
// short with every fuse and breaker open. How much a lead bears is left to
// bearing.
func (j *Job) leads(most fault.Conditions) ([]report.InLead, error) {
	whole, err := fault.New(j.Bank, most)
	if err != nil {
		return nil, j.named(err)
	}
	opened, err := fault.New(withoutDevices(j.Bank), most)
	if err != nil {
		return nil, j.named(err)
	}
	var all []report.InLead
	for i := range j.Bank.Batteries {
		b := &j.Bank.Batteries[i]
		s, err := whole.IntoShort(i)
		if err != nil {
			return nil, j.named(err)
		}
		if !s.Joined() || math.Abs(s.Current) < leastLead {
			continue
		}
		bare, err := opened.IntoShort(i)
		if err != nil {
			return nil, j.named(err)
		}
		for k := range j.Bank.Cables {
			c := &j.Bank.Cables[k]
			if !atPost(c, b) {
				continue
			}
			if one := leadOf(b, c, s, bare); one.Amps >= leastLead {
				one.Opens = j.opensIn(s)
				all = append(all, one)
			}
		}
	}
	return j.bearing(all), nil
}

// leastLead is from which current on a lead is told, A.
const leastLead = 1.0

func atPost(c *bank.Cable, b *bank.Battery) bool {
	return c.From == b.Plus() || c.To == b.Plus() || c.From == b.Minus() || c.To == b.Minus()
}

func leadOf(b *bank.Battery, c *bank.Cable, s, bare *fault.Short) report.InLead {
	one := report.InLead{Battery: b.ID, Cable: c.ID, Bears: math.NaN()}
	a, _ := s.Through(c.ID)
	one.Amps = math.Abs(a)
	if bare.Joined() {
		a, _ = bare.Through(c.ID)
		one.Bare = math.Abs(a)
	}
	if one.Bare < leastLead {
		one.Bare = 0
	}
	return one
}

// opensIn lists the devices that a hundredth or more of a short goes through.
func (j *Job) opensIn(s *fault.Short) []string {
	var names []string
	for i := range j.Bank.Parts {
		p := &j.Bank.Parts[i]
		if !p.Kind.Protects() {
			continue
		}
		if a, ok := s.Through(p.ID); ok && math.Abs(a) >= smallShare*math.Abs(s.Current) {
			names = append(names, p.ID)
		}
	}
	return names
}

// bearing fills what each lead's copper bears for LeadSeconds, from as warm as
// its insulation may be to what that bears in a short.
func (j *Job) bearing(all []report.InLead) []report.InLead {
	for i := range all {
		c := cableNamed(j.Bank, all[i].Cable)
		if c.Size.IsZero() {
			continue
		}
		made, ins, _, err := j.made(c)
		if err != nil || ins == nil {
			continue
		}
		limit := float64(c.Wrap.Insulation.V)
		k := conductor.Copper.Factor(limit, math.Max(limit, float64(ins.Limit)))
		all[i].Bears = float64(k*made.Section) / math.Sqrt(report.LeadSeconds)
	}
	return all
}

// withoutDevices is a bank with every fuse and breaker open.
func withoutDevices(b *bank.Bank) *bank.Bank {
	c := *b
	c.Parts = slices.Clone(b.Parts)
	for i := range c.Parts {
		c.Parts[i].Open = c.Parts[i].Open || c.Parts[i].Kind.Protects()
	}
	return &c
}

// Times to which a rise is told: one time constant, and nine tenths.
const (
	oneConstant = 1 - 1/math.E
	nineTenths  = 0.9
)

// riseWords says what the rises rest on and what they mean for a device.
func (f *Faults) riseWords() []string {
	routes, lengths, partly, unknown, longest := 0, 0, 0, 0, 0.0
	why := ""
	for _, r := range slices.Concat(f.Rises, f.AcrossRises, f.IntoRises) {
		switch {
		case math.IsNaN(r.Inductance):
			unknown++
			continue
		case r.Routed:
			routes++
		case r.Partly:
			partly++
		default:
			lengths++
			why = r.Why
		}
		longest = math.Max(longest, r.Most.Tau)
	}
	var all []string
	if routes > 0 {
		all = append(all, fmt.Sprintf("inductance by routes (%d of the shorts): field of the cables where they run, closed by a straight line at the short; batteries taken as bars of %.0f mm, parts of %.0f mm: assumed", routes, 2e3*batteryRadius, 2e3*partRadius))
	}
	if lengths > 0 {
		all = append(all, fmt.Sprintf("inductance by length (%d of the shorts; %s): the way back %.0f mm beside each cable, assumed; batteries and parts left out; a wider loop has more", lengths, why, 1e3*loopSpacing))
	}
	if partly > 0 {
		all = append(all, fmt.Sprintf("inductance by routes as far as they are known, by length beyond (%d of the shorts): that part as if the way back lay %.0f mm beside, assumed", partly, 1e3*loopSpacing))
	}
	if unknown > 0 {
		all = append(all, fmt.Sprintf("inductance not known of %d of the shorts: a cable on the way has no length, or nothing flows", unknown))
	}
	if routes+lengths+partly > 0 {
		all = append(all, fmt.Sprintf("time constant: inductance over resistance, of the most; the longest is %s. With several ways at once it is the mean lag of the current", milliseconds(longest)),
			"for a fuse or breaker: its d.c. breaking capacity holds up to a time constant that its maker tells; a longer one makes a longer arc. What test standards ask is not at hand here, so this is not checked; ask for the maker's figure (common practice)")
	}
	return all
}

func milliseconds(s float64) string { return fmt.Sprintf("%.3g ms", 1e3*s) }

// ShortCaution is said wherever the current of a dead short is. Common
// practice, no source; the reference holds no figure of arcs.
const ShortCaution = "low volts do not make a short harmless. A tool or ring across live posts heats at once, burns and throws molten metal; an arc that is drawn out as it parts need not go out by itself, for direct current never passes zero, and the more so the higher the voltage. Cover posts, take off rings and watch, wear eye protection, use covered tools, open the switch first (common practice)"
