package route

// legChooser picks among all cheapest ways the one whose bends round off the
// most, so that the length of the cable does not hang on how ties happen to
// fall. It walks back from the goal, a leg at a time, over the costs that the
// search left behind.
type legChooser struct {
	*search
	start node
	known map[legKey]legChoice
}

// legKey is a state from which the way back is to be chosen, with how much of
// the leg that follows the corner there matters.
type legKey struct {
	at  node
	dir int
	out int64
}

// legChoice is the leg that leads to a state: where it starts, with what
// direction the cable came there, and how much all bends up to the state round
// off, as twice the sum of their radii.
type legChoice struct {
	from     node
	dir      int
	length   int64
	rounding int64
}

// choose gives the corners of the chosen way from start to goal.
func (c *legChooser) choose(s *search, start, goal node, cost int64) []spot {
	c.search, c.start = s, start
	if c.known == nil {
		c.known = map[legKey]legChoice{}
	}
	clear(c.known)
	at, best := goal, legChoice{rounding: -1}
	for dir := range dirs {
		known, ok := s.costs.get(s.key(goal, dir))
		last := s.goal.dir
		if !ok || last != none && dir == last^1 || known+c.bendCost(dir, last) != cost {
			continue
		}
		leg := legChoice{from: start, dir: none} // start and goal are one
		switch {
		case dir == none:
		case dir == last:
			leg = c.back(goal, dir, s.goal.stem, 0)
		case last == none:
			leg = c.back(goal, dir, 0, 0)
		default:
			leg = c.back(goal, dir, 0, s.goal.stem)
		}
		if leg.rounding > best.rounding {
			best = leg
		}
	}
	corners := []spot{s.spot(goal)}
	for leg := best; at != start; {
		at = leg.from
		corners = append(corners, s.spot(at))
		if leg.dir == none || at == start {
			break
		}
		leg = c.known[legKey{at, leg.dir, c.matters(leg.length)}]
	}
	for i, j := 0, len(corners)-1; i < j; i, j = i+1, j-1 {
		corners[i], corners[j] = corners[j], corners[i]
	}
	return corners
}

func (c *legChooser) bendCost(dir, next int) int64 {
	if dir == none || next == none || dir == next {
		return 0
	}
	return penalty
}

// matters cuts a leg to the length beyond which bends do not care.
func (c *legChooser) matters(length int64) int64 {
	return min(length, c.field.router.bends)
}

// back chooses the leg by which the cable came to a state. The leg goes on
// beyond it by tail; out is the length of the leg after the corner there, nil
// for no corner.
func (c *legChooser) back(n node, dir int, tail, out int64) legChoice {
	key := legKey{n, dir, c.matters(out)}
	if tail == 0 {
		if leg, ok := c.known[key]; ok {
			return leg
		}
	}
	best := legChoice{rounding: -1}
	consider := func(leg legChoice, before int64) {
		leg.rounding = before
		if out > 0 {
			leg.rounding += min(c.matters(out), leg.length)
		}
		if leg.rounding > best.rounding {
			best = leg
		}
	}
	cost, _ := c.costs.get(c.key(n, dir))
	for at, length := n, tail; ; {
		at = c.before(at, dir, cost)
		if at == c.start && cost == 0 && dir == c.grid.start.dir {
			consider(legChoice{from: at, dir: none, length: length + c.grid.start.stem}, 0)
			break
		}
		last, step, ok := c.step(at, dir^1)
		if !ok {
			break
		}
		at, length, cost = last, length+step, cost-step
		for turn := range dirs {
			if turn == dir || turn == dir^1 {
				continue
			}
			known, ok := c.costs.get(c.key(at, turn))
			if !ok || known+c.bendCost(turn, dir) != cost {
				continue
			}
			leg := legChoice{from: at, dir: turn, length: length}
			if turn == none {
				consider(leg, 0)
			} else {
				consider(leg, c.back(at, turn, 0, length).rounding)
			}
		}
		if known, ok := c.costs.get(c.key(at, dir)); !ok || known != cost {
			break
		}
	}
	if tail == 0 {
		c.known[key] = best
	}
	return best
}

// before takes a state at the point to go by back to when that had not been
// passed yet, if that is how it came about.
func (c *legChooser) before(n node, dir int, cost int64) node {
	if c.by == nil || n != c.after(*c.by) {
		return n
	}
	if known, ok := c.costs.get(c.key(*c.by, dir)); ok && known == cost {
		return *c.by
	}
	return n
}
