package assess

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/feed"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/assemble"
)

// Chosen is a job with what is proposed for it.
type Chosen struct {
	report.Choices
	Bank *bank.Bank // with the proposals in it
	job  *Job       // as it was read
}

// Choose reads a job whose cables may lack a size and whose fuses and breakers
// may lack rating or class, and proposes for each the smallest that passes.
// Nothing that is given is changed. The error is that of Load, or says what
// keeps the job from being a circuit.
func Choose(name string, src []byte) (*Chosen, error) {
	j, err := load(assemble.ReadUnsized, name, src)
	if err != nil {
		return nil, err
	}
	if err := j.ready(); err != nil {
		return nil, err
	}
	c := newChooser(j)
	if err := c.settle(); err != nil {
		return nil, err
	}
	return c.tell()
}

// chooser looks for sizes and ratings. A size is named by its number in sizes.
type chooser struct {
	job     *Job
	sizes   []quantity.Size // on offer, rising sections
	open    []int           // cables without a size, of the bank's
	at      []int           // the size of each of them
	shared  []bool          // it is one of several ways side by side: all of these have one size
	devices []*openDevice
	guards  map[string]report.Guard // of the last whole side, by part
	side    *report.Side            // that side
	lengths map[lengthKey]quantity.Length
}

type lengthKey struct{ cable, size int }

func newChooser(j *Job) *chooser {
	c := &chooser{job: j, sizes: j.onOffer(), lengths: map[lengthKey]quantity.Length{}, guards: map[string]report.Guard{}}
	for i := range j.Bank.Cables {
		if cable := &j.Bank.Cables[i]; cable.Size.IsZero() && !cable.Whole.Known() {
			c.open = append(c.open, i)
			c.at = append(c.at, len(c.sizes)-1)
		}
	}
	for i := range j.Bank.Parts {
		if d := newOpenDevice(&j.Bank.Parts[i], i); d != nil {
			c.devices = append(c.devices, d)
		}
	}
	return c
}

// stocked are the gauges that flexible cable is sold in. Common practice, no
// source.
var stocked = []int{18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 0, -1, -2, -3}

// onOffer lists the sizes to choose from, rising: of the kind that the job
// shows first, else that most of its cables have, else metric.
func (j *Job) onOffer() []quantity.Size {
	gauges := 0
	for i := range j.Bank.Cables {
		if s := j.Bank.Cables[i].Size; s.IsAWG() {
			gauges++
		} else if !s.IsZero() {
			gauges--
		}
	}
	awg := gauges > 0
	if wire := j.Doc.Show.Wire; wire.Set {
		awg = wire.V == "AWG"
	}
	rows := slices.Clone(j.cat.Conductors())
	slices.SortFunc(rows, func(a, b catalogRow) int { return sign(float64(a.Section - b.Section)) })
	var all []quantity.Size
	for _, r := range rows {
		if r.Size.IsAWG() == awg && (!awg || slices.Contains(stocked, r.Size.Gauge())) {
			all = append(all, r.Size)
		}
	}
	return all
}

func sign(x float64) int {
	switch {
	case x < 0:
		return -1
	case x > 0:
		return 1
	}
	return 0
}

// state is the job with one set of sizes, and what it carries.
type state struct {
	job  *Job
	at   []int
	feed *feed.Map
	side report.Side // without guards and faults
	unit []unitFlow
}

// with gives a job with one more size put in.
func (c *chooser) with(j *Job, cable, size int) *Job {
	b := *j.Bank
	b.Cables = slices.Clone(b.Cables)
	c.put(&b, cable, size)
	return &Job{Bank: &b, Doc: j.Doc, cat: j.cat, lay: j.lay}
}

// put sets a cable's size, and its routed length anew: a thicker cable bends
// wider.
func (c *chooser) put(b *bank.Bank, cable, size int) {
	one := &b.Cables[cable]
	one.Size = c.sizes[size]
	per, err := c.job.cat.PerLength(one.Size)
	if err != nil {
		panic("assess: a size on offer has no row: " + err.Error())
	}
	one.PerLength = per
	if one.Length.Origin != source.Routed {
		return
	}
	key := lengthKey{cable, size}
	if _, known := c.lengths[key]; !known {
		c.lengths[key] = one.Length.V
		if r, err := c.job.lay.route(one.From, one.To, one.Size, one.Along); err == nil {
			c.lengths[key] = quantity.Length(r.Length)
		}
	}
	one.Length.V = c.lengths[key]
}

// trial is the job with sizes and the devices of the last choice.
func (c *chooser) trial(at []int) *Job {
	b := *c.job.Bank
	b.Cables, b.Parts = slices.Clone(b.Cables), slices.Clone(b.Parts)
	for n, i := range c.open {
		c.put(&b, i, at[n])
	}
	for _, d := range c.devices {
		d.into(&b.Parts[d.index])
	}
	return &Job{Bank: &b, Doc: c.job.Doc, cat: c.job.cat, lay: c.job.lay}
}

// state solves the job with sizes, without faults.
func (c *chooser) state(at []int) (*state, error) {
	j := c.trial(at)
	st := &state{job: j, at: slices.Clone(at), feed: feed.New(j.Bank)}
	s := &st.side
	var err error
	if s.Nominal, err = j.nominal(); err != nil {
		return nil, err
	}
	if s.Scenarios, err = j.scenarios(); err != nil {
		return nil, err
	}
	for i := range j.Bank.Cables {
		s.Lines = append(s.Lines, j.line(i, st.feed, s.Scenarios, s.Nominal))
	}
	stiff := j.stiff(s)
	s.Loads = j.loads(s, stiff)
	st.unit, err = j.unitFlows(stiff)
	return st, err
}

// rounds is how often currents, devices and sizes are gone through until they
// stay: currents hang little on sizes, so two or three are the rule.
const rounds = 8

// settle finds sizes and devices that stay when gone through again.
func (c *chooser) settle() error {
	for range rounds {
		before, picks := slices.Clone(c.at), c.picks()
		st, err := c.look()
		if err != nil {
			return err
		}
		c.share(st)
		for n := range c.open {
			c.at[n] = c.smallest(st, n)
		}
		c.level()
		if err := c.drops(); err != nil {
			return err
		}
		if slices.Equal(before, c.at) && slices.Equal(picks, c.picks()) {
			return nil
		}
	}
	return c.raise()
}

// look solves the present sizes whole, and chooses devices for them.
func (c *chooser) look() (*state, error) {
	st, err := c.state(c.at)
	if err != nil {
		return nil, err
	}
	if c.side, err = st.job.Side(); err != nil {
		return nil, err
	}
	for _, g := range c.side.Guards {
		c.guards[g.Part] = g
	}
	for _, d := range c.devices {
		d.pick = c.pick(d, st)
	}
	return st, nil
}

// raise makes thicker what fails until nothing does: the way out where going
// through again went in circles.
func (c *chooser) raise() error {
	for {
		st, err := c.look()
		if err != nil {
			return err
		}
		grown := false
		for n := range c.open {
			if c.at[n] < len(c.sizes)-1 && c.own(st, n, c.at[n]) != "" {
				c.at = c.step(c.at, n, 1)
				grown = true
			}
		}
		if !grown {
			return nil
		}
	}
}

// share finds the open cables of which only a part of some device's current
// passes: ways side by side, such as the links between batteries. They get one
// size, for by themselves the thickest of them would draw the current to it and
// ask for more, and a thin one stand in the way when a battery is off. Common
// practice, no source.
func (c *chooser) share(st *state) {
	c.shared = make([]bool, len(c.open))
	for n, i := range c.open {
		for _, u := range st.unit {
			f := math.Abs(u.cables[i])
			c.shared[n] = c.shared[n] || f > noFlow && f < wholeFlow
		}
	}
}

// level gives all shared cables the largest of their sizes.
func (c *chooser) level() {
	most := 0
	for n, k := range c.at {
		if c.shared[n] {
			most = max(most, k)
		}
	}
	for n := range c.at {
		if c.shared[n] {
			c.at[n] = most
		}
	}
}

// step moves one cable's size, or those of all shared ones if it is one.
func (c *chooser) step(at []int, n, by int) []int {
	out := slices.Clone(at)
	for k := range out {
		if k == n || c.shared[n] && c.shared[k] {
			out[k] += by
		}
	}
	return out
}

// smallest gives the smallest size at which a cable passes by itself; the
// largest where none does.
func (c *chooser) smallest(st *state, n int) int {
	for k := range c.sizes {
		if c.own(st, n, k) == "" {
			return k
		}
	}
	return len(c.sizes) - 1
}

// failing is a load that loses too much or cuts out, by how much: 1 is just
// within.
type failing struct {
	part  string
	over  float64
	volts float64 // that it may still lose
	surge bool    // it is its cut-out in its surge
	drop  bool    // it is its loss on the way, which is counted at nominal currents
	why   string
}

// in names the scenario that it is in.
func (f *failing) in() string {
	if f.surge {
		return surgeOf(f.part)
	}
	return allLoads
}

// overs lists what each load's limits come to.
func (st *state) overs() []failing {
	var all []failing
	for _, l := range st.side.Loads {
		p := st.job.Bank.Part(l.Part)
		if limit := dropLimit(p.Kind); !math.IsNaN(l.DropFraction) {
			all = append(all, failing{l.Part, l.DropFraction / limit, (limit - l.DropFraction) * st.side.Nominal, false, true,
				fmt.Sprintf("%s would lose %.1f %% of %s on the way, %.0f %% is the limit", l.Part, 100*l.DropFraction, volts(st.side.Nominal), 100*limit)})
		}
		low, surge := l.Weak.Volts, l.Weak.Surge
		if cut := float64(p.Device.Cutout); cut > 0 && !math.IsNaN(low) {
			all = append(all, failing{l.Part, cut / math.Max(low, 1e-3), low - cut, surge, false,
				fmt.Sprintf("%s would have %s at its terminals with the bank at %.0f %% and cut out at %s", l.Part, volts(low), 100*l.Weak.Charge, volts(cut))})
		}
	}
	return all
}

const overSlack = 1 + 1e-9

// drops makes cables thicker until no load loses too much, each time the one
// that gains most for its copper, then takes back what was not needed and looks
// whether the same is had with less copper.
func (c *chooser) drops() error {
	least := slices.Clone(c.at)
	for {
		st, err := c.state(c.at)
		if err != nil {
			return err
		}
		grown := false
		for _, f := range st.overs() {
			if f.over <= overSlack {
				continue
			}
			if n := c.best(st, f, least); n >= 0 {
				c.at = c.step(c.at, n, 1)
				grown = true
				break
			}
		}
		if !grown {
			if st, c.at, err = c.shrink(st, c.at, least, -1); err == nil {
				c.at, err = c.exchange(st, c.at, least)
			}
			return err
		}
	}
}

// best gives the open cable of which the next size helps a load most for its
// copper, -1 where none helps; of equals the longest, which brings it the
// farthest.
func (c *chooser) best(st *state, f failing, least []int) int {
	best, most, longest := -1, 0.0, 0.0
	for n, i := range c.open {
		k := c.at[n]
		if k == len(c.sizes)-1 {
			continue
		}
		gain := c.gain(st, f, n)
		long := float64(c.job.Bank.Cables[i].Length.V)
		g := gain / float64(c.job.cat.Conductor(c.sizes[k+1]).Section-c.job.cat.Conductor(c.sizes[k]).Section)
		if gain > 1e-12 && c.even(st, c.step(c.at, n, 1), least) && (g > most*overSlack || g > most/overSlack && long > longest) {
			best, most, longest = n, g, long
		}
	}
	return best
}

// gain is what the next size of an open cable gives a load, V a metre. What a
// resistance takes from a load's voltage is its current times the part of the
// load's own current that passes it (reciprocity of a resistive network).
func (c *chooser) gain(st *state, f failing, n int) float64 {
	u, i, k := st.unitOf(f.part), c.open[n], st.at[n]
	sc := st.scenario(f.in())
	if u == nil || sc == nil || k == len(c.sizes)-1 {
		return 0
	}
	now, next := c.job.cat.Conductor(c.sizes[k]), c.job.cat.Conductor(c.sizes[k+1])
	return sc.Cables[i] * math.Abs(u.cables[i]) * float64(now.R20.V-next.R20.V)
}

// helps reports whether a thicker cable helps a load that is near its limit.
func (c *chooser) helps(st *state, n int) bool {
	const near = 0.5 // of its limit: one further off needs no help
	for _, f := range st.overs() {
		if f.over > near && c.gain(st, f, n) > 1e-12 {
			return true
		}
	}
	return false
}

// worse says what fails in one state that did not in another, "" nothing.
func (c *chooser) worse(before, now *state) string {
	old := before.overs()
	for i, f := range now.overs() {
		if f.over > overSlack && (i >= len(old) || f.over > old[i].over*overSlack) {
			return f.why
		}
	}
	for n := range c.open {
		if why := c.own(now, n, now.at[n]); why != "" && c.own(before, n, before.at[n]) == "" {
			return fmt.Sprintf("cable %s: %s", now.job.Bank.Cables[c.open[n]].ID, why)
		}
	}
	return ""
}
