package assess

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/engine/join"
	"bankwright/internal/engine/run"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/assemble"
)

// Join closes a battery onto the rest of the bank, and says whether it may
// stay: with what it carries in the cases of the job.
func (j *Job) Join(id string, o join.Options) (*report.Join, *Verdict, error) {
	if err := j.ready(); err != nil {
		return nil, nil, err
	}
	k := -1
	for i := range j.Bank.Batteries {
		if j.Bank.Batteries[i].ID == id {
			k = i
		}
	}
	if k < 0 {
		return nil, nil, fmt.Errorf("%s: there is no battery %s", j.Doc.File, id)
	}
	r, err := join.Solve(j.Bank, k, assemble.Rest(j.cat), o)
	if err != nil {
		return nil, nil, j.named(err)
	}
	v, err := j.mayJoin(k)
	if err != nil {
		return nil, nil, j.named(err)
	}
	return r, v, nil
}

// JoinOptions are the usual ones.
func JoinOptions() join.Options { return join.Defaults() }

// Answers of a Verdict.
const (
	Yes           = "yes"
	YesWithLimits = "yes, with limits"
	No            = "no"
	NotTold       = "not told"
)

// Verdict says whether a battery may be part of a bank.
type Verdict struct {
	Answer      string
	Why         []string
	Draw        float64 // A, largest draw at which no battery passes its lasting limit; +Inf: no limits
	DrawBy      string  // the battery that reaches its limit first
	Charge      float64 // A, likewise, above zero
	ChargeBy    string
	Case        bank.Case // the draw that the shares are of
	Current     []float64 // A by battery in it, from equal open-circuit voltages
	Share       []float64 // over its part by capacity
	Out         []float64 // C by battery over a whole discharge at that draw
	FirstOut    float64   // C until the first battery is out, with it
	Without     float64   // C, without it
	Life        Life
	LimitsKnown bool
	bare        [2]float64 // Draw and Charge of the bank without it
}

// evenEnough is how far a share may lie above the mean without a word, of one.
// Common practice, no source.
const evenEnough = 0.10

// worthwhile is the part of a battery's capacity that it must add to be worth
// its place. Common practice, no source.
const worthwhile = 0.5

// mayJoin weighs a bank with battery k against the one without it.
func (j *Job) mayJoin(k int) (*Verdict, error) {
	v := &Verdict{Draw: math.Inf(1), Charge: math.Inf(1), Case: firstDraw(j.Bank.Cases)}
	if v.Case.ID == "" {
		v.Case = assemble.SearchCase(j.cat, j.label())
	}
	v.Case.For = 0
	b := *j.Bank
	b.Batteries = append([]bank.Battery{}, b.Batteries...)
	b.Batteries[k].Off = false
	without := b
	without.Batteries = append([]bank.Battery{}, b.Batteries...)
	without.Batteries[k].Off = true
	less := Verdict{Draw: math.Inf(1), Charge: math.Inf(1), Case: v.Case}
	if err := less.limits(&without); err != nil {
		return nil, err
	}
	v.bare = [2]float64{less.Draw, less.Charge}
	if err := v.limits(&b); err != nil {
		return nil, err
	}
	if err := v.hours(j, &b, k); err != nil {
		return nil, err
	}
	v.decide(j, &b, k)
	return v, nil
}

// limits finds the largest draw and charge at which no battery passes what it
// may lastingly carry, from equal open-circuit voltages.
func (v *Verdict) limits(b *bank.Bank) error {
	c := v.Case
	if c.ByPower {
		c.ByPower, c.Current = false, quantity.Current(float64(c.Power)/float64(b.Batteries[0].EMF.V))
	}
	level := *b
	level.Batteries = append([]bank.Battery{}, b.Batteries...)
	for i := range level.Batteries {
		level.Batteries[i].EMF.V = level.Batteries[0].EMF.V
	}
	s, err := sharing.Solve(&level, c)
	if err != nil {
		return err
	}
	for i, one := range s.Batteries {
		v.Current, v.Share = append(v.Current, one.Current), append(v.Share, one.Share)
		part := one.Current / s.Current
		if one.Off || !(part > 0) {
			continue
		}
		l := b.Batteries[i].Limits
		if most := float64(l.Discharge) / part; l.Discharge > 0 {
			if v.LimitsKnown = true; most < v.Draw {
				v.Draw, v.DrawBy = most, one.ID
			}
		}
		if most := float64(l.Charge) / part; l.Charge > 0 && most < v.Charge {
			v.Charge, v.ChargeBy = most, one.ID
		}
	}
	return nil
}

// hours runs a whole discharge with battery k and one without it, from equal
// states of charge: joined batteries are to be charged to full first.
func (v *Verdict) hours(j *Job, b *bank.Bank, k int) error {
	for i := range b.Batteries {
		b.Batteries[i].Start.V = 1
	}
	r, err := run.Solve(b, []bank.Case{v.Case}, run.Options{Every: 600})
	if err != nil {
		return err
	}
	v.FirstOut = r.FirstOut
	for i := range r.Batteries {
		v.Out = append(v.Out, r.Batteries[i].Out)
	}
	v.Life = j.Life(r)
	less := *b
	less.Batteries = append([]bank.Battery{}, b.Batteries...)
	less.Batteries[k].Off = true
	if r, err = run.Solve(&less, []bank.Case{v.Case}, run.Options{}); err == nil {
		v.Without = r.FirstOut
	}
	return err
}

// decide turns the numbers into an answer.
func (v *Verdict) decide(j *Job, b *bank.Bank, k int) {
	v.Answer = Yes
	worse := func(answer, why string) {
		if v.Answer = answer; why != "" {
			v.Why = append(v.Why, why)
		}
	}
	one := &b.Batteries[k]
	gain := v.FirstOut - v.Without
	if peak, at := largestOf(v.Share); peak > 1+evenEnough {
		worse(YesWithLimits, fmt.Sprintf("%s carries %.0f %% more than its part of the current", b.Batteries[at].ID, 100*(peak-1)))
	}
	for _, c := range j.Bank.Cases {
		amps := float64(c.Current)
		if c.ByPower {
			amps = float64(c.Power) / float64(one.EMF.V)
		}
		switch {
		case amps > v.Draw*(1+1e-9) && v.Draw > v.bare[0], -amps > v.Charge*(1+1e-9) && v.Charge > v.bare[1]:
			worse(YesWithLimits, fmt.Sprintf("case %s asks for more than the bank may give or take, with it (%s) or without (%s)", c.ID, quantity.Format(quantity.Current(math.Abs(amps)), 3), quantity.Format(quantity.Current(math.Min(v.bare[0], v.bare[1])), 3)))
		case amps > v.Draw*(1+1e-9):
			worse(No, fmt.Sprintf("case %s draws %s; at %s %s reaches its discharge limit", c.ID, quantity.Format(quantity.Current(amps), 3), quantity.Format(quantity.Current(v.Draw), 3), v.DrawBy))
		case -amps > v.Charge*(1+1e-9):
			worse(No, fmt.Sprintf("case %s charges %s; at %s %s reaches its charge limit", c.ID, quantity.Format(quantity.Current(-amps), 3), quantity.Format(quantity.Current(v.Charge), 3), v.ChargeBy))
		}
	}
	if gain < worthwhile*float64(one.Capacity.V) {
		worse(No, fmt.Sprintf("it adds %s until the first battery is out, of its own %s", ampereHoursOf(gain), ampereHoursOf(float64(one.Capacity.V))))
	}
	for i := range b.Batteries {
		if other := &b.Batteries[i]; i != k && !other.Off && (other.Chemistry != one.Chemistry || cellsOf(j, other) != cellsOf(j, one)) && sameGroup(j, i, k) {
			worse(No, fmt.Sprintf("%s is %s of %s, %s is %s of %s: unlike batteries do not stand side by side", one.ID, one.Chemistry, quantity.Format(one.Nominal, 3), other.ID, other.Chemistry, quantity.Format(other.Nominal, 3)))
			break
		}
	}
	if !v.LimitsKnown && v.Answer == Yes {
		worse(NotTold, "the job gives no discharge limit of any battery to compare with")
	}
}

// largestOf gives the largest of values, NaN left out, and where it is.
func largestOf(values []float64) (float64, int) {
	most, at := math.Inf(-1), 0
	for i, v := range values {
		if v > most {
			most, at = v, i
		}
	}
	return most, at
}

// label is the capacity on the labels of the bank.
func (j *Job) label() quantity.Charge {
	return quantity.Charge(nameplate(j.Bank, assemble.Rest(j.cat)))
}

func cellsOf(j *Job, b *bank.Battery) float64 {
	return math.Round(float64(b.Nominal / j.cat.Chemistry(b.Chemistry).Cell.V))
}

// sameGroup reports whether two batteries have the same number of batteries
// between them and the negative take-off.
func sameGroup(j *Job, a, b int) bool {
	all := *j.Bank
	all.Batteries = append([]bank.Battery{}, all.Batteries...)
	all.Batteries[a].Off, all.Batteries[b].Off = false, false
	s, err := sharing.Solve(&all, assemble.Rest(j.cat))
	return err != nil || s.Batteries[a].Group == s.Batteries[b].Group
}

func ampereHoursOf(c float64) string { return quantity.Format(quantity.Charge(c), 3) }
