package rules_test

import (
	"fmt"
	"strings"
	"testing"

	"bankwright/internal/check/rules"
	"bankwright/internal/model/finding"
)

// warmed is the job that the rules of warmth are silent on, with texts replaced.
func warmed(t *testing.T, pairs ...string) string {
	t.Helper()
	s := rules.Find("HTR-01").Passing
	for n := 0; n+1 < len(pairs); n += 2 {
		if !strings.Contains(s, pairs[n]) {
			t.Fatalf("the job lacks %q", pairs[n])
		}
		s = strings.Replace(s, pairs[n], pairs[n+1], 1)
	}
	return s
}

// TestWeakHeater: over, at and under what holds 3 K above the limit; the number
// is that of the answer.
func TestWeakHeater(t *testing.T) {
	hold := checked(t, warmed(t)).Heat.Heating.Hold
	for _, row := range []struct {
		watts float64
		found bool
	}{{hold * 1.001, false}, {hold * 0.999, true}, {hold / 4, true}} {
		r := checked(t, warmed(t, "power: 40 W", fmt.Sprintf("power: %.4f W", row.watts)))
		found := by("HTR-01", r.Findings)
		weak := false
		for _, f := range found {
			if f.Number != nil && f.Number.Unit == "W" {
				weak = true
				if d := f.Number.Limit - hold; d > 1e-6 || d < -1e-6 {
					t.Errorf("limit %g, hold %g", f.Number.Limit, hold)
				}
			}
		}
		if weak != row.found {
			t.Errorf("%g W of %g: %+v", row.watts, hold, found)
		}
	}
}

// TestTooWarm: the limit just over and just under the hottest core.
func TestTooWarm(t *testing.T) {
	most := 0.0
	for _, b := range checked(t, warmed(t)).Heat.Batteries {
		most = max(most, b.Hottest-273.15)
	}
	for off, want := range map[float64]int{0.01: 0, -0.05: 1} {
		r := checked(t, warmed(t, "hot_charge: 50 °C", fmt.Sprintf("hot_charge: %.4f °C", most+off)))
		if found := by("HEAT-01", r.Findings); len(found) < want || want == 0 && len(found) > 0 {
			t.Errorf("%+.2f K: %+v", off, found)
		}
	}
}

// TestChargesCold: a setting at what the place needs is not spoken of, one just
// under it is; a warning where the batteries state a limit, a fault where not.
func TestChargesCold(t *testing.T) {
	const heater = "heaters: [{id: T1, at: floor, power: 40 W, on: 4 °C, off: 7 °C, sensor: B1}]\n"
	bare := []string{heater, "", "at: B1, source: C1", "at: lid, source: C1"}
	need := 0.0
	for _, s := range checked(t, warmed(t, bare...)).Heat.Sensors {
		if s.ID == "K1" {
			need = s.Setting - 273.15
		}
	}
	for _, row := range []struct {
		off    float64
		limit  string
		want   int
		severe finding.Severity
	}{
		{0.001, "cold_charge: 0 °C, ", 0, ""}, {-0.1, "cold_charge: 0 °C, ", 1, finding.Warning}, {-0.1, "", 1, finding.Fault}, {0.001, "", 0, ""},
	} {
		r := checked(t, warmed(t, append([]string{"cold_lockout: 2 °C", fmt.Sprintf("cold_lockout: %.4f °C", need+row.off), "cold_charge: 0 °C, ", row.limit}, bare...)...))
		found := by("COLD-01", r.Findings)
		if len(found) != row.want || row.want > 0 && found[0].Severity != row.severe {
			t.Errorf("%+v: %+v", row, found)
		}
		for _, f := range r.Findings {
			if f.Rule == "HAZ-04" && len(found) > 0 {
				t.Errorf("both HAZ-04 and COLD-01 speak: %+v", f)
			}
		}
	}
	// Where the sensor is is not said: not checked, not silent.
	r := checked(t, warmed(t, heater, "", "sensors: [{id: K1, at: B1, source: C1}]\n", ""))
	unchecked := false
	for _, u := range r.Unchecked {
		unchecked = unchecked || u.Rule == "COLD-01" && u.Place == "C1"
	}
	if !unchecked {
		t.Errorf("%+v", r.Unchecked)
	}
}

// TestGasVent: just enough, just too little, one opening alone, and lithium.
func TestGasVent(t *testing.T) {
	job := rules.Find("VENT-01").Passing
	need := 1e4 * checked(t, job).Heat.Gas[0].Area // cm²
	both := "{id: O1, area: 40 cm2, height: 30 mm}, {id: O2, area: 40 cm2, height: 280 mm}"
	for _, row := range []struct {
		vents string
		want  int
	}{
		{fmt.Sprintf("{id: O1, area: %.6f cm2, height: 30 mm}, {id: O2, area: 40 cm2, height: 280 mm}", need*1.0001), 0},
		{fmt.Sprintf("{id: O1, area: %.6f cm2, height: 30 mm}, {id: O2, area: 40 cm2, height: 280 mm}", need*0.999), 1},
		{"{id: O1, area: 400 cm2, height: 30 mm}", 1},
	} {
		if found := by("VENT-01", checked(t, strings.Replace(job, both, row.vents, 1)).Findings); len(found) != row.want {
			t.Errorf("%s: %+v", row.vents, found)
		}
	}
	for _, text := range []string{warmed(t), rules.Find("AMP-01").Passing} {
		if found := by("VENT-01", checked(t, text).Findings); len(found) != 0 {
			t.Errorf("lithium, or no box: %+v", found)
		}
	}
}

// TestHeatSilent: without the keys of warmth the rules say nothing at all.
func TestHeatSilent(t *testing.T) {
	r := checked(t, rules.Find("AMP-01").Passing)
	if r.Heat != nil {
		t.Error("a job without walls has an answer")
	}
	for _, id := range []string{"COLD-01", "HEAT-01", "HEAT-02", "VENT-01", "HTR-01", "SNS-01"} {
		for _, u := range r.Unchecked {
			if u.Rule == id {
				t.Errorf("%+v", u)
			}
		}
		if found := by(id, r.Findings); len(found) > 0 {
			t.Errorf("%+v", found)
		}
	}
}
