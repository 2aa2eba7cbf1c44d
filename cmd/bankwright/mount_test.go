package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestMount: the trailer is held, with its weakest part named; the text keeps to
// the width of a phone but for its tables.
func TestMount(t *testing.T) {
	path := example(t, "library-trailer.yaml")
	out, errs, code := command(t, "mount", path)
	if code != 0 {
		t.Fatal(errs)
	}
	flat := strings.Join(strings.Fields(out), " ")
	for _, words := range []string{"held against recommended", "2 g forward, 2 g aft, 2 g to each side, 2 g up, against the yield over 2", "Block B1, B2, B3: 46.3 kg, held by K1, K3", "Block B4, B5: 30.8 kg, held by K2, K4",
		"Weakest: lip of K3", "bar of K1.1 up 231 N 1410 N 6.09", "the hitch's part of the whole goes from 8.0 % to 6.8 %", "container_car: held, but too weak", "Not looked at:", "Assumed:", "state of the nuts oiled"} {
		if !strings.Contains(flat, words) {
			t.Errorf("no %q in:\n%s", words, out)
		}
	}
	out, _, code = command(t, "mount", path, "--rule", "container_car")
	if flat := strings.Join(strings.Fields(out), " "); code != 0 || !strings.Contains(flat, "fault MNT-02 at K3") || !strings.Contains(flat, "the rule's loads are from memory") {
		t.Errorf("%d %s", code, out)
	}
	if _, errs, code := command(t, "mount", path, "--rule", "nobody"); code != exitUsage || !strings.Contains(errs, "there are road_us_break") {
		t.Errorf("%d %s", code, errs)
	}
	if _, errs, code := command(t, "mount", example(t, "market-cart.yaml")); code != exitWork || !strings.Contains(errs, "give mounting with forward and hold_downs") {
		t.Errorf("a job without mounting: %d %s", code, errs)
	}
	svg := filepath.Join(t.TempDir(), "mount.svg")
	if out, errs, code := command(t, "mount", path, "-o", svg); code != 0 || out != "" {
		t.Errorf("%d %s %s", code, out, errs)
	}
	b, err := os.ReadFile(svg)
	if err != nil || !strings.HasPrefix(string(b), "<svg") && !strings.HasPrefix(string(b), "<?xml") || !strings.Contains(string(b), "from the front") {
		t.Errorf("%v, %.80s", err, b)
	}
}

// TestMountJSON: plain SI numbers under stable keys, null for what is not known.
func TestMountJSON(t *testing.T) {
	out, errs, code := command(t, "mount", example(t, "library-trailer.yaml"), "--json")
	if code != 0 {
		t.Fatal(errs)
	}
	var m struct {
		Rule   map[string]any `json:"rule"`
		Groups []struct {
			Batteries  []string
			Mass       float64
			Directions []struct {
				Direction   string
				Force, Tips *float64
				Held        bool
			}
			Parts   []map[string]any
			Weakest map[string]any
		}
		Loose, Assumed []string
		Floors         []struct{ Rest float64 }
		Balance        map[string]any
		Verdicts       []map[string]any
		Findings       []any
	}
	if err := json.Unmarshal([]byte(out), &m); err != nil {
		t.Fatal(err)
	}
	g := m.Groups[0]
	if m.Rule["id"] != "recommended" || len(m.Groups) != 2 || len(g.Batteries) != 3 || len(m.Loose) != 0 || m.Loose == nil || len(m.Floors) != 5 || m.Balance["hitch"] == nil || len(m.Verdicts) < 10 || m.Findings == nil {
		t.Errorf("%s", out)
	}
	// Three of 34 lb at 2 g: 3·34·0.45359237·9.80665·2 N.
	if d := g.Directions[0]; d.Direction != "forward" || *d.Force < 907.40 || *d.Force > 907.48 || !d.Held || d.Tips == nil {
		t.Errorf("%+v", d)
	}
	if d := g.Directions[4]; d.Direction != "up" || d.Tips != nil {
		t.Errorf("%+v", d)
	}
	if g.Weakest["part"] != "lip" || g.Parts[0]["hold"] != "K1.1" {
		t.Errorf("%+v", g)
	}
}

// TestExplainMount: a number of the mounting has its working.
func TestExplainMount(t *testing.T) {
	path := example(t, "library-trailer.yaml")
	out, errs, code := command(t, "explain", path, "mount.K1.1.bar")
	if code != 0 || !strings.Contains(out, "6.09 times") || !strings.Contains(out, "mount.1.up") {
		t.Errorf("%d %s %s", code, out, errs)
	}
	if _, errs, code := command(t, "explain", path, "mount.K1.1.ba"); code != exitWork || !strings.Contains(errs, "mount.K1.1.bar") {
		t.Errorf("%d %s", code, errs)
	}
	if out, _, code := command(t, "explain", "MNT-03"); code != 0 || !strings.Contains(strings.Join(strings.Fields(out), " "), "rods that only pull down") {
		t.Errorf("%d %s", code, out)
	}
}
