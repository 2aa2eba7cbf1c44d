package assess_test

import (
	"strings"
	"testing"

	"bankwright/internal/check/assess"
)

// saysOf lists all that a proposal says of cables.
func saysOf(c *assess.Chosen) string {
	var all []string
	for i := range c.Cables {
		all = append(all, c.Cables[i].Why)
	}
	return strings.Join(append(all, c.Assumed...), "\n")
}

// TestChosenMetricHeld: 33 CFR 183.455 counts 150 % from its own table, which
// has no metric row: over a metric lead a device is held by the heat balance,
// at most 100 %, and the law is not named. A gauge keeps the law's 150 %.
func TestChosenMetricHeld(t *testing.T) {
	gauges := swapped(t, cart, "kind: breaker, resistance", "kind: breaker, rating: 60 A, resistance")
	text := swapped(t, gauges, "wire: AWG, length: in", "wire: mm2, length: mm")
	c := chosen(t, text)
	says := saysOf(c)
	if strings.Contains(says, "183.455") || !strings.Contains(says, "by the heat balance, as the book's table has no row for it") || !strings.Contains(says, "no table here has metric sizes") {
		t.Error(says)
	}
	for _, id := range []string{"W5", "W6"} {
		if one := cableOf(t, c, id); one.ByTable || one.Size.IsAWG() || one.Allowed < 60 {
			t.Errorf("%+v", one)
		}
	}
	law := chosen(t, gauges)
	// 14 AWG of 35 A allows 52.5 A, 12 AWG of 45 A allows 67.5 A.
	if one := cableOf(t, law, "W6"); one.Size.String() != "12 AWG" || !strings.Contains(one.Why, "33 CFR 183.455") {
		t.Errorf("%+v", one)
	}
}

// TestChosenSurgeUntold: a class that tells no times is never said to pass a
// surge; one that tells them is.
func TestChosenSurgeUntold(t *testing.T) {
	surge := swapped(t, cart, "power: 800 W, surge: 1.2 kW", "power: 800 W, surge: 3 kW")
	told := deviceChosen(t, chosen(t, surge), "F1")
	if !strings.Contains(told.Why, "and that passes") || strings.Contains(told.Why, "not checked") {
		t.Errorf("%s", told.Why)
	}
	// Over 2 AWG at most 300 A may stand, which the surge passes by little: no
	// class tells a time so near its rating, and a breaker has none.
	small := swapped(t, surge, "to: P1.1, length: 12 in", "to: P1.1, size: 2 AWG, length: 12 in")
	for _, text := range []string{small, swapped(t, small, "{id: F1, kind: fuse,", "{id: F1, kind: breaker,")} {
		untold := deviceChosen(t, chosen(t, text), "F1")
		if strings.Contains(untold.Why, "passes") || !strings.Contains(untold.Why, "surge not checked: how long it carries") || !strings.Contains(untold.Ask, "whether it passes the surge") {
			t.Errorf("%s; %s", untold.Why, untold.Ask)
		}
	}
}
