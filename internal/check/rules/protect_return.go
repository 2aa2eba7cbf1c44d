package rules

import (
	"slices"

	"bankwright/internal/model/report"
)

// returnOf gives the short that a device and a return conductor carry together,
// nil where the device does not save it.
func returnOf(g *report.Guard, l *report.Line) *report.FedShort {
	for n := range g.Returns {
		if g.Returns[n].Cable == l.Cable {
			return &g.Returns[n]
		}
	}
	return nil
}

// returnGuards lists the devices that save a return conductor.
func returnGuards(r *report.Report, l *report.Line) []string {
	var all []string
	for i := range r.Side.Guards {
		if g := &r.Side.Guards[i]; returnOf(g, l) != nil {
			all = append(all, g.Part)
		}
	}
	return all
}

// held reports whether a line is one that devices are held against: live, or a
// return that carries the whole current of what some device feeds.
func held(r *report.Report, l *report.Line) bool { return live(l) || len(returnGuards(r, l)) > 0 }

// fedShorts lists the shorts of all that a device saves, out and back.
func fedShorts(g *report.Guard) []report.FedShort { return slices.Concat(g.Fed, g.Returns) }

// alike reports whether a return is of the size and make of a conductor, so that
// what is said of the one holds for the other.
func alike(r *report.Report, back, out *report.Line) bool {
	b, o := cableOf(r, back), cableOf(r, out)
	return b.Size == o.Size && b.Wrap.Insulation.V == o.Wrap.Insulation.V && b.Wrap.Sheath == o.Wrap.Sheath && b.Wrap.Bundled == o.Wrap.Bundled && b.Wrap.Engine == o.Wrap.Engine
}

// returnWords says of a return whose it is, "" of a live conductor.
func returnWords(g *report.Guard, l *report.Line) string {
	if f := returnOf(g, l); f != nil {
		return " (the return of " + f.Of + ")"
	}
	return ""
}

// sortReturns parts returns that a device is too large for into those of the
// size and make of a conductor that it is too large for as well, by name, and
// the others.
func sortReturns(r *report.Report, out, back []*tooLarge) (same []string, others []*tooLarge) {
	for _, b := range back {
		if slices.ContainsFunc(out, func(o *tooLarge) bool { return alike(r, b.line, o.line) }) {
			same = append(same, b.line.Cable)
			continue
		}
		others = append(others, b)
	}
	return same, others
}

// tellReturns speaks of the return with the lowest limit, and names the others.
func tellReturns(r *report.Report, say *speaker, g *report.Guard, back []*tooLarge) {
	var worst *tooLarge
	var names []string
	for _, b := range back {
		names = append(names, b.line.Cable)
		if worst == nil || b.got.Bound < worst.got.Bound {
			worst = b
		}
	}
	if worst != nil {
		worst.back = returnWords(g, worst.line)
		worst.tell(r, say, g.Part, names)
	}
}

// linesOutFirst lists the lines, live ones first, so that what is said of a
// conductor stands before what is said of its return.
func linesOutFirst(r *report.Report) []*report.Line {
	var out, back []*report.Line
	for i := range r.Side.Lines {
		if l := &r.Side.Lines[i]; live(l) {
			out = append(out, l)
		} else {
			back = append(back, l)
		}
	}
	return append(out, back...)
}

// outFirst is that for pairs.
func outFirst(all []pair) []pair {
	slices.SortStableFunc(all, func(a, b pair) int {
		if live(a.line) == live(b.line) {
			return 0
		}
		if live(a.line) {
			return -1
		}
		return 1
	})
	return all
}

// sameAgain keeps what one rule has said of the conductors of devices.
type sameAgain struct{ all []saidOf }

type saidOf struct {
	guard *report.Guard
	line  *report.Line
	at    int // of the speaker's findings
}

// again reports whether what is due of a return was said of a conductor of the
// same size and make behind the same device: the return is then named there. It
// notes a conductor that is about to be spoken of.
func (s *sameAgain) again(r *report.Report, say *speaker, g *report.Guard, l *report.Line) bool {
	for _, one := range s.all {
		if !live(l) && one.guard.Part == g.Part && alike(r, l, one.line) {
			say.findings[one.at].Message += "; so for the return " + l.Cable
			return true
		}
	}
	s.all = append(s.all, saidOf{g, l, len(say.findings)})
	return false
}
