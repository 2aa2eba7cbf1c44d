package job

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"
)

// same reports whether two nodes read alike. Quotes and layout do not count.
func same(a, b *yaml.Node) bool {
	if a.Kind != b.Kind || a.Value != b.Value || isNull(a) != isNull(b) || len(a.Content) != len(b.Content) {
		return false
	}
	for i := range a.Content {
		if !same(a.Content[i], b.Content[i]) {
			return false
		}
	}
	return true
}

// identity is what an item is known by: its id, else all it holds.
func identity(n *yaml.Node) string {
	if id := idOf(n); id != "" {
		return "id " + id
	}
	var b strings.Builder
	writeContent(&b, n)
	return b.String()
}

func writeContent(b *strings.Builder, n *yaml.Node) {
	b.WriteString(strconv.Itoa(int(n.Kind)) + strconv.Quote(n.Value) + strconv.FormatBool(isNull(n)) + "(")
	for _, child := range n.Content {
		writeContent(b, child)
	}
	b.WriteString(")")
}

// match gives for each wanted item the entry that is the same, -1 for none.
// In a list of unchanged length an item without an id that differs takes the
// place of the one before it there, so that its comment stays.
func match(g *group, want []*item) []int {
	free := map[string][]int{}
	for i, e := range g.entries {
		free[identity(e.value)] = append(free[identity(e.value)], i)
	}
	used := make([]bool, len(g.entries))
	matched := make([]int, len(want))
	for i, it := range want {
		matched[i] = -1
		if list := free[identity(it.node)]; len(list) > 0 {
			matched[i], free[identity(it.node)] = list[0], list[1:]
			used[list[0]] = true
		}
	}
	if len(want) == len(g.entries) {
		for i, it := range want {
			if matched[i] < 0 && !used[i] && idOf(it.node) == "" && idOf(g.entries[i].value) == "" {
				matched[i] = i
			}
		}
	}
	return matched
}

// rising gives which of the matched entries can stay where they are: a longest
// run that keeps the order of the file.
func rising(matched []int) []bool {
	best := make([]int, len(matched))
	from := make([]int, len(matched))
	last := -1
	for i, m := range matched {
		if from[i] = -1; m < 0 {
			continue
		}
		best[i] = 1
		for j := range i {
			if matched[j] >= 0 && matched[j] < m && best[j]+1 > best[i] {
				best[i], from[i] = best[j]+1, j
			}
		}
		if last < 0 || best[i] > best[last] {
			last = i
		}
	}
	stays := make([]bool, len(matched))
	for ; last >= 0; last = from[last] {
		stays[last] = true
	}
	return stays
}

// alterList makes a list hold just these items.
func (l *layout) alterList(n *yaml.Node, want []*item) ([]splice, error) {
	g := l.groups[n]
	matched := match(g, want)
	stays := rising(matched)
	var out []splice
	pieces := make([]piece, len(want))
	for i, it := range want {
		p := piece{keep: -1, value: it.node}
		if matched[i] < 0 {
			p.text = l.render(it, g)
			pieces[i] = p
			continue
		}
		inner, err := l.alter(g.entries[matched[i]].value, it, it.node, g.flow)
		if err != nil {
			return nil, err
		}
		if stays[i] {
			p.keep = matched[i]
			out = append(out, inner...)
		} else if p, err = l.moved(g, matched[i], inner); err != nil {
			return nil, err
		}
		pieces[i] = p
	}
	around, err := l.arrange(n, pieces)
	return append(out, around...), err
}

// moved takes an entry with its comments up, to be put down elsewhere in the
// list, with changes inside it made.
func (l *layout) moved(g *group, i int, inner []splice) (piece, error) {
	e := g.entries[i]
	p := piece{keep: -1, value: e.value}
	line := l.lineStart(e.start)
	to := span{e.start, e.end}
	if !g.flow {
		to.end = l.lineEnd(e.end)
	} else if tail := max(e.end, e.comma+1); l.alone(g, i) {
		p.after = string(l.src[tail:l.lineEnd(tail)])
	}
	if l.begins(e.start) && (!g.flow || l.alone(g, i)) {
		p.above = string(l.src[l.remarks(g, i):line])
	}
	text, err := l.applyWithin(inner, to)
	p.text = string(text)
	return p, err
}

// alter makes a value read like the one wanted, changing as little as can be.
func (l *layout) alter(have *yaml.Node, it *item, want *yaml.Node, flow bool) ([]splice, error) {
	g := l.groups[have]
	switch {
	case same(have, want):
		return nil, nil
	case have.Kind == yaml.ScalarNode && want.Kind == yaml.ScalarNode && !isNull(want):
		return l.alterScalar(have, want.Value, flow)
	case g != nil && !g.list && want.Kind == yaml.MappingNode:
		return l.alterKeys(have, it, want)
	case g != nil && g.list && want.Kind == yaml.SequenceNode:
		var items []*item
		for _, child := range want.Content {
			items = append(items, &item{it.layout, child})
		}
		return l.alterList(have, items)
	}
	return l.replace(have, it.textOf(want), want)
}

// alterKeys makes a set of keys hold what is wanted, in the order it has.
func (l *layout) alterKeys(have *yaml.Node, it *item, want *yaml.Node) ([]splice, error) {
	g, wanted := l.groups[have], it.groups[want]
	var out []splice
	var pieces []piece
	seen := map[string]bool{}
	for i, e := range g.entries {
		at := slices.IndexFunc(wanted.entries, func(w entry) bool { return same(w.key, e.key) })
		if at < 0 {
			continue
		}
		if seen[e.key.Value] {
			return nil, fmt.Errorf("line %d: the key %q stands twice; take one out first", e.key.Line, clip(e.key.Value))
		}
		seen[e.key.Value] = true
		inner, err := l.alter(e.value, it, wanted.entries[at].value, g.flow)
		if err != nil {
			return nil, err
		}
		out = append(out, inner...)
		pieces = append(pieces, piece{keep: i})
	}
	for _, e := range wanted.entries {
		if !seen[e.key.Value] {
			seen[e.key.Value] = true
			pieces = append(pieces, piece{keep: -1, text: it.entryText(e), key: e.key, value: e.value})
		}
	}
	around, err := l.arrange(have, pieces)
	return append(out, around...), err
}

// alterScalar writes another plain value, in the quotes of the one before.
func (l *layout) alterScalar(n *yaml.Node, value string, flow bool) ([]splice, error) {
	if isBlockText(n) {
		return nil, blockTextError(n.Line)
	}
	text := scalarText(value, n.Style, flow)
	s := l.spans[n]
	if s.start == s.end {
		text = l.gapBefore(s.start) + text
	}
	n.Value, n.Tag = value, "!!str"
	return []splice{{s, text}}, nil
}

func blockTextError(line int) error {
	return fmt.Errorf("line %d: a text written over several lines with | or > is not changed here; write it on one line first", line)
}

// gapBefore gives what a value needs before it where there was none.
func (l *layout) gapBefore(i int) string {
	if i > 0 && (l.src[i-1] == ':' || l.src[i-1] == '-') {
		return " "
	}
	return ": " // a key in brackets without a colon
}

// replace writes a value of another kind in the place of one.
func (l *layout) replace(n *yaml.Node, text string, want *yaml.Node) ([]splice, error) {
	g := l.groups[n]
	s := l.spans[n]
	style, line := n.Style, n.Line
	*n = *want
	switch {
	case style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		return nil, blockTextError(line)
	case g != nil && !g.flow && len(g.entries) > 0:
		return l.replaceBlock(g, text)
	case s.start == s.end:
		text = l.gapBefore(s.start) + text
	}
	return []splice{{s, text}}, nil
}
