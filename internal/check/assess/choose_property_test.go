package assess_test

import (
	"bytes"
	"math/rand/v2"
	"os"
	"regexp"
	"strings"
	"testing"

	"bankwright/internal/check/assess"
	"bankwright/internal/check/rules"
	"bankwright/internal/model/finding"
	"bankwright/internal/read/job"
)

// strippable are what choose proposes anew where it is gone.
var strippable = regexp.MustCompile(`\{id: (\w+),[^}]*?\b(size|rating|class): [^,{}]+`)

// stripped is a job with some sizes, ratings and classes taken out; it names
// what lost one.
func stripped(t *testing.T, src []byte, rng *rand.Rand, part float64) ([]byte, map[string]bool) {
	t.Helper()
	gone := map[string]bool{}
	for _, line := range strings.Split(string(src), "\n") {
		m := strippable.FindStringSubmatch(line)
		if m == nil || rng.Float64() > part {
			continue
		}
		path := "cables[" + m[1] + "].size"
		if m[2] != "size" {
			if !strings.Contains(line, "kind: fuse") && !strings.Contains(line, "kind: breaker") {
				continue
			}
			path = "parts[" + m[1] + "]." + m[2]
			if m[2] == "class" && rng.IntN(2) == 0 {
				path = "parts[" + m[1] + "].rating"
			}
		} else if strings.Contains(line, "kind:") {
			continue
		}
		out, err := job.Remove(src, path)
		if err != nil {
			t.Fatal(path, err)
		}
		src, gone[m[1]] = out, true
	}
	return src, gone
}

// TestChosenAny: whatever sizes, ratings and classes are taken from a job, what
// is proposed for them has no fault in the check of the new job, and all else of
// the file stays byte for byte.
func TestChosenAny(t *testing.T) {
	van, err := os.ReadFile("testdata/bakery_van.yaml")
	if err != nil {
		t.Fatal(err)
	}
	boat := rules.Find("AMP-01").Passing
	looked := 0
	for _, row := range []struct {
		name, text string
		seeds      uint64
	}{
		{"boat", boat, 6}, {"boat in the vehicle book", strings.Replace(boat, "book: marine", "book: vehicle", 1), 3},
		{"boat in warm air", strings.Replace(boat, "ambient: 30 °C", "ambient: 55 °C", 1), 3},
		{"boat in metric", strings.Replace(boat, "practice:", "show: {wire: mm2}\npractice:", 1), 4}, {"van", string(van), 2},
	} {
		for seed := range row.seeds {
			rng := rand.New(rand.NewPCG(seed, 3))
			src, gone := stripped(t, []byte(row.text), rng, []float64{1, 0.5, 0.2}[seed%3])
			c, err := assess.Choose("any.yaml", src)
			if err != nil {
				t.Fatalf("%s, seed %d: %v", row.name, seed, err)
			}
			out, err := c.Write()
			if err != nil {
				t.Fatal(err)
			}
			if back := bare(t, c, out); !bytes.Equal(back, src) {
				t.Errorf("%s, seed %d: what was given changed:\n%s\n%s", row.name, seed, src, back)
			}
			for _, f := range faultsAt(t, c, out, gone) {
				t.Errorf("%s, seed %d: %s", row.name, seed, f)
			}
			looked += len(gone)
		}
	}
	if looked < 100 {
		t.Errorf("only %d proposals were looked at", looked)
	}
}

// bare takes the proposals out of the written job again.
func bare(t *testing.T, c *assess.Chosen, out []byte) []byte {
	t.Helper()
	remove := func(path string) {
		b, err := job.Remove(out, path)
		if err != nil {
			t.Fatal(path, err)
		}
		out = b
	}
	for i := range c.Cables {
		remove("cables[" + c.Cables[i].Cable + "].size")
	}
	for i := range c.Devices {
		if d := &c.Devices[i]; d.NewRating {
			remove("parts[" + d.Part + "].rating")
		}
		if d := &c.Devices[i]; d.NewClass && d.Class != "" {
			remove("parts[" + d.Part + "].class")
		}
	}
	return out
}

// faultsAt lists the faults of the written job at what was chosen. What is left
// open was told, so nothing is asked of that.
func faultsAt(t *testing.T, c *assess.Chosen, out []byte, gone map[string]bool) (list []string) {
	t.Helper()
	if !c.Complete() {
		clear(gone)
		return nil
	}
	for _, l := range c.Left {
		delete(gone, l.Place)
	}
	j, err := assess.Load("new.yaml", out)
	if err != nil {
		t.Fatal(err)
	}
	r, err := j.Check()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range r.Findings {
		for _, p := range append(strings.Split(f.Place, ", "), f.Places...) {
			if id, _, _ := strings.Cut(p, "."); gone[id] && f.Severity == finding.Fault {
				list = append(list, f.Rule+" "+f.Place+": "+f.Message)
			}
		}
	}
	return list
}
