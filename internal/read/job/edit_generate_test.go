package job

import (
	"fmt"
	"strings"

	"pgregory.net/rapid"
)

// writer makes up a file: lists and keys in all layouts, with comments. Every
// entry has a number, which its key (k7), its id (i7) or its value (v7) shows;
// its own comments are a7 (above) and e7 (end of line). A comment f7.1 stands
// free somewhere inside entry 7.
type writer struct {
	t    *rapid.T
	b    strings.Builder
	last int // number given last
	free int
	nl   string
}

func generateFile(t *rapid.T) string {
	w := &writer{t: t, nl: rapid.SampledFrom([]string{"\n", "\r\n", "\n"}).Draw(t, "line break")}
	if w.one("header") {
		w.b.WriteString("#f0.head" + w.nl)
		w.b.WriteString(w.nl)
	}
	w.keys(0, 0, 3, false)
	text := w.b.String()
	if w.one("no line break at the end") {
		text = strings.TrimSuffix(text, w.nl)
	}
	return text
}

func (w *writer) one(label string) bool { return rapid.IntRange(0, 3).Draw(w.t, label) == 0 }

func (w *writer) upTo(n int, label string) int { return rapid.IntRange(0, n).Draw(w.t, label) }

func (w *writer) number() int { w.last++; return w.last }

// lead writes what may stand above an entry.
func (w *writer) lead(entry, inside, indent int) {
	pad := strings.Repeat(" ", indent)
	if w.one("free comment") {
		w.free++
		fmt.Fprintf(&w.b, "%s#f%d.%d%s%s", pad, inside, w.free, w.nl, w.nl)
	}
	if w.one("blank line") {
		w.b.WriteString(w.nl)
	}
	if w.one("comment above") {
		fmt.Fprintf(&w.b, "%s#a%d%s", pad, entry, w.nl)
	}
	w.b.WriteString(pad)
}

// end ends the line of an entry.
func (w *writer) end(entry int) {
	if w.one("comment at the end") {
		fmt.Fprintf(&w.b, "%s#e%d", strings.Repeat(" ", 1+w.upTo(3, "spaces")), entry)
	}
	w.b.WriteString(w.nl)
}

// keys writes a set of keys on lines of their own.
func (w *writer) keys(indent, inside, depth int, begun bool) {
	n := 1 + w.upTo(3, "keys")
	id := w.upTo(n-1, "id at")
	for i := range n {
		if inside > 0 && i == id {
			if i > 0 || !begun {
				w.b.WriteString(strings.Repeat(" ", indent))
			}
			fmt.Fprintf(&w.b, "id:  i%d%s", inside, w.nl) // has no number, so no comments, of its own
			continue
		}
		entry := w.number()
		if i > 0 || !begun {
			w.lead(entry, inside, indent)
		}
		fmt.Fprintf(&w.b, "k%d:", entry)
		w.value(indent, entry, depth-1, false)
	}
}

// value writes what stands after a colon or dash, to the end of its lines.
func (w *writer) value(indent, entry, depth int, inList bool) {
	step := indent + 1 + w.upTo(3, "indent")
	kind := w.upTo(5, "kind")
	if depth <= 0 && kind < 2 {
		kind += 2
	}
	switch kind {
	case 0:
		w.end(entry)
		w.keys(step, entry, depth, false)
	case 1:
		w.end(entry)
		if !inList && w.one("dashes under the key") {
			step = indent
		}
		w.list(step, entry, depth)
	case 2:
		w.b.WriteString(" ")
		w.lines(step, entry)
		w.end(entry)
	case 3:
		w.b.WriteString(" " + w.flow(2))
		w.end(entry)
	default:
		w.b.WriteString(strings.Repeat(" ", 1+w.upTo(2, "spaces")) + w.scalar(false))
		w.end(entry)
	}
}

// list writes items on lines of their own.
func (w *writer) list(indent, inside, depth int) {
	for range 1 + w.upTo(3, "items") {
		entry := w.number()
		w.lead(entry, inside, indent)
		w.b.WriteString("-")
		switch w.upTo(3, "item") {
		case 0:
			pad := 1 + w.upTo(2, "pad")
			w.b.WriteString(strings.Repeat(" ", pad))
			w.keys(indent+1+pad, entry, max(depth-1, 0), true)
		case 1:
			fmt.Fprintf(&w.b, " {id: i%d, x: %s}", entry, w.scalar(true))
			w.end(entry)
		case 2:
			fmt.Fprintf(&w.b, " v%d", entry)
			w.end(entry)
		default:
			w.end(entry)
			w.keys(indent+1+w.upTo(2, "indent"), entry, max(depth-1, 0), false)
		}
	}
}

// lines writes brackets over several lines.
func (w *writer) lines(indent, inside int) {
	pad := strings.Repeat(" ", indent)
	list := w.one("list")
	w.b.WriteString(map[bool]string{true: "[", false: "{"}[list])
	n := w.upTo(3, "entries")
	if n > 0 && w.one("first on the line of the bracket") {
		w.b.WriteString(" ")
	} else {
		w.b.WriteString(w.nl + pad)
	}
	tail := w.one("comma at the end")
	for i := range n {
		entry := w.number()
		text := fmt.Sprintf("v%d", entry)
		if !list {
			text = fmt.Sprintf("k%d: %s", entry, w.scalar(true))
		}
		w.b.WriteString(text)
		if i < n-1 || tail {
			w.b.WriteString(",")
		}
		switch {
		case w.one("same line"):
			w.b.WriteString(" ")
		case w.one("comment"):
			fmt.Fprintf(&w.b, " #f%d.c%d%s%s", inside, entry, w.nl, pad)
		default:
			w.b.WriteString(w.nl + pad)
		}
	}
	w.b.WriteString(map[bool]string{true: "]", false: "}"}[list])
}

// flow writes a value in brackets on one line.
func (w *writer) flow(depth int) string {
	n := w.upTo(3, "entries")
	texts := make([]string, n)
	list := w.one("list")
	for i := range texts {
		entry := w.number()
		value := w.scalar(true)
		if depth > 0 && w.one("nested") {
			value = w.flow(depth - 1)
		}
		texts[i] = fmt.Sprintf("k%d: %s", entry, value)
		if list {
			texts[i] = rapid.SampledFrom([]string{fmt.Sprintf("v%d", entry), fmt.Sprintf("{id: i%d}", entry), fmt.Sprintf("[%s]", value)}).Draw(w.t, "flow item")
		}
	}
	space := rapid.SampledFrom([]string{"", "", " "}).Draw(w.t, "space")
	inside := space + strings.Join(texts, ","+rapid.SampledFrom([]string{" ", "", "  "}).Draw(w.t, "after comma"))
	if n > 0 && w.one("comma at the end") {
		inside += ","
	}
	if list {
		return "[" + inside + space + "]"
	}
	if strings.HasSuffix(inside, ":") {
		space = " "
	}
	return "{" + inside + space + "}"
}

// scalar writes a plain value in some quotes.
func (w *writer) scalar(flow bool) string {
	texts := []string{"2/0 AWG", "4 mΩ", "x", "90", "true", "B1+", "1 ft 3 1/2 in", "a-b", "-8 in", "20 °F", "🔋", "''", `""`, "null",
		`'it''s, {no} more'`, `"a: b \" é \\"`, `'x: y'`, `"\u202e"`}
	if !flow {
		texts = append(texts, "a, b", "[]", "{}")
	}
	return rapid.SampledFrom(texts).Draw(w.t, "scalar")
}
