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
	below := false // whether new ones go on lines below the last that stays
	if n := len(want); want[n-1].keep < 0 {
		below = l.putsLines(g, lastOf(kept))
	}
	out := l.dropFlow(g, kept, below)
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

// refill writes brackets anew in which nothing stays but comments.
func (l *layout) refill(g *group, want []piece) []splice {
	inside := span{g.start + 1, g.end - 1}
	texts := make([]string, len(want))
	for i, p := range want {
		texts[i] = p.text
	}
	text := strings.Join(texts, ", ")
	n := len(g.entries)
	switch {
	case l.hasRemark(inside):
		if l.src[inside.start] == '#' && text != "" {
			text += " " // a comment needs a space before it
		}
		out := []splice{{span{inside.start, inside.start}, text}}
		return append(out, l.dropFlow(g, make([]bool, n), false)...)
	case n > 0 && text != "":
		last := g.entries[n-1]
		return []splice{{span{g.entries[0].start, max(last.end, last.comma+1)}, text}}
	case n == 0 && !isClear(l.src[inside.start:inside.end]):
		inside.end = inside.start // leave the line breaks
	}
	return []splice{{inside, text}}
}

// hasRemark reports whether there may be a comment in a span.
func (l *layout) hasRemark(s span) bool { return bytes.IndexByte(l.src[s.start:s.end], '#') >= 0 }

// alone reports whether an entry in brackets has its lines to itself.
func (l *layout) alone(g *group, i int) bool {
	e := g.entries[i]
	last := max(e.end, e.comma+1)
	return l.begins(e.start) && l.ends(last) && l.lineEnd(e.end) == l.lineEnd(last)
}

// lastOf gives the last entry that is kept, -1 where none is.
func lastOf(kept []bool) int {
	last := len(kept) - 1
	for last >= 0 && !kept[last] {
		last--
	}
	return last
}

// dropFlow takes out the entries that are not kept; below tells whether new
// ones go on lines below the last that is.
func (l *layout) dropFlow(g *group, kept []bool, below bool) []splice {
	var out []splice
	n := len(kept)
	if last := lastOf(kept); last >= 0 && last < n-1 && !below {
		// The comma before the closing bracket goes too, if nothing else does.
		s := span{g.entries[last].end, g.entries[n-1].end}
		if g.entries[n-1].comma < 0 && !l.alone(g, n-1) && !l.hasRemark(s) {
			out = append(out, splice{s, ""})
			n = last
		}
	}
	free := g.start + 1 // no byte before it is still to be had
	for i := 0; i < n; i++ {
		if kept[i] {
			free = g.entries[i].end
			continue
		}
		s := splice{l.chunk(g, i), ""}
		if !l.alone(g, i) {
			s = l.dropInFlow(g.entries[i], free)
		}
		out = append(out, s)
		free = s.end
	}
	return out
}

// dropInFlow takes out an entry that shares its line: with the comma after
// it, and the spaces on one side.
func (l *layout) dropInFlow(e entry, free int) splice {
	s := span{e.start, max(e.end, e.comma+1)}
	after := s.end
	for after < len(l.src) && isBlankByte(l.src[after]) {
		after++
	}
	if e.comma >= 0 && after < len(l.src) && breakAt(l.src, after) == 0 && l.src[after] != '#' {
		s.end = after
		return splice{s, ""}
	}
	for s.start > free && isBlankByte(l.src[s.start-1]) {
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

// putsLines reports whether new entries after this one go on lines of their
// own, as it does itself.
func (l *layout) putsLines(g *group, i int) bool {
	e := g.entries[i]
	tail := max(e.end, e.comma+1)
	return l.begins(e.start) && l.lineEnd(e.end) == l.lineEnd(tail) && (l.ends(tail) || i == len(g.entries)-1)
}

// putFlowAfter writes new entries after one that stays.
func (l *layout) putFlowAfter(g *group, i int, list []piece) []splice {
	e := g.entries[i]
	if l.putsLines(g, i) {
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
	at := max(e.end, e.comma+1)
	if e.comma < 0 {
		out = append(out, splice{span{at, at}, ","})
	}
	shared := !l.ends(at) // the closing bracket stands on the same line
	if !shared {
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
	if shared && list[len(list)-1].after != "" {
		b.WriteString(nl + indent) // or the comment would take the bracket in
	}
	return append(out, splice{span{at, at}, b.String()})
}
