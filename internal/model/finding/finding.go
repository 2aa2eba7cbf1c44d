// Package finding holds what a check says about a design. A finding means the
// design is poor; an error means the work cannot be done.
package finding

import (
	"slices"
	"strings"
)

// Severity of a finding, in words a fitter uses.
type Severity string

const (
	Fault   Severity = "fault"   // must be mended before it is built
	Warning Severity = "warning" // look at this
	Note    Severity = "note"    // worth knowing
)

// Rank orders severities, the gravest first: 0, 1, 2.
func (s Severity) Rank() int {
	switch s {
	case Fault:
		return 0
	case Warning:
		return 1
	}
	return 2
}

// Finding is one thing a rule says about one place.
type Finding struct {
	Rule       string   `json:"rule"`
	Severity   Severity `json:"severity"`
	Place      string   `json:"place"`            // an ID of the job, an end, or "takeoff"
	Places     []string `json:"places,omitempty"` // all, the first among them, where it says the same of several
	Message    string   `json:"message"`
	Suggestion string   `json:"suggestion,omitempty"`
	Source     string   `json:"source"`
	Number     *Number  `json:"number,omitempty"`
}

// At reports whether it speaks of a place.
func (f *Finding) At(place string) bool { return f.Place == place || slices.Contains(f.Places, place) }

// Where names its places for a sentence.
func (f Finding) Where() string {
	if len(f.Places) == 0 {
		return f.Place
	}
	return strings.Join(f.Places, ", ")
}

// Number is a value held against a limit.
type Number struct {
	Value  float64 `json:"value"`            // SI
	Limit  float64 `json:"limit"`            // SI
	Unit   string  `json:"unit"`             // of both
	Margin float64 `json:"margin"`           // part of the limit that is left; below 0 it is passed
	Unlike bool    `json:"unlike,omitempty"` // the two should be the same: there is no left or past
}

// Unchecked says what a rule could not look at, and why.
type Unchecked struct {
	Rule  string `json:"rule"`
	Place string `json:"place"`
	Why   string `json:"why"`
}
