package bank

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

// MonthName is a month as a job writes it.
type MonthName string

// MonthNames are the twelve in order.
var MonthNames = [12]MonthName{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}

// How air reaches the back of solar panels.
const (
	OnRack = "rack" // free on both sides
	OnRoof = "roof" // close above a roof
	OnBack = "back" // glued on
)

// Days is what is asked of the balance of days. Without loads there is none.
type Days struct {
	Loads        []DayLoad
	Sun          []SunField
	Mains        Mains
	Drive        Drive
	Floor, Start source.Value[quantity.Ratio] // of the state of charge
	Wish         source.Value[quantity.Duration]
	Dark         source.Value[quantity.Ratio] // sun of a bad day over a mean day's
	Kept         source.Value[quantity.Ratio] // of a charge; not known: the chemistry's
	Tail         source.Value[quantity.Duration]
	InvertersOff bool // while nothing runs on them
}

// Span is a part of a day, seconds after midnight, From below To, To at most 24 h.
type Span struct{ From, To float64 }

// DayLoad is one load of the day.
type DayLoad struct {
	ID, Name string
	Power    source.Value[quantity.Power] // while it runs, on its own side of an inverter
	Spans    []Span                       // when it runs; nil: spread evenly
	Hours    source.Value[quantity.Duration]
	Duty     quantity.Ratio
	BadDuty  quantity.Ratio
	Months   [12]bool
	Through  string // inverter, "" none
	Part     string // load of parts, "" none
}

// SunField is a field of solar panels on one charger.
type SunField struct {
	ID, Part    string
	Peak        quantity.Power
	Tilt        source.Value[quantity.Angle]
	Azimuth     source.Value[quantity.Angle] // from north over east; not known: towards the equator
	Mounting    source.Value[string]
	Loss        source.Value[quantity.Ratio]
	Coefficient source.Value[quantity.Ratio] // lost a kelvin above 25 °C
}

// Mains is when the mains chargers are plugged in; no days: never.
type Mains struct {
	Spans []Span
	Days  int // a week, the last ones
}

// Drive is when an engine turns an alternator; no part: never.
type Drive struct {
	Part  string
	Spans []Span
	Hours quantity.Duration
	From  source.Value[quantity.Duration]
	Days  int // a week, the last ones
}

// SpansOf gives the spans of a day from one clock time to another, over
// midnight where the second is not after the first.
func SpansOf(from, to float64) []Span {
	const day = 86400
	switch {
	case to > from:
		return []Span{{from, to}}
	case to > 0 && from < day:
		return []Span{{0, to}, {from, day}}
	case to > 0:
		return []Span{{0, to}}
	default:
		return []Span{{from, day}}
	}
}

// Within is the part of hour i of a day, 0 to 23, that lies in the spans: 0 to
// 1. Spans that overlap count once.
func Within(spans []Span, i int) float64 {
	const hour = 3600
	from, to := float64(i)*hour, float64(i+1)*hour
	sum, at := 0.0, from
	for at < to {
		// The next stretch that begins at or after where the last one ended.
		next, end := to, to
		for _, s := range spans {
			a, b := max(s.From, at), min(s.To, to)
			if b > a && (a < next || a == next && b > end) {
				next, end = a, b
			}
		}
		if !(next < to) {
			break
		}
		sum += end - next
		at = end
	}
	return sum / hour
}
