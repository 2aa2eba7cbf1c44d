package network

import (
	"fmt"
	"math"
	"testing"
)

// sameEnd and diagonal give the shares of n equal batteries on two chains of
// links, rho being the links of both rails over the battery:
//
//	same end:  cosh((n - k + 1/2)·theta), k = 1..n
//	diagonal:  cosh((k - (n + 1)/2)·theta), both rails alike
//
// each over its sum, cosh(theta) = 1 + rho/2. Derived from Kirchhoff's laws,
// I(k+1) - 2·I(k) + I(k-1) = rho·I(k), and the two boundary conditions.
func sameEnd(n int, rho float64) []float64 {
	return coshShares(n, rho, func(k int) float64 { return float64(n-k) + 0.5 })
}

func diagonal(n int, rho float64) []float64 {
	return coshShares(n, rho, func(k int) float64 { return float64(k) - float64(n+1)/2 })
}

func coshShares(n int, rho float64, at func(k int) float64) []float64 {
	theta := math.Acosh(1 + rho/2)
	shares, sum := make([]float64, n), 0.0
	for k := range n {
		shares[k] = math.Cosh(at(k+1) * theta)
		sum += shares[k]
	}
	for k := range shares {
		shares[k] /= sum
	}
	return shares
}

// TestClosedForm: largest battery current over the mean, "same end" and
// "diagonal". The printed values are computed, not published, and rounded to
// three decimals: tolerance 0.001. Against the closed form itself: 1e-10.
func TestClosedForm(t *testing.T) {
	sizes := []int{2, 3, 4, 5, 6, 8}
	rows := []struct {
		rho               float64
		sameEnd, diagonal [6]float64
	}{
		{0.01, [6]float64{1.005, 1.017, 1.034, 1.059, 1.089, 1.167}, [6]float64{1.000, 1.002, 1.005, 1.010, 1.017, 1.034}},
		{0.02, [6]float64{1.010, 1.033, 1.068, 1.115, 1.173, 1.318}, [6]float64{1.000, 1.003, 1.010, 1.020, 1.033, 1.068}},
		{0.05, [6]float64{1.024, 1.080, 1.163, 1.271, 1.399, 1.704}, [6]float64{1.000, 1.008, 1.024, 1.048, 1.080, 1.163}},
		{0.10, [6]float64{1.048, 1.152, 1.305, 1.494, 1.711, 2.195}, [6]float64{1.000, 1.016, 1.048, 1.093, 1.152, 1.305}},
		{0.15, [6]float64{1.070, 1.219, 1.430, 1.683, 1.964, 2.569}, [6]float64{1.000, 1.024, 1.070, 1.136, 1.219, 1.430}},
		{0.20, [6]float64{1.091, 1.281, 1.542, 1.846, 2.177, 2.872}, [6]float64{1.000, 1.031, 1.091, 1.175, 1.281, 1.542}},
		{0.40, [6]float64{1.167, 1.487, 1.890, 2.330, 2.784, 3.707}, [6]float64{1.000, 1.059, 1.167, 1.313, 1.487, 1.890}},
	}
	const battery, total = 0.005, 200.0 // ohm, A; any will do
	for _, row := range rows {
		for i, n := range sizes {
			t.Run(fmt.Sprintf("rho %g, %d batteries", row.rho, n), func(t *testing.T) {
				// Only the sum of the rails counts at the same end: make them differ.
				near := mustSolve(t, ladder(n, 12.8, battery, 0.3*row.rho*battery, 0.7*row.rho*battery), drawn(2*n, n, 0, total))
				across := mustSolve(t, ladder(n, 12.8, battery, 0.5*row.rho*battery, 0.5*row.rho*battery), drawn(2*n, n, n-1, total))
				for _, c := range []struct {
					name           string
					current, share []float64
					printed        float64
				}{
					{"same end", near.Current[:n], sameEnd(n, row.rho), row.sameEnd[i]},
					{"diagonal", across.Current[:n], diagonal(n, row.rho), row.diagonal[i]},
				} {
					for k := range n {
						if got := c.current[k] / total; math.Abs(got-c.share[k]) > 1e-10 {
							t.Errorf("%s: share of battery %d is %.12f, closed form %.12f", c.name, k+1, got, c.share[k])
						}
					}
					if got := largest(c.current) * float64(n) / total; math.Abs(got-c.printed) > 0.001 {
						t.Errorf("%s: largest over mean %.4f, printed %.3f", c.name, got, c.printed)
					}
				}
			})
		}
	}
}

// TestDiagonalIsHalfSameEnd: the worst battery of n on the diagonal carries as
// much over the mean as the worst of n/2 at the same end.
func TestDiagonalIsHalfSameEnd(t *testing.T) {
	for n := 2; n <= 20; n += 2 {
		for _, link := range []float64{1e-6, 1e-4, 1e-3, 5e-3} {
			across := mustSolve(t, ladder(n, 12.8, 0.005, link, link), drawn(2*n, n, n-1, 1))
			near := mustSolve(t, ladder(n/2, 12.8, 0.005, link, link), drawn(n, n/2, 0, 1))
			got, want := largest(across.Current[:n])*float64(n), largest(near.Current[:n/2])*float64(n/2)
			if math.Abs(got-want) > 1e-10 {
				t.Errorf("%d batteries, link %g: diagonal %.12f, half at the same end %.12f", n, link, got, want)
			}
		}
	}
}

// TestPublished: batteries in parallel on one load. Currents are those of the
// batteries, then of the load; V is the voltage across the load.
func TestPublished(t *testing.T) {
	type row struct {
		name     string
		net      Network
		injected []float64
		current  []float64
		volts    float64 // 0: not printed
		tol      float64 // A and V
	}
	pair := func(e1, r1, e2, r2, load float64) Network {
		return Network{Nodes: 2, Branches: []Branch{
			{From: 0, To: 1, EMF: e1, Resistance: r1}, {From: 0, To: 1, EMF: e2, Resistance: r2}, {From: 1, To: 0, Resistance: load}}}
	}
	leads := Network{Nodes: 2}
	for _, lead := range []float64{1, 1, 2.5, 4} {
		leads.Branches = append(leads.Branches, Branch{From: 0, To: 1, EMF: 12.8, Resistance: (5 + lead) * 1e-3})
	}
	rows := []row{
		// Published: textbook problem quoted in a public forum thread; prints
		// 1.069 A, 0.115 A (rounded up from 0.1145), 94.66 V: half of the last
		// digit, and a little for that rounding.
		{"textbook, 100 V and 95 V on 80 ohm", pair(100, 5, 95, 3, 80), nil,
			[]float64{1.069, 0.115, 1.184}, 94.66, 0.006},
		// The same by hand: V = (100/5 + 95/3)/(1/5 + 1/3 + 1/80).
		{"textbook, exact", pair(100, 5, 95, 3, 80), nil,
			[]float64{140.0 / 131, 15.0 / 131, 155.0 / 131}, 12400.0 / 131, 1e-12},
		// Published: homework, load current 0.53 A. The battery currents are not
		// printed there: by hand V = (10/0.5 + 12/0.8)/(1/0.5 + 1/0.8 + 1/20) = 35/3.3,
		// the weaker battery is being charged. Two decimals: half of the last.
		{"homework, 10 V and 12 V on 20 ohm", pair(10, 0.5, 12, 0.8, 20), nil,
			[]float64{(10 - 35/3.3) / 0.5, (12 - 35/3.3) / 0.8, 0.53}, 0, 0.005},
		{"homework, exact", pair(10, 0.5, 12, 0.8, 20), nil,
			[]float64{(10 - 35/3.3) / 0.5, (12 - 35/3.3) / 0.8, 35 / 3.3 / 20}, 35 / 3.3, 1e-12},
		// Computed, not published: 5 milliohm each, leads of 1, 1, 2.5 and 4
		// milliohm, 200 A; by hand 200·(1/6)/(2/6+1/7.5+1/9) = 750/13 and so on.
		{"star, 200 A", leads, drawn(2, 1, 0, 200),
			[]float64{57.692, 57.692, 46.154, 38.462}, 0, 0.0006},
		{"star, exact", leads, drawn(2, 1, 0, 200),
			[]float64{750.0 / 13, 750.0 / 13, 600.0 / 13, 500.0 / 13}, 12.8 - 0.006*750/13, 1e-10},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			s := mustSolve(t, r.net, r.injected)
			wantClose(t, "current", s.Current, r.current, r.tol)
			if r.volts != 0 {
				wantClose(t, "potential", s.Potential, []float64{0, r.volts}, r.tol)
			}
		})
	}
}
