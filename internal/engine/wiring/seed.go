package wiring

// seedTrees is how many trees of each rail the first look takes, seedSolves
// about how many wirings may be solved to make its findings better. Neither
// changes the answer, only how soon the cut is sharp.
const (
	seedTrees  = 96
	seedSolves = 20_000
)

// seeder looks for good wirings before the search proper, for the sake of the
// cut. They are found again later, so nothing is kept but which trees the cut
// is made of.
type seeder struct {
	*worker
	best map[int64][2]int // class -> trees
	done [2]map[int]bool  // trees that were tried against all others
}

// seed tries some trees of one rail with some of the other, then each tree of
// a good wiring with all trees of the other rail, as long as that helps.
func (s *search) seed() {
	d := seeder{newWorker(s), map[int64][2]int{}, [2]map[int]bool{{}, {}}}
	spread(s.rails[0].len(), func(i int) {
		spread(s.rails[1].len(), func(k int) { d.glance(i, k) })
	})
	for d.exchange() {
	}
	s.solved += d.solved
	s.cut = d.cut
}

// spread calls do for some of n, evenly apart.
func spread(n int, do func(i int)) {
	for i := range min(n, seedTrees) {
		do(i * n / min(n, seedTrees))
	}
}

// exchange tries every tree that the cut is made of, once. false says that
// there was no new one, or that enough has been solved.
func (d *seeder) exchange() bool {
	var points [][2]int
	for _, c := range d.cut[1:] {
		if trees, ok := d.best[c.class]; ok && c.eps != never {
			points = append(points, trees)
		}
	}
	fresh := false
	for _, trees := range points {
		for side, tree := range trees {
			if d.solved < seedSolves && !d.done[side][tree] {
				d.done[side][tree] = true
				d.sweep(side, tree)
				fresh = true
			}
		}
	}
	return fresh
}

// sweep tries one tree with all trees of the other rail.
func (d *seeder) sweep(side, tree int) {
	mine, other := d.rails[side], d.rails[1-side]
	row, copper := mine.row(tree), mine.copper[tree]
	stack := []int{0}
	for len(stack) > 0 && d.solved < seedSolves {
		box := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		at := d.cutAt(micrometres(copper+other.least[box]), 0)
		eps := d.cut[at].eps
		reach := d.mayHold(row, other.corner(box), eps)
		if reach < 0 || !d.balances(row, other.floor(box), eps, reach) {
			continue
		}
		if level(box) < other.levels {
			stack = append(stack, 2*box+2, 2*box+1)
			continue
		}
		for k := int(other.span[box][0]); k < int(other.span[box][1]); k++ {
			pair := [2]int{tree, k}
			if side == 1 {
				pair = [2]int{k, tree}
			}
			d.glance(pair[0], pair[1])
		}
	}
}

// glance solves a wiring if the bound lets it be better than what is known.
func (d *seeder) glance(i, k int) {
	p, n := d.rails[0], d.rails[1]
	class := micrometres(p.copper[i] + n.copper[k])
	at := d.cutAt(class, 0)
	if d.mayHold(p.row(i), n.row(k), d.cut[at].eps) < 0 {
		return
	}
	if step := d.solve(i, k); step < d.cut[at].step {
		d.cut.lower(class, step)
		d.best[class] = [2]int{i, k}
	}
}
