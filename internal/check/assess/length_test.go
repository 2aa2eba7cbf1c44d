package assess

import (
	"context"
	"errors"
	"strings"
	"testing"

	"bankwright/internal/base/source"
	"bankwright/internal/model/report"
	"bankwright/internal/read/job"
)

const placedTypes = `bankwright: 1
battery_types:
  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 4 mΩ, emf: 13.2 V, size: {length: 330 mm, width: 170 mm, height: 215 mm}, posts: {positive: [30 mm, 30 mm], negative: [300 mm, 30 mm]}}
  bare: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 4 mΩ, emf: 13.2 V}
  postless: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 4 mΩ, emf: 13.2 V, size: {length: 330 mm, width: 170 mm, height: 215 mm}}
`

// TestGivenLengthWins: a length written in the job stands where the route would
// be shorter, for the current, for the pair of the search and in the drawing's
// working.
func TestGivenLengthWins(t *testing.T) {
	routed := example(t, "library-trailer.yaml")
	given := replaced(t, routed, "{id: W4, from: B1+, to: B4+, size: 2/0 AWG,", "{id: W4, from: B1+, to: B4+, size: 2/0 AWG, length: 2 m,")
	whole := replaced(t, routed, "{id: W4, from: B1+, to: B4+, size: 2/0 AWG,", "{id: W4, from: B1+, to: B4+, resistance: 0.9 mohm,")
	a, b, c := mustCurrents(t, routed, ""), mustCurrents(t, given, ""), mustCurrents(t, whole, "")
	if got := cableOf(t, a.Bank, "W4").Length; got.Origin != source.Routed || !(got.V > 0.1 && got.V < 1) {
		t.Errorf("routed W4 is %+v", got)
	}
	if got := cableOf(t, b.Bank, "W4").Length; got.Origin != source.Given || got.V != 2 {
		t.Errorf("given W4 is %+v", got)
	}
	if len(a.Routes) != len(b.Routes) {
		t.Errorf("%d routes drawn, %d with a length given", len(a.Routes), len(b.Routes))
	}
	near(t, "W4 with 2 m", b.Sharing.Cables[3].Resistance, 2*0.2557e-3*1.02+1e-4, 1e-12)
	near(t, "W4 given whole", c.Sharing.Cables[3].Resistance, 0.9e-3, 0)
	if a.Sharing.Cables[3].Current == b.Sharing.Cables[3].Current {
		t.Error("the length given changes no current")
	}
	p := pairOf(t, mustWirings(t, given, ""), "B1+", "B4+")
	if p.Origin != source.Given || p.Length != 2 || p.Steps != nil || len(p.Points) == 0 {
		t.Errorf("the pair of W4 is %+v", p)
	}
	p = pairOf(t, mustWirings(t, whole, ""), "B1+", "B4+")
	if p.Origin != source.Routed || p.Resistance != 0.9e-3 {
		t.Errorf("the pair of W4, given whole, is %+v", p)
	}
}

// TestPairByHand: wirings: pairs gives the length of a pair that the job has no
// cable for, in either direction.
func TestPairByHand(t *testing.T) {
	text := replaced(t, example(t, "library-trailer.yaml"), "  lugs: 4", "  lugs: 4\n  pairs: [{from: B5+, to: B2+, length: 1.5 m}]")
	w := mustWirings(t, text, "")
	p := pairOf(t, w, "B2+", "B5+")
	if p.Origin != source.Given || p.Length != 1.5 {
		t.Errorf("pair by hand is %+v", p)
	}
	near(t, "its resistance", p.Resistance, 1.5*0.2557e-3*1.02+1e-4, 1e-12)
	if other := pairOf(t, w, "B2-", "B5-"); other.Origin != source.Routed {
		t.Errorf("the other rail's pair is %+v", other)
	}
}

// TestPairsOfCables: where the job has a cable between two ends, its own length
// stands, with the steps that make it up, though the search is asked for
// another size, which bends wider.
func TestPairsOfCables(t *testing.T) {
	text := replaced(t, example(t, "library-trailer.yaml"), "cable: {positive: 2/0 AWG, negative: 2/0 AWG}", "cable: {positive: 4/0 AWG, negative: 2 AWG}")
	j := mustLoad(t, text)
	w, err := j.Wirings(context.Background(), "", nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range w.Lengths {
		sum := 0.0
		for _, s := range p.Steps {
			sum += s.Length
		}
		near(t, p.From.String()+" to "+p.To.String()+" by its steps", sum, p.Length, 1e-9)
		for i := range j.Bank.Cables {
			if c := &j.Bank.Cables[i]; c.From == p.From && c.To == p.To || c.From == p.To && c.To == p.From {
				near(t, "pair of "+c.ID, p.Length, float64(c.Length.V), 0)
			}
		}
	}
	if w.Own == nil || !strings.Contains(w.Own.Note, "other sizes or joints") {
		t.Errorf("own wiring in other sizes: %+v, %s", w.Own, w.OwnNote)
	}
}

// TestNoPlace: what has no place and no length is told with the line of what
// to mend.
func TestNoPlace(t *testing.T) {
	const tail = "takeoff: {positive: B1+, negative: B1-}\nwirings: {cable: {positive: 35 mm2, negative: 35 mm2}}\ncases: [{id: load, draw: 100 A}]\n"
	const wires = "cables:\n  - {id: W1, from: B1+, to: B2+, size: 35 mm2}\n  - {id: W2, from: B1-, to: B2-, size: 35 mm2, length: 300 mm}\n"
	for _, row := range []struct {
		name, batteries, parts string
		currents, wirings      []string
	}{
		{"battery without at", "  - {id: B1, type: block, at: [0 mm, 0 mm, 0 mm]}\n  - {id: B2, type: block}\n", "",
			[]string{"test.yaml:10:5: cable W1 has no length: B2 lacks at, or its type size, so B2+ has no place; give its length or resistance"},
			[]string{"test.yaml:8:5: the pair B1+ to B2+ has no length: B2 lacks at, or its type size, so B2+ has no place; give that, or the length under wirings: pairs"}},
		{"type without size", "  - {id: B1, type: bare, at: [0 mm, 0 mm, 0 mm]}\n  - {id: B2, type: block, at: [0 mm, 200 mm, 0 mm]}\n", "",
			[]string{"test.yaml:10:5: ", "the type of B1 lacks posts, so B1+ has no place"},
			[]string{"test.yaml:7:5: the pair B1+ to B2+ has no length: the type of B1 lacks posts"}},
		{"type without posts", "  - {id: B1, type: block, at: [0 mm, 0 mm, 0 mm]}\n  - {id: B2, type: postless, at: [0 mm, 200 mm, 0 mm]}\n", "",
			[]string{"the type of B2 lacks posts, so B2+ has no place"}, []string{"test.yaml:8:5: ", "the type of B2 lacks posts"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			text := placedTypes + "batteries:\n" + row.batteries + wires + tail
			j := mustLoad(t, text)
			_, err := j.Currents("")
			saying(t, err, row.currents...)
			_, err = j.Wirings(context.Background(), "", nil)
			saying(t, err, row.wirings...)
			var faults *job.Faults
			if !errors.As(err, &faults) || len(faults.List) != 1 {
				t.Errorf("%v is not one fault", err)
			}
		})
	}
}

// TestNoPlaceOfStud: a take-off stud without a place, and two batteries without
// one, each told once.
func TestNoPlaceOfStud(t *testing.T) {
	text := placedTypes + "batteries:\n  - {id: B1, type: block}\n  - {id: B2, type: block}\n  - {id: B3, type: block, at: [0 mm, 0 mm, 0 mm]}\nparts:\n  - {id: S1, kind: stud}\n  - {id: S2, kind: stud}\n" +
		"takeoff: {positive: S1, negative: S2}\nwirings: {cable: {positive: 35 mm2, negative: 35 mm2}}\n"
	_, err := mustLoad(t, text).Wirings(context.Background(), "", nil)
	saying(t, err, "test.yaml:7:5: ", "test.yaml:8:5: ", "test.yaml:11:5: the pair B3+ to S1 has no length: S1 lacks at or size")
	if n := strings.Count(err.Error(), "\n"); n != 2 {
		t.Errorf("%d lines, want 3: %v", n+1, err)
	}
	// Lengths by hand mend it, without any place.
	pairs := "pairs: [" + equalPairs("B1+", "B2+", "B3+", "S1") + ", " + equalPairs("B1-", "B2-", "B3-", "S2") + "], "
	w := mustWirings(t, replaced(t, text, "wirings: {", "wirings: {"+pairs), "")
	if w.Space != "256" || !w.Exact { // (3+1)^(3-1) a rail
		t.Errorf("space %s, exact %v", w.Space, w.Exact)
	}
}

// TestUnrouted: a pair with no way for a cable is left out and told.
func TestUnrouted(t *testing.T) {
	text := placedTypes + `batteries:
  - {id: B1, type: block, at: [10 mm, 10 mm, 0 mm]}
  - {id: B2, type: block, at: [10 mm, 210 mm, 0 mm]}
  - {id: B3, type: block, at: [1010 mm, 10 mm, 0 mm]}
compartments:
  - {id: bay, at: [0 mm, 0 mm, 0 mm], size: {length: 400 mm, width: 400 mm, height: 400 mm}}
  - {id: far, at: [1000 mm, 0 mm, 0 mm], size: {length: 400 mm, width: 400 mm, height: 400 mm}}
takeoff: {positive: B1+, negative: B1-}
wirings:
  cable: {positive: 35 mm2, negative: 35 mm2}
  pairs: [{from: B2+, to: B3+, length: 2 m}, {from: B2-, to: B3-, length: 2 m}]
`
	w := mustWirings(t, text, "")
	if len(w.Unrouted) != 2 || w.Unrouted[0].From.String() != "B1+" || w.Unrouted[0].To.String() != "B3+" || w.Unrouted[0].Why == "" {
		t.Errorf("left out: %+v", w.Unrouted)
	}
	if w.Space != "1" || len(w.Lengths) != 4 {
		t.Errorf("space %s of %d pairs", w.Space, len(w.Lengths))
	}
	for _, one := range w.Textbook[:3] { // the chain goes round what cannot be joined
		if one.Missing || len(one.Positive) != 2 {
			t.Errorf("%+v", one)
		}
	}
	// With studs in the bay, the far battery's equal lead has no way.
	text = replaced(t, text, "takeoff: {positive: B1+, negative: B1-}",
		"parts:\n  - {id: S1, kind: stud, at: [380 mm, 390 mm, 300 mm]}\n  - {id: S2, kind: stud, at: [20 mm, 390 mm, 300 mm]}\ntakeoff: {positive: S1, negative: S2}")
	w = mustWirings(t, text, "")
	leads := w.Textbook[len(w.Textbook)-1]
	if leads.Name != "equal leads to studs" || !leads.Missing || leads.Note != "S1 and B3+ cannot be joined here" {
		t.Errorf("%+v", leads)
	}
}

// TestMoveOne moves one battery by changing its line: the lengths of its own
// cables, the pairs it has in the search and the currents change together;
// what is not its own stays.
func TestMoveOne(t *testing.T) {
	before := example(t, "library-trailer.yaml")
	after := replaced(t, before, "{id: B3, type: block150, at: [17 1/2 in, 1 in, 0 in]", "{id: B3, type: block150, at: [22 in, 1 in, 0 in]")
	a, b := mustCurrents(t, before, ""), mustCurrents(t, after, "")
	wa, wb := mustWirings(t, before, ""), mustWirings(t, after, "")
	for i := range a.Bank.Cables {
		ca, cb := &a.Bank.Cables[i], &b.Bank.Cables[i]
		own := ca.From.ID == "B3" || ca.To.ID == "B3"
		if changed := ca.Length.V != cb.Length.V; changed != own {
			t.Errorf("%s from %s to %s: %v before, %v after", ca.ID, ca.From, ca.To, ca.Length.V, cb.Length.V)
		}
		if onRails := ca.From.IsPost() && ca.To.IsPost(); !onRails {
			continue
		}
		from, to := ca.From.String(), ca.To.String()
		if to < from {
			from, to = to, from
		}
		near(t, "pair of "+ca.ID+" before", pairOf(t, wa, from, to).Length, float64(ca.Length.V), 0)
		near(t, "pair of "+ca.ID+" after", pairOf(t, wb, from, to).Length, float64(cb.Length.V), 0)
	}
	for i := range wa.Lengths {
		pa, pb := &wa.Lengths[i], &wb.Lengths[i]
		own := pa.From.ID == "B3" || pa.To.ID == "B3"
		if changed := pa.Length != pb.Length; changed != own {
			t.Errorf("pair %s to %s: %v before, %v after", pa.From, pa.To, pa.Length, pb.Length)
		}
	}
	for i, one := range a.Sharing.Batteries {
		if one.Current == b.Sharing.Batteries[i].Current {
			t.Errorf("%s carries %v A before and after", one.ID, one.Current)
		}
	}
	// The cheapest wiring passes by B3 either way, so its copper stays.
	if wa.Own.Imbalance == wb.Own.Imbalance || wa.Front[0].Imbalance == wb.Front[0].Imbalance {
		t.Error("the search does not see the move")
	}
	for _, pair := range []struct {
		r *report.Report
		w *report.Wirings
	}{{a, wa}, {b, wb}} {
		nearAll(t, "own wiring's currents", pair.w.Own.Currents, currentsOf(&pair.r.Sharing), 1e-9)
	}
}
