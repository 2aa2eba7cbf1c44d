package wiring

import (
	"cmp"
	"context"
	"fmt"
	"math/big"
	"slices"
	"sort"
)

// side is one rail with the trees that are searched.
type side struct {
	rail  *Rail
	use   []int    // candidate pairs, indices into rail.Pairs
	space *big.Int // rooted trees of the whole rail
	bound bool     // space does not allow for the limit on cable ends
	whole bool     // every tree of the rail is listed
	list  *list
}

// newSide lists the trees of a rail, all of them where the budget allows it.
func newSide(ctx context.Context, r *Rail, b *bank, offset []float64, limit int) (*side, error) {
	s := &side{rail: r, use: everyPair(r)}
	if err := r.checkConnected(); err != nil {
		return nil, err
	}
	s.space = r.rootedTrees(s.use)
	if len(s.use) <= maxPairs && (r.Lugs > 0 || within(s.space, limit)) {
		return s, s.listWhole(ctx, b, offset, limit)
	}
	return s, s.listPart(ctx, b, offset, limit)
}

// size counts the trees of some pairs, so that a list need not grow: ok is
// false where there are more than limit. With a limit on cable ends only a
// walk can tell, which takes far less than making the list.
func (s *side) size(ctx context.Context, l *layout, use []int, limit int) (count int, ok bool) {
	if s.rail.Lugs > 0 {
		return countTrees(ctx, l, limit)
	}
	trees := s.rail.rootedTrees(use)
	return int(trees.Int64()), within(trees, limit)
}

func everyPair(r *Rail) []int {
	use := make([]int, len(r.Pairs))
	for i := range use {
		use[i] = i
	}
	return use
}

func (s *side) listWhole(ctx context.Context, b *bank, offset []float64, limit int) error {
	l := newLayout(s.rail, b, s.use)
	size, ok := s.size(ctx, l, s.use, limit)
	if err := ctx.Err(); err != nil {
		return err
	}
	if !ok {
		return s.listPart(ctx, b, offset, limit)
	}
	t, _, err := listTrees(ctx, l, offset, size, limit)
	if err != nil {
		return err
	}
	if t.len() == 0 {
		return fmt.Errorf("no tree keeps to %d cable ends a node: raise the limit or give more pairs", s.rail.Lugs)
	}
	s.list, s.whole = t, true
	s.space = big.NewInt(int64(t.len()))
	return nil
}

// listPart lists the trees of the best candidate pairs: a short tree that
// keeps to the limit on cable ends, then for each node its shortest pair, then
// its second, and so on as long as the trees stay within the budget.
func (s *side) listPart(ctx context.Context, b *bank, offset []float64, limit int) error {
	s.bound = s.rail.Lugs > 0
	limit = min(limit, partTrees(len(s.rail.Names)))
	base, err := s.rail.shortTree(ctx)
	if err != nil {
		return err
	}
	if len(base) > maxPairs {
		return fmt.Errorf("%d nodes, at most %d can be searched", len(s.rail.Names), maxPairs+1)
	}
	order := s.rail.byMerit(base)
	// The count only grows with the pairs, so the most that fit can be found
	// by halving.
	most := min(len(order), maxPairs)
	extra := sort.Search(most-len(base), func(k int) bool {
		return !s.fits(ctx, b, order[:len(base)+k+1], limit)
	})
	s.use = order[:len(base)+extra]
	l := newLayout(s.rail, b, s.use)
	size, ok := s.size(ctx, l, s.use, limit)
	if err := ctx.Err(); err != nil {
		return err
	}
	if !ok || size == 0 {
		return fmt.Errorf("a budget of %d trees is below the roots of this rail: raise it", limit)
	}
	s.list, _, err = listTrees(ctx, l, offset, size, limit)
	return err
}

// fits reports whether these pairs give no more trees than the budget. With a
// limit on cable ends only listing can tell.
func (s *side) fits(ctx context.Context, b *bank, use []int, limit int) bool {
	if within(s.rail.rootedTrees(use), limit) {
		return true
	}
	if s.rail.Lugs == 0 {
		return false
	}
	_, ok := countTrees(ctx, newLayout(s.rail, b, use), limit)
	return ok
}

// byLength sorts pairs from short to long, equal ones by name.
func (r *Rail) byLength() []int {
	order := rankPairs(r, everyPair(r))
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(r.Pairs[i].Length, r.Pairs[j].Length) })
	return order
}

// byMerit puts the base first, then every pair by the best place it has among
// the pairs of either of its nodes, then by length.
func (r *Rail) byMerit(base []int) []int {
	order := r.byLength()
	seen := make([]int, len(r.Names))
	place := make([]int, len(r.Pairs))
	for _, i := range order {
		p := r.Pairs[i]
		place[i] = min(seen[p.A], seen[p.B])
		seen[p.A]++
		seen[p.B]++
	}
	for _, i := range base {
		place[i] = -1
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(place[i], place[j]) })
	return order
}

// shortTree joins all nodes by taking the shortest pairs that close no loop
// and keep to the limit on cable ends. With every pair there and a limit of two
// or more this always ends in a tree; where pairs are missing it may not, and
// then the first tree that a walk from short to long pairs meets is taken.
func (r *Rail) shortTree(ctx context.Context) ([]int, error) {
	var comp [maxNodes]int
	for v := range comp {
		comp[v] = v
	}
	var degree [maxNodes]int
	var tree []int
	order := r.byLength()
	for _, i := range order {
		a, b := r.Pairs[i].A, r.Pairs[i].B
		if comp[a] == comp[b] || (r.Lugs > 0 && max(degree[a], degree[b]) >= r.Lugs) {
			continue
		}
		tree = append(tree, i)
		degree[a]++
		degree[b]++
		from, to := comp[b], comp[a]
		for v := range comp {
			if comp[v] == from {
				comp[v] = to
			}
		}
	}
	if len(tree) == len(r.Names)-1 {
		return tree, nil
	}
	return r.firstTree(ctx, order[:min(len(order), maxPairs)])
}

// firstTree walks through the given pairs until a tree is complete.
func (r *Rail) firstTree(ctx context.Context, order []int) ([]int, error) {
	l := &layout{nodes: len(r.Names), lugs: r.Lugs, ranked: order}
	for _, i := range order {
		l.ends = append(l.ends, [2]int{r.Pairs[i].A, r.Pairs[i].B})
		l.length = append(l.length, 0)
	}
	w := newLister(ctx, l, defaultTrees)
	var found []int
	w.emit = func(edges uint64, _ int64) bool {
		found = l.tree(edges, 0).Pairs
		return false
	}
	w.walk(0, l.nodes-1)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if found == nil {
		return nil, fmt.Errorf("found no tree that keeps to %d cable ends a node: raise the limit or give more pairs", r.Lugs)
	}
	return found, nil
}
