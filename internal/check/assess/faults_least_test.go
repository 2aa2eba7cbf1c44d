package assess

import (
	"math"
	"testing"
)

// The least current is that of an empty bank whatever way its voltage is told.
// With an emf and no curve: where it counts as empty, its own low limit of 10 V.
// Twice the resistance for age, and at 0 °C the chemistry's factor; by hand
// 10 V / (5 mΩ · 2 · factor) at the posts.
func TestLeastIsEmpty(t *testing.T) {
	const head = "bankwright: 1\nbattery_types: {block: {chemistry: "
	const tail = "}}\nbatteries: [{id: B1, type: block}]\nparts: [{id: S1, kind: stud}]\ncables: [{id: W1, from: B1+, to: S1, resistance: 0.1 mΩ}]\ntakeoff: {positive: S1, negative: B1-}\n"
	j, err := Load("least.yaml", []byte(head+"lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13.2 V, limits: {low: 10 V}"+tail))
	if err != nil {
		t.Fatal(err)
	}
	f, err := j.Faults()
	if err != nil {
		t.Fatal(err)
	}
	cold := j.cold(&j.Bank.Batteries[0])
	want := 10 / (5e-3 * 2 * cold)
	if got := f.Result.Points[0].Least.Current; f.Result.Points[0].Place.String() != "B1+" || math.Abs(got/want-1) > 1e-9 || !(cold > 1) {
		t.Errorf("least at %v: %g A, want %g", f.Result.Points[0].Place, got, want)
	}
	// A lead-acid battery has more resistance when empty: a given one is that of
	// the half-charged battery, and the chemistry tells the rest.
	j, err = Load("least.yaml", []byte(head+"agm, nominal: 12 V, capacity: 100 Ah, resistance: 5 mΩ"+tail))
	if err != nil {
		t.Fatal(err)
	}
	if f, err = j.Faults(); err != nil {
		t.Fatal(err)
	}
	b := &j.Bank.Batteries[0]
	depth := b.Model.Depth.At(0)
	empty := math.Max(b.Model.Curve.At(0), float64(b.Model.Guard.Low.V))
	want = empty / (5e-3 * 2 * j.cold(b) * depth)
	if got := f.Result.Points[0].Least.Current; math.Abs(got/want-1) > 1e-9 || !(depth > 1.1) {
		t.Errorf("lead-acid: least %g A, want %g with a factor of %g", got, want, depth)
	}
}
