package job

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
)

// The edits below change the bytes of one place and leave all others as they
// are: comments, order, blank lines, units, line breaks. Each reads its result
// again and gives it only if just the wanted change has happened; else the
// error says why, and the caller still has the file as it was. A result is not
// checked as a job: Read does that.
//
// A path names keys and items: batteries[B1].at[0], cables[W1].size,
// wirings.lugs, battery_types.block150.resistance. In [ ] stands the id of an
// item or, where no item has it, its number from 0; after a set of keys also a
// key, which may then hold a point: readings[R1].drop[W1@F1.a].

// Set writes a plain value at a path, in the quotes that stood there, plain
// where that reads back as the same text. A key that is missing is added to
// its set of keys, with the sets of keys it stands in. The error says what in
// the path or file stands in the way.
func Set(src []byte, path, value string) ([]byte, error) {
	if !utf8.ValidString(value) {
		return nil, fmt.Errorf("%s: the new value is not UTF-8 text", clip(path))
	}
	return change(src, path, func(l *layout, p *place) ([]splice, error) {
		want := &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: value}
		flow := p.holder != nil && p.holder.flow
		switch {
		case len(p.rest) > 0:
			return l.add(p, func(flow bool) string { return scalarText(value, 0, flow) }, want)
		case p.node.Kind != yaml.ScalarNode:
			return nil, fmt.Errorf("%s holds %s; name one value in it", clip(path), kindWords(p.node))
		case p.node.Value == value && !isNull(p.node):
			return nil, nil
		}
		return l.alterScalar(p.node, value, flow)
	})
}

// Insert puts an item, one line of flow YAML, at the end of a list, written
// like the items before it. A list that is missing is made, with the sets of
// keys it stands in. An item whose id the list has already is refused.
func Insert(src []byte, listPath, text string) ([]byte, error) {
	it, err := readItem(text)
	if err != nil {
		return nil, err
	}
	return change(src, listPath, func(l *layout, p *place) ([]splice, error) {
		if len(p.rest) > 0 || isNull(p.node) || isEmptyList(p.node) {
			return l.fill(p, []*item{it})
		}
		g := l.groups[p.node]
		if g == nil || !g.list {
			return nil, fmt.Errorf("%s is no list but %s", clip(listPath), kindWords(p.node))
		}
		if id := idOf(it.node); id != "" && p.hasID(g, id) {
			return nil, fmt.Errorf("%s has an item %s already", clip(listPath), clip(id))
		}
		return l.arrange(p.node, append(g.stay(), piece{keep: -1, text: l.render(it, g), value: it.node}))
	})
}

func (p *place) hasID(g *group, id string) bool {
	for _, e := range g.entries {
		if idOf(e.value) == id {
			return true
		}
	}
	return false
}

// Remove takes out an item or a key, with the comment lines directly above it
// and the comment at the end of its line. The last item leaves an empty list,
// the last key an empty set of keys.
func Remove(src []byte, path string) ([]byte, error) {
	return change(src, path, func(l *layout, p *place) ([]splice, error) {
		if len(p.rest) > 0 {
			return nil, fmt.Errorf("%s: there is no %s to take out", clip(path), clip(p.rest[0].name))
		}
		stay := p.holder.stay()
		return l.arrange(p.parent, append(stay[:p.index], stay[p.index+1:]...))
	})
}

// ReplaceList makes a list hold just these items, each one line of flow YAML,
// in this order. Items that are the same, known by their id, else by what they
// hold, keep their lines and comments; of an item that has changed only the
// changed values are written. A list that is missing is made.
func ReplaceList(src []byte, listPath string, texts []string) ([]byte, error) {
	var items []*item
	seen := map[string]bool{}
	for _, text := range texts {
		it, err := readItem(text)
		if err != nil {
			return nil, err
		}
		if id := idOf(it.node); id != "" && seen[id] {
			return nil, fmt.Errorf("two of the items have the ID %s", clip(id))
		} else {
			seen[id] = true
		}
		items = append(items, it)
	}
	return change(src, listPath, func(l *layout, p *place) ([]splice, error) {
		switch g := l.groups[p.node]; {
		case len(p.rest) > 0 && len(items) == 0:
			return nil, nil
		case len(p.rest) > 0 || isNull(p.node) || isEmptyList(p.node):
			return l.fill(p, items)
		case g == nil || !g.list:
			return nil, fmt.Errorf("%s is no list but %s", clip(listPath), kindWords(p.node))
		}
		return l.alterList(p.node, items)
	})
}

// change finds a path, makes an edit there and checks what came of it.
func change(src []byte, path string, edit func(*layout, *place) ([]splice, error)) ([]byte, error) {
	l, err := open(src)
	if err != nil {
		return nil, err
	}
	p, err := l.find(path)
	if err != nil {
		return nil, err
	}
	splices, err := edit(l, p) // makes the nodes of l say what is expected
	if err != nil {
		return nil, err
	}
	out, err := l.apply(splices)
	if err != nil {
		return nil, err
	}
	var w walk
	root := parse(&w, out)
	if root == nil {
		return nil, fmt.Errorf("%s: the change would leave the file unreadable (%s); change the file in an editor", clip(path), w.list[0].Message)
	}
	if !same(root, l.root) {
		return nil, fmt.Errorf("%s: the change cannot be made here without changing something else; change the file in an editor", clip(path))
	}
	return out, nil
}

func isEmptyList(n *yaml.Node) bool { return n.Kind == yaml.SequenceNode && len(n.Content) == 0 }

// add puts a value under the keys that are missing.
func (l *layout) add(p *place, text func(flow bool) string, value *yaml.Node) ([]splice, error) {
	if isNull(p.node) {
		line, node := nest(p.rest, text(true), value)
		return l.replace(p.node, line, node)
	}
	g := l.groups[p.node]
	deep := len(p.rest) > 1
	line, node := nest(p.rest[1:], text(deep || g.flow), value)
	key := p.rest[0].name
	return l.arrange(p.node, append(g.stay(), piece{
		keep: -1, text: scalarText(key, 0, g.flow) + ": " + line,
		key: &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: key}, value: node,
	}))
}

// nest writes a value inside sets of keys: {pairs: [...]}.
func nest(keys []step, text string, value *yaml.Node) (string, *yaml.Node) {
	for i := len(keys) - 1; i >= 0; i-- {
		key := &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: keys[i].name}
		text = "{" + scalarText(keys[i].name, 0, true) + ": " + text + "}"
		value = &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map", Content: []*yaml.Node{key, value}}
	}
	return text, value
}

// fill writes a list where there is none, or an empty one: one item a line
// where items have keys and the place allows it, else in brackets.
func (l *layout) fill(p *place, items []*item) ([]splice, error) {
	list := &yaml.Node{Kind: yaml.SequenceNode, Tag: "!!seq"}
	texts := make([]string, len(items))
	lines := len(items) > 0
	for i, it := range items {
		list.Content = append(list.Content, it.node)
		texts[i] = it.textOf(it.node)
		lines = lines && it.node.Kind == yaml.MappingNode
	}
	brackets := "[" + strings.Join(texts, ", ") + "]"
	block := func(column, near int) string {
		start := l.newline(near) + strings.Repeat(" ", column+l.listIndent()) + "- "
		return start + strings.Join(texts, start)
	}
	switch g := l.groups[p.node]; {
	case len(p.rest) == 1 && lines && g != nil && !g.flow:
		last := g.entries[len(g.entries)-1]
		key := p.rest[0].name
		return l.arrange(p.node, append(g.stay(), piece{
			keep: -1, text: scalarText(key, 0, false) + ":" + block(g.column, last.end),
			key: &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: key}, value: list,
		}))
	case len(p.rest) > 0:
		return l.add(p, func(bool) string { return brackets }, list)
	case p.column >= 0 && lines && !p.holder.list && l.isAfterKey(p):
		return l.fillLines(p, block(p.column, p.holder.entries[p.index].mark), list), nil
	case g != nil && g.flow:
		return l.alterList(p.node, items)
	}
	return l.replace(p.node, brackets, list)
}

// isAfterKey reports whether a value is on the line of its key, with nothing
// but a comment after it.
func (l *layout) isAfterKey(p *place) bool {
	s := l.spans[p.node]
	return l.lineEnd(p.holder.entries[p.index].mark) == l.lineEnd(s.end) && l.ends(s.end)
}

// fillLines writes the lines of a list below its key.
func (l *layout) fillLines(p *place, lines string, list *yaml.Node) []splice {
	s := l.spans[p.node]
	at := l.lineEnd(s.end)
	*p.node = *list
	return []splice{{span{p.holder.entries[p.index].mark, s.end}, ""}, {span{at, at}, lines}}
}

// listIndent gives how far the dashes of lists stand in from their keys here:
// as in the first list of the file, else 2.
func (l *layout) listIndent() int {
	top := l.groups[l.root]
	if top != nil && !top.flow {
		for _, e := range top.entries {
			if g := l.groups[e.value]; g != nil && g.list && !g.flow {
				return g.column - top.column
			}
		}
	}
	return 2
}
