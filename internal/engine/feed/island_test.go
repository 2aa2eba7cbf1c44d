package feed

import (
	"testing"

	"bankwright/internal/model/bank"
)

// TestIslands: copper joins, a battery and a device do not, an open part parts.
func TestIslands(t *testing.T) {
	e := func(id, place string) bank.End { return bank.End{ID: id, Place: place} }
	b := &bank.Bank{
		Batteries: []bank.Battery{{ID: "B1"}, {ID: "B2"}},
		Parts:     []bank.Part{{ID: "Q", Kind: bank.Switch}, {ID: "P", Kind: bank.Bar, Studs: 3}, {ID: "L", Kind: bank.Load}},
		Cables: []bank.Cable{{From: e("B1", "+"), To: e("B2", "-")}, {From: e("B2", "+"), To: e("Q", "a")},
			{From: e("Q", "b"), To: e("P", "1")}, {From: e("P", "3"), To: e("L", "a")}, {From: e("L", "b"), To: e("B1", "-")}},
	}
	closed := Islands(b, nil)
	open := Islands(b, func(p *bank.Part) bool { return p.Kind.Opens() })
	for _, row := range []struct {
		name        string
		x, y        bank.End
		joined, cut bool // with everything closed, with the switch open
	}{
		{"series link", e("B1", "+"), e("B2", "-"), true, true},
		{"through the switch and along the bar", e("B2", "+"), e("L", "a"), true, false},
		{"behind the switch", e("P", "2"), e("L", "a"), true, true},
		{"not through a battery", e("B2", "+"), e("B2", "-"), false, false},
		{"not through a device", e("L", "a"), e("L", "b"), false, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			if got := closed[row.x] == closed[row.y]; got != row.joined {
				t.Errorf("closed: %v", got)
			}
			if got := open[row.x] == open[row.y]; got != row.cut {
				t.Errorf("open: %v", got)
			}
		})
	}
}
