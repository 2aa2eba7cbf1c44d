// Package rules holds the checks of a design, one file a rule: ID, title,
// text, source, severity, and an example that fails beside one that passes.
package rules

import (
	"sort"

	"bankwright/internal/base/source"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// Rule is one check. Its ID is for ever.
type Rule struct {
	ID       string
	Title    string
	Text     string // what is behind it, for explain
	Source   source.Ref
	Severity finding.Severity
	Failing  string // a job that the rule speaks on
	Passing  string // the same, mended
	check    func(r *report.Report, say *speaker)
}

// speaker collects what one rule says.
type speaker struct {
	rule      *Rule
	findings  []finding.Finding
	unchecked []finding.Unchecked
}

func (s *speaker) find(place, message, suggestion string) {
	s.findings = append(s.findings, finding.Finding{Rule: s.rule.ID, Severity: s.rule.Severity, Place: place,
		Message: message, Suggestion: suggestion, Source: s.rule.Source.String()})
}

func (s *speaker) pass(place, why string) {
	s.unchecked = append(s.unchecked, finding.Unchecked{Rule: s.rule.ID, Place: place, Why: why})
}

// All lists the rules by ID.
func All() []*Rule {
	all := []*Rule{&lugsOnPost, &batteryCurrent, &routeClose}
	sort.Slice(all, func(i, j int) bool { return all[i].ID < all[j].ID })
	return all
}

// Find gives the rule of an ID, nil if there is none.
func Find(id string) *Rule {
	for _, r := range All() {
		if r.ID == id {
			return r
		}
	}
	return nil
}

// Check runs every rule over a report.
func Check(r *report.Report) ([]finding.Finding, []finding.Unchecked) {
	var found []finding.Finding
	var unchecked []finding.Unchecked
	for _, rule := range All() {
		say := speaker{rule: rule}
		rule.check(r, &say)
		found = append(found, say.findings...)
		unchecked = append(unchecked, say.unchecked...)
	}
	return found, unchecked
}
