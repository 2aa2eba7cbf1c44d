package rating

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

// FuseClass is a kind of fuse by its standard or trade word. A zero or empty
// field is not known; the mark on the fuse itself always governs.
type FuseClass struct {
	ID, Name, Standard string
	Ref                source.Ref // of the class itself, its traits and its size
	CurrentLimiting    bool
	FastActing         bool
	IgnitionProtected  bool            // may stand where fuel vapour can be
	OpenLink           bool            // the element is not enclosed
	Centres            quantity.Length // of the two fixing holes
	Stud               string          // thread of the fixing: "M8"
	Volts              VoltageMarks
	Interrupts         []Interrupt
	Ratings            RatingRange
	Bands              []Band
	Rises              []ContactRise
	LetThrough         []LetThrough // rising ratings
}

// VoltageMarks are the d.c. voltages that fuses of a class are marked with.
type VoltageMarks struct {
	List  []quantity.Voltage // rising; empty: not known
	Range bool               // any mark from the first to the last
	Ref   source.Ref
}

// Least gives the lowest mark, which is all that can be counted on unseen;
// zero where none is known.
func (v VoltageMarks) Least() quantity.Voltage {
	if len(v.List) == 0 {
		return 0
	}
	return v.List[0]
}

// Interrupt is the largest current that fuses of a class break.
type Interrupt struct {
	AC    bool             // false: d.c.
	Volts quantity.Voltage // at most; 0: at whatever the fuse is marked with
	Least quantity.Current // of the class
	Most  quantity.Current // some fuses of the class reach; as Least where one figure is given
	Ref   source.Ref
}

// RatingRange is the rated currents a class comes in; zero where not known.
type RatingRange struct {
	Least, Most quantity.Current
	Ref         source.Ref
}

// Holds reports whether the class can come in a rating: false where the range
// is not known or the rating is NaN. That the rating is made is not said.
func (r RatingRange) Holds(rating quantity.Current) bool {
	return r.Most > 0 && rating >= r.Least && rating <= r.Most && rating > 0
}

// Band is how long a fuse may take at a multiple of its rating.
type Band struct {
	Multiple   quantity.Ratio
	Over, UpTo quantity.Current  // ratings it is for: (Over, UpTo]; UpTo 0: no limit
	Holds      bool              // it carries this without end
	Least      quantity.Duration // it holds at least so long; 0: not said
	Most       quantity.Duration // it has opened by then; 0: not said
	Only       string            // what kind of the class this is for; "" all
	Ref        source.Ref
}

// ContactRise is how warm the contacts of a fuse may get over their
// surroundings at the rated current.
type ContactRise struct {
	Over, UpTo quantity.Current // ratings: (Over, UpTo]; UpTo 0: no limit
	Kelvin     float64
	Ref        source.Ref
}

// LetThrough is what a current-limiting fuse lets pass into a dead short.
type LetThrough struct {
	Rating quantity.Current
	I2t    float64 // A²·s, most
	Peaks  []Peak  // rising available currents
	Ref    source.Ref
}

// Peak is the highest instant of current for a current available without the
// fuse.
type Peak struct{ Available, Peak quantity.Current }

// InterruptAt gives what fuses of the class break at a d.c. voltage: of the
// d.c. rows for at least that voltage the one for the lowest. A row without a
// voltage counts up to the lowest mark. ok is false where no row reaches, and
// for NaN.
func (f *FuseClass) InterruptAt(v quantity.Voltage) (row Interrupt, ok bool) {
	best := quantity.Voltage(0)
	for _, r := range f.Interrupts {
		to := r.Volts
		if to == 0 {
			to = f.Volts.Least()
		}
		if !r.AC && v <= to && (!ok || to < best) {
			row, best, ok = r, to, true
		}
	}
	return row, ok
}

// BandsFor gives the bands for a rating in the order of the catalogue, rising
// in multiple within one source. Those for a special kind (Only) are left out.
func (f *FuseClass) BandsFor(rating quantity.Current) []Band {
	var all []Band
	for _, b := range f.Bands {
		if within(rating, b.Over, b.UpTo) && b.Only == "" {
			all = append(all, b)
		}
	}
	return all
}

// LetThroughFor gives the row for a rating: its own, or the next larger, as a
// smaller fuse of a class lets no more pass. ok is false above the last row,
// without rows and for a rating that is not above zero.
func (f *FuseClass) LetThroughFor(rating quantity.Current) (row LetThrough, ok bool) {
	for _, r := range f.LetThrough {
		if rating > 0 && rating <= r.Rating {
			return r, true
		}
	}
	return LetThrough{}, false
}

// StandardRatings is the customary steps of rated currents.
type StandardRatings struct {
	List []quantity.Current // rising
	Ref  source.Ref
}

// AtLeast gives the smallest standard rating that is not below amps; ok is
// false above the last, and for NaN.
func (s *StandardRatings) AtLeast(amps quantity.Current) (rating quantity.Current, ok bool) {
	for _, r := range s.List {
		if r >= amps {
			return r, true
		}
	}
	return 0, false
}

// AtMost gives the largest standard rating that is not above amps; ok is false
// below the first, and for NaN.
func (s *StandardRatings) AtMost(amps quantity.Current) (rating quantity.Current, ok bool) {
	for _, r := range s.List {
		if r <= amps {
			rating, ok = r, true
		}
	}
	return rating, ok
}

// PreferredInterrupts is the steps of d.c. interrupting ratings that a
// standard prefers.
type PreferredInterrupts struct {
	List []quantity.Current // rising
	Ref  source.Ref
}
