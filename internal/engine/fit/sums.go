package fit

// sums are the normal equations of a log for many time constants at once:
// sums of products of its columns over the rows inside. The columns are the
// current, the slow current of each time constant, the lean, and the knots of
// a fitted curve. With all of them at hand any choice of time constants is a
// small system, and the log is gone through once a grid.
type sums struct {
	taus   []float64
	g      [][]float64 // symmetric
	b      []float64   // with target
	square float64     // of target
	rows   int
}

// The columns.
func (s *sums) lean() int               { return 1 + len(s.taus) }
func (s *sums) knots() int              { return 2 + len(s.taus) }
func (s *sums) slow(k int) int          { return 1 + k }
func (s *sums) add(i, j int, v float64) { s.g[max(i, j)][min(i, j)] += v }

func (t *task) gather(taus []float64) *sums {
	s := &sums{taus: taus}
	n := s.knots() + len(t.knots)
	s.b = make([]float64, n)
	for range n {
		s.g = append(s.g, make([]float64, n))
	}
	column := make([]float64, s.knots())
	slow := newSlow(taus)
	for k, current := range t.log.Current {
		if k > 0 {
			slow.advance(t.log.Current[k-1], current, t.log.Time[k]-t.log.Time[k-1])
		}
		if !t.inside(k) || k%t.every != 0 {
			continue
		}
		s.rows++
		column[0] = current
		copy(column[1:], slow.x)
		column[s.lean()] = -t.lean[k]
		s.row(column, t.target[k])
		if t.knots != nil {
			s.curve(column, t, k)
		}
	}
	for i := range s.g {
		for j := range i {
			s.g[j][i] = s.g[i][j]
		}
	}
	if t.knots != nil {
		s.toRises()
	}
	return s
}

func (s *sums) row(column []float64, target float64) {
	for i, a := range column {
		to := s.g[i][:i+1]
		for j := range to {
			to[j] += float64(a * column[j])
		}
		s.b[i] += float64(a * target)
	}
	s.square += float64(target * target)
}

// curve adds a row's two knots: the voltage between them is a straight line.
func (s *sums) curve(column []float64, t *task, k int) {
	at, on := t.knot(t.charge[k])
	low, high := s.knots()+at, s.knots()+at+1
	for _, one := range []struct {
		col  int
		part float64
	}{{low, on - 1}, {high, -on}} {
		for j, v := range column {
			s.add(one.col, j, one.part*v)
		}
		s.b[one.col] += float64(one.part * t.target[k])
	}
	s.add(low, low, (on-1)*(on-1))
	s.add(high, high, on*on)
	s.add(low, high, on*(1-on))
}

// toRises changes the knots' unknowns from volts to the first knot's volts and
// the rise from each knot to the next, so that a curve that never falls is one
// without values below zero. The column of a rise is the sum of all knots'
// from there on.
func (s *sums) toRises() {
	first, last := s.knots(), len(s.b)-1
	for i := last - 1; i >= first; i-- {
		s.b[i] += s.b[i+1]
		for j := range s.g[i] {
			s.g[i][j] += s.g[i+1][j]
		}
	}
	for i := range s.g {
		for j := last - 1; j >= first; j-- {
			s.g[i][j] += s.g[i][j+1]
		}
	}
}
