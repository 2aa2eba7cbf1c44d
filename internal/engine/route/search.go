package route

import "math"

// bendPenalty is what a bend costs in the choice between routes, in metres: a
// detour of up to 5 mm is taken to save a bend. Our choice: about what a tape
// measure along a cable run is off by.
const bendPenalty = 0.005

var penalty = lengthOf(bendPenalty).q

// search is one A* search with its memory, which is kept for the next. A state
// is a grid node with the direction in which the cable came to it.
type search struct {
	grid
	by      *node     // of the point to go by, as met before; nil for none
	targets [2]target // that point, if any, and the goal
	costs   costTable
	queue   []queued
	legs    legChooser
}

// queued is a state to look at: bound is its cost so far plus the least that
// must follow.
type queued struct {
	bound, cost int64
	at          node
	dir         int32
}

// between finds the cheapest way from start to goal, by a point unless that is
// nil, and gives its corners with both terminals' nodes. The cost is of legs
// and bends, the bend at the goal into its direction too; the stems count only
// for how well bends fit.
func (s *search) between(f *field, start terminal, by *spot, goal terminal) (corners []spot, ok bool) {
	s.set(f, start, by, goal)
	s.costs.reset()
	s.queue = s.queue[:0]
	first, last := s.find(start.node, by == nil), s.find(goal.node, true)
	if first != last && !s.open(last) || !s.setTargets(by) {
		return nil, false // or all else would be searched in vain
	}
	s.push(first, start.dir, 0)
	best := int64(math.MaxInt64)
	for len(s.queue) > 0 {
		q := s.pop()
		if q.bound > best {
			break
		}
		if known, _ := s.costs.get(s.key(q.at, int(q.dir))); known < q.cost {
			continue
		}
		if q.at == last && (goal.dir == none || int(q.dir) != goal.dir^1) {
			best = q.bound // the bound is exact here
		}
		s.expand(q)
	}
	if best == math.MaxInt64 {
		return nil, false
	}
	return s.legs.choose(s, first, last, best), true
}

// expand goes one grid step from a state in every direction but back; at the
// point to go by it only notes that this has been passed.
// All states up to the best cost are expanded, not only until the goal is
// reached, since the choice between equals needs them.
func (s *search) expand(q queued) {
	came := int(q.dir)
	if s.by != nil && q.at == *s.by {
		s.push(s.after(q.at), came, q.cost)
		return
	}
	for dir := range none {
		if came != none && dir == came^1 {
			continue
		}
		next, length, ok := s.step(q.at, dir)
		if !ok {
			continue
		}
		cost := q.cost + length
		if dir != came && came != none {
			cost += penalty
		}
		s.push(next, dir, cost)
	}
}

// after is the same node once the point to go by is passed.
func (s *search) after(n node) node {
	n[passed] = 1
	return n
}

// push queues a state if this is the cheapest way to it so far.
func (s *search) push(n node, dir int, cost int64) {
	if !s.costs.lower(s.key(n, dir), cost) {
		return
	}
	bound := s.bound(n, dir)
	if bound >= unreachable {
		return
	}
	s.queue = append(s.queue, queued{cost + bound, cost, n, int32(dir)})
	for i := len(s.queue) - 1; i > 0; {
		parent := (i - 1) / 2
		if !s.queue[i].first(s.queue[parent]) {
			break
		}
		s.queue[i], s.queue[parent] = s.queue[parent], s.queue[i]
		i = parent
	}
}

func (s *search) pop() queued {
	top, end := s.queue[0], len(s.queue)-1
	s.queue[0] = s.queue[end]
	s.queue = s.queue[:end]
	for i := 0; ; {
		child := 2*i + 1
		if child >= end {
			break
		}
		if child+1 < end && s.queue[child+1].first(s.queue[child]) {
			child++
		}
		if !s.queue[child].first(s.queue[i]) {
			break
		}
		s.queue[i], s.queue[child] = s.queue[child], s.queue[i]
		i = child
	}
	return top
}

// first orders the queue: least bound, then farthest along.
func (q queued) first(r queued) bool {
	return q.bound < r.bound || q.bound == r.bound && q.cost > r.cost
}

// costTable maps states to their least known cost: open addressing with linear
// probing; marks of an older generation count as empty, so that a reset costs
// nothing.
type costTable struct {
	slots      []slot
	used       int
	generation uint64
}

type slot struct {
	mark uint64 // generation<<40 | key
	cost int64
}

// keyBits is the room for a key in a mark: 2^40 states are a grid of over 5000
// coordinates on each axis.
const keyBits = 40

func (t *costTable) reset() {
	t.used = 0
	t.generation++
	if t.generation>>(64-keyBits) != 0 {
		t.generation = 1
		clear(t.slots)
	}
}

// at is the slot of a mark or the empty one where it belongs.
func (t *costTable) at(mark uint64) *slot {
	mask := uint64(len(t.slots) - 1)
	// Multiplying by 2^64 over the golden ratio spreads neighbouring keys
	// (Knuth, The Art of Computer Programming 3, section 6.4, from memory).
	for i := mark * 0x9E3779B97F4A7C15 >> 20 & mask; ; i = (i + 1) & mask {
		if s := &t.slots[i]; s.mark == mark || s.mark>>keyBits != t.generation {
			return s
		}
	}
}

// get gives the cost of a state; ok is false where there is none.
func (t *costTable) get(key uint64) (cost int64, ok bool) {
	if len(t.slots) == 0 {
		return 0, false
	}
	mark := t.generation<<keyBits | key
	s := t.at(mark)
	return s.cost, s.mark == mark
}

// lower sets the cost of a state if that is lower than what was known.
func (t *costTable) lower(key uint64, cost int64) bool {
	if 2*t.used >= len(t.slots) {
		t.grow()
	}
	mark := t.generation<<keyBits | key
	s := t.at(mark)
	if s.mark == mark {
		if cost >= s.cost {
			return false
		}
	} else {
		t.used++
	}
	*s = slot{mark, cost}
	return true
}

func (t *costTable) grow() {
	old := t.slots
	t.slots = make([]slot, max(1024, 2*len(old)))
	for _, s := range old {
		if s.mark>>keyBits == t.generation {
			*t.at(s.mark) = s
		}
	}
}
