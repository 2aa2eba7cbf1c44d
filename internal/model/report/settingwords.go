package report

import (
	"math"

	"bankwright/internal/base/quantity"
)

// Words gives what to set and what the job has, for people, in a job's units.
func (s *Setting) Words(show quantity.Show) (set, have string) {
	return s.span(show), s.value(show, s.Job)
}

// From says what a setting rests on.
func (s *Setting) From() string {
	if s.Ref.IsZero() {
		return "the batteries' own limits in the job"
	}
	words := s.Ref.String()
	if s.Assumed {
		words += "; assumed from the chemistry, the batteries' sheet governs"
	}
	return words
}

func (s *Setting) span(show quantity.Show) string {
	low, high := !math.IsNaN(s.Least), !math.IsNaN(s.Most)
	words := ""
	switch {
	case low && high && s.Least == s.Most:
		words = s.value(show, s.Least)
	case low && high:
		words = s.value(show, s.Least) + " to " + s.value(show, s.Most)
	case low:
		words = s.value(show, s.Least) + " or above"
	case high:
		words = s.value(show, s.Most) + " at most"
	case s.Off:
		return "off"
	default:
		return "unknown, ask the maker"
	}
	if s.Off {
		words += ", or off"
	}
	return words
}

func (s *Setting) value(show quantity.Show, v float64) string {
	switch {
	case math.IsNaN(v):
		return ""
	case s.Unit == "V/K":
		return quantity.FormatFixed(1000*v, 0) + " mV/K"
	}
	return numberWords(show, v, s.Unit, 0)
}
