package assess

import (
	"fmt"

	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/report"
	"bankwright/internal/read/assemble"
)

// charges solves what each charging source alone, and all of them together,
// push into each battery at their most, with the loads off.
func (j *Job) charges(s *report.Side) error {
	var ids []string
	h := j.heights()
	var all []sharing.Draw
	for i := range j.Bank.Parts {
		p := &j.Bank.Parts[i]
		if !p.Kind.Charges() || p.Device.Current <= 0 || !h.across(p) {
			continue
		}
		ids = append(ids, p.ID)
		all = append(all, sharing.Draw{Positive: end(p, 0), Negative: end(p, 1), Current: -float64(p.Device.Current)})
	}
	for n := range all {
		if err := j.charge(s, ids[n:n+1], all[n:n+1]); err != nil {
			return err
		}
	}
	if len(all) > 1 {
		return j.charge(s, ids, all)
	}
	return nil
}

func (j *Job) charge(s *report.Side, ids []string, draws []sharing.Draw) error {
	r, _, err := sharing.SolveDraws(j.Bank, assemble.Rest(j.cat).CableTemperature.V, draws)
	if err != nil {
		return fmt.Errorf("%s: charging by %v: %w", j.Doc.File, ids, err)
	}
	// What the batteries push into each other at rest is no part of it.
	rest, _, err := sharing.SolveDraws(j.Bank, assemble.Rest(j.cat).CableTemperature.V, nil)
	if err != nil {
		return fmt.Errorf("%s: at rest: %w", j.Doc.File, err)
	}
	one := report.Charge{Sources: ids}
	for _, d := range draws {
		one.Amps -= d.Current
	}
	for i := range r.Batteries {
		one.Batteries = append(one.Batteries, report.ChargeShare{ID: r.Batteries[i].ID, Amps: rest.Batteries[i].Current - r.Batteries[i].Current, Limit: float64(j.Bank.Batteries[i].Limits.Charge)})
	}
	s.Charges = append(s.Charges, one)
	return nil
}
