package wiring

import (
	"context"
	"math/rand/v2"
	"reflect"
	"testing"
)

// plainEntry is one wiring of the front by the plain loop.
type plainEntry struct {
	class              int64
	step               float64
	ties               uint64
	positive, negative Tree
}

// plainFront solves every wiring and leaves nothing out: no bound, no boxes, no
// rounds. It shares the solver and the ledger with Search, which brute_test.go
// holds against the full circuit.
func plainFront(t *testing.T, q *Question) (front []plainEntry) {
	t.Helper()
	b := newBank(q.Strings, q.Current, -1)
	s := &search{bank: b, cut: newCut()}
	size := triangle(len(b.active))
	var matrices [2][]float64
	for i, r := range []*Rail{&q.Positive, &q.Negative} {
		l := newLayout(r, b, everyPair(r))
		list, ok, err := listTrees(context.Background(), l, nil, 0, defaultTrees)
		if !ok || err != nil {
			t.Fatal("listing did not end", err)
		}
		s.rails[i] = &boxes{list: list}
		ps := newPaths(l)
		matrices[i] = make([]float64, list.len()*size)
		for k := range list.len() {
			ps.matrix(list.edges[k], int(list.root[k]), matrices[i][k*size:(k+1)*size])
		}
	}
	s.ledger.before = s.before
	solver := newSolver(b)
	for i, pc := range s.rails[0].copper {
		for k, nc := range s.rails[1].copper {
			step := inSteps(solver.imbalance(matrices[0][i*size:(i+1)*size], matrices[1][k*size:(k+1)*size]))
			class := micrometres(pc + nc)
			if step <= s.cut[s.cut.at(class, 0)].step+tolerance {
				s.ledger.add(class, found{step: step, count: 1, tree: [2]int32{int32(i), int32(k)}})
				s.cut.lower(class, step)
			}
		}
	}
	s.ledger.shed(s.cut)
	for _, e := range s.ledger.front() {
		w := mustEvaluate(t, *q, s.tree(e.found, 0), s.tree(e.found, 1))
		front = append(front, plainEntry{e.class, inSteps(w.Imbalance), e.count, w.Positive, w.Negative})
	}
	return front
}

// Search against the plain loop, where the oracle of the full circuit would
// take too long: all five-string banks, and in the long set all wirings of six.
func TestPlainLoop(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain loop is for the full run")
	}
	cases := []struct {
		name  string
		long  bool
		shape bankShape
		scale float64 // of all cable resistances; 0: as they are
	}{
		{"five", false, bankShape{n: 5, rows: 2, stud: true, jitter: 0.08, unequal: true}, 0},
		{"five in line, no jitter", false, bankShape{n: 5, rows: 1, stud: true}, 0},
		{"five, all unequal, charge", false, bankShape{n: 5, rows: 2, stud: true, jitter: 0.08, unequal: true, emfSpread: 0.1, capSpread: true, current: -50}, 0},
		{"five, thin cables", false, bankShape{n: 5, rows: 1, stud: true, jitter: 0.08, capSpread: true}, 100},
		{"five, one off", false, bankShape{n: 5, rows: 2, stud: true, jitter: 0.08, unequal: true, off: true}, 0},
		{"five, free take-off", false, bankShape{n: 5, rows: 1, any: true, jitter: 0.08, emfSpread: 0.05}, 10},
		{"six", true, bankShape{n: 6, rows: 2, stud: true, jitter: 0.08, unequal: true}, 0},
		{"six, no jitter", true, bankShape{n: 6, rows: 2, stud: true}, 0},
	}
	for k, c := range cases {
		if c.long && !long() {
			continue
		}
		t.Run(c.name, func(t *testing.T) {
			q := randomQuestion(rand.New(rand.NewPCG(55, uint64(k))), c.shape)
			for _, r := range []*Rail{&q.Positive, &q.Negative} {
				for i := range r.Pairs {
					r.Pairs[i].Resistance *= max(c.scale, 1)
				}
			}
			want, a := plainFront(t, &q), mustSearch(t, q)
			var got []plainEntry
			for _, w := range a.Front {
				got = append(got, plainEntry{micrometres(nanometres(w.Copper)), inSteps(w.Imbalance), w.Ties, w.Positive, w.Negative})
			}
			if !reflect.DeepEqual(got, want) {
				t.Errorf("front %+v\nthe plain loop has %+v", got, want)
			}
		})
	}
}
