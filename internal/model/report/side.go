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
	Across    []FaultPoint // by device that draws or charges: a dead short over its own terminals, through its leads out and back
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
	Gives   []float64          // A of each battery, positive on discharge
	Case    bool               // a case of the job, else a state that its devices make
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
	Saves        []string // devices between it and batteries, the nearest to it of each way
	Spares       []string // those between it and charging sources that are none of these
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
	After   []string // devices through which batteries feed it with none between
	Steady  WorstFlow
	Surge   WorstFlow
	Most    float64 // A of a dead short just behind it, its own resistance bridged; NaN
	Least   float64 // A at the far end of the longest conductor it saves; NaN
	LeastAt string
	Volts   float64 // V it has to break
	Fed     []FedShort
	Returns []FedShort // of the return conductors that it saves
}

// FedShort is a dead short at the far end of a conductor that a device saves
// from a battery.
type FedShort struct {
	Cable       string
	End         int     // of the conductor, at which the device's current comes in
	Near        float64 // A through the device in the strongest short at that end; NaN not known
	Most, Least FedAmps
	Of          string // of a return: the first device whose whole current it carries; End is then the one towards the batteries
}

// FedAmps is what flows in such a short, A; NaN not known. Of devices side by
// side each carries less than the conductor.
type FedAmps struct{ Device, Cable float64 }

// LoadPoint is a device that draws, at its terminals.
type LoadPoint struct {
	Part         string
	Open         float64 // V nominal of the batteries that it stands across
	Steady       float64 // V at its terminals with all loads on; NaN not known
	SteadyAmps   float64 // at its lowest working voltage
	SurgeAmps    float64 // at its lowest working voltage, or with the bank empty under load where that is less
	Weak         WeakPoint
	DropFraction float64 // of nominal, along the conductors, all loads on
}

// WeakPoint is a device that draws with the bank as far down as it is used, in
// its surge if it has one, all other loads on.
type WeakPoint struct {
	Charge  float64 // state of charge of the bank
	Assumed bool    // the job gives no floor
	Surge   bool    // it is in its surge
	Amps    float64 // NaN not known or more than the bank can give
	Volts   float64 // V at its terminals, 0 where the bank cannot give its power; NaN not known
	Stops   float64 // state of charge below which it cuts out, 0 none; NaN even full, or no cut-out
}

// FaultPoint is a prospective current.
type FaultPoint struct {
	Place       string
	Most, Least float64 // A
}
