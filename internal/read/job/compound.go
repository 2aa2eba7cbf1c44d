package job

import (
	"fmt"
	"strings"

	"go.yaml.in/yaml/v4"
)

// listShape reads a list of values of one shape.
type listShape[T any] struct {
	of          shape[T]
	least, most int
}

func listOf[T any](s shape[T], least, most int) listShape[T] { return listShape[T]{s, least, most} }

func (l listShape[T]) words() string { return "list: " + l.of.words() }

func (l listShape[T]) schema() schemaValue {
	return schemaValue{"type": "array", "items": l.of.schema(), "minItems": l.least, "maxItems": l.most}
}

func (l listShape[T]) read(w *walk, n *yaml.Node, into *[]T) {
	if n.Kind != yaml.SequenceNode {
		w.Add(posOf(n), "here a list is due (%s), not %s", l.of.words(), kindWords(n))
		return
	}
	if len(n.Content) < l.least || len(n.Content) > l.most {
		w.Add(posOf(n), "the list has %d items; %s", len(n.Content), countWords(l.least, l.most))
		return
	}
	for _, item := range n.Content {
		var v T
		l.of.read(w, item, &v)
		*into = append(*into, v)
	}
}

func countWords(least, most int) string {
	if least == most {
		return fmt.Sprintf("%d are due", least)
	}
	return fmt.Sprintf("%d to %d are due", least, most)
}

// tupleShape is a list kept whole with its place, such as [x, y, z].
type tupleShape[T any] struct {
	of   plain[T]
	n    int
	name string
}

func (t tupleShape[T]) words() string { return t.name }
func (t tupleShape[T]) schema() schemaValue {
	return schemaValue{"type": "array", "items": t.of.schema(), "minItems": t.n, "maxItems": t.n, "description": t.name}
}
func (t tupleShape[T]) read(w *walk, n *yaml.Node, into *Field[[]T]) {
	into.Pos = posOf(n)
	var items []Field[T]
	before := len(w.list)
	listShape[Field[T]]{t.of, t.n, t.n}.read(w, n, &items)
	if len(w.list) != before {
		return
	}
	into.V = nil
	for _, item := range items {
		into.V = append(into.V, item.V)
	}
	into.Set = true
}

// Named is one entry of a mapping from names to values, with where the name stands.
type Named[T any] struct {
	Name string
	Pos  Pos
	V    T
}

// mapShape reads a mapping from free names to values, kept in the order of the file.
type mapShape[T any] struct {
	name  string
	check func(string) error
	of    shape[T]
}

func (m mapShape[T]) words() string { return "names (" + m.name + ") to " + m.of.words() }
func (m mapShape[T]) schema() schemaValue {
	return schemaValue{"type": "object", "additionalProperties": m.of.schema(), "maxProperties": maxItems}
}
func (m mapShape[T]) read(w *walk, n *yaml.Node, into *[]Named[T]) {
	before := len(w.list)
	w.eachKey(n, m.words(), func(key, value *yaml.Node) {
		if err := notLong(key.Value, m.check); err != nil {
			w.Add(posOf(key), "%q is no %s: %v", clip(key.Value), m.name, err)
			return
		}
		entry := Named[T]{Name: key.Value, Pos: posOf(key)}
		m.of.read(w, value, &entry.V)
		*into = append(*into, entry)
	})
	if *into == nil && len(w.list) > before {
		*into = []Named[T]{} // not missing, but refused
	}
}

// eachKey calls do for every key of a mapping, and notes keys that stand
// twice or are not plain words.
func (w *walk) eachKey(n *yaml.Node, want string, do func(key, value *yaml.Node)) {
	if n.Kind != yaml.MappingNode {
		w.Add(posOf(n), "here %s is due, not %s", want, kindWords(n))
		return
	}
	seen := map[string]int{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		if key.Kind != yaml.ScalarNode {
			w.Add(posOf(key), "a key is one plain word, not %s", kindWords(key))
			continue
		}
		if line, twice := seen[key.Value]; twice {
			w.Add(posOf(key), "the key %q stands twice; the first is on line %d", clip(key.Value), line)
			continue
		}
		seen[key.Value] = key.Line
		do(key, value)
	}
}

// property is one key of an object, with all that is known of it: how to read
// it and what to tell people about it.
type property[T any] struct {
	key      string
	required bool
	doc      doc
	shape    describer
	read     func(w *walk, n *yaml.Node, into *T)
}

// doc is what a person is told about a key.
type doc struct {
	Meaning string
	Default string // what holds when it is left out
	Mistake string // the common one
	Example string
}

type describer interface {
	words() string
	schema() schemaValue
}

// prop ties a key to a place in the struct.
func prop[T, F any](key string, at func(*T) *F, s shape[F], d doc) property[T] {
	return property[T]{key: key, doc: d, shape: s, read: func(w *walk, n *yaml.Node, into *T) {
		s.read(w, n, at(into))
	}}
}

func (p property[T]) need() property[T] { p.required = true; return p }

// objectShape reads a mapping with fixed keys.
type objectShape[T any] struct {
	name  string // "battery", for messages
	title string // heading in the document of the format
	intro string
	props []property[T]
	place func(*T, Pos)
}

func (o *objectShape[T]) words() string { return o.name }

func (o *objectShape[T]) keys() []string {
	names := make([]string, len(o.props))
	for i, p := range o.props {
		names[i] = p.key
	}
	return names
}

func (o *objectShape[T]) read(w *walk, n *yaml.Node, into *T) {
	if o.place != nil {
		o.place(into, posOf(n))
	}
	seen := map[string]bool{}
	before := len(w.list)
	w.eachKey(n, "a "+o.name+" ("+strings.Join(o.keys(), ", ")+")", func(key, value *yaml.Node) {
		for _, p := range o.props {
			if p.key == key.Value {
				seen[p.key] = true
				p.read(w, value, into)
				return
			}
		}
		w.Add(posOf(key), "a %s has no key %q%s; it has %s", o.name, clip(key.Value), didYouMean(key.Value, o.keys()), strings.Join(o.keys(), ", "))
	})
	if n.Kind != yaml.MappingNode && len(w.list) > before {
		return
	}
	for _, p := range o.props {
		if p.required && !seen[p.key] {
			w.Add(posOf(n), "a %s needs %s (%s), as in %s", o.name, p.key, p.shape.words(), p.doc.Example)
		}
	}
}

func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}
