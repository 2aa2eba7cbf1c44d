package series

import (
	"bytes"
	"io"
)

// Weather is a year of hours from midnight of 1 January in standard time,
// 29 February left out.
type Weather struct {
	Name        string    // of the file
	Temperature []float64 // °C
	Sun         []float64 // W/m² on level ground; nil where the file has none
}

// The columns of a file of weather.
const (
	TemperatureColumn = "temperature_c"
	SunColumn         = "sun_w_m2"
)

// ReadWeather reads hours: the column temperature_c, and sun_w_m2 where there
// is one. The error tells the line and what would mend it.
func ReadWeather(name string, r io.Reader) (*Weather, error) {
	const most = 8 << 20
	b, err := io.ReadAll(io.LimitReader(r, most))
	if err != nil {
		return nil, err
	}
	w := &Weather{Name: name}
	columns := []string{TemperatureColumn, SunColumn}
	t, err := newTable(name, bytes.NewReader(b), columns)
	if err != nil {
		columns = columns[:1]
		if t, err = newTable(name, bytes.NewReader(b), columns); err != nil {
			return nil, err
		}
	}
	row := make([]float64, len(columns))
	for {
		more, err := t.read(row)
		if err != nil {
			return nil, err
		}
		if !more {
			break
		}
		w.Temperature = append(w.Temperature, row[0])
		if len(columns) == 2 {
			w.Sun = append(w.Sun, row[1])
		}
	}
	if len(w.Temperature) == 0 {
		return nil, t.fault("there are no rows under the line of names")
	}
	return w, nil
}
