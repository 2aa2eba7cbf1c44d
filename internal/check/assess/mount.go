package assess

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/source"
	"bankwright/internal/engine/holding"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// MountAsks says what a job has to give for its holding down to be looked at.
const MountAsks = "the job says nothing of how its batteries are held down: give mounting with forward and hold_downs, and the batteries' mass, size and at"

// Mount computes how the bank is held down against the job's own rule, or
// against the one named. It is nil where the job says nothing of it. The error
// names a rule that is not known.
func (j *Job) Mount(rule string) (*report.Mount, error) {
	m := j.Bank.Mounting
	if m == nil {
		return nil, nil
	}
	asked, assumed, err := mountRule(m, rule)
	if err != nil {
		return nil, err
	}
	k := &mounter{job: j, m: m, rule: asked, out: &report.Mount{Ahead: m.Ahead}}
	k.out.Rule = ruleOf(&asked)
	k.out.Rule.Assumed = assumed
	k.bodies()
	k.groups()
	for i := range k.blocks {
		k.block(&k.blocks[i])
	}
	k.bare()
	k.verdicts()
	k.preloads()
	k.metals()
	k.straps()
	k.ways()
	k.lifts()
	k.floors()
	k.balance()
	k.notChecked()
	k.assume()
	return k.out, nil
}

// mounter is a mounting in the making.
type mounter struct {
	job    *Job
	m      *bank.Mounting
	rule   holding.Rule
	out    *report.Mount
	body   map[string]*holding.Body // of the batteries that have mass, size and place
	blocks []block
}

// block is one group with what the engine knows of it.
type block struct {
	group holding.Group
	of    map[string]string     // the job's hold-down of each of the engine's
	at    map[string]bank.Point // where it stands
	trays []tray
	in    report.MountGroup
}

// mountRule gives the rule that is asked.
func mountRule(m *bank.Mounting, name string) (r holding.Rule, assumed bool, err error) {
	if name == "" {
		name, assumed = m.Rule.V, m.Rule.Origin == source.Assumed
	}
	if name == bank.OwnLoads && m.Rule.V == bank.OwnLoads {
		l := &m.Loads
		basis := map[string]holding.Basis{"working": holding.AtWorking, "yield": holding.AtYield, "breaking": holding.AtBreak}[l.Against]
		return holding.Rule{ID: bank.OwnLoads, Title: "loads of the job's own", Forward: l.Forward, Aft: l.Aft, Side: l.Side, Up: l.Up, Down: l.Down, Basis: basis, Factor: l.Factor,
			Ref: source.Ref{Title: "loads given in the job", How: source.Practice}}, false, nil
	}
	if r, ok := holding.FindRule(name); ok {
		return r, assumed, nil
	}
	return r, false, fmt.Errorf("there is no rule %q; there are %s", name, strings.Join(MountRules(), ", "))
}

// MountRules lists the rules that holding down may be held against.
func MountRules() []string {
	var ids []string
	for _, r := range holding.Rules() {
		ids = append(ids, r.ID)
	}
	return ids
}

func ruleOf(r *holding.Rule) report.MountRule {
	ref := r.Ref
	if r.ID == bank.OwnLoads {
		ref = source.Ref{Title: ref.Title} // given, not a practice
	}
	return report.MountRule{ID: r.ID, Title: r.Title, Basis: string(r.Basis), Note: r.Note, Forward: r.Forward, Aft: r.Aft, Side: r.Side, Up: r.Up, Down: r.Down, Beyond: r.Beyond, Factor: r.Factor, Ref: ref}
}

// bodies takes the batteries that can be looked at, and says what the others
// lack.
func (k *mounter) bodies() {
	k.body = map[string]*holding.Body{}
	for i := range k.job.Bank.Batteries {
		b := &k.job.Bank.Batteries[i]
		var lacks []string
		if !(b.Mass > 0) {
			lacks = append(lacks, "its mass")
		}
		if b.Outside == (bank.Point{}) {
			lacks = append(lacks, "its size")
		} else if !b.Placed {
			lacks = append(lacks, "its place (at)")
		}
		if lacks != nil {
			k.out.Unknown = append(k.out.Unknown, report.MountUnknown{ID: b.ID, Why: "the job does not give " + strings.Join(lacks, " and ")})
			continue
		}
		box := b.Body.Box()
		k.body[b.ID] = &holding.Body{ID: b.ID, Mass: float64(b.Mass), Min: vec(box.Min), Max: vec(box.Max)}
	}
}

func vec(p bank.Point) holding.Vec   { return holding.Vec{X: p.X, Y: p.Y, Z: p.Z} }
func point(v holding.Vec) bank.Point { return bank.Point{X: v.X, Y: v.Y, Z: v.Z} }

// groups parts the batteries into blocks: those that share hold-downs move as
// one.
func (k *mounter) groups() {
	root := map[string]string{}
	var find func(id string) string
	find = func(id string) string {
		if up, ok := root[id]; ok && up != id {
			return find(up)
		}
		return id
	}
	held := map[string]bool{}
	for i := range k.m.HoldDowns {
		first := k.m.HoldDowns[i].Holds[0]
		for _, id := range k.m.HoldDowns[i].Holds {
			held[id] = true
			if a, b := find(first), find(id); a != b {
				root[b] = a
			}
		}
	}
	at := map[string]int{}
	for i := range k.job.Bank.Batteries {
		id := k.job.Bank.Batteries[i].ID
		if !held[id] {
			k.out.Loose = append(k.out.Loose, id)
			continue
		}
		n, ok := at[find(id)]
		if !ok {
			n = len(k.blocks)
			at[find(id)] = n
			k.blocks = append(k.blocks, block{of: map[string]string{}, at: map[string]bank.Point{}})
		}
		k.blocks[n].in.Batteries = append(k.blocks[n].in.Batteries, id)
	}
	for i := range k.m.HoldDowns {
		h := &k.m.HoldDowns[i]
		b := &k.blocks[at[find(h.Holds[0])]]
		b.in.Holds = append(b.in.Holds, h.ID)
	}
}

// block works one block out; one of which a battery is not known is left out,
// and said.
func (k *mounter) block(b *block) {
	for _, id := range b.in.Batteries {
		body := k.body[id]
		if body == nil {
			for _, h := range b.in.Holds {
				k.out.Unknown = append(k.out.Unknown, report.MountUnknown{ID: h, Why: "what it holds is not known: see " + id})
			}
			return
		}
		b.group.Bodies = append(b.group.Bodies, *body)
	}
	b.group.Ahead = vec(k.m.Ahead)
	b.group.Friction = k.m.Friction
	for _, id := range b.in.Holds {
		k.hold(b, k.m.HoldDown(id))
	}
	if b.group.Friction > 0 {
		b.group.Clamp = k.clamp(b)
	}
	b.in.Mass, b.in.Middle, b.in.Box = b.group.Mass(), point(b.group.Middle()), k.boxOf(b.in.Batteries)
	r, err := holding.Solve(&b.group, k.rule)
	if err != nil {
		k.out.Unknown = append(k.out.Unknown, report.MountUnknown{ID: b.in.Batteries[0], Why: err.Error()})
		return
	}
	for i := range r.Cases {
		b.in.Cases = append(b.in.Cases, k.caseOf(b, &r.Cases[i]))
	}
	b.in.Parts = worstParts(b.in.Cases)
	k.out.Groups = append(k.out.Groups, b.in)
}

// boxOf gives the box round some batteries.
func (k *mounter) boxOf(ids []string) bank.Box {
	inf := math.Inf(1)
	all := bank.Box{Min: bank.Point{X: inf, Y: inf, Z: inf}, Max: bank.Point{X: -inf, Y: -inf, Z: -inf}}
	for _, id := range ids {
		b := k.body[id]
		if b == nil {
			continue
		}
		all.Min = bank.Point{X: min(all.Min.X, b.Min.X), Y: min(all.Min.Y, b.Min.Y), Z: min(all.Min.Z, b.Min.Z)}
		all.Max = bank.Point{X: max(all.Max.X, b.Max.X), Y: max(all.Max.Y, b.Max.Y), Z: max(all.Max.Z, b.Max.Z)}
	}
	return all
}

// caseOf turns the engine's case into the report's.
func (k *mounter) caseOf(b *block, c *holding.Case) report.MountCase {
	one := report.MountCase{Direction: string(c.Direction), Toward: point(b.group.Toward(c.Direction)), Multiple: c.Multiple, Force: c.Force, Weight: c.Weight, Friction: c.Friction,
		Tips: c.Tips, Overturn: c.Overturn, Floor: c.Floor, Held: c.Held, How: c.How, Free: c.Free, Turn: c.Turn}
	for _, r := range c.Reactions {
		one.Pulls = append(one.Pulls, report.MountPull{Hold: r.Hold, Of: b.of[r.Hold], At: b.at[r.Hold], Pull: felt(r.Pull), Shear: felt(r.Shear), Push: felt(r.Push)})
	}
	for _, x := range c.Checks {
		one.Checks = append(one.Checks, report.MountCheck{Hold: x.Hold, Of: b.of[x.Hold], Part: x.Part, Under: string(x.Under), Demand: felt(x.Demand), Capacity: x.Capacity, Margin: x.Margin, Basis: string(x.At), Why: x.Why, Source: b.source(x.Hold, x.Part)})
	}
	for i := range b.trays {
		one.Checks = append(one.Checks, b.trays[i].check(c, &k.rule)...)
	}
	if e, err := holding.Endure(&b.group, k.rule, c.Direction); err == nil {
		one.Bears, one.Gives, one.Lesser = e.Multiple, e.How, e.Unchecked
		if e.Part != "" {
			one.Gives = e.Part + " of " + e.Hold
		}
	}
	return one
}

// felt is a force, or nil where it is only what rounding leaves: below what the
// engine takes for a load.
func felt(v float64) float64 {
	if math.IsInf(holding.Margin(1, v), 1) {
		return 0
	}
	return v
}

// source gives where a part's strength comes from.
func (b *block) source(hold, part string) string {
	for i := range b.group.Holds {
		if b.group.Holds[i].ID != hold {
			continue
		}
		for _, p := range b.group.Holds[i].Parts {
			if p.Name == part {
				return refWords(p.Strength.Ref)
			}
		}
	}
	return ""
}

// worstParts gives each part in the direction in which its margin is least; one
// that bears a load and has no known strength in the direction of the largest.
func worstParts(cases []report.MountCase) []report.MountPart {
	var all []report.MountPart
	for i := range cases {
		for _, c := range cases[i].Checks {
			n := slices.IndexFunc(all, func(p report.MountPart) bool { return p.Hold == c.Hold && p.Part == c.Part })
			if n < 0 {
				all = append(all, report.MountPart{MountCheck: c, Direction: cases[i].Direction})
				continue
			}
			if old := &all[n]; report.Worse(&c, &old.MountCheck) {
				*old = report.MountPart{MountCheck: c, Direction: cases[i].Direction}
			}
		}
	}
	return all
}

// verdicts holds every block against every rule known, and the job's own.
func (k *mounter) verdicts() {
	if len(k.out.Groups) == 0 {
		return
	}
	rules := holding.Rules()
	if k.rule.ID == bank.OwnLoads {
		rules = append([]holding.Rule{k.rule}, rules...)
	}
	for _, r := range rules {
		v := report.MountVerdict{ID: r.ID, Title: r.Title, Held: len(k.out.Loose) == 0, Margin: math.Inf(1)}
		if !v.Held {
			v.How = "nothing holds " + strings.Join(k.out.Loose, ", ")
		}
		for i := range k.blocks {
			k.verdict(&v, &k.blocks[i], r)
		}
		k.out.Verdicts = append(k.out.Verdicts, v)
	}
}

func (k *mounter) verdict(v *report.MountVerdict, b *block, r holding.Rule) {
	if b.in.Cases == nil {
		return
	}
	res, err := holding.Solve(&b.group, r)
	if err != nil {
		return // the same block was solved before: only its rule differs, and those are right
	}
	unknown := map[string]bool{}
	for i := range res.Cases {
		c := &res.Cases[i]
		if !c.Held && v.How == "" {
			v.Held, v.How = false, c.How+" "+string(c.Direction)
		}
		checks := c.Checks
		for n := range b.trays {
			for _, x := range b.trays[n].check(c, &r) {
				checks = append(checks, holding.Check{Hold: x.Hold, Part: x.Part, Margin: x.Margin})
			}
		}
		for _, x := range checks {
			if math.IsNaN(x.Margin) {
				unknown[x.Part+" of "+x.Hold] = true
			}
			if x.Margin < v.Margin {
				v.Margin, v.Part, v.Direction = x.Margin, x.Part+" of "+x.Hold, string(c.Direction)
			}
		}
	}
	v.Unchecked += len(unknown)
}
