package published

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"bankwright/internal/base/source"
)

// TestRows: the program gives every value within its own tolerance, and every
// row can be looked up.
func TestRows(t *testing.T) {
	ids := map[string]bool{}
	for _, r := range Rows() {
		t.Run(r.ID, func(t *testing.T) {
			if got, err := r.Check(); err != nil {
				t.Errorf("%v (got %v)", err, got)
			}
			if ids[r.ID] {
				t.Error("the ID stands twice")
			}
			ids[r.ID] = true
			if err := r.Source.Check(); err != nil {
				t.Error(err)
			}
			if r.What == "" || r.Tolerance.Why == "" || math.IsNaN(r.Want) || !(r.Tolerance.Value >= 0) {
				t.Errorf("incomplete: %+v", r)
			}
			if strings.ContainsAny(r.ID, " |") {
				t.Errorf("%q is no ID", r.ID)
			}
		})
	}
}

// TestKinds: only what was read counts as published.
func TestKinds(t *testing.T) {
	allowed := map[Kind][]source.How{
		Published: {source.Read}, Computed: {source.Derived}, Memory: {source.Memory, source.Practice},
	}
	count := map[Kind]int{}
	for _, r := range Rows() {
		count[r.Kind]++
		if how := allowed[r.Kind]; len(how) == 0 || how[0] != r.Source.How && how[len(how)-1] != r.Source.How {
			t.Errorf("%s is %s and its source is known as %q", r.ID, r.Kind, r.Source.How)
		}
	}
	if count[Published] < 100 || count[Computed] < 150 || count[Memory] < 10 {
		t.Errorf("%v: rows were lost", count)
	}
}

// TestCheckFails: a row outside its tolerance, without a value, or with none
// that is a number does not pass.
func TestCheckFails(t *testing.T) {
	value := func(v float64, err error) getter { return func() (float64, error) { return v, err } }
	for _, row := range []struct {
		name string
		want float64
		tol  Tolerance
		got  getter
		ok   bool
	}{
		{"inside", 10, within(0.5, "x"), value(10.5, nil), true},
		{"outside", 10, within(0.5, "x"), value(10.501, nil), false},
		{"inside by part", -10, part(0.05, "x"), value(-10.5, nil), true},
		{"outside by part", -10, part(0.05, "x"), value(-9.4, nil), false},
		{"exact", 4, within(0, "x"), value(4, nil), true},
		{"not exact", 4, within(0, "x"), value(4.0000001, nil), false},
		{"no number", 4, within(1, "x"), value(math.NaN(), nil), false},
		{"no value", 4, within(1, "x"), value(4, errors.New("no job")), false},
	} {
		t.Run(row.name, func(t *testing.T) {
			if _, err := (Row{ID: "X", Want: row.want, Tolerance: row.tol, Got: row.got}).Check(); (err == nil) != row.ok {
				t.Errorf("%v", err)
			}
		})
	}
}

// TestMarkdown: the same text twice, with every row once and the counts.
func TestMarkdown(t *testing.T) {
	text, err := Markdown()
	if err != nil {
		t.Fatal(err)
	}
	if again, _ := Markdown(); again != text {
		t.Error("a second text differs")
	}
	rows := Rows()
	columns := map[bool]int{true: 7, false: 8} // bars in a line
	for _, r := range rows {
		lines := 0
		for line := range strings.Lines(text) {
			if strings.HasPrefix(line, "| "+r.ID+" |") {
				lines++
				if n := strings.Count(line, "|") - strings.Count(line, `\|`); n != columns[r.Kind == Published] {
					t.Errorf("%d bars in %q", n, line)
				}
			}
		}
		if lines != 1 {
			t.Errorf("%s stands in %d lines", r.ID, lines)
		}
	}
	count := map[Kind]int{}
	for _, r := range rows {
		count[r.Kind]++
	}
	for kind, word := range map[Kind]string{Published: "a source that was read: %d values", Computed: "other means than the program's: %d\n", Memory: "not at hand: %d\n"} {
		if !strings.Contains(text, fmt.Sprintf(word, count[kind])) {
			t.Errorf("the count of %s is not told: %d", kind, count[kind])
		}
	}
}

func TestAmount(t *testing.T) {
	for _, row := range []struct {
		v      float64
		unit   string
		digits int
		want   string
	}{
		{282475249, "", -1, "282475249"}, {35.7530001, "A", 7, "35.753 A"}, {0.5, "Ω/km", -1, "0.5 Ω/km"}, {-1.2121212, "A", 7, "-1.212121 A"},
		{6.4516e-4, "m²", -1, "0.00064516 m²"}, {1e-15, "", -1, "1e-15"}, {100, "A", 7, "100 A"}, {0, "", 7, "0"},
	} {
		if got := amount(row.v, row.unit, row.digits); got != row.want {
			t.Errorf("%v is %q, want %q", row.v, got, row.want)
		}
	}
}
