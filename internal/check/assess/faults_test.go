package assess_test

import (
	"math"
	"os"
	"strings"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"
)

func shortsIn(t *testing.T, j *assess.Job) *assess.Faults {
	t.Helper()
	f, err := j.Faults()
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Rises) != len(f.Points) || len(f.IntoRises) != len(f.Into) {
		t.Fatalf("%d rises of %d places, %d of %d batteries", len(f.Rises), len(f.Points), len(f.IntoRises), len(f.Into))
	}
	return f
}

// One battery, 0.5 m of 2/0 out and back without a place: half a metre of two
// round conductors 30 mm apart, worked out here; the strands of a round filled
// to six tenths with 67.43 mm².
func TestRiseByLength(t *testing.T) {
	const text = "bankwright: 1\nbattery_types:\n  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13.2 V, fault_resistance: 4 mΩ}\nbatteries: [{id: B1, type: block}]\nparts: [{id: S, kind: stud}, {id: T, kind: stud}]\n" +
		"cables: [{id: W1, from: B1+, to: S, size: 2/0 AWG, length: 0.5 m}, {id: W2, from: B1-, to: T, size: 2/0 AWG, length: 0.5 m}]\ntakeoff: {positive: S, negative: T}\n"
	j, err := assess.Load("one.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	f := shortsIn(t, j)
	r := math.Sqrt(67.43e-6 / 0.6 / math.Pi)
	want := 0.5 * 4e-7 * (math.Log(0.03/r) + 0.25)
	for i, p := range f.Points {
		if p.Place.String() != "S" {
			continue
		}
		one := &f.Rises[i]
		if one.Routed || one.Why == "" {
			t.Errorf("by routes: %+v", one)
		}
		near(t, "inductance", one.Inductance, want)
		near(t, "time constant", one.Most.Tau, want/p.Most.Resistance)
		near(t, "nine tenths", one.Part(one.Most, 0.9), math.Ln10*want/p.Most.Resistance)
		if !(one.Least.Tau < one.Most.Tau) {
			t.Errorf("the weaker is slower: %g s, %g s", one.Least.Tau, one.Most.Tau)
		}
	}
	if one := f.IntoRises[0]; !math.IsNaN(one.Inductance) || !math.IsNaN(one.Part(one.Most, 0.9)) || len(f.Leads) != 0 {
		t.Errorf("nothing flows into a battery alone: %+v, %v", one, f.Leads)
	}
	w := opened(t, j, "S.rise")
	if !strings.Contains(w.Result, "to 90 %") {
		t.Error(w.Result)
	}
	near(t, "µH told", leading(t, opened(t, j, "S.inductance").Result)/1e6, roundTo3(want))
	if _, err := j.ExplainSide("B1.into.rise"); err == nil {
		t.Error("the rise of nothing is told")
	}
	if _, err := j.ExplainSide("Z9.rise"); err == nil || !strings.Contains(err.Error(), "there are B1+") {
		t.Errorf("a place that is none: %v", err)
	}
}

func roundTo3(v float64) float64 {
	step := math.Pow(10, math.Floor(math.Log10(v))-2)
	return math.Round(v/step) * step
}

// Of an example with routes the inductance is by routes, of the order of 1 µH a
// metre of loop; a part stands for its place of the most current.
func TestRiseByRoutes(t *testing.T) {
	src, err := os.ReadFile("../../../examples/library-trailer.yaml")
	if err != nil {
		t.Fatal(err)
	}
	j, err := assess.Load("library-trailer.yaml", src)
	if err != nil {
		t.Fatal(err)
	}
	f := shortsIn(t, j)
	for i := range f.Rises {
		if one := &f.Rises[i]; !f.Points[i].Place.IsPost() {
			continue // devices may hang on cables of a given length
		} else if !one.Routed || one.Why != "" || !(one.Inductance > 1e-7 && one.Inductance < 5e-6) {
			t.Errorf("%s: %+v", f.Points[i].Place, one)
		}
	}
	opened(t, j, "B1+.rise")
	opened(t, j, "B1.into.inductance")
}

// Two batteries on two links: the other's 13.2 V over 5 mΩ and the two links go
// through each link, and nothing cuts it; with a fuse between, the fuse does.
func TestLeads(t *testing.T) {
	j := boat(t)
	f := shortsIn(t, j)
	if len(f.Leads) != 4 {
		t.Fatalf("leads: %+v", f.Leads)
	}
	links := 0.0
	for i := range j.Bank.Cables[:2] {
		links += float64(j.Bank.Cables[i].Resistance(quantity.Temperature(293.15)))
	}
	for _, l := range f.Leads {
		near(t, l.Battery+" "+l.Cable, l.Amps, 13.2/(0.005+links))
		near(t, "not cut", l.Bare, l.Amps)
		if len(l.Opens) != 0 {
			t.Errorf("%+v", l)
		}
		// k = 226·√ln(1 + (160 − 105)/(234.5 + 105)) A√s/mm² (IEC 60364-5-54, from memory), for 5 s.
		near(t, "bears", l.Bears, 226*math.Sqrt(math.Log(1+55/339.5))*67.43/math.Sqrt(5))
	}
	fused := boat(t, "  - {id: F2, kind: fuse", "  - {id: F9, kind: fuse, class: class_t, rating: 200 A, interrupt: 20 kA, volts: 125 V, resistance: 0.1 mΩ}\n  - {id: F2, kind: fuse",
		"{id: W1, from: B1+, to: B2+,", "{id: W19, from: B2+, to: F9.b, size: 2/0 AWG, length: 3 in, insulation: 105 °C}\n  - {id: W1, from: B1+, to: F9.a,")
	for _, l := range shortsIn(t, fused).Leads {
		if l.Bare != 0 || len(l.Opens) != 1 || l.Opens[0] != "F9" {
			t.Errorf("behind a fuse: %+v", l)
		}
	}
}
