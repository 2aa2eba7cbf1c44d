package catalog

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/model/rating"
)

type torqueTableRow struct {
	ID, Title, Use, Unit, Note, Source string
	Friction                           *float64
	Columns                            []struct{ ID, Title, Is string }
	Rows                               []torqueRow
}

type torqueRow struct {
	Threads                   []string
	Thin, Thick, Wire, Socket string
	Torque                    []any      // a number, a pair, or nothing
	Preload                   []*float64 // kN
}

func (r *rows) torque(row torqueTableRow) rating.TorqueTable {
	one := rating.TorqueTable{ID: row.ID, Title: row.Title, Note: row.Note, Ref: r.ref(row.Source)}
	one.Use = oneOf(r, "use", row.Use, rating.BarBolt, rating.TerminalScrew, rating.HoldDown)
	if row.Friction != nil {
		one.Friction = r.number("friction", *row.Friction)
	}
	for _, c := range row.Columns {
		if one.Column(c.ID) >= 0 || c.ID == "" || c.Title == "" {
			r.fail("column %q: an id of its own and a title are due", c.ID)
		}
		kind := oneOf(r, "is", c.Is, rating.KindSetting, rating.KindLeast, rating.KindMost)
		one.Columns = append(one.Columns, rating.TorqueColumn{ID: c.ID, Title: c.Title, Kind: kind})
	}
	unit := oneOf(r, "unit", row.Unit, "N·m", "lbf·in")
	r.some("torque "+row.ID, len(row.Rows))
	for i, line := range row.Rows {
		r.at("torque %q, row %d", row.ID, i+1)
		into := r.torqueKey(line)
		for _, thread := range into.Threads {
			if thread == "" || one.ForThread(thread) != nil {
				r.fail("thread %q is empty or stands twice", thread)
			}
		}
		into.Torques = r.torqueCells(line.Torque, len(one.Columns), unit)
		into.Preloads = r.preloads(line.Preload, len(one.Columns))
		one.Rows = append(one.Rows, into)
	}
	return one
}

// torqueKey reads what a row is found by: exactly one of the four.
func (r *rows) torqueKey(line torqueRow) rating.TorqueRow {
	one := rating.TorqueRow{Threads: line.Threads, Wire: line.Wire, Socket: maybe[quantity.Length](r, "socket", line.Socket)}
	keys := 0
	for _, has := range []bool{len(line.Threads) > 0, line.Thin != "" || line.Thick != "", line.Wire != "", line.Socket != ""} {
		if has {
			keys++
		}
	}
	if keys != 1 {
		r.fail("one of threads, thin and thick, wire, socket is due")
	}
	if line.Thin != "" || line.Thick != "" {
		one.Thin, one.Thick = r.gauge(line.Thin), r.gauge(line.Thick)
		if one.Thick.Gauge() > one.Thin.Gauge() {
			r.fail("thick is thinner than thin")
		}
	}
	return one
}

func (r *rows) torqueCells(line []any, columns int, unit string) []rating.TorqueSpan {
	if len(line) != columns {
		r.fail("%d torques for %d columns", len(line), columns)
	}
	all := make([]rating.TorqueSpan, len(line))
	some := false
	for i, cell := range line {
		switch v := cell.(type) {
		case nil:
			continue
		case []any:
			if len(v) != 2 {
				r.fail("a range has two ends")
				continue
			}
			all[i] = rating.TorqueSpan{Least: r.newtonMetres(v[0], unit), Most: r.newtonMetres(v[1], unit)}
			if !(all[i].Least < all[i].Most) {
				r.fail("a range that does not rise")
			}
		default:
			m := r.newtonMetres(v, unit)
			all[i] = rating.TorqueSpan{Least: m, Most: m}
		}
		some = true
	}
	if !some {
		r.fail("a row without a torque")
	}
	return all
}

// newtonMetres reads a number of the table's unit, with that unit's own exact
// factor.
func (r *rows) newtonMetres(cell any, unit string) quantity.Torque {
	var v float64
	switch n := cell.(type) {
	case int:
		v = float64(n)
	case float64:
		v = n
	default:
		r.fail("%v is not a torque; write a number, or a pair of them", cell)
		return 0
	}
	one, err := quantity.Parse[quantity.Torque]("1 " + unit)
	if err != nil {
		r.fail("unit: %w", err)
	}
	return quantity.Torque(r.number("a torque", v*float64(one)))
}

func (r *rows) preloads(line []*float64, columns int) []float64 {
	if line == nil {
		return nil
	}
	const kilo = 1000
	all := cells[float64](r, columns, line)
	for i := range all {
		if all[i] != 0 {
			all[i] = r.number("preload", all[i]*kilo)
		}
	}
	return all
}
