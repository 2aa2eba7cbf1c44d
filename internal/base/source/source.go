// Package source says where a number comes from. A value and its source
// travel together, so that every printed number can name its ground.
package source

import (
	"fmt"
	"strings"
)

// How tells in what way a source is known.
type How string

const (
	Read     How = "read"     // the page or table was read
	Derived  How = "derived"  // computed here from a named formula or from open data
	Memory   How = "memory"   // the source is named from memory, its text was not at hand
	Practice How = "practice" // common practice, no source
)

// Ref is one published place, or the plain statement that there is none.
type Ref struct {
	Title   string `yaml:"title"`   // document, or what the practice is
	At      string `yaml:"at"`      // clause, table, page
	Edition string `yaml:"edition"` // year or edition
	How     How    `yaml:"how"`
}

// IsZero reports whether no source is named.
func (r Ref) IsZero() bool { return r == Ref{} }

// Check returns an error when the source could not be looked up by a reader:
// no title, an unknown how, or a published work without an edition.
func (r Ref) Check() error {
	switch {
	case strings.TrimSpace(r.Title) == "":
		return fmt.Errorf("a source needs a title")
	case r.How != Read && r.How != Derived && r.How != Memory && r.How != Practice:
		return fmt.Errorf("source %q: how must be read, derived, memory or practice, not %q", r.Title, r.How)
	case r.How != Practice && strings.TrimSpace(r.Edition) == "":
		return fmt.Errorf("source %q: a published source needs its edition or year", r.Title)
	}
	return nil
}

// String gives the source on one line, with how it is known where that is
// anything weaker than having read it.
func (r Ref) String() string {
	if r.IsZero() {
		return ""
	}
	s := r.Title
	if r.Edition != "" {
		s += ", " + r.Edition
	}
	if r.At != "" {
		s += ", " + r.At
	}
	switch r.How {
	case Derived:
		s += " (derived here)"
	case Memory:
		s += " (from memory)"
	case Practice:
		s += " (common practice, no source)"
	}
	return s
}

// Origin tells how a value came into the job.
type Origin string

const (
	None     Origin = ""          // not known (yet)
	Given    Origin = "given"     // written in the job
	LookedUp Origin = "looked up" // a catalogue row
	Assumed  Origin = "assumed"   // nobody said it; shown as assumed wherever it is used
	Routed   Origin = "routed"    // from the geometry
	Computed Origin = "computed"  // from other values
)

// Value is a number with where it comes from.
type Value[T any] struct {
	V      T
	Origin Origin
	Ref    Ref
	Note   string // what a reader should know about it, one short sentence or nothing
}

// Known reports whether the value has any origin at all.
func (v Value[T]) Known() bool { return v.Origin != None }

// Mark is the word that must stand beside a printed number: "assumed" for an
// assumed value, nothing otherwise.
func (v Value[T]) Mark() string {
	if v.Origin == Assumed {
		return "assumed"
	}
	return ""
}

// Of wraps a value written in the job.
func Of[T any](v T) Value[T] { return Value[T]{V: v, Origin: Given} }

// Look wraps a value taken from a catalogue row.
func Look[T any](v T, r Ref) Value[T] { return Value[T]{V: v, Origin: LookedUp, Ref: r} }

// Assume wraps a value nobody gave, with its ground and what was assumed.
func Assume[T any](v T, r Ref, note string) Value[T] {
	return Value[T]{V: v, Origin: Assumed, Ref: r, Note: note}
}
