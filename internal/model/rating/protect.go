package rating

import (
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

// Basis is what a protection limit is a multiple of.
type Basis string

// The bases.
const (
	OfAmpacity Basis = "ampacity" // of the conductor
	OfOutput   Basis = "output"   // largest of a generator or alternator
)

// ProtectionLimit is the largest rating that a rule lets a fuse or breaker
// have.
type ProtectionLimit struct {
	ID, Title string
	Regime    Regime
	Of        Basis
	Ratio     quantity.Ratio   // largest rating over the basis
	Next      quantity.Ratio   // the next larger standard rating is allowed up to this; 0: it is not
	From      quantity.Voltage // circuits of this voltage or more
	Below     quantity.Voltage // circuits below this; 0: no limit
	Ref       source.Ref
}

// Applies reports whether the limit is for circuits of a nominal voltage;
// false for NaN.
func (p *ProtectionLimit) Applies(circuit quantity.Voltage) bool {
	return circuit >= p.From && (p.Below == 0 || circuit < p.Below)
}

// Largest gives the largest standard rating that the limit allows over a
// basis. ok is false where even the smallest standard rating is too large,
// and for NaN and infinity.
func (p *ProtectionLimit) Largest(basis quantity.Current, standard *StandardRatings) (rating quantity.Current, ok bool) {
	if !(basis > 0) || math.IsInf(float64(basis), 0) {
		return 0, false
	}
	// Without it 1.5 times a size's amperes could miss a rating by a rounding.
	const slack = 1 + 1e-12
	bound := quantity.Current(float64(basis) * float64(p.Ratio) * slack)
	if p.Next > 0 {
		next, found := standard.AtLeast(quantity.Current(float64(basis) * float64(p.Ratio) / slack))
		if found && float64(next) <= float64(basis)*float64(p.Next)*slack {
			return next, true
		}
	}
	return standard.AtMost(bound)
}

// Reach is how far along a conductor a fuse or breaker may stand from where
// the power comes from.
type Reach struct {
	ID, Title string
	Regime    Regime
	Length    quantity.Length
	Battery   bool   // from a battery's own terminal; false: from any source of power
	Sheathed  bool   // only where the conductor is in a sheath or enclosure all the way
	Unless    string // what lifts the limit; "" nothing
	Ref       source.Ref
}

// RequiredInterrupt is what the breakers or fuses of a bank must break, by the
// cold cranking amperes of all batteries connected. Currents of batteries in
// parallel add, in series they do not.
type RequiredInterrupt struct {
	Rows  []RequiredRow
	Large LargeBank
}

// RequiredRow is one row of a [RequiredInterrupt].
type RequiredRow struct {
	From, To   quantity.Voltage // nominal system voltage, both included
	Over, UpTo quantity.Current // cold cranking amperes: (Over, UpTo]; UpTo 0: no limit
	Main       quantity.Current // of the first device in series with the battery
	Branch     quantity.Current
	Ref        source.Ref
}

// LargeBank is what holds in place of the rows above a size of bank: a device
// breaks at least the batteries' short-circuit current, or, where that exceeds
// Exceeds, Interrupt at Volts d.c. or more.
type LargeBank struct {
	Cranking  quantity.Current // the rows hold up to this
	Capacity  quantity.Charge  // or up to this
	Exceeds   quantity.Current
	Interrupt quantity.Current
	Volts     quantity.Voltage
	Ref       source.Ref
}

// Need gives the row for a nominal system voltage (12, 24, 32 or 48 V, not a
// chemistry's own) and cold cranking amperes. Whether the bank is beyond the
// rows, [LargeBank] says. ok is false where no row is for them.
func (r *RequiredInterrupt) Need(system quantity.Voltage, cranking quantity.Current) (row RequiredRow, ok bool) {
	for _, row := range r.Rows {
		if system >= row.From && system <= row.To && within(cranking, row.Over, row.UpTo) {
			return row, true
		}
	}
	return RequiredRow{}, false
}

// GroundingTable is the least equipment grounding conductor, copper, by the
// rating of the device ahead of it.
type GroundingTable struct {
	ID, Title string
	Regime    Regime
	Ref       source.Ref
	Rows      []GroundingRow // rising
}

// GroundingRow holds for devices up to its rating.
type GroundingRow struct {
	Device quantity.Current
	Size   quantity.Size
}

// For gives the least conductor for a device; ok is false above the last row
// and for a rating that is not above zero.
func (g *GroundingTable) For(device quantity.Current) (size quantity.Size, ok bool) {
	for _, r := range g.Rows {
		if device > 0 && device <= r.Device {
			return r.Size, true
		}
	}
	return quantity.Size{}, false
}

// Bonding is the least conductor that joins frame or metal parts to the d.c.
// negative.
type Bonding struct {
	ID, Title string
	Regime    Regime
	Under     int           // gauge numbers that it may lie under the largest positive conductor; -1: does not depend on it
	Least     quantity.Size // never thinner
	Ref       source.Ref
}

// For gives the least conductor beside a positive one. ok is false where that
// one is no gauge and the rule depends on it.
func (b *Bonding) For(positive quantity.Size) (size quantity.Size, ok bool) {
	if b.Under < 0 {
		return b.Least, !b.Least.IsZero()
	}
	if !positive.IsAWG() {
		return quantity.Size{}, false
	}
	return quantity.AWG(min(positive.Gauge()+b.Under, b.Least.Gauge())), b.Least.IsAWG()
}
