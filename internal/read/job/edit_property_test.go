package job

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"go.yaml.in/yaml/v4"
	"pgregory.net/rapid"
)

// spot is a node of a file with the path to it.
type spot struct {
	path         string
	node, parent *yaml.Node
	key          bool // it is the value of a key
	index        int  // of the node in its parent's Content
}

func spotsOf(root *yaml.Node) []spot {
	spots := []spot{{node: root}}
	for i := 0; i < len(spots); i++ { // grows
		s := spots[i]
		switch s.node.Kind {
		case yaml.MappingNode:
			for k := 0; k+1 < len(s.node.Content); k += 2 {
				name := s.node.Content[k].Value
				switch {
				case strings.ContainsAny(name, ".[]") || s.path == "" && name == "":
					name = s.path + "[" + name + "]"
				case s.path != "":
					name = s.path + "." + name
				}
				spots = append(spots, spot{name, s.node.Content[k+1], s.node, true, k + 1})
			}
		case yaml.SequenceNode:
			for k, item := range s.node.Content {
				name := strconv.Itoa(k)
				if id := idOf(item); id != "" {
					name = id
				}
				spots = append(spots, spot{s.path + "[" + name + "]", item, s.node, false, k})
			}
		}
	}
	return spots
}

func copyOf(n *yaml.Node) *yaml.Node {
	c := *n
	c.Content = nil
	for _, child := range n.Content {
		c.Content = append(c.Content, copyOf(child))
	}
	return &c
}

func scalarNode(value string) *yaml.Node {
	return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: value}
}

func readTree(t *rapid.T, src []byte) *yaml.Node {
	var w walk
	root := parse(&w, src)
	if root == nil {
		t.Fatalf("not read: %v\n%s", w.list, src)
	}
	return root
}

// outcome is what an edit gave and what it should have given.
type outcome struct {
	what       string
	got        []byte
	err        error
	want       *yaml.Node
	gone       *yaml.Node // what was taken out, with its key
	lost, made int        // most lines that may go or come beyond those of the value itself
}

// edits on a random place of the right kind. Each works on its own copy of
// the tree, without the package's own edits, to know what is expected.
var randomEdits = []func(t *rapid.T, src []byte) *outcome{editSet, editAdd, editInsert, editRemove, editReplace}

func choose(t *rapid.T, src []byte, fits func(spot) bool) (root *yaml.Node, s spot, ok bool) {
	root = readTree(t, src)
	var fit []spot
	for _, s := range spotsOf(root) {
		if fits(s) {
			fit = append(fit, s)
		}
	}
	if len(fit) == 0 {
		return nil, spot{}, false
	}
	return root, rapid.SampledFrom(fit).Draw(t, "place"), true
}

var newValues = rapid.OneOf(rapid.SampledFrom([]string{"70 mm2", "new: value", "it's", `"`, "null", "~", "", " x ", "- a", "# b", "a # b", "[x", "{y}", "x,y", "*a", "&a", "!t", "%d", "@e", "`f", "|", ">", "? q", "k: ", "\u2028", "\ufeff", "---", "90", "🔋 ½ in", "<<"}), rapid.String())

func editSet(t *rapid.T, src []byte) *outcome {
	root, s, ok := choose(t, src, func(s spot) bool {
		return s.parent != nil && s.node.Kind == yaml.ScalarNode
	})
	if !ok {
		return nil
	}
	value := newValues.Draw(t, "value")
	if s.key && s.parent.Content[s.index-1].Value == "id" {
		value = "renamed" + strconv.Itoa(len(src))
		if strings.Contains(string(src), value) {
			return nil
		}
	}
	o := &outcome{what: fmt.Sprintf("Set(%q, %q)", s.path, value), want: root, lost: 1, made: 1}
	o.got, o.err = Set(src, s.path, value)
	*s.node = *scalarNode(value)
	return o
}

func editAdd(t *rapid.T, src []byte) *outcome {
	root, s, ok := choose(t, src, func(s spot) bool { return s.node.Kind == yaml.MappingNode })
	if !ok {
		return nil
	}
	value := newValues.Draw(t, "value")
	if slices.ContainsFunc(s.node.Content, func(n *yaml.Node) bool { return strings.HasPrefix(n.Value, "new") }) {
		return nil
	}
	key := "new" + strconv.Itoa(len(src)) // grows with every one
	path := strings.TrimPrefix(s.path+"."+key, ".")
	o := &outcome{what: fmt.Sprintf("Set(%q, %q)", path, value), want: root, lost: 1, made: 3}
	s.node.Content = append(s.node.Content, scalarNode(key), scalarNode(value))
	if rapid.Bool().Draw(t, "nested") {
		path += ".deep"
		s.node.Content[len(s.node.Content)-1] = &yaml.Node{Kind: yaml.MappingNode, Content: []*yaml.Node{scalarNode("deep"), scalarNode(value)}}
	}
	o.got, o.err = Set(src, path, value)
	return o
}

var newItems = []string{"plain", "{id: new, size: 2/0 AWG}", "{x: [1 in, 2 in], y: {z: 'q'}}", "[a, b]", `"a, b"`, "{}"}

func itemNode(t *rapid.T, text string) *yaml.Node {
	return readTree(t, []byte("["+text+"]")).Content[0]
}

func editInsert(t *rapid.T, src []byte) *outcome {
	root, s, ok := choose(t, src, func(s spot) bool { return s.node.Kind == yaml.SequenceNode })
	if !ok {
		return nil
	}
	text := rapid.SampledFrom(newItems).Draw(t, "item")
	node := itemNode(t, text)
	if slices.ContainsFunc(s.node.Content, func(n *yaml.Node) bool { return idOf(n) != "" && idOf(n) == idOf(node) }) {
		return nil
	}
	o := &outcome{what: fmt.Sprintf("Insert(%q, %q)", s.path, text), want: root, lost: 1, made: 5}
	o.got, o.err = Insert(src, s.path, text)
	s.node.Content = append(s.node.Content, node)
	return o
}

func editRemove(t *rapid.T, src []byte) *outcome {
	root, s, ok := choose(t, src, func(s spot) bool { return s.parent != nil })
	if !ok || s.parent == root && len(root.Content) == 2 {
		return nil
	}
	o := &outcome{what: fmt.Sprintf("Remove(%q)", s.path), want: root, gone: s.node, lost: 1 << 20, made: 1}
	o.got, o.err = Remove(src, s.path)
	from := s.index
	if s.key {
		from--
		o.gone = &yaml.Node{Kind: yaml.MappingNode, Content: []*yaml.Node{s.parent.Content[from], s.node}}
		if s.parent.Content[from].Value == "id" {
			o.gone = &yaml.Node{} // its value is the number of the item it was in
		}
	}
	s.parent.Content = slices.Delete(slices.Clone(s.parent.Content), from, s.index+1)
	return o
}

// flowText writes a node as one line of flow YAML, all in double quotes.
func flowText(n *yaml.Node) string {
	var parts []string
	for i, child := range n.Content {
		if n.Kind == yaml.MappingNode && i%2 == 1 {
			parts[len(parts)-1] += ": " + flowText(child)
			continue
		}
		parts = append(parts, flowText(child))
	}
	switch {
	case n.Kind == yaml.MappingNode:
		return "{" + strings.Join(parts, ", ") + "}"
	case n.Kind == yaml.SequenceNode:
		return "[" + strings.Join(parts, ", ") + "]"
	case isNull(n):
		return "null"
	}
	return quote(n.Value)
}

func editReplace(t *rapid.T, src []byte) *outcome {
	root, s, ok := choose(t, src, func(s spot) bool { return s.node.Kind == yaml.SequenceNode })
	if !ok {
		return nil
	}
	var want []*yaml.Node
	for _, n := range rapid.Permutation(s.node.Content).Draw(t, "order") {
		if rapid.IntRange(0, 3).Draw(t, "keep") == 0 {
			continue
		}
		n = copyOf(n)
		if n.Kind == yaml.MappingNode && rapid.Bool().Draw(t, "change") {
			if at := slices.IndexFunc(n.Content, func(n *yaml.Node) bool { return n.Value == "added" }); at >= 0 {
				n.Content = slices.Delete(n.Content, at, at+2)
			} else {
				n.Content = append(n.Content, scalarNode("added"), scalarNode("value"))
			}
			if len(n.Content) == 0 {
				continue
			}
			if last := n.Content[1]; last.Kind == yaml.ScalarNode && n.Content[0].Value != "id" {
				*last = *scalarNode("changed, too")
			}
		}
		want = append(want, n)
	}
	if rapid.Bool().Draw(t, "add") && !slices.ContainsFunc(want, func(n *yaml.Node) bool { return idOf(n) == "new" }) {
		at := rapid.IntRange(0, len(want)).Draw(t, "at")
		want = slices.Insert(want, at, itemNode(t, rapid.SampledFrom(newItems).Draw(t, "item")))
	}
	var texts []string
	ids := map[string]bool{"": true}
	for _, n := range want {
		texts = append(texts, flowText(n))
		if id := idOf(n); id != "" && ids[id] {
			return nil
		}
		ids[idOf(n)] = true
	}
	o := &outcome{what: fmt.Sprintf("ReplaceList(%q, %q)", s.path, texts), want: root, lost: 1 << 20, made: 1 << 20}
	o.got, o.err = ReplaceList(src, s.path, texts)
	s.node.Content = want
	return o
}

// lostLines is how many lines of a are not in b, in order.
func lostLines(a, b []string) int {
	row := make([]int, len(b)+1)
	for _, la := range a {
		before := 0
		for j, lb := range b {
			up := row[j+1]
			if row[j+1] = max(row[j+1], row[j]); la == lb {
				row[j+1] = max(row[j+1], before+1)
			}
			before = up
		}
	}
	return len(a) - row[len(b)]
}

func linesOf(src []byte) []string {
	return strings.Split(strings.ReplaceAll(string(src), "\r\n", "\n"), "\n")
}

var remarkPattern = regexp.MustCompile(`#([aef])(\d+)(\.\w+)?`)

// ownNumbers gives the numbers of the entries in a node.
func ownNumbers(n *yaml.Node) map[string]bool {
	own := map[string]bool{}
	var walk func(*yaml.Node)
	walk = func(n *yaml.Node) {
		if n.Kind == yaml.ScalarNode && len(n.Value) > 1 && strings.ContainsAny(n.Value[:1], "kiv") {
			own[n.Value[1:]] = true
		}
		for _, c := range n.Content {
			walk(c)
		}
	}
	walk(n)
	return own
}

// check compares an outcome with what was asked.
func (o *outcome) check(t *rapid.T, src []byte) {
	o.checkLines(t, src)
	if o.gone == nil && o.lost == 1 {
		o.checkComments(t, src, nil) // all of them stay
	}
}

func (o *outcome) checkLines(t *rapid.T, src []byte) {
	if o.err != nil {
		t.Fatalf("%s: %v\n%s", o.what, o.err, src)
	}
	if root := readTree(t, o.got); !sameAs(root, o.want) {
		t.Fatalf("%s reads back as something else:\n%s\n---\n%s", o.what, src, o.got)
	}
	old, now := linesOf(src), linesOf(o.got)
	if lost, made := lostLines(old, now), lostLines(now, old); lost > o.lost || made > o.made {
		t.Fatalf("%s: %d lines lost, %d made:\n%s\n---\n%s", o.what, lost, made, src, o.got)
	}
}

// checkComments sees that no comment is lost but those of these entries.
func (o *outcome) checkComments(t *rapid.T, src []byte, own map[string]bool) {
	have := map[string]bool{}
	for _, c := range remarkPattern.FindAllString(string(o.got), -1) {
		have[c] = true
	}
	for _, c := range remarkPattern.FindAllStringSubmatch(string(src), -1) {
		if !have[c[0]] && !own[c[2]] && !own[strings.TrimPrefix(c[3], ".c")] {
			t.Fatalf("%s: the comment %s is lost:\n%s\n---\n%s", o.what, c[0], src, o.got)
		}
	}
}

// sameAs compares trees; a plain value written anew may have been null before.
func sameAs(a, b *yaml.Node) bool {
	if a.Kind != b.Kind || a.Value != b.Value || isNull(a) != isNull(b) || len(a.Content) != len(b.Content) {
		return false
	}
	for i := range a.Content {
		if !sameAs(a.Content[i], b.Content[i]) {
			return false
		}
	}
	return true
}

func TestEditsOfSamples(t *testing.T) {
	for name, src := range goodFiles(t) {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) { runEdits(t, src) })
		})
	}
}

func TestEditsOfGeneratedFiles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { runEdits(t, []byte(generateFile(t))) })
}

// runEdits makes a few edits one after the other.
func runEdits(t *rapid.T, src []byte) {
	readTree(t, src)
	for range rapid.IntRange(1, 6).Draw(t, "edits") {
		o := rapid.SampledFrom(randomEdits).Draw(t, "edit")(t, src)
		if o == nil {
			continue
		}
		o.check(t, src)
		src = o.got
	}
}

// An item that goes takes just its own comments along.
func TestRemoveTakesItsOwnComments(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		src := []byte(generateFile(t))
		o := editRemove(t, src)
		if o == nil {
			t.Skip("one key only")
		}
		o.check(t, src)
		o.checkComments(t, src, ownNumbers(o.gone))
		for n := range ownNumbers(o.gone) {
			for _, kind := range []string{"#a", "#e"} {
				if regexp.MustCompile(kind + n + `\b`).Match(o.got) {
					t.Fatalf("%s left %s%s behind:\n%s\n---\n%s", o.what, kind, n, src, o.got)
				}
			}
		}
	})
}
