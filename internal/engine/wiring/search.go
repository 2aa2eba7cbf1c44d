package wiring

import (
	"cmp"
	"context"
	"fmt"
	"math/big"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
)

// Answer is what Search found.
type Answer struct {
	// Space is the number of wirings of the question: rooted trees of one rail
	// times those of the other, after the limits on cable ends.
	Space *big.Int
	// SpaceNote is not empty where Space is not that number, and says why.
	SpaceNote string
	// Examined is the number of wirings that the front is exact for: Space
	// where Exact, else those that use only PositiveUsed and NegativeUsed.
	Examined *big.Int
	// Exact says that no wiring of the question was left out.
	Exact bool
	// Solved is the number of wirings solved; the bound rules out the others.
	// It is the same on every run and for any number of processors.
	Solved uint64
	// PositiveUsed and NegativeUsed are the indices of the pairs of each rail
	// that the examined wirings may use: all of them where Exact.
	PositiveUsed, NegativeUsed []int
	// Smaller says, where not Exact, what would make the question smaller.
	Smaller string
	// Front is in order of copper, the imbalance going down.
	Front []Wiring
}

// Search returns the front over copper and imbalance of all wirings of q.
//
// Copper is summed in whole nanometres and compared in classes of whole
// micrometres, so that equality is exact and holds through a chain of
// comparisons. Imbalance is compared to 1e-9: of a class the least imbalance
// counts, wirings within 1e-9 of it are equal to it, and the class is on the
// front if it is better by more than 1e-9 than the class before it on the
// front. Of equal wirings the front has the one whose edges come first: each
// edge written with its two node names, the lesser first, an edge list sorted,
// the positive list compared before the negative one, then the name of the
// positive root, then that of the negative one. Strings are compared as plain
// bytes.
//
// Where a rail has more trees than the budget allows, the answer is the exact
// front of the wirings that use its best candidate pairs, and says so.
//
// The error says what is wrong with q, that no tree joins a rail, or that ctx
// was cancelled.
func Search(ctx context.Context, q Question) (Answer, error) {
	if err := q.Check(); err != nil {
		return Answer{}, err
	}
	b := newBank(q.Strings, q.Current, -1)
	s := &search{bank: b}
	if err := s.listBoth(ctx, &q); err != nil {
		return Answer{}, fmt.Errorf("wiring: %w", err)
	}
	if err := s.run(ctx, q.Progress); err != nil {
		return Answer{}, fmt.Errorf("wiring: %w", err)
	}
	a := s.answer()
	for _, e := range s.ledger.front() {
		w, err := Evaluate(&q, s.tree(e.found, 0), s.tree(e.found, 1))
		if err != nil {
			return Answer{}, err
		}
		w.Ties = e.count
		a.Front = append(a.Front, w)
	}
	return a, nil
}

// search pairs the trees of the two rails.
type search struct {
	*bank
	sides  [2]*side // positive, negative
	rails  [2]*boxes
	cut    cut
	ledger ledger
	solved uint64
}

// listBoth lists the trees of both rails and sorts them into boxes, side by
// side.
func (s *search) listBoth(ctx context.Context, q *Question) error {
	base := make([]float64, len(s.active))
	for i := range base {
		base[i] = float64(s.r[i] * s.weight[i])
	}
	offsets := [2][]float64{base, nil}
	var errs [2]error
	var wg sync.WaitGroup
	for i, r := range []*Rail{&q.Positive, &q.Negative} {
		wg.Go(func() {
			s.sides[i], errs[i] = newSide(ctx, r, s.bank, offsets[i], q.Budget.trees())
			if errs[i] == nil {
				s.rails[i] = newBoxes(s.sides[i].list)
			}
		})
	}
	wg.Wait()
	for i, name := range []string{"positive rail", "negative rail"} {
		if errs[i] != nil {
			return fmt.Errorf("%s: %w", name, errs[i])
		}
	}
	s.ledger.before = s.before
	s.cut = newCut()
	return ctx.Err()
}

// before is the order of equal wirings.
func (s *search) before(f, g found) bool {
	for i, b := range s.rails {
		if first, same := b.precedes(int(f.tree[i]), int(g.tree[i])); !same {
			return first
		}
	}
	for i, b := range s.rails {
		x, y := b.rootRank[b.root[f.tree[i]]], b.rootRank[b.root[g.tree[i]]]
		if x != y {
			return x < y
		}
	}
	return false
}

// tree gives one tree of a wiring.
func (s *search) tree(f found, side int) Tree {
	b := s.rails[side]
	return b.tree(b.edges[f.tree[side]], int(b.root[f.tree[side]]))
}

// The positive trees are handed out in boxes, and boxes in rounds. All boxes
// of a round start from the same cut and are merged in their order, so what is
// solved does not depend on which processor was quicker. The sizes are a
// trade: long rounds keep the processors busy, short ones spread the cut.
const (
	taskLevel   = 8 // of the boxes that are handed out
	firstRound  = 4 // boxes
	longestRise = 64
)

func (s *search) run(ctx context.Context, progress func(done, total int)) error {
	s.seed()
	tasks := s.tasks()
	size := firstRound
	for done := 0; done < len(tasks); {
		end := min(done+size, len(tasks))
		if err := s.round(ctx, tasks[done:end]); err != nil {
			return err
		}
		done = end
		size = min(2*size, longestRise)
		if progress != nil {
			progress(done, len(tasks))
		}
	}
	return nil
}

// tasks are the boxes of one level, those with the shortest trees first: what
// they find cuts the most.
func (s *search) tasks() []int {
	b := s.rails[0]
	first := 1<<min(taskLevel, b.levels) - 1
	tasks := make([]int, first+1)
	for i := range tasks {
		tasks[i] = first + i
	}
	slices.SortStableFunc(tasks, func(i, j int) int { return cmp.Compare(b.least[i], b.least[j]) })
	return tasks
}

// round deals with some boxes on all processors.
func (s *search) round(ctx context.Context, tasks []int) error {
	results := make([]*worker, len(tasks))
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(tasks)) {
		wg.Go(func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= len(tasks) {
					return
				}
				w := newWorker(s)
				if !w.pairs(ctx, tasks[i]) {
					return
				}
				results[i] = w
			}
		})
	}
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return err
	}
	for _, w := range results {
		s.ledger.merge(&w.ledger)
		s.solved += w.solved
		s.cut.take(w.cut)
	}
	s.ledger.shed(s.cut)
	return nil
}
