package rules_test

import "testing"

const bondLine = "  - {id: W16, from: N1.5, to: H1, size: 1/0 AWG, length: 2 ft, insulation: 105 °C, support: 12 in}\n"

func TestBondCount(t *testing.T) {
	job := passing("BON-01")
	again := func(from, to string) []string {
		return []string{bondLine, bondLine + "  - {id: W17, from: " + from + ", to: " + to + ", size: 1/0 AWG, length: 2 ft}\n"}
	}
	expect(t, "BON-01", job, []row{
		{"one", nil, "", ""},
		{"none", []string{bondLine, ""}, "warning H1", "not bonded"},
		{"no frame", []string{bondLine, "", "  - {id: H1, kind: frame}\n", ""}, "note N1.2", "names no frame"},
		{"two places", again("B1-", "H1"), "fault H1", "2 places, by W16, W17"},
		{"two cables from the same bar to the same place", again("N1.4", "H1"), "", ""},
		{"two frame points", append(again("B1-", "H2"), "kind: frame}\n", "kind: frame}\n  - {id: H2, kind: frame}\n"), "fault H1", ""},
		{"a load on the frame is no bond", []string{"from: L1.b, to: N1.3", "from: L1.b, to: H1"}, "", ""},
	})
	expect(t, "BON-01", passing("SER-01"), []row{{"batteries alone", nil, "", "neither frame nor devices"}})
}

func TestBondSize(t *testing.T) {
	job := passing("BON-02") // 2/0 AWG is its thickest positive
	size := func(book, is string) []string {
		return []string{"book: marine", "book: " + book, "to: H1, size: 1/0 AWG", "to: H1, size: " + is}
	}
	expect(t, "BON-02", job, []row{
		{"marine over", size("marine", "2/0 AWG"), "", ""},
		{"marine at", size("marine", "1/0 AWG"), "", ""},
		{"marine under", size("marine", "1 AWG"), "warning W16", "1/0 AWG at least"},
		{"vehicle at", size("vehicle", "8 AWG"), "", ""},
		{"vehicle under", size("vehicle", "10 AWG"), "warning W16", "8 AWG at least"},
		{"general at", size("general", "6 AWG"), "", ""}, // 250.122: 200 A asks for 6 AWG
		{"general under", size("general", "8 AWG"), "warning W16", "6 AWG at least"},
		{"metric bond is weighed by its copper", size("vehicle", "10 mm2"), "", ""},
		{"thin metric bond", size("vehicle", "6 mm2"), "warning W16", ""},
	})
}

func TestFrameReturn(t *testing.T) {
	expect(t, "BON-03", passing("BON-03"), []row{
		{"own negatives", nil, "", ""},
		{"load on the frame", []string{"from: L1.b, to: N1.3", "from: L1.b, to: H1"}, "warning L1", "W12, W16"},
		{"charger on the frame", []string{"from: C1.b, to: N1.4", "from: C1.b, to: H1"}, "warning C1", ""},
		{"all by the frame", []string{"from: R1.b, to: B2-", "from: R1.b, to: H1", bondLine, bondLine + "  - {id: W17, from: H1, to: B2-, size: 2/0 AWG, length: 2 ft}\n", "from: N1.5, to: H1", "from: N1.5, to: N1.1"}, "warning I1, warning C1, warning L1", ""},
	})
}

func TestShuntBypass(t *testing.T) {
	job := passing("SHT-01")
	expect(t, "SHT-01", job, []row{
		{"all through it", nil, "", ""},
		{"load past it", []string{"from: L1.b, to: N1.3", "from: L1.b, to: B1-"}, "warning L1", "(W12)"},
		{"load and charger", []string{"from: L1.b, to: N1.3", "from: L1.b, to: B1-", "from: C1.b, to: N1.4", "from: C1.b, to: R1.b"}, "warning C1, warning L1", ""},
		{"the frame past it", []string{"from: N1.5, to: H1", "from: B1-, to: H1"}, "warning H1", "frame H1"},
		{"no shunt", []string{"kind: shunt, rating: 500 A", "kind: fuse, rating: 500 A", "from: L1.b, to: N1.3", "from: L1.b, to: B1-"}, "", ""},
	})
	positive := []string{"kind: switch, rating: 300 A, resistance: 0.1 mΩ", "kind: shunt, rating: 500 A, resistance: 0.1 mΩ", "kind: shunt, rating: 500 A, resistance: 0.1 mΩ}\n  - {id: P1", "kind: switch, rating: 300 A, resistance: 0.1 mΩ}\n  - {id: P1"}
	expect(t, "SHT-01", job, []row{
		{"on the positive side", positive, "", ""},
		{"load before it", append(append([]string{}, positive...), "from: P1.3, to: D1.a", "from: F1.b, to: D1.a"), "warning L1", "the positive of L1"},
	})
	expect(t, "SHT-01", swap(t, passing("SER-01"), "parts: [", "parts: [{id: R1, kind: shunt, rating: 300 A, resistance: 0.1 mΩ}, ", "cables: [", "cables: [{id: W2, from: B1-, to: R1.a, resistance: 0.1 mΩ}, "), []row{
		{"take-off before it", nil, "warning B1-", "take-off"},
		{"take-off behind it", []string{"negative: B1-", "negative: R1.b"}, "", ""},
	})
}

// All loads at once take 1 kW/0.88 at the cut-out of 10.5 V and 12 A: 120.23 A,
// two thirds of 180.34 A.
func TestRatings(t *testing.T) {
	shunt := func(a string) []string { return []string{"kind: shunt, rating: 500 A", "kind: shunt, rating: " + a} }
	expect(t, "SHT-02", passing("SHT-02"), []row{
		{"two thirds just reached", append(shunt("180.4 A"), "surge: 1.7 kW", "surge: 2.5 kW"), "note R1", "the meter"}, // a surge of some 240 A
		{"surge kept", shunt("196.1 A"), "", ""}, // 1.7 kW/0.88 at 10.5 V and 12 A: 195.98 A
		{"over two thirds", shunt("180.3 A"), "note R1", "two thirds"},
		{"over all", shunt("100 A"), "warning R1", "made for 100 A"},
		{"not given", []string{"kind: shunt, rating: 500 A", "kind: shunt"}, "", "does not give the shunt's rating"},
	})
	const bar = "{id: P1, kind: bar, studs: 4, resistance: 0.02 mΩ, rating: 400 A"
	of := func(a string) []string {
		return []string{bar, "{id: P1, kind: bar, studs: 4, resistance: 0.02 mΩ, rating: " + a}
	}
	expect(t, "BAR-01", passing("BAR-01"), []row{
		{"just over what it carries", of("120.23 A"), "", ""},
		{"just under", of("120.22 A"), "fault P1", "120 A"},
		{"not given", []string{bar, "{id: P1, kind: bar, studs: 4, resistance: 0.02 mΩ"}, "", "does not give the bar's rating"},
	})
}
