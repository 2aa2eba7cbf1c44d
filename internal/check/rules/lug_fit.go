package rules

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/terminal"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/rating"
	"bankwright/internal/model/report"
)

// lugRules are those of the lugs that a job names.
var lugRules = []*Rule{&lugBarrel, &lugHole, &studShort}

// nearSection is how far two sections may differ for the one to be taken for
// the other at the bench: 2/0 AWG is 67.4 mm², its neighbour 70 mm². Ours.
const nearSection = 0.1

var lugBarrel = Rule{
	ID:       "LUG-02",
	Title:    "A lug is made for another conductor",
	Text:     "Lug, die and conductor belong together. A barrel too wide leaves strands that carry nothing, one too tight has to be forced or strands cut off. A metric lug on a gauge of nearly the same section, or the other way round, goes on and looks right: it is not taken for the right one here, its maker has to name both sizes. Lugs that the job does not name are not looked at.",
	Source:   source.Ref{Title: "lug, die and conductor of one size", How: source.Practice},
	Severity: finding.Fault,
	Failing:  dcWith("{id: W3, from: B1+, to: F1.a, size: 2/0 AWG,", "{id: W3, from: B1+, to: F1.a, size: 2/0 AWG, lug: {barrel: 50 mm2},"),
	Passing:  dcWith("{id: W3, from: B1+, to: F1.a, size: 2/0 AWG,", "{id: W3, from: B1+, to: F1.a, size: 2/0 AWG, lug: {barrel: 2/0 AWG},"),
	check:    checkLugBarrel,
}

func checkLugBarrel(r *report.Report, say *speaker) {
	for i := range r.Bank.Cables {
		c := &r.Bank.Cables[i]
		for n, l := range c.Lugs {
			if l.Barrel.IsZero() || l.Barrel == c.Size || n == 1 && l.Barrel == c.Lugs[0].Barrel {
				continue
			}
			at := cableEnd(c, n)
			if n == 0 && l.Barrel == c.Lugs[1].Barrel {
				at = c.ID
			}
			sayBarrel(say, c, at, l.Barrel)
		}
	}
}

func sayBarrel(say *speaker, c *bank.Cable, at string, barrel quantity.Size) {
	have, want := sectionOf(c.Size), sectionOf(barrel)
	switch {
	case c.Size.IsZero():
		say.pass(at, "the cable has no size to hold its lug of "+barrel.String()+" against")
	case math.Abs(want/have-1) <= nearSection:
		say.hold(finding.Warning, at, fmt.Sprintf("the lug is made for %s and the conductor is %s: near, and not the same", barrel, c.Size), "take a lug and a die for "+c.Size.String()+", or one whose maker names both sizes", number{}, source.Ref{})
	default:
		say.find(at, fmt.Sprintf("the lug is made for %s and the conductor is %s", barrel, c.Size), "take a lug and a die for "+c.Size.String())
	}
}

// cableEnd names one end of a cable, as readings do.
func cableEnd(c *bank.Cable, n int) string {
	if n == 0 {
		return c.ID + "@" + c.From.String()
	}
	return c.ID + "@" + c.To.String()
}

var lugHole = Rule{
	ID:       "LUG-03",
	Title:    "A lug's hole does not fit its stud",
	Text:     "A hole too small does not go on and gets drilled, which takes metal from the narrowest place of the lug. One too wide loses contact face and sits aside. M8 and 5/16 inch differ by a sixteenth of a millimetre and are told apart all the same, as their nuts do not fit each other. A fuse or another part that sits on a stud itself is held by the thread of its terminals: a warning of a fuse, a note of others, whose foot is often made for another.",
	Source:   source.Ref{Title: "the lug's hole is the stud's", How: source.Practice},
	Severity: finding.Fault,
	Failing:  lampWith("{id: W1, from: B1+,", "{id: W1, lug: {hole: M5}, from: B1+,"),
	Passing:  lampWith("{id: W1, from: B1+,", "{id: W1, lug: {hole: 1/4-28}, from: B1+,"),
	check:    checkLugHole,
}

func checkLugHole(r *report.Report, say *speaker) {
	for i := range r.Bank.Cables {
		c := &r.Bank.Cables[i]
		for n, e := range []bank.End{c.From, c.To} {
			holeOn(r, say, cableEnd(c, n), c.Lugs[n].Hole, e)
		}
	}
	for i := range r.Bank.Parts {
		if p := &r.Bank.Parts[i]; p.On != (bank.End{}) {
			sitsRight(r, say, p)
		}
	}
}

// holeOn holds the hole of a lug against the stud it goes on; "" is not said.
func holeOn(r *report.Report, say *speaker, at, hole string, e bank.End) {
	thread := threadAt(r.Bank, e)
	switch fit := holeFits(hole, thread); {
	case hole == "" || fit == fitsWell:
	case thread == "":
		say.pass(at, "the job does not give the thread of "+e.String()+" for the lug's hole of "+hole)
	case fit == fitUnknown:
		say.pass(at, fmt.Sprintf("the lug's hole is for %s, the stud is %s: not known whether the one goes on the other", hole, thread))
	case fit == fitNear:
		say.hold(finding.Warning, at, fmt.Sprintf("the lug's hole is for %s and the stud of %s is %s: near, and not the same", hole, e, thread), "take a lug for "+thread+", and the nut that belongs to it", number{}, source.Ref{})
	case fit == fitTight:
		say.find(at, fmt.Sprintf("the lug's hole is for %s and does not go on the stud of %s, %s", hole, e, thread), "take a lug for "+thread+"; do not drill this one")
	default:
		say.hold(finding.Warning, at, fmt.Sprintf("the lug's hole is for %s, wide for the stud of %s, %s", hole, e, thread), "take a lug for "+thread, number{}, source.Ref{})
	}
}

// sitsRight holds the thread of a part's terminals against the stud it sits on.
// The job gives one thread for both its ends, so its foot may have another:
// a warning at most, and a note of what is no fuse.
func sitsRight(r *report.Report, say *speaker, p *bank.Part) {
	own, thread := p.Rated.Stud, threadAt(r.Bank, p.On)
	words := ""
	switch holeFits(own, thread) {
	case fitTight:
		words = ": a hole for that does not go on"
	case fitWide:
		words = ": a hole for that sits aside and loses contact face"
	case fitNear:
		words = ": near, and not the same"
	}
	severity := finding.Note // the thread is that of its screw terminals more often than not
	if p.Kind == bank.Fuse {
		severity = finding.Warning
	}
	if own != "" && thread != "" && words != "" {
		say.hold(severity, p.ID, fmt.Sprintf("%s has terminals of %s and sits on the stud of %s, %s%s", p.ID, own, p.On, thread, words), fmt.Sprintf("take a %s whose foot is made for %s, or lead a cable to it", p.Kind, thread), number{}, source.Ref{})
	}
}

// fit is how a hole goes on a stud.
type fit int

const (
	fitsWell fit = iota
	fitNear      // of the other system, so nearly the same
	fitTight
	fitWide
	fitUnknown
)

// holeFits holds a hole against a thread.
func holeFits(hole, thread string) fit {
	const same = 0.15e-3 // m; M8 and 5/16 inch are 0.06 mm apart
	if rating.SameThread(hole, thread) || rating.SameThread(thread, hole) {
		return fitsWell
	}
	h, ok1 := rating.ThreadDiameter(hole)
	s, ok2 := rating.ThreadDiameter(thread)
	switch {
	case !ok1 || !ok2:
		return fitUnknown
	case math.Abs(float64(h-s)) <= same && oneSystem(hole, thread):
		return fitsWell
	case math.Abs(float64(h-s)) <= same:
		return fitNear
	case h < s:
		return fitTight
	}
	return fitWide
}

// oneSystem reports whether both threads are metric or both inch.
func oneSystem(a, b string) bool {
	metric := func(s string) bool { return strings.HasPrefix(strings.ToLower(strings.TrimSpace(s)), "m") }
	return metric(a) == metric(b)
}

var studShort = Rule{
	ID:       "STK-02",
	Title:    "A stud is too short for its lugs",
	Text:     "All tongues, the washer, the spring washer, the nut and two threads above it have to find room on the stud. Short of it the nut holds by a thread or two and strips. A nut of the usual height is counted, with a plain and a spring washer. Where the job does not give the stud's length and every tongue, or where a fuse or another part sits on the stud, this is not checked.",
	Source:   source.Ref{Title: "two threads show above the nut", How: source.Practice},
	Severity: finding.Fault,
	Failing:  studWith("15 mm"),
	Passing:  studWith("16.5 mm"),
	check:    checkStudShort,
}

// studWith is dcJob with a post of which the stud, and its lugs, are given.
func studWith(length string) string {
	s := dcWith("    capacity: 100 Ah\n", "    capacity: 100 Ah\n    stud: M6\n    stud_length: "+length+"\n")
	for _, id := range []string{"W1", "W2", "W3", "W9"} {
		s = strings.Replace(s, "{id: "+id+", ", "{id: "+id+", lug: {thickness: 2.5 mm}, ", 1)
	}
	return s
}

func checkStudShort(r *report.Report, say *speaker) {
	lugs := lugsAt(r)
	for _, e := range r.Bank.Ends() {
		lines, length, thread := lugs[e], studLengthAt(r.Bank, e), threadAt(r.Bank, e)
		if length == 0 || len(lines) == 0 && sitsOn(r.Bank, e) == "" {
			continue
		}
		need, ref, err := studNeeds(r, e, lines, thread)
		switch {
		case err != nil:
			say.pass(e.String(), err.Error())
		case need > length*(1+1e-9):
			say.hold(finding.Fault, e.String(), fmt.Sprintf("the stud of %s is %.1f mm long; %s, washer, spring washer, nut and two threads of %s need %.1f mm", e, length*1e3, several(len(lines), "lug"), thread, need*1e3),
				"lead some lugs to a bar, or take a part with a longer stud", number{value: need * 1e3, limit: length * 1e3, unit: "mm"}, ref)
		}
	}
}

// sitsOn gives the part that sits on an end without a cable, "" none.
func sitsOn(b *bank.Bank, e bank.End) string {
	for i := range b.Parts {
		if p := &b.Parts[i]; p.On == e {
			return p.ID
		}
	}
	return ""
}

func several(n int, what string) string {
	if n == 1 {
		return "one " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// studLengthAt gives the stud's length at an end, m, 0 where it is not known.
func studLengthAt(b *bank.Bank, e bank.End) float64 {
	if one := b.Battery(e.ID); one != nil {
		return float64(one.StudLength)
	}
	if p := b.Part(e.ID); p != nil {
		return float64(p.Rated.StudLength)
	}
	return 0
}

// studNeeds gives the length that the lugs of a stud need, m. The error says
// what of it is not known.
func studNeeds(r *report.Report, e bank.End, lines []*report.Line, thread string) (float64, source.Ref, error) {
	if sits := sitsOn(r.Bank, e); sits != "" {
		return 0, source.Ref{}, fmt.Errorf("%s sits on it, and how thick its foot is the job does not say: measure that two threads show above the nut", sits)
	}
	pieces := []terminal.Piece{{Kind: terminal.Base}}
	for _, l := range lines {
		c := cableOf(r, l)
		n := 0
		if c.To == e {
			n = 1
		}
		t := float64(c.Lugs[n].Thickness)
		if t == 0 {
			return 0, source.Ref{}, fmt.Errorf("the stud is given as %s long, the thickness of the tongue of %s is not", quantity.Format(quantity.Length(studLengthAt(r.Bank, e)), 3), l.Cable)
		}
		pieces = append(pieces, terminal.Piece{ID: l.Cable, Kind: terminal.Lug, Thickness: t})
	}
	for _, h := range terminal.MetricHardware() {
		if rating.SameThread(h.Thread, thread) {
			need, err := terminal.StudLength(append(pieces, terminal.Piece{Kind: terminal.Washer, Thickness: h.Washer}, terminal.Piece{Kind: terminal.Spring, Thickness: h.Spring}, terminal.Piece{Kind: terminal.Nut, Thickness: h.Nut}), h.Pitch, 2)
			return need, h.Ref, err
		}
	}
	return 0, source.Ref{}, fmt.Errorf("no nut and washers are typed for a thread of %q: measure that two threads show above the nut", thread)
}
