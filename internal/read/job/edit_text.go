package job

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
)

// scalarText writes a value in the quotes it had, or plain where that is read
// back as the same text.
func scalarText(value string, style yaml.Style, flow bool) string {
	switch {
	case style&yaml.SingleQuotedStyle != 0 && !needsEscape(value):
		return "'" + strings.ReplaceAll(value, "'", "''") + "'"
	case style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) == 0 && isPlain(value, flow):
		return value
	}
	return quote(value)
}

func needsEscape(s string) bool {
	return strings.ContainsFunc(s, func(r rune) bool { return !unicode.IsPrint(r) || isBidiControl(r) })
}

// isPlain asks the reader itself whether a value comes back without quotes.
func isPlain(value string, flow bool) bool {
	if needsEscape(value) {
		return false
	}
	frames := []string{"k: %s\n", "- %s\n"}
	if flow {
		frames = []string{"{k: %s, z: 0}\n", "{z: 0, k: %s}\n", "{k: %s\n}\n", "[%s, 0]\n", "[%s\n]\n"}
	}
	for _, frame := range frames {
		var w walk
		root := parse(&w, []byte(fmt.Sprintf(frame, value)))
		if root == nil || !holdsPlain(root, value) {
			return false
		}
	}
	return true
}

func holdsPlain(root *yaml.Node, value string) bool {
	for _, n := range root.Content {
		if n.Kind == yaml.ScalarNode && n.Value == value {
			return n.Tag != "!!null" && n.Tag != "!!merge" && n.Style == 0 && n.LineComment == ""
		}
	}
	return false
}

// quote writes a text in double quotes.
func quote(value string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range value {
		switch {
		case r == '"' || r == '\\':
			b.WriteString(`\` + string(r))
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case unicode.IsPrint(r) && !isBidiControl(r):
			b.WriteRune(r)
		case r < 0x100:
			fmt.Fprintf(&b, `\x%02X`, r)
		case r < 0x10000:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			fmt.Fprintf(&b, `\U%08X`, r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// item is a value to be written, as the caller gave it: one line of flow YAML.
type item struct {
	*layout
	node *yaml.Node
}

// readItem reads the text of an item.
func readItem(text string) (*item, error) {
	text = strings.TrimSpace(text)
	switch {
	case text == "":
		return nil, fmt.Errorf("the item is empty; an item looks like {id: W5, from: B1+, to: B2+, size: 2/0 AWG}")
	case !utf8.ValidString(text):
		return nil, fmt.Errorf("the item is not UTF-8 text")
	case len(lineStarts([]byte(text))) > 1:
		return nil, fmt.Errorf("the item %s runs over several lines; write it on one", visible(clip(text)))
	}
	l, err := open([]byte("[" + text + "]"))
	if err != nil {
		return nil, fmt.Errorf("the item %s cannot be read: %w", clip(text), err)
	}
	root := l.groups[l.root]
	if root == nil || !root.list || len(root.entries) != 1 || root.entries[0].comma >= 0 || root.end != len(l.src) {
		return nil, fmt.Errorf("%s is not one item; an item looks like {id: W5, from: B1+, to: B2+, size: 2/0 AWG}", clip(text))
	}
	for _, g := range l.groups {
		if key := g.twice(); key != "" {
			return nil, fmt.Errorf("the item %s has the key %q twice", clip(text), clip(key))
		}
	}
	return &item{l, root.entries[0].value}, nil
}

// twice gives a key that stands twice, "" where none does.
func (g *group) twice() string {
	seen := map[string]bool{}
	for _, e := range g.entries {
		if e.key == nil {
			continue
		}
		if seen[e.key.Value] {
			return e.key.Value
		}
		seen[e.key.Value] = true
	}
	return ""
}

// textOf gives a node of the item as it was written.
func (it *item) textOf(n *yaml.Node) string {
	s := it.spans[n]
	return string(it.src[s.start:s.end])
}

// entryText gives "key: value" of an entry of the item.
func (it *item) entryText(e entry) string {
	return strings.TrimRight(it.textOf(e.key)+": "+it.textOf(e.value), " ")
}

// render writes the item as an entry of a list, in the style of the list's
// last entry.
func (l *layout) render(it *item, g *group) string {
	text := it.textOf(it.node)
	if g.flow {
		return text
	}
	last := g.entries[len(g.entries)-1]
	pad := 1
	if s := l.spans[last.value]; s.end > s.start && l.lineAt(last.start) == l.lineAt(s.start) {
		pad = s.start - last.mark
	}
	sibling, own := l.groups[last.value], it.groups[it.node]
	if sibling == nil || sibling.flow || sibling.list || own == nil || own.list || len(own.entries) == 0 {
		return "-" + strings.Repeat(" ", pad) + text
	}
	lines := make([]string, len(own.entries))
	for i, e := range own.entries {
		lines[i] = it.entryText(e)
	}
	return "-" + strings.Repeat(" ", pad) + strings.Join(lines, l.newline(last.start)+strings.Repeat(" ", g.column+1+pad))
}
