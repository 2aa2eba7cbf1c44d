package job

import (
	"bytes"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
)

// skip steps over spaces, line breaks and comments.
func (l *layout) skip(i int) int {
	for i < len(l.src) {
		switch n := breakAt(l.src, i); {
		case n > 0:
			i += n
		case isBlankByte(l.src[i]):
			i++
		case l.src[i] == '#':
			i = l.lineEnd(i)
		default:
			return i
		}
	}
	return i
}

func isBlankByte(b byte) bool { return b == ' ' || b == '\t' }

// documentEnd reports the mark that may stand after the last line.
func documentEnd(rest []byte) bool { return bytes.HasPrefix(rest, []byte("...")) }

// scalarEnd finds where a plain value ends.
func (l *layout) scalarEnd(n *yaml.Node, start, indent int) int {
	switch {
	case n.Style&yaml.DoubleQuotedStyle != 0:
		return l.quotedEnd(n, start, '"')
	case n.Style&yaml.SingleQuotedStyle != 0:
		return l.quotedEnd(n, start, '\'')
	case isBlockText(n):
		return l.blockTextEnd(start, indent)
	}
	return l.plainEnd(n, start)
}

// isBlockText reports a text written with | or >.
func isBlockText(n *yaml.Node) bool { return n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0 }

func (l *layout) quotedEnd(n *yaml.Node, start int, quote byte) int {
	i := l.expect(quote, start, n)
	for ; i < len(l.src); i++ {
		switch c := l.src[i]; {
		case c == '\\' && quote == '"':
			i++
		case c == quote && quote == '\'' && i+1 < len(l.src) && l.src[i+1] == '\'':
			i++
		case c == quote:
			return i + 1
		}
	}
	l.refuse(n)
	return start
}

// plainEnd follows the letters of the value. Spaces are passed over on both
// sides: over several lines the reader folds them, and nothing else.
func (l *layout) plainEnd(n *yaml.Node, start int) int {
	i := start
	for _, r := range n.Value {
		if isFold(r) {
			continue
		}
		for i < len(l.src) {
			s, size := utf8.DecodeRune(l.src[i:])
			if !isFold(s) {
				break
			}
			i += size
		}
		s, size := utf8.DecodeRune(l.src[i:])
		if s != r {
			l.refuse(n)
			return start
		}
		i += size
	}
	return i
}

func isFold(r rune) bool {
	switch r {
	case ' ', '\t', '\n', '\r', '\u0085', '\u2028', '\u2029':
		return true
	}
	return false
}

// blockTextEnd gives the end of the last line of a text written with | or >:
// all lines that are indented more than what it stands in, blank lines at its
// end only where + keeps them.
func (l *layout) blockTextEnd(start, indent int) int {
	end := l.lineEnd(start)
	keep := bytes.IndexByte(bytes.SplitN(l.src[start:end], []byte("#"), 2)[0], '+') >= 0
	for n := l.lineAt(start) + 1; n < len(l.lines); n++ {
		first := l.lines[n]
		last := l.lineEnd(first)
		spaces := 0
		for first+spaces < last && l.src[first+spaces] == ' ' {
			spaces++
		}
		switch blank := first+spaces == last; {
		case blank && keep && last < len(l.src):
			end = last
		case blank:
		case spaces > indent:
			end = last
		default:
			return end
		}
	}
	return end
}

// isClear reports whether there is nothing but spaces in the bytes.
func isClear(b []byte) bool { return len(bytes.Trim(b, " \t")) == 0 }

// isRemark reports whether there is nothing but a comment in the bytes, or
// less than that.
func isRemark(b []byte) bool {
	b = bytes.TrimLeft(b, " \t")
	return len(b) == 0 || b[0] == '#'
}

// begins reports whether byte i is the first of its line but for spaces.
func (l *layout) begins(i int) bool { return isClear(l.src[l.lineStart(i):i]) }

// ends reports whether nothing but a comment follows byte i on its line.
func (l *layout) ends(i int) bool { return isRemark(l.src[i:l.lineEnd(i)]) }

// newline gives the line break to write after byte i: that of its own line,
// else the first of the file.
func (l *layout) newline(i int) string {
	end := l.lineEnd(i)
	if breakAt(l.src, end) == 0 {
		end = l.lineEnd(0)
	}
	if n := breakAt(l.src, end); n > 0 {
		return string(l.src[end : end+n])
	}
	return "\n"
}

// breakBefore gives the length of the line break that ends at byte i.
func (l *layout) breakBefore(i int) int {
	for n := min(3, i); n > 0; n-- {
		if breakAt(l.src, i-n) == n {
			return n
		}
	}
	return 0
}

// remarksAbove gives where the comment lines directly above byte i begin, if
// they are indented no more than column, or the line of i itself. Lines up to
// the one of floor are not looked at.
func (l *layout) remarksAbove(i, floor, column int) int {
	n := l.lineAt(i)
	for ; n > 0; n-- {
		first := l.lines[n-1]
		line := l.src[first:l.lineEnd(first)]
		text := bytes.TrimLeft(line, " \t")
		if first <= floor || len(text) == 0 || text[0] != '#' || len(line)-len(text) > column {
			break
		}
	}
	return l.lines[n]
}
