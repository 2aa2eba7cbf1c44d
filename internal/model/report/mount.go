package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
)

// Mount is how a bank is held down against one rule, how its batteries come out
// and are lifted, and what they do to the vehicle's balance. Forces are in N,
// multiples are of the weight, a margin is capacity over demand: +Inf where
// nothing is asked, NaN where a strength is not known.
type Mount struct {
	Rule       MountRule
	Ahead      bank.Point
	Groups     []MountGroup
	Loose      []string       // batteries that no hold-down holds
	Bare       []MountBare    // batteries that what should hold them down does not touch
	Unknown    []MountUnknown // what could not be looked at
	Preloads   []MountPreload
	Metals     []MountMetals
	Straps     []MountStrap
	Out        []MountOut
	Lifts      []MountLift
	Floors     []MountFloor
	Balance    *MountBalance // nil: the job gives no vehicle
	Verdicts   []MountVerdict
	NotChecked []string
	Assumed    []Assumption
}

// MountRule is whose loads are asked.
type MountRule struct {
	ID, Title, Basis, Note       string
	Forward, Aft, Side, Up, Down float64
	Beyond                       bool // up comes on top of the weight
	Factor                       float64
	Ref                          source.Ref
	Assumed                      bool
}

// MountUnknown is a battery or hold-down that could not be looked at.
type MountUnknown struct{ ID, Why string }

// MountBare is a battery that hold-downs are said to hold from above, but none of
// which lies on it.
type MountBare struct {
	Battery string
	Holds   []string
}

// MountGroup is batteries that are held as one block.
type MountGroup struct {
	Batteries []string
	Holds     []string // the job's hold-downs
	Mass      float64
	Middle    bank.Point
	Box       bank.Box
	Cases     []MountCase
	Parts     []MountPart // each where it is asked the most
}

// MountCase is one direction. Tips is the multiple at which the block tips with
// nothing but its weight; NaN up and down. Bears is the greatest multiple that
// all holds, +Inf above a hundred, NaN down; Gives is what gives way then.
// Lesser says that a part there has no known strength.
type MountCase struct {
	Direction                       string
	Toward                          bank.Point
	Multiple, Force, Weight         float64
	Friction, Tips, Overturn, Floor float64
	Held                            bool
	How                             string // slides, lifts, tips or turns
	Free, Turn                      float64
	Pulls                           []MountPull
	Checks                          []MountCheck
	Bears                           float64
	Gives                           string
	Lesser                          bool
}

// MountPull is what one rod, bolt, leg or stop carries, at its place.
type MountPull struct {
	Hold, Of          string // "K1.2" of "K1"
	At                bank.Point
	Pull, Shear, Push float64
}

// MountCheck is one part against what it feels in one direction.
type MountCheck struct {
	Hold, Of, Part, Under    string
	Demand, Capacity, Margin float64
	Basis, Why, Source       string
}

// MountPart is a part in the direction in which it is asked the most.
type MountPart struct {
	MountCheck
	Direction string
}

// Name names a part with its place, as in "rod of K1.2".
func (c *MountCheck) Name() string { return c.Part + " of " + c.Hold }

// Weakest gives the part with the least known margin that bears something, nil
// where there is none.
func (g *MountGroup) Weakest() *MountPart {
	var least *MountPart
	for i := range g.Parts {
		p := &g.Parts[i]
		if !math.IsNaN(p.Margin) && !math.IsInf(p.Margin, 1) && (least == nil || p.Margin < least.Margin) {
			least = p
		}
	}
	return least
}

// Held reports whether every direction is held.
func (g *MountGroup) Held() bool {
	for i := range g.Cases {
		if !g.Cases[i].Held {
			return false
		}
	}
	return true
}

// Name names the block by its batteries.
func (g *MountGroup) Name() string { return NameList(g.Batteries) }

// NameList names several things for a sentence, the first and the last of many.
func NameList(ids []string) string {
	const most = 8
	if n := len(ids); n > most {
		return fmt.Sprintf("%s, … %s (%d)", strings.Join(ids[:3], ", "), ids[n-1], n)
	}
	return strings.Join(ids, ", ")
}

// Case gives the case of a direction, nil where the rule does not ask it.
func (g *MountGroup) Case(direction string) *MountCase {
	for i := range g.Cases {
		if g.Cases[i].Direction == direction {
			return &g.Cases[i]
		}
	}
	return nil
}

// MountPreload is what a torque does: the pull in each rod or bolt, how far it
// may lie off, and what that is of proof. Proof, Torque (the customary one) and
// Bar (the bar's margin at the most of it) are NaN where not known; Opens is the
// margin against the joint opening under the largest pull.
type MountPreload struct {
	Hold              string
	Given, Factor     float64 // N·m, nut factor
	Nut               string
	NutAssumed        bool
	Mean, Least, Most float64
	Proof             float64 // N
	Torque            float64
	Bar               float64
	Press             float64 // N that a bar presses on the cases; 0 no bar
	Opens             float64
	Source            string
}

// MountMetals is two metals that touch.
type MountMetals struct {
	Hold, One, Other  string // "rod", "bar"
	MetalOne, MetalTo string
	Difference, Limit float64 // V
	Corrodes          string  // the metal
	Fastener          bool    // it is the fastener that corrodes, the worse way round
	Apart, Within     bool    // kept apart; within the limit
	Place             string
	Ref               source.Ref
}

// MountStrap is the way of one strap over the cases, and what it covers. Shift
// is how it could be moved to cover nothing; Moved is false where no way was
// found, or none is needed.
type MountStrap struct {
	Hold, Of string
	From, To bank.Point // where it leaves the cases
	Anchors  [2]bank.Point
	Width    float64
	Over     []string // "B1+", "cap 2 of B1"
	Shift    bank.Point
	Moved    bool
}

// MountOut is how one battery comes out. Free is +Inf where nothing stands over
// it.
type MountOut struct {
	Battery, Way       string
	Needs, Free, Spare float64 // m, from the floor it stands on
	By                 string  // what bounds it
	Blocks             []string
}

// MountLift is one battery lifted by hand.
type MountLift struct {
	Battery                     string
	Mass, Limit, Index          float64
	People, Enough              int // who lift; how many would be within the limit
	Reach, Height, Travel       float64
	ReachAssumed, HeightAssumed bool
	Source                      string
}

// MountFloor is the pressure under one battery, Pa, at rest and at the load down.
type MountFloor struct {
	Battery     string
	Rest, Under float64
	Multiple    float64
}

// MountBalance is what the masses change, N: positive onto the hitch and axle.
// What needs a distance nobody gave is NaN. Before and After are the hitch's part
// of the whole weight, NaN where the vehicle's own mass is not given.
type MountBalance struct {
	Mass                  float64 // kg put in
	Ahead, Left           float64 // m, its middle ahead of the axle and left of it
	Hitch, Axle           float64
	LeftWheel, RightWheel float64
	Before, After         float64
	MiddleBefore          float64 // m ahead of the axle, of the whole
	MiddleAfter           float64
	Side                  float64  // m, how far the whole's middle moves to the left
	Words                 []string // what is in it
}

// MountVerdict is how one rule comes out.
type MountVerdict struct {
	ID, Title string
	Held      bool
	How       string // where not held
	Margin    float64
	Part      string
	Direction string
	Unchecked int
}

// MarginWords prints a margin: how many times as much as is asked.
func (c *MountCheck) MarginWords() string {
	switch {
	case math.IsNaN(c.Margin):
		return "not checked: " + c.Why
	case math.IsInf(c.Margin, 1):
		return "bears nothing"
	case c.Margin >= 100:
		return "over 100 times"
	}
	return fmt.Sprintf("%.2f times", c.Margin)
}

// Worst gives of each kind of part of each of the job's hold-downs the one that
// is the worst off: one of unknown strength before any other, of those the one
// that is asked the most.
func (g *MountGroup) Worst() []MountPart {
	var all []MountPart
	for i := range g.Parts {
		p := &g.Parts[i]
		n := slices.IndexFunc(all, func(q MountPart) bool { return q.Of == p.Of && q.Part == p.Part })
		switch {
		case n < 0:
			all = append(all, *p)
		case Worse(&p.MountCheck, &all[n].MountCheck):
			all[n] = *p
		}
	}
	return all
}

// Worse reports whether a part is worse off than another of its kind.
func Worse(a, b *MountCheck) bool {
	if math.IsNaN(a.Margin) || math.IsNaN(b.Margin) {
		return math.IsNaN(a.Margin) && (!math.IsNaN(b.Margin) || a.Demand > b.Demand)
	}
	return a.Margin < b.Margin
}

// Weak gives the part past its strength in a direction, the worst of them; nil
// where there is none.
func (c *MountCase) Weak() *MountCheck {
	var least *MountCheck
	for i := range c.Checks {
		if k := &c.Checks[i]; k.Margin < 1 && (least == nil || k.Margin < least.Margin) {
			least = k
		}
	}
	return least
}
