// Package rules holds the checks of a design, one file a rule: ID, title,
// text, source, severity, and an example that fails beside one that passes.
package rules

import (
	"math"
	"slices"
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
	snapshot bool   // it needs one case's currents only, not the whole d.c. side
	check    func(r *report.Report, say *speaker)
}

// Snapshot reports whether the rule speaks of one case's currents, else of the
// whole d.c. side.
func (r *Rule) Snapshot() bool { return r.snapshot }

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

// number is a value with its limit, for a finding that compares the two: at is
// the margin's sense, 1 where the value must not pass the limit from below, -1
// where it must reach it.
type number struct {
	value, limit float64
	unit         string
	least        bool // the value must be at least the limit
	unlike       bool // the value must be the same as the limit
}

// hold is find with the numbers, and the source of this limit where it is
// another than the rule's. A source from memory makes the finding a note to ask
// for the part's own sheet.
func (s *speaker) hold(severity finding.Severity, place, message, suggestion string, n number, ref source.Ref) {
	s.find(place, message, suggestion)
	f := &s.findings[len(s.findings)-1]
	f.Severity = severity
	margin := 1 - n.value/n.limit
	if n.least {
		margin = n.value/n.limit - 1
	}
	if n.unlike {
		margin = -math.Abs(n.value/n.limit - 1)
	}
	if n.unit != "" && !math.IsNaN(margin) && !math.IsInf(margin, 0) {
		f.Number = &finding.Number{Value: n.value, Limit: n.limit, Unit: n.unit, Margin: margin, Unlike: n.unlike}
	}
	if !ref.IsZero() {
		f.Source = ref.String()
		if ref.How == source.Memory {
			f.Message += " (a limit from memory: ask for the part's own sheet)"
		}
	}
}

func (s *speaker) pass(place, why string) {
	s.unchecked = append(s.unchecked, finding.Unchecked{Rule: s.rule.ID, Place: place, Why: why})
}

// All lists the rules by ID.
func All() []*Rule {
	all := slices.Concat([]*Rule{&lugsOnPost, &batteryCurrent, &routeClose}, conductorRules, protectionRules, hazardRules, sourceRules, placeRules, jointRules, lugRules, inletRules, bankRules, midRules, bondRules, neighbourRules, supplyRules, heatRules, mountRules, daysRules, polarityRules, throughRules)
	sort.Slice(all, func(i, j int) bool { return all[i].ID < all[j].ID })
	return all
}

// Leads reports whether a rule's findings stand before others as grave: what it
// finds is the cause of much else.
func Leads(id string) bool { return id == noMainFuse.ID || id == reversedBattery.ID }

// Find gives the rule of an ID, nil if there is none.
func Find(id string) *Rule {
	for _, r := range All() {
		if r.ID == id {
			return r
		}
	}
	return nil
}

// Check runs every rule over a report; those of the whole d.c. side only where
// the report has it.
func Check(r *report.Report) ([]finding.Finding, []finding.Unchecked) {
	var found []finding.Finding
	var unchecked []finding.Unchecked
	for _, rule := range All() {
		if !rule.snapshot && r.Side == nil {
			continue
		}
		say := speaker{rule: rule}
		rule.check(r, &say)
		found = append(found, fold(say.findings)...)
		unchecked = append(unchecked, say.unchecked...)
	}
	return found, unchecked
}
