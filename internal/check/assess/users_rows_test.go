package assess

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

// What practitioners ask about wiring and protection, each as a whole job. Of
// those questions left out here: strip length, die and sleeve of a lug, which a
// job has no keys for (a job names the barrel and the hole of a lug, and the
// refusal of near misses is tested); and that a bond's way touches nothing,
// which is the routing's own question and is tested there.

// reedBoat is two batteries with their whole d.c. side, of which each question
// changes a little.
const reedBoat = `bankwright: 1
title: Reed boat
practice: {book: marine, ambient: 30 °C}
battery_types:
  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13.2 V, fault_resistance: 5 mΩ, stud: M8, limits: {discharge: 150 A, charge: 80 A, trip: 300 A, charge_trip: 150 A, low: 10 V, high: 14.6 V, cold_charge: 0 °C, hot_charge: 50 °C, cold: -20 °C, hot: 60 °C, series: 4, parallel: 4}}
batteries:
  - {id: B1, type: block, covered: true}
  - {id: B2, type: block, covered: true}
parts:
  - {id: F1, kind: fuse, class: class_t, rating: 250 A, interrupt: 20 kA, volts: 125 V, resistance: 0.1 mΩ}
  - {id: Q1, kind: switch, rating: 300 A, resistance: 0.1 mΩ}
  - {id: P1, kind: bar, studs: 4, resistance: 0.02 mΩ, rating: 400 A}
  - {id: N1, kind: bar, studs: 5, resistance: 0.02 mΩ, rating: 400 A}
  - {id: D1, kind: breaker, rating: 20 A, interrupt: 10 kA, volts: 32 V, resistance: 2 mΩ}
  - {id: F2, kind: fuse, class: class_t, rating: 80 A, interrupt: 20 kA, volts: 125 V, resistance: 0.4 mΩ}
  - {id: H1, kind: frame}
  - {id: I1, kind: inverter, power: 1.6 kW, efficiency: 90 %, cutout: 10.5 V}
  - {id: C1, kind: alternator, current: 67 A, voltage: 14.2 V, cold_lockout: 2 °C, on_open: stops}
  - {id: L1, kind: load, current: 12 A}
cables:
  - {id: W1, from: B1+, to: B2+, size: 2/0 AWG, length: 6 in, insulation: 105 °C}
  - {id: W2, from: B1-, to: B2-, size: 2/0 AWG, length: 6 in, insulation: 105 °C}
  - {id: W3, from: B1+, to: F1.a, size: 2/0 AWG, length: 6 in, insulation: 105 °C}
  - {id: W4, from: F1.b, to: Q1.a, size: 2/0 AWG, length: 12 in, insulation: 105 °C}
  - {id: W5, from: Q1.b, to: P1.1, size: 2/0 AWG, length: 12 in, insulation: 105 °C}
  - {id: W6, from: P1.2, to: I1.a, size: 2/0 AWG, length: 30 in, insulation: 105 °C}
  - {id: W7, from: I1.b, to: N1.2, size: 2/0 AWG, length: 30 in, insulation: 105 °C}
  - {id: W8, from: N1.1, to: B2-, size: 2/0 AWG, length: 12 in, insulation: 105 °C}
  - {id: W9, from: P1.3, to: D1.a, size: 12 AWG, length: 4 in, insulation: 105 °C}
  - {id: W10, from: D1.b, to: L1.a, size: 12 AWG, length: 4 ft, insulation: 105 °C}
  - {id: W11, from: L1.b, to: N1.3, size: 12 AWG, length: 4 ft, insulation: 105 °C}
  - {id: W12, from: P1.4, to: F2.a, size: 4 AWG, length: 5 in, insulation: 105 °C}
  - {id: W13, from: F2.b, to: C1.a, size: 4 AWG, length: 4 ft, insulation: 105 °C}
  - {id: W14, from: C1.b, to: N1.4, size: 4 AWG, length: 4 ft, insulation: 105 °C}
  - {id: W15, from: N1.5, to: H1, size: 1/0 AWG, length: 2 ft, insulation: 105 °C}
takeoff: {positive: P1.1, negative: N1.1}
`

// reed gives the boat with texts replaced in pairs, each of which it must hold.
func reed(t *testing.T, pairs ...string) string {
	t.Helper()
	text := reedBoat
	for i := 0; i < len(pairs); i += 2 {
		text = replaced(t, text, pairs[i], pairs[i+1])
	}
	return text
}

// TestReedBoatIsSound: as it stands nothing is found but notes, so that what
// the tests below find is theirs.
func TestReedBoatIsSound(t *testing.T) {
	for _, f := range checkedText(t, reedBoat).Findings {
		if f.Severity != finding.Note {
			t.Errorf("%s %s at %s: %s", f.Severity, f.Rule, f.Place, f.Message)
		}
	}
}

// wants is a rule, a place and how grave it is found there; "" not at all.
type wants struct {
	rule, place string
	severity    finding.Severity
}

// saysAll compares what a job's check says with what is wanted.
func saysAll(t *testing.T, text string, all []wants) *report.Report {
	t.Helper()
	r := checkedText(t, text)
	for _, w := range all {
		if got, words := said(r, w.rule, w.place); got != w.severity {
			t.Errorf("%s at %s is %q, not %q: %s", w.rule, w.place, got, w.severity, words)
		}
	}
	return r
}

// TestThreeChartsOneCable: "three charts give three sizes for the inverter
// cable". The size left out is chosen; what the next smaller one fails names
// the demand that governs; every table that was looked at names its source, and
// one governs. Amperes: 33 CFR 183.425 Table 5 at 105 °C and NFPA 70 310.17 at
// 75 °C, read; the drop from copper's own resistance.
func TestThreeChartsOneCable(t *testing.T) {
	for _, row := range []struct {
		name, book, length, extra string
		amps                      float64
		size, smaller, governs    string
	}{
		// 1/0 carries 285 A at 105 °C, 1 AWG 245 A.
		{"boat, short", "marine", "24 in", "insulation: 105 °C", 285, "1/0 AWG", "1 AWG", "245"},
		{"boat, just over", "marine", "24 in", "insulation: 105 °C", 286, "2/0 AWG", "1/0 AWG", "285"},
		// An engine space takes 0.85 of it (from memory): 280.5 A of 2/0.
		{"boat, engine space", "marine", "24 in", "insulation: 105 °C, engine: true", 280, "2/0 AWG", "1/0 AWG", "242"},
		// 310.17 at 75 °C: 2/0 265 A, 3/0 310 A. But 240 A lasting want 300 A of a
		// fuse at 80 %, and 265 A want 350 A, which here may not stand over less.
		{"hut, the fuse governs", "general", "24 in", "insulation: 75 °C", 240, "3/0 AWG", "2/0 AWG", "F of 300"},
		{"hut, a fuse more", "general", "24 in", "insulation: 75 °C", 265, "4/0 AWG", "3/0 AWG", "F of 350"},
	} {
		t.Run(row.name, func(t *testing.T) {
			text := mainJob("4/0 AWG", "", "class: class_t, rating: 400 A, interrupt: 20 kA, volts: 125 V, resistance: 0.1 mΩ", row.amps)
			text = replaced(t, text, "book: marine", "book: "+row.book)
			text = replaced(t, text, "{id: W3, from: Q.b, to: L.a, size: 4/0 AWG, length: 24 in, insulation: 105 °C}", "{id: W3, from: Q.b, to: L.a, length: "+row.length+", "+row.extra+"}")
			// The fuse is left open too, or it would govern the size.
			text = replaced(t, text, "rating: 400 A, ", "")
			c, err := Choose("job.yaml", []byte(text))
			if err != nil {
				t.Fatal(err)
			}
			i := slices.IndexFunc(c.Choices.Cables, func(one report.CableChoice) bool { return one.Cable == "W3" })
			if i < 0 {
				t.Fatalf("no size for W3: %+v", c.Choices.Left)
			}
			one := c.Choices.Cables[i]
			if one.Size.ASCII() != row.size || one.Smaller.ASCII() != row.smaller || !one.ByTable || !strings.Contains(one.Why, row.governs) {
				t.Errorf("%s, not %s, as %s fails: %s", one.Size, row.size, one.Smaller, one.Why)
			}
			out, err := c.Write()
			if err != nil {
				t.Fatal(err)
			}
			tables(t, checkedText(t, string(out)), "W3")
		})
	}
}

// tables sees that a conductor stands against several charts at once, each with
// its source, and that one of them governs.
func tables(t *testing.T, r *report.Report, cable string) {
	t.Helper()
	l := lineNamed(r, cable)
	governing := 0
	for _, row := range l.Tables {
		if row.Title == "" || row.Ref.Check() != nil || !(row.Amps > 0) {
			t.Errorf("%+v", row)
		}
		if row.Governs {
			governing++
		}
		for _, f := range row.Factors {
			if f.Name == "" || f.Ref.Check() != nil {
				t.Errorf("%s: %+v", row.Title, f)
			}
		}
	}
	if len(l.Tables) < 3 || governing != 1 || !(l.Physics > 0) {
		t.Errorf("%d charts, %d govern, %.0f A by heat", len(l.Tables), governing, l.Physics)
	}
}

// TestDropGoverns: on a long way the drop, not the heat, sets the size. 100 A
// over 3 m out and 3 m back at 12.8 V and 3 % may lose 0.384 V, 0.64 mΩ/m; hot
// and stranded 1 AWG has 0.4065·1.02 mΩ/m at 20 °C, which 60 °C makes 0.48.
func TestDropGoverns(t *testing.T) {
	a, err := Size(SizeAsk{Current: 100, Length: 3, Voltage: 12.8, Ambient: 303.15, Insulation: 378.15, Book: "marine"})
	if err != nil {
		t.Fatal(err)
	}
	if a.Smallest == nil || a.Smallest.Table == nil {
		t.Fatal("no size")
	}
	for i := range a.Choices {
		c := &a.Choices[i]
		if c.Size == a.Smallest.Size && !(c.Volts <= 0.384 && c.Table.Amps > 100 && c.Table.Ref.Check() == nil) {
			t.Errorf("%+v", c)
		}
		if c.Table != nil && c.Section < a.Smallest.Section && c.ByTable == report.Within && c.ByDrop != report.Over {
			t.Errorf("%s is less and passes both", c.Size)
		}
	}
	if n := a.Smallest.Size.Gauge(); n > 2 {
		t.Errorf("%s: by drop it should be thicker than the 6 AWG that Table 5 asks for", a.Smallest.Size)
	}
}

// TestWhereTheNegativeMeetsTheFrame: one bond, thick enough for the book, and
// no way back through the frame. Least bonds: boats one gauge under the
// thickest positive, motor homes 8 AWG (both from memory), elsewhere by the
// largest device, NFPA 70 250.122: 300 A has 4 AWG.
func TestWhereTheNegativeMeetsTheFrame(t *testing.T) {
	const bond = "to: H1, size: 1/0 AWG"
	for _, row := range []struct {
		name  string
		pairs []string
		all   []wants
	}{
		{"no bond", []string{"  - {id: W15, from: N1.5, to: H1, size: 1/0 AWG, length: 2 ft, insulation: 105 °C}\n", ""}, []wants{{"BON-01", "H1", finding.Warning}}},
		{"a second bond", []string{"takeoff:", "  - {id: W16, from: B1-, to: H1, size: 1/0 AWG, length: 2 ft, insulation: 105 °C}\ntakeoff:"}, []wants{{"BON-01", "H1", finding.Fault}}},
		{"boat, at the least", nil, []wants{{"BON-02", "W15", ""}, {"BON-01", "H1", ""}}},
		{"boat, a gauge less", []string{bond, "to: H1, size: 1 AWG"}, []wants{{"BON-02", "W15", finding.Warning}}},
		{"motor home, at the least", []string{bond, "to: H1, size: 8 AWG", "book: marine", "book: vehicle"}, []wants{{"BON-02", "W15", ""}}},
		{"motor home, a gauge less", []string{bond, "to: H1, size: 9 AWG", "book: marine", "book: vehicle"}, []wants{{"BON-02", "W15", finding.Warning}}},
		{"hut, at the least for 250 A", []string{bond, "to: H1, size: 4 AWG", "book: marine", "book: general"}, []wants{{"BON-02", "W15", ""}}},
		{"hut, a gauge less", []string{bond, "to: H1, size: 5 AWG", "book: marine", "book: general"}, []wants{{"BON-02", "W15", finding.Warning}}},
		{"a lamp returns by the frame", []string{"from: L1.b, to: N1.3", "from: L1.b, to: H1"}, []wants{{"BON-03", "L1", finding.Warning}, {"BON-01", "H1", ""}}},
	} {
		t.Run(row.name, func(t *testing.T) { saysAll(t, reed(t, row.pairs...), row.all) })
	}
}

// TestCableHoldsAndTheStudDoesNot: the stud is a part apart from its cable.
// MIL-DTL-83454A Table VIII tests 1/4-28 with 43 A; nothing is published for
// M8, and there it is said that no nut may lie between lug and face.
func TestCableHoldsAndTheStudDoesNot(t *testing.T) {
	const lamp = "{id: L1, kind: load, current: 12 A}"
	for _, row := range []struct {
		amps float64
		want finding.Severity
	}{{42.9, ""}, {43, ""}, {43.1, finding.Warning}} {
		// A 60 A breaker and 6 AWG, which Table 5 lets carry 120 A.
		text := reed(t, lamp, fmt.Sprintf("{id: L1, kind: load, current: %g A, thread: 1/4-28}", row.amps), "{id: D1, kind: breaker, rating: 20 A", "{id: D1, kind: breaker, rating: 60 A")
		text = strings.ReplaceAll(text, "size: 12 AWG", "size: 6 AWG")
		saysAll(t, text, []wants{{"STD-01", "L1", row.want}, {"AMP-01", "W10", ""}, {"PRO-03", "D1", ""}})
	}
	r := checkedText(t, reedBoat)
	found := false
	for _, u := range r.Unchecked {
		found = found || u.Rule == "STD-01" && strings.Contains(u.Why, "M8") && strings.Contains(u.Why, "no nut or washer between")
	}
	if !found {
		t.Errorf("nothing says what an M8 post needs: %+v", r.Unchecked)
	}
}

// TestLugNearlyFits: 70 mm² on 2/0 AWG (67.4 mm²) and 5/16 inch on M8 look
// right and are refused; a lug of its own size is not spoken of.
func TestLugNearlyFits(t *testing.T) {
	const w3 = "{id: W3, from: B1+, to: F1.a, size: 2/0 AWG,"
	for _, row := range []struct {
		lug          string
		barrel, hole finding.Severity
	}{
		{"{barrel: 2/0 AWG, hole: M8}", "", ""},
		{"{barrel: 70 mm2, hole: M8}", finding.Warning, ""},
		{"{barrel: 50 mm2, hole: M8}", finding.Fault, ""},
		{"{barrel: 2/0 AWG, hole: 5/16-18}", "", finding.Warning},
		{"{barrel: 2/0 AWG, hole: M6}", "", finding.Fault},
		{"{barrel: 2/0 AWG, hole: M10}", "", finding.Warning},
	} {
		t.Run(row.lug, func(t *testing.T) {
			r := checkedText(t, reed(t, w3, w3+" lug: "+row.lug+","))
			var barrel, hole finding.Severity
			for _, f := range r.Findings {
				switch {
				case f.Rule == "LUG-02" && strings.HasPrefix(f.Place, "W3"):
					barrel = f.Severity
				case f.Rule == "LUG-03" && f.Place == "W3@B1+":
					hole = f.Severity
				}
			}
			if barrel != row.barrel || hole != row.hole {
				t.Errorf("barrel %q, not %q; hole %q, not %q", barrel, row.barrel, hole, row.hole)
			}
		})
	}
}

// TestCanThisFamilyBreakIt: what a dead short behind the main fuse draws is
// held against what is marked on it: just under, at and just over. By hand:
// 13.2 V over two batteries of 5 mΩ, the cables up to the fuse, their joints
// and the fuse; the link of the second battery lies in its own branch.
func TestCanThisFamilyBreakIt(t *testing.T) {
	s := checkedText(t, reedBoat).Side
	i := slices.IndexFunc(s.Guards, func(g report.Guard) bool { return g.Part == "F1" })
	most := s.Guards[i].Most
	for _, row := range []struct {
		part float64
		want finding.Severity
	}{{0.999, finding.Fault}, {1.001, ""}} {
		text := reed(t, "rating: 250 A, interrupt: 20 kA", fmt.Sprintf("rating: 250 A, interrupt: %.6f kA", row.part*most/1e3))
		saysAll(t, text, []wants{{"PRO-06", "F1", row.want}})
	}
	per := float64(catalog.Default().Conductor(quantity.AWG(-1)).R20.V) * 1.02 * 0.1524 // 6 in of 2/0
	link := per + 2*0.05e-3
	branch := 1 / (1/0.005 + 1/(0.005+2*link))
	if want := 13.2 / (branch + link + 0.1e-3); math.Abs(most/want-1) > 0.1 {
		t.Errorf("%.0f A by the job, %.0f A by hand: the full bank's volts differ by less", most, want)
	}
	// A blade fuse breaks 1 kA by ISO 8820-3, read, and is refused by its class;
	// without a class and without a mark nothing is known, and that is said.
	blade := reed(t, "class: class_t, rating: 250 A, interrupt: 20 kA, volts: 125 V", "class: blade, rating: 100 A")
	saysAll(t, blade, []wants{{"PRO-06", "F1", finding.Fault}})
	bare := reed(t, "class: class_t, rating: 250 A, interrupt: 20 kA, volts: 125 V", "rating: 250 A")
	if r := saysAll(t, bare, []wants{{"PRO-06", "F1", ""}}); !unchecked(r, "PRO-06", "F1") || !unchecked(r, "PRO-07", "F1") {
		t.Error("an unmarked fuse passes in silence")
	}
}

// TestFamilyIsChosenByClass: left open, the fuse gets a class that breaks what
// its place asks for, by class and never by brand.
func TestFamilyIsChosenByClass(t *testing.T) {
	c, err := Choose("job.yaml", []byte(reed(t, "{id: F1, kind: fuse, class: class_t, rating: 250 A, interrupt: 20 kA, volts: 125 V, resistance: 0.1 mΩ}", "{id: F1, kind: fuse, resistance: 0.1 mΩ}")))
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Choices.Devices) != 1 {
		t.Fatalf("%+v, left %+v", c.Choices.Devices, c.Choices.Left)
	}
	d := c.Choices.Devices[0]
	class := catalog.Default().FuseClass(d.Class)
	if class == nil || !d.NewClass || !d.NewRating || !(d.Breaks >= d.Most) || !(float64(d.Rating) <= d.Largest) || d.Why == "" || !d.Memory || d.Ask == "" {
		t.Errorf("%+v", d)
	}
}
