package rules

import (
	"regexp"
	"testing"

	"bankwright/internal/model/finding"
	"bankwright/internal/read/catalog"
)

// TestCatalogueHasTheHabit: the rule's number is the catalogue's.
func TestCatalogueHasTheHabit(t *testing.T) {
	k := catalog.Default().Constant("lugs_per_stud")
	if k.Value != mostLugs || k.Unit != "lugs" {
		t.Errorf("the catalogue has %g %s, the rule %d", k.Value, k.Unit, mostLugs)
	}
}

// TestRules: every rule is complete and has an ID of its own, found by it.
func TestRules(t *testing.T) {
	id := regexp.MustCompile(`^[A-Z]{3,4}-[0-9]{2}$`)
	seen := map[string]bool{}
	last := ""
	for _, r := range All() {
		if !id.MatchString(r.ID) || seen[r.ID] || r.ID < last {
			t.Errorf("rule %q: an ID is like LUG-01, stands once, and the list is in order", r.ID)
		}
		seen[r.ID], last = true, r.ID
		if r.Title == "" || r.Text == "" || r.check == nil || r.Failing == r.Passing {
			t.Errorf("rule %s lacks title, text, check or two examples", r.ID)
		}
		if err := r.Source.Check(); err != nil {
			t.Errorf("rule %s: %v", r.ID, err)
		}
		if r.Severity != finding.Fault && r.Severity != finding.Warning && r.Severity != finding.Note {
			t.Errorf("rule %s has severity %q", r.ID, r.Severity)
		}
		if Find(r.ID) != r {
			t.Errorf("rule %s is not found by its ID", r.ID)
		}
	}
	if len(seen) < 3 {
		t.Errorf("only %d rules", len(seen))
	}
	if Find("NO-00") != nil {
		t.Error("a rule that is not there was found")
	}
}
