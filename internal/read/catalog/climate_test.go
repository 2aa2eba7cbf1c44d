package catalog

import (
	"math"
	"strings"
	"testing"

	"bankwright/data"
)

// TestClimates: the rows as they were read, heat-mount-energy B2; and every one
// is a climate that can be: low under mean under high.
func TestClimates(t *testing.T) {
	c := Default()
	for _, row := range []struct {
		id                  string
		month               int
		low, high, sun      float64 // °C, Wh/m²; NaN none
		latitude, longitude float64
	}{
		{"fairbanks", 0, -18.3, -17.0, 154, 64.8167, -147.85},
		{"golden", 6, 14.6, 26.9, 6175, 39.7333, -105.1667},
		{"phoenix", 6, 29.9, 41.4, 7614, 33.45, -111.97}, // the sum of the file's hourly means
		{"seattle", 11, 3.7, 6.4, math.NaN(), 47.53, -122.3},
		{"new_york", 6, 21.5, 29.5, math.NaN(), 40.78, -73.97},
	} {
		one := c.Climate(row.id)
		if one == nil || one.Low[row.month] != row.low || one.High[row.month] != row.high || one.Latitude != row.latitude || one.Longitude != row.longitude {
			t.Errorf("%s: %+v", row.id, one)
			continue
		}
		if math.IsNaN(row.sun) != (one.Sun == nil) || one.Sun != nil && one.Sun[row.month] != row.sun {
			t.Errorf("%s: sun %v", row.id, one.Sun)
		}
	}
	for _, one := range c.Climates() {
		for m := range 12 {
			if !(one.Low[m] < one.High[m]) || one.Mean != nil && !(one.Low[m] <= one.Mean[m] && one.Mean[m] <= one.High[m]) {
				t.Errorf("%s month %d: %v to %v, mean %v", one.ID, m+1, one.Low[m], one.High[m], one.Mean)
			}
			if one.Diffuse != nil && !(one.Diffuse[m] <= one.Sun[m]) {
				t.Errorf("%s month %d: diffuse over the whole", one.ID, m+1)
			}
		}
	}
	if c.Climate("atlantis") != nil {
		t.Error("a climate that nobody typed")
	}
}

func TestClimateRefuses(t *testing.T) {
	b, err := data.Files.ReadFile("climate.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct{ from, to, says string }{
		{"source: noaa", "source: nobody", "nobody"},
		{"high: [-17.0, ", "high: [", "twelve"},
		{"latitude: 46.83", "latitude: .nan", "no number"},
		{"id: duluth", "id: fairbanks", "twice"},
		{"    hottest: 32.8\n", "", "hottest"},
		{"mean: [5.4, ", "mean: [", "twelve"},
	} {
		if !strings.Contains(string(b), row.from) {
			t.Fatalf("%q is not in the file", row.from)
		}
		var c tables
		if err := c.readClimate([]byte(strings.Replace(string(b), row.from, row.to, 1))); err == nil || !strings.Contains(err.Error(), row.says) {
			t.Errorf("%q for %q: %v", row.to, row.from, err)
		}
	}
}
