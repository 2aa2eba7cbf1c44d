// Package sheet is a drawing in millimetres of paper: paths, circles and text
// on layers, with the line weights of ISO 128 and colours named by what they
// mean. Each item carries the ID of what it shows and a name to be read
// aloud. The origin is the upper left corner, x to the right and y down.
//
// A sheet knows nothing of batteries, nor of the file it ends up in; package
// svg writes it. Text is measured with the Go fonts, so that what draws can
// keep one label off the other ([TextWidth], [Text.Box], [Board]).
package sheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Line weights in mm, the series of ISO 128-2:2022 (from memory). Strokes that
// show a quantity, such as cables as wide as their current, have weights of
// their own.
const (
	W013 = 0.13
	W018 = 0.18
	W025 = 0.25
	W035 = 0.35
	W050 = 0.5
	W070 = 0.7
	W100 = 1.0
)

// Text sizes in mm, of the em; capitals are some 0.72 of it. Chosen so that a
// page of A4 width reads on a screen 1400 pixels wide and in print at about
// 8 points. Capitals of Fine are 1.6 mm high, a little under the least of ISO
// 3098-1:2015, 1.8 mm (from memory).
const (
	Fine  = 2.2 // field names, counts
	Body  = 2.8
	Large = 3.4
	Head  = 4.2
)

// Role is what a colour means. The writer turns it into a colour, so that one
// drawing serves light, dark and print.
type Role uint8

// The roles. None draws nothing.
const (
	None      Role = iota
	Ink            // outlines and words
	Grey           // words and lines of second rank
	Faint          // grids, walls, what must not draw the eye
	Paper          // the ground
	Positive       // positive conductors: red
	Negative       // negative conductors: black
	Attention      // what needs looking at
	Bond           // bonding: green
)

var roleNames = [...]string{"none", "ink", "grey", "faint", "paper", "positive", "negative", "attention", "bond"}

// Roles lists every role that has a colour.
func Roles() []Role {
	return []Role{Ink, Grey, Faint, Paper, Positive, Negative, Attention, Bond}
}

// String gives the role in one lower-case word.
func (r Role) String() string {
	if int(r) < len(roleNames) {
		return roleNames[r]
	}
	return fmt.Sprintf("role%d", uint8(r))
}

// Layer is the height of an item over the paper: the later layer covers the
// earlier.
type Layer uint8

// The layers, lowest first.
const (
	Ground     Layer = iota // frame, title block
	Walls                   // compartments
	Cases                   // batteries and the bodies of parts; axes
	Conductors              // cables; curves
	Posts                   // posts, studs; marks on curves
	Dimensions
	Words // labels and notes
)

var layerNames = [...]string{"ground", "walls", "cases", "conductors", "posts", "dimensions", "words"}

// String gives the layer in one lower-case word.
func (l Layer) String() string {
	if int(l) < len(layerNames) {
		return layerNames[l]
	}
	return fmt.Sprintf("layer%d", uint8(l))
}

// Sheet is one drawing.
type Sheet struct {
	Title         string // what it shows, for a reader who cannot see it
	Description   string // a sentence or two more
	Width, Height float64
	Items         []Item
}

// Item is what shows one thing, or a piece of furniture without an ID.
type Item struct {
	ID    string // of the job; several items may show the same thing on several layers
	Name  string // read aloud; said once for each ID
	Layer Layer
	Marks []Mark
}

// Mark is a [Path], a [Circle] or a [Text].
type Mark interface {
	// Box gives what the mark covers; strokes count to their centre line.
	Box() Box
}

// Add puts items on the sheet. Items without marks are left out.
func (s *Sheet) Add(items ...Item) {
	for _, it := range items {
		if len(it.Marks) > 0 {
			s.Items = append(s.Items, it)
		}
	}
}

// Layered gives the items from the lowest layer to the highest, in the order
// they were added within one.
func (s *Sheet) Layered() []Item {
	items := slices.Clone(s.Items)
	slices.SortStableFunc(items, func(a, b Item) int { return cmp.Compare(a.Layer, b.Layer) })
	return items
}

// Texts lists every text of the sheet.
func (s *Sheet) Texts() []Text {
	var texts []Text
	for _, it := range s.Items {
		for _, m := range it.Marks {
			if t, ok := m.(Text); ok {
				texts = append(texts, t)
			}
		}
	}
	return texts
}

// Check gives an error where the sheet cannot be written: no size, or a mark
// at a place that is not a finite number.
func (s *Sheet) Check() error {
	if !(s.Width > 0) || !(s.Height > 0) || math.IsInf(s.Width+s.Height, 0) {
		return fmt.Errorf("a sheet of %g by %g mm cannot be drawn; give a width and a height above nil", s.Width, s.Height)
	}
	for _, it := range s.Items {
		for _, m := range it.Marks {
			if b := m.Box(); !b.finite() {
				return fmt.Errorf("a %T of %q on layer %s lies at no finite place", m, it.ID, it.Layer)
			}
		}
	}
	return nil
}

// Misplaced lists what is wrong with the lettering: texts that reach over the
// edge of the sheet and pairs that overlap. Nil on a good sheet.
func (s *Sheet) Misplaced() []string {
	var wrong []string
	texts := s.Texts()
	edge := Box{0, 0, s.Width, s.Height}
	for i, t := range texts {
		b := t.Box()
		if !edge.Contains(b) {
			wrong = append(wrong, fmt.Sprintf("%q reaches over the edge: %.2f of %.2f by %.2f mm", t.S, b, s.Width, s.Height))
		}
		for _, u := range texts[:i] {
			if c := u.Box(); b.Overlaps(c) {
				wrong = append(wrong, fmt.Sprintf("%q %.2f overlaps %q %.2f", t.S, b, u.S, c))
			}
		}
	}
	return wrong
}
