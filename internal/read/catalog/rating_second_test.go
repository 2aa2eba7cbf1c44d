package catalog

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

// The files in testdata hold every table of numbers a second time, typed again
// from the same reference in another layout, so that a slip of either entry
// shows. Sources stand in the first entry.

// exact is the rounding of a scale or two, far below any printed digit.
const exact = 1e-12

// section is the lines of one table, in fields.
type section [][]string

// second reads one of the files and runs the check of each of its sections.
// A section without a check, and a check without a section, is an error.
func second(t *testing.T, file string, checks map[string]func(*testing.T, section)) {
	b, err := os.ReadFile("testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	sections := map[string]section{}
	name := ""
	for line := range strings.Lines(string(b)) {
		line = strings.TrimSpace(line)
		switch {
		case line == "" || line[0] == '#':
		case line[0] == '[':
			name = strings.Trim(line, "[]")
			sections[name] = nil
		default:
			sections[name] = append(sections[name], strings.Fields(line))
		}
	}
	for name, check := range checks {
		if len(sections[name]) == 0 {
			t.Errorf("%s has no section %q", file, name)
			continue
		}
		t.Run(name, func(t *testing.T) { check(t, sections[name]) })
		delete(sections, name)
	}
	for name := range sections {
		t.Errorf("%s: nothing checks section %q", file, name)
	}
}

// num reads a number of the second entry; "-" is none and gives 0.
func num(t *testing.T, s string) float64 {
	t.Helper()
	if s == "-" {
		return 0
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// awg reads "2/0" or "8" as a gauge; anything else gives no size.
func awg(s string) quantity.Size {
	size, err := quantity.ParseSize(s + " AWG")
	if err != nil {
		return quantity.Size{}
	}
	return size
}

// same reports a cell that differs.
func same[V ~float64](t *testing.T, what string, have V, want float64) {
	t.Helper()
	if math.Abs(float64(have)-want) > exact*math.Abs(want) {
		t.Errorf("%s: %v, the second entry has %v", what, float64(have), want)
	}
}

func celsius(v float64) quantity.Temperature { return quantity.Temperature(v + 273.15) }

// known reports a source that is not the one of the second entry.
func known(t *testing.T, what string, ref source.Ref, how string) {
	t.Helper()
	if string(ref.How) != how || ref.Check() != nil {
		t.Errorf("%s: source %v, how should be %s", what, ref, how)
	}
}
