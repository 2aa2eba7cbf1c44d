package job

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The files below are invented. Each row states the whole file after the edit,
// so every byte that should not change is checked too.

// setTable is a file, what is set where in it, and the file after.
var setTable = []struct{ name, src, path, value, want string }{
	{"flow in block", "cables:\n  - {id: W1, size: 2/0 AWG}   # thick\n", "cables[W1].size", "70 mm2", "cables:\n  - {id: W1, size: 70 mm2}   # thick\n"},
	{"block", "a:\n  b:   4 mΩ    # warm\n  c: 2\n", "a.b", "3.5 mΩ", "a:\n  b:   3.5 mΩ    # warm\n  c: 2\n"},
	{"after a rune of two bytes", "a: [4 mΩ, 5 mΩ, 6 mΩ]\n", "a[2]", "7 mΩ", "a: [4 mΩ, 5 mΩ, 7 mΩ]\n"},
	{"item by number", "b:\n  - {id: B1, at: [2 in, 3 in, 0 in]}\n", "b[B1].at[1]", "1 ft 3 1/2 in", "b:\n  - {id: B1, at: [2 in, 1 ft 3 1/2 in, 0 in]}\n"},
	{"id before number", "b: [{id: 1, n: a}, {id: 0, n: b}]\n", "b[0].n", "c", "b: [{id: 1, n: a}, {id: 0, n: c}]\n"},
	{"item by number where it has an id", "b: [{id: B1, n: a}, {id: B2, n: b}]\n", "b[1].n", "c", "b: [{id: B1, n: a}, {id: B2, n: c}]\n"},
	{"key in brackets", "d: {W1@F1.a: 3 mV}\n", "d[W1@F1.a]", "4 mV", "d: {W1@F1.a: 4 mV}\n"},
	{"single quotes stay", "t: 'it''s'  # x\n", "t", "that's", "t: 'that''s'  # x\n"},
	{"double quotes stay", "t: \"a\"\n", "t", `b "c" \`, "t: \"b \\\"c\\\" \\\\\"\n"},
	{"plain where it can be", "t: a\n", "t", "b: c", "t: \"b: c\"\n"},
	{"comma in block", "t: a\n", "t", "b, c", "t: b, c\n"},
	{"comma in flow", "{t: a}\n", "t", "b, c", "{t: \"b, c\"}\n"},
	{"would be a comment", "t: a\n", "t", "b # c", "t: \"b # c\"\n"},
	{"would be null", "t: a\n", "t", "null", "t: \"null\"\n"},
	{"empty", "t: a\n", "t", "", "t: \"\"\n"},
	{"would be a list", "t: a\n", "t", "- b", "t: \"- b\"\n"},
	{"would be an alias", "t: a\n", "t", "*b", "t: \"*b\"\n"},
	{"two lines", "t: a\n", "t", "b\nc", "t: \"b\\nc\"\n"},
	{"right to left override is shown", "t: a\n", "t", "b\u202ec", "t: \"b\\u202Ec\"\n"},
	{"emoji", "t: a # é\n", "t", "🔋 bank", "t: 🔋 bank # é\n"},
	{"number", "turn: 0\n", "turn", "90", "turn: 90\n"},
	{"was missing", "t:\nu: 1\n", "t", "b", "t: b\nu: 1\n"},
	{"was missing before a comment", "t:   # title\nu: 1\n", "t", "b", "t: b   # title\nu: 1\n"},
	{"was null", "t: ~\n", "t", "b", "t: b\n"},
	{"was missing in flow", "{a: , b}\n", "a", "1", "{a: 1 , b}\n"},
	{"was missing in flow without a colon", "{a: , b}\n", "b", "1", "{a: , b: 1}\n"},
	{"was missing in a list", "a:\n  -\n  - b\n", "a[0]", "c", "a:\n  - c\n  - b\n"},
	{"plain over two lines", "t: one\n  two # c\nu: 1\n", "t", "three", "t: three # c\nu: 1\n"},
	{"quoted over two lines", "t: \"one\n  two\" # c\nu: 1\n", "t", "three", "t: \"three\" # c\nu: 1\n"},
	{"CRLF", "a: 1\r\nb: 2\r\n", "b", "3", "a: 1\r\nb: 3\r\n"},
	{"no line break at the end", "a: 1\nb: 2", "b", "3", "a: 1\nb: 3"},
	{"byte order mark", "\ufeffa: 1\n", "a", "2", "\ufeffa: 2\n"},
	{"CR only", "a: 1\rb: 2\r", "b", "3", "a: 1\rb: 3\r"},
	{"tab before a comment", "a: 1\t# x\n", "a", "2", "a: 2\t# x\n"},
	{"document marks", "# job\n---\na: 1\n...\n", "a", "2", "# job\n---\na: 2\n...\n"},
	{"same value", "a: '1'  # x\n", "a", "1", "a: '1'  # x\n"},
	{"text block beside it", "n: |\n  long\n\n  text\na: 1\n", "a", "2", "n: |\n  long\n\n  text\na: 2\n"},

	{"add to flow", "cables:\n  - {id: W1} # x\n", "cables[W1].length", "14 in", "cables:\n  - {id: W1, length: 14 in} # x\n"},
	{"add to flow with a comma at its end", "a: {id: W1, }\n", "a.b", "1", "a: {id: W1, b: 1, }\n"},
	{"add to empty flow", "a: {}\n", "a.b", "1", "a: {b: 1}\n"},
	{"add to block", "a:\n    b: 1  # x\n    # below\nc: 2\n", "a.d", "e", "a:\n    b: 1  # x\n    d: e\n    # below\nc: 2\n"},
	{"add to block in a list", "a:\n  - id: B1\n    n: 1\n  - id: B2\n", "a[B1].m", "2", "a:\n  - id: B1\n    n: 1\n    m: 2\n  - id: B2\n"},
	{"add after a nested set", "a:\n  b:\n    c: 1\nd: 2\n", "a.e", "3", "a:\n  b:\n    c: 1\n  e: 3\nd: 2\n"},
	{"add after a text block", "a:\n  b: |\n    c\n    d\n\ne: 1\n", "a.f", "2", "a:\n  b: |\n    c\n    d\n  f: 2\n\ne: 1\n"},
	{"add to flow over lines", "a: {\n  b: 1,   # x\n  c: 2    # y\n}\n", "a.d", "3", "a: {\n  b: 1,   # x\n  c: 2,    # y\n  d: 3\n}\n"},
	{"add at the top without a line break at the end", "a: 1", "b", "2", "a: 1\nb: 2"},
	{"add CRLF", "a: 1\r\n", "b", "2", "a: 1\r\nb: 2\r\n"},
	{"add with its set of keys", "a: 1\n", "wirings.lugs", "4", "a: 1\nwirings: {lugs: 4}\n"},
	{"add with its set of keys in flow", "c: [{id: W1}]\n", "c[W1].joint.from", "0.3 mΩ", "c: [{id: W1, joint: {from: 0.3 mΩ}}]\n"},
	{"add under an empty key", "wirings:   # later\nb: 1\n", "wirings.lugs", "4", "wirings: {lugs: 4}   # later\nb: 1\n"},
	{"add a key that needs quotes", "a: 1\n", "b: c", "2", "a: 1\n\"b: c\": 2\n"},
}

func TestSet(t *testing.T) {
	for _, tc := range setTable {
		t.Run(tc.name, func(t *testing.T) {
			checkEdit(t, tc.src, tc.want, func(src []byte) ([]byte, error) { return Set(src, tc.path, tc.value) })
		})
	}
}

// checkEdit runs an edit and compares; the source must not have been touched.
func checkEdit(t *testing.T, src, want string, edit func([]byte) ([]byte, error)) {
	t.Helper()
	given := []byte(src)
	got, err := edit(given)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(strings.SplitAfter(want, "\n"), strings.SplitAfter(string(got), "\n")); diff != "" {
		t.Errorf("after the edit (-want +got):\n%s", diff)
	}
	if string(given) != src {
		t.Error("the edit wrote into the source it was given")
	}
}

func TestInsert(t *testing.T) {
	for _, tc := range []struct{ name, src, path, item, want string }{
		{"after flow items", "cables:\n  - {id: W1}  # a\n\n  # b\nx: 1\n", "cables", "{id: W2, size: 2/0 AWG}", "cables:\n  - {id: W1}  # a\n  - {id: W2, size: 2/0 AWG}\n\n  # b\nx: 1\n"},
		{"after block items", "b:\n  -   id: B1\n      at: [1 in, 2 in]  # x\n", "b", "{id: B2, at: [3 in, 4 in]}", "b:\n  -   id: B1\n      at: [1 in, 2 in]  # x\n  -   id: B2\n      at: [3 in, 4 in]\n"},
		{"after items with blank lines", "b:\n  - {id: B1}\n\n  - {id: B2}\nc: 1\n", "b", "{id: B3}", "b:\n  - {id: B1}\n\n  - {id: B2}\n\n  - {id: B3}\nc: 1\n"},
		{"dashes under the key", "b:\n- {id: B1}\nc: 1\n", "b", "{id: B2}", "b:\n- {id: B1}\n- {id: B2}\nc: 1\n"},
		{"wide dash", "b:\n  -    {id: B1}\n", "b", "{id: B2}", "b:\n  -    {id: B1}\n  -    {id: B2}\n"},
		{"no line break at the end", "b:\n  - {id: B1}", "b", "{id: B2}", "b:\n  - {id: B1}\n  - {id: B2}"},
		{"CRLF", "b:\r\n  - {id: B1}\r\nc: 1\r\n", "b", "{id: B2}", "b:\r\n  - {id: B1}\r\n  - {id: B2}\r\nc: 1\r\n"},
		{"CRLF block", "b:\r\n  - id: B1\r\n    n: 1\r\n", "b", "{id: B2, n: 2}", "b:\r\n  - id: B1\r\n    n: 1\r\n  - id: B2\r\n    n: 2\r\n"},
		{"in brackets", "along: [a, b]  # x\n", "along", "c", "along: [a, b, c]  # x\n"},
		{"in brackets over lines", "curve: [\n  [0 %, 11 V],   # empty\n  [50 %, 13 V]]  # half\n", "curve", "[100 %, 14 V]", "curve: [\n  [0 %, 11 V],   # empty\n  [50 %, 13 V],\n  [100 %, 14 V]]  # half\n"},
		{"in brackets over lines, bracket below", "c: [\n  a,  # 1\n  b   # 2\n]\n", "c", "d", "c: [\n  a,  # 1\n  b,   # 2\n  d\n]\n"},
		{"in brackets over lines with a comma at the end", "c: [\n  a,  # 1\n  b,  # 2\n]\n", "c", "d", "c: [\n  a,  # 1\n  b,  # 2\n  d,\n]\n"},
		{"in empty brackets in brackets", "x: {c: []}\n", "x.c", "{id: W1}", "x: {c: [{id: W1}]}\n"},
		{"in empty brackets after a key", "c: []  # none\nd: 1\n", "c", "{id: W1}", "c:  # none\n  - {id: W1}\nd: 1\n"},
		{"plain value in empty brackets", "c: []  # none\n", "c", "a", "c: [a]  # none\n"},
		{"comment in empty brackets", "c: [  # none\n]\n", "c", "{id: W1}", "c: [{id: W1}  # none\n]\n"},
		{"under an empty key", "c:  # none\nd: 1\n", "c", "{id: W1}", "c:  # none\n  - {id: W1}\nd: 1\n"},
		{"new list at the top, indented like the others", "b:\n    - {id: B1}\nx: 1\n", "cables", "{id: W1}", "b:\n    - {id: B1}\nx: 1\ncables:\n    - {id: W1}\n"},
		{"new list at the top of a flow file", "{a: 1}\n", "cables", "{id: W1}", "{a: 1, cables: [{id: W1}]}\n"},
		{"new list below the top", "a: 1\nwirings:\n  lugs: 4\n", "wirings.pairs", "{from: B1+, to: B2+}", "a: 1\nwirings:\n  lugs: 4\n  pairs:\n    - {from: B1+, to: B2+}\n"},
		{"new list in a new set of keys", "a: 1\n", "wirings.pairs", "{from: B1+, to: B2+}", "a: 1\nwirings: {pairs: [{from: B1+, to: B2+}]}\n"},
		{"new list in a flow item", "c:\n  - {id: W1}\n", "c[W1].along", "rail", "c:\n  - {id: W1, along: [rail]}\n"},
		{"list in a list", "p:\n  - - a\n    - b\n  - - c\n", "p[0]", "d", "p:\n  - - a\n    - b\n    - d\n  - - c\n"},
		{"value stays as typed", "c:\n  - {id: W1}\n", "c", ` {id: W2,  note: "a # b"} `, "c:\n  - {id: W1}\n  - {id: W2,  note: \"a # b\"}\n"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			checkEdit(t, tc.src, tc.want, func(src []byte) ([]byte, error) { return Insert(src, tc.path, tc.item) })
		})
	}
}

func TestRemove(t *testing.T) {
	for _, tc := range []struct{ name, src, path, want string }{
		{"flow item with its comments", "c:\n  # first\n  - {id: W1}\n\n  # stays\n\n  # second\n  # of two lines\n  - {id: W2}  # x\n  # third\n  - {id: W3}\n", "c[W2]", "c:\n  # first\n  - {id: W1}\n\n  # stays\n\n  # third\n  - {id: W3}\n"},
		{"block item", "c:\n  - id: W1\n    # inside\n    n: 1\n  - id: W2\n", "c[W1]", "c:\n  - id: W2\n"},
		{"a deeper comment above belongs to the item before", "c:\n  - id: W1\n    n: 1\n    # m: 2\n  - id: W2\n  - id: W3\n", "c[W2]", "c:\n  - id: W1\n    n: 1\n    # m: 2\n  - id: W3\n"},
		{"last item", "c:   # cables\n  # x\n  - {id: W1}  # y\nd: 1\n", "c[W1]", "c: []   # cables\nd: 1\n"},
		{"last item without a line break at the end", "c:\n  - {id: W1}\n  - {id: W2}", "c[W2]", "c:\n  - {id: W1}"},
		{"only item without a line break at the end", "c:\n  - {id: W1}", "c[W1]", "c: []"},
		{"CRLF", "c:\r\n  - {id: W1}\r\n  - {id: W2}\r\n", "c[W1]", "c:\r\n  - {id: W2}\r\n"},
		{"key at the top", "a: 1\n# about b\nb:\n  - x\n  - y\n\nc: 2\n", "b", "a: 1\n\nc: 2\n"},
		{"first key", "# about a\na: 1\nb: 2\n", "a", "b: 2\n"},
		{"last key of a set", "a: 1\ns:  # show\n  length: in  # x\nb: 2\n", "s.length", "a: 1\ns: {}  # show\nb: 2\n"},
		{"first key of an item", "c:\n  - n: 1  # x\n    id: W1\n", "c[W1].n", "c:\n  - id: W1\n"},
		{"first key of an item, comment below", "c:\n  - n: 1  # x\n    # name\n    id: W1\n", "c[W1].n", "c:\n  -\n    # name\n    id: W1\n"},
		{"only key of an item", "c:\n  - n: 1  # x\n  - n: 2\n", "c[0].n", "c:\n  - {}\n  - n: 2\n"},
		{"first of a list in a list", "p:\n  - - a\n    - b\n", "p[0][0]", "p:\n  - - b\n"},
		{"only one of a list in a list", "p:\n  - - a\n  - - b\n", "p[0][0]", "p:\n  - []\n  - - b\n"},
		{"key with a text block", "a: 1\nn: |\n  x\n  y\n\nb: 2\n", "n", "a: 1\n\nb: 2\n"},
		{"first in brackets", "{a: 1, b: 2, c: 3}\n", "a", "{b: 2, c: 3}\n"},
		{"middle in brackets", "{a: 1, b: 2, c: 3}\n", "b", "{a: 1, c: 3}\n"},
		{"last in brackets", "{a: 1, b: 2, c: 3}  # x\n", "c", "{a: 1, b: 2}  # x\n"},
		{"last in brackets with a comma at the end", "{a: 1, b: 2, }\n", "b", "{a: 1, }\n"},
		{"only one in brackets", "a: [1]  # x\n", "a[0]", "a: []  # x\n"},
		{"own line in brackets", "c: [\n  # about a\n  a,  # 1\n  # about b\n  b   # 2\n]\n", "c[0]", "c: [\n  # about b\n  b   # 2\n]\n"},
		{"last line in brackets", "c: [\n  a,  # 1\n  # about b\n  b   # 2\n]\n", "c[1]", "c: [\n  a,  # 1\n]\n"},
		{"last line with the bracket", "c: [\n  a,\n  b]  # x\n", "c[1]", "c: [\n  a]  # x\n"},
		{"last line with the bracket, comment before", "c: [\n  a,  # 1\n  b]  # x\n", "c[1]", "c: [\n  a,  # 1\n]  # x\n"},
		{"two on a line in brackets", "c: [\n  a, b,  # 1\n  d\n]\n", "c[1]", "c: [\n  a,  # 1\n  d\n]\n"},
		{"value that is missing", "a:\nb: 1\n", "a", "b: 1\n"},
		{"in brackets without a value", "{a, b: 1}\n", "a", "{b: 1}\n"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			checkEdit(t, tc.src, tc.want, func(src []byte) ([]byte, error) { return Remove(src, tc.path) })
		})
	}
}

func TestReplaceList(t *testing.T) {
	const cables = "c:   # cables\n  # about 1\n  - {id: W1, size: 2/0 AWG}  # one\n\n  # about 2\n  - {id: W2, size: 2/0 AWG}  # two\n  - {id: W3, size: 2/0 AWG}  # three\nd: 1\n"
	for _, tc := range []struct {
		name, src, path string
		items           []string
		want            string
	}{
		{"same", cables, "c", []string{"{id: W1, size: 2/0 AWG}", `{id: W2, size: "2/0 AWG"}`, "{id: W3, size: 2/0 AWG}"}, cables},
		{"one out, one in", cables, "c", []string{"{id: W1, size: 2/0 AWG}", "{id: W3, size: 2/0 AWG}", "{id: W4}"},
			"c:   # cables\n  # about 1\n  - {id: W1, size: 2/0 AWG}  # one\n\n  - {id: W3, size: 2/0 AWG}  # three\n  - {id: W4}\nd: 1\n"},
		{"one changed", cables, "c", []string{"{id: W1, size: 70 mm2, length: 9 in}", "{id: W2, size: 2/0 AWG}", "{id: W3}"},
			"c:   # cables\n  # about 1\n  - {id: W1, size: 70 mm2, length: 9 in}  # one\n\n  # about 2\n  - {id: W2, size: 2/0 AWG}  # two\n  - {id: W3}  # three\nd: 1\n"},
		{"another order", cables, "c", []string{"{id: W2, size: 2/0 AWG}", "{id: W3, size: 2/0 AWG}", "{id: W1, size: 2/0 AWG}"},
			"c:   # cables\n\n  # about 2\n  - {id: W2, size: 2/0 AWG}  # two\n  - {id: W3, size: 2/0 AWG}  # three\n  # about 1\n  - {id: W1, size: 2/0 AWG}  # one\nd: 1\n"},
		{"new in front", cables, "c", []string{"{id: W0}", "{id: W1, size: 2/0 AWG}"},
			"c:   # cables\n  - {id: W0}\n  # about 1\n  - {id: W1, size: 2/0 AWG}  # one\n\nd: 1\n"},
		{"all new", cables, "c", []string{"{id: W8}", "{id: W9}"}, "c:   # cables\n  - {id: W8}\n  - {id: W9}\n\nd: 1\n"},
		{"none", cables, "c", nil, "c: []   # cables\n\nd: 1\n"},
		{"none where there is none", "a: 1\n", "c", nil, "a: 1\n"},
		{"new list", "a: 1", "c", []string{"{id: W1}", "{id: W2}"}, "a: 1\nc:\n  - {id: W1}\n  - {id: W2}"},
		{"block items", "b:\n  - id: B1  # one\n    n: 1    # n\n    at: [1 in, 2 in]\n  - id: B2\n", "b", []string{"{id: B1, at: [1 in, 3 in]}", "{id: B3, n: 3}"},
			"b:\n  - id: B1  # one\n    at: [1 in, 3 in]\n  - id: B3\n    n: 3\n"},
		{"last key out of the last item, new after", "b:\n  - id: B1\n    n: 1\n", "b", []string{"{id: B1}", "{id: B2}"}, "b:\n  - id: B1\n  - id: B2\n"},
		{"numbers", "at: [2 in,  3 in, 0 in]  # x\n", "at", []string{"2 in", "4 in", "0 in"}, "at: [2 in,  4 in, 0 in]  # x\n"},
		{"numbers keep their comments", "at: [\n  2 in,  # x\n  3 in,  # y\n]\n", "at", []string{"2 in", "4 in"}, "at: [\n  2 in,  # x\n  4 in,  # y\n]\n"},
		{"all numbers", "at: [2 in, 3 in]\n", "at", []string{"1 in"}, "at: [1 in]\n"},
		{"brackets, another order", "c: [\n  # about a\n  a,  # 1\n  b,  # 2\n  d]\n", "c", []string{"b", "d", "a"}, "c: [\n  b,  # 2\n  d,\n  # about a\n  a  # 1\n  ]\n"},
		{"brackets, front", "c: [b, d]\n", "c", []string{"a", "b", "d"}, "c: [a, b, d]\n"},
		{"brackets, front lines", "c: [\n  b,\n  d\n]\n", "c", []string{"a", "b", "d"}, "c: [\n  a,\n  b,\n  d\n]\n"},
		{"list in a list", "p:\n  - - a\n    - b\n", "p[0]", []string{"c", "a", "b"}, "p:\n  - - c\n    - a\n    - b\n"},
		{"list in a list, first out", "p:\n  - - a  # x\n    - b\n", "p[0]", []string{"c", "d", "b"}, "p:\n  - - c\n    - d\n    - b\n"},
		{"value of another kind", "c:\n  - {id: W1, joint: 1 mΩ}\n", "c", []string{"{id: W1, joint: {from: 1 mΩ}}"}, "c:\n  - {id: W1, joint: {from: 1 mΩ}}\n"},
		{"keys to a value", "c:\n  - id: W1\n    joint:\n      from: 1 mΩ\n    n: 1\n", "c", []string{"{id: W1, joint: 2 mΩ, n: 1}"}, "c:\n  - id: W1\n    joint: 2 mΩ\n    n: 1\n"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			checkEdit(t, tc.src, tc.want, func(src []byte) ([]byte, error) { return ReplaceList(src, tc.path, tc.items) })
		})
	}
}
