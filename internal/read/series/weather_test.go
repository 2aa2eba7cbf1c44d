package series

import (
	"slices"
	"strings"
	"testing"
)

func TestReadWeather(t *testing.T) {
	w, err := ReadWeather("own.csv", strings.NewReader("# my roof\nhour,temperature_c,sun_w_m2\n0,-3.5,0\n1,2,120.5\n"))
	if err != nil || !slices.Equal(w.Temperature, []float64{-3.5, 2}) || !slices.Equal(w.Sun, []float64{0, 120.5}) || w.Name != "own.csv" {
		t.Errorf("%+v, %v", w, err)
	}
	w, err = ReadWeather("own.csv", strings.NewReader("temperature_c\n-3.5\n2\n"))
	if err != nil || !slices.Equal(w.Temperature, []float64{-3.5, 2}) || w.Sun != nil {
		t.Errorf("without sun: %+v, %v", w, err)
	}
	for text, says := range map[string]string{
		"temp\n1\n":                   "there is no column temperature_c",
		"temperature_c\n":             "no rows",
		"temperature_c\nwarm\n":       "own.csv:2",
		"temperature_c;sun\n1;2\n":    "semicolons",
		"temperature_c,sun_w_m2\n1\n": "own.csv:2",
	} {
		if _, err := ReadWeather("own.csv", strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v", text, err)
		}
	}
}
