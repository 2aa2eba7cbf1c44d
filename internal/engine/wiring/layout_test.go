package wiring

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// point is a place in metres.
type point struct{ x, y float64 }

// Trial bank: cable of 2/0 AWG copper at about 0.26 mΩ/m, 0.05 mΩ at each end
// (project default, job format), 0.1 m of every cable lost in lugs and bends.
// Common practice, no source.
const (
	ohmPerMetre = 0.26e-3
	ohmJoint    = 0.05e-3
	metresLost  = 0.1
)

// bankShape says which bank to draw at random.
type bankShape struct {
	n, rows   int
	stud      bool // take-off on a stud of its own, else on post n-1 or any
	any       bool // any post may be the take-off
	jitter    float64
	unequal   bool // resistances
	emfSpread float64
	capSpread bool
	current   float64
	lugs      int
	missing   float64 // share of pairs left out
	off       bool    // the second string is off
}

// randomQuestion draws a bank of this shape.
func randomQuestion(rng *rand.Rand, s bankShape) Question {
	q := Question{Current: s.current}
	if q.Current == 0 {
		q.Current = 100
	}
	var plus, minus []point
	cols := (s.n + s.rows - 1) / s.rows
	for i := range s.n {
		// Cases of 0.33 m by 0.17 m (a common 150 Ah size) on a loose grid.
		at := point{
			0.19*float64(i%cols) + s.jitter*rng.Float64(),
			0.40*float64(i/cols) + s.jitter*rng.Float64(),
		}
		plus = append(plus, point{at.x + 0.03, at.y + 0.03})
		minus = append(minus, point{at.x + 0.03, at.y + 0.30})
		r := 4e-3
		if s.unequal {
			r = 3e-3 + 3e-3*rng.Float64()
		}
		str := String{Resistance: r, EMF: 13.2, Capacity: 150}
		str.EMF += s.emfSpread * (rng.Float64() - 0.5)
		if s.capSpread {
			str.Capacity = []float64{100, 150, 200}[rng.IntN(3)]
		}
		str.Off = s.off && i == 1
		q.Strings = append(q.Strings, str)
	}
	jx, jy := s.jitter*rng.Float64(), s.jitter*rng.Float64()
	q.Positive = railOf(rng, s, plus, "+", point{-0.2 + jx, 0.2 + jy})
	q.Negative = railOf(rng, s, minus, "-", point{-0.2 + jy, 0.5 + jx})
	return q
}

func railOf(rng *rand.Rand, s bankShape, posts []point, sign string, stud point) Rail {
	var r Rail
	r.Lugs = s.lugs
	at := posts
	for i := range posts {
		r.Names = append(r.Names, fmt.Sprintf("B%d%s", i+1, sign))
		r.String = append(r.String, i)
		if s.any {
			r.Roots = append(r.Roots, i)
		}
	}
	switch {
	case s.stud:
		at = append([]point{stud}, posts...)
		r.Names = append([]string{"S" + sign}, r.Names...)
		r.String = append([]int{-1}, r.String...)
		r.Roots = []int{0}
	case !s.any:
		r.Roots = []int{len(posts) - 1}
	}
	for a := range at {
		for b := a + 1; b < len(at); b++ {
			if s.missing > 0 && b != a+1 && rng.Float64() < s.missing {
				continue
			}
			r.Pairs = append(r.Pairs, cable(a, b, at[a], at[b]))
		}
	}
	return r
}

func cable(a, b int, from, to point) Pair {
	length := math.Abs(from.x-to.x) + math.Abs(from.y-to.y) + metresLost
	return Pair{A: a, B: b, Length: length, Resistance: ohmPerMetre*length + 2*ohmJoint}
}

// trialSix is the layout k of the twenty that the speed target is measured on:
// two rows of three or one row of six, with jitter, every other one with
// unequal batteries.
func trialSix(k int) Question {
	rng := rand.New(rand.NewPCG(6, uint64(k)))
	rows := 2
	if k%4 == 3 {
		rows = 1
	}
	return randomQuestion(rng, bankShape{n: 6, rows: rows, stud: true, jitter: 0.08, unequal: k%2 == 1})
}
