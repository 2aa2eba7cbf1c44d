package report

import "bankwright/internal/model/bank"

// What an event is. Others than these do not occur.
const (
	Empty           = "empty"            // state of charge 0, floor or under-voltage, whichever came first
	Full            = "full"             // state of charge 100 %
	TripCurrent     = "trip_current"     // its own over-current
	TripVoltage     = "trip_voltage"     // over-voltage
	TripTemperature = "trip_temperature" // too hot, or too cold
	Reconnect       = "reconnect"        // closed again
)

// Run is a bank through time. Series have one value for each of Time; at an
// event they hold what stood just before it.
type Run struct {
	ID        string // of the case or the sequence
	Steps     []RunStep
	Every     float64 // s between samples
	Time      []float64
	Current   []float64 // A at the take-off, positive on draw
	Voltage   []float64 // V at the take-off
	Batteries []BatteryRun
	Events    []Event

	FirstOut  float64 // C delivered at the take-off until the first battery went out on draw; NaN: none did
	BankOut   float64 // C delivered until the bank could not carry the draw; NaN: it could
	FirstOutJ float64 // J
	BankOutJ  float64
	Delivered float64 // C drawn at the take-off in all, draws only
	Energy    float64 // J
	Taken     float64 // C put in at the take-off
	TakenJ    float64 // J
	Nameplate float64 // C, capacities of one group of batteries side by side, the least of the groups
	Ended     string  // why the run ended, a sentence part

	Computed    int     // instants computed
	ChargeError float64 // C, charge that the sums lost; a check on the arithmetic
	StepError   float64 // largest change of any sampled state of charge when every step is halved; NaN: not tried
	EventError  float64 // s, largest change of the time of an event likewise; NaN: not tried, +Inf: their order changes
	Rest        *Equalise
	Over        []FuseOver
	Bridged     []string // fuses and breakers that other copper bridges: not looked at
}

// BeganFull reports whether a run began with a charge that nothing could take:
// it was over at once.
func (r *Run) BeganFull() bool {
	if len(r.Steps) == 0 {
		return false
	}
	first := r.Steps[0]
	return (first.Case.Current < 0 || first.Case.Power < 0) && first.End == first.Start
}

// RunStep is one case of a run.
type RunStep struct {
	Case       bank.Case
	Start, End float64 // s
	Ended      string  // why: time, tail, full, bank out
}

// BatteryRun is one battery through time.
type BatteryRun struct {
	ID          string
	Current     []float64 // A, positive on discharge
	Charge      []float64 // state of charge, 0 to 1
	Voltage     []float64 // V at its posts, NaN where nothing says
	Temperature []float64 // K
	Heat        []float64 // W, reversible part included; may be negative
	EMF         []float64 // V behind the ohmic resistance
	Resistance  []float64 // ohm, ohmic
	Active      []bool    // its protection is closed
	Out, In     float64   // C discharged, charged
	OutJ, InJ   float64   // J at its posts
	OutTime     float64   // s in which it gave
	InTime      float64   // s in which it took
	Lost        float64   // C put in that was not kept (gas); zero for lithium
	Least, Most float64   // state of charge
	Peak        float64   // A, largest by size, with its sign
	PeakAt      float64   // s
	EmptyAt     float64   // s, of its first empty; NaN: never
	FullAt      float64   // s, of its first full; NaN: never
	Square      float64   // A²·s, for the mean effective current
	MeanCharge  float64   // over time
	Depth       float64   // Most − Least
	Assumed     bool      // its model rests on an assumed value
}

// Event is one thing that happened to one battery.
type Event struct {
	Time     float64
	Battery  string
	What     string
	Opens    string  // discharge, charge, both; of a reconnect: what closed
	Value    float64 // what was reached, SI: A, V, K, or state of charge
	Limit    float64 // what it was compared with
	Because  string  // current, voltage, temperature, charge, floor, time
	OnCharge bool
	Assumed  bool // the limit is assumed
}

// Equalise is what flows between the batteries when the load has stopped.
type Equalise struct {
	At      float64   // s, when the load stopped
	Current []float64 // A, by battery
	Largest float64   // A
	Settles float64   // s until the largest is a tenth; NaN: not within Watched
	Watched float64   // s
	Moved   float64   // C that the most moved battery gave or took within Watched
}

// Dropout is what each loss does to a bank in one case.
type Dropout struct {
	Case        bank.Case
	Draw        float64   // A at the take-off, negative on charge
	Limit       []Limit   // by battery, at this sign of current
	AllIn       []float64 // A, by battery
	AllInTrips  []string  // with all in
	AllInHolds  bool      // the bank still carries the draw after them
	LimitAllIn  float64   // A, largest draw (by size) at which no battery passes its limit; +Inf: no limit known
	LimitOneOut float64   // A, largest at which the bank holds whichever one is out; NaN for one battery
	Outs        []Out     // one a battery that is in
	Pairs       []Out     // every two
	Weak        []Weak
	Stops       bool // the lists were cut: too many pairs
	Over        []FuseOver
	Bridged     []string // fuses and breakers that other copper bridges: not looked at
}

// FuseOver is a fuse or breaker that carries more than its rating.
type FuseOver struct {
	Out          []string // batteries that are out; of a run none
	Part         string
	Amps, Rating float64 // the most it carries
	From, For    float64 // s of a run: when it first passes its rating, and how long in all
	Holds        float64 // s that it surely carries so much; NaN not known
	Opens        float64 // s by which it has surely opened; NaN not known
	Sheet        bool    // both times are of its own sheet, else from memory or a standard
}

// Limit is a battery's largest current.
type Limit struct {
	Current float64 // A, +Inf where nothing is known
	What    string  // "trip", "discharge", "charge", "fuse", ""
	Fuse    string  // in line with the battery, where its rating is the limit
	Assumed bool    // discharge or charge stands for a trip nobody gave
}

// Out is what follows when batteries are out.
type Out struct {
	Out     []string
	Current []float64 // A, by battery, 0 for those out; just after the loss, before any trip
	Trips   []string  // in order
	Holds   bool      // the bank still carries the draw after them
	Worst   float64   // largest current over limit
	WorstID string
	Limit   float64 // A, largest draw at which the bank holds with these out
}

// Weak is a bank with one thing worse than it should be.
type Weak struct {
	What    string // a sentence part
	Place   string
	Current []float64
	Trips   []string
	Holds   bool
	Worst   float64 // largest current over limit
	WorstID string
	Share   float64 // largest share less one
	ShareID string
	Assumed string // what was assumed of the weakness
}

// Spread is what a bank does when its parts are not quite as they should be.
type Spread struct {
	Case       bank.Case
	Draw       float64 // A
	Seed       uint64
	Asked      int // builds
	Done       int // less than Asked where it was stopped
	Tolerances []Tolerance
	Worst      []float64 // share of the battery that carries most, less one; sorted
	WorstOut   []float64 // the same with the worst one out, sorted
	Nominal    float64   // worst share less one without any spread
	NominalOut float64
	Over       int       // builds in which a battery passes its limit
	OverOut    int       // builds in which one does with any one out
	Often      []float64 // by battery: part of builds in which it carries most
	HasLimit   bool
}

// Tolerance is one thing that varies from build to build.
type Tolerance struct {
	What    string  // resistance, capacity, joints, lengths, emf
	Spread  float64 // standard deviation, of one; of emf in V
	Shape   string  // how it varies, a sentence part
	Assumed bool
	Source  string
	Matters float64 // standard deviation of the worst share from this one alone
	Part    float64 // of the variance of all, by the sum of single ones
}
