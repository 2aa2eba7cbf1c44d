package assess

import (
	"math"
	"testing"
)

// TestRunFuses: 300 A of two equal batteries in a symmetric bank is 150 A in
// each post fuse of 100 A, 1.5 times its rating, for the half hour that the
// case lasts; its own times say 2 min to 20 min there.
func TestRunFuses(t *testing.T) {
	const text = `bankwright: 1
battery_types: {block: {chemistry: lfp, nominal: 12.8 V, capacity: 200 Ah, resistance: 3 mΩ, emf: 13.2 V}}
batteries: [{id: B1, type: block}, {id: B2, type: block}]
parts:
  - {id: F1, kind: fuse, on: B1+, rating: 100 A, resistance: 0.1 mΩ, times: [[150 A, 2 min, 20 min]]}
  - {id: F2, kind: fuse, on: B2+, rating: 200 A, resistance: 0.1 mΩ}
  - {id: S, kind: stud}
  - {id: N, kind: stud}
cables:
  - {id: W1, from: F1.b, to: S, resistance: 1 mΩ}
  - {id: W2, from: F2.b, to: S, resistance: 1 mΩ}
  - {id: W3, from: B1-, to: N, resistance: 1 mΩ}
  - {id: W4, from: B2-, to: N, resistance: 1 mΩ}
takeoff: {positive: S, negative: N}
cases: [{id: pull, draw: 300 A, for: 30 min}]
`
	j, err := Load("fuses.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	r, err := j.Run("pull", RunOptions{Every: 60})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Over) != 1 {
		t.Fatalf("%+v", r.Over)
	}
	o := r.Over[0]
	if o.Part != "F1" || math.Abs(o.Amps-150) > 1e-6 || o.From != 0 || math.Abs(o.For-1800) > 1e-6 || !o.Sheet {
		t.Errorf("%+v", o)
	}
	if math.Abs(o.Holds-120) > 1e-9 || math.Abs(o.Opens-1200) > 1e-9 {
		t.Errorf("holds %g s, opens by %g s", o.Holds, o.Opens)
	}
	d, err := j.Dropout("pull")
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Over) == 0 || d.Over[0].Part != "F1" || math.Abs(d.Over[0].Opens-1200) > 1e-9 || math.Abs(d.LimitAllIn-200) > 1e-6 {
		t.Errorf("%+v, all in up to %g A", d.Over, d.LimitAllIn)
	}
}
