// Package report is everything computed about a job, as plain structs.
// Engines give the parts, assess fills it, paper and web read it. Numbers are
// SI.
package report

import (
	"bankwright/internal/base/source"
	"bankwright/internal/base/working"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
)

// Report is what is known about one job.
type Report struct {
	Bank      *bank.Bank
	Routes    []Route // one a routed cable, in the order of the cables
	Sharing   Sharing // of the case asked for
	Side      *Side   // the whole d.c. side; nil where only a snapshot was asked for
	Heat      *Heat   // how warm it gets; nil where the job says nothing of it, or was not asked
	Mount     *Mount  // how it is held down; nil where the job says nothing of it, or only a snapshot was asked for
	Days      *Days   // the balance of days; nil where the job has no loads of the day
	Findings  []finding.Finding
	Unchecked []finding.Unchecked
	Workings  []working.Working
	Assumed   []Assumption
}

// Assumption is one value that nobody gave, with all the places it is used at.
type Assumption struct {
	What   string // "resistance"
	Value  string // as printed
	Places []string
	Note   string
	Source string
}

// Route is where a cable runs.
type Route struct {
	Cable  string
	Points []bank.Point
	Steps  []Step // how the length came about
	Length float64
	Close  bool // it passes nearer to a case or wall than the clearance asked for
	Tight  bool // a leg is shorter than the bend needs

	Passages []string // the holes it goes through, in order
}

// Step is one part of a length.
type Step struct {
	What   string
	Length float64 // m, may be negative
}

// Sharing is who carries how much in one case.
type Sharing struct {
	Case       bank.Case
	Current    float64 // A at the take-off, positive on draw
	Voltage    float64 // V across the take-off
	Resistance float64 // ohm seen at the take-off with the EMFs fixed
	Batteries  []BatteryShare
	Cables     []Flow
	Parts      []Flow  // two-ended parts and the stretches of bars
	Imbalance  float64 // largest share over all groups less one; NaN where no group carries current
	Loss       float64 // W, in batteries, cables and parts together
	WiringLoss float64 // W, in cables and parts
	Residual   float64 // A, largest node imbalance
	Condition  float64
}

// BatteryShare is one battery's part of it.
type BatteryShare struct {
	ID      string
	Current float64 // A, positive on discharge
	Voltage float64 // V at its posts; NaN where it is off and its posts lie on islands that nothing joins
	Share   float64 // current over capacity, over the same of its group; NaN where that has no meaning
	Heat    float64 // W, current squared times resistance
	Group   int     // batteries between it and the negative take-off; -1 if it is off
	Off     bool
}

// Flow is the current through one cable or part, positive from From to To.
type Flow struct {
	ID         string
	From, To   bank.End
	Current    float64 // A
	Drop       float64 // V(From) - V(To)
	Resistance float64 // ohm
	Heat       float64 // W
}

// Battery gives one battery's share by its ID, nil if it has none.
func (s *Sharing) Battery(id string) *BatteryShare {
	for i := range s.Batteries {
		if s.Batteries[i].ID == id {
			return &s.Batteries[i]
		}
	}
	return nil
}

// Wirings is the answer to the search.
type Wirings struct {
	Case      bank.Case
	Current   float64 // A at the take-off that the imbalance is of
	Strings   []String
	Takeoff   bank.Takeoff
	AnyPost   bool
	Lugs      int
	Lengths   []PairLength
	Unrouted  []Unrouted
	Space     string // decimal, it can pass 2^64
	SpaceNote string
	Examined  string
	Exact     bool
	Solved    uint64 // wirings solved one by one, the rest excluded by the bound
	Smaller   string // what would make a too large question smaller
	Front     []Wiring
	Textbook  []Wiring
	Own       *Wiring  // the job's own cables, where they form a wiring of this question
	OwnNote   string   // why there is none
	OwnAsIs   *Sharing // then: the job as it stands, at the current that is compared; nil: it cannot be solved
	LeftOut   []string // then: its parts that carry that current and that the compared wirings do not have
	Assumed   []Assumption
}

// String is one battery, or the batteries one after the other on one way.
type String struct {
	ID         string // the battery's, or first and last joined by an arrow
	Batteries  []string
	Positive   bank.End
	Negative   bank.End
	EMF        float64 // V
	Resistance float64 // ohm, links and joints included
	Capacity   float64 // C, least of the string
	Off        bool
	Origin     source.Origin // assumed where any of its values is
}

// PairLength is a place for a cable on a rail.
type PairLength struct {
	Rail       string // positive, negative
	From, To   bank.End
	Length     float64
	Resistance float64
	Origin     source.Origin
	Steps      []Step
	Points     []bank.Point
}

// Unrouted is a pair left out of the question.
type Unrouted struct {
	Rail     string
	From, To bank.End
	Why      string
}

// Wiring is one way to wire both rails.
type Wiring struct {
	Name           string // of a textbook arrangement, else ""
	Note           string // why a textbook arrangement is not there, or what to know
	Missing        bool   // the arrangement cannot be built here; Note says why
	Takeoff        bank.Takeoff
	Positive       [][2]bank.End
	Negative       [][2]bank.End
	PositiveFlows  []float64 // A in each of Positive, the sum of the strings beyond it
	NegativeFlows  []float64
	Copper         float64 // m, both rails
	Imbalance      float64
	Ties           int // wirings equal in both, this one included
	Currents       []float64
	Shares         []float64
	TakeoffVoltage float64
	Loss           float64 // W, batteries and wiring
	WiringLoss     float64
	Cables         int
	FullestPost    int      // lugs on it
	FullestAt      bank.End // the post or stud with the most lugs
	Longest        float64  // m
	Distinct       int      // lengths that differ by more than a millimetre
	OneOutShare    float64  // worst share with any one string out, NaN for one string
	OneOutString   int
}
