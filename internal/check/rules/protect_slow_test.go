package rules_test

import (
	"fmt"
	"strings"
	"testing"

	"bankwright/internal/check/rules"
)

// The times of the fuse's own sheet decide: 2/0 in air of 30 °C bears about
// 371 A for good (electrical reference, model row), so 450 A for a while. A fuse
// that may take five hours there is a note, one that opens within a minute
// nothing; and so is the class alone, whose longest times say little.
func TestSlowOverload(t *testing.T) {
	for _, c := range []struct {
		name, times string
		note        bool
	}{
		{"slow", ", times: [[450 A, 10 s, 5 h], [1 kA, 1 s, 10 s]]", true},
		{"quick", ", times: [[450 A, 10 s, 1 min], [1 kA, 1 s, 10 s]]", false},
		{"by its class", "", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := strings.Replace(rules.Find("PRO-09").Passing, "class: class_t, rating: 200 A", "class: class_t, rating: 200 A"+c.times, 1)
			found := ""
			for _, f := range by("PRO-09", checked(t, text).Findings) {
				if f.Place == "W6" {
					found += fmt.Sprintf("%s %s", f.Severity, f.Message)
				}
			}
			if (found != "") != c.note || c.note && (!strings.HasPrefix(found, "note overload of cable W6 behind F1") || strings.Contains(found, "memory")) {
				t.Errorf("found %q", found)
			}
		})
	}
}
