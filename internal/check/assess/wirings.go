package assess

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/route"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/engine/wiring"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/assemble"
)

func isNoRoute(err error) bool {
	var none *route.NoRouteError
	return errors.As(err, &none)
}

// question is the search's question with what its numbers stand for.
type question struct {
	job     *Job
	current bank.Case // in amps
	strings []report.String
	rails   [2]*rail
	engine  wiring.Question
	out     *report.Wirings
}

// Wirings searches every wiring of the bank for a case, compares the textbook
// arrangements and the job's own cables with the front. Progress may be nil.
func (j *Job) Wirings(ctx context.Context, caseID string, progress func(done, total int)) (*report.Wirings, error) {
	q, err := j.question(caseID)
	if err != nil {
		return nil, j.named(err)
	}
	q.engine.Progress = progress
	answer, err := wiring.Search(ctx, q.engine)
	if err != nil {
		return nil, j.named(err)
	}
	o := q.out
	o.Space, o.SpaceNote = answer.Space.String(), answer.SpaceNote
	o.Examined, o.Exact, o.Solved, o.Smaller = answer.Examined.String(), answer.Exact, answer.Solved, answer.Smaller
	for _, w := range answer.Front {
		o.Front = append(o.Front, q.describe(w))
	}
	o.Textbook = q.textbook()
	o.Own, o.OwnNote = q.own()
	q.asIs()
	o.Assumed = q.assumed()
	return o, nil
}

func (j *Job) question(caseID string) (*question, error) {
	c, err := j.searchCase(caseID)
	if err != nil {
		return nil, err
	}
	q := &question{job: j, out: &report.Wirings{Takeoff: j.Bank.Takeoff, AnyPost: j.Bank.Question.AnyPost, Lugs: j.Bank.Question.Lugs}}
	if q.strings, err = j.findStrings(c); err != nil {
		return nil, err
	}
	if len(q.strings) < 2 {
		return nil, fmt.Errorf("there is one string only, so both rails have nothing to join; the search compares batteries or strings in parallel")
	}
	if c, err = j.searchCurrent(c, q.strings); err != nil {
		return nil, err
	}
	q.current = c
	for k := range q.rails {
		r, unrouted, err := j.newRail(k, q.strings, c)
		if err != nil {
			return nil, err
		}
		q.rails[k] = r
		q.out.Lengths = append(q.out.Lengths, r.pairs...)
		q.out.Unrouted = append(q.out.Unrouted, unrouted...)
	}
	q.out.Case, q.out.Current, q.out.Strings = c, float64(c.Current), q.strings
	q.engine = wiring.Question{Current: float64(c.Current), Positive: q.rails[0].engine(q.out.Lugs), Negative: q.rails[1].engine(q.out.Lugs)}
	for _, s := range q.strings {
		q.engine.Strings = append(q.engine.Strings, wiring.String{Resistance: s.Resistance, EMF: s.EMF, Capacity: s.Capacity, Off: s.Off})
	}
	return q, nil
}

// searchCase is the case named, else the first that draws, else rest, which
// searchCurrent then gives a current.
func (j *Job) searchCase(id string) (bank.Case, error) {
	if id != "" {
		return j.Case(id)
	}
	for _, c := range j.Bank.Cases {
		if c.Current > 0 || c.Power > 0 {
			return c, nil
		}
	}
	return assemble.Rest(j.cat), nil
}

// searchCurrent turns a case into amps once: power at the bank's nominal
// volts, an assumed case by the capacity of the strings.
func (j *Job) searchCurrent(c bank.Case, all []report.String) (bank.Case, error) {
	if c.Origin == source.Assumed {
		var sum float64
		for _, s := range all {
			sum += s.Capacity
		}
		return assemble.SearchCase(j.cat, quantity.Charge(sum)), nil
	}
	if c.ByPower {
		var nominal quantity.Voltage
		for _, id := range all[0].Batteries {
			nominal += j.Bank.Battery(id).Nominal
		}
		c.Current = quantity.Current(float64(c.Power) / float64(nominal))
	}
	if c.Current == 0 {
		return c, fmt.Errorf("case %s asks for no current, so shares mean nothing; choose a case that draws or charges", c.ID)
	}
	return c, nil
}

// describe turns an answer of the engine into the report's words.
func (q *question) describe(w wiring.Wiring) report.Wiring {
	trees := [2]wiring.Tree{w.Positive, w.Negative}
	f := wiringFacts(q.rails, trees)
	out := report.Wiring{
		Takeoff:  bank.Takeoff{Positive: q.rails[0].ends[w.Positive.Root], Negative: q.rails[1].ends[w.Negative.Root]},
		Positive: q.rails[0].edges(w.Positive), Negative: q.rails[1].edges(w.Negative),
		PositiveFlows: w.PositiveFlows, NegativeFlows: w.NegativeFlows,
		Copper: w.Copper, Imbalance: w.Imbalance, Ties: int(min(w.Ties, math.MaxInt)), Currents: w.Currents, Shares: w.Shares,
		TakeoffVoltage: w.TakeoffVoltage, Loss: w.Loss, WiringLoss: w.CableLoss,
		Cables: f.cables, FullestPost: f.fullest, FullestAt: f.fullestAt, Longest: f.longest, Distinct: f.distinct,
		OneOutShare: math.NaN(), OneOutString: -1,
	}
	if w.WorstOut >= 0 {
		out.OneOutShare, out.OneOutString = w.Outs[w.WorstOut].Share, w.Outs[w.WorstOut].String
	}
	return out
}

// own evaluates the job's own cables, where they are a wiring of the question.
func (q *question) own() (*report.Wiring, string) {
	var trees [2]wiring.Tree
	same := true // each cable's resistance is that which the search has for its pair
	outside := q.partJoins()
	for k, r := range q.rails {
		trees[k].Root = r.root
		if r.root < 0 {
			trees[k].Root = r.node([2]bank.End{q.out.Takeoff.Positive, q.out.Takeoff.Negative}[k])
		}
		for i := range q.job.Bank.Cables {
			c := &q.job.Bank.Cables[i]
			a, b := r.node(c.From), r.node(c.To)
			if a < 0 || b < 0 {
				continue
			}
			if p := r.pair(a, b); p >= 0 {
				trees[k].Pairs = append(trees[k].Pairs, p)
				same = same && q.sameResistance(c, &r.pairs[p])
			}
		}
	}
	apart := q.joinedOutside(outside)
	if len(trees[0].Pairs)+len(trees[1].Pairs) == 0 && !apart {
		return nil, "the job has no rail cables yet"
	}
	w, err := wiring.Evaluate(&q.engine, trees[0], trees[1])
	if err != nil || apart {
		return nil, "the job's own cables are no tree over posts and take-off alone (one is missing, or bars, parts or rings are in them), so they stand outside this comparison; see currents"
	}
	one := q.describe(w)
	one.Name = "yours"
	if !same {
		one.Note = "your rail cables have other sizes or joints than the search compares with; shown as if they had its own"
	}
	return &one, ""
}

// asIs solves a job whose cables are no wiring of the question at the current
// that is compared, and names the parts that only it has.
func (q *question) asIs() {
	j, o := q.job, q.out
	if o.Own != nil || j.ready() != nil {
		return
	}
	c := q.current
	c.ByPower, c.Power = false, 0
	s, err := sharing.Solve(j.Bank, c)
	if err != nil {
		return
	}
	o.OwnAsIs = &s
	for _, p := range s.Parts {
		if k := j.Bank.Part(p.ID); math.Abs(p.Current) > 1e-6*math.Abs(o.Current) && k.Kind != bank.Stud && !slices.Contains(o.LeftOut, p.ID) {
			o.LeftOut = append(o.LeftOut, p.ID)
		}
	}
}

// partJoins joins ends by all that is no cable of a rail: the parts, and
// cables with an end that is on no rail.
func (q *question) partJoins() joined {
	b := q.job.Bank
	net := joinParts(b)
	for i := range b.Cables {
		c := &b.Cables[i]
		rail := false
		for _, r := range q.rails {
			rail = rail || r.node(c.From) >= 0 && r.node(c.To) >= 0
		}
		if !rail {
			net.join(c.From, c.To)
		}
	}
	return net
}

// joinedOutside reports whether something other than rail cables joins two
// ends of a rail.
func (q *question) joinedOutside(net joined) bool {
	for _, r := range q.rails {
		for i, a := range r.ends {
			for _, b := range r.ends[:i] {
				if net.root(a) == net.root(b) {
					return true
				}
			}
		}
	}
	return false
}

// sameResistance allows for the rounding of a temperature factor.
func (q *question) sameResistance(c *bank.Cable, p *report.PairLength) bool {
	const slack = 1e-9
	have := float64(c.Resistance(q.current.CableTemperature.V))
	return math.Abs(have-p.Resistance) <= slack*p.Resistance
}
