package assess

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

func checkedFile(t *testing.T, name string) (*report.Report, string) {
	t.Helper()
	src, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	j, err := Load(name, src)
	if err != nil {
		t.Fatal(err)
	}
	r, err := j.Check()
	if err != nil {
		t.Fatal(err)
	}
	return r, string(src)
}

// TestMistakes: every mistake that was put into the van, classic ones of the
// trade, is found where it is, and as more than a note.
func TestMistakes(t *testing.T) {
	r, src := checkedFile(t, "bakery_van_mistakes.yaml")
	all := regexp.MustCompile(`mistake: (\S+) at ([^\s,]+)`).FindAllStringSubmatch(src, -1)
	if len(all) < 20 {
		t.Fatalf("only %d mistakes", len(all))
	}
	for _, m := range all {
		found := false
		for _, f := range r.Findings {
			found = found || f.Rule == m[1] && f.Severity != finding.Note && slices.ContainsFunc(append(f.Places, f.Place), func(place string) bool { return placed(place, m[2]) })
		}
		if !found {
			t.Errorf("%s at %s is not found", m[1], m[2])
		}
	}
	if t.Failed() {
		for _, f := range r.Findings {
			t.Logf("%s %s at %s: %s", f.Severity, f.Rule, f.Place, f.Message)
		}
		t.Logf("not checked: %+v", r.Unchecked)
	}
}

// placed reports whether a place is what was named, or an end of it.
func placed(place, named string) bool {
	for _, p := range strings.Split(place, ", ") {
		if p == named || strings.HasPrefix(p, named+"+") || strings.HasPrefix(p, named+"-") || strings.HasPrefix(p, named+".") {
			return true
		}
	}
	return false
}

// TestMended: the van wired well gives no false alarm.
func TestMended(t *testing.T) {
	r, _ := checkedFile(t, "bakery_van.yaml")
	for _, f := range r.Findings {
		if f.Severity != finding.Note {
			t.Errorf("%s %s at %s: %s", f.Severity, f.Rule, f.Place, f.Message)
		}
	}
	if len(r.Findings) > 12 || len(r.Unchecked) > 30 {
		t.Errorf("%d notes and %d not checked: too much to read", len(r.Findings), len(r.Unchecked))
	}
}
