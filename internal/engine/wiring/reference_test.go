package wiring

import (
	"fmt"
	"math"
	"slices"
	"testing"
)

// Largest current over mean current of N equal strings on two equal chains, by
// ρ = 2·link/R: the closed form of TestClosedForm, rounded to a thousandth and
// checked at the time by a nodal solve and a circuit simulator. Tolerance: half
// of the last digit, and 1e-9.
func TestTableOfChains(t *testing.T) {
	strings := []int{2, 3, 4, 5, 6, 8}
	for _, row := range []struct {
		rho            float64
		same, diagonal []float64
	}{
		{0.01, []float64{1.005, 1.017, 1.034, 1.059, 1.089, 1.167}, []float64{1.000, 1.002, 1.005, 1.010, 1.017, 1.034}},
		{0.02, []float64{1.010, 1.033, 1.068, 1.115, 1.173, 1.318}, []float64{1.000, 1.003, 1.010, 1.020, 1.033, 1.068}},
		{0.05, []float64{1.024, 1.080, 1.163, 1.271, 1.399, 1.704}, []float64{1.000, 1.008, 1.024, 1.048, 1.080, 1.163}},
		{0.10, []float64{1.048, 1.152, 1.305, 1.494, 1.711, 2.195}, []float64{1.000, 1.016, 1.048, 1.093, 1.152, 1.305}},
		{0.15, []float64{1.070, 1.219, 1.430, 1.683, 1.964, 2.569}, []float64{1.000, 1.024, 1.070, 1.136, 1.219, 1.430}},
		{0.20, []float64{1.091, 1.281, 1.542, 1.846, 2.177, 2.872}, []float64{1.000, 1.031, 1.091, 1.175, 1.281, 1.542}},
		{0.40, []float64{1.167, 1.487, 1.890, 2.330, 2.784, 3.707}, []float64{1.000, 1.059, 1.167, 1.313, 1.487, 1.890}},
	} {
		for k, n := range strings {
			for far, want := range map[int]float64{0: row.same[k], n - 1: row.diagonal[k]} {
				q, p, m := ladder(n, 0.01, 0.01*row.rho/2, 13, 100, 0, far)
				if got := 1 + mustEvaluate(t, q, p, m).Imbalance; math.Abs(got-want) > 0.0005+1e-9 {
					t.Errorf("ρ %v, %d strings, negative take-off on %d: %.5f, want %.3f", row.rho, n, far+1, got, want)
				}
			}
		}
	}
}

// Four strings on leads of their own to a stud on each rail: 5 mΩ each, leads
// of 1, 1, 2.5 and 4 mΩ (both rails together), 200 A. The currents are in
// inverse proportion to 6, 6, 7.5 and 9 mΩ; tolerance 0.0005 A, the last digit.
func TestStar(t *testing.T) {
	q := Question{Current: 200}
	var trees [2]Tree
	for side, r := range []*Rail{&q.Positive, &q.Negative} {
		r.Names, r.String, r.Roots = []string{"S" + "+-"[side:side+1]}, []int{-1}, []int{0}
		for i, lead := range []float64{1e-3, 1e-3, 2.5e-3, 4e-3} {
			r.Names = append(r.Names, fmt.Sprintf("B%d%c", i+1, "+-"[side]))
			r.String = append(r.String, i)
			// A third of the lead on one rail: only their sum counts.
			r.Pairs = append(r.Pairs, Pair{A: 0, B: i + 1, Length: 1, Resistance: lead * float64(1+side) / 3})
			trees[side].Pairs = append(trees[side].Pairs, i)
		}
	}
	for range 4 {
		q.Strings = append(q.Strings, String{Resistance: 5e-3, EMF: 13.2, Capacity: 100})
	}
	w := mustEvaluate(t, q, trees[0], trees[1])
	for i, want := range []float64{57.692, 57.692, 46.154, 38.462} {
		if math.Abs(w.Currents[i]-want) > 0.0005+1e-9 || math.Abs(w.PositiveFlows[i]-w.Currents[i]) > 1e-12 {
			t.Errorf("string %d: %.4f A, lead %.4f A, want %.3f", i+1, w.Currents[i], w.PositiveFlows[i], want)
		}
	}
}

// Four strings of 5 mΩ with 0.5 mΩ links at 300 A, when one goes off while its
// posts stay joints; and the same bank with a bad joint or an aged string at
// 200 A. Computed by a nodal solve and a circuit simulator; tolerance 0.006 A,
// the last digit and the rounding of 103.125 and the like.
func TestOneOff(t *testing.T) {
	for _, c := range []struct {
		name          string
		negative, off int // post of the negative take-off, string that is off
		worst         int
		amps          float64
	}{
		{"same end, first off", 0, 0, 1, 128.13},
		{"opposite ends, first off", 3, 0, 1, 103.13},
		{"opposite ends, second off", 3, 1, 0, 107.94},
	} {
		q, p, n := ladder(4, 0.005, 0.0005, 13.2, 300, 0, c.negative)
		w := mustEvaluate(t, q, p, n)
		o := w.Outs[c.off]
		if len(w.Outs) != 4 || o.String != c.off || o.Worst != c.worst || math.Abs(o.Current-c.amps) > 0.006 || math.Abs(o.Share-c.amps/100) > 0.0001 {
			t.Errorf("%s: %+v, want string %d at %v A", c.name, o, c.worst, c.amps)
		}
	}
	for name, c := range map[string]struct {
		joint, aged float64 // ohm more
		want        []float64
	}{
		"bad joint":   {0.003, 0, []float64{93.73, 28.72, 33.21, 44.34}},
		"aged string": {0, 0.005, []float64{33.78, 54.32, 51.94, 59.95}},
	} {
		q, p, n := ladder(4, 0.005, 0.0005, 13.2, 200, 0, 3)
		q.Positive.Pairs[0].Resistance += c.joint
		q.Strings[0].Resistance += c.aged
		w := mustEvaluate(t, q, p, n)
		for i, want := range c.want {
			if math.Abs(w.Currents[i]-want) > 0.006 {
				t.Errorf("%s: string %d %.4f A, want %.2f", name, i+1, w.Currents[i], want)
			}
		}
	}
}

// Resistance at the take-off, by the nodal solve and the circuit simulator;
// tolerance half of the last digit.
func TestResistance(t *testing.T) {
	for _, c := range []struct {
		ohm, link float64
		negative  int
		want      float64
	}{
		{0.02, 0.0015, 0, 7.1506e-3},
		{0.02, 0.0015, 3, 7.5988e-3},
		{0.005, 0.0005, 0, 1.9270e-3},
		{0.005, 0.0005, 3, 2.1136e-3},
	} {
		q, p, n := ladder(4, c.ohm, c.link, 13.2, 50, 0, c.negative)
		if got := mustEvaluate(t, q, p, n).Resistance; math.Abs(got-c.want) > 0.5e-7+1e-12 {
			t.Errorf("%v with links of %v, negative take-off on %d: %.8f ohm, want %.7f", c.ohm, c.link, c.negative+1, got, c.want)
		}
	}
}

// compareCircuit holds the take-off voltage and every cable of an evaluated
// wiring against the solved circuit. Tolerance 1e-8 V and A: a cable of 0.1 mΩ
// turns the last digits of a voltage into 1e-11 A.
func compareCircuit(t *testing.T, q *Question, w Wiring, full *network) {
	t.Helper()
	first := len(q.Positive.Names)
	// The circuit counts EMFs from that of the first string.
	volts := full.voltage[w.Positive.Root] - full.voltage[first+w.Negative.Root] + q.Strings[0].EMF
	if math.Abs(volts-w.TakeoffVoltage) > 1e-8 {
		t.Errorf("take-off %.10f V, circuit %.10f", w.TakeoffVoltage, volts)
	}
	for side, r := range []*Rail{&q.Positive, &q.Negative} {
		tree := []Tree{w.Positive, w.Negative}[side]
		flows := [][]float64{w.PositiveFlows, w.NegativeFlows}[side]
		atRoot := 0.0
		for s, node := range r.String {
			if s == tree.Root && node >= 0 {
				atRoot = w.Currents[node]
			}
		}
		for k, i := range tree.Pairs {
			pair := r.Pairs[i]
			amps := (full.voltage[side*first+pair.A] - full.voltage[side*first+pair.B]) / pair.Resistance
			if math.Abs(math.Abs(amps)-math.Abs(flows[k])) > 1e-8 {
				t.Errorf("cable %s to %s %.10f A, circuit %.10f", r.Names[pair.A], r.Names[pair.B], flows[k], amps)
			}
			if slices.Contains([]int{pair.A, pair.B}, tree.Root) {
				atRoot += flows[k]
			}
		}
		if math.Abs(atRoot-q.Current) > 1e-9 {
			t.Errorf("%.10f A come to the take-off, want %v", atRoot, q.Current)
		}
	}
}
