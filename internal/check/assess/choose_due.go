package assess

import (
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/feed"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/rating"
	"bankwright/internal/model/report"
)

// nearPractice stands in where a book has no length: as near the post as it
// goes. Common practice, no source.
const nearPractice = 0.18 // m

var plainReach = source.Ref{Title: "a device stands as near the battery post as it goes", How: source.Practice}

// due finds where live conductors leave the bank without a device: each
// conductor, not one between two posts, on which the way from a battery passes
// the longest that the book allows.
func (c *chooser) due(st *state) []report.DeviceDue {
	var all []report.DeviceDue
	for i := range st.feed.Cables {
		f, cable := &st.feed.Cables[i], &st.job.Bank.Cables[i]
		if f.Side != feed.Positive && f.Side != feed.Between || cable.From.IsPost() && cable.To.IsPost() {
			continue
		}
		end, way := bareWay(f, cable)
		if way == nil {
			continue
		}
		short, long := c.job.reach(cable)
		far := way.Length + f.Len
		if far <= float64(long.Length)*overSlack || way.Length > float64(long.Length)*overSlack {
			continue // ends within it, or begins beyond it and an earlier one is named
		}
		rule := short
		if way.Length > float64(short.Length)*overSlack {
			rule = long
		}
		all = append(all, c.dueAt(st, i, end, way, rule))
	}
	return all
}

// bareWay gives the end of a cable at which a battery comes in through no
// device, the nearest battery; nil where none does.
func bareWay(f *feed.Cable, cable *bank.Cable) (bank.End, *feed.Way) {
	var at bank.End
	var best *feed.Way
	for n, ways := range f.Ways {
		for k := range ways {
			w := &ways[k]
			if w.Battery && len(w.Devices) == 0 && (best == nil || w.Length < best.Length) {
				at, best = []bank.End{cable.From, cable.To}[n], w
			}
		}
	}
	return at, best
}

// reach gives the shortest length that the book sets without a condition, and
// the longest whose conditions a cable meets.
func (j *Job) reach(cable *bank.Cable) (short, long rating.Reach) {
	for _, r := range j.cat.Reaches() {
		if string(r.Regime) != j.Bank.Practice.Book.V || r.Sheathed && !cable.Wrap.Sheath {
			continue
		}
		if r.Length > long.Length {
			long = r
		}
		if !r.Battery && !r.Sheathed && (short.Length == 0 || r.Length < short.Length) {
			short = r
		}
	}
	if short.Length == 0 {
		short = rating.Reach{Length: nearPractice, Ref: plainReach}
	}
	if long.Length < short.Length {
		long = short
	}
	return short, long
}

func (c *chooser) dueAt(st *state, i int, end bank.End, way *feed.Way, rule rating.Reach) report.DeviceDue {
	l := &st.side.Lines[i]
	one := report.DeviceDue{Cable: l.Cable, End: end.String(), Source: way.Source.String(), Within: rule.Length, Rule: rule, Most: math.NaN(), Volts: c.side.Highest}
	if steady := l.Steady.Amps; steady > 0 {
		if r, ok := c.job.cat.StandardRatings().AtLeast(quantity.Current(steady / continuous.V)); ok {
			one.Rating = r
		}
	}
	for _, p := range c.side.Points {
		if p.Place == end.String() {
			one.Most = p.Most
		}
	}
	for k := range st.feed.Cables {
		f := &st.feed.Cables[k]
		if f.Side == st.feed.Cables[i].Side && f.Bare() && c.behind(st, i, k) {
			if bearsLess(&st.side.Lines[k], float64(one.Rating)) {
				one.Weak = append(one.Weak, f.ID)
				continue
			}
			one.Saves = append(one.Saves, f.ID)
		}
	}
	return one
}

// bearsLess reports whether a conductor bears less than a device's rating by
// its table, or by heat where that has no row; what is not known bears it.
func bearsLess(l *report.Line, rating float64) bool {
	if t := l.Governing(); t != nil {
		return t.Amps < rating*(1-1e-9)
	}
	return l.Physics < rating*(1-1e-9)
}

// behind reports whether a cable's current would have to come through another:
// everything that passes it passes that one whole.
func (c *chooser) behind(st *state, through, cable int) bool {
	if through == cable {
		return true
	}
	some := false
	for _, u := range st.unit {
		if f := math.Abs(u.cables[cable]); f > noFlow {
			some = true
			if math.Abs(u.cables[through]) < wholeFlow {
				return false
			}
		}
	}
	b := st.job.Bank
	return some && !(b.Cables[cable].From.IsPost() && b.Cables[cable].To.IsPost())
}
