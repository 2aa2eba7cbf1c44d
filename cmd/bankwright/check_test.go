package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bankwright/internal/check/rules"
)

// written puts a job into a file of its own.
func written(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "job.yaml")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// A fault ends --strict with 3, and only it: without the flag, or without a
// fault, the check is done.
func TestCheckExit(t *testing.T) {
	faulty, mended := written(t, rules.Find("AMP-01").Failing), written(t, rules.Find("AMP-01").Passing)
	for _, row := range []struct {
		args []string
		code int
	}{
		{[]string{"check", faulty}, 0}, {[]string{"check", faulty, "--strict"}, 3}, {[]string{"check", faulty, "--strict", "--json"}, 3},
		{[]string{"check", mended, "--strict"}, 0}, {[]string{"check", "none.yaml", "--strict"}, 1}, {[]string{"check"}, 2}, {[]string{"check", mended, "--strickt"}, 2},
	} {
		if _, errs, code := command(t, row.args...); code != row.code {
			t.Errorf("%v: exit %d, not %d: %s", row.args, code, row.code, errs)
		}
	}
}

// JSON has the settled keys, the numbers of a finding, and lists even where
// there is nothing.
func TestCheckJSON(t *testing.T) {
	out, errs, code := command(t, "check", written(t, rules.Find("AMP-01").Failing), "--json")
	var got struct {
		Findings []struct {
			Rule, Severity, Place, Message, Suggestion, Source string
			Number                                             *struct{ Value, Limit, Margin float64 }
		}
		Unchecked []struct{ Rule, Place, Why string }
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil || code != 0 {
		t.Fatalf("exit %d: %s: %v", code, errs, err)
	}
	found := false
	for _, f := range got.Findings {
		if f.Rule == "" || f.Severity == "" || f.Place == "" || f.Message == "" || f.Source == "" {
			t.Errorf("incomplete: %+v", f)
		}
		if f.Rule == "AMP-01" && f.Place == "W6" {
			found = true
			if f.Severity != "fault" || f.Number == nil || !(f.Number.Value > f.Number.Limit) || !(f.Number.Margin < 0) {
				t.Errorf("%+v", f)
			}
		}
	}
	if !found {
		t.Error("the thin cable was not found")
	}
	bare := written(t, "bankwright: 1\nbattery_types: {b: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13 V, limits: {discharge: 50 A}}}\nbatteries: [{id: B1, type: b}]\ntakeoff: {positive: B1+, negative: B1-}\ncases: [{id: a, draw: 2 A}]\n")
	out, _, _ = command(t, "check", bare, "--json")
	if strings.Contains(out, "null") {
		t.Errorf("lists are never null: %s", out)
	}
}

// The text names place, limit, margin, source and what would mend it, and ends
// with the caution.
func TestCheckText(t *testing.T) {
	out, _, _ := command(t, "check", written(t, rules.Find("AMP-01").Failing))
	flat := strings.Join(strings.Fields(out), " ")
	for _, want := range []string{"fault AMP-01 at W6", "past it.", "By 33 CFR 183.425", "Take a larger size", "open the switch", "licensed person", "marine book"} {
		if !strings.Contains(flat, want) {
			t.Errorf("%q is not said:\n%s", want, out)
		}
	}
}
