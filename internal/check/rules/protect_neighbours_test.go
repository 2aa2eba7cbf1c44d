package rules_test

import (
	"strings"
	"testing"

	"bankwright/internal/check/rules"
	"bankwright/internal/model/finding"
)

// A thin link is told of both its batteries; as thick as it must be it is not;
// with a fuse between nothing is said; and of three batteries the rule for
// large banks speaks alone.
func TestNeighbours(t *testing.T) {
	thin := rules.Find("PRO-19").Failing
	r := checked(t, thin)
	for _, id := range []string{"B1", "B2"} {
		if all := by("PRO-19", r.Findings); len(all) == 0 || !all[0].At(id) {
			t.Errorf("a thin link is not told of %s: %+v", id, all)
		}
	}
	worstIs(t, r, "PRO-19", finding.Warning, "through its cable W1")
	f := by("PRO-19", r.Findings)[0]
	if n := f.Number; n == nil || !(n.Value > n.Limit) || !(n.Margin < 0) {
		t.Errorf("no number: %+v", f)
	}
	fused := strings.NewReplacer("{id: W1, from: B1+, to: B2+,", "{id: W19, from: B2+, to: F9.b, size: 6 AWG, length: 3 in, insulation: 105 °C}\n  - {id: W1, from: B1+, to: F9.a,",
		"  - {id: F2, kind: fuse", "  - {id: F9, kind: fuse, class: class_t, rating: 100 A, interrupt: 20 kA, volts: 125 V, resistance: 0.1 mΩ}\n  - {id: F2, kind: fuse").Replace(thin)
	if all := by("PRO-19", checked(t, fused).Findings); len(all) != 0 {
		t.Errorf("with a fuse between: %+v", all)
	}
	large := checked(t, rules.Find("PRO-15").Failing)
	if len(by("PRO-15", large.Findings)) == 0 || len(by("PRO-19", large.Findings)) != 0 {
		t.Errorf("of a large bank: %+v", by("PRO-19", large.Findings))
	}
	whole := strings.Replace(rules.Find("PRO-19").Passing, "{id: W1, from: B1+, to: B2+, size: 2/0 AWG, length: 6 in, insulation: 105 °C, support: 12 in}", "{id: W1, from: B1+, to: B2+, resistance: 0.1 mΩ}", 1)
	told := 0
	for _, u := range checked(t, whole).Unchecked {
		if u.Rule == "PRO-19" {
			told++
		}
	}
	if told != 1 {
		t.Errorf("a link of no size is told %d times as not checked", told)
	}
}
