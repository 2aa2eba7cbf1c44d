package assess

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/rating"
	"bankwright/internal/model/report"
	"bankwright/internal/read/job"
)

// tell turns what was found into proposals.
func (c *chooser) tell() (*Chosen, error) {
	st, err := c.look()
	if err != nil {
		return nil, err
	}
	out := &Chosen{Bank: st.job.Bank, job: c.job}
	for n := range c.open {
		one, left, err := c.tellCable(st, n)
		if err != nil {
			return nil, err
		}
		if left != nil {
			out.Left = append(out.Left, *left)
			continue
		}
		out.Cables = append(out.Cables, one)
	}
	for _, d := range c.devices {
		if one, left := c.tellDevice(st, d); left != nil {
			out.Left = append(out.Left, *left)
		} else {
			out.Devices = append(out.Devices, one)
		}
	}
	out.Left = append(out.Left, c.leftOver(st)...)
	out.Due = c.due(st)
	out.Assumed = c.assumed()
	return out, nil
}

// tellCable gives the proposal for an open cable, or why there is none.
func (c *chooser) tellCable(st *state, n int) (report.CableChoice, *report.Left, error) {
	i, k := c.open[n], c.at[n]
	l := &st.side.Lines[i]
	id := st.job.Bank.Cables[i].ID
	one := report.CableChoice{Cable: id, Index: i, Size: c.sizes[k], Steady: l.Steady, Surge: l.Surge, Next: math.NaN()}
	if l.Steady.Amps == 0 && l.Surge.Amps == 0 {
		_, ref, ok := st.job.bondSize(st)
		if !ok || !isBond(st.job.Bank, &st.job.Bank.Cables[i]) {
			return one, &report.Left{Place: id, Why: "nothing in the job loads this cable, so no size can be told; add a case, or what hangs on it"}, nil
		}
		one.Memory = ref.How == source.Memory
	}
	if why := c.own(st, n, k); why != "" {
		return one, &report.Left{Place: id, Why: fmt.Sprintf("no size on offer passes; at %s it %s; better insulation, a cooler way, another device or two cables side by side may do", one.Size, why)}, nil
	}
	one.Allowed, one.ByTable, one.Memory = allowed(l, one.Memory)
	if k+1 < len(c.sizes) {
		one.Better = c.sizes[k+1]
		next := c.with(st.job, i, k+1).line(i, st.feed, st.side.Scenarios, st.side.Nominal)
		one.Next, _, _ = allowed(&next, false)
	}
	if k == 0 {
		one.Why = "it is the smallest on offer"
		return one, nil, nil
	}
	one.Smaller = c.sizes[k-1]
	var err error
	one.Why, err = c.whyNot(st, n)
	return one, nil, err
}

// whyNot says what the next smaller size of a cable fails.
func (c *chooser) whyNot(st *state, n int) (string, error) {
	if why := c.own(st, n, c.at[n]-1); why != "" {
		return why, nil
	}
	next, err := c.state(c.step(c.at, n, -1))
	if err != nil {
		return "", err
	}
	why := c.worse(st, next)
	switch {
	case why == "":
		return "currents would shift until another cable fails", nil
	case c.shared[n] && strings.HasPrefix(why, "cable "):
		return "cables side by side have one size, so that they share; " + why, nil
	}
	return why, nil
}

// allowed gives what a line may carry without end: of its table's row and its
// heat balance the lesser.
func allowed(l *report.Line, memory bool) (most float64, byTable, mem bool) {
	row := l.Governing()
	if row == nil || l.Physics < row.Amps {
		return l.Physics, false, memory
	}
	return row.Amps, true, memory || row.Memory
}

// tellDevice gives the proposal for an open device, or why there is none.
func (c *chooser) tellDevice(st *state, d *openDevice) (report.DeviceChoice, *report.Left) {
	p := &st.job.Bank.Parts[d.index]
	g := c.guards[p.ID]
	one := report.DeviceChoice{Part: p.ID, Index: d.index, Rating: p.Rated.Current, Class: p.Rated.Class, NewRating: d.rating, NewClass: d.class,
		Most: g.Most, Volts: g.Volts, Breaks: math.NaN(), Largest: c.presentLargest(st, p.ID)}
	if d.pick.rating == 0 {
		return one, &report.Left{Place: p.ID, Why: d.pick.why}
	}
	one.Why = c.ratingWhy(st, d, p)
	class := c.job.cat.FuseClass(one.Class)
	if class != nil {
		one.ClassName = class.Name
		if row, ok := class.InterruptAt(quantity.Voltage(g.Volts)); ok {
			one.Breaks, one.Memory = float64(row.Least), row.Ref.How == source.Memory
		}
		for _, b := range class.BandsFor(one.Rating) {
			one.Memory = one.Memory || b.Ref.How == source.Memory
		}
	}
	one.Ask = ask(&one, d, class)
	one.Better = c.better(&one, d, p)
	return one, nil
}

// presentLargest is the largest standard rating over the conductors as chosen.
func (c *chooser) presentLargest(st *state, id string) float64 {
	least := math.NaN()
	for i := range st.side.Lines {
		l := &st.side.Lines[i]
		over := l.Side != "negative" && slices.Contains(st.devicesOver(l), id) && st.tap(l, &st.job.Bank.Cables[i]) == ""
		if limit := st.job.deviceLimit(l, st.job.Bank.Cables[i].Size, st.side.Nominal); over && limit.allow != nil && !(limit.largest > least) {
			least = limit.largest
		}
	}
	return least
}

func (c *chooser) ratingWhy(st *state, d *openDevice, p *bank.Part) string {
	steady, surge := worst(st.side.Scenarios, func(sc *report.Scenario) float64 { return sc.Parts[p.ID] })
	why := fmt.Sprintf("the smallest standard rating of which %s is at most 80 %%", amps(steady.Amps))
	if !d.rating {
		why = fmt.Sprintf("the rating is given; the class breaks the dead short of %s at %s", amps(c.guards[p.ID].Most), volts(c.side.Highest))
	}
	if surge.Amps <= steady.Amps {
		return why
	}
	words := fmt.Sprintf("%s for %s (%s)", amps(surge.Amps), quantity.Format(quantity.Duration(surge.Seconds), 3), surge.In)
	if !d.pick.told {
		return why + "; surge not checked: how long it carries " + words + " is not told, look at its own time-current curve"
	}
	return why + ", and that passes " + words
}

// ask lists what only the part's own sheet can tell.
func ask(one *report.DeviceChoice, d *openDevice, class *rating.FuseClass) string {
	var all []string
	if !d.pick.told {
		all = append(all, "whether it passes the surge (its time-current curve)")
	}
	if math.IsNaN(one.Breaks) && one.Most > 0 {
		all = append(all, fmt.Sprintf("that it breaks at least %s at %s d.c.", amps(one.Most), volts(one.Volts)))
	} else if class != nil && one.Memory {
		all = append(all, "what it breaks and its times, which are from memory here")
	}
	return strings.Join(all, "; ")
}

// better is the next larger rating that is allowed, else the next class.
func (c *chooser) better(one *report.DeviceChoice, d *openDevice, p *bank.Part) string {
	if next, ok := c.job.cat.StandardRatings().AtLeast(one.Rating * (1 + 1e-6)); ok && d.rating && float64(next) <= one.Largest*overSlack {
		return fmt.Sprintf("%s, the most allowed here is %s", amps(float64(next)), amps(one.Largest))
	}
	if !d.class {
		return ""
	}
	for _, class := range c.classes(d, p) {
		if row, _ := class.InterruptAt(quantity.Voltage(one.Volts)); float64(row.Least) > one.Breaks && (class.Ratings.Most == 0 || class.Ratings.Holds(one.Rating)) {
			return fmt.Sprintf("%s, which breaks %s", class.Name, amps(float64(row.Least)))
		}
	}
	return ""
}

// leftOver tells what no choice of sizes can mend, and what was not asked.
func (c *chooser) leftOver(st *state) []report.Left {
	var all []report.Left
	for _, f := range st.overs() {
		if f.over > overSlack {
			all = append(all, report.Left{Place: f.part, Why: strings.Replace(f.why, " would ", " will ", 1) + "; no open cable on offer mends that: shorten the way or make the given cables thicker"})
		}
	}
	for i := range c.job.Bank.Cables {
		if one := &c.job.Bank.Cables[i]; one.Size.IsZero() && one.Whole.Known() {
			all = append(all, report.Left{Place: one.ID, Why: "its resistance is given whole, so no size is proposed"})
		}
	}
	for i := range c.job.Bank.Parts {
		if p := &c.job.Bank.Parts[i]; p.Kind == bank.Fuse && p.Rated.Class == "" && p.Rated.Interrupt > 0 {
			all = append(all, report.Left{Place: p.ID, Why: "what it breaks is given, so its class is to be read off the fuse itself"})
		}
	}
	return all
}

// assumed says what the proposals rest on.
func (c *chooser) assumed() []string {
	var all []string
	if len(c.open) > 0 {
		all = append(all, fmt.Sprintf("sizes on offer: %s to %s, those that flexible cable is sold in (common practice, no source)", c.sizes[0], c.sizes[len(c.sizes)-1]))
		same := map[string]bool{}
		for _, i := range c.open {
			if in := c.job.Bank.Cables[i].Wrap.Insulation; in.Origin == source.Assumed && !same["insulation"] {
				same["insulation"] = true
				all = append(all, fmt.Sprintf("insulation that bears %s where the job says nothing", c.job.Bank.Show.FormatTemperature(in.V)))
			}
		}
		if amb := c.job.Bank.Practice.Ambient; amb.Origin == source.Assumed {
			all = append(all, fmt.Sprintf("air of %s round the cables", c.job.Bank.Show.FormatTemperature(amb.V)))
		}
	}
	if slices.Contains(c.shared, true) {
		all = append(all, "cables side by side, such as links between batteries, get one size, so that they share (common practice, no source)")
	}
	if len(c.open) > 0 && !c.sizes[0].IsAWG() {
		all = append(all, "no table here has metric sizes: they are held by the heat balance alone, and a device over one is at most its amperes by that (common practice, no source)")
	} else if len(c.open) > 0 && c.job.Bank.Practice.Book.V == bank.Marine {
		all = append(all, "this book lets a device be larger than a conductor's amperes, so that one can pass its temperature in an overload of hours: check tells which (PRO-09); the next larger size mends it")
	}
	if book := c.job.Bank.Practice.Book; book.Origin == source.Assumed {
		all = append(all, fmt.Sprintf("the %s book, %s", book.V, book.Ref))
	}
	if len(c.devices) > 0 {
		all = append(all, "standard ratings: "+c.job.cat.StandardRatings().Ref.String(), continuous.Ref.String())
	}
	return all
}

// Write gives the job file with the proposals put in. Comments, order and units
// of all else stay.
func (c *Chosen) Write() ([]byte, error) {
	out := c.job.src
	var err error
	set := func(path, value string) {
		if err == nil {
			out, err = job.Set(out, path, value)
		}
	}
	for i := range c.Cables {
		set("cables["+c.Cables[i].Cable+"].size", c.Cables[i].Size.ASCII())
	}
	for i := range c.Devices {
		d := &c.Devices[i]
		if d.NewRating {
			set("parts["+d.Part+"].rating", strconv.FormatFloat(float64(d.Rating), 'f', -1, 64)+" A")
		}
		if d.NewClass && d.Class != "" {
			set("parts["+d.Part+"].class", d.Class)
		}
	}
	return out, err
}

// Complete reports whether with the proposals every cable has a size or a
// resistance.
func (c *Chosen) Complete() bool {
	have := map[string]bool{}
	for i := range c.Cables {
		have[c.Cables[i].Cable] = true
	}
	for i := range c.job.Bank.Cables {
		if one := &c.job.Bank.Cables[i]; one.Size.IsZero() && !one.Whole.Known() && !have[one.ID] {
			return false
		}
	}
	return true
}
