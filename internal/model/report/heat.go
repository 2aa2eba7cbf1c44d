package report

// Heat is how warm a job's compartments, batteries and electronics get, and
// what it takes to keep them so. Temperatures are kelvins, series hourly.
type Heat struct {
	Missing string // what the job has to give for the rest, one sentence; "" it is there

	Place      string // the weather, in words
	Run        string // the run that warms the batteries, "" at rest
	Tau        float64
	Cold, Hot  *HeatWeek
	Year       *HeatYear // nil where it was not asked for
	Batteries  []HeatBattery
	Left       []string // batteries that stand in no compartment with walls
	Freeze     *Freeze
	Heating    *Heating // nil where nothing has to be kept warm
	Cooling    *Cooling // nil where no limit is known
	Sensors    []HeatSensor
	SensorsOff bool // looked at with the heaters off, as no battery gets below its limit with them
	BestSensor int  // of Sensors, the battery that is coldest when it matters; -1 none
	Equipment  []HeatPart
	Gas        []Gas
	Bank       float64 // J, of the whole bank by its labels
	Volts      float64 // V nominal
	Assumed    []Assumption
}

// HeatWeek is one design week, midnight to midnight.
type HeatWeek struct {
	Name    string // cold, hot
	Day     int    // of the year, its first, 1 to 365
	Outside []float64
	Sun     []float64 // W/m² on level ground; nil not known
	Air     []NamedSeries
	Cores   []NamedSeries // by battery
	Shells  []NamedSeries
	Heaters []NamedSeries // W, mean of the hour
	Fans    []NamedSeries // part of the hour
	Blocked []bool        // a battery is below its limit for charge within the hour
	Wait    Wait
}

// NamedSeries is a series of one thing.
type NamedSeries struct {
	ID     string
	Values []float64
}

// Wait is how long charging has to wait for the cold.
type Wait struct {
	Hours    int     // in which a battery is below its limit for charge
	Daylight int     // of them with the sun up
	After    float64 // h from sunrise until it may begin, on the worst day; +Inf: not that day; 0 at once; NaN no limit is known
	Day      int     // that day of the year
}

// HeatYear is a year of mean days, or of the person's own hours.
type HeatYear struct {
	Own     bool
	Outside []float64 // 8760
	Coldest []float64 // of the batteries' cores
	Hottest []float64
	Blocked []bool
	Months  [12]Wait
	Heater  [12]float64 // J a day, mean of the month
}

// HeatBattery is one battery in the two weeks.
type HeatBattery struct {
	ID           string
	Limit        float64 // K, below which it must not be charged; NaN not known
	LimitAssumed bool
	Most         float64 // K, above which it must not be charged; NaN not known
	MostAssumed  bool
	Coldest      float64
	ColdestAt    int // hour of the cold week
	Hottest      float64
	HottestAt    int // hour of the hot week
	Blocked      int // hours of the cold week below its own limit
	Over         int // hours of the hot week above its own limit
}

// Freeze is how long the warmth lasts without heat.
type Freeze struct {
	Start, Outside, Limit float64 // K
	Seconds               float64 // until the first battery is there; +Inf never
	Battery               string
	Settles               float64 // K, where the batteries come to rest, as a mean
	Lump                  float64 // s by one body of all that comes to rest there, as a check
}

// Heating is what keeps the batteries above their limit in the cold week.
type Heating struct {
	Own      bool // by the job's heaters; else one that would do
	At       string
	Watts    float64 // that the heaters give together
	Hold     float64 // W that hold the target through the coldest day's mean; +Inf: no heat there can
	Target   float64 // K
	Outside  float64 // K, the mean of the coldest day
	DayJ     float64 // J, the coldest day
	WeekJ    float64 // J, the mean day of the week
	Coldest  float64 // K, of the batteries, with it
	Coolest  string  // which
	Always   float64 // part of the coldest day that it is on
	DayAh    float64 // C from the bank on the coldest day
	Share    float64 // of the bank's energy on that day
	Suggests float64 // W, twice the hold
}

// Cooling is what keeps the batteries under their limit in the hot week.
type Cooling struct {
	Limit, Hottest float64 // K
	Battery        string
	Outside        float64 // K, the hottest hour
	Needed         bool
	Possible       bool
	Compartment    string
	Flow           float64 // m³/s of outside air all the time
	Vent           float64 // m² each of two openings that do the same by warmth
}

// HeatSensor is one place for a sensor of the charge lockout.
type HeatSensor struct {
	At      string  // B1, B1+, air of bay, left of bay, T1
	ID      string  // of the job's own sensor there
	Source  string  // that heeds it
	Kind    string  // case, post, air, wall, heater
	Setting float64 // K, the least at which it never lets charge begin with a battery below its limit; NaN none ever is
	Margin  float64 // K over the batteries' limit
	Early   float64 // h by which its reading passes the limit before the last battery does, at most
	Lost    int     // hours of the year it holds back charge that could be had
	Set     float64 // K as the source is set; 0 not known
	Lets    int     // hours at that setting with a battery below its limit, cold week and year
}

// HeatPart is a device that warms its compartment.
type HeatPart struct {
	ID, Compartment string
	Loss            float64 // W, mean of the day
	Peak            float64 // W, its hottest hour
	Air             float64 // K, the warmest air round it in the hot week
	Still           float64 // K, the same with every fan off; 0 where there is none
	Over            int     // hours of that week over Limit
	Limit           float64 // K
}

// Gas is what a compartment with batteries needs in openings.
type Gas struct {
	Compartment string
	Batteries   []string
	Lithium     bool    // nothing is asked for; the rest is zero
	Boost       bool    // charged above float
	Flow        float64 // m³/s
	Area        float64 // m² free, each of inlet and outlet
	Have        float64 // m² of the smaller of the two best openings
}

// Battery gives a battery by its ID, nil if it is not there.
func (h *Heat) Battery(id string) *HeatBattery {
	for i := range h.Batteries {
		if h.Batteries[i].ID == id {
			return &h.Batteries[i]
		}
	}
	return nil
}
