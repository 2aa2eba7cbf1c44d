package assess

import (
	"math"
	"os"
	"path/filepath"
	"testing"
)

// FuzzCheck: whatever a file says, the check gives a report whose findings are
// whole, or an error; it never falls over.
func FuzzCheck(f *testing.F) {
	for _, pattern := range []string{"testdata/*.yaml", "../../../examples/*.yaml"} {
		names, err := filepath.Glob(pattern)
		if err != nil || len(names) == 0 {
			f.Fatalf("%s: %v", pattern, err)
		}
		for _, name := range names {
			b, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(b)
		}
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		j, err := Load("fuzz.yaml", src)
		if err != nil {
			return
		}
		r, err := j.Check()
		if err != nil {
			return
		}
		for _, one := range r.Findings {
			if one.Rule == "" || one.Place == "" || one.Message == "" || one.Source == "" || one.Severity == "" {
				t.Errorf("incomplete: %+v", one)
			}
			if n := one.Number; n != nil && (math.IsNaN(n.Value+n.Limit+n.Margin) || math.IsInf(n.Value+n.Limit+n.Margin, 0)) {
				t.Errorf("%s at %s: %+v", one.Rule, one.Place, n)
			}
		}
		for _, u := range r.Unchecked {
			if u.Rule == "" || u.Place == "" || u.Why == "" {
				t.Errorf("incomplete: %+v", u)
			}
		}
	})
}
