package report

// Hazard is one thing that can go wrong on batteries through one source, load
// or post, with everything that stands against it.
type Hazard struct {
	What      HazardKind
	Through   string   // the charging source, the load or "takeoff" it comes by; "" the batteries themselves
	Batteries []string // of one type, with the same barriers
	Type      string
	Lithium   bool
	Parallel  bool // of a reversed connection: others lie beside them
	Barriers  []Barrier
	// PerBattery is a battery's part of the voltage at what it comes by: 1, or
	// less where others lie in series.
	PerBattery float64
}

// HazardKind is a row of the table of what stops what.
type HazardKind string

// The hazards.
const (
	Freezing      HazardKind = "charge below freezing"
	TooHot        HazardKind = "charge too hot"
	OverVoltage   HazardKind = "over-voltage"
	OverCharge    HazardKind = "over-current on charge"
	OverDischarge HazardKind = "over-discharge"
	OverCurrent   HazardKind = "over-current on discharge"
	DeadShort     HazardKind = "dead short"
	Reversed      HazardKind = "reversed connection"
	CoverOff      HazardKind = "metal across the posts, cover off"
)

// Barrier stops a hazard: who senses, who acts.
type Barrier struct {
	Senses  string // what senses it, in words
	Acts    string // a part's ID, or whose own protection
	How     string // what it then does
	Own     bool   // the battery's own protection
	Fuse    bool   // a fuse or breaker
	Assumed bool   // the job does not state it: it does not count
	Hand    bool   // only a person acts: it does not count either
}

// Counts reports whether the barrier acts by itself and the job states it.
func (b *Barrier) Counts() bool { return !b.Assumed && !b.Hand }

// Stated lists the barriers that count.
func (h *Hazard) Stated() []Barrier {
	var all []Barrier
	for _, b := range h.Barriers {
		if b.Counts() {
			all = append(all, b)
		}
	}
	return all
}

// Place names where a finding about it belongs: what it comes by, else the
// first battery.
func (h *Hazard) Place() string {
	if h.Through != "" {
		return h.Through
	}
	return h.Batteries[0]
}

// Charge is what charging sources give together, and what each battery then
// takes.
type Charge struct {
	Sources   []string
	Amps      float64 // A, together
	Batteries []ChargeShare
}

// ChargeShare is one battery's part; Limit is its charge limit, 0 not known.
type ChargeShare struct {
	ID          string
	Amps, Limit float64 // A
}
