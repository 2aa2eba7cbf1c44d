package rules

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

var noMainFuse = Rule{
	ID:       "PRO-22",
	Title:    "The bank has no main fuse",
	Text:     "The batteries give thousands of amperes into a dead short, and a fuse or breaker close to them is all that opens it. Where the loads without any device hang on one place of the bank, this one finding takes the place of PRO-01 at each branch and of PRO-02 at the devices further on: they come back where the main fuse is in and something is still bare. Where a device at the batteries serves as many loads as are bare, the bare ones are left to PRO-01.",
	Source:   source.Ref{Title: "33 CFR 183.455", At: "(a) and (b)", Edition: "not stated", How: source.Read},
	Severity: finding.Fault,
	Failing:  dcWith("from: B1+, to: F1.a", "from: B1+, to: Q1.a", "from: F1.b, to: Q1.a", "from: F1.b, to: F1.a"),
	Passing:  dcJob,
	check:    checkNoMain,
}

// noMain is a bank whose loads hang on one place of it without a device.
type noMain struct {
	at    string         // the place
	lines []*report.Line // live cables that no device saves and that lead to loads
	loads []string       // what hangs on them
	own   []string       // devices that stand at the batteries themselves
}

// mainLacks tells whether the main fuse is what is missing, nil if not.
func mainLacks(r *report.Report) *noMain {
	core := coreOf(r)
	n := noMain{own: sitOn(r, core)}
	for i := range r.Side.Lines {
		l := &r.Side.Lines[i]
		kind, far := bareOf(r, l)
		if kind == bareNot || kind == bareLink {
			continue
		}
		at := coreEnd(r, core, l)
		loads := slices.DeleteFunc(far.devices, func(id string) bool { return !r.Bank.Part(id).Kind.Draws() })
		if len(loads) == 0 {
			if at != "" && len(far.guards) == 1 {
				n.own = append(n.own, far.guards[0])
			}
			continue
		}
		n.lines = append(n.lines, l)
		for _, id := range loads {
			if !slices.Contains(n.loads, id) {
				n.loads = append(n.loads, id)
			}
		}
		if at != "" && n.at != "" && n.at != at {
			return nil // they begin at several places: no one fuse mends it
		}
		if at != "" {
			n.at = at
		}
	}
	if n.at == "" || servedMost(r, n.own) >= len(n.loads) {
		return nil
	}
	return &n
}

// coreOf lists the places of the batteries' positive posts, and those that
// links join them to.
func coreOf(r *report.Report) map[string]bool {
	core := map[string]bool{}
	for i := range r.Bank.Batteries {
		core[r.Bank.Batteries[i].Plus().String()] = true
	}
	for i := range r.Side.Lines {
		if kind, _ := bareOf(r, &r.Side.Lines[i]); kind == bareLink {
			c := cableOf(r, &r.Side.Lines[i])
			core[placeOf(r.Bank, c.From)], core[placeOf(r.Bank, c.To)] = true, true
		}
	}
	return core
}

// sitOn lists the devices that sit on one of some places without a cable.
func sitOn(r *report.Report, places map[string]bool) []string {
	var all []string
	for i := range r.Bank.Parts {
		if p := &r.Bank.Parts[i]; p.Kind.Protects() && p.On != (bank.End{}) && places[placeOf(r.Bank, p.On)] {
			all = append(all, p.ID)
		}
	}
	return all
}

// coreEnd gives the place of the batteries that a cable leads away from, "" none.
func coreEnd(r *report.Report, core map[string]bool, l *report.Line) string {
	c := cableOf(r, l)
	for _, e := range []bank.End{c.From, c.To} {
		if at := placeOf(r.Bank, e); core[at] {
			return at
		}
	}
	return ""
}

// servedMost counts the loads behind that one of some devices which has the
// most of them.
func servedMost(r *report.Report, devices []string) int {
	served := map[string]int{}
	most := 0
	for _, ways := range batteryWays(r.Bank) {
		counted := map[string]bool{}
		for _, w := range ways {
			for _, id := range w.Devices {
				if slices.Contains(devices, id) && !counted[id] {
					counted[id] = true
					served[id]++
					most = max(most, served[id])
				}
			}
		}
	}
	return most
}

func checkNoMain(r *report.Report, say *speaker) {
	n := mainLacks(r)
	if n == nil {
		return
	}
	var names []string
	longest, most := 0.0, math.NaN()
	for _, l := range n.lines {
		names = append(names, l.Cable)
		longest = math.Max(longest, l.BareLength) // NaN stays
		if !(l.Most <= most) {
			most = l.Most
		}
	}
	words := fmt.Sprintf("the bank has no main fuse: nothing opens between %s and %s (cables %s)", n.at, listed(n.loads), listed(names))
	if !math.IsNaN(longest) {
		words += fmt.Sprintf(", up to %s of bare way", r.Bank.Show.FormatLength(quantity.Length(longest)))
	}
	if most > 0 {
		words += fmt.Sprintf("; a dead short draws up to %s through them", amps(most))
	}
	say.find(n.at, words, "put a fuse that can break that at "+n.at+", before everything else")
}
