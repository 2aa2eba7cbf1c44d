package report

import "bankwright/internal/base/quantity"

// Verdict says whether a size meets one demand.
type Verdict string

// The verdicts.
const (
	Within  Verdict = "within"
	Over    Verdict = "over"
	Unknown Verdict = "not checked"
)

// SizeAnswer is every size of the catalogue held against one current and way.
// The verdicts of table and heat balance are never one.
type SizeAnswer struct {
	Book        string  // of rules
	Current     float64 // A
	Length      float64 // m, one way
	Voltage     float64 // V
	Drop        float64 // part of the voltage that may be lost
	Ambient     float64 // K, that it is held against: of an engine space 50 °C at least
	Insulation  float64 // K
	Choices     []SizeChoice
	Smallest    *SizeChoice // the least section that Within holds for, of those with a row in the governing table; of all where none has one; nil: none
	ByHeat      *SizeChoice // the gauge of least section by heat balance and drop; nil: none
	MetricHeat  *SizeChoice // the metric size of least section by heat balance and drop; nil: none
	Assumed     []string    // what nobody said
	Notes       []string    // what to know of the table
	NoTableRows bool        // the governing table has no figure for any size
}

// SizeChoice is one size.
type SizeChoice struct {
	Size        quantity.Size
	Section     float64   // m²
	Table       *TableRow // of the governing table; nil: not checked by table
	NoTable     string    // why
	Physics     float64   // A that warm it to its insulation's limit; NaN not known
	Temperature float64   // K of its copper at the current; +Inf: it melts
	Melts       bool      // at the current its copper does not settle below its melting point
	Volts       float64   // V lost out and back at that temperature; +Inf: it melts
	ByTable     Verdict
	ByHeat      Verdict
	ByDrop      Verdict
	Within      bool   // drop, and the table; the heat balance where there is no table
	Rule        string // what Within stands on beside the drop
	Source      string
}

// Ampacity is the current that Within compares with: the table's, else that of
// the heat balance; NaN not known.
func (c *SizeChoice) Ampacity() float64 {
	if c.Table != nil {
		return c.Table.Amps
	}
	return c.Physics
}
