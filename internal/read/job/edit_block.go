package job

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"go.yaml.in/yaml/v4"
)

// splice puts text in the place of a span.
type splice struct {
	span
	text string
}

// piece is an entry as it shall be: one that stays, or a new one.
type piece struct {
	keep       int        // index of the entry that stays, -1 for a new one
	above      string     // comment lines with their line breaks
	text       string     // "- item", "item" or "key: value"; lines after the first with their full indent
	after      string     // comment at the end of the line, with the space before it
	key, value *yaml.Node // of a new one, to check the result by
}

// stay gives the pieces of a group as it is.
func (g *group) stay() []piece {
	pieces := make([]piece, len(g.entries))
	for i := range pieces {
		pieces[i].keep = i
	}
	return pieces
}

// arrange gives the splices that make a group hold just these pieces, and
// makes the node say so too. Entries that stay keep their order.
func (l *layout) arrange(n *yaml.Node, want []piece) ([]splice, error) {
	g := l.groups[n]
	kept := make([]bool, len(g.entries))
	var content []*yaml.Node
	for _, p := range want {
		if p.keep >= 0 {
			kept[p.keep] = true
			p.key, p.value = g.entries[p.keep].key, g.entries[p.keep].value
		}
		if !g.list {
			content = append(content, p.key)
		}
		content = append(content, p.value)
	}
	n.Content = content
	switch {
	case g.flow:
		return l.arrangeFlow(g, want, kept), nil
	case len(want) == 0:
		return l.emptyBlock(g)
	}
	return l.arrangeBlock(g, want, kept), nil
}

func (l *layout) arrangeBlock(g *group, want []piece, kept []bool) []splice {
	var out []splice
	front := want
	if i := slices.IndexFunc(want, func(p piece) bool { return p.keep >= 0 }); i >= 0 {
		front = want[:i]
	}
	switch {
	case len(front) > 0 && kept[0]:
		out = append(out, l.putBefore(g, front))
	case len(front) > 0:
		out = append(out, l.putInPlaceOfFirst(g, front))
		kept[0] = true // its room is used
	}
	out = append(out, l.dropBlock(g, kept)...)
	after := -1
	for _, p := range want {
		if p.keep >= 0 {
			after = p.keep
		} else if after >= 0 {
			out = append(out, l.putAfter(g, after, p))
		}
	}
	return out
}

// dropBlock takes out the entries that are not kept.
func (l *layout) dropBlock(g *group, kept []bool) []splice {
	var out []splice
	from := 0
	if !kept[0] && !l.begins(g.entries[0].start) {
		// The first entry shares its line with the dash of what it stands in.
		var cut splice
		cut, from = l.dropInline(g, slices.Index(kept, true))
		out = append(out, cut)
	}
	for i := from; i < len(kept); i++ {
		if !kept[i] {
			out = append(out, splice{l.chunk(g, i), ""})
		}
	}
	return out
}

// dropInline takes out the first entry where it does not begin its line, and
// tells from which entry on the others are still to be seen to. The next one
// that stays moves up, unless comments stand between.
func (l *layout) dropInline(g *group, next int) (splice, int) {
	first := g.entries[0]
	eol := l.lineEnd(first.end)
	between := ""
	for i := 1; i <= next; i++ {
		begin := eol
		if i > 1 {
			begin = l.lineEnd(g.entries[i-1].end)
		}
		between += string(l.src[min(begin, g.entries[i].start):g.entries[i].start])
	}
	if strings.TrimSpace(between) == "" {
		return splice{span{first.start, g.entries[next].start}, ""}, next
	}
	start := first.start
	for start > 0 && isBlankByte(l.src[start-1]) {
		start--
	}
	return splice{span{start, eol}, ""}, 1
}

// chunk is the lines of an entry with the comment lines that belong to it,
// and the line break before them: so a file that ends without one still does,
// and what is written after the entry does not fall into the hole.
func (l *layout) chunk(g *group, i int) span {
	e := g.entries[i]
	start, end := l.remarks(g, i), l.lineEnd(max(e.end, e.comma))
	if n := l.breakBefore(start); n > 0 {
		return span{start - n, end}
	}
	return span{start, end + breakAt(l.src, end)}
}

// remarks gives where the comment lines above an entry begin.
func (l *layout) remarks(g *group, i int) int {
	floor := g.mark
	if i > 0 {
		floor = max(g.entries[i-1].end, g.entries[i-1].comma)
	}
	column := g.column
	if g.flow {
		column = len(l.src) // in brackets a comment may stand anywhere
		if i == 0 {
			floor = g.start
		}
	}
	return l.remarksAbove(g.entries[i].start, floor, column)
}

// indent is what stands before a new entry on a line of its own.
func (g *group) indent() string { return strings.Repeat(" ", g.column) }

// putAfter writes a new entry on the lines after one that stays.
func (l *layout) putAfter(g *group, i int, p piece) splice {
	at := l.lineEnd(g.entries[i].end)
	nl := l.newline(at)
	gap := ""
	if i > 0 && l.hasBlankLine(g.entries[i-1].end, l.remarks(g, i)) {
		gap = nl // its siblings have a blank line between them
	}
	return splice{span{at, at}, nl + gap + p.above + g.indent() + p.text + p.after}
}

func (l *layout) hasBlankLine(from, to int) bool {
	for n := l.lineAt(from) + 1; n < len(l.lines) && l.lines[n] < to; n++ {
		if isClear(l.src[l.lines[n]:l.lineEnd(l.lines[n])]) {
			return true
		}
	}
	return false
}

// putBefore writes new entries before the first, which stays.
func (l *layout) putBefore(g *group, front []piece) splice {
	first := g.entries[0].start
	nl := l.newline(first)
	var b strings.Builder
	at := first
	if l.begins(first) {
		at = l.remarks(g, 0)
	} else if front[0].above != "" {
		b.WriteString(nl)
	}
	for i, p := range front {
		if i > 0 || at != first || p.above != "" {
			b.WriteString(p.above + g.indent())
		}
		b.WriteString(p.text + p.after + nl)
	}
	if at == first {
		b.WriteString(g.indent())
	}
	return splice{span{at, at}, b.String()}
}

// putInPlaceOfFirst writes new entries where the first one goes out.
func (l *layout) putInPlaceOfFirst(g *group, front []piece) splice {
	first := g.entries[0]
	nl := l.newline(first.start)
	s := span{first.start, l.lineEnd(first.end)}
	var b strings.Builder
	begins := l.begins(first.start)
	if begins {
		s.start = l.remarks(g, 0)
	} else if front[0].above != "" {
		b.WriteString(nl)
	}
	for i, p := range front {
		if i > 0 {
			b.WriteString(nl)
		}
		if i > 0 || begins || p.above != "" {
			b.WriteString(p.above + g.indent())
		}
		b.WriteString(p.text + p.after)
	}
	return splice{s, b.String()}
}

// emptyBlock takes all entries out and writes that there are none.
func (l *layout) emptyBlock(g *group) ([]splice, error) {
	return l.replaceBlock(g, map[bool]string{true: "[]", false: "{}"}[g.list])
}

// replaceBlock takes all entries out and writes one line's text instead.
func (l *layout) replaceBlock(g *group, text string) ([]splice, error) {
	if g.mark < 0 {
		return nil, fmt.Errorf("a job cannot be empty; its first key is bankwright: 1")
	}
	var out []splice
	first := 0
	if e := g.entries[0]; !l.begins(e.start) {
		out = append(out, splice{span{e.start, l.lineEnd(e.end)}, text})
		first = 1
	} else {
		out = append(out, splice{span{g.mark, g.mark}, " " + text})
	}
	for i := first; i < len(g.entries); i++ {
		out = append(out, splice{l.chunk(g, i), ""})
	}
	return out, nil
}

// apply carries the splices out, which do not overlap.
func (l *layout) apply(list []splice) ([]byte, error) {
	return l.applyWithin(list, span{0, len(l.src)})
}

func (l *layout) applyWithin(list []splice, in span) ([]byte, error) {
	sort.SliceStable(list, func(i, j int) bool {
		a, b := list[i], list[j]
		return a.start < b.start || a.start == b.start && a.end == a.start && b.end > b.start
	})
	out := make([]byte, 0, in.end-in.start+64)
	at := in.start
	for _, s := range list {
		if s.start < at || s.end > in.end {
			return nil, fmt.Errorf("these changes touch one another in the file; make them one by one")
		}
		out = append(append(out, l.src[at:s.start]...), s.text...)
		at = s.end
	}
	return append(out, l.src[at:in.end]...), nil
}
