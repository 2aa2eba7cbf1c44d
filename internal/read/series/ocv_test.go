package series

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// The built-in table against the table of the same measurement at 25 °C that
// was made from the full set, rounded to 0.1 mV. Points that the reduced table
// leaves out are on a straight line, good to 1 mV from 3 to 97 %.
func TestLFP(t *testing.T) {
	o := LFP()
	for _, row := range []struct{ charge, discharge, charged, tol float64 }{
		{0, 2.0132, 2.2949, 5e-5}, {0.01, 2.5257, 2.7343, 5e-5}, {0.02, 2.7682, 2.8584, 5e-5}, {0.05, 2.9994, 3.0385, 1e-3}, {0.10, 3.1629, 3.1820, 1e-3},
		{0.15, 3.2085, 3.2172, 1e-3}, {0.25, 3.2470, 3.2717, 1e-3}, {0.35, 3.2728, 3.3016, 1e-3}, {0.45, 3.2976, 3.3072, 1e-3}, {0.50, 3.2992, 3.3111, 1e-3},
		{0.60, 3.3042, 3.3256, 1e-3}, {0.70, 3.3162, 3.3419, 1e-3}, {0.80, 3.3366, 3.3529, 1e-3}, {0.90, 3.3439, 3.3605, 1e-3}, {0.95, 3.3564, 3.3829, 1e-3},
		{0.97, 3.3784, 3.4246, 5e-5}, {0.98, 3.4063, 3.4756, 5e-5}, {0.99, 3.4587, 3.5765, 5e-5}, {1, 3.5828, 3.5986, 5e-5},
	} {
		discharge, charged := o.At(row.charge, 298.15)
		if math.Abs(discharge-row.discharge) > row.tol || math.Abs(charged-row.charged) > row.tol {
			t.Errorf("%g at 25 °C: %.4f and %.4f V, want %.4f and %.4f within %g", row.charge, discharge, charged, row.discharge, row.charged, row.tol)
		}
	}
	// Gap at half charge (mV), and the middle at 45 % at the coldest and warmest
	// given, from the same full set.
	for _, row := range []struct{ celsius, gap float64 }{{-15, 57}, {-5, 35}, {5, 21}, {25, 12}, {45, 7}} {
		discharge, charged := o.At(0.5, row.celsius+zeroCelsius)
		if gap := 1000 * (charged - discharge); math.Abs(gap-row.gap) > 2.5 { // 0.5 of rounding, 1 of each branch
			t.Errorf("gap at %g °C is %.1f mV, want %g", row.celsius, gap, row.gap)
		}
	}
	for _, row := range []struct{ celsius, mid float64 }{{5, 3.2976}, {45, 3.3062}} {
		discharge, charged := o.At(0.45, row.celsius+zeroCelsius)
		if mid := (discharge + charged) / 2; math.Abs(mid-row.mid) > 1e-3 {
			t.Errorf("middle at %g °C is %.4f V, want %g", row.celsius, mid, row.mid)
		}
	}
	if len(o.Kelvin) != 7 || !o.Covers(258.15) || !o.Covers(318.15) || o.Covers(258.1) || o.Covers(318.2) || o.Covers(math.NaN()) {
		t.Errorf("temperatures %v, want seven from -15 to 45 °C", o.Kelvin)
	}
}

const small = `temperature_c,soc,discharge_v,charge_v
0,0,2,2.5
0,0.5,3,3.25
0,1,3.5,4
20,0,1,2
20,0.5,2,3
20,1,3,5
`

// Every point of a table comes back as it is, between two points the voltage
// is the straight line, and beyond the edges it stays.
func TestAt(t *testing.T) {
	o, err := ReadOCV("o.csv", strings.NewReader(small))
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct{ charge, celsius, discharge, charged float64 }{
		{0, 0, 2, 2.5}, {1, 0, 3.5, 4}, {0.5, 20, 2, 3}, {1, 20, 3, 5},
		{0.25, 0, 2.5, 2.875}, {0.75, 20, 2.5, 4}, {0.5, 10, 2.5, 3.125}, {0.25, 5, 2.25, 2.78125}, // by hand
		{-1, -50, 2, 2.5}, {2, 90, 3, 5}, {math.Inf(1), 10, 3.25, 4.5},
	} {
		discharge, charged := o.At(row.charge, row.celsius+zeroCelsius)
		if math.Abs(discharge-row.discharge) > 1e-12 || math.Abs(charged-row.charged) > 1e-12 { // rounding
			t.Errorf("%g at %g °C: %g and %g V, want %g and %g", row.charge, row.celsius, discharge, charged, row.discharge, row.charged)
		}
	}
	for _, v := range [][2]float64{{math.NaN(), 300}, {0.5, math.NaN()}} {
		if discharge, charged := o.At(v[0], v[1]); !math.IsNaN(discharge) || !math.IsNaN(charged) {
			t.Errorf("at %v: %g and %g, want NaN", v, discharge, charged)
		}
	}
	// Anywhere, the voltage lies within those of the four points around.
	random := rand.New(rand.NewPCG(1, 1))
	lfp := LFP()
	for range 2000 {
		charge, kelvin := random.Float64(), 258.15+60*random.Float64()
		k, _ := between(lfp.Charge, charge)
		m, _ := between(lfp.Kelvin, kelvin)
		corners := []float64{lfp.Discharge[m][k], lfp.Discharge[m][k+1], lfp.Discharge[m+1][k], lfp.Discharge[m+1][k+1]}
		v, _ := lfp.At(charge, kelvin)
		if low, high := minMax(corners); v < low-1e-12 || v > high+1e-12 {
			t.Fatalf("%g V at %g and %g K, corners %v", v, charge, kelvin, corners)
		}
	}
}

func minMax(v []float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, x := range v {
		low, high = min(low, x), max(high, x)
	}
	return low, high
}

func TestOneTemperature(t *testing.T) {
	o, err := ReadOCV("o.csv", strings.NewReader("temperature_c,soc,discharge_v,charge_v\n25,0,2,2.5\n25,1,3,4\n"))
	if err != nil {
		t.Fatal(err)
	}
	for _, kelvin := range []float64{250, 298.15, 350} {
		if discharge, charged := o.At(0.5, kelvin); discharge != 2.5 || charged != 3.25 {
			t.Errorf("at %g K: %g and %g V, want 2.5 and 3.25", kelvin, discharge, charged)
		}
	}
}

func TestOCVFaults(t *testing.T) {
	const names = "temperature_c,soc,discharge_v,charge_v\n"
	for _, row := range []struct{ name, text, want string }{
		{"empty", names, "o.csv:1: there are no rows"},
		{"one point", names + "0,0,2,2\n", "rows are missing at 0 °C"},
		{"not to full", names + "0,0,2,2\n0,0.9,3,3\n", "rows are missing"},
		{"not from empty", names + "0,0.1,2,2\n", "o.csv:2: soc 0.1"},
		{"charge falls", names + "0,0,2,2\n0,0,3,3\n", "o.csv:3: soc 0;"},
		{"past full", names + "0,0,2,2\n0,1.5,3,3\n", "o.csv:3: soc 1.5"},
		{"temperature falls", names + "0,0,2,2\n0,1,3,3\n-5,0,2,2\n", "o.csv:4: the temperature falls from 0 to -5"},
		{"other charge", names + "0,0,2,2\n0,1,3,3\n5,0,2,2\n5,0.5,2,2\n", "o.csv:5: soc 0.5 is not"},
		{"too many", names + "0,0,2,2\n0,1,3,3\n5,0,2,2\n5,1,2,2\n5,1,2,2\n", "o.csv:6: soc 1 is not"},
		{"one missing", names + "0,0,2,2\n0,1,3,3\n5,0,2,2\n10,0,2,2\n", "rows are missing at 5 °C"},
		{"last missing", names + "0,0,2,2\n0,1,3,3\n5,0,2,2\n", "rows are missing at 5 °C"},
		{"too cold", names + "-300,0,2,2\n", "absolute zero"},
		{"no column", "soc\n", "no column temperature_c"},
		{"no number", names + "0,0,x,2\n", "discharge_v is"},
	} {
		t.Run(row.name, func(t *testing.T) {
			if _, err := ReadOCV("o.csv", strings.NewReader(row.text)); err == nil || !strings.Contains(err.Error(), row.want) {
				t.Errorf("error %v, want %q", err, row.want)
			}
		})
	}
}
