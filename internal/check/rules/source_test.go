package rules_test

import (
	"strings"
	"testing"

	"bankwright/internal/check/rules"
	"bankwright/internal/model/rating"
)

// limitRow is one setting just under, at or just over a limit.
type limitRow struct {
	name, rule string
	edit       []string
	want       string // severity and place of each finding
}

func lookAt(t *testing.T, rows []limitRow) {
	t.Helper()
	for _, row := range rows {
		t.Run(row.rule+" "+row.name, func(t *testing.T) {
			var got []string
			all := found(t, row.rule, teaBoat(t, row.edit...))
			for _, f := range all {
				got = append(got, string(f.Severity)+" "+f.Place)
				if f.Number != nil && f.Number.Margin >= 0 {
					t.Errorf("a margin left: %+v", f.Number)
				}
			}
			if !sameSet(got, row.want) {
				t.Errorf("want %q: %+v", row.want, all)
			}
		})
	}
}

// alternator turns the charger of the example into one.
func alternator(more ...string) []string {
	return append([]string{"kind: charger, current: 40 A", "kind: alternator, current: 40 A"}, more...)
}

func TestSourceLimits(t *testing.T) {
	amps := func(a string) []string { return []string{"current: 40 A", "current: " + a} }
	volts := func(v string) []string { return []string{"voltage: 14.2 V", "voltage: " + v} }
	float := func(v string) []string { return []string{"float: 13.5 V", "float: " + v} }
	cold := func(c string) []string { return []string{"cold_lockout: 2 °C", "cold_lockout: " + c} }
	fuse := func(a string) []string {
		return alternator("id: F2, kind: fuse, class: class_t, rating: 60 A", "id: F2, kind: fuse, class: class_t, rating: "+a)
	}
	lead := func(kind, v string) []string {
		return []string{"chemistry: lfp", "chemistry: " + kind, "high: 14.6 V, ", "", "voltage: 14.2 V", "voltage: " + v}
	}
	lookAt(t, []limitRow{
		{"under", "SRC-02", amps("99.9 A"), ""},
		{"at", "SRC-02", amps("100 A"), ""},
		{"over", "SRC-02", amps("100.1 A"), "fault B1, fault B2"},
		// Half the resistance takes about two thirds of 80 A: one is over, the sum is not.
		{"one over", "SRC-02", append(amps("80 A"), "{id: B2, type: block,", "{id: B2, type: block, resistance: 2.5 mΩ,"), "fault B2"},
		{"two sources together", "SRC-02", append(amps("80.1 A"), secondSource...), "warning B1, warning B2"},
		{"two sources at", "SRC-02", append(amps("80 A"), secondSource...), ""},
		{"under", "SRC-03", volts("14.59 V"), ""},
		{"at", "SRC-03", volts("14.6 V"), ""},
		{"over", "SRC-03", volts("14.61 V"), "fault C1"},
		{"float at", "SRC-03", float("13.6 V"), ""},
		{"float over", "SRC-03", float("13.61 V"), "note C1"},
		{"gel at", "SRC-03", lead("gel", "14.4 V"), ""},
		{"gel over", "SRC-03", lead("gel", "14.41 V"), "warning C1"},
		{"agm at", "SRC-03", lead("agm", "15 V"), ""},
		{"agm over", "SRC-03", lead("agm", "15.01 V"), "warning C1"},
		{"flooded at", "SRC-03", lead("flooded", "14.8 V"), ""},
		{"flooded over", "SRC-03", lead("flooded", "14.81 V"), "warning C1"},
		{"under", "SRC-04", fuse("47.9 A"), ""},
		{"at", "SRC-04", fuse("48 A"), ""},
		{"over", "SRC-04", fuse("48.1 A"), "warning F2"},
		{"none in the output", "SRC-04", alternator("id: F2, kind: fuse, class: class_t, rating: 60 A, interrupt: 20 kA, volts: 125 V", "id: F2, kind: shunt, rating: 60 A"), "warning C1"},
		{"over, but limits itself", "SRC-04", append(fuse("48.1 A"), "kind: alternator, current: 40 A", "kind: alternator, limited: true, current: 40 A"), ""},
		{"alternator that limits itself, no current", "SRC-01", []string{"kind: charger, current: 40 A", "kind: alternator, limited: true"}, ""},
		{"under", "SRC-05", cold("-0.1 °C"), "warning C1"},
		{"at", "SRC-05", cold("0 °C"), ""},
		{"over", "SRC-05", cold("0.1 °C"), ""},
		{"alternator that stops", "SRC-01", alternator(), ""},
		{"alternator not said", "SRC-01", alternator(", on_open: stops", ""), "warning C1"},
		{"alternator without a limit", "SRC-01", []string{"kind: charger, current: 40 A", "kind: alternator"}, "warning C1"},
		{"charger that surges", "SRC-01", []string{"on_open: stops", "on_open: surges"}, "warning C1"},
		{"charger not said", "SRC-01", []string{", on_open: stops", ""}, ""},
	})
}

// TestSourceMemory: the alternator's row is from memory, and each finding says so.
func TestSourceMemory(t *testing.T) {
	all := found(t, "SRC-04", rules.Find("SRC-04").Failing)
	if len(all) != 1 || !strings.Contains(all[0].Message, "from memory") || all[0].Number == nil || all[0].Number.Limit < 47.99 || all[0].Number.Limit > 48.01 {
		t.Errorf("%+v", all)
	}
}

// TestSeriesVolts: of two batteries in series each has half of what the charger
// holds.
func TestSeriesVolts(t *testing.T) {
	series := []string{"{id: W1, from: B1+, to: B2+", "{id: W1, from: B1-, to: B2+", "  - {id: W2, from: B1-, to: B2-, size: 2/0 AWG, length: 6 in, insulation: 105 °C, support: 12 in}\n", ""}
	lookAt(t, []limitRow{
		{"series at", "SRC-03", append([]string{"voltage: 14.2 V", "voltage: 29.2 V", "float: 13.5 V", "float: 27.2 V"}, series...), ""},
		{"series over", "SRC-03", append([]string{"voltage: 14.2 V", "voltage: 29.3 V", "float: 13.5 V", "float: 27.2 V"}, series...), "fault C1"},
		{"series, one string's limit", "SRC-02", append([]string{"current: 40 A", "current: 50 A"}, series...), ""},
		{"series, over one string's limit", "SRC-02", append([]string{"current: 40 A", "current: 50.1 A"}, series...), "fault B1, fault B2"},
	})
	both := 0
	for _, h := range sided(t, teaBoat(t, series...)).Side.Hazards {
		if len(h.Batteries) == 2 {
			both++
		}
	}
	if both != 13 {
		t.Errorf("%d rows hold for both batteries of the string", both)
	}
}

// TestCharging: the table's voltages a cell against the printed ones of 12 V
// batteries (reference of charge voltages: flooded 14.4 to 14.8, 13.2 to 13.5;
// AGM 14.4 to 14.7, 13.5 to 13.9; gel 14.0 to 14.4, 13.5 to 13.8; LFP of four
// cells 14.2 to 14.6, 13.4 to 13.6).
func TestCharging(t *testing.T) {
	for _, row := range []struct {
		chemistry                                         string
		nominal, absorb, most, highest, floatLeast, float float64
	}{
		{"flooded", 12, 14.4, 14.8, 14.8, 13.2, 13.5}, {"agm", 12, 14.4, 14.7, 15.0, 13.5, 13.9},
		{"gel", 12, 14.0, 14.4, 14.4, 13.5, 13.8}, {"lfp", 12.8, 14.2, 14.6, 14.6, 13.4, 13.6},
	} {
		c, ok := rating.ChargingOf(row.chemistry)
		n := c.Cells(row.nominal)
		near := func(what string, got, want float64) {
			if d := got - want; d > 1e-9 || d < -1e-9 {
				t.Errorf("%s: %s %g, printed %g", row.chemistry, what, got, want)
			}
		}
		if !ok {
			t.Fatalf("no %s", row.chemistry)
		}
		near("absorb", c.Absorb.Least*n, row.absorb)
		near("absorb most", c.Absorb.Most*n, row.most)
		near("highest", c.Highest*n, row.highest)
		near("float", c.Float.Least*n, row.floatLeast)
		near("float most", c.Float.Most*n, row.float)
		near("twice the cells", c.Cells(2*row.nominal), 2*n)
		for _, ref := range []interface{ Check() error }{c.AbsorbRef, c.HighestRef, c.FloatRef, c.EqualiseRef, c.CompRef, c.CutoffRef} {
			if err := ref.Check(); err != nil {
				t.Error(err)
			}
		}
	}
	if _, ok := rating.ChargingOf("nimh"); ok {
		t.Error("an unknown chemistry has a row")
	}
}

// TestUncheckedSources: what the job leaves out is said.
func TestUncheckedSources(t *testing.T) {
	for _, row := range []struct{ rule, cut, place string }{
		{"SRC-01", ", on_open: stops", "C1"}, {"SRC-02", "current: 40 A, ", "C1"}, {"SRC-02", "charge: 50 A, ", "B1"}, {"SRC-03", "voltage: 14.2 V, ", "C1"},
	} {
		_, unchecked := rules.One(row.rule, sided(t, teaBoat(t, row.cut, "")))
		if len(unchecked) == 0 || unchecked[0].Place != row.place {
			t.Errorf("%s without %q: %+v", row.rule, row.cut, unchecked)
		}
	}
}
