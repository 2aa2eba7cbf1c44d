package assess

import (
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"testing"

	"bankwright/examples"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
)

// onRails reports whether a cable lies between posts and the take-off alone;
// what leads on from the take-off ends at another part.
func onRails(b *bank.Bank, c *bank.Cable) bool {
	for _, e := range []bank.End{c.From, c.To} {
		if !e.IsPost() && e != b.Takeoff.Positive && e != b.Takeoff.Negative {
			return false
		}
	}
	return c.From.IsPost() || c.To.IsPost()
}

// exampleFindings is what stands in the examples with its reason. A rule that
// changes its mind about one of them shows here. Notes
// (what lies outside, which lug lies lowest) are left out.
var exampleFindings = map[string][]string{
	"library-trailer.yaml": {
		// The main fuse stands in the locker, 27 in along W1; the file says so.
		"fault PRO-02 F1",
		// The chain's links are long and live from both ends; the file says so.
		"warning PRO-02 W4",
		"warning PRO-02 W5",
		// Five side by side without a fuse at each; the file says so.
		"warning PRO-15 B1",
		// The roof alone does not carry the dark months; the file says so.
		"warning DAY-01 takeoff",
	},
	"survey-boat.yaml": {
		// Nothing in a lead-acid bank hinders a battery put in the wrong way round.
		"warning HAZ-01 B1",
		// In the season it does not carry two dark days at anchor; the file says so.
		"warning DAY-01 takeoff",
	},
	"ridge-hut.yaml": {
		// Eight side by side without a fuse at each; the file says so.
		"warning PRO-15 B4",
	},
	"market-cart.yaml": {
		// The links between the two are thin for what one gives into the other; the file says so.
		"warning PRO-19 B1",
	},
}

// TestExamplesFindings: the faults and warnings of each example are those
// that are meant to stand, no more and no fewer.
func TestExamplesFindings(t *testing.T) {
	for _, name := range exampleNames(t) {
		t.Run(name, func(t *testing.T) {
			r, err := mustLoad(t, example(t, name)).Check()
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, f := range r.Findings {
				if f.Severity == finding.Fault || f.Severity == finding.Warning {
					got = append(got, fmt.Sprintf("%s %s %s", f.Severity, f.Rule, f.Place))
				}
			}
			want := slices.Clone(exampleFindings[name])
			slices.Sort(got)
			slices.Sort(want)
			if !slices.Equal(got, want) {
				t.Errorf("found\n %s\nnot\n %s", strings.Join(got, "\n "), strings.Join(want, "\n "))
			}
		})
	}
}

func exampleNames(t *testing.T) []string {
	t.Helper()
	names, err := fs.Glob(examples.Files, "*.yaml")
	if err != nil || len(names) != len(exampleFindings) {
		t.Fatalf("%d examples, %v", len(names), err)
	}
	return names
}

// TestExamplesWhole: every example has a whole d.c. side, all of it placed and
// every cable of it with a way of its own.
func TestExamplesWhole(t *testing.T) {
	for _, name := range exampleNames(t) {
		t.Run(name, func(t *testing.T) {
			j := mustLoad(t, example(t, name))
			kinds := map[bank.PartKind]bool{}
			for i := range j.Bank.Parts {
				p := &j.Bank.Parts[i]
				kinds[p.Kind] = true
				if !p.Placed {
					t.Errorf("%s has no place", p.ID)
				}
			}
			for _, k := range []bank.PartKind{bank.Fuse, bank.Switch, bank.Bar, bank.Load, bank.Frame} {
				if !kinds[k] {
					t.Errorf("no %s", k)
				}
			}
			routed := map[string]bool{}
			for _, r := range j.Routes {
				routed[r.Cable] = true
				if r.Close {
					t.Errorf("%s runs closer to something than its clearance", r.Cable)
				}
			}
			for i := range j.Bank.Cables {
				if id := j.Bank.Cables[i].ID; !routed[id] {
					t.Errorf("%s has no way", id)
				}
			}
		})
	}
}
