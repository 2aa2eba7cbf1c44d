package main

import (
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// The JSON of mount: SI numbers, null for what is not known or has no bound.

type mountJSON struct {
	Rule       mountRuleJSON       `json:"rule"`
	Groups     []mountGroupJSON    `json:"groups"`
	Loose      []string            `json:"loose"`
	Bare       []string            `json:"bare"`
	Unknown    []mountUnknownJSON  `json:"unknown"`
	Preloads   []mountPreloadJSON  `json:"preloads"`
	Metals     []mountMetalsJSON   `json:"metals"`
	Straps     []mountStrapJSON    `json:"straps"`
	Out        []mountOutJSON      `json:"out"`
	Lifts      []mountLiftJSON     `json:"lifts"`
	Floors     []mountFloorJSON    `json:"floors"`
	Balance    *mountBalanceJSON   `json:"balance"`
	Verdicts   []mountVerdictJSON  `json:"verdicts"`
	Findings   []finding.Finding   `json:"findings"`
	Unchecked  []finding.Unchecked `json:"unchecked"`
	NotChecked []string            `json:"not_checked"`
	Assumed    []string            `json:"assumed"`
}

type mountRuleJSON struct {
	ID      string  `json:"id"`
	Title   string  `json:"title"`
	Forward float64 `json:"forward"`
	Aft     float64 `json:"aft"`
	Side    float64 `json:"side"`
	Up      float64 `json:"up"`
	Down    float64 `json:"down"`
	Basis   string  `json:"basis"`
	Factor  float64 `json:"factor"`
	Assumed bool    `json:"assumed"`
	Source  string  `json:"source"`
}

type mountGroupJSON struct {
	Batteries []string        `json:"batteries"`
	Holds     []string        `json:"hold_downs"`
	Mass      float64         `json:"mass"`
	Middle    [3]float64      `json:"middle"`
	Cases     []mountCaseJSON `json:"directions"`
	Parts     []mountPartJSON `json:"parts"`
	Weakest   *mountPartJSON  `json:"weakest"`
}

type mountCaseJSON struct {
	Direction string          `json:"direction"`
	Multiple  float64         `json:"multiple"`
	Force     float64         `json:"force"`
	Weight    float64         `json:"weight"`
	Friction  float64         `json:"friction"`
	Tips      *float64        `json:"tips"`
	Overturn  *float64        `json:"overturning_moment"`
	Held      bool            `json:"held"`
	How       string          `json:"how,omitempty"`
	Free      float64         `json:"free_force"`
	Turn      float64         `json:"free_moment"`
	Floor     float64         `json:"floor_force"`
	Bears     *float64        `json:"bears"`
	Gives     string          `json:"gives,omitempty"`
	Lesser    bool            `json:"part_unknown"`
	Pulls     []mountPullJSON `json:"reactions"`
}

type mountPullJSON struct {
	Hold  string  `json:"hold"`
	Of    string  `json:"of"`
	Pull  float64 `json:"pull"`
	Shear float64 `json:"shear"`
	Push  float64 `json:"push"`
}

type mountPartJSON struct {
	Hold      string   `json:"hold"`
	Of        string   `json:"of"`
	Part      string   `json:"part"`
	Direction string   `json:"direction"`
	Under     string   `json:"under"`
	Demand    float64  `json:"demand"`
	Capacity  *float64 `json:"capacity"`
	Margin    *float64 `json:"margin"`
	Basis     string   `json:"basis,omitempty"`
	Why       string   `json:"why,omitempty"`
	Source    string   `json:"source,omitempty"`
}

type mountUnknownJSON struct {
	ID  string `json:"id"`
	Why string `json:"why"`
}

type mountPreloadJSON struct {
	Hold    string   `json:"hold"`
	Torque  float64  `json:"torque"`
	Factor  float64  `json:"nut_factor"`
	Assumed bool     `json:"nut_assumed"`
	Mean    float64  `json:"mean"`
	Least   float64  `json:"least"`
	Most    float64  `json:"most"`
	Proof   *float64 `json:"proof"`
	Usual   *float64 `json:"customary_torque"`
	Bar     *float64 `json:"bar_margin"`
	Press   float64  `json:"press"`
	Opens   *float64 `json:"opening_margin"`
	Source  string   `json:"source"`
}

type mountMetalsJSON struct {
	Hold       string   `json:"hold"`
	Parts      []string `json:"parts"`
	Metals     []string `json:"metals"`
	Difference float64  `json:"difference"`
	Limit      float64  `json:"limit"`
	Corrodes   string   `json:"corrodes"`
	Apart      bool     `json:"isolated"`
	Within     bool     `json:"within"`
	Place      string   `json:"surroundings"`
	Source     string   `json:"source"`
}

type mountStrapJSON struct {
	Hold  string     `json:"hold"`
	Over  []string   `json:"over"`
	Moved bool       `json:"clear_beside"`
	Shift [2]float64 `json:"shift"`
}

type mountOutJSON struct {
	Battery string   `json:"battery"`
	Way     string   `json:"way"`
	Needs   float64  `json:"needs"`
	Free    *float64 `json:"free"`
	Spare   *float64 `json:"spare"`
	By      string   `json:"by,omitempty"`
	Blocks  []string `json:"blocks"`
}

type mountLiftJSON struct {
	Battery string   `json:"battery"`
	Mass    float64  `json:"mass"`
	Limit   float64  `json:"limit"`
	Index   *float64 `json:"index"`
	People  int      `json:"people"`
	Enough  int      `json:"people_within"`
	Source  string   `json:"source"`
}

type mountFloorJSON struct {
	Battery  string  `json:"battery"`
	Rest     float64 `json:"rest"`
	Under    float64 `json:"under_load"`
	Multiple float64 `json:"multiple"`
}

type mountBalanceJSON struct {
	Mass       float64  `json:"mass"`
	Ahead      float64  `json:"ahead"`
	Left       float64  `json:"left"`
	Hitch      *float64 `json:"hitch"`
	Axle       *float64 `json:"axle"`
	LeftWheel  *float64 `json:"left_wheel"`
	RightWheel *float64 `json:"right_wheel"`
	Before     *float64 `json:"hitch_part_before"`
	After      *float64 `json:"hitch_part_after"`
}

type mountVerdictJSON struct {
	Rule      string   `json:"rule"`
	Held      bool     `json:"held"`
	How       string   `json:"how,omitempty"`
	Margin    *float64 `json:"margin"`
	Part      string   `json:"part,omitempty"`
	Direction string   `json:"direction,omitempty"`
	Unchecked int      `json:"unchecked"`
}

func xyz(p bank.Point) [3]float64 { return [3]float64{p.X, p.Y, p.Z} }

func mountJSONOf(m *report.Mount, found []finding.Finding, unchecked []finding.Unchecked) mountJSON {
	r := &m.Rule
	out := mountJSON{Rule: mountRuleJSON{r.ID, r.Title, r.Forward, r.Aft, r.Side, r.Up, r.Down, r.Basis, r.Factor, r.Assumed, r.Ref.String()},
		Groups: []mountGroupJSON{}, Loose: orNone(m.Loose), Bare: []string{}, Unknown: []mountUnknownJSON{}, Preloads: []mountPreloadJSON{}, Metals: []mountMetalsJSON{}, Straps: []mountStrapJSON{},
		Out: []mountOutJSON{}, Lifts: []mountLiftJSON{}, Floors: []mountFloorJSON{}, Verdicts: []mountVerdictJSON{}, Findings: append([]finding.Finding{}, found...), Unchecked: append([]finding.Unchecked{}, unchecked...), NotChecked: orNone(m.NotChecked), Assumed: []string{}}
	for i := range m.Groups {
		out.Groups = append(out.Groups, mountGroupJSONOf(&m.Groups[i]))
	}
	for _, b := range m.Bare {
		out.Bare = append(out.Bare, b.Battery)
	}
	for _, u := range m.Unknown {
		out.Unknown = append(out.Unknown, mountUnknownJSON{u.ID, u.Why})
	}
	for _, p := range m.Preloads {
		out.Preloads = append(out.Preloads, mountPreloadJSON{p.Hold, p.Given, p.Factor, p.NutAssumed, p.Mean, p.Least, p.Most, orNull(p.Proof), orNull(p.Torque), orNull(p.Bar), p.Press, orNull(p.Opens), p.Source})
	}
	for _, p := range m.Metals {
		out.Metals = append(out.Metals, mountMetalsJSON{p.Hold, []string{p.One, p.Other}, []string{p.MetalOne, p.MetalTo}, p.Difference, p.Limit, p.Corrodes, p.Apart, p.Within, p.Place, p.Ref.String()})
	}
	for _, s := range m.Straps {
		out.Straps = append(out.Straps, mountStrapJSON{s.Hold, orNone(s.Over), s.Moved || s.Over == nil, [2]float64{s.Shift.X, s.Shift.Y}})
	}
	mountRest(&out, m)
	return out
}

// mountRest fills what goes by battery, the balance and the rules.
func mountRest(out *mountJSON, m *report.Mount) {
	for _, o := range m.Out {
		out.Out = append(out.Out, mountOutJSON{o.Battery, o.Way, o.Needs, orNull(o.Free), orNull(o.Spare), o.By, orNone(o.Blocks)})
	}
	for _, l := range m.Lifts {
		out.Lifts = append(out.Lifts, mountLiftJSON{l.Battery, l.Mass, l.Limit, orNull(l.Index), l.People, l.Enough, l.Source})
	}
	for _, f := range m.Floors {
		out.Floors = append(out.Floors, mountFloorJSON{f.Battery, f.Rest, f.Under, f.Multiple})
	}
	if b := m.Balance; b != nil {
		out.Balance = &mountBalanceJSON{b.Mass, b.Ahead, b.Left, orNull(b.Hitch), orNull(b.Axle), orNull(b.LeftWheel), orNull(b.RightWheel), orNull(b.Before), orNull(b.After)}
	}
	for _, v := range m.Verdicts {
		out.Verdicts = append(out.Verdicts, mountVerdictJSON{v.ID, v.Held, v.How, orNull(v.Margin), v.Part, v.Direction, v.Unchecked})
	}
	for _, a := range m.Assumed {
		out.Assumed = append(out.Assumed, a.What)
	}
}

func orNone(list []string) []string { return append([]string{}, list...) }

func mountGroupJSONOf(g *report.MountGroup) mountGroupJSON {
	out := mountGroupJSON{Batteries: orNone(g.Batteries), Holds: orNone(g.Holds), Mass: g.Mass, Middle: xyz(g.Middle), Cases: []mountCaseJSON{}, Parts: []mountPartJSON{}}
	for i := range g.Cases {
		c := &g.Cases[i]
		one := mountCaseJSON{c.Direction, c.Multiple, c.Force, c.Weight, c.Friction, orNull(c.Tips), orNull(c.Overturn), c.Held, c.How, c.Free, c.Turn, c.Floor, orNull(c.Bears), c.Gives, c.Lesser, []mountPullJSON{}}
		for _, p := range c.Pulls {
			one.Pulls = append(one.Pulls, mountPullJSON{p.Hold, p.Of, p.Pull, p.Shear, p.Push})
		}
		out.Cases = append(out.Cases, one)
	}
	part := func(p *report.MountPart) mountPartJSON {
		return mountPartJSON{p.Hold, p.Of, p.Part, p.Direction, p.Under, p.Demand, orNull(p.Capacity), orNull(p.Margin), p.Basis, p.Why, p.Source}
	}
	for i := range g.Parts {
		out.Parts = append(out.Parts, part(&g.Parts[i]))
	}
	if p := g.Weakest(); p != nil {
		one := part(p)
		out.Weakest = &one
	}
	return out
}
