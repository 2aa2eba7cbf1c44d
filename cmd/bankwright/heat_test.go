package main

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

const hut = "../../examples/ridge-hut.yaml"

// The text answers what the sheet is for, in words that a fitter looks for.
func TestHeatText(t *testing.T) {
	out, errs, code := command(t, "heat", hut, "--year")
	if code != 0 || errs != "" {
		t.Fatal(code, errs)
	}
	for _, words := range []string{"cold week, from", "the coldest battery is", "without heat and at rest", "to hold 3 °C", "T1, 150 W together", "% of the bank", "hot week, from", "the sensor of a charge lockout belongs on the case of", "sealed lithium makes no hydrogen", "January", "assumed, and every number"} {
		if !strings.Contains(strings.Join(strings.Fields(out), " "), words) {
			t.Errorf("it does not say %q", words)
		}
	}
	cold, _, _ := command(t, "heat", hut, "--week", "cold")
	if strings.Contains(cold, "hot week, from") || !strings.Contains(cold, "cold week, from") {
		t.Error("--week cold shows another week")
	}
}

// A job that says nothing of warmth is told in one sentence what it takes.
func TestHeatMissing(t *testing.T) {
	out, _, code := command(t, "heat", "../../examples/market-cart.yaml")
	if code != 0 || !strings.Contains(strings.Join(strings.Fields(out), " "), "the job has to give place with latitude and climate or months, and walls") {
		t.Errorf("%d: %s", code, out)
	}
	if _, errs, code := command(t, "heat", "../../examples/market-cart.yaml", "--csv"); code != exitWork || !strings.Contains(errs, "no hours") {
		t.Errorf("%d: %s", code, errs)
	}
}

// The JSON: settled keys, SI numbers, null where there is none.
func TestHeatJSON(t *testing.T) {
	out, errs, code := command(t, "heat", hut, "--json", "--year")
	if code != 0 {
		t.Fatal(errs)
	}
	var got struct {
		Missing   *string
		Batteries []struct {
			ID      string
			Coldest float64  `json:"coldest_k"`
			Limit   *float64 `json:"charge_above_k"`
		}
		Weeks []struct {
			Name    string
			Outside []float64 `json:"outside_k"`
			Blocked []bool
		}
		Year    struct{ Months []struct{ Hours int } }
		Freeze  struct{ Seconds float64 }
		Heating struct {
			Hold  float64 `json:"hold_w"`
			Watts float64
		}
		Sensors []struct {
			At      string
			Setting *float64 `json:"setting_k"`
		}
		Best *string `json:"best_sensor"`
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	if got.Missing != nil || len(got.Batteries) != 8 || got.Batteries[0].Limit == nil || *got.Batteries[0].Limit != 273.15 {
		t.Errorf("%+v", got.Batteries)
	}
	if len(got.Weeks) != 2 || len(got.Weeks[0].Outside) != 168 || len(got.Weeks[0].Blocked) != 168 || got.Weeks[0].Outside[0] < 200 || len(got.Year.Months) != 12 {
		t.Errorf("weeks and year: %d, %+v", len(got.Weeks), got.Year)
	}
	if !(got.Freeze.Seconds > 3600) || !(got.Heating.Hold > 0 && got.Heating.Hold < got.Heating.Watts) || got.Best == nil || len(got.Sensors) < 24 {
		t.Errorf("%+v %+v %v", got.Freeze, got.Heating, got.Best)
	}
}

// The CSV has a row an hour; of the year 8760.
func TestHeatCSV(t *testing.T) {
	for _, row := range []struct {
		args []string
		rows int
	}{{[]string{"heat", hut, "--csv"}, 336}, {[]string{"heat", hut, "--csv", "--week", "hot"}, 168}, {[]string{"heat", hut, "--csv", "--year"}, 8760}} {
		out, errs, code := command(t, row.args...)
		if code != 0 {
			t.Fatal(errs)
		}
		all, err := csv.NewReader(strings.NewReader(out)).ReadAll()
		if err != nil || len(all) != row.rows+1 {
			t.Errorf("%v: %d rows, %v", row.args, len(all), err)
		}
	}
}

// A person's own hours stand for the place's.
func TestHeatWeather(t *testing.T) {
	dir := t.TempDir()
	var b strings.Builder
	b.WriteString("temperature_c\n")
	for h := range 8760 {
		b.WriteString(strconv.Itoa(5+h/24%3) + "\n")
	}
	file := filepath.Join(dir, "own.csv")
	if err := os.WriteFile(file, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	out, errs, code := command(t, "heat", hut, "--weather", file)
	if code != 0 || !strings.Contains(out, "your own hours") || !strings.Contains(out, "charge never has to wait") {
		t.Errorf("%d %s\n%s", code, errs, out)
	}
	if _, errs, code := command(t, "heat", hut, "--weather", filepath.Join(dir, "none.csv")); code != exitWork || !strings.Contains(errs, "none.csv: cannot be read") {
		t.Errorf("%d %s", code, errs)
	}
}

func TestHeatFlags(t *testing.T) {
	for _, args := range [][]string{{"--week", "warm"}, {"--json", "--csv"}, {"--sequence", "day", "--case", "sun"}, {"--year", "--week", "cold"}} {
		if _, errs, code := command(t, append([]string{"heat", hut}, args...)...); code != exitUsage || errs == "" {
			t.Errorf("%v: %d %s", args, code, errs)
		}
	}
	if _, errs, code := command(t, "heat", hut, "--sequence", "winter"); code != exitWork || !strings.Contains(errs, "winter") {
		t.Errorf("%d %s", code, errs)
	}
	svg := filepath.Join(t.TempDir(), "heat.svg")
	if _, errs, code := command(t, "heat", hut, "-o", svg); code != 0 {
		t.Fatal(errs)
	}
	if b, err := os.ReadFile(svg); err != nil || !strings.Contains(string(b), "cold week") {
		t.Errorf("%v", err)
	}
}
