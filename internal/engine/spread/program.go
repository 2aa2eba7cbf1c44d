package spread

import "slices"

// program is the solving of one graph, worked out once: which node goes when,
// and where each product is added. Builds differ only in their numbers, so
// that each of them runs the same few hundred steps.
//
// The method is that of package network, star-mesh elimination with the node of
// fewest neighbours first, one node of each connected part at zero: all sums
// are of positive numbers. Its refinement is left out, for a spread is not
// printed to more than a few digits.
type program struct {
	nodes int
	slots int     // conductances between pairs of nodes
	slot  []int32 // of each branch
	rows  []row   // in order of elimination
	edges []edge  // of all rows, one after the other
	mesh  []int32 // for each row and each two of its edges: the slot the product goes to
	still []int32 // nodes at zero, one a connected part
}

type row struct {
	node int32
	end  int32 // its edges are those from the previous row's end to here
}

type edge struct{ slot, to int32 }

// compile works out the program of a graph given by the two nodes of each
// branch.
func compile(nodes int, branches [][2]int32) *program {
	p := &program{nodes: nodes}
	near := make([]map[int32]int32, nodes) // slot by neighbour
	for v := range near {
		near[v] = map[int32]int32{}
	}
	join := func(a, b int32) int32 {
		s, known := near[a][b]
		if !known {
			s = int32(p.slots)
			near[a][b], near[b][a] = s, s
			p.slots++
		}
		return s
	}
	for _, b := range branches {
		p.slot = append(p.slot, join(b[0], b[1]))
	}
	p.still = lowestOfParts(nodes, branches)
	left := make([]bool, nodes)
	for v := range left {
		left[v] = !slices.Contains(p.still, int32(v))
	}
	for v := fewest(near, left); v >= 0; v = fewest(near, left) {
		left[v] = false
		p.eliminate(v, near, join)
	}
	return p
}

// fewest gives the node with the fewest neighbours, the lowest of equals, -1
// when none is left.
func fewest(near []map[int32]int32, left []bool) int32 {
	best := int32(-1)
	for v := range near {
		if left[v] && (best < 0 || len(near[v]) < len(near[best])) {
			best = int32(v)
		}
	}
	return best
}

// eliminate notes the steps for one node and takes it out of the graph.
func (p *program) eliminate(v int32, near []map[int32]int32, join func(a, b int32) int32) {
	var star []edge
	for to, slot := range near[v] {
		star = append(star, edge{slot, to})
		delete(near[to], v)
	}
	slices.SortFunc(star, func(a, b edge) int { return int(a.to - b.to) })
	for i := range star {
		for k := range i {
			p.mesh = append(p.mesh, join(star[k].to, star[i].to))
		}
	}
	p.edges = append(p.edges, star...)
	p.rows = append(p.rows, row{node: v, end: int32(len(p.edges))})
}

// lowestOfParts gives the lowest node of each connected part.
func lowestOfParts(nodes int, branches [][2]int32) []int32 {
	u := newUnion(nodes)
	for _, b := range branches {
		u.join(b[0], b[1])
	}
	var lowest []int32
	for v := range int32(nodes) {
		if u.root(v) == v {
			lowest = append(lowest, v)
		}
	}
	return lowest
}

// union is sets of nodes that grow together; the lowest stands for its set.
type union []int32

func newUnion(n int) union {
	u := make(union, n)
	for i := range u {
		u[i] = int32(i)
	}
	return u
}

func (u union) root(i int32) int32 {
	for u[i] != i {
		u[i] = u[u[i]]
		i = u[i]
	}
	return i
}

func (u union) join(a, b int32) {
	a, b = u.root(a), u.root(b)
	u[max(a, b)] = min(a, b)
}

// machine runs a program: the numbers of one build at a time.
type machine struct {
	*program
	conductance []float64 // by slot
	weight      []float64 // by edge: its part of the pivot
	pivot       []float64 // by row
}

func newMachine(p *program) *machine {
	return &machine{p, make([]float64, p.slots), make([]float64, len(p.edges)), make([]float64, len(p.rows))}
}

// factor takes the conductances of the branches, S, all above zero.
func (m *machine) factor(branch []float64) {
	clear(m.conductance)
	for i, g := range branch {
		m.conductance[m.slot[i]] += g
	}
	start, mesh := int32(0), m.mesh
	for r := range m.rows {
		end := m.rows[r].end
		edges, weights := m.edges[start:end], m.weight[start:end]
		pivot := 0.0
		for _, e := range edges {
			pivot += m.conductance[e.slot]
		}
		m.pivot[r] = pivot
		for i, e := range edges {
			g := m.conductance[e.slot]
			weights[i] = g / pivot
			for _, w := range weights[:i] {
				m.conductance[mesh[0]] += float64(w * g)
				mesh = mesh[1:]
			}
		}
		start = end
	}
}

// solve turns currents put into the nodes, A, into the potentials they give, V,
// in place, for several sets of currents at once: x holds sets values a node.
func (m *machine) solve(x []float64, sets int) {
	start := int32(0)
	for r := range m.rows {
		here := m.at(x, m.rows[r].node, sets)
		for i := start; i < m.rows[r].end; i++ {
			w, there := m.weight[i], m.at(x, m.edges[i].to, sets)
			for k, v := range here {
				there[k] += float64(w * v)
			}
		}
		start = m.rows[r].end
	}
	for _, v := range m.still {
		clear(m.at(x, v, sets))
	}
	for r := len(m.rows) - 1; r >= 0; r-- {
		here, start := m.at(x, m.rows[r].node, sets), int32(0)
		if r > 0 {
			start = m.rows[r-1].end
		}
		for k := range here {
			here[k] /= m.pivot[r]
		}
		for i := start; i < m.rows[r].end; i++ {
			w, there := m.weight[i], m.at(x, m.edges[i].to, sets)
			for k := range here {
				here[k] += float64(w * there[k])
			}
		}
	}
}

// at is a node's part of x.
func (m *machine) at(x []float64, node int32, sets int) []float64 {
	return x[int(node)*sets:][:sets]
}
