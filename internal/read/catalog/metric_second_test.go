package catalog

import (
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

// metricSecond is IEC 60228 a second time, typed from the reference by size and
// not by column: mm², then Ω/km at 20 °C of class 2 plain and tinned and of
// class 5 plain and tinned, and what the reference prints beside it, tinned over
// plain of class 5.
var metricSecond = [][6]float64{
	{0.5, 36.0, 36.7, 39.0, 40.1, 1.028},
	{0.75, 24.5, 24.8, 26.0, 26.7, 1.027},
	{1, 18.1, 18.2, 19.5, 20.0, 1.026},
	{1.5, 12.1, 12.2, 13.3, 13.7, 1.030},
	{2.5, 7.41, 7.56, 7.98, 8.21, 1.029},
	{4, 4.61, 4.70, 4.95, 5.09, 1.028},
	{6, 3.08, 3.11, 3.30, 3.39, 1.027},
	{10, 1.83, 1.84, 1.91, 1.95, 1.021},
	{16, 1.15, 1.16, 1.21, 1.24, 1.025},
	{25, 0.727, 0.734, 0.780, 0.795, 1.019},
	{35, 0.524, 0.529, 0.554, 0.565, 1.020},
	{50, 0.387, 0.391, 0.386, 0.393, 1.018},
	{70, 0.268, 0.270, 0.272, 0.277, 1.018},
	{95, 0.193, 0.195, 0.206, 0.210, 1.019},
	{120, 0.153, 0.154, 0.161, 0.164, 1.019},
}

func TestMetricSecondEntry(t *testing.T) {
	c := Default()
	for k, id := range []string{"class2_plain", "class2_tinned", "", "class5_tinned"} {
		if id == "" { // the catalogue's own conductors
			continue
		}
		w := c.Wires(id)
		if w == nil || len(w.Rows) != len(metricSecond) || w.Ref.How != source.Read {
			t.Fatalf("%s: %+v", id, w)
		}
		for _, want := range metricSecond {
			row, ok := w.Find(quantity.SquareMM(want[0]))
			if !ok {
				t.Errorf("%s has no %g mm²", id, want[0])
				continue
			}
			same(t, id, row.R20, want[1+k]*1e-3)
			same(t, id+" section", row.Section, want[0]*1e-6)
		}
	}
	for _, want := range metricSecond {
		plain, err := c.PerLength(quantity.SquareMM(want[0]))
		if err != nil {
			t.Fatal(err)
		}
		same(t, "class 5 plain", plain.V, want[3]*1e-3)
		// Half of the last digit printed, and what the two figures were rounded by.
		if got := want[4] / want[3]; got < want[5]-0.0011 || got > want[5]+0.0011 {
			t.Errorf("%g mm²: tinned over plain %.4f, printed %.3f", want[0], got, want[5])
		}
		if !(want[2] > want[1] && want[4] > want[3]) {
			t.Errorf("%g mm²: tin does not add resistance", want[0])
		}
	}
}
