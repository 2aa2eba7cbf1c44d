package rules

import (
	"fmt"
	"strings"
)

// Markdown is the list of all rules for doc/rules.md.
func Markdown() string {
	var b strings.Builder
	for _, r := range All() {
		fmt.Fprintf(&b, "**%s** %s (%s). %s *%s*\n\n", r.ID, r.Title, r.Severity, r.Text, r.Source)
	}
	return b.String()
}
