package published

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Markdown writes all rows with the value the program gives as two tables: what
// is printed in sources that were read, and what was computed or is known from
// memory. The error names every row that cannot be had or is outside its
// tolerance; the text is then of no use.
func Markdown() (string, error) {
	var read, rest strings.Builder
	count := map[Kind]int{}
	sources := map[string]bool{}
	var bad []string
	for _, r := range Rows() {
		got, err := r.Check()
		if err != nil {
			bad = append(bad, err.Error())
			continue
		}
		count[r.Kind]++
		table, kind := &rest, cell(string(r.Kind))
		if r.Kind == Published {
			table, kind = &read, ""
			sources[r.Source.Title] = true
		}
		fmt.Fprintf(table, "| %s | %s |%s %s | %s | %s | %s |\n", r.ID, escape(r.What), kind, amount(r.Want, r.Unit, -1), amount(got, r.Unit, 7), r.Tolerance.words(r.Unit), escape(r.Source.String()))
	}
	if bad != nil {
		return "", fmt.Errorf("published: %d rows are not reproduced:\n%s", len(bad), strings.Join(bad, "\n"))
	}
	return fmt.Sprintf(head, count[Published], len(sources), count[Computed], count[Memory]) +
		"## Published\n\n| row | what | printed | we get | within | source |\n|---|---|---|---|---|---|\n" + read.String() +
		"\n## Computed, and from memory\n\n| row | what | kind | wanted | we get | within | source |\n|---|---|---|---|---|---|---|\n" + rest.String(), nil
}

const head = `# Values we are held against

Made by ` + "`go run ./cmd/docgen`" + ` from ` + "`internal/check/published`" + `; every row is checked by the tests.

- published, printed in a source that was read: %d values from %d sources
- computed by other means than the program's: %d
- from memory, or common practice, the text not at hand: %d

Where a source is known to have slipped, the row holds the true value and says what is printed.

`

func cell(s string) string { return " " + s + " |" }

// escape keeps a text inside its cell.
func escape(s string) string { return strings.ReplaceAll(s, "|", `\|`) }

// amount prints a value with so many digits, -1 for as many as it has, and its
// unit.
func amount(v float64, unit string, digits int) string {
	text := strconv.FormatFloat(v, 'g', digits, 64)
	switch whole := v == math.Trunc(v) && math.Abs(v) < 1e15; {
	case whole:
		text = strconv.FormatFloat(v, 'f', 0, 64)
	case digits > 0 && strings.ContainsRune(text, '.') && !strings.ContainsRune(text, 'e'):
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if unit != "" {
		text += " " + unit
	}
	return text
}

// words says the tolerance and why.
func (t Tolerance) words(unit string) string {
	text := amount(t.Value, unit, -1)
	if t.Relative {
		text = amount(t.Value*100, "%", 6)
	}
	if t.Value == 0 {
		text = "nothing"
	}
	return escape(text + ": " + t.Why)
}
