package run

import (
	"fmt"
	"math"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// four is the bank of battery.md 1.5: 100 Ah, 10 mΩ, links of 0.75 mΩ in each
// rail, from 95 %, out at 10 %.
func four(last int) *bank.Bank {
	var all []bank.Battery
	for i := range 4 {
		b := exact(fmt.Sprintf("B%d", i+1), fourLFP, 10e-3, 100, 0.95)
		b.Model.Guard.Floor = source.Of(quantity.Ratio(0.1))
		all = append(all, b)
	}
	return chain(0.75e-3, last, all...)
}

// TestWholeDischarge is the run of battery.md 1.5, computed there by Euler
// steps of 10 s: ±0.15 A, ±0.3 % of charge, end ±0.5 %.
func TestWholeDischarge(t *testing.T) {
	for _, tc := range []struct {
		name    string
		last    int
		at      []float64 // h
		current [][]float64
		charge  [][]float64
		out     float64 // h
		ah      float64
	}{
		{"same end", 0, []float64{0, 0.5, 1, 1.5, 2, 2.5},
			[][]float64{{35.75, 26.12, 20.40, 17.74}, {34.55, 26.12, 20.86, 18.47}, {31.23, 25.23, 22.57, 20.98}, {32.27, 25.28, 21.96, 20.49}, {28.21, 27.47, 23.13, 21.19}, {20.43, 26.61, 27.22, 25.74}},
			[][]float64{{95, 95, 95, 95}, {77.6, 82.0, 84.6, 85.8}, {61.4, 68.9, 73.7, 76.0}, {45.6, 56.3, 62.6, 65.6}, {30.1, 43.2, 51.5, 55.2}, {17.9, 29.5, 38.9, 43.7}},
			2.953, 295},
		{"diagonal", 3, []float64{0, 0.5, 1, 1.5, 2, 2.5},
			[][]float64{{26.74, 23.26, 23.26, 26.74}, {26.56, 23.44, 23.44, 26.56}, {25.80, 24.20, 24.20, 25.80}, {25.97, 24.03, 24.03, 25.97}, {26.06, 23.94, 23.94, 26.06}, {24.54, 25.46, 25.46, 24.54}},
			[][]float64{{95, 95, 95, 95}, {81.7, 83.3, 83.3, 81.7}, {68.6, 71.4, 71.4, 68.6}, {55.7, 59.3, 59.3, 55.7}, {42.6, 47.4, 47.4, 42.6}, {30.0, 35.0, 35.0, 30.0}},
			3.353, 335},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r := mustRun(t, four(tc.last), Options{Every: 1800}, bank.Case{ID: "load", Current: 100})
			for k, h := range tc.at {
				n := int(math.Round(h * 2))
				near(t, "time", r.Time[n], h*3600, 1e-6)
				for i := range 4 {
					near(t, fmt.Sprintf("B%d at %g h, A", i+1, h), r.Batteries[i].Current[n], tc.current[k][i], 0.15)
					near(t, fmt.Sprintf("B%d at %g h, %%", i+1, h), 100*r.Batteries[i].Charge[n], tc.charge[k][i], 0.3)
				}
			}
			if len(r.Events) == 0 || r.Events[0].What != report.Empty || r.Events[0].Battery != "B1" {
				t.Fatalf("first event %+v, not B1 empty", r.Events)
			}
			near(t, "first out, h", r.Events[0].Time/3600, tc.out, 0.005*tc.out)
			near(t, "delivered until then, Ah", r.FirstOut/3600, tc.ah, 0.005*tc.ah)
			if !(r.BankOut > r.FirstOut) || r.Ended != "the bank was out" {
				t.Errorf("bank out after %g Ah: %s", r.BankOut/3600, r.Ended)
			}
			near(t, "the whole bank, Ah", r.BankOut/3600, 340, 1e-6) // every battery gave 85 Ah, whoever was first
		})
	}
}

// TestTwoUnequal is case 8 of battery.md: the closed form of its section 1.4,
// checked there with a circuit simulator.
func TestTwoUnequal(t *testing.T) {
	// Ten times the capacity and the slope: the same ratio, so the same currents,
	// without running empty, which 100 Ah would within the four hours.
	b := chain(1e-9, 0, exact("B1", sloped(12, 2.7), 10e-3, 1000, 0.9), exact("B2", sloped(12, 2.7), 15e-3, 1000, 0.9))
	r := mustRun(t, b, Options{Every: 10}, draw(50, 4))
	for at, want := range map[int]float64{0: 30, 3600: 29.029, 7200: 28.246, 14390: 27.109} {
		near(t, fmt.Sprintf("B1 at %d s", at), r.Batteries[0].Current[at/10], want, 0.001)
	}
	// The form itself, at every sample: tau = (R1+R2) / (k (1/C1+1/C2)).
	tau := 25e-3 / (0.27 * 2 / 360000)
	near(t, "tau", tau, 16666.7, 0.05)
	for n, at := range r.Time {
		near(t, fmt.Sprintf("B1 at %g s", at), r.Batteries[0].Current[n], 25+5*math.Exp(-at/tau), 2e-6)
	}
}

// TestPeukert is case 14: t = H·(C/(I·H))^k, the capacity rated over 20 h.
func TestPeukert(t *testing.T) {
	for _, tc := range []struct{ k, amps, hours, ah float64 }{
		{1.25, 25, 2.6750, 66.87}, {1.12, 25, 3.2975, 82.44}, {1.25, 5, 20, 100}, {1.25, 2, 50, 100},
	} {
		one := exact("B1", flat(12), 5e-3, 100, 1)
		one.Model.Peukert, one.Model.RatedFor = source.Of(tc.k), source.Of(quantity.Duration(20*3600))
		r := mustRun(t, chain(1e-3, 0, one), Options{}, bank.Case{ID: "load", Current: quantity.Current(tc.amps)})
		near(t, fmt.Sprintf("k %g at %g A, h", tc.k, tc.amps), r.Events[0].Time/3600, tc.hours, 5e-5*tc.hours)
		near(t, fmt.Sprintf("k %g at %g A, Ah", tc.k, tc.amps), r.BankOut/3600, tc.ah, 1e-4*tc.ah)
	}
}
