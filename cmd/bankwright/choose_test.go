package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// unsized is a job with nothing chosen.
const unsized = `bankwright: 1
title: Tea box
show: {wire: AWG}
practice: {book: marine, ambient: 30 °C}
battery_types: {block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13.2 V}}
batteries: [{id: B1, type: block}]
parts:
  - {id: F1, kind: fuse, resistance: 1 mΩ}
  - {id: L1, kind: load, current: 20 A}
cables:
  - {id: W1, from: B1+, to: F1.a, length: 5 in, insulation: 105 °C}  # hot
  - {id: W2, from: F1.b, to: L1.a, length: 4 ft, insulation: 105 °C}
  - {id: W3, from: L1.b, to: B1-, length: 4 ft, insulation: 105 °C}
takeoff: {positive: L1.a, negative: B1-}
`

// TestChoose: proposals as text and for programs, and a new file that check
// reads, the old one as it was; other commands ask for sizes.
func TestChoose(t *testing.T) {
	folder := t.TempDir()
	old, fresh := filepath.Join(folder, "box.yaml"), filepath.Join(folder, "new.yaml")
	if err := os.WriteFile(old, []byte(unsized), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, errs, code := command(t, "check", old); code != exitWork || !strings.Contains(errs, "W1 needs a size") || !strings.Contains(errs, "bankwright choose") {
		t.Errorf("check of a job without sizes: %d %s", code, errs)
	}
	out, errs, code := command(t, "choose", old, "-o", fresh)
	if code != exitDone {
		t.Fatalf("%d %s", code, errs)
	}
	for _, says := range []string{"nothing that is given is changed", "W2", "16 AWG", "F1: 25.00 A", "written to"} {
		if !strings.Contains(out, says) {
			t.Errorf("%q is not said:\n%s", says, out)
		}
	}
	b, err := os.ReadFile(fresh)
	if err != nil || !strings.Contains(string(b), "rating: 25 A") || !strings.Contains(string(b), "AWG}  # hot") {
		t.Errorf("%v\n%s", err, b)
	}
	if b, err := os.ReadFile(old); err != nil || string(b) != unsized {
		t.Errorf("the job itself was changed: %v", err)
	}
	text, errs, code := command(t, "check", fresh)
	if code != exitDone || !strings.Contains(text, "not checked") {
		t.Errorf("%d %s %s", code, errs, text)
	}
	for _, rule := range []string{"fault AMP", "fault DRP", "fault PRO"} {
		if strings.Contains(text, rule) {
			t.Errorf("%s:\n%s", rule, text)
		}
	}
	if out, _, _ := command(t, "choose", fresh); !strings.Contains(out, "every cable has its size") {
		t.Errorf("a second time:\n%s", out)
	}
}

func TestChooseJSON(t *testing.T) {
	old := filepath.Join(t.TempDir(), "box.yaml")
	if err := os.WriteFile(old, []byte(unsized), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, errs, code := command(t, "choose", old, "-o", old); code != exitUsage || !strings.Contains(errs, "the job file itself") {
		t.Errorf("%d %s", code, errs)
	}
	out, errs, code := command(t, "choose", old, "--json")
	if code != exitDone {
		t.Fatal(errs)
	}
	var got chooseJSON
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Cables) != 3 || got.Cables[1].Size.String() != "16 AWG" || got.Cables[1].Why == "" || got.Cables[1].Better != "14 AWG" || len(got.Devices) != 1 || got.Devices[0].Rating != 25 || got.Devices[0].Class != "class_t" || len(got.Due) != 0 {
		t.Errorf("%s", out)
	}
}
