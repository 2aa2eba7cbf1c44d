package assess

import (
	"math"
	"strings"
	"testing"

	"bankwright/internal/model/report"
)

// weakJob is a battery whose open-circuit voltage goes straight from 11 V empty
// to 14 V full, 12 mΩ with its leads, and an inverter right on it.
const weakJob = `bankwright: 1
battery_types: {block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 10 mΩ, curve: [[0 %, 11 V], [100 %, 14 V]], limits: {low: 10 V}}}
batteries: [{id: B1, type: block}]
parts: [{id: I1, kind: inverter, power: 500 W, surge: 1.1 kW, surge_for: 5 s, efficiency: 100 %, cutout: 10 V}]
cables: [{id: W1, from: B1+, to: I1.a, resistance: 1 mΩ}, {id: W2, from: B1-, to: I1.b, resistance: 1 mΩ}]
takeoff: {positive: B1+, negative: B1-}
`

// TestTerminalsFarDown: at a charge c the bank has U = 11 + 3c behind 12 mΩ. With P the
// device has V with V·(U − V)/R = P, V = (U + √(U² − 4RP))/2, and it stops where
// that is its cut-out K: U = K + R·P/K.
func TestTerminalsFarDown(t *testing.T) {
	at := func(u, p float64) float64 { return (u + math.Sqrt(u*u-4*0.012*p)) / 2 }
	for _, row := range []struct {
		name                 string
		edit                 []string
		charge, volts, stops float64
		surge, assumed       bool
	}{
		// K + R·P/K = 10 + 1.32 = 11.32 V: 10.667 %.
		{"surge", nil, 0.2, at(11.6, 1100), 0.32 / 3, true, true},
		{"the batteries' floor", []string{"low: 10 V", "low: 10 V, floor: 5 %"}, 0.05, at(11.15, 1100), 0.32 / 3, true, false},
		// 12 + 0.012·500/12 = 12.5 V: 50 %.
		{"no surge, high cut-out", []string{"surge: 1.1 kW, surge_for: 5 s, ", "", "cutout: 10 V", "cutout: 12 V"}, 0.2, at(11.6, 500), 0.5, false, true},
		{"never stops", []string{"surge: 1.1 kW", "surge: 600 W"}, 0.2, at(11.6, 600), 0, true, true},
		// 11.6²/(4·0.012) = 2803 W is all it can give at 20 %; at 10 V it has 4 kW: U = 14.8 V, more than full.
		{"more than it gives", []string{"surge: 1.1 kW", "surge: 4 kW"}, 0.2, 0, math.NaN(), true, true},
		// A current: 11.6 − 0.012·100; it stops under 11.2 V: 6.667 %.
		{"a load by its current", []string{"kind: inverter, power: 500 W, surge: 1.1 kW, surge_for: 5 s, efficiency: 100 %", "kind: load, current: 100 A"}, 0.2, 11.6 - 1.2, 0.2 / 3, false, true},
	} {
		t.Run(row.name, func(t *testing.T) {
			w := weakOf(t, row.edit)
			if math.Abs(w.Volts-row.volts) > 1e-6 || w.Charge != row.charge || w.Surge != row.surge || w.Assumed != row.assumed {
				t.Errorf("%+v, want %g V at %g", w, row.volts, row.charge)
			}
			// Bisection stops at a ten-thousandth.
			if math.IsNaN(w.Stops) != math.IsNaN(row.stops) || math.Abs(w.Stops-row.stops) > 1.1e-4 {
				t.Errorf("stops below %g, want %g", w.Stops, row.stops)
			}
		})
	}
}

func weakOf(t *testing.T, edit []string) report.WeakPoint {
	t.Helper()
	text := weakJob
	for n := 0; n < len(edit); n += 2 {
		if !strings.Contains(text, edit[n]) {
			t.Fatalf("the job lacks %q", edit[n])
		}
		text = strings.Replace(text, edit[n], edit[n+1], 1)
	}
	j, err := Load("weak.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	s, err := j.Side()
	if err != nil {
		t.Fatal(err)
	}
	return s.Loads[0].Weak
}
