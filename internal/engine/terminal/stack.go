package terminal

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/source"
)

// Kind is what a piece on a stud is.
type Kind string

// The kinds.
const (
	Base   Kind = "base"          // bar, post or pad that the stud stands in
	Lug    Kind = "lug"           // and anything else that brings current: fuse blade, link
	Washer Kind = "washer"        // plain
	Spring Kind = "spring washer" //
	Nut    Kind = "nut"           //
)

// conducts reports whether current may go through a piece's faces.
func (k Kind) conducts() bool { return k == Base || k == Lug }

// Piece is one thing on a stud.
type Piece struct {
	ID        string
	Kind      Kind
	Thickness float64 // m along the stud: of a base, what the bolt goes through, 0 where the stud stands on it
	Current   float64 // A that a lug brings, negative where it takes; not read for others
	Section   float64 // m² of a lug's cable
}

// Order gives the lugs of a stud from the base up: the largest section lowest,
// then the largest current, then by ID. What is not a lug is left out. That the
// largest lies lowest, next to the bar, is common practice, no source: the most
// current then crosses one face.
func Order(pieces []Piece) []Piece {
	var lugs []Piece
	for _, p := range pieces {
		if p.Kind == Lug {
			lugs = append(lugs, p)
		}
	}
	slices.SortStableFunc(lugs, func(a, b Piece) int {
		return cmp.Or(cmp.Compare(b.Section, a.Section), cmp.Compare(math.Abs(b.Current), math.Abs(a.Current)), cmp.Compare(a.ID, b.ID))
	})
	return lugs
}

// Ordered reports whether no lug lies on a smaller one.
func Ordered(pieces []Piece) bool {
	last := math.Inf(1)
	for _, p := range pieces {
		if p.Kind != Lug {
			continue
		}
		if p.Section > last {
			return false
		}
		last = p.Section
	}
	return true
}

// Face is where two neighbours on a stud meet.
type Face struct {
	Below, Above string  // IDs
	Current      float64 // A that crosses here to the base: all that the lugs above bring
	Direct       bool    // both conduct, so that the current crosses the face and not the stud
}

// Stack is a stud's pieces looked at.
type Stack struct {
	Lugs   int
	Faces  []Face  // up to the uppermost lug, from the base
	OnStud float64 // A, the most that has to go round a washer or nut through the stud
}

// Look says what crosses each face of a stack that is given from the base up.
// AC 43.13-1B wants all current to go through contact faces and none through
// the stud: OnStud is then zero. The error says that the lowest piece is no
// base, that a second base is on the stud, or that a current is no number.
func Look(pieces []Piece) (Stack, error) {
	if len(pieces) == 0 || pieces[0].Kind != Base {
		return Stack{}, fmt.Errorf("terminal: a stack begins with its base; name the bar, post or pad first")
	}
	s, top := Stack{}, 0
	for i, p := range pieces {
		switch {
		case i > 0 && p.Kind == Base:
			return Stack{}, fmt.Errorf("terminal: %s is a second base; a bar on a stud that stands in another is a lug", p.ID)
		case p.Kind == Lug && (math.IsNaN(p.Current) || math.IsInf(p.Current, 0)):
			return Stack{}, bad("the current of "+p.ID, p.Current, "A", "a number")
		case p.Kind == Lug:
			s.Lugs++
			top = i
		}
	}
	s.Faces = make([]Face, top)
	sum := 0.0
	for i := top; i > 0; i-- {
		if pieces[i].Kind == Lug {
			sum += pieces[i].Current
		}
		f := Face{pieces[i-1].ID, pieces[i].ID, sum, pieces[i-1].Kind.conducts() && pieces[i].Kind.conducts()}
		if !f.Direct {
			s.OnStud = math.Max(s.OnStud, math.Abs(sum))
		}
		s.Faces[i-1] = f
	}
	return s, nil
}

// CountRule is the most lugs on one stud.
type CountRule struct {
	Most int
	Ref  source.Ref
}

// Within reports whether a number of lugs keeps the rule.
func (r CountRule) Within(lugs int) bool { return lugs <= r.Most }

// CountRules gives the two published limits, which differ.
func CountRules() []CountRule {
	return []CountRule{
		{4, source.Ref{Title: "FAA AC 43.13-1B", At: "11-174 b", Edition: "CHG 1, 2001", How: source.Read}},
		{3, source.Ref{Title: "MIL-DTL-917F", At: "3.12.2.8", Edition: "F", How: source.Read}},
	}
}

// StudLength gives the length, m, that a stud needs above the face it stands in
// (or a bolt under its head) for pieces, of which a nut is one, and so many
// threads of a pitch, m, to show above. Two showing threads are common practice,
// no source. The error names a thickness or number out of range.
func StudLength(pieces []Piece, pitch, threads float64) (float64, error) {
	if !above(pitch, 0) {
		return 0, bad("the pitch", pitch, "m", "more than 0")
	}
	if !(threads >= 0) || math.IsInf(threads, 1) {
		return 0, bad("the number of threads to show", threads, "", "0 or more")
	}
	sum := float64(pitch * threads)
	for _, p := range pieces {
		if !(p.Thickness >= 0) || math.IsInf(p.Thickness, 1) || p.Thickness == 0 && p.Kind != Base {
			return 0, bad("the thickness of "+p.ID, p.Thickness, "m", "more than 0")
		}
		sum += p.Thickness
	}
	return sum, nil
}

// StudOhm gives the resistance, Ω, of a length, m, of stud with a stress area,
// m², of a resistivity, Ω·m. The contacts in the threads come on top.
func StudOhm(resistivity, area, length float64) float64 { return resistivity * length / area }

// Split shares a current, A, between contact faces and a stud beside them, Ω
// each, as two resistances in parallel. Where faces are broken, by a nut or
// washer between, their resistance is +Inf and the stud has all. Both at zero,
// or both infinite, give NaN.
func Split(current, faces, stud float64) (throughFaces, throughStud float64) {
	switch {
	case math.IsInf(faces, 1) && !math.IsInf(stud, 1):
		return 0, current
	case math.IsInf(stud, 1) && !math.IsInf(faces, 1):
		return current, 0
	}
	throughFaces = current * stud / (faces + stud)
	throughStud = current * faces / (faces + stud)
	return throughFaces, throughStud
}
