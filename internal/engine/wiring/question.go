package wiring

import (
	"errors"
	"fmt"
	"math"
)

const (
	// maxNodes is the most nodes a rail may have: node sets are the bits of a
	// uint64.
	maxNodes = 64
	// maxPairs is the most candidate pairs of one rail that Search lists trees
	// of: a listed tree is the set bits of a uint64. All pairs of eleven nodes
	// are 55.
	maxPairs = 64
	// maxLength bounds a pair's length in metres, so that sums of nanometres
	// stay far inside an int64.
	maxLength = 1e6
	// defaultTrees is the number of rooted trees a rail may have when
	// Budget.Trees is zero: just above the 8^6 = 262 144 of seven batteries.
	defaultTrees = 300_000
	// largestTrees caps Budget.Trees: positions in a list are kept in 32 bits.
	largestTrees = 1 << 30
)

// Pair is one place where a cable may go on a rail.
type Pair struct {
	A, B       int     // nodes of the rail, in any order
	Length     float64 // m, 0 or more
	Resistance float64 // ohm, 0 or more: the cable and both of its joints
}

// Rail is one side of the bank: its nodes and the cables it may have. A node
// is an index into Names. The take-off is an ordinary node: a stud or part end
// is a node whose entry in String is -1, a post that serves as take-off is the
// node of that post.
type Rail struct {
	// Names of the nodes, all different; they decide which of equal wirings is
	// kept.
	Names []string
	// String gives for each node the string whose post it is, -1 for a node
	// that is not a post. Every string has exactly one node on each rail.
	String []int
	// Roots are the nodes that may be the take-off: one, or every post where
	// the take-off is free.
	Roots []int
	// Pairs that may be joined, each unordered pair at most once. A pair that
	// is not listed cannot be routed.
	Pairs []Pair
	// Lugs is the most ends of this rail's cables on one node, 0 for no limit.
	Lugs int
}

// String is one battery, or a series of batteries, between the rails.
type String struct {
	Resistance float64 // ohm, above 0
	EMF        float64 // V
	Capacity   float64 // above 0, any one unit; only ratios count
	// Off says that the string carries no current; its posts stay joints. Its
	// other values are then not looked at.
	Off bool
}

// Budget bounds the work of Search.
type Budget struct {
	// Trees is the most rooted trees of one rail that are listed. 0 means
	// 300 000, enough for seven strings with a stud each. A rail with more is
	// searched in part, by 50 000 of its trees at nine nodes and fewer the
	// more nodes there are, see partTrees.
	Trees int
}

func (b Budget) trees() int {
	if b.Trees <= 0 {
		return defaultTrees
	}
	return min(b.Trees, largestTrees)
}

// partTrees is the most trees of a rail that are listed where not all can be:
// an answer that is not exact anyhow shall come in a second or two. With more
// nodes the bound rules out less and each solve takes longer, so the number
// falls with their fourth power (tried from 9 to 41 nodes).
func partTrees(nodes int) int {
	n := float64(max(nodes, 9)) / 9
	return max(int(50_000/(n*n*n*n)), 8*nodes)
}

// Question is what Search answers.
type Question struct {
	Strings            []String
	Positive, Negative Rail
	// Current at the take-off in A, positive on draw, negative on charge. It
	// must not be 0: shares of nothing mean nothing.
	Current float64
	Budget  Budget
	// Progress, if not nil, is called from the goroutine of Search as the work
	// goes on, with the number of trees of one rail that are dealt with and how
	// many there are.
	Progress func(done, total int)
}

// Tree is a choice of cables that joins all nodes of a rail, and its take-off.
type Tree struct {
	Pairs []int // indices into Rail.Pairs
	Root  int   // the node that is the take-off
}

// Check reports the first thing in q that Search or Evaluate cannot work with.
func (q *Question) Check() error {
	if !finite(q.Current) || q.Current == 0 {
		return fmt.Errorf("wiring: take-off current %v A: shares need a finite current other than 0", q.Current)
	}
	on := 0
	for i, s := range q.Strings {
		if s.Off {
			continue
		}
		on++
		if !finite(s.Resistance) || s.Resistance <= 0 {
			return fmt.Errorf("wiring: string %d: resistance %v ohm must be above 0", i, s.Resistance)
		}
		if !finite(s.Capacity) || s.Capacity <= 0 {
			return fmt.Errorf("wiring: string %d: capacity %v must be above 0", i, s.Capacity)
		}
		if !finite(s.EMF) {
			return fmt.Errorf("wiring: string %d: EMF %v V must be finite", i, s.EMF)
		}
	}
	if on == 0 {
		return errors.New("wiring: no string is on, so there are no shares to compare")
	}
	if err := q.Positive.check(len(q.Strings)); err != nil {
		return fmt.Errorf("wiring: positive rail: %w", err)
	}
	if err := q.Negative.check(len(q.Strings)); err != nil {
		return fmt.Errorf("wiring: negative rail: %w", err)
	}
	return nil
}

func (r *Rail) check(strings int) error {
	n := len(r.Names)
	if n > maxNodes {
		return fmt.Errorf("%d nodes, at most %d can be wired at once", n, maxNodes)
	}
	if r.Lugs < 0 {
		return fmt.Errorf("limit of %d cable ends on a node must be 0 (none) or more", r.Lugs)
	}
	if err := r.checkNodes(strings); err != nil {
		return err
	}
	if err := r.checkRoots(); err != nil {
		return err
	}
	return r.checkPairs()
}

func (r *Rail) checkNodes(strings int) error {
	if len(r.String) != len(r.Names) {
		return fmt.Errorf("%d names but %d entries that say which string a node belongs to", len(r.Names), len(r.String))
	}
	named := make(map[string]bool, len(r.Names))
	seen := make([]bool, strings)
	for node, name := range r.Names {
		if named[name] {
			return fmt.Errorf("two nodes are named %q", name)
		}
		named[name] = true
		s := r.String[node]
		if s < -1 || s >= strings {
			return fmt.Errorf("node %s belongs to string %d of %d", name, s, strings)
		}
		if s < 0 {
			continue
		}
		if seen[s] {
			return fmt.Errorf("string %d has a second node, %s", s, name)
		}
		seen[s] = true
	}
	for s, ok := range seen {
		if !ok {
			return fmt.Errorf("string %d has no node", s)
		}
	}
	return nil
}

func (r *Rail) checkRoots() error {
	if len(r.Roots) == 0 {
		return errors.New("no node may be the take-off: give at least one root")
	}
	var seen uint64
	for _, root := range r.Roots {
		if root < 0 || root >= len(r.Names) {
			return fmt.Errorf("root %d is not a node (%d nodes)", root, len(r.Names))
		}
		if seen&(1<<root) != 0 {
			return fmt.Errorf("root %s is given twice", r.Names[root])
		}
		seen |= 1 << root
	}
	return nil
}

func (r *Rail) checkPairs() error {
	var joined [maxNodes]uint64
	for i, p := range r.Pairs {
		if p.A < 0 || p.B < 0 || p.A >= len(r.Names) || p.B >= len(r.Names) {
			return fmt.Errorf("pair %d joins nodes %d and %d of %d", i, p.A, p.B, len(r.Names))
		}
		a, b := r.Names[p.A], r.Names[p.B]
		if p.A == p.B {
			return fmt.Errorf("pair %d joins %s to itself", i, a)
		}
		if joined[p.A]&(1<<p.B) != 0 {
			return fmt.Errorf("pair %s to %s is given twice", a, b)
		}
		joined[p.A] |= 1 << p.B
		joined[p.B] |= 1 << p.A
		if !(p.Length >= 0 && p.Length <= maxLength) {
			return fmt.Errorf("pair %s to %s: length %v m must be from 0 to %g", a, b, p.Length, float64(maxLength))
		}
		if !(p.Resistance >= 0) || math.IsInf(p.Resistance, 0) {
			return fmt.Errorf("pair %s to %s: resistance %v ohm must be 0 or more", a, b, p.Resistance)
		}
	}
	return nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
