package rules_test

import (
	"strings"
	"testing"
)

func TestCounts(t *testing.T) {
	job := passing("PAR-01")
	expect(t, "PAR-01", job, []row{
		{"under", []string{"parallel: 4", "parallel: 3"}, "", ""},
		{"at", []string{"parallel: 4", "parallel: 2"}, "", ""},
		{"over", []string{"parallel: 4", "parallel: 1"}, "fault B1", "allows 1"},
		{"not given", []string{", parallel: 4", ""}, "", "how many the maker of block allows"},
		{"one that is off still stands there", []string{"parallel: 4", "parallel: 1", "{id: B2, type: block", "{id: B2, off: true, type: block"}, "fault B1", ""},
	})
	expect(t, "SER-01", passing("SER-01"), []row{
		{"at", nil, "", ""},
		{"over", []string{"series: 2", "series: 1"}, "fault B1", "2 batteries stand in series"},
		{"not given", []string{"series: 2, ", ""}, "", "2 stand in series; the job does not say"},
	})
	expect(t, "PAR-01", passing("SER-01"), []row{{"one string", nil, "", ""}})
	expect(t, "SER-01", job, []row{{"one rung", []string{"series: 4, ", ""}, "", ""}})
}

// starter is a lead-acid starter battery that shares the negative bar only, or
// through a switch the positive one as well.
func starter(joined bool) []string {
	const chem = "  lead: {chemistry: flooded, nominal: 12 V, capacity: 70 Ah, resistance: 6 mΩ, emf: 12.7 V, limits: {discharge: 100 A, charge: 20 A}}\nbatteries:\n"
	part := "  - {id: S9, kind: stud}\n"
	cable := "  - {id: W31, from: B9+, to: S9, size: 2 AWG, length: 2 ft}\n"
	if joined {
		part = "  - {id: Q9, kind: switch, open: true, resistance: 0.1 mΩ}\n"
		cable = "  - {id: W31, from: B9+, to: Q9.a, size: 2 AWG, length: 2 ft}\n  - {id: W32, from: Q9.b, to: P1.2, size: 2 AWG, length: 2 ft}\n"
	}
	return []string{"batteries:\n", chem + "  - {id: B9, type: lead, covered: true}\n", "parts:\n", "parts:\n" + part,
		"takeoff:", "  - {id: W30, from: B9-, to: N1.1, size: 2 AWG, length: 2 ft}\n" + cable + "takeoff:"}
}

func TestMixed(t *testing.T) {
	job := passing("MIX-01")
	expect(t, "MIX-01", job, []row{
		{"starter battery apart", starter(false), "", ""},
	})
	r := checked(t, swap(t, job, starter(true)...))
	if f := by("MIX-01", r.Findings); len(f) == 0 || !strings.Contains(f[0].Message, "in parallel with it") {
		t.Errorf("behind a switch: %+v", f)
	}
	series := swap(t, passing("SER-01"), "batteries:", "  lead: {chemistry: agm, nominal: 12 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 12.8 V}\nbatteries:", "{id: B2, type: block", "{id: B2, type: lead")
	expect(t, "MIX-01", series, []row{{"in series", nil, "fault B2", "in series with it is lfp"}})
	expect(t, "MIX-02", series, []row{{"unlike in series adds up", nil, "", ""}})
	expect(t, "MIX-02", passing("MIX-02"), []row{
		{"alike", nil, "", ""},
		{"beside a string of another voltage", []string{"batteries:\n", "  tall: {chemistry: lfp, nominal: 12.9 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13.2 V}\nbatteries:\n", "{id: B2, type: block", "{id: B2, type: tall"}, "fault B2", "12.9 V nominal"},
	})
}

func TestUnlike(t *testing.T) {
	age := func(days string) []string {
		return []string{"{id: B2, type: block", "{id: B2, resistance: 5 mΩ, capacity: 100 Ah, age: " + days + " d, type: block"}
	}
	capacity := func(ah string) []string {
		return []string{"{id: B2, type: block", "{id: B2, capacity: " + ah + " Ah, type: block"}
	}
	expect(t, "MIX-03", passing("MIX-03"), []row{
		{"age just under", age("182"), "", ""},
		{"age at", age("182.5"), "", ""},
		{"age just over", age("183"), "warning B2", "183 days older than B1"},
		{"capacity just over", capacity("90.1"), "", ""},
		{"capacity at", capacity("90"), "", ""},
		{"capacity just under", capacity("89.9"), "warning B2", "89.9 Ah"},
	})
	volts := func(v string) []string { return []string{"nominal: 12.8 V", "nominal: " + v} }
	expect(t, "MIX-04", passing("MIX-04"), []row{
		{"eight cells", volts("25.6 V"), "", ""},
		{"one cell", volts("3.2 V"), "", ""},
		{"12 V", volts("12 V"), "warning B1", "is 12.8 V meant?"},
		{"24 V", volts("24 V"), "warning B1", "is 25.6 V meant?"},
		{"48 V", volts("48 V"), "warning B1", "is 51.2 V meant?"},
		{"just inside a part in a hundred", volts("12.68 V"), "", ""},
		{"just outside", volts("12.66 V"), "warning B1", ""},
		{"lead of 12 V", []string{"chemistry: lfp", "chemistry: agm", "nominal: 12.8 V", "nominal: 12 V"}, "", ""},
		{"lead of 2 V", []string{"chemistry: lfp", "chemistry: agm", "nominal: 12.8 V", "nominal: 2 V"}, "", ""},
		{"lead called 12.8 V", []string{"chemistry: lfp", "chemistry: agm"}, "warning B1", "is 12.0 V meant?"},
	})
}
