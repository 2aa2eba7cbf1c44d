package rating

import (
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

// Material is what a cable's insulation is made of.
type Material struct {
	ID, Name    string
	Resistivity Span // thermal, K·m/W
	Ref         source.Ref
}

// Insulation is how hot a conductor may get in a short.
type Insulation struct {
	ID, Name    string
	Material    string               // ID of a [Material]; "" where not said
	Rated       quantity.Temperature // highest in service; 0: the row is for a conductor that starts at Start
	Start       quantity.Temperature // as the short begins
	Limit       quantity.Temperature // as it ends
	Over, UpTo  quantity.Area        // sections: (Over, UpTo]; UpTo 0: no limit
	K           float64              // A·√s/mm², for the section in mm²
	Ref         source.Ref           // of K and the temperatures; derived where no K is published
	Resistivity source.Value[Span]   // K·m/W, of the material; unknown where that is not said
}

// Adiabatic is the law of a short that is over before heat leaves the copper:
// t = (k·S/I)², k = K·√ln((Beta + end)/(Beta + start)), temperatures in °C.
type Adiabatic struct {
	K        float64           // A·√s/mm², copper, as published
	Beta     float64           // °C
	Ref      source.Ref        // of K and Beta
	Heat     float64           // J/(K·m³), of copper
	Most     quantity.Duration // a longer short gives heat away
	Ground   source.Ref        // of Heat and Most
	Computed float64           // K worked out from Heat, Beta and the resistivity of copper
}

// Factor gives k for a start and an end temperature. It is NaN where the start
// is below -Beta °C or the end below the start.
func (a Adiabatic) Factor(start, end quantity.Temperature) float64 {
	const zero = 273.15 // K at 0 °C
	return a.K * math.Sqrt(math.Log((a.Beta+float64(end)-zero)/(a.Beta+float64(start)-zero)))
}

// CableType is a kind of vehicle battery cable by its standard's letters.
type CableType struct {
	ID, Name string
	Material string // ID of a [Material]; "" where the table has none
	Volts    quantity.Voltage
	Ref      source.Ref
}

// Laid is how a cable lies where its bend is measured.
type Laid string

// The ways to lie.
const (
	Fixed   Laid = "fixed"
	Moving  Laid = "moving"
	Bundled Laid = "bundle"   // the diameter is the thickest wire's
	AtStrip Laid = "at strip" // of a bundle at a terminal strip, supported
	HighV   Laid = "above 1000 V"
)

// Bend is the least inside bend radius.
type Bend struct {
	ID, Title  string
	Laid       Laid
	Over, UpTo quantity.Length // outside diameter: (Over, UpTo]; UpTo 0: no limit
	Diameters  float64         // radius over outside diameter
	Ref        source.Ref
}

// Holds reports whether the row is for a cable of a diameter that lies so.
func (b *Bend) Holds(laid Laid, diameter quantity.Length) bool {
	return b.Laid == laid && within(diameter, b.Over, b.UpTo)
}

// Support is how far apart a cable is held.
type Support struct {
	ID, Title string
	Regime    Regime
	Spacing   quantity.Length
	First     quantity.Length // from the terminal to the first; 0: not said
	Battery   bool            // of battery conductors up to the switch
	Ref       source.Ref
}

// LeastSize is the thinnest conductor that may be laid.
type LeastSize struct {
	ID, Title string
	Regime    Regime
	Sheathed  bool // in a sheath with others
	Size      quantity.Size
	Over      quantity.Length // only where it is longer; 0: always
	OutOf     quantity.Length // how far it may come out of the sheath; 0: not said
	Ref       source.Ref
}
