package conductor

import (
	"math"
	"testing"

	"bankwright/internal/base/source"
)

var table5 = source.Ref{Title: "33 CFR 183.425", At: "table 5", Edition: "2001", How: source.Read}

// boat gives the gauges as candidates of 105 °C insulation.
func boat() []Candidate {
	var all []Candidate
	for _, g := range gauges {
		all = append(all, Candidate{Name: g.name, Cable: g.cable(), Limit: c(105), Table: g.cfr105, TableRef: table5, ShortLimit: c(160)})
	}
	return all
}

func mustChoose(t *testing.T, need Need, from []Candidate) ([]Row, Smallest) {
	t.Helper()
	rows, s, err := Choose(need, from)
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != len(from) {
		t.Fatalf("%d rows for %d candidates", len(rows), len(from))
	}
	return rows, s
}

func calm() Need { return Need{Place: Place{Ambient: c(30)}, Drop: math.NaN()} }

// TestChooseChart is E2 of the reference (FAA AC 43.13-1B 11-66): 28 V, 20 A, 50 ft
// of conductor, 1 V: 10 AWG loses 1.26 V and fails, 8 AWG 0.70 V and passes, with
// the tinned wire of table 11-9. By its own warmth the drop is a little more.
func TestChooseChart(t *testing.T) {
	wire := func(name string, ohmPerKiloFoot, cmil float64) Candidate {
		strands, outside, _ := Diameters(cmil*circularMil, 0.75, BoatWalls())
		return Candidate{Name: name, Limit: c(105), Table: math.NaN(), Cable: Cable{R20: ohmPerKiloFoot / 1000 / ft, Section: cmil * circularMil,
			Conductor: strands, Outside: outside, Resistivity: 5, Emissivity: 0.9}}
	}
	need := Need{Current: 20, Place: Place{Ambient: c(20)}, Length: 50 * ft, Drop: 1}
	rows, s := mustChoose(t, need, []Candidate{wire("10 AWG", 1.26, 9354), wire("8 AWG", 0.70, 16983)})
	for i, cold := range []float64{1.26, 0.70} {
		if !(rows[i].Volts > cold && rows[i].Volts < 1.05*cold) {
			t.Errorf("%s loses %g V, cold %g V", rows[i].Name, rows[i].Volts, cold)
		}
	}
	if rows[0].Drop.Verdict != Over || rows[0].Governs != ByDrop || rows[1].Drop.Verdict != Within {
		t.Errorf("%+v", rows)
	}
	if rows[0].Table.Verdict != Unknown || s.ByTable != -1 || s.ByHeat != 1 || s.ByBoth != -1 {
		t.Errorf("without a table: %+v, %+v", rows[0].Table, s)
	}
}

// TestChooseAmpacity is E4 of the reference: 200 A over 6 ft round trip may be
// 4 AWG by the customary drop formula, but table 5 has 160 A for it, so that
// 2 AWG (210 A) is the least.
func TestChooseAmpacity(t *testing.T) {
	if MarineMil.Section(200, 6*ft, 0.36) > 21.15e-6 {
		t.Error("the formula should allow 4 AWG")
	}
	need := calm()
	need.Current, need.Length, need.Drop = 200, 6*ft, 0.36
	rows, s := mustChoose(t, need, boat())
	if got := rows[s.ByBoth].Name; got != "2 AWG" || s.Refused != ByTable || s.ByTable != s.ByBoth || s.ByHeat != s.ByBoth {
		t.Errorf("least is %s, %+v", got, s)
	}
	near(t, "use of 4 AWG by table", rows[4].Table.Use, 200.0/160, 1e-12)
	near(t, "use of 4 AWG by heat", rows[4].Heat.Use, 200/171.4, 0.005)
	if rows[4].Governs != ByTable {
		t.Errorf("4 AWG is governed by %s", rows[4].Governs)
	}
}

// TestChooseFactors is E5 (33 CFR 183.425: 2/0 in an engine space, 330 A by 0.85
// gives 280.5 A) and E6 of the reference (10 AWG, 90 °C, at 120 °F: 40 A by 0.82).
func TestChooseFactors(t *testing.T) {
	candidate := boat()[7]
	candidate.Factors = []Factor{{Name: "engine space", Value: 0.85, Ref: source.Ref{Title: "33 CFR 183.425", At: "table 5 note 1", Edition: "2001", How: source.Memory}}}
	need := calm()
	need.Current, need.Place.Ambient = 280.5, c(50)
	rows, _ := mustChoose(t, need, []Candidate{candidate})
	near(t, "2/0 in an engine space", rows[0].Table.Allowed, 280.5, 1e-9)
	if rows[0].Table.Verdict != Within {
		t.Errorf("280.5 A of 280.5 A: %+v", rows[0].Table)
	}
	near(t, "10 AWG at 120 °F", Candidate{Table: 40, Factors: []Factor{{Value: 0.82}}}.corrected(), 32.8, 1e-12)
}

// TestChooseVerdicts: table and physics may say different things, and then both
// are told.
func TestChooseVerdicts(t *testing.T) {
	need := calm()
	need.Current = 340 // 2/0: table 330 A, by physics 371 A
	rows, s := mustChoose(t, need, boat())
	two := rows[7]
	if two.Table.Verdict != Over || two.Heat.Verdict != Within || two.Drop.Verdict != NotAsked || two.Fault.Verdict != NotAsked {
		t.Errorf("%+v", two)
	}
	if s.ByHeat != 7 || s.ByTable != 8 || s.ByBoth != 8 || s.Refused != ByTable {
		t.Errorf("%+v", s)
	}
	need.Place.Cables = 9 // by physics too much for all of them
	if _, s := mustChoose(t, need, boat()); s.ByHeat != -1 || s.ByTable != 8 || s.ByBoth != -1 || s.Refused != ByHeat {
		t.Errorf("nine tied together: %+v", s)
	}
}

func TestChooseFault(t *testing.T) {
	need := calm()
	need.Current, need.Fault = 10, &Fault{Current: 3000, Time: 0.5}
	rows, s := mustChoose(t, need, boat())
	for i, g := range gauges { // k = 87.57 A·√s/mm² between 105 and 160 °C, table 3.4 of the reference
		within := 3000*math.Sqrt(0.5) <= 87.57*g.section
		if (rows[i].Fault.Verdict == Within) != within || rows[i].Short == nil || rows[i].Short.Within != within {
			t.Errorf("%s: %+v", g.name, rows[i])
		}
		near(t, "use", rows[i].Fault.Use, 3000*math.Sqrt(0.5)/(87.57*g.section), 1e-3*rows[i].Fault.Use)
	}
	if got := rows[s.ByBoth]; got.Name != "2 AWG" || got.Governs != ByFault || s.Refused != ByFault {
		t.Errorf("%s, %+v", got.Name, s)
	}
}

func TestChooseEdges(t *testing.T) {
	need := calm()
	rows, s := mustChoose(t, need, boat())
	if s.ByBoth != 0 || s.Refused != "" || rows[0].Temperature != c(30) || rows[0].Volts != 0 || rows[0].Heat.Verdict != Within {
		t.Errorf("no current: %+v, %+v", s, rows[0])
	}
	need.Current, need.Length, need.Drop = 1e5, 1, 1 // melts them all
	rows, s = mustChoose(t, need, boat())
	if s != (Smallest{-1, -1, -1, ByDrop}) || !math.IsInf(rows[8].Temperature, 1) || !math.IsInf(rows[8].Volts, 1) || rows[8].Drop.Verdict != Over {
		t.Errorf("100 kA: %+v, %+v", s, rows[8])
	}
	if rows, s := mustChoose(t, calm(), nil); len(rows) != 0 || s != (Smallest{-1, -1, -1, ""}) {
		t.Errorf("nothing to choose from: %+v", s)
	}
	hot := calm()
	hot.Current, hot.Place.Ambient = 1, c(105)
	if rows, _ := mustChoose(t, hot, boat()[:1]); rows[0].Heat.Verdict != Over || !math.IsInf(rows[0].Heat.Use, 1) {
		t.Errorf("ambient at the limit: %+v", rows[0].Heat)
	}
	for name, alter := range map[string]func(*Need, *Candidate){
		"current": func(n *Need, _ *Candidate) { n.Current = math.NaN() },
		"length":  func(n *Need, _ *Candidate) { n.Length = -1 },
		"drop":    func(n *Need, _ *Candidate) { n.Drop = 0 },
		"place":   func(n *Need, _ *Candidate) { n.Place.Ambient = 0 },
		"cable":   func(_ *Need, c *Candidate) { c.Cable.R20 = 0 },
		"limit":   func(_ *Need, c *Candidate) { c.Limit = math.NaN() },
		"rest":    func(n *Need, _ *Candidate) { n.Rest = []Segment{{Fixed: -1}} },
		"fault":   func(n *Need, c *Candidate) { n.Fault = &Fault{Current: 1, Time: 1}; c.ShortLimit = c.Limit },
	} {
		n, one := calm(), boat()[0]
		alter(&n, &one)
		if rows, _, err := Choose(n, []Candidate{one}); err == nil {
			t.Errorf("%s: no error, but %+v", name, rows)
		}
	}
}

// TestChooseOrder: the order of the candidates changes nothing but the indices.
func TestChooseOrder(t *testing.T) {
	need := calm()
	need.Current, need.Length, need.Drop = 90, 10, 0.5
	all := boat()
	rows, s := mustChoose(t, need, all)
	turned := make([]Candidate, len(all))
	for i := range all {
		turned[len(all)-1-i] = all[i]
	}
	back, b := mustChoose(t, need, turned)
	for i := range rows {
		if rows[i].Name != back[len(all)-1-i].Name || rows[i].Volts != back[len(all)-1-i].Volts {
			t.Errorf("row %d differs", i)
		}
	}
	if s.ByBoth < 0 || turned[b.ByBoth].Name != all[s.ByBoth].Name || s.Refused != b.Refused {
		t.Errorf("%+v, %+v", s, b)
	}
}
