package job

import (
	"errors"
	"fmt"
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
)

// noteSyntax turns the YAML reader's own error into a fault with a place.
func noteSyntax(w *walk, src []byte, err error) {
	var all *yaml.LoadErrors
	var one *yaml.LoadError
	switch {
	case errors.As(err, &all):
		for _, e := range all.Errors {
			noteLoadError(w, src, e)
		}
	case errors.As(err, &one):
		noteLoadError(w, src, one)
	default:
		w.Add(Pos{1, 1}, "not YAML: %s", clipLong(err.Error()))
	}
}

func noteLoadError(w *walk, src []byte, e *yaml.LoadError) {
	at := Pos{e.Mark.Line, e.Mark.Column}
	switch {
	case strings.Contains(e.Message, "multiple"):
		at = secondDocument(src)
	case strings.Contains(e.Message, "control characters"):
		at = placeOf(src, max(0, strings.IndexFunc(string(src), isForbidden)))
	case strings.Contains(e.ContextMsg, "quoted scalar") && strings.Contains(e.Message, "end of stream"):
		at = Pos{e.ContextMark.Line, e.ContextMark.Column}
	}
	w.Add(within(src, at), "%s", syntaxWords(src, at, e))
}

// isForbidden reports the characters that YAML does not allow in a file.
func isForbidden(r rune) bool {
	return r < ' ' && r != '\t' && r != '\n' && r != '\r' || r == 0xfffe || r == 0xffff
}

// syntaxTable says in plain words what the YAML reader found, by a part of
// its own message.
var syntaxTable = []struct{ part, words string }{
	{"max depth", fmt.Sprintf("lists and keys are nested deeper than %d, the most that is read", maxDepth)},
	{"no documents", "the file is empty; a job begins with bankwright: 1"},
	{"multiple", "a second document begins here; one file holds one job: take this line and what follows out"},
	{"control characters", "a control character stands here; write plain text"},
	{"unknown anchor", "an alias (*name) is not read here; write the value out"},
	{"tab", "a tab stands where spaces are due; indent with spaces"},
	{"mapping values are not allowed", "a colon cannot stand here; put a text that holds a colon in quotes, or mend the indent of this line or the one above"},
	{"expected ',' or ']'", "a list in [ ] is not closed: a comma or ] is due here or just above"},
	{"expected ',' or '}'", "keys in { } are not closed: a comma or } is due here or just above"},
	{"expected '-'", "a list goes on here with something else; begin each item with - at the same indent"},
	{"expected key", "the indent of this line fits none of the lines above; keys that belong together begin in the same column"},
	{"end of stream", "the quote that opens here is not closed"},
	{"cannot start any token", "a value cannot begin with this character; put it in quotes"},
	{"escape", `after \ in double quotes this character means nothing; write \\ for a plain \, or use single quotes`},
	{"expected ':'", "a key without a colon; write key: value"},
	{"node content", "a value is missing here"},
}

// syntaxWords says what is wrong and what usually mends it.
func syntaxWords(src []byte, at Pos, e *yaml.LoadError) string {
	if i := byteAt(src, at); i < len(src) && src[i] == '\t' && strings.Contains(e.Message, "cannot start") {
		return "a tab stands where spaces are due; indent with spaces"
	}
	if strings.Contains(e.ContextMsg, "alias") {
		return "an alias (*name) is not read here; write the value out"
	}
	for _, row := range syntaxTable {
		if strings.Contains(e.Message, row.part) {
			return row.words
		}
	}
	return "not YAML: " + clipLong(e.Message) + "; look for a missing colon, bracket or quote, or a wrong indent, here or just above"
}

func clipLong(s string) string {
	s, _, _ = strings.Cut(strings.TrimSpace(s), "\n")
	if r := []rune(s); len(r) > 160 {
		return string(r[:160]) + "…"
	}
	return s
}

// secondDocument finds the line that ends the first document.
func secondDocument(src []byte) Pos {
	begun := false
	for n, start := range lineStarts(src) {
		line := string(src[start:])
		text := strings.TrimLeft(line, " \t")
		switch {
		case begun && (isMark(line, "---") || isMark(line, "...")):
			return Pos{n + 1, 1}
		case text == "" || strings.HasPrefix(text, "#") || strings.HasPrefix(line, "%") || breakAt([]byte(text), 0) > 0:
		default:
			begun = true // by the first --- as well
		}
	}
	return Pos{1, 1}
}

// isMark reports a document mark, which stands alone or before a space.
func isMark(line, mark string) bool {
	rest, ok := strings.CutPrefix(line, mark)
	return ok && (rest == "" || isBlankByte(rest[0]) || breakAt([]byte(rest), 0) > 0)
}

// The YAML reader counts lines by all line breaks of YAML 1.1 and columns by
// characters, a byte order mark at the beginning not counted. So do these.

// lineStarts gives the byte at which each line begins.
func lineStarts(src []byte) []int {
	first := 0
	if strings.HasPrefix(string(src[:min(3, len(src))]), "\ufeff") {
		first = 3
	}
	starts := []int{first}
	for i := first; i < len(src); {
		n := breakAt(src, i)
		if n > 0 {
			starts = append(starts, i+n)
		}
		i += max(n, 1)
	}
	return starts
}

// breakAt gives the length of the line break at i, 0 where there is none:
// CR LF, CR, LF, next line, line separator, paragraph separator.
func breakAt(src []byte, i int) int {
	switch {
	case i >= len(src):
		return 0
	case src[i] == '\r' && i+1 < len(src) && src[i+1] == '\n':
		return 2
	case src[i] == '\r' || src[i] == '\n':
		return 1
	case src[i] == 0xc2 && i+1 < len(src) && src[i+1] == 0x85:
		return 2
	case src[i] == 0xe2 && i+2 < len(src) && src[i+1] == 0x80 && (src[i+2] == 0xa8 || src[i+2] == 0xa9):
		return 3
	}
	return 0
}

// placeOf gives the line and column of a byte.
func placeOf(src []byte, i int) Pos {
	starts := lineStarts(src)
	n := max(0, sort.SearchInts(starts, i+1)-1)
	return Pos{n + 1, utf8.RuneCount(src[starts[n]:max(i, starts[n])]) + 1}
}

// byteAt gives the byte of a place, the end of the line or file where the
// place lies beyond.
func byteAt(src []byte, p Pos) int {
	starts := lineStarts(src)
	if p.Line < 1 || p.Line > len(starts) {
		return len(src)
	}
	i := starts[p.Line-1]
	for c := 1; c < p.Column && i < len(src) && breakAt(src, i) == 0; c++ {
		_, size := utf8.DecodeRune(src[i:])
		i += size
	}
	return i
}

// within moves a place that the YAML reader gave past the end of the file, as
// for a quote that is never closed, to its end.
func within(src []byte, p Pos) Pos {
	if p.Line < 1 || p.Column < 1 {
		return Pos{1, 1}
	}
	return placeOf(src, byteAt(src, p))
}

// badText gives the place of the first byte that is not UTF-8.
func badText(src []byte) Pos {
	for i := 0; i < len(src); {
		r, n := utf8.DecodeRune(src[i:])
		if r == utf8.RuneError && n <= 1 {
			return placeOf(src, i)
		}
		i += n
	}
	return placeOf(src, len(src))
}

// visible writes out the characters that would change how a message reads or
// what a terminal does.
func visible(s string) string {
	if !strings.ContainsFunc(s, isUnseen) {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		if isUnseen(r) {
			fmt.Fprintf(&b, `\u%04x`, r)
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}

func isUnseen(r rune) bool { return unicode.IsControl(r) || isBidiControl(r) || isLineBreak(r) }

func isLineBreak(r rune) bool { return r == '\u2028' || r == '\u2029' }
