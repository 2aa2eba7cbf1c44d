package assess

import (
	"context"

	"bankwright/internal/engine/outage"
	"bankwright/internal/engine/spread"
	"bankwright/internal/model/report"
	"bankwright/internal/read/assemble"
)

// Dropout says what each loss of a battery does in one case. A case at rest is
// looked at with the draw of the search, so that there is something to carry.
func (j *Job) Dropout(id string) (*report.Dropout, error) {
	c, err := j.Case(id)
	if err != nil {
		return nil, err
	}
	if err := j.ready(); err != nil {
		return nil, err
	}
	d, err := outage.Solve(j.Bank, c, outage.Defaults())
	if err != nil {
		return nil, j.named(err)
	}
	for n := range d.Over {
		j.fuseTimes(&d.Over[n])
	}
	return &d, nil
}

// SpreadOptions are the usual ones, to be changed before Spread.
func SpreadOptions() spread.Options { return spread.Defaults() }

// Spread says what a bank does when its parts are a little off. Without an ID
// the first case that draws is meant, else a fifth of the capacity an hour.
func (j *Job) Spread(ctx context.Context, id string, o spread.Options, progress func(done int)) (*report.Spread, error) {
	c, err := j.Case(id)
	if err != nil {
		return nil, err
	}
	if id == "" {
		if c = firstDraw(j.Bank.Cases); c.ID == "" {
			c = assemble.SearchCase(j.cat, j.label())
		}
	}
	if err := j.ready(); err != nil {
		return nil, err
	}
	s, err := spread.Solve(ctx, j.Bank, c, o, progress)
	if err != nil {
		return nil, j.named(err)
	}
	return &s, nil
}
