package catalog

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/rating"
)

// rows reads the rows of one file of tables and keeps the first fault, so that
// the readers below stay as plain as the tables. After a fault everything it
// gives is zero or unchecked, and fault says so in the end.
type rows struct {
	sources map[string]source.Ref
	place   string
	ids     map[string]bool
	fault   error
}

func newRows(sources map[string]source.Ref) *rows {
	return &rows{sources: sources, ids: map[string]bool{}}
}

// at names the row that is being read, for the error.
func (r *rows) at(format string, args ...any) { r.place = fmt.Sprintf(format, args...) }

func (r *rows) fail(format string, args ...any) {
	if r.fault == nil {
		r.fault = fmt.Errorf("%s: %w", r.place, fmt.Errorf(format, args...))
	}
}

// begin names a row by its kind and ID, which no other row of the kind has.
func (r *rows) begin(kind, id, title string) {
	r.at("%s %q", kind, id)
	if id == "" || title == "" {
		r.fail("an id and a title or name are due")
	}
	if r.ids[kind+" "+id] {
		r.fail("stands twice")
	}
	r.ids[kind+" "+id] = true
}

// some refuses a list without rows: a table left out by a slip would else
// pass unseen.
func (r *rows) some(kind string, n int) {
	r.at("%s", kind)
	if n == 0 {
		r.fail("no rows")
	}
}

// ref gives the source that a row names.
func (r *rows) ref(key string) source.Ref {
	ref, ok := r.sources[key]
	switch {
	case key == "":
		r.fail("a source is due; name one of the file's sources")
	case !ok:
		r.fail("the file has no source %q", key)
	}
	if ok {
		if err := ref.Check(); err != nil {
			r.fail("source %q: %w", key, err)
		}
	}
	return ref
}

// orRef gives the row's own source, or the table's where the row names none.
func (r *rows) orRef(own, table string) source.Ref {
	if own == "" {
		own = table
	}
	return r.ref(own)
}

func (r *rows) regime(s string) rating.Regime {
	g := rating.Regime(s)
	if !g.Known() {
		r.fail("regime must be marine, vehicle, general or aircraft, not %q", s)
	}
	return g
}

// oneOf refuses a word that is not among those given.
func oneOf[T ~string](r *rows, what, s string, words ...T) T {
	for _, w := range words {
		if string(w) == s {
			return w
		}
	}
	r.fail("%s: %q is not one of %q", what, s, words)
	return ""
}

// due reads a quantity that must be there and be more than zero.
func due[Q quantity.Quantity](r *rows, what, s string) Q {
	v, err := quantity.Parse[Q](s)
	if err != nil {
		r.fail("%s: %w", what, err)
	} else if !(v > 0) {
		r.fail("%s must be more than zero", what)
	}
	return v
}

// maybe is due for a quantity that may be absent, which gives zero.
func maybe[Q quantity.Quantity](r *rows, what, s string) Q {
	if s == "" {
		return 0
	}
	return due[Q](r, what, s)
}

// list reads quantities that rise.
func list[Q quantity.Quantity](r *rows, what string, texts []string) []Q {
	if len(texts) == 0 {
		r.fail("%s: none are given", what)
	}
	all := make([]Q, len(texts))
	for i, s := range texts {
		all[i] = due[Q](r, what, s)
		if i > 0 && !(all[i] > all[i-1]) {
			r.fail("%s: %s does not rise above the one before it", what, s)
		}
	}
	return all
}

func (r *rows) size(s string) quantity.Size {
	size, err := quantity.ParseSize(s)
	if err != nil {
		r.fail("size: %w", err)
	}
	return size
}

// gauge is size where only a gauge will do.
func (r *rows) gauge(s string) quantity.Size {
	size := r.size(s)
	if !size.IsAWG() {
		r.fail("%q is not a gauge", s)
	}
	return size
}

// number refuses what is not more than zero and finite.
func (r *rows) number(what string, v float64) float64 {
	if !(v > 0) || math.IsInf(v, 0) {
		r.fail("%s must be a number above zero", what)
	}
	return v
}

// bounds refuses an upper bound (zero: none) that is not above its lower one.
func bounds[Q quantity.Quantity](r *rows, over, upTo Q) {
	if upTo != 0 && !(upTo > over) {
		r.fail("up_to must be above over")
	}
}

// cells reads one figure a column; nil, printed as nothing, gives zero.
func cells[Q ~float64](r *rows, columns int, row []*float64) []Q {
	if len(row) != columns {
		r.fail("%d figures for %d columns", len(row), columns)
	}
	all := make([]Q, len(row))
	any := false
	for i, v := range row {
		if v != nil {
			all[i], any = Q(r.number("a figure", *v)), true
		}
	}
	if !any {
		r.fail("a row without a figure")
	}
	return all
}

// spanRow is a number given as value, or as least and most.
type spanRow struct{ Value, Least, Most float64 }

func (r *rows) span(s spanRow) rating.Span {
	if s.Value != 0 {
		if s.Least != 0 || s.Most != 0 {
			r.fail("either value, or least and most")
		}
		s.Least, s.Most = s.Value, s.Value
	}
	r.number("least", s.Least)
	r.number("most", s.Most)
	if s.Least > s.Most {
		r.fail("least is above most")
	}
	return rating.Span{Least: s.Least, Most: s.Most}
}

// limitRow is a row of joint_limits and fuse_limits.
type limitRow struct {
	ID, Title, Unit, Source string
	Value, Least, Most      float64
}

func (r *rows) limits(kind string, all []limitRow) []rating.Limit {
	r.some(kind, len(all))
	var out []rating.Limit
	for _, l := range all {
		r.begin(kind, l.ID, l.Title)
		if l.Unit == "" {
			r.fail("a unit is due; write \"1\" for a ratio")
		}
		out = append(out, rating.Limit{ID: l.ID, Title: l.Title, Unit: l.Unit, Value: r.span(spanRow{l.Value, l.Least, l.Most}), Ref: r.ref(l.Source)})
	}
	return out
}

// tableRow is a table of one number a size.
type tableRow struct {
	ID, Title, Regime, Unit, Source string
	Rows                            []struct {
		Size, Source string
		Value        float64
	}
}

// poundForce in newtons, exact: 0.45359237 kg times 9.80665 m/s² (NIST SP 811,
// 2008, appendix B).
const poundForce = 4.4482216152605

func (r *rows) table(kind string, t tableRow) rating.Table {
	r.begin(kind, t.ID, t.Title)
	one := rating.Table{ID: t.ID, Title: t.Title, Unit: t.Unit}
	if t.Regime != "" {
		one.Regime = r.regime(t.Regime)
	}
	scale := 1.0
	switch t.Unit {
	case "A", "N":
	case "lbf":
		scale, one.Unit = poundForce, "N"
	default:
		r.fail("unit must be A, N or lbf, not %q", t.Unit)
	}
	r.some(kind+" "+t.ID, len(t.Rows))
	for _, row := range t.Rows {
		r.at("%s %q, %s", kind, t.ID, row.Size)
		size := r.size(row.Size)
		if _, twice := one.Find(size); twice {
			r.fail("stands twice")
		}
		one.Rows = append(one.Rows, rating.SizeRow{Size: size, Value: r.number("value", row.Value*scale), Ref: r.orRef(row.Source, t.Source)})
	}
	return one
}
