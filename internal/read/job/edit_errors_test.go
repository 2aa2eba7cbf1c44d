package job

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"
)

// broken is a file in which an edit can go wrong in many ways.
const broken = "a: 1\nb:\n  - {id: B1, n: [1, 2]}\n  - {id: B2}\n  - {id: B2}\nt: |\n  text\ns: {x: 1, x: 2}\n"

func setEdit(path, value string) func([]byte) ([]byte, error) {
	return func(b []byte) ([]byte, error) { return Set(b, path, value) }
}
func insertEdit(path, item string) func([]byte) ([]byte, error) {
	return func(b []byte) ([]byte, error) { return Insert(b, path, item) }
}
func removeEdit(path string) func([]byte) ([]byte, error) {
	return func(b []byte) ([]byte, error) { return Remove(b, path) }
}
func replaceEdit(path string, items ...string) func([]byte) ([]byte, error) {
	return func(b []byte) ([]byte, error) { return ReplaceList(b, path, items) }
}

// editErrors is a file, an edit of it, and what the error must say.
var editErrors = []struct {
	name, src string
	edit      func([]byte) ([]byte, error)
	words     string
}{
	{"no path", broken, setEdit("", "x"), "the path is empty"},
	{"path without a name", broken, setEdit("b[B1].", "x"), "a name is missing"},
	{"path with two points", broken, setEdit("s..x", "x"), "a name is missing"},
	{"path with empty brackets", broken, setEdit("b[]", "x"), "a name is missing"},
	{"path with an open bracket", broken, setEdit("b[B1", "x"), "a ] is missing"},
	{"path without a point", broken, setEdit("b[B1]n", "x"), "a point is missing"},
	{"no such item", broken, setEdit("b[B9].n", "x"), "b has no item B9; did you mean B1?"},
	{"no such number", broken, setEdit("b[B1].n[2]", "x"), "b[B1].n has no item 2; it has 2, counted from 0"},
	{"no such item under a missing key", broken, setEdit("cables[W1].n", "x"), "there is no item W1"},
	{"key of a list", broken, setEdit("b.n", "x"), "b is a list; name an item of it, as in b[B1]"},
	{"inside a plain value", broken, setEdit("a.b", "x"), "a: there is nothing to change inside a plain value"},
	{"ID twice", broken, setEdit("b[B2].n", "x"), "the ID B2 stands twice in b, on lines 4 and 5"},
	{"key twice", broken, setEdit("s.x", "3"), `the key "x" stands twice, on lines 8 and 8`},
	{"list for a value", broken, setEdit("b", "x"), "b holds a list; name one value in it"},
	{"keys for a value", broken, setEdit("b[0]", "x"), "holds a set of keys"},
	{"text block", broken, setEdit("t", "x"), "line 6: a text written over several lines with | or >"},
	{"text block in a list", "c:\n  - id: W1\n    n: >\n      x\n", replaceEdit("c", "{id: W1, n: y}"), "line 3: a text written over several lines"},
	{"text block to a list", "c:\n  - id: W1\n    n: >\n      x\n", replaceEdit("c", "{id: W1, n: [y]}"), "line 3: a text written over several lines"},
	{"value not UTF-8", broken, setEdit("a", "\xff"), "not UTF-8"},
	{"value too long", broken, setEdit("a", strings.Repeat("x", maxBytes)), "the file is larger than 1024 KiB"},
	{"item of two", broken, insertEdit("b", "{id: B3}, {id: B4}"), "is not one item"},
	{"item with a comma", broken, insertEdit("b", "{id: B3},"), "is not one item"},
	{"item empty", broken, insertEdit("b", " "), "the item is empty"},
	{"item open", broken, insertEdit("b", "{id: B3"), "the item {id: B3 cannot be read"},
	{"item that closes too much", broken, insertEdit("b", "{id: B3}], x: [y"), "cannot be read"},
	{"item over two lines", broken, insertEdit("b", "{id: B3,\n n: 1}"), "runs over several lines"},
	{"item with a comment", broken, insertEdit("b", "{id: B3} # x"), "cannot be read"},
	{"item with an anchor", broken, insertEdit("b", "&x {id: B3}"), "an anchor"},
	{"item not UTF-8", broken, insertEdit("b", "\xff"), "not UTF-8"},
	{"item with a key twice", broken, insertEdit("b", "{id: B3, n: 1, n: 2}"), `has the key "n" twice`},
	{"ID there already", broken, insertEdit("b", "{id: B1}"), "b has an item B1 already"},
	{"insert in no list", broken, insertEdit("a", "x"), "a is no list but a plain value"},
	{"insert in a set of keys", broken, insertEdit("s", "x"), "s is no list but a set of keys"},
	{"remove what is not there", broken, removeEdit("c"), "there is no c to take out"},
	{"remove a key that is not there", broken, removeEdit("b[B1].m"), "there is no m to take out"},
	{"remove all", "a: 1\n", removeEdit("a"), "a job cannot be empty"},
	{"replace no list", broken, replaceEdit("s", "x"), "s is no list"},
	{"replace with an ID twice", broken, replaceEdit("b", "{id: B1}", "{id: B1, n: 1}"), "two of the items have the ID B1"},
	{"file that is no YAML", "a: [1\n", setEdit("a", "2"), "cannot be changed before this is mended: line 2: a list in [ ] is not closed"},
	{"file with an alias", "a: &x 1\nb: *x\n", setEdit("b", "2"), "an anchor"},
	{"file with a question mark", "? a\n: 1\nb: 2\n", setEdit("b", "3"), "line 1 is written in a form of YAML that is not changed here"},
	{"file with a lone pair", "a: [b: c]\nd: 2\n", setEdit("d", "3"), "line 1 is written in a form of YAML that is not changed here"},
	{"empty file", "", setEdit("a", "1"), "the file is empty"},
	{"list at the top", "- a\n", setEdit("b", "1"), "the job is a list"},
	{"value at the top", "a\n", setEdit("b", "1"), "nothing to change inside a plain value"},
}

func TestEditErrors(t *testing.T) {
	for _, tc := range editErrors {
		t.Run(tc.name, func(t *testing.T) {
			given := []byte(tc.src)
			got, err := tc.edit(given)
			if err == nil || !strings.Contains(err.Error(), tc.words) {
				t.Fatalf("error %v, should say %q", err, tc.words)
			}
			if got != nil || !bytes.Equal(given, []byte(tc.src)) {
				t.Error("something was changed")
			}
			if s := err.Error(); len(s) > 500 || strings.ContainsAny(s, "\n\r") || !utf8.ValidString(s) {
				t.Errorf("not one short line: %q", s)
			}
		})
	}
}

// FuzzSet makes each kind of edit with whatever text: no panic, and a result
// only where it reads back as asked.
func FuzzSet(f *testing.F) {
	for _, src := range goodFiles(f) {
		f.Add(src, "title", uint16(0), "x", "{id: X1, from: B1+}")
		f.Add(src, "cables[W1].size", uint16(0), "70 mm2", "[a, b]")
		f.Add(src, "", uint16(20), "- a", "x")
	}
	for _, src := range hostile() {
		f.Add([]byte(src), "a", uint16(1), "# b", "*a")
	}
	f.Fuzz(func(t *testing.T, src []byte, path string, which uint16, value, item string) {
		if len(src) > 1<<16 {
			t.Skip("long inputs are for TestLimits")
		}
		if l, err := open(src); err == nil && which > 0 {
			spots := spotsOf(l.root)
			path = spots[int(which)%len(spots)].path + path
		}
		given := bytes.Clone(src)
		if out, err := Set(src, path, value); err == nil && !strings.HasSuffix(path, "id") { // or the path leads elsewhere now
			l, err := open(out)
			if err != nil {
				t.Fatalf("Set left a file that cannot be changed: %v\n%s", err, out)
			}
			p, err := l.find(path)
			if err != nil || len(p.rest) > 0 || p.node.Value != value || isNull(p.node) {
				t.Fatalf("Set(%q, %q): %v, %+v\n%s", path, value, err, p, out)
			}
			if again, err := Set(out, path, value); err != nil || !bytes.Equal(again, out) {
				t.Fatalf("the same Set again: %v\n%s\n---\n%s", err, out, again)
			}
		}
		if out, err := Insert(src, path, item); err == nil {
			if n := itemsAt(t, out, path); n < 1 || n != itemsAt(t, src, path)+1 {
				t.Fatalf("Insert(%q, %q): %d items\n%s", path, item, n, out)
			}
		}
		if out, err := Remove(src, path); err == nil && bytes.Equal(out, src) {
			t.Fatalf("Remove(%q) took nothing out", path)
		}
		if out, err := ReplaceList(src, path, []string{item}); err == nil && itemsAt(t, out, path) != 1 {
			t.Fatalf("ReplaceList(%q, %q)\n%s", path, item, out)
		}
		if !bytes.Equal(src, given) {
			t.Fatal("an edit wrote into its source")
		}
	})
}

// itemsAt counts the items of a list, 0 where there is none.
func itemsAt(t *testing.T, src []byte, path string) int {
	l, err := open(src)
	if err != nil {
		t.Fatalf("an edit of a file that cannot be read: %v", err)
	}
	p, err := l.find(path)
	if err != nil {
		t.Fatalf("an edit at a path that leads nowhere: %v", err)
	}
	if len(p.rest) > 0 {
		return 0
	}
	return len(p.node.Content)
}
