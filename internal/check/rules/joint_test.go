package rules_test

import (
	"fmt"
	"strings"
	"testing"

	"bankwright/internal/check/rules"
	"bankwright/internal/model/finding"
)

// swap replaces texts of a job, each of which must be there.
func swap(t *testing.T, job string, pairs ...string) string {
	t.Helper()
	for n := 0; n+1 < len(pairs); n += 2 {
		if !strings.Contains(job, pairs[n]) {
			t.Fatalf("the job lacks %q", pairs[n])
		}
		job = strings.Replace(job, pairs[n], pairs[n+1], 1)
	}
	return job
}

// row is a job with texts replaced and what a rule says of it: severity and
// place of each finding, and a text that is in one of them or in what is not
// checked.
type row struct {
	name  string
	pairs []string
	want  string
	says  string
}

// expect runs rows of a rule on a job.
func expect(t *testing.T, id, job string, rows []row) {
	t.Helper()
	for _, one := range rows {
		t.Run(one.name, func(t *testing.T) {
			r := checked(t, swap(t, job, one.pairs...))
			var got, text []string
			for _, f := range by(id, r.Findings) {
				got = append(got, string(f.Severity)+" "+f.Place)
				text = append(text, f.Message)
				if f.Number != nil && (f.Number.Margin > 0 || f.Number.Unit == "") {
					t.Errorf("the number does not pass its limit: %+v", f.Number)
				}
			}
			for _, u := range r.Unchecked {
				if u.Rule == id {
					text = append(text, "not checked "+u.Place+": "+u.Why)
				}
			}
			if strings.Join(got, ", ") != one.want || !strings.Contains(strings.Join(text, "\n"), one.says) {
				t.Errorf("%s: %q\n%s", id, got, strings.Join(text, "\n"))
			}
		})
	}
}

func passing(id string) string { return rules.Find(id).Passing }

// The lamp draws 40 A, so that a joint of 0.25 mΩ loses 10 mV.
func TestJointDrop(t *testing.T) {
	at := func(ohm string) []string {
		return []string{"to: L1.a, size", "to: L1.a, joint: {from: 0.01 mΩ, to: " + ohm + "}, size"}
	}
	expect(t, "JNT-01", passing("STD-01"), []row{
		{"just under 10 mV", at("0.2499 mΩ"), "", ""},
		{"at 10 mV", at("0.25 mΩ"), "", ""},
		{"just over 10 mV", at("0.2501 mΩ"), "note W3@L1.a", "suspect"},
		{"at 20 mV", at("0.5 mΩ"), "note W3@L1.a", ""},
		{"just over 20 mV", at("0.5001 mΩ"), "warning W3@L1.a", "at 40.0 A"},
		{"just under softening", at("2.999 mΩ"), "warning W3@L1.a", ""},
		{"softens", at("3.001 mΩ"), "fault W3@L1.a", "from memory"},
		{"assumed for all", []string{"practice:", "joint: 0.2 mΩ\npractice:", "current: 40 A", "current: 55 A"},
			"note W1@B1+, note W1@F1.a, note W2@F1.b, note W2@Q1.a, note W3@Q1.b, note W3@L1.a, note W4@L1.b, note W4@N1.1, note W5@N1.2, note W5@B1-", "11.0 mV"},
		{"resistance given whole", []string{"to: L1.a, size: 6 AWG", "to: L1.a, resistance: 3 mΩ, size: 6 AWG"}, "", "given whole"},
	})
}

// TestJointHeat: the rise goes with the resistance of the joint, so that the
// limit lies where 50 K divided by the rise of one milliohm says.
func TestJointHeat(t *testing.T) {
	job := rules.Find("JNT-02").Failing // 1 mΩ
	f := by("JNT-02", checked(t, job).Findings)
	if len(f) != 1 || f[0].Number == nil || f[0].Number.Limit != 50 {
		t.Fatalf("%+v", f)
	}
	// 1 kW/0.88 at the cut-out of 10.5 V are 108.2 A, through 1 mΩ 11.7 W. A 2/0 cable of 30 in takes some 0.1 to 0.2 W/K
	// at its end (√(slope·k·A), slope near 0.5 W/(m·K)).
	if v := f[0].Number.Value; v < 11.7/0.2 || v > 11.7/0.1 {
		t.Errorf("a rise of %g K", v)
	}
	at := func(factor float64) []string {
		return []string{"to: 1 mΩ", fmt.Sprintf("to: %.6f mΩ", factor*50/f[0].Number.Value)}
	}
	for _, one := range []struct {
		name   string
		factor float64
		found  bool
	}{{"just under", 0.999, false}, {"just over", 1.001, true}} {
		t.Run(one.name, func(t *testing.T) {
			got := by("JNT-02", checked(t, swap(t, job, at(one.factor)...)).Findings)
			rose := len(got) == 1 && strings.Contains(got[0].Message, "above its cable")
			if rose != one.found {
				t.Errorf("%+v", got)
			}
		})
	}
}

func TestStud(t *testing.T) {
	all := "warning B1+, warning F1.a, warning Q1.a, warning L1.a, warning N1.1"
	expect(t, "STD-01", passing("STD-01"), []row{
		{"just under", []string{"current: 40 A", "current: 42.99 A"}, "", ""},
		{"at", []string{"current: 40 A", "current: 43 A"}, "", ""},
		{"just over", []string{"current: 40 A", "current: 43.01 A"}, all, "tested with 43.0 A"},
		{"by its decimal name", []string{"current: 40 A, thread: 1/4-28", "current: 40 A, thread: 10-32"}, "warning L1.a", "tested with 35.0 A"},
		{"a thread without a figure", []string{"stud: 1/4-28", "stud: M8"}, "", "no published current for a stud of M8; up to 40.0 A"},
		{"no thread", []string{"stud: 1/4-28", "mass: 12 kg"}, "", "does not give the thread of B1"},
	})
}

func TestLugOrder(t *testing.T) {
	job := passing("BON-01")
	expect(t, "STK-01", job, []row{
		{"like lugs", nil, "", "several lugs: B1+, B2-"},
		{"the thicker lowest", []string{"to: B2-, size: 2/0 AWG, length: 12 in", "to: B2-, size: 4/0 AWG, length: 12 in"}, "note B2-", "W9 (4/0 AWG), W2 (2/0 AWG)"},
		{"the thinner above", []string{"to: B2-, size: 2/0 AWG, length: 12 in", "to: B2-, size: 1/0 AWG, length: 12 in"}, "note B2-", "W2 (2/0 AWG), W9 (1/0 AWG)"},
		// Customary M8: 1.6 + 2.0 + 6.8 + 2 · 1.25 mm.
		{"what the stud needs", []string{"capacity: 100 Ah", "capacity: 100 Ah\n    stud: M8"}, "", "12.9 mm"},
	})
}

func TestTorque(t *testing.T) {
	job := passing("BON-01")
	expect(t, "TRQ-01", job, []row{
		{"post", []string{"capacity: 100 Ah", "capacity: 100 Ah\n    stud: M8"}, "", "the posts of block is unknown: ask its maker"},
		// 80 lbf·in with one spring washer to 180 with two.
		{"bar of M8", []string{"{id: P1, kind: bar", "{id: P1, thread: M8, kind: bar"}, "note P1", "from 9.0 N·m to 20 N·m"},
		{"bar of a rare thread", []string{"{id: P1, kind: bar", "{id: P1, thread: M5, kind: bar"}, "", "no torque was read for bolts of M5"},
		{"device", []string{"{id: F1, kind: fuse", "{id: F1, thread: M8, kind: fuse"}, "", "terminals is unknown: ask the makers: F1"},
	})
}

func TestCover(t *testing.T) {
	job := passing("SER-01") // in series: the upper battery's negative post is live too
	expect(t, "COV-01", job, []row{
		{"covered", nil, "", ""},
		{"lower open", []string{"{id: B1, type: block, covered: true}", "{id: B1, type: block}"}, "warning B1", "no covers: B1+"},
		{"upper open", []string{"{id: B2, type: block, covered: true}", "{id: B2, type: block}"}, "warning B2", "no covers: B2+, B2-"},
	})
	expect(t, "COV-01", passing("BON-01"), []row{{"parts", nil, "", "have covers is not in the job (covered: true): P1"}})
}

// The post of the bare battery is 8 in up, 5 in from the left wall and in front.
func TestApart(t *testing.T) {
	job := passing("APT-01")
	open := []string{", covered: true", ""}
	high := func(inches string) []string {
		return append([]string{"height: 12 in}}]", "height: " + inches + "}}]"}, open...)
	}
	expect(t, "APT-01", job, []row{
		{"open with room", open, "", ""},
		{"just under an inch", high("8.999 in"), "warning B1+", "the lid of bay"},
		{"at an inch", high("9 in"), "", ""},
		{"just over", high("9.001 in"), "", ""},
		{"covered", []string{"height: 12 in}}]", "height: 8.5 in}}]"}, "note B1+", ""},
		{"wall", append([]string{"at: [3 in, 2 in, 0 in]", "at: [0 in, 2 in, 0 in]", "positive: [2 in", "positive: [0.9 in"}, open...), "warning B1+", "a wall of bay"},
		{"frame", append([]string{"parts: [", "parts: [{id: H1, kind: frame, at: [5 in, 5.5 in, 8 in]}, "}, open...), "warning B1+", "from H1"},
		{"no place", []string{"at: [3 in, 2 in, 0 in], ", ""}, "", "where these live posts are: B1+"},
	})
}

// TestMemorySaysSo: a limit from memory says so in the finding.
func TestMemorySaysSo(t *testing.T) {
	for _, f := range checked(t, rules.Find("BON-02").Failing).Findings {
		if f.Rule == "BON-02" && (f.Severity != finding.Warning || !strings.Contains(f.Message, "from memory")) {
			t.Errorf("%+v", f)
		}
	}
}
