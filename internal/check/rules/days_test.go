package rules_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"bankwright/internal/model/finding"
)

// daysRuleJob is one battery of 100 Ah at 12.8 V, 1280 Wh, exact and without a
// loss on the way: floor 20 % leaves 1024 Wh from full.
const daysRuleJob = `bankwright: 1
battery_types:
  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13.2 V%s}
batteries: [{id: B1, type: block}]
parts:
%s
cables:
%s
takeoff: {positive: B1+, negative: B1-}
cases: [{id: c, draw: 1 A}]
%s`

func daysRule(t *testing.T, rule, limits, parts, rest string) []finding.Finding {
	t.Helper()
	var lines, cables []string
	for n, p := range strings.Split(parts, "\n") {
		id, _, _ := strings.Cut(p, ",")
		lines = append(lines, "  - {id: "+p+"}")
		cables = append(cables, fmt.Sprintf("  - {id: W%d, from: %s.a, to: B1+, resistance: 0.001 µΩ}\n  - {id: V%d, from: %s.b, to: B1-, resistance: 0.001 µΩ}", n, id, n, id))
	}
	r := checked(t, fmt.Sprintf(daysRuleJob, limits, strings.Join(lines, "\n"), strings.Join(cables, "\n"), rest))
	return folded(rule, r.Findings)
}

// DAY-01: 1024 Wh over a load in W are the hours that it lasts; wished are two
// days of 48 h: 21.33 W reach the floor then. Under, just under and over.
func TestDaysShort(t *testing.T) {
	for _, c := range []struct {
		watts float64
		hours float64 // 0: not told
	}{{10, 0}, {21.3, 0}, {21.4, 1024 / 21.4}, {42.7, 1024 / 42.7}} {
		found := daysRule(t, "DAY-01", "", "L1, kind: load, power: 60 W", fmt.Sprintf("loads: [{id: lamps, part: L1, power: %g W}]\ndays: {wish: 2 d, floor: 20 %%}\n", c.watts))
		if len(found) != min(1, int(c.hours)) {
			t.Fatalf("%g W: %+v", c.watts, found)
		}
		// Each step of a tenth of an hour is told to its part: exact but for the
		// nanoohms of the cables.
		if c.hours > 0 && math.Abs(found[0].Number.Value/3600-c.hours) > 1e-3 {
			t.Errorf("%g W: %v h, want %v", c.watts, found[0].Number.Value/3600, c.hours)
		}
	}
}

// DAY-02: 10 A at 230 V and 85 % bring far more than 30 A; an input of 1 A
// brings 195.5 W, 15.3 A: 75.8 Ah then take 5 h and the tail, against 4 or 8 h.
func TestMainsSlow(t *testing.T) {
	const parts = "L1, kind: load, power: 60 W\nC1, kind: charger, current: 30 A, voltage: 14.2 V, efficiency: 85 %%%s"
	for _, c := range []struct {
		input, to string
		told      bool
	}{{", input: 1 A", "00:00", true}, {", input: 1 A", "06:00", false}, {"", "21:00", false}, {", input: 3 A", "21:00", false}} {
		found := daysRule(t, "DAY-02", "", fmt.Sprintf(parts, c.input), "loads: [{id: lamps, part: L1, power: 5 W}]\ninlet: {current: 10 A, voltage: 230 V}\nmains: {from: 20:00, to: "+c.to+"}\ndays: {floor: 20 %, tail: 12 min}\n")
		if (len(found) == 1) != c.told {
			t.Errorf("%q until %s: %+v", c.input, c.to, found)
		}
		for _, f := range found {
			if f.Place != "C1" || f.Severity != finding.Note || !strings.Contains(f.Message, "15.3 A of the 30.0 A") {
				t.Errorf("%+v", f)
			}
		}
	}
}

// DAY-03: 12 W idle are 288 Wh less the time that something runs. 60 W for
// 4.8 h give 288 Wh, with 57.6 Wh of idling saved meanwhile; 48 W for 4 h 192 Wh.
func TestInverterIdles(t *testing.T) {
	for _, c := range []struct {
		load string
		told bool
	}{{"power: 60 W, at: [08:00], for: 288 min", false}, {"power: 48 W, at: [08:00], for: 4 h", true}, {"power: 60 W, hours: 4.1 h", false}, {"power: 60 W, hours: 3.9 h", true}} {
		found := daysRule(t, "DAY-03", "", "I1, kind: inverter, power: 1 kW, efficiency: 90 %, idle: 12 W", "loads: [{id: lamps, through: I1, "+c.load+"}]\n")
		if (len(found) == 1) != c.told {
			t.Errorf("%s: %+v", c.load, found)
		}
	}
}

// DAY-04: a label of 100 A bears 60 A; what the bank asks is bounded by the
// batteries' own limit of charge. Under, at and over; and a limit that is told.
func TestAlternatorHot(t *testing.T) {
	for _, c := range []struct {
		limit, more, hours string
		want               float64 // 0: not told
	}{{"59 A", "", "2 h", 0}, {"60 A", "", "2 h", 0}, {"61 A", "", "2 h", 61}, {"200 A", "", "2 h", 100}, {"200 A", ", limited: true", "2 h", 0}, {"200 A", "", "9 min", 0}} {
		found := daysRule(t, "DAY-04", ", limits: {charge: "+c.limit+"}", "L1, kind: load, power: 60 W\nA1, kind: alternator, current: 100 A, voltage: 14.2 V"+c.more,
			"loads: [{id: lamps, part: L1, power: 5 W}]\ndrive: {part: A1, hours: "+c.hours+"}\ndays: {floor: 20 %, tail: 12 min}\n")
		switch {
		case c.want == 0 && len(found) > 0, c.want > 0 && len(found) != 1:
			t.Errorf("%+v: %+v", c, found)
		case c.want > 0 && (math.Abs(found[0].Number.Value-c.want) > 1e-9 || math.Abs(found[0].Number.Limit-60) > 1e-9 || found[0].Place != "A1"):
			t.Errorf("%+v: %+v", c, found[0].Number)
		}
	}
}
