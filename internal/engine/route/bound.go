package route

import "math"

// unreachable is a cost that no way has, and small enough to be added to.
const unreachable = math.MaxInt64 / 4

// gate is a passage as met from one of its rooms: where the centre line leaves
// that room's inset, in what direction, and the least that the way from there
// to the goal can cost.
type gate struct {
	id    string
	room  int
	mouth spot
	dir   int
	exit  spot // where it comes into the inset beyond
	into  int  // the room beyond
	rest  int64
}

// setGates works out the gates' costs for the grid's goal. Without them a
// bound would point straight through walls and the search would look at all of
// a room before it tried the hole.
func (s *search) setGates() {
	f := s.field
	s.gates = append(s.gates[:0], f.gates...)
	for range s.gates { // the cheapest chain goes through no gate twice
		changed := false
		for i := range s.gates {
			g := &s.gates[i]
			rest := distance(g.mouth, g.exit) + s.onward(g.into, g.exit, g.dir)
			if rest < g.rest {
				g.rest, changed = rest, true
			}
		}
		if !changed {
			break
		}
	}
}

// addGates lists a tunnel's two gates.
func (f *field) addGates(t tunnel, before, after spot) {
	f.gates = append(f.gates,
		gate{t.id, t.low, before, 2 * t.axis, after, t.high, unreachable},
		gate{t.id, t.high, after, 2*t.axis + 1, before, t.low, unreachable})
}

// onward is the least that a way to the goal can cost from a place in a room
// to which the cable came in direction dir.
func (s *search) onward(room int, at spot, dir int) int64 {
	if s.field.router.outer[room].holds(s.goal.node) {
		return leastCost(at, dir, s.goal.node, s.goal.dir)
	}
	least := int64(unreachable)
	for i := range s.gates {
		if g := &s.gates[i]; g.room == room && g.rest < unreachable {
			least = min(least, leastCost(at, dir, g.mouth, g.dir)+g.rest)
		}
	}
	return least
}

// bound is the least that a way from a state to the goal can cost. In a hole,
// in its mouth or on an end's way out of a zone it takes no account of walls.
func (s *search) bound(n node, dir int) int64 {
	at := s.spot(n)
	for i := range s.field.insets {
		if s.field.hasRoom[i] && s.field.insets[i].holds(at) {
			return s.onward(i, at, dir)
		}
	}
	return leastCost(at, dir, s.goal.node, s.goal.dir)
}

func distance(s, t spot) int64 {
	var far int64
	for a := range 3 {
		far += max(s[a].q-t[a].q, t[a].q-s[a].q)
	}
	return far
}

// leastCost is what a way would cost with nothing in between: Manhattan
// distance and the bends without which no way could arrive.
func leastCost(at spot, dir int, goal spot, last int) int64 {
	var far int64
	needs, count := 0, 0 // directions the way must still contain
	for a := range 3 {
		d := goal[a].q - at[a].q
		switch {
		case d > 0:
			needs, count, far = needs|1<<(2*a), count+1, far+d
		case d < 0:
			needs, count, far = needs|1<<(2*a+1), count+1, far-d
		}
	}
	return far + penalty*int64(fewestBends(needs, count, dir, last))
}

// fewestBends is a lower bound of the bends of a way that comes in direction
// dir, must go in each of count directions needs, and must leave the goal in
// direction last (or none).
func fewestBends(needs, count, dir, last int) int {
	free := dir == none || needs&(1<<dir) != 0 // the way may go on as it is
	switch {
	case last == none && free:
		return max(count-1, 0)
	case last == none:
		return count
	case count == 0 || needs == 1<<last: // only the last direction is left to go
		switch {
		case dir == none || dir == last:
			return 0
		case dir == last^1:
			return 2
		}
		return 1
	case needs&(1<<last) != 0:
		if dir != last && free {
			return count - 1
		}
		return count // dir is not needed, or must be left and come back to
	case free:
		return count
	}
	return count + 1
}
