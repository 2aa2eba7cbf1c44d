package assess

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/base/working"
	"bankwright/internal/check/rules"
	"bankwright/internal/engine/holding"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// IsMountNumber reports whether an ID is that of a number of the mounting, such
// as mount.1.forward or mount.K1.2.rod.
func IsMountNumber(id string) bool { return strings.HasPrefix(id, "mount.") }

// ExplainMount gives the working of a number of the mounting. The error lists
// what there is.
func (j *Job) ExplainMount(id string) (working.Working, error) {
	m, err := j.Mount("")
	if err != nil {
		return working.Working{}, err
	}
	if m == nil {
		return working.Working{}, fmt.Errorf("%s: %s", j.Doc.File, MountAsks)
	}
	var names []string
	for _, w := range j.MountWorkings(m) {
		if w.ID == id {
			return w, nil
		}
		names = append(names, w.ID)
	}
	return working.Working{}, fmt.Errorf("there is no number %s; of the mounting there are %s", id, strings.Join(names, ", "))
}

// MountWorkings gives the derivation of every number of the mounting.
func (j *Job) MountWorkings(m *report.Mount) []working.Working {
	var all []working.Working
	for n := range m.Groups {
		g := &m.Groups[n]
		for i := range g.Cases {
			all = append(all, caseWorking(m, g, &g.Cases[i], n+1))
		}
		for i := range g.Parts {
			all = append(all, partWorking(&m.Rule, &g.Parts[i], n+1))
		}
	}
	for i := range m.Preloads {
		all = append(all, preloadWorking(&m.Preloads[i]))
	}
	for i := range m.Floors {
		all = append(all, j.floorWorking(&m.Floors[i]))
	}
	for i := range m.Out {
		all = append(all, j.outWorking(&m.Out[i]))
	}
	for i := range m.Lifts {
		all = append(all, j.liftWorking(&m.Lifts[i]))
	}
	if m.Balance != nil {
		all = append(all, j.balanceWorking(m.Balance))
	}
	return all
}

func newtons(v float64) string { return quantity.Format(quantity.Force(v), 3) }
func kilos(v float64) string   { return quantity.Format(quantity.Mass(v), 3) }

// gs prints a multiple of the weight.
func gs(v float64) string { return strings.Replace(fmt.Sprintf("%.3g", v), "+Inf", "∞", 1) + " g" }

func caseWorking(m *report.Mount, g *report.MountGroup, c *report.MountCase, n int) working.Working {
	w := working.Working{ID: fmt.Sprintf("mount.%d.%s", n, c.Direction), What: fmt.Sprintf("what %s asks of the block %s %s", m.Rule.ID, g.Name(), c.Direction), Source: m.Rule.Ref.String(),
		Formula: "F = a·m·g, of each case; the block is rigid, on a floor that only pushes; hold-downs are springs, alike stiff, that pull or push as they can; their forces and moments balance the load (statics)",
		Inputs:  []working.Input{{Name: "a", Value: gs(c.Multiple), Origin: source.LookedUp, Source: m.Rule.Ref.String()}, {Name: "m", Value: kilos(g.Mass), Origin: source.Given}, {Name: "g", Value: "9.80665 m/s²", Origin: source.LookedUp, Source: "NIST SP 811, 2008"}}}
	if m.Rule.ID == bank.OwnLoads {
		w.Inputs[0].Origin = source.Given
	}
	if !math.IsNaN(c.Tips) {
		w.Inputs = append(w.Inputs, working.Input{Name: "height of the middle over the floor", Value: quantity.Format(quantity.Length(g.Middle.Z-g.Box.Min.Z), 3), Origin: source.Computed},
			working.Input{Name: "tips by its weight alone at", Value: gs(c.Tips), Origin: source.Computed, Note: "level distance from the middle to the lower edge over the height"})
	}
	for _, p := range c.Pulls {
		for _, one := range []struct {
			word  string
			force float64
		}{{"pull", p.Pull}, {"shear", p.Shear}, {"push", p.Push}} {
			if one.force > 1e-3 {
				w.Inputs = append(w.Inputs, working.Input{Name: one.word + " of " + p.Hold, Value: newtons(one.force), Origin: source.Computed})
			}
		}
	}
	w.Result = newtons(c.Force) + ", " + HeldWords(c)
	return w
}

// HeldWords says whether a direction is held, and what it would bear.
func HeldWords(c *report.MountCase) string {
	if !c.Held {
		return "not held: the block " + c.How
	}
	if k := c.Weak(); k != nil {
		return fmt.Sprintf("too weak: the %s bears %s of %s", k.Name(), newtons(k.Capacity), newtons(k.Demand))
	}
	switch {
	case math.IsNaN(c.Bears):
		return "held by the floor"
	case math.IsInf(c.Bears, 1):
		if c.Lesser {
			return "held; no part of known strength gives way below 100 g"
		}
		return "held, above 100 g"
	}
	words := "held, up to " + gs(c.Bears)
	if c.Gives != "" {
		words += " (then " + c.Gives + ")"
	}
	if c.Lesser {
		words += "; a part there has no known strength"
	}
	return words
}

func partWorking(r *report.MountRule, p *report.MountPart, n int) working.Working {
	w := working.Working{ID: "mount." + p.Hold + "." + strings.ReplaceAll(p.Part, " ", "-"), What: "margin of the " + p.Name() + ", asked the most " + p.Direction, Source: p.Source, Result: p.MarginWords(),
		Formula: "capacity over demand; capacity is the " + r.Basis + " over the factor",
		Inputs:  []working.Input{{Name: "demand, " + p.Under, Value: newtons(p.Demand), Origin: source.Computed, ID: fmt.Sprintf("mount.%d.%s", n, p.Direction)}, {Name: "factor of the rule", Value: fmt.Sprintf("%g", r.Factor), Origin: source.LookedUp, Source: r.Ref.String()}}}
	if p.Under == "pull and shear" {
		w.Formula += "; in pull and shear together 1/m² = 1/mt² + 1/ms²"
	}
	if !math.IsNaN(p.Capacity) {
		w.Inputs = append(w.Inputs, working.Input{Name: "capacity, by its " + p.Basis, Value: newtons(p.Capacity), Origin: source.Computed, Source: p.Source})
	}
	return w
}

func preloadWorking(p *report.MountPreload) working.Working {
	origin := source.Given
	if p.NutAssumed {
		origin = source.Assumed
	}
	w := working.Working{ID: "mount." + p.Hold + ".preload", What: "pull that the torque gives each rod or bolt of " + p.Hold, Formula: "F = T/(K·D), 35 % more or less", Source: p.Source,
		Inputs: []working.Input{{Name: "T", Value: quantity.Format(quantity.Torque(p.Given), 3), Origin: source.Given}, {Name: "K, " + p.Nut, Value: fmt.Sprintf("%.2f", p.Factor), Origin: origin}},
		Result: fmt.Sprintf("%s, %s to %s", newtons(p.Mean), newtons(p.Least), newtons(p.Most))}
	if !math.IsNaN(p.Proof) {
		w.Inputs = append(w.Inputs, working.Input{Name: "proof load", Value: newtons(p.Proof), Origin: source.Computed}, working.Input{Name: "customary torque, 0.75 of proof", Value: quantity.Format(quantity.Torque(p.Torque), 3), Origin: source.Computed})
	}
	return w
}

func (j *Job) floorWorking(f *report.MountFloor) working.Working {
	b := j.Bank.Battery(f.Battery)
	return working.Working{ID: "mount." + f.Battery + ".floor", What: "mean pressure under " + f.Battery, Formula: "m·g over its base, times the load down", Result: pascals(f.Rest) + " at rest, " + pascals(f.Under) + " at " + gs(f.Multiple),
		Inputs: []working.Input{{Name: "m", Value: quantity.Format(b.Mass, 3), Origin: source.Given}, {Name: "base", Value: j.Bank.Show.FormatLength(quantity.Length(b.Outside.X)) + " by " + j.Bank.Show.FormatLength(quantity.Length(b.Outside.Y)), Origin: source.Given}}}
}

func pascals(v float64) string { return quantity.Format(quantity.Pressure(v), 3) }

func (j *Job) outWorking(o *report.MountOut) working.Working {
	b := j.Bank.Battery(o.Battery)
	show := j.Bank.Show
	w := working.Working{ID: "mount." + o.Battery + ".out", What: "room to take " + o.Battery + " out", Formula: "free height less lip, case and hand", Result: OutWords(show, o),
		Inputs: []working.Input{{Name: "case", Value: show.FormatLength(quantity.Length(b.Outside.Z)), Origin: source.Given}, {Name: "needed with lip and hand", Value: show.FormatLength(quantity.Length(o.Needs)), Origin: source.Computed}}}
	if o.By != "" {
		w.Inputs = append(w.Inputs, working.Input{Name: "free under " + o.By, Value: show.FormatLength(quantity.Length(o.Free)), Origin: source.Computed})
	}
	return w
}

// OutWords says how a battery comes out.
func OutWords(show quantity.Show, o *report.MountOut) string {
	words := "nothing over it"
	if o.By != "" {
		words = fmt.Sprintf("needs %s, %s under %s: ", show.FormatLength(quantity.Length(o.Needs)), show.FormatLength(quantity.Length(o.Free)), o.By)
		if o.Spare < -1e-6 {
			words += show.FormatLength(quantity.Length(-o.Spare)) + " too little"
		} else {
			words += show.FormatLength(quantity.Length(o.Spare)) + " to spare"
		}
	}
	if o.Way != "up" {
		words = "out " + o.Way + ", " + words
		if o.Blocks != nil {
			words += "; in its way: " + strings.Join(o.Blocks, ", ")
		}
	}
	return words
}

func (j *Job) liftWorking(l *report.MountLift) working.Working {
	in := func(name string, v float64, assumed bool) working.Input {
		origin := source.Given
		if assumed {
			origin = source.Assumed
		}
		return working.Input{Name: name, Value: j.Bank.Show.FormatLength(quantity.Length(v)), Origin: origin}
	}
	return working.Working{ID: "mount." + l.Battery + ".lift", What: "lifting " + l.Battery + " by hand", Source: l.Source,
		Formula: "limit = 23 kg·(25 cm/reach)·(1 − 0.003·|height − 75|)·(0.82 + 4.5/travel)·(1 − 0.0032·twist)·grip; index = share of the mass over the limit",
		Inputs: []working.Input{{Name: "mass", Value: kilos(l.Mass), Origin: source.Given}, in("reach", l.Reach, l.ReachAssumed), in("height", l.Height, l.HeightAssumed), in("travel", l.Travel, j.Bank.Mounting.Lifting.Travel.Origin == source.Assumed),
			{Name: "people", Value: fmt.Sprint(l.People), Origin: j.Bank.Mounting.Lifting.People.Origin}, {Name: "limit for one", Value: kilos(l.Limit), Origin: source.Computed}},
		Result: fmt.Sprintf("index %.2f for %d; %s", l.Index, l.People, EnoughWords(l))}
}

// EnoughWords says how many people a lift takes.
func EnoughWords(l *report.MountLift) string {
	switch {
	case l.Enough == 0:
		return "not by hand in this posture"
	case l.Enough == 1:
		return "within the limit for one"
	}
	return fmt.Sprintf("within the limit for %d", l.Enough)
}

func (j *Job) balanceWorking(b *report.MountBalance) working.Working {
	show := j.Bank.Show
	return working.Working{ID: "mount.balance", What: "what the masses do to the vehicle", Formula: "hitch·base = Σ m·g·ahead; the axle bears the rest; its wheels share it by Σ m·g·left over the track (statics)", Result: BalanceWords(b),
		Inputs: []working.Input{{Name: "put in: " + report.NameList(b.Words), Value: kilos(b.Mass), Origin: source.Given}, {Name: "its middle ahead of the axle", Value: show.FormatLength(quantity.Length(b.Ahead)), Origin: source.Computed},
			{Name: "its middle to the left", Value: show.FormatLength(quantity.Length(b.Left)), Origin: source.Computed}}}
}

// BalanceWords says in one line what falls where.
func BalanceWords(b *report.MountBalance) string {
	weight := func(v float64) string { return fmt.Sprintf("%.0f kg", v/holding.Gravity) }
	if math.IsNaN(b.Hitch) {
		return fmt.Sprintf("%s put in; the hitch is not given, so what falls on it is not told", kilos(b.Mass))
	}
	words := fmt.Sprintf("%s onto the hitch, %s onto the axle", weight(b.Hitch), weight(b.Axle))
	if !math.IsNaN(b.LeftWheel) {
		words += fmt.Sprintf(" (left %s, right %s)", weight(b.LeftWheel), weight(b.RightWheel))
	}
	if !math.IsNaN(b.Before) {
		words += fmt.Sprintf("; the hitch's part of the whole goes from %.1f %% to %.1f %%", 100*b.Before, 100*b.After)
	}
	return words
}

// MiddleWords says where the middle of what is put in lies, and how far that of
// the whole moves.
func MiddleWords(show quantity.Show, b *report.MountBalance) string {
	side, left := "left", b.Left
	if left < 0 {
		side, left = "right", -left
	}
	end, ahead := "ahead of", b.Ahead
	if ahead < 0 {
		end, ahead = "behind", -ahead
	}
	words := fmt.Sprintf("what is put in (%s) has its middle %s %s the axle and %s to the %s", kilos(b.Mass), show.FormatLength(quantity.Length(ahead)), end, show.FormatLength(quantity.Length(left)), side)
	if math.IsNaN(b.MiddleAfter) {
		return words
	}
	way, move := "forward", b.MiddleAfter-b.MiddleBefore
	if move < 0 {
		way, move = "back", -move
	}
	to, over := "left", b.Side
	if over < 0 {
		to, over = "right", -over
	}
	return words + fmt.Sprintf("; the middle of the whole moves %s %s and %s to the %s", show.FormatLength(quantity.Length(move)), way, show.FormatLength(quantity.Length(over)), to)
}

// VerdictWords says how a rule comes out.
func VerdictWords(v *report.MountVerdict) string {
	var words string
	switch {
	case !v.Held:
		words = "not held: " + v.How
	case math.IsInf(v.Margin, 1):
		words = "held; no part of known strength bears anything"
	case v.Margin < 1:
		words = fmt.Sprintf("held, but too weak: margin %.2f, %s, %s", v.Margin, v.Part, v.Direction)
	default:
		words = fmt.Sprintf("held, margin %.2f, %s, %s", v.Margin, v.Part, v.Direction)
	}
	if v.Unchecked > 0 {
		words += fmt.Sprintf("; %d parts not checked", v.Unchecked)
	}
	return words
}

// PreloadWords says what a torque does.
func PreloadWords(p *report.MountPreload) string {
	nut := p.Nut
	if p.NutAssumed {
		nut += ", assumed"
	}
	words := fmt.Sprintf("%s: %s (%s) pulls %s in each rod or bolt, %s to %s", p.Hold, quantity.Format(quantity.Torque(p.Given), 3), nut, newtons(p.Mean), newtons(p.Least), newtons(p.Most))
	if !math.IsNaN(p.Proof) {
		words += fmt.Sprintf("; proof is %s, the thread's customary torque %s", newtons(p.Proof), quantity.Format(quantity.Torque(p.Torque), 2))
	}
	if p.Press > 0 {
		words += "; each bar presses the cases with up to " + newtons(p.Press)
	}
	switch {
	case math.IsInf(p.Opens, 1):
		words += "; nothing pulls at it"
	case p.Opens < 1:
		words += "; the joint may open under the largest pull"
	}
	return words
}

// MetalWords says how two metals get on.
func MetalWords(m *report.MountMetals) string {
	words := fmt.Sprintf("%s: %s of %s on %s of %s, %.2f V apart, limit %.2f V (%s, from memory)", m.Hold, m.One, m.MetalOne, m.Other, m.MetalTo, m.Difference, m.Limit, m.Place)
	switch {
	case m.Apart:
		return words + ": kept apart"
	case m.Within:
		return words + ": within"
	}
	return words + ": the " + m.Corrodes + " corrodes"
}

// StrapWords says what a strap lies over.
func StrapWords(s *report.MountStrap) string {
	if s.Over == nil {
		return s.Hold + ": clear of posts and caps"
	}
	return s.Hold + ": over " + strings.Join(s.Over, ", ")
}

// MountByBattery says of each battery how it comes out, is lifted and presses on
// the floor; batteries of which the same is to say stand together.
func MountByBattery(show quantity.Show, m *report.Mount) []string {
	var words []string
	of := map[string][]string{}
	say := func(id, what string) {
		if of[what] == nil {
			words = append(words, what)
		}
		of[what] = append(of[what], id)
	}
	for i := range m.Out {
		say(m.Out[i].Battery, OutWords(show, &m.Out[i]))
	}
	for i := range m.Lifts {
		l := &m.Lifts[i]
		say(l.Battery, fmt.Sprintf("%s to lift, index %.2f with %d; %s", kilos(l.Mass), l.Index, l.People, EnoughWords(l)))
	}
	for _, f := range m.Floors {
		under := pascals(f.Rest) + " on the floor at rest"
		if f.Multiple > 1 {
			under += ", " + pascals(f.Under) + " at " + gs(f.Multiple)
		}
		say(f.Battery, under)
	}
	for i, what := range words {
		words[i] = report.NameList(of[what]) + ": " + what
	}
	return words
}

// MountFindings gives what the rules of the mounting say of it alone, for a job
// whose circuit may not be whole yet.
func (j *Job) MountFindings(m *report.Mount) ([]finding.Finding, []finding.Unchecked) {
	return rules.CheckMount(&report.Report{Bank: j.Bank, Mount: m})
}
