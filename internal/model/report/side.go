package report

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

// Side is the whole d.c. side of a job: every conductor and device against
// load, surge, fault and the rules of a book.
type Side struct {
	Nominal   float64 // V of the system
	Highest   float64 // V it may reach: the most of the sources, else the open-circuit voltage when full
	Scenarios []Scenario
	Lines     []Line  // in the order of the cables
	Guards    []Guard // fuses and breakers, in the order of the parts
	Loads     []LoadPoint
	Points    []FaultPoint
	Into      []FaultPoint // by battery: what the others push into a short across it
	IntoFlows [][]float64  // A by battery and cable, in the strongest of those
	Leads     []InLead     // by battery and lead: what the others push through it
	Hazards   []Hazard
	Charges   []Charge // each charging source alone, then all together
}

// Scenario is one state of the d.c. side that conductors are held against.
type Scenario struct {
	Name    string  // in words
	Seconds float64 // how long it lasts at most; +Inf: without end
	Assumed bool
	Cables  []float64 // A, by cable
	Parts   map[string]float64
	Volts   map[string]float64 // V at the terminals of each device that draws in it
}

// Flow of a scenario that is the worst for something.
type WorstFlow struct {
	Amps    float64
	Seconds float64
	In      string // the scenario's name
	Assumed bool
}

// TableRow is a conductor against one published table.
type TableRow struct {
	Title   string
	Ref     source.Ref
	Base    float64 // A printed
	Factors []NamedFactor
	Amps    float64 // after them
	Memory  bool    // something in it is from memory
	Governs bool    // of the book that the job is compared with
}

// NamedFactor corrects a table's row.
type NamedFactor struct {
	Name  string
	Value float64
	Ref   source.Ref
}

// Line is one cable of the d.c. side.
type Line struct {
	Cable        string
	Index        int // of the bank's cables
	Side         string
	Both         bool     // live from both ends
	Bare         bool     // some source reaches it through no protective device
	BareFrom     string   // that source, the nearest
	BareLength   float64  // m of cable from that source to the far end of this one, along the conductor; NaN not known
	Saves        []string // devices between it and sources
	Steady       WorstFlow
	Surge        WorstFlow
	Tables       []TableRow
	NoTable      string  // why the book has no row for it; "" it has
	Physics      float64 // A that warm it to its insulation's limit; NaN not known
	Warm         float64 // K at the steady current; NaN
	Ambient      float64 // K round it
	Insulation   quantity.Temperature
	Withstand    float64 // A²s of the copper from its limit; NaN
	WithstandRef source.Ref
	Most, Least  float64                    // A: dead shorts at its far end from the bank; NaN
	Outside      float64                    // m; NaN
	Holds        func(amps float64) float64 // s until it passes its limit from ambient at steady load; nil not known
	Assumed      []string
	Ways         []FeedWay
}

// FeedWay is one way from a source into a conductor.
type FeedWay struct {
	Source   string
	Battery  bool   // the source is a battery, else a charging device
	Device   string // protective device the nearest to the conductor; "" none
	Switched bool   // a switch or contactor stands on it
}

// Governing gives the row of the job's book, nil if it has none.
func (l *Line) Governing() *TableRow {
	for i := range l.Tables {
		if l.Tables[i].Governs {
			return &l.Tables[i]
		}
	}
	return nil
}

// Guard is one fuse or breaker.
type Guard struct {
	Part    string
	Index   int // of the bank's parts
	First   bool
	Before  float64 // m of unprotected cable before it; NaN
	Sheath  bool
	Switch  bool
	Far     bool // live from both sides
	Feeds   []string
	Steady  WorstFlow
	Surge   WorstFlow
	Most    float64 // A of a dead short just behind it; NaN
	Least   float64 // A at the far end of the longest conductor it saves; NaN
	LeastAt string
	Volts   float64 // V it has to break
	Fed     []FedShort
}

// FedShort is a dead short at the far end of a conductor that a device saves
// from a battery.
type FedShort struct {
	Cable       string
	End         int     // of the conductor, at which the device's current comes in
	Near        float64 // A through the device in the strongest short at that end; NaN not known
	Most, Least FedAmps
}

// FedAmps is what flows in such a short, A; NaN not known. Of devices side by
// side each carries less than the conductor.
type FedAmps struct{ Device, Cable float64 }

// LoadPoint is a device that draws, at its terminals.
type LoadPoint struct {
	Part         string
	Open         float64 // V of the bank without load
	Steady       float64 // V at its terminals with all loads on; NaN not known
	Surge        float64 // V in its own surge; NaN
	SteadyAmps   float64
	SurgeAmps    float64
	DropFraction float64 // of nominal, along the conductors, all loads on
}

// FaultPoint is a prospective current.
type FaultPoint struct {
	Place       string
	Most, Least float64 // A
}
