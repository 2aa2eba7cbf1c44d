package assess_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/base/working"
	"bankwright/internal/check/assess"
	"bankwright/internal/check/rules"
	"bankwright/internal/engine/conductor"
)

// boat is the example d.c. side of the rules, with some text replaced.
func boat(t *testing.T, pairs ...string) *assess.Job {
	t.Helper()
	j, err := assess.Load("boat.yaml", []byte(strings.NewReplacer(pairs...).Replace(rules.Find("AMP-01").Passing)))
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func opened(t *testing.T, j *assess.Job, id string) working.Working {
	t.Helper()
	w, err := j.ExplainSide(id)
	if err != nil {
		t.Fatal(err)
	}
	if w.ID != id || w.What == "" || w.Formula == "" || w.Result == "" || len(w.Inputs) == 0 {
		t.Fatalf("incomplete: %+v", w)
	}
	for _, in := range w.Inputs {
		if in.Name == "" || in.Value == "" || in.Origin == source.None {
			t.Errorf("%s: incomplete input %+v", id, in)
		}
	}
	return w
}

// printed reads a number that begins a text, in SI where it has a unit.
func printed[Q quantity.Quantity](t *testing.T, text string) float64 {
	t.Helper()
	v, err := quantity.Parse[Q](text)
	if err != nil {
		t.Fatal(err)
	}
	return float64(v)
}

func leading(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(strings.Fields(text)[0], 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// near compares two numbers that were printed with four digits.
func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-3*math.Abs(want) {
		t.Errorf("%s: %g, not %g", what, got, want)
	}
}

// Each number comes out of its own inputs, worked out here once more.
func TestSideWorkings(t *testing.T) {
	j := boat(t, "{id: W6, from: P1.2, to: I1.a,", "{id: W6, from: P1.2, to: I1.a, engine: true,")
	t.Run("ampacity", func(t *testing.T) {
		w := opened(t, j, "W6.ampacity")
		product := printed[quantity.Current](t, w.Inputs[0].Value)
		for _, in := range w.Inputs[1:] {
			product *= leading(t, in.Value)
		}
		near(t, "table times factors", printed[quantity.Current](t, w.Result), product)
		near(t, "2/0 for 105 °C in an engine space", product, 280.5) // 330 A · 0.85
	})
	t.Run("steady", func(t *testing.T) {
		w, most := opened(t, j, "W6.steady"), 0.0
		for _, in := range w.Inputs {
			most = math.Max(most, printed[quantity.Current](t, in.Value))
		}
		near(t, "largest", printed[quantity.Current](t, w.Result), most)
		near(t, "1 kW at 88 % and the cut-out of 10.5 V", most, 1000/10.5/0.88)
		// Empty under load, 10 V, the bank falls below the cut-out under 1.7 kW.
		near(t, "1.7 kW at 88 % and the cut-out of 10.5 V", printed[quantity.Current](t, opened(t, j, "W6.surge").Result), 1700/10.5/0.88)
	})
	t.Run("withstand", func(t *testing.T) {
		w := opened(t, j, "W6.withstand")
		k, s := leading(t, w.Inputs[0].Value), leading(t, w.Inputs[1].Value)
		near(t, "(k·S)²", leading(t, w.Result), k*k*s*s)
	})
	t.Run("lost", func(t *testing.T) {
		w := opened(t, j, "I1.lost")
		u, v := leading(t, w.Inputs[0].Value), leading(t, w.Inputs[1].Value)
		near(t, "(U − V)/U", leading(t, w.Result)/100, (u-v)/u)
	})
}

// The heat balance's results hold it: at the current that is printed the
// conductor is as warm as is printed, of a cable made of the printed inputs.
func TestSideWorkingsOfHeat(t *testing.T) {
	j := boat(t)
	for _, id := range []string{"W6", "W11"} {
		for _, kind := range []string{"physics", "temperature"} {
			w := opened(t, j, id+"."+kind)
			in := map[string]string{}
			for _, one := range w.Inputs {
				in[one.Name] = one.Value
			}
			section := map[string]float64{"W6": 67.43e-6, "W11": 3.308e-6}[id]
			c := conductor.Cable{R20: printed[quantity.ResistancePerLength](t, in["resistance at 20 °C"]), Section: section, Conductor: math.Sqrt(4 * section / (math.Pi * 0.6)),
				Outside: printed[quantity.Length](t, in["outside diameter"]), Resistivity: leading(t, in["thermal resistivity of the insulation"]), Emissivity: leading(t, in["emissivity"])}
			air := printed[quantity.Temperature](t, in["air round it"])
			amperes, want := 0.0, 0.0
			if kind == "physics" {
				amperes, want = printed[quantity.Current](t, w.Result), printed[quantity.Temperature](t, in["insulation bears"])
			} else {
				amperes, want = printed[quantity.Current](t, in["I"]), printed[quantity.Temperature](t, w.Result)
			}
			s, err := conductor.Steady(c, conductor.Place{Ambient: air}, amperes)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(s.Conductor-want) > 0.5 { // the diameter is printed with three digits
				t.Errorf("%s.%s: %.2f K, not %.2f", id, kind, s.Conductor, want)
			}
		}
	}
}

// The most and the least of a dead short are those of the d.c. side; the most
// of the main fuse, by hand: both batteries through it into a short just behind.
func TestSideWorkingsOfFaults(t *testing.T) {
	j := boat(t)
	s, err := j.Side()
	if err != nil {
		t.Fatal(err)
	}
	for i := range s.Guards {
		g := &s.Guards[i]
		near(t, g.Part+".most", printed[quantity.Current](t, opened(t, j, g.Part+".most").Result), g.Most)
		near(t, g.Part+".least", printed[quantity.Current](t, opened(t, j, g.Part+".least").Result), g.Least)
	}
	w := opened(t, j, "W6.most")
	near(t, "W6.most", printed[quantity.Current](t, w.Result), s.Lines[5].Most)
	for _, in := range w.Inputs {
		if in.Name == "B1 open-circuit" {
			near(t, in.Name, printed[quantity.Voltage](t, in.Value), 13.2)
		}
		if in.Name == "B1 resistance" {
			near(t, in.Name, printed[quantity.Resistance](t, in.Value), 5e-3)
		}
	}
}

// All numbers have their own IDs and inputs; one that is not there is refused
// with a list; kinds are told from those of a snapshot.
func TestSideWorkingsList(t *testing.T) {
	j := boat(t)
	_, err := j.ExplainSide("W99.ampacity")
	if err == nil || !strings.Contains(err.Error(), "there is no number W99.ampacity") {
		t.Fatal(err)
	}
	_, list, _ := strings.Cut(err.Error(), "there are ")
	seen := map[string]bool{}
	for _, id := range strings.Split(list, ", ") {
		if seen[id] || !assess.IsSideNumber(id) {
			t.Errorf("%q twice or of no kind", id)
		}
		seen[id] = true
	}
	for _, id := range []string{"W1.steady", "W16.withstand", "F1.steady", "F2.most", "D1.least", "I1.terminals", "L1.lost"} {
		if !seen[id] {
			t.Errorf("no %s", id)
		}
	}
	for _, id := range []string{"W1.length", "W1.drop", "takeoff.voltage", "imbalance", "run.first_out", "most", ""} {
		if assess.IsSideNumber(id) {
			t.Errorf("%q is taken for one of the d.c. side", id)
		}
	}
}
