package job

import (
	"fmt"
	"strconv"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"

	"go.yaml.in/yaml/v4"
)

// Field is a value read from the file: what it is, whether it was there, and
// where it stands.
type Field[T any] struct {
	V   T
	Set bool
	Pos Pos
}

// Written reports whether the key stands in the file, well or badly; a value
// that was refused is not missing too.
func (f Field[T]) Written() bool { return f.Pos != Pos{} }

// shape reads one kind of value and describes it for the schema and the
// document of the format, so that the three cannot drift apart.
type shape[T any] interface {
	read(w *walk, n *yaml.Node, into *T)
	words() string       // for people: "length", "list of ends"
	schema() schemaValue // for editors
}

// walk is the state of one reading.
type walk struct{ Collector }

func posOf(n *yaml.Node) Pos { return Pos{n.Line, n.Column} }

// scalar gives the text of a plain value, or notes what stands there instead.
func (w *walk) scalar(n *yaml.Node, want string) (string, bool) {
	if n.Kind != yaml.ScalarNode {
		w.Add(posOf(n), "here %s is due, not %s", want, kindWords(n))
		return "", false
	}
	if n.Tag == "!!null" {
		w.Add(posOf(n), "the value is missing: %s is due; leave the key out if there is none", want)
		return "", false
	}
	return n.Value, true
}

func kindWords(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "a set of keys"
	case yaml.SequenceNode:
		return "a list"
	}
	return "a plain value"
}

// scalarShape reads a plain value with a parse function.
type scalarShape[T any] struct {
	name    string
	parse   func(string) (T, error)
	pattern string
	enum    []string
	types   []string // of the schema, where YAML may take the text for a number
}

func (s scalarShape[T]) words() string { return s.name }

func (s scalarShape[T]) schema() schemaValue {
	v := schemaValue{"type": "string", "description": s.name}
	if s.types != nil {
		v["type"] = s.types
	}
	switch {
	case s.enum != nil:
		v["enum"] = s.enum
	case s.pattern != "":
		v["pattern"] = s.pattern
	}
	return v
}

func (s scalarShape[T]) readV(w *walk, n *yaml.Node, into *T) bool {
	text, ok := w.scalar(n, s.name)
	if !ok {
		return false
	}
	v, err := s.parse(text)
	if err != nil {
		w.Add(posOf(n), "%v", err)
		return false
	}
	*into = v
	return true
}

// plain is a scalar kept with its place.
type plain[T any] struct{ scalarShape[T] }

func (s plain[T]) read(w *walk, n *yaml.Node, into *Field[T]) {
	into.Pos = posOf(n)
	into.Set = s.readV(w, n, &into.V)
}

// physical reads a quantity with its unit, within what can be real.
func physical[Q quantity.Quantity](least, most Q, limit string) plain[Q] {
	var zero Q
	return plain[Q]{scalarShape[Q]{
		name:    zero.Kind().String(),
		pattern: unitPattern,
		parse: func(s string) (Q, error) {
			q, err := quantity.Parse[Q](s)
			if err == nil && !(q >= least && q <= most) {
				err = fmt.Errorf("%s is outside what a job can hold: %s", s, limit)
			}
			return q, err
		},
	}}
}

// unitPattern is all that a schema can say of a quantity: it begins with a
// number and a unit follows. The reader is the judge.
const unitPattern = `^[-+−]?([0-9.]|[½⅓⅔¼¾⅛⅜⅝⅞]).*([^0-9.]|[a-z][23])$`

// Limits of what a job can hold. They are ours, wide of anything in this
// trade, and keep a slip of the finger from becoming a strange answer.
var (
	lengths      = physical[quantity.Length](0, 100, "0 to 100 m")
	places       = physical[quantity.Length](-100, 100, "-100 m to 100 m")
	voltages     = physical[quantity.Voltage](0, 1500, "0 to 1500 V")
	nominals     = physical[quantity.Voltage](1, 1500, "1 V to 1500 V")
	anyVoltages  = physical[quantity.Voltage](-1500, 1500, "-1500 V to 1500 V")
	currents     = physical[quantity.Current](0, 1e5, "0 to 100 kA")
	anyCurrents  = physical[quantity.Current](-1e5, 1e5, "-100 kA to 100 kA")
	resistances  = physical[quantity.Resistance](1e-9, 1e3, "1 nΩ to 1 kΩ")
	joints       = physical[quantity.Resistance](0, 1, "0 to 1 Ω")
	capacities   = physical[quantity.Charge](3.6, 3.6e8, "1 mAh to 100 kAh")
	ratios       = physical[quantity.Ratio](0, 1, "0 % to 100 %")
	powers       = physical[quantity.Power](0, 1e7, "0 to 10 MW")
	capacitances = physical[quantity.Capacitance](0, 100, "0 to 100 F")
	masses       = physical[quantity.Mass](0, 1e5, "0 to 100 t")
	torques      = physical[quantity.Torque](0.01, 1000, "0.01 to 1000 N·m")
	integrals    = physical[quantity.JouleIntegral](1e-3, 1e12, "0.001 to 10^12 A2s")
	delays       = physical[quantity.Duration](0, 3600, "0 s to 1 h")
	ages         = physical[quantity.Duration](0, 1.6e9, "0 to 50 years")
	durations    = physical[quantity.Duration](1e-3, 3.2e7, "1 ms to a year")
	temperatures = physical[quantity.Temperature](173.15, 573.15, "-100 °C to 300 °C")
)

func text(name string, most int) plain[string] {
	return plain[string]{scalarShape[string]{name: name, types: []string{"string", "number", "boolean"}, parse: func(s string) (string, error) {
		switch {
		case strings.TrimSpace(s) == "":
			return "", fmt.Errorf("%s is empty", name)
		case len([]rune(s)) > most:
			return "", fmt.Errorf("%s is longer than %d characters", name, most)
		case strings.ContainsFunc(s, isUnseen):
			return "", fmt.Errorf("%s holds a control character; write it on one line in plain text", name)
		}
		return s, nil
	}}}
}

// isBidiControl reports the characters that make text read in another order
// than it is written, which would let a label say something else than the file.
func isBidiControl(r rune) bool {
	return r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 || r == 0x200e || r == 0x200f || r == 0x61c
}

func oneOf[T ~string](name string, values ...T) plain[T] {
	words := make([]string, len(values))
	for i, v := range values {
		words[i] = string(v)
	}
	return plain[T]{scalarShape[T]{name: name, enum: words, parse: func(s string) (T, error) {
		for _, v := range values {
			if s == string(v) {
				return v, nil
			}
		}
		return "", fmt.Errorf("%q is not a %s: %s%s", clip(s), name, strings.Join(words, ", "), didYouMean(s, words))
	}}}
}

var ids = plain[string]{scalarShape[string]{name: "ID", types: []string{"string", "integer"}, pattern: `^[A-Za-z0-9_]([A-Za-z0-9_-]*[A-Za-z0-9_])?$`,
	parse: func(s string) (string, error) {
		if err := bank.CheckID(s); err != nil {
			return "", fmt.Errorf("%q is no ID: %w", clip(s), err)
		}
		return s, nil
	}}}

var ends = plain[bank.End]{scalarShape[bank.End]{name: "end", types: []string{"string", "number"}, pattern: `^[A-Za-z0-9_-]+([+-]|\.[ab0-9]+)?$`,
	parse: func(s string) (end bank.End, err error) {
		err = notLong(s, func(s string) error { end, err = bank.ParseEnd(s); return err })
		return end, err
	}}}

// notLong keeps texts that are no name at all out of a check of names, whose
// message would show the whole of them.
func notLong(s string, check func(string) error) error {
	if len(s) > 64 {
		return fmt.Errorf("%q is too long for a name", clip(s))
	}
	return check(s)
}

var sizes = plain[quantity.Size]{scalarShape[quantity.Size]{name: "cable size", pattern: `^[Aa][Ww][Gg] *[0-9]|([Aa][Ww][Gg]|mm2|mm²|mm\^2)$`, parse: quantity.ParseSize}}

// integerShape reads a whole number without a unit.
type integerShape struct {
	scalarShape[int]
	least, most int
}

func whole(name string, least, most int) integerShape {
	return integerShape{scalarShape[int]{name: name, parse: func(s string) (int, error) {
		v, err := strconv.Atoi(s)
		if err != nil || strconv.Itoa(v) != s || v < least || v > most {
			return 0, fmt.Errorf("%q: a whole number from %d to %d is due", clip(s), least, most)
		}
		return v, nil
	}}, least, most}
}

func (s integerShape) read(w *walk, n *yaml.Node, into *Field[int]) {
	into.Pos = posOf(n)
	into.Set = s.readV(w, n, &into.V)
}

func (s integerShape) schema() schemaValue {
	return schemaValue{"type": "integer", "minimum": s.least, "maximum": s.most, "description": s.name}
}

// yesNo reads true or false.
type yesNo struct{}

func (yesNo) words() string       { return "true or false" }
func (yesNo) schema() schemaValue { return schemaValue{"type": "boolean"} }
func (yesNo) read(w *walk, n *yaml.Node, into *Field[bool]) {
	into.Pos = posOf(n)
	text, ok := w.scalar(n, "true or false")
	if !ok {
		return
	}
	if text != "true" && text != "false" {
		w.Add(posOf(n), "%q: true or false is due", clip(text))
		return
	}
	into.V, into.Set = text == "true", true
}

func didYouMean(s string, words []string) string {
	best, distance := "", 3
	for _, word := range words {
		if d := editDistance(s, word); d < distance && d < len(word) {
			best, distance = word, d
		}
	}
	if best == "" {
		return ""
	}
	return "; did you mean " + best + "?"
}

// editDistance is the number of letters to change, add or drop (Levenshtein),
// cut short for long texts, which are no slip of the finger.
func editDistance(a, b string) int {
	if len(a) > 40 || len(b) > 40 {
		return 40
	}
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		before := row[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := before
			if a[i-1] != b[j-1] {
				cost++
			}
			before = row[j]
			row[j] = min(cost, row[j]+1, row[j-1]+1)
		}
	}
	return row[len(b)]
}
