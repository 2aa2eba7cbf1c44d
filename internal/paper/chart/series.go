package chart

import (
	"math"
	"slices"
	"sort"

	"bankwright/internal/paper/sheet"
)

// countless is the size from which a number is no reading of anything: beyond
// it the difference of two numbers could overflow on its way to the paper.
const countless = 1e12

// counts reports whether a number can be drawn: neither NaN nor beyond all
// measure.
func counts(v float64) bool { return math.Abs(v) < countless }

// series is numbers over time, or over anything else that does not fall. A
// number that is NaN, or one of an order of 10¹² and more, is a gap in the line.
type series struct {
	time, value []float64
}

// newSeries pairs times with values; what one has more than the other goes.
func newSeries(time, value []float64) series {
	n := min(len(time), len(value))
	return series{time[:n], value[:n]}
}

// has reports whether sample i can be drawn.
func (s series) has(i int) bool { return counts(s.time[i]) && counts(s.value[i]) }

// extremes gives the least and the largest number; ok is false where there is
// none.
func (s series) extremes() (lo, hi float64, ok bool) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for i, v := range s.value {
		if s.has(i) {
			lo, hi = min(lo, v), max(hi, v)
		}
	}
	return lo, hi, lo <= hi
}

// last gives the index of the last number, -1 for none.
func (s series) last() int {
	for i := len(s.value) - 1; i >= 0; i-- {
		if s.has(i) {
			return i
		}
	}
	return -1
}

// at reads the line where it is drawn at time t: straight between two samples.
// NaN in a gap and outside the samples.
func (s series) at(t float64) float64 {
	i := sort.SearchFloat64s(s.time, t)
	switch {
	case i == len(s.time):
		return math.NaN()
	case s.time[i] == t && s.has(i):
		return s.value[i]
	case i == 0 || !s.has(i) || !s.has(i-1):
		return math.NaN()
	}
	part := (t - s.time[i-1]) / (s.time[i] - s.time[i-1])
	return s.value[i-1] + float64(part*(s.value[i]-s.value[i-1]))
}

// columns picks the samples that a drawing can show: of each column of paper
// the first, the least, the largest and the last, in their order. So no
// extreme is lost, whatever the width. Every list is one piece of the line
// without a gap.
func (s series) columns(x *axis, width float64) [][]int {
	var pieces [][]int
	var piece []int
	var c column
	flush := func() { piece, c = c.add(piece), column{} }
	for i := range s.value {
		if !s.has(i) {
			if flush(); piece != nil {
				pieces, piece = append(pieces, piece), nil
			}
			continue
		}
		if at := math.Floor((x.at(s.time[i]) - x.from) / width); !c.used || at != c.at {
			flush()
			c = column{used: true, at: at, first: i, least: i, most: i}
		}
		c.last = i
		if s.value[i] < s.value[c.least] {
			c.least = i
		}
		if s.value[i] > s.value[c.most] {
			c.most = i
		}
	}
	if flush(); piece != nil {
		pieces = append(pieces, piece)
	}
	return pieces
}

// column is one column of paper with the samples that stand for it.
type column struct {
	used                     bool
	at                       float64
	first, least, most, last int
}

// add appends the column's samples in their order, each once.
func (c column) add(piece []int) []int {
	if !c.used {
		return piece
	}
	four := [...]int{c.first, c.least, c.most, c.last}
	slices.Sort(four[:])
	return append(piece, slices.Compact(four[:])...)
}

// picked gives a series of some samples only, the pieces of it still apart.
// [series.columns] of it in columns twice as wide, or four times and so on, is
// that of the whole.
func (s series) picked(pieces [][]int) series {
	var few series
	for k, piece := range pieces {
		if k > 0 {
			few.time, few.value = append(few.time, s.time[piece[0]]), append(few.value, math.NaN())
		}
		for _, i := range piece {
			few.time, few.value = append(few.time, s.time[i]), append(few.value, s.value[i])
		}
	}
	return few
}

// trace gives some samples of the line on paper, but of those on a straight
// stretch only its ends. Off the line through them none lies by more than
// slack, and the least and the largest of each piece are kept.
func (s series) trace(x, y *axis, samples [][]int, slack float64) [][]sheet.Point {
	var pieces [][]sheet.Point
	for _, piece := range samples {
		points := make([]sheet.Point, len(piece))
		for k, i := range piece {
			points[k] = sheet.Point{X: x.at(s.time[i]), Y: y.at(s.value[i])}
		}
		pieces = append(pieces, straighten(points, slack))
	}
	return pieces
}

// straighten leaves out points that a straight line between others passes by
// no more than slack above or below. From the last point kept it looks along
// the directions in which all points since lie near enough, and keeps a point
// as soon as the next one is not among them.
func straighten(points []sheet.Point, slack float64) []sheet.Point {
	if len(points) < 3 {
		return points
	}
	least, most := 0, 0
	for i, p := range points {
		if p.Y < points[least].Y {
			least = i
		}
		if p.Y > points[most].Y {
			most = i
		}
	}
	kept := points[:1:1]
	lo, hi := math.Inf(-1), math.Inf(1) // slopes from the last point kept
	for i := 1; i < len(points); i++ {
		from, p := kept[len(kept)-1], points[i]
		slope := (p.Y - from.Y) / (p.X - from.X)
		past := points[i-1] != from
		if past && !(p.X > from.X && slope >= lo && slope <= hi) {
			kept, lo, hi = append(kept, points[i-1]), math.Inf(-1), math.Inf(1)
			i--
			continue
		}
		run := p.X - from.X
		lo, hi = max(lo, slope-slack/run), min(hi, slope+slack/run)
		if i == least || i == most || i == len(points)-1 || !(run > 0) {
			kept, lo, hi = append(kept, p), math.Inf(-1), math.Inf(1)
		}
	}
	return kept
}

// apart places things of some sizes along a line from lo to hi so that none
// covers another and the squares of their moves are least. Want holds the
// centres they would like, rising; so do those given back. Where there is no
// room for all they reach beyond hi.
func apart(want, size []float64, lo, hi float64) []float64 {
	type pack struct {
		from, to   int     // things that touch
		sum, total float64 // of wanted starts of the pack, of sizes
		start      float64
	}
	settle := func(p pack) pack {
		p.start = max(lo, min(hi-p.total, p.sum/float64(p.to-p.from)))
		return p
	}
	var packs []pack
	for i := range want {
		p := settle(pack{i, i + 1, want[i] - size[i]/2, size[i], 0})
		for len(packs) > 0 {
			q := packs[len(packs)-1]
			if q.start+q.total <= p.start {
				break
			}
			p.sum += q.sum - float64(q.total*float64(p.to-p.from))
			p = settle(pack{q.from, p.to, p.sum, q.total + p.total, 0})
			packs = packs[:len(packs)-1]
		}
		packs = append(packs, p)
	}
	centres := make([]float64, 0, len(want))
	for _, p := range packs {
		at := p.start
		for i := p.from; i < p.to; i++ {
			centres = append(centres, at+size[i]/2)
			at += size[i]
		}
	}
	return centres
}
