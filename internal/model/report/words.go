package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/finding"
)

// MarginWords says how far a finding's number lies from its limit, in the units
// that a job shows; "" without a number.
func MarginWords(show quantity.Show, n *finding.Number) string {
	if n == nil {
		return ""
	}
	value, limit := numberWords(show, n.Value, n.Unit, 0), numberWords(show, n.Limit, n.Unit, 0)
	for more := 1; more <= 3 && value == limit && n.Value != n.Limit; more++ {
		value, limit = numberWords(show, n.Value, n.Unit, more), numberWords(show, n.Limit, n.Unit, more)
	}
	words := value + " against " + limit + ": "
	switch left := 100 * n.Margin; {
	case n.Unlike:
		return words + "unlike"
	case left < -200: // only a value over a limit goes so far
		return words + fmt.Sprintf("%.3g times it", 1-n.Margin)
	case left < 0 && left > -1:
		return words + "just past it"
	case left < 0:
		return words + fmt.Sprintf("%.0f %% past it", -left)
	default:
		return words + fmt.Sprintf("%.0f %% left", left)
	}
}

// numberWords writes an SI number of a finding for people, where that shows a
// difference with more digits than usual.
func numberWords(show quantity.Show, v float64, unit string, more int) string {
	switch unit {
	case "A":
		return quantity.Format(quantity.Current(v), 3+more)
	case "V":
		return quantity.Format(quantity.Voltage(v), 3+more)
	case "m":
		return show.FormatLength(quantity.Length(v))
	case "m²":
		return strconv.FormatFloat(v*1e6, 'g', 3+more, 64) + " mm²"
	case "m2": // of an opening
		return strconv.FormatFloat(v*1e4, 'g', 3+more, 64) + " cm²"
	case "K":
		return show.FormatTemperature(quantity.Temperature(v))
	case "Ω":
		return quantity.Format(quantity.Resistance(v), 3+more)
	case "s":
		return quantity.Format(quantity.Duration(v), 2+more)
	case "W":
		return quantity.Format(quantity.Power(v), 3+more)
	case "N":
		return quantity.Format(quantity.Force(v), 3+more)
	case "kg":
		return quantity.Format(quantity.Mass(v), 3+more)
	case "1":
		if v == math.Trunc(v) && v != 0 { // a number of things
			return strconv.FormatFloat(v, 'g', -1, 64)
		}
		return strconv.FormatFloat(100*v, 'g', 2+more, 64) + " %"
	}
	return strings.TrimSpace(fmt.Sprintf("%.*g %s", 3+more, v, unit))
}
