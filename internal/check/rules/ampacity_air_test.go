package rules_test

import (
	"fmt"
	"strings"
	"testing"
)

// TestTableAir: 33 CFR 183.425 Table 5 is for air of 30 °C, and of 50 °C in
// engine spaces; what warmer air does is told as not counted, once.
func TestTableAir(t *testing.T) {
	text := passing("AMP-01")
	for _, row := range []struct {
		ambient int
		engine  bool
		says    string
	}{
		{30, false, ""}, {31, false, "the table is for air of 30 °C and has no factor for 31 °C outside engine spaces"},
		{50, false, "has no factor for 50 °C outside engine spaces"}, {40, true, ""}, {50, true, ""},
		{51, true, "engine spaces is for air of 50 °C and it has none for 51 °C"},
	} {
		changed := strings.Replace(text, "ambient: 30 °C", fmt.Sprintf("ambient: %d °C", row.ambient), 1)
		if row.engine {
			changed = strings.ReplaceAll(changed, "insulation: 105 °C", "insulation: 105 °C, engine: true")
		}
		var told []string
		for _, u := range checked(t, changed).Unchecked {
			if u.Rule == "AMP-01" {
				told = append(told, u.Why)
			}
		}
		switch {
		case row.says == "" && len(told) > 0, row.says != "" && len(told) != 1, row.says != "" && !strings.Contains(told[0], row.says):
			t.Errorf("%d °C, engine %v: %q", row.ambient, row.engine, told)
		}
	}
}
