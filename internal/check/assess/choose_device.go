package assess

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/protect"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/rating"
	"bankwright/internal/model/report"
)

// openDevice is a fuse or breaker without rating, or a fuse without class.
type openDevice struct {
	index         int
	rating, class bool // these are asked for
	pick          devicePick
}

// devicePick is what was chosen for it last.
type devicePick struct {
	rating  float64 // A; 0 none
	class   string
	told    bool    // that it passes its surge is told
	largest float64 // A that what it saves allows; NaN not known
	why     string  // of a pick, or of none
}

// newOpenDevice gives nil for a part that lacks nothing. A breaker needs no
// class, and a fuse of which the job says what it breaks is one in the hand,
// whose class is to be read off it.
func newOpenDevice(p *bank.Part, index int) *openDevice {
	if !p.Kind.Protects() {
		return nil
	}
	d := &openDevice{index: index, rating: p.Rated.Current == 0, class: p.Kind == bank.Fuse && p.Rated.Class == "" && p.Rated.Interrupt == 0}
	if !d.rating && !d.class {
		return nil
	}
	return d
}

// into puts the pick into a part.
func (d *openDevice) into(p *bank.Part) {
	if d.rating && d.pick.rating > 0 {
		p.Rated.Current = quantity.Current(d.pick.rating)
	}
	if d.class && d.pick.class != "" {
		p.Rated.Class = d.pick.class
	}
}

// picks lists what is chosen for each device, to see whether it stays.
func (c *chooser) picks() []string {
	var all []string
	for _, d := range c.devices {
		all = append(all, fmt.Sprintf("%g %s", d.pick.rating, d.pick.class))
	}
	return all
}

// openOf gives the open device of an ID, nil where it lacks nothing.
func (c *chooser) openOf(id string) *openDevice {
	for _, d := range c.devices {
		if c.job.Bank.Parts[d.index].ID == id {
			return d
		}
	}
	return nil
}

// ratingOf and classOf give what a device has or is proposed to have.
func (c *chooser) ratingOf(st *state, id string) float64 {
	if d := c.openOf(id); d != nil && d.rating {
		return d.pick.rating
	}
	return float64(st.job.Bank.Part(id).Rated.Current)
}

func (c *chooser) classOf(st *state, id string) string {
	if d := c.openOf(id); d != nil && d.class {
		return d.pick.class
	}
	return st.job.Bank.Part(id).Rated.Class
}

// continuous is the part of its rating that a device carries for long.
var continuous = source.Assume(0.8, source.Ref{Title: "a device carries 80 % of its rating for long", How: source.Practice}, "")

// deviceOf makes a device of a class for the protection engine.
func deviceOf(id string, r float64, class *rating.FuseClass) (protect.Device, error) {
	d := protect.Device{Name: id, Rating: source.Of(r)}
	if class == nil {
		return d, nil
	}
	var err error
	d.Band, err = protect.BandOf(class.BandsFor(quantity.Current(r)))
	return d, err
}

// pick chooses rating and class of an open device: of the classes that break
// the dead short at the voltage here the one in which the smallest standard
// rating carries the load and is told to pass the surge. Of equals one of which
// is told when it opens, then the one that breaks least.
func (c *chooser) pick(d *openDevice, st *state) devicePick {
	p := &c.job.Bank.Parts[d.index]
	steady, surge := worst(st.side.Scenarios, func(sc *report.Scenario) float64 { return sc.Parts[p.ID] })
	none := devicePick{largest: c.largestOver(st, p.ID)}
	if steady.Amps == 0 && surge.Amps == 0 {
		none.why = "nothing in the job loads it, so no rating can be told"
		return none
	}
	var best *devicePick
	for _, class := range c.classes(d, p) {
		one := c.rate(d, p, class, steady, surge, none.largest)
		if one.rating > 0 && (best == nil || one.told && !best.told || one.told == best.told && one.rating < best.rating) {
			best = &one
		}
	}
	switch {
	case best != nil:
		return *best
	case d.class && len(c.classes(d, p)) == 0:
		none.why = fmt.Sprintf("no class of the catalogue is known to break %s at %s d.c.", amps(c.guards[p.ID].Most), volts(c.side.Highest))
	default:
		none.why = fmt.Sprintf("no standard rating carries %s for long%s%s", amps(steady.Amps), surgeWords(surge), c.overWords(none.largest))
	}
	return none
}

func surgeWords(surge report.WorstFlow) string {
	if surge.Amps == 0 {
		return ""
	}
	return fmt.Sprintf(" and %s for %s", amps(surge.Amps), quantity.Format(quantity.Duration(surge.Seconds), 3))
}

func (c *chooser) overWords(largest float64) string {
	if math.IsNaN(largest) {
		return ""
	}
	return fmt.Sprintf(" while the conductors it saves allow at most %s", amps(largest))
}

// classes lists the classes to try; one nil where the class is not asked for
// and not known.
func (c *chooser) classes(d *openDevice, p *bank.Part) []*rating.FuseClass {
	if !d.class {
		return []*rating.FuseClass{c.job.cat.FuseClass(p.Rated.Class)}
	}
	g := c.guards[p.ID]
	var all []*rating.FuseClass
	list := c.job.cat.FuseClasses()
	for i := range list {
		row, ok := list[i].InterruptAt(quantity.Voltage(g.Volts))
		open := list[i].OpenLink && c.job.Bank.Practice.Petrol // its arc would be in the vapour
		if ok && g.Most > 0 && float64(row.Least) >= g.Most && !open {
			all = append(all, &list[i])
		}
	}
	slices.SortStableFunc(all, func(a, b *rating.FuseClass) int {
		if told := len(b.Bands) - len(a.Bands); len(a.Bands)*len(b.Bands) == 0 && told != 0 {
			return told
		}
		x, _ := a.InterruptAt(quantity.Voltage(g.Volts))
		y, _ := b.InterruptAt(quantity.Voltage(g.Volts))
		return sign(float64(x.Least - y.Least))
	})
	return all
}

// rate gives the smallest standard rating of a class that carries and passes;
// where none is told to pass, the smallest that nothing speaks against.
func (c *chooser) rate(d *openDevice, p *bank.Part, class *rating.FuseClass, steady, surge report.WorstFlow, largest float64) devicePick {
	out := devicePick{largest: largest}
	if class != nil {
		out.class = class.ID
	}
	load := []protect.Step{{Current: steady.Amps, Seconds: steady.Seconds}}
	if surge.Amps > steady.Amps {
		load = append(load, protect.Step{Current: surge.Amps, Seconds: surge.Seconds})
	}
	ratings := c.job.cat.StandardRatings().List
	if !d.rating {
		ratings = []quantity.Current{p.Rated.Current}
	}
	for _, r := range ratings {
		made := class == nil || class.Ratings.Most == 0 || class.Ratings.Holds(r)
		if !made || d.rating && float64(r) > largest*overSlack {
			continue
		}
		device, err := deviceOf(p.ID, float64(r), class)
		if err != nil {
			continue // its rows contradict each other at this rating
		}
		v := protect.Passes(device, load, protect.LoadOptions{Continuous: continuous, Long: lasting})
		switch {
		case v.Verdict == protect.Within:
			out.rating, out.told = float64(r), true
			return out
		case v.Verdict == protect.NotChecked && out.rating == 0:
			out.rating = float64(r)
		}
	}
	return out
}

// largestOver is the largest standard rating that the conductors a device
// saves allow: of an open one at the largest size on offer.
func (c *chooser) largestOver(st *state, id string) float64 {
	least := math.NaN()
	for i := range st.side.Lines {
		l := &st.side.Lines[i]
		if l.Side == "negative" || !slices.Contains(st.devicesOver(l), id) || st.tap(l, &st.job.Bank.Cables[i]) != "" {
			continue
		}
		j, thick := st.job, l
		if slices.Contains(c.open, i) {
			j = c.with(st.job, i, len(c.sizes)-1)
			one := j.line(i, st.feed, st.side.Scenarios, st.side.Nominal)
			thick = &one
		}
		if limit := j.deviceLimit(thick, j.Bank.Cables[i].Size, st.side.Nominal); limit.allow != nil && !(limit.largest > least) {
			least = limit.largest
		}
	}
	return least
}
