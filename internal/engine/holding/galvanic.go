package holding

import (
	"math"

	"bankwright/internal/base/source"
)

// Metal is a metal with its anodic index, V: the lower, the nobler.
type Metal struct {
	ID, Title string
	Index     float64
}

// indexRef is the source of the indices and of Place's limits.
var indexRef = source.Ref{Title: "tables of the anodic index", At: "metals, and limits by surroundings", Edition: "not at hand", How: source.Memory}

// Metals gives the metals, noblest first; all from memory.
func Metals() ([]Metal, source.Ref) {
	return []Metal{
		{"gold", "gold", 0}, {"silver", "silver", 0.15}, {"nickel", "nickel plate", 0.30}, {"copper", "bare copper", 0.35},
		{"brass", "brass", 0.40}, {"stainless", "18-8 stainless steel", 0.50}, {"tin", "tin or tinned copper", 0.65},
		{"lead", "lead", 0.70}, {"steel", "plain steel", 0.85}, {"aluminium", "aluminium 6061", 0.90},
		{"zinc", "zinc plate", 1.25}, // tables have 1.20 to 1.25; the greater
	}, indexRef
}

// Place is where a pair of metals stands.
type Place string

// The places.
const (
	Wet    Place = "wet"    // salt spray, outdoors
	Damp   Place = "damp"   // indoors, not controlled
	Indoor Place = "indoor" // controlled
)

// Limit gives the greatest difference, V; NaN for an unknown place.
func (p Place) Limit() float64 {
	switch p {
	case Wet:
		return 0.15
	case Damp:
		return 0.25
	case Indoor:
		return 0.50
	}
	return math.NaN()
}

// Pair is two metals in contact. Corrodes is the ID of the one that does, ""
// where they are alike; Margin is limit over difference. Known is false for a
// metal or a place that the table does not have.
type Pair struct {
	Difference, Limit, Margin float64
	Corrodes                  string
	Known                     bool
	Ref                       source.Ref
}

// Within reports whether the pair keeps the limit; never for an unknown pair.
func (p Pair) Within() bool { return p.Known && p.Difference <= p.Limit+1e-9 } // so that 0.15 keeps 0.15

// Touch compares two metals by their IDs in a place. A corroding metal whose
// face is small beside the other's goes fastest: stainless bolts in aluminium
// sheet, but not the reverse (MIL-STD-1250A, read).
func Touch(a, b string, place Place) Pair {
	p := Pair{Difference: math.NaN(), Limit: place.Limit(), Margin: math.NaN(), Ref: indexRef}
	first, ok1 := findMetal(a)
	second, ok2 := findMetal(b)
	if !ok1 || !ok2 || math.IsNaN(p.Limit) {
		return p
	}
	p.Known = true
	p.Difference = math.Abs(first.Index - second.Index)
	p.Margin = p.Limit / p.Difference
	switch {
	case first.Index > second.Index:
		p.Corrodes = first.ID
	case second.Index > first.Index:
		p.Corrodes = second.ID
	}
	return p
}

func findMetal(id string) (Metal, bool) {
	metals, _ := Metals()
	for _, m := range metals {
		if m.ID == id {
			return m, true
		}
	}
	return Metal{}, false
}

// SeaOrder gives the place of a metal in the sea-water order, 1 the most active:
// of two in contact the one with the lesser number corrodes. 0 for a metal not
// in the list. Copper stands in it twice; the place of copper 110 is given here.
// Reference: MIL-STD-889B, table II, as reprinted, read.
func SeaOrder(metal string) int {
	switch metal {
	case "zinc":
		return 4
	case "cadmium":
		return 10
	case "aluminium 5052":
		return 16
	case "aluminium": // 6061-T6
		return 19
	case "tin":
		return 27
	case "lead":
		return 29
	case "steel": // 1010
		return 30
	case "nickel":
		return 34
	case "stainless": // 304, active
		return 40
	case "brass":
		return 46
	case "stainless 316": // 316L, active
		return 53
	case "copper": // 110
		return 55
	}
	return 0
}
