package sky

// ring is a smooth course over a closed round of stretches, such as the twelve
// months, whose mean over each stretch is the one given: the derivative of the
// cubic spline through the sums. Area-matching splines, Boneva, Kendall and
// Stefanov 1971; de Boor, A Practical Guide to Splines, ch. VIII (from memory).
// A straight line between mid-month values would miss the means of the coldest
// and the hottest month by some 3 % of the year's swing.
type ring struct {
	edges  []float64 // of the stretches, one more than there are, rising
	mean   []float64
	course []float64 // value at each edge but the last, which is the first again
}

// smooth lays a ring through the means. Equal results on every machine: a fixed
// number of sweeps, each of which at least halves what is left to mend.
func smooth(edges, mean []float64) ring {
	const sweeps = 80 // 2⁻⁸⁰ is below the spacing of float64
	n := len(mean)
	r := ring{edges: edges, mean: mean, course: make([]float64, n)}
	for i := range n {
		r.course[i] = (mean[(i+n-1)%n] + mean[i]) / 2
	}
	for range sweeps {
		for i := range n {
			j := (i + n - 1) % n
			p, q := 1/(edges[j+1]-edges[j]), 1/(edges[i+1]-edges[i])
			want := 3 * (float64(mean[j]*p) + float64(mean[i]*q))
			side := float64(r.course[j]*p) + float64(r.course[(i+1)%n]*q)
			r.course[i] = (want - side) / (2 * (p + q))
		}
	}
	return r
}

// positive bends the course, where it has to be, so that it is nowhere below
// zero: each edge's value is held within 0 and three times the lesser of the
// means beside it (Fritsch and Carlson, SIAM J. Numer. Anal. 17, 1980; from
// memory). The means stay; no mean may be below 0.
func (r ring) positive() ring {
	n := len(r.mean)
	for i := range n {
		r.course[i] = min(max(r.course[i], 0), 3*min(r.mean[(i+n-1)%n], r.mean[i]))
	}
	return r
}

// until is the integral of the course from the first edge to x, which lies
// between the first edge and the last.
func (r ring) until(x float64) float64 {
	sum := 0.0
	n := len(r.mean)
	for i, m := range r.mean {
		low, high := r.edges[i], r.edges[i+1]
		if x >= high && i < n-1 {
			sum += float64(m * (high - low))
			continue
		}
		h := high - low
		t := (x - low) / h
		t2, t3 := t*t, t*t*t
		return sum + float64(h*(float64(r.course[i]*(t3-2*t2+t))+
			float64(m*(float64(3*t2)-2*t3))+float64(r.course[(i+1)%n]*(t3-t2))))
	}
	return sum
}

// over is the mean of the course between two places, from < to.
func (r ring) over(from, to float64) float64 {
	return (r.until(to) - r.until(from)) / (to - from)
}
