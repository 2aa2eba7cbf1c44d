package main

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"bankwright/examples"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"bankwright": main})
}

// TestScripts runs the command as a person would; each block of a script is
// headed by a sentence.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata", Setup: func(env *testscript.Env) error {
		names, err := fs.Glob(examples.Files, "*.yaml")
		if err != nil {
			return err
		}
		for _, name := range names {
			b, err := fs.ReadFile(examples.Files, name)
			if err != nil {
				return err
			}
			if err := os.WriteFile(filepath.Join(env.WorkDir, name), b, 0o644); err != nil {
				return err
			}
		}
		return nil
	}})
}

// command runs one line and gives what it wrote.
func command(t *testing.T, args ...string) (out, errs string, code int) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(args, strings.NewReader(""), &o, &e)
	return o.String(), e.String(), code
}

func example(t *testing.T, name string) string {
	t.Helper()
	b, err := fs.ReadFile(examples.Files, name)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, b, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// Text output fits a phone held upright, but for tables whose columns need more.
func TestTextIsNarrow(t *testing.T) {
	for _, name := range []string{"library-trailer.yaml", "market-cart.yaml", "survey-boat.yaml", "ridge-hut.yaml"} {
		job := example(t, name)
		for _, args := range [][]string{{"currents", job}, {"explain", job, "takeoff.voltage"}, {"explain", job, "imbalance"}} {
			out, errs, code := command(t, args...)
			if code != 0 {
				t.Fatalf("%v: %d %s", args, code, errs)
			}
			for _, line := range strings.Split(out, "\n") {
				if n := utf8.RuneCountInString(line); n > wide+2 {
					t.Errorf("%s %s: %d columns: %q", args[0], name, n, line)
				}
			}
		}
	}
}

// The same job gives the same bytes on every run.
func TestSameBytes(t *testing.T) {
	job := example(t, "library-trailer.yaml")
	for _, args := range [][]string{{"currents", job, "--json"}, {"wirings", job, "--json"}, {"plan", job}, {"currents", job}, {"wirings", job}, {"run", job}, {"run", job, "--json"}, {"dropout", job}, {"spread", job}, {"join", job}} {
		first, _, code := command(t, args...)
		again, _, _ := command(t, args...)
		if code != 0 || first != again {
			t.Errorf("%v: exit %d, same bytes %v", args, code, first == again)
		}
	}
}

// JSON keeps the settled keys, plain numbers and nothing else on stdout.
func TestSettledKeys(t *testing.T) {
	job := example(t, "library-trailer.yaml")
	small := filepath.Join(t.TempDir(), "small.yaml")
	if err := os.WriteFile(small, []byte("bankwright: 1\nbattery_types: {b: {chemistry: lfp, nominal: 12.8 V, capacity: 1 Ah, resistance: 5 mΩ, emf: 13 V}}\nbatteries: [{id: B1, type: b}]\ntakeoff: {positive: B1+, negative: B1-}\ncases: [{id: a, draw: 2 A}]\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args []string
		keys []string
		list string
		item []string
	}{
		{[]string{"currents", job, "--json"}, []string{"case", "takeoff", "batteries", "cables", "imbalance", "residual"}, "batteries", []string{"id", "current", "voltage", "share"}},
		{[]string{"currents", job, "--json"}, nil, "cables", []string{"id", "current", "drop", "resistance"}},
		{[]string{"wirings", job, "--json"}, []string{"case", "space", "examined", "exact", "batteries", "takeoff", "lugs", "lengths", "front"}, "front", []string{"copper", "imbalance", "ties", "positive", "negative", "takeoff_voltage", "loss"}},
		{[]string{"wirings", job, "--json"}, nil, "lengths", []string{"rail", "from", "to", "length", "resistance"}},
		{[]string{"wirings", job, "--json"}, nil, "batteries", []string{"id", "emf", "resistance"}},
		{[]string{"run", job, "--case", "day", "--json"}, []string{"case", "time", "batteries", "events", "delivered", "nameplate"}, "batteries", []string{"id", "current", "soc", "voltage"}},
		{[]string{"run", small, "--json"}, nil, "events", []string{"time", "battery", "what"}},
		{[]string{"dropout", job, "--json"}, []string{"case", "limit_all_in", "limit_one_out", "outs"}, "outs", []string{"out", "currents", "trips", "holds"}},
	} {
		out, errs, code := command(t, c.args...)
		if code != 0 || errs != "" {
			t.Fatalf("%v: %d %s", c.args, code, errs)
		}
		var got map[string]any
		if err := json.Unmarshal([]byte(out), &got); err != nil {
			t.Fatalf("%v: %v", c.args, err)
		}
		for _, k := range c.keys {
			if _, ok := got[k]; !ok {
				t.Errorf("%v lacks %s", c.args, k)
			}
		}
		items, _ := got[c.list].([]any)
		if len(items) == 0 {
			t.Fatalf("%v: %s is empty", c.args, c.list)
		}
		first, _ := items[0].(map[string]any)
		for _, k := range c.item {
			if _, ok := first[k]; !ok {
				t.Errorf("%v: %s lacks %s", c.args, c.list, k)
			}
		}
	}
}
