package rules_test

import (
	"fmt"
	"strings"
	"testing"

	"bankwright/internal/check/assess"
	"bankwright/internal/check/rules"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// teaBoat is the example job with texts replaced, each of which must be there.
func teaBoat(t *testing.T, pairs ...string) string {
	t.Helper()
	s := rules.Find("HAZ-01").Passing
	for n := 0; n+1 < len(pairs); n += 2 {
		if !strings.Contains(s, pairs[n]) {
			t.Fatalf("the job lacks %q", pairs[n])
		}
		s = strings.Replace(s, pairs[n], pairs[n+1], 1)
	}
	return s
}

// sided is a job with its whole d.c. side, before any rule has spoken.
func sided(t *testing.T, text string) *report.Report {
	t.Helper()
	j, err := assess.Load("example.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	r, err := j.Currents("")
	if err != nil {
		t.Fatal(err)
	}
	if r.Side, err = j.Side(); err != nil {
		t.Fatal(err)
	}
	r.Findings, r.Unchecked = nil, nil
	return r
}

// found is what one rule finds on a job.
func found(t *testing.T, rule, text string) []finding.Finding {
	t.Helper()
	all, _ := rules.One(rule, sided(t, text))
	return all
}

// secondSource adds a solar charger that sees nothing of the batteries.
var secondSource = []string{
	"  - {id: L1, kind: load", "  - {id: C2, kind: solar, current: 20 A, voltage: 14.2 V, on_open: stops}\n  - {id: L1, kind: load",
	"takeoff:", "  - {id: X1, from: P1.4, to: C2.a, size: 6 AWG, length: 5 in, insulation: 105 °C}\n  - {id: X2, from: C2.b, to: N1.4, size: 6 AWG, length: 5 in, insulation: 105 °C}\ntakeoff:",
}

// stated counts, for each hazard and way, the barriers that count; where rows
// of one hazard and way differ by battery the least.
func stated(r *report.Report) map[string]int {
	all := map[string]int{}
	for i := range r.Side.Hazards {
		h := &r.Side.Hazards[i]
		key := string(h.What) + " " + h.Through
		if n, ok := all[key]; !ok || len(h.Stated()) < n {
			all[key] = len(h.Stated())
		}
	}
	return all
}

// TestBarriers: each barrier taken out of the job is missing from the rows that
// it stood in, and from no other.
func TestBarriers(t *testing.T) {
	whole := stated(sided(t, teaBoat(t)))
	for key, n := range map[string]int{
		"charge below freezing C1": 2, "charge too hot C1": 1, "over-voltage C1": 2, "over-current on charge C1": 2,
		"over-discharge I1": 2, "over-discharge L1": 1, "dead short I1": 2, "dead short C1": 3, "dead short L1": 3,
		"over-current on discharge I1": 2, "over-current on discharge L1": 3, "reversed connection ": 1, "metal across the posts, cover off ": 2,
	} {
		if whole[key] != n {
			t.Errorf("%s: %d barriers, want %d", key, whole[key], n)
		}
	}
	if len(whole) != 13 {
		t.Errorf("%d rows: %v", len(whole), whole)
	}
	for _, row := range []struct {
		name, old, by string
		loses         []string
	}{
		{"charger's lockout", ", cold_lockout: 2 °C", "", []string{"charge below freezing C1"}},
		{"charger's lockout too cold", "cold_lockout: 2 °C", "cold_lockout: -1 °C", []string{"charge below freezing C1"}},
		{"battery's lockout, then assumed only", "cold_charge: 0 °C, ", "", []string{"charge below freezing C1"}},
		{"heat", "hot_charge: 50 °C, cold: -20 °C, hot: 60 °C", "cold: -20 °C", []string{"charge too hot C1"}},
		{"charger's volts", "voltage: 14.2 V, ", "", []string{"over-voltage C1"}},
		{"charger's volts too high", "voltage: 14.2 V", "voltage: 14.7 V", []string{"over-voltage C1"}},
		{"battery's volts", "high: 14.6 V, ", "", []string{"over-voltage C1"}},
		{"charger's amperes", "current: 40 A, ", "", []string{"over-current on charge C1"}},
		{"charger's amperes too many", "current: 40 A", "current: 101 A", []string{"over-current on charge C1"}},
		{"charge trip, then assumed only", "charge_trip: 100 A, ", "", []string{"over-current on charge C1"}},
		{"low", "low: 10 V, ", "", []string{"over-discharge I1", "over-discharge L1"}},
		{"cut-out", ", cutout: 10.5 V", "", []string{"over-discharge I1"}},
		{"cut-out that comes too late", "cutout: 10.5 V", "cutout: 9.9 V", []string{"over-discharge I1"}},
		{"trip, then assumed only", "trip: 200 A, ", "", []string{"dead short I1", "dead short C1", "dead short L1", "over-current on discharge I1",
			"over-current on discharge L1", "reversed connection ", "metal across the posts, cover off "}},
		{"main fuse", "id: F1, kind: fuse, class: class_t, rating: 200 A, interrupt: 20 kA, volts: 125 V", "id: F1, kind: shunt, rating: 200 A",
			[]string{"dead short I1", "dead short C1", "dead short L1", "over-current on discharge I1", "over-current on discharge L1"}},
		{"main fuse over the batteries' limit", "class: class_t, rating: 200 A", "class: class_t, rating: 201 A", []string{"over-current on discharge I1", "over-current on discharge L1"}},
		{"branch breaker", "id: D1, kind: breaker, rating: 20 A, interrupt: 5 kA, volts: 32 V", "id: D1, kind: shunt, rating: 20 A", []string{"dead short L1", "over-current on discharge L1"}},
		{"one cover", "{id: B2, type: block, covered: true}", "{id: B2, type: block}", []string{"metal across the posts, cover off "}},
	} {
		t.Run(row.name, func(t *testing.T) {
			got := stated(sided(t, teaBoat(t, row.old, row.by)))
			for key, n := range whole {
				want := n
				for _, lost := range row.loses {
					if lost == key {
						want--
					}
				}
				if got[key] != want {
					t.Errorf("%s: %d barriers, want %d", key, got[key], want)
				}
			}
		})
	}
}

// TestHand: a switch stands in the table, but does not count.
func TestHand(t *testing.T) {
	hand := func(text string) int {
		n := 0
		for _, h := range sided(t, text).Side.Hazards {
			for _, b := range h.Barriers {
				if b.Hand {
					n++
				}
				if b.Hand && b.Counts() {
					t.Errorf("%+v counts", b)
				}
			}
		}
		return n
	}
	if n := hand(teaBoat(t)); n != 5 { // shorts of three devices, over-current of two
		t.Errorf("%d rows name the switch", n)
	}
	if n := hand(teaBoat(t, "kind: switch, rating", "kind: contactor, rating")); n != 5 {
		t.Errorf("%d rows name the contactor", n)
	}
	if n := hand(teaBoat(t, "kind: switch, rating", "kind: shunt, rating")); n != 0 {
		t.Errorf("%d rows name a switch that is not there", n)
	}
}

// TestEachSourceApart: a second source that never sees the batteries' warmth is
// found though the first has a sensor.
func TestEachSourceApart(t *testing.T) {
	one := found(t, "HAZ-02", teaBoat(t, secondSource...))
	if len(one) != 1 || one[0].Place != "C2" || one[0].Severity != finding.Warning {
		t.Errorf("with the batteries' own lockout: %+v", one)
	}
	text := teaBoat(t, append([]string{"cold_charge: 0 °C, ", ""}, secondSource...)...)
	none := found(t, "HAZ-04", text)
	if len(none) != 1 || none[0].Place != "C2" || none[0].Severity != finding.Fault || !strings.Contains(none[0].Message, "is assumed") {
		t.Errorf("without: %+v", none)
	}
	if left := found(t, "HAZ-02", text); len(left) != 1 || left[0].Place != "C1" {
		t.Errorf("the first source's only barrier: %+v", left)
	}
}

// TestBarrierSeverity: what is said where none or one is left.
func TestBarrierSeverity(t *testing.T) {
	lead := []string{"chemistry: lfp", "chemistry: flooded", "trip: 200 A, charge_trip: 100 A, low: 10 V, high: 14.6 V, cold_charge: 0 °C, hot_charge: 50 °C, cold: -20 °C, hot: 60 °C, ", ""}
	main := []string{"id: F1, kind: fuse, class: class_t, rating: 200 A, interrupt: 20 kA, volts: 125 V", "id: F1, kind: shunt, rating: 200 A"}
	for _, row := range []struct {
		name, rule string
		edit       []string
		want       string // severity and place of each
	}{
		{"main fuse gone: electronics alone", "HAZ-02", main, "warning I1"},
		{"main fuse gone, trip assumed", "HAZ-01", append([]string{" trip: 200 A, ", " "}, main...), "fault I1, warning B1"},
		{"no cut-out of an inverter", "HAZ-02", []string{", cutout: 10.5 V", ""}, "warning I1"},
		{"charge trip alone", "HAZ-02", []string{"current: 40 A, ", ""}, "warning C1"},
		{"the charger's amperes alone", "HAZ-02", []string{"charge_trip: 100 A, ", ""}, "note C1"},
		{"high limit alone", "HAZ-02", []string{"voltage: 14.2 V, ", ""}, "warning C1"},
		{"trip gone: a reversed battery", "HAZ-01", []string{" trip: 200 A, ", " "}, "warning B1"},
		{"lead-acid: a plain load and a reversed battery", "HAZ-01", lead, "warning L1, warning B1"},
		{"lead-acid: one barrier is ordinary", "HAZ-02", lead, ""},
		{"lead-acid, posts bare", "HAZ-01", append([]string{"{id: B1, type: block, covered: true}", "{id: B1, type: block}"}, lead...), "warning L1, warning B1, fault B1"},
	} {
		t.Run(row.name, func(t *testing.T) {
			var got []string
			all := found(t, row.rule, teaBoat(t, row.edit...))
			for _, h := range all {
				got = append(got, fmt.Sprint(h.Severity, " ", h.Place))
			}
			if !sameSet(got, row.want) {
				t.Errorf("want %q: %+v", row.want, all)
			}
		})
	}
}

// sameSet compares a list with one joined by commas, in any order.
func sameSet(got []string, want string) bool {
	var list []string
	if want != "" {
		list = strings.Split(want, ", ")
	}
	if len(got) != len(list) {
		return false
	}
	for _, w := range list {
		found := false
		for n := range got {
			if found = got[n] == w; found {
				got[n] = ""
				break
			}
		}
		if !found {
			return false
		}
	}
	return true
}

// TestTwoSensors: settings within half a kelvin are one.
func TestTwoSensors(t *testing.T) {
	for _, row := range []struct {
		lockout string
		notes   int
	}{{"0.4 °C", 0}, {"0.5 °C", 0}, {"0.6 °C", 1}, {"-2 °C", 0}} {
		if got := found(t, "HAZ-03", teaBoat(t, "cold_lockout: 2 °C", "cold_lockout: "+row.lockout)); len(got) != row.notes {
			t.Errorf("%s: %+v", row.lockout, got)
		}
	}
}

// TestTwoSensorsOnce: two sources of one setting are one note.
func TestTwoSensorsOnce(t *testing.T) {
	with := append([]string{}, secondSource...)
	with[1] = strings.Replace(with[1], "on_open: stops}", "cold_lockout: 2 °C, on_open: stops}", 1)
	all := found(t, "HAZ-03", teaBoat(t, with...))
	if len(all) != 1 || all[0].Place != "C1" || !strings.HasPrefix(all[0].Message, "C1, C2: ") {
		t.Errorf("%+v", all)
	}
}

// TestUnknownSource: a case that charges through the take-off of a job without
// a source is said not to be looked at.
func TestUnknownSource(t *testing.T) {
	_, unchecked := rules.One("HAZ-01", sided(t, current(", limits: {discharge: 100 A, charge: 40 A}", "{id: shore, charge: 40 A}")))
	said := false
	for _, u := range unchecked {
		said = said || u.Place == "takeoff" && strings.Contains(u.Why, "shore")
	}
	if !said {
		t.Errorf("%+v", unchecked)
	}
}
