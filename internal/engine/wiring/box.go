package wiring

import (
	"math/bits"
	"sync"
)

// leafSize is the most trees in a box that is not split further.
const leafSize = 12

// boxes sorts the trees of a list into a binary tree of boxes by their centred
// row sums. Box i has the halves 2i+1 and 2i+2. Boxes on one level differ by at
// most one tree.
type boxes struct {
	*list
	levels int
	top    []float64  // stride values a box: the largest of each value of row
	low    []float64  // one value a string and box: its least centred row sum
	least  []int64    // least copper in the box, nm
	span   [][2]int32 // first tree of the box, and first after it
}

// newBoxes reorders the list.
func newBoxes(t *list) *boxes {
	b := &boxes{list: t}
	for t.len()>>b.levels > leafSize {
		b.levels++
	}
	b.top = make([]float64, (2<<b.levels)*t.stride)
	b.low = make([]float64, (2<<b.levels)*(t.stride-2))
	b.least = make([]int64, 2<<b.levels)
	b.span = make([][2]int32, 2<<b.levels)
	b.build(0, 0, 0, t.len())
	return b
}

// build splits box i, which holds trees lo to hi. The two halves touch
// different memory, so the first levels build side by side.
func (b *boxes) build(i, level, lo, hi int) {
	b.span[i] = [2]int32{int32(lo), int32(hi)}
	if level == b.levels {
		b.bound(i, lo, hi)
		return
	}
	mid := (lo + hi) / 2
	b.halve(b.widest(lo, hi), lo, mid, hi)
	if level < 3 {
		var wg sync.WaitGroup
		wg.Go(func() { b.build(2*i+1, level+1, lo, mid) })
		b.build(2*i+2, level+1, mid, hi)
		wg.Wait()
	} else {
		b.build(2*i+1, level+1, lo, mid)
		b.build(2*i+2, level+1, mid, hi)
	}
	b.join(i)
}

// corner is what no value of a tree in box i exceeds.
func (b *boxes) corner(i int) []float64 { return b.top[i*b.stride : (i+1)*b.stride] }

// floor is what no centred row sum of a tree in box i is below.
func (b *boxes) floor(i int) []float64 { return b.low[i*(b.stride-2) : (i+1)*(b.stride-2)] }

// level of box i; the whole is on level 0.
func level(i int) int { return bits.Len(uint(i+1)) - 1 }

// bound sets a leaf's limits from its trees.
func (b *boxes) bound(i, lo, hi int) {
	top, low := b.corner(i), b.floor(i)
	copy(top, b.row(lo))
	copy(low, b.row(lo))
	least := b.copper[lo]
	for k := lo + 1; k < hi; k++ {
		row := b.row(k)
		for d, x := range row {
			top[d] = max(top[d], x)
		}
		for d := range low {
			low[d] = min(low[d], row[d])
		}
		least = min(least, b.copper[k])
	}
	b.least[i] = least
}

// join sets a box's limits from its halves.
func (b *boxes) join(i int) {
	top, left, right := b.corner(i), b.corner(2*i+1), b.corner(2*i+2)
	for d := range top {
		top[d] = max(left[d], right[d])
	}
	low, left, right := b.floor(i), b.floor(2*i+1), b.floor(2*i+2)
	for d := range low {
		low[d] = min(left[d], right[d])
	}
	b.least[i] = min(b.least[2*i+1], b.least[2*i+2])
}

// widest is the row sum in which the trees lo to hi differ most.
func (b *boxes) widest(lo, hi int) int {
	var low, high [maxNodes]float64
	m := b.stride - 2
	copy(low[:m], b.row(lo))
	copy(high[:m], b.row(lo))
	for k := lo + 1; k < hi; k++ {
		for d, x := range b.row(k)[:m] {
			low[d] = min(low[d], x)
			high[d] = max(high[d], x)
		}
	}
	best := 0
	for d := 1; d < m; d++ {
		if high[d]-low[d] > high[best]-low[best] {
			best = d
		}
	}
	return best
}

// halve puts the trees so that none of lo..mid is larger in value d than any
// of mid..hi: selection by the middle of three.
func (b *boxes) halve(d, lo, mid, hi int) {
	at := func(k int) float64 { return b.vec[k*b.stride+d] }
	for hi-lo > 1 {
		x, y, z := at(lo), at((lo+hi)/2), at(hi-1)
		pivot := max(min(x, y), min(max(x, y), z))
		i, j := lo, hi-1
		for i <= j {
			for at(i) < pivot {
				i++
			}
			for at(j) > pivot {
				j--
			}
			if i <= j {
				b.swap(i, j)
				i++
				j--
			}
		}
		switch {
		case mid <= j:
			hi = j + 1
		case mid >= i:
			lo = i
		default:
			return
		}
	}
}

func (b *boxes) swap(i, j int) {
	if i == j {
		return
	}
	x, y := b.row(i), b.row(j)
	for d := range x {
		x[d], y[d] = y[d], x[d]
	}
	b.copper[i], b.copper[j] = b.copper[j], b.copper[i]
	b.edges[i], b.edges[j] = b.edges[j], b.edges[i]
	b.root[i], b.root[j] = b.root[j], b.root[i]
}
