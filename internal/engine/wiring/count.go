package wiring

import "math/big"

// spanningTrees is the number of spanning trees over n nodes with these pairs,
// by the matrix-tree theorem: any cofactor of the Laplacian. Bareiss's
// elimination keeps every step in whole numbers.
//
// Reference: G. Kirchhoff, Annalen der Physik 148 (1847); E. H. Bareiss,
// Mathematics of Computation 22 (1968). Both from memory.
func spanningTrees(n int, ends [][2]int) *big.Int {
	size := n - 1
	if size == 0 {
		return big.NewInt(1)
	}
	a := laplacian(size, ends)
	before := big.NewInt(1)
	var left, right big.Int
	for k := range size - 1 {
		// A Laplacian's leading minors count spanning forests, so a pivot of
		// zero means that nothing joins the first nodes to the rest.
		if a[k][k].Sign() == 0 {
			return new(big.Int)
		}
		for i := k + 1; i < size; i++ {
			for j := k + 1; j < size; j++ {
				left.Mul(a[i][j], a[k][k])
				right.Mul(a[i][k], a[k][j])
				a[i][j].Quo(left.Sub(&left, &right), before)
			}
		}
		before = a[k][k]
	}
	return a[size-1][size-1]
}

// laplacian leaves out the last node.
func laplacian(size int, ends [][2]int) [][]*big.Int {
	a := make([][]*big.Int, size)
	for i := range a {
		a[i] = make([]*big.Int, size)
		for j := range a[i] {
			a[i][j] = new(big.Int)
		}
	}
	one := big.NewInt(1)
	for _, e := range ends {
		for _, v := range e {
			if v < size {
				a[v][v].Add(a[v][v], one)
			}
		}
		if i, j := e[0], e[1]; i < size && j < size {
			a[i][j].Sub(a[i][j], one)
			a[j][i].Sub(a[j][i], one)
		}
	}
	return a
}

// rootedTrees is the number of trees of a rail times that of its roots, with
// no limit on cable ends.
func (r *Rail) rootedTrees(use []int) *big.Int {
	ends := make([][2]int, len(use))
	for k, i := range use {
		ends[k] = [2]int{r.Pairs[i].A, r.Pairs[i].B}
	}
	count := spanningTrees(len(r.Names), ends)
	return count.Mul(count, big.NewInt(int64(len(r.Roots))))
}

// within reports whether a count is at most limit.
func within(count *big.Int, limit int) bool { return count.Cmp(big.NewInt(int64(limit))) <= 0 }
