package rules

import (
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// One runs a single rule over a report, for tests of that rule alone.
func One(id string, r *report.Report) ([]finding.Finding, []finding.Unchecked) {
	say := speaker{rule: Find(id)}
	say.rule.check(r, &say)
	return say.findings, say.unchecked
}
