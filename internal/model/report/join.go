package report

// Join is what happens when one battery is closed onto the rest of a bank that
// stands without load.
type Join struct {
	Battery    string
	Volts      float64   // V of the battery, open
	BankVolts  float64   // V across its place, without it
	Difference float64   // Volts − BankVolts
	Own        float64   // ohm of the battery
	Path       float64   // ohm of the rest of the bank and the wiring, as it sees them
	First      []float64 // A by battery at the first instant, positive gives
	Allowed    []Allowed
	Least      float64 // V, least of the differences allowed; +Inf: no limit known
	LeastBy    int     // of Allowed; -1
	Events     []Event // what the batteries' own protection does in the hours after
	Half       float64 // s until its current is half; NaN: not within Watched
	Tenth      float64 // s until it is a tenth
	Watched    float64 // s
	NoCurve    bool    // its voltage does not change with its charge, so that how its current dies away is not told
	Moved      float64 // C it gives (positive) or takes within Watched
	Resistor   *Resistor
	Sure       []Sure // what its own and the bank's voltage say of the state of charge
}

// Allowed is one limit of joining.
type Allowed struct {
	What       string  // a sentence part
	Battery    string  // whose limit; "" for guidance
	Current    float64 // A; NaN for guidance by volts
	Difference float64 // V at which it is reached
	Within     bool    // the difference here is within it
	Assumed    bool
	Source     string
}

// Resistor is what makes a difference that is too large fit.
type Resistor struct {
	Ohm     float64 // least
	Current float64 // A it is made for
	Peak    float64 // W at the first instant
	Energy  float64 // J until it may be bridged; within Watched
	Time    float64 // s until it may be bridged; NaN: not within Watched
}

// Sure is how much a voltage says of a state of charge.
type Sure struct {
	Whose     string
	Volts     float64
	Error     float64 // V, of the meter
	Low, High float64 // state of charge
}
