package job

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"go.yaml.in/yaml/v4"
	"pgregory.net/rapid"
)

// Two changes of different values give the same bytes in either order, and a
// value set back gives the file as it was.
func TestSetsCommute(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		src := []byte(generateFile(t))
		var plain []spot
		for _, s := range spotsOf(readTree(t, src)) {
			if s.parent != nil && s.node.Kind == yaml.ScalarNode && s.node.Style == 0 && !isNull(s.node) && !strings.HasSuffix(s.path, "id") {
				plain = append(plain, s)
			}
		}
		if len(plain) < 2 {
			t.Skip("fewer than two values")
		}
		two := rapid.Permutation(plain).Draw(t, "two")[:2]
		values := []string{newValues.Draw(t, "first value"), newValues.Draw(t, "second value")}
		var ends [2][]byte
		for n, order := range [][]int{{0, 1}, {1, 0}} {
			ends[n] = src
			for _, i := range order {
				ends[n] = mustSet(t, ends[n], two[i].path, values[i])
			}
		}
		if !bytes.Equal(ends[0], ends[1]) {
			t.Fatalf("%q and %q:\n%s\n---\n%s", two[0].path, two[1].path, ends[0], ends[1])
		}
		there := mustSet(t, src, two[0].path, "70 mm2")
		if back := mustSet(t, there, two[0].path, two[0].node.Value); !bytes.Equal(back, src) {
			t.Fatalf("%q set and set back:\n%s\n---\n%s", two[0].path, src, back)
		}
	})
}

func mustSet(t *rapid.T, src []byte, path, value string) []byte {
	out, err := Set(src, path, value)
	if err != nil {
		t.Fatalf("Set(%q, %q): %v\n%s", path, value, err, src)
	}
	return out
}

// Items of a list that stay the same keep their lines and comments, whatever
// comes, goes or moves around them; changed ones keep their comments.
func TestReplaceListKeepsLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 7).Draw(t, "items")
		block := rapid.Bool().Draw(t, "block")
		var src strings.Builder
		src.WriteString("a: 1\ncables:  # all\n")
		chunks := make([]string, n)
		for i := range n {
			chunks[i] = fmt.Sprintf("  # above %d\n  - {id: W%d, size: 2/0 AWG}  # after %d\n", i, i, i)
			if block {
				chunks[i] = fmt.Sprintf("  # above %d\n  - id: W%d  # after %d\n    # inside %d\n    size: 2/0 AWG\n", i, i, i, i)
			}
			src.WriteString(chunks[i])
		}
		src.WriteString("z: 1\n")
		var items, want []string
		for _, i := range rapid.Permutation(numbers(n)).Draw(t, "order") {
			switch rapid.IntRange(0, 4).Draw(t, "what") {
			case 0: // goes
			case 1:
				items = append(items, fmt.Sprintf("{id: W%d, size: 70 mm2}", i))
				want = append(want, strings.Replace(chunks[i], "2/0 AWG", "70 mm2", 1))
			default:
				items = append(items, fmt.Sprintf("{id: W%d, size: '2/0 AWG'}", i))
				want = append(want, chunks[i])
			}
			if rapid.IntRange(0, 3).Draw(t, "new") == 0 {
				items = append(items, fmt.Sprintf("{id: N%d}", i))
				want = append(want, fmt.Sprintf("  - %s\n", map[bool]string{true: fmt.Sprintf("id: N%d", i), false: fmt.Sprintf("{id: N%d}", i)}[block]))
			}
		}
		expected := "a: 1\ncables:  # all\n" + strings.Join(want, "") + "z: 1\n"
		if len(want) == 0 {
			expected = "a: 1\ncables: []  # all\nz: 1\n"
		}
		got, err := ReplaceList([]byte(src.String()), "cables", items)
		if err != nil || string(got) != expected {
			t.Fatalf("%v, wanted %q:\n%s\n--- got\n%s\n--- not\n%s", err, items, src.String(), got, expected)
		}
	})
}

func numbers(n int) []int {
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	return all
}
