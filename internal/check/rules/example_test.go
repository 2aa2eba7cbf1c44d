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

func assessed(t *testing.T, text, caseID string) *report.Report {
	t.Helper()
	j, err := assess.Load("example.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	r, err := j.Currents(caseID)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// by gives what one rule found, place by place.
func by(rule string, all []finding.Finding) []finding.Finding {
	var list []finding.Finding
	for _, f := range folded(rule, all) {
		if len(f.Places) == 0 {
			list = append(list, f)
		}
		for _, place := range f.Places {
			one := f
			one.Place = place
			list = append(list, one)
		}
	}
	return list
}

// folded gives what one rule found as it is told.
func folded(rule string, all []finding.Finding) []finding.Finding {
	var list []finding.Finding
	for _, f := range all {
		if f.Rule == rule {
			list = append(list, f)
		}
	}
	return list
}

// TestExamples: each rule speaks on its failing example and is silent on the
// passing one; there the others find no fault and no warning either.
func TestExamples(t *testing.T) {
	for _, r := range rules.All() {
		t.Run(r.ID, func(t *testing.T) {
			look := func(text string) *report.Report {
				if r.Snapshot() {
					return assessed(t, text, "")
				}
				return checked(t, text)
			}
			bad := by(r.ID, look(r.Failing).Findings)
			if len(bad) == 0 {
				t.Fatal("silent on its failing example")
			}
			as := false
			for _, f := range bad {
				as = as || f.Severity == r.Severity
				if f.Place == "" || f.Message == "" || f.Suggestion == "" || f.Source == "" {
					t.Errorf("incomplete: %+v", f)
				}
			}
			if !as {
				t.Errorf("nothing as grave as %s: %+v", r.Severity, bad)
			}
			good := look(r.Passing)
			for _, f := range good.Findings {
				if f.Rule == r.ID || f.Severity != finding.Note {
					t.Errorf("on the passing example: %+v", f)
				}
			}
			for _, u := range good.Unchecked {
				if u.Rule == r.ID {
					t.Errorf("the passing example is not checked: %+v", u)
				}
			}
		})
	}
}

// checked is the whole of a job.
func checked(t *testing.T, text string) *report.Report {
	t.Helper()
	j, err := assess.Load("example.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	r, err := j.Check()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// current is two equal batteries in parallel, with limits as told.
func current(limits, cases string) string {
	return "bankwright: 1\nbattery_types:\n  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13.2 V" + limits + "}\n" +
		"batteries: [{id: B1, type: block}, {id: B2, type: block}]\nparts: [{id: S, kind: stud}, {id: T, kind: stud}]\n" +
		"cables: [{id: W1, from: B1+, to: S, resistance: 1 mΩ}, {id: W2, from: B2+, to: S, resistance: 1 mΩ}, {id: W3, from: B1-, to: T, resistance: 1 mΩ}, {id: W4, from: B2-, to: T, resistance: 1 mΩ}]\n" +
		"takeoff: {positive: S, negative: T}\ncases: [" + cases + "]\n"
}

// TestCurrentLimits: at the limit a battery holds, just over it does not; charge
// has a limit of its own; without a limit nothing is checked and that is said.
func TestCurrentLimits(t *testing.T) {
	const both = ", limits: {discharge: 100 A, charge: 40 A}"
	for _, row := range []struct {
		name, limits, demand string
		found, unchecked     int
		says                 string
	}{
		{"under", both, "draw: 199 A", 0, 0, ""},
		{"at", both, "draw: 200 A", 0, 0, ""},
		{"over", both, "draw: 200.01 A", 2, 0, "discharge limit of 100 A"},
		{"charge under", both, "charge: 79 A", 0, 0, ""},
		{"charge over", both, "charge: 88 A", 2, 0, "44.0 A on charge, over its charge limit of 40.0 A by 10 %"},
		{"no limit for charging", ", limits: {discharge: 100 A}", "charge: 300 A", 0, 2, "no charge limit"},
		{"no limit at all", "", "draw: 300 A", 0, 2, "no discharge limit"},
	} {
		t.Run(row.name, func(t *testing.T) {
			r := assessed(t, current(row.limits, "{id: load, "+row.demand+"}"), "")
			found := by("CUR-01", r.Findings)
			text := fmt.Sprint(found, r.Unchecked)
			if len(found) != row.found || len(r.Unchecked) != row.unchecked || !strings.Contains(text, row.says) {
				t.Errorf("%d found, %d unchecked: %s", len(found), len(r.Unchecked), text)
			}
		})
	}
	off := strings.Replace(current(both, "{id: load, draw: 90 A}"), "{id: B2, type: block}", "{id: B2, type: block, off: true}", 1)
	if r := assessed(t, off, ""); len(r.Findings)+len(r.Unchecked) != 0 {
		t.Errorf("one off: %+v %+v", r.Findings, r.Unchecked)
	}
}

// TestLugs: the place named is the end with too many lugs, and no other.
func TestLugs(t *testing.T) {
	found := by("LUG-01", assessed(t, rules.Find("LUG-01").Failing, "").Findings)
	if len(found) != 2 || found[0].Place != "S1" || found[1].Place != "S2" || !strings.Contains(found[0].Message, "5 lugs sit on S1") {
		t.Errorf("%+v", found)
	}
}

// TestClose: the cable named is one that cannot keep the clearance.
func TestClose(t *testing.T) {
	for _, f := range by("RTE-01", assessed(t, rules.Find("RTE-01").Failing, "").Findings) {
		if f.Place != "W1" && f.Place != "W2" || !strings.Contains(f.Message, "20 mm") {
			t.Errorf("%+v", f)
		}
	}
}
