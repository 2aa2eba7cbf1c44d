package assess

import (
	"io/fs"
	"math"
	"testing"

	"bankwright/examples"
	"bankwright/internal/base/source"
)

// TestExamples: every example loads, every case of it solves, and the numbers
// obey Kirchhoff's laws with the cables' own lengths.
func TestExamples(t *testing.T) {
	names, err := fs.Glob(examples.Files, "*.yaml")
	if err != nil || len(names) < 4 {
		t.Fatalf("%d examples, %v", len(names), err)
	}
	for _, name := range names {
		t.Run(name, func(t *testing.T) {
			j := mustLoad(t, example(t, name))
			cases := []string{""}
			for _, c := range j.Bank.Cases {
				cases = append(cases, c.ID)
			}
			for _, id := range cases {
				r, err := j.Currents(id)
				if err != nil {
					t.Fatal(err)
				}
				checkKirchhoff(t, r.Bank, &r.Sharing)
				checkDemand(t, r.Sharing.Current, r.Sharing.Voltage, j, id)
				checkCableLengths(t, j)
				if len(r.Workings) < 5*len(j.Bank.Batteries) {
					t.Errorf("only %d workings", len(r.Workings))
				}
			}
		})
	}
}

// checkDemand: the take-off gets what the case asks for.
func checkDemand(t *testing.T, current, voltage float64, j *Job, id string) {
	t.Helper()
	c, err := j.Case(id)
	if err != nil {
		t.Fatal(err)
	}
	if c.ByPower {
		near(t, c.ID+" power", current*voltage, float64(c.Power), 1e-9*math.Abs(float64(c.Power)))
		return
	}
	near(t, c.ID+" current", current, float64(c.Current), 0)
}

// checkCableLengths: a routed length is that of the route drawn, and the
// resistance is r20 times length and two joints.
func checkCableLengths(t *testing.T, j *Job) {
	t.Helper()
	for _, r := range j.Routes {
		c := cableOf(t, j.Bank, r.Cable)
		sum := 0.0
		for _, s := range r.Steps {
			sum += s.Length
		}
		near(t, c.ID+" steps", sum, r.Length, 1e-9)
		if c.Length.Origin == source.Routed {
			near(t, c.ID+" length", float64(c.Length.V), r.Length, 0)
		}
		if !c.Whole.Known() {
			per := float64(c.PerLength.V)
			near(t, c.ID+" resistance at 20 °C", float64(c.Resistance(293.15)), per*float64(c.Length.V)+1e-4, 1e-15)
		}
	}
}

// TestWorkings: every number that a working rests on and names has a working
// itself, and a wrong name says what names look like.
func TestWorkings(t *testing.T) {
	for _, name := range []string{"library-trailer.yaml", "ridge-hut.yaml", "survey-boat.yaml", "market-cart.yaml"} {
		r := mustCurrents(t, example(t, name), "")
		ids := map[string]bool{}
		for _, w := range r.Workings {
			if ids[w.ID] {
				t.Errorf("%s: two workings %s", name, w.ID)
			}
			ids[w.ID] = true
			if w.What == "" || w.Formula == "" || w.Result == "" {
				t.Errorf("%s: working %s lacks words: %+v", name, w.ID, w)
			}
		}
		for _, w := range r.Workings {
			for _, in := range w.Inputs {
				if in.ID != "" && !ids[in.ID] {
					t.Errorf("%s: %s rests on %s, which has no working", name, w.ID, in.ID)
				}
				if in.Origin == source.None || in.Value == "" {
					t.Errorf("%s: %s rests on %+v, of no origin or value", name, w.ID, in)
				}
			}
		}
		if _, err := Explain(r, "B9.current"); err == nil {
			t.Error("a number that is not there was explained")
		} else {
			saying(t, err, "B9.current", "takeoff.voltage")
		}
		if w, err := Explain(r, "takeoff.voltage"); err != nil || w.ID != "takeoff.voltage" {
			t.Errorf("takeoff.voltage: %+v, %v", w, err)
		}
	}
}

// TestFaultResistance: a battery whose resistance and EMF are given is exactly
// that in a dead short too; a curve is no EMF, with or without a state of charge.
func TestFaultResistance(t *testing.T) {
	const curve = "resistance: 4 mΩ, curve: [[0 %, 11.8 V], [100 %, 13.6 V]]"
	for _, row := range []struct {
		kind, battery string
		want          float64
		origin        source.Origin
	}{
		{"resistance: 4 mΩ, emf: 13.2 V", "", 4e-3, source.Given},
		{"resistance: 4 mΩ, emf: 13.2 V, fault_resistance: 2.2 mΩ", "", 2.2e-3, source.Given},
		{"resistance: 4 mΩ", "", 2.4e-3, source.Assumed},
		{curve, "", 2.4e-3, source.Assumed},
		{curve, ", start: 50 %", 2.4e-3, source.Assumed},
	} {
		j := mustLoad(t, "bankwright: 1\nbattery_types: {unit: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, "+row.kind+"}}\n"+
			"batteries: [{id: B1, type: unit"+row.battery+"}]\ntakeoff: {positive: B1+, negative: B1-}\n")
		got := j.Bank.Batteries[0].FaultResistance
		near(t, row.kind+row.battery, float64(got.V), row.want, 1e-15)
		if got.Origin != row.origin {
			t.Errorf("%s%s is %s, want %s", row.kind, row.battery, got.Origin, row.origin)
		}
	}
}
