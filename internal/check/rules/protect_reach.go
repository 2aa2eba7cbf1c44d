package rules

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/protect"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

var unprotected = Rule{
	ID:       "PRO-01",
	Title:    "A live conductor has no protective device",
	Text:     "Every ungrounded conductor needs a fuse or breaker between it and each battery that feeds it. A conductor that leads on to a device, and a link between batteries, are judged by their length, PRO-02; where the main fuse is what is missing PRO-22 says it once instead. What a charger alone feeds is not counted: it limits its own current.",
	Source:   source.Ref{Title: "33 CFR 183.455", At: "(a) and (b)", Edition: "not stated", How: source.Read},
	Severity: finding.Fault,
	Failing:  dcWith("from: P1.3, to: D1.a", "from: B1+, to: L1.a", "from: D1.b, to: L1.a", "from: D1.b, to: P1.3"),
	Passing:  dcJob,
	check:    checkUnprotected,
}

func checkUnprotected(r *report.Report, say *speaker) {
	if mainLacks(r) != nil {
		return // PRO-22 says it once
	}
	for i := range r.Side.Lines {
		l := &r.Side.Lines[i]
		switch kind, far := bareOf(r, l); kind {
		case bareDead:
			from, _, _ := bareBattery(l)
			to := "an end that nothing hangs on"
			switch {
			case len(far.devices) > 0:
				to = strings.Join(far.devices, ", ")
			case far.takeoff:
				to = "the take-off"
			}
			say.find(l.Cable, fmt.Sprintf("cable %s to %s has no fuse or breaker between it and %s%s", l.Cable, to, from, bareWords(r, l)),
				"put a fuse or breaker at its beginning, close to the battery or the bar")
		case bareOpen:
			say.pass(l.Cable, "it leads to the take-off without a fuse or breaker, and the job does not tell what hangs there")
		}
	}
}

// bareWords tells how long the way is that nothing protects.
func bareWords(r *report.Report, l *report.Line) string {
	words := "; how long the way is is not known"
	if !math.IsNaN(l.BareLength) {
		words = fmt.Sprintf(": %s of bare way", r.Bank.Show.FormatLength(quantity.Length(l.BareLength)))
	}
	if t := l.Withstand / l.Most / l.Most; t <= shortTime {
		words += fmt.Sprintf("; a dead short draws %s through it, which its copper bears %s by k²S² (%s)", amps(l.Most), span(t), l.WithstandRef)
	}
	return words
}

var tooFar = Rule{
	ID:       "PRO-02",
	Title:    "The first device is too far along the conductor",
	Text:     "What lies between a battery and the first device is saved by nothing, so rules limit its length, measured along the conductor from the battery's own terminal: of several batteries the nearest. A link between two batteries without a device is live from both ends and counts with its whole length from one of them. The rules are alternatives, each with its own condition; one is enough.",
	Source:   source.Ref{Title: "33 CFR 183.455", At: "(b), 7 in, or 40 in in a sheath or enclosure", Edition: "not stated", How: source.Read},
	Severity: finding.Fault,
	Failing:  dcWith("from: B1+, to: F1.a, size: 2/0 AWG, length: 6 in", "from: B1+, to: F1.a, size: 2/0 AWG, length: 80 in"),
	Passing:  dcJob,
	check:    checkTooFar,
}

func checkTooFar(r *report.Report, say *speaker) {
	lacks := mainLacks(r)
	for i := range r.Side.Guards {
		g := &r.Side.Guards[i]
		if side := sideOf(r, g.Part); side != "positive" && side != "between" || lacks != nil && !slices.Contains(lacks.own, g.Part) {
			continue // PRO-22 says it once
		}
		// From each of its ends: a device between two banks has one on either side.
		for _, e := range partOf(r, g).Ends() {
			if w, ok := bareTo(r.Bank, e); ok {
				heldReach(r, say, g.Part, "from the nearest battery to "+e.String(), false,
					protect.Way{Length: lengthValue(w.length), Sheathed: fact(w.sheathed), FromBattery: protect.Yes, Switched: fact(w.switched)})
			}
		}
	}
	for i := range r.Side.Lines {
		l := &r.Side.Lines[i]
		kind, _ := bareOf(r, l)
		what := "cable " + l.Cable + " between batteries, live from both ends"
		if kind == bareOpen {
			what = "from the nearest battery to the take-off, at the end of cable " + l.Cable
		}
		if kind == bareLink || kind == bareOpen {
			_, switched, _ := bareBattery(l)
			heldReach(r, say, l.Cable, what, kind == bareLink, protect.Way{Length: lengthValue(l.BareLength), Sheathed: fact(cableOf(r, l).Wrap.Sheath), FromBattery: protect.Yes, Switched: fact(switched)})
		}
	}
}

// lengthValue gives a length to the engine; a device at the terminal itself
// has a known length of nil.
func lengthValue(v float64) source.Value[float64] {
	if math.IsNaN(v) {
		return source.Value[float64]{}
	}
	return source.Of(v)
}

// heldReach holds one unprotected way against the rules of the book. A link
// between batteries is no fault by rules from memory alone.
func heldReach(r *report.Report, say *speaker, place, what string, link bool, w protect.Way) {
	list := reachRules(r)
	if !w.Length.Known() {
		say.pass(place, "the length without a device, "+what+", is not known")
		return
	}
	if w.Length.V == 0 {
		return // it sits on the post itself
	}
	length := r.Bank.Show.FormatLength(quantity.Length(w.Length.V))
	if len(list) == 0 {
		say.pass(place, fmt.Sprintf("%s without a device, %s: the %s book limits no such length here", length, what, regime(r)))
		return
	}
	all := protect.Reaches(w, list)
	each, largest := eachReach(r, &all)
	n := number{value: w.Length.V, limit: largest.length, unit: "m"}
	message := fmt.Sprintf("%s without a device, %s; %s", length, what, each)
	move, closer := "move the device to the battery, put one there, or shorten the way", "move the device closer"
	switch {
	case link: // no device is there to be moved
		move, closer = "put a fuse into the link, at a battery's post, or shorten it", "put a fuse into the link, or shorten it"
	case r.Bank.Part(place) == nil:
		move, closer = "put a device at the battery, or shorten the way", "put a device closer to the battery"
	}
	switch {
	case all.Verdict == protect.Outside:
		severity := finding.Fault
		if link && !readRule(&all) {
			severity = finding.Warning
		}
		say.hold(severity, place, message, move, n, largest.ref)
	case all.Verdict == protect.NotChecked:
		say.hold(finding.Warning, place, message+"; only a rule that a switch lifts is left", closer+", or let a surveyor confirm that the switch lifts the limit", n, largest.ref)
	case all.Memory:
		say.hold(finding.Note, place, message, "ask for the text of the rule that allows it, or "+closer, n, largest.ref)
	}
}

// readRule reports whether one of the rules that apply was read, not remembered.
func readRule(all *protect.ReachResults) bool {
	for _, e := range all.Each {
		if e.Condition == protect.Met && e.Rule.Ref.How == source.Read {
			return true
		}
	}
	return false
}

// widest is the largest length among the rules that apply.
type widest struct {
	length float64
	ref    source.Ref
}

// eachReach tells of every rule what came of it.
func eachReach(r *report.Report, all *protect.ReachResults) (string, widest) {
	var words []string
	best := widest{length: math.NaN()}
	for _, e := range all.Each {
		limit := float64(e.Rule.Length)
		state := "exceeded"
		switch {
		case e.Condition == protect.NotMet && e.Rule.Sheathed:
			state = "only in a sheath or enclosure"
		case e.Condition == protect.NotMet:
			state = "only from a battery"
		case e.Condition == protect.ConditionOff:
			state = "lifted: " + e.Rule.Unless
		case e.Verdict == protect.Within:
			state = "kept"
		}
		words = append(words, fmt.Sprintf("%s (%s): %s", r.Bank.Show.FormatLength(e.Rule.Length), e.Rule.Ref.Title, state))
		if e.Condition == protect.Met && !(limit <= best.length) {
			best = widest{limit, e.Rule.Ref}
		}
	}
	return strings.Join(words, ", "), best
}
