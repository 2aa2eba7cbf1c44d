package main

import (
	"encoding/json"
	"strings"
	"testing"

	"bankwright/internal/check/rules"
)

// The settings of the example: lithium is neither equalised nor compensated,
// its charger stops above freezing, and a job's voltage over the batteries' own
// limit differs, in words and in JSON.
func TestSettings(t *testing.T) {
	text := rules.Find("SRC-03").Failing
	out, errs, code := command(t, "settings", written(t, text), "--json")
	var got struct {
		Settings []struct {
			Part, Setting, State, Source string
			Least, Most                  *float64
			Off                          bool
		}
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil || code != 0 {
		t.Fatalf("exit %d: %s %v", code, errs, err)
	}
	state := map[string]string{}
	for _, s := range got.Settings {
		state[s.Part+" "+s.Setting] = s.State
		if s.Source == "" || s.Least == nil && s.Most == nil && !s.Off {
			t.Errorf("says nothing: %+v", s)
		}
		if s.Setting == "equalise" && !(s.Off && s.Least == nil) {
			t.Errorf("lithium is not equalised: %+v", s)
		}
		if s.Setting == "cold lockout" && (s.Least == nil || *s.Least < 273.15) {
			t.Errorf("lithium is not charged below freezing: %+v", s)
		}
	}
	if state["C1 absorption"] != "the job has another" || state["I1 low-voltage cut-off"] != "as in the job" {
		t.Errorf("%v", state)
	}
	out, _, _ = command(t, "settings", written(t, text))
	flat := strings.Join(strings.Fields(out), " ")
	if !strings.Contains(flat, "which differs") || !strings.Contains(flat, "equalise: off") {
		t.Errorf("%s", out)
	}
}

// TestSettingsRefuses: a job that check refuses is refused in the same words.
func TestSettingsRefuses(t *testing.T) {
	text := rules.Find("SRC-03").Passing
	cable := "  - {id: W1, from: B1+, to: B2+, size: 2/0 AWG, length: 6 in, insulation: 105 °C, support: 12 in}\n"
	if !strings.Contains(text, cable) || !strings.Contains(text, "length: 6 in, ") {
		t.Fatal("the example has changed")
	}
	for _, job := range []string{strings.Replace(text, "length: 6 in, ", "", 1), strings.Replace(text, cable, strings.Replace(cable, "B2+", "P1.1", 1), 1)} {
		path := written(t, job)
		_, want, failed := command(t, "check", path)
		_, got, code := command(t, "settings", path)
		if failed == 0 || want == "" || got != want || code != failed {
			t.Errorf("check: %d %q\nsettings: %d %q", failed, want, code, got)
		}
	}
}
