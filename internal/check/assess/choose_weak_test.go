package assess

import (
	"math"
	"testing"

	"bankwright/internal/model/report"
)

// TestWeak: a conductor is saved up to its table amperes, by heat where it has
// no row; exactly at them it is.
func TestWeak(t *testing.T) {
	table := report.Line{Tables: []report.TableRow{{Amps: 20, Governs: true}}, Physics: 28}
	heat := report.Line{Physics: 28}
	unknown := report.Line{Physics: math.NaN()}
	for _, row := range []struct {
		line   *report.Line
		rating float64
		less   bool
	}{{&table, 19, false}, {&table, 20, false}, {&table, 20.1, true}, {&heat, 28, false}, {&heat, 28.1, true}, {&unknown, 1000, false}} {
		if got := bearsLess(row.line, row.rating); got != row.less {
			t.Errorf("%+v at %g A: %v", row.line, row.rating, got)
		}
	}
}
