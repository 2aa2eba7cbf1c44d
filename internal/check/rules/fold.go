package rules

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"bankwright/internal/model/finding"
)

// fold joins findings of one rule that say the same of several places: equal
// severity, value, limit and words, but for the place's own ID.
func fold(all []finding.Finding) []finding.Finding {
	var kept []finding.Finding
	at := map[string]int{}
	for _, f := range all {
		key := likeKey(&f)
		n, ok := at[key]
		if !ok {
			at[key] = len(kept)
			kept = append(kept, f)
			continue
		}
		k := &kept[n]
		switch {
		case k.Place == f.Place:
			kept = append(kept, f) // the same place twice: two things are said of it
			continue
		case k.Places == nil:
			k.Places = []string{k.Place}
		}
		k.Places = append(k.Places, f.Place)
	}
	for i := range kept {
		if n := len(kept[i].Places); n > 0 {
			kept[i].Message += fmt.Sprintf(" (so at each of these %d)", n)
		}
	}
	return kept
}

// likeKey is a finding without its place; numbers count by six digits.
func likeKey(f *finding.Finding) string {
	id, _, _ := strings.Cut(f.Place, ".")
	id = strings.TrimRight(id, "+-")
	own := regexp.MustCompile(`(^|[^\pL\pN_-])` + regexp.QuoteMeta(id) + `([^\pL\pN_]|$)`)
	mask := func(s string) string { return own.ReplaceAllString(own.ReplaceAllString(s, "$1*$2"), "$1*$2") }
	key := strings.Join([]string{string(f.Severity), mask(f.Place), mask(f.Message), mask(f.Suggestion), f.Source}, "|")
	if n := f.Number; n != nil {
		key += fmt.Sprintf("|%.6g|%.6g|%s", n.Value, n.Limit, n.Unit)
		if math.IsNaN(n.Value) {
			key += f.Place
		}
	}
	return key
}
