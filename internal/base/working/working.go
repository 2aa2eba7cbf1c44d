// Package working holds the derivation of a number: what a person sees on
// opening it. Engines do not build workings; assess does, from what they return.
package working

import "bankwright/internal/base/source"

// Input is one number that went into a result.
type Input struct {
	Name   string        `json:"name"`
	Value  string        `json:"value"` // as printed, with unit
	Origin source.Origin `json:"origin"`
	Source string        `json:"source,omitempty"`
	Note   string        `json:"note,omitempty"`
	ID     string        `json:"id,omitempty"` // the working of this input, where it has one
}

// Working is one number's derivation.
type Working struct {
	ID      string  `json:"id"`   // stable, such as "B1.current"
	What    string  `json:"what"` // in words
	Formula string  `json:"formula"`
	Inputs  []Input `json:"inputs"`
	Result  string  `json:"result"`
	Source  string  `json:"source,omitempty"` // of the formula
}

// Assumed lists the names of the inputs nobody gave.
func (w Working) Assumed() []string {
	var names []string
	for _, in := range w.Inputs {
		if in.Origin == source.Assumed {
			names = append(names, in.Name)
		}
	}
	return names
}
