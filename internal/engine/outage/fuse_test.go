package outage

import (
	"math"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
)

// fused is two equal batteries of 3 mΩ, each behind a post fuse and an equal
// lead to a stud S, and one fuse FM of all from S to the take-off T.
func fused(rating1, rating2, main float64) *bank.Bank {
	fuse := func(id, on string, amps float64) bank.Part {
		p := bank.Part{ID: id, Kind: bank.Fuse, Resistance: source.Of(quantity.Resistance(1e-4))}
		if on != "" {
			p.On = end(on)
		}
		p.Rated.Current = quantity.Current(amps)
		return p
	}
	return &bank.Bank{
		Batteries: []bank.Battery{battery("B1", 12.8, 0.003, 300), battery("B2", 12.8, 0.003, 300)},
		Parts:     []bank.Part{{ID: "S", Kind: bank.Stud}, fuse("F1", "B1+", rating1), fuse("F2", "B2+", rating2), fuse("FM", "S", main)},
		Cables:    []bank.Cable{wire("W1", "F1.b", "S", 0.001), wire("W2", "F2.b", "S", 0.001), wire("N", "B1-", "B2-", 1e-9)},
		Takeoff:   takeoff("FM.b", "B1-"),
	}
}

// TestFuses: each battery carries half of the draw (the link of a nano-ohm
// moves it by a millionth), all of it once the other is out; its limit is the
// smaller of its trip of 300 A and its fuse, and the draw's is that of FM.
func TestFuses(t *testing.T) {
	for _, row := range []struct {
		name              string
		f1, f2, main      float64
		allIn, oneOut     float64
		limit1            string
		over              []string // at 150 A: all in, B1 out, B2 out
		holdsWithoutFirst bool
	}{
		{"no smaller fuse", 400, 400, 900, 600, 300, "trip", nil, true},
		{"a fuse under the trip", 100, 400, 900, 200, 100, "fuse", []string{"F1 without B2"}, true},
		{"fuses of both", 100, 120, 900, 200, 100, "fuse", []string{"F2 without B1", "F1 without B2"}, false},
		{"the fuse of all", 400, 400, 140, 140, 140, "trip", []string{"FM", "FM without B1", "FM without B2"}, true},
	} {
		t.Run(row.name, func(t *testing.T) {
			d := mustSolve(t, fused(row.f1, row.f2, row.main), amps(150))
			near(t, "all in", d.LimitAllIn, row.allIn, 1e-3)
			near(t, "one out", d.LimitOneOut, row.oneOut, 1e-3)
			if d.Limit[0].What != row.limit1 || (row.limit1 == "fuse") != (d.Limit[0].Fuse == "F1") {
				t.Errorf("limit of B1: %+v", d.Limit[0])
			}
			var over []string
			for _, o := range d.Over {
				words := o.Part
				for _, id := range o.Out {
					words += " without " + id
				}
				over = append(over, words)
			}
			if len(over) != len(row.over) {
				t.Fatalf("over: %q, want %q", over, row.over)
			}
			for i := range over {
				if over[i] != row.over[i] {
					t.Errorf("over: %q, want %q", over, row.over)
				}
			}
			if d.Outs[0].Holds != row.holdsWithoutFirst {
				t.Errorf("without B1: %+v", d.Outs[0])
			}
		})
	}
}

// TestFuseFlows: Kirchhoff's law of one side of a fuse gives what the network
// solves, on a bank whose batteries differ; a bridged fuse is named.
func TestFuseFlows(t *testing.T) {
	b := fused(100, 100, 100)
	b.Batteries[1].EMF.V = 13.1
	s, err := sharing.Solve(b, amps(70))
	if err != nil {
		t.Fatal(err)
	}
	flows, bridged := sharing.FuseFlows(b)
	if len(flows) != 3 || len(bridged) != 0 {
		t.Fatalf("%d flows, bridged %q", len(flows), bridged)
	}
	now := []float64{s.Batteries[0].Current, s.Batteries[1].Current}
	for i, want := range []float64{now[0], now[1], 70} {
		if got := flows[i].Of(now, 70); math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: %g A, want %g", flows[i].Part, got, want)
		}
		for _, p := range s.Parts {
			if p.ID == flows[i].Part && math.Abs(p.Current-want) > 1e-6 {
				t.Errorf("%s: the network has %g A, want %g", p.ID, p.Current, want)
			}
		}
	}
	b.Cables = append(b.Cables, wire("X", "FM.b", "S", 0.001))
	if flows, bridged = sharing.FuseFlows(b); len(flows) != 2 || len(bridged) != 1 || bridged[0] != "FM" {
		t.Errorf("%d flows, bridged %q", len(flows), bridged)
	}
}
