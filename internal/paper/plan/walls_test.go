package plan

import (
	"math"
	"testing"

	"bankwright/internal/model/bank"
)

// TestWallAt: of three compartments in a row the outer two face each other as
// well; a hole between the last two lies in their wall alone.
func TestWallAt(t *testing.T) {
	room := func(id string, x, y float64) bank.Compartment {
		return bank.Compartment{ID: id, Box: bank.Box{Min: bank.Point{X: x, Y: y}, Max: bank.Point{X: x + 0.3, Y: y + 0.3, Z: 0.3}}}
	}
	rooms := []bank.Compartment{room("a", 0, 0), room("b", 0.31, 0), room("c", 0.62, 0), room("d", 0, 0.31), room("e", 0, 0.62)}
	for _, row := range []struct {
		name   string
		at     bank.Point
		lo, hi float64 // mm, at a scale of 1 : 1, y down
		across bool
		ok     bool
	}{
		{"first wall", bank.Point{X: 0.305, Y: 0.1, Z: 0.1}, 300, 310, true, true},
		{"second wall", bank.Point{X: 0.615, Y: 0.1, Z: 0.1}, 610, 620, true, true},
		{"wall behind the second", bank.Point{X: 0.1, Y: 0.615, Z: 0.1}, -620, -610, false, true},
		{"no wall", bank.Point{X: 0.1, Y: 0.1, Z: 0.1}, 0, 0, false, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			for range 2 { // in either order of the compartments
				d := &drawing{scene: &scene{bank: &bank.Bank{Compartments: rooms}}, view: view{scale: 1}}
				lo, hi, across, ok := d.wallAt(row.at)
				if ok != row.ok || across != row.across || math.Abs(lo-row.lo) > 0.21 || math.Abs(hi-row.hi) > 0.21 { // 0.2 mm over each face
					t.Errorf("%v to %v, across %v, %v", lo, hi, across, ok)
				}
				rooms = []bank.Compartment{rooms[4], rooms[3], rooms[2], rooms[1], rooms[0]}
			}
		})
	}
}
