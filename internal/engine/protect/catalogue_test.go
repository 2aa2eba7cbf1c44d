package protect

import (
	"math"
	"testing"

	"bankwright/data"
	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/read/catalog"
)

// TestShippedFuses: every class of the catalogue, at every standard rating it
// may come in, has rows that make a band, and the band tells what the rows do.
func TestShippedFuses(t *testing.T) {
	cat, err := catalog.Load(data.Files)
	if err != nil {
		t.Fatal(err)
	}
	bands := 0
	for _, class := range cat.FuseClasses() {
		for _, rated := range cat.StandardRatings().List {
			rows := class.BandsFor(rated)
			b, err := BandOf(rows)
			if err != nil {
				t.Errorf("%s, %g A: %v", class.ID, float64(rated), err)
				continue
			}
			if len(rows) > 0 {
				bands++
			}
			for _, r := range rows {
				m := float64(r.Multiple)
				if least := b.AtLeast(m); r.Least > 0 && !(least >= float64(r.Least)) {
					t.Errorf("%s, %g A at %g: holds %g s, the row %g s", class.ID, float64(rated), m, least, float64(r.Least))
				}
				if most := b.AtMost(m); r.Most > 0 && !(most <= float64(r.Most)) {
					t.Errorf("%s, %g A at %g: opened after %g s, the row %g s", class.ID, float64(rated), m, most, float64(r.Most))
				}
				if r.Holds && !math.IsInf(b.AtLeast(m), 1) {
					t.Errorf("%s, %g A: does not hold %g times its rating", class.ID, float64(rated), m)
				}
			}
		}
	}
	if bands < 50 {
		t.Errorf("only %d bands were looked at", bands)
	}
}

// TestShippedLimits: 2/0 AWG of 105 °C, 330 A in Table 5, by every shipped rule
// for a conductor's amperes: the largest standard rating, by hand.
func TestShippedLimits(t *testing.T) {
	cat, err := catalog.Load(data.Files)
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{"cfr_183_455_low": 450, "cfr_183_455_high": 350, "cfr_46_111_50": 350, "cfr_46_183_380": 350, "cfr_46_28_860": 300}
	met := 0
	for _, rule := range cat.ProtectionLimits() {
		largest, known := want[rule.ID]
		if !known {
			continue
		}
		met++
		r := Allowed(source.Of(largest), source.Of(330.0), rule, cat.StandardRatings())
		verdict(t, rule.ID, r.Outcome, Within)
		near(t, rule.ID, r.Largest, largest, 0)
		next, _ := cat.StandardRatings().AtLeast(quantity.Current(largest + 1))
		verdict(t, rule.ID+", next", Allowed(source.Of(float64(next)), source.Of(330.0), rule, cat.StandardRatings()).Outcome, Outside)
	}
	if met != len(want) {
		t.Errorf("%d of %d rules were met", met, len(want))
	}
}
