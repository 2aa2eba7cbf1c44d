package assess

import (
	"errors"
	"fmt"
	"math"
	"sort"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/wiring"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/job"
)

// rail is one side of the question: its ends and the pairs a cable may join.
type rail struct {
	name  string // positive, negative
	index int    // 0 positive, 1 negative
	size  quantity.Size
	ends  []bank.End // nodes, in plain order of their names
	posts []int      // node of each string's post
	root  int        // node of the take-off, -1 where every post is one in turn
	pairs []report.PairLength
	nodes [][2]int // of each pair
}

// newRail collects the ends of one side and the length of every pair.
func (j *Job) newRail(index int, all []report.String, c bank.Case) (*rail, []report.Unrouted, error) {
	r := &rail{name: "positive", index: index, size: j.Bank.Question.Positive, root: -1}
	takeoff := j.Bank.Takeoff.Positive
	if index == 1 {
		r.name, r.size, takeoff = "negative", j.Bank.Question.Negative, j.Bank.Takeoff.Negative
	}
	if r.size.IsZero() {
		return nil, nil, fmt.Errorf("the search needs to know the cables of the %s rail; write wirings: {cable: {positive: …, negative: …}}, as in positive: 2/0 AWG", r.name)
	}
	r.collectEnds(all, takeoff, j.Bank.Question.AnyPost)
	unrouted, err := j.measurePairs(r, c)
	return r, unrouted, err
}

func (r *rail) post(s report.String) bank.End {
	if r.index == 1 {
		return s.Negative
	}
	return s.Positive
}

func (r *rail) collectEnds(all []report.String, takeoff bank.End, any bool) {
	for _, s := range all {
		r.ends = append(r.ends, r.post(s))
	}
	own := false
	for _, e := range r.ends {
		own = own || e == takeoff
	}
	if !any && !own {
		r.ends = append(r.ends, takeoff)
	}
	sort.Slice(r.ends, func(a, b int) bool { return r.ends[a].String() < r.ends[b].String() })
	for _, s := range all {
		r.posts = append(r.posts, r.node(r.post(s)))
	}
	if !any {
		r.root = r.node(takeoff)
	}
}

func (r *rail) node(e bank.End) int {
	for i, have := range r.ends {
		if have == e {
			return i
		}
	}
	return -1
}

// measurePairs gives every pair of ends its length and resistance. A pair that
// cannot be routed is left out and told; one that lacks what routing needs is
// an error, told once for each battery or part that lacks it.
func (j *Job) measurePairs(r *rail, c bank.Case) ([]report.Unrouted, error) {
	var unrouted []report.Unrouted
	var faults job.Collector
	told := map[string]bool{}
	for a := range r.ends {
		for b := a + 1; b < len(r.ends); b++ {
			p, why, err := j.measure(r, r.ends[a], r.ends[b], c)
			var lacks *placeError
			switch {
			case errors.As(err, &lacks):
				if !told[lacks.id] {
					told[lacks.id] = true
					faults.Add(j.posOf(lacks.id), "%v", err)
				}
			case err != nil:
				return nil, err
			case why != "":
				unrouted = append(unrouted, report.Unrouted{Rail: r.name, From: r.ends[a], To: r.ends[b], Why: why})
			default:
				r.pairs = append(r.pairs, p)
				r.nodes = append(r.nodes, [2]int{a, b})
			}
		}
	}
	return unrouted, faults.Err(j.Doc.File)
}

// measure finds a pair's length: one given for the job's cable between the
// two, else the pair given by hand, else the route. why is set where no route
// exists.
func (j *Job) measure(r *rail, from, to bank.End, c bank.Case) (p report.PairLength, why string, err error) {
	p = report.PairLength{Rail: r.name, From: from, To: to}
	hand := j.handPair(from, to)
	cable := j.cableBetween(from, to)
	size, along := r.size, []string(nil)
	switch {
	case cable != nil:
		along = cable.Along
		if !cable.Size.IsZero() {
			size = cable.Size // so that the steps are those of the length that stands
		}
	case hand != nil:
		along = hand.Along
	}
	route, routeErr := j.lay.route(from, to, size, along)
	p.Points, p.Steps = route.Points, route.Steps
	switch {
	case cable != nil && cable.Length.Origin == source.Given:
		p.Length, p.Origin = float64(cable.Length.V), source.Given
	case hand != nil && hand.Length.Known():
		p.Length, p.Origin = float64(hand.Length.V), source.Given
	case cable != nil && cable.Length.Known():
		p.Length, p.Origin = float64(cable.Length.V), cable.Length.Origin
	case routeErr == nil:
		p.Length, p.Origin = route.Length, source.Routed
	case isNoRoute(routeErr):
		return p, routeErr.Error(), nil
	default:
		return p, "", fmt.Errorf("the pair %s to %s has no length: %w; give that, or the length under wirings: pairs", from, to, routeErr)
	}
	if p.Origin != source.Routed {
		p.Steps = nil
	}
	p.Resistance = j.pairResistance(r, p.Length, c)
	if cable != nil && cable.Whole.Known() {
		p.Resistance = float64(cable.Whole.V)
	}
	return p, "", nil
}

func (j *Job) pairResistance(r *rail, length float64, c bank.Case) float64 {
	q := &j.Bank.Question
	like := bank.Cable{PerLength: q.PerLength[r.index], Coefficient: q.Coefficient,
		Joints: [2]source.Value[quantity.Resistance]{q.Joint, q.Joint}, Length: source.Of(quantity.Length(length))}
	return float64(like.Resistance(c.CableTemperature.V))
}

func (j *Job) handPair(a, b bank.End) *bank.Pair {
	for i := range j.Bank.Question.Pairs {
		p := &j.Bank.Question.Pairs[i]
		if p.From == a && p.To == b || p.From == b && p.To == a {
			return p
		}
	}
	return nil
}

// cableBetween gives the job's first cable between two ends, nil if none.
func (j *Job) cableBetween(a, b bank.End) *bank.Cable {
	for i := range j.Bank.Cables {
		c := &j.Bank.Cables[i]
		if c.From == a && c.To == b || c.From == b && c.To == a {
			return c
		}
	}
	return nil
}

// engine gives the rail as the search takes it.
func (r *rail) engine(lugs int) wiring.Rail {
	e := wiring.Rail{Lugs: lugs}
	for i, end := range r.ends {
		e.Names = append(e.Names, end.String())
		owner := -1
		for s, node := range r.posts {
			if node == i {
				owner = s
			}
		}
		e.String = append(e.String, owner)
	}
	if r.root >= 0 {
		e.Roots = []int{r.root}
	} else {
		e.Roots = append(e.Roots, r.posts...)
		sort.Ints(e.Roots)
	}
	for i, p := range r.pairs {
		e.Pairs = append(e.Pairs, wiring.Pair{A: r.nodes[i][0], B: r.nodes[i][1], Length: p.Length, Resistance: p.Resistance})
	}
	return e
}

// pair gives the index of the pair between two nodes, -1 if it has none.
func (r *rail) pair(a, b int) int {
	if a > b {
		a, b = b, a
	}
	for i, n := range r.nodes {
		if n == [2]int{a, b} {
			return i
		}
	}
	return -1
}

// edges names the cables of a tree, each with its lesser name first.
func (r *rail) edges(t wiring.Tree) [][2]bank.End {
	list := make([][2]bank.End, 0, len(t.Pairs))
	for _, p := range t.Pairs {
		list = append(list, [2]bank.End{r.ends[r.nodes[p][0]], r.ends[r.nodes[p][1]]})
	}
	return list
}

// facts are what a fitter asks of a wiring beside the currents.
type facts struct {
	cables, fullest, distinct int
	fullestAt                 bank.End
	longest                   float64
}

// wiringFacts counts cables, lugs and lengths. Two lengths are the same where
// they differ by no more than a millimetre, which no cut shows.
func wiringFacts(rails [2]*rail, trees [2]wiring.Tree) facts {
	var f facts
	var lengths []float64
	for k, r := range rails {
		lugs := make([]int, len(r.ends))
		for _, p := range trees[k].Pairs {
			f.cables++
			lengths = append(lengths, r.pairs[p].Length)
			for _, n := range r.nodes[p] {
				if lugs[n]++; lugs[n] > f.fullest {
					f.fullest, f.fullestAt = lugs[n], r.ends[n]
				}
			}
		}
	}
	sort.Float64s(lengths)
	start := math.Inf(-1)
	for _, l := range lengths {
		if l > start+0.001 {
			f.distinct, start = f.distinct+1, l
		}
		f.longest = math.Max(f.longest, l)
	}
	return f
}
