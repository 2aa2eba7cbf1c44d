package protect

import (
	"math"

	"bankwright/internal/base/source"
)

// Step is a current held for a time.
type Step struct {
	Current float64 // A, either way
	Seconds float64 // +Inf: for good
}

// Pass is what a device does at a load.
type Pass string

// What a device does.
const (
	Carries Pass = "carries"  // for sure
	MayOpen Pass = "may open" // some of its kind do
	Opens   Pass = "opens"    // for sure
	NotTold Pass = "not told"
)

// rank orders so that the worst of several stands.
func (p Pass) rank() int {
	switch p {
	case Opens:
		return 3
	case MayOpen:
		return 2
	case NotTold:
		return 1
	}
	return 0
}

// StepPass is one step against the device, which is taken as cold before it.
type StepPass struct {
	Step
	Multiple float64 // of the rating
	Earliest float64 // s, it does not open sooner; +Inf: carried without end; NaN not told
	Latest   float64 // s, it has opened by then; NaN not told
	Pass     Pass
	Long     bool // it lasts so long that the part allowed for continuous load counts
}

// PassResult is a load against a device. Margin is the least of Earliest over
// Seconds among the steps above the rating, NaN where there is none; Worst the
// step it is of, else the one of most current; -1 without steps.
type PassResult struct {
	Outcome
	Pass       Pass // of the whole: the worst step's, or that of steps on end
	Steps      []StepPass
	Worst      int
	Margin     float64
	Continuous float64 // A that it may carry for long; NaN where no part is asked
	Estimated  bool    // steps above the rating follow each other, and only the sum of their parts of time speaks for them
}

// LoadOptions set what is asked of a load beside the band.
type LoadOptions struct {
	Continuous source.Value[float64] // part of the rating that a lasting load may take; not known: not asked
	Long       float64               // s from which a load lasts; 0: three hours
}

// lasting is from when a load counts as lasting, s.
const lasting = 3 * 3600

// lastingRef is where that stands.
var lastingRef = source.Ref{Title: "NFPA 70", At: "Article 100, continuous load: three hours or more", Edition: "not at hand", How: source.Memory}

// Passes says whether a device carries a load, step after step. Steps at or
// below its rating it carries without end, at the temperature it is rated for.
// A step above is carried for as long as the band tells at the least; exactly
// as long still holds.
//
// Steps above the rating that follow each other are carried for sure when the
// largest of them would be for the time of all. Else their parts of the least
// times are summed, and up to one they count as carried, by estimate: an
// element does not warm evenly, so the sum is no bound.
//
// Within: all are carried and lasting ones keep to the part that is asked.
// Outside: something may open or is too much for lasting. Not checked: a step
// is beyond what is told, a number is none, or there are no steps.
func Passes(d Device, load []Step, o LoadOptions) PassResult {
	r := PassResult{Worst: -1, Margin: math.NaN(), Continuous: math.NaN(), Pass: NotTold}
	if !d.rated(&r.Outcome) {
		return r
	}
	d.ground(&r.Outcome)
	r.use(d.Melting)
	if len(load) == 0 {
		r.say(NotChecked, "no load is told")
		return r
	}
	long := o.Long
	if long == 0 {
		long = lasting
	}
	r.Pass = Carries
	for _, s := range load {
		p := d.pass(s)
		p.Long = s.Seconds >= long
		r.Steps = append(r.Steps, p)
		r.worst(len(r.Steps) - 1)
		if p.Pass.rank() > r.Pass.rank() {
			r.Pass = p.Pass
		}
	}
	r.onEnd(&d)
	r.judge(&d)
	r.continuous(&d, o)
	return r
}

// pass is one step against a cold device.
func (d *Device) pass(s Step) StepPass {
	current := math.Abs(s.Current)
	p := StepPass{Step: s, Multiple: d.multiple(current), Earliest: math.NaN(), Latest: math.NaN(), Pass: NotTold}
	if !(s.Seconds >= 0) || math.IsNaN(current) || math.IsInf(current, 1) {
		return p
	}
	p.Earliest, _ = d.earliest(current)
	p.Latest, _ = d.latest(current)
	switch {
	case s.Seconds == 0 || atMost(s.Seconds, p.Earliest):
		p.Pass = Carries
	case atMost(p.Latest, s.Seconds):
		p.Pass = Opens
	case !math.IsNaN(p.Earliest):
		p.Pass = MayOpen
	}
	return p
}

// worst keeps the step of the least margin.
func (r *PassResult) worst(i int) {
	p := &r.Steps[i]
	margin := math.NaN()
	if !math.IsInf(p.Earliest, 1) && p.Seconds > 0 {
		margin = p.Earliest / p.Seconds
	}
	switch {
	case margin < r.Margin || math.IsNaN(r.Margin) && !math.IsNaN(margin):
		r.Worst, r.Margin = i, margin
	case math.IsNaN(r.Margin) && (r.Worst < 0 || p.Multiple > r.Steps[r.Worst].Multiple):
		r.Worst = i
	}
}

// onEnd looks at steps above the rating that follow each other, where each
// alone is carried.
func (r *PassResult) onEnd(d *Device) {
	for i := 0; i < len(r.Steps); {
		j, most, time, parts := i, 0.0, 0.0, 0.0
		for ; j < len(r.Steps) && r.Steps[j].Pass == Carries && !math.IsInf(r.Steps[j].Earliest, 1); j++ {
			s := &r.Steps[j]
			most, time = math.Max(most, math.Abs(s.Current)), time+s.Seconds
			if s.Seconds > 0 {
				parts += s.Seconds / s.Earliest
			}
		}
		if j-i > 1 && d.pass(Step{most, time}).Pass != Carries {
			r.Estimated = true
			if !atMost(parts, 1) && r.Pass.rank() < MayOpen.rank() {
				r.Pass = MayOpen
				r.say(Outside, "steps %d to %d follow each other and together use %.3g of the least time", i+1, j, parts)
			}
		}
		i = max(j, i+1)
	}
}

// judge turns what was found into a verdict with its reason.
func (r *PassResult) judge(d *Device) {
	for i := range r.Steps {
		if r.Steps[i].Multiple <= 1 {
			r.ground(carried)
		}
	}
	if r.Verdict != "" { // said of steps on end
		return
	}
	w := &r.Steps[r.Worst]
	for i := range r.Steps { // the reason is of the step that decided
		if r.Steps[i].Pass == r.Pass && w.Pass != r.Pass {
			w = &r.Steps[i]
		}
	}
	current := amps(math.Abs(w.Current))
	switch r.Pass {
	case Carries:
		r.say(Within, "%s carries the load; what loads it most is %s %s, which it carries %s at the least", d.name(), current, span(w.Seconds), span(w.Earliest))
	case MayOpen:
		r.say(Outside, "%s may open: %s %s, but it is sure to carry that only %s", d.name(), current, span(w.Seconds), span(w.Earliest))
	case Opens:
		r.say(Outside, "%s opens: %s %s, and it has opened after %s", d.name(), current, span(w.Seconds), seconds(w.Latest))
	case NotTold:
		r.say(NotChecked, "what %s does at %s %s is not told", d.name(), current, span(w.Seconds))
	}
	if r.Estimated {
		r.say(r.Verdict, "steps that follow each other were judged by the sum of their parts of the least time, an estimate")
	}
}

// continuous holds lasting steps against the part of the rating they may take.
func (r *PassResult) continuous(d *Device, o LoadOptions) {
	part, ok := positive(o.Continuous)
	if !ok {
		return
	}
	r.use(o.Continuous)
	if o.Long == 0 {
		r.ground(lastingRef)
	}
	r.Continuous = part * d.Rating.V
	most := 0.0
	for _, p := range r.Steps {
		if p.Long {
			most = math.Max(most, math.Abs(p.Current))
		}
	}
	if !atMost(most, r.Continuous) {
		r.say(Outside, "%s for long is more than the %s that %.3g of the rating allows", amps(most), amps(r.Continuous), part)
	}
}
