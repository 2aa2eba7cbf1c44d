package assemble_test

import (
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/read/assemble"
	"bankwright/internal/read/catalog"
)

func panelBank(t *testing.T) *bank.Bank {
	t.Helper()
	src, err := os.ReadFile("../job/testdata/good/panel.yaml")
	if err != nil {
		t.Fatal(err)
	}
	b, _, err := assemble.Read("panel.yaml", src, catalog.Default())
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// A part that sits on an end has that end for its own, and the bank has it once.
func TestPartOnAnEnd(t *testing.T) {
	b := panelBank(t)
	if got, want := b.Part("F1").Ends(), []bank.End{{ID: "B1", Place: "+"}, {ID: "F1", Place: "b"}}; !slices.Equal(got, want) {
		t.Errorf("F1 has %v, want %v", got, want)
	}
	if got, want := b.Part("D1").Ends()[0], (bank.End{ID: "P1", Place: "2"}); got != want {
		t.Errorf("D1 begins at %v, want %v", got, want)
	}
	count := map[bank.End]int{}
	for _, e := range b.Ends() {
		if count[e]++; count[e] > 1 {
			t.Errorf("%v stands twice among the ends", e)
		}
	}
	if count[bank.End{ID: "F1", Place: "a"}] != 0 {
		t.Error("F1.a is an end although F1 sits on B1+")
	}
}

// A drop at the rating over the rating: 80 mV / 200 A = 0.4 mΩ and 100 mV / 20 A
// = 5 mΩ, by the constants of the catalogue.
func TestResistanceFromRating(t *testing.T) {
	b := panelBank(t)
	for id, want := range map[string]float64{"F1": 0.4e-3, "D1": 5e-3, "D2": 10e-3} {
		r := b.Part(id).Resistance
		if math.Abs(float64(r.V)-want) > 1e-12 || r.Origin != source.Assumed {
			t.Errorf("%s: %v %v, want %v, assumed", id, r.V, r.Origin, want)
		}
	}
}

func TestLugsAndSheet(t *testing.T) {
	b := panelBank(t)
	m8 := bank.Lug{Hole: "M8"}
	if got := b.Cables[1].Lugs; got[0] != m8 || got[1].Hole != "M8" || got[1].Barrel.String() != "2/0 AWG" {
		t.Errorf("W2 has %v", got)
	}
	if got := b.Cables[0].Lugs; got[0] != got[1] || got[0].Thickness != 3.5e-3 {
		t.Errorf("W1 has %v", got)
	}
	f := b.Part("F1").Rated
	if f.LetThrough != 30e3 || len(f.Times) != 2 || f.Times[1] != (bank.TimePoint{Current: 1000, Least: 0.2, Most: 1}) || f.Torque != 12 {
		t.Errorf("F1: %+v", f)
	}
	if got := b.Part("P1").Section; got != [2]float64{25e-3, 6e-3} {
		t.Errorf("the bar's section is %v", got)
	}
	if b.Inlet != (bank.Inlet{Current: 10, Voltage: 230}) {
		t.Errorf("inlet %v", b.Inlet)
	}
}

// Straight between the points and flat beyond them.
func TestEfficiencyAt(t *testing.T) {
	d := &panelBank(t).Part("I1").Device
	for load, want := range map[quantity.Ratio]float64{0: 0, 0.05: 0.41, 0.1: 0.82, 0.3: 0.865, 1: 0.87, 1.7: 0.87} {
		if got := float64(d.EfficiencyAt(load)); math.Abs(got-want) > 1e-12 {
			t.Errorf("at %v: %v, want %v", load, got, want)
		}
	}
	if d.Efficiency.V != 0.87 {
		t.Errorf("at full power %v", d.Efficiency.V)
	}
	if got := (&bank.Device{Efficiency: source.Of(quantity.Ratio(0.9))}).EfficiencyAt(0.3); got != 0.9 {
		t.Errorf("one figure gives %v", got)
	}
}

// A part without a place of its own stands with its end a over its host.
func TestPlaceOnAnEnd(t *testing.T) {
	src := `bankwright: 1
battery_types:
  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, size: {length: 300 mm, width: 200 mm, height: 220 mm}, posts: {positive: [50 mm, 40 mm], negative: [250 mm, 40 mm]}}
batteries: [{id: B1, type: block, at: [100 mm, 100 mm, 0 mm]}]
parts: [{id: F1, kind: fuse, rating: 100 A, on: B1+, turn: %s, size: {length: 60 mm, width: 20 mm, height: 25 mm}}, {id: S1, kind: stud}]
cables: [{id: W1, from: F1.b, to: S1, resistance: 1 Ω}]
takeoff: {positive: S1, negative: B1-}
`
	for turn, want := range map[string]bank.Point{"0": {X: 0.21, Y: 0.14, Z: 0.245}, "90": {X: 0.15, Y: 0.2, Z: 0.245}, "180": {X: 0.09, Y: 0.14, Z: 0.245}} {
		b, _, err := assemble.Read("job.yaml", []byte(strings.Replace(src, "%s", turn, 1)), catalog.Default())
		if err != nil {
			t.Fatal(err)
		}
		got, ok := b.Locate(bank.End{ID: "F1", Place: "b"})
		if !ok || math.Hypot(got.X-want.X, got.Y-want.Y) > 1e-9 || math.Abs(got.Z-want.Z) > 1e-9 {
			t.Errorf("turn %s: F1.b at %v, %v, want %v", turn, got, ok, want)
		}
		if at, _ := b.Locate(bank.End{ID: "B1", Place: "+"}); math.Hypot(at.X-0.15, at.Y-0.14) > 1e-9 {
			t.Errorf("B1+ moved to %v", at)
		}
	}
}
