package job

import (
	"bytes"
	"slices"
	"strings"
)

// arrangeFlow gives the splices for a group in brackets.
func (l *layout) arrangeFlow(g *group, want []piece, kept []bool) []splice {
	if !slices.Contains(kept, true) {
		return l.refill(g, want)
	}
	out := l.dropFlow(g, kept)
	after := -1
	for i := 0; i < len(want); {
		if want[i].keep >= 0 {
			after = want[i].keep
			i++
			continue
		}
		j := i
		for j < len(want) && want[j].keep < 0 {
			j++
		}
		if after < 0 {
			out = append(out, l.putFlowBefore(g, slices.Index(kept, true), want[i:j]))
		} else {
			out = append(out, l.putFlowAfter(g, after, want[i:j])...)
		}
		i = j
	}
	return out
}

// refill writes brackets anew in which nothing stays. Comments in them stay.
func (l *layout) refill(g *group, want []piece) []splice {
	inside := span{g.start + 1, g.end - 1}
	texts := make([]string, len(want))
	for i, p := range want {
		texts[i] = p.text
	}
	text := strings.Join(texts, ", ")
	if len(g.entries) == 0 && bytes.IndexByte(l.src[inside.start:inside.end], '#') < 0 {
		return []splice{{inside, text}}
	}
	if first := len(g.entries); first > 0 {
		if s := (span{g.entries[0].start, max(g.entries[first-1].end, g.entries[first-1].comma+1)}); !l.hasRemark(g, 0, first-1) {
			return []splice{{s, text}}
		}
	}
	out := []splice{{span{inside.start, inside.start}, text}}
	return append(out, l.dropFlow(g, make([]bool, len(g.entries)))...)
}

// hasRemark reports a comment or line break between two entries and in them.
func (l *layout) hasRemark(g *group, from, to int) bool {
	b := l.src[g.entries[from].start:g.entries[to].end]
	return bytes.ContainsAny(b, "#\r\n\u0085\u2028\u2029")
}

// alone reports whether an entry in brackets has its lines to itself.
func (l *layout) alone(g *group, i int) bool {
	e := g.entries[i]
	last := max(e.end, e.comma+1)
	return l.begins(e.start) && l.ends(last) && l.lineEnd(e.end) == l.lineEnd(last)
}

// dropFlow takes out the entries that are not kept.
func (l *layout) dropFlow(g *group, kept []bool) []splice {
	var out []splice
	n := len(kept)
	last := n - 1 - slices.Index(reversed(kept), true) // the last that stays
	if !slices.Contains(kept, true) {
		last = -1
	}
	if tail := g.entries[n-1]; last >= 0 && last < n-1 && tail.comma < 0 && !l.hasRemark(g, last, n-1) {
		out = append(out, splice{span{g.entries[last].end, tail.end}, ""})
		n = last
	}
	for i := 0; i < n; i++ {
		switch {
		case kept[i]:
		case l.alone(g, i):
			out = append(out, splice{l.flowChunk(g, i), ""})
		default:
			out = append(out, l.dropInFlow(g, i))
		}
	}
	return out
}

func reversed(b []bool) []bool {
	b = slices.Clone(b)
	slices.Reverse(b)
	return b
}

func (l *layout) flowChunk(g *group, i int) span {
	e := g.entries[i]
	end := l.lineEnd(max(e.end, e.comma))
	return span{l.remarks(g, i), end + breakAt(l.src, end)}
}

// dropInFlow takes out an entry that shares its line: with the comma after
// it, and the spaces on one side.
func (l *layout) dropInFlow(g *group, i int) splice {
	e := g.entries[i]
	s := span{e.start, max(e.end, e.comma+1)}
	after := s.end
	for after < len(l.src) && isBlankByte(l.src[after]) {
		after++
	}
	if e.comma >= 0 && after < len(l.src) && breakAt(l.src, after) == 0 && l.src[after] != '#' {
		s.end = after
		return splice{s, ""}
	}
	for s.start > g.start+1 && isBlankByte(l.src[s.start-1]) {
		s.start--
	}
	if after < len(l.src) && l.src[after] == '#' && s.end == after {
		return splice{s, " "} // a comment needs a space before it
	}
	return splice{s, ""}
}

// putFlowBefore writes new entries before all that stay, the first of which
// is given.
func (l *layout) putFlowBefore(g *group, first int, list []piece) splice {
	e := g.entries[first]
	nl := l.newline(e.start)
	at := e.start
	lines := l.begins(e.start)
	if lines {
		at = l.remarks(g, first)
	}
	var b strings.Builder
	for _, p := range list {
		switch {
		case lines:
			b.WriteString(p.above + l.indentOf(e.start) + p.text + "," + p.after + nl)
		case p.above+p.after != "":
			b.WriteString(nl + p.above + l.indentOf(e.start) + p.text + "," + p.after + nl)
		default:
			b.WriteString(p.text + ", ")
		}
	}
	return splice{span{at, at}, b.String()}
}

// indentOf gives the spaces at the beginning of the line of byte i.
func (l *layout) indentOf(i int) string {
	start := l.lineStart(i)
	end := start
	for end < len(l.src) && isBlankByte(l.src[end]) {
		end++
	}
	return string(l.src[start:end])
}

// putFlowAfter writes new entries after one that stays.
func (l *layout) putFlowAfter(g *group, i int, list []piece) []splice {
	e := g.entries[i]
	tail := max(e.end, e.comma+1)
	if l.begins(e.start) && len(g.entries) > 1 && l.lineEnd(e.end) == l.lineEnd(tail) && (i == 0 || l.begins(g.entries[i-1].start) || i == 1) {
		return l.putFlowLines(e, list)
	}
	var b strings.Builder
	for _, p := range list {
		if p.above+p.after == "" {
			b.WriteString(", " + p.text)
			continue
		}
		nl, indent := l.newline(e.end), l.indentOf(e.start)
		b.WriteString("," + nl + p.above + indent + p.text + p.after + nl + indent)
	}
	return []splice{{span{e.end, e.end}, b.String()}}
}

// putFlowLines writes new entries on lines of their own after one that has
// its line to itself, or ends it.
func (l *layout) putFlowLines(e entry, list []piece) []splice {
	var out []splice
	nl, indent := l.newline(e.end), l.indentOf(e.start)
	at := e.comma + 1
	if e.comma < 0 {
		at = e.end
		out = append(out, splice{span{at, at}, ","})
	}
	if l.ends(at) {
		at = l.lineEnd(at)
	}
	var b strings.Builder
	for k, p := range list {
		b.WriteString(nl + p.above + indent + p.text)
		if e.comma >= 0 || k < len(list)-1 {
			b.WriteString(",")
		}
		b.WriteString(p.after)
	}
	if e.comma >= 0 && !l.ends(e.comma+1) {
		b.WriteString(nl + indent)
	}
	return append(out, splice{span{at, at}, b.String()})
}
