package main

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The boat of the examples: months, loads, sources and the two voltages, in
// words and in JSON with its settled keys.
func TestDays(t *testing.T) {
	job := example(t, "survey-boat.yaml")
	out, errs, code := command(t, "days", job)
	if code != 0 {
		t.Fatalf("exit %d: %s", code, errs)
	}
	for _, words := range []string{"Survey boat: 240.0 Ah at 24.0 V, floor 50 %", "typical asks Wh", "jan  ", "dec  ", "wheelhouse-roof, sun", "C1, mains", "asked of the bank",
		"what stops first", "the same devices at 12.0 V and at 24.0 V", "cut-out V", "are not taken off", "assumed, and every number above rests on these"} {
		if !strings.Contains(out, words) {
			t.Errorf("does not say %q:\n%s", words, out)
		}
	}
	again, _, _ := command(t, "days", job)
	if again != out {
		t.Error("twice the same job, and the bytes differ")
	}
	if out, _, code = command(t, "days", job, "--month", "June"); code != 0 || !strings.Contains(out, "7, 21:00") || !strings.Contains(out, "June: 15.7 °C outside") {
		t.Errorf("%d: %s", code, out)
	}
}

func TestDaysJSON(t *testing.T) {
	job := example(t, "survey-boat.yaml")
	out, errs, code := command(t, "days", job, "--json", "--volts", "24V,48V")
	var got struct {
		Voltage, Capacity, Floor, Start, Wish float64
		Months                                []struct {
			Month        string
			Temperature  *float64
			Typical, Bad struct {
				ByLoad         map[string]float64 `json:"by_load"`
				Asked          float64
				Offered, Given map[string]float64
				SOC            []float64
				Reaches        *float64 `json:"reaches_floor"`
			}
		}
		Sources  []struct{ ID, Kind string }
		Voltages []struct {
			Device                 string
			Voltage, Current, Loss float64
		}
		Full, Stops []map[string]any
		Notes       []string
		Assumed     []string
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil || code != 0 {
		t.Fatalf("exit %d: %s %v", code, errs, err)
	}
	if got.Voltage != 24 || math.Abs(got.Capacity-240*3600) > 1e-6 || len(got.Months) != 12 || len(got.Sources) != 2 || len(got.Full) == 0 || len(got.Stops) == 0 || len(got.Notes) == 0 || len(got.Assumed) == 0 {
		t.Errorf("%+v", got)
	}
	jun := got.Months[5]
	if jun.Month != "jun" || jun.Temperature == nil || len(jun.Typical.SOC) != 169 || math.Abs(jun.Typical.ByLoad["survey"]-1200*3600) > 1e-6 || jun.Bad.Reaches == nil || jun.Typical.Offered["C1"] < jun.Typical.Given["C1"] {
		t.Errorf("%+v", jun)
	}
	if v := got.Voltages; len(v) != 6 || v[0].Voltage != 24 || v[1].Voltage != 48 || math.Abs(v[1].Current-v[0].Current/2) > 1e-9 || math.Abs(v[1].Loss-v[0].Loss/4) > 1e-9 {
		t.Errorf("%+v", v)
	}
}

// A line an hour of a week for every month, or for one.
func TestDaysCSV(t *testing.T) {
	job := example(t, "survey-boat.yaml")
	for _, c := range []struct {
		args []string
		rows int
	}{{[]string{"days", job, "--csv"}, 12 * 168}, {[]string{"days", job, "--csv", "--month", "mar"}, 168}} {
		out, errs, code := command(t, c.args...)
		rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
		if code != 0 || err != nil || len(rows) != c.rows+1 || rows[0][0] != "month" || len(rows[1]) != len(rows[0]) {
			t.Errorf("%v: exit %d, %v, %d rows: %s", c.args, code, err, len(rows), errs)
		}
	}
}

func TestDaysRefuses(t *testing.T) {
	job := example(t, "survey-boat.yaml")
	bare := filepath.Join(t.TempDir(), "bare.yaml")
	if err := os.WriteFile(bare, []byte("bankwright: 1\nbattery_types: {b: {chemistry: lfp, nominal: 12.8 V, capacity: 1 Ah}}\nbatteries: [{id: B1, type: b}]\ntakeoff: {positive: B1+, negative: B1-}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"days", bare}, exitWork, "the job has no loads of the day; give them, as in loads:"},
		{[]string{"explain", bare, "days.jan.asked"}, exitWork, "the job has no loads of the day"},
		{[]string{"days", job, "--month", "ju"}, exitUsage, "there is no such month"},
		{[]string{"days", job, "--volts", "24"}, exitUsage, "a voltage from 1 V to 1500 V"},
		{[]string{"days", job, "--json", "--csv"}, exitUsage, "none of the others can be"},
		{[]string{"explain", job, "days.jan.moon"}, exitWork, "of the days there are days.capacity"},
	} {
		_, errs, code := command(t, c.args...)
		if code != c.code || !strings.Contains(errs, c.says) {
			t.Errorf("%v: exit %d, %q", c.args, code, errs)
		}
	}
}

// The working, the drawing and the cases of a month.
func TestDaysBeside(t *testing.T) {
	job := example(t, "survey-boat.yaml")
	out, errs, code := command(t, "explain", job, "days.jun.asked")
	if code != 0 || !strings.Contains(out, "lost in cables") {
		t.Errorf("%d %s %s", code, out, errs)
	}
	path := filepath.Join(t.TempDir(), "days.svg")
	if out, errs, code = command(t, "days", job, "-o", path); code != 0 || out != "" {
		t.Fatalf("%d %q %s", code, out, errs)
	}
	b, err := os.ReadFile(path)
	if err != nil || !strings.Contains(string(b), "Survey boat, balance of days") {
		t.Errorf("%v", err)
	}
	if out, errs, code = command(t, "days", job, "--month", "jul", "--cases"); code != 0 || !strings.HasPrefix(out, "# July") || !strings.Contains(out, "sequences:\n  - {id: jul-typical,") {
		t.Errorf("%d %q %s", code, out, errs)
	}
}
