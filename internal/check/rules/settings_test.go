package rules_test

import (
	"math"
	"slices"
	"testing"

	"bankwright/internal/check/assess"
	"bankwright/internal/model/report"
)

// settings of a job by part and kind.
func settings(t *testing.T, text string) map[string]report.Setting {
	t.Helper()
	j, err := assess.Load("example.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]report.Setting{}
	list, err := j.Settings()
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range list {
		key := s.Part + " " + string(s.Kind)
		if _, twice := all[key]; twice {
			t.Errorf("%s twice", key)
		}
		all[key] = s
	}
	return all
}

// TestSettings: the printed voltages of 12 V batteries, scaled by the cells in
// series, the batteries' own limits before them.
func TestSettings(t *testing.T) {
	nan := math.NaN()
	series := []string{"{id: W1, from: B1+, to: B2+", "{id: W1, from: B1-, to: B2+", "  - {id: W2, from: B1-, to: B2-, size: 2/0 AWG, length: 6 in, insulation: 105 °C, support: 12 in}\n", ""}
	lead := []string{"chemistry: lfp", "chemistry: flooded", "nominal: 12.8 V", "nominal: 12 V", "high: 14.6 V, ", "", "low: 10 V, ", ""}
	for _, row := range []struct {
		name, key   string
		edit        []string
		least, most float64
		off         bool
		state       report.SettingState
	}{
		{"lfp", "C1 absorption", nil, 14.2, 14.6, false, report.SettingFits},
		{"lfp, low limit of its own", "C1 absorption", []string{"high: 14.6 V", "high: 14.4 V"}, 14.2, 14.4, false, report.SettingFits},
		{"lfp, limit under the custom", "C1 absorption", []string{"high: 14.6 V", "high: 14 V"}, nan, 14, false, report.SettingDiffers},
		{"lfp, set too high", "C1 absorption", []string{"voltage: 14.2 V", "voltage: 14.7 V"}, 14.2, 14.6, false, report.SettingDiffers},
		{"lfp", "C1 float", nil, 13.4, 13.6, true, report.SettingFits},
		{"lfp without float", "C1 float", []string{"float: 13.5 V, ", ""}, 13.4, 13.6, true, report.SettingNotGiven},
		{"lfp", "C1 equalise", nil, nan, nan, true, report.SettingNotGiven},
		{"lfp", "C1 temperature compensation", nil, nan, nan, true, report.SettingNotGiven},
		{"lfp", "C1 charge current", nil, nan, 100, false, report.SettingFits},
		{"lfp, too much", "C1 charge current", []string{"current: 40 A", "current: 101 A"}, nan, 100, false, report.SettingDiffers},
		{"lfp", "C1 cold lockout", nil, 273.15, nan, false, report.SettingFits},
		{"lfp, too cold", "C1 cold lockout", []string{"cold_lockout: 2 °C", "cold_lockout: -1 °C"}, 273.15, nan, false, report.SettingDiffers},
		{"lfp", "I1 low-voltage cut-off", nil, 10, nan, false, report.SettingFits},
		{"lfp, too low", "I1 low-voltage cut-off", []string{"cutout: 10.5 V", "cutout: 9.9 V"}, 10, nan, false, report.SettingDiffers},
		{"two in series", "C1 absorption", series, 28.4, 29.2, false, report.SettingDiffers},
		{"two in series", "I1 low-voltage cut-off", series, 20, nan, false, report.SettingDiffers},
		{"two in series", "C1 charge current", series, nan, 50, false, report.SettingFits},
		{"flooded", "C1 absorption", lead, 14.4, 14.8, false, report.SettingDiffers},
		{"flooded", "C1 equalise", lead, 15, 16, false, report.SettingNotGiven},
		{"flooded", "C1 temperature compensation", lead, -0.030, -0.018, false, report.SettingNotGiven},
		{"flooded", "I1 low-voltage cut-off", lead, 10.5, nan, false, report.SettingFits},
	} {
		t.Run(row.name+" "+row.key, func(t *testing.T) {
			s, ok := settings(t, teaBoat(t, row.edit...))[row.key]
			if !ok || !closeTo(s.Least, row.least) || !closeTo(s.Most, row.most) || s.Off != row.off || s.State != row.state || !slices.Equal(s.Batteries, []string{"B1", "B2"}) {
				t.Errorf("%+v", s)
			}
		})
	}
	if _, ok := settings(t, teaBoat(t, lead...))["C1 cold lockout"]; ok {
		t.Error("lead-acid has a cold lockout")
	}
	if n := len(settings(t, teaBoat(t))); n != 7 {
		t.Errorf("%d lines", n)
	}
}

func closeTo(got, want float64) bool {
	return math.IsNaN(got) && math.IsNaN(want) || math.Abs(got-want) < 1e-9
}
