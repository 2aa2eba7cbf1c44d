package web

import (
	"slices"
	"strings"

	"bankwright/internal/model/report"
)

// savedBy tells in words what saves a cable: from which batteries nothing does,
// and what stands between it and charging sources alone.
func savedBy(l *report.Line) string {
	var bare []string
	for _, w := range l.Ways {
		if id := strings.TrimRight(w.Source, "+-"); w.Battery && w.Device == "" && !slices.Contains(bare, id) {
			bare = append(bare, id)
		}
	}
	words := strings.Join(l.Saves, ", ")
	switch live := l.Side == "positive" || l.Side == "between"; {
	case !live || len(bare) == 0:
	case words == "":
		words = "nothing"
	default:
		words += "; not from " + strings.Join(bare, ", ")
	}
	if len(l.Spares) > 0 {
		if words != "" {
			words += "; "
		}
		words += "from a source: " + strings.Join(l.Spares, ", ")
	}
	return words
}
