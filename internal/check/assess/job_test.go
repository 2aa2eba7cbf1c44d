package assess

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"bankwright/examples"
	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

func mustLoad(t *testing.T, text string) *Job {
	t.Helper()
	j, err := Load("test.yaml", []byte(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return j
}

func mustCurrents(t *testing.T, text, caseID string) *report.Report {
	t.Helper()
	r, err := mustLoad(t, text).Currents(caseID)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return r
}

func mustWirings(t *testing.T, text, caseID string) *report.Wirings {
	t.Helper()
	w, err := mustLoad(t, text).Wirings(context.Background(), caseID, nil)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return w
}

// example gives the text of an example job.
func example(t *testing.T, name string) string {
	t.Helper()
	b, err := examples.Files.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// replaced changes a text, which must hold what is to go.
func replaced(t *testing.T, text, old, with string) string {
	t.Helper()
	if !strings.Contains(text, old) {
		t.Fatalf("the text has no %q", old)
	}
	return strings.Replace(text, old, with, 1)
}

// near fails unless got is within tol of want; NaN is near nothing.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.15g, want %.15g within %.2g", what, got, want, tol)
	}
}

func nearAll(t *testing.T, what string, got, want []float64, tol float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%s: %d values, want %d", what, len(got), len(want))
	}
	for i := range want {
		near(t, fmt.Sprintf("%s of %d", what, i), got[i], want[i], tol)
	}
}

func currentsOf(s *report.Sharing) []float64 {
	var all []float64
	for _, b := range s.Batteries {
		all = append(all, b.Current)
	}
	return all
}

func cableOf(t *testing.T, b *bank.Bank, id string) *bank.Cable {
	t.Helper()
	for i := range b.Cables {
		if b.Cables[i].ID == id {
			return &b.Cables[i]
		}
	}
	t.Fatalf("no cable %s", id)
	return nil
}

func pairOf(t *testing.T, w *report.Wirings, from, to string) *report.PairLength {
	t.Helper()
	for i := range w.Lengths {
		if p := &w.Lengths[i]; p.From.String() == from && p.To.String() == to {
			return p
		}
	}
	t.Fatalf("no pair %s to %s", from, to)
	return nil
}

// saying fails unless the error holds every part.
func saying(t *testing.T, err error, parts ...string) {
	t.Helper()
	if err == nil {
		t.Errorf("no error, want one that says %q", parts)
		return
	}
	for _, p := range parts {
		if !strings.Contains(err.Error(), p) {
			t.Errorf("%q does not say %q", err, p)
		}
	}
}

// checkKirchhoff sums the currents at every end and goes round every branch,
// with nothing but the result and the bank's own values.
func checkKirchhoff(t *testing.T, b *bank.Bank, s *report.Sharing) {
	t.Helper()
	sum := map[bank.End]float64{}
	most := math.Abs(s.Current)
	add := func(from, to bank.End, i float64) {
		sum[from] -= i
		sum[to] += i
		most = math.Max(most, math.Abs(i))
	}
	add(b.Takeoff.Positive, b.Takeoff.Negative, s.Current)
	volts := map[bank.End]float64{b.Takeoff.Negative: 0}
	var rises []rise
	for i, one := range s.Batteries {
		bat := &b.Batteries[i]
		if !one.Off {
			add(bat.Minus(), bat.Plus(), one.Current)
			rises = append(rises, rise{bat.Minus(), bat.Plus(), float64(bat.EMF.V) - one.Current*float64(bat.Resistance.V)})
			near(t, bat.ID+" voltage", one.Voltage, rises[len(rises)-1].volts, 1e-9)
		}
	}
	for _, list := range [][]report.Flow{s.Cables, s.Parts} {
		for _, f := range list {
			add(f.From, f.To, f.Current)
			rises = append(rises, rise{f.From, f.To, -f.Current * f.Resistance})
			near(t, f.ID+" drop", f.Drop, f.Current*f.Resistance, 1e-12)
		}
	}
	for _, e := range b.Ends() {
		near(t, "sum at "+e.String(), sum[e], 0, 1e-10*math.Max(1, most))
	}
	widest(volts, rises)
	for _, r := range rises {
		near(t, fmt.Sprintf("voltage from %s to %s", r.from, r.to), volts[r.to]-volts[r.from], r.volts, 1e-9)
	}
	near(t, "take-off voltage", volts[b.Takeoff.Positive], s.Voltage, 1e-9)
}

type rise struct {
	from, to bank.End
	volts    float64
}

// spread gives every end that the rises reach a potential.
func widest(volts map[bank.End]float64, rises []rise) {
	for grown := true; grown; {
		grown = false
		for _, r := range rises {
			a, okA := volts[r.from]
			b, okB := volts[r.to]
			switch {
			case okA && !okB:
				volts[r.to], grown = a+r.volts, true
			case okB && !okA:
				volts[r.from], grown = b-r.volts, true
			}
		}
	}
}

// ohmText prints a resistance so that it reads back the same.
func ohmText(r quantity.Resistance) string { return fmt.Sprintf("%.17g ohm", float64(r)) }
