package report

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/model/rating"
)

// Choices is what is proposed for the conductors and devices of a job that
// have no size, no rating or no class. Nothing that is given is in it.
type Choices struct {
	Cables  []CableChoice
	Devices []DeviceChoice
	Due     []DeviceDue
	Left    []Left
	Assumed []string // sentences, of all of it
}

// CableChoice is a size for a conductor that has none: the smallest of the
// sizes on offer that passes.
type CableChoice struct {
	Cable   string
	Index   int // of the bank's cables
	Size    quantity.Size
	Why     string        // what the next smaller size fails, a sentence part
	Smaller quantity.Size // that size; zero: there is none on offer
	Better  quantity.Size // the next larger on offer; zero: there is none
	Steady  WorstFlow
	Surge   WorstFlow
	Allowed float64 // A without end: of the table's row and the heat balance the lesser
	Next    float64 // A the next larger size is allowed; NaN where there is none
	ByTable bool    // Allowed is of a published table's row, else of the heat balance
	Memory  bool    // something in it is from memory
}

// DeviceChoice is a rating, a class or both for a fuse or breaker that lacks
// them.
type DeviceChoice struct {
	Part      string
	Index     int              // of the bank's parts
	Rating    quantity.Current // proposed or given
	Class     string           // of the catalogue, proposed or given; "" none
	ClassName string
	NewRating bool // Rating is proposed
	NewClass  bool // Class is proposed
	Why       string
	Better    string  // the next better, a sentence part; "" there is none
	Most      float64 // A it has to break; NaN not known
	Volts     float64 // V
	Breaks    float64 // A that its class breaks at these volts; NaN not known
	Largest   float64 // A, the largest standard rating that all it saves allow; NaN not known
	Memory    bool    // something in it is from memory
	Ask       string  // what is to be asked of the part's own sheet; "" nothing
}

// DeviceDue is a place where a live conductor leaves the bank without a
// device.
type DeviceDue struct {
	Cable  string // at the start of which it is due
	End    string // that end
	Source string // the battery post
	Within quantity.Length
	Rule   rating.Reach     // that sets Within; the zero Reach: common practice alone
	Rating quantity.Current // that carries the load; 0 not known
	Most   float64          // A that it has to break; NaN not known
	Volts  float64          // V
	Saves  []string         // conductors that hang on it and have no other device
	Weak   []string         // those of them that bear less than its rating: it does not save these
}

// Left is what no proposal could be made for.
type Left struct{ Place, Why string }
