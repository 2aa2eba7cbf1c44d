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

// target is where a way must come to: the point to go by or the goal, with the
// least that the way on from there can cost.
type target struct {
	node  spot
	dir   int // see terminal
	gates []gate
	rest  int64
}

// setTargets prepares the bounds; ok is false if the point to go by cannot be
// on a way at all.
func (s *search) setTargets(by *spot) (ok bool) {
	goal := &s.targets[1]
	goal.node, goal.dir, goal.rest = s.goal.node, s.goal.dir, 0
	goal.setGates(s.field)
	s.by = nil
	if by == nil {
		return true
	}
	n, t := s.find(*by, false), &s.targets[0]
	s.by = &n
	t.node, t.dir = *by, none
	t.rest = s.bound(s.after(n), none)
	t.setGates(s.field)
	return t.rest < unreachable && s.open(n)
}

// setGates works out the gates' costs for a target. Without them a bound would
// point straight through walls and the search would look at all of a room
// before it tried the hole.
func (t *target) setGates(f *field) {
	t.gates = append(t.gates[:0], f.gates...)
	for range t.gates { // the cheapest chain goes through no gate twice
		changed := false
		for i := range t.gates {
			g := &t.gates[i]
			rest := distance(g.mouth, g.exit) + t.onward(f, g.into, g.exit, g.dir)
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

// onward is the least that a way to the target and on can cost from a place in
// a room to which the cable came in direction dir.
func (t *target) onward(f *field, room int, at spot, dir int) int64 {
	if f.router.outer[room].holds(t.node) {
		return leastCost(at, dir, t.node, t.dir) + t.rest
	}
	least := int64(unreachable)
	for i := range t.gates {
		if g := &t.gates[i]; g.room == room && g.rest < unreachable {
			least = min(least, leastCost(at, dir, g.mouth, g.dir)+g.rest)
		}
	}
	return least
}

// bound is the least that a way from a state to the goal can cost. In a hole,
// in its mouth or on an end's way out of a zone it takes no account of walls.
func (s *search) bound(n node, dir int) int64 {
	at, t := s.spot(n), &s.targets[n[passed]]
	for i := range s.field.insets {
		if s.field.hasRoom[i] && s.field.insets[i].holds(at) {
			return t.onward(s.field, i, at, dir)
		}
	}
	return leastCost(at, dir, t.node, t.dir) + t.rest
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
