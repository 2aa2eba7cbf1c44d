package assess

import (
	"sort"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/rules"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
)

// Check computes the report of the whole job: the snapshot of its first case,
// the whole d.c. side, and what every rule says. What the rules say of further
// cases' snapshots is with it.
func (j *Job) Check() (*report.Report, error) {
	r, err := j.Currents("")
	if err != nil {
		return nil, err
	}
	snapshot := r.Findings
	if r.Side, err = j.Side(); err != nil {
		return nil, err
	}
	if j.HasHeat() {
		if r.Heat, err = j.Heat(HeatOptions{Year: true}); err != nil {
			return nil, err
		}
	}
	if r.Mount, err = j.Mount(""); err != nil {
		return nil, err
	}
	if len(j.Bank.Days.Loads) > 0 {
		if r.Days, err = j.Days(DaysOptions{Heat: r.Heat}); err != nil {
			return nil, err
		}
	}
	r.Findings, r.Unchecked = rules.Check(r)
	for n := 1; n < len(j.Bank.Cases); n++ {
		other, err := j.Currents(j.Bank.Cases[n].ID)
		if err != nil {
			return nil, err
		}
		r.Findings = append(r.Findings, further(snapshot, other.Findings)...)
		snapshot = append(snapshot, other.Findings...)
	}
	sort.SliceStable(r.Findings, func(a, b int) bool { return before(&r.Findings[a], &r.Findings[b]) })
	r.Assumed = j.sideAssumptions(r.Side)
	if r.Heat != nil {
		r.Assumed = append(r.Assumed, r.Heat.Assumed...)
	}
	if r.Days != nil {
		r.Assumed = append(r.Assumed, r.Days.Assumed...)
	}
	if r.Mount != nil {
		r.Assumed = append(r.Assumed, r.Mount.Assumed...)
	}
	return r, nil
}

// before puts the gravest first, and of those what others hang on.
func before(a, b *finding.Finding) bool {
	if x, y := a.Severity.Rank(), b.Severity.Rank(); x != y {
		return x < y
	}
	return rules.Leads(a.Rule) && !rules.Leads(b.Rule)
}

// further keeps what was not said before.
func further(before, now []finding.Finding) []finding.Finding {
	said := map[string]bool{}
	for _, f := range before {
		said[f.Rule+f.Place+f.Message] = true
	}
	var all []finding.Finding
	for _, f := range now {
		if !said[f.Rule+f.Place+f.Message] {
			all = append(all, f)
		}
	}
	return all
}

// sideAssumptions lists what the checks of the d.c. side rest on beside what
// the snapshot does.
func (j *Job) sideAssumptions(s *report.Side) []report.Assumption {
	list := assumptions(Assumptions(j.Bank, bank.Case{}))
	p := &j.Bank.Practice
	addAssumed(&list, "book of rules", "the job", p.Book.V, p.Book)
	addAssumed(&list, "warmest air round the cables", "the job", j.Bank.Show.FormatTemperature(p.Ambient.V), p.Ambient)
	for i := range j.Bank.Batteries {
		b := &j.Bank.Batteries[i]
		addAssumed(&list, "resistance in a dead short", b.ID, ohms(float64(b.FaultResistance.V)), b.FaultResistance)
	}
	for i := range j.Bank.Cables {
		c := &j.Bank.Cables[i]
		addAssumed(&list, "insulation", c.ID, j.Bank.Show.FormatTemperature(c.Wrap.Insulation.V), c.Wrap.Insulation)
		for _, words := range s.Lines[i].Assumed {
			list.add("cable", c.ID, words, "", "")
		}
	}
	for i := range j.Bank.Parts {
		d := &j.Bank.Parts[i]
		if d.Device.Efficiency.Known() {
			addAssumed(&list, "efficiency", d.ID, quantity.Format(d.Device.Efficiency.V, 3), d.Device.Efficiency)
		}
		addAssumed(&list, "resistance", d.ID, ohms(float64(d.Resistance.V)), d.Resistance)
	}
	return list
}
