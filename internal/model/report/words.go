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
	how := "left"
	if n.Margin < 0 {
		how = "past it"
	}
	return fmt.Sprintf("%s against %s: %.0f %% %s", numberWords(show, n.Value, n.Unit), numberWords(show, n.Limit, n.Unit), math.Abs(100*n.Margin), how)
}

// numberWords writes an SI number of a finding for people.
func numberWords(show quantity.Show, v float64, unit string) string {
	switch unit {
	case "A":
		return quantity.Format(quantity.Current(v), 3)
	case "V":
		return quantity.Format(quantity.Voltage(v), 3)
	case "m":
		return show.FormatLength(quantity.Length(v))
	case "K":
		return show.FormatTemperature(quantity.Temperature(v))
	case "Ω":
		return quantity.Format(quantity.Resistance(v), 3)
	case "s":
		return quantity.Format(quantity.Duration(v), 2)
	case "W":
		return quantity.Format(quantity.Power(v), 3)
	case "1":
		return strconv.FormatFloat(v, 'g', 3, 64)
	}
	return strings.TrimSpace(fmt.Sprintf("%.3g %s", v, unit))
}
