package plan

import (
	"math"
	"slices"
	"testing"

	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// TestSeat: a part without a place is drawn at the stud that it sits on, across
// the bar; one on such a part at its end; the others lie apart from each other
// from above and from the front.
func TestSeat(t *testing.T) {
	b := &bank.Bank{
		Batteries: []bank.Battery{{ID: "B1", Placed: true, HasPosts: true, Body: bank.Body{Size: bank.Point{X: 0.3, Y: 0.2, Z: 0.2}}, Posts: [2][2]float64{{0.05, 0.1}, {0.25, 0.1}}}},
		Parts: []bank.Part{
			{ID: "D2", Kind: bank.Breaker, On: bank.End{ID: "D1", Place: "b"}},
			{ID: "D1", Kind: bank.Breaker, On: bank.End{ID: "P", Place: "2"}},
			{ID: "F1", Kind: bank.Fuse, On: bank.End{ID: "B1", Place: "+"}},
			{ID: "P", Kind: bank.Bar, Studs: 3, Pitch: 0.1, Placed: true, Body: bank.Body{At: bank.Point{X: 0.5, Y: 0.4, Z: 0.3}, Size: bank.Point{X: 0.3, Y: 0.04, Z: 0.02}}},
			{ID: "L1", Kind: bank.Load}, {ID: "L2", Kind: bank.Load},
		},
		Takeoff: bank.Takeoff{Positive: bank.End{ID: "P", Place: "1"}, Negative: bank.End{ID: "B1", Place: "-"}},
	}
	sc, err := newScene(&report.Report{Bank: b}, Options{Search: &report.Wirings{}})
	if err != nil {
		t.Fatal(err)
	}
	// The middle stud of the bar: 0.05 + 0.1 along it; its top 0.32 m up.
	stud := bank.Point{X: 0.65, Y: 0.42, Z: 0.32}
	end := bank.Point{X: 0.65, Y: 0.42 + seatLong, Z: 0.32}
	for id, want := range map[string][2]bank.Point{
		"D1": {stud, end},
		"D2": {end, {X: 0.65 + seatLong, Y: end.Y, Z: 0.32}},
		"F1": {{X: 0.05, Y: 0.1, Z: 0.2}, {X: 0.05 + seatLong, Y: 0.1, Z: 0.2}},
	} {
		for k := range want {
			if got, _ := sc.bank.Part(id).EndPoint(k); math.Abs(got.X-want[k].X)+math.Abs(got.Y-want[k].Y)+math.Abs(got.Z-want[k].Z) > 1e-9 {
				t.Errorf("end %d of %s at %v, want %v", k, id, got, want[k])
			}
		}
	}
	if !slices.Equal(sc.adrift, []string{"L1", "L2"}) || !slices.Equal(sc.seated, []string{"D1", "F1", "D2"}) {
		t.Errorf("beside the rest %v, on studs %v", sc.adrift, sc.seated)
	}
	one, two := sc.bank.Part("L1").Body.At, sc.bank.Part("L2").Body.At
	if one.Y == two.Y || one.Z == two.Z {
		t.Errorf("%v and %v lie over one another", one, two)
	}
}
