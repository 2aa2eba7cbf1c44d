package series

import (
	"fmt"
	"io"
	"math"
	"sort"
	"sync"

	"bankwright/data"
)

// OCV is the open-circuit voltage of one cell over charge, at some
// temperatures. The slices are shared: do not change them.
type OCV struct {
	Kelvin    []float64   // rising
	Charge    []float64   // rising from 0 to 1
	Discharge [][]float64 // V after discharge, [temperature][charge]
	Charged   [][]float64 // V after charge, likewise
}

// LFP gives the table that is built in, of a lithium iron phosphate cell;
// data/lfp_ocv.csv says whose. It panics if that cannot be read, which a test
// excludes.
var LFP = sync.OnceValue(func() *OCV {
	const name = "lfp_ocv.csv"
	f, err := data.Files.Open(name)
	if err != nil {
		panic("series: " + err.Error())
	}
	defer f.Close()
	o, err := ReadOCV(name, f)
	if err != nil {
		panic("series: " + err.Error())
	}
	return o
})

// zeroCelsius in K.
const zeroCelsius = 273.15

// ReadOCV reads the columns temperature_c, soc (0 to 1), discharge_v and
// charge_v: rows by rising temperature, and at each temperature by the same
// rising charges from 0 to 1. The error tells the line and what would mend it,
// as that of Read.
func ReadOCV(name string, r io.Reader) (*OCV, error) {
	t, err := newTable(name, r, []string{"temperature_c", "soc", "discharge_v", "charge_v"})
	if err != nil {
		return nil, err
	}
	o := &OCV{}
	row := make([]float64, 4)
	for {
		more, err := t.read(row)
		if err != nil {
			return nil, err
		}
		if !more {
			break
		}
		if err := o.add(row); err != nil {
			return nil, t.fault("%w", err)
		}
	}
	if err := o.complete(); err != nil {
		return nil, t.fault("%w", err)
	}
	return o, nil
}

// add takes a row in. The first temperature sets the charges of all.
func (o *OCV) add(row []float64) error {
	kelvin, charge := row[0]+zeroCelsius, row[1]
	n := len(o.Kelvin)
	switch {
	case !(kelvin > 0):
		return fmt.Errorf("a temperature of %g °C is below absolute zero", row[0])
	case n > 0 && kelvin < o.Kelvin[n-1]:
		return fmt.Errorf("the temperature falls from %g to %g °C; sort the rows", o.Kelvin[n-1]-zeroCelsius, row[0])
	case n == 0 || kelvin > o.Kelvin[n-1]:
		if err := o.complete(); n > 0 && err != nil {
			return err
		}
		o.Kelvin = append(o.Kelvin, kelvin)
		o.Discharge, o.Charged = append(o.Discharge, nil), append(o.Charged, nil)
		n++
	}
	k := len(o.Discharge[n-1])
	switch {
	case n > 1 && (k >= len(o.Charge) || charge != o.Charge[k]):
		return fmt.Errorf("soc %g is not the one of the first temperature; all temperatures need the same", charge)
	case n == 1 && (k == 0 && charge != 0 || k > 0 && charge <= o.Charge[k-1] || charge > 1):
		return fmt.Errorf("soc %g; it has to rise from 0 to 1", charge)
	case n == 1:
		o.Charge = append(o.Charge, charge)
	}
	o.Discharge[n-1], o.Charged[n-1] = append(o.Discharge[n-1], row[2]), append(o.Charged[n-1], row[3])
	return nil
}

// complete looks at the last temperature once all its rows are in.
func (o *OCV) complete() error {
	n := len(o.Kelvin)
	switch {
	case n == 0:
		return fmt.Errorf("there are no rows under the line of names")
	case len(o.Discharge[n-1]) != len(o.Charge) || len(o.Charge) < 2 || o.Charge[len(o.Charge)-1] != 1:
		return fmt.Errorf("rows are missing at %g °C: soc goes from 0 to 1, and is the same at all temperatures", o.Kelvin[n-1]-zeroCelsius)
	}
	return nil
}

// At gives the volts of one cell after discharge and after charge, straight
// between points of charge and of temperature. Beyond the table the nearest
// edge holds; NaN gives NaN.
func (o *OCV) At(charge, kelvin float64) (discharge, charged float64) {
	if math.IsNaN(charge) || math.IsNaN(kelvin) {
		return math.NaN(), math.NaN()
	}
	k, right := between(o.Charge, charge)
	t, warm := between(o.Kelvin, kelvin)
	at := func(y [][]float64) float64 {
		v := mix(y[t][k], y[t][k+1], right)
		if warm == 0 {
			return v
		}
		return mix(v, mix(y[t+1][k], y[t+1][k+1], right), warm)
	}
	return at(o.Discharge), at(o.Charged)
}

// Covers reports a temperature that lies within the table, edges included.
func (o *OCV) Covers(kelvin float64) bool {
	return kelvin >= o.Kelvin[0] && kelvin <= o.Kelvin[len(o.Kelvin)-1]
}

// between gives the place below v in rising x and how far on to the next it
// is, 0 to 1. At and beyond the ends, and where x has one value only, it is on
// an end.
func between(x []float64, v float64) (int, float64) {
	k := sort.SearchFloat64s(x, v) // the first that is not below
	switch {
	case k == 0 || len(x) == 1:
		return 0, 0
	case k >= len(x):
		return len(x) - 2, 1
	}
	return k - 1, (v - x[k-1]) / (x[k] - x[k-1])
}

// mix is a at 0 and b at 1, exactly.
func mix(a, b, part float64) float64 {
	if part == 1 {
		return b
	}
	return a + float64(part*(b-a))
}
