package job

import (
	"fmt"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"
)

// step is one part of a path: a key, or what stands in [ ].
type step struct {
	name    string
	bracket bool
}

// place is where a path leads: to a node, or to the last node there is on the
// way, with the keys that are missing after it.
type place struct {
	path   string
	node   *yaml.Node
	parent *yaml.Node // what the node stands in, nil at the top
	holder *group     // the parent's entries
	index  int        // of its entry there
	rest   []step     // missing
	column int        // of the key or dash the node stands at, -1 at the top
}

// parsePath takes "batteries[B1].at[0]" apart.
func parsePath(path string) ([]step, error) {
	var steps []step
	for rest := path; rest != ""; {
		var s step
		switch {
		case rest[0] == '[':
			end := strings.IndexByte(rest, ']')
			if end < 0 {
				return nil, fmt.Errorf("path %q: a ] is missing", clip(path))
			}
			s, rest = step{rest[1:end], true}, rest[end+1:]
		case rest[0] == '.' && steps != nil || steps == nil:
			if steps != nil {
				rest = rest[1:]
			}
			end := strings.IndexAny(rest, ".[")
			if end < 0 {
				end = len(rest)
			}
			s, rest = step{rest[:end], false}, rest[end:]
		default:
			return nil, fmt.Errorf("path %q: a point is missing after ]", clip(path))
		}
		if s.name == "" {
			return nil, fmt.Errorf("path %q: a name is missing; a path looks like batteries[B1].at[0]", clip(path))
		}
		steps = append(steps, s)
	}
	if steps == nil {
		return nil, fmt.Errorf("the path is empty; a path looks like batteries[B1].at[0]")
	}
	return steps, nil
}

// find follows a path as far as there is something.
func (l *layout) find(path string) (*place, error) {
	steps, err := parsePath(path)
	if err != nil {
		return nil, err
	}
	p := &place{path: path, node: l.root, column: -1}
	for i, s := range steps {
		g := l.groups[p.node]
		if g == nil && isNull(p.node) {
			p.rest = steps[i:]
			break
		}
		if g == nil {
			return nil, fmt.Errorf("%s: there is nothing to change inside a plain value", pathWords(steps[:i]))
		}
		at, err := g.look(s, steps[:i])
		if err != nil {
			return nil, err
		}
		if at < 0 {
			p.rest = steps[i:]
			break
		}
		p.parent, p.node, p.holder, p.index = p.node, g.entries[at].value, g, at
		if p.column = g.column; g.flow {
			p.column = -1
		}
	}
	for _, s := range p.rest {
		if s.bracket {
			return nil, fmt.Errorf("%s: there is no item %s", clip(path), clip(s.name))
		}
	}
	return p, nil
}

func isNull(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode && n.Tag == "!!null" }

// look finds a step's entry, -1 where a key is missing.
func (g *group) look(s step, before []step) (int, error) {
	if g.list {
		if !s.bracket {
			return 0, fmt.Errorf("%s is a list; name an item of it, as in %s[B1] or %s[0]", pathWords(before), pathWords(before), pathWords(before))
		}
		return g.lookItem(s.name, before)
	}
	at := -1
	for i, e := range g.entries {
		if e.key.Kind != yaml.ScalarNode || e.key.Value != s.name {
			continue
		}
		if at >= 0 {
			return 0, fmt.Errorf("the key %q stands twice, on lines %d and %d; take one out first", clip(s.name), g.entries[at].key.Line, e.key.Line)
		}
		at = i
	}
	return at, nil
}

// lookItem finds an item by its id, else by its number from 0.
func (g *group) lookItem(name string, before []step) (int, error) {
	at := -1
	var have []string
	for i, e := range g.entries {
		id := idOf(e.value)
		if id != "" {
			have = append(have, id)
		}
		if id != name || id == "" {
			continue
		}
		if at >= 0 {
			return 0, fmt.Errorf("the ID %s stands twice in %s, on lines %d and %d; mend that first", clip(name), pathWords(before), g.entries[at].value.Line, e.value.Line)
		}
		at = i
	}
	if at >= 0 {
		return at, nil
	}
	if n, err := strconv.Atoi(name); err == nil && n >= 0 && n < len(g.entries) {
		return n, nil
	}
	if len(have) == 0 {
		return 0, fmt.Errorf("%s has no item %s; it has %d, counted from 0", pathWords(before), clip(name), len(g.entries))
	}
	return 0, fmt.Errorf("%s has no item %s%s", pathWords(before), clip(name), didYouMean(name, have))
}

// idOf gives the id of an item, "" where it has none.
func idOf(n *yaml.Node) string {
	if n.Kind != yaml.MappingNode {
		return ""
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == "id" && n.Content[i+1].Kind == yaml.ScalarNode {
			return n.Content[i+1].Value
		}
	}
	return ""
}

// pathWords writes steps as a path again.
func pathWords(steps []step) string {
	if len(steps) == 0 {
		return "the job"
	}
	var b strings.Builder
	for i, s := range steps {
		switch {
		case s.bracket:
			b.WriteString("[" + s.name + "]")
		case i > 0:
			b.WriteString("." + s.name)
		default:
			b.WriteString(s.name)
		}
	}
	return clip(b.String())
}
