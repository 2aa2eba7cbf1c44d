package rules_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

const inletJob = `bankwright: 1
inlet: {current: %s, voltage: 230 V}
battery_types:
  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13.2 V}
batteries: [{id: B1, type: block}]
parts:
  - {id: C1, kind: charger, current: 40 A, voltage: 14.375 V, efficiency: 80 %%}
  - {id: C2, kind: charger, current: 20 A, voltage: 14.375 V, efficiency: 80 %%%s}
cables:
  - {id: W1, from: C1.a, to: B1+, resistance: 1 mΩ}
  - {id: W2, from: C1.b, to: B1-, resistance: 1 mΩ}
  - {id: W3, from: C2.a, to: B1+, resistance: 1 mΩ}
  - {id: W4, from: C2.b, to: B1-, resistance: 1 mΩ}
takeoff: {positive: B1+, negative: B1-}
cases: [{id: c, charge: 10 A}]
`

// 40 A at 14.375 V over 80 % is 718.75 W, 3.125 A at 230 V; the other half of
// that: 4.6875 A together, by hand.
func TestInlet(t *testing.T) {
	for _, c := range []struct {
		inlet, more string
		want        float64 // A, 0: nothing is said
	}{
		{"4.68 A", "", 4.6875}, {"4.6875 A", "", 0}, {"4.69 A", "", 0},
		{"4 A", ", input: 1 A", 4.125}, {"4.125 A", ", input: 1 A", 0},
		{"4 A", ", input: 3 A", 4.6875}, // set above what it asks for
	} {
		r := checked(t, fmt.Sprintf(inletJob, c.inlet, c.more))
		got := 0.0
		for _, f := range r.Findings {
			if f.Rule == "INL-01" {
				got = f.Number.Value
				if !strings.Contains(f.Message, "C1 3.1 A") || f.Place != "C1" {
					t.Errorf("%s at %s", f.Message, f.Place)
				}
			}
		}
		if math.Abs(got-c.want) > 1e-9 {
			t.Errorf("inlet %s%s: %v, want %v", c.inlet, c.more, got, c.want)
		}
	}
}
