package rules_test

import (
	"strings"
	"testing"

	"bankwright/internal/check/rules"
)

func TestPlaces(t *testing.T) {
	air := func(chemistry, sleeping string) []string {
		return []string{"chemistry: lfp", "chemistry: " + chemistry, "ambient: 30 °C}", "ambient: 30 °C, sleeping: " + sleeping + "}"}
	}
	class := func(c string) []string {
		return []string{"id: F1, kind: fuse, class: class_t", "id: F1, kind: fuse, class: " + c, "id: F2, kind: fuse, class: class_t", "id: F2, kind: fuse, class: post_cube", "ambient: 30 °C}", "ambient: 30 °C, petrol: true}"}
	}
	const q = "kind: switch, rating"
	const d1 = "{id: W10, from: P1.3, to: D1.a, size: 12 AWG, length: 4 in"
	tap := func(by string) []string { return []string{d1, by} }
	lookAt(t, []limitRow{
		{"flooded, sleeping", "VEN-01", air("flooded", "true"), "fault B1"},
		{"agm, sleeping", "VEN-01", air("agm", "true"), "warning B1"},
		{"gel, sleeping", "VEN-01", air("gel", "true"), "warning B1"},
		{"lfp, sleeping", "VEN-01", air("lfp", "true"), ""},
		{"flooded, elsewhere", "VEN-01", air("flooded", "false"), "note B1"},
		{"agm, elsewhere", "VEN-01", air("agm", "false"), ""},
		{"lfp, sleeping", "VEN-02", air("lfp", "true"), "note B1"},
		{"agm, sleeping", "VEN-02", air("agm", "true"), ""},
		{"class T", "IGN-01", class("class_t"), "fault F1, warning Q1, warning D1"},
		{"open link", "IGN-01", class("strip"), "fault F1, warning Q1, warning D1"},
		{"post cube", "IGN-01", class("post_cube"), "warning Q1, warning D1"},
		{"no switch", "SWI-01", []string{q, "kind: shunt, rating"}, "fault I1"},
		{"contactor", "SWI-01", []string{q, "kind: contactor, rating"}, ""},
		{"no switch, all behind a breaker", "SWI-01", []string{q, "kind: breaker, rating"}, "warning I1"},
		{"a load round it", "SWI-01", tap("{id: W10, from: F1.b, to: D1.a, size: 12 AWG, length: 4 in"), "warning L1"},
		{"switch in the negative", "SWI-01", []string{q, "kind: shunt, rating", "{id: R1, kind: shunt", "{id: R1, kind: switch"}, "warning R1"},
		{"post, under", "TAP-01", tap("{id: W10, from: B1+, to: D1.a, size: 12 AWG, length: 6.9 in"), ""},
		{"post, at", "TAP-01", tap("{id: W10, from: B1+, to: D1.a, size: 12 AWG, length: 7 in"), ""},
		{"post, over", "TAP-01", tap("{id: W10, from: B1+, to: D1.a, size: 12 AWG, length: 7.1 in"), "fault W10"},
		{"bar, over", "TAP-01", tap("{id: W10, from: P1.3, to: D1.a, size: 12 AWG, length: 7.1 in"), "warning W10"},
		{"thick enough", "TAP-01", tap("{id: W10, from: B1+, to: D1.a, size: 8 AWG, length: 40 in"), ""},
		// 12 AWG of 105 °C bears 45 A by 33 CFR 183.425 Table 5: 67.5 A is 150 %.
		{"main fuse small enough", "TAP-01", append(tap("{id: W10, from: P1.3, to: D1.a, size: 12 AWG, length: 40 in"), "class: class_t, rating: 200 A", "class: class_t, rating: 67.5 A"), ""},
		{"main fuse just too large", "TAP-01", append(tap("{id: W10, from: P1.3, to: D1.a, size: 12 AWG, length: 40 in"), "class: class_t, rating: 200 A", "class: class_t, rating: 67.6 A"), "warning W10"},
	})
}

// TestPlacesUnchecked: what no job can say is said to be open.
func TestPlacesUnchecked(t *testing.T) {
	_, open := rules.One("IGN-01", sided(t, rules.Find("IGN-01").Failing))
	var places []string
	for _, u := range open {
		places = append(places, u.Place)
	}
	if got := strings.Join(places, " "); got != "I1" || !strings.HasPrefix(open[0].Why, "I1, C1, L1 may") {
		t.Errorf("in a petrol space open: %s", got)
	}
	// The parts of the other compartment are known to be apart.
	text := strings.Replace(rules.Find("SWI-02").Passing, "ambient: 30 °C}", "ambient: 30 °C, petrol: true}", 1)
	_, open = rules.One("IGN-01", sided(t, text))
	if len(open) == 0 || open[0].Place != "Q1" || !strings.Contains(open[0].Why, "another compartment") {
		t.Errorf("%+v", open)
	}
	if _, open = rules.One("SWI-02", sided(t, teaBoat(t))); len(open) != 1 || open[0].Place != "Q1" {
		t.Errorf("without places: %+v", open)
	}
}

// TestOutside: the list names every part with a mains side, once.
func TestOutside(t *testing.T) {
	all := found(t, "OUT-01", teaBoat(t))
	if len(all) != 1 || all[0].Place != "I1" || !strings.Contains(all[0].Message, "I1, C1") {
		t.Errorf("%+v", all)
	}
}
