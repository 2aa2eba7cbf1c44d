package report

// InLead is one cable at a post of a battery that has a dead short within: what
// all the other batteries push through it.
type InLead struct {
	Battery string
	Cable   string
	Amps    float64  // most, at first
	Bare    float64  // A that goes on when every fuse and breaker has opened; 0: devices cut all of it
	Opens   []string // devices that the current comes through, in the order of the parts
	Bears   float64  // A that its copper bears for LeadSeconds; NaN not known
}

// LeadSeconds is the time for which a lead is asked to bear what nothing opens:
// as long as t = (k·S/I)² holds.
const LeadSeconds = 5
