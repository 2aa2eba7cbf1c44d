package rules_test

import (
	"strings"
	"testing"
)

// without takes a cable of the example out.
func without(id string) []string {
	return []string{map[string]string{
		"W11": "  - {id: W11, from: D1.b, to: L1.a, size: 12 AWG, length: 4 ft, insulation: 105 °C, support: 12 in}\n",
		"W12": "  - {id: W12, from: L1.b, to: N1.3, size: 12 AWG, length: 4 ft, insulation: 105 °C, support: 12 in}\n",
	}[id], ""}
}

// TestSameSide: what does not stand across the batteries is named, and does not
// stop the rest from being checked.
func TestSameSide(t *testing.T) {
	for _, row := range []struct {
		name string
		edit []string
		says string
	}{
		{"as it should be", nil, ""},
		{"both on the positive", []string{"from: L1.b, to: N1.3", "from: L1.b, to: P1.4"}, "both terminals of L1 are on the same copper"},
		{"both on the negative", []string{"from: D1.b, to: L1.a", "from: N1.3, to: L1.a"}, "both terminals of L1 are on the same copper"},
		{"wrong way round", []string{"from: D1.b, to: L1.a", "from: D1.b, to: L1.b", "from: L1.b, to: N1.3", "from: L1.a, to: N1.3"}, "L1 is connected the wrong way round"},
		{"charger the wrong way round", []string{"from: F2.b, to: C1.a", "from: F2.b, to: C1.b", "from: C1.b, to: N1.4", "from: C1.a, to: N1.4"}, "C1 is connected the wrong way round"},
		{"no negative", without("W12"), "its negative terminal L1.b leads to no battery"},
		{"no positive", without("W11"), "its positive terminal L1.a leads to no battery"},
		{"neither", append(without("W11"), without("W12")...), "neither terminal"},
	} {
		t.Run(row.name, func(t *testing.T) {
			all := by("DEV-01", checked(t, teaBoat(t, row.edit...)).Findings)
			if row.says == "" && len(all) == 0 {
				return
			}
			if len(all) != 1 || row.says == "" || !strings.Contains(all[0].Message, row.says) {
				t.Errorf("%+v", all)
			}
		})
	}
	for _, f := range by("DRP-01", checked(t, teaBoat(t, "from: L1.b, to: N1.3", "from: L1.b, to: P1.4")).Findings) {
		t.Errorf("a loss where nothing flows: %+v", f)
	}
}

// TestOtherVoltage: sources and cut-outs just within and just outside of the
// bank of 12.8 V, which full has 13.2 V or more at rest.
func TestOtherVoltage(t *testing.T) {
	volts := func(v string) []string { return []string{"voltage: 14.2 V", "voltage: " + v} }
	cut := func(v string) []string { return []string{"cutout: 10.5 V", "cutout: " + v} }
	series := []string{"{id: W1, from: B1+, to: B2+", "{id: W1, from: B1-, to: B2+", "  - {id: W2, from: B1-, to: B2-, size: 2/0 AWG, length: 6 in, insulation: 105 °C, support: 12 in}\n", "",
		"cutout: 10.5 V", "cutout: 21 V"}
	lookAt(t, []limitRow{
		{"as it should be", "DEV-02", nil, ""},
		{"at nominal", "DEV-02", volts("12.8 V"), ""},
		{"under nominal", "DEV-02", volts("12.7 V"), "fault C1"},
		{"half as much again", "DEV-02", volts("19.2 V"), ""},
		{"more", "DEV-02", volts("19.3 V"), "fault C1"},
		{"28 V on 12 V", "DEV-02", volts("28 V"), "fault C1"},
		{"28 V on 12 V is said once", "SRC-03", volts("28 V"), ""},
		{"14.4 V on 24 V", "DEV-02", append(volts("14.4 V"), series...), "fault C1"},
		{"28.4 V on 24 V", "DEV-02", append(volts("28.4 V"), series...), ""},
		{"12 V cut-out on 24 V", "DEV-02", append(append(volts("28.4 V"), series...), "cutout: 21 V", "cutout: 10.5 V"), "fault I1"},
		{"under half", "DEV-02", cut("6.3 V"), "fault I1"},
		{"over half", "DEV-02", cut("6.5 V"), ""},
		{"24 V cut-out on 12 V", "DEV-02", cut("21 V"), "fault I1"},
	})
}

// TestMend: what is proposed is what is missing, never what is there.
func TestMend(t *testing.T) {
	lead := []string{"chemistry: lfp", "chemistry: flooded", "trip: 200 A, charge_trip: 100 A, low: 10 V, high: 14.6 V, cold_charge: 0 °C, hot_charge: 50 °C, cold: -20 °C, hot: 60 °C, ", ""}
	for _, row := range []struct {
		name, rule, place string
		edit              []string
		says, not         string
	}{
		{"no sensor of its own", "HAZ-02", "C1", []string{", cold_lockout: 2 °C", ""}, "cold_lockout", "cold_charge"},
		{"no limit of the battery", "HAZ-02", "C1", []string{"cold_charge: 0 °C, ", ""}, "cold_charge", "cold_lockout"},
		{"no cut-out", "HAZ-02", "I1", []string{", cutout: 10.5 V", ""}, "cut-out", "low limit"},
		{"no charge trip", "HAZ-02", "C1", []string{"charge_trip: 100 A, ", ""}, "charge_trip", "current of C1"},
		{"no current", "HAZ-02", "C1", []string{"current: 40 A, ", ""}, "current of C1", "charge_trip"},
		{"no high limit", "HAZ-02", "C1", []string{"high: 14.6 V, ", ""}, "give high", "voltage of C1"},
		{"lead-acid has no electronics", "HAZ-01", "L1", lead, "cut-out", "sheet"},
	} {
		t.Run(row.name, func(t *testing.T) {
			for _, f := range found(t, row.rule, teaBoat(t, row.edit...)) {
				if f.Place == row.place && strings.Contains(f.Suggestion, row.says) && !strings.Contains(f.Suggestion, row.not) {
					return
				}
			}
			t.Errorf("%+v", found(t, row.rule, teaBoat(t, row.edit...)))
		})
	}
}

// TestHotLockout: the source's own sensor stands beside the battery's, where it
// is set no hotter.
func TestHotLockout(t *testing.T) {
	for _, row := range []struct {
		lockout string
		want    int
	}{{"45 °C", 2}, {"50 °C", 2}, {"51 °C", 1}} {
		if got := stated(sided(t, teaBoat(t, "cold_lockout: 2 °C", "cold_lockout: 2 °C, hot_lockout: "+row.lockout)))["charge too hot C1"]; got != row.want {
			t.Errorf("%s: %d barriers, want %d", row.lockout, got, row.want)
		}
	}
}

// TestLeadWords: batteries without electronics do not open by themselves.
func TestLeadWords(t *testing.T) {
	all := found(t, "SRC-01", teaBoat(t, "chemistry: lfp", "chemistry: flooded", "trip: 200 A, charge_trip: 100 A, ", "", "on_open: stops", "on_open: surges"))
	if len(all) != 1 || strings.Contains(all[0].Message, "protection") || strings.Contains(all[0].Suggestion, "keep a lead-acid") {
		t.Errorf("%+v", all)
	}
}

// TestSettingsTogether: two sources are summed, and uneven batteries reach
// their limit before the sum of the limits: of 50 A each, with resistances as
// one to two, the leads aside, at about 50·3/2 = 75 A.
func TestSettingsTogether(t *testing.T) {
	all := settings(t, teaBoat(t, append([]string{"{id: B2, type: block,", "{id: B2, type: block, resistance: 2.5 mΩ,"}, secondSource...)...))
	one, ok := all["C1 charge current of all sources together"]
	if !ok || one.Job != 60 || one.Most < 72 || one.Most > 80 || !strings.Contains(one.Note, "B2") || !strings.Contains(one.Note, "C1, C2") {
		t.Errorf("%v %+v", ok, one)
	}
	if alone := all["C2 charge current"]; alone.Job != 20 || alone.Most < 72 || alone.Most > 80 {
		t.Errorf("%+v", alone)
	}
}
