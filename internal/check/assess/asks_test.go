package assess

import (
	"math"
	"strings"
	"testing"
)

// askJob is one stiff-ish battery of 13.2 V behind 10 mΩ with a device right on
// its posts, leads of 1 mΩ each: 12 mΩ in all.
const askJob = `bankwright: 1
battery_types: {block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 10 mΩ, emf: 13.2 V, limits: {low: 10 V}}}
batteries: [{id: B1, type: block}]
parts: [{id: I1, kind: inverter, power: 1 kW, surge: 2 kW, surge_for: 5 s, efficiency: 80 %, cutout: 11 V}]
cables: [{id: W1, from: B1+, to: I1.a, resistance: 1 mΩ}, {id: W2, from: B1-, to: I1.b, resistance: 1 mΩ}]
takeoff: {positive: B1+, negative: B1-}
`

// TestAsks: an inverter's lasting current is its input power over the lowest
// voltage it works at, its surge the lower root of I·(U − R·I) = P of the bank
// where it is empty under load, its low limit of 10 V, but no more than P over
// the lowest voltage it works at.
func TestAsks(t *testing.T) {
	// 1.2 kW/0.8 = 1500 W from 10 V behind 12 mΩ: 5/0.012 − √((5/0.012)² − 1500/0.012)
	// = 416.7 − 220.5 = 196.2 A, at 7.65 V.
	root := 5/0.012 - math.Sqrt(25/(0.012*0.012)-1500/0.012)
	for _, row := range []struct {
		name            string
		edit            []string
		lasting, surge  float64
		assumedSomeways bool
	}{
		{"cut-out", nil, 1250 / 11.0, 2500 / 11.0, false}, // 10 V behind 12 mΩ gives 2083 W at most: no root
		{"low cut-out", []string{"cutout: 11 V", "cutout: 9 V"}, 1250 / 9.0, 2500 / 9.0, false},
		{"the bank does not fall to the cut-out", []string{"cutout: 11 V", "cutout: 7 V", "surge: 2 kW", "surge: 1.2 kW"}, 1250 / 7.0, root, false},
		{"no cut-out: the batteries' low limit", []string{", cutout: 11 V", ""}, 1250 / 10.0, 2500 / 10.0, false},
		{"neither: 2.5 V a cell", []string{", cutout: 11 V", "", ", limits: {low: 10 V}", ""}, 1250 / 10.0, 2500 / 10.0, true},
		{"a cut-out of half the voltage is none", []string{"cutout: 11 V", "cutout: 6.4 V"}, 1250 / 10.0, 2500 / 10.0, false},
		{"a cut-out above nominal", []string{"cutout: 11 V", "cutout: 22 V"}, 1250 / 12.8, 2500 / 12.8, false},
		{"more than the bank gives", []string{"surge: 2 kW", "surge: 4 kW"}, 1250 / 11.0, 5000 / 11.0, false},
		{"a plain load: at nominal", []string{"kind: inverter", "kind: load", "efficiency: 80 %, cutout: 11 V", "cutout: 0 V"}, 1000 / 12.8, 0, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			text := askJob
			for n := 0; n < len(row.edit); n += 2 {
				if !strings.Contains(text, row.edit[n]) {
					t.Fatalf("the job lacks %q", row.edit[n])
				}
				text = strings.Replace(text, row.edit[n], row.edit[n+1], 1)
			}
			text = strings.Replace(text, ", cutout: 0 V", "", 1)
			j, err := Load("ask.yaml", []byte(text))
			if err != nil {
				t.Fatal(err)
			}
			lasting, surge := j.takes(&j.Bank.Parts[0])
			if math.Abs(lasting-row.lasting) > 1e-6*row.lasting {
				t.Errorf("lasting %g A, want %g", lasting, row.lasting)
			}
			if row.surge > 0 && math.Abs(surge-row.surge) > 1e-6*row.surge {
				t.Errorf("surge %g A, want %g", surge, row.surge)
			}
			if _, assumed := j.draws(); assumed != row.assumedSomeways {
				t.Errorf("assumed: %v", assumed)
			}
		})
	}
}
