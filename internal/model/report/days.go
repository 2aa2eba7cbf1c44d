package report

// Days is the balance of days: what the loads ask of the bank, what the sources
// give, and how long it lasts. Energies are joules at the bank's terminals.
type Days struct {
	Missing string // what the job has to give, one sentence; "" it is there

	Nominal        float64 // V at which power is turned into current
	Capacity       float64 // C at 25 °C
	Floor, Start   float64 // state of charge, of the capacity at the month's temperature
	Dark           float64 // sun of a bad day over a mean day's
	Wish           float64 // s
	Kept           float64 // of the charge put in, the part that comes out again
	Tail           float64 // s
	Accept         float64 // A that the batteries take at most by their own limits; 0 not known
	Place          string  // the weather, in words; "" the job gives none
	HasSun         bool    // the place has sun figures
	Loads          []DayLoad
	Sources        []DaySource
	Inverters      []DayInverter
	Months         [12]DayMonth
	Stops          []DayStop // what stops as the bank empties, first first
	Full           []DayFull
	Dry            []DaySpan // of a year of mean days, those on which loads go without
	Voltages       []float64 // V that Sides compares
	Sides          []DaySides
	Unwired        []string // loads whose cables do not count, with why
	Notes          []string // what is not looked at
	Assumed        []Assumption
	WiringKnown    bool
	ColdKnown      bool // hours too cold to be charged are looked at
	InvertersApart bool // switched off while nothing runs on them
}

// DayLoad is one load of the day.
type DayLoad struct {
	ID, Name, Through, Part string
	Watts                   float64 // while it runs, on its own side
	Hours                   float64 // h a typical day, by clock, before its duty
	Duty, BadDuty           float64
	Months                  [12]bool
	Spread                  bool // evenly over the day, as nothing says when
	Heating                 bool // the job's heaters, as its warmth asks
}

// DayInverter is what one inverter does on a typical day, mean of the year.
type DayInverter struct {
	ID          string
	Gives, Idle float64 // J a day: to its loads, and taken while it has none
	Standing    float64 // W that it takes without load
	Assumed     bool    // Standing is
}

// DaySourceKind is a kind of source.
type DaySourceKind string

// The kinds, in the order in which they are taken.
const (
	BySun    DaySourceKind = "sun"
	ByEngine DaySourceKind = "engine"
	ByMains  DaySourceKind = "mains"
)

// DaySource is one source.
type DaySource struct {
	ID    string // of the field, else of the part
	Part  string
	Kind  DaySourceKind
	Watts float64 // at the bank, at most; NaN not known
	Label float64 // A that its label says; 0 not known
	Hot   float64 // A that it gives for long: an alternator's hot current; else Label
	Days  int     // a week; 7 for the sun
	Bound string  // what keeps it from its label; "" nothing
	Lost  float64 // W on its own wires at most; NaN not known
	Limit bool    // of an alternator: it keeps itself within what it bears
	Asked float64 // A that the bank from its floor asks of it, no more than its label
	For   float64 // s that it does, to the tail of the charge
	Hours float64 // h that it is there on a day that it is
}

// DayMonth is one month.
type DayMonth struct {
	Kelvin       float64 // mean outside; NaN not known
	Battery      float64 // K that the batteries count with: the coldest one's mean, else outside; NaN not known
	Cold         int     // hours of its week in which a battery is too cold to be charged
	Factor       float64 // of the capacity
	Capacity     float64 // C
	Typical, Bad DayKind
	NoSun        float64 // s on bad days without any sun until the floor; +Inf over 60 days
	Alone        float64 // the same without any source
}

// DayKind is one kind of day of a month, and a week of such days.
type DayKind struct {
	ByLoad    []float64 // J a day on its own side, by load
	Loads     float64   // the sum
	Inverters float64   // J a day lost in them while something runs
	Idle      float64   // J a day that they take while nothing does
	Wiring    float64   // J a day lost in cables on the way to the loads
	Hours     [24]float64
	Offered   []float64  // J a day that each source could give, mean of the week
	Given     []float64  // J a day that it gave in the week
	Charge    []float64  // state of charge each hour of the week, 169 of them
	Least     float64    // of them
	Reaches   float64    // s until the floor is reached first, going on after the week; +Inf over 60 days
	Missed    float64    // J a week that loads went without
	Power     [7]Balance // by day of the week, W in and out at the bank
}

// Balance is a day's hours, W.
type Balance struct{ Out, In [24]float64 }

// Asked is what a day asks of the bank.
func (k *DayKind) Asked() float64 { return k.Loads + k.Inverters + k.Idle + k.Wiring }

// DayStop is something that stops as the bank empties.
type DayStop struct {
	ID     string  // of the device, "floor" for the floor of the job
	Charge float64 // state of charge at which it stops; below 0 it never does by this
	Volts  float64 // at its terminals; NaN for the floor
	Amps   float64 // that it draws then
	Surge  bool    // in its surge
}

// DayFull is how long one source takes to fill the bank from its floor, with no
// load on.
type DayFull struct {
	Source string
	In     string  // "jun" for the sun, else ""
	Amps   float64 // that go in before the tail; NaN for the sun
	Whole  float64 // s; +Inf not within 60 days
	Tail   float64 // s of it; NaN for the sun
}

// DaySpan is days of a year, 1 to 365, from First to Last.
type DaySpan struct{ First, Last int }

// DaySides is one device at several system voltages, its cables the same.
type DaySides struct {
	ID   string
	Way  float64 // m one way, as its cables go; NaN not known
	Ohm  float64 // there and back; NaN not known
	Have string  // the thinnest conductor on its way, "" not known
	Each []DaySide
}

// DaySide is a device at one system voltage.
type DaySide struct {
	Volts     float64
	Amps      float64 // lasting, at the lowest voltage it works at
	Loss      float64 // W in its cables; NaN not known
	Drop      float64 // V; NaN
	Terminals float64 // V at its terminals with the bank empty; NaN
	Cutout    float64 // V, its own scaled to this voltage; 0 none
	Cable     string  // smallest by table, heat and drop; "" none
	Warm      float64 // K of that cable; NaN
	Fuse      float64 // A, standard rating next above 1.25 times the current; 0 none
}
