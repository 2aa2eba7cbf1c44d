package assess

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// link is the way from a positive post to the negative post of the next
// battery of a string: one series cable, or several side by side.
type link struct {
	to          bank.End
	conductance float64
	assumed     bool
}

// findStrings groups the batteries into strings by the job's series cables,
// those that join a positive post to a negative one. A mid-point tie has no
// place in the search; the error says which cable is one.
func (j *Job) findStrings(c bank.Case) ([]report.String, error) {
	links, err := j.links(c)
	if err != nil {
		return nil, err
	}
	follows := map[string]bool{}
	for _, l := range links {
		follows[l.to.ID] = true
	}
	if err := j.checkTies(links, follows); err != nil {
		return nil, err
	}
	if err := j.checkPartLinks(links); err != nil {
		return nil, err
	}
	var all []report.String
	seen := 0
	for i := range j.Bank.Batteries {
		first := &j.Bank.Batteries[i]
		if follows[first.ID] {
			continue
		}
		s := j.chain(first, links)
		seen += len(s.Batteries)
		all = append(all, s)
	}
	if seen != len(j.Bank.Batteries) {
		return nil, fmt.Errorf("series cables join some batteries into a ring; a string has two open ends")
	}
	return all, nil
}

// links gives the series cables by the positive post they start from.
func (j *Job) links(c bank.Case) (map[string]*link, error) {
	links := map[string]*link{}
	from := map[string]string{} // negative side to positive side
	for i := range j.Bank.Cables {
		cable := &j.Bank.Cables[i]
		plus, minus := cable.From, cable.To
		if plus.Place == "-" {
			plus, minus = minus, plus
		}
		if plus.Place != "+" || minus.Place != "-" {
			continue
		}
		if !cable.HasResistance() {
			return nil, j.at(j.Doc.Cables[i].Pos, "series cable %s has no length: %s; give its length or resistance", cable.ID, cable.RouteFailure)
		}
		l := links[plus.ID]
		if other, ok := from[minus.ID]; l != nil && l.to != minus || ok && other != plus.ID {
			return nil, j.at(j.Doc.Cables[i].Pos, "cable %s ties the middles of strings together; the search takes strings that are joined at their ends only; take it out for the search", cable.ID)
		}
		if l == nil {
			l = &link{to: minus}
			links[plus.ID], from[minus.ID] = l, plus.ID
		}
		l.conductance += 1 / float64(cable.Resistance(c.CableTemperature.V))
		l.assumed = l.assumed || cableOrigin(cable) == source.Assumed
	}
	return links, nil
}

// checkTies notes cables that go to a post inside a string.
func (j *Job) checkTies(links map[string]*link, follows map[string]bool) error {
	inner := func(e bank.End) bool {
		return e.Place == "+" && links[e.ID] != nil || e.Place == "-" && follows[e.ID]
	}
	for i := range j.Bank.Cables {
		c := &j.Bank.Cables[i]
		series := c.From.IsPost() && c.To.IsPost() && c.From.Place != c.To.Place
		if !series && (inner(c.From) || inner(c.To)) {
			return j.at(j.Doc.Cables[i].Pos, "cable %s goes to a post inside a string (a mid-point tie); the search takes strings that are joined at their ends only; take it out for the search", c.ID)
		}
	}
	for _, e := range []bank.End{j.Bank.Takeoff.Positive, j.Bank.Takeoff.Negative} {
		if inner(e) {
			return j.at(j.Doc.Takeoff.Pos, "the take-off %s is a post inside a string; the search takes off at the ends of strings only", e)
		}
	}
	return nil
}

// checkPartLinks notes batteries in series by way of a part. The cables alone
// would make them look as if they stood in parallel.
func (j *Job) checkPartLinks(links map[string]*link) error {
	net := joinParts(j.Bank)
	for i := range j.Bank.Cables {
		net.join(j.Bank.Cables[i].From, j.Bank.Cables[i].To)
	}
	for i := range j.Bank.Batteries {
		for k := range j.Bank.Batteries {
			plus, minus := j.Bank.Batteries[i].Plus(), j.Bank.Batteries[k].Minus()
			if l := links[plus.ID]; net.root(plus) == net.root(minus) && (l == nil || l.to != minus) {
				return j.at(j.Doc.Batteries[i].Pos, "parts join %s to %s inside a string; the search takes strings joined by cables from post to post only; write such a cable with its whole resistance for the search", plus, minus)
			}
		}
	}
	return nil
}

// joined is a union of ends that copper joins.
type joined map[bank.End]bank.End

// joinParts joins what each part joins, open switches too: where current runs
// when they close is what tells strings.
func joinParts(b *bank.Bank) joined {
	net := joined{}
	for i := range b.Parts {
		ends := b.Parts[i].Joined()
		for _, e := range ends[min(1, len(ends)):] {
			net.join(ends[0], e)
		}
	}
	return net
}

func (j joined) join(a, b bank.End) { j[j.root(a)] = j.root(b) }

func (j joined) root(e bank.End) bank.End {
	for up, ok := j[e]; ok && up != e; up, ok = j[e] {
		e = up
	}
	return e
}

// chain follows a string from its negative end up.
func (j *Job) chain(first *bank.Battery, links map[string]*link) report.String {
	s := report.String{Negative: first.Minus(), Capacity: math.Inf(1), Origin: source.Given}
	for bat := first; ; {
		s.Batteries = append(s.Batteries, bat.ID)
		s.EMF += float64(bat.EMF.V)
		s.Resistance += float64(bat.Resistance.V)
		s.Capacity = math.Min(s.Capacity, float64(bat.Capacity.V))
		s.Off = s.Off || bat.Off
		if bat.EMF.Origin == source.Assumed || bat.Resistance.Origin == source.Assumed {
			s.Origin = source.Assumed
		}
		s.Positive = bat.Plus()
		l := links[bat.ID]
		if l == nil || len(s.Batteries) > len(j.Bank.Batteries) {
			s.ID = strings.Join(s.Batteries, ">")
			return s
		}
		s.Resistance += 1 / l.conductance
		if l.assumed {
			s.Origin = source.Assumed
		}
		bat = j.Bank.Battery(l.to.ID)
	}
}
