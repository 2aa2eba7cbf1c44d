// Package series reads columns of numbers as they stream in: the log of a
// battery, and the open-circuit voltage over charge and temperature.
//
// The form is text: lines that begin with # are skipped, the first other line
// names the columns, each further line is a row with numbers separated by
// commas. Columns that are not asked for may hold anything. A byte order mark
// and line ends of either kind are no matter. Errors begin with name:line.
package series

import "io"

// Columns says which columns of a log are meant. An empty name is the usual
// one: time_s, current_a, voltage_v. Case is no matter.
type Columns struct {
	Time, Current, Voltage string
	ChargePositive         bool // the current counts positive while charging, so that its sign is turned
}

// The usual names, which say the units that are meant.
const (
	TimeColumn    = "time_s"
	CurrentColumn = "current_a"
	VoltageColumn = "voltage_v"
)

// Log is a battery's log: seconds from any moment, never falling; amperes,
// positive on discharge; volts. The three are of one length, one or more.
type Log struct {
	Time, Current, Voltage []float64
}

// Read reads a log. The name is used in errors only. The error tells the line
// and what would mend it: a column that is missing or stands twice, columns
// that are parted by something else, decimal commas, a row of another length,
// a value that is no finite number, time that goes back, no rows at all, or
// more rows, a longer line or more bytes than are read.
func Read(name string, r io.Reader, c Columns) (*Log, error) {
	or := func(given, usual string) string {
		if given == "" {
			return usual
		}
		return given
	}
	t, err := newTable(name, r, []string{or(c.Time, TimeColumn), or(c.Current, CurrentColumn), or(c.Voltage, VoltageColumn)})
	if err != nil {
		return nil, err
	}
	log := &Log{}
	row := make([]float64, 3)
	for {
		more, err := t.read(row)
		if err != nil {
			return nil, err
		}
		if !more {
			break
		}
		if n := len(log.Time); n > 0 && row[0] < log.Time[n-1] {
			return nil, t.fault("time goes back from %g to %g s; sort the rows, or cut the log where the clock was set", log.Time[n-1], row[0])
		}
		if c.ChargePositive && row[1] != 0 { // no negative zeros
			row[1] = -row[1]
		}
		log.Time, log.Current, log.Voltage = append(log.Time, row[0]), append(log.Current, row[1]), append(log.Voltage, row[2])
	}
	if len(log.Time) == 0 {
		return nil, t.fault("there are no rows under the line of names")
	}
	return log, nil
}
