package rating

import (
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

// Setting is how the conductors of an ampacity table lie.
type Setting string

// The settings.
const (
	FreeAir   Setting = "free air"
	Raceway   Setting = "raceway, cable or bundle"
	Cord      Setting = "cord"
	InHarness Setting = "aircraft bundle"
)

// AmpacityTable is the current that conductors may carry without end, by size
// and by the temperature their insulation is rated for.
type AmpacityTable struct {
	ID, Title  string
	Ref        source.Ref
	Regimes    []Regime
	Setting    Setting
	Base       source.Value[quantity.Temperature] // ambient that the rows are for
	UpTo       source.Value[quantity.Voltage]     // highest voltage of the circuit; unknown where what was read sets none
	Insulation []quantity.Temperature             // of the columns, rising
	Rows       []AmpacityRow
	Engine     []EngineFactors // the table's own first; further ones are other sources of the same factors
	Bands      *AmbientFactors // nil: none
	Bundles    *BundleFactors  // nil: none
	Notes      []string        // what a reader of a row must know
}

// AmpacityRow is one size.
type AmpacityRow struct {
	Size quantity.Size      // zero for a size above 4/0 AWG, which no job can name
	Name string             // as the table names it: "2/0 AWG", "250 kcmil"
	Amps []quantity.Current // one a column; 0 where the table has none
}

// EngineFactors correct for the warmth of an engine space.
type EngineFactors struct {
	Ref     source.Ref
	Ambient quantity.Temperature // of the space
	Factors []float64            // one a column
}

// AmbientFactors correct for another ambient than the table's.
type AmbientFactors struct {
	Ref   source.Ref
	Bands []AmbientBand // rising
}

// AmbientBand holds from the band below, its top excluded, up to its own top.
type AmbientBand struct {
	UpTo    quantity.Temperature
	Factors []float64 // one a column; 0 where the table has none
}

// BundleFactors correct for conductors that lie together.
type BundleFactors struct {
	Ref   source.Ref
	From  quantity.Voltage // circuits below this need no factor; 0: all need it
	Bands []BundleBand     // rising; below the first no factor is due
}

// BundleBand holds from its number of conductors up to the next band's.
type BundleBand struct {
	From   int
	Factor float64
}

// edge allows for the rounding of a temperature that is a sum, so that 30 °C
// stays in the band that ends at 30 °C. Far below what a thermometer shows.
const edge = 1e-6 // K

// Column gives the column for an insulation: the hottest one that the
// insulation still reaches, so 105 °C insulation takes the 90 °C column where
// that is the last. ok is false below the first column, and for NaN and
// infinity.
func (t *AmpacityTable) Column(insulation quantity.Temperature) (i int, ok bool) {
	if math.IsInf(float64(insulation), 0) {
		return 0, false
	}
	for i := len(t.Insulation) - 1; i >= 0; i-- {
		if insulation >= t.Insulation[i]-edge {
			return i, true
		}
	}
	return 0, false
}

// Row gives the row of a size, nil if there is none. A metric size never finds
// a gauge's row.
func (t *AmpacityTable) Row(s quantity.Size) *AmpacityRow {
	for i := range t.Rows {
		if t.Rows[i].Size == s && !s.IsZero() {
			return &t.Rows[i]
		}
	}
	return nil
}

// Amps gives the table's current for a size and an insulation, in the column
// that [AmpacityTable.Column] finds and at the ambient Base. ok is false where
// the table has no such row or no figure in it.
func (t *AmpacityTable) Amps(s quantity.Size, insulation quantity.Temperature) (amps quantity.Current, ok bool) {
	row := t.Row(s)
	i, ok := t.Column(insulation)
	if row == nil || !ok || i >= len(row.Amps) {
		return 0, false
	}
	return row.Amps[i], row.Amps[i] > 0
}

// Ambient gives the factor for an ambient, of the column that
// [AmpacityTable.Column] finds. A table without bands gives one up to its own
// ambient and nothing above it; a cool place then earns no more. ok is false
// above the last band, where the column has no figure, and for NaN.
func (t *AmpacityTable) Ambient(insulation, ambient quantity.Temperature) (factor float64, ok bool) {
	i, ok := t.Column(insulation)
	if !ok {
		return 0, false
	}
	if t.Bands == nil {
		if t.Base.Known() && ambient <= t.Base.V+edge {
			return 1, true
		}
		return 0, false
	}
	for _, b := range t.Bands.Bands {
		if ambient <= b.UpTo+edge && i < len(b.Factors) {
			return b.Factors[i], b.Factors[i] > 0
		}
	}
	return 0, false
}

// EngineSpace gives the table's own factor for an engine space and where it is
// from. ok is false where the table has none.
func (t *AmpacityTable) EngineSpace(insulation quantity.Temperature) (factor float64, ref source.Ref, ok bool) {
	i, ok := t.Column(insulation)
	if !ok || len(t.Engine) == 0 || i >= len(t.Engine[0].Factors) {
		return 0, source.Ref{}, false
	}
	return t.Engine[0].Factors[i], t.Engine[0].Ref, true
}

// Bundle gives the factor for n current-carrying conductors that lie together
// in a circuit of a voltage; one where the table asks for none. ok is false
// where the catalogue has no such factors for the table, and for n below one.
func (t *AmpacityTable) Bundle(n int, circuit quantity.Voltage) (factor float64, ok bool) {
	if t.Bundles == nil || n < 1 {
		return 0, false
	}
	factor = 1
	if circuit < t.Bundles.From {
		return factor, true
	}
	for _, b := range t.Bundles.Bands {
		if n >= b.From {
			factor = b.Factor
		}
	}
	return factor, true
}

// Wires is the sections of conductors after one standard, and their
// resistance where it states that too.
type Wires struct {
	ID, Title string
	Ref       source.Ref
	Rows      []Wire
}

// Wire is one size of [Wires].
type Wire struct {
	Size    quantity.Size
	Section quantity.Area                // least or nominal, as the title says
	R20     quantity.ResistancePerLength // at 20 °C; 0 where the table has none
}

// Find gives the row of a size; ok is false where there is none.
func (w *Wires) Find(s quantity.Size) (row Wire, ok bool) {
	for _, r := range w.Rows {
		if r.Size == s && !s.IsZero() {
			return r, true
		}
	}
	return Wire{}, false
}

// CircularMil is the section of a round wire of one thousandth of an inch, in
// m². The inch is 25.4 mm (NIST SP 811, 2008, appendix B).
const CircularMil = math.Pi / 4 * 25.4e-6 * 25.4e-6
