package rating

import (
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

// Use is what a torque table may be used for. No use is a battery post or a
// device's own terminal: these are soft or hold an inserted thread, and only
// their maker knows their torque.
type Use string

// The uses.
const (
	BarBolt       Use = "bar_bolt"       // bolt through a copper bar and lugs
	TerminalScrew Use = "terminal_screw" // screw of a pressure connector onto a wire
	HoldDown      Use = "hold_down"      // mechanical fixing
)

// TorqueKind is what a figure says.
type TorqueKind string

// The kinds of figure.
const (
	KindSetting TorqueKind = "setting" // tighten to it
	KindLeast   TorqueKind = "least"   // tighten no less
	KindMost    TorqueKind = "most"    // a limit, no setting
)

// TorqueTable is torques from one source.
type TorqueTable struct {
	ID, Title string
	Use       Use
	Friction  float64 // of the thread; 0 where not said
	Columns   []TorqueColumn
	Rows      []TorqueRow
	Note      string
	Ref       source.Ref
}

// TorqueColumn is one column.
type TorqueColumn struct {
	ID, Title string
	Kind      TorqueKind
}

// TorqueRow is found by one of thread, wire or socket.
type TorqueRow struct {
	Threads     []string        // "M8", "1/4-20", or "1/4" for any pitch of it
	Thin, Thick quantity.Size   // range of wire, both included
	Wire        string          // a range that no job can name, "250-350 kcmil"
	Socket      quantity.Length // of a hexagon key, across flats
	Torques     []TorqueSpan    // one a column; zero where the table has none
	Preloads    []float64       // N, one a column; 0 or absent where the table has none
}

// TorqueSpan is one cell; equal where one figure is given.
type TorqueSpan struct{ Least, Most quantity.Torque }

// IsZero reports whether the cell is empty.
func (s TorqueSpan) IsZero() bool { return s == TorqueSpan{} }

// ForThread gives the row of a thread as [SameThread] compares them, nil if
// there is none.
func (t *TorqueTable) ForThread(thread string) *TorqueRow {
	for i := range t.Rows {
		for _, has := range t.Rows[i].Threads {
			if SameThread(has, thread) {
				return &t.Rows[i]
			}
		}
	}
	return nil
}

// ForWire gives the row whose range of gauges holds a wire, nil if there is
// none. A metric size is in no range.
func (t *TorqueTable) ForWire(s quantity.Size) *TorqueRow {
	for i := range t.Rows {
		r := &t.Rows[i]
		if s.IsAWG() && r.Thin.IsAWG() && s.Gauge() <= r.Thin.Gauge() && s.Gauge() >= r.Thick.Gauge() {
			return r
		}
	}
	return nil
}

// ForSocket gives the row of a hexagon key, nil if there is none. Keys are
// told apart to a tenth of a millimetre.
func (t *TorqueTable) ForSocket(flats quantity.Length) *TorqueRow {
	const same = 0.05e-3 // m; the nearest two keys are 0.79 mm apart
	for i := range t.Rows {
		if d := flats - t.Rows[i].Socket; t.Rows[i].Socket > 0 && d > -same && d < same {
			return &t.Rows[i]
		}
	}
	return nil
}

// Column gives the index of a column, -1 if there is none.
func (t *TorqueTable) Column(id string) int {
	for i := range t.Columns {
		if t.Columns[i].ID == id {
			return i
		}
	}
	return -1
}

// coarse holds the pitches that a metric thread has where none is written
// (ISO 261, from memory; those of the thread table).
var coarse = map[string]string{"m5": "0.8", "m6": "1", "m8": "1.25", "m10": "1.5", "m12": "1.75"}

// SameThread reports whether a thread as asked for is the one of a row. Case,
// spaces and the sign of times do not matter; a metric thread without pitch is
// the coarse one; a row of an inch diameter without pitch holds for any
// pitch of it, but an asked diameter without pitch is not the same as a row
// with one. Empty text is no thread.
func SameThread(row, asked string) bool {
	row, asked = tidyThread(row), tidyThread(asked)
	if row == "" || row == asked {
		return row != ""
	}
	size, _, pitched := strings.Cut(asked, "-")
	return pitched && size == row && !strings.HasPrefix(row, "m")
}

func tidyThread(s string) string {
	s = strings.NewReplacer(" ", "", "×", "x", "″", "", `"`, "").Replace(strings.ToLower(s))
	if size, pitch, ok := strings.Cut(s, "x"); ok && strings.HasPrefix(s, "m") && coarse[size] == strings.TrimSuffix(pitch, ".0") {
		return size
	}
	return s
}

// ThreadDiameter gives the outside diameter that a thread is named by: "M8",
// "M8x1", "5/16", "5/16-18", "3/8 in". ok is false for numbered screws and for
// text that is no thread.
func ThreadDiameter(name string) (d quantity.Length, ok bool) {
	s := tidyThread(name)
	unit := " in"
	if strings.HasPrefix(s, "m") {
		s, unit = s[1:], " mm"
		s, _, _ = strings.Cut(s, "x")
	} else {
		s, _, _ = strings.Cut(strings.TrimSuffix(s, "in"), "-")
	}
	if strings.HasPrefix(s, ".") || s == "" || strings.Trim(s, "0123456789./") != "" {
		return 0, false
	}
	d, err := quantity.Parse[quantity.Length](s + unit)
	const least, most = 1e-3, 0.1 // m
	return d, err == nil && d >= least && d <= most
}

// Thread is a screw thread with the area that carries its load.
type Thread struct {
	Name     string // "M8x1.25", "1/4-20"
	Inch     bool
	Diameter quantity.Length
	Pitch    quantity.Length
	Area     quantity.Area // tensile stress area
	Ref      source.Ref
}

// NutFactor turns torque into preload: force = torque / (K · diameter).
type NutFactor struct {
	ID, Title string
	K         float64
	Ref       source.Ref
}
