package job

import (
	"fmt"
	"sort"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
)

// layout is a file's text with the byte place of every value in it. The YAML
// reader tells where a value begins, not where it ends; ends are found by
// scanning on from there, and every beginning is checked against what the
// reader said, so that a form this scan does not know is refused, not harmed.
type layout struct {
	src    []byte
	lines  []int // where each line begins
	root   *yaml.Node
	spans  map[*yaml.Node]span
	groups map[*yaml.Node]*group
	bad    Pos // first place that is not followed here, zero if none
	at     Pos // where the last place looked up was, and its byte
	byte   int
}

// span is a stretch of bytes, the end not included.
type span struct{ start, end int }

// group is a list or a set of keys.
type group struct {
	span
	list    bool // else a set of keys
	flow    bool // in brackets
	column  int  // of the entries, from 0, where not in brackets
	mark    int  // just after the dash or colon before it, -1 at the top
	entries []entry
}

// entry is an item with its dash, or a key with its value.
type entry struct {
	span
	key, value *yaml.Node // key is nil in a list
	mark       int        // just after the dash or colon, -1 where there is none
	comma      int        // place of the comma after it, -1 where there is none
}

// open reads a file for an edit.
func open(src []byte) (*layout, error) {
	var w walk
	root := parse(&w, src)
	if root == nil {
		first := w.list[0]
		return nil, fmt.Errorf("the file cannot be changed before this is mended: line %d: %s", first.Line, first.Message)
	}
	l := &layout{src: src, lines: lineStarts(src), root: root, spans: map[*yaml.Node]span{}, groups: map[*yaml.Node]*group{}}
	l.at, l.byte = Pos{1, 1}, l.lines[0]
	end := l.measure(root, max(l.byteOf(root), 0), -1, -1).end
	if rest := l.skip(end); l.bad == (Pos{}) && rest < len(src) && !documentEnd(src[rest:]) {
		l.bad = l.posAt(rest)
	}
	if l.bad != (Pos{}) {
		return nil, fmt.Errorf("line %d is written in a form of YAML that is not changed here; change the file in an editor", l.bad.Line)
	}
	return l, nil
}

// lineAt gives the number, from 0, of the line that byte i is in.
func (l *layout) lineAt(i int) int {
	return max(0, sort.Search(len(l.lines), func(n int) bool { return l.lines[n] > i })-1)
}

// lineStart gives where the line of byte i begins.
func (l *layout) lineStart(i int) int { return l.lines[l.lineAt(i)] }

// lineEnd gives where the line of byte i ends, its break not included.
func (l *layout) lineEnd(i int) int {
	for i < len(l.src) && breakAt(l.src, i) == 0 {
		i++
	}
	return i
}

// posAt gives the line and column of a byte.
func (l *layout) posAt(i int) Pos {
	n := l.lineAt(i)
	return Pos{n + 1, utf8.RuneCount(l.src[l.lines[n]:max(i, l.lines[n])]) + 1}
}

// byteOf gives the byte of a node. Nodes come in the order of the file, so it
// goes on from the last one and a long line is walked once only.
func (l *layout) byteOf(n *yaml.Node) int {
	if n.Line < 1 || n.Line > len(l.lines) {
		return -1
	}
	if n.Line != l.at.Line || n.Column < l.at.Column {
		l.at, l.byte = Pos{n.Line, 1}, l.lines[n.Line-1]
	}
	for l.at.Column < n.Column && l.byte < len(l.src) {
		_, size := utf8.DecodeRune(l.src[l.byte:])
		l.byte += size
		l.at.Column++
	}
	return l.byte
}

// measure finds the span of a node and of all in it. It begins somewhere
// after from; indent is the column of the list or keys it stands in.
func (l *layout) measure(n *yaml.Node, from, indent, mark int) span {
	if isNothing(n) {
		s := span{from, from}
		l.spans[n] = s
		return s
	}
	start := l.skip(from)
	if l.byteOf(n) != start || start >= len(l.src) {
		l.refuse(n)
		return span{from, from}
	}
	s := span{start, start}
	switch n.Kind {
	case yaml.ScalarNode:
		s.end = l.scalarEnd(n, start, indent)
	case yaml.SequenceNode, yaml.MappingNode:
		g := &group{span: s, list: n.Kind == yaml.SequenceNode, mark: mark, flow: n.Style&yaml.FlowStyle != 0}
		l.groups[n] = g
		if g.flow {
			l.measureFlow(n, g)
		} else {
			l.measureBlock(n, g)
		}
		s = g.span
	}
	l.spans[n] = s
	return s
}

// isNothing reports a value that is missing and takes no room in the file.
func isNothing(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Tag == "!!null" && n.Value == "" && !isQuoted(n)
}

func isQuoted(n *yaml.Node) bool {
	return n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0
}

func (l *layout) refuse(n *yaml.Node) {
	if l.bad == (Pos{}) {
		l.bad = posOf(n)
	}
}

// expect steps over one byte, or notes that something else stands there.
func (l *layout) expect(c byte, i int, n *yaml.Node) int {
	if i >= len(l.src) || l.src[i] != c {
		l.refuse(n)
		return i
	}
	return i + 1
}

func (l *layout) measureBlock(n *yaml.Node, g *group) {
	g.column = l.posAt(g.start).Column - 1
	at := g.start
	for i := 0; i < len(n.Content) && l.bad == (Pos{}); i++ {
		e := entry{span: span{start: l.skip(at)}, value: n.Content[i], comma: -1}
		if g.list {
			e.mark = l.expect('-', e.start, n)
		} else {
			e.key = n.Content[i]
			i++
			e.value = n.Content[i]
			e.mark = l.expect(':', l.skip(l.measure(e.key, e.start, g.column, -1).end), e.key)
		}
		e.end = l.measure(e.value, e.mark, g.column, e.mark).end
		g.entries = append(g.entries, e)
		at = e.end
	}
	g.end = at
}

func (l *layout) measureFlow(n *yaml.Node, g *group) {
	open, closing := byte('{'), byte('}')
	if g.list {
		open, closing = '[', ']'
	}
	at := l.expect(open, g.start, n)
	for i := 0; i < len(n.Content) && l.bad == (Pos{}); i++ {
		e := entry{span: span{start: l.skip(at)}, value: n.Content[i], mark: -1, comma: -1}
		if e.end = e.start; !g.list {
			e.key = n.Content[i]
			i++
			e.value = n.Content[i]
			e.end = l.measure(e.key, e.start, -1, -1).end
			if colon := l.skip(e.end); colon < len(l.src) && l.src[colon] == ':' {
				e.end, e.mark = colon+1, colon+1
			}
		}
		e.end = l.measure(e.value, e.end, -1, e.mark).end
		if at = l.skip(e.end); at < len(l.src) && l.src[at] == ',' {
			e.comma = at
			at++
		}
		g.entries = append(g.entries, e)
	}
	g.end = l.expect(closing, l.skip(at), n)
}
