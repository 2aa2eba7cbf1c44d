package network

import "fmt"

// The graph under elimination. Each node not yet eliminated has a linked list
// of half-edges; a conductance is kept twice, once at each end. Grounded nodes
// are never eliminated, so they have no list: only others point at them.
//
// An eliminated node, and a second half-edge to the same neighbour, are removed
// from a short list at once. A long list (a hub) is not walked for every leaf
// that goes: it may hold both until half of it is stale, and is tidied then.
// That is what keeps a hub of n leaves at n steps instead of n².

// none ends a list.
const none = -1

// eliminated stands in vertex.size for a node that is gone.
const eliminated = -1

// limits are the two choices a test may want to make otherwise.
type limits struct {
	hub    int // longest list that is kept tidy at every step
	stored int // most half-edges and entries together, for bounded memory
}

// Both from trials here. hub: anywhere from 4 to 1024 took the same time for
// 100 000 batteries in a ladder, star, ring or on two buses. stored: at 16 bytes
// each 256 MB, fifteen times what a ladder of 100 000 batteries takes.
var defaultLimits = limits{hub: 64, stored: 1 << 24}

// halfEdge is a conductance as seen from one of its two ends.
type halfEdge struct {
	conductance float64 // S
	to          int32   // the other end
	next        int32   // half-edge of the same node, or none
}

// vertex is a node of the graph and its place in the queue.
type vertex struct {
	head  int32 // first half-edge, or none
	size  int32 // half-edges in the list, or eliminated
	stale int32 // of these, no fewer than the ones to be removed
	mark  int32 // scratch, zero between uses

	bucket     int32 // queued under this number of neighbours
	prev, next int32 // in the bucket, or none
}

// star is one neighbour of the node that is being eliminated.
type star struct {
	conductance float64
	weight      float64 // conductance over the sum of the star
	to          int32
	seen        int32 // last star point already joined to this one
	grounded    bool
}

type graph struct {
	vertices []vertex
	half     []halfEdge
	free     int32 // first unused half-edge, or none
	star     []star
	limits   limits

	buckets []int32 // first node of each bucket, or none
	lowest  int     // no bucket below has a node
}

// eliminateAll fills rows and entries. Nodes with the fewest neighbours go
// first; of equals, the one touched last, and before that the lowest number: a
// chain is so worked through from end to end.
func (f *Factor) eliminateAll(lim limits) error {
	g := newGraph(f, lim)
	f.rows = make([]row, 0, len(f.ground))
	f.entries = make([]entry, 0, len(f.links))
	for v := g.pop(); v != none; v = g.pop() {
		pivot := g.takeStar(v, f.ground)
		for _, s := range g.star {
			if !s.grounded { // potential zero: adds nothing
				f.entries = append(f.entries, entry{s.weight, s.to})
			}
		}
		f.rows = append(f.rows, row{pivot: pivot, end: len(f.entries), node: v})
		if stored := len(g.half) + len(f.entries); stored > lim.stored {
			return fmt.Errorf("network: %d nodes are joined so densely that solving them takes more than %d stored numbers; divide the network",
				len(f.ground), lim.stored)
		}
		g.meshStar()
	}
	return nil
}

func newGraph(f *Factor, lim limits) *graph {
	g := &graph{
		vertices: make([]vertex, len(f.ground)),
		half:     make([]halfEdge, 0, 2*len(f.links)),
		free:     none,
		star:     make([]star, 0, 16),
		limits:   lim,
		buckets:  make([]int32, 0, 16),
	}
	for v := range g.vertices {
		g.vertices[v].head = none
	}
	for _, l := range f.links {
		if l.from != f.ground[l.from] {
			g.push(l.from, l.to, l.conductance)
		}
		if l.to != f.ground[l.to] {
			g.push(l.to, l.from, l.conductance)
		}
	}
	for v := len(g.vertices) - 1; v >= 0; v-- { // downwards: the lowest number ends up in front
		if int32(v) != f.ground[v] {
			g.tidy(int32(v)) // parallel branches become one
			g.enqueue(int32(v))
		}
	}
	return g
}

// push puts a half-edge at the head of a node's list.
func (g *graph) push(v, to int32, conductance float64) {
	p := &g.vertices[v]
	e := halfEdge{conductance: conductance, to: to, next: p.head}
	if at := g.free; at != none {
		g.free = g.half[at].next
		g.half[at] = e
		p.head = at
	} else {
		p.head = int32(len(g.half))
		g.half = append(g.half, e)
	}
	p.size++
}

// drop puts a half-edge that no list holds any more among the unused.
func (g *graph) drop(at int32) {
	g.half[at].next = g.free
	g.free = at
}

// tidy removes eliminated neighbours from a node's list and merges half-edges
// to the same neighbour. Marks must be zero, and are left so.
func (g *graph) tidy(v int32) {
	p := &g.vertices[v]
	at := &p.head
	for *at != none {
		e := &g.half[*at]
		to := &g.vertices[e.to]
		if to.size != eliminated && to.mark == 0 {
			to.mark = *at + 1
			at = &e.next
			continue
		}
		if to.size != eliminated {
			g.half[to.mark-1].conductance += e.conductance
		}
		gone := *at
		*at = e.next
		g.drop(gone)
		p.size--
	}
	for i := p.head; i != none; i = g.half[i].next {
		g.vertices[g.half[i].to].mark = 0
	}
	p.stale = 0
}

// takeStar takes a node out of the graph and its half-edges into g.star, and
// returns their sum, the pivot.
func (g *graph) takeStar(v int32, ground []int32) float64 {
	p := &g.vertices[v]
	g.star = g.star[:0]
	sum := 0.0
	for i := p.head; i != none; {
		e := g.half[i]
		g.drop(i)
		g.star = append(g.star, star{conductance: e.conductance, to: e.to, grounded: ground[e.to] == e.to})
		sum += e.conductance
		i = e.next
	}
	p.head, p.size = none, eliminated
	for i := range g.star {
		g.star[i].weight = g.star[i].conductance / sum
	}
	return sum
}

// meshStar joins the neighbours of the node just taken to one another.
func (g *graph) meshStar() {
	short := int32(g.limits.hub + 4*len(g.star)) // to walk a list costs no more than the mesh does, or little
	for _, s := range g.star {
		if p := &g.vertices[s.to]; p.stale > 0 && p.size <= short {
			g.tidy(s.to)
		}
	}
	for i, s := range g.star {
		g.vertices[s.to].mark = int32(i) + 1
	}
	for i, s := range g.star {
		switch {
		case s.grounded:
		case g.vertices[s.to].size <= short:
			g.joinShort(i)
		default:
			g.joinLong(i)
		}
	}
	for _, s := range g.star {
		g.vertices[s.to].mark = 0
	}
	for _, s := range g.star {
		g.settle(s)
	}
}

// joinShort joins star point i to the others, adding to a half-edge that is
// there already, and removes the one to the eliminated node.
func (g *graph) joinShort(i int) {
	s := g.star[i]
	p := &g.vertices[s.to]
	stamp := int32(i) + 1
	for at := &p.head; *at != none; {
		e := &g.half[*at]
		to := &g.vertices[e.to]
		if to.size == eliminated {
			gone := *at
			*at = e.next
			g.drop(gone)
			p.size--
			continue
		}
		if to.mark != 0 {
			other := &g.star[to.mark-1]
			other.seen = stamp
			e.conductance += float64(s.conductance * other.weight)
		}
		at = &e.next
	}
	for j, other := range g.star {
		if j != i && other.seen != stamp {
			g.push(s.to, other.to, float64(s.conductance*other.weight))
		}
	}
}

// joinLong does the same without walking the list: whatever is there twice now,
// and the half-edge to the eliminated node, count as stale.
func (g *graph) joinLong(i int) {
	s := g.star[i]
	for j, other := range g.star {
		if j != i {
			g.push(s.to, other.to, float64(s.conductance*other.weight))
		}
	}
	g.vertices[s.to].stale += int32(len(g.star))
}

// settle queues a star point under its new number of neighbours, tidying a list
// that has become half stale: each stale half-edge pays for one live one.
func (g *graph) settle(s star) {
	if s.grounded {
		return
	}
	p := &g.vertices[s.to]
	if 2*int64(p.stale) > int64(p.size) {
		g.tidy(s.to)
	}
	if p.size != p.bucket {
		g.dequeue(s.to)
		g.enqueue(s.to)
	}
}

// enqueue puts a node in front of the bucket for its number of neighbours. For
// a hub that number is too high by up to a factor of two; hubs go last anyway.
func (g *graph) enqueue(v int32) {
	p := &g.vertices[v]
	for int(p.size) >= len(g.buckets) {
		g.buckets = append(g.buckets, none)
	}
	first := g.buckets[p.size]
	p.bucket, p.prev, p.next = p.size, none, first
	if first != none {
		g.vertices[first].prev = v
	}
	g.buckets[p.size] = v
	g.lowest = min(g.lowest, int(p.size))
}

func (g *graph) dequeue(v int32) {
	p := &g.vertices[v]
	if p.prev != none {
		g.vertices[p.prev].next = p.next
	} else {
		g.buckets[p.bucket] = p.next
	}
	if p.next != none {
		g.vertices[p.next].prev = p.prev
	}
}

// pop takes the node with the fewest neighbours out of the queue, its list
// tidy; none when the queue is empty.
func (g *graph) pop() int32 {
	for g.lowest < len(g.buckets) {
		v := g.buckets[g.lowest]
		if v == none {
			g.lowest++
			continue
		}
		g.dequeue(v)
		if g.vertices[v].stale == 0 {
			return v
		}
		g.tidy(v)
		g.enqueue(v)
	}
	return none
}
